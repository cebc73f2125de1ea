"""What states a size: a dimension or a note on a leader, either for the other; what only informs states none.

The key asks 18 things; noted as below it asks 18 as well: the bore's size, by a note. Each is worth 2 points: .8 for
being there, .4 right, .4 well stated, .4 associated.
"""

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction as F
from functools import cache
from typing import Any

import pytest
from rules.rule_board import Board

from dimaudit.grade.laid_out import Key, key_of
from dimaudit.model.grading import Criterion, Graded
from grade.plates import ALL, KEY, RUBRIC, Block, examined, key, marks, taken

C = Criterion
AT = (9.5, 6.5)


def leader(board: Board, tip: tuple[float, float], words: str) -> None:
    """A note with a leader to `tip`."""
    made = board.msp.add_mtext(words, {"char_height": 0.125, "attachment_point": 1})
    made.dxf.insert = AT
    board.msp.add_leader([tip, (AT[0] - 0.1, AT[1] - 0.0625)]).dxf.annotation_handle = made.dxf.handle


def noted(text: str, tip: tuple[float, float] = (4.625, 2.4375)) -> Callable[[Board], Any]:
    """A note whose leader points at the bore's edge, or another place."""
    return lambda board: leader(board, tip, text)


def without(*names: str) -> tuple[str, ...]:
    return tuple(d for d in ALL if d not in names)


BARE = without("bore size")
NOTED = replace(KEY, dims=BARE, extra=noted("%%c1.250 THRU"))
STEPS = "%%c1.250 THRU\\P⌴ %%c1.750"
STEPPED = replace(
    KEY, dims=BARE, extra=lambda b: (b.circle((4, 2.4375), 1.75), leader(b, (4.625, 2.4375), STEPS))
)


@cache
def noted_key(of: str = "noted") -> Key:
    return key_of(examined({"noted": NOTED, "stepped": STEPPED}[of]))


def said(graded: Graded) -> list[str]:
    """All that is said of the dimensions."""
    (mark,) = [m for m in graded.marks if m.criterion is C.DIMENSIONS]
    return [line for d in mark.deductions for line in (d.what, *d.why)]


MET: dict[str, Block] = {
    "by the key's own note": NOTED,
    "by a dimension": KEY,
    "by a note with other words": replace(NOTED, extra=noted("DRILL %%c1.250")),
}


@pytest.mark.parametrize("block", MET.values(), ids=MET)
def test_what_a_note_of_the_key_states_may_be_stated_by_a_note_or_a_dimension(block: Block) -> None:
    found = marks(block, of=noted_key())
    assert taken(found) == {}
    assert {m.criterion: m.asked for m in found.marks}[C.DIMENSIONS] == 18


def test_what_a_dimension_of_the_key_states_may_be_stated_by_a_note() -> None:
    assert taken(marks(NOTED)) == {}


@pytest.mark.parametrize("of", [key, noted_key], ids=["a dimension", "a note"])
def test_a_size_that_nothing_states_costs_a_dimension(of: Callable[[], Key]) -> None:
    found = marks(replace(KEY, dims=BARE), of=of())
    assert taken(found) == {C.DIMENSIONS: F(2)}


@pytest.mark.parametrize(
    ("text", "cost", "line"),
    [
        ("%%c1.500 THRU", F(2, 5), 'hole note "Ø1.500 THRU" is wrong'),
        ("%%c1.3 THRU", F(2, 5), 'hole note "Ø1.3 THRU" is stated too coarsely'),
        ("(%%c1.250)", F(4, 5), 'hole note "(Ø1.250)" is in parentheses: for information, it dimensions nothing'),
    ],
)
def test_a_note_is_judged_as_a_dimension_is(text: str, cost: F, line: str) -> None:
    block = replace(NOTED, extra=noted(text), bore_size=1.25 if "3" not in text else 1.3125)
    found = marks(block, replace(RUBRIC, own_scheme=False))
    assert taken(found).get(C.DIMENSIONS) == cost
    assert line in said(found)


