"""Every number of the key is drawn right, each cause charged once."""

from collections.abc import Iterator
from fractions import Fraction

from dimaudit.exact.real import middle, minus
from dimaudit.grade.causes import cause, numbers_of, printed
from dimaudit.grade.criteria.adding import beyond, each_of, marked, shared
from dimaudit.grade.laid_out import LaidOut
from dimaudit.grade.layout import Kind
from dimaudit.grade.sized import Fault, Measure, Number
from dimaudit.grade.words import counted, key_handles, length_text, named, named_all, place_of, said, shown
from dimaudit.model.audit import Judgement
from dimaudit.model.drawing import Point
from dimaudit.model.grading import Asked, Criterion, CriterionMark, Deduction
from dimaudit.model.units import Unit


def mark(laid_out: LaidOut, asked: Asked) -> CriterionMark:
    """Each number of the key, and each size of round features, is one thing asked."""
    return marked(asked, laid_out.sizes.asked, _found(laid_out, each_of(asked, laid_out.sizes.asked)))


def _found(laid_out: LaidOut, each: Fraction) -> Iterator[Deduction]:
    for fault in laid_out.sizes.faults:
        if fault not in laid_out.sizes.shape:
            yield _charged(laid_out, fault, each)
    if laid_out.sizes.lost:
        yield Deduction(
            Criterion.SIZES, Fraction(0),
            f"{counted(laid_out.sizes.lost, 'size')} of what is missing cannot be compared",
            follows="what is missing, under 'features'",
        )  # fmt: skip
        yield from beyond(Criterion.SIZES, "size", laid_out.sizes.lost, laid_out.sizes.asked, each)


def _charged(laid_out: LaidOut, fault: Fault, each: Fraction) -> Deduction:
    key, rubric = laid_out.key, laid_out.rubric
    unit = key.examined.audit.unit
    judged = {j.attached.dimension.handle: j for j in key.examined.audit.judgements}
    numbers = numbers_of(fault)
    why: list[str] = []
    for number in numbers:
        why += _arithmetic(fault, number, judged.get(number.dimension), unit)
    if not numbers and fault.key is not None and fault.drawn is not None:
        why += [f"the key draws {_said(fault, fault.key, unit)}", f"drawn: {_said(fault, fault.drawn, unit)}",
                _off(fault, Number("", fault.key, fault.drawn), unit)]  # fmt: skip
    if fault.key is None and not numbers and fault.moved is not None:
        why.append("the key gives no number for this place: it was compared where the layout lies on the key")
    rounded = any((j := judged.get(n.dimension)) is not None and printed(j, n, laid_out.tolerance) for n in numbers)
    off = max((abs(middle(n.drawn) - middle(n.key)) for n in numbers or _own(fault)), default=_most(fault.moved))
    share = Fraction(1)
    if rounded:
        share = rubric.rounded_costs
        why.append("cause: the printed, rounded number was drawn in place of the exact one")
    else:
        others = {j.text.strip(): j.stated for h, j in judged.items()
                  if j.stated is not None and h not in fault.dimensions}  # fmt: skip
        found = (cause(fault, n, judged.get(n.dimension), others, laid_out.tolerance) for n in numbers or _own(fault))
        why += [f"likely cause: {text}" for text in dict.fromkeys(found) if text]
    if rubric.close is not None and off <= rubric.close and fault.measure is not Measure.ANGLE:
        why.append(f"close: off by no more than {length_text(rubric.close, unit)}")
        if rounded and share != rubric.close_costs:
            why.append(f"of both shares, {share} and {rubric.close_costs}, the smaller is taken")
        share = min(share, rubric.close_costs)
    if share != 1:
        why.append(shared(share, each))
    if len(numbers) > 1:
        why.append("one cause, charged once")
    handles, at = place_of(laid_out, fault.pieces)
    return Deduction(
        Criterion.SIZES, each * share, _what(laid_out, fault, unit), tuple(why), handles, at,
        (*fault.dimensions, *key_handles(key, fault.pieces)),
    )  # fmt: skip


def _own(fault: Fault) -> tuple[Number, ...]:
    return () if fault.key is None or fault.drawn is None else (Number("", fault.key, fault.drawn),)


def _most(moved: Point | None) -> Fraction:
    return Fraction(0) if moved is None else max(map(abs, moved))


