"""Measured numbers: enclosures against mpmath at 60 digits, comparing, roots and angles."""

from decimal import ROUND_FLOOR, ROUND_HALF_EVEN, Decimal
from fractions import Fraction
from math import atan2, degrees, sqrt
from typing import Any

import mpmath
import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import enclosures, positive, rationals, reals, roots, vectors

from dimaudit.exact.number import Rounding
from dimaudit.exact.real import (
    Enclosed,
    Form,
    Real,
    Root,
    angle_between,
    compare,
    enclose,
    exact_text,
    is_certain_equality,
    middle,
    minus,
    nearly,
    projection,
    real_text,
    root,
    round_real,
    scaled,
)

F = Fraction
DIGITS = 60


def mp(q: Fraction) -> Any:
    return mpmath.mpf(q.numerator) / q.denominator


def by_mpmath(value: Real) -> Any:
    """The value by another library, from the definition of each form."""
    match value:
        case Fraction():
            return mp(value)
        case Root(square):
            return mpmath.sqrt(mp(square))
        case Enclosed(form, args, factor):
            a = [mp(q) for q in args]
            match form:
                case Form.ANGLE:
                    made = mpmath.degrees(_turn(a))
                case Form.PROJECTION:
                    made = abs(a[0] * mpmath.cos(mpmath.radians(a[2])) + a[1] * mpmath.sin(mpmath.radians(a[2])))
                case Form.ARC:
                    made = mpmath.sqrt(a[0]) * mpmath.radians(a[1])
                case Form.ARC_BETWEEN:
                    made = mpmath.sqrt(a[4]) * _turn(a)
            return made * mp(factor)


def _turn(a: list[Any]) -> Any:
    turn = mpmath.atan2(a[3], a[2]) - mpmath.atan2(a[1], a[0])
    return turn if turn > 0 else turn + 2 * mpmath.pi


@given(reals, st.integers(1, 40))
def test_an_enclosure_contains_the_value(value: Real, digits: int) -> None:
    """An enclosure holds the value that mpmath finds at 60 digits, and is no wider than asked."""
    width = F(1, 10**digits)
    low, high = enclose(value, width)
    assert low <= high
    assert high - low <= width
    with mpmath.workdps(DIGITS):
        there = by_mpmath(value)
        allowed = mpmath.mpf(10) ** (10 - DIGITS)  # what mpmath itself may be off by, for numbers up to a million
        assert mp(low) - allowed <= there <= mp(high) + allowed


@given(reals, positive)
def test_scaling_multiplies_the_value(value: Real, factor: Fraction) -> None:
    """A value times a factor is enclosed where mpmath finds the product."""
    low, high = enclose(scaled(value, factor), F(1, 10**30))
    with mpmath.workdps(DIGITS):
        there = by_mpmath(value) * mp(factor)
        assert mp(low) - mpmath.mpf(10) ** -45 <= there <= mp(high) + mpmath.mpf(10) ** -45


@given(reals, st.integers(1, 25), st.sampled_from([-1, 1]))
def test_comparing_decides_correctly(value: Real, digits: int, side: int) -> None:
    """A rational a little above the value is above it, a little below it below, at any distance down to 1e-25."""
    low, high = enclose(value, F(1, 10 ** (digits + 3)))
    other = (high if side > 0 else low) + side * F(1, 10**digits)
    assert compare(value, other) == -side


@given(reals, rationals)
def test_comparing_agrees_with_another_library(value: Real, other: Fraction) -> None:
    """The order of a value and a rational is the one that mpmath finds at 60 digits."""
    with mpmath.workdps(DIGITS):
        off = by_mpmath(value) - mp(other)
        wanted = 0 if abs(off) < mpmath.mpf(10) ** -35 else int(mpmath.sign(off))
    assert compare(value, other) == wanted


@given(st.one_of(rationals, roots))
def test_a_rational_and_a_root_are_compared_with_proof(value: Real) -> None:
    """Equality of rationals and of roots is proved, never a matter of digits."""
    assert is_certain_equality(value)


