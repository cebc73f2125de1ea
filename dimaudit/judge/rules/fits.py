"""Tolerance classes that there are not, and limits that are not those of the class beside them."""

from collections.abc import Iterator, Mapping
from fractions import Fraction

from dimaudit.exact.number import decimal_text
from dimaudit.judge.called import called, last_place, note_finding, numbers
from dimaudit.judge.check import Rule, Sheet
from dimaudit.judge.in_force import fit_of, unit_of_numbers
from dimaudit.judge.saying import finding, named
from dimaudit.judge.written import Written, written_tolerance
from dimaudit.model.audit import Finding, Judgement, Level
from dimaudit.model.general import deviation_text
from dimaudit.model.stated import Stated, Tolerance
from dimaudit.model.units import IN_MM, Unit
from dimaudit.tables.iso286 import NoLimits, limits

ROUNDED_MM = Fraction(1, 2000)
"""Limits are printed to the micrometre: half of one is a rounding."""

LOOK_UP = "look the class up in ISO 286-1 for this size; give the limits themselves where there is none"
WHICH = "ask which of the two is meant, and write one of them, or both alike"


def _unknown(sheet: Sheet) -> Iterator[Finding]:
    for judgement in sheet.judgements:
        reading, unit = judgement.reading, unit_of_numbers(judgement.attached, sheet.drawing.unit)
        designation = fit_of(reading) if isinstance(reading, Stated) else ""
        if not designation or judgement.stated is None or unit is None:
            continue
        why = _why_unknown(designation, abs(judgement.stated) * IN_MM[unit])
        if why:
            yield finding(
                "fit-unknown", Level.WARNING, judgement, sheet, f"{named(judgement)}: {designation} is no fit for it",
                why, LOOK_UP,
            )  # fmt: skip
    for note in sheet.hole_notes:
        for number in numbers(note, sheet.drawing.unit):
            designation = fit_of(number.stated)
            if designation and number.unit is not None and number.unit is not Unit.DEGREE:
                why = _why_unknown(designation, abs(number.stated.value) * IN_MM[number.unit])
                if why:
                    message = f"{called(note)}, the {number.what}: {designation} is no fit for it"
                    yield note_finding("fit-unknown", Level.WARNING, note, message, why, LOOK_UP)


def _why_unknown(designation: str, nominal_mm: Fraction) -> list[str]:
    parts = designation.split("/")
    why = []
    for part in parts:
        found = limits(nominal_mm, part)
        if isinstance(found, NoLimits) and not found.exists:
            why.append(f"{found.why} (ISO 286-1)")
    if len(parts) == 2 and not (parts[0][:1].isupper() and parts[1][:1].islower()):
        why.append("a fit names the hole first, in capitals, and then the shaft, in small letters")
    return why


def _disagree(sheet: Sheet) -> Iterator[Finding]:
    for judgement, statement in zip(sheet.judgements, sheet.statements, strict=True):
        reading, unit = judgement.reading, unit_of_numbers(judgement.attached, sheet.drawing.unit)
        if not isinstance(reading, Stated) or reading.tolerance is None or judgement.stated is None or unit is None:
            continue
        if statement.stale:
            continue
        steps = _steps(written_tolerance(judgement, statement))
        nominal = abs(judgement.stated) * IN_MM[unit]
        why = _why_not_those(fit_of(reading), nominal, reading.tolerance, _mm_of(judgement, reading, unit), steps)
        if why is not None:
            yield finding(
                "fit-limits-disagree", Level.ERROR, judgement, sheet,
                f"{named(judgement)}: the limits are not those of {fit_of(reading)}", [why], WHICH,
            )  # fmt: skip
    for note in sheet.hole_notes:
        for number in numbers(note, sheet.drawing.unit):
            stated = number.stated
            if stated.tolerance is None or number.unit is None or number.unit is Unit.DEGREE:
                continue
            per = IN_MM[number.unit]
            # A note has no style: the finest number of the three says how many decimals they all have.
            step = last_place(stated) or Fraction(0)
            steps = {abs(d): step for d in (stated.tolerance.upper, stated.tolerance.lower) if d}
            why = _why_not_those(fit_of(stated), abs(stated.value) * per, stated.tolerance, per, steps)
            if why is not None:
                message = f"{called(note)}, the {number.what}: the limits are not those of {fit_of(stated)}"
                yield note_finding("fit-limits-disagree", Level.ERROR, note, message, [why], WHICH)


def _why_not_those(
    designation: str, nominal_mm: Fraction, tolerance: Tolerance, per: Fraction, steps: Mapping[Fraction, Fraction]
) -> str | None:
    """How the deviations, `per` millimetres each unit, differ from those of the class; None where they do not."""
    if not designation or "/" in designation:
        return None
    table = limits(nominal_mm, designation)
    if isinstance(table, NoLimits):
        return None
    upper, lower = tolerance.upper * per, tolerance.lower * per
    if all(
        abs(said - right) <= max(steps.get(abs(said / per), Fraction(0)) * per / 2, ROUNDED_MM)
        for said, right in ((upper, table.upper), (lower, table.lower))
    ):
        return None
    return (
        f"{designation} at {decimal_text(nominal_mm, 6)} mm is {deviation_text(table.upper, table.lower)} mm "
        f"(ISO 286-1), the text says {deviation_text(upper, lower)}"
    )


def _steps(written: Written | None) -> dict[Fraction, Fraction]:
    """One unit in the last place of each deviation, by its size; a lone 0 is exact."""
    if written is None:
        return {}
    return {abs(n.value): n.step for n in (written.first, written.second) if n is not None and n.places}


def _mm_of(judgement: Judgement, reading: Stated, unit: Unit) -> Fraction:
    """Millimetres in one unit of the text: judged number over written number."""
    scale = judgement.stated / reading.value if judgement.stated is not None and reading.value else Fraction(1)
    return scale * IN_MM[unit]


RULES = (
    Rule("fit-unknown", Level.WARNING, "a tolerance class that ISO 286-1 does not have for the size", _unknown),
    Rule("fit-limits-disagree", Level.ERROR, "written limits are not those of the class beside them", _disagree),
)
