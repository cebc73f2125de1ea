"""docs/grading.md says what the code does."""

import re
from pathlib import Path

from dimaudit.grade import archive, room, submissions, workers
from dimaudit.grade.gradebook import headings
from dimaudit.grade.rubric import KNOWN
from dimaudit.model.grading import Lying, Rubric

PAGE = (Path(__file__).parent.parent.parent / "docs" / "grading.md").read_text(encoding="utf-8")


def table(title: str) -> dict[str, str]:
    """The rows of the table below a heading row."""
    body = PAGE[PAGE.index(title) :].split("\n\n")[0]
    return dict(line.strip("| ").split(" | ", 1) for line in body.splitlines()[2:])


def test_each_table_and_key_of_a_rubric_is_on_the_page():
    """And no other."""
    said = {}
    for names, keys in table("| table | keys |").items():
        for name in re.findall(r"\[([\w-]+)\]", names):
            said[name] = {k for k in re.findall(r"`([\w]+)`", keys) if k not in ("layers", "entities")}
    assert said == {name: set(keys) for name, keys in KNOWN.items()}
    assert all(str(word) in PAGE for word in Lying)


def test_the_columns_and_files_are_those_of_the_gradebook():
    """In their order."""
    columns = [c.strip("`") for row in table("| column |") for c in row.split(", ")]
    assert [c for c in columns if c != "the criteria"] == headings(Rubric("", "", "", ()))
    assert [f.strip("`") for f in table("| file in the folder |")] == [
        room.CSV, room.XLSX, f"{room.PAGES}/", room.SUMMARY, "remarks.toml", room.STATE,
    ]  # fmt: skip


def test_the_bounds_are_those_in_force():
    """Of files, archives and time."""
    assert f"{submissions.MOST_FILES}\nfiles, {submissions.LARGEST // 2**20} MiB a file" in PAGE
    assert f"{archive.LARGEST_IN_ALL // 2**30} GiB in all, {archive.RATIO} times the packed size" in PAGE
    assert f"longer than {workers.SECONDS} seconds" in PAGE
