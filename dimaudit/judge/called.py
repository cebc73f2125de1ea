"""Hole call-outs as the rules look at them: those of notes with the factor of their view, and those of dimensions."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from dimaudit.exact.number import decimal_places
from dimaudit.judge.in_force import unit_after
from dimaudit.judge.pitch import pitch_circles
from dimaudit.judge.scale import ViewScale
from dimaudit.judge.values import value_verdict
from dimaudit.model.audit import Finding, Judgement, Level, Verdict
from dimaudit.model.drawing import ANGLES, Arc, Circle, Kind
from dimaudit.model.pointed import Carrier, HoleNote, RadiusNote
from dimaudit.model.rings import DrawnHole
from dimaudit.model.settings import Lengths
from dimaudit.model.stated import CallOut, HoleStep, Stated, StepKind
from dimaudit.model.units import INCHES, Unit, conversion
from dimaudit.model.view import View

AGREES = (Verdict.EXACT, Verdict.ROUNDED, Verdict.TIE, Verdict.WITHIN_LIMITS, Verdict.CUT_OFF)

NO_VIEW = "no dimension belongs to the linework that it points at: nothing says at what scale that is drawn"
NO_SCALE = "no length dimension of its view agrees with the linework: nothing says at what scale that is drawn"
TWO_SCALES = "the dimensions of its view name different scales (DIMLFAC)"


def with_dimensions(
    notes: Sequence[HoleNote], judgements: Sequence[Judgement], scales: Mapping[int, ViewScale], lengths: Lengths
) -> tuple[HoleNote, ...]:
    """The notes and the dimensions that carry a call-out, each with what is drawn: scale and pitch circle."""
    placed = []
    factors: dict[int, tuple[Fraction | None, str]] = {}
    for note in notes:
        key = id(note.view)
        if key not in factors:
            unknown = (None, NO_VIEW)
            factors[key] = unknown if note.view is None else true_over_drawn(note.view, judgements, scales.get(key))
        factor, why = factors[key]
        placed.append(replace(note, factor=factor, scale_unknown=why))
    placed += [n for j in judgements if (n := _of_dimension(j, scales)) is not None]
    return tuple(_with_pitch(note, lengths) for note in placed)


def _with_pitch(note: HoleNote, lengths: Lengths) -> HoleNote:
    if note.call_out.bolt_circle is None or note.view is None or not note.holes:
        return note
    return replace(note, pitches=pitch_circles(note.view, note.holes[0], note.call_out.count, lengths))


def with_scale(
    notes: Sequence[RadiusNote], judgements: Sequence[Judgement], scales: Mapping[int, ViewScale]
) -> tuple[RadiusNote, ...]:
    """The notes of radii, each with true size over drawn size of its view."""
    placed = []
    for note in notes:
        factor, why = (None, NO_VIEW)  if note.view is None else true_over_drawn(
            note.view, judgements, scales.get(id(note.view)))
        placed.append(replace(note, factor=factor, scale_unknown=why))
    return tuple(placed)


def true_over_drawn(
    view: View, judgements: Sequence[Judgement], scale: ViewScale | None
) -> tuple[Fraction | None, str]:
    """The one factor of the lengths that agree with the linework of the view; where there is none, why."""
    members = [j for j in judgements if j.attached.view is view]
    own = 1 / (view.scale or (scale.factor if scale is not None else Fraction(1)))
    lengths = [j for j in members if j.attached.dimension.kind not in ANGLES and j.from_features]
    right = [j for j in lengths if j.verdict in AGREES]
    if view.scale is None and (not right or sum(j.verdict is Verdict.WRONG for j in lengths) >= len(right)):
        return None, NO_SCALE
    factors = {j.attached.dimension.true_factor for j in right} or {Fraction(1)}
    if len(factors) > 1:
        return None, TWO_SCALES
    return factors.pop() * own, ""


def _of_dimension(judgement: Judgement, scales: Mapping[int, ViewScale]) -> HoleNote | None:
    """A diameter dimension that says more than its size."""
    reading, attached = judgement.reading, judgement.attached
    if not isinstance(reading, Stated) or (reading.call_out is None and reading.count is None):
        return None
    dimension, view = attached.dimension, attached.view
    call_out = reading.call_out or CallOut(None, (HoleStep(StepKind.HOLE, reading),))
    call_out = replace(call_out, count=reading.count or call_out.count, words=(*reading.words, *call_out.words))
    hole = None if view is None else _measured_hole(judgement, view)
    if hole is None:
        return None
    factor = dimension.true_factor / (scales[id(view)].factor if id(view) in scales else Fraction(1))
    right = judgement.verdict in AGREES
    at = dimension.shown_at or next(iter(dimension.points.values()))
    return HoleNote(
        call_out, judgement.text.replace("\n", " "), Carrier.DIMENSION, (dimension.handle,), at, dimension.layout,
        view, (hole,), True, "", factor if right else None, "" if right else "its own size is not the drawn one",
    )  # fmt: skip


def _measured_hole(judgement: Judgement, view: View) -> DrawnHole | None:
    """The hole whose circle the dimension measures: a diameter, or a length across one circle."""
    attached = judgement.attached
    if attached.dimension.kind not in (Kind.DIAMETER, Kind.LINEAR, Kind.ALIGNED):
        return None
    rounds = [
        {s.origin.handle for s in end.feature.shapes if isinstance(s, (Arc, Circle))} if end.feature else set()
        for end in attached.ends
    ]
    both = set.intersection(*rounds) if len(rounds) == 2 else set()
    if not both:
        return None
    return next((hole for hole in view.drawn_holes if both & set(hole.handles)), None)


@dataclass(frozen=True, slots=True)
class Number:
    """One number of a call-out."""

    what: str
    """'hole', 'depth of the counterbore', 'bolt circle'."""
    stated: Stated
    unit: Unit | None
    """The unit it is in, as far as it is known."""
    drawn: Fraction | None = None
    """The drawn diameter that it agrees with, in that unit."""
    diameter: bool = False


def numbers(note: HoleNote, unit: Unit | None) -> Iterator[Number]:
    """All numbers of a call-out; of a dimension's, those behind its own size, which has rules of its own."""
    out = note.call_out
    of_text = unit if note.factor is None else unit_after(note.factor, unit)
    for k, step in enumerate(out.steps):
        if step.diameter is not None and (k or note.carrier is not Carrier.DIMENSION):
            yield Number(str(step.kind), step.diameter, step.diameter.unit or of_text,
                         _drawn(note, step.diameter, unit), True)  # fmt: skip
        if step.depth is not None:
            yield Number(f"depth of the {step.kind}", step.depth, step.depth.unit or of_text)
        if step.angle is not None:
            yield Number(f"angle of the {step.kind}", step.angle, Unit.DEGREE)
    if out.thread_depth is not None:
        yield Number("depth of the thread", out.thread_depth, out.thread_depth.unit or of_text)
    if out.bolt_circle is not None:
        yield Number("bolt circle", out.bolt_circle, out.bolt_circle.unit or of_text, diameter=True)


