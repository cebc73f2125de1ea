"""Rounding by the named rules, against examples published elsewhere."""

from fractions import Fraction

import pytest

from dimaudit.exact.number import Rounding, round_to

EVEN, AWAY, UP = Rounding.HALF_EVEN, Rounding.HALF_AWAY, Rounding.HALF_UP

PUBLISHED = [
    # value, interval, rule, result; the page where the example stands is named above it.
    # http://sekigin.jp/JIS/Z_8401.html
    ("12.223", "0.1", EVEN, "12.2"),
    ("12.251", "0.1", EVEN, "12.3"),
    ("12.275", "0.1", EVEN, "12.3"),
    ("1222.3", "10", EVEN, "1220"),
    ("1225.1", "10", EVEN, "1230"),
    ("1227.5", "10", EVEN, "1230"),
    # https://apollo440.hatenablog.com/entry/20090731
    ("12.25", "0.1", EVEN, "12.2"),
    ("12.35", "0.1", EVEN, "12.4"),
    # from memory, not verified (arithmetic checked here)
    ("1225", "10", EVEN, "1220"),
    ("1235", "10", EVEN, "1240"),
    ("12.25", "0.1", AWAY, "12.3"),
    ("12.35", "0.1", AWAY, "12.4"),
    ("1225", "10", AWAY, "1230"),
    ("1235", "10", AWAY, "1240"),
    # https://info.5y1.org/rules-for-rounding_1_2e6a1e.html (manual citing ASTM E29)
    ("45.71", "0.1", EVEN, "45.7"),
    ("45.72", "0.1", EVEN, "45.7"),
    ("45.73", "0.1", EVEN, "45.7"),
    ("45.74", "0.1", EVEN, "45.7"),
    ("45.76", "0.1", EVEN, "45.8"),
    ("45.7500", "0.1", EVEN, "45.8"),
    ("45.4500", "0.1", EVEN, "45.4"),
    ("45.45001", "0.1", EVEN, "45.5"),
    ("45.45105", "0.1", EVEN, "45.5"),
    ("45.45099", "0.1", EVEN, "45.5"),
    # https://b.hatena.ne.jp/agw/20110427
    ("14.556", "0.1", EVEN, "14.6"),
    ("14.545", "0.1", EVEN, "14.5"),
    ("14.55", "0.1", EVEN, "14.6"),
    ("14.45", "0.1", EVEN, "14.4"),
    ("1000.4999", "1", EVEN, "1000"),
    ("1000.5", "1", EVEN, "1000"),
    ("1000.5001", "1", EVEN, "1001"),
    ("1001.5", "1", EVEN, "1002"),
    # https://concretebasics.org/articlesinfo/roundingoff.php (IS 2:1960)
    ("4.36", "1", EVEN, "4"),
    ("2.355", "1", EVEN, "2"),
    ("15.205", "0.1", EVEN, "15.2"),
    ("9.625", "1", EVEN, "10"),
    ("2.651", "0.1", EVEN, "2.7"),
    ("0.3552", "0.01", EVEN, "0.36"),
    ("12.545001", "0.01", EVEN, "12.55"),
    # armymunitions.tpub.com
    ("60.25132", "0.1", EVEN, "60.3"),
    # https://studyres.com/doc/15702036 (Ontario LS-100)
    ("1.347", "0.1", AWAY, "1.3"),
    # https://okudaira-pipe.co.jp/hinmoku/z8401.html
    ("5.346", "0.1", EVEN, "5.3"),
    # https://github.com/python/cpython/issues/83305 and /69015
    ("1.05", "0.1", EVEN, "1.0"),
    ("1.15", "0.1", EVEN, "1.2"),
    ("1.25", "0.1", EVEN, "1.2"),
    ("1.35", "0.1", EVEN, "1.4"),
    ("1.65", "0.1", EVEN, "1.6"),
    ("2.675", "0.01", EVEN, "2.68"),
    ("9.925", "0.01", EVEN, "9.92"),
]

NEGATIVE = [
    # Worked out from the rules' definitions, not published.
    ("-1.25", "0.1", EVEN, "-1.2"),
    ("-1.25", "0.1", AWAY, "-1.3"),
    ("-1.25", "0.1", UP, "-1.2"),
    ("-1.35", "0.1", EVEN, "-1.4"),
    ("-1.35", "0.1", UP, "-1.3"),
    ("-0.5", "1", EVEN, "0"),
    ("-0.5", "1", UP, "0"),
    ("-0.5", "1", AWAY, "-1"),
]


@pytest.mark.parametrize(("value", "interval", "rule", "result"), PUBLISHED + NEGATIVE)
def test_rounding_example(value: str, interval: str, rule: Rounding, result: str) -> None:
    """Every published example of ASTM E29 and ISO 80000-1 rounding comes out as printed."""
    assert round_to(Fraction(value), Fraction(interval), rule) == Fraction(result)


@pytest.mark.parametrize(("value", "interval", "rule", "result"), PUBLISHED)
def test_half_up_and_half_away_agree_above_zero(
    value: str, interval: str, rule: Rounding, result: str
) -> None:
    """For positive values 'half up' and 'half away from zero' are one rule."""
    del rule, result
    exact, unit = Fraction(value), Fraction(interval)
    assert round_to(exact, unit, UP) == round_to(exact, unit, AWAY)


@pytest.mark.parametrize(("places", "whole"), [(2, 8), (3, 16), (4, 32)])
def test_only_one_family_of_64ths_divides_the_rules(places: int, whole: int) -> None:
    """Among 64ths half-up and half-even part only at (4k+1)/8, /16 and /32 for 2, 3 and 4 places."""
    unit = Fraction(1, 10**places)
    parting = {
        n
        for n in range(1, 257)
        if round_to(Fraction(n, 64), unit, UP) != round_to(Fraction(n, 64), unit, EVEN)
    }
    assert parting == {n for n in range(1, 257) if n * whole % 64 == 0 and (n * whole // 64) % 4 == 1}
