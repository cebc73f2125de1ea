"""The association object is there, but what it ties is gone or has moved."""

from collections.abc import Iterator

from dimaudit.judge.check import Rule, Sheet
from dimaudit.judge.saying import finding, named
from dimaudit.model.attached import Hold
from dimaudit.model.audit import Finding, Level


def check(sheet: Sheet) -> Iterator[Finding]:
    for judgement in sheet.judgements:
        attached = judgement.attached
        if attached.hold is Hold.BROKEN:
            yield finding(
                "broken-link", Level.WARNING, judgement, sheet, f"{named(judgement)} has lost its tie to the geometry",
                list(attached.broken),
                "attach the dimension again to the feature that is meant, then check its value",
            )  # fmt: skip


RULE = Rule("broken-link", Level.WARNING, "an association no longer holds", check)
