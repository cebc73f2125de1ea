"""A marked copy of a drawing: its own bytes, with the marks put between them.

The file is not loaded and saved again: a library changes, orders and drops what it does not know. Added are one entry
in each of the tables LAYER and APPID, and the marks at the end of each layout's entities. Changed are two kinds of
value: $HANDSEED (the next free handle), and a table's number of entries where the new one does not fit.
"""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from hashlib import sha256
from math import hypot, isfinite
from pathlib import Path

from dimaudit.errors import AuditError
from dimaudit.model.audit import DrawingAudit, Level
from dimaudit.model.marks import MARK_APP, MARK_WORD, Numbered, numbered
from dimaudit.model.picture import Box
from dimaudit.write.anatomy import Anatomy, Table, anatomy
from dimaudit.write.balloon import SHAPES, Group, radius
from dimaudit.write.legend import Legend
from dimaudit.write.pen import Pen, Spot
from dimaudit.write.place import Raster, best_place, right_end, spots_together
from dimaudit.write.scene import Scene, Scenes, scenes
from dimaudit.write.tags import New, TagFile, spliced, tag_file
from dimaudit.write.words import harmless

LAYER = "DIMAUDIT-MARKS"
COLOUR = 6
"""Magenta: seen on light and on dark, and seldom a colour of linework. No level hangs on it."""
SMALLEST, LARGEST = 1 / 10_000, 1 / 30
"""Bounds of the marks' letters, as shares of the drawing's diagonal, for letters whose height makes no sense."""
USUAL = 1 / 150
"""The share that stands where a layout has no letters."""
BESIDE = 6.0
"""Gap between drawing and legend, in heights of letters."""


FAR = 500.0
"""More than this many heights of letters from what is marked, nobody looks for the table."""
MOST_STEPS = 20


@dataclass(frozen=True, slots=True)
class Marked:
    """A marked copy and what to say about it."""

    content: bytes
    layer: str
    balloons: int
    legend_only: int
    """Findings that have no place in a layout."""


def is_marked(path: Path) -> bool:
    """Whether a file is empty or has marks in it, so that a new copy may take its place."""
    try:
        content = path.read_bytes()
    except OSError:
        return False
    return not content or MARK_WORD.encode() in content


def marked_copy(path: Path, audit: DrawingAudit, caution: str) -> Marked:
    """The copy's bytes. The drawing itself is only read.

    Raises AuditError where it is not the file that was audited any more, or can't be copied with all that is in it.
    """
    try:
        content = path.read_bytes()
    except OSError as error:
        raise AuditError(f"{path}: {error.strerror or error}: check the name and the permissions") from error
    if sha256(content).hexdigest() != audit.sha256:
        raise AuditError(f"{path}: the file was changed while it was audited: run the command again")
    try:
        file = tag_file(content)
    except AuditError as error:
        raise AuditError(f"{path}: no copy is made: {error}") from None
    body = anatomy(file)
    drawn = scenes(path)
    layer = _free_name(body)
    handles = body.free_handles() if body.entities_have_handles else None
    taken = _Counted(handles) if handles is not None else None
    edits = _tables(file, body, layer, taken)
    marks = _Marks(audit, drawn, caution, path.name, layer)
    entities: list[tuple[int, list[New]]] = []
    for scene in marks.layouts():
        pen = Pen(layer, body.old, body.unicode, taken, _owner(scene, body), scene.paper)
        marks.draw(scene, pen)
        entities.append((_end_of(scene, file, body), pen.tags))
    edits += _entities(file, body, entities)
    edits += _seed(file, body, taken)
    return Marked(spliced(file, edits), layer, marks.balloons, marks.legend_only)


class _Counted:
    """Handles, and the last one that was given out."""

    def __init__(self, handles: Iterator[str]) -> None:
        self._handles = handles
        self.last = ""

    def __iter__(self) -> Iterator[str]:
        return self

    def __next__(self) -> str:
        self.last = next(self._handles)
        return self.last


