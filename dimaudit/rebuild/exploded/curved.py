"""Exploded radii and diameters with one arrowhead, and exploded angles."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import atan2, cos, hypot, pi, sin

import shapely

from dimaudit.exact.number import exact
from dimaudit.model.drawing import Arc, Circle, Kind, Point, Segment
from dimaudit.model.stated import DIAMETERS, RADII
from dimaudit.model.units import Unit
from dimaudit.rebuild.exploded.carrier import BIGGEST, SMALLEST, Carrier, OnLine, Rail, drawn_heads
from dimaudit.rebuild.exploded.lettering import Lettering
from dimaudit.rebuild.exploded.linework import Head, Linework
from dimaudit.rebuild.exploded.straight import BEYOND, CLOSE, Found, Label, agrees, free, own_rails, rank

LEANS = 0.1
"""Sine by which an arrowhead on an arc may lean from the tangent, beyond what its own length makes of it."""


def radial(work: Linework, label: Label) -> Iterator[Found]:
    """A text with R or Ø, and a straight line from it to an arrowhead that points at an arc, along its radius."""
    text, line = label.text, label.line
    sign = text.reading.sign
    if sign not in RADII and sign not in DIAMETERS:
        return
    for at in line.heads:
        start, stop = (at.t, label.low) if at.t < label.low else (label.high, at.t)
        if start < stop:
            size = at.head.size
            drawn = not line.uncovered(start + (size if at.t == start else 0), stop - (size if at.t == stop else 0))
        else:
            drawn = True
        if not drawn or not _led(line, at):
            continue
        arc = _pointed_at(work, line, at.head)
        if arc is None:
            continue
        rails = own_rails(label, at, at)
        if start < stop:
            rails += [r.shape for r in line.rails if min(r.high, stop) - max(r.low, start) > line.fine]
        tip, centre = at.head.tip, arc.centre
        points = {10: centre, 15: tip}
        if sign in DIAMETERS:
            points = {10: (2 * centre[0] - tip[0], 2 * centre[1] - tip[1]), 15: tip}
        own = sorted(set(rails))
        yield Found(
            text,
            Kind.RADIUS if sign in RADII else Kind.DIAMETER,
            points,
            frozenset((*own, *at.head.shapes)),
            tuple(dict.fromkeys((*work.handles(own), *at.head.handles))),
            agrees(text.reading, float(arc.radius) * (1 if sign in RADII else 2)),
            rank(label, 1, not label.leader, abs(stop - start)),
            frozenset(((at.head.x, at.head.y),)),
        )


def _led(line: Carrier, at: OnLine) -> bool:
    """Whether a line begins at the arrowhead, or runs through it."""
    size = at.head.size + 2 * line.fine
    return any(rail.low <= at.t + size and rail.high >= at.t - size for rail in line.rails)


def _pointed_at(work: Linework, line: Carrier, head: Head) -> Arc | Circle | None:
    """The arc or circle at the tip whose centre is on the line."""
    for k in work.at(head.x, head.y, line.fine + work.network.sagitta):
        shape = work.shapes[k]
        if not isinstance(shape, (Arc, Circle)) or k in head.shapes or k in work.of_heads:
            continue
        x, y = float(shape.centre[0]), float(shape.centre[1])
        off = abs(hypot(head.x - x, head.y - y) - float(shape.radius))
        if abs(line.across(x, y)) <= line.fine and off <= line.fine:
            return shape
    return None


@dataclass(frozen=True, slots=True)
class _Side:
    """One side of an angle."""

    extensions: tuple[int, ...]
    point: Point
    """A point on the side: where its extension line begins, else the tip of the arrowhead."""


def angular(work: Linework, text: Lettering, near: Sequence[int]) -> Iterator[Found]:
    """A text in degrees by an arc with an arrowhead at each end, each on a line to the arc's centre."""
    if text.reading.unit is not Unit.DEGREE:
        return
    fine = text.height / 100
    arcs: dict[tuple[int, int, int], list[int]] = defaultdict(list)
    for k in near:
        shape = work.shapes[k]
        if isinstance(shape, Arc):
            numbers = (*shape.centre, shape.radius)
            x, y, radius = (round(float(n) / fine) for n in numbers)
            arcs[x, y, radius].append(k)
    for own in arcs.values():
        found = _angle(work, text, own[0], fine)
        if found is not None:
            yield found


