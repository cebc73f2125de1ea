"""Layouts and blocks to spaces: block references expanded, dimensions carried to the geometry they measure."""

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from fractions import Fraction

from ezdxf.document import Drawing as Document
from ezdxf.entities.dxfentity import DXFEntity
from ezdxf.entities.insert import Insert
from ezdxf.math import Vec3

from dimaudit.exact.number import exact
from dimaudit.model.drawing import Arrowhead, Dimension, Frame, Leader, LineRole, Loss, Note, Origin, Shape, Space
from dimaudit.model.marks import MARK_APP
from dimaudit.read.affine import IDENTITY, Affine, placed, transformed
from dimaudit.read.annotation import FRAMES, LEADERS, frame_of, leader_of, note_of
from dimaudit.read.dimension import CONSTRAINT_LAYER, DimensionReader, moved, unreadable
from dimaudit.read.entities import ANNOTATION, READERS, WORLD_COORDINATES
from dimaudit.read.entities.arrows import ARROWS, arrowhead
from dimaudit.read.entities.plain import at
from dimaudit.read.words import clean

MOST_INSERTS = 200_000
"""Block references expanded at most in one layout; a file that wants more is said so by name."""
DIMENSIONS = frozenset({"DIMENSION", "ARC_DIMENSION", "LARGE_RADIAL_DIMENSION", "RADIAL_DIMENSION_LARGE"})
TABLES = frozenset({"ACAD_TABLE"})
_PLACED = frozenset({"INSERT", "TEXT", "MTEXT", "ATTRIB"}) | LEADERS | FRAMES | TABLES
_NOT_MEASURED = "this type of entity is not measured: explode it or export it as lines and arcs"
_NOT_READ = {"ACAD_PROXY_ENTITY": "a proxy object of an add-on: explode it or export with proxies as plain linework"}
_CENTRE_WORDS = ("CENTER", "CENTRE", "DASHDOT", "CHAIN", "ACAD_ISO04", "ACAD_ISO08", "ACAD_ISO10", "PHANTOM", "DIVIDE")
_HIDDEN_WORDS = ("HIDDEN", "DASHED", "ACAD_ISO02", "ACAD_ISO03")


@dataclass(slots=True)
class Tally:
    """What was left out, with its reason, counted while reading."""

    losses: Counter[tuple[str, str]] = field(default_factory=Counter)
    handles: dict[tuple[str, str], list[str]] = field(default_factory=dict)

    def add(self, what: str, why: str, handle: str | None) -> None:
        key = (what, why)
        self.losses[key] += 1
        kept = self.handles.setdefault(key, [])
        if handle and len(kept) < 20:
            kept.append(handle)

    def result(self) -> tuple[Loss, ...]:
        return tuple(
            Loss(what, why, count, tuple(self.handles[what, why])) for (what, why), count in self.losses.items()
        )


@dataclass(slots=True)
class _Contents:
    """A space in the making."""

    shapes: list[Shape] = field(default_factory=list)
    notes: list[Note] = field(default_factory=list)
    dimensions: list[Dimension] = field(default_factory=list)
    leaders: list[Leader] = field(default_factory=list)
    frames: list[Frame] = field(default_factory=list)
    arrowheads: list[Arrowhead] = field(default_factory=list)
    handles: set[str] = field(default_factory=set)
    inserts: int = 0
    is_block: bool = False
    """A block's own definition, not a layout."""


