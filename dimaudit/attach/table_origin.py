"""Where a hole table counts from.

A place that the sheet marks is believed first, then the one that the tagged rows agree on, then the
corner or centre from which most rows meet a hole. How many rows must agree depends on how sure the
place is otherwise: the rest of the rows are then wrong, and are said to be.
"""

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil
from statistics import median

import numpy as np
from numpy.typing import NDArray

from dimaudit.attach.hole_fields import CORNER, Field, Hole, Start
from dimaudit.attach.hole_tags import TagMarks
from dimaudit.model.drawing import Point
from dimaudit.model.geometry import Levels

FEWEST_ROWS = 2
NEARLY_ALL = Fraction(2, 3)
"""The share of the rows that must agree with an origin that nothing else speaks for."""
MOST = Fraction(1, 2)
FEWEST_BY_CORNER = 3
"""Rows that must agree with a corner or the middle of the part where those that do not are each off by one number."""
SAID = Fraction(1, 3)
"""The share where the sheet marks the origin."""
LEVELS = 5
"""Rank of a place that only the tagged rows agree on, on a level of the view along either axis."""

Axes = tuple[Fraction, Fraction]
"""True size over drawn size along x and y; below zero where a place is counted to the left, or downwards."""
Place = tuple[Fraction, Fraction, Fraction, Fraction]
"""X and Y of a row, and half of the last place that each is written to."""

WAYS = ((1, 1, ""), (1, -1, ", Y downwards"), (-1, 1, ", X to the left"), (-1, -1, ", X to the left, Y downwards"))


@dataclass(frozen=True, slots=True)
class Fit:
    """A field looked at from one origin."""

    field: Field
    start: Start
    axes: Axes
    way: str
    agreeing: tuple[Hole | None, ...]
    """For each row the hole at its place, or the hole of its tag if that is at its place."""
    count: int
    """How many rows agree."""
    tagged: int
    """How many rows have a tag by one hole."""
    tagged_agreeing: int
    others: tuple[Hole | None, ...] = ()
    """For each row that does not agree the hole that it must mean; looked for where that decides."""

    @property
    def whole(self) -> bool:
        """Whether all rows agree."""
        return self.count == len(self.agreeing)

    @property
    def believed(self) -> bool:
        """Whether the sheet says so, and at least half of the rows do."""
        return self.start.said and self.count >= MOST * len(self.agreeing)

    @property
    def by_tags(self) -> bool:
        """Whether most of the tagged rows agree, which tells the rest of them from others' holes."""
        return self.tagged_agreeing >= FEWEST_ROWS and self.tagged_agreeing > MOST * self.tagged

    @property
    def enough(self) -> bool:
        """Whether so many rows agree that the others are wrong, and not the origin."""
        rows, count = len(self.agreeing), self.count
        if self.by_tags:
            return True
        if self.start.said and count >= SAID * rows and (count >= FEWEST_ROWS or self.tagged == rows):
            return True
        if self.others and None not in self.others:
            return True
        return count >= FEWEST_ROWS and count >= NEARLY_ALL * rows

    @property
    def merit(self) -> tuple[bool, bool, bool, int]:
        """What makes one fit better than another."""
        return self.whole, self.believed, self.by_tags, self.count


def left_over(field: Field, start: Point, axes: Axes, place: Place, met: set[int]) -> Hole | None:
    """The one hole that no other row has and that shares one of the row's coordinates."""
    x, y, half_x, half_y = place
    found = []
    for hole in field.holes:
        if id(hole) not in met:
            cx, cy = counted(hole, start, axes)
            if abs(cx - x) <= half_x or abs(cy - y) <= half_y:
                found.append(hole)
    return found[0] if len(found) == 1 else None


def counted(hole: Hole, start: Point, axes: Axes) -> Point:
    """The hole's centre in true size, counted from `start`."""
    return (hole.centre[0] - start[0]) * axes[0], (hole.centre[1] - start[1]) * axes[1]


@dataclass(frozen=True, slots=True)
class Rows:
    """The rows of one table: places and tags, and the marks of the tags in each field by its identity."""

    places: Sequence[Place]
    tags: Sequence[str]
    marks: dict[int, TagMarks]


