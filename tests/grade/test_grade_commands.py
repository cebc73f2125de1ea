"""`rubric` and `grade` as their users call them, with the real grader."""

import csv
import os
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import openpyxl
import pytest

from grade.evening import hand_in, plate

ROOT = Path(__file__).parent.parent.parent


def dimaudit(folder: Path, *args: object, **env: str) -> subprocess.CompletedProcess[str]:
    """The program in a process of its own, not on a terminal."""
    command = [sys.executable, "-m", "dimaudit", *map(str, args)]
    return subprocess.run(
        command, capture_output=True, text=True, encoding="utf-8", cwd=folder, check=False,
        env={**os.environ, "PYTHONPATH": str(ROOT), **env},
    )  # fmt: skip


@pytest.fixture(scope="module")
def furnished(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A key, a rubric, and a class: one right, one with a smaller hole, one moved, one that is no drawing."""
    tmp_path = tmp_path_factory.mktemp("furnished")
    plate().save(tmp_path, "key.dxf")
    made = dimaudit(tmp_path, "rubric", "key.dxf", "--output", "rubric.toml")
    assert (made.returncode, made.stderr) == (0, "")
    hand_in(tmp_path / "class", "ines.dxf")
    hand_in(tmp_path / "class", "tor.dxf", plate(drill="1/8"))
    hand_in(tmp_path / "class", "moved.dxf", plate(corner=("7", "3")))
    (tmp_path / "class" / "lot.dwg").write_bytes(b"AC1032")
    return tmp_path


@pytest.fixture
def room(tmp_path: Path, furnished: Path) -> Path:
    """The same for each test, in a folder of its own."""
    return Path(shutil.copytree(furnished, tmp_path / "room"))


def marks(folder: Path) -> dict[str, dict[str, str]]:
    data = (folder / "gradebook.csv").read_text(encoding="utf-8-sig")
    return {row["name"]: row for row in csv.DictReader(data.splitlines())}


# --- rubric --------------------------------------------------------------------------------------


def test_a_rubric_is_written_and_never_written_over(room):
    """It may hold the instructor's edits."""
    (room / "rubric.toml").write_text("mine")
    again = dimaudit(room, "rubric", "key.dxf", "--output", "rubric.toml")
    assert again.returncode == 2
    assert "may hold your edits" in again.stderr
    assert (room / "rubric.toml").read_text() == "mine"


def test_a_faulty_key_gives_no_rubric_unless_told(tmp_path):
    """Its errors are shown with what to do; told, they stand in the file, too."""
    wrong = plate()
    wrong.across((1, 3), (5, 3), y=4, text="3.000")
    wrong.save(tmp_path, "key.dxf")
    refused = dimaudit(tmp_path, "rubric", "key.dxf", "--output", "rubric.toml")
    assert refused.returncode == 1
    assert "a wrong key marks everyone wrong" in refused.stdout
    assert "to do:" in refused.stdout
    assert "--with-a-faulty-key" in refused.stderr
    assert not (tmp_path / "rubric.toml").exists()
    told = dimaudit(tmp_path, "rubric", "key.dxf", "--output", "rubric.toml", "--with-a-faulty-key")
    assert told.returncode == 0
    assert "THE KEY HAS FAULTS OF ITS OWN" in (tmp_path / "rubric.toml").read_text()


def test_a_key_elsewhere_is_found_from_the_rubrics_folder(room):
    """Its path is written from there."""
    (room / "rubrics").mkdir()
    assert dimaudit(room, "rubric", "key.dxf", "--output", "rubrics/r.toml").returncode == 0
    assert 'key = "../key.dxf"' in (room / "rubrics" / "r.toml").read_text()
    assert dimaudit(room, "grade", "rubrics/r.toml", "class/ines.dxf", "--output", "marks").returncode == 0


@pytest.mark.parametrize("content", [b"", b"0\nSECTION\n2\nENTITIES\n0\nENDSEC\n0\nEOF\n"])
def test_what_is_no_key_is_said(tmp_path, content):
    """Nothing to ask from nothing."""
    (tmp_path / "key.dxf").write_bytes(content)
    made = dimaudit(tmp_path, "rubric", "key.dxf", "--output", "rubric.toml")
    assert made.returncode == 2
    assert "key.dxf" in made.stderr
    assert not (tmp_path / "rubric.toml").exists()


# --- grade ---------------------------------------------------------------------------------------


def test_a_class_is_graded(room):
    """Right is full marks, wherever it lies; a small hole costs; a drawing in another format is for a person."""
    graded = dimaudit(room, "grade", "rubric.toml", "class", "--output", "marks")
    assert (graded.returncode, graded.stderr) == (1, "")
    found = marks(room / "marks")
    assert list(found) == ["ines", "lot", "moved", "tor"]
    assert found["ines"]["mark"] == found["moved"]["mark"] == "100"
    assert 80 < float(found["tor"]["mark"]) < 100
    assert found["lot"]["mark"] == ""
    assert "save a copy or export" in found["lot"]["for a person"]
    assert {p.name for p in (room / "marks").iterdir()} == {
        "class.html", "gradebook.csv", "gradebook.xlsx", "graded.json", "pages", "remarks.toml",
    }  # fmt: skip
    sheet = openpyxl.load_workbook(room / "marks" / "gradebook.xlsx")["marks"]
    assert [cell.value for cell in sheet["A"]] == ["name", "ines", "lot", "moved", "tor"]


def test_all_graded_is_0(room):
    """Whatever the marks are."""
    graded = dimaudit(room, "grade", "rubric.toml", "class/tor.dxf", "class/ines.dxf", "--output", "marks")
    assert graded.returncode == 0
    assert list(marks(room / "marks")) == ["ines", "tor"]


def test_the_same_bytes_for_any_number_of_workers_and_any_order_of_hashes(room):
    """A folder twice, with other seeds."""
    for name, jobs, seed in (("one", 1, "1"), ("three", 3, "2")):
        dimaudit(room, "grade", "rubric.toml", "class", "--output", name, "--jobs", jobs, PYTHONHASHSEED=seed)
    first, second = (
        {p.relative_to(room / name): p.read_bytes() for p in (room / name).rglob("*") if p.is_file()}
        for name in ("one", "three")
    )
    assert first == second


def test_an_archive_gives_the_marks_of_the_folder(room):
    """And nothing of it stays unpacked."""
    with zipfile.ZipFile(room / "class.zip", "w") as packed:
        for path in (room / "class").iterdir():
            packed.write(path, f"class/{path.name}")
    dimaudit(room, "grade", "rubric.toml", "class", "--output", "one")
    dimaudit(room, "grade", "rubric.toml", "class.zip", "--output", "two")
    one, two = marks(room / "one"), marks(room / "two")
    assert [{k: v for k, v in row.items() if k != "file"} for row in one.values()] == [
        {k: v for k, v in row.items() if k != "file"} for row in two.values()
    ]
    assert two["tor"]["file"] == "class.zip/tor.dxf"


def test_explain_marks_shows_the_arithmetic(room):
    """Each criterion, what was taken and why, and the sum; a wrong name gets the nearest one."""
    graded = dimaudit(room, "grade", "rubric.toml", "class", "--output", "marks", "--explain-marks", "tor")
    mark = marks(room / "marks")["tor"]["mark"]
    assert f"\ntor: {mark} of 100\n" in graded.stdout
    assert "rounded half up to a multiple of 0.5" in graded.stdout
    assert "\n      -" in graded.stdout
    wrong = dimaudit(room, "grade", "rubric.toml", "class", "--output", "marks", "--explain-marks", "torr")
    assert wrong.returncode == 2
    assert "did you mean 'tor'?" in wrong.stderr


@pytest.mark.parametrize(
    ("args", "says"),
    [
        (("none.toml", "class"), "none.toml"), (("rubric.toml", "nowhere"), "no such file or folder"),
        (("rubric.toml", "class", "--jobs", "0"), "--jobs"), (("key.dxf", "class"), "key.dxf"),
    ],
)  # fmt: skip
def test_wrong_usage_is_2(room, args, says):
    """And nothing is written."""
    done = dimaudit(room, "grade", *args, "--output", "marks")
    assert done.returncode == 2
    assert says in done.stderr
    assert not (room / "marks" / "gradebook.csv").exists()


def test_hostile_names_reach_neither_terminal_nor_spreadsheet(room):
    """Control codes are shown, formulas are texts, markup is none."""
    hand_in(room / "class", "=cmd [red]x[/red].dxf")
    if os.name != "nt":
        hand_in(room / "class", "a\x1b[31mb.dxf")
    graded = dimaudit(room, "grade", "rubric.toml", "class", "--output", "marks")
    assert "\x1b" not in graded.stdout
    assert "=cmd [red]x[/red]" in graded.stdout
    assert "'=cmd [red]x[/red]" in marks(room / "marks")


def test_the_drawings_are_not_touched(room):
    """Neither the key nor what was handed in."""
    before = {p: p.read_bytes() for p in (room / "key.dxf", *(room / "class").iterdir())}
    dimaudit(room, "grade", "rubric.toml", "class", "--output", "marks")
    assert {p: p.read_bytes() for p in (room / "key.dxf", *(room / "class").iterdir())} == before
