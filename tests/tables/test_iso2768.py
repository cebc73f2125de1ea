"""ISO 2768-1 against examples, and against what old sheets print."""

from fractions import Fraction as F

import pytest

from dimaudit.tables.iso2768 import CLASSES, angle, broken_edge, linear

LENGTHS = [
    # class, nominal mm, ± mm; the edges belong to the range below. Worked from two open pages of the tables that agree.
    ("m", "3", "0.1"),
    ("m", "3.01", "0.1"),
    ("m", "6", "0.1"),
    ("m", "6.01", "0.2"),
    ("m", "30", "0.2"),
    ("m", "30.5", "0.3"),
    ("m", "120", "0.3"),
    ("m", "120.1", "0.5"),
    ("f", "25", "0.1"),
    ("c", "4", "0.3"),
    ("c", "2", "0.2"),
    ("c", "1500", "3"),
    ("v", "2", None),
    ("f", "2500", None),
    ("v", "3000", "8"),
    ("m", "0.3", None),
    ("m", "4001", None),
]


@pytest.mark.parametrize(("letter", "nominal", "expected"), LENGTHS)
def test_lengths(letter: str, nominal: str, expected: str | None) -> None:
    """Coarse 4 mm is ±0.3 and coarse 2 mm ±0.2; sheets after the older DIN 7168 print 0.2 and 0.15 there."""
    assert linear(F(nominal), letter) == (None if expected is None else F(expected))


@pytest.mark.parametrize(
    ("letter", "nominal", "expected"),
    [("f", "3", "0.2"), ("m", "3.5", "0.5"), ("c", "6", "1"), ("v", "40", "2"), ("m", "40", "1"), ("m", "0.4", None)],
)
def test_broken_edges(letter: str, nominal: str, expected: str | None) -> None:
    """External radii and chamfer heights have a table of their own (the same open pages)."""
    assert broken_edge(F(nominal), letter) == (None if expected is None else F(expected))


@pytest.mark.parametrize(
    ("letter", "side", "minutes"),
    [("f", "10", 60), ("m", "10.5", 30), ("c", "120", 30), ("c", "120.5", 15), ("v", "50", 120), ("m", "900", 5),
     ("v", "401", 20)],
)  # fmt: skip
def test_angles(letter: str, side: str, minutes: int) -> None:
    """By the shorter side; coarse over 120 up to 400 is 15 minutes, where two open pages print 20."""
    assert angle(F(side), letter) == F(minutes, 60)


def test_no_side_has_no_angle() -> None:
    """A side without length gives nothing."""
    assert angle(F(0), "m") is None


@pytest.mark.parametrize("size", [F(1, 2), F(3), F(30), F(400), F(2000)])
def test_a_coarser_class_is_never_narrower(size: F) -> None:
    """f, m, c, v in this order, in all three tables."""
    for table in (linear, broken_edge, angle):
        found = [value for letter in CLASSES if (value := table(size, letter)) is not None]
        assert found == sorted(found)
