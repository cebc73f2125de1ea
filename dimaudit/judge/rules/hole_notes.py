"""A hole call-out against the circles that it points at, and against itself."""

from collections.abc import Iterator
from fractions import Fraction

from dimaudit.exact.number import decimal_text
from dimaudit.judge.called import AGREES, called, note_finding, size_in, verdict_on
from dimaudit.judge.causes import NO_SCALES, as_drawn
from dimaudit.judge.check import Rule, Sheet
from dimaudit.model.audit import Finding, Level, Verdict
from dimaudit.model.pointed import NO_PITCH, Carrier, HoleNote
from dimaudit.model.rings import DrawnHole, Ring
from dimaudit.model.stated import HoleStep, Stated, StepKind, Thread
from dimaudit.model.units import IN_MM, Unit, conversion
from dimaudit.text.places import size_text

NAME = "hole-note-mismatch"
LIKELY_MEANT = Fraction(1, 4)
"""A circle within this share of a stated counterbore is taken for it, drawn wrong; another is something else."""
THREAD_DEPTH = Fraction(13, 10)
"""Pitches between the major diameter and the smallest hole that a thread is drawn with: the minor diameter lies
1.08 pitches below (ASME B1.1, ISO 68-1), the tap drill about one."""
COARSEST = Fraction(7, 10)
"""The same, as a share of the major diameter, where no pitch is stated."""


def check(sheet: Sheet) -> Iterator[Finding]:
    for note in sheet.hole_notes:
        yield from _in_itself(note, sheet.drawing.unit)
        if note.factor is not None:
            for hole in note.holes:
                yield from _against(note, note.factor, hole, sheet.drawing.unit)
            if note.call_out.bolt_circle is not None:
                yield from _pitch(note, note.factor, note.call_out.bolt_circle, sheet.drawing.unit)


def _in_itself(note: HoleNote, unit: Unit | None) -> Iterator[Finding]:
    """A counterbore that is not larger than its hole, or goes deeper than it."""
    hole = next((s for s in note.call_out.steps if s.kind is StepKind.HOLE), None)
    if hole is None:
        return
    for step in note.call_out.steps:
        if step is hole:
            continue
        if step.diameter is not None and hole.diameter is not None:
            inner, outer = size_in(hole.diameter, unit)[0], size_in(step.diameter, unit)[0]
            if outer <= inner:
                yield note_finding(
                    NAME, Level.ERROR, note, f"{called(note)}: the {step.kind} is not larger than its hole",
                    [f"{step.kind} Ø{size_text(outer, unit)}, hole Ø{size_text(inner, unit)}: "
                     f"{size_text(outer, unit)} - {size_text(inner, unit)} = {decimal_text(outer - inner, 6)}"],
                    f"correct the diameter of the {step.kind} or of the hole",
                )  # fmt: skip
        if step.depth is not None and hole.depth is not None and not hole.through:
            deep, whole = size_in(step.depth, unit)[0], size_in(hole.depth, unit)[0]
            if deep >= whole and step.kind is not StepKind.COUNTERSINK:
                yield note_finding(
                    NAME, Level.ERROR, note, f"{called(note)}: the {step.kind} is as deep as its hole or deeper",
                    [f"{step.kind} {size_text(deep, unit)} deep, hole {size_text(whole, unit)} deep, from one face"],
                    f"correct the depth of the {step.kind} or of the hole",
                )  # fmt: skip


