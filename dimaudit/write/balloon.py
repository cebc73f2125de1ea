"""Balloons: outline and letter carry the level, so that they can be told apart without colour."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, cos, hypot, pi, sin, sqrt

from dimaudit.model.audit import Finding, Level
from dimaudit.write.pen import ADVANCE, Anchor, Pen, Spot
from dimaudit.write.place import Place, Size, nearest

CORNERS = {Level.ERROR: 6, Level.WARNING: 4, Level.NOTE: 0}
"""Corners of the outline; 0 is a circle."""
SHAPES = {Level.ERROR: "hexagon", Level.WARNING: "square", Level.NOTE: "circle"}
LABEL = 0.8
"""Height of the letters in a balloon, as a share of the drawing's own letters."""
NOTE = 0.8
"""Height of the letters beside it."""
ROW = 0.25
"""Gap between two balloons of a group."""
GAP = 0.5
"""Gap between a balloon and its note."""
DOT = 0.18
"""Radius of the ring at the end of a leader that points at linework."""


@dataclass(frozen=True, slots=True)
class Numbered:
    """A finding with what its balloon says."""

    label: str
    """The level's letter and the number: 'E7'."""
    finding: Finding


def numbered(findings: Sequence[Finding]) -> list[Numbered]:
    """The worst first, else in the order of the report; numbers run through all levels."""
    order = list(Level)
    ranked = sorted(findings, key=lambda f: order.index(f.level))
    return [Numbered(f"{f.level.value[0].upper()}{n}", f) for n, f in enumerate(ranked, 1)]


def radius(labels: Sequence[str], letter: float) -> float:
    """One radius for all balloons: the longest label fits into it."""
    return letter * max(1.2, 0.3 * max((len(label) for label in labels), default=0))


def outline(pen: Pen, level: Level, centre: Spot, size: float) -> None:
    """The balloon's outline about its centre; a square and a hexagon hold the circle of that radius nearly."""
    x, y = centre
    if CORNERS[level] == 0:
        pen.circle(centre, size)
    elif CORNERS[level] == 4:
        half = 0.9 * size
        pen.ring([(x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half)])
    else:
        turns = [2 * pi * k / CORNERS[level] for k in range(CORNERS[level])]
        pen.ring([(x + 1.12 * size * cos(t), y + 1.12 * size * sin(t)) for t in turns])


def balloon(pen: Pen, one: Numbered, centre: Spot, size: float, letter: float) -> None:
    """The outline with its label."""
    outline(pen, one.finding.level, centre, size)
    pen.text(one.label, centre, LABEL * letter, Anchor.MIDDLE)


class Group:
    """The findings of one spot: one leader, a balloon for each with the rule's name beside it."""

    def __init__(self, members: Sequence[Numbered], size: float, letter: float) -> None:
        self._members, self._size, self._letter = members, size, letter
        self._row = 2.24 * size + ROW * letter
        notes = max(len(one.finding.rule) for one in members) * NOTE * letter * ADVANCE
        self.full = Size(2.24 * size + GAP * letter + notes, len(members) * self._row)
        self._columns = ceil(sqrt(len(members)))
        rows = ceil(len(members) / self._columns)
        self.bare = Size(self._columns * self._row, rows * self._row)

    def draw(self, pen: Pen, place: Place) -> None:
        """Leader, balloons and, where there is room, notes."""
        x0, _, x1, y1 = place.box
        centres = []
        for n, one in enumerate(self._members):
            if place.noted:
                x = x1 - self._row / 2 if place.left else x0 + self._row / 2
                y = y1 - (n + 0.5) * self._row
            else:
                row, column = divmod(n, self._columns)
                x, y = x0 + (column + 0.5) * self._row, y1 - (row + 0.5) * self._row
            centres.append((x, y))
            balloon(pen, one, (x, y), self._size, self._letter)
            if place.noted:
                beside = 1.12 * self._size + GAP * self._letter
                spot = (x - beside if place.left else x + beside, y - NOTE * self._letter / 2)
                anchor = Anchor.END if place.left else Anchor.BEGIN
                pen.text(one.finding.rule, spot, NOTE * self._letter, anchor)
        self._leader(pen, place, centres)

    def _leader(self, pen: Pen, place: Place, centres: Sequence[Spot]) -> None:
        tip = place.tip
        x, y = min(centres, key=lambda c: hypot(c[0] - tip[0], c[1] - tip[1]))
        reach = 0.9 * self._size
        box = (x - reach, y - reach, x + reach, y + reach)
        end = nearest(box, tip)
        away = hypot(x - tip[0], y - tip[1])
        if away > 0:  # where the line to the centre meets the circle of the outlines
            end = x + (tip[0] - x) / away * self._size, y + (tip[1] - y) / away * self._size
        pen.line(tip, end)
        if not place.on_text:
            pen.circle(tip, DOT * self._letter)
