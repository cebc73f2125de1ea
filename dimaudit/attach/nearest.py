"""The features at one definition point, with exact distances."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise

from dimaudit.model.drawing import Arc, Circle, Curve, Mark, Point, Segment, Shape
from dimaudit.model.geometry import Feature, FeatureKind, Near
from dimaudit.model.view import View, crossing, foot_on, joint_kind, on_arc, quadrants, shape_ends

_ORDER = (
    FeatureKind.CORNER,
    FeatureKind.TANGENT_POINT,
    FeatureKind.END,
    FeatureKind.CENTRE,
    FeatureKind.POINT,
    FeatureKind.QUADRANT,
    FeatureKind.INTERSECTION,
    FeatureKind.SHARP_CORNER,
    FeatureKind.MIDPOINT,
    FeatureKind.EDGE,
    FeatureKind.ARC,
    FeatureKind.CURVE,
)
_LINES = (FeatureKind.EDGE, FeatureKind.ARC, FeatureKind.CURVE)
_RANK = {kind: rank for rank, kind in enumerate(_ORDER)}


@dataclass(frozen=True, slots=True)
class Candidate:
    """A feature and the square of its distance from the point."""

    feature: Feature
    square: Fraction
    own: bool = True
    """Whether it belongs to the dimension's own view."""


def candidates(
    point: Point, near: Near, shapes: Sequence[Shape], view: View, snap: Fraction, near_limit: Fraction
) -> list[Candidate]:
    """Features of the view near `point`: places first (corners, centres, …), then the lines themselves.

    `near` lists indices into `shapes`. Shapes of other views count, since a point on a line is on it whatever
    the view; the caller decides what to make of them. Corners further off than `near_limit` are passed over;
    where a place is within `snap`, the lines are not looked at.
    """
    inside = view.members
    bodies = [shapes[k] for k in near.bodies]
    centres = [shapes[k] for k in near.centres]
    found: list[Candidate] = []
    met: dict[Point, tuple[Point, list[Shape]]] = {}
    x, y, reach = float(point[0]), float(point[1]), float(near_limit) * 1.01
    for shape in bodies:
        for end in shape_ends(shape):
            if end == point or (abs(float(end[0]) - x) <= reach and abs(float(end[1]) - y) <= reach):
                met.setdefault(view.place(end), (end, []))[1].append(shape)
    for at, (raw, own) in met.items():
        feature = Feature(joint_kind(raw, own), at, raw, tuple(own))
        found.append(Candidate(feature, _square(point, raw), any(id(s) in inside for s in own)))
    for shape in centres:
        assert isinstance(shape, (Arc, Circle, Curve))
        centre = shape.centre
        if centre is not None:
            feature = Feature(FeatureKind.CENTRE, view.place(centre), centre, (shape,))
            found.append(Candidate(feature, _square(point, centre), id(shape) in inside))
    limit = snap * snap
    if any(c.square <= limit for c in found):
        return found
    for shape in bodies:
        feet = _on_body(point, shape, view)
        found += feet if id(shape) in inside else [replace(c, own=False) for c in feet]
    found += _crossings(point, bodies, view, limit)
    through = [c.feature.shapes[0] for c in found if c.square <= limit and c.feature.kind in _LINES]
    if len(through) > 1 and any(not isinstance(s, Segment) for s in through):
        # Where a curve meets something its own equation would be needed: the point itself stands for the place.
        found.append(Candidate(Feature(FeatureKind.INTERSECTION, point, point, tuple(through)), Fraction(0)))
    for corner in view.sharp_near(x, reach):
        if abs(float(corner.raw[1]) - y) <= reach:
            found.append(Candidate(corner, _square(point, corner.raw)))
    return found


def best(found: Iterable[Candidate], limit: Fraction) -> Candidate | None:
    """The candidate within `limit` (a squared distance): places before lines, then the nearest."""
    inside = [c for c in found if c.square <= limit]
    return min(inside, key=lambda c: (_RANK[c.feature.kind], c.square), default=None)


def closest(found: Iterable[Candidate]) -> Candidate | None:
    """The nearest candidate; a place before the line it is on."""
    return min(found, key=lambda c: (c.square, _RANK[c.feature.kind]), default=None)


def _square(p: Point, q: Point) -> Fraction:
    if p == q:
        return Fraction(0)
    dx, dy = p[0] - q[0], p[1] - q[1]
    return dx * dx + dy * dy


def _on_body(point: Point, shape: Shape, view: View) -> list[Candidate]:
    """The foot of `point` on the shape, and the shape's own places (midpoint, quadrants)."""
    match shape:
        case Segment(_, a, b):
            raw = foot_on(point, a, b)
            at = foot_on(point, view.place(a), view.place(b))
            middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
            pa, pb = view.place(a), view.place(b)
            centred = ((pa[0] + pb[0]) / 2, (pa[1] + pb[1]) / 2)
            return [
                Candidate(Feature(FeatureKind.EDGE, at, raw, (shape,)), _square(point, raw)),
                Candidate(Feature(FeatureKind.MIDPOINT, centred, middle, (shape,)), _square(point, middle)),
            ]
        case Arc(_, centre, radius, _, _) | Circle(_, centre, radius):
            found = []
            off = _square(point, centre)
            # The distance to the circle is |sqrt(off) - radius|; its double is exact enough to search with, and the
            # point itself, on the circle as near as can be told, stands for where the dimension touches it.
            apart = Fraction(abs(float(off) ** 0.5 - float(radius)))
            if isinstance(shape, Circle) or on_arc(shape, point):
                found.append(Candidate(Feature(FeatureKind.ARC, point, point, (shape,)), apart * apart))
            places = quadrants(view.place(centre), view.radius(radius).value)
            for raw, at in zip(quadrants(centre, radius), places, strict=True):
                if isinstance(shape, Circle) or on_arc(shape, raw):
                    found.append(Candidate(Feature(FeatureKind.QUADRANT, at, raw, (shape,)), _square(point, raw)))
            return found
        case Curve(_, points, _):
            feet = [foot_on(point, a, b) for a, b in pairwise(points)]
            nearest = min(feet, key=lambda p: _square(point, p), default=points[0])
            return [Candidate(Feature(FeatureKind.CURVE, nearest, nearest, (shape,)), _square(point, nearest))]
        case Mark(_, at):
            return [Candidate(Feature(FeatureKind.POINT, view.place(at), at, (shape,)), _square(point, at))]


def _crossings(point: Point, bodies: Sequence[Shape], view: View, limit: Fraction) -> list[Candidate]:
    """Where two straight lines cross near the point."""
    lines = [s for s in bodies if isinstance(s, Segment)]
    found = []
    for i, first in enumerate(lines):
        for second in lines[i + 1 :]:
            raw = crossing(first.a, first.b, second.a, second.b)
            if raw is None or _square(point, raw) > limit:
                continue
            at = crossing(view.place(first.a), view.place(first.b), view.place(second.a), view.place(second.b)) or raw
            found.append(
                Candidate(Feature(FeatureKind.INTERSECTION, at, raw, (first, second)), _square(point, raw))
            )
    return found