def _angle(work: Linework, text: Lettering, first: int, fine: float) -> Found | None:
    arc = work.shapes[first]
    assert isinstance(arc, Arc)
    cx, cy, radius = float(arc.centre[0]), float(arc.centre[1]), float(arc.radius)
    if not radius:
        return None
    middle = atan2(text.y - cy, text.x - cx)
    # Places are lengths along the circle from where the text stands, counter-clockwise.
    rails = _rails(work, text, (cx, cy, radius), middle, fine)
    heads = [
        OnLine((atan2(h.y - cy, h.x - cx) - middle) % (2 * pi) * radius, turn, h)
        for h in (*work.heads_near(shapely.Point(cx, cy), radius + fine), *_drawn(work, text, rails, (cx, cy, radius)))
        if (turn := _tangent(h, (cx, cy, radius), text.height, fine)) is not None
    ]
    if len(heads) < 2:
        return None
    low, high = max(heads, key=lambda h: h.t), min(heads, key=lambda h: h.t)
    low = OnLine(low.t - 2 * pi * radius, low.points, low.head)
    if low.points == high.points != 0 or high.t - low.t >= 2 * pi * radius - fine:
        return None
    line = Carrier(0, 0, (1, 0), fine, tuple(rails), ())
    apart = low.points > 0 or high.points < 0
    half = max(hypot(*text.along), hypot(*text.up)) + CLOSE * text.height
    gaps = line.uncovered(low.t + low.head.size * 1.05, high.t - high.head.size * 1.05)
    if not apart and not all(-half <= a and b <= half for a, b in gaps):
        return None
    sides = [_side(work, text, at.head, (cx, cy, radius), fine) for at in (low, high)]
    if sides[0] is None or sides[1] is None:
        return None
    one, two = sides[0], sides[1]
    mine = [
        rail.shape
        for rail in rails
        if min(rail.high, high.t) - max(rail.low, low.t) > fine
        or any(abs(p - q) <= 0.1 * at.head.size + fine for p in (rail.low, rail.high) for at in (low, high)
               for q in (at.t, at.t - at.head.size, at.t + at.head.size))
    ]  # fmt: skip
    shapes = frozenset((*mine, *one.extensions, *two.extensions, *low.head.shapes, *high.head.shapes))
    handles = (*work.handles({*mine, *one.extensions, *two.extensions}), *low.head.handles, *high.head.handles)
    on_arc = (exact(cx + radius * cos(middle)), exact(cy + radius * sin(middle)))
    centre = arc.centre
    edges = all(_edge(work, (cx, cy), side.point, shapes, fine, text.height) for side in (one, two))
    if edges and high.t - low.t < pi * radius - fine:
        kind, points = Kind.ANGULAR, {13: centre, 14: one.point, 15: centre, 10: two.point, 16: on_arc}
    else:
        ends = [_centre_on(work, (cx, cy), side.point, fine, text.height) for side in (one, two)]
        kind, points = Kind.ANGULAR_3P, {15: centre, 13: ends[0], 14: ends[1], 10: on_arc}
    return Found(
        text, kind, points, shapes, tuple(dict.fromkeys(handles)), False, (-2.0, abs(low.t) + high.t),
        frozenset(((low.head.x, low.head.y), (high.head.x, high.head.y))),
        frozenset((*one.extensions, *two.extensions)),
    )  # fmt: skip


def _rails(
    work: Linework, text: Lettering, circle: tuple[float, float, float], middle: float, fine: float
) -> list[Rail]:
    """The arcs drawn on the circle, once on each side of the text's place, so that none is cut there."""
    cx, cy, radius = circle
    rails = []
    box = shapely.Point(cx, cy).buffer(radius)
    for k in work.touching(box.exterior, fine + radius * 0.01 + work.network.sagitta):
        shape = work.shapes[k]
        if not isinstance(shape, Arc) or shape.origin.inserts != text.note.origin.inserts or k in work.of_heads:
            continue
        numbers = (*shape.centre, shape.radius)
        if any(abs(float(n) - m) > fine for n, m in zip(numbers, circle, strict=True)):
            continue
        start = (atan2(float(shape.a[1]) - cy, float(shape.a[0]) - cx) - middle) % (2 * pi)
        sweep = (atan2(float(shape.b[1]) - cy, float(shape.b[0]) - cx) - middle - start) % (2 * pi)
        rails += [Rail((start + turn) * radius, (start + sweep + turn) * radius, k) for turn in (-2 * pi, 0.0)]
    return sorted(rails, key=lambda r: (r.low, r.high))


def _drawn(
    work: Linework, text: Lettering, rails: Sequence[Rail], circle: tuple[float, float, float]
) -> Iterator[Head]:
    """Arrowheads of single lines, ticks and dots at the ends of the arcs, each seen on the tangent there."""
    cx, cy, radius = circle
    for k in sorted({rail.shape for rail in rails}):
        arc = work.shapes[k]
        assert isinstance(arc, Arc)
        for end in (arc.a, arc.b):
            x, y = float(end[0]), float(end[1])
            tangent = Carrier(x, y, (-(y - cy) / radius, (x - cx) / radius), text.height / 100, (), ())
            crossing = [n for n in work.at(x, y, tangent.fine + work.network.sagitta) if n != k]
            for at in drawn_heads(tangent, work, crossing, text.height):
                if abs(at.t) <= tangent.fine:
                    yield at.head