class SpaceReader:
    """Reads layouts and block definitions of one document."""

    def __init__(self, doc: Document, dimensions: DimensionReader, left_out: Iterable[str], tally: Tally) -> None:
        self._doc = doc
        self._dimensions = dimensions
        self._tally = tally
        self._hidden = {name.casefold(): "left out by the user" for name in left_out}
        self._linetypes: dict[str, str] = {}
        self._off: set[str] = set()
        """Layers that hide what is on them, but not what a block reference on them brings on other layers."""
        for layer in doc.layers:
            name = layer.dxf.name.casefold()
            self._linetypes[name] = str(layer.dxf.get("linetype", ""))
            if name not in self._hidden and not layer.is_frozen():
                self._off.add(name)
            if layer.is_frozen() or layer.is_off():
                self._hidden.setdefault(name, f"its layer is {'frozen' if layer.is_frozen() else 'off'}")
            elif not layer.dxf.get("plot", 1) or name == "defpoints":
                self._hidden.setdefault(name, "its layer is not plotted")
        self._own_spaces: dict[str, int] = {}
        """Names of block definitions that hold linework and dimensions of their own, and how often each is shown."""
        self._kinds: dict[str, tuple[bool, bool]] = {}

    def layout(self, name: str, entities: Iterable[DXFEntity]) -> Space:
        """Model space or a sheet, its block references expanded."""
        contents = _Contents()
        self._collect(entities, contents, name, IDENTITY, (), (), "0")
        return _space(name, contents)

    def block_spaces(self) -> list[Space]:
        """Block definitions that carry dimensions of their own linework: measured in the definition, each once."""
        spaces, done = [], set()
        while waiting := [name for name in self._own_spaces if name not in done]:
            for name in waiting:
                done.add(name)
                contents = _Contents(is_block=True)
                label = f"block {clean(name)}"
                self._collect(self._doc.blocks[name], contents, label, IDENTITY, (), (name,), "0")
                shown = self._own_spaces[name]
                through = f"{label}, shown {shown} time{'s' if shown != 1 else ''}"
                dimensions = [d if d.through else replace(d, through=through) for d in contents.dimensions]
                contents.dimensions = dimensions
                spaces.append(_space(label, contents))
        return spaces

    def _collect(
        self,
        entities: Iterable[DXFEntity],
        into: _Contents,
        layout: str,
        by: Affine,
        inserts: tuple[str, ...],
        blocks: tuple[str, ...],
        layer_above: str,
    ) -> None:
        for entity in entities:
            kind = entity.dxftype()
            dxf = entity.dxf
            handle = str(dxf.get("handle", ""))
            into.handles.add(handle)
            if entity.has_xdata(MARK_APP):
                self._tally.add("mark of an audit", "left out: a marked copy's own balloons and tables", handle)
                continue
            if kind not in READERS and kind not in DIMENSIONS and kind not in _PLACED:
                if kind not in ANNOTATION:
                    self._tally.add(kind, _NOT_READ.get(kind, _NOT_MEASURED), handle)
                continue
            layer = str(dxf.get("layer", "0"))
            if layer == "0":  # entities of a block on layer 0 take the layer of the reference
                layer = layer_above
            name = layer.casefold()
            hidden = self._hidden.get(name)
            if hidden and (kind != "INSERT" or name not in self._off):
                if kind in DIMENSIONS or kind in READERS or kind == "INSERT":
                    what = "dimension" if kind in DIMENSIONS else kind
                    self._tally.add(what, f"{hidden} ({clean(layer)})", handle)
                continue
            if dxf.get("invisible", 0):
                self._tally.add("dimension" if kind in DIMENSIONS else kind, "it is set to be invisible", handle)
                continue
            try:
                if kind in DIMENSIONS:
                    if layer.upper() == CONSTRAINT_LAYER:
                        self._tally.add("dimension", "it belongs to a sketch's constraints, not to the print", handle)
                    else:
                        self._dimension(entity, into, layout, by, blocks)
                elif kind == "INSERT":
                    self._insert(entity, into, layout, by, inserts, blocks, layer)  # type: ignore[arg-type]
                elif (reader := READERS.get(kind)) is not None:
                    origin = Origin(handle, clean(layer), self._role(entity, layer), inserts, kind)
                    into.shapes += self._shapes(entity, kind, reader(entity, origin), by, origin)
                else:
                    own = Origin(handle, clean(layer), inserts=inserts)
                    self._annotation(entity, into, layout, by, own, blocks[-1] if blocks else "")
            except MemoryError:
                raise
            except Exception as error:  # one malformed entity never ends the reading of the others
                why = f"not readable ({type(error).__name__}: {clean(str(error))[:200]})"
                if kind in DIMENSIONS:  # a result of its own, to be counted among the dimensions
                    into.dimensions.append(unreadable(handle, clean(layer), layout, why))
                else:
                    self._tally.add(kind, why, handle)

    def _shapes(
        self, entity: DXFEntity, kind: str, shapes: list[Shape], by: Affine, origin: Origin
    ) -> Iterator[Shape]:
        flat = kind not in WORLD_COORDINATES and not (kind == "POLYLINE" and entity.is_3d_polyline)  # type: ignore[attr-defined]
        if flat and entity.dxf.hasattr("extrusion"):
            e = entity.dxf.extrusion
            if abs(e.x) > 1e-9 or abs(e.y) > 1e-9:
                raise ValueError("its plane is tilted against the sheet")
            if e.z < 0:
                by = by.after(_MIRROR)
        if by.is_identity:
            yield from shapes
        else:
            for shape in shapes:
                yield transformed(shape, by, origin)

    def _role(self, entity: DXFEntity, layer: str) -> LineRole:
        linetype = str(entity.dxf.get("linetype", "BYLAYER")).upper()
        if linetype in ("BYLAYER", "BYBLOCK"):
            linetype = self._linetypes.get(layer.casefold(), "").upper()
        name = layer.upper()
        if any(word in linetype for word in _CENTRE_WORDS) or (
            linetype in ("", "CONTINUOUS") and name.startswith(("CENTER", "CENTRE"))
        ):
            return LineRole.CENTRE
        if any(word in linetype for word in _HIDDEN_WORDS):
            return LineRole.HIDDEN
        return LineRole.OUTLINE

    def _annotation(
        self, entity: DXFEntity, into: _Contents, layout: str, by: Affine, origin: Origin, block: str = ""
    ) -> None:
        if entity.dxftype() in TABLES:
            self._table(entity, into, layout, by, origin)
        elif entity.dxftype() in LEADERS:
            into.leaders.append(leader_of(entity, origin, by, layout, self._doc))
        elif entity.dxftype() in FRAMES:
            into.frames.append(frame_of(entity, origin, by, layout))
        else:
            into.notes.append(note_of(entity, origin, by, clean(block)))

    def _table(self, entity: DXFEntity, into: _Contents, layout: str, by: Affine, origin: Origin) -> None:
        """The texts of a table's drawn block (group 2), where a person reads them; its lines are no part."""
        name = str(entity.dxf.get("geometry", ""))
        block = self._doc.blocks.get(name)
        if block is None:
            self._tally.add("ACAD_TABLE", "its drawn block is not in the file: its texts are not read", origin.handle)
            return
        along = Vec3(entity.dxf.get("horizontal_direction", (1, 0, 0)))
        turn = exact(round(along.angle_deg, 9))
        base = at(block.block.dxf.base_point) if block.block is not None else (Fraction(0), Fraction(0))
        own = placed(at(Vec3(entity.dxf.get("insert", (0, 0, 0)))), Fraction(1), Fraction(1), turn, base)
        for text in block:
            if text.dxftype() in ("TEXT", "MTEXT"):
                inner = Origin(str(text.dxf.get("handle", "")), origin.layer, inserts=(*origin.inserts, origin.handle))
                self._annotation(text, into, layout, by.after(own), inner, name)

    def _dimension(
        self, entity: DXFEntity, into: _Contents, layout: str, by: Affine, blocks: tuple[str, ...]
    ) -> None:
        dimension = self._dimensions.read(entity, layout)
        if blocks and not into.is_block:
            name = blocks[-1]
            if self._contains(name)[0]:  # its own linework: measured once, in the definition
                return
            dimension = moved(dimension, by, f"block {clean(name)}")
        elif len(blocks) > 1:
            if self._contains(blocks[-1])[0]:
                return
            dimension = moved(dimension, by, f"block {clean(blocks[-1])}")
        into.dimensions.append(dimension)

    def _contains(self, name: str) -> tuple[bool, bool]:
        """Whether a block definition holds linework, and dimensions, of its own."""
        found = self._kinds.get(name)
        if found is None:
            kinds = {e.dxftype() for e in self._doc.blocks[name]}
            linework = bool(kinds & READERS.keys()) or "INSERT" in kinds
            found = self._kinds[name] = (linework, bool(kinds & DIMENSIONS))
        return found

    def _insert(
        self,
        insert: Insert,
        into: _Contents,
        layout: str,
        by: Affine,
        inserts: tuple[str, ...],
        blocks: tuple[str, ...],
        layer: str,
    ) -> None:
        dxf = insert.dxf
        name, handle = str(dxf.get("name", "")), str(dxf.get("handle", ""))
        block = self._doc.blocks.get(name)
        if block is None:
            self._tally.add("INSERT", f"its block {clean(name)!r} is not in the file", handle)
            return
        if block.block is not None and block.block.dxf.get("flags", 0) & 4:
            path = clean(str(block.block.dxf.get("xref_path", "")))
            why = f"an external reference ({path or clean(name)}): bind it into the drawing, then audit again"
            self._tally.add("external reference", why, handle)
            return
        if name in blocks:
            self._tally.add("INSERT", f"block {clean(name)!r} holds itself", handle)
            return
        linework, dimensions = self._contains(name)
        if linework and dimensions:  # reading a definition shows nothing: only layouts count
            self._own_spaces[name] = self._own_spaces.get(name, 0) + (0 if into.is_block else insert.mcount)
        base = at(block.block.dxf.base_point) if block.block is not None else (Fraction(0), Fraction(0))
        for own in self._placements(insert, base):
            into.inserts += 1
            if name.upper() in ARROWS:
                into.arrowheads.append(arrowhead(name, by.after(own), Origin(handle, clean(layer), inserts=inserts)))
            if into.inserts > MOST_INSERTS:
                self._tally.add("INSERT", f"more than {MOST_INSERTS} block references: the rest is left out", handle)
                return
            self._collect(block, into, layout, by.after(own), (*inserts, handle), (*blocks, name), layer)
        for attribute in insert.attribs:
            if not attribute.dxf.get("invisible", 0):
                own_origin = Origin(str(attribute.dxf.handle), clean(layer), inserts=inserts)
                self._annotation(attribute, into, layout, by, own_origin, name)

    def _placements(self, insert: Insert, base: tuple[Fraction, Fraction]) -> Iterator[Affine]:
        dxf = insert.dxf
        turn, sx, sy = exact(dxf.rotation), exact(dxf.xscale), exact(dxf.yscale)
        origin = at(dxf.insert)
        flipped = dxf.hasattr("extrusion") and dxf.extrusion.z < 0
        if dxf.hasattr("extrusion") and (abs(dxf.extrusion.x) > 1e-9 or abs(dxf.extrusion.y) > 1e-9):
            raise ValueError("its plane is tilted against the sheet")
        frame = placed(origin, Fraction(1), Fraction(1), turn, (Fraction(0), Fraction(0)))
        dx, dy = exact(dxf.get("column_spacing", 0.0)), exact(dxf.get("row_spacing", 0.0))
        for row in range(max(dxf.get("row_count", 1), 1)):
            for column in range(max(dxf.get("column_count", 1), 1)):
                own = placed(frame((column * dx, row * dy)), sx, sy, turn, base)
                yield _MIRROR.after(own) if flipped else own


_MIRROR = Affine(a=Fraction(-1))
"""Object coordinates seen from behind (extrusion 0, 0, -1): x runs the other way (DXF reference, arbitrary axes)."""


def _space(name: str, contents: _Contents) -> Space:
    return Space(
        name,
        tuple(contents.shapes),
        tuple(contents.notes),
        tuple(contents.dimensions),
        frozenset(contents.handles),
        tuple(contents.leaders),
        tuple(contents.frames),
        arrowheads=tuple(contents.arrowheads),
    )
