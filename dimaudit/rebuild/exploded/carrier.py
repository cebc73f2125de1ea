"""One straight dimension line, endless: the lines drawn on it, the arrowheads on it, and what crosses it."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import hypot

import shapely

from dimaudit.model.drawing import Arc, Circle, Point, Segment
from dimaudit.rebuild.exploded.lettering import Lettering
from dimaudit.rebuild.exploded.linework import Head, Linework, Vector

FINE = 0.01
"""Pieces of one dimension meet within this share of the height of its letters."""
BIGGEST, SMALLEST = 6.0, 0.15
"""Size of an arrowhead over the height of the letters: a drawing keeps the two alike (ISO 129-1; the bounds are common
practice, no source)."""
STRAIGHT = 0.03
"""Sine of the angle (2 degrees) up to which an arrowhead points along a line."""
TICK = (0.42, 0.91)
"""Sines of 25 and 65 degrees: an oblique tick stands at 45 to its line (ISO 129-1)."""
BARB = (0.08, 0.8)
"""Sines of 5 and 53 degrees: an open arrowhead is 15 to 90 degrees wide (ISO 129-1)."""
MARGIN = 14.0
"""A dimension line is followed this many heights of letters beyond the lines that stand by its text."""


@dataclass(frozen=True, slots=True)
class OnLine:
    """An arrowhead on the line: where, and whether it points forward (1), back (-1) or nowhere (0)."""

    t: float
    points: int
    head: Head


@dataclass(frozen=True, slots=True)
class Rail:
    """A line drawn on it, from `low` to `high`."""

    low: float
    high: float
    shape: int


@dataclass(frozen=True, eq=False)
class Carrier:
    """The endless line through (x, y) along the unit vector `way`; places on it are lengths from there."""

    x: float
    y: float
    way: Vector
    fine: float
    rails: tuple[Rail, ...]
    heads: tuple[OnLine, ...]

    def along(self, x: float, y: float) -> float:
        return (x - self.x) * self.way[0] + (y - self.y) * self.way[1]

    def across(self, x: float, y: float) -> float:
        return (x - self.x) * -self.way[1] + (y - self.y) * self.way[0]

    def gap(self, text: Lettering) -> float:
        """The clear distance between text and line; 0 where the line runs through the room of the text."""
        square = (-self.way[1], self.way[0])
        return max(abs(self.across(text.x, text.y)) - text.half(square), 0.0)

    def uncovered(self, low: float, high: float) -> list[tuple[float, float]]:
        """The stretches from `low` to `high` on which no line is drawn."""
        gaps, at = [], low
        for rail in self.rails:  # sorted
            if rail.low > at + self.fine:
                gaps.append((at, min(rail.low, high)))
            at = max(at, rail.high)
            if at >= high - self.fine:
                return gaps
        return [*gaps, (at, high)] if high > at + self.fine else gaps


def carrier(work: Linework, text: Lettering, seeds: Sequence[int], head: Head | None = None) -> Carrier:
    """The line through the lines `seeds` (all on one line), or along the arrowhead."""
    height, fine = text.height, FINE * text.height
    if seeds:
        longest = max(seeds, key=work.length)
        ax, ay, bx, by = work.ends[longest].tolist()
        size = hypot(bx - ax, by - ay)
        x, y, way = ax, ay, ((bx - ax) / size, (by - ay) / size)
    else:
        assert head is not None
        assert head.way is not None
        x, y, way = head.x, head.y, head.way
    if way[0] < -1e-9 or (abs(way[0]) <= 1e-9 and way[1] < 0):
        way = (-way[0], -way[1])
    bare = Carrier(x, y, way, fine, (), ())
    places = []
    for k in seeds:
        ax, ay, bx, by = work.ends[k].tolist()
        places += [bare.along(ax, ay), bare.along(bx, by)]
    if head is not None:
        places += [bare.along(head.x, head.y), bare.along(text.x, text.y)]
    low, high = min(places) - MARGIN * height, max(places) + MARGIN * height
    probe = shapely.LineString([(x + way[0] * t, y + way[1] * t) for t in (low, high)])
    rails, crossing = [], []
    inserts = text.note.origin.inserts
    for k in work.touching(probe, fine + work.network.sagitta):
        if k in work.of_heads or work.shapes[k].origin.inserts != inserts:
            continue
        ax, ay, bx, by = work.ends[k].tolist()
        if abs(bare.across(ax, ay)) <= fine and abs(bare.across(bx, by)) <= fine and not work.is_centre(k):
            t, u = sorted((bare.along(ax, ay), bare.along(bx, by)))
            rails.append(Rail(t, u, k))
        else:
            crossing.append(k)
    found = [
        OnLine(bare.along(h.x, h.y), points, h)
        for h in work.heads_near(probe, fine)
        if SMALLEST * height <= h.size <= BIGGEST * height and (points := _points(h, way)) is not None
    ]
    found += drawn_heads(bare, work, crossing, height)
    return Carrier(
        x, y, way, fine, tuple(sorted(rails, key=lambda r: (r.low, r.high))), tuple(sorted(found, key=lambda o: o.t))
    )


def _points(head: Head, way: Vector) -> int | None:
    if head.way is None:
        return 0
    along = head.way[0] * way[0] + head.way[1] * way[1]
    if abs(head.way[0] * way[1] - head.way[1] * way[0]) > STRAIGHT:
        return None
    return 1 if along > 0 else -1


@dataclass(frozen=True, slots=True)
class _Barb:
    """One side of an open arrowhead: from its tip on the line to its far end."""

    tip: Point
    far: Point
    t: float
    along: float
    off: float
    shape: int


def drawn_heads(line: Carrier, work: Linework, crossing: Sequence[int], height: float) -> Iterator[OnLine]:
    """Arrowheads drawn with single lines, oblique ticks, and dots."""
    barbs: list[_Barb] = []
    others: dict[frozenset[Point], int] = {}
    for k in crossing:
        shape = work.shapes[k]
        if isinstance(shape, (Circle, Arc)):
            x, y = float(shape.centre[0]), float(shape.centre[1])
            small = SMALLEST / 2 * height <= float(shape.radius) <= 0.6 * height
            if small and abs(line.across(x, y)) <= line.fine:
                yield _head(line, work, shape.centre, None, float(shape.radius), [k])
            continue
        if not isinstance(shape, Segment):
            continue
        size = work.length(k)
        if not SMALLEST * height <= size <= BIGGEST * height:
            continue
        others[frozenset((shape.a, shape.b))] = k
        ax, ay, bx, by = work.ends[k].tolist()
        offs = (line.across(ax, ay), line.across(bx, by))
        sine = abs(offs[1] - offs[0]) / size
        if abs(offs[0] + offs[1]) <= 2 * line.fine and TICK[0] <= sine <= TICK[1]:
            middle = ((shape.a[0] + shape.b[0]) / 2, (shape.a[1] + shape.b[1]) / 2)
            yield _head(line, work, middle, None, size / 2, [k])
        elif BARB[0] <= sine <= BARB[1] and min(map(abs, offs)) <= line.fine:
            tip, far = (shape.a, shape.b) if abs(offs[0]) <= line.fine else (shape.b, shape.a)
            t, u = line.along(float(tip[0]), float(tip[1])), line.along(float(far[0]), float(far[1]))
            barbs.append(_Barb(tip, far, t, u - t, line.across(float(far[0]), float(far[1])), k))
    spots: dict[tuple[int, bool], list[_Barb]] = defaultdict(list)
    for barb in barbs:
        spots[round(barb.t / line.fine), barb.along > 0].append(barb)
    for sides in spots.values():
        for i, one in enumerate(sides):
            for two in sides[i + 1 :]:
                size = abs(one.along)
                if abs(one.off + two.off) > 0.1 * size or abs(one.along - two.along) > 0.1 * size:
                    continue
                shapes = [one.shape, two.shape]
                closing = others.get(frozenset((one.far, two.far)))
                shapes += [] if closing is None else [closing]
                sign = -1 if one.along > 0 else 1
                yield _head(line, work, one.tip, (line.way[0] * sign, line.way[1] * sign), size, shapes)


def _head(
    line: Carrier, work: Linework, tip: Point, way: Vector | None, size: float, shapes: Sequence[int]
) -> OnLine:
    x, y = float(tip[0]), float(tip[1])
    head = Head(tip, x, y, way, size, frozenset(shapes), tuple(work.handles(shapes)))
    return OnLine(line.along(x, y), 0 if way is None else _points(head, line.way) or 0, head)
