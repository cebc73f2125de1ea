"""What notes and tables state about a part beside its dimensions: sizes of circles and arcs, places, depths."""

import re
from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from dimaudit.judge.depth import SideView
from dimaudit.model.drawing import Arc, Point
from dimaudit.model.hole_table import Column, HoleTable, HoleTables
from dimaudit.model.hole_table import DrawnHole as TableHole
from dimaudit.model.pointed import Carrier, HoleNote
from dimaudit.model.projection import Projection
from dimaudit.model.stated import Stated
from dimaudit.model.units import Unit, conversion
from dimaudit.model.view import Geometry, View
from dimaudit.scheme.analyse import Placed, Sized
from dimaudit.text.grammar import read_text
from dimaudit.text.markup import plain_text


def sizes_of_notes(
    notes: Sequence[HoleNote], views: Sequence[View], scales: Mapping[int, Fraction], unit: Unit | None
) -> Iterator[Sized]:
    """The circles that hole notes size: as many rings from the inside as the note gives diameters for.

    A note that points at no hole, or that counts further holes, sizes all that are as large: which ones it means is
    for other rules to say.
    """
    own_views = {id(v): v for v in views}
    for note in notes:
        if not note.holes:
            for view in views:
                yield from _as_stated(note, view, scales.get(id(view), Fraction(1)), unit)
            continue
        if note.view is None or id(note.view) not in own_views:
            continue
        sizes = sum(step.diameter is not None for step in note.call_out.steps) + 2 * (note.call_out.thread is not None)
        first = note.holes[0]
        several = note.call_out.count or any(word.upper().startswith("TYP") for word in note.call_out.words)
        alike = [h for h in note.view.drawn_holes if h.radii == first.radii] if several else [*note.holes]
        own = 1 if note.carrier is Carrier.DIMENSION else 0  # its own size is the dimension's
        for ring in first.rings[own:sizes]:
            yield Sized(note.view, tuple((h.centre, ring.radius) for h in (first, *alike)), note.handles[0])
        if own and several:
            ring = first.rings[0]
            yield Sized(note.view, tuple((h.centre, ring.radius) for h in alike if h is not first), note.handles[0])
        if several:
            scale = scales.get(id(note.view), Fraction(1))
            for view in views:
                if view is not note.view and scales.get(id(view), Fraction(1)) == scale:
                    same = [h for h in view.drawn_holes if h.radii == first.radii]
                    for ring in first.rings[:sizes] if same else ():
                        yield Sized(view, tuple((h.centre, ring.radius) for h in same), note.handles[0])


MINOR = Fraction(3, 4)
"""A thread's minor diameter is more than this share of its nominal one (ASME B1.1, ISO 724: from memory)."""


def _as_stated(note: HoleNote, view: View, scale: Fraction, unit: Unit | None) -> Iterator[Sized]:
    """The circles of a view that are as large as a note says that points at none of them."""
    bounds = []
    for step in note.call_out.steps:
        if step.diameter is not None:
            factor = _into(step.diameter.unit, unit)
            bounds.append(((step.diameter.value - step.diameter.step / 2) * factor,
                           (step.diameter.value + step.diameter.step / 2) * factor))  # fmt: skip
    if note.call_out.thread is not None and not note.call_out.thread.pipe:
        major = note.call_out.thread.diameter * _into(note.call_out.thread.unit, unit)
        bounds.append((major * MINOR, major))
    for low, high in bounds:
        for hole in view.drawn_holes:
            for ring in hole.rings:
                if low <= 2 * ring.radius / scale <= high:
                    yield Sized(view, ((hole.centre, ring.radius),), note.handles[0])


def _into(own: Unit | None, unit: Unit | None) -> Fraction:
    return Fraction(1) if own is None or unit is None else conversion(own, unit)


_ALL_ROUNDS = re.compile(r"\b(?:FILLETS?|RADII|ROUNDS?|CORNERS?)\b", re.IGNORECASE)


