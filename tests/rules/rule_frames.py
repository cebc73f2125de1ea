"""Situations of the rules about feature control frames and basic dimensions."""

from typing import Any

from rule_board import STYLE, Board, Spot
from rule_cases import Drawing, Says, fires, silent

from dimaudit.model.audit import Level

ERROR, WARNING, NOTE = Level.ERROR, Level.WARNING, Level.NOTE
BOXED = {"dimgap": -0.09}
"""DIMGAP below zero draws the box of a basic dimension (DXF reference, DIMSTYLE)."""


def sign(letter: str) -> str:
    """A sign of the drafting font, as a TOLERANCE holds it."""
    return rf"{{\Fgdt;{letter}}}"


POSITION, FLATNESS, PERPENDICULAR, RUNOUT = sign("j"), sign("c"), sign("b"), sign("h")
DIAMETER, AT_MAXIMUM = sign("n"), sign("m")


def frame(board: Board, *cells: str, at: Spot = (10.0, 10.0), below: str = "") -> str:
    made = board.msp.new_entity("TOLERANCE", {"insert": at, "dimstyle": STYLE, "content": "%%v".join(cells) + below})
    return str(made.dxf.handle)


def datum(board: Board, letter: str, at: Spot) -> str:
    """A datum feature symbol: the letter in a box."""
    x, y = at
    for a, b in (((x, y), (x + 0.25, y)), ((x + 0.25, y), (x + 0.25, y + 0.25)),
                 ((x + 0.25, y + 0.25), (x, y + 0.25)), ((x, y + 0.25), (x, y))):  # fmt: skip
        board.line(a, b)
    return letter_at(board, letter, (x + 0.07, y + 0.06))


def letter_at(board: Board, letter: str, at: Spot) -> str:
    return str(board.msp.add_text(letter, height=0.125, dxfattribs={"insert": at}).dxf.handle)


def boxes(board: Board, cells: tuple[str, ...], at: Spot) -> list[str]:
    """A frame that was taken to pieces: texts in closed polylines; gives back the texts."""
    (left, low), handles = at, []
    for cell in cells:
        right = left + 0.13 + 0.12 * len(cell)
        board.msp.add_lwpolyline([(left, low), (right, low), (right, low + 0.25), (left, low + 0.25)], close=True)
        handles.append(letter_at(board, cell, (left + 0.06, low + 0.06)))
        left = right
    return handles


def leader(board: Board, *spots: Spot, to: str = "") -> str:
    made = board.msp.add_leader(list(spots), dimstyle=STYLE)
    if to:
        made.dxf.annotation_handle = to
    return str(made.dxf.handle)


def plate(board: Board | None = None) -> Board:
    """The base plate of a winch, 6 by 4, with a Ø.500 hole at (1, 1)."""
    board = board or Board()
    board.plate(6, 4)
    board.circle((1, 1), 0.5)
    return board


def located(board: Board, *, basic: bool, **more: Any) -> tuple[str, str]:
    """The hole's two locating dimensions."""
    style = {**(BOXED if basic else {}), **more}
    return (
        board.across((0, 0), (1, 1), line_at=-1.0, **style),
        board.upright((0, 0), (1, 1), line_at=-1.0, **style),
    )


# --- datum-not-defined --------------------------------------------------------------------------


@fires("datum-not-defined")
def datum_b_where_only_a_is_defined() -> Drawing:
    board = plate()
    datum(board, "A", (8, 0))
    first = frame(board, PERPENDICULAR, ".002", "A", "B")
    second = frame(board, PERPENDICULAR, ".004", "B", at=(10, 12))
    return Drawing(board, (Says("datum-not-defined", WARNING, (first, second), "defined on the drawing: A"),))


@fires("datum-not-defined")
def no_datum_at_all() -> Drawing:
    board = plate()
    made = frame(board, PERPENDICULAR, ".002", "A")
    return Drawing(board, (Says("datum-not-defined", WARNING, (made,), "no datum feature symbol"),))


@fires("datum-not-defined")
def the_letter_stands_without_a_box() -> Drawing:
    board = plate()
    datum(board, "A", (8, 0))
    letter_at(board, "C", (8, 3))
    made = frame(board, PERPENDICULAR, ".002", "C")
    return Drawing(board, (Says("datum-not-defined", NOTE, (made,), "stands by itself"),))


@fires("datum-not-defined")
def one_half_of_a_common_datum() -> Drawing:
    board = plate()
    datum(board, "A", (8, 0))
    made = frame(board, RUNOUT, ".002", "A-D")
    return Drawing(board, (Says("datum-not-defined", WARNING, (made,), "defined on the drawing: A"),))


