"""Which number, feature or dimension of the key was missed by how many: what to teach again."""

import re
from collections.abc import Iterable
from dataclasses import dataclass

from dimaudit.grade.state import Result
from dimaudit.model.grading import Criterion, Deduction, Graded

ASKED = (Criterion.FEATURES, Criterion.SIZES, Criterion.SHAPE, Criterion.DIMENSIONS, Criterion.CENTRE_POINTS)
"""The criteria whose deductions name what of the key they are about."""
DRAWN = re.compile(r" (?:is|are)(?: drawn)? [^ ]+ instead of ")
"""What each learner drew otherwise; the key's number follows."""
PLACED = re.compile(r" (?:is|are) out of place: .*")
OF_KEY = "the key's "
"""What comes before the name of a dimension of the key."""


@dataclass(frozen=True, slots=True)
class MissedThing:
    """One thing of the key that cost points."""

    criterion: Criterion
    what: str
    by: tuple[str, ...]
    """Names of the submissions."""


def missed_things(results: Iterable[Result]) -> tuple[MissedThing, ...]:
    """By what the deductions say of the key, what most missed first."""
    found: dict[tuple[Criterion, str], list[tuple[str, str]]] = {}
    for result in results:
        for mark in result.marks if isinstance(result, Graded) else ():
            for d in mark.deductions:
                if d.points and d.key_handles and d.criterion in ASKED and not mark.for_a_person:
                    found.setdefault(_key(d), []).append((result.name, _words(d)))
    things = [
        MissedThing(criterion, own[0][1], tuple(dict.fromkeys(name for name, _ in own)))
        for (criterion, _), own in found.items()
    ]
    order = list(Criterion)
    return tuple(sorted(things, key=lambda t: (-len(t.by), order.index(t.criterion), t.what)))


def _key(deduction: Deduction) -> tuple[Criterion, str]:
    """A dimension of the key by its handle; a number and a feature by its words, since several causes move one edge."""
    by_handle = deduction.criterion is Criterion.DIMENSIONS
    return deduction.criterion, deduction.key_handles[0] if by_handle else _words(deduction)


def _words(deduction: Deduction) -> str:
    """Without what the learner drew: 'a distance along x: 6.000, between the left edge and the right edge'."""
    if deduction.criterion is Criterion.DIMENSIONS:
        named = (line.partition(OF_KEY)[2] for line in (deduction.what, *deduction.why))
        return next((name for name in named if '"' in name), deduction.what)
    return PLACED.sub(": its place", DRAWN.sub(": ", deduction.what))
