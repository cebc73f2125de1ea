"""Hole tables tied to the drawn holes: by the tags beside the holes, else by their places.

The origin of a table is looked for among the places that a drafter would count from: the origin of the
ordinate dimensions, a mark 'X0 Y0', the corners of the part, its other corners and centres. It is the
one from which most rows agree exactly; without at least two thirds of them there is none, and nothing
is said about the places.
"""

import re
from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property
from math import hypot

from dimaudit.attach.separator import drawing_separator
from dimaudit.attach.table_grid import Grid, find_grids
from dimaudit.model.attached import Attached
from dimaudit.model.drawing import Circle, Kind, LineRole, Note, Point, Segment, Space
from dimaudit.model.geometry import FeatureKind
from dimaudit.model.hole_table import Cell, Column, DrawnHole, HoleTable, HoleTables, Loose, TableRow
from dimaudit.model.settings import Lengths
from dimaudit.model.units import Unit
from dimaudit.model.view import Geometry, View, crossing
from dimaudit.text.markup import plain_text
from dimaudit.text.places import size_text
from dimaudit.text.table_words import ALL_HOLES

FEWEST_ROWS = 2
NEARLY_ALL = Fraction(2, 3)
"""The share of the rows that must agree with an origin."""
MOST_CENTRELINES = 40
"""Crossings of centrelines are looked at in views with no more of them."""

# In heights of the tag's letters. Common practice, no source.
TAG_REACH = 3.0
TAG_UNSURE = 6.0
MARK_REACH = 10.0

_ORIGIN_MARK = re.compile(r"X ?=? ?0(?:[.,]0+)?[ ,;/]*Y ?=? ?0(?:[.,]0+)?|\(?0[ ,;]+0\)?|ORIGIN")
_SERIES = re.compile(r"([A-Z]{0,2})[0-9]{1,3}")


@dataclass(frozen=True, slots=True)
class _Hole:
    centre: Point
    radii: tuple[Fraction, ...]
    handles: tuple[str, ...]
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class _Start:
    """A place to count from."""

    at: Point
    rank: int
    """What a drafter would rather count from comes first; places of one rank are as good as each other."""
    text: str


@dataclass(frozen=True)
class _Field:
    """The holes of one view, or those of a space that are in no view."""

    name: str
    space: Space
    view: View | None
    holes: tuple[_Hole, ...]
    ordinates: tuple[Point, ...]
    factors: tuple[Fraction, ...]
    """True size over drawn size, as dimensions of the view have it."""
    unit: Unit | None

    @cached_property
    def ordered(self) -> tuple[list[_Hole], list[float]]:
        holes = sorted(self.holes, key=lambda h: h.x)
        return holes, [h.x for h in holes]

    def near(self, x: float, y: float, reach: float) -> Iterator[_Hole]:
        holes, keys = self.ordered
        for k in range(bisect_left(keys, x - reach), len(keys)):
            if keys[k] > x + reach:
                return
            if abs(holes[k].y - y) <= reach:
                yield holes[k]

    @cached_property
    def starts(self) -> tuple[_Start, ...]:
        """Places to count from, each once, the likeliest first."""
        found: dict[Point, _Start] = {}
        for start in self._starts():
            if start.at not in found or start.rank < found[start.at].rank:
                found[start.at] = start
        return tuple(sorted(found.values(), key=lambda s: s.rank))

    def _starts(self) -> Iterator[_Start]:
        for at in self.ordinates:
            yield _Start(at, 0, "the origin of the ordinate dimensions")
        corners = [at for at, kind in self._places if kind is not FeatureKind.CENTRE]
        if corners:
            (low, high), (bottom, top) = ((min(c), max(c)) for c in zip(*corners, strict=True))
            yield _Start((low, bottom), 2, "the lower left corner")
            yield _Start((low, top), 3, "the upper left corner")
            yield _Start((high, bottom), 3, "the lower right corner")
            yield _Start((high, top), 3, "the upper right corner")
            yield _Start(((low + high) / 2, (bottom + top) / 2), 3, "the middle of the part")
        for at, kind in self._places:
            yield _Start(at, 4, f"the {kind} at {self._at(at)}")
        for hole in self.holes:
            yield _Start(hole.centre, 4, f"the centre of the hole at {self._at(hole.centre)}")
        zero = Fraction(0)
        yield _Start((zero, zero), 4, "the origin of the drawing")

    def _at(self, p: Point) -> str:
        return f"({size_text(p[0], self.unit)}, {size_text(p[1], self.unit)})"

    @cached_property
    def _places(self) -> list[tuple[Point, FeatureKind]]:
        if self.view is None:
            ends = [p for s in self.space.shapes if isinstance(s, Segment) for p in (s.a, s.b)]
            return [(p, FeatureKind.CORNER) for p in ends]
        wanted = (FeatureKind.CORNER, FeatureKind.SHARP_CORNER, FeatureKind.CENTRE, FeatureKind.POINT)
        places = [
            (f.at, f.kind)
            for f in self.view.points
            if f.kind in wanted and any(s.origin.role is not LineRole.CENTRE for s in f.shapes)
        ]
        lines = self.view.centrelines if len(self.view.centrelines) <= MOST_CENTRELINES else ()
        for k, first in enumerate(lines):
            for second in lines[k + 1 :]:
                at = crossing(first.a, first.b, second.a, second.b)
                if at is not None:
                    places.append((self.view.place(at), FeatureKind.CENTRE))
        return places


