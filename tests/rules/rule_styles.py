"""Situations of what a style makes of a dimension: tolerances and alternates in drawn blocks, half dimensions.

The parts are the boatyard's: plates, jigs and half views of flanges.
"""

from fractions import Fraction as F

from rule_board import Board
from rule_cases import Drawing, Says, fires, silent
from rule_values import jig, over_holes, typed

from dimaudit.model.audit import Level

ERROR, WARNING, NOTE = Level.ERROR, Level.WARNING, Level.NOTE
TOLERANCED = {"dimtol": 1, "dimtp": 0.005, "dimtm": 0.005, "dimtdec": 3, "dimtzin": 4}
LIMITED = {**TOLERANCED, "dimtol": 0, "dimlim": 1}
ALTERNATE = {"dimalt": 1, "dimaltf": 25.4, "dimaltd": 2}
BOTH = {**TOLERANCED, **ALTERNATE, "dimalttd": 2}


def shown(text: str, **style: object) -> tuple[Board, str]:
    """The jig's holes are 2.5 apart; the drawn block of the dimension over them shows `text`."""
    board = jig(2.5)
    return board, board.shows(over_holes(board, 2.5, **style), text)


# --- stale-text: what stands beside the number ----------------------------------------------------


@fires("stale-text")
def an_old_tolerance() -> Drawing:
    board, d = shown("2.500 %%p.010", **TOLERANCED)
    return Drawing(board, (Says("stale-text", ERROR, (d,), "tolerance ±0.01; its style gives ±0.005", F(5, 2)),))


@fires("stale-text")
def an_old_upper_deviation() -> Drawing:
    board, d = shown(r"2.500\S+.002^ -.005;", **TOLERANCED)
    return Drawing(board, (Says("stale-text", ERROR, (d,), "+0.002 -0.005; its style gives ±0.005"),))


@fires("stale-text")
def an_old_alternate() -> Drawing:
    """The alternate is that of 2.375, which the number no longer is."""
    board, d = shown("2.500 [60.33]", **ALTERNATE)
    return Drawing(board, (Says("stale-text", ERROR, (d,), "alternate value 60.33; its style gives 63.5"),))


@fires("stale-text")
def an_old_tolerance_of_the_alternate() -> Drawing:
    board, d = shown("2.500 %%p.005 [63.50 %%p0.25]", **BOTH)
    why = "tolerance of the alternate value ±0.25; its style gives ±0.13"
    return Drawing(board, (Says("stale-text", ERROR, (d,), why),))


@fires("stale-text")
def a_tolerance_that_nothing_gives() -> Drawing:
    """The picture has a tolerance, the dimension has none: the next update takes it off the print."""
    board, d = shown("2.500 %%p.010")
    return Drawing(board, (Says("stale-text", NOTE, (d,), "its style gives none"),))


@fires("stale-text")
def an_alternate_that_nothing_gives() -> Drawing:
    board, d = shown("2.500 [63.50]")
    return Drawing(board, (Says("stale-text", NOTE, (d,), "alternate value 63.5"),))


@fires("stale-text")
def a_tolerance_around_the_value_that_was_changed() -> Drawing:
    """The text is '<> ±.002', the block shows the ±.005 of before."""
    board = jig(2.5)
    d = board.shows(over_holes(board, 2.5, "<> %%p.002"), "2.500 %%p.005")
    return Drawing(board, (Says("stale-text", ERROR, (d,), "tolerance ±0.005; its text gives ±0.002"),))


@fires("stale-text")
def a_typed_tolerance_that_was_changed() -> Drawing:
    board = jig(2.5)
    d = board.shows(over_holes(board, 2.5, "2.500 %%p.002"), "2.500 %%p.005")
    return Drawing(board, (Says("stale-text", ERROR, (d,), "its typed text gives ±0.002"), typed(d, NOTE)))


@fires("stale-text")
def old_limits() -> Drawing:
    board, d = shown(r"\S2.510^ 2.490;", **LIMITED)
    return Drawing(board, (Says("stale-text", ERROR, (d,), ""),))


@silent("stale-text")
def a_tolerance_as_the_style_has_it() -> Drawing:
    board, d = shown("2.500 %%p.005", **TOLERANCED)
    return Drawing(board, measured=((d, F(5, 2)),))


@silent("stale-text")
def a_tolerance_that_was_not_drawn() -> Drawing:
    """Many writers draw the number alone."""
    board, d = shown("2.500", **BOTH)
    return Drawing(board, measured=((d, F(5, 2)),))


@silent("stale-text")
def an_equal_tolerance_in_two_lines() -> Drawing:
    board, d = shown(r"2.500\S+.005^ -.005;", **TOLERANCED)
    return Drawing(board, measured=((d, F(5, 2)),))


@silent("stale-text")
def a_tolerance_with_the_zeros_of_another_writer() -> Drawing:
    board, d = shown("2.5 %%p0.0050", **TOLERANCED)
    return Drawing(board, measured=((d, F(5, 2)),))


