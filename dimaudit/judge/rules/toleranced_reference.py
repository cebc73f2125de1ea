"""A reference dimension that carries a tolerance."""

from collections.abc import Iterator

from dimaudit.judge.check import Rule, Sheet
from dimaudit.judge.saying import finding, named
from dimaudit.model.audit import Finding, Level
from dimaudit.model.stated import Stated


def check(sheet: Sheet) -> Iterator[Finding]:
    for judgement, statement in zip(sheet.judgements, sheet.statements, strict=True):
        reading = judgement.reading
        if not isinstance(reading, Stated) or statement.stale or not reading.reference:
            continue
        if reading.tolerance is None and reading.limits is None:
            continue
        yield finding(
            "toleranced-reference", Level.WARNING, judgement, sheet,
            f"{named(judgement)} is a reference with a tolerance",
            ["a reference dimension controls nothing; its tolerance can't be held and can't be checked"],
            "take the tolerance away, or the parentheses",
        )  # fmt: skip


RULE = Rule("toleranced-reference", Level.WARNING, "a reference dimension carries a tolerance", check)