def _what(laid_out: LaidOut, fault: Fault, unit: Unit | None) -> str:
    name = named_all(laid_out.key, fault.pieces)
    verb = "is" if len(fault.pieces) == 1 else "are"
    if fault.moved is not None:
        if _lengthwise(laid_out, fault):
            return f"{name} ends elsewhere: {moved_text(fault.moved, unit)}"
        against = f", against what is measured from {'it' if verb == 'is' else 'them'}" if fault.numbers else ""
        return f"{name} {verb} out of place: {moved_text(fault.moved, unit)}{against}"
    if fault.form:
        return f"{name} {fault.form}"
    assert fault.key is not None
    assert fault.drawn is not None
    wrong = f"{_said(fault, fault.drawn, unit)} instead of {_said(fault, fault.key, unit)}"
    match fault.measure:
        case Measure.DISTANCE:
            way = {0: " along x", 1: " along y"}.get(-1 if fault.axis is None else fault.axis, "")
            slanted = _slanted(laid_out, fault)
            if slanted is not None:
                return f"{named_all(laid_out.key, (slanted,))} is {wrong}{way}"
            if fault.between:
                name = " and ".join(_with_others(laid_out, side) for side in fault.between)
            return f"a distance{way} is {wrong}, between {name}"
        case Measure.BOLT_CIRCLE:
            return f"the bolt circle is {wrong}: {name}"
        case Measure.ANGLE:
            return f"an angle is {wrong}, between {name}"
        case _:
            return f"{name} {verb} drawn {wrong}"


def _lengthwise(laid_out: LaidOut, fault: Fault) -> bool:
    """Whether it is one edge, that is off along itself only: its end is."""
    piece = laid_out.key.pieces[fault.pieces[0]]
    if len(fault.pieces) != 1 or piece.kind is not Kind.STRAIGHT or fault.moved is None:
        return False
    (ax, ay), (bx, by) = piece.spots
    return (ay == by and not fault.moved[1]) or (ax == bx and not fault.moved[0])


def _slanted(laid_out: LaidOut, fault: Fault) -> int | None:
    """The slanted edge that is as long as the number says along its axis: a chamfer's leg."""
    for n in fault.pieces if fault.axis is not None else ():
        piece = laid_out.key.pieces[n]
        if piece.kind is Kind.STRAIGHT:
            legs = [abs(b - a) for a, b in zip(*piece.spots, strict=True)]
            if all(legs) and legs[fault.axis or 0] == fault.key:
                return n
    return None


def _with_others(laid_out: LaidOut, side: tuple[int, ...]) -> str:
    """The first of what stands on a level, and how much more does."""
    names = list(dict.fromkeys(named(laid_out.key, n) for n in side))
    return names[0] + (f" (and {len(names) - 1} more in line with it)" if len(names) > 1 else "")


def moved_text(moved: Point, unit: Unit | None) -> str:
    """'.250 to the right and .125 down'."""
    words = []
    for by, more, less in ((moved[0], "to the right", "to the left"), (moved[1], "up", "down")):
        if by:
            words.append(f"{length_text(shown(abs(by)), unit)} {more if by > 0 else less}")
    return " and ".join(words)


def _said(fault: Fault, value: object, unit: Unit | None) -> str:
    number = middle(value)  # type: ignore[arg-type]
    number = shown(number)
    match fault.measure:
        case Measure.ANGLE:
            return f"{length_text(number, None)}°"
        case Measure.DIAMETER | Measure.BOLT_CIRCLE:
            return f"Ø{length_text(number, unit)}"
        case Measure.RADIUS:
            return f"R{length_text(number, unit)}"
        case _:
            return length_text(number, unit)


def _arithmetic(fault: Fault, number: Number, judgement: Judgement | None, unit: Unit | None) -> list[str]:
    lines = [] if judgement is None else [f"the key says {said(judgement, unit)}"]
    return [*lines, f"drawn: {_said(fault, number.drawn, unit)}", _off(fault, number, unit)]


def _off(fault: Fault, number: Number, unit: Unit | None) -> str:
    low, _ = minus(number.drawn, middle(number.key))
    by = shown(low)
    return f"off by {length_text(abs(by), None if fault.measure is Measure.ANGLE else unit)}" + (
        "°" if fault.measure is Measure.ANGLE else ""
    ) + (" too large" if by > 0 else " too small")
