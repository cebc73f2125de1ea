"""Measured values: rationals, roots of rationals, and numbers known by enclosures of any width.

Comparing never goes through binary floats. A root is compared by its square. What involves pi or
an angle is enclosed by ball arithmetic (python-flint's `arb`, F. Johansson, IEEE Trans. Computers
66(8), 2017), refined until it decides; where 1e-30 does not decide, the two are called 'equal as
far as 1e-30' and never more.
"""

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from math import isqrt
from typing import TYPE_CHECKING, TypeAlias

from dimaudit.exact.number import Rounding, decimal_text, round_to

if TYPE_CHECKING:
    from flint import arb

UNDECIDED = Fraction(1, 10**30)
"""Width of an enclosure at which comparing gives up and says so."""


@dataclass(frozen=True, slots=True)
class Root:
    """The positive square root of `square`, which is not the square of a rational."""

    square: Fraction


class Form(StrEnum):
    """What an enclosed number is."""

    ANGLE = "angle"
    """Degrees from vector (a, b) to vector (c, d), counter-clockwise, in (0, 360)."""
    PROJECTION = "projection"
    """|a cos c + b sin c| with c in degrees."""
    ARC = "arc"
    """sqrt(a) times b degrees in radians."""
    ARC_BETWEEN = "arc between"
    """sqrt(e) times the angle from (a, b) to (c, d) in radians."""


@dataclass(frozen=True, slots=True)
class Enclosed:
    """`factor` times the number that `form` makes of `args`."""

    form: Form
    args: tuple[Fraction, ...]
    factor: Fraction = Fraction(1)


Real: TypeAlias = Fraction | Root | Enclosed


def root(square: Fraction) -> Fraction | Root:
    """The positive root of `square` (>= 0): a fraction where it is one."""
    n, d = isqrt(square.numerator), isqrt(square.denominator)
    if n * n == square.numerator and d * d == square.denominator:
        return Fraction(n, d)
    return Root(square)


def angle_between(a: Fraction, b: Fraction, c: Fraction, d: Fraction) -> Fraction | Enclosed:
    """Degrees from vector (a, b) counter-clockwise to (c, d), in [0, 360).

    A rational where it is a multiple of 45; otherwise it is irrational in degrees, since the
    tangent of a rational number of degrees is itself rational only at those
    (J. M. H. Olmsted, Amer. Math. Monthly 52, 1945).
    """
    cross, dot = a * d - b * c, a * c + b * d
    if cross == 0:
        return Fraction(0 if dot > 0 else 180)
    if dot == 0:
        return Fraction(90 if cross > 0 else 270)
    if abs(cross) == abs(dot):
        return Fraction({(1, 1): 45, (1, -1): 135, (-1, -1): 225, (-1, 1): 315}[_sign(cross), _sign(dot)])
    return Enclosed(Form.ANGLE, (a, b, c, d))


def projection(dx: Fraction, dy: Fraction, degrees: Fraction) -> Real:
    """The length of (dx, dy) projected on a direction: exact where its sine and cosine allow it, else enclosed."""
    turn = degrees % 180
    if turn == 0 or dx == dy == 0:
        return abs(dx)
    if turn == 90:
        return abs(dy)
    if turn == 45:
        return root((dx + dy) ** 2 / 2)
    if turn == 135:
        return root((dy - dx) ** 2 / 2)
    if dy == 0 and turn in (60, 120):  # cos 60 = 1/2
        return abs(dx) / 2
    if dx == 0 and turn in (30, 150):  # sin 30 = 1/2
        return abs(dy) / 2
    return Enclosed(Form.PROJECTION, (dx, dy, turn))


def _sign(q: Fraction) -> int:
    return (q > 0) - (q < 0)


def scaled(value: Real, factor: Fraction) -> Real:
    """`value` times a positive factor."""
    if factor == 1:
        return value
    match value:
        case Fraction():
            return value * factor
        case Root(square):
            return Root(square * factor * factor)
        case Enclosed(form, args, before):
            return Enclosed(form, args, before * factor)


