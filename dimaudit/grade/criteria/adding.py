"""How a criterion's deductions add up."""

from collections.abc import Iterable
from fractions import Fraction

from dimaudit.grade.words import points_text
from dimaudit.model.grading import Asked, CriterionMark, Deduction

FAULTS = 4
"""Where a rubric does not say what a fault costs, and nothing is counted that it could share the points among: so many
faults take them all."""


def each_of(asked: Asked, count: int) -> Fraction:
    """What one thing is worth: as the rubric says, or an equal share of the points."""
    return asked.points / (count or FAULTS) if asked.each is None else asked.each


def marked(asked: Asked, count: int, deductions: Iterable[Deduction], for_a_person: str = "") -> CriterionMark:
    """The criterion's mark: its points less the deductions, never below 0; none are taken where a person must look."""
    found = tuple(deductions)
    taken = sum((d.points for d in found), Fraction(0))
    got = Fraction(0) if for_a_person else max(Fraction(0), asked.points - taken)
    return CriterionMark(asked.criterion, asked.points, count, each_of(asked, count), found, got, for_a_person)


def shared(share: Fraction, of: Fraction) -> str:
    """The line that says what part of a thing's worth is taken."""
    return f"{share} of {points_text(of)} is taken: {points_text(share * of)}"
