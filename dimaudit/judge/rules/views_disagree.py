"""A step or a hole that is at another distance in a projected view (ISO 128-3, ASME Y14.3)."""

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from fractions import Fraction

from dimaudit.exact.number import decimal_text
from dimaudit.judge.check import Rule, Sheet
from dimaudit.judge.scale import factors_of
from dimaudit.model.audit import Finding, Level, NotCompared
from dimaudit.model.drawing import Arc, Circle, Curve, LineRole, Segment, Shape
from dimaudit.model.projection import Projection, projections
from dimaudit.model.view import View, on_arc, quadrants, shape_ends

LEAST_MATCHES = 3
"""Levels within the overall ends that both views share: with fewer they may be views of different parts."""
CERTAIN_MATCHES = 5
MOST_APART = Fraction(3, 100)
"""Share of the overall extent: levels that are further apart are different features."""
SAME = 10
"""Snap distances within which two levels are one; views are often drawn apart and lined up by eye."""
MATCHES_PER_FAULT = 3
"""Shared levels that each disagreement must have beside it."""


class What(StrEnum):
    """What stands at a level."""

    CENTRE = "centre"
    EDGE = "edge"
    ROUND = "side of a hole"


@dataclass(slots=True)
class Station:
    """A level of one view along the shared axis, with what stands there."""

    at: Fraction
    what: set[What] = field(default_factory=set)
    handles: list[str] = field(default_factory=list)

    @property
    def kind(self) -> What:
        """A circle's centre with centre marks on it is a centre."""
        return next(what for what in What if what in self.what)


@dataclass(frozen=True, slots=True)
class Along:
    """One view along the axis: what can be compared, and every level at which something is."""

    view: View
    stations: Sequence[Station]
    """Edges square to the axis, centres, and the sides of circles."""
    levels: Sequence[Fraction]
    """These and all other ends and tangents, sorted: partners for the other view's stations."""
    low: Fraction
    high: Fraction
    """The overall ends; centrelines run beyond them."""

    def has(self, at: Fraction, reach: Fraction) -> bool:
        k = bisect_left(self.levels, at - reach)
        return k < len(self.levels) and self.levels[k] <= at + reach


def along(view: View, axis: int) -> Along | None:
    """The view's levels along the axis; None where nothing but centrelines is drawn."""
    stations: dict[Fraction, Station] = {}
    levels: set[Fraction] = set()

    def add(at: Fraction, what: What, shape: Shape) -> None:
        station = stations.setdefault(at, Station(at))
        station.what.add(what)
        if shape.origin.handle not in station.handles:
            station.handles.append(shape.origin.handle)

    for shape in view.shapes:
        centreline = shape.origin.role is LineRole.CENTRE
        ends = [view.place(end)[axis] for end in shape_ends(shape)]
        if not centreline:
            levels.update(ends)
        match shape:
            case Segment() if ends[0] == ends[1]:
                add(ends[0], What.CENTRE if centreline else What.EDGE, shape)
            case Circle(_, centre, radius) if not centreline:
                at, r = view.place(centre)[axis], view.radius(radius).value
                add(at, What.CENTRE, shape)
                add(at - r, What.ROUND, shape)
                add(at + r, What.ROUND, shape)
                levels.update((at - r, at + r))
            case Arc(_, centre, radius, _, _) if not centreline:
                spot = view.place(centre)
                add(spot[axis], What.CENTRE, shape)
                raws, places = quadrants(centre, radius), quadrants(spot, view.radius(radius).value)
                levels.update(p[axis] for raw, p in zip(raws, places, strict=True) if on_arc(shape, raw))
            case Curve(_, points, _) if not centreline:
                levels.update((min(p[axis] for p in points), max(p[axis] for p in points)))
            case _:
                pass
    if not levels:
        return None
    own = sorted(stations.values(), key=lambda s: s.at)
    return Along(view, own, sorted(levels | stations.keys()), min(levels), max(levels))


def check(sheet: Sheet) -> Iterator[Finding]:
    return (said for said in sheet.in_line if isinstance(said, Finding))


