"""Which view each scale label belongs to: the nearest one, and only where no other is nearly as near."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import hypot

from dimaudit.model.drawing import Note, Pane, Space
from dimaudit.model.general import ReadAs
from dimaudit.model.view import Geometry, View
from dimaudit.text.markup import plain_text
from dimaudit.text.scale_label import ScaleLabel, read_scale_label, read_title

Box = tuple[float, float, float, float]

HEIGHTS_AWAY = 12
"""A label stands within this many heights of its letters from its view, or within half the view's size: dimension
lines may stand between."""
CLEARLY = 2.0
"""The next view must be this many times as far."""
TITLE_HEIGHTS = 4
"""A title in a text of its own stands within this many heights of the letters."""


@dataclass(frozen=True, slots=True)
class PlacedLabel:
    """A label and what it stands at."""

    label: ScaleLabel
    note: Note
    layout: str
    view: View | None = None
    """The view that it belongs to; None where it stands clearly at none: it is the drawing's, or nobody's."""
    pane: Pane | None = None
    """The viewport that shows the view, where the label stands on a sheet."""
    in_cell: bool = False
    """Whether only its place says that it is a scale: beside a text SCALE, or in an attribute of that name."""

    @property
    def of_view(self) -> str:
        """The name of the view that it states the scale of; empty where it is the drawing's, or may be no scale.

        What stands in a cell of its own is a title block's, unless the title of a view is beside it.
        """
        mine = self.label.worded and (bool(self.label.title) or not self.in_cell)
        return self.view.name if self.view is not None and mine else ""


@dataclass(frozen=True, slots=True)
class _Place:
    box: Box
    view: View | None
    pane: Pane | None


def scale_labels(geometries: Sequence[Geometry], cells: Mapping[str, str]) -> tuple[PlacedLabel, ...]:
    """All scale labels of a drawing in the order of the file, each with its view where that is clear.

    `cells` are the texts that say a scale by their place alone (`TitleBlock.scales`).
    """
    model = next((g for g in geometries if g.space.name == "Model"), None)
    return tuple(
        label for g in geometries for label in _labels(g.space, list(_places(g, None if g is model else model)), cells)
    )


def scales_of_views(labels: Sequence[PlacedLabel]) -> tuple[ReadAs, ...]:
    """What the labels of views say, for the report."""
    return tuple(
        ReadAs(
            " ".join(plain_text(p.note.text).split()), p.note.origin.handle, p.layout,
            f"scale of {p.of_view}: {p.label.text}", at=(float(p.note.at[0]), float(p.note.at[1])),
        )
        for p in labels
        if p.of_view
    )  # fmt: skip


def claimed(labels: Sequence[PlacedLabel]) -> dict[str, str]:
    """Handles of the texts that were understood, and as what; a bare ratio that stands at no view is not."""
    return {
        p.note.origin.handle: "scale of the drawing" if p.view is None else f"scale of {p.view.name}"
        for p in labels
        if p.view is not None or p.label.worded
    }


def _places(geometry: Geometry, model: Geometry | None) -> Iterator[_Place]:
    """Where the views of a space are: its own, and those of the model in its viewports."""
    for view in geometry.views:
        (x0, x1), (y0, y1) = view.extent
        yield _Place((x0, y0, x1, y1), view, None)
    for pane in geometry.space.panes:
        frame = (float(pane.low[0]), float(pane.low[1]), float(pane.high[0]), float(pane.high[1]))
        shown = [] if model is None else [(v, _seen(v, pane)) for v in model.views]
        inside = [(view, cut) for view, box in shown if (cut := _cut(box, frame)) is not None]
        if len(inside) == 1:
            yield _Place(frame, inside[0][0], pane)
        elif inside:
            yield from (_Place(box, view, pane) for view, box in inside)
        else:  # a picture without dimensions: its label is not another view's
            yield _Place(frame, None, pane)


def _seen(view: View, pane: Pane) -> Box:
    (x0, x1), (y0, y1) = view.extent
    corners = [pane.place((Fraction(x), Fraction(y))) for x in (x0, x1) for y in (y0, y1)]
    xs, ys = [float(c[0]) for c in corners], [float(c[1]) for c in corners]
    return min(xs), min(ys), max(xs), max(ys)


def _cut(box: Box, frame: Box) -> Box | None:
    cut = max(box[0], frame[0]), max(box[1], frame[1]), min(box[2], frame[2]), min(box[3], frame[3])
    return cut if cut[0] < cut[2] and cut[1] < cut[3] else None


def _labels(space: Space, places: Sequence[_Place], cells: Mapping[str, str]) -> Iterator[PlacedLabel]:
    read = [
        (note, label)
        for note in space.notes
        if (label := read_scale_label(cells.get(note.origin.handle, note.text))) is not None
    ]
    if not read:
        return
    titles = [(note, title) for note in space.notes if (title := read_title(note.text))]
    found = []
    for note, label in read:
        if not label.title:
            label = _titled(note, label, titles)
        place, off = _nearest(note, places)
        view, pane = (None, None) if place is None else (place.view, place.pane)
        found.append((off, PlacedLabel(label, note, space.name, view, pane, note.origin.handle in cells)))
    for off, placed in found:
        rivals = [o for o, p in found if p.view is placed.view and p.pane is placed.pane and p.label.worded]
        if placed.view is not None and any(o < off for o in rivals):
            placed = replace(placed, view=None, pane=None)  # the nearer label is the view's own
        yield placed


def _titled(note: Note, label: ScaleLabel, titles: Sequence[tuple[Note, str]]) -> ScaleLabel:
    """The label with the title that stands right above or below it in a text of its own."""
    near = [(_apart(note, t), title) for t, title in titles]
    off, title = min(near, default=(0.0, ""))
    close = off <= TITLE_HEIGHTS * float(note.height) or not note.height
    return replace(label, title=title, worded=True) if title and close else label


def _apart(one: Note, two: Note) -> float:
    return hypot(float(one.at[0] - two.at[0]), float(one.at[1] - two.at[1]))


def _nearest(note: Note, places: Sequence[_Place]) -> tuple[_Place | None, float]:
    """The place that the note stands at, and how far from it; None where none is near, or two are nearly as near."""
    x, y = float(note.at[0]), float(note.at[1])
    ranked = sorted(((_off(x, y, p.box), k) for k, p in enumerate(places)))
    if not ranked:
        return None, 0.0
    off, k = ranked[0]
    x0, y0, x1, y1 = places[k].box
    height = float(note.height)
    if off > max(HEIGHTS_AWAY * height, max(x1 - x0, y1 - y0) / 2):
        return None, off
    others = [o for o, n in ranked[1:] if places[n].view is not places[k].view]
    if others and others[0] < CLEARLY * off + height:
        return None, off
    return places[k], off


def _off(x: float, y: float, box: Box) -> float:
    x0, y0, x1, y1 = box
    return hypot(max(x0 - x, x - x1, 0.0), max(y0 - y, y - y1, 0.0))
