"""The stated number against the drawn one."""

from dataclasses import dataclass
from fractions import Fraction

from dimaudit.exact.real import Real, compare, is_certain_equality, minus, scaled
from dimaudit.judge.stating import Statement
from dimaudit.judge.values import value_verdict
from dimaudit.model.attached import Attached, End
from dimaudit.model.audit import Judgement, TextSource, Verdict
from dimaudit.model.drawing import ANGLES, Kind, LineRole
from dimaudit.model.stated import Sign, Stated, Suppressed, Symbolic, Unreadable
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
    if measured is not None and _is_half_view(attached, statement, measured):
        view_factor = view_factor / 2
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
        return result(_within(measured, *stated.limits), "", stated)
    if reading.one_sided:
        highest, lowest = (any(w.upper().startswith(word) for w in reading.words) for word in ("MAX", "MIN"))
        if highest == lowest:
            return result(Verdict.NOT_JUDGED, "both a highest and a lowest size are named", stated)
        return result(
            _within(measured, None if highest else stated.value, stated.value if highest else None), "", stated
        )
    step = _step(attached, statement, stated)
    verdict = value_verdict(measured, stated.value, step)
    if verdict is Verdict.EXACT and not is_certain_equality(measured):
        return result(verdict, "equal as far as 1e-30", stated)
    if stated.tolerance is not None and verdict is not Verdict.EXACT:
        low, high = sorted(stated.tolerance)
        if _within(measured, low, high) is Verdict.WRONG:  # limits are absolute: ASME Y14.5, ISO 14405-1
            verdict = Verdict.WRONG
    return result(verdict, "", stated)


def _is_half_view(attached: Attached, statement: Statement, measured: Real) -> bool:
    """Whether a full diameter is stated from the axis of a half view, as is usual for symmetrical parts (ISO 129-1).

    Told by the diameter sign on a straight dimension that ends on a centreline, and by the double of it fitting.
    """
    reading = statement.reading
    if attached.dimension.kind not in (Kind.LINEAR, Kind.ALIGNED) or not isinstance(reading, Stated):
        return False
    if reading.sign is not Sign.DIAMETER or not any(_on_axis(end) for end in attached.ends):
        return False
    double = scaled(measured, Fraction(2))
    return value_verdict(double, reading.value, reading.step) in (Verdict.EXACT, Verdict.ROUNDED, Verdict.TIE)


def _on_axis(end: End) -> bool:
    return end.feature is not None and any(s.origin.role is LineRole.CENTRE for s in end.feature.shapes)


def _within(measured: Real, low: Fraction | None, high: Fraction | None) -> Verdict:
    """Limits count to the last digit, however many are written (ASME Y14.5); None is no limit on that side."""
    above = low is None or compare(measured, low) >= 0
    below = high is None or compare(measured, high) <= 0
    return Verdict.WITHIN_LIMITS if above and below else Verdict.WRONG


def _step(attached: Attached, statement: Statement, stated: InDrawingUnit) -> Fraction:
    """The grid that the text was rounded to: its last place, or the style's DIMRND where that is coarser."""
    coarse = attached.dimension.style.round_to
    by_style = statement.source is not TextSource.TYPED and attached.dimension.kind not in ANGLES
    if by_style and coarse > stated.step and stated.value % coarse == 0:
        return coarse
    return stated.step
