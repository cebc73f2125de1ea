"""Linear, aligned and ordinate dimensions: two points, and extension lines that may begin off the part."""

from dataclasses import replace
from fractions import Fraction
from math import hypot

from dimaudit.attach.context import Context, Result
from dimaudit.attach.extension import pointed_at
from dimaudit.exact.direction import Vector, unit_vector
from dimaudit.exact.number import exact
from dimaudit.model.attached import End, Link
from dimaudit.model.drawing import Arc, Circle, Kind, Point, Segment
from dimaudit.model.geometry import Feature, FeatureKind

_ROLES = {Kind.ORDINATE: ((10, "origin"), (13, "feature"))}
_ORIGIN: Point = (Fraction(0), Fraction(0))
"""Ordinates are commonly taken from the drawing's own origin, whether or not something is drawn there."""
_TWO_ENDS = ((13, "first end"), (14, "second end"))


def attach_linear(context: Context) -> Result:
    """Each end: on a feature, else in line with one along its extension line, else near one, else floating."""
    dimension = context.dimension
    directions = _directions(context)
    ends: list[End] = []
    points: dict[int, Point] = dict(dimension.points)
    whole = True
    for group, role in _ROLES.get(dimension.kind, _TWO_ENDS):
        end = _end(context, group, role, directions)
        ends.append(end)
        if end.feature is None or end.link is Link.FLOATING:
            whole = False
        else:
            points[group] = end.feature.at
    return tuple(ends), points if whole else None


def _end(context: Context, group: int, role: str, extension: Vector | None) -> End:
    found = context.at(group)
    end = context.on(group, found, role)
    if end is None and group == 10 and context.dimension.points[group] == _ORIGIN:
        return context.end(group, role, Link.ON, Feature(FeatureKind.POINT, _ORIGIN, _ORIGIN, ()), _ORIGIN[0])
    if end is not None and not _slides(end, _measured_direction(context)):
        return end
    if extension is None or (context.dimension.kind is Kind.ORDINATE and group == 10):
        return end or context.near_miss(group, found, role) or context.floating(group, role)
    toward = _on_dimension_line(context, group)
    lengths = context.lengths
    point = context.dimension.points[group]
    hit, in_line = pointed_at(point, toward, extension, context.view, lengths.snap, lengths.near)
    if hit is not None and in_line:
        return context.end(group, role, Link.IN_LINE, hit.feature, hit.square)
    if end is not None:  # somewhere along an edge, which marks no level: the place beside it is meant, if any
        places = [c for c in found if c.feature.kind not in _SLIPPERY]
        beside = context.near_miss(group, places, role)
        if beside is None and hit is not None:
            beside = context.end(group, role, Link.NEAR, hit.feature, hit.square)
        return beside or replace(end, link=Link.FLOATING)
    missed = context.near_miss(group, found, role)
    if missed is not None:
        return missed
    if hit is not None:
        return context.end(group, role, Link.NEAR, hit.feature, hit.square)
    return context.floating(group, role)


_SLIPPERY = (FeatureKind.EDGE, FeatureKind.ARC, FeatureKind.CURVE)
SQUARE = 0.005
"""Sine of the angle (0.3 degrees) up to which an edge counts as square to the measured direction."""


def _slides(end: End, measured: Vector | None) -> bool:
    """Whether the point could slide along what it is on and measure something else at each place.

    An edge gives a level only where it stands square to the measured direction; so does the tangent of an arc.
    """
    if end.feature is None or measured is None:
        return False
    shape = end.feature.shapes[0] if end.feature.shapes else None
    if end.feature.kind is FeatureKind.EDGE and isinstance(shape, Segment):
        along = (float(shape.b[0] - shape.a[0]), float(shape.b[1] - shape.a[1]))
    elif end.feature.kind is FeatureKind.ARC and isinstance(shape, (Arc, Circle)):
        along = (float(shape.centre[1] - end.point[1]), float(end.point[0] - shape.centre[0]))
    else:
        return False
    mx, my = float(measured[0]), float(measured[1])
    size = hypot(*along) * hypot(mx, my)
    return size > 0 and abs(along[0] * mx + along[1] * my) > SQUARE * size


def _measured_direction(context: Context) -> Vector | None:
    """The direction in which the number is taken; None where the two points are one."""
    dimension = context.dimension
    match dimension.kind:
        case Kind.LINEAR:
            return unit_vector(dimension.angle)
        case Kind.ORDINATE:
            return unit_vector(dimension.angle if dimension.along_x else dimension.angle + 90)
        case _:
            a, b = dimension.points[13], dimension.points[14]
            return None if a == b else (b[0] - a[0], b[1] - a[1])


def _directions(context: Context) -> Vector | None:
    """The unit vector along the extension lines; None where the two points are one."""
    dimension = context.dimension
    if dimension.oblique is not None:
        return unit_vector(dimension.angle + dimension.oblique)
    match dimension.kind:
        case Kind.LINEAR:
            return unit_vector(dimension.angle + 90)
        case Kind.ORDINATE:
            return unit_vector(dimension.angle + 90 if dimension.along_x else dimension.angle)
        case _:
            a, b = dimension.points[13], dimension.points[14]
            dx, dy = b[0] - a[0], b[1] - a[1]
            size = (float(dx) ** 2 + float(dy) ** 2) ** 0.5
            if size == 0:
                return None
            if dx == 0 or dy == 0:
                return unit_vector((0 if dy else 90) * exact(1.0))
            return exact(-float(dy) / size), exact(float(dx) / size)


def _on_dimension_line(context: Context, group: int) -> Point:
    """A point that the extension line runs toward: the dimension line's, for ordinates the leader's end."""
    points = context.dimension.points
    return points.get(14 if context.dimension.kind is Kind.ORDINATE else 10, points[group])
