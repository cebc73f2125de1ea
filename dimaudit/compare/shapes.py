"""Which line, arc and circle of the old view is which of the new.

First what lies on itself. Of the rest, circles and arcs that share their centre, then those of one size, the nearest
first; lines that have most of their four coordinates in common, as an edge that moved square to itself keeps both ends
of its length, and one that was stretched keeps three; lines both of whose ends went where other lines' ends went. Where
that leaves a choice, the handle decides, unless most of what lies on itself has another one: a file numbered anew.
"""

from collections import Counter, defaultdict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations, product
from typing import TypeVar

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
        before = -1
        while before != len(search.changed):  # where only the nearest were offered, others come next
            before = len(search.changed)
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
        ours, theirs = self._spots(True), self._spots(False)
        centred, sized, called = (_by(theirs, key) for key in (_Spot.centred, _Spot.sized, _Spot.called))
        for one in ours:
            for other in centred.get(one.centred(), ()):
                yield (0, *self._unlike(one, other), abs(one.r - other.r)), one.index, other.index
            for other in called.get(one.called(), ()) if self.trusted else ():
                if one.shape.origin.role is other.shape.origin.role:
                    yield (2, _apart(one, other)), one.index, other.index
        for look, some in _by(ours, _Spot.sized).items():
            for one, other in _near_pairs(some, sized.get(look, [])):
                yield (1, *self._unlike(one, other), _apart(one, other)), one.index, other.index
        arcs = ([spot for spot in some if isinstance(spot.shape, Arc)] for some in (ours, theirs))
        for one, other in _near_pairs(*arcs):
            if one.shape.origin.role is other.shape.origin.role and _apart(one, other) <= one.r + other.r:
                yield (3, _apart(one, other)), one.index, other.index

    def _spots(self, old: bool) -> list["_Spot"]:
        """The circles and arcs that are left in one of the drawings, as they come to lie."""
        view, left = (self.couple.old, self.left) if old else (self.couple.new, self.right)
        found = []
        for k in sorted(left):
            shape = view.shapes[k]
            if isinstance(shape, (Arc, Circle)):
                centre = self.couple.laid.place(shape.centre) if old else shape.centre
                r = float(shape.radius) * (float(self.couple.laid.factor) if old else 1.0)
                names = self.common.point(shape.centre, old), self.common.radius(shape.radius, old)
                found.append(_Spot(k, shape, *names, float(centre[0]), float(centre[1]), r))
        return found

    def _unlike(self, one: "_Spot", other: "_Spot") -> tuple[bool, bool]:
        return one.shape.origin.role is not other.shape.origin.role, not self._one_handle(one.shape, other.shape)

    def lines(self) -> Iterator[Offer]:
        """Straight lines of one direction that keep two coordinates, or their length, or one and their handle."""
        by_trait: tuple[dict[Key, list[_Line]], dict[Key, list[_Line]]] = defaultdict(list), defaultdict(list)
        for old, found in zip((True, False), by_trait, strict=True):
            for line in self._lines(old):
                for trait in line.traits():
                    found[trait].append(line)
        offered: set[tuple[int, int]] = set()
        for trait, some in by_trait[0].items():
            for one, other in _near_pairs(some, by_trait[1].get(trait, [])):
                if (one.index, other.index) in offered:
                    continue
                offered.add((one.index, other.index))
                kept = sum(a == b for a, b in zip(one.way, other.way, strict=True))
                handle = self._one_handle(one.shape, other.shape)
                if kept >= 2 or (kept and handle) or one.length == other.length:
                    role = one.shape.origin.role is other.shape.origin.role
                    yield (-kept - 2 * handle - role, _apart(one, other)), one.index, other.index

    def _lines(self, old: bool) -> Iterator["_Line"]:
        """The straight lines that are left in one of the drawings, as they come to lie."""
        view, left = (self.couple.old, self.left) if old else (self.couple.new, self.right)
        k = self.couple.laid.factor if old else Fraction(1)
        for n in sorted(left):
            shape = view.shapes[n]
            if isinstance(shape, Segment):
                own, line = way(shape, self.common, old)
                dx, dy = vector(line, view)
                place = self.couple.laid.place(middle(line, view)) if old else middle(line, view)
                length = abs(dx) * k, abs(dy) * k, (dx > 0) == (dy > 0)
                yield _Line(n, shape, own, length, float(place[0]), float(place[1]))

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


