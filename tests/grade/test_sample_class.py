"""The sample class gets the marks that were worked out by hand from its rubric, criterion by criterion.

The rubric gives 100 points: units 5, orientation 5, place 5 (the lower left corner on the origin), features 22, sizes
32, shape 2, dimensions 16, typed-over 2, linework 6, layers 2, centre-points 3. Counted on the key drawing by hand:

- 11 features, so 2 for each: five straight edges, two fillets, two bolt holes, the bore, the slot.
- 16 numbers, so 2 for each wrong size: width, height; of the left bolt hole x and y; bolt holes apart; of the bore x
  and y; the chamfer's two legs; of the slot x, y and length; and four sizes: bolt holes, bore, slot, fillets.
- 16 dimensions for these, so 1 for each: 0.4 there, 0.2 right, 0.2 well stated, 0.2 associated.
- 3 circles, so 1 for each point at a centre.

A typed number costs 1; a fault of the linework, and one of the shape, 2; a piece on another layer 0.25. The printed
number drawn for the exact one costs a quarter of a wrong size. The sum is rounded half up to halves.
"""

import csv
import shutil
from collections.abc import Mapping
from fractions import Fraction as F
from pathlib import Path

import pytest

from dimaudit.grade.laid_out import key_of
from dimaudit.grade.marks import grade
from dimaudit.grade.room import Class, grade_class
from dimaudit.grade.rubric import read_rubric
from dimaudit.model.grading import Criterion, ForAPerson, Graded
from dimaudit.model.settings import Settings
from dimaudit.pipeline import examine_file

C = Criterion
CLASS = Path(__file__).parent.parent.parent / "samples" / "class"
FULL = {
    C.UNITS: F(5), C.ORIENTATION: F(5), C.PLACE: F(5), C.FEATURES: F(22), C.SIZES: F(32), C.SHAPE: F(2),
    C.DIMENSIONS: F(16), C.TYPED: F(2), C.LINEWORK: F(6), C.LAYERS: F(2), C.CENTRE_POINTS: F(3),
}  # fmt: skip

BY_HAND: dict[str, tuple[Mapping[Criterion, F], str, str]] = {
    "anchor": ({}, "100", "a perfect copy loses nothing"),
    "bilge": ({C.PLACE: F(5)}, "95", "built otherwise costs nothing; its corner is at 3, 1.25 and not on the origin"),
    "block": ({}, "100", "polylines and half arcs are the same edges and circles, and lie on the origin"),
    "chisel": ({C.SIZES: F(2)}, "98", "one wrong overall is one cause, though the chamfer and a fillet moved with it"),
    "cleat": ({C.SIZES: F(1, 2)}, "99.5", "2.438 was drawn for 2.4375: a quarter of 2"),
    "file": ({C.FEATURES: F(2)}, "98", "one hole of 11 features; its distance, dimension and point follow"),
    "gimlet": ({C.SIZES: F(2)}, "98", "bolt holes apart is 4.375 instead of 4; the dimension states what was drawn"),
    "halyard": ({C.SIZES: F(2)}, "98", "the bore is 2.5 instead of 1.25, its place is right"),
    "hammer": ({C.TYPED: F(2)}, "98", "two typed numbers; the wrong one is not charged as a wrong dimension again"),
    "keel": ({C.DIMENSIONS: F(2)}, "98", "height and slot y are not there, and nothing else says them"),
    "mallet": ({C.DIMENSIONS: F(16, 5)}, "97", "16 x 0.2 = 3.2; 96.8 is 97 in halves"),
    "oarlock": ({C.UNITS: F(5)}, "95", "millimetres, charged once; the corner lies on the origin in any unit"),
    "painter": ({C.LINEWORK: F(2)}, "98", "one corner is open by half an inch; each edge is there, and no size is off"),
    "pintle": ({C.ORIENTATION: F(5)}, "95", "mirrored about its own middle: its corner is on the origin"),
    "plane": ({C.ORIENTATION: F(5)}, "95", "turned: its lower left corner is on the origin"),
    "rasp": ({C.LINEWORK: F(4)}, "96", "an edge drawn twice, and .01 open between lower edge and fillet: 2 x 2"),
    "rudder": ({C.LAYERS: F(3, 4)}, "99.5", "three circles on the notes' layer: 3 x 0.25; 99.25 is 99.5, half up"),
    "scraper": ({C.CENTRE_POINTS: F(3)}, "97", "no point at any of the three centres"),
    "shackle": ({C.LINEWORK: F(4)}, "96", "a hole and a line that the key does not have: 2 x 2"),
    "spanner": ({C.SHAPE: F(2)}, "98", "the holes are out of line, and no number of the key says so"),
    "tiller": ({}, "100", "second bolt hole and bore are dimensioned from the right: the part is defined as well"),
    "winch": (
        {C.SIZES: F(2), C.TYPED: F(1), C.CENTRE_POINTS: F(3)}, "94",
        "three faults that have nothing to do with one another add up: 2 + 1 + 3",
    ),
}  # fmt: skip
"""What each criterion takes, the mark, and why."""

