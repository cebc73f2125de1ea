"""What a system of relations fixes: exact ranks, in two steps.

Relations that fix the difference of two unknowns form a graph, and a graph's rank is that of its spanning forest
(D. Dori, 'Dimensioning analysis', Communications of the ACM, 1992): every further one closes a loop, and the loop is
the path between its ends. All unknowns of one tree move together, so they count as one in the second step, where what
is left (distances, angles, tangents) is reduced exactly over the rationals, block by block.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property
from typing import Any

from flint import fmpq, fmpq_mat, nmod, nmod_mat

from dimaudit.scheme.joined import sharing
from dimaudit.scheme.relation import ONE, Relation, Shape, Values
from dimaudit.scheme.slope import Row

MOST_ROWS = 400
"""Relations that are reduced together over the rationals at most; what a larger tangle of slanted lines fixes is not
judged."""

GROUND = -1
"""The node of the graph that stands still: a size that is fixed hangs on it."""


Number = Any
"""`fmpq` or `nmod`; both know + - * / among their own kind."""
Reducing = dict[int, Number]
"""A row while it is reduced: tree to coefficient."""


@dataclass(frozen=True, slots=True)
class Field:
    """The numbers that a system is reduced in."""

    of: Callable[[Fraction], Number]
    back: Callable[[Number], Fraction]
    matrix: Callable[[int, int], Any]


RATIONAL = Field(
    lambda value: fmpq(value.numerator, value.denominator),
    lambda number: Fraction(int(number.p), int(number.q)),
    fmpq_mat,
)
PRIME = 2**61 - 1
MODULAR = Field(
    lambda value: nmod(value.numerator, PRIME) / nmod(value.denominator, PRIME),
    lambda number: Fraction(int(number)),
    lambda rows, columns: nmod_mat(rows, columns, PRIME),
)
"""Whole numbers modulo a prime tell what is zero, and nothing else: the rationals of a second witness have thousands of
digits. A number that is not zero is taken for zero only where the prime divides it. Raises ZeroDivisionError where it
divides a denominator."""


@dataclass(frozen=True, slots=True)
class Surplus:
    """A relation that others fix already, and those others."""

    relation: int
    by: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Freedom:
    """A motion that no relation hinders: tree to how far it goes (only the ratios count)."""

    moves: dict[int, Fraction]


@dataclass(frozen=True, slots=True)
class Rank:
    """The outcome for one system."""

    unknowns: int
    rank: int
    surplus: tuple[Surplus, ...]
    trees: tuple[int, ...]
    """For each unknown the tree of differences that it belongs to; GROUND for what stands still."""
    motions: tuple[Freedom, ...]
    """A basis of the motions left, by trees."""
    unsure: tuple[int, ...]
    """Relations that the drawn values do not satisfy exactly: where they take part, a rank is not certain."""
    clouded: frozenset[int]
    """Trees that such a relation has a part in, or that are in too large a tangle: not judged."""
    doubtful: Mapping[int, int] = field(default_factory=dict)
    """Trees where the drawn values may be a special case, each with the number of its block: a second witness must
    confirm what moves."""


class _Forest:
    """Spanning forest of the difference graph, grown edge by edge; paths are found over the tree edges."""

    def __init__(self, count: int) -> None:
        self._parent = list(range(count + 1))
        self._count = count
        self.edges: dict[int, list[tuple[int, int]]] = defaultdict(list)

    def _node(self, i: int) -> int:
        return self._count if i == GROUND else i

    def find(self, i: int) -> int:
        i = self._node(i)
        root = i
        while self._parent[root] != root:
            root = self._parent[root]
        while self._parent[i] != root:
            self._parent[i], i = root, self._parent[i]
        return root

    def join(self, a: int, b: int, relation: int) -> bool:
        """Whether the relation joins two trees; else it closes a loop."""
        p, q = self.find(a), self.find(b)
        if p == q:
            return False
        self._parent[p] = q
        self.edges[a].append((b, relation))
        self.edges[b].append((a, relation))
        return True

    @cached_property
    def _above(self) -> dict[int, tuple[int, int, int]]:
        """For each node the next one towards the root of its tree, the relation that leads there, and its depth."""
        above: dict[int, tuple[int, int, int]] = {}
        for root in self.edges:
            if root in above:
                continue
            above[root] = (root, -1, 0)
            waiting = [root]
            while waiting:
                node = waiting.pop()
                depth = above[node][2] + 1
                for other, relation in self.edges[node]:
                    if other not in above:
                        above[other] = (node, relation, depth)
                        waiting.append(other)
        return above

    def path(self, a: int, b: int) -> tuple[int, ...]:
        """The relations on the way from a to b, once the forest is grown."""
        above = self._above
        out: list[int] = []
        back: list[int] = []
        while a != b:
            if above[a][2] >= above[b][2]:
                a, relation, _ = above[a]
                out.append(relation)
            else:
                b, relation, _ = above[b]
                back.append(relation)
        return (*out, *reversed(back))


def rank_of(
    count: int, relations: Sequence[Relation], values: Values, held: Sequence[int] = (), *, told: bool = True,
    over: Field = RATIONAL,
) -> Rank:  # fmt: skip
    """The rank of the relations over `count` unknowns at the drawn values.

    Relations are taken in their order: of those that close a loop the last is the surplus one. The unknowns in
    `held` stand still, with all that is tied to them; they take away the motions of the whole part, and add
    nothing to the rank. What surplus relations depend on is found only where it is to be `told`.
    """
    forest = _Forest(count)
    closing: list[int] = []
    rest: list[int] = []
    rank = 0
    for k, relation in enumerate(relations):
        if relation.shape is Shape.DIFFERENCE:
            a, b = relation.of
        elif relation.shape is Shape.SIZE:
            a, b = GROUND, relation.of[0]
        else:
            rest.append(k)
            continue
        if a != b and forest.join(a, b, k):
            rank += 1
        else:
            closing.append(k)
    ground = {forest.find(GROUND), *(forest.find(i) for i in held)}
    roots = [forest.find(i) for i in range(count)]
    trees = tuple(GROUND if root in ground else root for root in roots)
    rows = {k: _by_trees(relations[k].row(values), trees, over) for k in rest}
    unsure = tuple(k for k in rest if not relations[k].holds(values))
    motions: list[Reducing] = []
    touched: set[int] = set()
    clouded: set[int] = set()
    untrue = set(unsure)
    peeled = _Peeled(rows)
    rank += peeled.rank
    surplus = [Surplus(k, ()) for k in closing]
    surplus += [Surplus(k, by) for k, by in peeled.surplus.items()]
    for k in untrue - peeled.hanging.keys():
        clouded.update(rows[k])
    touched.update(peeled.pinned)
    touched.update(tree for tree, _ in peeled.hanging.values())
    for block in sharing(peeled.rows):  # rows that share no tree with others are solved by themselves
        columns = sorted({tree for k in block for tree in peeled.rows[k]})
        touched.update(columns)
        if not untrue.isdisjoint(block) or len(block) > MOST_ROWS:
            clouded.update(columns)
            continue
        own, extra, free = _reduced(block, peeled.rows, columns, over)
        rank += own
        surplus += extra
        motions += free
    for tree in sorted(set(trees) - {GROUND} - touched):
        motions.append({tree: over.of(ONE)})
    _hang(peeled.hanging, motions, clouded)
    surplus.sort(key=lambda s: s.relation)
    doubtful = _doubtful(rows, {s.relation for s in surplus}, {t for motion in motions for t in motion})
    if told:
        surplus = [Surplus(s.relation, _behind(s, relations, forest, peeled)) for s in surplus]
    freedoms = tuple(Freedom({tree: over.back(speed) for tree, speed in motion.items()}) for motion in motions)
    return Rank(count, rank, tuple(surplus), trees, freedoms, unsure, frozenset(clouded), doubtful)


def _hang(hanging: dict[int, tuple[int, Reducing]], motions: Sequence[Reducing], clouded: set[int]) -> None:
    """Takes the trees that hang on others by one relation along with them, the last one taken off first."""
    by_tree: dict[int, list[Reducing]] = defaultdict(list)
    for motion in motions:
        for tree in motion:
            by_tree[tree].append(motion)
    for tree, row in reversed(hanging.values()):
        others = [other for other in row if other != tree]
        if not clouded.isdisjoint(others):
            clouded.add(tree)
        for motion in {id(m): m for other in others for m in by_tree[other]}.values():
            moved = -sum(row[o] * motion[o] for o in others if o in motion) / row[tree]
            if moved != 0:
                motion[tree] = moved
                by_tree[tree].append(motion)


def _doubtful(rows: dict[int, Reducing], surplus: set[int], moving: set[int]) -> dict[int, int]:
    """Trees of blocks in which one relation is surplus while something moves, with the number of the block.

    There the drawn values may be a special case, as three points that happen to be in line; a rank that is full by
    rows or by columns can't be: it is as large at all other values but special ones.
    """
    found: dict[int, int] = {}
    for block in sharing({k: row for k, row in rows.items() if row}):
        trees = {tree for k in block for tree in rows[k]}
        if not surplus.isdisjoint(block) and not moving.isdisjoint(trees):
            found |= dict.fromkeys(trees, block[0])
    return found


def _behind(
    surplus: Surplus, relations: Sequence[Relation], forest: _Forest, peeled: "_Peeled"
) -> tuple[int, ...]:
    """All that a surplus relation depends on: what pins its trees, and what ties its unknowns together in each."""
    relation = relations[surplus.relation]
    if relation.shape is Shape.DIFFERENCE:
        a, b = relation.of
        return forest.path(a, b) if relation.given else ()  # what lines alone close is nobody's fault
    if relation.shape is Shape.SIZE:
        return forest.path(GROUND, relation.of[0])
    used = dict.fromkeys((surplus.relation, *surplus.by))
    waiting = list(used)
    first: dict[int, int] = {forest.find(GROUND): GROUND}
    while waiting:
        k = waiting.pop()
        for i in relations[k].of:
            start = first.setdefault(forest.find(i), i)
            used.update(dict.fromkeys(forest.path(start, i)))
        for tree in peeled.original.get(k, ()):
            for other in peeled.pinned.get(tree, ()):
                if other not in used:
                    used[other] = None
                    waiting.append(other)
    del used[surplus.relation]
    return tuple(used)


class _Peeled:
    """Trees that one or two relations pin by themselves, one after the other, and the rows that are left.

    A point located by two distances from points that stand still stands still itself (P. H. Todd, 'A k-tree
    generalization that characterizes consistency of dimensioned engineering drawings', SIAM J. Discrete Math. 2(2),
    1989: removing vertices of degree two). It keeps the blocks that need a full reduction small. A tree that only one
    relation knows hangs on the others by it: the relation is independent of all the rest, whatever its numbers are.
    """

    def __init__(self, rows: dict[int, Reducing]) -> None:
        self.original = rows
        self.rows = {k: dict(row) for k, row in rows.items()}
        self.pinned: dict[int, tuple[int, ...]] = {}
        self.surplus: dict[int, tuple[int, ...]] = {}
        self.hanging: dict[int, tuple[int, Reducing]] = {}
        """By relation: the tree that hangs by it, and its row when it was taken off."""
        self.rank = 0
        self._users: dict[int, set[int]] = defaultdict(set)
        for k, row in rows.items():
            for tree in row:
                self._users[tree].add(k)
        self._hang(self._users)
        self._pairs: dict[tuple[int, ...], int] = {}
        self._waiting = [k for k in reversed(self.rows) if len(self.rows[k]) <= 2]
        while self._waiting:
            self._look(self._waiting.pop())
        self._hang(self._users)

    def _hang(self, trees: Iterable[int]) -> None:
        waiting = [tree for tree in trees if len(self._users[tree]) == 1]
        while waiting:
            tree = waiting.pop()
            if len(self._users[tree]) != 1:
                continue
            (k,) = self._users[tree]
            row = self.rows[k]
            if len(row) == 1:
                continue  # it is pinned
            self.hanging[k] = (tree, self.rows.pop(k))
            self.rank += 1
            for other in row:
                self._users[other].discard(k)
                if len(self._users[other]) == 1:
                    waiting.append(other)

    def _look(self, k: int) -> None:
        row = self.rows.get(k)
        if row is None or len(row) > 2:
            return
        key = tuple(sorted(row))
        if not row:
            self._drop(k, ())
        elif len(row) == 1:
            self._pin(key, (k,))
        else:
            other = self._pairs.setdefault(key, k)
            partner = self.rows.get(other)
            if other == k or partner is None or tuple(sorted(partner)) != key:
                self._pairs[key] = k
                return
            a, b = key
            if row[a] * partner[b] == row[b] * partner[a]:
                self._drop(max(k, other), (min(k, other),))
                self._pairs[key] = min(k, other)
            else:
                self._pin(key, (other, k))

    def _drop(self, k: int, by: tuple[int, ...]) -> None:
        self.surplus[k] = by
        for tree in self.rows.pop(k):
            self._users[tree].discard(k)

    def _pin(self, trees: tuple[int, ...], by: tuple[int, ...]) -> None:
        self.rank += len(trees)
        for k in by:
            for tree in self.rows.pop(k):
                self._users[tree].discard(k)
        for tree in trees:
            self.pinned[tree] = by
            for k in sorted(self._users.pop(tree, ())):
                del self.rows[k][tree]
                if len(self.rows[k]) <= 2:
                    self._waiting.append(k)


def _by_trees(row: Row, trees: Sequence[int], over: Field) -> Reducing:
    found: Reducing = {}
    for i, value in row.items():
        if trees[i] != GROUND:
            number = over.of(value)
            found[trees[i]] = found[trees[i]] + number if trees[i] in found else number
    return {tree: value for tree, value in found.items() if value != 0}


def _reduced(
    block: Sequence[int], rows: dict[int, Reducing], columns: Sequence[int], over: Field
) -> tuple[int, list[Surplus], list[Reducing]]:
    """Rank of one block, its dependent rows with what they depend on, and a basis of its kernel."""
    place = {tree: j for j, tree in enumerate(columns)}
    across = over.matrix(len(columns), len(block))  # transposed: pivots are then the first independent rows
    for i, k in enumerate(block):
        for tree, value in rows[k].items():
            across[place[tree], i] = value
    reduced, rank = across.rref()
    pivots = _pivots(reduced, rank)
    surplus = []
    for i, k in enumerate(block):
        if i not in pivots:
            by = [block[p] for j, p in enumerate(pivots) if reduced[j, i] != 0]
            surplus.append(Surplus(k, tuple(by)))
    upright = over.matrix(rank, len(columns))
    for j, p in enumerate(pivots):
        for tree, value in rows[block[p]].items():
            upright[j, place[tree]] = value
    solved, _ = upright.rref()
    leading = _pivots(solved, rank)
    free = []
    for j, tree in enumerate(columns):
        if j in leading:
            continue
        moves = {tree: over.of(ONE)}
        for i, p in enumerate(leading):
            entry = solved[i, j]
            if entry != 0:
                moves[columns[p]] = -entry
        free.append(moves)
    return rank, surplus, free


def circuit(surplus: Surplus, relations: Sequence[Relation], values: Values) -> tuple[int, ...]:
    """The relations that a surplus one is a combination of: those of the ones it may depend on; of a large tangle
    modulo a prime."""
    if not surplus.by or relations[surplus.relation].shape is Shape.DIFFERENCE:
        return surplus.by
    own = [*surplus.by, surplus.relation]
    over = RATIONAL if len(own) <= MOST_ROWS else MODULAR
    reduced, rank = _across([relations[k] for k in own], values, over).rref()
    last = len(own) - 1
    pivots = _pivots(reduced, rank)
    return surplus.by if last in pivots else tuple(own[p] for j, p in enumerate(pivots) if reduced[j, last] != 0)


def independent(relations: Sequence[Relation], values: Values) -> int:
    """How many of a few relations are independent of one another at a second witness."""
    return int(_across(relations, values, MODULAR).rank())


def following(own: Sequence[int], relations: Sequence[Relation], values: Values) -> dict[int, dict[int, Fraction]]:
    """Each of the relations that follows from those before it, as a combination of the independent ones of them."""
    reduced, rank = _across([relations[k] for k in own], values, RATIONAL).rref()
    pivots = _pivots(reduced, rank)
    at = set(pivots)
    return {
        k: {
            own[p]: Fraction(int(reduced[j, i].p), int(reduced[j, i].q))
            for j, p in enumerate(pivots) if reduced[j, i] != 0
        }
        for i, k in enumerate(own) if i not in at
    }  # fmt: skip


def _across(relations: Sequence[Relation], values: Values, over: Field) -> Any:
    """Their Jacobian with a column for each relation."""
    rows = [relation.row(values) for relation in relations]
    place = {i: j for j, i in enumerate(sorted({i for row in rows for i in row}))}
    found = over.matrix(len(place), len(rows))
    for k, row in enumerate(rows):
        for i, value in row.items():
            found[place[i], k] = over.of(value)
    return found


def _pivots(reduced: Any, rank: int) -> list[int]:
    found = []
    column = 0
    for row in range(rank):
        while reduced[row, column] == 0:
            column += 1
        found.append(column)
        column += 1
    return found
