"""The simple number under noise, one coordinate at a time."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import dyadics, four_decimals, noises, six_decimals

from dimaudit.exact.number import decimal_places, exact
from dimaudit.exact.recover import ANGLE_GRIDS, INCH_GRIDS, LEAST_STEPS, METRIC_GRIDS, recover

F = Fraction
ALL_GRIDS = [INCH_GRIDS, METRIC_GRIDS, ANGLE_GRIDS]
fine = st.sampled_from([F(1, 10**6), F(1, 10**7), F(1, 10**9), F(1, 10**12)])


@given(six_decimals, fine, st.sampled_from(ALL_GRIDS))
def test_what_a_hand_can_type_is_never_moved(raw: Fraction, noise: Fraction, grids: object) -> None:
    """A number of at most six decimals stays as it is, however near a simpler one it is."""
    found = recover(raw, noise, grids)  # type: ignore[arg-type]
    assert (found.value, found.grid, found.distance) == (raw, "", 0)


@given(st.floats(-1000, 1000, allow_nan=False), fine, st.sampled_from(ALL_GRIDS))
def test_nothing_is_moved_further_than_the_noise(x: float, noise: Fraction, grids: object) -> None:
    """A number is moved by at most the noise, onto a grid that it names, or not at all."""
    raw = exact(x)
    found = recover(raw, noise, grids)  # type: ignore[arg-type]
    assert found.raw == raw
    assert found.distance == abs(found.value - raw) <= noise
    if found.grid:
        grid = next(g for g in grids if g.name == found.grid)  # type: ignore[attr-defined]
        assert (found.value / grid.step).denominator == 1
        assert grid.step >= LEAST_STEPS * noise
    else:
        assert found.value == raw


@given(st.one_of(dyadics, four_decimals), noises("9e-10"))
def test_a_number_under_noise_is_found_again(number: Fraction, noise: float) -> None:
    """Halves to 128ths and four decimals under noise below 1e-9 come back, unless a hand may have typed them."""
    raw = exact(float(number) + noise)
    found = recover(raw, F(1, 10**9), INCH_GRIDS)
    assert found.value == (raw if 10**6 % raw.denominator == 0 else number)


@given(st.integers(-10**6, 10**6))
def test_recovering_twice_changes_nothing_more(k: int) -> None:
    """A recovered number is its own recovery."""
    raw = exact(k / 25.4 / 100)
    once = recover(raw, F(1, 10**9), INCH_GRIDS)
    assert recover(once.value, F(1, 10**9), INCH_GRIDS).value == once.value


def test_a_grid_finer_than_the_noise_allows_is_not_trusted() -> None:
    """A grid whose step is less than fifty times the noise is hit by chance and is no evidence."""
    raw = F("1.23450000001")
    assert recover(raw, F(1, 10**6), INCH_GRIDS).value == F("1.2345")
    assert recover(raw, F(3, 10**6), INCH_GRIDS).grid == ""


FIRST = [
    ("a half before a 16th", "2.5000000001", INCH_GRIDS, "5/2", "half inches"),
    ("a 16th before four decimals", "0.0625000001", INCH_GRIDS, "1/16", "16ths"),
    ("a 128th before four decimals", "0.0078125001", INCH_GRIDS, "1/128", "128ths"),
    ("two decimals before millimetres", "1.2700000001", INCH_GRIDS, "127/100", "2 decimals"),
    ("half millimetres first", "12.5000000001", METRIC_GRIDS, "25/2", "half millimetres"),
    ("three decimals before inches", "25.4000000001", METRIC_GRIDS, "127/5", "1 decimal"),
    ("whole degrees", "36.8700000000", ANGLE_GRIDS, "3687/100", ""),
    ("a third of a degree is 20 minutes", "20.3333333333333", ANGLE_GRIDS, "61/3", "minutes"),
    ("one second", "20.0002777777778", ANGLE_GRIDS, "72001/3600", "seconds"),
    ("45 degrees", "44.9999999999", ANGLE_GRIDS, "45", "multiples of 15 degrees"),
]


@pytest.mark.parametrize(("raw", "grids", "value", "name"), [f[1:] for f in FIRST], ids=[f[0] for f in FIRST])
def test_the_simplest_grid_comes_first(raw: str, grids: object, value: str, name: str) -> None:
    """Of the grids that a number is near, the simplest names it."""
    found = recover(F(raw), F(1, 10**9), grids)  # type: ignore[arg-type]
    assert (found.value, found.grid) == (F(value), name)


@given(st.floats(-1e6, 1e6, allow_nan=False))
def test_a_double_is_its_shortest_decimal(x: float) -> None:
    """A coordinate is the shortest decimal that reads back as the file's double."""
    found = exact(x)
    assert float(found) == x
    places = decimal_places(found)
    assert places is not None
    shown = repr(x)
    assert found == F(shown)
