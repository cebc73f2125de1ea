"""Grading again: only what is new or changed, and nothing that the instructor wrote is ever lost."""

import csv
import json
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

import pytest

from dimaudit.errors import UsageError
from dimaudit.grade.proposed import proposed
from dimaudit.grade.room import Class, FaultyKey, grade_class
from dimaudit.grade.rubric_text import rubric_text
from dimaudit.grade.state import State, basis, load, text
from dimaudit.model.grading import Alignment as Way
from dimaudit.model.grading import Criterion, CriterionMark, Deduction, ForAPerson, Graded, Rubric
from grade import evening
from grade.evening import hand_in, key, plate

F = Fraction


@dataclass
class Room:
    """A key, its rubric, and a class of two."""

    folder: Path
    version: str = "1"

    @property
    def marks(self) -> Path:
        return self.folder / "marks"

    def hand_in(self, name: str, sketch: evening.Sketch | None = None) -> Path:
        return hand_in(self.folder / "class", f"{name}.dxf", sketch)

    def grade(self, submissions: str = "class", into: str = "marks", **more: bool) -> Class:
        given = self.folder / "rubric.toml", [self.folder / submissions], self.folder / into
        return grade_class(*given, self.version, 1, grader=evening.grade, run=evening.here, **more)

    def rows(self) -> dict[str, dict[str, str]]:
        data = (self.marks / "gradebook.csv").read_text(encoding="utf-8-sig")
        return {row["name"]: row for row in csv.DictReader(data.splitlines())}

    def remark(self, name: str, remark: str = "", mark: str = "", file: str = "remarks.toml") -> None:
        """What an instructor types into the file."""
        path = self.marks / file
        head, _, rest = path.read_text().partition(f'["{name}"]\n')
        rest = rest.replace('remark = ""', f'remark = "{remark}"', 1)
        path.write_text(f'{head}["{name}"]\n' + (rest.replace('mark = ""', f"mark = {mark}", 1) if mark else rest))


@pytest.fixture
def room(tmp_path: Path) -> Iterator[Room]:
    made = Room(tmp_path)
    drawing = key(tmp_path)
    (tmp_path / "rubric.toml").write_text(rubric_text(proposed(drawing, "key.dxf", "plate"), None))
    made.hand_in("ines")
    made.hand_in("tor", plate(drill="1/8"))
    return made


def files(folder: Path) -> dict[str, bytes]:
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def test_a_second_run_grades_nothing_and_writes_the_same(room):
    """To the byte."""
    assert (room.grade().again, before := files(room.marks))[0] == 2
    second = room.grade()
    assert (second.again, second.kept) == (0, 2)
    assert files(room.marks) == before


def test_all_again_grades_all_and_writes_the_same(room):
    """What was kept is what comes out."""
    room.grade()
    before = files(room.marks)
    assert room.grade(all_again=True).again == 2
    assert files(room.marks) == before


def test_new_and_changed_submissions_are_graded_alone(room):
    """One that was handed in anew, one that came late; a renamed one is known by its content."""
    room.grade()
    room.hand_in("tor", plate(drill="1/16"))
    room.hand_in("late", plate(wide="5"))
    (room.folder / "class" / "ines.dxf").rename(room.folder / "class" / "ines-b.dxf")
    again = room.grade()
    assert (again.again, again.kept) == (2, 1)
    assert [r.name for r in again.results] == ["ines-b", "late", "tor"]


@pytest.mark.parametrize("changed", ["rubric", "tool"])
def test_another_rubric_or_tool_grades_all_again(room, changed):
    """And says why."""
    room.grade()
    if changed == "rubric":
        path = room.folder / "rubric.toml"
        path.write_text(path.read_text().replace("points = 25", "points = 30"))
    else:
        room.version = "2"
    again = room.grade()
    assert again.again == 2
    assert f"the {changed} changed: everything is graded again" in again.said


def test_a_remark_in_the_rubric_file_changes_nothing(room):
    """What it says counts, not its bytes."""
    room.grade()
    path = room.folder / "rubric.toml"
    path.write_text("# looked through\n" + path.read_text())
    assert room.grade().again == 0


def test_a_changed_key_is_said(room):
    """Everything is graded again, against the key as it is."""
    room.grade()
    key(room.folder, plate(drill="1/8"))
    again = room.grade()
    assert again.again == 2
    assert any("key.dxf changed since the rubric was written" in line for line in again.said)


