"""Views of one part that stand in line: front above or below top, front beside side (orthographic projection)."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from dimaudit.model.view import View


@dataclass(frozen=True, slots=True)
class Projection:
    """Two neighbouring views that share their levels along one axis (ISO 128-3, ASME Y14.3)."""

    first: View
    second: View
    axis: int
    """0: one stands above the other and they share x; 1: they stand side by side and share y."""


def projections(views: Sequence[View], snap: float, share: float = 0.0) -> tuple[Projection, ...]:
    """Pairs of neighbouring views that agree along one axis and are apart along the other.

    First-angle or third-angle does not matter: only that nothing stands between them. Both overall ends agree within
    the snap distance; with a `share`, one of them may be off by that share of the shorter extent.
    """
    pairs = [(*sorted(pair), axis) for axis in (0, 1) for pair in _pairs(views, axis, snap, share)]
    return tuple(Projection(views[i], views[j], axis) for i, j, axis in sorted(pairs))


def _pairs(views: Sequence[View], axis: int, snap: float, share: float) -> Iterator[tuple[int, int]]:
    """Indices of the views that are in line along the axis, the one that stands first along the other axis first.

    By arrays: a sheet of some thousand views has millions of pairs.
    """
    low, high = (np.array([view.extent[axis][end] for view in views]) for end in (0, 1))
    start, stop = (np.array([view.extent[1 - axis][end] for view in views]) for end in (0, 1))
    wide = high - low
    for i in range(len(views)):
        if wide[i] <= 0:
            continue
        one, other = np.abs(low - low[i]), np.abs(high - high[i])
        slack = np.maximum(snap, share * np.minimum(wide, wide[i]))
        agree = (np.minimum(one, other) <= snap) & (np.maximum(one, other) <= slack) & (wide > 0)
        beside = (low < high[i]) & (high > low[i])
        # What stands wholly in front of another view, beyond this one, stands between the two.
        nearest = np.min(stop[beside & (start >= stop[i])], initial=np.inf)
        for j in np.flatnonzero(agree & (start > stop[i]) & (start < nearest)):
            yield i, int(j)
