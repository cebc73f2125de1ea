"""What is taken for dimensions and notes: once for one cause, and never nothing for what a print says wrong.

18 dimensions are asked, 2 points each: .8 for being there, .4 right, .4 well stated, .4 associated.
"""

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction as F
from typing import Any

import pytest
from rules.rule_board import STYLE, Board

from dimaudit.grade.laid_out import key_of
from dimaudit.model.grading import Criterion, Deduction, Graded
from grade.plates import ALL, KEY, RUBRIC, Block, examined, marks, taken
from grade.test_said import NOTED, noted_key

C = Criterion
FREE = replace(RUBRIC, other_units=True)
NO_UNITS = replace(RUBRIC, criteria=tuple(a for a in RUBRIC.criteria if a.criterion is not C.UNITS))
UNTIED = replace(RUBRIC, shares=(F(2, 5), F(3, 10), F(3, 10), F(0)))
"""Nothing is given for being associated."""


def styled(**variables: Any) -> Callable[[Board], None]:
    """Sets variables of the style that all dimensions have."""
    def set_all(board: Board) -> None:
        style = board.doc.dimstyles.get(STYLE)
        for name, value in variables.items():
            style.dxf.set(name, value)

    return set_all


def without(*names: str) -> tuple[str, ...]:
    return tuple(d for d in ALL if d not in names)


def of_dimensions(graded: Graded, criterion: Criterion = C.DIMENSIONS) -> list[Deduction]:
    (mark,) = [m for m in graded.marks if m.criterion is criterion]
    return list(mark.deductions)


# --- as finely as the key ---------------------------------------------------------------------------

NOT_COARSE: dict[str, tuple[Block, dict[Criterion, F]]] = {
    "half the size, in as many places": (replace(KEY, scale=0.5), {C.UNITS: F(5)}),
    "half the size, and the print reads as the key's": (
        replace(KEY, scale=0.5, extra=styled(dimlfac=2.0)), {C.UNITS: F(5)},
    ),
    "millimetres in two places: .01 mm is finer than .001 in": (
        replace(KEY, scale=25.4, metric=True, places=dict.fromkeys(ALL, 2)), {C.UNITS: F(5)},
    ),
    "millimetres drawn, inches shown": (replace(KEY, scale=25.4, extra=styled(dimlfac=1 / 25.4)), {C.UNITS: F(5)}),
    "typed over in two places": (replace(KEY, texts={"width": "8.00"}), {C.TYPED: F(1)}),
    "typed over, wrong, in one place": (replace(KEY, texts={"width": "8.1"}), {C.TYPED: F(1)}),
    "a style of fractions whose texts are decimals": (replace(KEY, extra=styled(dimlunit=5, dimdec=4)), {}),
}  # fmt: skip


@pytest.mark.parametrize(("block", "cost"), NOT_COARSE.values(), ids=NOT_COARSE)
def test_what_reads_as_finely_as_the_key_is_not_too_coarse(block: Block, cost: dict[Criterion, F]) -> None:
    found = marks(block)
    assert taken(found) == cost
    assert not [d for d in of_dimensions(found) if "coarse" in d.what or "decimal" in d.what]


def test_inches_for_whole_millimetres_cost_nothing_where_another_unit_passes() -> None:
    """The last place of 3.543 is .0254 mm, that of 90 is 1 mm: 25.4 mm to the inch (NIST SP 811)."""
    whole = styled(dimzin=8)  # no trailing zeros, as millimetres are written (ASME Y14.5)
    of = key_of(examined(replace(KEY, scale=25.4, metric=True, places=dict.fromkeys(ALL, 2), extra=whole)))
    assert taken(marks(KEY, FREE, of)) == {}
    typed = replace(KEY, scale=25.4, metric=True, extra=whole, places=dict.fromkeys(ALL, 2), texts={"bolt x": "26"})
    assert taken(marks(typed, of=of)) == {C.TYPED: F(1)}


def test_coarser_in_another_unit_is_said_and_not_charged_again() -> None:
    """61.9 mm to .1 mm, which is .0039 in; the key's 2.438 is to .001."""
    block = replace(KEY, scale=25.4, metric=True, places=dict.fromkeys(ALL, 1))
    found = marks(block)
    assert taken(found) == {C.UNITS: F(5)}
    assert any("more coarsely than the key's" in d.what and not d.points for d in of_dimensions(found))
    assert C.DIMENSIONS in taken(marks(block, NO_UNITS))


