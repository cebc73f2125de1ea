"""Detail views: a part of another view drawn again, enlarged. What is stated there holds in the other view, too."""

from collections import Counter
from collections.abc import Mapping, Sequence
from fractions import Fraction
from math import atan2, degrees

from dimaudit.model.drawing import LineRole, Point, Segment
from dimaudit.model.scheme import Implied
from dimaudit.model.view import View
from dimaudit.scheme.build import System
from dimaudit.scheme.relation import Shape

MOST_PAIRS = 200_000
"""Pairs of corners that are tried; a view with more is no detail."""
LEAST = 4
"""Corners that must agree (common practice, no source)."""
FEWEST = 3
"""Corners that must agree where all do but those at which the detail is broken off (common practice, no source)."""
SHARE = Fraction(1, 2)
"""Of the detail's corners; the others are where it is broken off."""


def detail_of(views: Sequence[View], scales: Mapping[int, Fraction]) -> dict[int, tuple[View, Fraction, Point]]:
    """For each enlarged view, by identity: the view that it shows a part of, its enlargement, and its shift.

    A point p of the other view is at factor * (p - shift) of the detail. Views whose scale is not known to
    differ, and views that fit in two ways, are none.
    """
    plain: Counter[Fraction] = Counter(scales.get(id(v), Fraction(1)) for v in views)
    if len(plain) < 2:
        return {}
    usual = max(plain.items(), key=lambda item: (item[1], -item[0]))[0]
    found = {}
    for view in views:
        scale = scales.get(id(view), Fraction(1))
        if scale <= usual:
            continue
        factor = scale / usual
        ways = []
        for other in views:
            if scales.get(id(other), Fraction(1)) == usual:
                shift = _shift(view, other, factor)
                if shift is not None:
                    ways.append((other, factor, shift))
        if len(ways) == 1:
            found[id(view)] = ways[0]
    return found


Corner = tuple[Point, frozenset[int]]
"""Where lines meet, and the whole degrees in which they leave."""


def _corners(view: View) -> list[Corner]:
    found: list[Corner] = []
    for at, (raw, own) in view.joints.items():
        shapes = [s for s in own if s.origin.role is not LineRole.CENTRE]
        if shapes:
            found.append((at, frozenset(_way(s, raw) for s in shapes if isinstance(s, Segment))))
    return found + [(h.centre, frozenset()) for h in view.holes]


def _way(line: Segment, end: Point) -> int:
    # The other end is `end`, but for noise.
    far = max(line.a, line.b, key=lambda p: abs(p[0] - end[0]) + abs(p[1] - end[1]))
    return round(degrees(atan2(float(far[1] - end[1]), float(far[0] - end[0])))) % 360


def _shift(view: View, other: View, factor: Fraction) -> Point | None:
    mine, theirs = _corners(view), _corners(other)
    if len(mine) < FEWEST or len(mine) * len(theirs) > MOST_PAIRS:
        return None
    votes = Counter(
        (q[0] - p[0] / factor, q[1] - p[1] / factor) for p, ways in mine for q, others in theirs if ways == others
    )
    ranked = votes.most_common(2)
    if not ranked or ranked[0][1] < FEWEST:
        return None
    whole = sum(len(ways) != 1 for _, ways in mine)  # where a line just stops, the detail is broken off
    if (ranked[0][1] < LEAST or ranked[0][1] < SHARE * len(mine)) and ranked[0][1] < whole:
        return None
    if len(ranked) > 1 and ranked[1][1] == ranked[0][1]:
        return None
    return ranked[0][0]


def link_detail(system: System, detail: View, other: View, factor: Fraction, shift: Point) -> None:
    """Each level that both show is one."""
    for axis in (0, 1):
        theirs = system.levels(other, axis)
        for level, index in system.levels(detail, axis).items():
            partner = theirs.get(level / factor + shift[axis])
            if partner is not None:
                system.imply(Implied.PROJECTED, Shape.SHARED, partner, index, factor=factor)
