"""Situations of call-outs beyond the size of the hole: bolt circles, second units, tolerances, several lines."""

from math import cos, radians, sin

from rule_board import Board, Spot
from rule_cases import Drawing, Says, fires, silent
from rule_notes import ERROR, FOUR, NOTE, WARNING, holes, leader, multileader, plate, right_of, text


def on_circle(diameter: float, degrees: float, centre: Spot = (0.0, 0.0)) -> Spot:
    turn = radians(degrees)
    return centre[0] + diameter / 2 * cos(turn), centre[1] + diameter / 2 * sin(turn)


def flange(words: str, *, drawn: float = 3.5, line: bool = True, at: tuple[int, ...] = tuple(range(0, 360, 60))) \
        -> tuple[Board, tuple[str, str], list[str], str]:  # fmt: skip
    """A shaft-log flange of Ø5 with holes of Ø.344: the board, the note with its leader, the holes, the centreline."""
    board = Board()
    board.circle((0, 0), 5)
    board.circle((0, 0), 1.5)
    board.diameter((0, 0), 5)
    drilled = holes(board, 0.344, *(on_circle(drawn, degrees) for degrees in at))
    centreline = board.circle((0, 0), drawn, "CENTER") if line else ""
    note = leader(board, on_circle(0.344, 60, on_circle(drawn, at[0])), words, (4, 3))
    return board, note, drilled, centreline


# --- the bolt circle ----------------------------------------------------------------------------


@fires("hole-note-mismatch")
def the_bolt_circle_is_drawn_smaller_than_noted() -> Drawing:
    board, note, _, line = flange("6X %%c.344 THRU EQ SP ON %%c3.750 B.C.")
    return Drawing(board, (Says("hole-note-mismatch", ERROR, (*note, line), "drawn Ø3.500 (its centreline)"),))


@fires("hole-note-mismatch")
def the_holes_stand_on_another_circle_and_no_centreline_is_drawn() -> Drawing:
    board, note, drilled, _ = flange("6X %%c.344 THRU ON A 3 3/4 DIA BOLT CIRCLE", line=False)
    why = "drawn Ø3.500 (the circle through 6 equal holes): drawn less stated -0.25"
    return Drawing(board, (Says("hole-note-mismatch", ERROR, (*note, *drilled), why),))


@fires("hole-note-mismatch")
def two_rings_of_equal_holes_and_the_note_is_about_the_outer_one() -> Drawing:
    board, note, drilled, _ = flange("6X %%c.344 THRU ON %%c3.750 B.C.", line=False)
    holes(board, 0.344, *(on_circle(2.25, degrees) for degrees in (30, 150, 270)))
    leader(board, on_circle(0.344, 0, on_circle(2.25, 30)), "3X %%c.344 THRU", (4, 2))
    return Drawing(board, (Says("hole-note-mismatch", ERROR, (*note, *drilled), "6 equal holes"),))


@fires("hole-note-mismatch")
def a_dimension_names_a_bolt_circle_that_is_not_drawn() -> Drawing:
    board, _, drilled, _ = flange("SEE NOTE 1", line=False, at=(0, 50, 90, 180, 200, 270))
    board.line((3, 3), (3, 3.5))
    dim = board.diameter(on_circle(3.5, 0), 0.344, "6X <> ON %%c3.750 B.C.")
    why = "drawn Ø3.500 (the circle through 6 equal holes)"
    return Drawing(board, (Says("hole-note-mismatch", ERROR, (dim, *drilled), why),))


@silent("hole-note-mismatch")
def the_bolt_circle_is_the_drawn_one() -> Drawing:
    return Drawing(flange("6X %%c.344 THRU EQ SP ON %%c3.500 B.C.")[0])


@silent("hole-note-mismatch")
def the_bolt_circle_is_right_without_a_centreline() -> Drawing:
    """The places of holes at 60 degrees are irrational; the file has their doubles."""
    return Drawing(flange("6X %%c.344 THRU ON 3 1/2 B.C.", line=False)[0])


