"""From a key and a submission to marks, or to a person."""

from fractions import Fraction
from hashlib import sha256
from pathlib import PurePath

from dimaudit.grade.centrelines import centrelines_missing
from dimaudit.grade.criteria import CRITERIA
from dimaudit.grade.feature import features
from dimaudit.grade.in_line import out_of_line
from dimaudit.grade.laid_out import Key, LaidOut, lay_out
from dimaudit.grade.words import counted
from dimaudit.model.grading import Asked, Criterion, ForAPerson, Graded, Rubric
from dimaudit.pipeline import Examined

RECOGNISED = Fraction(1, 3)
"""Where less than this share of the key's features is found, it is likelier that the layout was not understood than
that the learner drew so little: a person looks."""


def grade(key: Key, submission: Examined, rubric: Rubric) -> Graded | ForAPerson:
    """Marks one submission. Nothing about a submission raises; what cannot be marked is for a person to look at."""
    path, digest = submission.audit.path, submission.audit.sha256
    name = PurePath(path).stem
    if not submission.sheet.shapes:
        return ForAPerson(
            name, path, digest, "there is no linework in model space",
            "open the file: the layout may be on a sheet of paper space, on a layer that is off or frozen, or empty",
            "draw in model space, on layers that are on, and hand your drawing in again",
        )  # fmt: skip
    if not key.pieces:
        return ForAPerson(name, path, digest, "the key has no linework", "mend the key, and grade again")
    wanted = features(key)
    laid_out = lay_out(key, submission, rubric, [f.pieces for f in wanted if len(f.pieces) > 1])
    if laid_out is None:
        return ForAPerson(
            name, path, digest, "nothing in it is anything of the key, at any scale, turned or mirrored",
            "see whether it is the right part; if it is, mark it by hand",
            "see whether you handed in the drawing of this exercise; if you did, your instructor looks at it",
        )  # fmt: skip
    there = [f for f in wanted if any(k in laid_out.pairing.of_key for k in f.pieces)]
    if len(there) < RECOGNISED * len(wanted):
        return ForAPerson(
            name, path, digest,
            f"only {len(there)} of the key's {counted(len(wanted), 'feature')} can be found in it",
            "see whether it is the right part, and how far it was drawn; mark it by hand",
            "see whether you handed in the drawing of this exercise, and all of it; your instructor looks at it",
        )  # fmt: skip
    marks = tuple(CRITERIA[asked.criterion](laid_out, asked) for asked in in_order(rubric))
    return Graded(
        name, path, digest, laid_out.fit.alignment, marks, _digest(laid_out), tuple(_remarks(laid_out)),
    )  # fmt: skip


def in_order(rubric: Rubric) -> list[Asked]:
    """What a rubric asks, in the order of the criteria."""
    order = list(Criterion)
    return sorted(rubric.criteria, key=lambda asked: order.index(asked.criterion))


def _digest(laid_out: LaidOut) -> str:
    lines = [f"{p.kind} {p.radius} {' '.join(f'{x},{y}' for x, y in p.spots)}" for p in laid_out.own]
    return sha256("\n".join(lines).encode()).hexdigest()


def _remarks(laid_out: LaidOut) -> list[str]:
    audit = laid_out.submission.audit
    found = [
        f"not read: {loss.what} ({loss.why})" + (f", {loss.count} times" if loss.count > 1 else "")
        for loss in audit.losses
    ]
    found += [f"the check '{fault.rule}' failed on it: {fault.error}" for fault in laid_out.submission.faults]
    return [*found, *centrelines_missing(laid_out), *out_of_line(laid_out)]


