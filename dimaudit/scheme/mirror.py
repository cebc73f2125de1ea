"""Drawn centrelines, and which features of a view are drawn alike on both sides of each.

A line that only marks the centre of a hole says nothing of what stands beside the hole, and a pair stands about a
centreline only where the line runs past it: a feature is never held by a symmetry that no one drew.
"""

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from math import hypot

from dimaudit.model.drawing import Arc, Circle, Mark, Point, Segment, Shape
from dimaudit.model.view import View

MARK = 3
"""A line through a circle's centre marks that circle where it reaches no further than so many radii (common practice,
no source), unless it runs past all of the part."""
SHORT = Fraction(1, 8)
"""Of its length by which a centreline may end short of what it is the middle of (common practice, no source)."""
GAP = Fraction(1, 4)
"""Of the longer of two pieces of one line that may lie between them: the gaps of a chain line (ISO 128-2, from
memory) drawn as pieces."""

Round = tuple[Point, Fraction]
"""Centre and radius."""
Spot = tuple[float, float]
"""A place in doubles, for searching only."""


@dataclass(slots=True)
class Mirror:
    """One drawn centreline with what is drawn alike about it; all places are recovered."""

    a: Point
    b: Point
    pairs: list[tuple[Point, Point]] = field(default_factory=list)
    """Corners, ends and centres that mirror one another."""
    rounds: list[tuple[Round, Round]] = field(default_factory=list)
    """Circles and arcs that do."""
    on: list[Point] = field(default_factory=list)
    """Centres, and corners of what is drawn alike, on the line."""
    marks: bool = False
    """It only marks the centre of a circle, and is a middle for nothing outside of it."""

    @property
    def axis(self) -> int | None:
        """0 where it is upright, and the middle of levels along x; 1 where it is level; None where it is slanted."""
        return 0 if self.a[0] == self.b[0] else 1 if self.a[1] == self.b[1] else None

    def image(self, p: Point) -> Point:
        """The mirror image of a place; exact."""
        if self.axis == 0:
            return 2 * self.a[0] - p[0], p[1]
        if self.axis == 1:
            return p[0], 2 * self.a[1] - p[1]
        dx, dy = self.b[0] - self.a[0], self.b[1] - self.a[1]
        t = ((p[0] - self.a[0]) * dx + (p[1] - self.a[1]) * dy) / (dx * dx + dy * dy)
        return 2 * (self.a[0] + t * dx) - p[0], 2 * (self.a[1] + t * dy) - p[1]


@dataclass(frozen=True, slots=True)
class _Drawn:
    """One shape as it counts here."""

    spots: tuple[Point, ...]
    """The ends of a line, in order; of an arc counter-clockwise; the centre of a circle."""
    round: Round | None
    at: Spot
    """Its middle, for searching only."""

    @property
    def edge(self) -> bool:
        return len(self.spots) == 2


def mirrors(view: View, shapes: Sequence[Shape]) -> Iterator[Mirror]:
    """The centrelines of a view with what its edges (`shapes`) show alike about them."""
    lines = _lines(view)
    if not lines:
        return
    index = _Index(list(_drawn(view, shapes)))
    for a, b in lines:
        yield _mirror(Mirror(a, b), index, view.xs.snap)


def _lines(view: View) -> list[tuple[Point, Point]]:
    """The drawn centrelines, pieces of one level or upright line as one."""
    runs: dict[tuple[int, Fraction], set[tuple[Fraction, Fraction]]] = defaultdict(set)
    found: dict[tuple[Point, Point], None] = {}
    for line in view.centrelines:
        a, b = sorted((view.place(line.a), view.place(line.b)))
        if a == b:
            continue
        across = next((k for k in (0, 1) if a[k] == b[k]), None)
        if across is None:
            found[a, b] = None
        else:
            runs[across, a[across]].add((a[1 - across], b[1 - across]))
    for (across, level), pieces in sorted(runs.items()):
        for low, high in _joined(sorted(pieces)):
            found[((level, low), (level, high)) if across == 0 else ((low, level), (high, level))] = None
    return list(found)


def _joined(pieces: Iterable[tuple[Fraction, Fraction]]) -> Iterator[tuple[Fraction, Fraction]]:
    whole: tuple[Fraction, Fraction] | None = None
    longest = Fraction(0)
    for low, high in pieces:
        if whole is not None and low - whole[1] <= GAP * max(longest, high - low):
            whole = whole[0], max(whole[1], high)
            longest = max(longest, high - low)
            continue
        if whole is not None:
            yield whole
        whole, longest = (low, high), high - low
    if whole is not None:
        yield whole