def find_origin(rows: Rows, fields: Sequence[Field]) -> tuple[Fit | None, str, str]:
    """The fit that is believed; or None with the reason, and what to do."""
    if not fields:
        return None, "no hole is drawn", "draw the holes, or take the table away"
    best: list[Fit] = []
    said: list[Fit] = []
    for right, up, way in WAYS:
        usual = best[0].merit if best else None  # the usual way is kept where an unusual one fits no better
        for field in fields:
            for factor in field.factors:
                for fit in _Looking(rows, field, (right * factor, up * factor), way).fits(best):
                    if fit.start.said:
                        said.append(fit)
                    if not fit.enough:
                        continue
                    if not best or fit.merit > best[0].merit:
                        best = [fit]
                    elif fit.merit == best[0].merit and fit.merit != usual:
                        best.append(fit)
        if best and (best[0].whole or best[0].by_tags):
            break
    if not best:
        return None, *_why_none(said, rows, fields)
    lowest = min(fit.start.rank for fit in best)
    first = [fit for fit in best if fit.start.rank == lowest]
    others = {fit.start.at for fit in first if fit.field is first[0].field}
    if len(others) > 1 and not best[0].whole:
        why = "two places fit equally well as its origin, and each leaves other rows without a hole"
        return None, why, "mark the origin on the view (X0 Y0), or put the tags beside the holes"
    return first[0], "", ""


def _why_none(said: Sequence[Fit], rows: Rows, fields: Sequence[Field]) -> tuple[str, str]:
    total = len(rows.places)
    if said:
        best = max(said, key=lambda fit: fit.count)
        number = f"only {best.count}" if best.count else "none"
        return (
            f"counted from {best.start.text}, {number} of its {total} rows meets a hole",
            "see whether the table counts from there, and in the unit and the scale of the drawing",
        )
    tagged = max(sum(rows.marks[id(f)].hole(tag) is not None for tag in rows.tags) for f in fields)
    if tagged > FEWEST_ROWS:
        return (
            f"the places of its {tagged} rows whose tags stand beside holes do not agree on an origin",
            "mark the origin on the view (X0 Y0), and see whether each tag stands beside its hole",
        )
    return (
        "no corner or centre was found from which at least two thirds of its rows meet a hole",
        "mark the origin on the view (X0 Y0), or put the tags beside the holes",
    )