def attach_hole_tables(
    geometries: Sequence[Geometry], attached: Sequence[Attached], lengths: Lengths, unit: Unit | None
) -> HoleTables:
    """All hole tables of the drawing, each tied to the view that its rows fit."""
    separator = drawing_separator(geometries)
    grids = [(g.space, grid) for g in geometries for grid in find_grids(g.space.notes, separator, unit)]
    if not grids:
        return HoleTables()
    taken = {handle for _, grid in grids for handle in grid.handles}
    fields = list(_fields(geometries, attached, unit))
    tables: dict[str, HoleTable] = {}
    claimed: dict[str, str] = {}
    for space, grid in grids:
        table = _Tying(grid, space, fields, geometries, taken, float(lengths.near)).table()
        if table is not None:
            before = tables.get(table.handle)
            if before is None or (before.reason and not table.reason):  # a block shows it in several places
                tables[table.handle] = table
            claimed |= dict.fromkeys(grid.handles, "hole table")
    return HoleTables(tuple(tables.values()), claimed)


def _fields(geometries: Sequence[Geometry], attached: Sequence[Attached], unit: Unit | None) -> Iterator[_Field]:
    of_view: dict[int, list[Attached]] = defaultdict(list)
    for a in attached:
        if a.view is not None:
            of_view[id(a.view)].append(a)
    for geometry in geometries:
        space = geometry.space
        inside: set[int] = set()
        for view in geometry.views:
            inside |= view.members
            own = of_view[id(view)]
            ordinates = tuple(dict.fromkeys(filter(None, map(_origin_of, own))))
            factors = tuple(dict.fromkeys([Fraction(1), *(a.dimension.true_factor for a in own)]))
            holes = tuple(_hole(h.centre, h.radii, h.handles) for h in view.holes)
            if holes:
                yield _Field(view.name, space, view, holes, ordinates, factors, unit)
        groups: dict[Point, list[Circle]] = defaultdict(list)
        for shape in space.shapes:
            if isinstance(shape, Circle) and shape.origin.role is not LineRole.CENTRE and id(shape) not in inside:
                groups[shape.centre].append(shape)
        loose = tuple(
            _hole(centre, tuple(sorted({c.radius for c in own})), tuple(c.origin.handle for c in own))
            for centre, own in groups.items()
        )
        if loose:
            yield _Field("", space, None, loose, (), (Fraction(1),), unit)


def _hole(centre: Point, radii: tuple[Fraction, ...], handles: tuple[str, ...]) -> _Hole:
    return _Hole(centre, radii, handles, float(centre[0]), float(centre[1]))


def _origin_of(attached: Attached) -> Point | None:
    """Where an ordinate dimension counts from, on the recovered levels of its view."""
    if attached.dimension.kind is not Kind.ORDINATE or attached.view is None or attached.dimension.unmeasurable:
        return None
    end = next((e for e in attached.ends if e.group == 10 and e.feature is not None), None)
    if end is not None and end.feature is not None:
        return end.feature.at
    return attached.view.place(attached.dimension.points[10])