FOR_A_PERSON = {
    "cotter": "no linework in model space",
    "fender": "another format than DXF (.dwg)",
    "sheave": "cut off",
}
"""Part of the reason."""


@pytest.fixture(scope="module")
def graded(tmp_path_factory: pytest.TempPathFactory) -> tuple[Class, Path]:
    folder = tmp_path_factory.mktemp("marks")
    return grade_class(CLASS / "rubric.toml", [CLASS / "handed-in"], folder, "1", 2), folder


def test_the_table_names_all_that_was_handed_in() -> None:
    assert sorted(p.stem for p in (CLASS / "handed-in").iterdir()) == sorted([*BY_HAND, *FOR_A_PERSON])


def test_the_rubric_asks_what_the_sums_by_hand_begin_with() -> None:
    rubric = read_rubric(CLASS / "rubric.toml")
    assert {a.criterion: a.points for a in rubric.criteria} == FULL
    assert sum(FULL.values()) == 100


@pytest.mark.parametrize("name", BY_HAND)
def test_each_submission_gets_the_mark_worked_out_by_hand(graded: tuple[Class, Path], name: str) -> None:
    taken, _, why = BY_HAND[name]
    (found,) = [r for r in graded[0].results if r.name == name]
    assert isinstance(found, Graded), found
    assert {m.criterion: m.got for m in found.marks} == {c: p - taken.get(c, 0) for c, p in FULL.items()}, why


@pytest.mark.parametrize("name", FOR_A_PERSON)
def test_what_cannot_be_graded_is_for_a_person(graded: tuple[Class, Path], name: str) -> None:
    (found,) = [r for r in graded[0].results if r.name == name]
    assert isinstance(found, ForAPerson), found
    assert FOR_A_PERSON[name] in found.why + found.to_do


def test_the_gradebook_shows_these_marks(graded: tuple[Class, Path]) -> None:
    text = (graded[1] / "gradebook.csv").read_text(encoding="utf-8-sig")
    marks = {row["name"]: row["mark"] for row in csv.DictReader(text.splitlines())}
    assert marks == {name: mark for name, (_, mark, _) in BY_HAND.items()} | dict.fromkeys(FOR_A_PERSON, "")


def test_the_key_against_itself_gets_full_marks() -> None:
    examined = examine_file(CLASS / "key.dxf", Settings())
    found = grade(key_of(examined), examined, read_rubric(CLASS / "rubric.toml"))
    assert isinstance(found, Graded)
    assert {m.criterion: m.got for m in found.marks} == FULL
    assert not [d for m in found.marks for d in m.deductions]


def test_rebuilt_and_shifted_gets_full_marks_where_the_rubric_allows_any_place(tmp_path: Path) -> None:
    shutil.copy(CLASS / "key.dxf", tmp_path)
    text = (CLASS / "rubric.toml").read_text(encoding="utf-8")
    assert text.count('lying = "corner"') == 1
    (tmp_path / "rubric.toml").write_text(text.replace('lying = "corner"', 'lying = "anywhere"'), encoding="utf-8")
    examined = examine_file(CLASS / "handed-in" / "bilge.dxf", Settings())
    key = key_of(examine_file(tmp_path / "key.dxf", Settings()))
    found = grade(key, examined, read_rubric(tmp_path / "rubric.toml"))
    assert isinstance(found, Graded)
    assert found.got == found.points == 100