@dataclass(frozen=True, slots=True)
class _Spot:
    """A circle or an arc that is looked for. Doubles: for putting in order only."""

    index: int
    shape: Arc | Circle
    centre: tuple[int, int]
    radius: int
    x: float
    y: float
    r: float

    def centred(self) -> Key:
        return type(self.shape), self.centre

    def sized(self) -> Key:
        return type(self.shape), self.radius

    def called(self) -> Key:
        return type(self.shape), self.shape.origin.handle


@dataclass(frozen=True, slots=True)
class _Line:
    """A straight line that is looked for. `x` and `y` are doubles: for putting in order only."""

    index: int
    shape: Segment
    way: Way
    length: tuple[Fraction, Fraction, bool]
    """Across and up, and whether it rises to the right."""
    x: float
    y: float

    def traits(self) -> Iterator[Key]:
        """By what another line can be this one: two of its coordinates, its length, its handle."""
        a, b, c, d = self.way
        direction = "upright" if a == c else "level" if b == d else "slanted"
        for m, n in combinations(range(4), 2):
            yield direction, m, n, self.way[m], self.way[n]
        yield direction, "length", self.length
        yield direction, "handle", self.shape.origin.handle


def _by(spots: Sequence[_Spot], key: Callable[[_Spot], Key]) -> dict[Key, list[_Spot]]:
    found: dict[Key, list[_Spot]] = defaultdict(list)
    for spot in spots:
        found[key(spot)].append(spot)
    return found


def _apart(one: _Spot | _Line, other: _Spot | _Line) -> float:
    return abs(one.x - other.x) + abs(one.y - other.y)


Near = TypeVar("Near", _Spot, _Line)
ALL_PAIRS = 40_000
"""Pairs that are all looked at; of more, only those with the nearest ones."""
NEAREST = 8


def _near_pairs(ours: Sequence[Near], theirs: Sequence[Near]) -> Iterator[tuple[Near, Near]]:
    """All pairs; where those are many, each with the few nearest of the other drawing."""
    if len(ours) * len(theirs) <= ALL_PAIRS:
        yield from product(ours, theirs)
        return
    xs, ys = [s.x for s in theirs], [s.y for s in theirs]
    side = max(max(xs) - min(xs), max(ys) - min(ys), 1e-9) / len(theirs) ** 0.5
    cells: dict[tuple[int, int], list[Near]] = defaultdict(list)
    for spot in theirs:
        cells[int(spot.x // side), int(spot.y // side)].append(spot)
    for one in ours:
        i, j = int(one.x // side), int(one.y // side)
        for reach in (1, 2, 4, 8):
            across = range(-reach, reach + 1)
            near = [s for di in across for dj in across for s in cells.get((i + di, j + dj), ())]
            if len(near) >= NEAREST:
                break
        yield from ((one, other) for other in sorted(near, key=lambda s: (_apart(one, s), s.index))[:NEAREST])


def way(line: Segment, common: Shared, old: bool) -> tuple[Way, Segment]:
    """A line from its left end, or its lower one where it is upright: the names of its coordinates, and the line so."""
    (ax, ay), (bx, by) = common.point(line.a, old), common.point(line.b, old)
    turned = line.a[1] > line.b[1] if ax == bx else line.a[0] > line.b[0]
    if turned:
        return (bx, by, ax, ay), Segment(line.origin, line.b, line.a)
    return (ax, ay, bx, by), line


def vector(line: Segment, view: View) -> Point:
    """From end to end, in the view's own recovered numbers."""
    a, b = view.place(line.a), view.place(line.b)
    return b[0] - a[0], b[1] - a[1]
