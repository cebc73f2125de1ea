"""Exploded linear and aligned dimensions, and diameters drawn across their circle.

A straight line with an arrowhead at each end, what each arrowhead stops at, and a text by the line, in a gap of it,
or at its end. At one end at least it must be an extension line, drawn for the dimension alone; where both arrowheads
stop at lines of the part, the number must fit as well. All else is left alone.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import atan2, degrees, hypot

from dimaudit.exact.number import exact
from dimaudit.model.drawing import Arc, Circle, Kind, Point, Segment
from dimaudit.model.stated import DIAMETERS, RADII, Stated
from dimaudit.model.units import Unit
from dimaudit.rebuild.exploded.carrier import Carrier, OnLine
from dimaudit.rebuild.exploded.lettering import Lettering
from dimaudit.rebuild.exploded.linework import Linework, Vector

CLOSE = 1.2
"""Clear distance between a dimension line and its text over the height of the letters, at most; drafters leave about
one half (common practice, no source)."""
APART = 6.0
"""The same for a text that found no room by its line: it must stand over the middle, and its number must fit."""
BEYOND = 4.0
"""How far an extension line may run past the dimension line, over the height of the letters or the arrowhead."""
CROSSING = 0.25
"""Sine of the angle (15 degrees) from which a line crosses the dimension line: extension lines may be oblique."""
SQUARE = 0.01
"""Cosine of the angle to the dimension line up to which an extension line stands square to it."""


@dataclass(frozen=True, slots=True)
class Found:
    """A dimension in the making: what it was put together from."""

    text: Lettering
    kind: Kind
    points: dict[int, Point]
    shapes: frozenset[int]
    """Lines that belong to the dimension alone."""
    handles: tuple[str, ...]
    fits: bool
    """The number is the drawn length, as it is rounded."""
    rank: tuple[float, ...]
    """By the looks of it, the least is the likeliest of those that share a text or an arrowhead."""
    tips: frozenset[tuple[float, float]]
    extensions: frozenset[int] = frozenset()
    """Those of its lines that are extension lines: none of another dimension's is its dimension line."""
    angle: Fraction = Fraction(0)
    oblique: Fraction | None = None
    aims: tuple[tuple[int, Vector], ...] = ()
    """Groups of the points at which extension lines begin, and the unit vector from there on toward the part."""


@dataclass(frozen=True, slots=True)
class Stop:
    """What an arrowhead stops at."""

    extensions: tuple[int, ...]
    """Extension lines, the shortest past the arrowhead first."""
    origin: Point
    """Where the first of them begins, at the part; the tip itself where a line of the part is what it stops at."""
    way: Vector | None
    """Unit vector from the arrowhead along the first extension line to where it begins."""


@dataclass(frozen=True, slots=True)
class Label:
    """A text, and where on the dimension line it stands or is led to."""

    text: Lettering
    line: Carrier
    low: float
    high: float
    leader: tuple[int, ...] = ()
    """The lines that lead from the dimension line to a text that was moved away from it."""

    @property
    def t(self) -> float:
        return (self.low + self.high) / 2

    @property
    def gap(self) -> float:
        return 0.0 if self.leader else self.line.gap(self.text)


def beside(text: Lettering, line: Carrier, close: float = CLOSE) -> Label | None:
    """The text by the line; None where it is too far from it."""
    if line.gap(text) > close * text.height:
        return None
    t, half = line.along(text.x, text.y), text.half(line.way) + CLOSE * text.height
    return Label(text, line, t - half, t + half)


def straight(work: Linework, label: Label) -> Iterator[Found]:
    """The dimensions that the text may be of, with their arrowheads on the line."""
    if label.text.reading.unit is Unit.DEGREE or label.text.reading.sign in RADII:
        return
    for low, high, between in _pairs(label.line, label.t):
        slack = 4 * label.line.fine
        if high.t - low.t <= slack or (label.leader and min(abs(label.t - low.t), abs(label.t - high.t)) <= slack):
            continue  # a line that ends at an arrowhead is an extension line, no leader
        found = _across_circle(work, label, low, high) or _linear(work, label, low, high, between)
        if found is not None:
            yield found


def _pairs(line: Carrier, t: float) -> Iterator[tuple[OnLine, OnLine, bool]]:
    """Arrowheads that may be the two ends, and whether the text stands between them."""
    left = [h for h in line.heads if h.t <= t][::-1]
    right = [h for h in line.heads if h.t > t]
    for signs in ((-1, 1), (1, -1)):
        low = next((h for h in left if h.points in (signs[0], 0)), None)
        high = next((h for h in right if h.points in (signs[1], 0)), None)
        if low is not None and high is not None:
            yield low, high, True
    for side, forward in ((left, True), (right, False)):
        if not side:
            continue
        for near in [h for h in side if abs(h.t - side[0].t) <= line.fine]:
            beyond = [h for h in side if abs(h.t - near.t) > 4 * line.fine]
            opposed = [h for h in beyond if h.points != near.points or not h.points]
            for far in dict.fromkeys(opposed[:1] + beyond[:1]):
                yield (far, near, False) if forward else (near, far, False)


