"""Hole tables tied to the drawn holes: by the tags beside the holes, else by their places."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace

from dimaudit.attach.hole_fields import Field, Hole, hole_fields
from dimaudit.attach.hole_tags import TagMarks, TagTexts, tag_of
from dimaudit.attach.separator import drawing_separator
from dimaudit.attach.table_grid import Grid, find_grids
from dimaudit.attach.table_origin import Axes, Fit, Place, Rows, counted, find_origin, left_over
from dimaudit.model.attached import Attached
from dimaudit.model.drawing import Point, Space
from dimaudit.model.hole_table import Cell, Column, DrawnHole, HoleTable, HoleTables, Loose, TableRow
from dimaudit.model.settings import Lengths
from dimaudit.model.units import Unit
from dimaudit.model.view import Geometry
from dimaudit.text.table_words import ALL_HOLES


def attach_hole_tables(
    geometries: Sequence[Geometry], attached: Sequence[Attached], lengths: Lengths, unit: Unit | None
) -> HoleTables:
    """All hole tables of the drawing, each tied to the view that its rows fit."""
    separator = drawing_separator(geometries)
    grids = [(g.space, grid) for g in geometries for grid in find_grids(g.space.notes, separator, unit)]
    if not grids:
        return HoleTables()
    taken = {handle for _, grid in grids for handle in grid.handles}
    fields = list(hole_fields(geometries, attached, unit, float(lengths.near)))
    texts = TagTexts()
    tables: dict[str, HoleTable] = {}
    claimed: dict[str, str] = {}
    for space, grid in grids:
        tags = [tag_of(row[Column.TAG].text) if Column.TAG in row else "" for row in grid.rows]
        marks = {id(f): texts.marks(f, tags, taken, float(lengths.near)) for f in fields}
        tying = _Tying(grid, space, fields, tags, marks)
        table = tying.table()
        if table is not None:
            before = tables.get(table.handle)
            if before is None or (before.reason and not table.reason):  # a block shows it in several places
                tables[table.handle] = table
            claimed |= dict.fromkeys(grid.handles, "hole table") | tying.claimed
    return HoleTables(tuple(tables.values()), claimed)


class _Tying:
    """One table against all fields."""

    def __init__(
        self, grid: Grid, space: Space, fields: Sequence[Field], tags: Sequence[str], marks: dict[int, TagMarks]
    ) -> None:
        self.grid, self.space, self.fields, self.marks = grid, space, fields, marks
        self.places = [_place(row) for row in grid.rows] if Column.X in grid.header else []
        self.tags = tags
        times = Counter(tags)
        self.own = [tag if times[tag] == 1 else "" for tag in tags]
        """The tags that name one row; several rows of one tag are one kind of hole."""
        self.claimed: dict[str, str] = {}
        """Tags and marks on the drawing that were used."""

    def table(self) -> HoleTable | None:
        """The table, tied as far as it can be; None where nothing says that it is about holes."""
        bare = HoleTable(
            self.grid.handles[0], self.space.name, next(iter(self.grid.header.values())).at, self.grid.header,
            self.grid.title, tuple(TableRow(row) for row in self.grid.rows),
        )  # fmt: skip
        if not self.places:
            return self._by_tags(bare)
        fit, reason, remedy = find_origin(Rows(self.places, self.own, self.marks), self.fields)
        if fit is not None:
            return self._tied(bare, fit)
        sure = self.grid.names_holes or Column.SIZE in self.grid.header or any(m.all for m in self.marks.values())
        return replace(bare, reason=reason, remedy=remedy) if sure else None

    def _by_tags(self, bare: HoleTable) -> HoleTable | None:
        """Sizes and quantities by tag: every hole with the tag beside it, in whichever view that has tags.

        Where its words do not speak of holes, it is a table of holes if each of its tags is drawn beside one.
        """
        if not self.grid.names_holes and not any(
            all(any(m.hole for m in marks.of(tag)) for tag in self.tags) for marks in self.marks.values()
        ):
            return None
        field = max(self.fields, key=lambda f: len(self.marks[id(f)].all), default=None)
        if field is None or not self.marks[id(field)].all:
            why, what = "none of its tags is drawn beside a hole", "put the tags beside the holes"
            return replace(bare, reason=why, remedy=what)
        rows = []
        axes = (field.factors[-1], field.factors[-1])
        self._claim(self.marks[id(field)])
        for row, tag in zip(bare.rows, self.tags, strict=True):
            holes = [m.hole for m in self.marks[id(field)].of(tag)]
            sure = list(dict.fromkeys(h for h in holes if h is not None)) if None not in holes else []
            rows.append(replace(row, tagged=tuple(_drawn(h, field, None, axes) for h in sure)))
        return replace(bare, rows=tuple(rows), view=field.name)

    def _claim(self, marks: TagMarks) -> None:
        self.claimed |= {m.handle: "tag of a hole table" for tag in set(self.tags) for m in marks.of(tag) if m.hole}

    def _tied(self, bare: HoleTable, fit: Fit) -> HoleTable:
        field, marks = fit.field, self.marks[id(fit.field)]
        met = {id(hole) for hole in fit.agreeing if hole is not None}
        self._claim(marks)
        if fit.start.handle:
            self.claimed[fit.start.handle] = "origin of a hole table"
        rows = []
        for row, hole, tag, place in zip(bare.rows, fit.agreeing, self.own, self.places, strict=True):
            if hole is not None:
                rows.append(replace(row, hole=_drawn(hole, field, fit.start.at, fit.axes)))
                continue
            meant, guessed = marks.hole(tag), False
            if meant is None and not marks.of(tag):
                far = self._elsewhere(tag, field)
                if far is not None:
                    rows.append(replace(row, hole=far))
                    continue
                meant = left_over(field, fit.start.at, fit.axes, place, met)
                guessed = meant is not None
            if meant is not None:
                met.add(id(meant))
                row = replace(row, hole=_drawn(meant, field, fit.start.at, fit.axes), guessed=guessed)
            rows.append(row)
        return replace(
            bare, rows=tuple(rows), origin=fit.start.at, origin_text=fit.start.text + fit.way, view=field.name,
            loose=tuple(self._loose(fit, met)) if self.grid.whole else (),
        )  # fmt: skip

    def _elsewhere(self, tag: str, field: Field) -> DrawnHole | None:
        """The hole of a tag that stands in another view: its place is counted from there, and is not judged."""
        for other in self.fields:
            hole = self.marks[id(other)].hole(tag)
            if other is not field and hole is not None:
                return _drawn(hole, other, None, (other.factors[-1], other.factors[-1]))
        return None

    def _loose(self, fit: Fit, met: set[int]) -> Iterator[Loose]:
        """Holes that the table leaves out though a tag of its series is at them, or though it says it has all."""
        known, field = set(self.tags), fit.field
        met = set(met)
        for mark in self.marks[id(field)].all:
            hole = mark.hole
            if mark.text not in known and hole is not None and id(hole) not in met:
                met.add(id(hole))
                yield Loose(_drawn(hole, field, fit.start.at, fit.axes), mark.text, mark.handle)
        if not ALL_HOLES.search(self.grid.title.upper()):
            return
        sizes = {hole.radii for hole in fit.agreeing if hole is not None}
        for hole in field.holes:
            if hole.radii in sizes and id(hole) not in met:
                yield Loose(_drawn(hole, field, fit.start.at, fit.axes), "")


def _place(row: dict[Column, Cell]) -> Place:
    x, y = row[Column.X].stated, row[Column.Y].stated
    assert x is not None  # a row without both is no row
    assert y is not None
    return x.value, y.value, x.step / 2, y.step / 2


def _drawn(hole: Hole, field: Field, start: Point | None, axes: Axes) -> DrawnHole:
    centre = None if start is None else counted(hole, start, axes)
    diameters = tuple(2 * r * abs(axes[1]) for r in hole.radii)
    return DrawnHole(centre, diameters, hole.centre, hole.handles, field.alike[hole.radii])