def test_a_typed_number_of_another_unit_is_named_as_the_cause() -> None:
    found = marks(replace(KEY, texts={"width": "203.2"}))
    assert taken(found) == {C.TYPED: F(1)}
    why = [line for d in of_dimensions(found) for line in d.why]
    assert "likely cause: millimetres are stated for inches (times 25.4)" in why


# --- what the print says wrong ----------------------------------------------------------------------


@pytest.mark.parametrize("count", ["1X", "3X", "4X"])
def test_another_count_than_the_holes_is_wrong(count: str) -> None:
    found = marks(replace(KEY, texts={"bolt size": f"{count} <>"}))
    assert taken(found) == {C.DIMENSIONS: F(2, 5)}
    (wrong,) = of_dimensions(found)
    assert wrong.what == f'diameter "{count} Ø.500" (the Ø.500 circle) is wrong'
    assert "0.2 of 2 is taken: 0.4" in wrong.why


def test_the_keys_count_costs_nothing_where_a_hole_is_missing() -> None:
    """Three holes are asked, 3X is said, and two are drawn: charged as a missing hole, one of twelve features."""
    three = replace(KEY, texts={"bolt size": "3X <>"}, extra=lambda b: b.circle((6, 3), 0.5))
    found = marks(replace(three, extra=None), of=key_of(examined(three)))
    assert taken(found) == {C.FEATURES: F(22, 12)}
    (follows,) = of_dimensions(found)
    assert "3X" in follows.what
    assert follows.follows


def test_a_note_that_says_the_keys_size_of_a_hole_drawn_wrong_is_no_second_fault() -> None:
    found = marks(replace(NOTED, bore_size=1.5), of=noted_key())
    assert taken(found) == {C.SIZES: F(2)}
    (follows,) = of_dimensions(found)
    assert follows.follows == "it says what the key's does, and the layout is drawn otherwise"


TWICE = replace(KEY, extra=styled(dimlfac=2.0))


def test_numbers_that_are_all_twice_what_is_drawn_are_charged_once() -> None:
    found = marks(TWICE)
    assert taken(found) == {C.UNITS: F(5)}
    (cause,) = of_dimensions(found, C.UNITS)
    assert cause.what == "its dimensions show 2 times what is drawn"
    assert 'so the linear dimension reads "16.000"' in cause.why
    assert taken(marks(TWICE, FREE)) == {C.UNITS: F(5)}, "twice the size is no other unit"
    assert taken(marks(TWICE, NO_UNITS)) == {C.DIMENSIONS: 18 * F(2, 5)}


def test_millimetres_shown_for_inches_drawn() -> None:
    block = replace(KEY, extra=styled(dimlfac=25.4))
    found = marks(block)
    assert taken(found) == {C.UNITS: F(5)}
    assert of_dimensions(found, C.UNITS)[0].what.endswith("show 25.4 times what is drawn: millimetres for inches")
    assert taken(marks(block, FREE)) == {}


def test_one_dimension_that_shows_twice_what_is_drawn() -> None:
    found = marks(replace(KEY, dims=without("width"), extra=lambda b: b.across((0, 0), (8, 0), dimlfac=2.0)), UNTIED)
    assert taken(found) == {C.DIMENSIONS: F(3, 5)}
    assert [d.what for d in of_dimensions(found) if d.points] == ["1 dimension shows 2 times what is drawn"]


@pytest.mark.parametrize("text", ["FULL", " "])
def test_a_text_without_a_number_is_neither_right_nor_well_stated(text: str) -> None:
    found = marks(replace(KEY, texts={"width": text}))
    assert taken(found) == {C.DIMENSIONS: F(4, 5)}
    (nothing,) = of_dimensions(found)
    assert nothing.what.endswith("(left edge to right edge) states no number")
    assert "0.4 of 2 is taken: 0.8" in nothing.why


def test_what_the_key_has_wrong_itself_costs_nothing_and_follows_from_nothing() -> None:
    own = replace(KEY, texts={"width": "8.500", "bolt size": "3X <>"})
    found = marks(own, of=key_of(examined(own)))
    assert taken(found) == {}
    assert {d.follows for d in of_dimensions(found)} == {""}
    assert all("the key has the same: it costs nothing" in d.why for d in of_dimensions(found))


# --- never more than one that is not there ----------------------------------------------------------