def compared(sheet: Sheet) -> Iterator[Finding | NotCompared]:
    """What each pair of views in line gives: findings; or that both hold levels between their ends, some without a
    counterpart, and were not compared."""
    for geometry in sheet.geometries:
        snap = sheet.lengths.snap
        pairs = projections(geometry.views, float(SAME * snap), float(MOST_APART))
        factors = factors_of(geometry.views, sheet.judgements if pairs else (), sheet.scales)
        known: dict[tuple[int, int], Along | None] = {}
        for pair in pairs:
            factor = factors[id(pair.first)].factor
            for view in (pair.first, pair.second):
                if (id(view), pair.axis) not in known:
                    known[id(view), pair.axis] = along(view, pair.axis)
            one, two = (known[id(view), pair.axis] for view in (pair.first, pair.second))
            if one is None or two is None or one.levels == two.levels:
                continue
            layout = geometry.space.name
            if factor == factors[id(pair.second)].factor:
                yield from _compared(pair, one, two, factor, SAME * snap, layout)
            elif _within(one, SAME * snap) and _within(two, SAME * snap):
                yield _not(pair, layout, "they are dimensioned at different scales")


@dataclass(frozen=True, slots=True)
class _Apart:
    """A station of the first view and its counterpart in the second."""

    first: Station
    second: Station

    @property
    def shift(self) -> Fraction:
        return self.second.at - self.first.at


def _compared(
    pair: Projection, one: Along, two: Along, factor: Fraction, same: Fraction, layout: str
) -> Iterator[Finding | NotCompared]:
    low_agrees, high_agrees = abs(one.low - two.low) <= same, abs(one.high - two.high) <= same
    extent = min(one.high - one.low, two.high - two.low)
    inner = _within(one, same)
    matches = {s.at for s in inner if two.has(s.at, same)}
    only_one = [s for s in inner if s.at not in matches]
    other = _within(two, same)
    only_two = [s for s in other if not one.has(s.at, same)]
    if len(matches) < LEAST_MATCHES:
        if inner and other and (only_one or only_two):
            share = f"they share {len(matches)} level{'s' * (len(matches) != 1)} between the ends"
            yield _not(pair, layout, f"{share}, {LEAST_MATCHES} are needed")
        return
    if not (low_agrees and high_agrees):
        shorter, longer = sorted((one, two), key=lambda v: v.high - v.low)
        end = shorter.high if low_agrees else shorter.low
        if (not only_one or not only_two) and not longer.has(end, same):
            yield _overall(pair, one, two, low_agrees, factor, len(matches), layout)
        else:
            yield _not(pair, layout, "their overall ends differ, and so do levels between them")
        return
    apart = _partners(only_one, only_two, extent * MOST_APART, one, two, same)
    left_one, left_two = ({id(s) for s in own} for own in (only_one, only_two))
    left_one -= {id(a.first) for a in apart}
    left_two -= {id(a.second) for a in apart}
    shifts = sorted({a.shift for a in apart})
    if (left_one and left_two) or len(matches) < MATCHES_PER_FAULT * len(shifts):
        yield _not(pair, layout, "each holds levels that the other has not: they may show different parts")
        return
    for shift in shifts:
        own = [a for a in apart if a.shift == shift]
        certain = len(matches) >= CERTAIN_MATCHES and len(shifts) == 1
        yield _said(pair, own, one.low, factor, len(matches), Level.ERROR if certain else Level.WARNING, layout)


def _not(pair: Projection, layout: str, why: str) -> NotCompared:
    return NotCompared(pair.first.name, pair.second.name, pair.axis, layout, why)


def _within(view: Along, same: Fraction) -> list[Station]:
    """The stations between the overall ends."""
    return [s for s in view.stations if view.low + same < s.at < view.high - same]


def _partners(
    only_one: Sequence[Station], only_two: Sequence[Station], reach: Fraction, one: Along, two: Along, same: Fraction
) -> list[_Apart]:  # fmt: skip
    """Stations without a counterpart in the other view that are each other's nearest, and of one kind."""
    pairs = []
    for a in only_one:
        near = _nearest(only_two, a.at)
        if near is not None and abs(near.at - a.at) <= reach and _nearest(only_one, near.at) is a and _alike(a, near):
            pairs.append(_Apart(a, near))
    # The side of a circle may happen to be near a step. It is a hole that stands elsewhere if more of it does.
    kept = [p for p in pairs if What.ROUND not in (p.first.kind, p.second.kind) or _same_shift(p, pairs) > 1]
    # Two lines moved apart about a shared centre are one hole of another size: threads and tap drills are drawn so.
    return [
        p
        for p in kept
        if not any(
            q.shift == -p.shift and _shared((p.first.at + q.first.at) / 2, one, two, same) for q in kept if q is not p
        )
    ]


