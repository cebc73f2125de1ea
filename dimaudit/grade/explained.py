"""A submission's mark as arithmetic that anyone can do again by hand."""

from collections.abc import Iterator
from fractions import Fraction

from dimaudit.exact.number import Rounding, fixed_text, round_to
from dimaudit.grade.words import points_text
from dimaudit.model.grading import Alignment, Criterion, CriterionMark, Deduction, Graded, Rubric

Line = tuple[int, str]
"""How far it is set in, and what it says."""


def mark_of(graded: Graded, rubric: Rubric) -> Fraction:
    """The sum of what the criteria gave, rounded as the rubric says. Criteria left to a person give nothing yet."""
    return graded.got if rubric.round_to is None else round_to(graded.got, rubric.round_to, Rounding.HALF_UP)


def out_of(graded: Graded) -> Fraction:
    """The most that the criteria give which were judged."""
    return sum((m.points for m in graded.marks if not m.for_a_person), Fraction(0))


def explained(graded: Graded, rubric: Rubric) -> Iterator[Line]:
    """Line by line: each criterion with its deductions, then the sum."""
    yield 0, f"{graded.name}: {shown(mark_of(graded, rubric))} of {points_text(out_of(graded))}"
    yield 1, f"laid on the key: {alignment_text(graded.alignment)}"
    for mark in graded.marks:
        yield from _criterion(mark)
    yield from ((1, line) for line in sum_lines(graded, rubric))
    for remark in graded.remarks:
        yield 1, remark


def shown(points: Fraction) -> str:
    """Exact, and where that is no short decimal, about how much it is: '650/27, about 24.07'."""
    text = points_text(points)
    about = fixed_text(round_to(points, Fraction(1, 100), Rounding.HALF_UP), 2)
    return f"{text}, about {about}" if "/" in text else text


def alignment_text(alignment: Alignment) -> str:
    """'as it is', 'scaled by 127/5, turned by 90°, moved by (1, 2)': in this order."""
    x, y = alignment.shift
    steps = [
        f"scaled by {points_text(alignment.factor)}" if alignment.factor != 1 else "",
        "mirrored" if alignment.mirrored else "",
        f"turned by {90 * alignment.quarter_turns}°" if alignment.quarter_turns else "",
        f"moved by ({points_text(x)}, {points_text(y)})" if x or y else "",
    ]
    return ", ".join(step for step in steps if step) or "as it is"


def _criterion(mark: CriterionMark) -> Iterator[Line]:
    yield 1, f"{mark.criterion}: {got_text(mark)}"
    for deduction in mark.deductions:
        yield 2, f"{cost_text(deduction, mark)}: {deduction.what}"
        yield from ((3, line) for line in why_lines(deduction))
    taken = taken_text(mark)
    if taken:
        yield 2, taken


def got_text(mark: CriterionMark) -> str:
    """'7.5 of 10; 4 things asked, 2.5 each', or why a person has to say."""
    if mark.for_a_person:
        return f"for a person, {points_text(mark.points)} points open: {mark.for_a_person}"
    got = shown(mark.got) + ("," if "/" in shown(mark.got) else "")
    return f"{got} of {points_text(mark.points)}{_basis(mark)}"


def _basis(mark: CriterionMark) -> str:
    """What one thing is worth."""
    if mark.asked > 1:
        return f"; {mark.asked} things asked, {points_text(mark.each)} each"
    if mark.criterion is Criterion.PLACE and not mark.asked:
        return "; it may lie anywhere"
    return f"; {points_text(mark.each)} for a fault" if mark.each and not mark.asked else ""


def cost_text(deduction: Deduction, mark: CriterionMark) -> str:
    """'-2.5', 'no cost', or 'seen' where a person has to say."""
    if mark.for_a_person:
        return "seen"
    return f"-{points_text(deduction.points)}" if deduction.points else "no cost"


def why_lines(deduction: Deduction, handles: bool = True) -> Iterator[str]:
    """The arithmetic, what it follows from, and the handles."""
    yield from deduction.why
    if deduction.follows:
        yield f"follows from what was charged already: {deduction.follows}"
    if deduction.handles and handles:
        what = "entity" if len(deduction.handles) == 1 else "entities"
        yield f"{what} in the drawing (handle): {', '.join(deduction.handles)}"


def aside(deduction: Deduction) -> bool:
    """Whether it asks nothing of the learner: it costs nothing, and gives no reason."""
    return not (deduction.points or deduction.why or deduction.follows)


def taken_text(mark: CriterionMark) -> str:
    """'10 - 2.5 = 7.5'; empty where nothing was taken."""
    costs = [d.points for d in mark.deductions if d.points and not mark.for_a_person]
    if not costs:
        return ""
    left = mark.points - sum(costs)
    floor = f" = {points_text(left)}, never below 0: 0" if left < 0 else f" = {shown(left)}"
    return " - ".join(points_text(v) for v in (mark.points, *costs)) + floor


def sum_lines(graded: Graded, rubric: Rubric) -> Iterator[str]:
    """'sum: 7.5 + 20 = 27.5', rounded as the rubric says; and what is for a person to give."""
    judged = [m.got for m in graded.marks if not m.for_a_person]
    total = graded.got
    text = f"sum: {' + '.join(points_text(v) for v in judged) or '0'}"
    if len(judged) > 1:
        text += f" = {shown(total)}"
    if rubric.round_to is not None:
        mark = mark_of(graded, rubric)
        text += f", rounded half up to a multiple of {points_text(rubric.round_to)}: {points_text(mark)}"
    yield text
    still = sum((m.points for m in graded.marks if m.for_a_person), Fraction(0))
    if still:
        yield f"{points_text(still)} points more are for a person to give"
