"""A dimension that no association object ties to geometry."""

from collections.abc import Iterator

from dimaudit.judge.check import Rule, Sheet
from dimaudit.judge.saying import finding, named
from dimaudit.model.attached import Hold
from dimaudit.model.audit import Finding, Judgement, Level


def check(sheet: Sheet) -> Iterator[Finding]:
    """One finding for each, where most dimensions of the drawing are tied; else one for the drawing."""
    entities = [j for j in sheet.judgements if not j.attached.dimension.exploded]  # what is none can't be tied
    loose = [j for j in entities if j.attached.hold is Hold.NONE]
    if not loose:
        return
    if 2 * len(loose) >= len(entities):
        yield _summary(sheet, loose, len(entities))
        return
    for judgement in loose:
        yield finding(
            "not-associated", Level.WARNING, judgement, sheet, f"{named(judgement)} is not tied to the geometry",
            ["no association object; most dimensions of this drawing have one",
             "if the geometry changes, this dimension will not follow"],
            "attach it to the feature it measures",
        )  # fmt: skip


def _summary(sheet: Sheet, loose: list[Judgement], total: int) -> Finding:
    count = len(loose)
    if not sheet.drawing.can_associate:
        message = f"no dimension can be tied to geometry in a {sheet.drawing.version} file"
        suggestion = "save as DXF R2000 or later if the dimensions are to follow the geometry"
    else:
        which = "none of the dimensions is" if count == total else f"{count} of {total} dimensions are not"
        message = f"{which} tied to geometry by an association object"
        suggestion = "attach the dimensions in the program that made the drawing, or live with checking by hand"
    return Finding(
        rule="not-associated",
        level=Level.NOTE,
        handles=tuple(j.attached.dimension.handle for j in loose),
        message=message,
        why=("where a point stands is checked all the same; what a later edit will do to the text is not sure",),
        suggestion=suggestion,
        at=None,
        layout="",
    )


RULE = Rule("not-associated", Level.WARNING, "a dimension is not tied to geometry", check)
