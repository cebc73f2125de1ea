"""A text with a number in it that can't be read as a dimension."""

from collections.abc import Iterator

from dimaudit.judge.check import Rule, Sheet
from dimaudit.judge.saying import finding, named
from dimaudit.model.audit import Finding, Level
from dimaudit.model.stated import Unreadable


def check(sheet: Sheet) -> Iterator[Finding]:
    for judgement in sheet.judgements:
        if isinstance(judgement.reading, Unreadable):
            yield finding(
                "unreadable-text", Level.WARNING, judgement, sheet, f"{named(judgement)} can't be read as a dimension",
                [judgement.reading.why], "write it in a form that a machinist reads one way only, or restore '<>'",
            )  # fmt: skip


RULE = Rule("unreadable-text", Level.WARNING, "a text can't be read as a dimension", check)