def test_a_changed_key_with_faults_stops(room):
    """A wrong key marks everyone wrong, unless the instructor says so."""
    wrong = plate()
    wrong.across((1, 3), (5, 3), y=4, text="3.000")
    key(room.folder, wrong)
    with pytest.raises(FaultyKey):
        room.grade()
    assert not room.marks.exists()
    assert any("of its own" in line for line in room.grade(faulty_key=True).said)


def test_the_key_that_is_gone_is_said(room):
    """With what to do."""
    (room.folder / "key.dxf").unlink()
    with pytest.raises(UsageError, match="the rubric's key is not there"):
        room.grade()


@pytest.mark.parametrize("damage", ["", "{", "[]", '{"version": 1}', '{"version": 9}', "null", "[" * 100_000, "\udcff"])
def test_a_damaged_state_is_as_good_as_none(room, damage):
    """Everything is graded again, and that is said."""
    room.grade()
    before = files(room.marks)
    (room.marks / "graded.json").write_bytes(damage.encode("utf-8", "surrogateescape"))
    again = room.grade()
    assert again.again == 2
    assert any("graded.json" in line for line in again.said)
    assert {n: d for n, d in files(room.marks).items() if not n.startswith("changed-by-hand/")} == before


# --- what the instructor wrote -------------------------------------------------------------------


def test_remarks_and_marks_stay(room):
    """The file is never written again, and what it says is in the gradebook after every run."""
    room.grade()
    room.remark("ines", "see me", "87.5")
    typed = (room.marks / "remarks.toml").read_bytes()
    for _ in range(2):
        room.grade(all_again=True)
        assert (room.marks / "remarks.toml").read_bytes() == typed
        assert (room.rows()["ines"]["mark"], room.rows()["ines"]["remarks"]) == ("87.5", "see me")


def test_late_submissions_get_a_file_of_their_own(room):
    """What is there is never written over."""
    room.grade()
    room.remark("ines", "see me")
    typed = (room.marks / "remarks.toml").read_bytes()
    room.hand_in("late")
    assert any("remarks-2.toml" in line for line in room.grade().said)
    assert (room.marks / "remarks.toml").read_bytes() == typed
    room.remark("late", "too late", "40", "remarks-2.toml")
    room.grade()
    assert room.rows()["late"]["mark"] == "40"
    assert room.rows()["ines"]["remarks"] == "see me"
    assert not (room.marks / "remarks-3.toml").exists()


def test_a_mark_rests_when_the_file_was_handed_in_anew(room):
    """It was given for another file; the remark stays, and it is said how to renew the mark."""
    room.grade()
    room.remark("tor", "good", "95")
    room.hand_in("tor", plate(drill="1/16"))
    room.grade()
    row = room.rows()["tor"]
    assert row["mark"] == row["as graded"] != "95"
    assert row["remarks"].startswith("good; the changed mark 95 rests: it was given for another version")
    digest = row["remarks"].split('"')[1]
    path = room.marks / "remarks.toml"
    head, _, rest = path.read_text().partition('["tor"]\nsha256 = "')
    path.write_text(f'{head}["tor"]\nsha256 = "{digest}{rest[64:]}')
    room.grade()
    assert room.rows()["tor"]["mark"] == "95"


def test_a_slip_in_the_remarks_ends_the_run_before_anything_is_graded(room):
    """No work is lost over it."""
    room.grade()
    with (room.marks / "remarks.toml").open("a") as file:
        file.write('["ines"\n')
    ran: list[int] = []
    given = room.folder / "rubric.toml", [room.folder / "class"], room.marks
    with pytest.raises(UsageError, match=r"remarks\.toml"):
        grade_class(*given, "2", 1, grader=evening.grade, run=lambda *_: ran.append(1) or [])
    assert not ran


def test_a_remark_about_nobody_is_said(room):
    """With the nearest name."""
    room.grade()
    with (room.marks / "remarks.toml").open("a") as file:
        file.write('\n["iness"]\nremark = "hello"\n')
    assert any("'iness', which is no submission's name; did you mean 'ines'?" in line for line in room.grade().said)


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ('\n["x"]\nremrak = "a"\n', "line 19: [x] 'remrak' is nothing that it has; did you mean 'remark'?"),
        ('\n["x"]\nmark = "good"\n', "line 19: [x] mark: 'good' is no number"),
        ('\n["x"]\nmark = -1\n', "line 19: [x] mark: is below zero"),
        ('\n["x"]\nremark = 3\n', "line 19: [x] remark: must be a text in double quotation marks"),
        ('\n["x"]\nremark = "a\n', "line 19"),
        ('\n["ines"]\n', "remarks.toml"),
    ],
)
def test_a_slip_in_the_remarks_is_named_with_its_line(room, typed, says):
    """And the gradebook is left as it is."""
    room.grade()
    before = (room.marks / "gradebook.csv").read_bytes()
    path = room.marks / "remarks.toml"
    path.write_text(path.read_text() + typed)
    with pytest.raises(UsageError) as caught:
        room.grade()
    assert says in str(caught.value)
    assert (room.marks / "gradebook.csv").read_bytes() == before


