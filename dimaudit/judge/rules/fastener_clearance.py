"""A hole for a screw that the note names, against the handbook tables for that screw."""

import re
from collections.abc import Iterator, Sequence
from fractions import Fraction

from dimaudit.exact.number import decimal_text
from dimaudit.judge.called import called, note_finding, size_in
from dimaudit.judge.check import Rule, Sheet
from dimaudit.model.audit import Finding, Level
from dimaudit.model.pointed import HoleNote
from dimaudit.model.stated import HoleStep, StepKind
from dimaudit.model.units import Unit, conversion
from dimaudit.tables.fasteners import Figure, Known, Screw, screw_of
from dimaudit.text.places import size_text

NAME = "fastener-clearance"
_SOCKET = re.compile(r"\bS\.? ?H\.? ?C\.? ?S\b|\bSOC", re.IGNORECASE)
_FLAT = re.compile(r"\bF\.? ?H|\bFLAT|\bC(?:OUN)?TE?RSU?N?K|\bCSK", re.IGNORECASE)
"""Words for the two heads that the tables have; anything else is not judged by its head. Common practice, no source."""


def check(sheet: Sheet) -> Iterator[Finding]:
    unit = sheet.drawing.unit
    for note in sheet.hole_notes:
        thread = note.call_out.screw
        screw = None if thread is None else screw_of(thread.diameter, thread.unit)
        if screw is None:
            continue
        steps = {step.kind: step for step in note.call_out.steps}
        if note.call_out.thread is None:  # a tapped hole takes the screw, it does not clear it
            hole = _hole(note, steps.get(StepKind.HOLE), screw, unit)
            if hole is not None:
                yield from _clearance(note, screw, *hole)
        flat = _FLAT.search(note.call_out.head) is not None
        if not flat and _SOCKET.search(note.call_out.head):
            for kind in (StepKind.COUNTERBORE, StepKind.SPOTFACE):
                if kind in steps:
                    yield from _socket(note, screw, steps[kind], unit)
        if flat and StepKind.COUNTERSINK in steps:
            yield from _flat(note, screw, steps[StepKind.COUNTERSINK], unit)


def _in_screw_unit(number: tuple[Fraction, Fraction], screw: Screw, unit: Unit | None) -> tuple[Fraction, Fraction]:
    factor = Fraction(1) if unit is None else conversion(unit, screw.unit)
    return number[0] * factor, number[1] * factor


def _hole(
    note: HoleNote, step: HoleStep | None, screw: Screw, unit: Unit | None
) -> tuple[Fraction, Fraction] | None:
    """Diameter and last place, in the screw's unit: as stated, else as drawn."""
    if step is not None and step.diameter is not None:
        return _in_screw_unit(size_in(step.diameter, unit), screw, unit)
    if note.factor is not None and note.holes and unit is not None:
        drawn = 2 * note.holes[0].rings[0].radius * note.factor
        return _in_screw_unit((drawn, Fraction(0)), screw, unit)
    return None


def _clearance(note: HoleNote, screw: Screw, size: Fraction, last: Fraction) -> Iterator[Finding]:
    say, text = _Say(note, screw), _text(size, screw)
    usual = f"usual holes: {_list((*screw.tight, *screw.usual, *screw.wide), screw)}"
    tight = min(screw.tight, key=lambda f: f.value)
    wide = max(screw.wide, key=lambda f: f.value)
    mend = f"make the hole Ø{_text(min(f.value for f in screw.usual), screw)}, or name another screw"
    if size <= screw.body:
        yield say(
            Level.ERROR, "can't pass its hole",
            [f"hole Ø{text}, body of the screw {_text(screw.body, screw)}: "
             f"{decimal_text(size - screw.body, 6)} to spare", usual], mend,
        )  # fmt: skip
    elif size + last / 2 < tight.value:
        yield say(
            _level(tight), "has a hole smaller than the closest usual one",
            [f"hole Ø{text}, {_figure(tight, screw)}: {decimal_text(tight.value - size, 6)} smaller", usual], mend,
        )  # fmt: skip
    elif size - last / 2 > wide.value:
        yield say(
            _level(wide), "has a hole larger than the widest usual one",
            [f"hole Ø{text}, {_figure(wide, screw)}: {decimal_text(size - wide.value, 6)} larger", usual], mend,
        )  # fmt: skip