def _drawn(note: HoleNote, stated: Stated, unit: Unit | None) -> Fraction | None:
    """The drawn diameter that the number agrees with, in the number's unit."""
    if note.factor is None:
        return None
    value = size_in(stated, unit)[0]
    sizes = [2 * ring.radius * note.factor for hole in note.holes for ring in hole.rings]
    right = [size for size in sizes if verdict_on(size, stated, unit) in AGREES]
    if not right or not value:
        return None
    return min(right, key=lambda size: abs(size - value)) * stated.value / value


# --- sizes and words that the rules share --------------------------------------------------------

FINEST_FRACTION = 64
WHOLE_METRIC = Fraction(1, 10)
"""A note has no style: fractions are read to the 64th, whole numbers to the tenth of a millimetre. Common practice,
no source."""


def size_in(stated: Stated, unit: Unit | None) -> tuple[Fraction, Fraction]:
    """Value and last place of a number of a note, in the drawing's unit."""
    factor = Fraction(1)
    if stated.unit is not None and stated.unit is not Unit.DEGREE and unit is not None:
        factor = conversion(stated.unit, unit)
    step = stated.step
    if stated.denominator is not None and stated.denominator > 1:
        step = Fraction(1, max(FINEST_FRACTION, stated.denominator))
    elif stated.value.denominator == 1 and not stated.places:
        inches = (stated.unit or unit) in INCHES
        step = min(step, Fraction(1, FINEST_FRACTION) if inches else WHOLE_METRIC)
    return stated.value * factor, step * factor


def last_place(stated: Stated) -> Fraction | None:
    """One unit in the last decimal of a size with its tolerance or limits; None for fractions."""
    if stated.places is None:
        return None
    ends = [stated.value] if stated.limits is None else [*stated.limits]
    if stated.tolerance is not None:
        ends += [stated.tolerance.upper, stated.tolerance.lower]
    places = [decimal_places(end) for end in ends]
    return None if None in places else Fraction(1, 10 ** max(stated.places, *(p for p in places if p is not None)))


def verdict_on(drawn: Fraction, stated: Stated, unit: Unit | None) -> Verdict:
    """How a number of a note stands to the drawn one, both in the drawing's unit."""
    value, step = size_in(stated, unit)
    factor = value / stated.value if stated.value else Fraction(1)
    if stated.limits is not None:
        low, high = (limit * factor for limit in stated.limits)
        return Verdict.WITHIN_LIMITS if low <= drawn <= high else Verdict.WRONG
    if stated.one_sided:
        most = any(word.upper().startswith("MAX") for word in stated.words)
        inside = drawn <= value if most else drawn >= value
        return Verdict.WITHIN_LIMITS if inside else Verdict.WRONG
    verdict = value_verdict(drawn, value, step)
    if verdict is Verdict.WRONG and stated.tolerance is not None:
        low, high = sorted((value + stated.tolerance.lower * factor, value + stated.tolerance.upper * factor))
        if low <= drawn <= high:
            return Verdict.WITHIN_LIMITS
    return verdict


def called(note: HoleNote | RadiusNote) -> str:
    """'hole note "4X Ø.281 THRU"'."""
    if isinstance(note, RadiusNote):
        return f'radius note "{note.text}"'
    return f'{"dimension" if note.carrier is Carrier.DIMENSION else "hole note"} "{note.text}"'


def note_finding(
    rule: str, level: Level, note: HoleNote | RadiusNote, message: str, why: Sequence[str], suggestion: str,
    circles: Sequence[str] = (),
) -> Finding:  # fmt: skip
    """A finding about one call-out: the handles of its text, its pointers, and the circles that it is about."""
    return Finding(
        rule=rule,
        level=level,
        handles=tuple(dict.fromkeys((*note.handles, *circles))),
        message=message,
        why=tuple(why),
        suggestion=suggestion,
        at=(float(note.at[0]), float(note.at[1])),
        layout=note.layout,
        view="" if note.view is None else note.view.name,
        subject=called(note),
    )
