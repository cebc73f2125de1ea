"""The stated number is a rounding of the drawn one; a tie is named with the rule that it takes."""

from collections.abc import Iterator
from fractions import Fraction

from dimaudit.exact.number import Rounding, decimal_places, decimal_text, fraction_text
from dimaudit.exact.real import compare, minus
from dimaudit.judge.check import Rule, Sheet
from dimaudit.judge.in_force import OWN
from dimaudit.judge.saying import finding, named, number_text, residual_text
from dimaudit.model.audit import Finding, Judgement, Level, Verdict
from dimaudit.model.drawing import ANGLES
from dimaudit.model.stated import Stated
from dimaudit.model.units import INCHES
from dimaudit.text.places import size_text

MOST_PLACES = 6
"""More decimals than this are not asked for on a print; a fraction says it instead."""


def check(sheet: Sheet) -> Iterator[Finding]:
    for judgement, statement in zip(sheet.judgements, sheet.statements, strict=True):
        if judgement.verdict not in (Verdict.ROUNDED, Verdict.TIE) or statement.stale:
            continue
        measured, reading = judgement.measured, judgement.reading
        assert isinstance(reading, Stated)
        assert measured is not None
        unit = sheet.drawing.unit
        why = [f"exact {number_text(measured, judgement, unit)}, less stated {judgement.text}: "
               f"{residual_text(judgement)}"]  # fmt: skip
        if judgement.verdict is Verdict.TIE:
            why.append(_tie(judgement, sheet))
        why.append(_places(judgement))
        level, share = _share(judgement, reading, sheet)
        why.append(share)
        what = "a tie: it lies exactly between two neighbours" if judgement.verdict is Verdict.TIE else "rounded"
        yield finding(
            "rounded", level, judgement, sheet, f"{named(judgement)} is {what}", why, _mend(judgement, sheet)
        )


def _tie(judgement: Judgement, sheet: Sheet) -> str:
    assert judgement.stated is not None
    assert judgement.measured is not None
    up = compare(judgement.measured, judgement.stated) < 0
    even = judgement.step is not None and (judgement.stated / judgement.step) % 2 == 0
    rules = [str(Rounding.HALF_UP)] if up else []
    if even:
        rules.append(str(Rounding.HALF_EVEN))
    force = sheet.settings.rounding
    kept = str(force) in rules or (force is Rounding.HALF_AWAY and up)
    by = f"{' and '.join(rules)} {'write' if len(rules) > 1 else 'writes'} it so"
    return f"{by}; the rule in force ({force}) {'does' if kept else 'does not'}; both forms are in use"


def _places(judgement: Judgement) -> str:
    value = judgement.measured
    if not isinstance(value, Fraction):
        return "no number of decimals states it exactly: it is irrational"
    places = decimal_places(value)
    if places is not None and places > MOST_PLACES:
        return "the drawn size is no round number; no short decimal states it"
    if places is None:
        return f"no number of decimals states it exactly: it is {fraction_text(value)}"
    exactly = f"it exactly: {decimal_text(value)}"
    return f"1 decimal states {exactly}" if places == 1 else f"{places} decimals state {exactly}"


def _share(judgement: Judgement, reading: Stated, sheet: Sheet) -> tuple[Level, str]:
    """The share of the tolerance that the residual eats, on the side of the residual."""
    if reading.reference:
        return Level.NOTE, "a reference dimension: it controls nothing"
    force = judgement.in_force
    if force is not None and force.band is None:
        return Level.NOTE, f"{force.source}: its weight is not judged"
    if force is None or force.band is None or judgement.stated is None or judgement.measured is None:
        return Level.NOTE, "no tolerance is known for it: its weight is not judged"
    low, high = minus(judgement.measured, judgement.stated)
    off = (low + high) / 2
    room = (force.band[1] - judgement.stated) if off > 0 else (judgement.stated - force.band[0])
    share = abs(off) / room
    by = "" if force.source == OWN else f" ({force.source})"
    percent = f"{decimal_text(share * 100, 1)} % of the tolerance on that side{by}"
    if share >= sheet.settings.eaten_share:
        return Level.WARNING, f"rounding eats {percent}"
    return Level.NOTE, f"rounding eats {percent}: harmless"


def _mend(judgement: Judgement, sheet: Sheet) -> str:
    value = judgement.measured
    if isinstance(value, Fraction):
        places = decimal_places(value)
        ways = []
        if places is not None and places <= MOST_PLACES:
            ways.append(f"state {size_text(value, sheet.drawing.unit)}")
        fractions = sheet.drawing.unit in INCHES and judgement.attached.dimension.kind not in ANGLES
        if fractions and value.denominator > 1 and 128 % value.denominator == 0:
            ways.append(f"state the fraction {fraction_text(value)}")
        if ways:
            return " or ".join(ways) + "; leave it where the tolerance allows the rounding"
    return "leave it where the tolerance allows the rounding; else dimension from another feature or add a place"


RULE = Rule("rounded", Level.WARNING, "the stated number is a rounding of the drawn one", check)
