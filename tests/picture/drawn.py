"""What a picture shows, read back from its path data by a parser that is not ours (fontTools)."""

from fontTools.pens.boundsPen import BoundsPen
from fontTools.pens.recordingPen import RecordingPen
from fontTools.svgLib.path import parse_path

from dimaudit.model.picture import Box, DrawnEntity, Picture, Stroke


def segments(stroke: Stroke) -> list[tuple[str, tuple]]:
    """The pen's moves, in the picture's own coordinates."""
    pen = RecordingPen()
    parse_path(stroke.path, pen)
    return pen.value


def box_of(entity: DrawnEntity, picture: Picture, text: bool | None = None) -> Box:
    """The box of an entity's strokes in the layout's coordinates; of its lettering alone, or of all else, by `text`."""
    pen = BoundsPen(None)
    for stroke in entity.strokes:
        if text is None or stroke.text == text:
            parse_path(stroke.path, pen)
    x0, y0, x1, y1 = pen.bounds
    left, top = picture.box[0], picture.box[3]
    return left + x0, top - y1, left + x1, top - y0


def lines(entity: DrawnEntity) -> list[float]:
    """The lengths of the straight pieces of an entity that are not filled, in the order in which they are drawn."""
    found = []
    for stroke in entity.strokes:
        at = (0.0, 0.0)
        for move, points in segments(stroke):
            if move == "lineTo" and not stroke.filled:
                found.append(((points[0][0] - at[0]) ** 2 + (points[0][1] - at[1]) ** 2) ** 0.5)
            if points:
                at = points[-1]
    return found
