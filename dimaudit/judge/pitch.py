"""The circles that equal holes stand on, as drawn.

A drafter draws the pitch circle as a centreline, or leaves it out: then it is the circle through the centres of the
equal holes. Distances between centres are roots, and places on a circle are seldom decimals, so a diameter here is a
rational that is surely within `SLACK` snaps of the drawn one; whoever compares it must allow for that.
"""

from collections.abc import Iterator, Sequence
from fractions import Fraction

import numpy as np

from dimaudit.exact.number import Rounding, round_to
from dimaudit.exact.real import middle, root
from dimaudit.model.drawing import Arc, Circle, LineRole, Point
from dimaudit.model.pointed import Pitch
from dimaudit.model.rings import DrawnHole
from dimaudit.model.settings import Lengths
from dimaudit.model.view import View

SLACK = 10
"""Snaps by which a centre may miss the circle: writers print four decimals of an inch, three of a millimetre."""
FEWEST = 3
"""Holes that make a circle by themselves."""


def pitch_circles(view: View, hole: DrawnHole, count: int | None, lengths: Lengths) -> tuple[Pitch, ...]:
    """The circles that a note about this hole may mean, as drawn: the surest kind that there is, else nothing."""
    slack = SLACK * lengths.snap
    equal = [h for h in view.drawn_holes if h.radii == hole.radii]
    for found in (_centrelines(view, hole, slack), _through_all(equal, count, slack), _about(view, equal, hole, count,
                  slack)):  # fmt: skip
        if pitches := tuple(found):
            return pitches
    return ()


def _centrelines(view: View, hole: DrawnHole, slack: Fraction) -> Iterator[Pitch]:
    """Circles drawn as centrelines through the hole's centre."""
    for shape in view.shapes:
        if isinstance(shape, (Circle, Arc)) and shape.origin.role is LineRole.CENTRE:
            radius = view.radius(shape.radius).value
            if _off(hole.centre, view.place(shape.centre), radius) <= float(slack):
                yield Pitch(2 * radius, slack, (shape.origin.handle,), "its centreline")


def _through_all(equal: Sequence[DrawnHole], count: int | None, slack: Fraction) -> Iterator[Pitch]:
    """The one circle through the centres of all equal holes."""
    if len(equal) < FEWEST or (count is not None and len(equal) != count and len(equal) == FEWEST):
        return  # three centres always lie on a circle
    points = [h.centre for h in equal]
    centre = _centre(points[0], *_far_apart(points))
    if centre is None:
        return
    radius = _apart(points[0], centre)
    if all(_off(p, centre, radius) <= float(slack) for p in points):
        yield _pitch(radius, equal, slack)


def _about(
    view: View, equal: Sequence[DrawnHole], hole: DrawnHole, count: int | None, slack: Fraction
) -> Iterator[Pitch]:
    """A circle about the centre of a larger one, that carries just as many of the equal holes as the note counts."""
    if count is None or count < FEWEST - 1:
        return
    xs, ys = (np.array([float(h.centre[k]) for h in equal]) for k in (0, 1))
    largest = hole.rings[-1].radius
    for other in view.drawn_holes:
        if other.rings[-1].radius <= largest:
            continue
        radius = _apart(hole.centre, other.centre)
        off = np.abs(np.hypot(xs - float(other.centre[0]), ys - float(other.centre[1])) - float(radius))
        own = [h for h, miss in zip(equal, off.tolist(), strict=True) if miss <= float(slack)]
        if radius > largest and len(own) == count:
            yield _pitch(radius, own, slack)


def _pitch(radius: Fraction, holes: Sequence[DrawnHole], slack: Fraction) -> Pitch:
    handles = tuple(dict.fromkeys(h for hole in holes for h in hole.handles))
    return Pitch(_simplest(2 * radius, slack), slack, handles, f"the circle through {len(holes)} equal holes")


def _simplest(value: Fraction, slack: Fraction) -> Fraction:
    """The shortest decimal that is surely as good; only what is shown depends on it."""
    tens = (round_to(value, Fraction(1, 10**places), Rounding.HALF_UP) for places in range(7))
    return next((ten for ten in tens if abs(ten - value) <= slack / 100), value)


def _apart(a: Point, b: Point) -> Fraction:
    return middle(root((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2))


def _off(p: Point, centre: Point, radius: Fraction) -> float:
    return abs(float(np.hypot(float(p[0] - centre[0]), float(p[1] - centre[1]))) - float(radius))


def _far_apart(points: Sequence[Point]) -> tuple[Point, Point]:
    """Of all points the one farthest from the first, and the one farthest from the line through both."""
    x, y = points[0]
    second = max(points, key=lambda p: float(p[0] - x) ** 2 + float(p[1] - y) ** 2)
    dx, dy = float(second[0] - x), float(second[1] - y)
    return second, max(points, key=lambda p: abs(float(p[0] - x) * dy - float(p[1] - y) * dx))


def _centre(a: Point, b: Point, c: Point) -> Point | None:
    """The centre of the circle through three points; None where they lie in a line."""
    bx, by, cx, cy = b[0] - a[0], b[1] - a[1], c[0] - a[0], c[1] - a[1]
    across = 2 * (bx * cy - by * cx)
    if not across or abs(float(across)) < 1e-9 * float(bx * bx + by * by):
        return None
    b2, c2 = bx * bx + by * by, cx * cx + cy * cy
    return a[0] + (cy * b2 - by * c2) / across, a[1] + (bx * c2 - cx * b2) / across