def _tangent(head: Head, circle: tuple[float, float, float], height: float, fine: float) -> int | None:
    """Whether the arrowhead stands on the circle along it: counter-clockwise 1, clockwise -1, nowhere 0."""
    cx, cy, radius = circle
    x, y = (head.x - cx) / radius, (head.y - cy) / radius
    if abs(hypot(x, y) - 1) * radius > fine or not SMALLEST * height <= head.size <= BIGGEST * height:
        return None
    if head.way is None:
        return 0
    if abs(head.way[0] * x + head.way[1] * y) > head.size / radius + LEANS:
        return None
    return 1 if x * head.way[1] - y * head.way[0] > 0 else -1


def _side(
    work: Linework, text: Lettering, head: Head, circle: tuple[float, float, float], fine: float
) -> _Side | None:
    """The line through the tip that runs to the vertex."""
    cx, cy, _ = circle
    reach = BEYOND * max(text.height, head.size)
    found: list[tuple[float, int, Point]] = []
    radial_line = False
    for k in work.at(head.x, head.y, fine + work.network.sagitta):
        shape = work.shapes[k]
        if not isinstance(shape, Segment) or k in head.shapes or k in work.of_heads:
            continue
        ax, ay, bx, by = work.ends[k].tolist()
        size = work.length(k)
        if not size or abs((cx - ax) * (by - ay) - (cy - ay) * (bx - ax)) / size > 2 * fine:
            continue
        radial_line = True
        past, over, origin = min(
            (hypot(ax - head.x, ay - head.y), (ax, ay), shape.b), (hypot(bx - head.x, by - head.y), (bx, by), shape.a)
        )
        whole = shape.origin.inserts == text.note.origin.inserts and not work.is_centre(k)
        if whole and past <= reach and free(work, k, over, head.shapes | _arcs_at(work, over, circle, fine), fine):
            found.append((past, k, origin))
    if not radial_line:
        return None
    found.sort(key=lambda e: e[:2])
    # An extension line that begins at the vertex itself gives no direction: the arrowhead does.
    away = (p for _, _, p in found if hypot(float(p[0]) - cx, float(p[1]) - cy) > fine)
    return _Side(tuple(k for _, k, _ in found), next(away, head.tip))


def _arcs_at(
    work: Linework, at: tuple[float, float], circle: tuple[float, float, float], fine: float
) -> frozenset[int]:
    """The pieces of the dimension arc that end where an extension line does."""
    found = []
    for k in work.at(*at, fine + work.network.sagitta):
        shape = work.shapes[k]
        if isinstance(shape, Arc):
            numbers = (*shape.centre, shape.radius)
            if all(abs(float(n) - m) <= fine for n, m in zip(numbers, circle, strict=True)):
                found.append(k)
    return frozenset(found)


def _edge(
    work: Linework, vertex: tuple[float, float], point: Point, own: frozenset[int], fine: float, height: float
) -> bool:
    """Whether an edge of the part lies along the side, between the vertex and a little past the point."""
    x, y = float(point[0]), float(point[1])
    size = hypot(x - vertex[0], y - vertex[1])
    if size <= fine:
        return False
    far = (x + (x - vertex[0]) / size * 2 * height, y + (y - vertex[1]) / size * 2 * height)
    for k in work.touching(shapely.LineString([vertex, far]), fine):
        if k in own or k in work.of_heads or not isinstance(work.shapes[k], Segment):
            continue
        ax, ay, bx, by = work.ends[k].tolist()
        offs = [
            abs((px - vertex[0]) * (y - vertex[1]) - (py - vertex[1]) * (x - vertex[0])) / size
            for px, py in ((ax, ay), (bx, by))
        ]
        if max(offs) <= fine and work.length(k) > fine:
            return True
    return False


def _centre_on(
    work: Linework, vertex: tuple[float, float], point: Point, fine: float, height: float
) -> Point:
    """The centre of a circle on the side that the extension line begins at, else the point itself."""
    x, y = float(point[0]), float(point[1])
    size = hypot(x - vertex[0], y - vertex[1])
    found: list[tuple[float, Point]] = []
    for k in work.at(x, y, 4 * height):
        shape = work.shapes[k]
        if isinstance(shape, (Circle, Arc)) and size > fine:
            px, py = float(shape.centre[0]), float(shape.centre[1])
            off = abs((px - vertex[0]) * (y - vertex[1]) - (py - vertex[1]) * (x - vertex[0])) / size
            inside = hypot(px - x, py - y) <= float(shape.radius) + 4 * height
            if off <= fine and inside and hypot(px - vertex[0], py - vertex[1]) > fine:
                found.append((hypot(px - x, py - y), shape.centre))
    return min(found)[1] if found else point
