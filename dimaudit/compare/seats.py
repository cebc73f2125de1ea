"""Where something is in its own drawing."""

from collections.abc import Iterable

from dimaudit.compare.laid import middle
from dimaudit.model.compared import Seat
from dimaudit.model.drawing import Arc, Circle, Point, Shape
from dimaudit.model.view import View


def handle_of(shape: Shape) -> str:
    """By which it is drawn: that of the outermost block reference, where it came through one."""
    return (*shape.origin.inserts, shape.origin.handle)[0]


def seat(shapes: Iterable[Shape], view: View, layout: str) -> Seat:
    """Of shapes of one view; the first of them gives the place."""
    some = tuple(shapes)
    at = None if not some else _spot(some[0], view)
    return Seat(tuple(dict.fromkeys(map(handle_of, some))), layout, at)


def _spot(shape: Shape, view: View) -> tuple[float, float]:
    if isinstance(shape, Arc):
        return _on(shape)
    if isinstance(shape, Circle):
        return flat(shape.centre)
    return flat(middle(shape, view))


def _on(arc: Arc) -> tuple[float, float]:
    """The middle of an arc's chord, which is nearer to what is drawn than its centre."""
    return float(arc.a[0] + arc.b[0]) / 2, float(arc.a[1] + arc.b[1]) / 2


def flat(point: Point) -> tuple[float, float]:
    return float(point[0]), float(point[1])
