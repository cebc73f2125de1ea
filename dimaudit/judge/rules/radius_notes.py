"""A radius at the end of a leader against the arc that the leader points at."""

from collections.abc import Iterator

from dimaudit.exact.number import decimal_text
from dimaudit.judge.called import AGREES, called, note_finding, size_in, verdict_on
from dimaudit.judge.check import Rule, Sheet
from dimaudit.model.audit import Finding, Level, Verdict
from dimaudit.text.places import size_text

NAME = "radius-note-mismatch"


def check(sheet: Sheet) -> Iterator[Finding]:
    unit = sheet.drawing.unit
    for note in sheet.radius_notes:
        if note.factor is None or not note.arcs:
            continue
        drawn = note.radius() * note.factor
        verdict = verdict_on(drawn, note.stated, unit)
        if verdict in AGREES and verdict is not Verdict.CUT_OFF:
            continue
        value, last = size_in(note.stated, unit)
        why = [
            f"stated R{size_text(value, unit)}, drawn R{size_text(drawn, unit)}: "
            f"drawn less stated {decimal_text(drawn - value, 6)}",
            f"half a unit in the last place is {decimal_text(last / 2, 6)}",
        ]
        level, what = Level.ERROR, "gives a radius that is not the drawn one"
        if verdict is Verdict.CUT_OFF:
            level, what = Level.WARNING, "has digits cut off instead of rounded"
        elif abs(value - 2 * drawn) <= last / 2:
            why.append("likeliest cause: the note gives the diameter")
        yield note_finding(
            NAME, level, note, f"{called(note)} {what}", why,
            f"if the arc is right, state R{size_text(drawn, unit)}; if the note is right, redraw the arc",
            [arc.origin.handle for arc in note.arcs],
        )  # fmt: skip


RULE = Rule(NAME, Level.ERROR, "a radius at the end of a leader is not that of the arc it points at", check)
