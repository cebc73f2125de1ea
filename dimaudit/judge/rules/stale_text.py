"""The drawn picture of a dimension shows another text than the dimension says now."""

from collections.abc import Iterator

from dimaudit.judge.check import Rule, Sheet
from dimaudit.judge.saying import finding, named
from dimaudit.judge.stating import Outdated
from dimaudit.model.audit import Finding, Judgement, Level, TextSource
from dimaudit.model.stated import Stated
from dimaudit.text.markup import plain_text


def check(sheet: Sheet) -> Iterator[Finding]:
    for judgement, statement in zip(sheet.judgements, sheet.statements, strict=True):
        yield from (_part(part, judgement, sheet) for part in statement.outdated)
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


def _part(part: Outdated, judgement: Judgement, sheet: Sheet) -> Finding:
    """The number is right, and the tolerance or the alternate value with it is not."""
    typed = judgement.source is TextSource.TYPED
    where = "its text" if judgement.source is TextSource.TEMPLATE else "its typed text" if typed else "its style"
    if part.now:
        return finding(
            "stale-text", Level.ERROR, judgement, sheet,
            f"{named(judgement)} shows {_article(part.part)} that is out of date",
            [f"the print shows the {part.part} {part.shown}; {where} gives {part.now}"],
            "update the dimension in the program that made it, then save; a person works to the old one until then",
        )  # fmt: skip
    return finding(
        "stale-text", Level.NOTE, judgement, sheet,
        f"{named(judgement)} shows {_article(part.part)} that the dimension does not give",
        [f"the print shows the {part.part} {part.shown}; {where} gives none, so it goes when the dimension is updated"],
        f"if the {part.part} is meant, put it into the dimension; else update the dimension, then save",
    )  # fmt: skip


def _article(part: str) -> str:
    return f"an {part}" if part[0] in "aeiou" else f"a {part}"


RULE = Rule("stale-text", Level.ERROR, "the drawn text is not what the dimension says now", check)