Edit = tuple[int, int, bytes]


def _free_name(body: Anatomy) -> str:
    """The layer's name, with a number if the drawing has one of that name."""
    table = body.tables.get(b"LAYER")
    taken = {name.decode("ascii", "replace").upper() for name in table.names()} if table else set()
    taken |= body.layers
    number = 1
    while (name := LAYER if number == 1 else f"{LAYER}-{number}") in taken:
        number += 1
    return name


# ------------------------------------------------------------------------------------------------------- tables


def _tables(file: TagFile, body: Anatomy, layer: str, handles: Iterator[str] | None) -> list[Edit]:
    """Entries for the layer and for the application; tables and their section are made where there are none."""
    edits: list[Edit] = []
    missing: list[New] = []
    for name in ("APPID", "LAYER"):
        table = body.tables.get(name.encode())
        if table is not None and name == "APPID" and MARK_APP.encode() in (n.upper() for n in table.names()):
            continue
        if table is None:
            owner = "" if handles is None else next(handles)
            missing += [(0, "TABLE"), (2, name)]
            missing += [(5, owner)] if owner else []
            missing += [] if body.old else [(100, "AcDbSymbolTable")]
            missing += [(70, 1), *_entry(name, layer, owner, body, handles), (0, "ENDTAB")]
            continue
        spot = file.tags[table.end].start
        edits.append((spot, spot, file.text(_entry(name, layer, table.handle, body, handles))))
        edits += _raised(file, table)
    if missing and (section := body.sections.get(b"TABLES")) is not None:
        edits.append(_insert(file, section[1], missing))
    elif missing:
        before = next((n for n in (b"BLOCKS", b"ENTITIES", b"OBJECTS") if n in body.sections), None)
        index = len(file.tags) if before is None else body.sections[before][0] - 2
        edits.append(_insert(file, _before_end(file, index), _section("TABLES", missing)))
    return edits


def _entry(name: str, layer: str, owner: str, body: Anatomy, handles: Iterator[str] | None) -> list[New]:
    entry: list[New] = [(0, name)]
    if handles is not None:
        entry.append((5, next(handles)))
    if not body.old:
        entry += [(330, owner)] if owner else []
        entry += [(100, "AcDbSymbolTableRecord")]
        entry += [(100, "AcDbRegAppTableRecord" if name == "APPID" else "AcDbLayerTableRecord")]
    if name == "APPID":
        return [*entry, (2, MARK_APP), (70, 0)]
    return [*entry, (2, layer), (70, 0), (62, COLOUR), (6, "CONTINUOUS"), *body.layer_links]


def _raised(file: TagFile, table: Table) -> list[Edit]:
    """A table's number of entries, where the new one is more than it says."""
    if table.count is None:
        return []
    tag = file.tags[table.count]
    try:
        stated = int(tag.value)
    except ValueError:
        return []
    if stated != len(table.entries):
        return []
    return [(tag.start, tag.end, file.text([(70, stated + 1)]))]


def _section(name: str, tags: Sequence[New]) -> list[New]:
    return [(0, "SECTION"), (2, name), *tags, (0, "ENDSEC")]


def _insert(file: TagFile, index: int, tags: Sequence[New]) -> Edit:
    """New tags before the tag of that index, or at the end of the file."""
    if index < len(file.tags):
        spot = file.tags[index].start
        return spot, spot, file.text(tags)
    spot = file.tags[-1].end if file.tags else len(file.content)
    open_line = file.line_end and not file.content[:spot].endswith((b"\n", b"\r"))
    return spot, spot, (file.line_end if open_line else b"") + file.text(tags)


def _before_end(file: TagFile, index: int) -> int:
    """At the latest before the end-of-file tag."""
    if index >= len(file.tags) and file.tags and file.tags[-1].value == b"EOF":
        return len(file.tags) - 1
    return index


# ------------------------------------------------------------------------------------------------------ layouts