def _drawn_through(label: Label, low: OnLine, high: OnLine, between: bool) -> bool:
    """Whether the dimension line is there: between the arrowheads, or outside them, and up to the text."""
    line = label.line
    apart = low.points > 0 or high.points < 0  # they point toward one another, from outside
    if not apart:
        gaps = line.uncovered(low.t + low.head.size, high.t - high.head.size)
        if not all(between and not label.leader and label.low <= a and b <= label.high for a, b in gaps):
            return False
    elif not (_tail(line, low, -1) or _tail(line, high, 1)):
        return False
    if between:
        return True
    if label.t > high.t:
        start, stop = high.t + high.head.size, label.low
    else:
        start, stop = label.high, low.t - low.head.size
    if stop > start:
        return not line.uncovered(start, stop)
    return _tail(line, high, 1) if label.t > high.t else _tail(line, low, -1)


def _tail(line: Carrier, at: OnLine, side: int) -> bool:
    """Whether a line leaves the arrowhead outward, from its tip or from its base."""
    far = [at.t + side * (step + 2 * line.fine) for step in (0.0, at.head.size)]
    return any(rail.low < place < rail.high for rail in line.rails for place in far)


def _linear(work: Linework, label: Label, low: OnLine, high: OnLine, between: bool) -> Found | None:
    text, line = label.text, label.line
    same_way = low.points == high.points != 0  # arrowheads point away from one another, or toward one another
    if same_way or not _drawn_through(label, low, high, between):
        return None
    first, second = _stop(work, text, line, low), _stop(work, text, line, high)
    if first is None or second is None:
        return None
    drawn = sum(bool(stop.extensions) for stop in (first, second))
    fits = agrees(text.reading, high.t - low.t)
    if not drawn and not fits:
        return None
    if label.gap > CLOSE * text.height:
        off = abs(label.t - (low.t + high.t) / 2)
        if not (fits and drawn == 2 and between and off <= text.height / 2):
            return None
    rails = own_rails(label, low, high)
    shapes = frozenset((*rails, *low.head.shapes, *high.head.shapes, *first.extensions, *second.extensions))
    handles = (*work.handles((*rails, *first.extensions, *second.extensions)), *low.head.handles, *high.head.handles)
    way = _exact_way(work, [k for k in rails if k not in label.leader], line)
    angle, oblique = _degrees(way), None
    slant = first.way or second.way
    if slant is not None and abs(slant[0] * line.way[0] + slant[1] * line.way[1]) > SQUARE:
        oblique = (_degrees(slant) - angle) % 180
    level = abs(line.across(*map(float, first.origin)) - line.across(*map(float, second.origin))) <= line.fine
    kind = Kind.ALIGNED if angle % 90 and level and oblique is None else Kind.LINEAR
    return Found(
        text,
        kind,
        {10: high.head.tip, 13: first.origin, 14: second.origin},
        shapes,
        tuple(dict.fromkeys(handles)),
        fits,
        rank(label, drawn, between, high.t - low.t),
        frozenset(((low.head.x, low.head.y), (high.head.x, high.head.y))),
        frozenset((*first.extensions, *second.extensions)),
        angle,
        oblique,
        tuple((group, stop.way) for group, stop in ((13, first), (14, second)) if stop.way is not None),
    )


def own_rails(label: Label, low: OnLine, high: OnLine) -> list[int]:
    """The lines on the dimension line between its arrowheads, outside by them, and up to the text."""
    line = label.line
    spans = [(low.t, high.t)]
    if label.t > high.t:
        spans.append((high.t, label.high))
    elif label.t < low.t:
        spans.append((label.low, low.t))
    ends = [at.t + side * step for at, side in ((low, -1), (high, 1)) for step in (0.0, at.head.size)]
    own = list(label.leader)
    for rail in line.rails:
        inside = any(min(rail.high, b) - max(rail.low, a) > line.fine for a, b in spans)
        tail = any(abs(place - end) <= 2 * line.fine for place in (rail.low, rail.high) for end in ends)
        if inside or tail:
            own.append(rail.shape)
    return own


def _exact_way(work: Linework, rails: Sequence[int], line: Carrier) -> tuple[float, float]:
    """The direction of the longest line that is drawn, forward along the carrier."""
    if not rails:
        return line.way
    ax, ay, bx, by = work.ends[max(rails, key=work.length)].tolist()
    x, y = bx - ax, by - ay
    return (x, y) if x * line.way[0] + y * line.way[1] > 0 else (-x, -y)


