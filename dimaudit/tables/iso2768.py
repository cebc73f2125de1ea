"""General tolerances by ISO 2768-1: lengths, broken edges and angles without a tolerance of their own.

The figures were read on two open pages of the tables that agree, and in an open package (`tests/tables/`
names what others print differently). The last angle of class v is from memory. ISO 22081:2021 replaces ISO 2768-2
(geometrical tolerances); part 1 stays in force. Ranges are over a, up to and including b; 0.5 mm is inside the first.
"""

from bisect import bisect_left
from fractions import Fraction
from typing import TypeAlias

CLASSES = {"f": "fine", "m": "medium", "c": "coarse", "v": "very coarse"}
"""The letters and words of the standard."""

SMALLEST = Fraction(1, 2)
"""Below this (mm) a deviation has to stand beside the size itself."""

_Table: TypeAlias = tuple[tuple[int | None, str], ...]

_LINEAR: _Table = (
    # up to (mm), then ± mm for f, m, c, v; '-' is no value
    (3, "0.05 0.1 0.2 -"),
    (6, "0.05 0.1 0.3 0.5"),
    (30, "0.1 0.2 0.5 1"),
    (120, "0.15 0.3 0.8 1.5"),
    (400, "0.2 0.5 1.2 2.5"),
    (1000, "0.3 0.8 2 4"),
    (2000, "0.5 1.2 3 6"),
    (4000, "- 2 4 8"),
)
_BROKEN_EDGES: _Table = (
    # external radii and chamfer heights, mm; None is without end
    (3, "0.2 0.2 0.4 0.4"),
    (6, "0.5 0.5 1 1"),
    (None, "1 1 2 2"),
)
_ANGLES: _Table = (
    # length of the shorter side up to (mm), then ± minutes of arc
    (10, "60 60 90 180"),
    (50, "30 30 60 120"),
    (120, "20 20 30 60"),
    (400, "10 10 15 30"),
    (None, "5 5 10 20"),
)


def _look_up(table: _Table, size: Fraction, letter: str) -> Fraction | None:
    tops = [top for top, _ in table if top is not None]
    row = bisect_left(tops, size)
    if row == len(table):
        return None
    cell = table[row][1].split()[list(CLASSES).index(letter)]
    return None if cell == "-" else Fraction(cell)


def linear(nominal_mm: Fraction, letter: str) -> Fraction | None:
    """± mm for a length; None outside the table."""
    return _look_up(_LINEAR, nominal_mm, letter) if nominal_mm >= SMALLEST else None


def broken_edge(nominal_mm: Fraction, letter: str) -> Fraction | None:
    """± mm for an external radius or the height of a chamfer; None below the table."""
    return _look_up(_BROKEN_EDGES, nominal_mm, letter) if nominal_mm >= SMALLEST else None


def angle(shorter_side_mm: Fraction, letter: str) -> Fraction | None:
    """± degrees for an angle, by the length of its shorter side; None where that has no length."""
    minutes = _look_up(_ANGLES, shorter_side_mm, letter) if shorter_side_mm > 0 else None
    return None if minutes is None else minutes / 60
