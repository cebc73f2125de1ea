"""Balloons: outline and letter carry the level, so that they can be told apart without colour."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, cos, hypot, pi, sin, sqrt

from dimaudit.model.audit import Level
from dimaudit.model.marks import Numbered
from dimaudit.write.pen import ADVANCE, Anchor, Pen, Spot
from dimaudit.write.place import Place, Size

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
FEW = 4
"""So many findings of one rule at one spot share a balloon."""
MOST_RUNS = 3
"""Runs of numbers that such a balloon's note names; how many there are it says always."""


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


@dataclass(frozen=True, slots=True)
class Line:
    """One balloon of a group with its note; it stands for all findings of one rule when they are many."""

    first: Numbered
    note: str


def lines_of(members: Sequence[Numbered]) -> list[Line]:
    """A line for each finding; FEW or more of one rule share a line that names them all by their numbers."""
    rules: dict[tuple[Level, str], list[Numbered]] = {}
    for one in members:
        rules.setdefault((one.finding.level, one.finding.rule), []).append(one)
    found = []
    for (_, rule), those in rules.items():
        if len(those) < FEW:
            found += [Line(one, rule) for one in those]
        else:
            found.append(Line(those[0], f"{rule}: {_ranges([one.number for one in those])} ({len(those)})"))
    return found


def _ranges(numbers: Sequence[int]) -> str:
    """'7 to 12, 15, ...'"""
    runs: list[list[int]] = []
    for number in sorted(numbers):
        if runs and runs[-1][1] == number - 1:
            runs[-1][1] = number
        else:
            runs.append([number, number])
    said = [str(a) if a == b else f"{a} to {b}" for a, b in runs[:MOST_RUNS]]
    return ", ".join([*said, *(["..."] if len(runs) > MOST_RUNS else [])])


class Group:
    """The findings of one spot: one leader, and a balloon for each with the rule's name beside it."""

    def __init__(self, members: Sequence[Numbered], size: float, letter: float) -> None:
        self._lines, self._size, self._letter = lines_of(members), size, letter
        self._row = 2.24 * size + ROW * letter
        count = len(self._lines)
        notes = max(len(line.note) for line in self._lines) * NOTE * letter * ADVANCE
        self.full = Size(2.24 * size + GAP * letter + notes, count * self._row)
        self._columns = ceil(sqrt(count))
        self.bare = Size(self._columns * self._row, ceil(count / self._columns) * self._row)
        if any(line.note != line.first.finding.rule for line in self._lines):
            self.bare = self.full  # the other numbers stand in the note alone

    def draw(self, pen: Pen, place: Place) -> None:
        """Leader, balloons and, where there is room, notes."""
        x0, _, x1, y1 = place.box
        centres = []
        for n, line in enumerate(self._lines):
            if place.noted:
                x = x1 - self._row / 2 if place.left else x0 + self._row / 2
                y = y1 - (n + 0.5) * self._row
                beside = 1.12 * self._size + GAP * self._letter
                spot = (x - beside if place.left else x + beside, y - NOTE * self._letter / 2)
                pen.text(line.note, spot, NOTE * self._letter, Anchor.END if place.left else Anchor.BEGIN)
            else:
                row, column = divmod(n, self._columns)
                x, y = x0 + (column + 0.5) * self._row, y1 - (row + 0.5) * self._row
            centres.append((x, y))
            balloon(pen, line.first, (x, y), self._size, self._letter)
        self._leader(pen, place, centres)

    def _leader(self, pen: Pen, place: Place, centres: Sequence[Spot]) -> None:
        """From the tip to the nearest balloon, where the line to its centre meets the circle of the outlines."""
        tip = place.tip
        x, y = min(centres, key=lambda c: hypot(c[0] - tip[0], c[1] - tip[1]))
        share = self._size / max(hypot(x - tip[0], y - tip[1]), self._size)
        pen.line(tip, (x + (tip[0] - x) * share, y + (tip[1] - y) * share))
        if not place.on_text:
            pen.circle(tip, DOT * self._letter)
