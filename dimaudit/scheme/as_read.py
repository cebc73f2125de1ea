"""The as-read part: the scheme solved with the stated numbers in place of the drawn ones.

What is taken as implied stays as it is drawn (level, in line, equal, symmetric, projected), what is given takes its
stated number, what is free stays where it is. Straight differences and what is linear in them come out exactly; slanted
distances, angles and points on circles as an enclosure with a proof, or not at all ('not judged').
"""

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property
from typing import TypeAlias

from dimaudit.exact.real import Real, Root, angle_between, middle
from dimaudit.model.as_read import STILL, AsRead, Broken, Choice, Conflict, Landing, Leg, Span
from dimaudit.model.drawing import Point
from dimaudit.model.scheme import Implied, Place
from dimaudit.scheme.analyse import Built, scheme_of
from dimaudit.scheme.blocks import Block, Setting, plan, shifts
from dimaudit.scheme.chains import Chains, Edge, Tangle
from dimaudit.scheme.equations import Aim, Number, Sloped, ball, drawn_aim, residual
from dimaudit.scheme.joined import Joined
from dimaudit.scheme.knots import STRAIGHT, Knot, holding, knots_of
from dimaudit.scheme.newton import cosine_and_sine, ends, nearest, precisely
from dimaudit.scheme.rank import Rank, rank_of
from dimaudit.scheme.redrawn import redrawn
from dimaudit.scheme.relation import Relation, Shape

BASELINE = 3
"""A level that at least so many dimensions start from is what the part is set up from (common practice, no source)."""
HIDDEN = "it hangs on conflicts with too many ways out, or with ways that are not judged"
MET = Fraction(1, 10**6)
"""A relation that is missed by no more, in drawn units, is met: recovered coordinates are not better (`Settings`)."""
SAME_TURN = Fraction(1, 10**9)
"""Degrees by which two ways to measure one angle may differ."""


EQUAL_TURN = Fraction(1, 10**14)
"""Degrees by which an enclosed angle may miss the stated one and be taken for it."""


@dataclass(frozen=True, slots=True)
class Said:
    """What one dimension says. True sizes, or degrees."""

    stated: Fraction | None
    """None where the drawn value is to be kept."""
    measured: Real | None
    """The drawn value, at true size."""
    drawn: Real | None
    """The same in drawn units."""
    limits: Span | None = None
    """The tolerance in force as distances from the stated number."""
    kept: str = ""
    """Why the drawn value is kept."""
    neglected: bool = False
    """Not trusted: it gives way to all the others."""


