"""A definition point that touches nothing and is in line with nothing."""

from collections.abc import Iterator

from dimaudit.judge.check import Rule, Sheet
from dimaudit.judge.saying import finding, named
from dimaudit.model.attached import End, Link
from dimaudit.model.audit import Finding, Judgement, Level
from dimaudit.model.drawing import Loss
from dimaudit.text.places import end_text

ELSEWHERE = ("external reference", "underlay")
"""Losses that take part of the geometry with them."""


def check(sheet: Sheet) -> Iterator[Finding]:
    if not any(space.shapes for space in sheet.drawing.spaces):
        return  # no linework at all: said once, in the coverage
    unit = sheet.drawing.unit
    missing = [loss for loss in sheet.drawing.losses if loss.what in ELSEWHERE]
    floating = [j for j in sheet.judgements if loose_ends(j)]
    if missing and floating:
        yield _summary(floating, missing)
        return
    for judgement in floating:
        attached = judgement.attached
        why = [f"{end.role}: {end_text(end, attached, unit)}" for end in loose_ends(judgement)]
        why.append("its number was compared with its own definition points only, not with the part")
        yield finding(
            "floating-end", Level.WARNING, judgement, sheet, f"{named(judgement)} does not reach the part", why,
            "snap the loose end to the feature that is meant, or delete the dimension",
        )  # fmt: skip


def loose_ends(judgement: Judgement) -> list[End]:
    """The ends that touch nothing; not the one of a half view that the print does not show."""
    attached = judgement.attached
    half = attached.dimension.style.half
    return [end for end in attached.ends if end.link is Link.FLOATING and end.group != half]


def _summary(floating: list[Judgement], missing: list[Loss]) -> Finding:
    return Finding(
        rule="floating-end",
        level=Level.WARNING,
        handles=tuple(j.attached.dimension.handle for j in floating),
        message=f"{len(floating)} dimensions end on nothing that is in this file",
        why=(
            "part of the drawing is elsewhere: " + "; ".join(f"{loss.what}: {loss.why}" for loss in missing),
            "whether they reach the part can't be told without it",
        ),
        suggestion="bind or insert what is missing, then audit again",
        at=None,
        layout="",
    )


RULE = Rule("floating-end", Level.WARNING, "a definition point touches nothing", check)
