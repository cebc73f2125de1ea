"""What is already drawn in each layout, so that marks can stand where nothing else does.

Rough on purpose, and the same on every machine: letters are taken as wide as those of a plain stroke font, curves as
the outline of their control points. It steers where marks stand, and nothing else.
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from math import ceil, isfinite
from pathlib import Path
from statistics import median

from ezdxf import recover
from ezdxf.disassemble import make_primitive, recursive_decompose
from ezdxf.document import Drawing as Document
from ezdxf.entities.dxfentity import DXFEntity
from ezdxf.entities.mtext import MText
from ezdxf.entities.text import Text
from ezdxf.entities.tolerance import Tolerance
from ezdxf.entities.viewport import Viewport
from ezdxf.filemanagement import readfile
from ezdxf.layouts.layout import Layout, Paperspace
from ezdxf.lldxf.encoding import decode_dxf_unicode
from ezdxf.math import Matrix44, Vec2, Vec3

from dimaudit.errors import UnreadableFile
from dimaudit.model.picture import Box

Span = tuple[float, float, float, float]
"""A straight piece of linework: x and y of its ends."""

LETTER = 0.85
"""Width of a letter with its gap, as a share of its height."""
LINE_PITCH = 5 / 3
"""From one line of an MTEXT to the next, as a share of the letters' height (DXF reference, MTEXT, group 44)."""
MOST_PIECES = 400_000
"""So much of one layout is looked at. What a larger drawing has besides may come to lie below a mark."""
DIMENSIONS = frozenset({"DIMENSION", "ARC_DIMENSION", "LARGE_RADIAL_DIMENSION"})
DEEPEST = 12
"""Blocks in blocks are followed so far."""


@dataclass(slots=True)
class Scene:
    """One layout as obstacles."""

    name: str
    paper: bool
    record: str
    """Handle of its block record."""
    block: str
    """Name of its block."""
    texts: list[Box] = field(default_factory=list)
    spans: list[Span] = field(default_factory=list)
    heights: list[float] = field(default_factory=list)
    """Heights of letters: those of dimensions where there are any."""
    limits: Box | None = None
    """The sheet of paper."""

    def box(self) -> Box | None:
        """All that is drawn, and the paper; None where there is nothing."""
        xs = [x for s in (*self.spans, *self.texts) for x in (s[0], s[2])]
        ys = [y for s in (*self.spans, *self.texts) for y in (s[1], s[3])]
        if self.limits is not None:
            xs += [self.limits[0], self.limits[2]]
            ys += [self.limits[1], self.limits[3]]
        return (min(xs), min(ys), max(xs), max(ys)) if xs else None

    def letter(self) -> float:
        """The height of the drawing's own letters; 0 where it has none."""
        return median(self.heights) if self.heights else 0.0


@dataclass(frozen=True, slots=True)
class Scenes:
    """The layouts of one document by their names, and where its blocks are shown."""

    layouts: dict[str, Scene]
    doc: Document

    def shown(self, block: str, at: tuple[float, float]) -> tuple[str, tuple[float, float]] | None:
        """The first layout that shows a block, and where a point of the block is seen there."""
        for name, layout in _layouts(self.doc):
            found = _placed(self.doc, layout, block, Matrix44(), 0)
            if found is not None:
                seen = found.transform(Vec3(*at))
                return name, (seen.x, seen.y)
        return None


def scenes(path: Path) -> Scenes:
    """Raises UnreadableFile."""
    try:
        doc = _document(path)
    except Exception as error:
        raise UnreadableFile(f"{path}: not readable as DXF: {type(error).__name__}: {error}") from error
    hidden = {str(layer.dxf.name).casefold() for layer in doc.layers if layer.is_frozen() or layer.is_off()}
    found: dict[str, Scene] = {}
    model = None
    for name, layout in _layouts(doc):
        scene = Scene(name, not layout.is_modelspace, layout.layout_key, layout.block_record_name)
        own: list[float] = []
        for entity in layout:
            if len(scene.spans) + len(scene.texts) < MOST_PIECES and not isinstance(entity, Viewport):
                _look_at(entity, hidden, scene, own)
        scene.heights = own or scene.heights
        if layout.is_modelspace:
            model = scene
        elif isinstance(layout, Paperspace) and model is not None:
            _through_viewports(layout, model, scene)
            scene.limits = _paper(layout, doc)
        found[name] = scene
    return Scenes(found, doc)


