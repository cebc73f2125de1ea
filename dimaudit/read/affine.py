"""Exact plane transformations, for block references and viewports."""

from dataclasses import dataclass
from fractions import Fraction
from math import atan2, degrees

from dimaudit.exact.direction import unit_vector
from dimaudit.exact.number import exact
from dimaudit.model.drawing import Arc, Circle, Curve, Mark, Origin, Point, Segment, Shape

CURVE_STEPS = 64
"""Points on a circle that an unequal scale turned into an ellipse."""


def on_circle(centre: Point, radius: Fraction, degrees: Fraction) -> Point:
    """The point of a circle at an angle; beyond the quadrants it carries the rounding of a double."""
    c, s = unit_vector(degrees)
    if c and s:
        x, y = centre[0] + radius * c, centre[1] + radius * s
        return exact(float(x)), exact(float(y))
    return centre[0] + radius * c, centre[1] + radius * s


@dataclass(frozen=True, slots=True)
class Affine:
    """(x, y) -> (a x + b y + c, d x + e y + f)."""

    a: Fraction = Fraction(1)
    b: Fraction = Fraction(0)
    c: Fraction = Fraction(0)
    d: Fraction = Fraction(0)
    e: Fraction = Fraction(1)
    f: Fraction = Fraction(0)

    def __call__(self, p: Point) -> Point:
        x, y = p
        return self.a * x + self.b * y + self.c, self.d * x + self.e * y + self.f

    def after(self, first: "Affine") -> "Affine":
        """The transformation that does `first` and then this one."""
        x, y = self((first.c, first.f))
        return Affine(
            self.a * first.a + self.b * first.d,
            self.a * first.b + self.b * first.e,
            x,
            self.d * first.a + self.e * first.d,
            self.d * first.b + self.e * first.e,
            y,
        )

    @property
    def is_identity(self) -> bool:
        return self == IDENTITY

    @property
    def mirrors(self) -> bool:
        return self.a * self.e - self.b * self.d < 0

    def scale(self) -> Fraction | None:
        """The one factor by which lengths grow; None where it depends on the direction.

        A rotation that is no multiple of 90 degrees arrives as decimals of its sine and cosine, so
        'one factor' is decided as far as 1e-12 and the factor itself is given by the nearest short decimal.
        """
        xx, yy = self.a**2 + self.d**2, self.b**2 + self.e**2
        skew = self.a * self.b + self.d * self.e
        if xx == yy and skew == 0 and 0 in (self.a, self.d):
            return abs(self.a + self.d)
        if abs(xx - yy) > xx / 10**12 or abs(skew) > xx / 10**12:
            return None
        return exact(round(float(xx) ** 0.5, 12))


IDENTITY = Affine()


def placed(insert: Point, scale_x: Fraction, scale_y: Fraction, degrees: Fraction, base: Point) -> Affine:
    """A block reference: base point to the origin, scaled, rotated, moved to `insert`."""
    c, s = unit_vector(degrees)
    about = Affine(c * scale_x, -s * scale_y, Fraction(0), s * scale_x, c * scale_y, Fraction(0))
    x, y = about((-base[0], -base[1]))
    return Affine(about.a, about.b, insert[0] + x, about.d, about.e, insert[1] + y)


def turned(degrees_before: Fraction, by: Affine) -> Fraction:
    """A direction after the transformation, in degrees from the x axis."""
    x, y = by.a, by.d
    if y == 0:
        turn = Fraction(0 if x > 0 else 180)
    elif x == 0:
        turn = Fraction(90 if y > 0 else 270)
    else:
        turn = exact(round(degrees(atan2(y, x)), 10))
    return turn - degrees_before if by.mirrors else turn + degrees_before


def transformed(shape: Shape, by: Affine, origin: Origin) -> Shape:
    """The shape moved by `by`; an arc or circle under an unequal scale becomes a curve."""
    match shape:
        case Segment(_, a, b):
            return Segment(origin, by(a), by(b))
        case Mark(_, at):
            return Mark(origin, by(at))
        case Curve(_, points, centre):
            return Curve(origin, tuple(by(p) for p in points), None if centre is None else by(centre))
        case Circle(_, centre, radius):
            scale = by.scale()
            if scale is not None:
                return Circle(origin, by(centre), radius * scale)
            ring = [on_circle(centre, radius, Fraction(360 * k, CURVE_STEPS)) for k in range(CURVE_STEPS + 1)]
            return Curve(origin, tuple(by(p) for p in ring), by(centre))
        case Arc(_, centre, radius, a, b):
            scale = by.scale()
            if scale is not None:
                ends = (by(b), by(a)) if by.mirrors else (by(a), by(b))
                return Arc(origin, by(centre), radius * scale, *ends)
            return Curve(origin, tuple(by(p) for p in _arc_points(shape)), by(centre))


def _arc_points(arc: Arc) -> list[Point]:
    def angle(p: Point) -> float:
        return degrees(atan2(p[1] - arc.centre[1], p[0] - arc.centre[0]))

    start = angle(arc.a)
    sweep = (angle(arc.b) - start) % 360 or 360.0
    inner = [
        on_circle(arc.centre, arc.radius, exact(start + sweep * k / CURVE_STEPS)) for k in range(1, CURVE_STEPS)
    ]
    return [arc.a, *inner, arc.b]
