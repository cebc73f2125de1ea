"""Why a learner is likely to have drawn another number than the key's."""

from collections.abc import Iterator
from fractions import Fraction

from dimaudit.exact.real import middle
from dimaudit.grade.sized import Fault, Measure, Number
from dimaudit.judge.causes import significant, slips
from dimaudit.model.audit import Judgement
from dimaudit.model.stated import Stated

SAME = Fraction(1, 10**5)
"""Two numbers nearer than this are one: recovered coordinates are so much off at most."""
INCH = Fraction(254, 10)


def numbers_of(fault: Fault) -> tuple[Number, ...]:
    """What the key says of a fault, and what is drawn; nothing where the key gives no number for it."""
    if fault.numbers:
        return fault.numbers
    if fault.key is None or fault.drawn is None:
        return ()
    return tuple(Number(handle, fault.key, fault.drawn) for handle in fault.dimensions[:1])


def printed(judgement: Judgement, number: Number, tolerance: Fraction) -> bool:
    """Whether the learner drew what the key's text shows, where it is rounded from what the key draws."""
    if judgement.stated is None or judgement.measured is None:
        return False
    exact, drawn = middle(judgement.measured), middle(number.drawn)
    key = middle(number.key)
    if not key or abs(judgement.stated - exact) <= SAME:
        return False
    scale = exact / key  # a radius for a diameter, DIMLFAC
    return abs(drawn * scale - judgement.stated) <= max(tolerance * scale, SAME)


def cause(
    fault: Fault, number: Number, judgement: Judgement | None, others: dict[str, Fraction], tolerance: Fraction
) -> str:
    """The first cause that explains what is drawn; empty where none does.

    `others`: the key's other numbers, by their text.
    """
    return next(_causes(fault, number, judgement, others, max(tolerance, SAME)), "")


def _causes(
    fault: Fault, number: Number, judgement: Judgement | None, others: dict[str, Fraction], near: Fraction
) -> Iterator[str]:
    key, drawn = middle(number.key), middle(number.drawn)
    if fault.measure in (Measure.DIAMETER, Measure.BOLT_CIRCLE):
        if abs(drawn - 2 * key) <= near:
            yield "the diameter was drawn as the radius"
        if abs(2 * drawn - key) <= near:
            yield "the radius was drawn as the diameter"
    if fault.measure is Measure.RADIUS:
        if abs(drawn - 2 * key) <= near:
            yield "the diameter was drawn as the radius"
        if abs(2 * drawn - key) <= near:
            yield "half the radius was drawn"
    if fault.measure is Measure.ANGLE:
        for other, word in ((180 - key, "supplement"), (90 - key, "complement")):
            if abs(other - drawn) <= Fraction(1, 1000):
                yield f"the {word} of the angle was drawn"
        return
    for factor, word in ((INCH, "times"), (1 / INCH, "divided by")):
        if abs(key * factor - drawn) <= near:
            yield f"the number was {word} 25.4: another unit was drawn"
    reading = None if judgement is None else judgement.reading
    right, written = significant(key), significant(drawn)
    if isinstance(reading, Stated) and right and written:
        yield from slips(written, right)
    for text, value in others.items():
        if abs(value - drawn) <= near:
            yield f"it is the {text} of another dimension of the key"
