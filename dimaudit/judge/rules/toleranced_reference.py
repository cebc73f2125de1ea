"""A reference or a basic dimension that carries a tolerance."""

from collections.abc import Iterator

from dimaudit.judge.check import Rule, Sheet
from dimaudit.judge.saying import finding, named
from dimaudit.model.audit import Finding, Level
from dimaudit.model.stated import Stated


def check(sheet: Sheet) -> Iterator[Finding]:
    for judgement, statement in zip(sheet.judgements, sheet.statements, strict=True):
        reading = judgement.reading
        if not isinstance(reading, Stated) or statement.stale:
            continue
        if (reading.tolerance is None and reading.limits is None) or not (reading.reference or reading.boxed):
            continue
        if reading.reference:
            what, mark = "a reference", "the parentheses"
            why = "a reference dimension controls nothing; its tolerance can't be held and can't be checked"
        else:
            what, mark = "a basic dimension", "the box"
            why = "a basic dimension is exact; a feature control frame says how far the feature may be off"
        yield finding(
            "toleranced-reference", Level.WARNING, judgement, sheet, f"{named(judgement)} is {what} with a tolerance",
            [why], f"take the tolerance away, or {mark}",
        )  # fmt: skip


RULE = Rule("toleranced-reference", Level.WARNING, "a reference or basic dimension carries a tolerance", check)
