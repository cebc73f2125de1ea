"""Features in words: 'left edge', 'centre of the Ø.750 hole'."""

from fractions import Fraction

from dimaudit.exact.number import decimal_text
from dimaudit.model.attached import Attached, End, Link
from dimaudit.model.drawing import Arc, Circle, Kind, LineRole, Point, Segment, Shape
from dimaudit.model.geometry import Feature, FeatureKind
from dimaudit.model.units import INCHES, Unit
from dimaudit.model.view import View

SLACK = 1e-9


def size_text(value: Fraction, unit: Unit | None) -> str:
    """A length as the trade writes it: no zero before the point in inches, one in millimetres."""
    text = decimal_text(value, 6)
    if unit not in INCHES:
        return text
    whole, _, decimals = text.partition(".")
    return f"{'' if whole == '0' else whole}.{decimals.ljust(3, '0')}"


def kind_text(kind: Kind) -> str:
    """The kind as a person would say it: 'linear dimension', 'angle', 'radius'."""
    match kind:
        case Kind.LINEAR | Kind.ALIGNED | Kind.ORDINATE:
            return f"{kind} dimension"
        case Kind.ANGULAR | Kind.ANGULAR_3P:
            return "angle"
        case _:
            return str(kind)


def where_text(attached: Attached, unit: Unit | None) -> str:
    """The dimension's place on the part: 'left edge to centre of the Ø.750 hole'; empty where nothing is known."""
    parts = [end_text(end, attached, unit) for end in attached.ends]
    if attached.dimension.kind in (Kind.RADIUS, Kind.DIAMETER, Kind.JOGGED_RADIUS):
        return next((p for p, e in zip(parts[::-1], attached.ends[::-1], strict=True) if e.feature), "")
    if len(parts) == 2 and parts[0] == parts[1]:  # two features of one description: tell them apart by their places
        places = [end.feature.at if end.feature else end.point for end in attached.ends]
        parts = [f"{part} at {_at(p, unit)}" for part, p in zip(parts, places, strict=True)]
    return " to ".join(part for part in parts if part)


def end_text(end: End, attached: Attached, unit: Unit | None) -> str:
    """One end in words."""
    if end.feature is None or attached.view is None:
        x, y = (size_text(q, unit) for q in end.point)
        return f"nothing at ({x}, {y})"
    if end.link is Link.FLOATING:
        x, y = (size_text(q, unit) for q in end.point)
        return f"no place of the {_line(end.feature.shapes[0], attached.view, unit)}, at ({x}, {y})"
    kind = attached.dimension.kind
    axis: int | None = None
    if kind in (Kind.LINEAR, Kind.ORDINATE):
        turn = attached.dimension.angle % 180
        if turn in (0, 90):
            axis = 0 if turn == 0 else 1
            if kind is Kind.ORDINATE and not attached.dimension.along_x:
                axis = 1 - axis
    return feature_text(end.feature, attached.view, unit, axis)