def test_one_name_in_two_files_of_remarks_is_refused(room):
    """Which of them counts is not guessed."""
    room.grade()
    (room.marks / "remarks-2.toml").write_text('["ines"]\nremark = "b"\n')
    with pytest.raises(UsageError, match=r"remarks-2\.toml: line 1: \[ines\] is in remarks\.toml, too"):
        room.grade()


def test_a_gradebook_that_was_changed_by_hand_is_kept(room):
    """Under another name, each time; it is said where remarks belong."""
    room.grade()
    for n in (1, 2):
        (room.marks / "gradebook.csv").write_text(f"mine {n}")
        said = room.grade().said
        assert (room.marks / f"changed-by-hand/gradebook-{n}.csv").read_text() == f"mine {n}"
        assert any("changed by hand" in line for line in said)
    assert room.rows()["ines"]["mark"]


def test_the_gradebooks_folder_is_not_that_of_the_class(room):
    """Else it would be handed in by itself."""
    with pytest.raises(UsageError, match="name another folder"):
        room.grade(into="class")


def test_a_gradebook_within_the_class_is_left_aside(room):
    """And the key and the rubric, too, where they lie there."""
    found = room.grade("", "class/marks")
    assert [r.name for r in found.results] == ["class/ines", "class/tor"]
    again = room.grade("", "class/marks")
    assert (again.results, again.again) == (found.results, 0)


def test_nothing_handed_in_is_said(room):
    """An empty folder is no class."""
    (room.folder / "none").mkdir()
    with pytest.raises(UsageError, match="no submissions"):
        room.grade("none")


def test_what_broke_is_graded_again(room):
    """A fault of the tool is no result to keep."""
    sketch = plate()
    sketch.line((0, 0), (1, 1), layer="CRASH")
    room.hand_in("crash", sketch)
    assert [name for name, _ in room.grade().faults] == ["crash"]
    assert (room.grade().again, room.rows()["crash"]["mark"]) == (1, "")


# --- the file between the runs -------------------------------------------------------------------


def test_results_come_back_as_they_were(tmp_path):
    """Every field, and every number exactly."""
    lost = Deduction(Criterion.SIZES, F(1, 3), "ü", ("a", "b"), ("4F",), (0.1, -2.5), ("2A",), "the width")
    free = Deduction(Criterion.SIZES, F(0), "seen")
    mark = CriterionMark(Criterion.SIZES, F(25), 3, F(25, 3), (lost, free), F(74, 3), "")
    waits = CriterionMark(Criterion.DIMENSIONS, F(5), 0, F(1), (), F(0), "cannot be told")
    way = Way(F(127, 5), True, 3, (F(1, 3), F(-2)))
    results = [
        Graded("a", "class/a.dxf", "1" * 64, way, (mark, waits), "digest", ("a remark",)),
        ForAPerson("b", "class/b.dxf", "2" * 64, "why", "do", "yours"),
    ]
    wanted = basis(Rubric("k", "3" * 64, "", ()), "1")
    path = tmp_path / "graded.json"
    path.write_text(text(results, wanted, {"a": "b"}))
    assert load(path, wanted) == State({r.sha256: r for r in results}, {"a": "b"})
    assert json.loads(path.read_text())["version"] == 2
    assert load(tmp_path / "none.json", wanted) == State()


def test_a_state_that_gives_more_than_there_is_is_not_believed(room):
    """Somebody typed into it."""
    room.grade()
    path = room.marks / "graded.json"
    kept = json.loads(path.read_text(encoding="utf-8"))
    mark = next(m for r in kept["results"] if "marks" in r for m in r["marks"])
    mark["got"] = str(F(mark["points"]) + 1)
    path.write_text(json.dumps(kept), encoding="utf-8")
    assert any("graded.json" in line for line in room.grade().said)