def _socket(note: HoleNote, screw: Screw, step: HoleStep, unit: Unit | None) -> Iterator[Finding]:
    say = _Say(note, screw)
    if screw.head is not None and step.diameter is not None:
        size, last = _in_screw_unit(size_in(step.diameter, unit), screw, unit)
        if size <= screw.head.value:
            yield say(
                Level.ERROR, f"has a head that does not go into the {step.kind}",
                [f"{step.kind} Ø{_text(size, screw)}, {_figure(screw.head, screw)}: "
                 f"{decimal_text(size - screw.head.value, 6)} to spare"],
                f"make the {step.kind} larger" + _advice(screw.counterbore, screw),
            )  # fmt: skip
        elif screw.counterbore is not None and size + last / 2 < screw.counterbore.value:
            yield say(
                Level.NOTE, f"has a {step.kind} smaller than the usual one",
                [f"{step.kind} Ø{_text(size, screw)}, {_figure(screw.counterbore, screw)}; the head is up to "
                 f"{_text(screw.head.value, screw)}; shops differ here"],
                "leave it where the head goes in with the position tolerance that is allowed",
            )  # fmt: skip
    if step.kind is StepKind.COUNTERBORE and screw.head_height is not None and step.depth is not None:
        deep, last = _in_screw_unit(size_in(step.depth, unit), screw, unit)
        if deep + last / 2 < screw.head_height.value:
            yield say(
                Level.NOTE, "has a head that stands proud",
                [f"counterbore {_text(deep, screw)} deep, {_figure(screw.head_height, screw)}: "
                 f"{decimal_text(screw.head_height.value - deep, 6)} above the face"],
                "make the counterbore deeper, if the head must not stand out" + _advice(screw.counterbore_depth, screw),
            )  # fmt: skip


def _flat(note: HoleNote, screw: Screw, step: HoleStep, unit: Unit | None) -> Iterator[Finding]:
    say = _Say(note, screw)
    if screw.flat_head is None:
        return
    if step.angle is not None and step.angle.value != screw.flat_angle:
        yield say(
            Level.WARNING, "has a countersink of another angle than its head",
            [f"countersink {decimal_text(step.angle.value, 3)}°, head {screw.flat_angle}° "
             f"({screw.flat_head.table.split(',')[0]}): it bears on an edge"],
            f"state {screw.flat_angle}°",
        )  # fmt: skip
    if step.diameter is not None:
        size, last = _in_screw_unit(size_in(step.diameter, unit), screw, unit)
        if size + last / 2 < screw.flat_head.value:
            yield say(
                Level.NOTE, "has a countersink smaller than the sharp diameter of its head",
                [f"countersink Ø{_text(size, screw)}, {_figure(screw.flat_head, screw)}: a head of the full diameter "
                 "stands proud; real heads are smaller, by their flat"],
                "leave it where the head may stand out; else make the countersink larger",
            )  # fmt: skip


class _Say:
    """Findings about one screw in one call-out."""

    def __init__(self, note: HoleNote, screw: Screw) -> None:
        self._note, self._screw = note, screw

    def __call__(self, level: Level, what: str, why: Sequence[str], suggestion: str) -> Finding:
        message = f"{called(self._note)}: the {self._screw.name} screw {what}"
        return note_finding(NAME, level, self._note, message, why, suggestion,
                            [h for hole in self._note.holes for h in hole.handles])  # fmt: skip


def _level(figure: Figure) -> Level:
    """What was only remembered never gives more than a note."""
    return Level.WARNING if figure.known is Known.READ else Level.NOTE


def _text(value: Fraction, screw: Screw) -> str:
    return size_text(value, screw.unit)


def _figure(figure: Figure, screw: Screw) -> str:
    mark = "" if figure.known is Known.READ else f" ({figure.known})"
    return f"{figure.table} {_text(figure.value, screw)}{mark}"


def _list(figures: Sequence[Figure], screw: Screw) -> str:
    return ", ".join(dict.fromkeys(_figure(f, screw) for f in figures))


def _advice(figure: Figure | None, screw: Screw) -> str:
    return "" if figure is None else f"; {_figure(figure, screw)}"


RULE = Rule(NAME, Level.ERROR, "a hole does not suit the screw that the note names", check)
