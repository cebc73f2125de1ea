"""Signs of the trade that DejaVu lacks, as areas; the height of a capital letter is 1.

They are in the font file already; after a change here, `python -m dimaudit.typeface.signs` puts them in anew.

Shapes after the names of the Unicode code charts, Miscellaneous Technical, and the signs that they stand for in ASME
Y14.5 and ISO 1101 (proportions are our own).
"""

import math
from collections.abc import Callable, Iterable
from itertools import pairwise
from pathlib import Path

from fontTools.pens.transformPen import TransformPen
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.ttLib import TTFont

from dimaudit.typeface import FILE

Point = tuple[float, float]
Ring = list[Point]

WIDTH = 0.11
"""Of a line."""
SEGMENTS = 24
"""Corners of a circle."""


def _bar(a: Point, b: Point) -> Ring:
    """A line between two points."""
    length = math.dist(a, b)
    dx, dy = (b[0] - a[0]) / length * WIDTH / 2, (b[1] - a[1]) / length * WIDTH / 2
    return [
        (a[0] - dx - dy, a[1] - dy + dx), (a[0] - dx + dy, a[1] - dy - dx),
        (b[0] + dx + dy, b[1] + dy - dx), (b[0] + dx - dy, b[1] + dy + dx),
    ]  # fmt: skip


def _bars(*points: Point) -> list[Ring]:
    return [_bar(a, b) for a, b in pairwise(points)]


def _arc(centre: Point, radius: float, start: float = 0.0, end: float = 360.0) -> list[Point]:
    count = max(int(SEGMENTS * abs(end - start) / 360), 2)
    turns = [math.radians(start + (end - start) * k / count) for k in range(count + 1)]
    return [(centre[0] + radius * math.cos(t), centre[1] + radius * math.sin(t)) for t in turns]


def _circle(centre: Point, radius: float) -> list[Ring]:
    """Two rings that turn against each other: the line between them is filled."""
    return [_arc(centre, radius + WIDTH / 2)[:-1], _arc(centre, radius - WIDTH / 2)[::-1][:-1]]


def _bow(centre: Point, radius: float, start: float, end: float) -> list[Ring]:
    outer, inner = _arc(centre, radius + WIDTH / 2, start, end), _arc(centre, radius - WIDTH / 2, start, end)
    return [outer + inner[::-1]]


def _arrow(a: Point, b: Point) -> list[Ring]:
    """With its head at b."""
    turn = math.atan2(b[1] - a[1], b[0] - a[0])
    wings = [(b[0] + 0.4 * math.cos(turn + side), b[1] + 0.4 * math.sin(turn + side)) for side in (2.7, -2.7)]
    back = (b[0] - 0.3 * math.cos(turn), b[1] - 0.3 * math.sin(turn))
    return [_bar(a, back), [b, *wings]]


_C = (0.6, 0.5)
SIGNS: dict[str, tuple[float, Callable[[], Iterable[Ring]]]] = {
    "⏤": (1.3, lambda: _bars((0.1, 0.5), (1.2, 0.5))),
    "─": (1.3, lambda: _bars((0.1, 0.5), (1.2, 0.5))),
    "⌭": (1.3, lambda: [
        *_circle((0.65, 0.5), 0.3), *_bars((0.05, 0.0), (0.45, 1.0)), *_bars((0.85, 0.0), (1.25, 1.0)),
    ]),
    "⌒": (1.4, lambda: _bow((0.7, 0.15), 0.55, 0, 180)),
    "⌓": (1.4, lambda: [*_bow((0.7, 0.2), 0.55, 0, 180), *_bars((0.15, 0.15), (1.25, 0.15))]),
    "⟂": (1.3, lambda: [*_bars((0.65, 0.08), (0.65, 0.95)), *_bars((0.1, 0.05), (1.2, 0.05))]),
    "⌖": (1.3, lambda: [
        *_circle((0.65, 0.5), 0.34), *_bars((0.65, -0.1), (0.65, 1.1)), *_bars((0.05, 0.5), (1.25, 0.5)),
    ]),
    "⌯": (1.4, lambda: [
        *_bars((0.35, 0.8), (1.05, 0.8)), *_bars((0.1, 0.5), (1.3, 0.5)), *_bars((0.35, 0.2), (1.05, 0.2)),
    ]),
    "⌰": (1.6, lambda: [
        *_arrow((0.1, 0.1), (0.75, 1.0)), *_arrow((0.75, 0.1), (1.4, 1.0)), *_bars((0.1, 0.05), (0.75, 0.05)),
    ]),
    "⌴": (1.2, lambda: _bars((0.1, 0.8), (0.1, 0.1), (1.1, 0.1), (1.1, 0.8))),
    "⌵": (1.2, lambda: _bars((0.1, 0.9), (0.6, 0.1), (1.1, 0.9))),
    "⌲": (1.4, lambda: _bars((0.1, 0.1), (1.3, 0.5), (0.1, 0.9), (0.1, 0.1))),
    "⌳": (1.4, lambda: _bars((0.1, 0.0), (1.3, 0.0), (1.3, 0.45), (0.1, 0.0))),
}  # fmt: skip
"""Sign to its width and its rings, which turn the same way where they cross, so that crossings stay filled."""

CIRCLED = {chr(0x24B6 + k): chr(ord("A") + k) for k in range(26)}
"""Circled letters, drawn as a small letter in a circle."""
CIRCLED_WIDTH, CIRCLED_SIZE = 1.3, 0.6


def put_into(file: Path) -> None:
    """Gives a TrueType font the signs. A font that has them already comes out the same."""
    font = TTFont(file, recalcTimestamp=False)
    outlines, names = font.getGlyphSet(), font.getBestCmap()
    capital = font["glyf"][names[ord("H")]].yMax
    made = {}
    for sign, (width, rings) in SIGNS.items():
        pen = TTGlyphPen(None)
        _draw(rings(), capital, pen)
        made[sign] = width, pen.glyph()
    for sign, letter in CIRCLED.items():
        outline, pen = outlines[names[ord(letter)]], TTGlyphPen(outlines)
        _draw(_circle((CIRCLED_WIDTH / 2, 0.5), 0.55), capital, pen)
        left, up = (CIRCLED_WIDTH * capital - outline.width * CIRCLED_SIZE) / 2, (1 - CIRCLED_SIZE) / 2 * capital
        outline.draw(TransformPen(pen, (CIRCLED_SIZE, 0, 0, CIRCLED_SIZE, left, up)))
        made[sign] = CIRCLED_WIDTH, pen.glyph()
    glyphs = {names.get(ord(sign), f"uni{ord(sign):04X}"): (sign, *drawn) for sign, drawn in made.items()}
    font.setGlyphOrder([*(name for name in font.getGlyphOrder() if name not in glyphs), *glyphs])
    for name, (sign, width, glyph) in glyphs.items():
        font["glyf"][name] = glyph
        glyph.recalcBounds(font["glyf"])
        font["hmtx"][name] = round(width * capital), glyph.xMin
        for table in font["cmap"].tables:
            table.cmap[ord(sign)] = name
    font.save(file)


def _draw(rings: Iterable[Ring], capital: int, pen: TTGlyphPen) -> None:
    for ring in rings:
        points = [(round(x * capital), round(y * capital)) for x, y in ring]
        pen.moveTo(points[0])
        for point in points[1:]:
            pen.lineTo(point)
        pen.closePath()


if __name__ == "__main__":
    put_into(FILE)