@silent("datum-not-defined")
def letters_in_boxes() -> Drawing:
    board = plate()
    datum(board, "A", (8, 0))
    datum(board, "B", (8, 2))
    frame(board, PERPENDICULAR, ".002", "A", "B")
    return Drawing(board)


@silent("datum-not-defined")
def a_letter_in_a_closed_polyline() -> Drawing:
    board = plate()
    corners = [(8, 0), (8.25, 0), (8.25, 0.25), (8, 0.25)]
    board.msp.add_lwpolyline(corners, close=True)
    board.msp.add_mtext("A", dxfattribs={"insert": (8.125, 0.125), "char_height": 0.125, "attachment_point": 5})
    frame(board, PERPENDICULAR, ".002", "A")
    return Drawing(board)


@silent("datum-not-defined")
def letters_by_block_and_by_leader_and_by_frame() -> Drawing:
    board = plate()
    block = board.doc.blocks.new("SHOP_DATUM")
    block.add_attdef("LETTER", (0, 0), dxfattribs={"height": 0.125})
    made = board.msp.add_blockref("SHOP_DATUM", (9, 9))
    made.add_attrib("LETTER", "A", (9, 9), dxfattribs={"height": 0.125})
    text = board.msp.add_mtext("B", dxfattribs={"insert": (8, 2), "char_height": 0.125})
    leader(board, (6, 2), (8, 2), to=str(text.dxf.handle))
    frame(board, FLATNESS, ".001", at=(10, 14), below="^J^JC")
    letter_at(board, "-D-", (8, 5))
    frame(board, "E", at=(8, 7))
    frame(board, PERPENDICULAR, ".002", "A", "B", "C")
    frame(board, PERPENDICULAR, ".003", "D", "E", at=(10, 12))
    return Drawing(board)


@silent("datum-not-defined")
def part_of_the_drawing_was_not_read() -> Drawing:
    board = plate()
    board.msp.add_blockref("NOT_IN_THE_FILE", (9, 9))
    frame(board, PERPENDICULAR, ".002", "A")
    return Drawing(board, losses=("INSERT",))


# --- frame-makes-no-sense -----------------------------------------------------------------------


@fires("frame-makes-no-sense")
def flatness_with_a_datum() -> Drawing:
    board = plate()
    datum(board, "A", (8, 0))
    made = frame(board, FLATNESS, ".002", "A")
    return Drawing(board, (Says("frame-makes-no-sense", ERROR, (made,), "takes no datum"),))


@fires("frame-makes-no-sense")
def runout_without_a_datum() -> Drawing:
    board = plate()
    made = frame(board, RUNOUT, ".002", "", "")
    return Drawing(board, (Says("frame-makes-no-sense", ERROR, (made,), "needs a datum"),))


@fires("frame-makes-no-sense")
def a_tolerance_of_nothing() -> Drawing:
    board = plate()
    datum(board, "A", (8, 0))
    made = frame(board, PERPENDICULAR, ".000", "A")
    return Drawing(board, (Says("frame-makes-no-sense", ERROR, (made,), "leaves nothing"),))


@fires("frame-makes-no-sense")
def a_sign_that_is_no_symbol() -> Drawing:
    board = plate()
    made = frame(board, sign("q"), ".002")
    return Drawing(board, (Says("frame-makes-no-sense", WARNING, (made,), "no symbol of a geometric"),))


@fires("frame-makes-no-sense")
def no_tolerance() -> Drawing:
    board = plate()
    datum(board, "A", (8, 0))
    made = frame(board, PERPENDICULAR, "", "A")
    return Drawing(board, (Says("frame-makes-no-sense", WARNING, (made,), "gives no tolerance"),))


@fires("frame-makes-no-sense")
def a_round_zone_for_flatness() -> Drawing:
    board = plate()
    made = frame(board, FLATNESS, DIAMETER + ".002")
    return Drawing(board, (Says("frame-makes-no-sense", ERROR, (made,), "no cylinder"),))


@fires("frame-makes-no-sense")
def runout_at_maximum_material() -> Drawing:
    board = plate()
    datum(board, "A", (8, 0))
    made = frame(board, RUNOUT, ".002" + AT_MAXIMUM, "A")
    return Drawing(board, (Says("frame-makes-no-sense", ERROR, (made,), "size"),))


@fires("frame-makes-no-sense")
def a_refinement_that_is_wider() -> Drawing:
    board = plate()
    datum(board, "A", (8, 0))
    made = frame(board, POSITION, DIAMETER + ".005", "A", below="^J" + "%%v".join((POSITION, DIAMETER + ".010", "A")))
    return Drawing(board, (Says("frame-makes-no-sense", WARNING, (made,), "more than the"),))