@given(enclosures())
def test_equality_of_an_enclosed_number_is_never_proved(value: Enclosed) -> None:
    """A number known by enclosures is at best equal as far as 1e-30."""
    assert not is_certain_equality(value)


def test_an_enclosed_number_equals_only_as_far_as_it_is_told_apart() -> None:
    """Pi cut at 40 digits equals pi as far as 1e-30; cut at 25 digits it is below pi."""
    pi = Enclosed(Form.ARC, (F(1), F(180)))
    assert compare(pi, F("3.141592653589793238462643383279502884197")) == 0
    assert compare(pi, F("3.1415926535897932384626433")) == 1
    assert compare(pi, F("3.1415926535897932384626434")) == -1


@given(st.fractions(0, 10**6, max_denominator=10**6))
def test_the_root_of_a_square_is_rational(q: Fraction) -> None:
    """The root of the square of a rational is that rational."""
    assert root(q * q) == q


@given(positive)
def test_what_is_no_square_stays_a_root(q: Fraction) -> None:
    """The root of a rational is either a rational with that square, or kept by its square; both agree with floats."""
    found = root(q)
    assert found**2 == q if isinstance(found, Fraction) else found == Root(q)
    assert nearly(found) == pytest.approx(sqrt(q), rel=1e-12)


def test_roots_are_decided_by_their_squares() -> None:
    """The root of 2 lies between its decimals, cut and raised in the hundredth place."""
    cut = F(141421356237309504880168872420969807856967187537694, 10**50)
    assert compare(Root(F(2)), cut) == 1
    assert compare(Root(F(2)), cut + F(1, 10**50)) == -1
    assert compare(Root(F(2)), -cut) == 1


@given(vectors, vectors)
def test_an_angle_agrees_with_atan2(u: tuple[Fraction, Fraction], v: tuple[Fraction, Fraction]) -> None:
    """The turn from one vector to another is the difference of their directions, counter-clockwise, in [0, 360)."""
    found = nearly(angle_between(*u, *v))
    there = (degrees(atan2(v[1], v[0])) - degrees(atan2(u[1], u[0]))) % 360
    assert 0 <= found <= 360
    assert min(abs(found - there), 360 - abs(found - there)) < 1e-9


@given(vectors)
def test_a_turn_and_the_turn_back_make_a_whole_one(u: tuple[Fraction, Fraction]) -> None:
    """The turn to a vector and the turn back add up to 360 degrees, or to 0."""
    v = (F(3), F(-7))
    there, back = angle_between(*u, *v), angle_between(*v, *u)
    total = nearly(there) + nearly(back)
    assert min(abs(total - 360), abs(total)) < 1e-9
    assert angle_between(*u, *u) == 0
    assert angle_between(*u, -u[0], -u[1]) == 180
    assert angle_between(*u, -u[1], u[0]) == 90
    assert angle_between(*u, u[1], -u[0]) == 270


EIGHTHS = [((1, 0), 0), ((1, 1), 45), ((0, 2), 90), ((-3, 3), 135), ((-1, 0), 180), ((-2, -2), 225), ((0, -1), 270),
           ((5, -5), 315)]  # fmt: skip


@pytest.mark.parametrize(("v", "wanted"), EIGHTHS, ids=[str(w) for _, w in EIGHTHS])
def test_the_multiples_of_forty_five_are_rational(v: tuple[int, int], wanted: int) -> None:
    """An angle that is a multiple of 45 degrees is that rational number, proved."""
    assert angle_between(F(1), F(0), F(v[0]), F(v[1])) == wanted


