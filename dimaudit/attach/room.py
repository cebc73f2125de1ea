"""Where a text is, roughly: letters differ in width, and so do fonts."""

from dataclasses import dataclass
from math import cos, hypot, radians, sin

from dimaudit.model.drawing import Note
from dimaudit.text.markup import plain_text

LETTER = 0.8
LINE = 1.6
"""Width of a letter and distance of lines, in heights of the letters. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Room:
    """The rectangle of a text, turned about the text's place."""

    x: float
    y: float
    left: float
    low: float
    wide: float
    high: float
    height: float
    """Of its letters."""
    cos: float
    sin: float

    def off(self, x: float, y: float) -> float:
        """The distance of a point; 0 inside."""
        along, up = (x - self.x) * self.cos + (y - self.y) * self.sin, (y - self.y) * self.cos - (x - self.x) * self.sin
        across = max(self.left - along, along - self.left - self.wide, 0.0)
        return hypot(across, max(self.low - up, up - self.low - self.high, 0.0))

    @property
    def level(self) -> bool:
        """Whether it is read from below."""
        return self.cos > 0.999

    @property
    def middle(self) -> tuple[float, float]:
        """Its middle, for a level text."""
        return self.x + self.left + self.wide / 2, self.y + self.low + self.high / 2

    @property
    def foot(self) -> float:
        """The y of its lower edge, for a level text."""
        return self.y + self.low


def room_of(note: Note) -> Room:
    """The room of a text, by its anchor, its letters and its lines."""
    height, turn = float(note.height), radians(float(note.turn % 360))
    lines = plain_text(note.text).split("\n")
    wide = max(map(len, lines)) * LETTER * height
    high = (1 + (len(lines) - 1) * LINE) * height
    return Room(
        float(note.at[0]), float(note.at[1]), -float(note.anchor[0]) * wide, -float(note.anchor[1]) * high, wide, high,
        height, cos(turn), sin(turn),
    )  # fmt: skip