def _document(path: Path) -> Document:
    try:
        return readfile(path)
    except Exception:  # besides its own the library raises ValueError, KeyError, AttributeError, OSError
        return recover.readfile(path)[0]


def _layouts(doc: Document) -> list[tuple[str, Layout]]:
    """Model space first; names as findings have them."""
    pairs = [(plain(layout.name), layout) for layout in doc.layouts]
    return sorted(pairs, key=lambda pair: not pair[1].is_modelspace)


def plain(name: str) -> str:
    """A name as the audit gives it: without half characters."""
    return name.encode("utf-8", "replace").decode("utf-8")


def _look_at(entity: DXFEntity, hidden: set[str], scene: Scene, dimension_heights: list[float]) -> None:
    """Adds one entity. What the library can't take apart is left out."""
    try:
        if _layer(entity) in hidden and entity.dxftype() != "INSERT":
            return
        for piece in recursive_decompose([entity]):
            if _layer(piece) in hidden or len(scene.spans) + len(scene.texts) >= MOST_PIECES:
                continue
            if isinstance(piece, Text | MText):
                _add_text(piece, scene, dimension_heights if entity.dxftype() in DIMENSIONS else scene.heights)
            elif isinstance(piece, Tolerance):
                _add_frame(piece, scene)
            else:
                scene.spans += _spans(piece)
    except Exception:
        return


def _layer(entity: DXFEntity) -> str:
    return str(entity.dxf.get("layer", "0")).casefold()


def _add_text(text: Text | MText, scene: Scene, heights: list[float]) -> None:
    box, height = _mtext(text) if isinstance(text, MText) else _text(text)
    if box is not None and height > 0 and all(map(isfinite, box)):
        scene.texts.append(box)
        heights.append(height)


def _add_frame(frame: Tolerance, scene: Scene) -> None:
    """A feature control frame, as a row of texts: it has no drawn block, and each program draws its own."""
    doc, style = frame.doc, str(frame.dxf.get("dimstyle", "Standard"))
    if doc is None or not doc.dimstyles.has_entry(style):
        return
    dxf = doc.dimstyles.get(style).dxf
    height = abs(float(dxf.get("dimtxt", 0.0))) * (abs(float(dxf.get("dimscale", 1.0))) or 1.0)
    lines = str(frame.dxf.get("content", "")).split("^J")
    cells = max(len(_FONT.sub("", line)) for line in lines)
    way = Vec2(frame.dxf.get("x_axis_vector", (1, 0)))
    way = way.normalize() if way else Vec2(1, 0)
    tall = 2 * height * len(lines)
    box = _box(_turned(Vec3(frame.dxf.insert), cells * height, tall, 0.0, 1 - height / tall if tall else 0.0, way))
    if height > 0 and all(map(isfinite, box)):
        scene.texts.append(box)


_FONT = re.compile(r"\\F[^;]*;|[{}]|%%")
"""What a frame's text has besides its signs (DXF reference, TOLERANCE, group 1)."""


def _text(text: Text) -> tuple[Box | None, float]:
    dxf = text.dxf
    height = abs(float(dxf.get("height", 0.0)))
    words = decode_dxf_unicode(text.plain_text())
    wide = len(words) * LETTER * height * abs(float(dxf.get("width", 1.0)))
    across, up = dxf.get("halign", 0), dxf.get("valign", 0)
    place = Vec3(dxf.insert)
    if (across or up) and dxf.hasattr("align_point"):
        spread = across in (3, 5)
        place = (place + Vec3(dxf.align_point)) / 2 if spread else Vec3(dxf.align_point)
    left = {1: 0.5, 2: 1.0, 3: 0.5, 4: 0.5, 5: 0.5}.get(across, 0.0)
    low = 0.5 if across == 4 else {2: 0.5, 3: 1.0}.get(up, 0.0)
    corners = _turned(place, wide, height, left, low, Vec2.from_deg_angle(dxf.get("rotation", 0.0)))
    return (_box(text.ocs().points_to_wcs(corners)) if words else None), height


