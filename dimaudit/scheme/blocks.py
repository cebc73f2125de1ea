"""What is left when the straight differences are summed up: halves, patterns, slanted lines, circles.

Each tree of differences moves as one, so it counts as one unknown: its shift. Relations are taken in an order in which
each block of them finds its shifts from those found before (as in `rank.py`, after P. H. Todd), and each block is
solved by itself: exactly where it is linear or moves as a whole, else by Newton with a proof.
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from fractions import Fraction

from flint import arb, fmpq, fmpq_mat

from dimaudit.scheme.equations import Aim, Number, Sloped, ball, residual
from dimaudit.scheme.joined import sharing
from dimaudit.scheme.newton import nearest, solve
from dimaudit.scheme.rank import MOST_ROWS
from dimaudit.scheme.relation import Relation, Shape
from dimaudit.scheme.slope import Row

LEVER = 100
"""Where the drawn lines meet only nearly, an answer this many times larger than what was put in is no answer."""
STRAY = Fraction(1, 2)
"""How far, as a share of the first step, the solution may be from it; farther off it may be another solution."""


@dataclass(frozen=True, slots=True)
class Block:
    """Relations that are solved together for shifts of trees."""

    relations: tuple[int, ...]
    trees: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Setting:
    """The system with its aims, whatever is chosen to be trusted."""

    relations: Sequence[Relation]
    aims: Sequence[Aim]
    drawn: Sequence[Fraction]
    """Values of the unknowns."""
    node: Sequence[int]
    """For each unknown the node of the graph of differences that it stands on."""
    unsure: AbstractSet[int]

    def linear(self, k: int) -> tuple[Row, Fraction] | None:
        """A relation that is linear, or that is so because of what is in line: coefficients of moves, and their sum."""
        relation = self.relations[k]
        of, w = relation.of, self.drawn
        match relation.shape:
            case Shape.BETWEEN | Shape.SHARED | Shape.DIAGONAL:
                return relation.row(w), Fraction(0)
            case Shape.IN_STEP:
                return {of[0]: Fraction(1), of[1]: Fraction(-1), of[2]: -self.aims[k][0]}, Fraction(0)
            case Shape.ON_CIRCLE | Shape.DISTANCE:
                for flat, along in ((0, 1), (1, 0)):
                    a, b = of[along], of[2 + along]
                    if self.node[of[flat]] != self.node[of[2 + flat]] or w[of[flat]] != w[of[2 + flat]]:
                        continue
                    apart = w[a] - w[b]
                    way = 1 if apart > 0 else -1
                    if relation.shape is Shape.ON_CIRCLE and abs(apart) == w[of[4]] and apart:
                        return {a: Fraction(1), b: Fraction(-1), of[4]: Fraction(-way)}, Fraction(0)
                    length = _root(self.aims[k][0]) if relation.shape is Shape.DISTANCE else None
                    if length is not None and apart:
                        return {a: Fraction(1), b: Fraction(-1)}, way * length - apart
            case _:
                pass
        return None


def _root(square: Number) -> Fraction | None:
    from dimaudit.exact.real import root

    found = root(square) if isinstance(square, Fraction) else None
    return found if isinstance(found, Fraction) else None


def plan(setting: Setting, second: Sequence[int], trees: Sequence[int], still: AbstractSet[int]) -> list[Block]:
    """The blocks in the order in which they can be solved; `trees` by node, those in `still` do not move."""
    support = {k: _support(setting, k, trees, still) for k in second}
    users: dict[int, set[int]] = defaultdict(set)
    for k, own in support.items():
        for tree in own:
            users[tree].add(k)
    open_ = {k: set(own) for k, own in support.items() if own}
    pairs: dict[tuple[int, ...], int] = {}
    found: list[Block] = []
    waiting = [k for k in reversed(open_) if len(open_[k]) <= 2]

    def pin(ks: tuple[int, ...], own: tuple[int, ...]) -> None:
        found.append(Block(ks, own))
        for k in ks:
            del open_[k]
        for tree in own:
            for k in sorted(users[tree]):
                if k in open_:
                    open_[k].discard(tree)
                    if len(open_[k]) <= 2:
                        waiting.append(k)

    while waiting:
        k = waiting.pop()
        key = tuple(sorted(open_.get(k, ())))
        if not key:
            open_.pop(k, None)
            continue
        if len(key) == 1:
            pin((k,), key)
            continue
        other = pairs.get(key)
        if other is not None and other != k and open_.get(other) == open_[k]:
            pin((other, k), key)
        else:
            pairs[key] = k
    found += _together({k: own for k, own in open_.items() if own})
    return found


def _support(setting: Setting, k: int, trees: Sequence[int], still: AbstractSet[int]) -> set[int]:
    """The trees that the relation depends on: those whose slope is not nothing at places off the drawn ones."""
    linear = setting.linear(k)
    node = setting.node
    total: dict[int, Number] = defaultdict(Fraction)
    if linear is not None:
        row: Mapping[int, Number] = linear[0]
    else:
        relation = setting.relations[k]
        moved = [
            Sloped(ball(setting.drawn[i] + Fraction(7919 * (node[i] + 3) % 1009, 100_003)), {i: arb(1)})
            for i in relation.of
        ]
        row = residual(relation, tuple(map(ball, setting.aims[k])), moved).by
        total = defaultdict(arb)
    for i, value in row.items():
        tree = trees[node[i]]
        if tree not in still:
            total[tree] += value
    return {tree for tree, v in total.items() if (v != 0 if isinstance(v, Fraction) else not v.contains(0))}


def _together(rows: Mapping[int, set[int]]) -> list[Block]:
    return [Block(tuple(ks), tuple(sorted({t for k in ks for t in rows[k]}))) for ks in sharing(rows)]


@dataclass(frozen=True, slots=True)
class Shifts:
    """The shifts of the trees that were found; the others are where they are drawn."""

    found: dict[int, Number]
    failed: dict[int, str]
    """Trees whose shift is not judged, and why."""


def shifts(setting: Setting, blocks: Sequence[Block], trees: Sequence[int], off: Sequence[Fraction]) -> Shifts:
    """Solves the blocks one after the other; `off` is by node what the differences say, seen from the tree's root."""
    result = Shifts({}, {})
    for block in blocks:
        used = {trees[setting.node[i]] for k in block.relations for i in setting.relations[k].of}
        bad = next((result.failed[t] for t in used if t in result.failed), None)
        solved: list[Number] | str
        if bad is not None:
            solved = bad
        elif len(block.relations) > MOST_ROWS:
            solved = f"more than {MOST_ROWS} relations would have to be solved together"
        else:
            solved = _solved(setting, block, trees, off, result.found)
        if isinstance(solved, str):
            result.failed.update(dict.fromkeys(block.trees, solved))
        else:
            result.found.update(zip(block.trees, solved, strict=True))
    return result


