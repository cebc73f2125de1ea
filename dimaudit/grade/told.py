"""A graded class, and a new rubric, told on a terminal."""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction

from dimaudit.grade.explained import Line, explained
from dimaudit.grade.gradebook import Row, number_text
from dimaudit.grade.pages.names import FOLDER as PAGES
from dimaudit.grade.room import CSV, SUMMARY, XLSX, Class, lost_by_key
from dimaudit.grade.state import Result
from dimaudit.grade.summary import Summary, alike_text
from dimaudit.grade.words import counted, points_text
from dimaudit.model.audit import Finding
from dimaudit.model.grading import ForAPerson, Graded, Rubric


def class_lines(graded: Class, folder: str) -> Iterator[Line]:
    """The marks by name, the class, and what else there is to say."""
    people = sum(isinstance(r, ForAPerson) for r in graded.results)
    kept = f", {graded.kept} did not change since" if graded.kept else ""
    total = counted(len(graded.results), "submission")
    yield 0, f"{total}, {people} of them for a person to look at; {graded.again} looked at now{kept}"
    width = min(40, max((len(row.name) for row in graded.rows), default=0))
    for row in graded.rows:
        yield 1, f"{row.name.ljust(width)}  {_mark(row)}"
    yield from _class(graded.summary)
    yield from ((0, line) for line in graded.said)
    yield from ((0, f"a fault of dimaudit itself: {name}: {fault}") for name, fault in graded.faults)
    yield 0, f"written to {folder}: {CSV}, {XLSX}, {SUMMARY} for you, and a page for each learner in {PAGES}"
    yield 0, "your own remarks and marks go into remarks.toml there"


def _mark(row: Row) -> str:
    mark = "" if row.mark is None else f"{number_text(row.mark)} of {number_text(row.of)}"
    if row.changed is not None:
        mark += ", changed by you" + ("" if row.graded is None else f" from {number_text(row.graded)}")
    person = f"for a person: {row.for_a_person}" if row.for_a_person else ""
    return "; ".join(part for part in (mark, person, row.remark) if part)


def _class(summary: Summary) -> Iterator[Line]:
    if summary.marks:
        low, middle, high = summary.marks[0], summary.middle, summary.marks[-1]
        assert middle is not None
        yield 0, f"marks from {number_text(low)} to {number_text(high)}, the middle one {number_text(middle)}"
    missed = sorted((m for m in summary.missed if m.by), key=lambda m: -m.by)
    if missed:
        yield 0, "points lost in: " + ", ".join(f"{m.criterion} by {m.by} of {m.of}" for m in missed)
    for alike in summary.alike:
        yield 0, f"alike, for your eye only: {alike_text(alike)}"


def mark_lines(graded: Class, name: str) -> Iterator[Line]:
    """One submission's mark, to be done again by hand."""
    result = next(r for r in graded.results if r.name == name)
    if isinstance(result, Graded):
        yield from explained(result, graded.rubric)
    else:
        yield 0, f"{result.name}: for a person"
        yield 1, result.why
        yield 1, f"to do: {result.to_do}"
    own = graded.remarks.about(name)
    if own.mark is not None:
        yield 1, f"changed by the instructor: {points_text(own.mark)}"
    for line in (own.remark.strip(), own.stale):
        if line:
            yield 1, line


def rubric_lines(rubric: Rubric, path: str, key: Result, warnings: Sequence[Finding]) -> Iterator[Line]:
    """What a new rubric asks; `key`: the key graded by it, `warnings`: what the audit says of it."""
    total = sum((a.points for a in rubric.criteria), Fraction(0))
    yield 0, f"written to {path}: {points_text(total)} points"
    width = max(len(a.criterion) for a in rubric.criteria)
    counts = {m.criterion: m.asked for m in key.marks if m.asked} if isinstance(key, Graded) else {}
    for asked in rubric.criteria:
        count = counted(counts[asked.criterion], "thing") if asked.criterion in counts else ""
        yield 1, f"{asked.criterion.ljust(width)}  {points_text(asked.points).rjust(3)}{count and f'  {count} asked'}"
    if warnings:
        by_rule = Counter(w.rule for w in warnings)
        said = ", ".join(f"{count} × {rule}" for rule, count in sorted(by_rule.items()))
        yield 0, f"the key has warnings of its own ({said}): `dimaudit check` shows them"
    yield from ((0, line) for line in lost_by_key(key))
    yield 0, "edit it: each line is explained in the file"


def fault_lines(errors: Iterable[Finding]) -> Iterator[Line]:
    """The key's own faults."""
    yield 0, "the key has faults of its own, and a wrong key marks everyone wrong:"
    for finding in errors:
        handles = f" ({', '.join(finding.handles)})" if finding.handles else ""
        yield 1, f"{finding.rule}: {finding.message}{handles}"
        yield 2, f"to do: {finding.suggestion}"