def _owner(scene: Scene, body: Anatomy) -> str:
    """Handle of the layout's block record; the library's word counts where the file has that record."""
    block = scene.block.upper()
    if body.records.get(scene.record.upper()) == block:
        return scene.record
    return next((handle for handle, name in body.records.items() if name == block), "")


def _end_of(scene: Scene, file: TagFile, body: Anatomy) -> int:
    """Where a layout's entities end: sheets that are not in front stand in their blocks (DXF reference, BLOCKS)."""
    block = scene.block.upper()
    if not body.old and scene.paper and block != "*PAPER_SPACE" and block in body.block_ends:
        return body.block_ends[block]
    return body.sections[b"ENTITIES"][1] if b"ENTITIES" in body.sections else len(file.tags)


def _entities(file: TagFile, body: Anatomy, entities: Sequence[tuple[int, list[New]]]) -> list[Edit]:
    if b"ENTITIES" in body.sections:
        return [_insert(file, index, tags) for index, tags in entities]
    index = body.sections[b"OBJECTS"][0] - 2 if b"OBJECTS" in body.sections else len(file.tags)
    together = [tag for _, tags in entities for tag in tags]
    return [_insert(file, _before_end(file, index), _section("ENTITIES", together))]


def _seed(file: TagFile, body: Anatomy, handles: _Counted | None) -> list[Edit]:
    """The next free handle, where the file states one."""
    if body.seed is None or handles is None or not handles.last:
        return []
    tag = file.tags[body.seed]
    following = int(handles.last, 16) + 1
    try:
        if int(tag.value, 16) >= following:
            return []
    except ValueError:
        pass
    return [(tag.start, tag.end, file.text([(tag.code, f"{following:X}")]))]


# -------------------------------------------------------------------------------------------------------- marks


