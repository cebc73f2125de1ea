"""Which line, arc and circle of the old view is which of the new.

First what lies on itself. Of the rest, circles and arcs that share their centre, then those of one size, the nearest
first; lines that have most of their four coordinates in common, as an edge that moved square to itself keeps both ends
of its length, and one that was stretched keeps three; lines both of whose ends went where other lines' ends went. Where
that leaves a choice, the handle decides, unless most of what lies on itself has another one: a file numbered anew.
"""

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations, product

from dimaudit.compare.laid import middle
from dimaudit.compare.shared import Key, Shared
from dimaudit.compare.views import Couple
from dimaudit.model.drawing import Arc, Circle, Point, Segment, Shape
from dimaudit.model.view import View

Way = tuple[int, int, int, int]
"""The names of the coordinates of a line: x and y of its lower or left end, then of the other."""


@dataclass(frozen=True, slots=True)
class Paired:
    """The shapes of a couple of views."""

    same: tuple[tuple[Shape, Shape], ...]
    changed: tuple[tuple[Shape, Shape], ...]
    gone: tuple[Shape, ...]
    come: tuple[Shape, ...]

    @property
    def pairs(self) -> tuple[tuple[Shape, Shape], ...]:
        return (*self.same, *self.changed)


def pair_up(couple: Couple, common: Shared) -> Paired:
    """Every shape of both views, once."""
    olds, news = couple.old.shapes, couple.new.shapes
    same = list(_alike([common.key(s, True) for s in olds], [common.key(s, False) for s in news], olds, news))
    left = set(range(len(olds))) - {i for i, _ in same}
    right = set(range(len(news))) - {j for _, j in same}
    kept = sum(olds[i].origin.handle == news[j].origin.handle for i, j in same)
    search = _Search(couple, common, left, right, [], 2 * kept >= len(same))
    for offers in (search.rounds, search.lines, search.carried):
        for _, i, j in sorted(offers()):
            if i in left and j in right:
                left.discard(i)
                right.discard(j)
                search.changed.append((i, j))
    changed = sorted(search.changed, key=_second)
    return Paired(
        tuple((olds[i], news[j]) for i, j in same), tuple((olds[i], news[j]) for i, j in changed),
        tuple(olds[i] for i in sorted(left)), tuple(news[j] for j in sorted(right)),
    )  # fmt: skip


def _second(pair: tuple[int, int]) -> int:
    return pair[1]


def _alike(
    ours: Sequence[Key], theirs: Sequence[Key], olds: Sequence[Shape], news: Sequence[Shape]
) -> Iterator[tuple[int, int]]:
    """Pairs of one key; of several that lie upon one another, those of one handle."""
    by_key: dict[Key, list[int]] = defaultdict(list)
    for j, key in enumerate(theirs):
        by_key[key].append(j)
    for i, key in enumerate(ours):
        there = by_key.get(key)
        if there:
            j = next((j for j in there if news[j].origin.handle == olds[i].origin.handle), there[0])
            there.remove(j)
            yield i, j


Offer = tuple[tuple[float, ...], int, int]
"""How bad a pair is (the least is taken first), and the pair."""