@fires("frame-makes-no-sense")
def a_datum_named_twice() -> Drawing:
    board = plate()
    datum(board, "A", (8, 0))
    made = frame(board, PERPENDICULAR, ".002", "A", "A")
    return Drawing(board, (Says("frame-makes-no-sense", WARNING, (made,), "twice"),))


@fires("frame-makes-no-sense")
def a_letter_that_looks_like_a_figure() -> Drawing:
    board = plate()
    datum(board, "O", (8, 0))
    made = frame(board, PERPENDICULAR, ".002", "O")
    return Drawing(board, (Says("frame-makes-no-sense", NOTE, (made,), "not used for datums"),))


@silent("frame-makes-no-sense")
def sound_frames() -> Drawing:
    """Zero at maximum material, a cylinder for an axis's straightness, a position without datum, a refinement."""
    board = plate()
    datum(board, "A", (8, 0))
    frame(board, FLATNESS, ".002")
    frame(board, POSITION, DIAMETER + "0" + AT_MAXIMUM, "A", at=(10, 12))
    frame(board, sign("u"), DIAMETER + ".003", at=(10, 14))
    frame(board, POSITION, DIAMETER + ".010", at=(10, 16))
    frame(board, POSITION, DIAMETER + ".010", "A", at=(10, 18), below="^J" + "%%v".join((POSITION, "%%c.005", "A")))
    frame(board, sign("k"), ".010", "A", at=(10, 20))
    return Drawing(board)


# --- position-without-basic ---------------------------------------------------------------------


@fires("position-without-basic")
def a_hole_located_with_the_general_tolerance() -> Drawing:
    board = plate()
    datum(board, "A", (8, 0))
    dims = located(board, basic=False)
    made = frame(board, POSITION, DIAMETER + ".010", "A", at=(3, 6))
    leader(board, (1.25, 1), (3, 6), to=made)
    return Drawing(board, (Says("position-without-basic", WARNING, (made, *dims), "located by"),))


@fires("position-without-basic")
def the_frame_hangs_beneath_the_diameter() -> Drawing:
    board = plate()
    datum(board, "A", (8, 0))
    dims = located(board, basic=False)
    size = board.diameter((1, 1), 0.5)
    x, y, _ = board.doc.entitydb[size].dxf.text_midpoint
    made = frame(board, POSITION, DIAMETER + ".010", "A", at=(x - 0.2, y - 0.3))
    return Drawing(board, (Says("position-without-basic", WARNING, (made, *dims), "zone of a position"),))


@fires("position-without-basic")
def the_frame_hangs_beneath_a_note_with_a_leader() -> Drawing:
    board = plate()
    datum(board, "A", (8, 0))
    dims = located(board, basic=False)
    note = board.msp.add_mtext("BORE TO SUIT PIN", dxfattribs={"insert": (3, 6), "char_height": 0.125})
    leader(board, (1.25, 1), (3, 6), to=str(note.dxf.handle))
    made = frame(board, POSITION, DIAMETER + ".010", "A", at=(3, 5.7))
    return Drawing(board, (Says("position-without-basic", WARNING, (made, *dims), "located by"),))


def pattern(board: Board, *, basic: bool) -> tuple[str, ...]:
    """Two more holes, of which only one is located; the frame will point at the other one."""
    board.circle((5, 1), 0.5)
    board.circle((5, 3), 0.5)
    datum(board, "A", (8, 0))
    return located(board, basic=basic)


@fires("position-without-basic")
def a_frame_for_three_holes_of_which_another_is_dimensioned() -> Drawing:
    """3X: the frame holds for all three, and so must what locates them."""
    board = plate()
    dims = pattern(board, basic=False)
    board.msp.add_text("3X %%c.500 THRU", height=0.125, dxfattribs={"insert": (7, 5)})
    leader(board, (5.25, 3), (6.8, 5.06), (6.95, 5.06))
    made = frame(board, POSITION, DIAMETER + ".010", "A", at=(7, 4.75))
    return Drawing(board, (Says("position-without-basic", WARNING, (made, *dims), "the 3 holes are located by"),))


@fires("position-without-basic")
def a_frame_of_boxes_under_a_counted_diameter() -> Drawing:
    board = plate()
    dims = pattern(board, basic=False)
    size = board.diameter((5, 3), 0.5, text="3X <>")
    x, y, _ = board.doc.entitydb[size].dxf.text_midpoint
    _, made, _ = boxes(board, ("⌖", "Ø.010", "A"), (x - 0.3, y - 0.4))
    return Drawing(board, (Says("position-without-basic", WARNING, (made, *dims), "the 3 holes are located by"),))


