"""The drawn picture of a dimension shows another text than the dimension says now."""

from collections.abc import Iterator

from dimaudit.judge.check import Rule, Sheet
from dimaudit.judge.saying import finding, named
from dimaudit.model.audit import Finding, Level, TextSource
from dimaudit.model.stated import Stated
from dimaudit.text.markup import plain_text


def check(sheet: Sheet) -> Iterator[Finding]:
    for judgement, statement in zip(sheet.judgements, sheet.statements, strict=True):
        if not statement.stale:
            continue
        dimension = judgement.attached.dimension
        drawn = plain_text(dimension.drawn_text or "")
        says = judgement.text if judgement.source is TextSource.TYPED else statement.expected_text
        where = "its typed text" if judgement.source is TextSource.TYPED else "its definition points and style"
        why = [f"the print shows {drawn}; {where} give {says}"]
        stored = dimension.stored
        if stored is not None and isinstance(judgement.reading, Stated) and stored == judgement.reading.value:
            why.append("the print shows the stored measurement of an earlier state")
        yield finding(
            "stale-text", Level.ERROR, judgement, sheet, f"{named(judgement)} shows a text that is out of date", why,
            "update the dimension in the program that made it, then save; a person reads the old number until then",
        )  # fmt: skip


RULE = Rule("stale-text", Level.ERROR, "the drawn text is not what the dimension says now", check)
