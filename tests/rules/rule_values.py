"""Situations of the rules about numbers and texts. The parts are the boatyard's: plates, jigs and flanges."""

import math
from fractions import Fraction as F

from rule_board import Board
from rule_cases import Drawing, Says, fires, silent

from dimaudit.exact.number import Rounding
from dimaudit.model.audit import Level
from dimaudit.model.settings import Settings, ViewBox

ERROR, WARNING, NOTE = Level.ERROR, Level.WARNING, Level.NOTE


def jig(apart: float, board: Board | None = None) -> Board:
    """A drill jig's plate, 6 by 4, with two Ø.250 holes `apart` from one another, the left one at (1, 2)."""
    board = board or Board()
    board.plate(6, 4)
    board.circle((1, 2), 0.25)
    board.circle((1 + apart, 2), 0.25)
    return board


def over_holes(board: Board, apart: float, text: str = "<>", **style: object) -> str:
    """The dimension from hole to hole."""
    return board.across((1, 2), (1 + apart, 2), text, line_at=5, **style)


def typed(handle: str, level: Level = WARNING) -> Says:
    """A typed number is its own finding, beside whatever else is wrong with it."""
    return Says("typed-text", level, (handle,))


# --- view-scale-disagrees -----------------------------------------------------------------------


def stepped(board: Board, widths: list[float], texts: list[str]) -> list[str]:
    """A stair of steps of these widths, each dimensioned with the text given for it."""
    outline, spots, level = [(0.0, 0.0)], [], 0.0
    for k, width in enumerate(widths):
        top = 2.0 - 0.25 * k
        spots.append(((level, top), (level + width, top)))
        outline += spots[-1]
        level += width
    outline.append((level, 0.0))
    board.path(*outline)
    pairs = enumerate(zip(spots, texts, strict=True))
    return [board.across(a, b, text, line_at=3 + 0.5 * k) for k, ((a, b), text) in pairs]


@fires("view-scale-disagrees")
def three_of_three_at_half_size() -> Drawing:
    board = Board()
    dims = stepped(board, [1.5, 1.0, 0.75], ["3.000", "2.000", "1.500"])
    return Drawing(
        board,
        (Says("view-scale-disagrees", WARNING, tuple(dims), "factor 1/2", F(3)), *map(typed, dims)),
    )


@fires("view-scale-disagrees")
def inches_drawn_millimetres_stated() -> Drawing:
    board = Board()
    dims = stepped(board, [1.5, 1.0, 0.75], ["38.1", "25.4", "19.05"])
    return Drawing(board, (Says("view-scale-disagrees", WARNING, tuple(dims), "5/127", F("38.1")), *map(typed, dims)))


@fires("view-scale-disagrees")
def four_of_five_agree_and_the_fifth_is_judged_by_their_scale() -> Drawing:
    """.500 is the drawn length of the last step. In a view at 1:2 the part is 1.000 there, so .500 is wrong."""
    board = Board()
    dims = stepped(board, [1.5, 1.0, 0.75, 1.25, 0.5], ["3.000", "2.000", "1.500", "2.500", ".500"])
    return Drawing(
        board,
        (
            Says("view-scale-disagrees", WARNING, tuple(dims[:4]), "4 of 5 dimensions"),
            *map(typed, dims[:4]),
            typed(dims[4], NOTE),
            Says("wrong-value", ERROR, (dims[4],), "", F(1)),
        ),
    )


@fires("view-scale-disagrees")
def the_scale_left_no_trace_but_the_drawn_blocks() -> Drawing:
    """Some programs shrink a view and leave its pictures as they were. That is one fault of the view, and not
    one stale text for each dimension.
    """
    board = Board()
    dims = stepped(board, [1.5, 1.0, 0.75], ["<>", "<>", "<>"])
    for d, text in zip(dims, ("3.000", "2.000", "1.500"), strict=True):
        board.shows(d, text)
    return Drawing(board, (Says("view-scale-disagrees", WARNING, tuple(dims), "factor 1/2", F(3)),))


