"""One file to one `Drawing`."""

import hashlib
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from ezdxf.document import Drawing as Document

from dimaudit.errors import UnreadableFile
from dimaudit.model.drawing import Drawing, Loss, Space
from dimaudit.model.settings import Settings
from dimaudit.read.dimension import DimensionReader, unreadable
from dimaudit.read.loader import load
from dimaudit.read.space import SpaceReader, Tally
from dimaudit.read.style import Styles
from dimaudit.read.units import unit_of
from dimaudit.read.viewport import carried, windows
from dimaudit.read.words import clean

PutTogether = Callable[[Space], Space]


def read_drawing(path: Path, settings: Settings, put_together: PutTogether = lambda space: space) -> Drawing:
    """Reads one DXF file; the file is never changed.

    `put_together` makes dimensions of the loose pieces in a space. It is called on each space as it stands in the
    file: on a sheet the pieces lie beside the dimensions that are yet to be carried through their viewports.

    Raises UnreadableFile, whose message names the file and what to do.
    """
    try:
        content = path.read_bytes()
    except OSError as error:
        raise UnreadableFile(f"{path}: {error.strerror or error}: check the name and the permissions") from error
    loaded = load(path, content[:64])
    doc = loaded.doc
    tally = Tally()
    spaces = _spaces(doc, settings, tally, put_together)
    if loaded.dropped:
        why = "thrown away by the repairing reader, since it has no drawn block, and not readable from the tags"
        lost = tuple(unreadable(handle, "", "Model", why) for handle in loaded.dropped)
        spaces[0] = replace(spaces[0], dimensions=spaces[0].dimensions + lost)
    unit, unit_from = unit_of(doc, spaces, settings.unit)
    return Drawing(
        path=str(path),
        sha256=hashlib.sha256(content).hexdigest(),
        version=doc.acad_release,
        unit=unit,
        unit_from=unit_from,
        can_associate=doc.dxfversion >= "AC1015",
        spaces=tuple(spaces),
        losses=loaded.losses + tally.result() + _references(doc) + _left_out(doc, settings),
    )


def _spaces(doc: Document, settings: Settings, tally: Tally, put_together: PutTogether) -> list[Space]:
    reader = SpaceReader(doc, DimensionReader(doc, Styles(doc)), settings.left_out_layers, tally)
    model = put_together(reader.layout("Model", doc.modelspace()))
    sheets: list[Space] = []
    left_out = {name.casefold() for name in settings.left_out_layouts}
    for layout in doc.layouts:
        if layout.is_modelspace or layout.name.casefold() in left_out:
            continue
        sheet = put_together(reader.layout(clean(layout.name), layout))
        through, left = carried(sheet, windows(layout.viewports(), doc), model.shapes)  # type: ignore[attr-defined]
        model = replace(
            model,
            dimensions=model.dimensions + through.dimensions,
            leaders=model.leaders + through.leaders,
            frames=model.frames + through.frames,
        )
        if left.dimensions or left.shapes or left.notes or left.leaders or left.frames:
            sheets.append(left)
    return _each_once([model, *sheets, *map(put_together, reader.block_spaces())])


def _each_once(spaces: list[Space]) -> list[Space]:
    """An exploded dimension of a block that is shown in several spaces counts in the first of them."""
    seen: set[str] = set()
    for k, space in enumerate(spaces):
        exploded = {d.handle for d in space.dimensions if d.exploded}
        if exploded & seen:
            kept = tuple(d for d in space.dimensions if not (d.exploded and d.handle in seen))
            spaces[k] = replace(space, dimensions=kept)
        seen |= exploded
    return spaces


def _left_out(doc: Document, settings: Settings) -> tuple[Loss, ...]:
    """Layouts that the user left out; and names that are not there, a slip that should not go unseen."""
    known = {layer.dxf.name.casefold() for layer in doc.layers}
    known |= {str(e.dxf.layer).casefold() for e in doc.modelspace() if e.dxf.hasattr("layer")}
    why = "left out by the user, but no layer of that name is in the drawing"
    layers = tuple(Loss(f"layer {clean(n)}", why) for n in settings.left_out_layers if n.casefold() not in known)
    sheets = {layout.name.casefold(): layout.is_modelspace for layout in doc.layouts}
    said = {
        False: "left out by the user",
        True: "not left out: model space is always read",
        None: "left out by the user, but no layout of that name is in the drawing",
    }
    return layers + tuple(Loss(f"layout {clean(n)}", said[sheets.get(n.casefold())]) for n in settings.left_out_layouts)


def _references(doc: Document) -> tuple[Loss, ...]:
    """External references that are defined though shown nowhere are no loss; underlays are pictures of a drawing."""
    count = sum(1 for e in doc.entitydb.values() if e.dxftype() in ("PDFUNDERLAY", "DWFUNDERLAY", "DGNUNDERLAY"))
    why = "a drawing shown as an underlay: its lines are not in this file; audit the drawing itself"
    return (Loss("underlay", why, count),) if count else ()
