"""Feature control frames that are drawn: a row of boxes with a text in each.

Only what can be nothing else is one: the first box holds the symbol of a characteristic alone, the next one
a tolerance, each further one a datum; every box is closed above and below, and all are of one height.
"""

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from dimaudit.attach.room import Room, room_of
from dimaudit.model.control_frame import ControlFrame
from dimaudit.model.drawing import LineRole, Note, Segment, Space
from dimaudit.text.control_frame import read_cells, symbol
from dimaudit.text.markup import plain_text

# In heights of the symbol's letters. Common practice, no source: ASME Y14.2 draws the box twice as high as the letters.
HIGHEST = 4.0
"""Height of a box, at most."""
WIDEST = 15.0
"""Width of a box, at most."""
MOST_CELLS = 8
"""A frame has a symbol, a tolerance, and up to three datums, each perhaps in two boxes."""


_Line = tuple[float, float, float]
"""y, lower x and upper x of a level line; x, lower y and upper y of an upright one."""


@dataclass(frozen=True, slots=True)
class DrawnFrame:
    """A frame with its texts, and the box around it."""

    frame: ControlFrame
    notes: tuple[Note, ...]
    """The symbol's first."""
    left: float
    right: float
    low: float
    high: float


def drawn_frames(space: Space, separator: str) -> Iterator[DrawnFrame]:
    """All frames drawn as boxes with texts."""
    symbols = [note for note in space.notes if symbol(note.text) and note.height > 0]
    if not symbols:
        return
    boxes = _Boxes(space, max(float(note.height) for note in symbols))
    for note in symbols:
        found = boxes.frame(note, separator)
        if found is not None:
            yield found


class _Boxes:
    """The level and upright lines of a space, and where its texts are."""

    def __init__(self, space: Space, tallest: float) -> None:
        self._space = space
        self._level: list[_Line] = []
        self._upright: list[_Line] = []
        for shape in space.shapes:
            if isinstance(shape, Segment) and shape.origin.role is LineRole.OUTLINE:
                (ax, ay), (bx, by) = ((float(p[0]), float(p[1])) for p in (shape.a, shape.b))
                slack = tallest / 50
                if abs(ay - by) <= slack < abs(ax - bx):
                    self._level.append((ay, min(ax, bx), max(ax, bx)))
                elif abs(ax - bx) <= slack < abs(ay - by):
                    self._upright.append((ax, min(ay, by), max(ay, by)))
        self._level.sort()
        self._upright.sort()

    @cached_property
    def _rooms(self) -> list[tuple[float, float, Note]]:
        """The middles of the level texts, by x."""
        rooms: list[tuple[Room, Note]] = [(room_of(note), note) for note in self._space.notes if note.height > 0]
        return sorted(((*room.middle, note) for room, note in rooms if room.level), key=lambda r: r[:2])

    def frame(self, note: Note, separator: str) -> DrawnFrame | None:
        """The frame whose first box holds this symbol."""
        room = room_of(note)
        if not room.level:
            return None
        x, y = room.middle
        h = room.height
        low = max((v for v, a, b in self._between(self._level, y - HIGHEST * h, y) if a <= x <= b), default=None)
        high = min((v for v, a, b in self._between(self._level, y, y + HIGHEST * h) if a <= x <= b), default=None)
        if low is None or high is None or not h < high - low <= HIGHEST * h:
            return None
        walls = self._walls(x, h, low, high)
        cells, notes = [], []
        for left, right in pairwise(walls):
            own = self._texts(left, right, low, high)
            if not own or not self._closed(left, right, low, high, h / 10):
                break
            cells.append(" ".join(" ".join(plain_text(n.text).split()) for n in own))
            notes += own
        frame = read_cells(cells, separator)
        if frame is None:
            return None
        return DrawnFrame(frame, tuple(notes), walls[0], walls[len(cells)], low, high)

    def _walls(self, x: float, h: float, low: float, high: float) -> list[float]:
        """The upright lines from the left side of the symbol's box on, which are as high as the box."""
        slack = h / 10
        right = self._between(self._upright, x, x + MOST_CELLS * WIDEST * h)
        left = self._between(self._upright, x - WIDEST * h, x)
        first = [v for v, a, b in left if a <= low + slack and b >= high - slack]
        walls = first[-1:]
        for v, a, b in right if walls else ():
            if v - walls[-1] > WIDEST * h or len(walls) > MOST_CELLS:
                break
            if a <= low + slack and b >= high - slack and v - walls[-1] > slack:
                walls.append(v)
        return walls

    def _closed(self, left: float, right: float, low: float, high: float, slack: float) -> bool:
        """Whether level lines run along the top and the bottom of a box."""
        near = (self._between(self._level, v - slack, v + slack) for v in (low, high))
        return all(any(a <= left + slack and b >= right - slack for _, a, b in lines) for lines in near)

    def _texts(self, left: float, right: float, low: float, high: float) -> list[Note]:
        """The texts whose middle is in a box, from left to right."""
        first = bisect_left(self._rooms, left, key=lambda r: r[0])
        found = []
        for x, y, note in self._rooms[first:]:
            if x > right:
                break
            if low < y < high:
                found.append(note)
        return found

    @staticmethod
    def _between(lines: Sequence[_Line], low: float, high: float) -> Iterator[_Line]:
        for k in range(bisect_left(lines, (low,)), len(lines)):
            if lines[k][0] > high:
                return
            yield lines[k]