@silent("stale-text")
def a_tolerance_with_the_places_of_the_size() -> Drawing:
    """The style writes the deviation .0125 with two places, as .01; this writer takes the three of the size."""
    board, d = shown("2.500 %%p.013", **{**TOLERANCED, "dimtp": 0.0125, "dimtm": 0.0125, "dimtdec": 2})
    return Drawing(board, measured=((d, F(5, 2)),))


@silent("stale-text")
def both_ties_of_a_tolerance() -> Drawing:
    """.0125 at three places is .012 half to even, .013 half up."""
    board, d = shown("2.500 %%p.012", **{**TOLERANCED, "dimtp": 0.0125, "dimtm": 0.0125})
    return Drawing(board, measured=((d, F(5, 2)),))


@silent("stale-text")
def limits_for_a_tolerance() -> Drawing:
    """The style appends the tolerance, this writer works it out."""
    board, d = shown(r"\S2.505^ 2.495;", **TOLERANCED)
    return Drawing(board, measured=((d, F(5, 2)),))


@silent("stale-text")
def a_tolerance_for_limits() -> Drawing:
    board, d = shown("2.500 %%p.005", **LIMITED)
    return Drawing(board, measured=((d, F(5, 2)),))


@silent("stale-text")
def both_ties_of_an_alternate() -> Drawing:
    """2.4375 x 25.4 = 61.9125: 61.912 half to even, 61.913 half up."""
    board = jig(2.4375)
    style = {**ALTERNATE, "dimdec": 4, "dimaltd": 3}
    board.shows(over_holes(board, 2.4375, **style), "2.4375 [61.912]")
    d = board.shows(board.across((1, 2), (3.4375, 2), line_at=6, **style), "2.4375 [61.913]")
    return Drawing(board, measured=((d, F(39, 16)),))


@silent("stale-text")
def an_alternate_with_more_places() -> Drawing:
    board, d = shown("2.500 [63.5000]", **ALTERNATE)
    return Drawing(board, measured=((d, F(5, 2)),))


@silent("stale-text")
def an_alternate_of_the_shown_number() -> Drawing:
    """2.438 x 25.4 = 61.9252, 2.4375 x 25.4 = 61.9125: this writer converts what it shows."""
    board = jig(2.4375)
    d = board.shows(over_holes(board, 2.4375, **{**ALTERNATE, "dimaltd": 3}), "2.438 [61.925]")
    return Drawing(board, (Says("rounded", NOTE, (d,)),))


# --- half views -------------------------------------------------------------------------------------

LEFT_AWAY = {"dimsd1": 1, "dimse1": 1}
"""Neither the first half of the dimension line nor the first extension line is drawn."""


def half_flange() -> Board:
    """The right half of a flange 4 across, cut at its axis x = 0."""
    board = Board()
    board.plate(2, 1)
    board.line((0, -0.5), (0, 1.5), linetype="CENTER")
    return board


@silent("floating-end")
def the_end_of_the_half_that_is_not_drawn() -> Drawing:
    """The dimension spans the whole flange, and shows only the end that is there."""
    board = half_flange()
    d = board.across((-2, 1), (2, 1), **LEFT_AWAY)
    return Drawing(board, measured=((d, F(4)),))


@fires("floating-end")
def an_end_that_is_drawn_and_touches_nothing() -> Drawing:
    board = half_flange()
    d = board.across((-2, 1), (2, 1))
    return Drawing(board, (Says("floating-end", WARNING, (d,), "first end"),))


@fires("floating-end")
def the_drawn_end_of_a_half_dimension_touches_nothing() -> Drawing:
    board = half_flange()
    d = board.across((-2, 1), (2.5, 1), **LEFT_AWAY)
    return Drawing(board, (Says("floating-end", WARNING, (d,), "second end"),))


@fires("floating-end")
def without_its_extension_line_alone_an_end_is_still_meant() -> Drawing:
    """The arrow is there: it points at something that is not."""
    board = half_flange()
    d = board.across((-2, 1), (2, 1), dimse1=1)
    return Drawing(board, (Says("floating-end", WARNING, (d,), "first end"),))


@silent("wrong-value")
def the_whole_size_written_over_the_half() -> Drawing:
    """From the axis to the edge, without the lines of the axis' end: 4.000 is the whole flange (ISO 129-1)."""
    board = half_flange()
    d = board.across((0, 1), (2, 1), "4.000", **LEFT_AWAY)
    return Drawing(board, (typed(d),), measured=((d, F(4)),))


@fires("wrong-value")
def twice_the_size_over_both_ends() -> Drawing:
    """Both ends are drawn: what is between them is 2.000."""
    board = half_flange()
    d = board.across((0, 1), (2, 1), "4.000")
    return Drawing(board, (Says("wrong-value", ERROR, (d,), "", F(2)), typed(d)))


@silent("wrong-value")
def the_half_size_over_the_half() -> Drawing:
    board = half_flange()
    d = board.across((0, 1), (2, 1), **LEFT_AWAY)
    return Drawing(board, measured=((d, F(2)),))
