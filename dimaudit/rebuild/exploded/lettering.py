"""Texts that may be those of exploded dimensions, with the room that they take up."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import cos, radians, sin

import shapely

from dimaudit.exact.number import exact
from dimaudit.model.drawing import Note, Point, Space
from dimaudit.model.stated import Stated
from dimaudit.text.grammar import read_text
from dimaudit.text.markup import plain_text

LONGEST = 80
"""Characters of a note that may still be a dimension's text; longer ones are sentences."""
LETTER = 0.85
"""Width of a letter with its space over its height, as in common lettering (common practice, no source)."""
LINE = 1.6
"""Distance of two lines of text over the height of the letters (common practice, no source)."""

Vector = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Lettering:
    """A text that reads as a number with what belongs to it. Lengths as drawn."""

    note: Note
    reading: Stated
    separator: str
    middle: Point
    x: float
    y: float
    height: float
    """Of the letters."""
    along: Vector
    """Half the width of the whole text, along its lines."""
    up: Vector
    """Half its height, square to its lines."""

    def half(self, way: Vector) -> float:
        """How far the text reaches from its middle in a direction (a unit vector)."""
        return abs(self.along[0] * way[0] + self.along[1] * way[1]) + abs(self.up[0] * way[0] + self.up[1] * way[1])

    def corners(self) -> list[Vector]:
        (ax, ay), (ux, uy) = self.along, self.up
        return [(self.x + i * ax + j * ux, self.y + i * ay + j * uy) for i, j in ((-1, -1), (1, -1), (1, 1), (-1, 1))]


def numbers(space: Space, separator: str) -> Iterator[Lettering]:
    """The texts of the space that state one number; `separator` is tried first, then the other decimal sign."""
    for note in space.notes:
        if note.height <= 0 or note.tag or not any(c.isdigit() for c in note.text) or not note.scale:
            continue
        lines = [line for line in plain_text(note.text).splitlines() if line.strip()]
        if not lines or sum(map(len, lines)) > LONGEST:
            continue
        for sign in (separator, "," if separator == "." else "."):
            reading = read_text(note.text, separator=sign)
            if isinstance(reading, Stated):
                yield _placed(note, reading, sign, lines)
                break


def _placed(note: Note, reading: Stated, separator: str, lines: list[str]) -> Lettering:
    height = float(note.height)
    wide = height * LETTER * max(map(len, lines)) / 2
    high = height * (1 + LINE * (len(lines) - 1)) / 2
    turn = radians(float(note.turn))
    c, s = cos(turn), sin(turn)
    along, up = (wide * c, wide * s), (-high * s, high * c)
    i, j = (float(2 * share - 1) for share in note.anchor)
    x = float(note.at[0]) - i * along[0] - j * up[0]
    y = float(note.at[1]) - i * along[1] - j * up[1]
    middle = note.at if (i, j) == (0, 0) else (exact(x), exact(y))
    return Lettering(note, reading, separator, middle, x, y, height, along, up)


def usual_separator(space: Space) -> str:
    """The decimal sign of most of the dimensions that the space has; a point where it has none."""
    signs = [d.style.separator for d in space.dimensions]
    return max(set(signs), key=lambda s: (signs.count(s), s)) if signs else "."


def nearest_factor(space: Space) -> Callable[[Lettering], Fraction]:
    """Tells what DIMLFAC counts for a text: that of the nearest dimension of the space, 1 where it has none."""
    known = [(d.style.factor, at) for d in space.dimensions if (at := d.text_at or d.points.get(10)) is not None]
    factors = {factor for factor, _ in known}
    if len(factors) < 2:
        only = factors.pop() if factors else Fraction(1)
        return lambda _: only
    tree = shapely.STRtree(shapely.points([(float(x), float(y)) for _, (x, y) in known]))
    return lambda text: known[int(tree.nearest(shapely.Point(text.x, text.y)))][0]
