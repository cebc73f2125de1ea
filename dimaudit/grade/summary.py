"""A class as a whole: what was missed by how many, the spread of the marks, layouts that are the very same."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from dimaudit.exact.number import Rounding, round_to
from dimaudit.grade.explained import mark_of, out_of
from dimaudit.grade.missed import MissedThing, missed_things
from dimaudit.grade.remarks import Remarks
from dimaudit.grade.state import Result
from dimaudit.grade.words import points_text
from dimaudit.model.grading import Criterion, Deduction, ForAPerson, Graded, Rubric

BARS = 10
"""Parts that the range from no mark to the full mark is divided into."""
LAYOUT = frozenset({Criterion.FEATURES, Criterion.SIZES, Criterion.SHAPE, Criterion.LINEWORK, Criterion.ORIENTATION})
"""The criteria that the geometry alone decides."""


@dataclass(frozen=True, slots=True)
class Missed:
    """How a class did in one criterion."""

    criterion: Criterion
    by: int
    """Submissions that lost points in it."""
    of: int
    """Submissions of which it was judged."""
    points: Fraction
    """Lost in all."""
    given: Fraction
    """What it gives to each."""


@dataclass(frozen=True, slots=True)
class Alike:
    """Submissions that draw the very same in the same place."""

    names: tuple[str, ...]
    same_file: bool
    """They are one file, to the byte."""
    faultless: bool
    """Nothing in them is wrong: right layouts are alike by themselves."""
    is_key: bool = False
    """The file is the key itself."""


@dataclass(frozen=True, slots=True)
class Summary:
    """Values of a class; for the instructor only."""

    submissions: int
    for_a_person: tuple[str, ...]
    """Names."""
    marks: tuple[Fraction, ...]
    """Those that count, in order of size; of submissions that a person must look at, only changed marks."""
    of: Fraction
    missed: tuple[Missed, ...]
    spread: tuple[int, ...]
    """How many marks lie in each tenth of the range; the full mark, and more, in the last one."""
    alike: tuple[Alike, ...]
    things: tuple[MissedThing, ...] = ()
    """What of the key was missed by how many, what most missed first."""

    @property
    def middle(self) -> Fraction | None:
        """The mark that as many lie above as below."""
        n = len(self.marks)
        return None if not n else (self.marks[(n - 1) // 2] + self.marks[n // 2]) / 2

    @property
    def mean(self) -> Fraction | None:
        """To a hundredth of a point."""
        if not self.marks:
            return None
        return round_to(sum(self.marks, Fraction(0)) / len(self.marks), Fraction(1, 100), Rounding.HALF_UP)


def summarise(results: Sequence[Result], rubric: Rubric, remarks: Remarks) -> Summary:
    """The values of a class."""
    of = sum((a.points for a in rubric.criteria), Fraction(0))
    marks = []
    for result in results:
        changed = remarks.about(result.name).mark
        if changed is not None:
            marks.append(changed)
        elif isinstance(result, Graded) and out_of(result) == of:
            marks.append(mark_of(result, rubric))
    marks.sort()
    spread = [0] * BARS
    for mark in marks:
        spread[min(BARS - 1, int(mark * BARS / of))] += 1
    people = [
        r.name for r in results
        if remarks.about(r.name).mark is None and (isinstance(r, ForAPerson) or out_of(r) != of)
    ]  # fmt: skip
    return Summary(
        len(results), tuple(people), tuple(marks), of, tuple(_missed(results, rubric)), tuple(spread),
        tuple(_alike(results, rubric)), missed_things(results),
    )  # fmt: skip


def _missed(results: Iterable[Result], rubric: Rubric) -> Iterable[Missed]:
    graded = [r for r in results if isinstance(r, Graded)]
    for asked in rubric.criteria:
        own = [m for r in graded for m in r.marks if m.criterion is asked.criterion and not m.for_a_person]
        lost = [m.points - m.got for m in own if m.got < m.points]
        yield Missed(asked.criterion, len(lost), len(own), sum(lost, Fraction(0)), asked.points)


def _alike(results: Sequence[Result], rubric: Rubric) -> Iterable[Alike]:
    groups: dict[tuple[str, frozenset[str]], list[Result]] = {}
    for result in results:
        if isinstance(result, Graded) and result.geometry:
            faults = frozenset(f"{d.criterion} {d.what}" for d in _wrong(result))
            groups.setdefault((result.geometry, faults), []).append(result)
        elif result.sha256:
            groups.setdefault((result.sha256, frozenset()), []).append(result)
    for group in groups.values():
        same_file = len({r.sha256 for r in group}) == 1
        is_key = any(r.sha256 == rubric.key_sha256 for r in group)
        if len(group) > 1 or is_key:
            yield Alike(tuple(r.name for r in group), same_file, all(map(_faultless, group)), is_key)


def _faultless(result: Result) -> bool:
    """Whether nothing of its geometry is wrong."""
    return isinstance(result, Graded) and not any(True for _ in _wrong(result))


def _wrong(graded: Graded) -> Iterable[Deduction]:
    return (d for m in graded.marks if m.criterion in LAYOUT for d in m.deductions)


def alike_text(alike: Alike) -> str:
    """For the instructor's eye only."""
    what = "one and the same file" if alike.same_file and len(alike.names) > 1 else "identical geometry"
    if alike.is_key:
        what = "the key itself, handed in" if alike.same_file else "identical geometry, one of them the key itself"
    elif alike.faultless and not alike.same_file:
        what += ", without a fault: right layouts in the same place are alike"
    elif not alike.faultless:
        what += ", with the same faults"
    return f"{', '.join(alike.names)}: {what}"


def summary_rows(summary: Summary) -> list[list[str | Fraction | None]]:
    """The class as rows of a sheet."""
    rows: list[list[str | Fraction | None]] = [
        ["the class", "value", "of"],
        ["submissions", Fraction(summary.submissions)],
        ["for a person to look at", Fraction(len(summary.for_a_person)), None, ", ".join(summary.for_a_person)],
        ["lowest mark", summary.marks[0] if summary.marks else None, summary.of],
        ["middle mark", summary.middle, summary.of],
        ["mean mark", summary.mean, summary.of],
        ["highest mark", summary.marks[-1] if summary.marks else None, summary.of],
    ]
    for n, count in enumerate(summary.spread):
        low, high = (points_text(summary.of * k / BARS) for k in (n, n + 1))
        rows.append([f"marks from {low} to {'' if n == BARS - 1 else 'below '}{high}", Fraction(count)])
    rows.append(["points lost in", "by how many", "of", "points lost in all"])
    rows += [[str(m.criterion), Fraction(m.by), Fraction(m.of), m.points] for m in summary.missed]
    if summary.things:
        rows.append(["missed of the key", "by how many", None, "what; by whom"])
    rows += [[str(t.criterion), Fraction(len(t.by)), None, f"{t.what}; {', '.join(t.by)}"] for t in summary.things]
    rows += [["alike, for your eye only", None, None, alike_text(alike)] for alike in summary.alike]
    return rows
