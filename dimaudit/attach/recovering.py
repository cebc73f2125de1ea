"""Cleaning a measured number of noise where its positions could not be."""

from collections.abc import Iterable
from fractions import Fraction

from dimaudit.exact.real import Real, middle
from dimaudit.exact.recover import ANGLE_GRIDS, INCH_GRIDS, METRIC_GRIDS, recover
from dimaudit.model.attached import Measured
from dimaudit.model.drawing import ANGLES, Dimension, Point

DEGREES_PER_RADIAN = Fraction(573, 10)


def recovered(
    value: Real, raw: Real, dimension: Dimension, points: Iterable[Point], noise: Fraction
) -> Measured:
    """`value`, or the simple number within the noise of it where the points themselves are no simple numbers.

    Positions come first: a length between positions that are simple is what it is, a root or not. Only where
    a position is odd (a part drawn at an angle) may the length or the angle be the simple thing.
    """
    points = list(points)
    if isinstance(value, Fraction) and 10**6 % value.denominator == 0:
        return Measured(value, raw, value != raw)
    if not any(10**6 % q.denominator for p in points for q in p):
        return Measured(value, raw, value != raw)
    about = middle(value)
    if dimension.kind in ANGLES:
        short = _shortest_side(points)
        if short <= 0:
            return Measured(value, raw, False)
        found = recover(about, 2 * noise * DEGREES_PER_RADIAN / short, ANGLE_GRIDS)
    else:
        # The unit is not known here; a grid of either system that is hit within the noise is evidence enough.
        found = recover(about, 2 * noise, (*INCH_GRIDS[:4], *METRIC_GRIDS[:3]))
    if not found.grid:
        return Measured(value, raw, value != raw)
    return Measured(found.value, raw, found.value != raw)


def _shortest_side(points: list[Point]) -> Fraction:
    sizes = [
        abs(float(p[0] - q[0])) + abs(float(p[1] - q[1])) for k, p in enumerate(points) for q in points[k + 1 :]
    ]
    return Fraction(min((s for s in sizes if s > 0), default=0.0))