def test_of_a_stepped_hole_each_size_counts() -> None:
    of = noted_key("stepped")
    assert taken(marks(STEPPED, of=of)) == {}
    both = replace(STEPPED, dims=ALL, extra=lambda b: (b.circle((4, 2.4375), 1.75), b.diameter((4, 2.4375), 1.75)))
    assert taken(marks(both, of=of)) == {}
    one = replace(both, extra=lambda b: b.circle((4, 2.4375), 1.75))
    found = marks(one, of=of)
    assert taken(found) == {C.DIMENSIONS: F(1)}
    assert "1/2 of its sizes are stated nowhere" in said(found)


def test_a_thread_is_stated_by_its_name_only() -> None:
    def tapped(board: Board) -> None:
        board.circle((6, 3), 0.201)
        board.arc((6, 3), 0.125, 30, 300)

    def named(board: Board) -> None:
        tapped(board)
        leader(board, (6.1005, 3), "1/4-20 UNC-2B")

    of = key_of(examined(replace(KEY, extra=named)))
    assert C.DIMENSIONS not in taken(marks(replace(KEY, extra=named), of=of))
    sized = replace(KEY, extra=lambda b: (tapped(b), b.diameter((6, 3), 0.201)))
    assert 'no dimension as the key\'s hole note "1/4-20 UNC-2B"' in said(marks(sized, of=of))


def test_a_depth_that_no_note_gives_is_said_and_costs_nothing() -> None:
    of = key_of(examined(replace(NOTED, extra=noted("%%c1.250 ↧.500"))))
    found = marks(KEY, of=of)
    assert taken(found) == {}
    assert 'the depth in the key\'s hole note "Ø1.250 ↧.500" is not stated with its diameter' in said(found)


def test_a_reference_is_no_dimension_though_it_is_right() -> None:
    """In parentheses a number is for information only (ASME Y14.5): the share for being there is taken."""
    found = marks(replace(KEY, texts={"width": "(<>)"}))
    assert taken(found) == {C.DIMENSIONS: F(4, 5)}
    what, *why = said(found)
    assert what.startswith('linear dimension "(8.000)" (left edge to right edge) is in parentheses: for information')
    assert why == [
        'it stands for the key\'s linear dimension "8.000" (left edge to right edge)',
        "take the parentheses away: a reference need not be kept to", "0.4 of 2 is taken: 0.8",
    ]


def test_a_reference_beside_the_dimension_costs_nothing() -> None:
    again = lambda b: b.across((0, 0), (8, 0), "(<>)", line_at=7.0)  # noqa: E731
    assert taken(marks(replace(KEY, extra=again))) == {}


def test_a_reference_of_the_key_is_not_asked() -> None:
    of = key_of(examined(replace(KEY, extra=lambda b: b.upright((8, 0), (8, 4.25), "(<>)"))))
    found = marks(replace(KEY), of=of)
    assert taken(found) == {}
    assert {m.criterion: m.asked for m in found.marks}[C.DIMENSIONS] == 18


def test_a_reference_need_not_be_given_where_the_others_define_the_part() -> None:
    """The width in parentheses, and the right bolt hole dimensioned from the right edge: all is defined."""
    own = replace(KEY, dims=(*ALL, "bolts to right"), texts={"width": "(<>)"})
    found = marks(own)
    assert taken(found) == {}
    assert "the dimensions are not the key's, and define the part as well" in said(found)


def test_places_are_compared_as_they_are_read() -> None:
    """The key in millimetres leaves zeros out: it says 203.2 with two places, and 101.6. A layout in inches says as
    much with one place less, and one drawn half as large has the key's places."""
    of = key_of(examined(replace(KEY, scale=25.4, metric=True)))
    assert taken(marks(KEY, replace(RUBRIC, other_units=True), of=of)) == {}
    assert taken(marks(replace(KEY, scale=0.5))) == {C.UNITS: F(5)}