@fires("view-scale-disagrees")
def the_stored_measurements_are_at_the_true_size() -> Drawing:
    """Group 42 then holds what the part is, which is no older state of the drawing."""
    board = Board()
    dims = stepped(board, [1.5, 1.0, 0.75], ["3.000", "2.000", "1.500"])
    for d, value in zip(dims, (3.0, 2.0, 1.5), strict=True):
        board.stores(d, value)
    return Drawing(board, (Says("view-scale-disagrees", WARNING, tuple(dims), "", F(3)), *map(typed, dims)))


@silent("view-scale-disagrees")
def exactly_two_values_are_no_scale() -> Drawing:
    """Three dimensions, two numbers: one mistake made twice looks like this, too."""
    board = Board()
    dims = stepped(board, [1.5, 1.0, 1.5], ["3.000", "2.000", "3.000"])
    return Drawing(board, tuple(s for d in dims for s in (typed(d), Says("wrong-value", ERROR, (d,)))))


@silent("view-scale-disagrees")
def one_wrong_dimension_is_no_scale() -> Drawing:
    board = Board()
    dims = stepped(board, [1.5, 1.0, 0.75, 1.25], ["3.000", "<>", "<>", "<>"])
    return Drawing(board, (typed(dims[0]), Says("wrong-value", ERROR, (dims[0],), "", F("1.5"))))


@silent("view-scale-disagrees")
def three_of_four_are_not_nearly_all() -> Drawing:
    board = Board()
    dims = stepped(board, [1.5, 1.0, 0.75, 1.25], ["3.000", "2.000", "1.500", "<>"])
    return Drawing(board, tuple(s for d in dims[:3] for s in (typed(d), Says("wrong-value", ERROR, (d,)))))


@silent("view-scale-disagrees")
def the_scale_is_in_dimlfac() -> Drawing:
    board = Board()
    board.path((0, 0), (3, 0), (3, 1), (1, 1), (1, 2), (0, 2))
    dims = [
        board.across((0, 0), (3, 0), line_at=-1, dimlfac=2.0),
        board.across((0, 2), (1, 2), dimlfac=2.0),
        board.upright((3, 0), (3, 1), dimlfac=2.0),
    ]
    return Drawing(board, measured=((dims[0], F(6)), (dims[1], F(2)), (dims[2], F(2))))


@silent("view-scale-disagrees")
def the_user_has_said_the_scale() -> Drawing:
    board = Board()
    dims = stepped(board, [1.5, 1.0, 0.75], ["3.000", "2.000", "1.500"])
    box = ViewBox((F(-1), F(-1)), (F(9), F(9)), F(1, 2))
    return Drawing(
        board, tuple(map(typed, dims)), Settings(views=(box,)), ((dims[0], F(3)), (dims[1], F(2)), (dims[2], F("1.5")))
    )


# --- wrong-value --------------------------------------------------------------------------------


@fires("wrong-value")
def two_digits_changed_places() -> Drawing:
    board = jig(2.315)
    d = over_holes(board, 2.315, "2.135")
    return Drawing(board, (Says("wrong-value", ERROR, (d,), "two digits are swapped", F("2.315")), typed(d)))


@fires("wrong-value")
def the_diameter_for_the_radius() -> Drawing:
    board = Board()
    board.line((0, 0), (3.25, 0))
    board.line((4, 0.75), (4, 3))
    board.line((4, 3), (0, 3))
    board.line((0, 3), (0, 0))
    board.arc((3.25, 0.75), 0.75, 270, 0)
    d = board.radius((3.25, 0.75), 0.75, 315, "R1.500")
    why = "the diameter is stated for the radius"
    return Drawing(board, (Says("wrong-value", ERROR, (d,), why, F("0.75")), typed(d)))


