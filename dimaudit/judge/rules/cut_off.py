"""Digits were cut off instead of rounded."""

from collections.abc import Iterator

from dimaudit.exact.real import round_real
from dimaudit.judge.check import Rule, Sheet
from dimaudit.judge.saying import finding, named, number_text, residual_text
from dimaudit.model.audit import Finding, Level, Verdict
from dimaudit.model.stated import Stated


def check(sheet: Sheet) -> Iterator[Finding]:
    for judgement, statement in zip(sheet.judgements, sheet.statements, strict=True):
        if judgement.verdict is not Verdict.CUT_OFF or statement.stale:
            continue
        measured, reading = judgement.measured, judgement.reading
        assert isinstance(reading, Stated)
        assert measured is not None
        assert judgement.step is not None
        unit = sheet.drawing.unit
        why = [
            f"exact {number_text(measured, judgement, unit)}, less stated {judgement.text}: "
            f"{residual_text(judgement)}",
            "that is half a unit in the last place or more: no rounding rule gives it (ASTM E29, ISO 80000-1)",
        ]
        right = round_real(measured, judgement.step, sheet.settings.rounding)
        text = number_text(right, judgement, unit)
        level = Level.NOTE if reading.reference else Level.WARNING
        suggestion = f"rounded to the same place it is {text}; or state {number_text(measured, judgement, unit)}"
        yield finding("cut-off", level, judgement, sheet, f"{named(judgement)} has digits cut off", why, suggestion)


RULE = Rule("cut-off", Level.WARNING, "digits were cut off instead of rounded", check)
