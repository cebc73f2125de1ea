"""A class graded into a folder: gradebook, remarks, and what the next run need not do again."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from hashlib import sha256
from pathlib import Path, PurePath

from dimaudit.errors import UsageError
from dimaudit.grade import state
from dimaudit.grade.gradebook import Row, gradebook_csv, gradebook_xlsx, rows_of
from dimaudit.grade.laid_out import Key, key_of
from dimaudit.grade.marks import grade
from dimaudit.grade.pages.figure import Shown, unpacked
from dimaudit.grade.pages.filled import class_page, learner_page
from dimaudit.grade.pages.names import FOLDER as PAGES
from dimaudit.grade.pages.names import page_names
from dimaudit.grade.proposed import errors_of
from dimaudit.grade.reading import read_key
from dimaudit.grade.remarks import Remarks, files_in, read_remarks, write_new
from dimaudit.grade.rubric import read_rubric
from dimaudit.grade.state import Result
from dimaudit.grade.submissions import HandedIn, handed_in, order
from dimaudit.grade.summary import Summary, summarise
from dimaudit.grade.words import counted, points_text
from dimaudit.grade.workers import Grader, Runner, Work, graded
from dimaudit.model.audit import Finding
from dimaudit.model.grading import Graded, Rubric
from dimaudit.write.whole import write_whole

STATE = "graded.json"
CSV, XLSX, SUMMARY = "gradebook.csv", "gradebook.xlsx", "class.html"
BY_HAND = "changed-by-hand"
"""The folder for what a person changed in a file that is written anew."""


@dataclass(frozen=True, slots=True)
class Class:
    """A graded class; in the order of the names."""

    rubric: Rubric
    results: tuple[Result, ...]
    rows: tuple[Row, ...]
    remarks: Remarks
    summary: Summary
    faults: tuple[tuple[str, str], ...]
    """Names, and the tool's own fault on them."""
    again: int
    """How many were graded in this run."""
    kept: int
    """How many were graded before, and did not change."""
    said: tuple[str, ...]


def key_for(rubric: Rubric, rubric_file: Path) -> tuple[Path, Key, str]:
    """The key that a rubric names, examined; and what is to be said where it changed since. Raises AuditError."""
    path = rubric_file.parent / rubric.key
    if not path.is_file():
        raise UsageError(f"{path}: the rubric's key is not there: put it there, or mend `key` in {rubric_file}")
    key = key_of(read_key(path, rubric))
    changed = key.examined.drawing.sha256 != rubric.key_sha256
    said = f"{path} changed since the rubric was written: see whether the rubric still fits, or write it anew"
    return path, key, said if changed else ""


def grade_class(
    rubric_file: Path, submissions: Sequence[Path], folder: Path, version: str, jobs: int, *, all_again: bool = False,
    faulty_key: bool = False, progress: Callable[[int], Callable[[], None]] = lambda _: lambda: None,
    grader: Grader = grade, run: Runner = graded,
) -> Class:  # fmt: skip
    """Grades what is new or changed and writes the folder's files. Raises AuditError, FaultyKey where the key is wrong.

    `progress` gets the number of submissions to grade and gives what is called after each.
    """
    written = read_rubric(rubric_file)
    key_path, key, changed = key_for(written, rubric_file)
    errors = errors_of(key)
    if changed and errors and not faulty_key:
        raise FaultyKey(key_path, errors, changed)
    rubric = replace(written, key_sha256=key.examined.drawing.sha256)
    if any(p.is_dir() and p.resolve() == folder.resolve() for p in submissions):
        raise UsageError(f"{folder} holds the submissions: name another folder for the gradebook")
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise UsageError(f"{folder}: {error.strerror or error}: name a folder that can be made") from None
    read_remarks(folder, ())  # a slip in them ends the run before anything is graded
    wanted = state.basis(rubric, version)
    before = state.load(folder / STATE, wanted)
    old = {} if all_again else before.results
    said = [line for line in (changed, "" if all_again else before.said) if line]
    if errors:
        count = counted(len(errors), "fault")
        said.append(f"the key has {count} of its own: `dimaudit check {key_path}` shows what is wrong")
    said += lost_by_key(grade(key, key.examined, rubric))
    with handed_in(submissions, (key_path, rubric_file, folder)) as handed:
        if not handed.submissions and not handed.for_a_person:
            raise UsageError(f"{', '.join(map(str, submissions))}: no submissions: name files, a folder or a zip")
        new = [s for s in handed.submissions if s.sha256 not in old or s.sha256 not in before.figures]
        outcomes = run(Work(key_path, rubric, grader), new, jobs, progress(len(new)))
    fresh = {o.result.name: o for o in outcomes}
    results: list[Result] = list(handed.for_a_person)
    for s in handed.submissions:
        found = fresh[s.name].result if s.name in fresh else old[s.sha256]
        results.append(replace(found, name=s.name, path=s.path))
    results.sort(key=lambda r: order(r.name))
    faults = tuple((o.result.name, o.fault) for o in outcomes if o.fault)
    figures = dict(before.figures) | {o.result.sha256: o.figure for o in outcomes if o.figure}
    stopped = frozenset(o.result.name for o in outcomes if o.stopped)
    return _written(
        folder, rubric, results, handed, faults, stopped, len(new), said, before, wanted, figures, version
    )