@fires("wrong-value")
def millimetres_on_an_inch_print() -> Drawing:
    board = jig(1.5)
    d = over_holes(board, 1.5, "38.1")
    return Drawing(board, (Says("wrong-value", ERROR, (d,), "millimetres are stated for inches", F("1.5")), typed(d)))


@fires("wrong-value")
def outside_the_stated_tolerance() -> Drawing:
    board = jig(2.475)
    d = over_holes(board, 2.475, "2.500%%p.010")
    return Drawing(board, (Says("wrong-value", ERROR, (d,), "outside the stated tolerance", F("2.475")), typed(d)))


@fires("wrong-value")
def inside_the_stated_tolerance_is_a_warning() -> Drawing:
    board = jig(2.495)
    d = over_holes(board, 2.495, "2.500%%p.010")
    return Drawing(board, (Says("wrong-value", WARNING, (d,), "inside the stated tolerance", F("2.495")), typed(d)))


@fires("wrong-value")
def at_the_edge_of_the_tolerance_is_still_inside() -> Drawing:
    board = jig(2.49)
    d = over_holes(board, 2.49, "2.500%%p.010")
    return Drawing(board, (Says("wrong-value", WARNING, (d,), "inside the stated tolerance", F("2.49")), typed(d)))


@fires("wrong-value")
def outside_two_stated_limits() -> Drawing:
    board = jig(2.475)
    d = over_holes(board, 2.475, "2.510\\P2.490")
    return Drawing(board, (Says("wrong-value", ERROR, (d,), "", F("2.475")), typed(d)))


@fires("wrong-value")
def a_wrong_reference_is_a_warning() -> Drawing:
    board = jig(2.475)
    d = over_holes(board, 2.475, "(2.500)")
    return Drawing(board, (Says("wrong-value", WARNING, (d,), "controls nothing", F("2.475")), typed(d)))


@fires("wrong-value")
def an_underlined_value_is_a_note() -> Drawing:
    board = jig(2.475)
    d = over_holes(board, 2.475, "%%u2.500")
    return Drawing(board, (Says("wrong-value", NOTE, (d,), "not to scale", F("2.475")),))


@fires("wrong-value")
def the_supplement_of_the_angle() -> Drawing:
    board = Board()
    board.path((0, 0), (4, 0), (4, 4))
    d = board.angle(((0, 0), (4, 0)), ((0, 0), (4, 4)), (3, 1), "135%%d")
    return Drawing(board, (Says("wrong-value", ERROR, (d,), "the supplement of the angle", F(45)), typed(d)))


@fires("wrong-value")
def no_room_on_the_side_of_the_residual() -> Drawing:
    """A one-sided tolerance that ends at the stated number: what is drawn lies outside it, if only by a rounding."""
    board = jig(2.65625)
    d = over_holes(board, 2.65625, "2.656 +.000 -.020")
    says = Says("wrong-value", ERROR, (d,), "outside the stated tolerance", F(85, 32))
    return Drawing(board, (says, typed(d, NOTE)))


@silent("wrong-value")
def typed_and_right() -> Drawing:
    board = jig(2.315)
    d = over_holes(board, 2.315, "2.315")
    return Drawing(board, (typed(d, NOTE),), measured=((d, F("2.315")),))


@silent("wrong-value")
def inside_two_stated_limits() -> Drawing:
    """Limits have no nominal to miss: anywhere between them is right."""
    board = jig(2.505)
    d = over_holes(board, 2.505, "2.510\\P2.490")
    return Drawing(board, (typed(d),), measured=((d, F("2.505")),))


@silent("wrong-value")
def within_a_single_limit() -> Drawing:
    """MIN and MAX set one limit each (ASME Y14.5): 2.500 is not above 2.550 and not below 2.450."""
    board = jig(2.5)
    dims = over_holes(board, 2.5, "2.550 MAX"), over_holes(board, 2.5, "2.450 MIN")
    return Drawing(board, tuple(map(typed, dims)), measured=((dims[0], F(5, 2)),))


