"""As-read linework over drawn linework, as numbers that the page can magnify.

A shape is a list: its kind, then each coordinate as drawn followed by how far it moves, in the figure's axes (y down).
"""

from collections.abc import Sequence
from fractions import Fraction

from dimaudit.model.as_read import AsRead
from dimaudit.model.drawing import Arc, Circle, Curve, Mark, Point, Segment, Shape
from dimaudit.report.as_read import HARDLY
from dimaudit.report.html.figure import Figure, near

Numbers = list[str | float]


def overlay(part: AsRead, figure: Figure) -> list[Numbers]:
    """The shapes of a part: 's' line, 'a' arc, 'c' circle, 'p' points of a curve, which stay where they are."""
    shapes = (_shape(d, r, figure) for d, r in zip(part.drawn, part.shapes, strict=True))
    return [shape for shape in shapes if shape]


def largest_move(part: AsRead) -> float:
    """How far a feature moves at most on the drawing, in drawn units; 0 where all stay."""
    moves = [abs(v) for landing in part.landings for v in landing.off or ()]
    return float(max((v for v in moves if v > HARDLY), default=Fraction(0)))


def _shape(drawn: Shape, read: Shape, figure: Figure) -> Numbers:
    match drawn, read:
        case Segment(_, a, b), Segment(_, c, d):
            return ["s", *_point(a, c, figure), *_point(b, d, figure)]
        case Arc(_, m, r, a, b), Arc(_, n, q, c, d):
            return ["a", *_point(m, n, figure), *_length(r, q), *_point(a, c, figure), *_point(b, d, figure)]
        case Circle(_, m, r), Circle(_, n, q):
            return ["c", *_point(m, n, figure), *_length(r, q)]
        case Curve(_, points, _), Curve():
            return ["p", *_flat(points, figure)]
        case Mark(), Mark():
            return []  # a point has no line that could be seen to move
        case _:
            raise AssertionError("a shape and another kind of shape in its place")


def _point(drawn: Point, read: Point, figure: Figure) -> tuple[float, float, float, float]:
    x, y = figure.place(float(drawn[0]), float(drawn[1]))
    return x, y, near(float(read[0] - drawn[0])), near(-float(read[1] - drawn[1]))


def _length(drawn: Fraction, read: Fraction) -> tuple[float, float]:
    return near(float(drawn)), near(float(read - drawn))


def _flat(points: Sequence[Point], figure: Figure) -> list[float]:
    return [v for p in points for v in figure.place(float(p[0]), float(p[1]))]