Off: TypeAlias = Span | None
"""Of one node: how far off it lands; None where that is not judged."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """One way to read the part."""

    off: list[Off]
    """By node."""
    unmet: tuple[int, ...]
    """Relations that others fix otherwise."""
    exact: list[Number | None]
    """By node, as it came out."""


def as_read(built: Built, said: Mapping[str, Said], scales: Mapping[int, Fraction]) -> AsRead:
    """The as-read part; `scales` gives true size over drawn size by the identity of the view."""
    with precisely():
        return _Part(built, said, scales).read()


class _Part:
    def __init__(self, built: Built, said: Mapping[str, Said], scales: Mapping[int, Fraction]) -> None:
        self.built, self.said, self.scales = built, said, scales
        self.relations, self.values = built.relations, built.values
        self.kept: dict[str, str] = dict(built.system.left_out)
        self.node, self.nodes = _nodes(self.relations, len(self.values))
        self.ground = self.nodes - 1
        edges, aims = [], []
        for k, relation in enumerate(self.relations):
            aims.append(self._aim(relation))
            if relation.given and relation.shape in (Shape.DIFFERENCE, Shape.SIZE):
                a, b = relation.of if relation.shape is Shape.DIFFERENCE else (None, relation.of[0])
                start = self.ground if a is None else self.node[a]
                drawn = self.values[b] - (self.values[a] if a is not None else 0)
                if start != self.node[b]:
                    edges.append(Edge(k, start, self.node[b], aims[k][0] - drawn))
        edges = _without_neglected(edges, {k for k, r in enumerate(self.relations) if _neglected(said, r)}, self.nodes)
        self.members: dict[int, list[int]] = defaultdict(list)
        for i, node in enumerate(self.node):
            self.members[node].append(i)
        self.origins = self._origins(edges)
        low = sorted(self.members, key=lambda n: min(self.values[i] for i in self.members[n]))
        self.chains = Chains(self.nodes, edges, (*self.origins, self.ground, *low))
        self.still = {*self.origins, self.ground}
        rank = rank_of(len(self.values), self.relations, self.values, built.held)
        self.setting = Setting(self.relations, aims, self.values, self.node, frozenset(rank.unsure))
        self.rank = rank
        self.forest = self.chains.forest()
        self.second, self.spare = _second(self.relations, rank)
        self.failed: dict[int, str] = {}
        self._legs_made: dict[tuple[int, Fraction, Fraction], Leg] = {}
        self.blocks = plan(self.setting, self.second, self.forest.root, self.still)
        self.out: frozenset[int] = frozenset()
        self.knots = self._untied()

    # What is said

    def _aim(self, relation: Relation) -> Aim:
        drawn = drawn_aim(relation, self.values)
        if not relation.given:
            return drawn
        stated = self._stated(relation, drawn)
        if isinstance(stated, str):
            self.kept.setdefault(relation.given, stated)
            return drawn
        return stated

    def _stated(self, relation: Relation, drawn: Aim) -> Aim | str:
        said = self.said.get(relation.given)
        if said is None:
            return "a note gives this size: kept as drawn"
        if said.stated is None or said.measured is None or said.drawn is None:
            return said.kept or "it states no number: kept as drawn"
        if relation.shape is Shape.ANGLE:
            return _angle(drawn, said.stated, said.measured)
        square = _square(said.measured)
        if not square:
            return "what is drawn there is no distance between two places: kept as drawn"
        if relation.shape in (Shape.DISTANCE, Shape.FROM_LINE):
            if _square(said.drawn) != drawn[0]:
                return "it measures something else than what it ties: kept as drawn"
            return (drawn[0] * said.stated**2 / square,)
        sizes = {abs(drawn[0]), 2 * abs(drawn[0])} if relation.shape is Shape.SIZE else {abs(drawn[0])}
        if said.drawn not in sizes or not isinstance(said.measured, Fraction):
            return "it measures something else than what it ties: kept as drawn"
        return (drawn[0] * said.stated / said.measured,)

    def _origins(self, edges: Sequence[Edge]) -> dict[int, Place]:
        """In each tree that stands still, the level that it is set up from."""
        root = Chains(self.nodes, edges, (self.ground,)).forest().root
        uses = Counter(n for e in edges for n in (e.a, e.b))
        found: dict[int, Place] = {}
        for i in self.built.held:
            own = [n for n in self.members if root[n] == root[self.node[i]]]
            axis = self.built.places[i].axis
            levels = {n: min(self.members[n], key=lambda j: (self.built.places[j].helper, j)) for n in own}
            busy = sorted(own, key=lambda n: -uses[n])
            first = min(own, key=lambda n: (self.built.places[levels[n]].helper, self.values[levels[n]]))
            if uses[busy[0]] >= BASELINE and (len(busy) == 1 or uses[busy[1]] < uses[busy[0]]):
                first = busy[0]
            found[first] = replace(self.built.places[levels[first]], axis=axis)
        return found

    # Solving

    def _untied(self) -> tuple[Knot, ...]:
        """Takes the last dimensions out of the knots that the stated numbers break."""
        naive = self.outcome()
        unsure = {k for k in self.spare if not self._judged(k, naive.exact)} | set(naive.unmet)
        straight = {e.relation for t in self.chains.tangles(self.forest) for e in t.edges}
        distrusted = {k for k, r in enumerate(self.relations) if _neglected(self.said, r)}
        knots = knots_of(
            self.rank, self.relations, self.values, self.built.firm, distrusted,
            lambda within: not (unsure.isdisjoint(within) and straight.isdisjoint(within)),
        )  # fmt: skip
        self.out = knots.yielding.union(*(knot.dropped for knot in knots.found))
        if self.out:
            self.forest = self.chains.forest(self.out)
            for within in knots.touched:
                self.second = self._second_without(within, self.out)
            known = set(self.second)
            self.spare = [
                k for k, r in enumerate(self.relations) if r.shape not in STRAIGHT and k not in known
                and not (r.given and k in self.out)
            ]  # fmt: skip
            self.blocks = plan(self.setting, self.second, self.forest.root, self.still)
        return knots.found

    def _second_without(self, within: AbstractSet[int], out: AbstractSet[int]) -> list[int]:
        others = [k for k in self.second if k not in within]
        return sorted([*others, *holding(within, out, self.relations, self.values)])

    def outcome(self, without: AbstractSet[int] = frozenset(), knot: Knot | None = None) -> Outcome:
        """Where all lands when the relations in `without` are not trusted; those that a `knot` leaves out are then."""
        forest, blocks = self.forest, self.blocks
        if without:
            out = self.out | without if knot is None else (self.out - knot.dropped) | without
            forest = self.chains.forest(out)
            if knot is not None:
                blocks = plan(self.setting, self._second_without(knot.within, out), forest.root, self.still)
        moved = shifts(self.setting, blocks, forest.root, forest.off)
        off: list[Off] = []
        exact: list[Number | None] = []
        for node in range(self.nodes):
            tree = forest.root[node]
            shift = moved.found.get(tree, Fraction(0))
            value = forest.off[node] + shift if isinstance(shift, Fraction) else ball(forest.off[node]) + shift
            exact.append(None if tree in moved.failed else value)
            off.append(None if tree in moved.failed else ends(value))
        if not without:
            self.failed = moved.failed
        unmet = tuple(k for k in self.spare if not self._met(k, exact))
        return Outcome(off, unmet, exact)

    def _judged(self, k: int, off: Sequence[Number | None]) -> bool:
        """Whether all that the relation ties lands where it is known."""
        return all(off[self.node[i]] is not None for i in self.relations[k].of)

    def _met(self, k: int, off: Sequence[Number | None]) -> bool:
        relation = self.relations[k]
        moves = [off[self.node[i]] for i in relation.of]
        if any(m is None for m in moves):
            return True  # not judged is not unmet
        if all(isinstance(m, Fraction) and m == moves[0] == 0 for m in moves) and not relation.given:
            return True
        v = [
            Sloped(ball(self.values[i]) + ball(m), {j: ball(Fraction(1))})
            for j, (i, m) in enumerate(zip(relation.of, moves, strict=True))
        ]
        at = residual(relation, tuple(map(ball, self.setting.aims[k])), v)
        steep = max((abs(nearest(s)) for s in at.by.values()), default=Fraction(0))
        low, high = ends(at.value)
        return low <= 0 <= high or min(abs(low), abs(high)) <= MET * steep

    # The report

    def read(self) -> AsRead:
        first = self.outcome()
        unused = tuple(e for e in self.forest.unused if e.relation not in self.out)
        tangles = self.chains.tangles(replace(self.forest, unused=unused))
        trials = [(t, [(w, self.outcome(w)) for w in t.ways]) for t in tangles if t.ways]
        wide = [t for t in tangles if not t.ways]
        tied = [k for k in self.knots if not all(self._met(r, first.exact) for r in k.dropped)]
        crossed = [(k, self._ways_out(k, first)) for k in tied]
        unsure = [k for k in self.knots if not all(self._judged(r, first.exact) for r in k.dropped)]
        hidden = self._hidden([k for k in tied if not k.ways] + unsure)
        ways_out = [outcomes for _, outcomes in trials] + [outcomes for _, outcomes in crossed]
        nodes = [n for n in self.members if any(not self.built.places[i].helper for i in self.members[n])]
        straight = len(trials)
        landings = {n: self._landing(n, first, ways_out, straight, wide, n in hidden) for n in nodes}
        order = sorted(nodes, key=lambda n: (-landings[n].size * landings[n].scale, landings[n].axis, n))
        index = {n: i for i, n in enumerate(order)}
        conflicts = [
            *(self._conflict([e.relation for e in t.edges], outs, first, index, t) for t, outs in trials),
            *(self._conflict([e.relation for e in t.edges], [], first, index, t) for t in wide),
            *(self._conflict(knot.members, outs, first, index, None) for knot, outs in crossed),
        ]
        broken = tuple(
            Broken(Implied[self.relations[k].says], tuple(self.built.places[i] for i in self.relations[k].of))
            for k in first.unmet if not self.relations[k].given
        )  # fmt: skip
        middles = [_middle(first.off[node]) for node in self.node]
        values = [v + m for v, m in zip(self.values, middles, strict=True)]
        return AsRead(
            tuple(landings[n] for n in order), tuple(conflicts), broken, tuple(self.kept.items()),
            redrawn(self.built, values), redrawn(self.built, self.values), tuple(self.origins.values()),
        )  # fmt: skip

    def _ways_out(self, knot: Knot, first: Outcome) -> list[tuple[AbstractSet[int], Outcome]]:
        """Each way out of a knot with where it leads, by what is then not met."""
        found: dict[frozenset[int], Outcome] = {}
        for way in knot.ways:
            outcome = first if way == knot.dropped else self.outcome(way, knot)
            unmet = frozenset(k for k in way if not (self._judged(k, outcome.exact) and self._met(k, outcome.exact)))
            found.setdefault(unmet, outcome)
        return list(found.items())

    def _hidden(self, knots: Sequence[Knot]) -> set[int]:
        """The nodes that could land elsewhere by ways out that are not looked at."""
        if not knots:
            return set()
        out = self.out.union(*(knot.members for knot in knots))
        rest = [r for k, r in enumerate(self.relations) if k not in out]
        still = [self.members[node][0] for node in self.origins]
        rank = rank_of(len(self.values), rest, self.values, still, told=False)
        loose = {tree for motion in rank.motions for tree in motion.moves} | rank.clouded
        return {self.node[i] for i, tree in enumerate(rank.trees) if tree in loose}

    def _conflict(
        self, members: Sequence[int], outcomes: Sequence[tuple[AbstractSet[int], Outcome]], first: Outcome,
        index: Mapping[int, int], tangle: Tangle | None,
    ) -> Conflict:  # fmt: skip
        choices = tuple(
            Choice(
                tuple(dict.fromkeys(self.relations[k].given for k in sorted(way))),
                tuple((index[n], o.off[n]) for n in index if o.off[n] != first.off[n]),
            )
            for way, o in outcomes
        )
        error = tangle.errors[0] if tangle is not None and len(tangle.errors) == 1 else None
        handles = tuple(dict.fromkeys(self.relations[k].given for k in members))
        return Conflict(handles, choices, error, tangle.count if tangle is not None else len(choices) or None)

    def _landing(
        self, node: int, first: Outcome, ways_out: Sequence[Sequence[tuple[AbstractSet[int], Outcome]]], straight: int,
        wide: Sequence[Tangle], hidden: bool,
    ) -> Landing:  # fmt: skip
        places = tuple(self.built.places[i] for i in self.members[node] if not self.built.places[i].helper)
        scale = self.scales.get(id(places[0].view), Fraction(1))
        off, tree = first.off[node], self.forest.root[node]
        why = self.failed.get(tree, "")
        spread = HIDDEN if hidden else self._range(node, first, ways_out, straight, wide)
        least, greatest, bound = (None, None, False) if isinstance(spread, str) else spread
        origin, legs = self._legs(node, scale)
        several = off not in (STILL, None) and self.rank.trees[self.members[node][0]] in self._moving
        return Landing(
            places, places[0].axis, off, why, least, greatest, bound, self._is_free(places), several,
            spread if isinstance(spread, str) else "", origin, legs, scale,
        )  # fmt: skip

    def _range(
        self, node: int, first: Outcome, ways_out: Sequence[Sequence[tuple[AbstractSet[int], Outcome]]], straight: int,
        wide: Sequence[Tangle],
    ) -> tuple[Fraction, Fraction, bool] | str:  # fmt: skip
        """What independent conflicts do to a place adds up where it is exact; where it is not, one can be judged.

        The least, the greatest, and whether they are only a bound; or why they are not judged.
        """
        off = first.off[node]
        if off is None:
            return "where it lands is not judged"
        least, greatest, bound, touched = off[0], off[1], False, 0
        for at, outcomes in enumerate(ways_out):
            others = [o.off[node] for _, o in outcomes]
            if all(o == off for o in others):
                continue
            touched += 1
            known = [o for o in others if o is not None]
            exact = off[0] == off[1] and all(o[0] == o[1] for o in known) and at < straight
            if len(known) < len(others):
                return "by one of the ways out it is not judged where it lands"
            if touched > 1 and not exact:
                return "several conflicts meet there in a slanted length, an arc or what 'nX' counts, and do not add up"
            least += min(o[0] for o in known) - off[0]
            greatest += max(o[1] for o in known) - off[1]
        for tangle in wide:
            if self.forest.root[node] not in self.still:
                return "it hangs on several others, and how far these can be off is known for each alone"
            spread = tangle.spread(self.forest, node)
            if spread is not None:
                least, greatest, bound = least + spread[0], greatest + spread[1], bound or spread[2]
        return least, greatest, bound

    @cached_property
    def _moving(self) -> set[int]:
        """Trees that something is still free to move, at the drawn places at least."""
        return {tree for motion in self.rank.motions for tree in motion.moves}

    def _is_free(self, places: Sequence[Place]) -> bool:
        return any((id(p.view), p.at, p.axis, p.value) in self._free for p in places)

    @cached_property
    def _free(self) -> set[tuple[int, Point, int, Fraction]]:
        return {(id(p.view), p.at, p.axis, p.value) for f in scheme_of(self.built).free for p in f.places}

    def _legs(self, node: int, scale: Fraction) -> tuple[Place | None, tuple[Leg, ...] | None]:
        """The way from the origin as a sum of dimensions, where it is one."""
        form = self._form(node)
        if form is None:
            return None, None
        made = self._legs_made
        legs = []
        for k, share in form.items():
            if share:
                key = (k, share, scale)
                if key not in made:
                    made[key] = self._leg(k, share, scale)
                legs.append(made[key])
        tree = self.forest.root[node]
        return self.origins.get(tree), tuple(legs)

    def _form(self, node: int) -> dict[int, Fraction] | None:
        """How often each dimension counts for where a node lands; None where it is no plain sum."""
        forms = self._tree_forms
        tree = self.forest.root[node]
        if tree in forms:
            start = forms[tree]
        elif tree in self.still:
            start = {}
        else:
            return None
        return _plus(start, self._way(node), Fraction(1)) if start else self._way(node)

    def _way(self, node: int) -> dict[int, Fraction]:
        return {e.relation: Fraction(way) for e, way in reversed(list(self.forest.way(node)))}

    @cached_property
    def _tree_forms(self) -> dict[int, dict[int, Fraction]]:
        """The same for the shifts of trees that a single linear relation gives: halves, patterns, fillets."""
        found: dict[int, dict[int, Fraction]] = {}
        for block in self.blocks:
            form = self._block_form(block, found)
            if form is not None:
                found[block.trees[0]] = form
        return found

    def _block_form(self, block: Block, known: Mapping[int, dict[int, Fraction]]) -> dict[int, Fraction] | None:
        linear = self.setting.linear(block.relations[0]) if len(block.trees) == 1 else None
        if linear is None or linear[1] or self.relations[block.relations[0]].given:
            return None
        (own,) = block.trees
        slope = sum((c for i, c in linear[0].items() if self.forest.root[self.node[i]] == own), Fraction(0))
        form: dict[int, Fraction] = {}
        for i, c in linear[0].items():
            node = self.node[i]
            tree = self.forest.root[node]
            if tree != own and tree not in self.still:
                if tree not in known:
                    return None
                form = _plus(form, known[tree], -c / slope)
            form = _plus(form, self._way(node), -c / slope)
        return form

    def _leg(self, k: int, share: Fraction, scale: Fraction) -> Leg:
        relation = self.relations[k]
        a, b = relation.of if relation.shape is Shape.DIFFERENCE else (None, relation.of[0])
        gap = self.values[b] - (self.values[a] if a is not None else 0)
        said = self.said.get(relation.given)
        if gap < 0:
            share = -share
        if said is None or said.stated is None or not isinstance(said.measured, Fraction) or not said.measured:
            return Leg(relation.given, share, abs(gap) * scale, abs(gap) * scale, None)
        return Leg(relation.given, share * scale * abs(gap) / said.measured, said.stated, said.measured, said.limits)


def _plus(a: Mapping[int, Fraction], b: Mapping[int, Fraction], times: Fraction) -> dict[int, Fraction]:
    total = dict(a)
    for k, share in b.items():
        total[k] = total.get(k, Fraction(0)) + share * times
    return total


def _nodes(relations: Sequence[Relation], count: int) -> tuple[list[int], int]:
    """What is taken as implied to be level, in line or equal is one node; the last node is the ground of all sizes."""
    level = Joined((r.of[0], r.of[1]) for r in relations if r.shape is Shape.DIFFERENCE and not r.given)
    number: dict[int, int] = {}
    nodes = [number.setdefault(level.of(i), len(number)) for i in range(count)]
    return nodes, len(number) + 1


def _neglected(said: Mapping[str, Said], relation: Relation) -> bool:
    return relation.given in said and said[relation.given].neglected


def _without_neglected(edges: Sequence[Edge], neglected: AbstractSet[int], nodes: int) -> list[Edge]:
    """The edges that are trusted, and of the others those that nothing else stands in for."""
    trusted = [e for e in edges if e.relation not in neglected]
    rest = [e for e in edges if e.relation in neglected]
    closing = {e.relation for e in Chains(nodes, [*trusted, *rest], ()).forest().unused}
    return [e for e in edges if e.relation not in closing or e.relation not in neglected]


def _second(relations: Sequence[Relation], rank: Rank) -> tuple[list[int], list[int]]:
    """Relations that are no straight differences: those that fix something, and those that others fix already."""
    extra = {s.relation for s in rank.surplus}
    own = [k for k, r in enumerate(relations) if r.shape not in STRAIGHT]
    return [k for k in own if k not in extra], [k for k in own if k in extra]


def _middle(off: Off) -> Fraction:
    low, high = off or STILL
    return (low + high) / 2


def _square(value: Real) -> Fraction | None:
    match value:
        case Fraction():
            return value * value
        case Root(square):
            return square
        case _:
            return None


def _angle(drawn: Aim, stated: Fraction, measured: Real) -> Aim | str:
    """Lines have no sense of direction, so the angle counts up to half turns: as drawn, or its mirror image."""
    number = middle(measured)
    if abs(number - stated) <= EQUAL_TURN:
        return drawn
    between = middle(angle_between(Fraction(1), Fraction(0), drawn[0], drawn[1]))
    along, against = (abs((number - sign * between + 90) % 180 - 90) <= SAME_TURN for sign in (1, -1))
    if along == against:
        return "the two lines are square, so it does not show which way they are to lean: kept as drawn" if along else (
            "it measures something else than its two lines: kept as drawn"
        )
    return cosine_and_sine(stated if along else -stated)