Axes = tuple[Fraction, Fraction]
"""True size over drawn size along x and y; below zero where a place is counted to the left, or downwards."""

_WAYS = ((1, 1, ""), (1, -1, ", Y downwards"), (-1, 1, ", X to the left"), (-1, -1, ", X to the left, Y downwards"))


@dataclass(frozen=True, slots=True)
class _Fit:
    """A field looked at from one origin."""

    field: _Field
    start: _Start
    axes: Axes
    way: str
    agreeing: tuple[_Hole | None, ...]
    """For each row the hole at its place, or the hole of its tag if that is at its place."""

    @property
    def count(self) -> int:
        return sum(hole is not None for hole in self.agreeing)


@dataclass(frozen=True, slots=True)
class _Mark:
    """A tag drawn beside holes: the holes near it, the nearest first, with their distances in letter heights."""

    text: str
    handle: str
    near: tuple[tuple[float, _Hole], ...]

    @property
    def hole(self) -> _Hole | None:
        """The one hole that is meant; None where two are about as near."""
        if not self.near or self.near[0][0] > TAG_REACH:
            return None
        if len(self.near) > 1 and self.near[1][0] < self.near[0][0] + 1:
            return None
        return self.near[0][1]


class _Tying:
    """One table against all fields."""

    def __init__(
        self, grid: Grid, space: Space, fields: Sequence[_Field], geometries: Sequence[Geometry], taken: set[str],
        near: float,
    ) -> None:  # fmt: skip
        self.grid, self.space, self.fields, self.near = grid, space, fields, near
        self.places = [self._place(row) for row in grid.rows] if Column.X in grid.header else []
        self.tags = [_tag(row[Column.TAG].text) if Column.TAG in row else "" for row in grid.rows]
        self.series = {found.group(1) for tag in self.tags if (found := _SERIES.fullmatch(tag))}
        self.marks = {id(f): self._marks(f, geometries, taken) for f in fields}

    @staticmethod
    def _place(row: dict[Column, Cell]) -> tuple[Fraction, Fraction, Fraction, Fraction]:
        x, y = row[Column.X].stated, row[Column.Y].stated
        assert x is not None  # a row without both is no row
        assert y is not None
        return x.value, y.value, x.step / 2, y.step / 2

    def _marks(self, field: _Field, geometries: Sequence[Geometry], taken: set[str]) -> list[_Mark]:
        wanted = {tag for tag in self.tags if tag}
        found: list[_Mark] = []
        for note in field.space.notes:
            text = _tag(plain_text(note.text)) if len(note.text) < 40 else ""
            if note.origin.handle not in taken and text and (text in wanted or self._in_series(text)):
                near = _holes_near(note, text, field.holes)
                if near:
                    found.append(_Mark(text, note.origin.handle, near))
        for geometry in geometries:
            for leader in geometry.space.leaders:
                text = _tag(plain_text(leader.text)) if leader.text and len(leader.text) < 40 else ""
                if text and (text in wanted or self._in_series(text)):
                    hit = [h for h in field.holes for tip in leader.tips if _on_hole(tip, h, self.near)]
                    found += [_Mark(text, leader.note or leader.origin.handle, ((0.0, h),)) for h in hit[:1]]
        leading = {m.handle for m in found if m.near[0][0] == 0.0}  # what a leader says is surer than what is near
        return [m for m in found if m.handle not in leading or m.near[0][0] == 0.0]

    def _in_series(self, text: str) -> bool:
        found = _SERIES.fullmatch(text)
        return found is not None and found.group(1) in self.series and bool(found.group(1))

    def table(self) -> HoleTable | None:
        """The table, tied as far as it can be; None where nothing says that it is about holes."""
        bare = HoleTable(
            self.grid.handles[0], self.space.name, next(iter(self.grid.header.values())).at, self.grid.header,
            self.grid.title, tuple(TableRow(row) for row in self.grid.rows),
        )  # fmt: skip
        if not self.places:
            return self._by_tags(bare)
        fit, reason = self._fit()
        if fit is not None:
            return self._tied(bare, fit)
        sure = self.grid.names_holes or Column.SIZE in self.grid.header or any(self.marks.values())
        return replace(bare, reason=reason) if sure else None

    def _by_tags(self, bare: HoleTable) -> HoleTable:
        """Sizes and quantities by tag: every hole with the tag beside it, in whichever view that has tags."""
        field = max(self.fields, key=lambda f: len(self.marks[id(f)]), default=None)
        if field is None or not self.marks[id(field)]:
            return replace(bare, reason="none of its tags is drawn beside a hole")
        rows = []
        axes = (field.factors[-1], field.factors[-1])
        for row, tag in zip(bare.rows, self.tags, strict=True):
            holes = [m.hole for m in self.marks[id(field)] if m.text == tag]
            sure = list(dict.fromkeys(h for h in holes if h is not None)) if None not in holes else []
            rows.append(replace(row, tagged=tuple(_drawn(h, field, None, axes) for h in sure)))
        return replace(bare, rows=tuple(rows), view=field.name)

    def _fit(self) -> tuple[_Fit | None, str]:
        """The origin from which most rows agree, or why there is none."""
        if not self.fields:
            return None, "no hole is drawn"
        best: list[_Fit] = []
        for right, up, way in _WAYS:
            usual = best[0].count if best else 0  # the usual way is kept where an unusual one fits no better
            for field in self.fields:
                starts = [*self._marked(field), *field.starts]
                for factor in field.factors:
                    axes = (right * factor, up * factor)
                    for start in starts:
                        agreeing = self._agreeing(field, start.at, axes)
                        if agreeing is None:
                            continue
                        fit = _Fit(field, start, axes, way, agreeing)
                        if not best or fit.count > best[0].count:
                            best = [fit]
                        elif fit.count == best[0].count > usual:
                            best.append(fit)
            if best and best[0].count == len(self.places):
                break
        if not best:
            return None, "no corner or centre was found from which at least two thirds of its rows meet a hole"
        lowest = min(fit.start.rank for fit in best)
        first = [fit for fit in best if fit.start.rank == lowest]
        others = {fit.start.at for fit in first if fit.field is first[0].field}
        if len(others) > 1 and best[0].count < len(self.places):
            return None, "two places fit equally well as its origin, and each leaves other rows without a hole"
        return first[0], ""

    def _marked(self, field: _Field) -> Iterator[_Start]:
        """The corner or centre nearest to a text that marks the origin."""
        for note in field.space.notes:
            text = plain_text(note.text).upper() if len(note.text) < 40 else ""
            if not _ORIGIN_MARK.fullmatch(text.strip()):
                continue
            x, y = float(note.at[0]), float(note.at[1])
            reach = MARK_REACH * float(note.height)
            near = [(hypot(float(s.at[0]) - x, float(s.at[1]) - y), s) for s in field.starts]
            off, start = min(near, key=lambda pair: pair[0])
            if off <= reach:
                yield _Start(start.at, 1, f'the mark "{text.strip()}"')

    def _agreeing(self, field: _Field, start: Point, axes: Axes) -> tuple[_Hole | None, ...] | None:
        """For each row the hole that it agrees with; None as soon as too many agree with none."""
        spare = len(self.places) - max(FEWEST_ROWS, -(-len(self.places) * NEARLY_ALL // 1))
        found: list[_Hole | None] = []
        ox, oy, across, up = float(start[0]), float(start[1]), float(axes[0]), float(axes[1])
        for k, (x, y, half_x, half_y) in enumerate(self.places):
            hole = None
            reach = float(max(half_x, half_y)) / abs(up) * 1.01 + 1e-9
            for candidate in field.near(ox + float(x) / across, oy + float(y) / up, reach):
                cx, cy = _counted(candidate, start, axes)
                if abs(cx - x) <= half_x and abs(cy - y) <= half_y and self._may_be(k, candidate, field):
                    hole = candidate
                    break
            if hole is None:
                spare -= 1
                if spare < 0:
                    return None
            found.append(hole)
        return tuple(found)

    def _may_be(self, k: int, hole: _Hole, field: _Field) -> bool:
        """Whether the row's tag, if it is drawn once, is drawn by this hole or so near that it may be its."""
        own = [m for m in self.marks[id(field)] if m.text == self.tags[k]]
        return len(own) != 1 or any(h is hole for _, h in own[0].near)

    def _tied(self, bare: HoleTable, fit: _Fit) -> HoleTable:
        field = fit.field
        met = {id(hole) for hole in fit.agreeing if hole is not None}
        marks = self.marks[id(field)]
        rows = []
        for k, (row, hole) in enumerate(zip(bare.rows, fit.agreeing, strict=True)):
            guessed = False
            if hole is None:
                own = [m.hole for m in marks if m.text == self.tags[k]]
                hole = own[0] if len(own) == 1 else None
                if hole is None and not own:
                    hole = self._left_over(k, fit, met)
                    guessed = hole is not None
                if hole is not None:
                    met.add(id(hole))
            drawn = None if hole is None else _drawn(hole, field, fit.start.at, fit.axes)
            rows.append(replace(row, hole=drawn, guessed=guessed))
        return replace(
            bare, rows=tuple(rows), origin=fit.start.at, origin_text=fit.start.text + fit.way, view=field.name,
            loose=tuple(self._loose(fit, met)) if self.grid.whole else (),
        )  # fmt: skip

    def _left_over(self, k: int, fit: _Fit, met: set[int]) -> _Hole | None:
        """The one hole that no other row has and that shares one of the row's coordinates."""
        x, y, half_x, half_y = self.places[k]
        found = []
        for hole in fit.field.holes:
            if id(hole) in met:
                continue
            cx, cy = _counted(hole, fit.start.at, fit.axes)
            if abs(cx - x) <= half_x or abs(cy - y) <= half_y:
                found.append(hole)
        return found[0] if len(found) == 1 else None

    def _loose(self, fit: _Fit, met: set[int]) -> Iterator[Loose]:
        """Holes that the table leaves out though a tag of its series is at them, or though it says it has all."""
        known, field = set(self.tags), fit.field
        said: set[int] = set()
        for mark in self.marks[id(field)]:
            if mark.text not in known and mark.hole is not None and id(mark.hole) not in met | said:
                said.add(id(mark.hole))
                yield Loose(_drawn(mark.hole, field, fit.start.at, fit.axes), mark.text, mark.handle)
        if not ALL_HOLES.search(self.grid.title.upper()):
            return
        sizes = {hole.radii for hole in fit.agreeing if hole is not None}
        for hole in field.holes:
            if hole.radii in sizes and id(hole) not in met | said:
                yield Loose(_drawn(hole, field, fit.start.at, fit.axes), "")


def _counted(hole: _Hole, start: Point, axes: Axes) -> Point:
    """The hole's centre in true size, counted from `start`."""
    return (hole.centre[0] - start[0]) * axes[0], (hole.centre[1] - start[1]) * axes[1]


def _drawn(hole: _Hole, field: _Field, start: Point | None, axes: Axes) -> DrawnHole:
    centre = None if start is None else _counted(hole, start, axes)
    alike = sum(other.radii == hole.radii for other in field.holes)
    return DrawnHole(centre, tuple(2 * r * abs(axes[1]) for r in hole.radii), hole.centre, hole.handles, alike)


def _tag(text: str) -> str:
    """A tag as it is compared: in capitals, without blanks or a full stop."""
    return "".join(text.upper().split()).rstrip(".:")


def _holes_near(note: Note, text: str, holes: Iterable[_Hole]) -> tuple[tuple[float, _Hole], ...]:
    """Holes whose edge is near a tag, or that it stands in, with the distance in heights of its letters."""
    h = float(note.height)
    if h <= 0:
        return ()
    x, y = float(note.at[0]), float(note.at[1])
    spots = [(x, y), (x + 0.4 * h * len(text), y + 0.5 * h), (x + 0.8 * h * len(text), y), (x + 0.4 * h, y - 0.5 * h)]
    found = []
    for hole in holes:
        off = min(hypot(hole.x - sx, hole.y - sy) for sx, sy in spots) - float(hole.radii[-1])
        if off < 0 and text.isdigit():
            continue  # a number in a circle is a balloon
        if off <= TAG_UNSURE * h:
            found.append((max(off, 0.0) / h, hole))
    return tuple(sorted(found, key=lambda pair: pair[0]))


def _on_hole(tip: Point, hole: _Hole, near: float) -> bool:
    off = hypot(float(tip[0]) - hole.x, float(tip[1]) - hole.y)
    return any(abs(off - float(r)) <= near for r in hole.radii) or off <= near