@given(st.integers(1, 300), st.integers(1, 300))
def test_no_other_angle_between_rational_vectors_is_rational_in_degrees(a: int, b: int) -> None:
    """Of the rational tangents only 0, 1 and -1 belong to a rational number of degrees (Olmsted, 1945)."""
    found = angle_between(F(1), F(0), F(a), F(b))
    assert isinstance(found, Fraction) == (a == b)
    if isinstance(found, Enclosed):
        low, high = enclose(found, F(1, 10**25))
        for bottom in range(1, 200):  # no fraction with a small denominator lies in the enclosure
            assert -(-low * bottom // 1) > high * bottom


@pytest.mark.parametrize("turn", [15, 30, 36, 72, 75])
def test_sines_of_other_rational_angles_are_irrational(turn: int) -> None:
    """The sine of a rational number of degrees is rational only at 0, 30 and 90 (Niven, 1956): a level length of 2
    measured at any other turn meets no short decimal."""
    along = projection(F(2), F(0), F(turn))
    assert isinstance(along, Enclosed)
    low, high = enclose(along, F(1, 10**25))
    assert [b for b in range(1, 100) if -(-low * b // 1) <= high * b] == []


HALVES = [("level, at 60", (2, 0), 60, "1"), ("level, at 120", (3, 0), 120, "1.5"),
          ("upright, at 30", (0, 5), 30, "2.5"),
          ("upright, at 150", (0, 1), 150, "0.5")]  # fmt: skip


@pytest.mark.parametrize(("d", "turn", "text"), [h[1:] for h in HALVES], ids=[h[0] for h in HALVES])
def test_half_a_length_is_told_as_half_of_it(d: tuple[int, int], turn: int, text: str) -> None:
    """The cosine of 60 degrees is a half (Niven, 1956): such a projection is told as the decimal it is, not cut."""
    found = projection(F(d[0]), F(d[1]), F(turn))
    assert compare(found, F(text)) == 0
    assert real_text(found) == text


PROJECTED = [
    ("level", (3, 4), 0, F(3)),
    ("upright", (3, 4), 90, F(4)),
    ("half a turn", (3, 4), 180, F(3)),
    ("three quarters", (3, 4), 270, F(4)),
    ("backward", (3, 4), -90, F(4)),
    ("diagonal, rational", (3, 4), 45, Root(F(49, 2))),
    ("diagonal, level", (1, 1), 45, Root(F(2))),
    ("diagonal, nothing", (1, -1), 45, F(0)),
    ("other diagonal", (3, 4), 135, Root(F(1, 2))),
    ("no length", (0, 0), 33, F(0)),
]


@pytest.mark.parametrize(("d", "turn", "wanted"), [p[1:] for p in PROJECTED], ids=[p[0] for p in PROJECTED])
def test_a_projection_on_an_eighth_is_exact(d: tuple[int, int], turn: int, wanted: Real) -> None:
    """Along the axes a projection is rational, along the diagonals a root."""
    assert projection(F(d[0]), F(d[1]), F(turn)) == wanted


@given(vectors, st.fractions(-720, 720, max_denominator=50))
def test_a_projection_is_what_the_definition_says(d: tuple[Fraction, Fraction], turn: Fraction) -> None:
    """The projection on a direction is the absolute scalar product with it, whatever the number of turns."""
    low, high = enclose(projection(*d, turn), F(1, 10**25))
    with mpmath.workdps(DIGITS):
        t = mpmath.radians(mp(turn))
        there = abs(mp(d[0]) * mpmath.cos(t) + mp(d[1]) * mpmath.sin(t))
        assert mp(low) - mpmath.mpf(10) ** -40 <= there <= mp(high) + mpmath.mpf(10) ** -40


# --- rounding ----------------------------------------------------------------------------------------------------

DECIMAL_RULES = {Rounding.HALF_EVEN: ROUND_HALF_EVEN, Rounding.HALF_AWAY: "ROUND_HALF_UP"}


@pytest.mark.parametrize("rule", DECIMAL_RULES, ids=str)
@given(st.integers(-10**9, 10**9), st.integers(0, 6), st.integers(0, 6))
def test_rounding_a_decimal_agrees_with_the_decimal_module(
    rule: Rounding, digits: int, places: int, to: int
) -> None:
    """A decimal is rounded as Python's decimal module rounds it by the rule of the same name."""
    value = Decimal(digits).scaleb(-places)
    wanted = value.quantize(Decimal(1).scaleb(-to), rounding=DECIMAL_RULES[rule])
    assert round_real(F(value), F(1, 10**to), rule) == F(wanted)


@given(st.integers(-10**9, 10**9), st.integers(0, 6), st.integers(0, 6))
def test_rounding_half_up_is_the_floor_of_the_value_and_a_half(digits: int, places: int, to: int) -> None:
    """Half-up is the floor of the value plus half a unit, by the decimal module's floor."""
    value = Decimal(digits).scaleb(-places)
    unit = Decimal(1).scaleb(-to)
    wanted = (value + unit / 2).quantize(unit, rounding=ROUND_FLOOR)
    assert round_real(F(value), F(1, 10**to), Rounding.HALF_UP) == F(wanted)


@given(reals, st.sampled_from([F(1), F(1, 10), F(1, 1000), F(1, 64), F(1, 3)]), st.sampled_from(Rounding))
def test_a_rounded_value_is_the_nearest_multiple(value: Real, unit: Fraction, rule: Rounding) -> None:
    """Rounding gives a multiple of the unit, at most half a unit away, decided exactly."""
    found = round_real(value, unit, rule)
    assert (found / unit).denominator == 1
    assert compare(value, found - unit / 2) >= 0
    assert compare(value, found + unit / 2) <= 0


@given(roots, st.integers(0, 10))
def test_rounding_a_root_agrees_with_mpmath(value: Root, places: int) -> None:
    """A root, which is never half way, is rounded to the multiple that mpmath finds nearest."""
    unit = F(1, 10**places)
    with mpmath.workdps(DIGITS):
        wanted = int(mpmath.nint(by_mpmath(value) * 10**places))
    assert round_real(value, unit, Rounding.HALF_UP) == wanted * unit


def test_a_root_next_to_a_tie_is_not_taken_for_one() -> None:
    """A root that exceeds half a unit by one part in 10^40 is rounded up, and one that falls short of it down."""
    half = F(5, 2)
    above, below = Root(half * half + F(1, 10**40)), Root(half * half - F(1, 10**40))
    assert round_real(above, F(1), Rounding.HALF_EVEN) == 3
    assert round_real(below, F(1), Rounding.HALF_UP) == 2


# --- telling -----------------------------------------------------------------------------------------------------


@given(reals)
def test_the_residual_encloses_the_difference(value: Real) -> None:
    """Value less stated is enclosed within 1e-15."""
    stated = F(7, 3)
    low, high = minus(value, stated)
    assert 0 <= high - low <= F(1, 10**15)
    assert compare(value, stated + low) >= 0
    assert compare(value, stated + high) <= 0


@given(reals, st.integers(3, 25))
def test_the_middle_is_within_the_width(value: Real, digits: int) -> None:
    """The middle of an enclosure is within its width of the value."""
    width = F(1, 10**digits)
    assert compare(value, middle(value, width) + width) <= 0
    assert compare(value, middle(value, width) - width) >= 0


@given(reals.filter(lambda r: not isinstance(r, Fraction) or r > 0))
def test_the_text_is_the_value_cut_at_its_last_digit(value: Real) -> None:
    """The decimal for people is the value itself, or falls short of it by less than its last digit, and says so."""
    text = real_text(value, 9)
    shown = F(text.rstrip("…"))
    assert compare(value, shown) >= 0
    assert compare(value, shown + F(1, 10**9)) < 0
    assert text.endswith("…") == (compare(value, shown) != 0)


TOLD = [
    (F(39, 16), "39/16"),
    (Root(F(13, 4)), "sqrt(13/4)"),
    (Enclosed(Form.ANGLE, (F(1), F(2), F(3), F(1))), "angle from (1, 2) to (3, 1) in degrees"),
    (Enclosed(Form.PROJECTION, (F(1), F(2), F(30))), "|1*cos(30 deg) + 2*sin(30 deg)|"),
    (Enclosed(Form.ARC, (F(4), F(90)), F(2)), "2 * sqrt(4)*90*pi/180"),
    (
        Enclosed(Form.ARC_BETWEEN, (F(1), F(0), F(3), F(4), F(25))),
        "sqrt(25)*angle from (1, 0) to (3, 4) in radians",
    ),
]


@pytest.mark.parametrize(("value", "text"), TOLD, ids=[t for _, t in TOLD])
def test_the_exact_text_loses_nothing(value: Real, text: str) -> None:
    """The exact text names the number by what it is made of."""
    assert exact_text(value) == text