def _against(note: HoleNote, factor: Fraction, hole: DrawnHole, unit: Unit | None) -> Iterator[Finding]:
    drawn = {ring: 2 * ring.radius * factor for ring in hole.rings}
    free = list(hole.rings)
    steps = [step for step in note.call_out.steps if step.diameter is not None]
    matched: dict[int, Ring] = {}
    for k, step in enumerate(steps):
        assert step.diameter is not None
        ring = _best(step.diameter, free, drawn, unit)
        if ring is not None:
            matched[k] = ring
            free.remove(ring)
            if verdict_on(drawn[ring], step.diameter, unit) is Verdict.CUT_OFF:
                yield _cut_off(note, step, step.diameter, ring, drawn[ring], unit)
    thread = note.call_out.thread
    threaded = thread is not None and any(_is_thread(thread, size, unit) for size in drawn.values())
    inner = max((drawn[matched[k]] for k in matched if steps[k].kind is StepKind.HOLE), default=Fraction(0))
    for k, step in enumerate(steps):
        stated = step.diameter
        assert stated is not None
        if k in matched:
            continue
        if step.kind is StepKind.HOLE:
            if threaded or note.carrier is Carrier.DIMENSION:  # the dimension's own size has rules of its own
                continue
            if not free:
                yield _not_drawn(note, step, stated, hole, drawn, unit)
            else:
                yield _wrong(note, step, stated, min(free, key=lambda r: abs(drawn[r] - size_in(stated, unit)[0])),
                             hole, drawn, unit)  # fmt: skip
        elif step.kind is not StepKind.SPOTFACE:  # a spotface is seldom drawn
            value = size_in(stated, unit)[0]
            meant = [r for r in free if drawn[r] > inner and abs(drawn[r] - value) <= LIKELY_MEANT * value]
            if meant:
                yield _wrong(note, step, stated, min(meant, key=lambda r: abs(drawn[r] - value)), hole, drawn, unit)
            else:
                yield _not_drawn(note, step, stated, hole, drawn, unit)
    if thread is not None and not threaded and not matched and _thread_size(thread, unit) is not None:
        yield _no_thread(note, thread, hole, drawn, unit)


def _pitch(note: HoleNote, factor: Fraction, stated: Stated, unit: Unit | None) -> Iterator[Finding]:
    """The stated bolt circle against those that are drawn; silent where one of them agrees."""
    if not note.pitches:
        if note.carrier is Carrier.DIMENSION:  # a text is listed as not judged in full
            yield note_finding(
                NAME, Level.NOTE, note, f"{called(note)}: its bolt circle is not judged", [NO_PITCH],
                "draw the bolt circle as a centreline through the holes",
            )  # fmt: skip
        return
    drawn = [(abs(p.diameter * factor - size_in(stated, unit)[0]), k) for k, p in enumerate(note.pitches)]
    for pitch in note.pitches:
        around = (pitch.diameter, pitch.diameter - pitch.within, pitch.diameter + pitch.within)
        if any(verdict_on(size * factor, stated, unit) in AGREES for size in around):
            return
    pitch = note.pitches[min(drawn)[1]]
    (value, last), size = size_in(stated, unit), pitch.diameter * factor
    why = [
        f"stated Ø{size_text(value, unit)}, drawn Ø{size_text(size, unit)} ({pitch.text}): "
        f"drawn less stated {decimal_text(size - value, 6)}",
        f"half a unit in the last place is {decimal_text(last / 2, 6)}",
    ]
    if (cause := _cause(value, size, last)) is not None:
        why.append(f"likeliest cause: {cause}")
    yield note_finding(
        NAME, Level.ERROR if note.on_circle else Level.WARNING, note,
        f"{called(note)} gives a bolt circle that is not the drawn one", why,
        f"if the holes stand right, state Ø{size_text(size, unit)}; if the note is right, move the holes",
        pitch.handles,
    )  # fmt: skip


def _best(stated: Stated, free: list[Ring], drawn: dict[Ring, Fraction], unit: Unit | None) -> Ring | None:
    """The ring that the number agrees with, the nearest; one whose digits were cut off only where none agrees."""
    value = size_in(stated, unit)[0]
    agreeing = [(v is Verdict.CUT_OFF, abs(drawn[r] - value), k) for k, r in enumerate(free)
                if (v := verdict_on(drawn[r], stated, unit)) in AGREES]  # fmt: skip
    return free[min(agreeing)[2]] if agreeing else None


def _thread_size(thread: Thread, unit: Unit | None) -> Fraction | None:
    """The major diameter in the drawing's unit; a pipe thread is named by the pipe, and nothing measures so much."""
    return None if unit is None or thread.pipe else thread.diameter * conversion(thread.unit, unit)


def _is_thread(thread: Thread, size: Fraction, unit: Unit | None) -> bool:
    """Whether a circle of that size can be the thread's line or its tap drill."""
    major = _thread_size(thread, unit)
    if major is None or unit is None:
        return False
    least = COARSEST * major
    if thread.pitch is not None:
        least = major - THREAD_DEPTH * thread.pitch * conversion(thread.unit, unit)
    slack = major / 100  # number sizes and inch fractions are often drawn rounded
    return least - slack <= size <= major + slack


