"""Two numbers against one another, held against rounding done another way."""

from decimal import ROUND_DOWN, ROUND_HALF_EVEN, ROUND_HALF_UP, Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dimaudit.exact.number import exact
from dimaudit.judge.scale import simplest_between
from dimaudit.judge.values import value_verdict
from dimaudit.model.audit import Verdict

F = Fraction
RULES = {"half-up": ROUND_HALF_UP, "half-even": ROUND_HALF_EVEN}
sizes = st.decimals(min_value=0, max_value=1000, places=6, allow_nan=False, allow_infinity=False)
places = st.integers(0, 4)


def step(count: int) -> Decimal:
    return Decimal(1).scaleb(-count)


def judged(size: Decimal, stated: Decimal, count: int) -> Verdict:
    return value_verdict(F(size), F(stated), F(step(count)))


@pytest.mark.parametrize("rule", RULES)
@given(sizes, places)
def test_what_a_rule_gives_is_right(rule: str, size: Decimal, count: int) -> None:
    """A size rounded by the decimal library is exact, rounded, or a tie exactly at half a unit; never cut or wrong."""
    stated = size.quantize(step(count), RULES[rule])
    off = abs(size - stated)
    wanted = Verdict.EXACT if not off else Verdict.TIE if 2 * off == step(count) else Verdict.ROUNDED
    assert judged(size, stated, count) is wanted


@given(sizes, places)
def test_digits_that_are_dropped_are_rounded_or_cut_off(size: Decimal, count: int) -> None:
    """Dropping digits gives a rounding where both library rules agree with it, and is cut off where none does."""
    stated = size.quantize(step(count), ROUND_DOWN)
    by_rules = {size.quantize(step(count), rule) for rule in RULES.values()}
    verdict = judged(size, stated, count)
    assert (verdict is Verdict.CUT_OFF) == (stated not in by_rules)
    assert verdict is not Verdict.WRONG


@given(sizes, places, st.integers(1, 10**6))
def test_a_whole_unit_off_is_wrong(size: Decimal, count: int, more: int) -> None:
    """A number that is a unit of its last place or more off is wrong, on either side."""
    off = step(count) * (10**6 + more) / 10**6
    for stated in (size + off, size - off):
        assert judged(size, stated, count) is Verdict.WRONG


@given(st.fractions(min_value=F(1, 50), max_value=100, max_denominator=60), st.integers(1, 50))
def test_the_simplest_fraction_in_a_range(middle: Fraction, width: int) -> None:
    """No fraction with a smaller denominator lies in the range; found by trying each denominator."""
    low, high = middle * (1 - F(width, 1000)), middle * (1 + F(width, 1000))
    found = simplest_between(low, high)
    assert low <= found <= high
    for below in range(1, found.denominator):
        first = -(-low.numerator * below // low.denominator)
        assert F(first, below) > high


def test_a_coordinate_is_the_decimal_that_was_typed() -> None:
    """The shortest decimal of a double, so that .1 + .2 is judged as what the file holds, and no 3/10."""
    assert value_verdict(exact(0.1), F(1, 10), F(1, 10)) is Verdict.EXACT
    assert value_verdict(exact(0.1 + 0.2), F(3, 10), F(1, 10)) is Verdict.ROUNDED
