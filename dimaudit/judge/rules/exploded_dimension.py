"""A dimension that is no entity: loose lines, arrowheads and a text that a person reads as one."""

from collections.abc import Iterator
from dataclasses import replace

from dimaudit.judge.check import Rule, Sheet
from dimaudit.judge.saying import finding, named
from dimaudit.model.audit import Finding, Level


def check(sheet: Sheet) -> Iterator[Finding]:
    for judgement in sheet.judgements:
        dimension = judgement.attached.dimension
        if not dimension.exploded:
            continue
        said = finding(
            "exploded-dimension", Level.WARNING, judgement, sheet, f"{named(judgement)} is exploded",
            [f"no dimension entity: a text and {len(dimension.pieces)} lines and arrowheads that only look like one",
             "nothing ties it to the part: where the geometry changes, neither its lines nor its number follow"],
            "dimension the same features anew, compare the two numbers, then delete the text and its lines",
        )  # fmt: skip
        yield replace(said, handles=(dimension.handle, *dimension.pieces))


RULE = Rule("exploded-dimension", Level.WARNING, "lines, arrowheads and a text stand in place of a dimension", check)