def _solved(
    setting: Setting, block: Block, trees: Sequence[int], off: Sequence[Fraction], before: Mapping[int, Number]
) -> list[Number] | str:
    node, own = setting.node, set(block.trees)
    needed = {i for k in block.relations for i in setting.relations[k].of}
    moved: dict[int, Number] = {}
    for i in needed:
        tree = trees[node[i]]
        shift = before.get(tree, Fraction(0)) if tree not in own else Fraction(0)
        moved[i] = off[node[i]] + shift if isinstance(shift, Fraction) else ball(off[node[i]]) + shift
    linear = setting.linear(block.relations[0]) if len(block.relations) == 1 == len(block.trees) else None
    if linear is not None:
        return [_alone(linear, moved, trees, node, block.trees[0])]
    first = _first(setting, block, trees, moved)
    if isinstance(first, str):
        return first
    step, pivots, largest = first
    size = max(map(abs, step), default=Fraction(0))
    if not setting.unsure.isdisjoint(block.relations) and size > LEVER * largest:
        return "the drawn lines meet only nearly, and how they hold each other is not certain"
    if all(isinstance(m, Fraction) for m in moved.values()) and _exact(setting, block, trees, moved, step):
        return list(step)
    columns = [block.trees[p] for p in pivots]
    if len(columns) != len(block.relations):
        return "the relations do not fix it as drawn"
    place = {tree: j for j, tree in enumerate(columns)}

    def system(x: Sequence[Number]) -> list[Sloped]:
        values = []
        for k in block.relations:
            v = []
            for i in setting.relations[k].of:
                j = place.get(trees[node[i]])
                at = ball(setting.drawn[i]) + ball(moved[i])
                v.append(Sloped(at, {}) if j is None else Sloped(at + x[j], {j: arb(1)}))
            values.append(residual(setting.relations[k], tuple(map(ball, setting.aims[k])), v))
        return values

    solution = solve(system, [step[p] for p in pivots])
    if solution is None:
        return "no places near the drawn ones are proved to give the stated numbers"
    if any(abs(nearest(solution[j]) - step[p]) > STRAY * size for j, p in enumerate(pivots)):
        return "the stated numbers lead too far from the drawn places to be sure which solution is meant"
    found: list[Number] = [Fraction(0)] * len(block.trees)
    for j, p in enumerate(pivots):
        found[p] = solution[j]
    return found


