"""What a dimension states, part by part, and in which parts two differ. Lengths in the unit of the new drawing."""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from dimaudit.judge.in_force import unit_of_numbers
from dimaudit.judge.verdict import in_drawing_unit
from dimaudit.model.audit import Judgement
from dimaudit.model.compared import Fact
from dimaudit.model.drawing import ANGLES
from dimaudit.model.general import deviation_text
from dimaudit.model.stated import Stated
from dimaudit.model.units import IN_MM, Unit
from dimaudit.text.places import size_text


@dataclass(frozen=True, slots=True)
class Statement:
    """One dimension as it is stated, in the unit of the new drawing."""

    text: str
    value: Fraction | None
    """None where no number is stated."""
    step: Fraction
    """One unit in the last written place; 0 where no number is stated."""
    parts: tuple[tuple[str, str], ...]
    """Tolerance, count, reference, …: each in words; only those that it has."""
    limits: tuple[Fraction | None, Fraction | None]
    """What the tolerance in force lets it be, less the value; None where nothing limits it on that side."""


def factor_of(old: Judgement, new: Judgement, old_unit: Unit | None, unit: Unit | None) -> Fraction:
    """What an old number of a dimension is multiplied by to be one of the new one's."""
    if new.attached.dimension.kind in ANGLES:
        return Fraction(1)
    was, now = unit_of_numbers(old.attached, old_unit), unit_of_numbers(new.attached, unit)
    return Fraction(1) if was is None or now is None else IN_MM[was] / IN_MM[now]


def statement(j: Judgement, own: Unit | None, factor: Fraction, unit: Unit | None) -> Statement:
    """`own`: the unit of its drawing; `factor`: what its lengths are multiplied by; `unit`: what they are then in."""
    zero = Fraction(0)
    if j.stated is None or not isinstance(j.reading, Stated):
        return Statement(j.text, None, zero, (), (None, None))
    stated = in_drawing_unit(j.attached, j.reading, own)
    band = (None, None) if j.in_force is None else (j.in_force.lower, j.in_force.upper)
    limits = tuple(None if v is None else (v - j.stated) * factor for v in band)
    step = (stated.step if j.step is None else max(j.step, stated.step)) * factor
    parts = _Parts(j.reading, stated.value, factor, j.attached.dimension.kind not in ANGLES, unit)
    own_limits, deviations = stated.limits, None if stated.tolerance is None else tuple(
        v - stated.value for v in stated.tolerance
    )  # fmt: skip
    return Statement(
        j.text, j.stated * factor, step, tuple(parts.said(own_limits, deviations)), (limits[0], limits[1])
    )


@dataclass(frozen=True, slots=True)
class _Parts:
    reading: Stated
    value: Fraction
    factor: Fraction
    length: bool
    unit: Unit | None

    def said(
        self, limits: tuple[Fraction, Fraction] | None, deviations: tuple[Fraction, ...] | None
    ) -> Iterator[tuple[str, str]]:
        r = self.reading
        if deviations is not None:
            lower, upper = sorted(v * self.factor for v in deviations)
            yield "tolerance", deviation_text(upper, lower)
        if limits is not None:
            yield "limits", " to ".join(self._size(v) for v in limits)
        if r.sign is not None:
            yield "sign", str(r.sign)
        if r.count is not None:
            yield "count", f"{r.count}X"
        if r.reference:
            yield "reference", "yes"
        if r.boxed:
            yield "basic", "yes"
        if r.fit:
            yield "tolerance class", r.fit
        if r.underlined:
            yield "not to scale", "yes"
        if r.one_sided:
            yield "one limit only", "yes"
        if r.words:
            yield "words", ", ".join(r.words)
        if r.chamfer is not None:
            both = (("angle", r.chamfer.angle, Fraction(1)), ("other leg", r.chamfer.leg, self.factor))
            for what, said, factor in both:
                if said is not None:
                    yield f"chamfer, {what}", size_text(said.value * factor, self.unit)
        if r.call_out is not None:
            yield from self._hole(r)

    def _hole(self, r: Stated) -> Iterator[tuple[str, str]]:
        note = r.call_out
        assert note is not None
        for n, step in enumerate(note.steps):
            name = str(step.kind)
            if step.diameter is not None and n:
                yield f"{name}, diameter", self._size(step.diameter.value)
            if step.depth is not None:
                yield f"{name}, depth", self._size(step.depth.value)
            if step.angle is not None:
                yield f"{name}, angle", f"{size_text(step.angle.value, None)}°"
            if step.through:
                yield f"{name}, through", "yes"
        if note.thread is not None:
            yield "thread", note.thread.text
        if note.thread_depth is not None:
            yield "thread depth", self._size(note.thread_depth.value)
        if note.screw is not None:
            yield "for screw", f"{note.screw.text} {note.head}".strip()
        if note.bolt_circle is not None:
            yield "bolt circle", self._size(note.bolt_circle.value)
        if note.equally_spaced:
            yield "equally spaced", "yes"
        if note.spacing is not None:
            yield "spacing", f"{size_text(note.spacing.value, None)}°"

    def _size(self, value: Fraction) -> str:
        return size_text(value * self.factor, self.unit) if self.length else f"{size_text(value, None)}°"


def part_facts(old: Statement, new: Statement) -> list[Fact]:
    """The parts in which they differ, besides the number and the words of the text."""
    was, now = dict(old.parts), dict(new.parts)
    return [Fact(what, was.get(what), now.get(what)) for what in {**was, **now} if was.get(what) != now.get(what)]


def same_number(old: Statement, new: Statement) -> bool:
    """Whether both state one number, or one rounded to fewer places than the other."""
    if old.value is None or new.value is None:
        return old.value is new.value and old.text == new.text
    return abs(new.value - old.value) <= max(old.step, new.step) / 2
