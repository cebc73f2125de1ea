"""What the key draws level, square, in line, tangent, alike or symmetrical is drawn so."""

from collections.abc import Iterator
from fractions import Fraction

from dimaudit.exact.real import middle
from dimaudit.grade.criteria.adding import each_of, marked
from dimaudit.grade.criteria.sizes import moved_text
from dimaudit.grade.laid_out import LaidOut
from dimaudit.grade.sized import Fault
from dimaudit.grade.words import key_handles, length_text, named_all, place_of
from dimaudit.model.grading import Asked, Criterion, CriterionMark, Deduction
from dimaudit.model.scheme import Implied

WORDS = {
    Implied.LEVEL: "level, upright, square or parallel",
    Implied.IN_LINE: "in line with what the key has it in line with",
    Implied.MEETS: "on the edge that it ends on",
    Implied.TANGENT: "tangent",
    Implied.EQUAL: "of one size with its like",
    Implied.SYMMETRIC: "alike on both sides",
    Implied.PROJECTED: "in line with the other view",
}


def mark(laid_out: LaidOut, asked: Asked) -> CriterionMark:
    """Nothing is counted: each fault costs a fixed amount."""
    return marked(asked, 0, _found(laid_out, each_of(asked, 0)))


def _found(laid_out: LaidOut, each: Fraction) -> Iterator[Deduction]:
    for fault in laid_out.sizes.shape:
        handles, at = place_of(laid_out, fault.pieces)
        yield Deduction(
            Criterion.SHAPE, each, _what(laid_out, fault), tuple(_why(laid_out, fault)), handles, at,
            key_handles(laid_out.key, fault.pieces),
        )  # fmt: skip


def _what(laid_out: LaidOut, fault: Fault) -> str:
    name = named_all(laid_out.key, fault.pieces)
    if fault.form:
        return f"{name} {fault.form}"
    assert fault.implied is not None
    if fault.tilted:
        return f"{name} is drawn askew"
    return f"{name}: not {WORDS[fault.implied]}"


def _why(laid_out: LaidOut, fault: Fault) -> Iterator[str]:
    unit = laid_out.key.examined.audit.unit
    if fault.tilted and fault.moved is not None:
        yield f"its two ends are {length_text(max(map(abs, fault.moved)), unit)} off one level"
    elif fault.moved is not None:
        yield f"off by {moved_text(fault.moved, unit)}"
    elif fault.key is not None and fault.drawn is not None:
        for text, value in (("the key draws", fault.key), ("drawn:", fault.drawn)):
            yield f"{text} {length_text(Fraction(round(middle(value), 6)), unit)}"
    if fault.form:
        yield "its size and its place were compared by themselves"
        return
    yield "the key gives no number for it: it is implied by how it is drawn"