@dataclass(frozen=True, slots=True)
class _Search:
    """What is left to be paired, and what was paired."""

    couple: Couple
    common: Shared
    left: set[int]
    right: set[int]
    changed: list[tuple[int, int]]
    trusted: bool
    """Whether handles tell anything."""

    def _one_handle(self, one: Shape, other: Shape) -> bool:
        return self.trusted and one.origin.handle == other.origin.handle

    def rounds(self) -> Iterator[Offer]:
        """Circles and arcs: on one centre; of one size; of one handle; arcs whose circles touch."""
        couple, common = self.couple, self.common
        olds, news = couple.old.shapes, couple.new.shapes
        for i in self.left:
            one = olds[i]
            if not isinstance(one, (Arc, Circle)):
                continue
            for j in self.right:
                other = news[j]
                if type(other) is not type(one):
                    continue
                assert isinstance(other, (Arc, Circle))
                far = _far(couple, one, other)
                handle = not self._one_handle(one, other)
                role = one.origin.role is not other.origin.role
                concentric = common.point(one.centre, True) == common.point(other.centre, False)
                sized = common.radius(one.radius, True) == common.radius(other.radius, False)
                if concentric:
                    yield (0, role, handle, _grown(couple, one, other)), i, j
                elif sized:
                    yield (1, role, handle, far), i, j
                elif not handle and not role:
                    yield (2, far), i, j
                elif isinstance(one, Arc) and not role and far <= float(one.radius * couple.laid.factor + other.radius):
                    yield (3, far), i, j

    def lines(self) -> Iterator[Offer]:
        """Straight lines of one direction that keep two coordinates, or their length, or their handle."""
        couple, common = self.couple, self.common
        olds, news = couple.old.shapes, couple.new.shapes
        theirs: dict[Key, list[int]] = defaultdict(list)
        ways: dict[int, tuple[Way, Segment]] = {}
        for j in self.right:
            shape = news[j]
            if isinstance(shape, Segment):
                ways[j] = way(shape, common, False)
                for trait in _traits(shape, ways[j][0], couple.new, Fraction(1)):
                    theirs[trait].append(j)
        for i in self.left:
            shape = olds[i]
            if not isinstance(shape, Segment):
                continue
            own, _ = way(shape, common, True)
            for j in {j for t in _traits(shape, own, couple.old, couple.laid.factor) for j in theirs.get(t, ())}:
                other, drawn = ways[j]
                kept = sum(a == b for a, b in zip(own, other, strict=True))
                handle = self._one_handle(shape, drawn)
                role = shape.origin.role is drawn.origin.role
                if kept < 2 and not (kept and handle) and not _as_long(couple, shape, drawn):
                    continue
                yield (-kept - 2 * handle - role, _far(couple, shape, drawn)), i, j

    def carried(self) -> Iterator[Offer]:
        """Lines whose every coordinate went where it went for lines that are known already."""
        couple, common = self.couple, self.common
        olds, news = couple.old.shapes, couple.new.shapes
        went: tuple[dict[int, Counter[int]], dict[int, Counter[int]]] = defaultdict(Counter), defaultdict(Counter)
        for i, j in self.changed:
            one, other = olds[i], news[j]
            if isinstance(one, Segment) and isinstance(other, Segment):
                for k, (a, b) in enumerate(zip(way(one, common, True)[0], way(other, common, False)[0], strict=True)):
                    went[k % 2][a][b] += 1
        theirs: dict[tuple[int, ...], list[int]] = defaultdict(list)
        for j in self.right:
            shape = news[j]
            if isinstance(shape, Segment):
                theirs[way(shape, common, False)[0]].append(j)
        for i in self.left:
            shape = olds[i]
            if isinstance(shape, Segment):
                own = way(shape, common, True)[0]
                for there in product(*(went[k % 2].get(a, {a: 1}) for k, a in enumerate(own))):
                    for j in theirs.get(there, ()):
                        yield (not self._one_handle(shape, news[j]), _far(couple, shape, news[j])), i, j


def _far(couple: Couple, one: Shape, other: Shape) -> float:
    (ax, ay), (bx, by) = couple.laid.place(middle(one, couple.old)), middle(other, couple.new)
    return float(abs(bx - ax) + abs(by - ay))


def _grown(couple: Couple, one: Arc | Circle, other: Arc | Circle) -> float:
    return abs(float(other.radius) - float(one.radius) * float(couple.laid.factor))


def _as_long(couple: Couple, one: Segment, other: Segment) -> bool:
    k = couple.laid.factor
    (ax, ay), (bx, by) = vector(one, couple.old), vector(other, couple.new)
    return (abs(ax) * k, abs(ay) * k) == (abs(bx), abs(by))


def way(line: Segment, common: Shared, old: bool) -> tuple[Way, Segment]:
    """A line from its left end, or its lower one where it is upright: the names of its coordinates, and the line so."""
    (ax, ay), (bx, by) = common.point(line.a, old), common.point(line.b, old)
    turned = line.a[1] > line.b[1] if ax == bx else line.a[0] > line.b[0]
    if turned:
        return (bx, by, ax, ay), Segment(line.origin, line.b, line.a)
    return (ax, ay, bx, by), line


def _traits(line: Segment, own: Way, view: View, factor: Fraction) -> Iterator[Key]:
    direction = "upright" if own[0] == own[2] else "level" if own[1] == own[3] else "slanted"
    for a, b in combinations(range(4), 2):
        yield direction, a, b, own[a], own[b]
    dx, dy = vector(line, view)
    yield direction, "length", abs(dx) * factor, abs(dy) * factor, (dx > 0) == (dy > 0)
    yield direction, "handle", line.origin.handle


def vector(line: Segment, view: View) -> Point:
    """From end to end, in the view's own recovered numbers."""
    a, b = view.place(line.a), view.place(line.b)
    return b[0] - a[0], b[1] - a[1]
