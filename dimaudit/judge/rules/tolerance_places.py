"""A size and its tolerance, or two limits, with different numbers of decimals."""

from collections.abc import Iterator

from dimaudit.judge.check import Rule, Sheet
from dimaudit.judge.in_force import unit_of_numbers
from dimaudit.judge.saying import finding, named
from dimaudit.judge.written import Layout, Written, written_tolerance
from dimaudit.model.audit import Finding, Level
from dimaudit.model.drawing import ANGLES
from dimaudit.model.stated import Stated
from dimaudit.model.units import INCHES, Unit
from dimaudit.text.numbers import Amount


def check(sheet: Sheet) -> Iterator[Finding]:
    for judgement, statement in zip(sheet.judgements, sheet.statements, strict=True):
        reading, kind = judgement.reading, judgement.attached.dimension.kind
        if not isinstance(reading, Stated) or statement.stale or kind in ANGLES:
            continue
        unit = unit_of_numbers(judgement.attached, sheet.drawing.unit)
        if (reading.tolerance is None and reading.limits is None) or unit is None:
            continue
        if reading.unit is not None and (reading.unit in INCHES) is not (unit in INCHES):
            continue  # the number follows the practice of its own unit, and says so
        written = written_tolerance(judgement, statement)
        trouble = None if written is None else _trouble(written, reading.limits is not None, unit)
        if trouble is not None:
            yield finding(
                "tolerance-places", Level.NOTE, judgement, sheet,
                f"{named(judgement)} mixes numbers of decimals", [trouble[0]], trouble[1],
            )  # fmt: skip


def _trouble(written: Written, limits: bool, unit: Unit) -> tuple[str, str] | None:
    """Why, and what to do; None where all is as the practice of the unit has it. Fractions are left alone."""
    first, second = written.first, written.second
    if limits:
        if written.layout is Layout.BOTH or second is None or _same(first, second):
            return None
        return f"the limits have {_places(first, second)}", "give both limits the same number of decimals"
    if unit in INCHES:
        numbers = [n for n in (written.size, first, second) if n is not None]
        if written.size is None or _same(*numbers):
            return None
        why = f"size and tolerance have {_places(*numbers)}: in inches they have the same"
        return why, "add zeros to the shorter ones"
    if second is None or None in (first.places, second.places):
        return None
    if first.value == 0 or second.value == 0:
        nil = first if first.value == 0 else second
        if not nil.places:
            return None
        return "the nil side has decimals: in millimetres it is a lone 0", "write the nil side as 0"
    if _same(first, second):
        return None
    why = f"the two deviations have {_places(first, second)}: in millimetres they have the same"
    return why, "add zeros to the shorter one"


def _same(*numbers: Amount) -> bool:
    """Whether all are decimals with one number of places; where one is a fraction, nothing is said."""
    places = {n.places for n in numbers}
    return None in places or len(places) == 1


def _places(*numbers: Amount) -> str:
    return f"{' and '.join(str(n.places) for n in numbers)} decimals"


RULE = Rule("tolerance-places", Level.NOTE, "size and tolerance, or two limits, differ in decimals", check)