class _Marks:
    """Which finding is marked in which layout, and the words above the tables."""

    def __init__(self, audit: DrawingAudit, drawn: Scenes, caution: str, name: str, layer: str) -> None:
        self._audit, self._drawn, self._caution, self._name, self._layer = audit, drawn, caution, name, layer
        self.balloons = 0
        self.legend_only = 0
        self._placed: dict[str, list[tuple[tuple[float, float], Numbered]]] = defaultdict(list)
        self._listed: dict[str, list[Numbered]] = defaultdict(list)
        every = numbered(audit.findings)
        self._labels = [one.label for one in every]
        nowhere = []
        for one in every:
            spot = self._spot(one)
            if spot is None:
                nowhere.append(one)
                continue
            layout, at = spot
            self._placed[layout].append((at, one))
            self._listed[layout].append(one)
            self.balloons += 1
        self.legend_only = len(nowhere)
        counts = {name: len(found) for name, found in self._listed.items()}
        self._main = max(counts, key=lambda name: (counts[name], name == "Model")) if counts else self._fullest()
        listed = self._listed[self._main]
        self._listed[self._main] = sorted([*listed, *nowhere], key=lambda one: one.number)

    def _fullest(self) -> str:
        """The layout for the table of a drawing without places: the one with the most in it."""
        scenes = self._drawn.layouts
        return max(scenes, key=lambda name: len(scenes[name].spans) + len(scenes[name].texts))

    def _spot(self, one: Numbered) -> tuple[str, tuple[float, float]] | None:
        """Layout and place; what is found in a block's definition is marked where the block is first shown."""
        at, layout = one.finding.at, one.finding.layout
        if at is None or not all(map(isfinite, at)):
            return None
        if layout in self._drawn.layouts:
            return layout, at
        if layout.startswith("block "):
            shown = self._drawn.shown(layout.removeprefix("block "), at)
            if shown is not None and all(map(isfinite, shown[1])):
                return shown
        return None

    def layouts(self) -> list[Scene]:
        """The layouts that get marks."""
        return [scene for name, scene in self._drawn.layouts.items() if self._listed.get(name) or name == self._main]

    def draw(self, scene: Scene, pen: Pen) -> None:
        """Balloons, then the table beside all of it."""
        placed = self._placed.get(scene.name, [])
        box = _around(scene.box(), [at for at, _ in placed])
        letter = _letter(scene.letter(), box)
        size = radius(self._labels, letter)
        spots = [at for at, _ in placed]
        raster = Raster(_around(None, spots), letter, scene.texts, scene.spans)
        corners: list[Spot] = []
        for together in spots_together(spots, letter, scene.texts):
            group = Group([placed[k][1] for k in together], size, letter)
            at = spots[together[0]]
            place = best_place(at, group.full, group.bare, letter, raster, scene.texts)
            group.draw(pen, place)
            raster.take(place.box)
            corners += [place.box[:2], place.box[2:]]
        box = _around(box, corners)
        marked = _around(None, [*spots, *corners])
        legend = Legend(pen, letter, size)
        legend.draw(
            lambda wide, tall: _beside(marked, box, scene, wide, tall, letter), box[3] - box[1], self._head(scene),
            self._listed[scene.name],
        )  # fmt: skip

    def _head(self, scene: Scene) -> list[str]:
        audit = self._audit
        levels = [(level, sum(f.level is level for f in audit.findings)) for level in Level]
        counts = ", ".join(f"{n} {level}{'s' if n != 1 else ''}" for level, n in levels)
        total, judged = len(audit.judgements), audit.judged()
        said = f"{total} dimension{'s' if total != 1 else ''}, {judged} judged, {total - judged} not judged; {counts}"
        if total == 0:
            said = f"nothing to check: no dimension in the drawing; {counts}"
        key = ", ".join(f"{shape} {level.value[0].upper()} = {level}" for level, shape in SHAPES.items())
        here, every = len(self._listed[scene.name]), len(audit.findings)
        where = f"; {here} of them are in this layout's table" if here != every else ""
        return [
            f"MARKED COPY of {harmless(self._name, 200)} (sha256 {audit.sha256[:12]}), made to show findings: not the "
            "print, and nothing to work from.",
            f"{said}{where}.",
            f"Balloons: {key}. All marks are on layer {self._layer}: take the layer away, and the original is left. "
            "'dimaudit explain' with the original and a handle in brackets [ ] shows the whole arithmetic.",
            self._caution,
        ]


def _around(box: Box | None, spots: Sequence[tuple[float, float]]) -> Box:
    """The box with the spots in it; a unit box where there is nothing."""
    corners = [*([box[:2], box[2:]] if box is not None else []), *spots]
    if not corners:
        return 0.0, 0.0, 1.0, 1.0
    xs, ys = [x for x, _ in corners], [y for _, y in corners]
    return min(xs), min(ys), max(xs), max(ys)


def _beside(marked: Box, box: Box, scene: Scene, wide: float, tall: float, letter: float) -> Spot:
    """The upper left corner of a free place for the table: to the right of all that is drawn; where that is far from
    what is marked, the first free place to the right of this."""
    gap = BESIDE * letter
    if not scene.spans + scene.texts or box[2] - marked[2] < FAR * letter:
        return box[2] + gap, box[3]
    left, top = marked[2] + gap, marked[3]
    for _ in range(MOST_STEPS):
        place = (left - gap, top - tall - gap, left + wide + gap, top + gap)
        reach = [x for x in (right_end(thing, place) for thing in (*scene.spans, *scene.texts)) if x is not None]
        if not reach:
            return left, top
        left = max(reach) + 1.01 * gap
    return box[2] + gap, box[3]


def _letter(own: float, box: Box) -> float:
    """Height of the marks' letters: the drawing's own, within what can be read at the drawing's size."""
    diagonal = hypot(box[2] - box[0], box[3] - box[1]) or 1.0
    return min(max(own or USUAL * diagonal, SMALLEST * diagonal), LARGEST * diagonal)
