"""The depth that a call-out states against the one that another view shows."""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from dimaudit.exact.number import decimal_text
from dimaudit.judge.called import AGREES, called, note_finding, size_in, true_over_drawn, verdict_on
from dimaudit.judge.check import Rule, Sheet
from dimaudit.judge.depth import Bore, SideView
from dimaudit.model.audit import Finding, Level
from dimaudit.model.pointed import HoleNote
from dimaudit.model.projection import projections
from dimaudit.model.rings import DrawnHole
from dimaudit.model.stated import HoleStep, Stated, StepKind
from dimaudit.model.units import Unit, conversion
from dimaudit.model.view import View
from dimaudit.text.places import size_text

NAME = "depth-disagrees"
_SUNK = (StepKind.COUNTERBORE, StepKind.SPOTFACE)


@dataclass(frozen=True, slots=True)
class _Side:
    """A neighbouring view in line, and true size over drawn size in it."""

    view: View
    axis: int
    seen: SideView
    factor: Fraction


@dataclass(frozen=True, slots=True)
class _Wanted:
    """One thing that the note says of a depth."""

    what: str
    radius: Fraction
    """In the view of the circles."""
    depth: Stated | None
    through: bool
    sunk: Fraction | None = None
    """Radius of the counterbore that it begins in."""


def check(sheet: Sheet) -> Iterator[Finding]:
    sides: dict[int, list[_Side]] = {}
    for note in sheet.hole_notes:
        if note.view is None or note.factor is None or not note.holes:
            continue
        wanted = list(_wanted(note, note.factor, note.holes[0], sheet.drawing.unit))
        if not wanted:
            continue
        if id(note.view) not in sides:
            sides[id(note.view)] = list(_sides(note.view, sheet))
        for want in wanted:
            yield from _compared(note, note.factor, want, sides[id(note.view)], sheet)


def _sides(view: View, sheet: Sheet) -> Iterator[_Side]:
    scales = {id(s.view): s for s in sheet.scales}
    for geometry in sheet.geometries:
        if not any(v is view for v in geometry.views):
            continue
        for pair in projections(geometry.views, float(sheet.lengths.snap)):
            if pair.first is view or pair.second is view:
                other = pair.second if pair.first is view else pair.first
                factor, _ = true_over_drawn(other, sheet.judgements, scales.get(id(other)))
                if factor is not None:
                    yield _Side(other, pair.axis, SideView(other, pair.axis), factor)


def _wanted(note: HoleNote, factor: Fraction, hole: DrawnHole, unit: Unit | None) -> Iterator[_Wanted]:
    sunk: Fraction | None = None
    for step in note.call_out.steps:
        if step.kind in _SUNK and (radius := _drawn_radius(step, factor, hole, unit)) is not None:
            sunk = radius
            if step.depth is not None and step.kind is StepKind.COUNTERBORE:
                yield _Wanted(str(step.kind), radius, step.depth, False)
    for step in note.call_out.steps:
        if step.kind is StepKind.HOLE and (step.depth is not None or step.through):
            radius = _drawn_radius(step, factor, hole, unit)
            if radius is not None:
                yield _Wanted(str(step.kind), radius, step.depth, step.through, sunk)
    thread, depth = note.call_out.thread, note.call_out.thread_depth
    if thread is not None and not thread.pipe and depth is not None and unit is not None:
        major = thread.diameter * conversion(thread.unit, unit) / factor
        yield _Wanted("thread", major / 2, depth, False, sunk)


def _drawn_radius(step: HoleStep, factor: Fraction, hole: DrawnHole, unit: Unit | None) -> Fraction | None:
    """The radius of the circle that the step is drawn as; None where none agrees with it."""
    if step.diameter is None:
        return None
    for ring in hole.rings:
        if verdict_on(2 * ring.radius * factor, step.diameter, unit) in AGREES:
            return ring.radius
    return None


def _compared(
    note: HoleNote, factor: Fraction, want: _Wanted, sides: list[_Side], sheet: Sheet
) -> Iterator[Finding]:
    hole, unit = note.holes[0], sheet.drawing.unit
    seen: list[tuple[_Side, Bore]] = []
    for side in sides:
        # Projected views stand at one scale; an enlarged one is in line with nothing.
        if side.factor != factor or _behind(note, hole, side.axis, want.radius, sheet):
            continue
        if (bore := _bore(side, hole, want)) is not None:
            seen.append((side, bore))
    if not seen or len({(bore.depth, bore.through) for _, bore in seen}) > 1:
        return
    side, bore = seen[0]
    drawn = bore.depth * side.factor
    handles = (*hole.handles, *bore.handles)
    if want.through:
        if not bore.through:
            yield note_finding(
                NAME, Level.WARNING, note, f"{called(note)}: the {want.what} goes through, and is drawn blind",
                [f"in {side.view.name} its edges end {size_text(drawn, unit)} from the face, where no face is"],
                "state the depth, or draw the hole through in the other view", handles,
            )  # fmt: skip
        return
    assert want.depth is not None
    value, last = size_in(want.depth, unit)
    if bore.through:
        yield note_finding(
            NAME, Level.WARNING, note, f"{called(note)}: the {want.what} has a depth, and is drawn through",
            [f"stated {size_text(value, unit)} deep; in {side.view.name} its edges run from face to face, "
             f"{size_text(drawn, unit)}"],
            "state THRU, or draw the bottom of the hole in the other view", handles,
        )  # fmt: skip
    elif verdict_on(drawn, want.depth, unit) not in AGREES:
        yield note_finding(
            NAME, Level.WARNING, note, f"{called(note)}: the depth of the {want.what} is not the drawn one",
            [f"stated {size_text(value, unit)} deep, drawn {size_text(drawn, unit)} in {side.view.name}: "
             f"drawn less stated {decimal_text(drawn - value, 6)}",
             f"half a unit in the last place is {decimal_text(last / 2, 6)}"],
            f"if the view is right, state {size_text(drawn, unit)}; if the note is right, redraw the bottom", handles,
        )  # fmt: skip


def _behind(note: HoleNote, hole: DrawnHole, axis: int, radius: Fraction, sheet: Sheet) -> bool:
    """Whether another hole of that radius, not one of the note's own, stands in line with it: their edges coincide."""
    assert note.view is not None
    snap = sheet.lengths.snap
    holes = note.view.drawn_holes
    equal = [h for h in holes if h.radii == hole.radii]
    own = {h.centre for h in equal} if note.call_out.count == len(equal) else {h.centre for h in note.holes}
    return any(
        h.centre not in own and abs(h.centre[axis] - hole.centre[axis]) <= snap
        and any(abs(r - radius) <= snap for r in h.radii)
        for h in holes
    )  # fmt: skip


def _bore(side: _Side, hole: DrawnHole, want: _Wanted) -> Bore | None:
    centre, widest = hole.centre[side.axis], max(hole.rings[-1].radius, want.radius)
    if want.sunk is not None:
        upper = side.seen.bore(centre, want.sunk, widest)
        return None if upper is None or upper.through else side.seen.below(upper, centre, want.radius, widest)
    bore = side.seen.bore(centre, want.radius, widest)
    wider = any(ring.whole and ring.radius > want.radius for ring in hole.rings)
    # Where a wider cylinder is drawn that the note does not name, the edges may begin at the bottom of that.
    return None if wider and want.what == "hole" and bore is not None and not bore.through else bore


RULE = Rule(NAME, Level.WARNING, "a stated depth is not the one that another view shows", check)