@pytest.mark.parametrize(
    "block",
    [replace(KEY, bolts=((1.0, 1.0), None)), replace(KEY, bore=None), replace(KEY, slot=None)],
    ids=["a bolt hole", "the bore", "the slot"],
)
def test_dimensions_that_still_end_on_what_is_missing_cost_nothing_more(block: Block) -> None:
    found = marks(block)
    assert taken(found) == {C.FEATURES: F(2)}
    assert all(d.follows for d in of_dimensions(found))


@pytest.mark.parametrize("rubric", [RUBRIC, replace(RUBRIC, own_scheme=False)], ids=["any scheme", "the key's"])
def test_a_dimension_that_ends_elsewhere_costs_no_more_than_none(rubric: Any) -> None:
    def astray(board: Board) -> None:
        board.shows(board.across((0, 0), (7.9, 0)), "8.000")

    found = marks(replace(KEY, dims=without("width"), extra=astray), rubric)
    assert taken(found) == {C.DIMENSIONS: F(2)} == taken(marks(replace(KEY, dims=without("width")), rubric))
    (one,) = of_dimensions(found)
    assert one.what.endswith("does not end where the key's does")
    assert "it says 8.000; between its ends the layout measures 7.900" in one.why


# --- the reason -------------------------------------------------------------------------------------


def test_each_share_shows_its_arithmetic() -> None:
    found = marks(replace(KEY, places={"width": 1}, free=frozenset({"height"})))
    why = [line for d in of_dimensions(found) for line in d.why]
    assert "0.2 of 2 is taken: 0.4" in why
    assert "of each 0.2 of 2: 1 x 0.4 = 0.4" in why
    (gone,) = of_dimensions(marks(replace(KEY, dims=without("width"))))
    assert gone.why == ("none measures the same features", "all of 2 is taken")


def test_a_frozen_layer_is_the_reason() -> None:
    frozen = replace(KEY, layers={"dims": "DIM"}, extra=lambda b: b.doc.layers.add("DIM").freeze())
    (nothing,) = of_dimensions(marks(frozen))
    assert "18 dimensions of the file not read: its layer is frozen (DIM)" in nothing.why


# --- a scheme of one's own ----------------------------------------------------------------------------

OWN = (*without("bolts apart", "bore x", "bore y"), "bolts to right", "bore to right", "bore down")
"""Defines the part as well as the key's dimensions do."""

FAULTS: dict[str, tuple[dict[str, Any], dict[Criterion, F]]] = {
    "a bolt hole of another size": ({"bolt_size": (0.5, 0.4375)}, {C.SIZES: F(2)}),
    "the upper edge askew": ({"tilt": 0.0625}, {C.SHAPE: F(2)}),
    "an edge drawn twice": ({"extra": lambda b: b.line((0, 0), (3, 0))}, {C.LINEWORK: F(2)}),
}  # fmt: skip


@pytest.mark.parametrize(("changes", "cost"), FAULTS.values(), ids=FAULTS)
def test_a_fault_costs_the_same_with_a_scheme_of_ones_own(
    changes: dict[str, Any], cost: dict[Criterion, F]
) -> None:
    assert taken(marks(replace(KEY, **changes))) == cost
    assert taken(marks(replace(KEY, dims=OWN, **changes))) == cost


def test_a_size_that_is_left_open_besides_is_charged() -> None:
    short = tuple(d for d in OWN if d != "bore to right")
    found = marks(replace(KEY, dims=short, bolt_size=(0.5, 0.4375)))
    assert taken(found) == {C.SIZES: F(2), C.DIMENSIONS: F(2)}


def test_a_dimension_on_a_level_that_another_feature_has_as_well_hangs_free_with_its_feature() -> None:
    """The slot is level with the bore; without the bore its height ends on nothing, and is not associated."""
    level = replace(KEY, slot=(2.0, 3.0, 2.4375))
    found = marks(replace(level, bore=None), of=key_of(examined(level)))
    assert taken(found) == {C.FEATURES: F(2)}


def test_what_can_not_be_judged_is_for_a_person():
    """Never guessed: a size that is the highest and the lowest at once; a copy of a key that says so passes."""
    strange = replace(KEY, texts={"width": "<> MAX MIN"})
    graded = marks(strange)
    (mark,) = [m for m in graded.marks if m.criterion is C.DIMENSIONS]
    assert mark.for_a_person.startswith("could not be compared with the layout: ")
    assert mark.got == 0
