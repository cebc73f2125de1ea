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


def projections(views: Sequence[View], snap: float) -> tuple[Projection, ...]:
    """Pairs of neighbouring views with the same overall extent along one axis and apart along the other."""
    found = []
    for k, first in enumerate(views):
        for second in views[k + 1 :]:
            for axis in (0, 1):
                (a, b), (c, d) = first.extent[axis], second.extent[axis]
                (e, f), (g, h) = first.extent[1 - axis], second.extent[1 - axis]
                if b > a and abs(a - c) <= snap and abs(b - d) <= snap and (f < g or h < e):
                    found.append(Projection(first, second, axis))
    return tuple(found)
