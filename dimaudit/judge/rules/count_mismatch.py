"""The number of places that a call-out states against the number of equal holes or arcs that are drawn."""

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import partial

from dimaudit.judge.called import called, note_finding
from dimaudit.judge.check import Rule, Sheet
from dimaudit.judge.saying import finding, named
from dimaudit.model.audit import Finding, Judgement, Level
from dimaudit.model.drawing import Arc, Circle, Kind, LineRole, Point
from dimaudit.model.pointed import HoleNote
from dimaudit.model.rings import DrawnHole, drawn_holes
from dimaudit.model.stated import Stated
from dimaudit.model.view import View

NAME = "count-mismatch"
ELSEWHERE = ("SIDE", "EACH", "END", "OPP", "FAR", "NEAR", "PER ", "SECTION", "ASSY", "ASSEMBLY")
"""Words that say that not all places are in this view. Common practice, no source."""

EDGES = ("DEBURR", "BREAK", "REMOVE")
"""How words begin that are about the edges of the holes: their BOTH SIDES counts no holes."""


def check(sheet: Sheet) -> Iterator[Finding]:
    drawn = _Drawn(sheet)
    for note in sheet.hole_notes:
        if note.call_out.count is not None and note.holes:
            if note.view is not None:
                yield from _holes(note, note.view, note.call_out.count, drawn)
            else:
                yield from _loose(note, note.call_out.count, drawn)
    for judgement in sheet.judgements:
        reading = judgement.reading
        if isinstance(reading, Stated) and reading.count is not None and (arc := _arc(judgement)) is not None:
            yield from _arcs(judgement, reading, reading.count, arc, sheet, drawn)
    for radius in sheet.radius_notes:
        stated, shape = radius.stated, radius.arcs[0] if radius.arcs else None
        if stated.count is not None and isinstance(shape, Arc):
            say = partial(note_finding, NAME, note=radius)
            yield from _equal_arcs(radius.view, shape, stated, stated.count, called(radius), sheet, drawn, say)


@dataclass(frozen=True, slots=True)
class _Tally:
    """What is drawn in the view by each way to count, what all call-outs for it say together, and the whole sheet."""

    ways: tuple[int, ...]
    stated: int
    """The counts of all call-outs of these places together."""
    everywhere: int
    """Places of that radius in all linework of the drawing, other views and sheets among it."""
    handles: tuple[str, ...] = ()
    """The circles of the equal holes."""