def _sizes(hole: DrawnHole, drawn: dict[Ring, Fraction], unit: Unit | None) -> str:
    return ", ".join(f"Ø{size_text(drawn[ring], unit)}" for ring in hole.rings)


def _wrong(
    note: HoleNote, step: HoleStep, stated: Stated, ring: Ring, hole: DrawnHole, drawn: dict[Ring, Fraction],
    unit: Unit | None,
) -> Finding:  # fmt: skip
    value, last = size_in(stated, unit)
    size = drawn[ring]
    why = [
        f"stated Ø{size_text(value, unit)}, drawn Ø{size_text(size, unit)}: "
        f"drawn less stated {decimal_text(size - value, 6)}",
        f"half a unit in the last place is {decimal_text(last / 2, 6)}; circles about that centre: "
        f"{_sizes(hole, drawn, unit)}",
    ]
    if (cause := _cause(value, size, last, note.factor or Fraction(1))) is not None:
        why.append(f"likeliest cause: {cause}")
    if not note.on_circle:
        why.append("the leader ends inside the circle, not on it: see that this is the hole it means")
    return note_finding(
        NAME, Level.ERROR if note.on_circle else Level.WARNING, note,
        f"{called(note)} gives a {step.kind} that is not the drawn one", why,
        f"if the circle is right, state Ø{size_text(size, unit)}; if the note is right, redraw the circle",
        ring.handles,
    )  # fmt: skip


def _cause(value: Fraction, size: Fraction, last: Fraction, factor: Fraction = Fraction(1)) -> str | None:
    """`size` is the part's, `factor` times what is drawn."""
    half = last / 2
    if factor not in NO_SCALES and abs(value - size / factor) <= half:
        return as_drawn(factor)
    if abs(2 * value - size) <= half:
        return "the note gives the radius"
    if abs(value - 2 * size) <= half:
        return "the circle is drawn with the radius for its diameter"
    inch = IN_MM[Unit.INCH]
    if abs(value * inch - size) <= half * inch or abs(value - size * inch) <= half:
        return "millimetres and inches"
    return None


def _cut_off(
    note: HoleNote, step: HoleStep, stated: Stated, ring: Ring, size: Fraction, unit: Unit | None
) -> Finding:
    value, last = size_in(stated, unit)
    return note_finding(
        NAME, Level.WARNING, note, f"{called(note)}: digits of the {step.kind} were cut off instead of rounded",
        [f"stated Ø{size_text(value, unit)}, drawn Ø{size_text(size, unit)}: no rounding rule gives the one for the "
         f"other; a unit in the last place is {decimal_text(last, 6)}"],
        f"state Ø{size_text(size, unit)}, or round it", ring.handles,
    )  # fmt: skip


def _not_drawn(
    note: HoleNote, step: HoleStep, stated: Stated, hole: DrawnHole, drawn: dict[Ring, Fraction], unit: Unit | None
) -> Finding:
    return note_finding(
        NAME, Level.NOTE, note, f"{called(note)}: the {step.kind} is not drawn",
        [f"no circle of Ø{size_text(size_in(stated, unit)[0], unit)}; circles about that centre: "
         f"{_sizes(hole, drawn, unit)}", "a note may describe what is not drawn; its size could not be checked here"],
        f"draw the {step.kind}, or leave it to the note", hole.handles,
    )  # fmt: skip


def _no_thread(
    note: HoleNote, thread: Thread, hole: DrawnHole, drawn: dict[Ring, Fraction], unit: Unit | None
) -> Finding:
    major = _thread_size(thread, unit)
    assert major is not None
    why = [f"{thread.text}: major diameter {size_text(major, unit)}; circles about that centre: "
           f"{_sizes(hole, drawn, unit)}"]  # fmt: skip
    if thread.pitch is not None and unit is not None:
        pitch = thread.pitch * conversion(thread.unit, unit)
        drill = major - pitch
        why.append(f"tap drill about {decimal_text(drill, 3)} (major diameter less the pitch {decimal_text(pitch, 4)})")
    return note_finding(
        NAME, Level.WARNING, note, f"{called(note)}: no circle there is the thread or its tap drill", why,
        "draw the thread by its major diameter or its tap drill, or point the note at the tapped hole", hole.handles,
    )  # fmt: skip


RULE = Rule(NAME, Level.ERROR, "a hole call-out is not the hole that it points at", check)
