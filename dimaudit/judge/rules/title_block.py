"""The title block against the file, and statements of it that can't be used."""

from collections.abc import Iterator

from dimaudit.judge.check import Rule, Sheet
from dimaudit.judge.title_block import CONTRADICTION, ORDER, UNIT_NAMES
from dimaudit.model.audit import Finding, Level
from dimaudit.model.general import ReadAs
from dimaudit.model.units import INCHES, Unit, conversion


def _units(sheet: Sheet) -> Iterator[Finding]:
    """The stated unit against $INSUNITS; numbers that DIMLFAC converts to the stated unit are as they should be."""
    stated, held = sheet.title_block.unit, sheet.drawing.unit
    if stated is None or held is None or sheet.drawing.unit_from != "$INSUNITS" or _alike(stated, held):
        return
    factor = conversion(held, stated)
    dimensions = [j.attached.dimension for j in sheet.judgements]
    if not dimensions or any(d.true_factor == factor or d.text_factor == factor for d in dimensions):
        return
    said = [s for s in sheet.title_block.read if s.unit is stated]
    yield _finding(
        "units-disagree", Level.WARNING, said,
        f"the sheet says {UNIT_NAMES[stated]}, the file says {UNIT_NAMES[held]}",
        [f"'{said[0].text}' on the sheet; $INSUNITS and the judging of this audit: {UNIT_NAMES[held]}",
         "a program that reads the file scales the part by it"],
        "set $INSUNITS to the unit that the sheet states, or correct the note; --units says it for one audit",
    )  # fmt: skip


def _alike(a: Unit, b: Unit) -> bool:
    return a is b or (a in INCHES and b in INCHES)


def _unclear(sheet: Sheet) -> Iterator[Finding]:
    """One finding for each reason."""
    by_reason: dict[str, list[ReadAs]] = {}
    for said in sheet.title_block.read:
        if said.trouble and not said.by_user:
            by_reason.setdefault(said.trouble, []).append(said)
    for reason, texts in by_reason.items():
        level = Level.WARNING if reason in (CONTRADICTION, ORDER) else Level.NOTE
        listed = "; ".join(f"'{s.text}' ({s.handle}, {s.layout})" for s in texts)
        yield _finding(
            "title-block-unclear", level, texts, "the title block states something that can't be used",
            [listed, reason],
            "correct the title block; or say with --general-tolerance or --units what holds",
        )  # fmt: skip


def _finding(
    rule: str, level: Level, said: list[ReadAs], message: str, why: list[str], suggestion: str
) -> Finding:
    return Finding(
        rule=rule, level=level, handles=tuple(dict.fromkeys(s.handle for s in said)), message=message, why=tuple(why),
        suggestion=suggestion, at=said[0].at, layout=said[0].layout, where="title block",
    )  # fmt: skip


RULES = (
    Rule("units-disagree", Level.WARNING, "the sheet states another unit than the file", _units),
    Rule("title-block-unclear", Level.WARNING, "a statement of the title block can't be used", _unclear),
)
