"""Feature control frames that say what can't be held, and datums that nobody defined."""

from collections.abc import Iterator
from dataclasses import replace

from dimaudit.judge.check import Rule, Sheet
from dimaudit.model.audit import Finding, Level
from dimaudit.model.control_frame import (
    FORM,
    NEEDS_DATUM,
    RUNOUT,
    Characteristic,
    ControlFrame,
    FrameRow,
    TiedFrame,
)

DATUM_NOT_DEFINED = "datum-not-defined"
NO_SENSE = "frame-makes-no-sense"
NOT_USED = frozenset("IOQ")
"""Letters that look like figures (ASME Y14.5; from memory)."""
FLAT_ZONES = (
    (FORM - {Characteristic.STRAIGHTNESS})
    | RUNOUT
    | {Characteristic.LINE_PROFILE, Characteristic.SURFACE_PROFILE}
)
"""Their zones lie between lines, planes or circles, never in a cylinder (ISO 1101; from memory)."""
NO_MATERIAL_CONDITION = RUNOUT | {Characteristic.CIRCULARITY, Characteristic.CYLINDRICITY}
"""They control a surface, which has no size of its own to be at its most material (ASME Y14.5; from memory)."""
MATERIAL_CONDITIONS = frozenset("ⓂⓁ")


def _say(
    rule: str, level: Level, tied: TiedFrame, message: str, why: list[str], suggestion: str
) -> Finding:
    return Finding(
        rule=rule,
        level=level,
        handles=(tied.origin.handle,),
        message=message,
        why=tuple(why),
        suggestion=suggestion,
        at=(float(tied.at[0]), float(tied.at[1])),
        layout=tied.layout,
        view="" if tied.view is None else tied.view.name,
        subject=f'frame "{tied.frame}"',
    )


def undefined(sheet: Sheet) -> Iterator[Finding]:
    """One finding for each letter that frames refer to and nothing on the drawing defines.

    Where no datum at all was found and part of the drawing was not read, the symbols may be in that part.
    """
    frames = sheet.frames
    if not frames.datums and sheet.drawing.losses:
        return
    defined = {datum.letter for datum in frames.datums}
    met: dict[str, list[TiedFrame]] = {}
    for tied in frames.frames:
        for letter in dict.fromkeys(x for row in tied.frame.rows for d in row.datums for x in d.letters):
            if letter not in defined:
                met.setdefault(letter, []).append(tied)
    for letter, users in met.items():
        here = ", ".join(sorted(defined))
        why = [f"defined on the drawing: {here}" if here else "no datum feature symbol is on the drawing"]
        level = Level.WARNING
        if letter in frames.lone_letters:
            level = Level.NOTE
            why.append(f"a letter {letter} stands by itself, but in no box and at no leader: it may be meant")
        first, more = users[0], len(users) - 1
        also = f" (and {more} more)" if more else ""
        yield _with_handles(
            _say(
                DATUM_NOT_DEFINED, level, first,
                f'frame "{first.frame}"{also} refers to datum {letter}, which nothing defines', why,
                f"put the datum feature symbol {letter} on the feature that is meant, or correct the letter",
            ),
            users,
        )  # fmt: skip


def _with_handles(finding: Finding, users: list[TiedFrame]) -> Finding:
    return replace(finding, handles=tuple(dict.fromkeys(tied.origin.handle for tied in users)))


def senseless(sheet: Sheet) -> Iterator[Finding]:
    """One finding for each frame, with one reason for each thing that is wrong; its level is the worst of them."""
    for tied in sheet.frames.frames:
        wrong = list(_faults(tied.frame))
        if wrong:
            level = min((level for level, _, _ in wrong), key=list(Level).index)
            yield _say(
                NO_SENSE, level, tied, f'frame "{tied.frame}" can\'t be held as it stands',
                [why for _, why, _ in wrong], "; ".join(dict.fromkeys(cure for _, _, cure in wrong)),
            )  # fmt: skip


Fault = tuple[Level, str, str]
"""How bad, why, and what to do."""


def _faults(frame: ControlFrame) -> Iterator[Fault]:
    for row in frame.rows:
        yield from _row_faults(row)
    if len(frame.rows) == 2:
        yield from _refinement(*frame.rows)
    letters = {x for row in frame.rows for d in row.datums for x in d.letters} | {frame.identifier}
    for letter in sorted(letters & NOT_USED):
        yield Level.NOTE, f"the letter {letter} is not used for datums: it is taken for a figure", "use another letter"


def _row_faults(row: FrameRow) -> Iterator[Fault]:
    name = row.characteristic
    if name is None:
        what = f"'{row.symbol}' is no symbol of a geometric characteristic" if row.symbol else "it has no symbol"
        yield Level.WARNING, what, "put the symbol that is meant"
    if row.tolerance is None:
        yield Level.WARNING, "it gives no tolerance", "write the tolerance"
    elif row.tolerance.value <= 0 and not MATERIAL_CONDITIONS & set(row.modifiers):
        yield (
            Level.ERROR, f"a tolerance of {row.tolerance_text} leaves nothing to make the part in",
            "write the tolerance, or Ⓜ if zero at maximum material is meant",
        )  # fmt: skip
    datums = [letter for datum in row.datums for letter in datum.letters]
    if name in FORM and datums:
        yield Level.ERROR, f"{name} is a form: it takes no datum", "take the datum away, or change the symbol"
    if name in NEEDS_DATUM and not datums:
        yield Level.ERROR, f"{name} needs a datum to be measured from", "name the datum"
    if len(set(datums)) < len(datums):
        yield Level.WARNING, "it names a datum twice", "name each datum once"
    if name in FLAT_ZONES and row.zone is not None:
        yield Level.ERROR, f"the zone of {name} is no cylinder: Ø has no meaning here", "take the Ø away"
    if name in NO_MATERIAL_CONDITION and MATERIAL_CONDITIONS & set(row.modifiers):
        yield Level.ERROR, f"{name} can't depend on the feature's size", "take the circled letter away"


def _refinement(upper: FrameRow, lower: FrameRow) -> Iterator[Fault]:
    """The lower row of a composite frame refines the upper one: same symbol, the same datums or the first of them."""
    if upper.tolerance is None or lower.tolerance is None or upper.characteristic is not lower.characteristic:
        return
    same = [str(d.letters) for d in upper.datums][: len(lower.datums)] == [str(d.letters) for d in lower.datums]
    if same and lower.tolerance.value > upper.tolerance.value:
        yield (
            Level.WARNING,
            f"the lower row allows {lower.tolerance_text}, more than the {upper.tolerance_text} of the row it refines",
            "exchange the two rows, or correct the tolerances",
        )


RULES = (
    Rule(DATUM_NOT_DEFINED, Level.WARNING, "a frame refers to a datum that nothing defines", undefined),
    Rule(NO_SENSE, Level.ERROR, "a feature control frame says what can't be held", senseless),
)