@fires("wrong-value")
def beyond_a_single_limit() -> Drawing:
    board = jig(2.5)
    d = over_holes(board, 2.5, "2.450 MAX")
    return Drawing(board, (Says("wrong-value", ERROR, (d,), "", F(5, 2)), typed(d)))


@silent("wrong-value")
def rounded_to_three_places() -> Drawing:
    board = jig(2.65625)
    d = over_holes(board, 2.65625)
    return Drawing(board, measured=((d, F(85, 32)),))


@silent("wrong-value")
def a_letter_stands_for_the_number() -> Drawing:
    board = jig(2.315)
    over_holes(board, 2.315, "W")
    return Drawing(board)


@silent("wrong-value")
def millimetres_named_beside_the_number() -> Drawing:
    """38.1 mm is 1.5 in: a text that names its unit is converted before it is compared."""
    board = jig(1.5)
    d = over_holes(board, 1.5, "38.1 mm")
    return Drawing(board, (typed(d),), measured=((d, F("1.5")),))


@silent("wrong-value")
def noise_in_the_last_digit_of_a_double() -> Drawing:
    board = Board()
    board.plate(2.4374999999998, 4)
    d = board.across((0, 4), (2.4374999999998, 4), "2.4375")
    return Drawing(board, (typed(d),), measured=((d, F(39, 16)),))


@silent("wrong-value")
def the_value_follows_a_point_that_missed() -> Drawing:
    """Said once, as a near-miss: the number is right for its own points."""
    board = Board()
    board.plate(3.75, 2)
    d = board.across((0, 2), (3.738, 2))
    return Drawing(board, (Says("near-miss", ERROR, (d,)),), measured=((d, F("3.75")),))


# --- stale-text ---------------------------------------------------------------------------------


@fires("stale-text")
def the_block_shows_an_earlier_size() -> Drawing:
    board = jig(1.875)
    d = board.shows(over_holes(board, 1.875), "1.750")
    return Drawing(board, (Says("stale-text", ERROR, (d,), "the print shows 1.750", F(15, 8)),))


@fires("stale-text")
def the_block_shows_another_number_than_was_typed() -> Drawing:
    board = jig(1.875)
    d = board.shows(over_holes(board, 1.875, "1.875"), "1.750")
    return Drawing(board, (Says("stale-text", ERROR, (d,), "its typed text give 1.875"), typed(d, NOTE)))


@fires("stale-text")
def a_letter_was_typed_and_the_block_still_shows_a_number() -> Drawing:
    """The entity says W. The print says 1.750, and that is what will be cut."""
    board = jig(1.875)
    d = board.shows(over_holes(board, 1.875, "W"), "1.750")
    return Drawing(board, (Says("stale-text", ERROR, (d,), "the print shows 1.750"),))


@fires("stale-text")
def one_unit_off_in_the_last_place() -> Drawing:
    """No rounding rule writes .656 (21/32) as .657."""
    board = jig(0.65625)
    d = board.shows(over_holes(board, 0.65625), ".657")
    return Drawing(board, (Says("stale-text", ERROR, (d,), "the print shows .657", F(21, 32)),))


@silent("stale-text")
def the_block_hides_the_last_zero() -> Drawing:
    board = jig(1.75)
    d = board.shows(over_holes(board, 1.75), "1.75")
    return Drawing(board, measured=((d, F(7, 4)),))


@silent("stale-text")
def the_block_writes_a_tie_the_other_way() -> Drawing:
    """5/16 at three places is .313 by half-up and .312 by half-even; both are written."""
    board = jig(0.3125)
    up, even = over_holes(board, 0.3125), over_holes(board, 0.3125)
    board.shows(up, ".313")
    board.shows(even, ".312")
    return Drawing(board, measured=((up, F(5, 16)), (even, F(5, 16))))


@silent("stale-text")
def the_block_shows_fewer_places() -> Drawing:
    board = jig(2.313)
    board.shows(over_holes(board, 2.313), "2.31")
    return Drawing(board)