def enclose(value: Real, width: Fraction) -> tuple[Fraction, Fraction]:
    """Two rationals at most `width` apart that provably contain `value`."""
    match value:
        case Fraction():
            return value, value
        case Root(square):
            scale = 1
            while Fraction(1, scale) > width:
                scale *= 1024
            floor = isqrt(square.numerator * scale * scale // square.denominator)
            return Fraction(floor, scale), Fraction(floor + 1, scale)
        case Enclosed():
            bits = 64
            while True:
                low, high = _ball(value, bits)
                if high - low <= width:
                    return low, high
                bits *= 2


def _ball(value: Enclosed, bits: int) -> tuple[Fraction, Fraction]:
    # Loaded here: most drawings hold nothing but rationals, and start-up counts in a batch.
    from flint import arb, ctx, fmpq

    def num(q: Fraction) -> "arb":
        return arb(fmpq(q.numerator, q.denominator))

    before = ctx.prec
    ctx.prec = bits
    try:
        args = [num(q) for q in value.args]
        match value.form:
            case Form.ANGLE:
                ball = _turn(args, value.args) * 180 / arb.pi()
            case Form.PROJECTION:
                turn = args[2] / 180
                ball = abs(args[0] * turn.cos_pi() + args[1] * turn.sin_pi())
            case Form.ARC:
                ball = args[0].sqrt() * args[1] * arb.pi() / 180
            case Form.ARC_BETWEEN:
                ball = args[4].sqrt() * _turn(args, value.args)
        ball *= num(value.factor)
        return _rational(ball.lower()), _rational(ball.upper())
    finally:
        ctx.prec = before


def _turn(balls: "list[arb]", args: tuple[Fraction, ...]) -> "arb":
    """Radians from one vector to the other, in (0, 2 pi); the half turn it falls in is decided exactly."""
    from flint import arb

    a, b, c, d = balls[:4]
    turn = arb.atan2(a * d - b * c, a * c + b * d)
    return turn if args[0] * args[3] - args[1] * args[2] > 0 else turn + 2 * arb.pi()


def _rational(exact_ball: "arb") -> Fraction:
    mantissa, exponent = exact_ball.man_exp()
    return Fraction(int(mantissa)) * Fraction(2) ** int(exponent)


def compare(value: Real, other: Fraction) -> int:
    """-1, 0 or 1 as `value` is below, equal to or above `other`.

    0 for an enclosed number means 'equal as far as 1e-30'; see `is_certain_equality`.
    """
    match value:
        case Fraction():
            return _sign(value - other)
        case Root(square):
            return 1 if other < 0 else _sign(square - other * other)
        case Enclosed():
            width = Fraction(1, 10**12)
            while width >= UNDECIDED:
                low, high = enclose(value, width)
                if low > other:
                    return 1
                if high < other:
                    return -1
                width /= 10**9
            return 0


def is_certain_equality(value: Real) -> bool:
    """Whether a comparison of `value` that came out equal is proved, not only true to 1e-30."""
    return not isinstance(value, Enclosed)


def minus(value: Real, other: Fraction) -> tuple[Fraction, Fraction]:
    """An enclosure, 1e-15 wide at most, of value - other."""
    low, high = enclose(value, Fraction(1, 10**15))
    return low - other, high - other


def middle(value: Real, width: Fraction = Fraction(1, 10**15)) -> Fraction:
    """A rational within `width` of `value`; the value itself where it is rational."""
    low, high = enclose(value, width)
    return (low + high) / 2


def nearly(value: Real) -> float:
    """`value` as a double, for sorting and for searching; never for judging."""
    return float(middle(value))


def round_real(value: Real, unit: Fraction, rule: Rounding) -> Fraction:
    """The multiple of `unit` nearest to `value`, decided exactly."""
    if isinstance(value, Fraction):
        return round_to(value, unit, rule)
    lower = middle(value) // unit * unit
    while compare(value, lower) < 0:
        lower -= unit
    while compare(value, lower + unit) >= 0:
        lower += unit
    side = compare(value, lower + unit / 2)
    if side == 0:
        return round_to(lower + unit / 2, unit, rule)
    return lower + unit if side > 0 else lower


def real_text(value: Real, most: int = 9) -> str:
    """`value` as a decimal for people: exact where it ends soon, else cut with '…'."""
    match value:
        case Fraction():
            return decimal_text(value, most)
        case _:
            low, _high = enclose(value, Fraction(1, 10 ** (most + 6)))
            near = round_to(low, Fraction(1, 10**most), Rounding.HALF_UP)
            if compare(value, near) == 0:  # a rational after all, as far as can be told
                return decimal_text(near, most)
            text = decimal_text(low, most)
            return text if text.endswith("…") else text + "…"


def exact_text(value: Real) -> str:
    """`value` with nothing lost, as plain text: '39/16', 'sqrt(13/4)', 'angle from (1, 2) to (3, 1)'."""
    match value:
        case Fraction():
            return str(value)
        case Root(square):
            return f"sqrt({square})"
        case Enclosed(form, args, factor):
            a = [str(q) for q in args]
            match form:
                case Form.ANGLE:
                    text = f"angle from ({a[0]}, {a[1]}) to ({a[2]}, {a[3]}) in degrees"
                case Form.PROJECTION:
                    text = f"|{a[0]}*cos({a[2]} deg) + {a[1]}*sin({a[2]} deg)|"
                case Form.ARC:
                    text = f"sqrt({a[0]})*{a[1]}*pi/180"
                case Form.ARC_BETWEEN:
                    text = f"sqrt({a[4]})*angle from ({a[0]}, {a[1]}) to ({a[2]}, {a[3]}) in radians"
            return text if factor == 1 else f"{factor} * {text}"
