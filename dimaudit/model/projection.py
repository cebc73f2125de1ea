"""Views of one part that stand in line: front above or below top, front beside side (orthographic projection)."""

from collections.abc import Sequence
from dataclasses import dataclass

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
    found = []
    for k, first in enumerate(views):
        for second in views[k + 1 :]:
            for axis in (0, 1):
                if _in_line(first, second, axis, snap, share) and not any(
                    _between(view, first, second, axis) for view in views if view is not first and view is not second
                ):
                    found.append(Projection(first, second, axis))
    return tuple(found)


def _in_line(first: View, second: View, axis: int, snap: float, share: float) -> bool:
    (a, b), (c, d) = first.extent[axis], second.extent[axis]
    (e, f), (g, h) = first.extent[1 - axis], second.extent[1 - axis]
    if not (b > a and d > c and (f < g or h < e)):
        return False
    near, far = sorted((abs(a - c), abs(b - d)))
    return near <= snap and far <= max(snap, share * min(b - a, d - c))


def _between(view: View, first: View, second: View, axis: int) -> bool:
    """Whether a view stands in the gap between two others that are in line along the axis."""
    low, high = first.extent[axis]
    (e, f), (g, h) = first.extent[1 - axis], second.extent[1 - axis]
    start, end = (f, g) if f < g else (h, e)
    own_low, own_high = view.extent[axis]
    start_own, end_own = view.extent[1 - axis]
    return own_low < high and own_high > low and start_own >= start and end_own <= end
