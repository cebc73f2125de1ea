"""All dimensions of a rebuilt space, attached."""

from collections import defaultdict
from collections.abc import Sequence
from fractions import Fraction

from dimaudit.attach.angular import attach_angular
from dimaudit.attach.association import check_association
from dimaudit.attach.circular import attach_circular
from dimaudit.attach.context import Context
from dimaudit.attach.linear import attach_linear
from dimaudit.attach.measure import measure
from dimaudit.attach.recovering import recovered
from dimaudit.exact.real import Real
from dimaudit.model.attached import Attached, End, Link, Measured
from dimaudit.model.drawing import Dimension, Kind, Point, Shape
from dimaudit.model.settings import Lengths
from dimaudit.model.view import Geometry, View

_BY_KIND = {
    Kind.LINEAR: attach_linear,
    Kind.ALIGNED: attach_linear,
    Kind.ORDINATE: attach_linear,
    Kind.RADIUS: attach_circular,
    Kind.DIAMETER: attach_circular,
    Kind.JOGGED_RADIUS: attach_circular,
    Kind.ARC_LENGTH: attach_circular,
    Kind.ANGULAR: attach_angular,
    Kind.ANGULAR_3P: attach_angular,
}


def attach(geometry: Geometry, lengths: Lengths) -> tuple[Attached, ...]:
    """Ties each dimension of the space to the features of its view and measures both ways."""
    by_handle: dict[str, list[Shape]] = defaultdict(list)
    if any(d.association is not None for d in geometry.space.dimensions):
        for shape in geometry.space.shapes:
            for handle in (shape.origin.handle, *shape.origin.inserts):
                by_handle[handle].append(shape)
    return tuple(
        _attach_one(dimension, geometry, None if v is None else geometry.views[v], k, lengths, by_handle)
        for k, (dimension, v) in enumerate(
            zip(geometry.space.dimensions, geometry.view_of_dimension, strict=True)
        )
    )


def _attach_one(
    dimension: Dimension, geometry: Geometry, view: View | None, k: int, lengths: Lengths,
    by_handle: dict[str, list[Shape]],
) -> Attached:  # fmt: skip
    near, shapes = geometry.near[k], geometry.space.shapes
    # Where a dimension can't be measured, whether its geometry is still in the file can be told all the same.
    whole = None if dimension.unmeasurable else view
    hold, broken = check_association(dimension, dimension.association, by_handle, whole, lengths.snap)
    if dimension.unmeasurable:
        return Attached(dimension, view, (), hold, broken, None, None, dimension.unmeasurable)
    noise = geometry.noise
    if view is None:
        raw = measure(dimension, dimension.points)
        if raw is None:
            return Attached(dimension, view, (), hold, broken, None, None, _undefined(dimension))
        loose = tuple(
            End(group, "point", point, Link.FLOATING, None, Fraction(0))
            for group, point in dimension.measured_points.items()
        )
        return Attached(dimension, view, loose, hold, broken, _spanned(dimension, raw, None, noise), None)
    context = Context(dimension, view, shapes, near, lengths)
    ends, points = _BY_KIND[dimension.kind](context)
    drawn = None if points is None else _drawn(context, ends, points)
    exactly_there = all(end.link is Link.ON and end.off_square == 0 for end in ends)
    if drawn is not None and exactly_there and dimension.kind in (Kind.LINEAR, Kind.ALIGNED, Kind.ORDINATE):
        spanned = drawn  # the points are the features: measuring twice would give the same
    else:
        raw = measure(dimension, dimension.points)
        if raw is None:
            return Attached(dimension, view, (), hold, broken, None, None, _undefined(dimension))
        spanned = _spanned(dimension, raw, view, noise)
    return Attached(dimension, view, ends, hold, broken, spanned, drawn)


def _spanned(dimension: Dimension, raw: Real, view: View | None, noise: Fraction) -> Measured:
    """The number between the definition points, each moved onto the level of the view that it stands on."""
    points = dimension.points
    if view is not None:
        points = {group: view.place(point) for group, point in points.items()}
    clean = measure(dimension, points)
    measured = [points[group] for group in dimension.measured_points]
    return recovered(raw if clean is None else clean, raw, dimension, measured, noise)


def _drawn(context: Context, ends: Sequence[End], points: dict[int, Point]) -> Measured | None:
    """The number between the features. For radii and diameters it is the arc's own radius, not a distance."""
    dimension, view = context.dimension, context.view
    noise = context.noise
    if dimension.kind in (Kind.RADIUS, Kind.DIAMETER, Kind.JOGGED_RADIUS):
        arc = next((s for e in ends if e.feature for s in e.feature.shapes if hasattr(s, "radius")), None)
        if arc is None:
            return None
        radius = view.radius(arc.radius)
        factor = 2 if dimension.kind is Kind.DIAMETER else 1
        return Measured(radius.value * factor, radius.raw * factor, radius.value != radius.raw)
    value = measure(dimension, points)
    if value is None:
        return None
    raws = {e.group: e.feature.raw for e in ends if e.feature is not None}
    clean = dimension.kind is Kind.ANGULAR or all(points[group] == raw for group, raw in raws.items())
    raw = value if clean else measure(dimension, {**points, **raws})
    return recovered(value, raw if raw is not None else value, dimension, points.values(), noise)


def _undefined(dimension: Dimension) -> str:
    match dimension.kind:
        case Kind.ANGULAR:
            return "its two lines are parallel: they make no angle"
        case Kind.ANGULAR_3P:
            return "one of its sides has no length: there is no angle"
        case _:
            return "its points do not define a number"