class _Drawn:
    """What is drawn in the views, for counting."""

    def __init__(self, sheet: Sheet) -> None:
        self._sheet = sheet
        self._beside: dict[int, dict[Point, frozenset[Fraction]]] = {}
        self._tallies: dict[tuple[int, _Look, frozenset[Fraction]], _Tally] = {}
        self._all: list[tuple[Fraction, int]] | None = None
        """Radii of all holes of the drawing in order, each with the number of its hole."""

    def tally(self, note: HoleNote, view: View) -> _Tally:
        """The same for all call-outs of equal holes."""
        hole = note.holes[0]
        key = (id(view), _look(hole), self._sizes(view)[hole.centre])
        if key not in self._tallies:
            self._tallies[key] = self._counted(hole, view)
        return self._tallies[key]

    def _counted(self, hole: DrawnHole, view: View) -> _Tally:
        smallest = hole.rings[0].radius
        own = view.drawn_holes
        alike = [h for h in own if smallest in h.radii]
        same = [h for h in alike if h.radii == hole.radii]
        seen = [h for h in same if _look(h) == _look(hole)]
        sizes = self._sizes(view)
        meant = [h for h in alike if sizes[h.centre] == sizes[hole.centre]]
        ways = tuple(sorted({len(alike), len(same), len(seen), len(meant)}))
        centres = {h.centre for h in alike}
        claims: dict[tuple[str, ...], int] = {}
        pointed: set[Point] = set()
        for other in self._sheet.hole_notes:
            if other.view is view and other.holes and other.holes[0].centre in centres:
                claims[other.handles] = other.call_out.count or len(other.holes)
                pointed.update(h.centre for h in other.holes)
        for judgement in self._sheet.judgements:  # plain diameters: one hole each
            shape, dimension = _round(judgement), judgement.attached.dimension
            if shape is not None and judgement.attached.view is view and dimension.kind is Kind.DIAMETER:
                centre = view.place(shape.centre)
                if centre in centres - pointed:
                    claims[dimension.handle,] = 1
                    pointed.add(centre)
        handles = tuple(h for each in same for h in each.handles)
        return _Tally(ways, sum(claims.values()), self.everywhere(smallest), handles)

    def _sizes(self, view: View) -> dict[Point, frozenset[Fraction]]:
        """The radii about each centre, with those that miss it by a little: a fault of its own, and no other hole."""
        found = self._beside.get(id(view))
        if found is None:
            near = self._sheet.lengths.near
            row = sorted(view.drawn_holes, key=lambda h: h.centre)
            radii = [set(h.radii) for h in row]
            for i, first in enumerate(row):
                for j in range(i + 1, len(row)):
                    dx, dy = row[j].centre[0] - first.centre[0], row[j].centre[1] - first.centre[1]
                    if dx > near:
                        break
                    if abs(dy) <= near and dx * dx + dy * dy <= near * near:
                        radii[i] |= row[j].radii
                        radii[j] |= first.radii
            found = {h.centre: frozenset(r) for h, r in zip(row, radii, strict=True)}
            self._beside[id(view)] = found
        return found

    def everywhere(self, radius: Fraction) -> int:
        """Holes with a circle of that radius in all linework of the drawing."""
        if self._all is None:
            holes = (h for g in self._sheet.geometries for h in drawn_holes(g.space.shapes))
            self._all = sorted((r, k) for k, h in enumerate(holes) for r in h.radii)
        snap = self._sheet.lengths.snap
        first = bisect_left(self._all, (radius - snap,))
        last = bisect_left(self._all, (radius + snap, len(self._all)))
        return len({k for _, k in self._all[first:last]})

    def arcs(self, view: View, radius: Fraction) -> list[Arc]:
        """Arcs of that radius that are no hole, each once."""
        rings = {h for hole in view.drawn_holes for ring in hole.rings for h in ring.handles}
        found: dict[tuple[Point, Point, Point], Arc] = {}
        for shape in view.shapes:
            if isinstance(shape, Arc) and shape.origin.role is not LineRole.CENTRE:
                in_hole = shape.origin.handle in rings and any(
                    h.centre == view.place(shape.centre) for h in view.drawn_holes
                )
                if not in_hole and view.radius(shape.radius).value == radius:
                    found.setdefault((view.place(shape.centre), view.place(shape.a), view.place(shape.b)), shape)
        return list(found.values())

    def arcs_everywhere(self, radius: Fraction) -> int:
        snap = self._sheet.lengths.snap
        return sum(
            isinstance(s, Arc) and abs(s.radius - radius) <= snap
            for g in self._sheet.geometries
            for s in g.space.shapes
        )


_Look = tuple[tuple[Fraction, bool, bool], ...]
"""Radius, full circle, hidden: for each ring of a hole."""
_RADII = (Kind.RADIUS, Kind.JOGGED_RADIUS)


def _look(hole: DrawnHole) -> "_Look":
    return tuple((ring.radius, ring.whole, ring.hidden) for ring in hole.rings)


def _round(judgement: Judgement) -> Arc | Circle | None:
    """The circle or arc that a radius or diameter dimension measures."""
    attached = judgement.attached
    if attached.dimension.kind not in (*_RADII, Kind.DIAMETER):
        return None
    shapes = (s for end in attached.ends if end.feature is not None for s in end.feature.shapes)
    return next((s for s in shapes if isinstance(s, (Arc, Circle))), None)


def _arc(judgement: Judgement) -> Arc | None:
    """The arc of a radius dimension; a full circle is a hole, and those are counted elsewhere."""
    shape = _round(judgement) if judgement.attached.dimension.kind in _RADII else None
    return shape if isinstance(shape, Arc) else None


def _holes(note: HoleNote, view: View, count: int, drawn: _Drawn) -> Iterator[Finding]:
    tally = drawn.tally(note, view)
    say = partial(note_finding, NAME, note=note, circles=tally.handles)
    yield from _compared(count, tally, note.call_out.words, view, called(note), "hole", Level.WARNING, say)