def _mtext(text: MText) -> tuple[Box | None, float]:
    height = abs(float(text.dxf.get("char_height", 0.0)))
    column = float(text.dxf.get("width", 0.0) or 0.0)
    lines = [len(line) * LETTER * height for line in text.plain_text(split=True)]
    count = len(lines)
    if column > 2 * height:
        count = sum(max(ceil(wide / column), 1) for wide in lines)
        lines = [min(wide, column) for wide in lines]
    tall = height * (1 + (count - 1) * LINE_PITCH * float(text.dxf.get("line_spacing_factor", 1.0) or 1.0))
    row, place = divmod(min(max(text.dxf.get("attachment_point", 1), 1), 9) - 1, 3)
    way = Vec2.from_deg_angle(text.get_rotation())
    wide = max(lines, default=0.0)
    corners = _turned(Vec3(text.dxf.insert), wide, tall, place / 2, 1 - row / 2, way)
    return (_box(corners) if wide else None), height


def _turned(at: Vec3, wide: float, tall: float, left: float, low: float, way: Vec2) -> list[Vec3]:
    """Corners of a box that stands with the given shares of its sizes to the left of `at` and below it."""
    up = Vec2(-way.y, way.x)
    return [
        at + Vec3(way * (wide * (x - left)) + up * (tall * (y - low))) for x, y in ((0, 0), (1, 0), (1, 1), (0, 1))
    ]


def _box(corners: Iterable[Vec3]) -> Box:
    spots = list(corners)
    return (
        min(p.x for p in spots), min(p.y for p in spots), max(p.x for p in spots), max(p.y for p in spots)
    )  # fmt: skip


def _spans(entity: DXFEntity) -> Iterator[Span]:
    primitive = make_primitive(entity)
    path = primitive.path
    if path is None:
        corners = list(primitive.vertices())
        if not corners:
            return
        x0, y0, x1, y1 = _box(corners)
        chains = [[Vec3(x0, y0), Vec3(x1, y0), Vec3(x1, y1), Vec3(x0, y1), Vec3(x0, y0)]]
    else:
        chains = [list(part.control_vertices()) for part in (path.sub_paths() if path.has_sub_paths else [path])]
    for chain in chains:
        for a, b in pairwise(chain):
            span = (a.x, a.y, b.x, b.y)
            if all(map(isfinite, span)):
                yield span


def _through_viewports(sheet: Paperspace, model: Scene, scene: Scene) -> None:
    """What the viewports of a sheet show of the model, and their frames' places."""
    for viewport in sheet.viewports():
        try:
            if viewport.dxf.get("id", 2) == 1 or viewport.dxf.get("status", 1) == 0:
                continue
            centre, wide, tall = viewport.dxf.center, viewport.dxf.width / 2, viewport.dxf.height / 2
            frame = (centre.x - wide, centre.y - tall, centre.x + wide, centre.y + tall)
            by = viewport.get_transformation_matrix()
            seen = list(_seen(model.spans, by, frame))
            texts = [(min(a, c), min(b, d), max(a, c), max(b, d)) for a, b, c, d in _seen(model.texts, by, frame)]
        except Exception:
            continue
        if all(map(isfinite, frame)):
            scene.spans += [*seen, (frame[0], frame[1], frame[2], frame[1]), (frame[0], frame[3], frame[2], frame[3])]
            scene.texts += texts


def _seen(spans: Sequence[Span], by: Matrix44, frame: Box) -> Iterator[Span]:
    for a, b, c, d in spans:
        p, q = by.transform(Vec3(a, b)), by.transform(Vec3(c, d))
        x0, y0, x1, y1 = frame
        if all(x0 <= s.x <= x1 and y0 <= s.y <= y1 for s in (p, q)):
            yield p.x, p.y, q.x, q.y


def _paper(layout: Paperspace, doc: Document) -> Box | None:
    try:
        low, high = layout.get_paper_limits_r12() if doc.dxfversion == "AC1009" else layout.get_paper_limits()
        box = (float(low.x), float(low.y), float(high.x), float(high.y))
    except Exception:
        return None
    sound = all(map(isfinite, box)) and 0 < box[2] - box[0] < 1e6 and 0 < box[3] - box[1] < 1e6
    return box if sound else None


def _placed(doc: Document, entities: Iterable[DXFEntity], wanted: str, by: Matrix44, depth: int) -> Matrix44 | None:
    """The way from a block to the layout, by the first reference that shows it."""
    for insert in entities:
        if insert.dxftype() != "INSERT":
            continue
        name = str(insert.dxf.get("name", ""))
        block = doc.blocks.get(name)
        if block is None:
            continue
        try:
            own: Matrix44 = insert.matrix44() * by  # type: ignore[attr-defined]
        except Exception:
            continue
        if plain(name) == wanted:
            return own
        if depth < DEEPEST and (found := _placed(doc, block, wanted, own, depth + 1)) is not None:
            return found
    return None