def _nearest(stations: Sequence[Station], at: Fraction) -> Station | None:
    """Of stations in order, the one nearest to a level."""
    k = bisect_left(stations, at, key=lambda s: s.at)
    return min(stations[max(k - 1, 0) : k + 1], key=lambda s: abs(s.at - at), default=None)


def _alike(a: Station, b: Station) -> bool:
    return (a.kind is What.CENTRE) == (b.kind is What.CENTRE)


def _same_shift(pair: _Apart, pairs: Sequence[_Apart]) -> int:
    return sum(p.shift == pair.shift for p in pairs)


def _shared(at: Fraction, one: Along, two: Along, same: Fraction) -> bool:
    return all(
        any(abs(s.at - at) <= same and s.kind is What.CENTRE for s in view.stations) for view in (one, two)
    )


def _said(
    pair: Projection, apart: Sequence[_Apart], low: Fraction, factor: Fraction, matches: int,
    level: Level, layout: str,
) -> Finding:  # fmt: skip
    main = min(apart, key=lambda a: list(What).index(a.first.kind))
    what = "hole" if main.first.kind is What.CENTRE or len(apart) > 1 else "step"
    first, second = ((s.at - low) / factor for s in (main.first, main.second))
    off = abs(second - first)
    edge = "left" if pair.axis == 0 else "lower"
    names = pair.first.name, pair.second.name
    return Finding(
        rule="views-disagree",
        level=level,
        handles=tuple(dict.fromkeys(h for a in apart for s in (a.first, a.second) for h in s.handles)),
        message=f"the {what} that is {decimal_text(first, 6)} from the {edge} edge in {names[0]} is "
        f"{decimal_text(second, 6)} from it in {names[1]}: {decimal_text(off, 6)} apart",
        why=(
            f"the views stand in line and share both overall ends and {matches} levels between them",
            f"{names[0]} has nothing at {decimal_text(second, 6)}, {names[1]} nothing at {decimal_text(first, 6)}",
        ),
        suggestion="find out which view is right, and draw the other from it by projection lines",
        at=_spot(pair, main.first.at),
        layout=layout,
        view=names[0],
    )


def _overall(
    pair: Projection, one: Along, two: Along, low_agrees: bool, factor: Fraction, matches: int,
    layout: str,
) -> Finding:  # fmt: skip
    sizes = [(v.high - v.low) / factor for v in (one, two)]
    ends = [v.high if low_agrees else v.low for v in (one, two)]
    which = ("right" if low_agrees else "left") if pair.axis == 0 else ("upper" if low_agrees else "lower")
    handles = [h for v, end in zip((one, two), ends, strict=True) for s in v.stations if s.at == end for h in s.handles]
    names = pair.first.name, pair.second.name
    return Finding(
        rule="views-disagree",
        level=Level.WARNING,
        handles=tuple(dict.fromkeys(handles)),
        message=f"{names[0]} is {decimal_text(sizes[0], 6)} over all and {names[1]} in line with it is "
        f"{decimal_text(sizes[1], 6)}: {decimal_text(abs(sizes[0] - sizes[1]), 6)} apart",
        why=(
            f"the views share one end and {matches} levels, and differ at the {which} end",
            "views in line show one part, so their overall ends agree",
        ),
        suggestion="find out which view is right, and draw the other from it by projection lines",
        at=_spot(pair, ends[0]),
        layout=layout,
        view=names[0],
    )


def _spot(pair: Projection, level: Fraction) -> tuple[float, float]:
    """At the level, in the middle of the first view."""
    low, high = pair.first.extent[1 - pair.axis]
    middle = (low + high) / 2
    return (float(level), middle) if pair.axis == 0 else (middle, float(level))


RULE = Rule("views-disagree", Level.ERROR, "a step or a hole is at another distance in a view in line", check)
