"""The stated number against the drawn one."""

from dataclasses import dataclass, replace
from fractions import Fraction

from dimaudit.exact.real import Real, compare, is_certain_equality, minus, scaled
from dimaudit.judge.in_force import tolerance_in_force
from dimaudit.judge.stating import Statement
from dimaudit.judge.values import value_verdict
from dimaudit.model.attached import Attached, End
from dimaudit.model.audit import InForce, Judgement, TextSource, Verdict
from dimaudit.model.drawing import ANGLES, Arc, Circle, Kind, LineRole
from dimaudit.model.general import GeneralTolerances
from dimaudit.model.geometry import FeatureKind
from dimaudit.model.stated import DIAMETERS, RADII, Stated, Suppressed, Symbolic, Unreadable
from dimaudit.model.style import LinearFormat
from dimaudit.model.units import Unit, conversion
from dimaudit.model.view import View

NO_GENERAL = GeneralTolerances()
"""Where no title block says anything."""


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


def judge(
    attached: Attached, statement: Statement, unit: Unit | None, view_factor: Fraction,
    general: GeneralTolerances = NO_GENERAL,
) -> Judgement:  # fmt: skip
    """The judgement of one dimension; `view_factor` is drawn size over true size for its view, else 1."""
    measured, from_features, recovered = measured_of(attached)
    lengths = attached.dimension.kind not in ANGLES
    multiple = Fraction(1)
    if measured is not None and isinstance(statement.reading, Stated):
        multiple = sign_factor(attached, statement.reading, measured)
    view_factor /= multiple
    factor = attached.dimension.true_factor if lengths else Fraction(1)
    if lengths and view_factor != 1 and measured is not None:
        measured, factor = scaled(measured, 1 / view_factor), factor / view_factor

    in_force: InForce | None = None

    def result(verdict: Verdict, reason: str = "", stated: InDrawingUnit | None = None) -> Judgement:
        residual = None
        if stated is not None and measured is not None:
            residual = minus(measured, stated.value)
        return Judgement(
            attached, statement.text, statement.source, statement.reading, statement.expected_text, measured,
            from_features, recovered, factor, None if stated is None else stated.value,
            None if stated is None else stated.step, residual, verdict, reason,
            in_force, multiple if lengths else Fraction(1),
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
            in_force = tolerance_in_force(
                attached, statement.text, reading, stated.value, stated.limits, stated.tolerance, unit, factor, general
            )
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
    if step != stated.step:
        stated = replace(stated, step=step)
    verdict = value_verdict(measured, stated.value, stated.step)
    if verdict is Verdict.CUT_OFF and reading.denominator is not None:
        verdict = Verdict.WRONG  # a fraction has no digits to cut off
    if verdict in (Verdict.TIE, Verdict.CUT_OFF):
        # What the file holds, noise and all, may round the way it is written though the number that was meant does not.
        raws = [number.raw for number in (attached.drawn, attached.spanned) if number is not None and number.recovered]
        held = [value_verdict(scaled(raw, factor), stated.value, stated.step) for raw in raws]
        if any(v in (Verdict.EXACT, Verdict.ROUNDED) for v in held):
            verdict = Verdict.ROUNDED
    if verdict is Verdict.EXACT and not is_certain_equality(measured):
        return result(verdict, "equal as far as 1e-30", stated)
    band = stated.tolerance if in_force is None else in_force.band or stated.tolerance
    if band is not None and verdict is not Verdict.EXACT and _within(measured, *sorted(band)) is Verdict.WRONG:
        verdict = Verdict.WRONG  # limits are absolute: ASME Y14.5, ISO 14405-1
    return result(verdict, "", stated)


def sign_factor(attached: Attached, reading: Stated, measured: Real) -> Fraction:
    """What the written symbol makes of the measured number: R is a radius and Ø a diameter, whatever was measured.

    2 for a diameter sign on a radius (a radius dimension, or one from a circle's centre to the circle), 1/2 for a
    radius sign on a diameter, else 1. Equal steps written '8X 20 (=160)' and measured over all of them are divided
    by their count. A diameter given from the axis of a half view is doubled where that fits, as
    is usual for symmetrical parts (ISO 129-1); so is any size of which only one end is drawn.
    """
    kind = attached.dimension.kind
    if reading.count and any("=" in word for word in reading.words):
        step = value_verdict(scaled(measured, Fraction(1, reading.count)), reading.value, reading.step)
        return Fraction(1, reading.count) if step in (Verdict.EXACT, Verdict.ROUNDED, Verdict.TIE) else Fraction(1)
    if attached.dimension.style.half is not None and kind in (Kind.LINEAR, Kind.ALIGNED):
        return _doubled(reading, measured)
    diameter, radius = reading.sign in DIAMETERS, reading.sign in RADII
    if not diameter and not radius:
        return Fraction(1)
    if kind in (Kind.RADIUS, Kind.JOGGED_RADIUS):
        return Fraction(2 if diameter else 1)
    if kind is Kind.DIAMETER:
        return Fraction(1, 2) if radius else Fraction(1)
    if kind not in (Kind.LINEAR, Kind.ALIGNED) or any(end.feature is None for end in attached.ends):
        return Fraction(1)
    centres = [end.feature is not None and end.feature.kind is FeatureKind.CENTRE for end in attached.ends]
    if _one_circle(attached):
        if diameter and sum(centres) == 1:
            return Fraction(2)
        if radius and not any(centres):
            return Fraction(1, 2)
    if diameter and any(_on_axis(end, attached.view) for end in attached.ends):
        return _doubled(reading, measured)
    return Fraction(1)


def _doubled(reading: Stated, measured: Real) -> Fraction:
    """2 where the number is twice the measured one, and not the measured one itself."""
    double = value_verdict(scaled(measured, Fraction(2)), reading.value, reading.step)
    single = value_verdict(measured, reading.value, reading.step)
    whole = single is Verdict.WRONG and double in (Verdict.EXACT, Verdict.ROUNDED, Verdict.TIE)
    return Fraction(2 if whole else 1)


def _one_circle(attached: Attached) -> bool:
    """Whether both ends are places of one and the same circle or arc."""
    rounds = [
        {id(s) for s in end.feature.shapes if isinstance(s, (Arc, Circle))} if end.feature else set()
        for end in attached.ends
    ]
    return len(rounds) == 2 and bool(rounds[0] & rounds[1])


def _on_axis(end: End, view: View | None) -> bool:
    """Whether an end is on a centreline, or on a corner that a centreline runs through."""
    if end.feature is None or view is None:
        return False
    if any(s.origin.role is LineRole.CENTRE for s in end.feature.shapes):
        return True
    x, y = float(end.feature.raw[0]), float(end.feature.raw[1])
    for line in view.centrelines:
        ax, ay = float(line.a[0]), float(line.a[1])
        dx, dy = float(line.b[0]) - ax, float(line.b[1]) - ay
        size = dx * dx + dy * dy
        along = (x - ax) * dx + (y - ay) * dy
        if size and 0 <= along <= size and abs((x - ax) * dy - (y - ay) * dx) <= view.xs.snap * size**0.5:
            return True
    return False


def _within(measured: Real, low: Fraction | None, high: Fraction | None) -> Verdict:
    """Limits count to the last digit, however many are written (ASME Y14.5); None is no limit on that side."""
    above = low is None or compare(measured, low) >= 0
    below = high is None or compare(measured, high) <= 0
    return Verdict.WITHIN_LIMITS if above and below else Verdict.WRONG


FINEST_FRACTION = 64
"""Fractions of an inch are read to this denominator (common practice, no source): 2 1/2 may be read in 64ths."""


def _step(attached: Attached, statement: Statement, stated: InDrawingUnit) -> Fraction:
    """The grid that the text was rounded to: its last place, or the style's DIMRND where that is coarser.

    What is typed in lowest terms hides its places: a typed fraction is taken to the 64th (or to the style's own
    denominator), a typed whole number to the places that the style would show.
    """
    style = attached.dimension.style
    if attached.dimension.kind in ANGLES:
        return stated.step
    if statement.source is not TextSource.TYPED:
        coarse = style.round_to
        return coarse if coarse > stated.step and stated.value % coarse == 0 else stated.step
    reading = statement.reading
    assert isinstance(reading, Stated)
    unit = stated.step / reading.step
    if reading.denominator is not None and reading.denominator > 1:
        own = 1 << style.places if style.linear_format in _FRACTIONS else FINEST_FRACTION
        return unit / max(own, reading.denominator)
    if reading.places == 0 and style.linear_format not in _FRACTIONS:
        return min(stated.step, unit * Fraction(1, 10**style.places))
    if reading.value.denominator == 1 and style.linear_format in _FRACTIONS:
        return min(stated.step, unit * Fraction(1, 1 << style.places))
    return stated.step


_FRACTIONS = (LinearFormat.ARCHITECTURAL, LinearFormat.FRACTIONAL)