@silent("stale-text")
def fewer_places_at_a_tie() -> Drawing:
    """2.325 at two places is 2.33 by half-up and 2.32 by half-even; neither is an older state."""
    board = jig(2.325)
    board.shows(over_holes(board, 2.325), "2.33")
    board.shows(over_holes(board, 2.325), "2.32")
    return Drawing(board)


@silent("stale-text")
def the_block_shows_more_places() -> Drawing:
    """The style says three places. The picture has all five: it is the exact size, and out of date in nothing."""
    board = jig(0.65625)
    d = board.shows(over_holes(board, 0.65625), ".65625")
    return Drawing(board, measured=((d, F(21, 32)),))


@silent("stale-text")
def the_block_shows_the_value_as_a_fraction() -> Drawing:
    board = jig(1.75)
    d = board.shows(over_holes(board, 1.75), "\\A1;1{\\H0.7x;\\S3/4;}")
    return Drawing(board, measured=((d, F(7, 4)),))


@silent("stale-text")
def no_block_at_all() -> Drawing:
    board = jig(1.875)
    d = board.without_block(over_holes(board, 1.875))
    return Drawing(board, measured=((d, F(15, 8)),))


@silent("stale-text")
def words_around_the_measured_value() -> Drawing:
    board = jig(1.875)
    d = over_holes(board, 1.875, "2X <> TYP")
    return Drawing(board, measured=((d, F(15, 8)),))


# --- cut-off ------------------------------------------------------------------------------------


@fires("cut-off")
def three_thirty_seconds_cut_to_four_places() -> Drawing:
    board = Board()
    board.plate(0.09375, 2)  # a shim
    d = board.across((0, 2), (0.09375, 2), ".0937", dimdec=4)
    return Drawing(board, (Says("cut-off", WARNING, (d,), "+0.00005", F(3, 32)), typed(d)))


@fires("cut-off")
def a_reference_is_a_note() -> Drawing:
    board = jig(2.6875)
    d = over_holes(board, 2.6875, "(2.68)")
    return Drawing(board, (Says("cut-off", NOTE, (d,), "no rounding rule gives it", F(43, 16)), typed(d)))


@fires("cut-off")
def the_drawn_block_cuts_digits_off() -> Drawing:
    """Nothing is out of date here: the program that wrote the file cuts where others round."""
    board = jig(2.09375)
    d = board.shows(over_holes(board, 2.09375, dimdec=4), "2.0937")
    return Drawing(board, (Says("cut-off", WARNING, (d,), "no rounding rule gives it", F(67, 32)),))


@fires("wrong-value")
def cut_off_past_the_stated_tolerance() -> Drawing:
    """2.508 cut to 2.50 is outside 2.495 to 2.505: however the number came about, the part is out."""
    board = jig(2.508)
    d = over_holes(board, 2.508, "2.50%%p.005")
    says = Says("wrong-value", ERROR, (d,), "outside the stated tolerance", F("2.508"))
    return Drawing(board, (says, typed(d), Says("tolerance-places", NOTE, (d,), "2 and 3 decimals")))


@fires("wrong-value")
def rounded_past_the_stated_tolerance() -> Drawing:
    """2.504 written as 2.50 is outside 2.499 to 2.501."""
    board = jig(2.504)
    d = over_holes(board, 2.504, "2.50%%p.001")
    why = "the difference is a rounding, and larger than the tolerance leaves room for"
    says = Says("wrong-value", ERROR, (d,), why, F("2.504"))
    return Drawing(board, (says, typed(d), Says("tolerance-places", NOTE, (d,), "2 and 3 decimals")))


@silent("cut-off")
def a_tie_written_to_the_even_digit() -> Drawing:
    """5/32 = .15625: half-even gives .1562, half-up .1563. One is lower, and neither is cut off."""
    board = jig(1.15625)
    d = over_holes(board, 1.15625, "1.1562", dimdec=4)
    e = over_holes(board, 1.15625, "1.1563", dimdec=4)
    return Drawing(board, (typed(e, NOTE), typed(d)), measured=((d, F(37, 32)), (e, F(37, 32))))


