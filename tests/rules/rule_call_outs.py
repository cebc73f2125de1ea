"""Situations of call-outs beyond the size of the hole: bolt circles, second units, tolerances, several lines."""

from math import cos, radians, sin

from rule_board import Board, Spot
from rule_cases import Drawing, Says, fires, silent
from rule_notes import ERROR, holes, leader, plate, right_of


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
