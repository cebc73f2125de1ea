"""No number is typed over a measured one."""

from collections.abc import Iterator
from fractions import Fraction

from dimaudit.grade.criteria.adding import each_of, marked
from dimaudit.grade.dimensioned import middle_of, typed_over
from dimaudit.grade.laid_out import LaidOut
from dimaudit.model.grading import Asked, Criterion, CriterionMark, Deduction


def mark(laid_out: LaidOut, asked: Asked) -> CriterionMark:
    """As many things are asked as the key has dimensions."""
    count = len(laid_out.key.examined.audit.judgements)
    return marked(asked, count, _found(laid_out, each_of(asked, count)))


def _found(laid_out: LaidOut, each: Fraction) -> Iterator[Deduction]:
    """A text that agrees with the layout today is a fault as well: it stays when the layout is changed."""
    key = {j.text.strip() for j in laid_out.key.examined.audit.judgements if typed_over(j)}
    for judgement in laid_out.submission.audit.judgements:
        if not typed_over(judgement):
            continue
        handle, text, would = judgement.attached.dimension.handle, judgement.text.strip(), judgement.expected_text
        why = [f"typed: {text}", f"measured, it would show {would or 'nothing'}"]
        why.append("they agree today, and will not when the layout is changed" if text == would.strip() else
                   "delete the typed text, and the measured number comes back")  # fmt: skip
        cost = each
        if text in key:
            cost = Fraction(0)
            why.append("the key has the same text typed over: it costs nothing")
        yield Deduction(Criterion.TYPED, cost, f'a number is typed over: "{text}"', tuple(why), (handle,),
                        middle_of(judgement))  # fmt: skip