def _alone(linear: tuple[Row, Fraction], moved: Mapping[int, Number], trees: Sequence[int], node: Sequence[int],
           tree: int) -> Number:  # fmt: skip
    row, total = linear
    rest: Number = total
    slope = Fraction(0)
    for i, c in row.items():
        m = moved[i]
        if isinstance(m, Fraction) and isinstance(rest, Fraction):
            rest = rest - c * m
        else:
            rest = ball(rest) - ball(c) * ball(m)
        if trees[node[i]] == tree:
            slope += c
    return rest / slope if isinstance(rest, Fraction) else rest / ball(slope)


def _first(
    setting: Setting, block: Block, trees: Sequence[int], moved: Mapping[int, Number]
) -> tuple[list[Fraction], list[int], Fraction] | str:
    """The step that the slopes at the drawn places give, exactly; the trees it moves; the largest thing put in.

    Where all that is put in moves the same way, that step is the answer.
    """
    place = {tree: j for j, tree in enumerate(block.trees)}
    matrix = fmpq_mat(len(block.relations), len(block.trees) + 1)
    largest = Fraction(0)
    for row, k in enumerate(block.relations):
        relation = setting.relations[k]
        v = [Sloped(setting.drawn[i], {i: Fraction(1)}) for i in relation.of]
        at = residual(relation, tuple(map(nearest, setting.aims[k])), v)
        right = -at.value
        steep = max(map(abs, at.by.values()), default=Fraction(0))
        if steep:
            largest = max(largest, abs(at.value) / steep)
        slopes: Row = defaultdict(Fraction)
        for i, slope in at.by.items():
            known = nearest(moved[i])
            largest = max(largest, abs(known))
            right -= slope * known
            if trees[setting.node[i]] in place:
                slopes[place[trees[setting.node[i]]]] += slope
        for j, slope in slopes.items():
            matrix[row, j] = fmpq(slope.numerator, slope.denominator)
        matrix[row, len(block.trees)] = fmpq(right.numerator, right.denominator)
    reduced, rank = matrix.rref()
    pivots: list[int] = []
    step = [Fraction(0)] * len(block.trees)
    column = 0
    for row in range(rank):
        while reduced[row, column] == 0:
            column += 1
        if column == len(block.trees):
            return "the stated numbers contradict each other there"
        pivots.append(column)
        value = reduced[row, len(block.trees)]
        step[column] = Fraction(int(value.p), int(value.q))
        column += 1
    return step, pivots, largest


def _exact(
    setting: Setting, block: Block, trees: Sequence[int], moved: Mapping[int, Number], step: Sequence[Fraction]
) -> bool:
    shift = dict(zip(block.trees, step, strict=True))
    for k in block.relations:
        relation = setting.relations[k]
        if not all(isinstance(a, Fraction) for a in setting.aims[k]):
            return False
        v = [
            Sloped(setting.drawn[i] + moved[i] + shift.get(trees[setting.node[i]], Fraction(0)), {})
            for i in relation.of
        ]
        if residual(relation, setting.aims[k], v).value != 0:
            return False
    return True
