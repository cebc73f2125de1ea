"""A tolerance, or two limits, that no part can be made to, or that are written the wrong way round."""

from collections.abc import Iterator
from fractions import Fraction

from dimaudit.exact.number import decimal_text
from dimaudit.judge.called import Number, called, note_finding, numbers
from dimaudit.judge.check import Rule, Sheet
from dimaudit.judge.in_force import fit_of, unit_of_numbers
from dimaudit.judge.saying import finding, named
from dimaudit.judge.stating import Statement
from dimaudit.judge.written import Layout, written_tolerance
from dimaudit.model.audit import Finding, Judgement, Level, TextSource
from dimaudit.model.drawing import Kind
from dimaudit.model.general import deviation_text
from dimaudit.model.stated import DIAMETERS, RADII, Stated, Tolerance
from dimaudit.model.units import IN_MM, Unit
from dimaudit.tables.iso286 import classes_with

NAME = "tolerance-makes-no-sense"
_SIZES = (Kind.DIAMETER, Kind.RADIUS, Kind.JOGGED_RADIUS)


def check(sheet: Sheet) -> Iterator[Finding]:
    for judgement, statement in zip(sheet.judgements, sheet.statements, strict=True):
        reading = judgement.reading
        if not isinstance(reading, Stated) or statement.stale or reading.reference or reading.boxed:
            continue  # what has a tolerance and may have none is toleranced-reference's
        if reading.tolerance is None and reading.limits is None:
            continue
        is_size = judgement.attached.dimension.kind in _SIZES or reading.sign in (*DIAMETERS, *RADII)
        trouble = _no_size(reading, is_size) or _reversed(judgement, statement, reading)
        value, unit = judgement.stated, unit_of_numbers(judgement.attached, sheet.drawing.unit)
        trouble = trouble or _one_side(reading, value, unit)
        if trouble is not None:
            level, what, why, mend = trouble
            yield finding(NAME, level, judgement, sheet, f"{named(judgement)}: {what}", [why], mend)
    for note in sheet.hole_notes:
        for number in numbers(note, sheet.drawing.unit):
            if (trouble := _in_note(number)) is not None:
                level, what, why, mend = trouble
                yield note_finding(NAME, level, note, f"{called(note)}, the {number.what}: {what}", [why], mend)


def _in_note(number: Number) -> "_Trouble | None":
    stated = number.stated
    if stated.reference or stated.boxed or (stated.tolerance is None and stated.limits is None):
        return None
    if (trouble := _no_size(stated, number.diameter)) is not None:
        return trouble
    if stated.tolerance is not None and stated.tolerance.lower_first:
        return _wrong_way(stated.tolerance, stated.tolerance.lower, stated.tolerance.upper)
    return _one_side(stated, stated.value, number.unit)


_Trouble = tuple[Level, str, str, str]


def _no_size(reading: Stated, is_size: bool) -> _Trouble | None:
    """No room between the limits, or a diameter that could be nothing."""
    mend = "state the limits that the part can be made to"
    ends = reading.limits
    if reading.tolerance is not None:
        ends = reading.value + reading.tolerance.lower, reading.value + reading.tolerance.upper
    assert ends is not None
    low, high = ends
    if low == high:
        why = f"both limits are {decimal_text(low)}: only the exact size would pass"
        return Level.ERROR, "its tolerance leaves no room", why, mend
    if is_size and low <= 0 < reading.value:
        why = f"its lower limit is {decimal_text(low)}: no diameter or radius is that small"
        return Level.ERROR, "its tolerance is larger than the size", why, mend
    return None


def _reversed(judgement: Judgement, statement: Statement, reading: Stated) -> _Trouble | None:
    """The plus value below the minus value, or the upper limit below the lower one."""
    written = written_tolerance(judgement, statement)
    if statement.source is TextSource.STYLE and reading.tolerance is not None:
        style = judgement.attached.dimension.style
        upper, lower = style.plus, -style.minus
    elif written is None or written.second is None:
        return None
    else:
        upper, lower = written.first.value, written.second.value
    if upper >= lower:
        return None
    if reading.limits is not None and written is not None and written.layout is Layout.STACK:
        why = f"{decimal_text(upper)} stands above {decimal_text(lower)}; the upper limit belongs above the lower one"
        mend = "put the larger limit above, or say what the two numbers are"
        return Level.WARNING, "its upper limit stands below its lower one", why, mend
    if reading.tolerance is None:
        return None
    return _wrong_way(reading.tolerance, upper, lower)


def _wrong_way(tolerance: Tolerance, upper: Fraction, lower: Fraction) -> _Trouble:
    """`upper` and `lower` as they are written."""
    right = deviation_text(tolerance.upper, tolerance.lower)
    why = f"{decimal_text(upper)} stands where the upper deviation belongs, {decimal_text(lower)} where the lower"
    return Level.WARNING, "its tolerance is written the wrong way round", why, f"write {right}, if that is meant"


def _one_side(reading: Stated, value: Fraction | None, unit: Unit | None) -> _Trouble | None:
    """The nominal is outside its own limits; classes such as G7 are like that, and are known by their figures."""
    tolerance = reading.tolerance
    if tolerance is None or tolerance.lower <= 0 <= tolerance.upper or fit_of(reading):
        return None
    if value is not None and _is_class(value, tolerance, unit):
        return None
    why = f"{deviation_text(tolerance.upper, tolerance.lower)} lie on one side of it: the stated size itself is refused"
    mend = "see that the signs are right; a shop that works to the stated size makes scrap"
    return Level.NOTE, "the stated size is outside its own limits", why, mend


def _is_class(value: Fraction, tolerance: Tolerance, unit: Unit | None) -> bool:
    if unit is None or unit is Unit.DEGREE:
        return False
    per = IN_MM[unit]
    return bool(classes_with(abs(value) * per, tolerance.upper * per, tolerance.lower * per))


RULE = Rule(NAME, Level.ERROR, "a tolerance that no part can be made to, or that is written the wrong way round", check)
