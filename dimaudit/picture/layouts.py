"""Which layouts are drawn, how large each is, and how finely its points are told."""

import math
from collections.abc import Iterable, Sequence

from ezdxf.addons.drawing.properties import LayoutProperties
from ezdxf.document import Drawing as Document
from ezdxf.layouts.layout import Layout

from dimaudit.model.picture import Box, Picture
from dimaudit.picture.artist import DIMENSIONS, Artist, Context
from dimaudit.picture.collector import INK, MOST_POINTS, SHEET, Collector, TooMuch, clean
from dimaudit.picture.path_data import Grid

MARGIN = 0.02
"""Room around what is drawn, as a share of its larger side: for the width of lines, and for the eye."""
COARSEST, FINEST = 1e-5, 1e-8
"""The step of the grid at most and at least, as a share of the picture's larger side."""
SMALL = 0.1
"""The share of the entities that are taken for small ones."""
LETTERING = 3.0
"""Millimetres: the height of letters on paper (ASME Y14.2; ISO 3098 has 2.5 and 3.5; from memory)."""
NARROW, WIDE = 200, 1200
"""Millimetres: paper is taken to be at least and at most this wide (A5, A0), so that lines stay lines."""
STEPS_IN_SMALL = 200
"""Steps of the grid across a small entity, so that it is smooth when it is looked at from near."""


def pictures_of(
    doc: Document, layouts: Iterable[str] | None = None, left_out: Iterable[str] = ()
) -> tuple[Picture, ...]:
    """Pictures of the model space and of each sheet with dimensions, or of the named layouts (in any case of letters).

    Without names, sheets named in `left_out` are not drawn. The document is not changed. What cannot be drawn stands in
    the picture's `left_out`, with its reason. An unknown name is a KeyError.
    """
    return tuple(_picture(doc, layout) for layout in _chosen(doc, layouts, left_out))


def _chosen(doc: Document, names: Iterable[str] | None, left_out: Iterable[str]) -> Sequence[Layout]:
    all_layouts: list[Layout] = [doc.modelspace(), *(x for x in doc.layouts if not x.is_modelspace)]
    if names is None:
        out = {name.casefold() for name in left_out}
        read = [x for x in all_layouts[1:] if x.name.casefold() not in out]
        sheets = [x for x in read if any(e.dxftype() in DIMENSIONS for e in x)]
        return [x for x in (all_layouts[0], *sheets) if len(x) or not sheets]
    known = {clean(x.name).casefold(): x for x in all_layouts}
    return [known[name.casefold()] for name in names]


def _picture(doc: Document, layout: Layout) -> Picture:
    collector = Collector()
    artist = Artist(Context(doc), collector, _guess(doc, layout))
    look = LayoutProperties(layout.name, SHEET, INK, units=layout.units)
    try:
        artist.draw_layout(layout, finalize=False, layout_properties=look)
    except TooMuch:
        last = collector.drawn[-1].handle if collector.drawn else ""
        why = f"the drawing is larger than can be shown ({MOST_POINTS} points): what follows this entity is left out"
        artist.left_out[last, why] = None
    reaches = [drawn.reach() for drawn in collector.drawn]
    box = _around([reach for reach in reaches if reach is not None])
    if collector.endless:
        collector.end_endless(box)
        reaches = [drawn.reach() for drawn in collector.drawn]
    grid = Grid(box[0], box[3], _places(box, [reach for reach in reaches if reach is not None]))
    shown = zip(collector.drawn, reaches, strict=True)
    entities = tuple(drawn.entity(grid, reach) for drawn, reach in shown if reach is not None)
    pen = _pen(box, sorted(collector.letter_heights))
    return Picture(clean(layout.name), box, pen, entities, tuple(artist.left_out))


def _pen(box: Box, heights: Sequence[float]) -> float:
    """Drawing units to a millimetre on paper. A file seldom says how large it is printed, but its lettering does."""
    whole = max(box[2] - box[0], box[3] - box[1])
    asked = heights[len(heights) // 2] / LETTERING if heights else whole / NARROW
    return min(max(asked, whole / WIDE), whole / NARROW)


def _guess(doc: Document, layout: Layout) -> float:
    """About how large a layout is, by its own word or the file's; for nothing that must be right."""
    model = layout.is_modelspace
    low = doc.header.get("$EXTMIN") if model else layout.dxf.get("extmin")
    high = doc.header.get("$EXTMAX") if model else layout.dxf.get("extmax")
    if low is not None and high is not None:
        size = math.hypot(high[0] - low[0], high[1] - low[1])
        if high[0] >= low[0] and high[1] >= low[1] and 0 < size < 1e9:
            return size
    return 100.0


def _around(boxes: Sequence[Box]) -> Box:
    """The box of all boxes, with a margin; never without a size."""
    if not boxes:
        return 0.0, 0.0, 1.0, 1.0
    x0, y0 = min(b[0] for b in boxes), min(b[1] for b in boxes)
    x1, y1 = max(b[2] for b in boxes), max(b[3] for b in boxes)
    margin = max(x1 - x0, y1 - y0) * MARGIN or max(abs(x0), abs(y0), 1.0) * MARGIN
    return x0 - margin, y0 - margin, x1 + margin, y1 + margin


def _places(box: Box, boxes: Sequence[Box]) -> int:
    """How many decimals the points keep: enough for the small entities, no more than the whole bears."""
    whole = max(box[2] - box[0], box[3] - box[1])
    sizes = sorted(size for b in boxes if (size := max(b[2] - b[0], b[3] - b[1])) > 0)
    small = sizes[int(len(sizes) * SMALL)] if sizes else whole
    step = min(max(small / STEPS_IN_SMALL, whole * FINEST), whole * COARSEST)
    return -math.floor(math.log10(step))