def _loose(note: HoleNote, count: int, drawn: _Drawn) -> Iterator[Finding]:
    """Holes in linework that no dimension belongs to: no view says which are meant, so all of the drawing counts."""
    everywhere = drawn.everywhere(note.holes[0].rings[0].radius)
    if count > everywhere and not _elsewhere(note.call_out.words):
        yield note_finding(
            NAME, Level.WARNING, note, f"{called(note)} counts more holes than are drawn",
            [f"stated {count}, equal holes drawn in the whole drawing: {everywhere}",
             "no dimension belongs to that linework: it may show only part of the holes"],
            f"draw the missing holes, or state {everywhere}X", note.holes[0].handles,
        )  # fmt: skip


def _elsewhere(words: Iterable[str]) -> bool:
    spoken = " ".join(w for w in words if not w.upper().startswith(EDGES)).upper()
    return any(word in spoken for word in ELSEWHERE)


def _arcs(
    judgement: Judgement, reading: Stated, count: int, arc: Arc, sheet: Sheet, drawn: _Drawn
) -> Iterator[Finding]:
    def say(*, level: Level, message: str, why: list[str], suggestion: str) -> Finding:
        return finding(NAME, level, judgement, sheet, message, why, suggestion)

    yield from _equal_arcs(judgement.attached.view, arc, reading, count, named(judgement), sheet, drawn, say)


def _equal_arcs(
    view: View | None, arc: Arc, reading: Stated, count: int, name: str, sheet: Sheet, drawn: _Drawn,
    say: Callable[..., Finding],
) -> Iterator[Finding]:  # fmt: skip
    if view is None:
        return
    radius = view.radius(arc.radius).value
    arcs = drawn.arcs(view, radius)
    if not arcs:
        return
    ways = tuple(sorted({len(arcs), len({view.place(a.centre) for a in arcs})}))
    stated: dict[Point, int] = defaultdict(int)
    for other in sheet.judgements:
        shape = _arc(other)
        if shape is not None and other.attached.view is view and view.radius(shape.radius).value == radius:
            place = view.place(shape.centre)
            own = other.reading.count if isinstance(other.reading, Stated) else None
            stated[place] = max(stated[place], own or 1)
    for note in sheet.radius_notes:
        if note.view is view and note.arcs and note.radius() == radius:
            place = view.place(note.arcs[0].centre)
            stated[place] = max(stated[place], note.stated.count or len(note.arcs))
    tally = _Tally(ways, sum(stated.values()), drawn.arcs_everywhere(arc.radius))
    yield from _compared(count, tally, reading.words, view, name, "arc", Level.NOTE, say)


def _compared(
    count: int, tally: _Tally, words: Iterable[str], view: View, name: str, what: str, surplus: Level,
    say: Callable[..., Finding],
) -> Iterator[Finding]:  # fmt: skip
    """Speaks only where no way to count, and no other call-out, explains the number."""
    low, high = tally.ways[0], tally.ways[-1]
    if low <= count <= high or tally.stated in tally.ways:
        return
    if _elsewhere(words):
        return
    if count < low:
        if tally.stated < low:
            rest = low - tally.stated
            lacking = f"{rest} {'has' if rest == 1 else 'have'} no size"
            yield say(
                level=surplus, message=f"{name} counts fewer {what}s than are drawn",
                why=[f"stated {count}, equal {what}s drawn in {view.name}: {low}",
                     f"all call-outs for them together state {tally.stated}: {lacking}"],
                suggestion=f"state {low}X, or give the other {what}s a size of their own",
            )  # fmt: skip
    elif count > tally.everywhere:
        sure = _whole(view) and count % high != 0
        why = [f"stated {count}, equal {what}s drawn in {view.name}: {high}, in the whole drawing: {tally.everywhere}"]
        if not sure:
            why.append("the view may show only part of them (half view, another side, another section)")
        yield say(
            level=Level.ERROR if sure else Level.WARNING, message=f"{name} counts more {what}s than are drawn",
            why=why, suggestion=f"draw the missing {what}s, or state {high}X",
        )  # fmt: skip


def _whole(view: View) -> bool:
    """Whether the view shows the whole part: a closed outline, and no centreline along a side of it."""
    if not any(profile.outer for profile in view.profiles):
        return False
    snap = view.xs.snap
    for line in view.centrelines:
        for axis in (0, 1):
            a, b = float(line.a[axis]), float(line.b[axis])
            if abs(a - b) <= snap and min(abs(a - edge) for edge in view.extent[axis]) <= snap:
                return False
    return True


RULE = Rule(NAME, Level.ERROR, "the stated number of places is not the number of equal ones drawn", check)