def test_a_number_typed_over_is_not_charged_for_its_places_as_well() -> None:
    assert taken(marks(replace(KEY, texts={"width": "8"}))) == {C.TYPED: F(1)}
    untyped = replace(RUBRIC, criteria=tuple(a for a in RUBRIC.criteria if a.criterion is not C.TYPED))
    assert taken(marks(replace(KEY, texts={"width": "8"}), untyped)) == {C.DIMENSIONS: F(2, 5)}


def test_what_states_no_number_is_neither_right_nor_well_stated() -> None:
    for text in ("FULL", " "):
        found = marks(replace(KEY, texts={"width": text}))
        assert taken(found) == {C.DIMENSIONS: F(4, 5)}
        assert "so it is neither right nor well stated" in said(found)


def test_dimensions_set_to_show_another_number_are_not_right() -> None:
    found = marks(replace(KEY, styles={"dimlfac": 25.4}))
    assert taken(found) == {C.UNITS: F(5)}
    untold = replace(RUBRIC, criteria=tuple(a for a in RUBRIC.criteria if a.criterion is not C.UNITS))
    found = marks(replace(KEY, styles={"dimlfac": 25.4}), untold)
    assert taken(found) == {C.DIMENSIONS: 18 * F(2, 5)}
    assert said(found)[0] == "its dimensions show 25.4 times what is drawn: millimetres for inches"


def test_drawn_half_as_large_and_set_to_show_the_part_s_own_sizes_is_another_scale_and_no_more() -> None:
    assert taken(marks(replace(KEY, scale=0.5, styles={"dimlfac": 2.0}))) == {C.UNITS: F(5)}


def test_a_count_that_is_not_the_key_s_is_wrong_and_the_key_s_is_not() -> None:
    found = marks(replace(KEY, texts={"bolt size": "3X <>"}))
    assert taken(found) == {C.DIMENSIONS: F(2, 5)}
    missing = replace(KEY, bolts=((1.0, 1.0), None), dims=without("bolts apart"))
    assert taken(marks(missing)) == {C.FEATURES: F(2)}


def test_a_dimension_put_elsewhere_costs_no_more_than_none() -> None:
    none = replace(KEY, dims=without("width"))
    wrong = replace(none, extra=lambda b: b.across((0, 0), (7.9, 0), line_at=-2.0))
    assert taken(marks(wrong)) == taken(marks(none)) == {C.DIMENSIONS: F(2)}


def test_a_dimension_whose_feature_is_missing_need_not_be_associated() -> None:
    """The slot's left end is not drawn, and two dimensions hang in the air."""
    def open_slot(board: Board) -> None:
        (arc,) = [a for a in board.msp.query("ARC") if a.dxf.center.x == 2]
        board.msp.delete_entity(arc)

    found = marks(replace(KEY, extra=open_slot, free=frozenset({"slot x", "slot long", "slot y"})))
    assert taken(found) == {C.FEATURES: F(1, 2)}


def test_without_any_dimension_nothing_is_excused() -> None:
    found = marks(replace(KEY, dims=(), bolts=((1.0, 1.0), None)))
    assert taken(found) == {C.FEATURES: F(2), C.DIMENSIONS: F(36)}
    assert said(found) == ["the layout has no dimensions", "the key has 18; all 36 points are taken"]


def test_loose_texts_are_named_where_there_is_no_dimension() -> None:
    found = marks(replace(KEY, dims=(), extra=lambda b: b.msp.add_text("8.000").set_placement((4, -1))))
    assert said(found)[-1] == "1 text with a number in it that is part of no dimension and no note"


def test_the_rubric_alone_decides_what_a_dimension_is_worth() -> None:
    rubric = replace(RUBRIC, shares=(F(1, 2), F(1, 2), F(0), F(0)))
    assert taken(marks(replace(KEY, texts={"width": "(<>)"}), rubric)) == {C.DIMENSIONS: F(1)}
