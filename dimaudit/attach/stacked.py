"""Texts that stand line under line, as a note typed in single lines does. Doubles serve for searching only."""

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Sequence
from math import cos, radians, sin

from dimaudit.attach.room import LINE
from dimaudit.model.drawing import Note
from dimaudit.text.markup import plain_text

CLOSEST, WIDEST = 1.1, 2.2
"""Distance of two single lines that belong together, in heights of their letters; rows of tables stand wider apart."""
ASIDE = 0.5
"""Heights by which the second line may begin beside the first. All common practice, no source."""


class Stacks:
    """For each text of a space the one right below it, in the same letters and flush with it."""

    def __init__(self, notes: Sequence[Note]) -> None:
        rows: dict[tuple[float, float, float], list[tuple[float, float, int]]] = defaultdict(list)
        """By turn, height and anchor: first foot, last foot and place along the line of each text."""
        along: dict[int, float] = {}
        last: dict[int, float] = {}
        for k, note in enumerate(notes):
            height, turn = float(note.height), radians(note.turn)
            if not height:
                continue
            c, s = cos(turn), sin(turn)
            x, y = float(note.at[0]), float(note.at[1])
            more = plain_text(note.text).count("\n") * LINE * height
            foot = y * c - x * s - float(note.anchor[1]) * (height + more)
            along[k], last[k] = x * c + y * s, foot
            rows[round(turn, 3), round(height, 6), float(note.anchor[0])].append((foot + more, along[k], k))
        self._below: dict[int, int] = {}
        for (_, height, _), row in rows.items():
            row.sort()
            firsts = [first for first, _, _ in row]
            for _, left, k in row:
                low = bisect_left(firsts, last[k] - WIDEST * height)
                high = bisect_left(firsts, last[k] - CLOSEST * height)
                flush = [n for _, own, n in row[low:high] if abs(own - left) <= ASIDE * height]
                if flush:
                    self._below[k] = flush[-1]
        self._above = {lower: upper for upper, lower in self._below.items()}

    def below(self, k: int) -> int | None:
        return self._below.get(k)

    def above(self, k: int) -> int | None:
        return self._above.get(k)