@silent("hole-note-mismatch")
def the_circle_is_a_rounding_of_the_drawn_one() -> Drawing:
    return Drawing(flange("6X %%c.344 THRU ON %%c3.438 B.C.", drawn=3.4375, line=False)[0])


@silent("hole-note-mismatch")
def three_holes_of_six_always_lie_on_some_circle() -> Drawing:
    """A half view: nothing says that the circle through three centres is the one that the note means."""
    board = plate()
    holes(board, 0.344, (1, 1), (5, 3), (3, 1.5))
    leader(board, right_of((5, 3), 0.344), "6X %%c.344 THRU ON %%c3.750 B.C., BOTH SIDES")
    return Drawing(board)


# --- second units, tolerances and fits in a note --------------------------------------------------


def bored(words: str, diameter: float = 1.0) -> tuple[Board, tuple[str, str]]:
    """A bearing block with one bore and a note at it."""
    board = plate()
    holes(board, diameter, (3, 2))
    return board, leader(board, right_of((3, 2), diameter), words)


@fires("dual-units-disagree")
def the_millimetres_in_a_note_are_not_the_inches() -> Drawing:
    board, note = bored("%%c1.000 [25.0] THRU")
    return Drawing(board, (Says("dual-units-disagree", ERROR, note, "1 in × 25.4 = 25.4 mm"),))


@fires("dual-units-disagree")
def the_millimetres_of_a_counterbore_that_a_dimension_gives() -> Drawing:
    board = plate()
    holes(board, 0.281, (3, 2))
    holes(board, 0.438, (3, 2))
    dim = board.diameter((3, 2), 0.281, "<> THRU ⌴ %%c.438 [11.52] ↧ .25")
    return Drawing(board, (Says("dual-units-disagree", ERROR, (dim,), ".438 in × 25.4 = 11.1252 mm"),))


@fires("dual-units-disagree")
def the_second_number_of_a_note_is_no_pair() -> Drawing:
    board, note = bored("%%c1.000 [4.5] THRU")
    return Drawing(board, (Says("dual-units-disagree", NOTE, note, "1 to 4.5"),))


@silent("dual-units-disagree")
def the_millimetres_are_those_of_the_drawn_hole() -> Drawing:
    """.281 in are 7.137 mm, and the drawn 9/32 are 7.14375."""
    return Drawing(bored("%%c.281 [7.144] THRU", 0.28125)[0])


@silent("dual-units-disagree")
def millimetres_with_inches_behind_them() -> Drawing:
    board = plate(metric=True)
    holes(board, 25.4, (75, 50))
    leader(board, right_of((75, 50), 25.4), "%%c25.4 [1.000] THRU", (170, 80))
    return Drawing(board)


@fires("tolerance-makes-no-sense")
def the_deviations_of_a_bore_are_written_the_wrong_way_round() -> Drawing:
    board, note = bored("%%c1.000 -.005/+.005 THRU")
    return Drawing(board, (Says("tolerance-makes-no-sense", WARNING, note, "-0.005 stands where the upper"),))


@fires("tolerance-makes-no-sense")
def the_two_limits_of_a_bore_are_one() -> Drawing:
    board, note = bored("%%c1.000 +.000/-.000 THRU")
    return Drawing(board, (Says("tolerance-makes-no-sense", ERROR, note, "only the exact size"),))


@fires("tolerance-makes-no-sense")
def a_bore_is_not_allowed_its_own_size() -> Drawing:
    board, note = bored("%%c1.000 +.020/+.010 THRU")
    return Drawing(board, (Says("tolerance-makes-no-sense", NOTE, note, "the stated size itself is refused"),))


@silent("tolerance-makes-no-sense")
def a_reamed_hole_for_a_pin() -> Drawing:
    return Drawing(bored("%%c.2500 +.0005/-.0000 REAM THRU", 0.25)[0])


@fires("fit-limits-disagree")
def the_limits_beside_a_class_in_a_note_are_another_one_s() -> Drawing:
    """H7 at 25.4 mm is +0.021/0 (ISO 286-1): +.0008."""
    board, note = bored("%%c1.000 H7 (+.0012 -.0000)")
    return Drawing(board, (Says("fit-limits-disagree", ERROR, note, "H7 at 25.4 mm is +0.021/0 mm"),))


