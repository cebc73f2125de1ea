"""The number that a kind of dimension takes from its points. Exact, and the same rule for both sets of points:
the definition points as stored (spanned) and the features they attach to (drawn)."""

from collections.abc import Mapping
from fractions import Fraction
from math import hypot

from dimaudit.exact.direction import unit_vector
from dimaudit.exact.real import Enclosed, Form, Real, angle_between, enclose, nearly, projection, root
from dimaudit.model.drawing import Dimension, Kind, Point

Points = Mapping[int, Point]


def distance(p: Point, q: Point) -> Real:
    """The straight distance of two points."""
    dx, dy = q[0] - p[0], q[1] - p[1]
    if not dx:
        return abs(dy)
    if not dy:
        return abs(dx)
    return root(dx * dx + dy * dy)


def measure(dimension: Dimension, points: Points) -> Real | None:
    """What the dimension measures between `points` (by DXF group), before any factor; None where it is undefined.

    Linear: the projection of 13-14 on the dimension's direction. Ordinate: the level of 13 from the origin 10.
    Angles in degrees. Definitions: DXF reference, DIMENSION.
    """
    match dimension.kind:
        case Kind.LINEAR:
            a, b = points[13], points[14]
            dx, dy = b[0] - a[0], b[1] - a[1]
            if dimension.angle % 45 and _is_along(dx, dy, dimension.angle):
                return distance(a, b)
            return projection(dx, dy, dimension.angle)
        case Kind.ALIGNED:
            return distance(points[13], points[14])
        case Kind.RADIUS | Kind.DIAMETER | Kind.JOGGED_RADIUS:
            return distance(points[10], points[15])
        case Kind.ORDINATE:
            a, b = points[10], points[13]
            along = dimension.angle if dimension.along_x else dimension.angle + 90
            return projection(b[0] - a[0], b[1] - a[1], along)
        case Kind.ANGULAR:
            return _between_lines(points)
        case Kind.ANGULAR_3P:
            return _at_vertex(points[15], points[13], points[14], points.get(10))
        case Kind.ARC_LENGTH:
            return _arc_length(points)


def _is_along(dx: Fraction, dy: Fraction, degrees: Fraction) -> bool:
    """Whether an angle in degrees is the decimal of the vector's own direction: then the distance itself is meant.

    The file's angle is rounded; what that does to a length is of the second order, below 1e-18 of it here.
    """
    c, s = unit_vector(degrees)
    across = float(dx * s - dy * c)
    return abs(across) <= 1e-9 * hypot(float(dx), float(dy))


def _between_lines(points: Points) -> Real | None:
    """The angle of the sector in which point 16 lies, of the four that the lines 13-14 and 15-10 make.

    Each side's direction is taken so that the two enclose point 16. Lines that do not meet have no angle.
    """
    a, b, c, d = points[13], points[14], points[15], points[10]
    ux, uy, vx, vy = b[0] - a[0], b[1] - a[1], d[0] - c[0], d[1] - c[1]
    across = ux * vy - uy * vx
    if across == 0:
        return None
    t = ((c[0] - a[0]) * vy - (c[1] - a[1]) * vx) / across
    vertex = (a[0] + t * ux, a[1] + t * uy)
    spot = points.get(16)
    if spot is None:
        return _smaller(ux, uy, vx, vy)
    px, py = spot[0] - vertex[0], spot[1] - vertex[1]
    # In the frame of the two directions the arc's point has two coordinates; their signs name the sector.
    along_u = (px * vy - py * vx) / across
    along_v = (ux * py - uy * px) / across
    if along_u == 0 or along_v == 0:
        return _smaller(ux, uy, vx, vy)
    if along_u < 0:
        ux, uy = -ux, -uy
    if along_v < 0:
        vx, vy = -vx, -vy
    return _smaller(ux, uy, vx, vy)


def _smaller(ux: Fraction, uy: Fraction, vx: Fraction, vy: Fraction) -> Real:
    """The angle below 180 degrees between two directions."""
    if ux * vy - uy * vx < 0:
        ux, uy, vx, vy = vx, vy, ux, uy
    return angle_between(ux, uy, vx, vy)


def _at_vertex(vertex: Point, first: Point, second: Point, spot: Point | None) -> Real | None:
    """The angle at `vertex` from `first` to `second` on the side where `spot` (the dimension arc) lies."""
    ux, uy = first[0] - vertex[0], first[1] - vertex[1]
    vx, vy = second[0] - vertex[0], second[1] - vertex[1]
    if (ux == 0 and uy == 0) or (vx == 0 and vy == 0):
        return None
    there = angle_between(ux, uy, vx, vy)
    if spot is None:
        return there
    px, py = spot[0] - vertex[0], spot[1] - vertex[1]
    if px == 0 and py == 0:
        return there
    if nearly(angle_between(ux, uy, px, py)) <= nearly(there):
        return there
    return angle_between(vx, vy, ux, uy)


def _arc_length(points: Points) -> Real | None:
    """The arc about 15 from 13 to 14, counter-clockwise, on the side of point 10 where that is known."""
    centre, first, second = points[15], points[13], points[14]
    ux, uy = first[0] - centre[0], first[1] - centre[1]
    vx, vy = second[0] - centre[0], second[1] - centre[1]
    square = ux * ux + uy * uy
    if square == 0 or (vx == 0 and vy == 0):
        return None
    spot = points.get(10)
    if spot is not None and (spot[0] != centre[0] or spot[1] != centre[1]):
        px, py = spot[0] - centre[0], spot[1] - centre[1]
        if nearly(angle_between(ux, uy, px, py)) > nearly(angle_between(ux, uy, vx, vy)):
            ux, uy, vx, vy = vx, vy, ux, uy
    turn = angle_between(ux, uy, vx, vy)
    if isinstance(turn, Fraction):
        return Enclosed(Form.ARC, (square, turn))
    return Enclosed(Form.ARC_BETWEEN, (ux, uy, vx, vy, square))


def within(value: Real, target: Fraction, limit: Fraction) -> bool:
    """Whether `value` is within `limit` of `target`, decided on an enclosure finer than the limit."""
    low, high = enclose(value, limit / 1000)
    return low - target >= -limit and high - target <= limit