def _drawn(view: View, shapes: Iterable[Shape]) -> Iterator[_Drawn]:
    for shape in shapes:
        match shape:
            case Segment(_, a, b) if a != b:
                yield _Drawn((p := view.place(a), q := view.place(b)), None, _half(p, q))
            case Arc(_, centre, radius, a, b):
                c = view.place(centre)
                p, q = view.place(a), view.place(b)
                yield _Drawn((p, q), (c, view.radius(radius).value), _half(p, q))
            case Circle(_, centre, radius):
                c = view.place(centre)
                yield _Drawn((c,), (c, view.radius(radius).value), (float(c[0]), float(c[1])))
            case Mark(_, at):
                c = view.place(at)
                yield _Drawn((c,), None, (float(c[0]), float(c[1])))
            case _:
                pass


def _half(p: Point, q: Point) -> Spot:
    return (float(p[0]) + float(q[0])) / 2, (float(p[1]) + float(q[1])) / 2


@dataclass(frozen=True, slots=True)
class _Frame:
    """Where places stand along a line and beside it; doubles, for searching only."""

    ax: float
    ay: float
    ux: float
    uy: float
    long: float

    @classmethod
    def of(cls, line: Mirror) -> "_Frame":
        ax, ay = float(line.a[0]), float(line.a[1])
        dx, dy = float(line.b[0]) - ax, float(line.b[1]) - ay
        long = hypot(dx, dy)
        return cls(ax, ay, dx / long, dy / long, long)

    def along(self, x: float, y: float) -> float:
        return (x - self.ax) * self.ux + (y - self.ay) * self.uy

    def beside(self, x: float, y: float) -> float:
        return (y - self.ay) * self.ux - (x - self.ax) * self.uy


class _Index:
    """The drawn shapes sorted along x and along y: most lines are marks, and look at little."""

    def __init__(self, drawn: Sequence[_Drawn]) -> None:
        self.drawn = drawn
        self.by = [sorted(drawn, key=lambda one, k=k: one.at[k]) for k in (0, 1)]  # type: ignore[misc]
        self.keys = [[one.at[k] for one in self.by[k]] for k in (0, 1)]
        rounds = list({one.round: one.round for one in drawn if one.round is not None}.values())
        self.rounds = [sorted(rounds, key=lambda r, k=k: r[0][k]) for k in (0, 1)]  # type: ignore[misc]
        self.centres = [[float(c[k]) for c, _ in self.rounds[k]] for k in (0, 1)]
        ends = [[float(p[k]) for one in drawn for p in one.spots] for k in (0, 1)]
        self.bounds = [(min(own, default=0.0), max(own, default=0.0)) for own in ends]

    def between(self, axis: int, low: float, high: float) -> Sequence[_Drawn]:
        """The shapes whose middles are there along an axis."""
        keys = self.keys[axis]
        return self.by[axis][bisect_left(keys, low) : bisect_right(keys, high)]

    def rounds_on(self, line: Mirror, near: float) -> Sequence[Round]:
        """Circles and arcs that may have their centres on the line."""
        if line.axis is None:
            return self.rounds[0]
        keys, level = self.centres[line.axis], float(line.a[line.axis])
        return self.rounds[line.axis][bisect_left(keys, level - near) : bisect_right(keys, level + near)]


def _mirror(line: Mirror, index: _Index, snap: float) -> Mirror:
    frame, near = _Frame.of(line), 10 * snap
    short = float(SHORT) * frame.long
    bound = None if _past_all(line, frame, short, index) else _marked(index.rounds_on(line, near), frame, near)
    if bound is not None:
        line.marks = True
        (x, y), reach = bound
        found = [
            one for one in index.between(0, x - reach - near, x + reach + near)
            if all(hypot(float(p[0]) - x, float(p[1]) - y) <= reach + near for p in one.spots)
        ]  # fmt: skip
    elif line.axis is None:
        found = list(index.drawn)
    else:
        start = float(line.a[1 - line.axis])
        found = list(index.between(1 - line.axis, start - short, start + frame.long + short))
    here = [(one, frame.along(*one.at), frame.beside(*one.at)) for one in found]
    here = [(one, t, s) for one, t, s in here if -short <= t <= frame.long + short]
    alike = [(p, q) for p, q in _alike(line, here, near) if _runs_past(frame, short, (*p.spots, *q.spots))]
    own = {one.round[1] for one, _, s in here if len(one.spots) == 1 and one.round is not None and abs(s) <= near}
    if not any(p.edge for p, _ in alike):  # of equal holes in a row none is the middle of its neighbours
        alike = [(p, q) for p, q in alike if p is q or p.round is None or p.round[1] not in own]
    for p, q in alike:
        _note(line, p, q, near)
    return line