@silent("fit-limits-disagree")
def the_limits_beside_a_class_in_a_note_are_its_own() -> Drawing:
    return Drawing(bored("%%c1.000 H7 (+.0008 -.0000)")[0])


@fires("fit-unknown")
def a_class_in_a_note_that_there_is_not() -> Drawing:
    board, note = bored("%%c.500 T6 THRU", 0.5)
    return Drawing(board, (Says("fit-unknown", WARNING, note, "begins above 24 mm"),))


# --- notes in several single lines ----------------------------------------------------------------


def lines(board: Board, *words: str, at: Spot = (7.5, 3.5), apart: float = 0.2, height: float = 0.125) -> list[str]:
    """Single-line texts under one another, the first at `at`."""
    return [
        str(board.msp.add_text(word, height=height, dxfattribs={"insert": (at[0], at[1] - k * apart)}).dxf.handle)
        for k, word in enumerate(words)
    ]


def arrow(board: Board, tip: Spot, at: Spot = (7.4, 3.56)) -> str:
    return str(board.msp.add_leader([tip, at]).dxf.handle)


def four(*sizes: float) -> Board:
    board = plate()
    for size in sizes:
        holes(board, size, *FOUR)
    return board


@fires("hole-note-mismatch")
def the_counterbore_stands_on_the_second_line() -> Drawing:
    board = four(0.281)
    bores = holes(board, 0.406, *FOUR)
    own = lines(board, "%%c.281 DRILL THRU", "%%c.438 CBORE X .250 DP", "4 PLACES")
    pointer = arrow(board, right_of((5, 3), 0.406))
    says = Says("hole-note-mismatch", ERROR, (*own, pointer, bores[2]), "stated Ø.438, drawn Ø.406")
    return Drawing(board, (says,))


@fires("count-mismatch")
def the_count_stands_on_a_line_of_its_own() -> Drawing:
    board = plate()
    drilled = holes(board, 0.281, *FOUR)
    own = lines(board, "%%c.281 THRU", "6 PLACES")
    pointer = arrow(board, right_of((5, 3), 0.281))
    return Drawing(board, (Says("count-mismatch", ERROR, (*own, pointer, *drilled), "stated 6"),))


@fires("count-mismatch")
def the_count_stands_above_the_line_that_the_leader_ends_at() -> Drawing:
    board = plate()
    drilled = holes(board, 0.281, *FOUR)
    count, size = lines(board, "6 HOLES", "%%c.281 THRU")
    pointer = arrow(board, right_of((5, 3), 0.281), (7.4, 3.36))
    return Drawing(board, (Says("count-mismatch", ERROR, (size, count, pointer, *drilled), "stated 6"),))


@fires("count-mismatch")
def the_count_stands_under_a_note_with_a_plain_line() -> Drawing:
    board = plate()
    drilled = holes(board, 0.281, *FOUR)
    own = lines(board, "%%c.281 THRU", "6 PLACES", at=(7.1, 3.1))
    shoulder, line = board.path((7.0, 3.135), (6.8, 3.135), right_of((5, 3), 0.281), close=False)
    return Drawing(board, (Says("count-mismatch", ERROR, (*own, shoulder, line, *drilled), "stated 6"),))


@silent("hole-note-mismatch")
def two_notes_under_one_another_each_with_its_leader() -> Drawing:
    board = plate()
    holes(board, 0.281, (5, 3))
    holes(board, 0.201, (5, 1))
    lines(board, "%%c.281 THRU", "%%c.201 DRILL THRU")
    arrow(board, right_of((5, 3), 0.281))
    arrow(board, right_of((5, 1), 0.201), (7.4, 3.36))
    return Drawing(board)


