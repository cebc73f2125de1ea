"""Layouts of the evening class for tests, and a grader of the simplest kind that stands in for the real one."""

import os
from collections.abc import Callable, Sequence
from fractions import Fraction
from pathlib import Path

from read.sketch import Sketch

from dimaudit.grade import workers
from dimaudit.grade.laid_out import Key, key_of
from dimaudit.grade.submissions import Submission
from dimaudit.model.grading import Alignment, Criterion, CriterionMark, Deduction, ForAPerson, Graded, Rubric
from dimaudit.model.settings import Settings
from dimaudit.pipeline import Examined, examine_file

F = Fraction


def plate(wide: str = "4", drill: str = "1/4", corner: tuple[str, str] = ("1", "1"), marked: bool = False) -> Sketch:
    """A cleat's backing plate with one hole; with dimensions for its width, height and hole."""
    sketch = Sketch()
    x, y = (F(v) for v in corner)
    w = F(wide)
    for layer in ("PART", "DIM"):
        sketch.doc.layers.add(layer)
    sketch.rect(x, y, w, 2, layer="PART")
    sketch.circle((x + 1, y + 1), F(drill), layer="PART")
    if marked:
        sketch.into.add_point((float(x + 1), float(y + 1)), dxfattribs={"layer": "PART"})
    sketch.across((x, y), (x + w, y), y=y - 1, layer="DIM")
    sketch.upright((x, y), (x, y + 2), x=x - 1, layer="DIM")
    return sketch


def key(folder: Path, sketch: Sketch | None = None) -> Key:
    """A plate examined as the key."""
    return key_of(examine_file((sketch or plate()).save(folder, "key.dxf"), Settings()))


def hand_in(folder: Path, name: str, sketch: Sketch | None = None) -> Path:
    """A layout among the submissions."""
    path = folder / name
    path.parent.mkdir(parents=True, exist_ok=True)
    (sketch or plate()).save(path.parent, path.name)
    return path


def here(
    work: workers.Work, submissions: Sequence[Submission], jobs: int, done: Callable[[], None]
) -> list[workers.Outcome]:
    """Submissions graded one after another in this process, as each worker does it."""
    assert jobs
    if submissions:
        workers._start(work)
    outcomes = []
    for submission in submissions:
        outcomes.append(workers._one(submission))
        done()
    return outcomes


def grade(key: Key, submission: Examined, rubric: Rubric) -> Graded | ForAPerson:
    """Half a point for each piece too few or too many. It breaks, dies and refuses where a layer's name says so."""
    layers = {shape.origin.layer for shape in submission.sheet.shapes}
    if "CRASH" in layers:
        raise RuntimeError("the stand-in broke")
    if "DIE" in layers:
        os._exit(7)
    if "PERSON" in layers:
        return ForAPerson("", "", "", "nothing of it is anything of the key", "look at it")
    off = abs(len(submission.sheet.shapes) - len(key.examined.sheet.shapes))
    marks = []
    for asked in rubric.criteria:
        taken = F(off, 2) if asked.criterion is Criterion.FEATURES else F(0)
        fault = Deduction(asked.criterion, taken, f"{off} pieces too few or too many", ("counted",), ("4F",))
        lost = (fault,) if taken else ()
        marks.append(CriterionMark(asked.criterion, asked.points, 4, F(1, 2), lost, max(F(0), asked.points - taken)))
    return Graded("", "", "", Alignment(), tuple(marks), _digest(submission))


def _digest(submission: Examined) -> str:
    return "|".join(sorted(repr((type(s).__name__, *(getattr(s, f) for f in s.__slots__ if f != "origin")))
                           for s in submission.sheet.shapes))  # fmt: skip
