"""What the library draws, kept for each entity of the layout until the size of the whole is known."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np
from ezdxf.addons.drawing.backend import BackendInterface, BkPath2d, BkPoints2d, ImageData
from ezdxf.addons.drawing.config import Configuration
from ezdxf.addons.drawing.properties import BackendProperties, Properties
from ezdxf.entities.dxfgfx import DXFGraphic
from ezdxf.math import Vec2

from dimaudit.model.picture import FOREGROUND, PAPER, Box, DrawnEntity, Stroke
from dimaudit.picture.path_data import CURVE3, CURVE4, MOVE, Grid, Pen, Points

INK, SHEET = "#010102", "#fdfefe"
"""What the library is told that foreground and paper are: two colours that no drawing has a reason to name."""
MOST_POINTS = 4_000_000
"""Points kept for one picture: some hundred megabytes while it is made."""
FARTHEST = 1e15
"""A coordinate beyond this is no place on a drawing; a double has no thousandths left there."""


def clean(text: str) -> str:
    """The text with half characters (bytes that were no text in the file's encoding) replaced by U+FFFD."""
    return text.encode("utf-8", "replace").decode("utf-8")


class TooMuch(Exception):
    """The picture is full."""


@dataclass(slots=True)
class _Piece:
    points: Points
    codes: Sequence[int] | None
    """Codes of a path; None for pairs of points."""
    closed: bool


@dataclass(slots=True)
class _Look:
    colour: str
    opacity: float
    width: float
    text: bool
    pieces: list[_Piece] = field(default_factory=list)
    box: Box | None = None
    """Of filled pieces: two that overlap are kept apart, since even-odd filling would cut a hole."""


@dataclass(slots=True)
class Drawn:
    """All that was drawn for one entity."""

    handle: str
    kind: str
    layer: str
    looks: list[_Look] = field(default_factory=list)
    _open: dict[tuple[str, float, float], _Look] = field(default_factory=dict)
    """Lines of one look are one path, as long as no area has been drawn over them."""

    def add(self, piece: _Piece, colour: str, opacity: float, width: float, text: bool) -> None:
        if width:
            key = (colour, opacity, width)
            look = self._open.get(key)
            if look is None:
                look = self._open[key] = _Look(colour, opacity, width, text)
                self.looks.append(look)
            look.pieces.append(piece)
            return
        box = _box(piece.points)
        last = self.looks[-1] if self.looks else None
        if last is not None and last.box is not None and not _overlap(last.box, box) and (
            (last.colour, last.opacity, last.text) == (colour, opacity, text)
        ):
            last.pieces.append(piece)
            last.box = _union(last.box, box)
            return
        self.looks.append(_Look(colour, opacity, 0.0, text, [piece], box))
        if not text:
            self._open.clear()

    def reach(self) -> Box | None:
        """The box of its lines and areas, curves taken at their true extent, letters at that of their points; None
        where nothing was drawn."""
        boxes = [look.box for look in self.looks if look.text and look.box is not None]
        boxes += [_reach(piece) for look in self.looks if not look.text or look.box is None for piece in look.pieces]
        if not boxes:
            return None
        low, high = np.array(boxes)[:, :2].min(axis=0), np.array(boxes)[:, 2:].max(axis=0)
        return float(low[0]), float(low[1]), float(high[0]), float(high[1])

    def entity(self, grid: Grid, box: Box) -> DrawnEntity:
        strokes = []
        for look in self.looks:
            pen = Pen(grid)
            for piece in look.pieces:
                if piece.codes is None:
                    pen.polygon(piece.points) if piece.closed else pen.lines(piece.points)
                else:
                    pen.path(piece.points, piece.codes, piece.closed)
            strokes.append(Stroke(pen.data, look.colour, look.width, look.opacity, look.text))
        lettering = tuple(look.box for look in self.looks if look.text and look.box is not None)
        return DrawnEntity(self.handle, self.kind, self.layer, tuple(strokes), box, lettering)


class Collector(BackendInterface):
    """Keeps what is drawn in the layout's own coordinates, entity by entity."""

    def __init__(self) -> None:
        self.drawn: list[Drawn] = []
        self.lettering = False
        self.letter_heights: list[float] = []
        """Of each text, in the layout's units."""
        self.endless: list[tuple[Drawn, Vec2, Vec2, bool, BackendProperties]] = []
        """Lines without an end: a point, a direction, and whether both ways."""
        self._depth = 0
        self._points = 0

    @property
    def current(self) -> Drawn:
        """The entity of the layout that is being drawn."""
        return self.drawn[-1]

    @property
    def depth(self) -> int:
        """How many entities lie around what is being drawn, that one included."""
        return self._depth

    def enter_entity(self, entity: DXFGraphic, properties: Properties) -> None:
        if not self._depth:
            handle = str(entity.dxf.get("handle") or "")
            self.drawn.append(Drawn(handle, entity.dxftype(), clean(str(properties.layer))))
        self._depth += 1

    def leave(self, depth: int) -> None:
        """Back out of entities that failed."""
        self._depth = depth

    def draw_endless(self, start: Vec2, along: Vec2, both: bool, properties: BackendProperties) -> None:
        """A line from a point in a direction, both ways or one: drawn when the size of the picture is known."""
        self.endless.append((self.current, start, along, both, properties))

    def end_endless(self, box: Box) -> None:
        """Ends those lines where they leave the picture."""
        for drawn, start, along, both, properties in self.endless:
            ends = _within(box, start, along, both)
            if ends is not None:
                colour, opacity = _colour(properties.color, True)
                drawn.add(_Piece(np.array(ends), None, False), colour, opacity, _width(properties), False)
        self.endless.clear()

    def exit_entity(self, entity: DXFGraphic) -> None:  # noqa: ARG002
        self._depth -= 1

    def draw_point(self, pos: Vec2, properties: BackendProperties) -> None:
        self._lines(np.array([(pos.x, pos.y), (pos.x, pos.y)]), properties)

    def draw_line(self, start: Vec2, end: Vec2, properties: BackendProperties) -> None:
        self._lines(np.array([(start.x, start.y), (end.x, end.y)]), properties)

    def draw_solid_lines(self, lines: Iterable[tuple[Vec2, Vec2]], properties: BackendProperties) -> None:
        points = [(p.x, p.y) for line in lines for p in line]
        if points:
            self._lines(np.array(points), properties)

    def draw_path(self, path: BkPath2d, properties: BackendProperties) -> None:
        if len(path):
            codes = path.command_codes()
            self._add(_Piece(_array(path), codes, False), properties, _width(properties))

    def draw_filled_paths(self, paths: Iterable[BkPath2d], properties: BackendProperties) -> None:
        points: list[Points] = []
        codes: list[int] = []
        for path in paths:
            if len(path):
                codes += [MOVE, *path.command_codes()] if codes else path.command_codes()
                points.append(_array(path))
        if codes:
            self._add(_Piece(np.concatenate(points), codes, True), properties, 0.0)

    def draw_filled_polygon(self, points: BkPoints2d, properties: BackendProperties) -> None:
        corners = np.array([(p.x, p.y) for p in points.vertices()])
        if len(corners) > 2:
            self._add(_Piece(corners, None, True), properties, 0.0)

    def draw_image(self, image_data: ImageData, properties: BackendProperties) -> None:
        """Pictures within a drawing are never opened, so nothing comes here."""

    def set_background(self, color: str) -> None:
        pass

    def configure(self, config: Configuration) -> None:
        pass

    def clear(self) -> None:
        pass

    def finalize(self) -> None:
        pass

    def _lines(self, points: Points, properties: BackendProperties) -> None:
        self._add(_Piece(points, None, False), properties, _width(properties))

    def _add(self, piece: _Piece, properties: BackendProperties, width: float) -> None:
        if not np.isfinite(piece.points).all() or np.abs(piece.points).max() > FARTHEST:
            raise ValueError("it has a coordinate that is no place on a drawing")
        self._points += len(piece.points)
        if self._points > MOST_POINTS:
            raise TooMuch
        colour, opacity = _colour(properties.color, bool(width) or self.lettering)
        self.current.add(piece, colour, opacity, width, self.lettering)


def _within(box: Box, start: Vec2, along: Vec2, both: bool) -> tuple[tuple[float, float], tuple[float, float]] | None:
    """The part of an endless line in a box, by clipping with each side in turn."""
    low, high = -math.inf if both else 0.0, math.inf
    for spot, step, least, most in ((start.x, along.x, box[0], box[2]), (start.y, along.y, box[1], box[3])):
        if abs(step) < 1e-12:
            if not least <= spot <= most:
                return None
            continue
        ends = sorted(((least - spot) / step, (most - spot) / step))
        low, high = max(low, ends[0]), min(high, ends[1])
    if not low < high < math.inf:
        return None
    a, b = start + along * low, start + along * high
    return (a.x, a.y), (b.x, b.y)


def _width(properties: BackendProperties) -> float:
    return round(max(properties.lineweight, 0.01), 2)


def _colour(colour: str, stands_out: bool) -> tuple[str, float]:
    """Colour and opacity. White and black lines are in the foreground on any paper; a white area is the paper's."""
    opacity = int(colour[7:9], 16) / 255 if len(colour) == 9 else 1.0
    plain = colour[:7].lower()
    if plain == INK or (stands_out and plain in ("#000000", "#ffffff", SHEET)):
        plain = FOREGROUND
    elif plain in (SHEET, "#ffffff"):
        plain = PAPER
    return plain, round(opacity, 2)


def _array(path: BkPath2d) -> Points:
    return np.array([(p.x, p.y) for p in path.vertices()], dtype=np.float64)


def _box(points: Points) -> Box:
    low, high = points.min(axis=0), points.max(axis=0)
    return float(low[0]), float(low[1]), float(high[0]), float(high[1])


def _union(a: Box, b: Box) -> Box:
    return min(a[0], b[0]), min(a[1], b[1]), max(a[2], b[2]), max(a[3], b[3])


def _overlap(a: Box, b: Box) -> bool:
    return a[0] <= b[2] and b[0] <= a[2] and a[1] <= b[3] and b[1] <= a[3]


def _reach(piece: _Piece) -> Box:
    """The box of a piece. A curve lies within its points, and reaches farthest where its direction turns."""
    codes, points = piece.codes, piece.points
    if codes is None or not (CURVE3 in codes or CURVE4 in codes):
        return _box(points)
    spots = [points[0]]
    k = 1
    for code in codes:
        count = 2 if code == CURVE3 else 3 if code == CURVE4 else 1
        end = points[k + count - 1]
        if count > 1:
            spots += _turns(points[k - 1 : k + count])
        spots.append(end)
        k += count
    return _box(np.array(spots))


def _turns(hull: Points) -> list[Points]:
    """The points of a quadratic or cubic Bézier curve at which x or y is largest or smallest, ends apart."""
    found = []
    for axis in (0, 1):
        if len(hull) == 3:
            a, b, c = hull[:, axis]
            times = [(a - b) / (a - 2 * b + c)] if a - 2 * b + c else []
        else:
            a, b, c, d = hull[:, axis]
            p, q, r = -a + 3 * b - 3 * c + d, 2 * (a - 2 * b + c), b - a
            under = q * q - 4 * p * r
            if abs(p) > 1e-12 * (abs(q) + abs(r)):
                times = [(-q + s * math.sqrt(under)) / (2 * p) for s in (1, -1)] if under >= 0 else []
            else:
                times = [-r / q] if q else []
        for t in times:
            if 0 < t < 1:
                found.append(_at(hull, t))
    return found


def _at(hull: Points, t: float) -> Points:
    while len(hull) > 1:
        hull = hull[:-1] * (1 - t) + hull[1:] * t
    return hull[0]  # type: ignore[no-any-return]