@silent("cut-off")
def less_than_half_a_unit_short() -> Drawing:
    board = jig(2.315)
    d = over_holes(board, 2.315, "2.32")
    return Drawing(board, (typed(d),), measured=((d, F("2.315")),))


@silent("cut-off")
def a_whole_unit_short_is_wrong() -> Drawing:
    board = jig(2.6875)
    d = over_holes(board, 2.6875, "2.67")
    return Drawing(board, (typed(d), Says("wrong-value", ERROR, (d,), "", F(43, 16))))


# --- typed-text ---------------------------------------------------------------------------------


@fires("typed-text")
def typed_over_another_value() -> Drawing:
    board = jig(2.475)
    d = over_holes(board, 2.475, "2.500")
    says = Says("typed-text", WARNING, (d,), "the style would print 2.475")
    return Drawing(board, (says, Says("wrong-value", ERROR, (d,), "", F("2.475"))))


@fires("typed-text")
def typed_over_the_same_value_is_a_note() -> Drawing:
    board = jig(2.475)
    d = over_holes(board, 2.475, "2.475")
    return Drawing(board, (Says("typed-text", NOTE, (d,), "the two agree today", F("2.475")),))


@silent("typed-text")
def the_bare_brackets() -> Drawing:
    board = jig(2.475)
    d = over_holes(board, 2.475, "<>")
    return Drawing(board, measured=((d, F("2.475")),))


@silent("typed-text")
def words_and_parentheses_around_the_brackets() -> Drawing:
    board = jig(2.475)
    dims = [over_holes(board, 2.475, text) for text in ("<> TYP", "(<>)", "2X <>", "<> %%p.010")]
    return Drawing(board, measured=tuple((d, F("2.475")) for d in dims))


@silent("typed-text")
def a_word_is_no_number() -> Drawing:
    board = jig(2.475)
    over_holes(board, 2.475, "HULL WIDTH")
    over_holes(board, 2.475, "W")
    return Drawing(board)


@silent("typed-text")
def one_blank_suppresses_the_text() -> Drawing:
    board = jig(2.475)
    over_holes(board, 2.475, " ")
    return Drawing(board)


# --- unreadable-text ----------------------------------------------------------------------------


@fires("unreadable-text")
def two_decimal_points() -> Drawing:
    board = jig(1.0)
    d = over_holes(board, 1.0, "2.5.0")
    return Drawing(board, (Says("unreadable-text", WARNING, (d,), "more than one decimal point"),))


@fires("unreadable-text")
def a_comma_that_can_be_read_two_ways() -> Drawing:
    board = jig(1.5)
    d = over_holes(board, 1.5, "1,500")
    return Drawing(board, (Says("unreadable-text", WARNING, (d,)),))


@silent("unreadable-text")
def all_of_these_can_be_read() -> Drawing:
    board = jig(2.5)
    same = ["2 1/2", '2 1/2"', "2.500 REF", "2.500%%p.005", "2X 2.500 TYP", "2.500 +.005 -.002"]
    dims = [over_holes(board, 2.5, text) for text in same]
    return Drawing(board, tuple(typed(d, NOTE) for d in dims), measured=tuple((d, F(5, 2)) for d in dims))


@silent("unreadable-text")
def words_and_variables_are_symbolic() -> Drawing:
    board = jig(2.5)
    for text in ("W", "FRAME SIZE", "L1", "A+B"):
        over_holes(board, 2.5, text)
    return Drawing(board)


# --- stale-measurement --------------------------------------------------------------------------


@fires("stale-measurement")
def an_earlier_size_is_stored() -> Drawing:
    board = jig(1.75)
    d = board.stores(over_holes(board, 1.75), 1.625)
    return Drawing(board, (Says("stale-measurement", WARNING, (d,), "group 42 holds 1.625", F(7, 4)),))


