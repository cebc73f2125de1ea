"""Radius, diameter, foreshortened radius and arc length: dimensions of one arc or circle."""

from fractions import Fraction

from dimaudit.attach.context import Context, Result
from dimaudit.attach.nearest import Candidate
from dimaudit.exact.number import exact
from dimaudit.exact.real import nearly
from dimaudit.model.attached import End, Link
from dimaudit.model.drawing import Arc, Circle, Kind, Point
from dimaudit.model.geometry import Feature, FeatureKind

Round = Arc | Circle

_ROLES = {
    Kind.RADIUS: ((10, "centre"), (15, "point on the arc")),
    Kind.JOGGED_RADIUS: ((10, "centre"), (15, "point on the arc")),
    Kind.DIAMETER: ((10, "one side"), (15, "other side")),
    Kind.ARC_LENGTH: ((13, "first end"), (14, "second end"), (15, "centre")),
}


def attach_circular(context: Context) -> Result:
    """The arc that the dimension names, and how each of its points stands to it."""
    if context.dimension.kind is Kind.ARC_LENGTH:
        return _arc_length(context)
    shape = _meant(context)
    kind = context.dimension.kind
    if shape is None:
        return tuple(context.floating(g, role) for g, role in _ROLES[kind]), None
    ends = []
    for group, role in _ROLES[kind]:
        centre = role == "centre"
        if centre and kind is Kind.JOGGED_RADIUS:  # its centre is shown displaced on purpose
            continue
        ends.append(_end(context, group, role, shape, centre))
    return tuple(ends), {}


def _end(context: Context, group: int, role: str, shape: Round, centre: bool) -> End:
    point, view, lengths = context.dimension.points[group], context.view, context.lengths
    if centre:
        feature = Feature(FeatureKind.CENTRE, view.place(shape.centre), shape.centre, (shape,))
        square = _square(point, shape.centre)
    else:
        feature = Feature(FeatureKind.ARC, point, point, (shape,))
        square = _off_circle(point, shape) ** 2
    if square <= lengths.snap**2:
        return context.end(group, role, Link.ON, feature, square)
    link = Link.NEAR if square <= lengths.near**2 else Link.FLOATING
    return context.end(group, role, link, feature if link is Link.NEAR else None, square)


def _meant(context: Context) -> Round | None:
    """Of the arcs and circles that the points touch, the one that most of them fit; ties go to the better fit.

    A point on the arc counts as touching where it is on the whole circle: a leader may point at the arc's
    continuation. The centre counts by itself only if the size fits, too: concentric circles share it.
    """
    dimension, lengths = context.dimension, context.lengths
    ends = [dimension.points[g] for g, role in _ROLES[dimension.kind] if role != "centre"]
    if dimension.kind is Kind.DIAMETER:
        a, b = ends
        centre: Point | None = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
    else:
        centre = dimension.points[10] if dimension.kind is Kind.RADIUS else None
    best: tuple[int, float, str] | None = None
    found: Round | None = None
    for shape in _round_shapes(context):
        offs = [_off_circle(p, shape) for p in ends]
        fits = sum(off <= lengths.snap for off in offs)
        close = sum(off <= lengths.near for off in offs)
        centred = centre is not None and _square(centre, shape.centre) <= lengths.near**2
        if not close or (not fits and not centred):
            continue
        score = (-2 * fits - centred, float(sum(offs)), shape.origin.handle)
        if best is None or score < best:
            best, found = score, shape
    return found


def _round_shapes(context: Context) -> list[Round]:
    """Arcs and circles of the view near the points, then all of the view."""
    inside = context.view.members
    near: dict[int, Round] = {}
    for spot in context.near.values():
        for k in (*spot.bodies, *spot.centres):
            shape = context.shapes[k]
            if isinstance(shape, (Arc, Circle)) and id(shape) in inside:
                near[k] = shape
    if near:
        return list(near.values())
    return [s for s in context.view.shapes if isinstance(s, (Arc, Circle))]


def _off_circle(point: Point, shape: Round) -> Fraction:
    """The distance of a point from the shape's full circle, to twelve decimals."""
    square = _square(point, shape.centre)
    if square == shape.radius**2:
        return Fraction(0)
    return exact(round(abs(float(square) ** 0.5 - float(shape.radius)), 12))


def _square(p: Point, q: Point) -> Fraction:
    return (p[0] - q[0]) ** 2 + (p[1] - q[1]) ** 2


def _arc_length(context: Context) -> Result:
    """Both ends on features; the centre is the arc's own where one is there."""
    ends: list[End] = []
    points = dict(context.dimension.points)
    whole = True
    for group, role in _ROLES[Kind.ARC_LENGTH]:
        found = context.at(group)
        if role == "centre":
            found = [c for c in found if c.feature.kind is FeatureKind.CENTRE] or _centre_of_ends(context)
        end = context.on(group, found, role) or context.near_miss(group, found, role)
        if end is None:
            end = context.floating(group, role)
        ends.append(end)
        if end.feature is None:
            whole = False
        else:
            points[group] = end.feature.at
    return tuple(ends), points if whole else None


def _centre_of_ends(context: Context) -> list[Candidate]:
    centre = context.dimension.points[15]
    radius = nearly(Fraction(_square(centre, context.dimension.points[13]))) ** 0.5
    limit = context.lengths.near
    found = []
    for shape in context.view.shapes:
        if isinstance(shape, (Arc, Circle)) and abs(float(shape.radius) - radius) <= limit:
            square = _square(centre, shape.centre)
            feature = Feature(FeatureKind.CENTRE, context.view.place(shape.centre), shape.centre, (shape,))
            found.append(Candidate(feature, square))
    return found
