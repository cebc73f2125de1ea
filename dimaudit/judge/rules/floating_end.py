"""A definition point that touches nothing and is in line with nothing."""

from collections.abc import Iterator

from dimaudit.judge.check import Rule, Sheet
from dimaudit.judge.saying import finding, named
from dimaudit.model.attached import Link
from dimaudit.model.audit import Finding, Level
from dimaudit.text.places import end_text


def check(sheet: Sheet) -> Iterator[Finding]:
    if not any(space.shapes for space in sheet.drawing.spaces):
        return  # no linework at all: said once, in the coverage
    unit = sheet.drawing.unit
    for judgement in sheet.judgements:
        attached = judgement.attached
        loose = [end for end in attached.ends if end.link is Link.FLOATING]
        if not loose:
            continue
        why = [f"{end.role}: {end_text(end, attached, unit)}" for end in loose]
        why.append("its number was compared with its own definition points only, not with the part")
        yield finding(
            "floating-end", Level.WARNING, judgement, sheet, f"{named(judgement)} does not reach the part", why,
            "snap the loose end to the feature that is meant, or delete the dimension",
        )  # fmt: skip


RULE = Rule("floating-end", Level.WARNING, "a definition point touches nothing", check)
