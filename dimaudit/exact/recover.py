"""Finding the number that was meant under the noise that CAD programs leave (2.4374999999998)."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from dimaudit.exact.number import INCH_IN_MM

LEAST_STEPS = 50
"""A grid is trusted only where its step is this many times the noise; else chance would hit it."""


@dataclass(frozen=True, slots=True)
class Grid:
    """Multiples of `step`; `name` is what a person calls them."""

    step: Fraction
    name: str
    size: float = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "size", float(self.step))


def _decimal(places: int) -> Fraction:
    return Fraction(1, 10**places)


INCH_GRIDS = (
    Grid(Fraction(1, 2), "half inches"),
    Grid(Fraction(1, 16), "16ths"),
    Grid(Fraction(1, 128), "128ths"),
    Grid(_decimal(2), "2 decimals"),
    Grid(_decimal(4), "4 decimals"),
    Grid(_decimal(1) / INCH_IN_MM, "tenths of a millimetre"),
    Grid(_decimal(2) / INCH_IN_MM, "hundredths of a millimetre"),
    Grid(_decimal(6), "6 decimals"),
)
METRIC_GRIDS = (
    Grid(Fraction(1, 2), "half millimetres"),
    Grid(_decimal(1), "1 decimal"),
    Grid(_decimal(3), "3 decimals"),
    Grid(INCH_IN_MM / 16, "16ths of an inch"),
    Grid(INCH_IN_MM / 128, "128ths of an inch"),
    Grid(INCH_IN_MM * _decimal(3), "thousandths of an inch"),
    Grid(_decimal(6), "6 decimals"),
)
def scaled_grids(grids: Sequence[Grid], by: Fraction) -> tuple[Grid, ...]:
    """The same grids for a drawing in another unit: inches of a drawing in feet are 1/12 of its unit."""
    return tuple(Grid(grid.step * by, grid.name) for grid in grids)


ANGLE_GRIDS = (
    Grid(Fraction(15), "multiples of 15 degrees"),
    Grid(Fraction(1), "whole degrees"),
    Grid(Fraction(1, 2), "half degrees"),
    Grid(Fraction(1, 60), "minutes"),
    Grid(_decimal(2), "2 decimals"),
    Grid(Fraction(1, 3600), "seconds"),
    Grid(_decimal(4), "4 decimals"),
)


@dataclass(frozen=True, slots=True)
class Recovered:
    """`value`, found `distance` away from `raw` on the grid `grid`; `grid` is empty where nothing was changed."""

    raw: Fraction
    value: Fraction
    grid: str = ""

    @property
    def distance(self) -> Fraction:
        return abs(self.value - self.raw)


def recover(raw: Fraction, noise: Fraction, grids: Sequence[Grid]) -> Recovered:
    """The first grid's multiple within `noise` of `raw`, the simplest grids first; else `raw` itself.

    A value that a hand could have typed (at most 6 decimals) is nobody's noise and is kept.
    """
    if 1_000_000 % raw.denominator == 0:
        return Recovered(raw, raw)
    x, reach = float(raw), float(noise)
    reach += abs(x) * 1e-15
    for grid in grids:
        step = grid.size
        if abs(x - round(x / step) * step) > 2 * reach:  # a double is enough to see that it is far off
            continue
        near = round(raw / grid.step) * grid.step
        if abs(near - raw) <= noise and grid.step >= LEAST_STEPS * noise:
            return Recovered(raw, near, grid.name)
    return Recovered(raw, raw)
