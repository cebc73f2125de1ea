"""Situations of general tolerances that are stated in a form that is not understood."""

from rule_board import Board
from rule_cases import Drawing, Says, fires, silent
from rule_labels import cells
from rule_views import label, stair

from dimaudit.model.audit import Level

UNCLEAR = "title-block-unclear"
NOTE = Level.NOTE


def part() -> Board:
    board = Board()
    stair(board)
    return board


@fires(UNCLEAR)
def tolerances_by_ranges_of_size() -> Drawing:
    """The ranges in one row, the values in the next: none is in force, and that is said."""
    board = part()
    label(board, "TOLERANCES UNLESS NOTED", (60, -30), 0.1)
    found = []
    for k, (sizes, value) in enumerate((("0.5-3", "%%p.004"), (">3-6", "%%p.004"), (">6-30", "%%p.008"))):
        label(board, sizes, (60 + 0.8 * k, -30.3), 0.1)
        found.append(label(board, value, (60 + 0.8 * k, -30.5), 0.1))
    return Drawing(board, (Says(UNCLEAR, NOTE, tuple(found), "form is not understood"),))


@fires(UNCLEAR)
def tolerances_by_size_in_one_text() -> Drawing:
    board = part()
    text = label(board, "LINEAR UP TO 6 %%p.01", (60, -30))
    return Drawing(board, (Says(UNCLEAR, NOTE, (text,), "range of sizes"),))


@fires(UNCLEAR)
def a_number_that_goes_on() -> Drawing:
    """Only a part of it was read before: ±1."""
    board = part()
    text = label(board, ".XX %%p1e999", (60, -30))
    return Drawing(board, (Says(UNCLEAR, NOTE, (text,), "can't be read"),))


@fires(UNCLEAR)
def a_scale_of_nothing() -> Drawing:
    board = part()
    text = label(board, "SCALE 1:0", (60, -30))
    return Drawing(board, (Says(UNCLEAR, NOTE, (text,), "a scale of 0"),))


@silent(UNCLEAR)
def every_cell_is_read() -> Drawing:
    board = part()
    places = ("ONE PLACE (.X)", "%%p.030"), ("TWO PLACE (.XX)", "%%p.010")
    cells(board, ("SCALE", "1:1"), *places, ("ANGULAR", "%%p 1%%d"))
    return Drawing(board)


@silent(UNCLEAR)
def sizes_and_notes_of_features_beside_the_title_block() -> Drawing:
    board = part()
    cells(board, (".XXX", "%%p.005"), ("MATL", "6061-T6"), ("FLATNESS", "FLATNESS %%p.005"), ("BORE", "2.500 %%p.001"))
    return Drawing(board)


@silent(UNCLEAR)
def two_places_of_a_hole() -> Drawing:
    """No other number of decimals and no heading: it may be about two holes."""
    board = part()
    label(board, "2 PL %%p.01", (60, -30))
    return Drawing(board)