def _degrees(way: tuple[float, float]) -> Fraction:
    """A direction in degrees, its noise cut off."""
    return exact(round(degrees(atan2(way[1], way[0])), 9))


def _stop(work: Linework, text: Lettering, line: Carrier, at: OnLine) -> Stop | None:
    """What crosses the dimension line at the arrowhead; None where nothing does."""
    x, y = at.head.x, at.head.y
    on_line = {rail.shape for rail in line.rails}
    reach = BEYOND * max(text.height, at.head.size)
    extensions: list[tuple[float, int, Point, Vector]] = []
    stopped = False
    for k in work.at(x, y, line.fine + work.network.sagitta):
        shape = work.shapes[k]
        if k in on_line or k in at.head.shapes or k in work.of_heads:
            continue
        if not isinstance(shape, Segment):
            stopped = True
            continue
        ax, ay, bx, by = work.ends[k].tolist()
        size = work.length(k)
        if not size:
            continue
        way = ((bx - ax) / size, (by - ay) / size)
        if abs(way[0] * line.way[1] - way[1] * line.way[0]) < CROSSING:
            continue
        stopped = True
        past, over, origin = min((hypot(ax - x, ay - y), (ax, ay), shape.b), (hypot(bx - x, by - y), (bx, by), shape.a))
        whole = shape.origin.inserts == text.note.origin.inserts and not work.is_centre(k)
        if whole and past <= reach and free(work, k, over, on_line | at.head.shapes, line.fine):
            extensions.append((past, k, origin, way))
    if not stopped:
        return None
    if not extensions:
        return Stop((), at.head.tip, None)
    extensions.sort(key=lambda e: e[:2])
    _, _, origin, way = extensions[0]
    x, y = float(origin[0]) - x, float(origin[1]) - y
    sign = 1 if x * way[0] + y * way[1] > 0 else -1
    return Stop(tuple(e[1] for e in extensions), origin, (sign * way[0], sign * way[1]))


def free(work: Linework, k: int, end: tuple[float, float], own: set[int] | frozenset[int], fine: float) -> bool:
    """Whether nothing of the part meets the line's end: only more extension lines, and pieces of the dimension."""
    ax, ay, bx, by = work.ends[k].tolist()
    size = hypot(bx - ax, by - ay)
    for other in work.at(*end, fine):
        if other == k or other in own or other in work.of_heads:
            continue
        cx, cy, dx, dy = work.ends[other].tolist()
        offs = [abs((px - ax) * (by - ay) - (py - ay) * (bx - ax)) / size for px, py in ((cx, cy), (dx, dy))]
        if not all(off <= 2 * fine for off in offs):  # NaN for what is no straight line
            return False
    return True


def agrees(reading: Stated, span: float) -> bool:
    """Whether the number is the drawn length, as it is rounded."""
    return abs(float(reading.value) - span) <= float(reading.step) / 2 * 1.001


def rank(label: Label, drawn: int, between: bool, span: float) -> tuple[float, ...]:
    """The more extension lines are drawn, the nearer the text, the shorter the span, the likelier."""
    return -drawn, round(label.gap / label.text.height * 4), not between, span


def _across_circle(work: Linework, label: Label, low: OnLine, high: OnLine) -> Found | None:
    """A diameter: both arrowheads on one circle, at opposite ends."""
    text, line = label.text, label.line
    if label.gap > CLOSE * text.height:
        return None
    if text.reading.sign is not None and text.reading.sign not in DIAMETERS:
        return None
    slack = line.fine + work.network.sagitta
    for k in work.at(low.head.x, low.head.y, slack):
        shape = work.shapes[k]
        if not isinstance(shape, (Circle, Arc)) or k in low.head.shapes:
            continue
        x, y, radius = float(shape.centre[0]), float(shape.centre[1]), float(shape.radius)
        middle = ((low.t + high.t) / 2, line.along(x, y))
        opposite = abs(middle[0] - middle[1]) <= line.fine and abs(line.across(x, y)) <= line.fine
        if not opposite or abs((high.t - low.t) / 2 - radius) > line.fine:
            continue
        if line.uncovered(low.t + low.head.size, high.t - high.head.size) and not line.rails:
            return None
        rails = own_rails(label, low, high)
        shapes = frozenset((*rails, *low.head.shapes, *high.head.shapes))
        handles = (*work.handles(rails), *low.head.handles, *high.head.handles)
        return Found(
            text, Kind.DIAMETER, {10: low.head.tip, 15: high.head.tip}, shapes, tuple(dict.fromkeys(handles)),
            agrees(text.reading, high.t - low.t), rank(label, 2, True, high.t - low.t),
            frozenset(((low.head.x, low.head.y), (high.head.x, high.head.y))),
        )  # fmt: skip
    return None