def feature_text(feature: Feature, view: View, unit: Unit | None, axis: int | None = None) -> str:
    """A feature in words; `axis` is the measured direction (0 for x, 1 for y) where it is an axis.

    A corner measured along an axis is called by the edge that stands square to the axis there, as a person would.
    """
    if axis is not None and feature.kind in (FeatureKind.CORNER, FeatureKind.END, FeatureKind.MIDPOINT):
        for shape in feature.shapes:
            if isinstance(shape, Segment) and shape.a[axis] == shape.b[axis] and shape.a != shape.b:
                return _edge(shape, view, axis, unit)
    match feature.kind:
        case FeatureKind.CENTRE:
            return f"centre of the {_round(feature.shapes[0], view, unit)}"
        case FeatureKind.QUADRANT:
            return f"{_quadrant(feature)} quadrant of the {_round(feature.shapes[0], view, unit)}"
        case FeatureKind.ARC:
            return f"the {_round(feature.shapes[0], view, unit)}"
        case FeatureKind.EDGE:
            return _line(feature.shapes[0], view, unit)
        case FeatureKind.MIDPOINT:
            return f"midpoint of the {_line(feature.shapes[0], view, unit)}"
        case FeatureKind.CURVE:
            return f"a curve near {_at(feature.at, unit)}"
        case FeatureKind.CORNER:
            return f"{_side(feature.at, view)}corner at {_at(feature.at, unit)}"
        case FeatureKind.END:
            what = "centreline" if feature.shapes[0].origin.role is LineRole.CENTRE else "line"
            return f"end of a {what} at {_at(feature.at, unit)}"
        case FeatureKind.TANGENT_POINT:
            return f"tangent point at {_at(feature.at, unit)}"
        case FeatureKind.INTERSECTION:
            return f"intersection at {_at(feature.at, unit)}"
        case FeatureKind.SHARP_CORNER:
            return f"theoretical sharp corner at {_at(feature.at, unit)}"
        case FeatureKind.POINT:
            if not feature.shapes:
                return "the drawing's origin"
            return f"point at {_at(feature.at, unit)}"


def _at(p: Point, unit: Unit | None) -> str:
    return f"({size_text(p[0], unit)}, {size_text(p[1], unit)})"


def _round(shape: Shape, view: View, unit: Unit | None) -> str:
    if isinstance(shape, Circle):
        return f"Ø{size_text(view.radius(shape.radius).value * 2, unit)} circle"
    if isinstance(shape, Arc):
        return f"R{size_text(view.radius(shape.radius).value, unit)} arc"
    return "curve"


def _quadrant(feature: Feature) -> str:
    shape = feature.shapes[0]
    if not isinstance(shape, (Arc, Circle)):
        return ""
    dx, dy = feature.raw[0] - shape.centre[0], feature.raw[1] - shape.centre[1]
    if abs(dx) > abs(dy):
        return "right" if dx > 0 else "left"
    return "upper" if dy > 0 else "lower"


def _line(shape: Shape, view: View, unit: Unit | None) -> str:
    if isinstance(shape, Segment):
        if abs(shape.a[0] - shape.b[0]) < SLACK:
            return _edge(shape, view, 0, unit)
        if abs(shape.a[1] - shape.b[1]) < SLACK:
            return _edge(shape, view, 1, unit)
        what = "centreline" if shape.origin.role is LineRole.CENTRE else "slanted edge"
        return f"{what} from {_at(view.place(shape.a), unit)} to {_at(view.place(shape.b), unit)}"
    return _round(shape, view, unit)


def _edge(shape: Segment, view: View, axis: int, unit: Unit | None) -> str:
    upright = "vertical" if axis == 0 else "horizontal"
    at = f"at {'xy'[axis]} = {size_text((view.xs if axis == 0 else view.ys).place(shape.a[axis]), unit)}"
    if shape.origin.role is LineRole.CENTRE:
        return f"{upright} centreline {at}"
    if shape.origin.role is LineRole.HIDDEN:
        return f"hidden {upright} edge {at}"
    side = _end_of(float(shape.a[axis]), view.extent[axis], ("left", "right") if axis == 0 else ("lower", "upper"))
    return f"{side} edge" if side else f"{upright} edge {at}"


def _side(p: Point, view: View) -> str:
    x = _end_of(float(p[0]), view.extent[0], ("left", "right"))
    y = _end_of(float(p[1]), view.extent[1], ("lower", "upper"))
    return f"{y} {x} " if x and y else ""


def _end_of(value: float, extent: tuple[float, float], names: tuple[str, str]) -> str:
    """Which end of the part a coordinate is, if any; as near as words need it."""
    slack = 1e-6 * (abs(extent[0]) + abs(extent[1]) + 1)
    if abs(value - extent[0]) <= slack:
        return names[0]
    return names[1] if abs(value - extent[1]) <= slack else ""