def lost_by_key(own: Result) -> list[str]:
    """What the key itself would lose under a rubric: everyone would, so the rubric or the key is wrong."""
    if not isinstance(own, Graded):
        return []
    return [
        f"the key itself gets {points_text(m.got)} of {points_text(m.points)} for {m.criterion} under this rubric: "
        f"{'; '.join(d.what for d in m.deductions if not d.follows)}: so may everyone; mend the rubric or the key"
        for m in own.marks if m.got < m.points and not m.for_a_person
    ]  # fmt: skip


class FaultyKey(Exception):
    """The key changed and has faults that would mark everyone wrong."""

    def __init__(self, key: Path, errors: tuple[Finding, ...], said: str) -> None:
        super().__init__(said)
        self.key, self.errors, self.said = key, errors, said


def _written(
    folder: Path, rubric: Rubric, results: list[Result], handed: HandedIn, faults: tuple[tuple[str, str], ...],
    stopped: frozenset[str], again: int, said: list[str], before: state.State, wanted: dict[str, str],
    figures: Mapping[str, str], version: str,
) -> Class:  # fmt: skip
    remarks = read_remarks(folder, results)
    rows = rows_of(results, rubric, remarks)
    summary = summarise(results, rubric, remarks)
    most = sum((a.points for a in rubric.criteria), Fraction(0))
    said += [
        f"{row.name}: your mark {points_text(row.changed)} is above the {points_text(most)} that can be had"
        for row in rows if row.changed is not None and row.changed > most
    ]
    first = not files_in(folder)
    made = write_new(folder, results, remarks.known)
    if made is not None and not first:
        said.append(f"{made}: for remarks on what came in since")
    digests = {}
    names = page_names(r.name for r in results)
    books = {
        CSV: gradebook_csv(rows, rubric), XLSX: gradebook_xlsx(rows, rubric, results, summary),
        SUMMARY: class_page(rubric, rows, summary, names, version).encode(),
    }  # fmt: skip
    for result, row in zip(results, rows, strict=True):
        shown = _shown(figures.get(result.sha256, ""))
        page = learner_page(result, row, rubric, remarks, shown, version)
        books[f"{PAGES}/{names[result.name]}"] = page.encode()
    try:
        (folder / PAGES).mkdir(exist_ok=True)
    except OSError as error:
        raise UsageError(f"{folder / PAGES}: {error.strerror or error}: it must be a folder for the pages") from None
    for name, data in books.items():
        digests[name] = sha256(data).hexdigest()
        if _digest(folder / name) == digests[name]:
            continue
        kept = _kept(folder, name, {before.written.get(name, ""), digests[name]})
        if kept is not None:
            said.append(f"{folder / name} was changed by hand: kept as {kept}; remarks belong into remarks.toml")
        write_whole(folder / name, data)
    for name in sorted(before.written.keys() - books.keys()):
        if name == f"{PAGES}/{PurePath(name).name}" and _digest(folder / name) == before.written[name]:
            (folder / name).unlink()
            said.append(f"{name} deleted: its submission is not among these")
    sound = [r for r in results if r.name not in {*dict(faults), *stopped} and r not in handed.for_a_person]
    write_whole(folder / STATE, state.text(sound, wanted, digests, figures).encode())
    return Class(rubric, tuple(results), tuple(rows), remarks, summary, faults, again,
                 len(handed.submissions) - again, (*said, *handed.said, *remarks.said))  # fmt: skip


def _shown(figure: str) -> Shown:
    """A picture that was kept; one that is damaged is as good as none."""
    try:
        return unpacked(figure) if figure else Shown(why="there is nothing that could be drawn")
    except ValueError:
        return Shown(why="it was damaged where it was kept; grade all again")


def _digest(path: Path) -> str:
    """Of a file; empty where there is none that can be read."""
    try:
        return sha256(path.read_bytes()).hexdigest()
    except OSError:
        return ""


def _kept(folder: Path, name: str, ours: set[str]) -> Path | None:
    """Moves a file that a person changed out of what is handed out; nothing done by hand is lost."""
    path = folder / name
    try:
        if not path.exists() or sha256(path.read_bytes()).hexdigest() in ours:
            return None
        (folder / BY_HAND).mkdir(exist_ok=True)
        n = 1
        while (kept := folder / BY_HAND / f"{path.stem}-{n}{path.suffix}").exists():
            n += 1
        return path.rename(kept)
    except OSError as error:
        raise UsageError(f"{path}: {error.strerror or error}: close it where it is open") from None