@fires("stale-measurement")
def an_earlier_angle_is_stored() -> Drawing:
    board = Board()
    board.path((0, 0), (4, 0), (4, 4))
    d = board.stores(board.angle(((0, 0), (4, 0)), ((0, 0), (4, 4)), (3, 1)), math.radians(30))
    return Drawing(board, (Says("stale-measurement", WARNING, (d,), "30°", F(45)),))


@fires("stale-measurement")
def off_by_more_than_a_millionth() -> Drawing:
    board = jig(1.75)
    d = board.stores(over_holes(board, 1.75), 1.750003)
    return Drawing(board, (Says("stale-measurement", WARNING, (d,), "group 42 holds 1.750003", F(7, 4)),))


@silent("stale-measurement")
def the_true_value_is_stored() -> Drawing:
    board = jig(1.75)
    d = board.stores(over_holes(board, 1.75), 1.75)
    board.stores(over_holes(board, 1.75), 1.75 * (1 + 1e-7))  # another program's own arithmetic
    return Drawing(board, measured=((d, F(7, 4)),))


@silent("stale-measurement")
def nothing_is_stored() -> Drawing:
    board = jig(1.75)
    missing, zero, minus, negative = (over_holes(board, 1.75) for _ in range(4))
    board.doc.entitydb[missing].dxf.discard("actual_measurement")
    board.stores(zero, 0.0)
    board.stores(minus, -1.0)
    board.stores(negative, -1.625)
    return Drawing(board, measured=((missing, F(7, 4)), (negative, F(7, 4))))


@silent("stale-measurement")
def stored_with_and_without_dimlfac() -> Drawing:
    board = jig(1.75)
    with_it, without = over_holes(board, 1.75, dimlfac=2.0), over_holes(board, 1.75, dimlfac=2.0)
    board.stores(with_it, 3.5)
    board.stores(without, 1.75)
    return Drawing(board, measured=((with_it, F(7, 2)), (without, F(7, 2))))


@silent("stale-measurement")
def an_angle_in_radians_or_degrees_or_its_supplement() -> Drawing:
    board = Board()
    board.path((0, 0), (4, 0), (4, 4))
    values = (math.radians(45), 45.0, math.radians(135), 135.0)
    dims = [board.stores(board.angle(((0, 0), (4, 0)), ((0, 0), (4, 4)), (3, 1)), value) for value in values]
    return Drawing(board, measured=tuple((d, F(45)) for d in dims))


@silent("stale-measurement")
def stored_in_the_other_unit() -> Drawing:
    board = jig(1.75)
    d = board.stores(over_holes(board, 1.75), 44.45)
    return Drawing(board, measured=((d, F(7, 4)),))


@silent("stale-measurement")
def a_diameter_stored_as_the_radius() -> Drawing:
    board = Board()
    board.circle((0, 0), 2.5)
    d = board.stores(board.diameter((0, 0), 2.5), 1.25)
    return Drawing(board, measured=((d, F(5, 2)),))


# --- rounded ------------------------------------------------------------------------------------


@fires("rounded")
def twenty_one_thirty_seconds_at_three_places() -> Drawing:
    board = jig(0.65625)
    d = over_holes(board, 0.65625)
    return Drawing(board, (Says("rounded", NOTE, (d,), "less stated .656: +0.00025", F(21, 32)),))


@fires("rounded")
def a_tie_written_up() -> Drawing:
    board = jig(0.3125)
    d = board.shows(over_holes(board, 0.3125), ".313")
    why = "half-up writes it so; the rule in force (half-up) does;"
    return Drawing(board, (Says("rounded", NOTE, (d,), why, F(5, 16)),))


@fires("rounded")
def a_tie_written_to_the_even_digit_names_its_rule() -> Drawing:
    board = jig(0.3125)
    d = board.shows(over_holes(board, 0.3125), ".312")
    why = "half-even writes it so; the rule in force (half-up) does not"
    return Drawing(board, (Says("rounded", NOTE, (d,), why, F(5, 16)),))