class _Looking:
    """One field, counted one way."""

    def __init__(self, rows: Rows, field: Field, axes: Axes, way: str) -> None:
        self.rows, self.field, self.axes, self.way = rows, field, axes, way
        self.marks = rows.marks[id(field)]
        self.tagged = [self.marks.hole(tag) for tag in rows.tags]
        self.across, self.up = float(axes[0]), float(axes[1])
        self.reach = max(map(self._reach, rows.places))

    def _reach(self, row: Place) -> float:
        """How far off a hole may be drawn that agrees with a row, and a little more."""
        return float(max(row[2], row[3])) / abs(self.up) * 1.01 + 1e-9

    def fits(self, best: Sequence[Fit]) -> Iterator[Fit]:
        """Fits worth looking at: of the places that the sheet marks, that the tags imply, then of all others."""
        first = {start.at: start for start in self.field.starts if start.rank <= CORNER}
        first |= {start.at: start for start in self._implied() if start.at not in first}
        rows = len(self.rows.places)
        needed = max(FEWEST_ROWS, ceil(NEARLY_ALL * rows), best[0].count if best else 0)
        for start in first.values():
            fit = self._fit(start)
            yield fit
            if fit.whole or fit.by_tags:
                return  # nothing further down the list is better
            needed = max(needed, rows if fit.believed else fit.count)
        for votes, start in self._voted():
            if votes < needed:
                return
            if start.at not in first:
                fit = self._fit(start)
                yield fit
                if fit.whole:
                    return
                needed = max(needed, fit.count)

    def _fit(self, start: Start) -> Fit:
        agreeing = tuple(self._agreeing(start.at))
        pairs = list(zip(agreeing, self.tagged, strict=True))
        count, rows = sum(hole is not None for hole in agreeing), len(agreeing)
        others: tuple[Hole | None, ...] = ()
        if start.rank <= CORNER and count >= FEWEST_BY_CORNER and MOST * rows < count < rows:
            others = tuple(self._others(start.at, agreeing))
        return Fit(
            self.field, start, self.axes, self.way, agreeing, count,
            sum(own is not None for own in self.tagged),
            sum(own is not None and own is hole for hole, own in pairs), others,
        )  # fmt: skip

    def _others(self, start: Point, agreeing: Sequence[Hole | None]) -> Iterator[Hole | None]:
        met = {id(hole) for hole in agreeing if hole is not None}
        for place, own, hole in zip(self.rows.places, self.tagged, agreeing, strict=True):
            if hole is None:
                meant = own or left_over(self.field, start, self.axes, place, met)
                met.add(id(meant))
                yield meant

    def _agreeing(self, start: Point) -> Iterator[Hole | None]:
        """For each row the hole that it agrees with."""
        ox, oy = float(start[0]), float(start[1])
        for tag, own, row in zip(self.rows.tags, self.tagged, self.rows.places, strict=True):
            x, y, half_x, half_y = row
            near = self.field.near(ox + float(x) / self.across, oy + float(y) / self.up, self._reach(row))
            met = None
            for hole in near:
                cx, cy = counted(hole, start, self.axes)
                if abs(cx - x) <= half_x and abs(cy - y) <= half_y and self.marks.may_be(tag, hole):
                    met = hole
                    if hole is own:
                        break
            yield met

    def _implied(self) -> list[Start]:
        """Where the tagged rows count from: what more than half of them agree on is the median along both axes."""
        pairs = [
            (hole.centre[0] - x / self.axes[0], hole.centre[1] - y / self.axes[1])
            for hole, (x, y, _, _) in zip(self.tagged, self.rows.places, strict=True)
            if hole is not None
        ]
        if len(pairs) < FEWEST_ROWS:
            return []
        x, y = (median(p[axis] for p in pairs) for axis in (0, 1))
        far = Fraction(2 * self.reach)
        near = [s for s in self.field.starts if abs(s.at[0] - x) <= far and abs(s.at[1] - y) <= far]
        if near or self.field.view is None:
            return near
        on = self._level(self.field.view.xs, x), self._level(self.field.view.ys, y)
        if on[0] is None or on[1] is None:
            return []
        at = on[0], on[1]
        return [Start(at, LEVELS, f"{self.field.spot(at)}, as most of the tagged rows have it")]

    def _level(self, levels: Levels, value: Fraction) -> Fraction | None:
        """The view's level nearest to a coordinate that was worked out, if it is as near as the rows are exact."""
        k = bisect_left(levels.keys, float(value))
        near = [levels.values[key].value for key in levels.keys[max(0, k - 1) : k + 1]]
        found = min(near, key=lambda level: abs(level - value), default=None)
        return found if found is not None and abs(found - value) <= 2 * self.reach else None

    def _voted(self) -> list[tuple[int, Start]]:
        """All starts with no fewer votes than rows that can agree with them, those with most votes first.

        Every row with every hole votes for one place. Doubles, and cells wider than what a row may be off: a place
        may get votes that it does not deserve, but misses none.
        """
        starts = self.field.starts
        xs, ys, _ = self.field.arrays
        x = np.array([float(p[0]) for p in self.rows.places]) / self.across
        y = np.array([float(p[1]) for p in self.rows.places]) / self.up
        cell = 4 * self.reach

        def number(values: NDArray[np.float64]) -> NDArray[np.int64]:
            return np.floor(np.clip(values / cell, -(2.0**40), 2.0**40)).astype(np.int64)

        def key(i: NDArray[np.int64], j: NDArray[np.int64]) -> NDArray[np.int64]:
            return i * np.int64(0x9E3779B1) + j  # where two cells get the same key, both have the votes of both

        cast = key(number(xs[None, :] - x[:, None]), number(ys[None, :] - y[:, None])).ravel()
        keys, votes = np.unique(cast, return_counts=True)
        sx = np.array([float(s.at[0]) for s in starts])
        sy = np.array([float(s.at[1]) for s in starts])
        off = (-self.reach, self.reach)
        cells = np.sort(np.stack([key(number(sx + dx), number(sy + dy)) for dx in off for dy in off]), axis=0)
        found = np.minimum(np.searchsorted(keys, cells), len(keys) - 1)
        got = np.where(keys[found] == cells, votes[found], 0)
        got[1:][cells[1:] == cells[:-1]] = 0  # a cell is counted once
        total = np.minimum(got.sum(axis=0), len(self.rows.places)).tolist()
        return sorted(zip(total, starts, strict=True), key=lambda pair: (-pair[0], pair[1].rank))
