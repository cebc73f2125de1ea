"""The stated number is not the drawn one."""

from collections.abc import Iterator

from dimaudit.exact.number import decimal_text
from dimaudit.exact.real import compare
from dimaudit.judge.causes import likeliest_cause
from dimaudit.judge.check import Rule, Sheet
from dimaudit.judge.in_force import OWN
from dimaudit.judge.saying import finding, named, number_text, residual_text
from dimaudit.judge.values import value_verdict
from dimaudit.model.attached import Link
from dimaudit.model.audit import Finding, Judgement, Level, TextSource, Verdict
from dimaudit.model.stated import Stated


def check(sheet: Sheet) -> Iterator[Finding]:
    for judgement, statement in zip(sheet.judgements, sheet.statements, strict=True):
        if judgement.verdict is not Verdict.WRONG or statement.stale:
            continue  # a stale text is reported as such
        if explained_by_near_miss(judgement):
            continue
        reading, measured = judgement.reading, judgement.measured
        assert isinstance(reading, Stated)
        assert measured is not None
        assert judgement.stated is not None
        assert judgement.step is not None
        unit = sheet.drawing.unit
        cause = likeliest_cause(judgement.attached, reading, judgement.stated, judgement.step, measured, unit)
        level, note = _level(judgement, reading)
        source = "drawn" if judgement.from_features else "spanned by its definition points"
        if reading.limits is not None:
            low, high = (decimal_text(q, 6) for q in reading.limits)
            why = [f"limits {low} to {high}, {source} {number_text(measured, judgement, unit)}: outside them"]
        else:
            why = [
                f"stated {judgement.text}, {source} {number_text(measured, judgement, unit)}: "
                f"drawn less stated {residual_text(judgement)}"
            ]
            explained = value_verdict(measured, judgement.stated, judgement.step) is not Verdict.WRONG
            if explained and not reading.one_sided:
                why.append("the difference is a rounding, and larger than the tolerance leaves room for")
                cause = None
            elif not reading.one_sided:
                why.append(f"half a unit in the last place is {number_text(judgement.step / 2, judgement, unit)}")
        if cause:
            why.append(f"likeliest cause: {cause.words}")
        if note:
            why.append(note)
        typed = judgement.source is TextSource.TYPED
        right = statement.expected is not None and statement.expected.value == measured
        fix = statement.expected_text if typed and right else number_text(measured, judgement, unit)
        suggestion = f"if the geometry is right, state {fix}"
        if cause is not None and cause.cure:
            suggestion = f"{cause.cure}, so that it states {fix}"
        if reading.underlined:
            suggestion = "an underlined value is not to scale on purpose; see that the size is the one wanted"
        elif typed and right:
            suggestion += " (delete the typed text so that the value follows the geometry)"
        if not reading.underlined:
            suggestion += "; if the text is right, redraw the feature"
        message = f"{named(judgement)} is not what is drawn"
        yield finding("wrong-value", level, judgement, sheet, message, why, suggestion)


def explained_by_near_miss(judgement: Judgement) -> bool:
    """Whether the number is right for the definition points and wrong only because they missed the feature."""
    attached = judgement.attached
    if attached.link is not Link.NEAR or attached.spanned is None or judgement.source is TextSource.TYPED:
        return False
    return judgement.text == judgement.expected_text


def _level(judgement: Judgement, reading: Stated) -> tuple[Level, str]:
    """Off by more than half a unit, yet inside the tolerance in force: not drawn to nominal, a warning."""
    if reading.underlined:
        return Level.NOTE, "the value is underlined: not to scale, said by the drafter"
    if reading.reference:
        return Level.WARNING, "a reference dimension controls nothing, yet people read it"
    force = judgement.in_force
    if force is None or force.band is None or reading.limits is not None or judgement.measured is None:
        return Level.ERROR, ""
    low, high = force.band
    by = "the stated tolerance" if force.source == OWN else f"the tolerance in force, {force.source}"
    if compare(judgement.measured, low) >= 0 and compare(judgement.measured, high) <= 0:
        return Level.WARNING, f"not drawn to nominal: the drawn size is inside {by}"
    return Level.ERROR, f"the drawn size is outside {by}"


RULE = Rule("wrong-value", Level.ERROR, "the stated number is not the drawn one", check)
