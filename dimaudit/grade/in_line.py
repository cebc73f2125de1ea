"""Views that the key has in line, and a layout has not: said, and no points."""

from collections.abc import Iterator
from fractions import Fraction
from itertools import combinations

from dimaudit.grade.laid_out import LaidOut
from dimaudit.grade.levels import MEET
from dimaudit.grade.words import extent, length_text, shown


def out_of_line(laid_out: LaidOut) -> Iterator[str]:
    """A remark for each two views that are; one for each two that lie the other way round."""
    key, tolerance = laid_out.key, 2 * laid_out.tolerance
    for first, second in combinations(laid_out.view_alignments, 2):
        a, b = extent(key, first), extent(key, second)
        if a is None or b is None:
            continue
        by = [
            p - q for p, q in zip(
                laid_out.view_alignments[first].shift, laid_out.view_alignments[second].shift, strict=True
            )
        ]  # fmt: skip
        for axis in (0, 1):
            other = 1 - axis
            middles = [(low[axis] + high[axis]) / 2 for low, high in (a, b)]
            beside = a[1][other] < b[0][other] or b[1][other] < a[0][other]
            if not beside or abs(middles[0] - middles[1]) > MEET:
                continue
            if abs(by[axis]) > tolerance:
                off = length_text(shown(abs(by[axis])), key.examined.audit.unit)
                yield f"two views are {off} out of line, which the key has in line; it costs nothing"
            away = (b[0][other] + b[1][other] - a[0][other] - a[1][other]) / 2
            if _sign(away) != _sign(away + by[other]):
                yield "a view is on the other side of its neighbour than in the key; it costs nothing"


def _sign(value: Fraction) -> int:
    return (value > 0) - (value < 0)