@silent("hole-note-mismatch")
def two_notes_under_one_another_each_with_its_plain_line() -> Drawing:
    board = plate()
    holes(board, 0.281, (5, 3))
    holes(board, 0.375, (5, 1))
    lines(board, "%%c.281 DRILL THRU", "%%c.375 CBORE X .25 DP", at=(7.1, 3.1), apart=0.25)
    board.line((7.0, 3.16), right_of((5, 3), 0.281))
    board.line((7.0, 2.91), on_circle(0.375, 45, (5, 1)))
    return Drawing(board)


@silent("count-mismatch")
def a_line_below_says_that_others_are_on_the_other_side() -> Drawing:
    board = four(0.281)
    lines(board, "8X %%c.281 ↧ .50", "BOTH SIDES")
    arrow(board, right_of((5, 3), 0.281))
    return Drawing(board)


@silent("hole-note-mismatch")
def a_note_about_the_material_below() -> Drawing:
    board = four(0.281, 0.406)
    lines(board, "4X %%c.281 THRU", "%%c.406 BAR IS NOT STOCKED")
    arrow(board, right_of((5, 3), 0.281))
    return Drawing(board)


# --- radii at leaders -----------------------------------------------------------------------------


def rounded(radius: float = 0.25) -> tuple[Board, list[str]]:
    """A winch base of 6 by 4 with four rounded corners; the arcs, the upper right one first."""
    board, r = Board(), radius
    for a, b in (((r, 0), (6 - r, 0)), ((6, r), (6, 4 - r)), ((6 - r, 4), (r, 4)), ((0, 4 - r), (0, r))):
        board.line(a, b)
    arcs = [
        board.arc(centre, r, 90 * turn, 90 * turn + 90)
        for turn, centre in enumerate(((6 - r, 4 - r), (r, 4 - r), (r, r), (6 - r, r)))
    ]
    board.across((0, 4 - r), (6, 4 - r), line_at=5)
    return board, arcs


def corner(radius: float = 0.25) -> Spot:
    return on_circle(2 * radius, 45, (6 - radius, 4 - radius))


@fires("radius-note-mismatch")
def the_corners_are_drawn_smaller_than_noted() -> Drawing:
    board, arcs = rounded()
    note = leader(board, corner(), "4X R.38", (7, 4.5))
    return Drawing(board, (Says("radius-note-mismatch", ERROR, (*note, arcs[0]), "stated R.380, drawn R.250"),))


@fires("radius-note-mismatch")
def the_note_gives_the_diameter_of_the_corner() -> Drawing:
    board, arcs = rounded()
    note = multileader(board, "R.500 TYP", corner())
    return Drawing(board, (Says("radius-note-mismatch", ERROR, (note, arcs[0]), "the note gives the diameter"),))


@fires("radius-note-mismatch")
def digits_of_a_radius_are_cut_off() -> Drawing:
    board, arcs = rounded(0.46875)
    note = leader(board, corner(0.46875), ".468 RAD", (7, 4.5))
    return Drawing(board, (Says("radius-note-mismatch", WARNING, (*note, arcs[0]), "drawn R.46875"),))


@silent("radius-note-mismatch")
def the_corners_are_a_rounding_of_the_noted() -> Drawing:
    board, _ = rounded(0.1875)
    leader(board, corner(0.1875), "4X R.188", (7, 4.5))
    return Drawing(board)


@silent("radius-note-mismatch")
def a_full_radius_and_a_radius_that_stands_alone() -> Drawing:
    board, _ = rounded()
    leader(board, corner(), "4X FULL R", (7, 4.5))
    text(board, "R.38", (6.1, 4.3))
    return Drawing(board)


@fires("count-mismatch")
def a_note_counts_more_corners_than_there_are() -> Drawing:
    board, _ = rounded()
    note = leader(board, corner(), "6X R.25", (7, 4.5))
    return Drawing(board, (Says("count-mismatch", ERROR, note, "stated 6, equal arcs drawn"),))


@silent("count-mismatch")
def two_notes_share_the_corners() -> Drawing:
    board, _ = rounded()
    leader(board, corner(), "3X R.25", (7, 4.5))
    leader(board, on_circle(0.5, 225, (0.25, 0.25)), "R.25", (-2, -1))
    return Drawing(board)
