"""How a criterion's deductions add up."""

from collections.abc import Iterable, Iterator
from fractions import Fraction

from dimaudit.grade.words import counted, points_text
from dimaudit.model.grading import Asked, Criterion, CriterionMark, Deduction

FAULTS = 4
"""Where a rubric does not say what a fault costs, and nothing is counted that it could share the points among: so many
faults take them all."""


EXCUSED = 3
"""What follows from a missing feature costs nothing up to one in so many of the things asked: a hole left out is one
fault, and a layout that is hardly begun does not earn the points of what is not there. Common practice, no source."""


def each_of(asked: Asked, count: int) -> Fraction:
    """What one thing is worth: as the rubric says, or an equal share of the points."""
    return asked.points / (count or FAULTS) if asked.each is None else asked.each


def marked(asked: Asked, count: int, deductions: Iterable[Deduction], for_a_person: str = "") -> CriterionMark:
    """The criterion's mark: its points less the deductions, never below 0; none are taken where a person must look."""
    found = tuple(deductions)
    taken = sum((d.points for d in found), Fraction(0))
    got = Fraction(0) if for_a_person else max(Fraction(0), asked.points - taken)
    return CriterionMark(asked.criterion, asked.points, count, each_of(asked, count), found, got, for_a_person)


def follows_at_most(count: int) -> int:
    """How many of the things asked may follow from what is missing at no cost: a third, and one at least."""
    return -(-count // EXCUSED)


def beyond(criterion: Criterion, what: str, lost: int, count: int, each: Fraction) -> Iterator[Deduction]:
    """What is charged of the things that follow from what is missing, where these are many: they were not done."""
    free = follows_at_most(count)
    if lost > free:
        yield Deduction(
            criterion, each * (lost - free), f"{counted(lost, what)} of what is missing, {lost - free} of them charged",
            (f"of the {count} asked up to {free} cost nothing where their features are missing: what is beyond was "
             "not done", f"{lost - free} x {points_text(each)}"),
        )  # fmt: skip


def shared(share: Fraction, of: Fraction) -> str:
    """The line that says what part of a thing's worth is taken."""
    return f"{share} of {points_text(of)} is taken: {points_text(share * of)}"
