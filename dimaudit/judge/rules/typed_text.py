"""A number typed over the measured value: it no longer follows the geometry."""

from collections.abc import Iterator

from dimaudit.judge.check import Rule, Sheet
from dimaudit.judge.saying import finding, named
from dimaudit.model.audit import Finding, Level, TextSource, Verdict
from dimaudit.model.stated import Stated


def check(sheet: Sheet) -> Iterator[Finding]:
    for judgement, statement in zip(sheet.judgements, sheet.statements, strict=True):
        if judgement.source is not TextSource.TYPED or not isinstance(judgement.reading, Stated):
            continue
        if judgement.attached.dimension.exploded:  # there is no measured value that it could stand for
            continue
        if judgement.reading.underlined:  # not to scale by the drafter's word: such a value must be typed
            continue
        would = statement.expected_text
        would_print = None if statement.expected is None else statement.expected.value
        same = would_print == judgement.reading.value
        scaled = any(s.view is judgement.attached.view for s in sheet.scales)
        why = [f"typed {judgement.text}; the style would print {would or 'nothing'} for its points"]
        if same and judgement.verdict is not Verdict.WRONG:
            why.append("the two agree today; a later change of the geometry will not reach the text")
        yield finding(
            "typed-text", Level.NOTE if same else Level.WARNING, judgement, sheet,
            f"{named(judgement)} is typed over", why,
            ("set DIMLFAC for the view first; then " if scaled and not same else "")
            + "delete the typed text so that the value is measured; put words around '<>' instead of a number",
        )  # fmt: skip


RULE = Rule("typed-text", Level.WARNING, "a number is typed over the measured value", check)
