"""Where balloons stand: near what they are about, clear of texts and of one another, on as little linework as may be.

Doubles, for looking at. A raster of cells tells what is taken; the same drawing gives the same places.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import ceil, cos, floor, hypot, pi, sin

import numpy as np

from dimaudit.model.picture import Box
from dimaudit.write.pen import Spot
from dimaudit.write.scene import Span

CELL = 0.5
"""Side of a cell in heights of letters."""
MOST_CELLS = 4000
"""Cells along one side of the raster; where what is to be marked is larger, the cells are larger."""
RINGS = (2.0, 3.0, 4.5, 6.5, 9.0, 12.5, 17.0, 23.0, 31.0)
"""Lengths of leaders that are tried, in heights of letters."""
WAYS = tuple((cos(k * pi / 8), sin(k * pi / 8)) for k in (2, 6, 1, 7, 3, 5, 14, 10, 15, 9, 0, 8, 13, 11, 4, 12))
"""Directions that are tried; slanted ones first, since a leader should not be taken for a line of the part (common
practice, no source)."""
LOOKED_AT = 10
"""So many of the best places have their leaders looked at, too."""
TOGETHER = 2.0
"""Spots on linework nearer than this, in heights of letters, share a leader."""
EDGE = 40.0
"""How far around what is to be marked there is room, in heights of letters."""

# What is bad about a place, in heights of letters that a leader would rather be longer. `…LINE` counts for each cell.
ON_TEXT = 400.0
ON_MARK = 4000.0
ON_LINES = 2.0
ON_LINE = 0.3
LEADER_ON_TEXT = 5.0
LEADER_ON_LINE = 0.25
WITHOUT_NOTE = 7.0
LEVEL_LEADER = 2.0


@dataclass(frozen=True, slots=True)
class Size:
    """A group of balloons with their notes: the box that it takes."""

    wide: float
    tall: float


class Raster:
    """Which cells of a layout are taken, by texts, by lines and by marks."""

    def __init__(self, box: Box, letter: float, texts: Iterable[Box], spans: Iterable[Span]) -> None:
        """`box` holds what is to be marked; there is a raster for it and for room around it."""
        edge = EDGE * letter
        self._x, self._y = box[0] - edge, box[1] - edge
        wide, tall = box[2] - box[0] + 2 * edge, box[3] - box[1] + 2 * edge
        self.cell = max(CELL * letter, max(wide, tall) / MOST_CELLS)
        shape = (ceil(tall / self.cell) + 1, ceil(wide / self.cell) + 1)
        self.texts = np.zeros(shape, dtype=np.uint8)
        self.marks = np.zeros(shape, dtype=np.uint8)
        self.lines = np.zeros(shape, dtype=np.uint8)
        for text in texts:
            self.texts[self._cells(text)] = 1
        for a, b, c, d in spans:
            self.draw((a, b), (c, d))

    def _cells(self, box: Box) -> tuple[slice, slice]:
        """The cells that a box touches."""
        rows, columns = self.texts.shape
        x0, y0 = int((box[0] - self._x) / self.cell), int((box[1] - self._y) / self.cell)
        x1, y1 = int((box[2] - self._x) / self.cell) + 1, int((box[3] - self._y) / self.cell) + 1
        x0, x1 = min(max(x0, 0), columns), min(max(x1, 0), columns)
        y0, y1 = min(max(y0, 0), rows), min(max(y1, 0), rows)
        return slice(y0, y1), slice(x0, x1)

    def _along(self, a: Spot, b: Spot) -> tuple["np.ndarray[tuple[int], np.dtype[np.int64]]", ...]:
        """The cells along a straight line, rows and columns."""
        rows, columns = self.texts.shape
        far = (self._x + columns * self.cell, self._y + rows * self.cell)
        a, b = _clipped(a, b, (self._x, self._y, *far))
        count = int(hypot(b[0] - a[0], b[1] - a[1]) / self.cell * 1.5) + 2
        x = ((np.linspace(a[0], b[0], count) - self._x) / self.cell).astype(np.int64)
        y = ((np.linspace(a[1], b[1], count) - self._y) / self.cell).astype(np.int64)
        inside = (x >= 0) & (x < columns) & (y >= 0) & (y < rows)
        return y[inside], x[inside]

    def draw(self, a: Spot, b: Spot) -> None:
        """Takes the cells of a line."""
        self.lines[self._along(a, b)] = 1

    def take(self, box: Box) -> None:
        """Takes the cells of a mark."""
        self.marks[self._cells(box)] = 1

    def cost(self, box: Box) -> float:
        """How bad it is to put a mark on the box."""
        cells = self._cells(box)
        size = max(self.lines[cells].size, 1)
        lines = int(self.lines[cells].sum())
        cost = ON_LINES + ON_LINE * lines if lines else 0.0
        if texts := int(self.texts[cells].sum()):
            cost += ON_TEXT * (0.25 + texts / size)
        if marks := int(self.marks[cells].sum()):
            cost += ON_MARK * (0.25 + marks / size)
        return cost

    def leader_cost(self, a: Spot, b: Spot) -> float:
        """How bad it is to draw a leader there."""
        cells = self._along(a, b)
        over = int(self.texts[cells].sum()) + int(self.marks[cells].sum())
        return LEADER_ON_TEXT * over + LEADER_ON_LINE * int(self.lines[cells].sum())


def right_end(span: Span, box: Box) -> float | None:
    """How far to the right a straight line reaches in a box; None where it passes by."""
    if max(span[0], span[2]) < box[0] or min(span[0], span[2]) > box[2]:
        return None
    if max(span[1], span[3]) < box[1] or min(span[1], span[3]) > box[3]:
        return None
    a, b = _clipped(span[:2], span[2:], box)
    inside = all(low - 1e-9 <= v <= high + 1e-9 for v, low, high in zip(a, box[:2], box[2:], strict=True))
    return max(a[0], b[0]) if inside or a != b else None


def _clipped(a: Spot, b: Spot, box: Box) -> tuple[Spot, Spot]:
    """The part of a straight line that lies in a box; a spot of the line where none does."""
    first, last = 0.0, 1.0
    for start, step, low, high in ((a[0], b[0] - a[0], box[0], box[2]), (a[1], b[1] - a[1], box[1], box[3])):
        if step == 0:
            first, last = (first, last) if low <= start <= high else (1.0, 0.0)
        else:
            enter, leave = sorted(((low - start) / step, (high - start) / step))
            first, last = max(first, enter), min(last, leave)
    if first > last:
        return a, a
    dx, dy = b[0] - a[0], b[1] - a[1]
    return (a[0] + first * dx, a[1] + first * dy), (a[0] + last * dx, a[1] + last * dy)


@dataclass(frozen=True, slots=True)
class Place:
    """Where a group stands."""

    box: Box
    tip: Spot
    """Where its leader ends: on what it is about, or at the edge of the text that it is about."""
    on_text: bool
    left: bool
    """It stands to the left of the tip: balloons to the right of their notes."""
    noted: bool
    """There is room for the notes."""


def best_place(at: Spot, full: Size, bare: Size, letter: float, raster: Raster, texts: Sequence[Box]) -> Place:
    """The best place for a group about `at`, with its notes if there is room; `texts` are those at that spot."""
    about = text_at(at, texts)
    tried: list[tuple[float, int, Place]] = []
    for size, extra in ((full, 0.0), (bare, WITHOUT_NOTE)):
        for ring in RINGS:
            for way in WAYS:
                box = _box_at(at, way, ring * letter, size, about)
                tip = at if about is None else _edge(about, at, _middle(box))
                slope = LEVEL_LEADER if 0.0 in (round(way[0], 9), round(way[1], 9)) else 0.0
                cost = raster.cost(box) + ring + extra + slope
                tried.append((cost, len(tried), Place(box, tip, about is not None, way[0] < -1e-9, size is full)))
        if min(tried)[0] < RINGS[0] + WITHOUT_NOTE / 2:  # nothing can be better without the notes
            break
    tried.sort(key=lambda item: item[:2])
    looked_at = ((cost + raster.leader_cost(p.tip, nearest(p.box, p.tip)), n, p) for cost, n, p in tried[:LOOKED_AT])
    return min(looked_at, key=lambda item: item[:2])[2]


def text_at(at: Spot, texts: Sequence[Box]) -> Box | None:
    """The text that a spot is in."""
    return next((t for t in texts if t[0] <= at[0] <= t[2] and t[1] <= at[1] <= t[3]), None)


def spots_together(spots: Sequence[Spot], letter: float, texts: Sequence[Box]) -> list[list[int]]:
    """Spots by their numbers, those together that balloons could not keep apart: in one text, or too near on linework.

    The first of each is where the leader points.
    """
    found: list[list[int]] = []
    at_text: dict[Box, list[int]] = {}
    near: dict[tuple[int, int], list[list[int]]] = {}
    reach = TOGETHER * letter
    for k, (x, y) in enumerate(spots):
        text = text_at((x, y), texts)
        column, row = floor(x / reach), floor(y / reach)
        about = [g for i in (-1, 0, 1) for j in (-1, 0, 1) for g in near.get((column + i, row + j), ())]
        group = at_text.get(text) if text is not None else _nearest_group((x, y), about, spots, reach)
        if group is None:
            group = []
            found.append(group)
            if text is not None:
                at_text[text] = group
            else:
                near.setdefault((column, row), []).append(group)
        group.append(k)
    return found


def _nearest_group(
    at: Spot, groups: Sequence[list[int]], spots: Sequence[Spot], reach: float
) -> list[int] | None:
    apart = [(hypot(spots[g[0]][0] - at[0], spots[g[0]][1] - at[1]), g[0], g) for g in groups]
    return min((item for item in apart if item[0] < reach), default=(0.0, 0, None))[2]


def _box_at(at: Spot, way: Spot, length: float, size: Size, about: Box | None) -> Box:
    """A box beyond a leader of that length; the leader begins at the edge of the text that it is about."""
    x, y = at
    if about is not None:
        x, y = _edge(about, at, (x + way[0] * 1e6 * size.wide, y + way[1] * 1e6 * size.wide))
    x += way[0] * (length + size.wide / 2)
    y += way[1] * (length + size.tall / 2)
    return x - size.wide / 2, y - size.tall / 2, x + size.wide / 2, y + size.tall / 2


def _middle(box: Box) -> Spot:
    return (box[0] + box[2]) / 2, (box[1] + box[3]) / 2


def nearest(box: Box, to: Spot) -> Spot:
    """The spot of a box that is nearest to a spot."""
    return min(max(to[0], box[0]), box[2]), min(max(to[1], box[1]), box[3])


def _edge(box: Box, inner: Spot, outer: Spot) -> Spot:
    """Where the line from a spot in a box to one outside leaves the box."""
    dx, dy = outer[0] - inner[0], outer[1] - inner[1]
    share = 1.0
    for inside, low, high, step in ((inner[0], box[0], box[2], dx), (inner[1], box[1], box[3], dy)):
        if step > 0:
            share = min(share, (high - inside) / step)
        elif step < 0:
            share = min(share, (low - inside) / step)
    return inner[0] + share * dx, inner[1] + share * dy
