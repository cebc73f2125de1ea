"""Tolerance classes that there are not, and limits that are not those of the class beside them."""

from collections.abc import Iterator
from fractions import Fraction

from dimaudit.exact.number import decimal_text
from dimaudit.judge.check import Rule, Sheet
from dimaudit.judge.in_force import fit_of, unit_of_numbers
from dimaudit.judge.saying import finding, named
from dimaudit.judge.written import Written, written_tolerance
from dimaudit.model.audit import Finding, Judgement, Level
from dimaudit.model.general import deviation_text
from dimaudit.model.stated import Stated
from dimaudit.model.units import IN_MM, Unit
from dimaudit.tables.iso286 import NoLimits, limits

ROUNDED_MM = Fraction(1, 2000)
"""Limits are printed to the micrometre: half of one is a rounding."""


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
                why, "look the class up in ISO 286-1 for this size; give the limits themselves where there is none",
            )  # fmt: skip


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
        designation = fit_of(reading)
        if not designation or "/" in designation or statement.stale:
            continue
        table = limits(abs(judgement.stated) * IN_MM[unit], designation)
        if isinstance(table, NoLimits):
            continue
        steps = _steps(written_tolerance(judgement, statement))
        per = _mm_of(judgement, reading, unit)
        upper, lower = reading.tolerance.upper * per, reading.tolerance.lower * per
        if all(
            abs(said - right) <= max(steps.get(abs(said / per), Fraction(0)) * per / 2, ROUNDED_MM)
            for said, right in ((upper, table.upper), (lower, table.lower))
        ):
            continue
        yield finding(
            "fit-limits-disagree", Level.ERROR, judgement, sheet,
            f"{named(judgement)}: the limits are not those of {designation}",
            [f"{designation} at {decimal_text(abs(judgement.stated) * IN_MM[unit], 6)} mm is "
             f"{deviation_text(table.upper, table.lower)} mm (ISO 286-1), the text says "
             f"{deviation_text(upper, lower)}"],
            "ask which of the two is meant, and write one of them, or both alike",
        )  # fmt: skip


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
