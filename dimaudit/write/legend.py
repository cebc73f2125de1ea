"""The table of findings beside the drawing: number, level, rule, what is wrong, what to do."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import chain
from math import ceil, sqrt

from dimaudit.model.marks import Numbered
from dimaudit.write.balloon import balloon
from dimaudit.write.pen import ADVANCE, Pen, Spot
from dimaudit.write.words import wrapped

COLUMNS = (("", 0), ("LEVEL", 8), ("RULE", 24), ("WHAT IS WRONG", 50), ("WHAT TO DO", 40))
"""Heads and widths, in letters; the first holds the balloons."""
WORDS = 0.8
"""Height of the table's letters, as a share of the drawing's own."""
PITCH = 1.7
"""From line to line, as a share of the letters."""
PAD = 0.7
"""Blank about a cell's words, as a share of the letters."""
FEWEST_LINES = 60
"""A column of the table is at least this long before another is begun beside it, however low the drawing is."""
ASPECT = 1.5
"""A table of many columns is about so many times wider than it is tall."""
MOST_HANDLES = 6


@dataclass(frozen=True, slots=True)
class Row:
    """A finding as lines for each column but the first."""

    one: Numbered
    cells: tuple[list[str], ...]
    lines: int


def rows(findings: Sequence[Numbered]) -> list[Row]:
    """Each finding's words, wrapped to the columns."""
    found = []
    for one in findings:
        f = one.finding
        handles = ", ".join(f.handles[:MOST_HANDLES])
        more = f", ... ({len(f.handles)})" if len(f.handles) > MOST_HANDLES else ""
        said = [f.message, *([f.where] if f.where else []), *f.why[:1]]
        wrong = "; ".join(said) + (f" [{handles}{more}]" if handles else "")
        words = (str(f.level), f.rule, wrong, f.suggestion)
        cells = tuple(wrapped(text, width) for text, (_, width) in zip(words, COLUMNS[1:], strict=True))
        found.append(Row(one, cells, max(map(len, cells))))
    return found


class Legend:
    """Draws from a corner to the right and down."""

    def __init__(self, pen: Pen, letter: float, size: float) -> None:
        """`size` is the radius of the balloons."""
        self._pen, self._letter, self._size = pen, letter, size
        self._words = WORDS * letter
        self._line = PITCH * self._words
        self._pad = PAD * self._words
        self._gap = 4 * self._words
        self._widths = [2.6 * size + self._pad] + [
            width * self._words * ADVANCE + 2 * self._pad for _, width in COLUMNS[1:]
        ]
        self.wide = sum(self._widths)

    def draw(
        self, free: Callable[[float, float], Spot], tall: float, head: Sequence[str], findings: Sequence[Numbered]
    ) -> None:
        """The head's paragraphs, then the table; its columns are at least as long as the drawing is tall.

        `free` gives the upper left corner for a box of that width and height.
        """
        width = int(self.wide / (self._words * ADVANCE))
        lines = [[*wrapped(paragraph, width), ""] for paragraph in head]
        head_tall = (sum(map(len, lines)) + 1) * self._line
        waiting = rows(findings)
        columns = self._columns(waiting, tall - head_tall)
        table = max((sum(map(self._height, column)) for column in columns), default=0.0) + 2 * self._line
        left, top = free(len(columns or [0]) * (self.wide + self._gap), head_tall + table)
        y = top
        for line in chain.from_iterable(lines):
            y -= self._line
            if line:
                self._pen.text(line, (left, y), self._words)
        for column in columns:
            self._column(left, top - head_tall, column)
            left += self.wide + self._gap

    def _columns(self, waiting: Sequence[Row], tall: float) -> list[list[Row]]:
        """Columns of about one length."""
        if not waiting:
            return []
        heights = [self._height(row) for row in waiting]
        whole = sum(heights)
        beside = ceil(sqrt(ASPECT * whole / self.wide))
        most = max(tall, FEWEST_LINES * self._line, whole / beside)
        most = whole / ceil(whole / most)
        columns: list[list[Row]] = []
        done = 0.0
        for row, height in zip(waiting, heights, strict=True):
            if done + height / 2 > most * len(columns):
                columns.append([])
            columns[-1].append(row)
            done += height
        return columns

    def _height(self, row: Row) -> float:
        return max(row.lines * self._line + 2 * self._pad, 2.6 * self._size)

    def _column(self, left: float, top: float, part: Sequence[Row]) -> None:
        edges = [left]
        for width in self._widths:
            edges.append(edges[-1] + width)
        rules = [top]
        y = top - self._line - self._pad
        for (word, _), x in zip(COLUMNS, edges, strict=False):
            if word:
                self._pen.text(word, (x + self._pad, y), self._words)
        y -= self._pad
        rules.append(y)
        for row in part:
            tall = self._height(row)
            balloon(self._pen, row.one, ((edges[0] + edges[1]) / 2, y - tall / 2), self._size, self._letter)
            for lines, x in zip(row.cells, edges[1:], strict=False):
                base = y - self._pad
                for line in lines:
                    base -= self._words if line is lines[0] else self._line
                    if line:
                        self._pen.text(line, (x + self._pad, base), self._words)
            y -= tall
            rules.append(y)
        for rule in rules:
            self._pen.line((edges[0], rule), (edges[-1], rule))
        for x in edges:
            self._pen.line((x, top), (x, rules[-1]))
