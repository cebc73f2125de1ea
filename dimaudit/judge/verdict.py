"""The stated number against the drawn one."""

from dataclasses import dataclass
from fractions import Fraction

from dimaudit.exact.real import Real, compare, minus, scaled
from dimaudit.judge.stating import Statement
from dimaudit.model.attached import Attached
from dimaudit.model.audit import Judgement, TextSource, Verdict
from dimaudit.model.drawing import ANGLES
from dimaudit.model.stated import Stated, Suppressed, Symbolic, Unreadable
from dimaudit.model.units import Unit, conversion


@dataclass(frozen=True, slots=True)
class InDrawingUnit:
    """The stated number and its last place, in the unit that the drawing is measured in."""

    value: Fraction
    step: Fraction
    limits: tuple[Fraction, Fraction] | None
    tolerance: tuple[Fraction, Fraction] | None
    """(lower, upper) limits that the dimension's own tolerance gives."""


def in_drawing_unit(attached: Attached, stated: Stated, unit: Unit | None) -> InDrawingUnit:
    """Converts a typed text that names its own unit; one that names none is in the drawing's unit times DIMLFAC.

    A text that the style made is in the drawing's unit whatever marks the style adds: feet and inches of a
    millimetre drawing are the style's way to write the number, not a conversion.
    """
    factor = Fraction(1)
    named = stated.unit
    override = attached.dimension.override
    typed = override is not None and "<>" not in override and attached.dimension.kind not in ANGLES
    if typed and named is not None and named is not Unit.DEGREE and unit is not None:
        factor = conversion(named, unit)
        if attached.dimension.true_factor == 1 / factor:  # DIMLFAC itself converts
            factor = Fraction(1)
    limits = None if stated.limits is None else (stated.limits[0] * factor, stated.limits[1] * factor)
    band = None
    if stated.tolerance is not None:
        band = (
            (stated.value + stated.tolerance.lower) * factor,
            (stated.value + stated.tolerance.upper) * factor,
        )
    return InDrawingUnit(stated.value * factor, stated.step * factor, limits, band)


def measured_of(attached: Attached) -> tuple[Real | None, bool, bool]:
    """The number that counts: drawn, else spanned; whether it is from features; whether it was recovered."""
    number = attached.drawn or attached.spanned
    if number is None:
        return None, False, False
    factor = Fraction(1) if attached.dimension.kind in ANGLES else attached.dimension.true_factor
    return scaled(number.value, factor), attached.drawn is not None, number.recovered


def judge(attached: Attached, statement: Statement, unit: Unit | None, view_factor: Fraction) -> Judgement:
    """The judgement of one dimension; `view_factor` is drawn size over true size for its view, else 1."""
    measured, from_features, recovered = measured_of(attached)
    lengths = attached.dimension.kind not in ANGLES
    factor = attached.dimension.true_factor if lengths else Fraction(1)
    if lengths and view_factor != 1 and measured is not None:
        measured, factor = scaled(measured, 1 / view_factor), factor / view_factor

    def result(verdict: Verdict, reason: str = "", stated: InDrawingUnit | None = None) -> Judgement:
        residual = None
        if stated is not None and measured is not None:
            residual = minus(measured, stated.value)
        return Judgement(
            attached, statement.text, statement.source, statement.reading, statement.expected_text, measured,
            from_features, recovered, factor, None if stated is None else stated.value,
            None if stated is None else stated.step, residual, verdict, reason,
        )  # fmt: skip

    match statement.reading:
        case Symbolic():
            return result(Verdict.SYMBOLIC, "a word or a variable stands in place of a number")
        case Unreadable(_, why):
            return result(Verdict.UNREADABLE, why)
        case Suppressed():
            why = attached.why_not or "its text is suppressed: nothing is stated"
            return result(Verdict.NOT_JUDGED, why)
        case Stated() as reading:
            stated = in_drawing_unit(attached, reading, unit)
    if measured is None:
        return result(Verdict.NOT_JUDGED, attached.why_not or "it can't be measured", stated)
    if stated.limits is not None:
        low, high = stated.limits
        if compare(measured, low) >= 0 and compare(measured, high) <= 0:
            return result(Verdict.WITHIN_LIMITS, "", stated)
        return result(Verdict.WRONG, "", stated)
    step = _step(attached, statement, stated)
    verdict = value_verdict(measured, stated.value, step)
    return result(verdict, "", stated)


def _step(attached: Attached, statement: Statement, stated: InDrawingUnit) -> Fraction:
    """The grid that the text was rounded to: its last place, or the style's DIMRND where that is coarser."""
    coarse = attached.dimension.style.round_to
    by_style = statement.source is not TextSource.TYPED and attached.dimension.kind not in ANGLES
    if by_style and coarse > stated.step and stated.value % coarse == 0:
        return coarse
    return stated.step


def value_verdict(measured: Real, stated: Fraction, step: Fraction) -> Verdict:
    """How `stated`, written in steps of `step`, stands to `measured`.

    Within half a step: rounded. At exactly half a step: a tie, if some rounding rule gives the stated number:
    half-up and half-away give the upper neighbour, half-even the one with the even last digit (ASTM E29). What
    no rule gives, and what is less than a whole step short, was cut off. All else is wrong.
    """
    if compare(measured, stated) == 0:
        return Verdict.EXACT
    half = step / 2
    above, below = compare(measured, stated + half), compare(measured, stated - half)
    if below > 0 and above < 0:
        return Verdict.ROUNDED
    if below == 0:
        return Verdict.TIE
    if above == 0 and (stated / step) % 2 == 0:
        return Verdict.TIE
    if above >= 0 and compare(measured, stated + step) < 0:
        return Verdict.CUT_OFF
    return Verdict.WRONG
