"""Which view of the old drawing is which of the new.

Every old view is laid over every new one. The pair of which the largest share lies on itself is taken first, of equal
pairs the one that moved least; then the next. What is left is paired by place: a view that was redrawn mostly stands
where it stood. An assignment that is best as a whole would pair views that have little in common to suit others.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from dimaudit.compare.laid import Fit, Laid, best_fit, corner
from dimaudit.model.view import View

ALIKE = 0.3
"""Share of its shapes that must lie on one another for two views to be one by their shape."""
OVERLAP = 0.5
"""Share of the smaller one's area that two views must share to be one by their place."""
EVEN = Fraction(1, 10**6)
"""How far the ratios of width and height may differ, relatively, for one view to be the other to another scale."""


@dataclass(frozen=True, slots=True)
class Couple:
    """One view in both drawings."""

    old: View
    new: View
    laid: Laid


def couple(
    olds: Sequence[View], news: Sequence[View], factor: Fraction, apart: Fraction
) -> list[Couple]:
    """The views that are one, in the order of the new drawing. `factor`: one old unit in new ones."""
    fits = [(i, j, _fit(a, b, factor, apart)) for i, a in enumerate(olds) for j, b in enumerate(news)]
    left, right = set(range(len(olds))), set(range(len(news)))
    found: dict[int, Couple] = {}

    def take(i: int, j: int, laid: Laid) -> None:
        if i in left and j in right:
            left.discard(i)
            right.discard(j)
            found[j] = Couple(olds[i], news[j], laid)

    for i, j, fit in sorted(fits, key=lambda f: (-f[2].share, f[2].far, f[0], f[1])):
        if fit.share >= ALIKE:
            take(i, j, fit.laid)
    for i, j, fit in sorted(fits, key=lambda f: (-_overlap(olds[f[0]], news[f[1]], factor), f[0], f[1])):
        if _overlap(olds[i], news[j], factor) >= OVERLAP:
            take(i, j, fit.laid if fit.meet > 1 else Laid(factor))
    return [found[j] for j in sorted(found)]


def _fit(old: View, new: View, factor: Fraction, apart: Fraction) -> Fit:
    """As it is; where that fits badly and all of it is larger or smaller alike, to that scale."""
    plain = best_fit(old, new, factor, apart)
    scale = _scale(old, new)
    if plain.share >= ALIKE or scale is None or scale == factor:
        return plain
    scaled = best_fit(old, new, scale, apart)
    return scaled if scaled.share >= ALIKE else plain


def _scale(old: View, new: View) -> Fraction | None:
    """How many times as large the new one is, if its width and height agree on that."""
    if not (old.xs.keys and old.ys.keys and new.xs.keys and new.ys.keys):
        return None
    (ax, ay), (bx, by) = corner(old, 0), corner(old, -1)
    (cx, cy), (dx, dy) = corner(new, 0), corner(new, -1)
    if not (bx - ax and by - ay and dx - cx and dy - cy):
        return None
    wide, high = (dx - cx) / (bx - ax), (dy - cy) / (by - ay)
    if abs(wide / high - 1) > EVEN:
        return None
    return min((wide, high), key=lambda q: q.denominator)


def _overlap(old: View, new: View, factor: Fraction) -> float:
    """The share of the smaller box that both have, each widened by a hair so that a flat one has an area."""
    k = float(factor)
    area, least = 1.0, []
    for a, b in zip(old.extent, new.extent, strict=True):
        low, high = a[0] * k, a[1] * k
        hair = 1e-6 * (abs(low) + abs(high) + abs(b[0]) + abs(b[1]) + 1)
        area *= max(min(high, b[1]) - max(low, b[0]) + hair, 0.0)
        least.append((high - low + hair, b[1] - b[0] + hair))
    smaller = min(least[0][0] * least[1][0], least[0][1] * least[1][1])
    return area / smaller