def _past_all(line: Mirror, frame: _Frame, short: float, index: _Index) -> bool:
    if line.axis is None:
        return all(_runs_past(frame, short, one.spots) for one in index.drawn)
    start, (low, high) = float(line.a[1 - line.axis]), index.bounds[1 - line.axis]
    return start - short <= low and high <= start + frame.long + short


def _marked(rounds: Iterable[Round], frame: _Frame, near: float) -> tuple[Spot, float] | None:
    """The largest circle or arc whose centre the line marks, if it is such a mark."""
    best: tuple[Spot, float] | None = None
    for centre, radius in rounds:
        x, y, r = float(centre[0]), float(centre[1]), float(radius)
        t = frame.along(x, y)
        if abs(frame.beside(x, y)) > near or not -near <= t <= frame.long + near:
            continue
        if max(t, frame.long - t) <= MARK * r and (best is None or r > best[1]):
            best = (x, y), r
    return best


def _runs_past(frame: _Frame, short: float, spots: Iterable[Point]) -> bool:
    return all(-short <= frame.along(float(p[0]), float(p[1])) <= frame.long + short for p in spots)


def _alike(
    line: Mirror, here: Sequence[tuple[_Drawn, float, float]], near: float
) -> Iterator[tuple[_Drawn, _Drawn]]:
    """Pairs that mirror one another, and, twice, what mirrors itself."""
    width = 8 * near
    cells: dict[tuple[int, int], list[_Drawn]] = defaultdict(list)
    for one, t, s in here:
        if s < -near:
            cells[round(t / width), round(-s / width)].append(one)
    for one, t, s in here:
        if abs(s) <= near:
            if _images(line, one, one, near) and not (one.edge and _on(line, one.spots[0], near)):
                yield one, one
        elif s > 0:
            spots = {(round((t + e) / width), round((s + f) / width)) for e in (-near, near) for f in (-near, near)}
            mate = next((o for key in spots for o in cells.get(key, ()) if _images(line, one, o, near)), None)
            if mate is not None:
                yield one, mate


def _images(line: Mirror, one: _Drawn, other: _Drawn, near: float) -> bool:
    if len(one.spots) != len(other.spots) or (one.round is None) != (other.round is None):
        return False
    if one.round is not None and other.round is not None and (
        one.round[1] != other.round[1] or not _same(line, line.image(one.round[0]), other.round[0], near)
    ):  # fmt: skip
        return False
    images = [line.image(p) for p in one.spots]
    turned = images[::-1]  # a mirror turns the sense of an arc
    ways = (turned,) if one.round is not None else (images, turned)
    return any(all(_same(line, p, q, near) for p, q in zip(way, other.spots, strict=True)) for way in ways)


def _same(line: Mirror, p: Point, q: Point, near: float) -> bool:
    """Exactly; about a slanted line, whose places are seldom rational, as near as the levels are recovered."""
    return p == q or (line.axis is None and hypot(float(p[0]) - float(q[0]), float(p[1]) - float(q[1])) <= near / 10)


def _note(line: Mirror, one: _Drawn, other: _Drawn, near: float) -> None:
    if one.round is not None and other.round is not None:
        if _same(line, one.round[0], other.round[0], near):
            line.on.append(one.round[0])
        else:
            line.rounds.append((one.round, other.round))
            line.pairs.append((one.round[0], other.round[0]))
    elif not one.edge and one is not other:
        line.pairs.append((one.spots[0], other.spots[0]))
    if one.edge:
        mates = one.spots[::-1] if one is other else _order(line, one, other)
        for p, q in zip(one.spots, mates, strict=True):
            if _on(line, p, near):
                line.on.append(p)
            else:
                line.pairs.append((p, q))


def _order(line: Mirror, one: _Drawn, other: _Drawn) -> tuple[Point, ...]:
    """The other's ends in the order in which they are the images of the one's."""
    p = line.image(one.spots[0])
    first, last = other.spots
    near = min((first, last), key=lambda q: hypot(float(q[0]) - float(p[0]), float(q[1]) - float(p[1])))
    return (first, last) if near == first else (last, first)


def _on(line: Mirror, p: Point, near: float) -> bool:
    return _same(line, line.image(p), p, near)