@fires("datum-not-defined")
def a_frame_of_boxes_names_a_datum_that_nothing_defines() -> Drawing:
    """Its own letters stand in boxes, too."""
    board = plate()
    datum(board, "A", (8, 0))
    _, made, *_ = boxes(board, ("⟂", ".002", "A", "E"), (3, 5))
    return Drawing(board, (Says("datum-not-defined", WARNING, (made,), "defined on the drawing: A"),))


@silent("position-without-basic")
def a_frame_for_three_holes_located_by_basics() -> Drawing:
    board = plate()
    pattern(board, basic=True)
    board.msp.add_text("3X %%c.500 THRU", height=0.125, dxfattribs={"insert": (7, 5)})
    leader(board, (5.25, 3), (6.8, 5.06), (6.95, 5.06))
    frame(board, POSITION, DIAMETER + ".010", "A", at=(7, 4.75))
    return Drawing(board)


@silent("position-without-basic")
def a_frame_for_one_hole_of_which_another_is_dimensioned() -> Drawing:
    """Without a count it is not said that the frame holds for the other hole."""
    board = plate()
    pattern(board, basic=False)
    made = frame(board, POSITION, DIAMETER + ".010", "A", at=(7, 4.75))
    leader(board, (5.25, 3), (7, 4.75), to=made)
    return Drawing(board)


@silent("position-without-basic")
def the_hole_is_located_by_basics() -> Drawing:
    board = plate()
    datum(board, "A", (8, 0))
    located(board, basic=True)
    made = frame(board, POSITION, DIAMETER + ".010", "A", at=(3, 6))
    leader(board, (1.25, 1), (3, 6), to=made)
    return Drawing(board)


@silent("position-without-basic")
def an_equal_hole_of_the_pattern_is_located_by_basics() -> Drawing:
    board = plate()
    board.circle((4, 1), 0.5)
    datum(board, "A", (8, 0))
    board.across((0, 0), (1, 1), line_at=-1.0)
    board.across((0, 0), (4, 1), line_at=-2.0, **BOXED)
    made = frame(board, POSITION, DIAMETER + ".010", "A", at=(3, 6))
    leader(board, (1.25, 1), (3, 6), to=made)
    return Drawing(board)


@silent("position-without-basic")
def no_dimension_of_the_hole_is_found() -> Drawing:
    board = plate()
    datum(board, "A", (8, 0))
    board.across((0, 0), (6, 0), line_at=-1.0)
    made = frame(board, POSITION, DIAMETER + ".010", "A", at=(3, 6))
    leader(board, (1.25, 1), (3, 6), to=made)
    return Drawing(board)


@silent("position-without-basic")
def the_frame_is_tied_to_nothing() -> Drawing:
    board = plate()
    datum(board, "A", (8, 0))
    located(board, basic=False)
    frame(board, POSITION, DIAMETER + ".010", "A", at=(12, 12))
    return Drawing(board)


# --- basic-with-tolerance -----------------------------------------------------------------------


@fires("basic-with-tolerance")
def a_box_around_a_tolerance() -> Drawing:
    board = plate()
    frame(board, POSITION, DIAMETER + ".010")
    dim = board.across((0, 4), (6, 4), text="<>%%p.005", **BOXED)
    return Drawing(board, (Says("basic-with-tolerance", ERROR, (dim,), "says that the value is exact"),))


@silent("basic-with-tolerance")
def a_box_around_the_bare_value() -> Drawing:
    board = plate()
    frame(board, POSITION, DIAMETER + ".010")
    board.across((0, 4), (6, 4), **BOXED)
    board.upright((6, 0), (6, 4), text="<>%%p.005")
    return Drawing(board)


# --- basic-without-frame ------------------------------------------------------------------------


@fires("basic-without-frame")
def boxes_and_no_frame() -> Drawing:
    board = plate()
    dims = located(board, basic=True)
    frame(board, FLATNESS, ".002")
    return Drawing(board, (Says("basic-without-frame", NOTE, dims, "general tolerance"),))


@silent("basic-without-frame")
def boxes_and_a_profile() -> Drawing:
    board = plate()
    located(board, basic=True)
    frame(board, sign("d"), ".010")
    return Drawing(board)


@silent("basic-without-frame")
def a_note_gives_the_tolerance() -> Drawing:
    board = plate()
    located(board, basic=True)
    note = "ALL HOLES: TRUE POSITION WITHIN .010 DIA"
    board.msp.add_text(note, height=0.125, dxfattribs={"insert": (8, 5)})
    return Drawing(board)


@silent("basic-without-frame")
def the_frame_is_drawn_as_text() -> Drawing:
    board = plate()
    located(board, basic=True)
    text = POSITION + "|%%c.010"
    board.msp.add_mtext(text, dxfattribs={"insert": (8, 5), "char_height": 0.125})
    return Drawing(board)
