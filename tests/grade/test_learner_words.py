"""The pages in the words of those who read them: a learner of 17, and the instructor who has to teach again."""

from dataclasses import replace
from fractions import Fraction as F
from pathlib import Path

from dimaudit.grade import workers
from dimaudit.grade.explained import explained, got_text
from dimaudit.grade.marks import grade
from dimaudit.grade.missed import missed_things
from dimaudit.grade.pages.figure import Shown, numbered
from dimaudit.model.grading import Criterion, CriterionMark, Deduction, ForAPerson
from grade.evening import hand_in, key, plate
from grade.plates import KEY, RUBRIC, marks
from grade.test_gradebook import graded, person
from grade.test_pages import Read, page, whole

C = Criterion
ON = Shown(svg='<svg viewBox="0 0 1 1" role="img" aria-label="x"></svg>', marked=(1,))


def one(name: str, *deductions: Deduction) -> object:
    return replace(graded(name), marks=(CriterionMark(C.SIZES, F(10), 2, F(5), deductions, F(5)),))


def test_handles_are_left_out_where_a_number_stands_on_the_picture_and_explained_elsewhere() -> None:
    wrong = Deduction(C.SIZES, F(5), "too wide", ("it is",), ("4F",), (1.0, 1.0))
    on = Read(page(one("ines", wrong), shown=ON)).text
    off = Read(page(one("ines", wrong))).text
    assert "4F" not in on
    assert "handle" not in on
    assert "entity in the drawing (handle): 4F" in off
    assert "An entity's handle is its own number in the file" in off


def test_what_was_left_aside_has_no_number() -> None:
    aside = Deduction(C.SIZES, F(0), "5 pieces well outside the part left aside", handles=("1A",), at=(0.0, 0.0))
    wrong = Deduction(C.SIZES, F(5), "too wide", ("it is",), ("4F",), (1.0, 1.0))
    result = one("ines", aside, wrong)
    assert numbered(result) == [(1, wrong)]
    read = Read(page(result, shown=ON)).text
    assert "left aside" in read
    assert "1A" not in read
    assert "2" not in [t.strip() for t in Read(page(result, shown=ON)).texts]


def test_places_are_said_to_be_the_keys_once() -> None:
    read = Read(page(graded("ines"))).text
    assert read.count("are given as on the key") == 1


def test_a_cut_off_file_is_told_to_the_learner(tmp_path: Path) -> None:
    key(tmp_path)
    hand_in(tmp_path / "class", "ines.dxf", plate())
    whole_file = tmp_path / "class" / "ines.dxf"
    whole_file.write_bytes(whole_file.read_bytes()[:-600])
    work = workers.Work(tmp_path / "key.dxf", RUBRIC, grade)
    workers._start(work)
    found = workers._one(workers.Submission("ines", "ines.dxf", whole_file, "")).result
    assert isinstance(found, ForAPerson)
    assert found.why == "the file ends in the middle, cut off"
    read = Read(page(found, shown=Shown(why="it could not be read"))).text
    assert "Its tags name" not in read
    assert f"What you can do: {found.yours}." in read


def test_where_a_part_may_lie_anywhere_no_fault_is_priced() -> None:
    place = CriterionMark(C.PLACE, F(5), 0, F(5, 4), (), F(5))
    assert got_text(place) == "5 of 5; it may lie anywhere"
    assert not [line for _, line in explained(marks(KEY), RUBRIC) if "for a fault" in line and "place" in line]


def test_what_is_given_twice_is_a_remark() -> None:
    again = replace(KEY, extra=lambda b: b.across((0, 0), (8, 0), line_at=7.0))
    (mark,) = [m for m in marks(again).marks if m.criterion is C.DIMENSIONS]
    (twice,) = [d for d in mark.deductions if "given already" in d.what]
    assert not twice.points
    assert "leave one out" in twice.why[0]
    assert not [d for m in marks(KEY).marks for d in m.deductions]


def test_the_class_page_says_which_number_was_missed_by_how_many() -> None:
    wide, wider, hole = (replace(marks(block), name=name) for name, block in (
        ("ines", replace(KEY, width=8.25)), ("tor", replace(KEY, width=8.5)),
        ("lot", replace(KEY, width=8.5, bolts=((1.0, 1.0), None), dims=())),
    ))  # fmt: skip
    things = missed_things([wide, wider, hole, person("x")])
    assert (things[0].criterion, things[0].what, things[0].by) == (
        C.SIZES, "a distance along x: 8.000, between the left edge and the right edge", ("ines", "tor", "lot"),
    )
    assert (C.FEATURES, "the Ø.500 hole at (7.000, 1.000) is missing", ("lot",)) in [
        (t.criterion, t.what, t.by) for t in things
    ]
    read = Read(whole([wide, wider, hole])).text
    assert "a distance along x: 8.000, between the left edge and the right edge3sizesines, tor, lot" in read


def test_a_dimension_that_was_missed_has_the_keys_name() -> None:
    gone = marks(replace(KEY, dims=tuple(d for d in KEY.dims if d != "width")))
    coarse = marks(replace(KEY, places={"width": 1}))
    (thing,) = missed_things([replace(gone, name="ines"), replace(coarse, name="tor")])
    assert thing.what == 'linear dimension "8.000" (left edge to right edge)'
    assert thing.by == ("ines", "tor")


def test_missing_centrelines_are_a_remark() -> None:
    from dimaudit.grade.laid_out import key_of
    from grade.plates import examined

    of = key_of(examined(replace(KEY, extra=lambda b: b.line((0.5, 1), (1.5, 1), "CENTER"))))
    found = marks(KEY, of=of)
    assert found.got == found.points
    assert "1 centreline of the key is not drawn; it costs nothing" in found.remarks