def sizes_of_words(geometry: Geometry) -> Iterator[Sized]:
    """'FILLETS R.25 UNLESS NOTED': all arcs of that radius in the space, view by view."""
    radii = set()
    for note in geometry.space.notes:
        for line in plain_text(note.text).splitlines():
            if _ALL_ROUNDS.search(line):
                for token in line.split():
                    reading = read_text(token.rstrip(".,;"))
                    if isinstance(reading, Stated):
                        radii.add((reading.value, note.origin.handle))
    for view in geometry.views if radii else ():
        for value, handle in sorted(radii):
            rounds = tuple(
                (view.place(s.centre), view.radius(s.radius).value)
                for s in view.shapes
                if isinstance(s, Arc) and view.radius(s.radius).value == value
            )
            if rounds:
                yield Sized(view, rounds, handle)


def tables_say(tables: HoleTables, geometry: Geometry) -> Iterator[Sized | Placed]:
    """The holes that a table lists: their sizes, and their places from its origin."""
    view_of = {s.origin.handle: view for view in geometry.views for s in view.shapes}
    for table in tables.tables:
        for row in table.rows:
            for hole in dict.fromkeys(([row.hole] if row.hole is not None else []) + [*row.tagged]):
                view = next((view_of[h] for h in hole.handles if h in view_of), None)
                if view is None:
                    continue
                centre = view.place(hole.at)
                if Column.SIZE in row.cells:
                    yield from _listed(view, centre, hole, row.cells[Column.SIZE].handle)
                if table.origin is not None and hole is row.hole:
                    yield from _from_origin(view, centre, table, row.cells)


def _listed(view: View, centre: Point, hole: TableHole, handle: str) -> Iterator[Sized]:
    own = frozenset(hole.handles)
    for drawn in view.drawn_holes:
        if drawn.centre == centre and not own.isdisjoint(drawn.handles):
            for ring in drawn.rings:
                yield Sized(view, ((centre, ring.radius),), handle)


def _from_origin(view: View, centre: Point, table: HoleTable, cells: Mapping[Column, object]) -> Iterator[Placed]:
    assert table.origin is not None
    origin = view.place(table.origin)
    for axis, column in ((0, Column.X), (1, Column.Y)):
        if column in cells and origin[axis] != centre[axis]:
            yield Placed(view, axis, (origin[axis], centre[axis]), table.handle)


def depths_of_notes(
    notes: Sequence[HoleNote], links: Sequence[Projection], scales: Mapping[int, Fraction], unit: Unit | None
) -> Iterator[Placed]:
    """Bottoms of holes in a view in line: those of the note's own hole, and what is as deep below a face as it says.

    Whether the depth is the drawn one is for another rule to say.
    """
    for note in notes:
        for link in links:
            if note.view is None or not (note.view is link.first or note.view is link.second):
                continue
            side = link.second if note.view is link.first else link.first
            if note.holes and next(_depths(note), None) is not None:
                hole, seen = note.holes[0], SideView(side, link.axis)
                for ring in hole.rings:
                    bore = seen.bore(hole.centre[link.axis], ring.radius, hole.rings[-1].radius)
                    if bore is not None and not bore.through:
                        yield Placed(side, 1 - link.axis, (bore.face, bore.bottom), note.handles[0])
            levels = (side.xs, side.ys)[1 - link.axis]
            known = {key: value.value for key, value in levels.values.items()}
            faces = {known[end] for end in side.extent[1 - link.axis] if end in known}
            scale = scales.get(id(side), Fraction(1))
            for depth in _depths(note):
                factor = _into(depth.unit, unit) * scale
                low, high = (depth.value - depth.step / 2) * factor, (depth.value + depth.step / 2) * factor
                for level in sorted(set(known.values())):
                    for face in sorted(faces):
                        if low <= abs(level - face) <= high:
                            yield Placed(side, 1 - link.axis, (face, level), note.handles[0])


def _depths(note: HoleNote) -> Iterator[Stated]:
    for step in note.call_out.steps:
        if step.depth is not None:
            yield step.depth
    if note.call_out.thread_depth is not None:
        yield note.call_out.thread_depth
