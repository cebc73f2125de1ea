"""Conversion of limits against a published example, and against a table worked by exact arithmetic."""

from fractions import Fraction as F
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from read.sketch import Sketch

from dimaudit.exact.number import Rounding
from dimaudit.judge.rules.dual_units import fineness, inward_limits, nearest_limits
from dimaudit.model.audit import Level
from dimaudit.model.units import Unit, conversion

PAGES = "tec-ease.com tip 65 and dimcax.com, September 2005, which name ANSI/IEEE 268"
WORKED = "worked from 1 in = 25.4 mm (NIST SP 811)"

LIMITS = [
    # first unit, its limits, places, to the nearest (half up, half to even), inward, the nearest get wider, source
    ("mm", "10.7 11.3", 3, ".421 .445", ".421 .445", ".422 .444", True, PAGES),
    ("in", ".995 1.005", 2, "25.27 25.53", "25.27 25.53", "25.28 25.52", True, WORKED),
    ("in", "1.490 1.510", 2, "37.85 38.35", "37.85 38.35", "37.85 38.35", False, WORKED),
    ("in", ".4995 .5005", 3, "12.687 12.713", "12.687 12.713", "12.688 12.712", True, WORKED),
    ("in", "2.498 2.502", 2, "63.45 63.55", "63.45 63.55", "63.45 63.55", False, WORKED),
    ("in", ".247 .250", 3, "6.274 6.350", "6.274 6.350", "6.274 6.350", False, WORKED),
    ("mm", "24.99 25.01", 4, ".9839 .9846", ".9839 .9846", ".9839 .9846", False, WORKED),
    ("mm", "25.000 25.021", 4, ".9843 .9851", ".9843 .9851", ".9843 .9850", True, f"25 H7; {WORKED}"),
    ("mm", "24.980 24.993", 4, ".9835 .9840", ".9835 .9840", ".9835 .9839", True, f"25 g6; {WORKED}"),
    ("mm", "49.8 50.2", 3, "1.961 1.976", "1.961 1.976", "1.961 1.976", False, WORKED),
]


def pair(text: str) -> tuple[F, F]:
    low, high = (F(word) for word in text.split())
    return low, high


@pytest.mark.parametrize(("unit", "limits", "places", "half_up", "half_even", "inward", "wider", "source"), LIMITS)
def test_limits_are_converted_as_the_table_has_them(
    unit: str, limits: str, places: int, half_up: str, half_even: str, inward: str, wider: bool, source: str
) -> None:
    """To the nearest under both rules, and inward, digit for digit; only the nearest can get wider."""
    first = Unit(unit)
    factor = conversion(first, Unit.MILLIMETRE if first is Unit.INCH else Unit.INCH)
    low, high = (limit * factor for limit in pair(limits))
    step = F(1, 10**places)
    nearest = nearest_limits((low, high), step, Rounding.HALF_UP)
    assert nearest == pair(half_up), source
    assert nearest_limits((low, high), step, Rounding.HALF_EVEN) == pair(half_even), source
    assert inward_limits((low, high), step) == pair(inward), source
    assert (nearest[0] < low or nearest[1] > high) is wider


@pytest.mark.parametrize("case", LIMITS, ids=[f"{row[1]} {row[0]}" for row in LIMITS])
def test_a_print_with_these_limits_is_told_what_they_allow(
    tmp_path: Path, case: tuple[str, str, int, str, str, str, bool, str]
) -> None:
    """The nearest limits get a note where they are wider; so do too coarse ones; a unit further out is an error."""
    unit, limits, places, nearest, _, inward, wider, _ = case
    low, high = pair(limits)
    middle = (low + high) / 2
    step = F(1, 10**places)
    out = f"{float(pair(inward)[0] - 2 * step):.{places}f} {inward.split()[1]}"
    fine = fineness(high - low) if unit == "in" else None
    coarse = [Level.NOTE] if fine is not None and step > fine else []
    for second, wanted in ((nearest, [Level.NOTE] if wider else coarse), (inward, coarse), (out, [Level.ERROR])):
        first_texts, second_texts = limits.split(), second.split()
        text = rf"\S{first_texts[1]}^ {first_texts[0]}; [\S{second_texts[1]}^ {second_texts[0]};]"
        sketch = Sketch(Unit(unit))
        sketch.rect(0, 0, middle, 1)
        sketch.across((0, 0), (middle, 0), text=text)
        found = [f.level for f in sketch.audit(tmp_path).findings if f.rule == "dual-units-disagree"]
        assert found == wanted, text


NOMINAL = [
    # inches as written, places of the millimetres, half up, half to even: exact arithmetic, 1 in = 25.4 mm
    ("5/16", 3, "7.938", "7.938"), ("1/16", 3, "1.588", "1.588"), ("3/16", 3, "4.763", "4.762"),
    ("7/16", 3, "11.113", "11.112"), ("1/2", 1, "12.7", "12.7"),
]  # fmt: skip


@pytest.mark.parametrize(("inches", "places", "half_up", "half_even"), NOMINAL)
def test_a_size_is_right_in_either_rounding_and_no_other(
    tmp_path: Path, inches: str, places: int, half_up: str, half_even: str
) -> None:
    """Both roundings of a tie are silent; one unit in the last place further is not."""
    step = F(1, 10**places)
    further = f"{float(F(half_up) + step):.{places}f}"
    for second, silent in ((half_up, True), (half_even, True), (further, False)):
        sketch = Sketch()
        sketch.rect(0, 0, F(inches), 1)
        sketch.across((0, 0), (F(inches), 0), text=f"{inches} [{second}]")
        found = [f for f in sketch.audit(tmp_path).findings if f.rule == "dual-units-disagree"]
        assert (found == []) is silent, second


FINENESS = [
    # total tolerance in inches, millimetres (the family of ISO 370 and ASTM E380, from memory)
    ("0.000009", None), ("0.00001", "0.00001"), ("0.00009", "0.00001"), ("0.0001", "0.0001"), ("0.001", "0.001"),
    ("0.0099", "0.001"), ("0.01", "0.01"), ("0.1", "0.1"), ("0.99", "0.1"), ("1", None),
]  # fmt: skip


@pytest.mark.parametrize(("total", "millimetres"), FINENESS)
def test_how_fine_limits_are_converted(total: str, millimetres: str | None) -> None:
    """By tens, from the total tolerance."""
    assert fineness(F(total)) == (None if millimetres is None else F(millimetres))


@given(
    st.fractions(0, 1000, max_denominator=10_000),
    st.fractions(F(1, 100), 10, max_denominator=10_000),
    st.integers(2, 5),
    st.sampled_from(Rounding),
)
def test_inward_limits_never_get_wider(low: F, wide: F, places: int, rule: Rounding) -> None:
    """Inward limits lie inside the exact ones, the nearest at most half a unit outside; both within a unit of them."""
    step = F(1, 10**places)
    exact = (low * F(127, 5), (low + wide) * F(127, 5))
    inward, nearest = inward_limits(exact, step), nearest_limits(exact, step, rule)
    assert exact[0] <= inward[0] < exact[0] + step
    assert exact[1] - step < inward[1] <= exact[1]
    assert all(abs(a - b) <= step / 2 for a, b in zip(nearest, exact, strict=True))