@fires("rounded")
def a_tie_under_the_even_rule() -> Drawing:
    board = jig(0.3125)
    d = board.shows(over_holes(board, 0.3125), ".312")
    why = "half-even writes it so; the rule in force (half-even) does;"
    return Drawing(board, (Says("rounded", NOTE, (d,), why, F(5, 16)),), Settings(rounding=Rounding.HALF_EVEN))


@fires("rounded")
def rounded_by_the_style_to_an_eighth() -> Drawing:
    """DIMRND .125: 2.34375 is shown as 2.375, off by .03125. Half of that grid is .0625, so this is rounding."""
    board = jig(2.34375)
    d = board.shows(over_holes(board, 2.34375, dimrnd=0.125), "2.375")
    return Drawing(board, (Says("rounded", NOTE, (d,), "-0.03125", F(75, 32)),))


@fires("rounded")
def a_root_has_no_decimals() -> Drawing:
    """The short side of this gusset is 5 (3-4-5). The long one is the root of 137: no decimals state it."""
    board = Board(metric=True)
    board.path((0, 0), (8, 0), (11, 4))
    board.aligned((8, 0), (11, 4), dimdec=0)
    d = board.aligned((0, 0), (11, 4), dimdec=1)
    return Drawing(board, (Says("rounded", NOTE, (d,), "irrational"),))


@fires("rounded")
def exactly_a_tenth_of_the_tolerance_is_a_warning() -> Drawing:
    """.0005 of .005"""
    board = jig(2.4375)
    d = over_holes(board, 2.4375, "2.438%%p.005")
    return Drawing(board, (Says("rounded", WARNING, (d,), "rounding eats 10 %", F(39, 16)), typed(d, NOTE)))


@fires("rounded")
def less_than_a_tenth_of_the_tolerance_is_a_note() -> Drawing:
    """.0005 of .006"""
    board = jig(2.4375)
    d = over_holes(board, 2.4375, "2.438%%p.006")
    return Drawing(board, (Says("rounded", NOTE, (d,), "harmless", F(39, 16)), typed(d, NOTE)))


@fires("rounded")
def the_share_is_taken_on_the_side_of_the_residual() -> Drawing:
    """Drawn .00025 above the stated number. There is .020 below it, and only .001 above: a quarter is gone."""
    board = jig(2.65625)
    d = over_holes(board, 2.65625, "2.656 +.001 -.020")
    return Drawing(board, (Says("rounded", WARNING, (d,), "rounding eats 25 %", F(85, 32)), typed(d, NOTE)))


@fires("rounded")
def a_rounded_reference_is_a_note() -> Drawing:
    board = jig(2.65625)
    d = over_holes(board, 2.65625, "(<>)")
    return Drawing(board, (Says("rounded", NOTE, (d,), "a reference dimension", F(85, 32)),))


@silent("rounded")
def half_an_inch_as_a_fraction() -> Drawing:
    board = jig(0.5)
    d = board.shows(over_holes(board, 0.5, dimlunit=5, dimdec=4), "\\A1;{\\H0.7x;\\S1/2;}")
    return Drawing(board, measured=((d, F(1, 2)),))


@silent("rounded")
def seven_sixteenths_at_four_places() -> Drawing:
    board = jig(0.4375)
    d = over_holes(board, 0.4375, dimdec=4)
    return Drawing(board, measured=((d, F(7, 16)),))


@silent("rounded")
def a_hidden_zero_is_no_rounding() -> Drawing:
    board = jig(1.5)
    d = board.shows(over_holes(board, 1.5), "1.5")
    return Drawing(board, measured=((d, F(3, 2)),))


@silent("rounded")
def limits_are_compared_unrounded() -> Drawing:
    board = jig(2.65625)
    d = over_holes(board, 2.65625, "2.657\\P2.655")
    return Drawing(board, (typed(d, NOTE),), measured=((d, F(85, 32)),))
