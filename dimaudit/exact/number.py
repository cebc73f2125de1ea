"""Rationals: from the file's decimals, to the page's decimals and fractions, and rounding by a named rule.

A coordinate is the shortest decimal that reads back as the file's double. For a decimal of up to
15 digits that is the very text in the file.
"""

from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from math import isfinite

from dimaudit.errors import InexactError

INCH_IN_MM = Fraction(254, 10)
"""Exact by definition since 1959; NIST SP 811 appendix B."""

LARGEST = 1e12
"""No drawing is larger, in any unit; beyond it a double has no decimals left that a part could be judged by."""

_seen: dict[float, Fraction] = {}


def exact(x: float) -> Fraction:
    """The shortest decimal that reads back as the double `x`, as a fraction.

    Raises InexactError for infinities, NaN, and numbers beyond LARGEST.
    """
    found = _seen.get(x)
    if found is None:
        if not isfinite(x) or abs(x) > LARGEST:
            raise InexactError(f"{x} is no coordinate: the file holds a number that is not finite or beyond 1e12")
        found = Fraction(*Decimal(repr(float(x))).as_integer_ratio())
        if len(_seen) > 500_000:  # a long batch must not grow without end
            _seen.clear()
        _seen[x] = found
    return found


class Rounding(StrEnum):
    """How a value that lies exactly between two neighbours is written.

    HALF_UP: common shop practice (the higher neighbour, toward plus infinity).
    HALF_EVEN: ASTM E29; ISO 80000-1 annex B, rule A.
    HALF_AWAY: the neighbour further from zero (ISO 80000-1 annex B, rule B).
    """

    HALF_UP = "half-up"
    HALF_EVEN = "half-even"
    HALF_AWAY = "half-away"


def round_to(value: Fraction, unit: Fraction, rule: Rounding) -> Fraction:
    """The multiple of `unit` (> 0) nearest to `value`; rounded once, from the exact value."""
    steps, rest = divmod(value, unit)
    twice = 2 * rest
    if twice > unit or (twice == unit and _tie_goes_up(int(steps), rule)):
        steps += 1
    return steps * unit


def _tie_goes_up(lower: int, rule: Rounding) -> bool:
    match rule:
        case Rounding.HALF_UP:
            return True
        case Rounding.HALF_EVEN:
            return lower % 2 == 1
        case Rounding.HALF_AWAY:
            return lower >= 0


def decimal_places(value: Fraction) -> int | None:
    """How many decimals state `value` exactly; None where no number of decimals does (1/3)."""
    rest, twos, fives = value.denominator, 0, 0
    while rest % 2 == 0:
        rest //= 2
        twos += 1
    while rest % 5 == 0:
        rest //= 5
        fives += 1
    return max(twos, fives) if rest == 1 else None


def decimal_text(value: Fraction, most: int = 12) -> str:
    """`value` as a decimal: exact where it ends within `most` places, else cut there with '…'."""
    places = decimal_places(value)
    if places is not None and places <= most:
        return fixed_text(value, places)
    cut = abs(value) * 10**most // 1
    return ("-" if value < 0 else "") + fixed_text(Fraction(cut, 10**most), most) + "…"


def fixed_text(value: Fraction, places: int) -> str:
    """`value`, which must be a multiple of 10**-places, with that many decimals.

    Raises InexactError where digits would be lost.
    """
    scaled = value * 10**places
    if scaled.denominator != 1:
        raise InexactError(f"{value} does not end within {places} decimals")
    digits = str(abs(scaled.numerator)).rjust(places + 1, "0")
    sign = "-" if value < 0 else ""
    return sign + (f"{digits[:-places]}.{digits[-places:]}" if places else digits)


def fraction_text(value: Fraction) -> str:
    """`value` as a shop would write it: '39/16' is '2 7/16'; whole numbers stay whole."""
    whole, rest = divmod(abs(value), 1)
    sign = "-" if value < 0 else ""
    if rest == 0:
        return f"{sign}{whole}"
    return f"{sign}{whole} {rest}" if whole else f"{sign}{rest}"
