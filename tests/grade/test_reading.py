"""The instructor's word on how files are read: the key's unit, and layers that are none of the exercise."""

import shutil
from dataclasses import replace
from pathlib import Path

from read.sketch import Sketch

from dimaudit.grade.reading import read_key, read_submission
from dimaudit.grade.room import grade_class
from dimaudit.model.grading import Criterion, Graded
from dimaudit.model.units import Unit
from grade.plates import RUBRIC

CLASS = Path(__file__).parent.parent.parent / "samples" / "class"
MILLIMETRES = replace(RUBRIC, unit=Unit.MILLIMETRE)


def plate(folder: Path, unit: Unit | None) -> Path:
    """A plate without dimensions: nothing but the header can name its unit."""
    sketch = Sketch(unit)
    sketch.rect(0, 0, 4, 2)
    return sketch.save(folder, f"{unit or 'none'}.dxf")


def test_the_instructor_s_unit_is_the_key_s_whatever_its_file_says(tmp_path: Path) -> None:
    for unit in (Unit.INCH, None):
        assert read_key(plate(tmp_path, unit), MILLIMETRES).drawing.unit is Unit.MILLIMETRE
    assert read_key(plate(tmp_path, Unit.INCH), RUBRIC).drawing.unit is Unit.INCH


def test_a_layout_keeps_its_own_unit_which_is_graded_and_gets_the_instructor_s_where_it_has_none(
    tmp_path: Path,
) -> None:
    assert read_submission(plate(tmp_path, Unit.INCH), MILLIMETRES).drawing.unit is Unit.INCH
    inches = replace(RUBRIC, unit=Unit.INCH)
    assert read_submission(plate(tmp_path, None), inches).drawing.unit is Unit.INCH
    assert read_submission(plate(tmp_path, None), RUBRIC).drawing.unit is Unit.MILLIMETRE  # inferred: $MEASUREMENT


def test_layers_are_left_out_of_the_key_and_of_the_submissions(tmp_path: Path) -> None:
    """Rudder's three circles lie on the notes' layer: with it left out they are missing, which costs 2 for each."""
    shutil.copy(CLASS / "key.dxf", tmp_path)
    text = (CLASS / "rubric.toml").read_text(encoding="utf-8")
    assert text.count("without_layers = []") == 1
    (tmp_path / "rubric.toml").write_text(
        text.replace("without_layers = []", 'without_layers = ["notes"]'), encoding="utf-8"
    )
    handed_in = [CLASS / "handed-in" / f"{name}.dxf" for name in ("anchor", "rudder")]
    found = grade_class(tmp_path / "rubric.toml", handed_in, tmp_path / "marks", "1", 1)
    lost = {}
    for result in found.results:
        assert isinstance(result, Graded)
        lost[result.name] = sum(m.points - m.got for m in result.marks if m.criterion is Criterion.FEATURES)
    assert lost == {"anchor": 0, "rudder": 6}
