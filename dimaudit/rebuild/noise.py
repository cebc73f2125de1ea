"""How noisy a drawing's coordinates are, by its own evidence."""

from collections.abc import Sequence
from fractions import Fraction

import numpy as np

from dimaudit.model.drawing import Arc, Circle, Segment, Shape
from dimaudit.model.settings import COARSEST_NOISE, FINEST_NOISE


def size_noise(shapes: Sequence[Shape]) -> Fraction:
    """Ten times what nine in ten of the nearly simple coordinates stand off the 1e-4 and 1/128 grids.

    'Nearly simple' is within 1e-6, above the resolution of a double. Where no coordinate is noisy the finest
    figure is used. Bounds: model/settings.py.
    """
    values: list[float] = []
    for shape in shapes:
        match shape:
            case Segment(_, a, b):
                values += (float(a[0]), float(a[1]), float(b[0]), float(b[1]))
            case Arc() | Circle():
                values += (float(shape.centre[0]), float(shape.centre[1]), float(shape.radius))
            case _:
                pass
    if not values:
        return FINEST_NOISE
    x = np.array(values)
    off = np.minimum(np.abs(x - np.round(x, 4)), np.abs(x - np.round(x * 128) / 128))
    floor = np.maximum(np.abs(x), 1.0) * 4 * np.finfo(float).eps
    noisy = off[(off > floor) & (off < 1e-6)]
    if noisy.size == 0:
        return FINEST_NOISE
    wanted = Fraction(10) * Fraction(float(np.quantile(noisy, 0.9)))
    for power in range(9, 5, -1):
        if wanted <= Fraction(1, 10**power):
            return max(FINEST_NOISE, Fraction(1, 10**power))
    return COARSEST_NOISE
