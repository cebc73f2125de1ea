"""Situations of what is written: fractions, whole numbers, symbols, equal steps, limits, and the likeliest causes."""

from fractions import Fraction as F

from rule_board import Board
from rule_cases import Drawing, Says, fires, silent
from rule_values import jig, over_holes, typed

from dimaudit.model.audit import Level

ERROR, WARNING, NOTE = Level.ERROR, Level.WARNING, Level.NOTE
FRACTIONAL = {"dimlunit": 5, "dimdec": 3}
"""A style that writes fractions in eighths (DXF reference, DIMSTYLE)."""


# --- fractions and whole numbers ------------------------------------------------------------------


@fires("wrong-value")
def a_half_for_seven_sixteenths() -> Drawing:
    """1/2 in lowest terms does not say that halves are meant: it is read to the 64th, and 1/16 is four of those."""
    board = jig(2.4375)
    d = over_holes(board, 2.4375, "2 1/2")
    why = "half a unit in the last place is .007812"
    return Drawing(board, (Says("wrong-value", ERROR, (d,), why, F(39, 16)), typed(d)))


@fires("wrong-value")
def a_third_for_a_half() -> Drawing:
    """A denominator that no scale carries is taken to the 64th, too."""
    board = jig(1.5)
    d = over_holes(board, 1.5, "1 1/3")
    return Drawing(board, (Says("wrong-value", ERROR, (d,), "", F(3, 2)), typed(d)))


@silent("wrong-value")
def a_fraction_less_than_a_128th_off() -> Drawing:
    """2.440 is .0025 above 2 7/16, less than half a 64th (.0078): a rounding."""
    board = jig(2.44)
    d = over_holes(board, 2.44, "2 7/16")
    return Drawing(board, (typed(d),), measured=((d, F("2.44")),))


@fires("wrong-value")
def a_fraction_more_than_a_128th_off() -> Drawing:
    """2.429 is .0085 below 2 7/16: more than half a 64th, and less than the half 16th that the text seems to say."""
    board = jig(2.429)
    d = over_holes(board, 2.429, "2 7/16")
    return Drawing(board, (Says("wrong-value", ERROR, (d,), "", F("2.429")), typed(d)))


@silent("wrong-value")
def a_fraction_read_to_the_styles_own_denominator() -> Drawing:
    """The style writes eighths: 2 15/32 is 1/32 short of 2 1/2, less than half an eighth."""
    board = jig(2.46875)
    d = over_holes(board, 2.46875, "2 1/2", **FRACTIONAL)
    return Drawing(board, (typed(d, NOTE),), measured=((d, F(79, 32)),))


@fires("wrong-value")
def a_whole_number_where_the_style_shows_three_places() -> Drawing:
    """A typed 2 hides its places: it is taken to the thousandth that the style would show."""
    board = jig(2.375)
    d = over_holes(board, 2.375, "2")
    why = "half a unit in the last place is .0005"
    return Drawing(board, (Says("wrong-value", ERROR, (d,), why, F(19, 8)), typed(d)))


@silent("wrong-value")
def a_whole_number_where_the_style_shows_none() -> Drawing:
    board = jig(2.375)
    d = over_holes(board, 2.375, "2", dimdec=0)
    return Drawing(board, (typed(d, NOTE),), measured=((d, F(19, 8)),))


# --- symbols ----------------------------------------------------------------------------------------


def bored() -> Board:
    """A plate with a Ø.500 hole at (2, 2)."""
    board = Board()
    board.plate(6, 4)
    board.circle((2, 2), 0.5)
    return board


@fires("wrong-value")
def a_radius_sign_with_the_number_of_the_diameter() -> Drawing:
    """The dimension measures the diameter, the text says R: what is stated is a radius, and it is .250."""
    board = bored()
    d = board.diameter((2, 2), 0.5, "R.500")
    why = "the diameter is stated for the radius"
    return Drawing(board, (Says("wrong-value", ERROR, (d,), why, F(1, 4)), typed(d, NOTE)))


@silent("wrong-value")
def a_radius_sign_with_the_radius_on_a_diameter_dimension() -> Drawing:
    board = bored()
    d = board.diameter((2, 2), 0.5, "R.250")
    return Drawing(board, (typed(d),), measured=((d, F(1, 4)),))


@fires("wrong-value")
def a_diameter_sign_with_the_number_of_the_radius() -> Drawing:
    """The dimension measures the radius, the text says Ø: the hole would be drilled at half its size."""
    board = bored()
    d = board.radius((2, 2), 0.25, 45, "%%c.250")
    why = "the radius is stated for the diameter"
    return Drawing(board, (Says("wrong-value", ERROR, (d,), why, F(1, 2)), typed(d, NOTE)))


@silent("wrong-value")
def a_diameter_sign_with_the_diameter_on_a_radius_dimension() -> Drawing:
    board = bored()
    d = board.radius((2, 2), 0.25, 45, "%%c.500")
    return Drawing(board, (typed(d),), measured=((d, F(1, 2)),))


@silent("wrong-value")
def a_diameter_from_the_centre_to_the_quadrant() -> Drawing:
    board = bored()
    d = board.across((2, 2), (2.25, 2), "%%c.500", line_at=5)
    return Drawing(board, (typed(d),), measured=((d, F(1, 2)),))


@fires("wrong-value")
def a_radius_called_a_diameter_from_the_centre_to_the_quadrant() -> Drawing:
    """What spans a radius and carries Ø is compared with the diameter."""
    board = bored()
    d = board.across((2, 2), (2.25, 2), "%%c.250", line_at=5)
    why = "the radius is stated for the diameter"
    return Drawing(board, (Says("wrong-value", ERROR, (d,), why, F(1, 2)), typed(d, NOTE)))


@silent("wrong-value")
def a_radius_across_a_circle() -> Drawing:
    board = bored()
    d = board.across((1.75, 2), (2.25, 2), "R.250", line_at=5)
    return Drawing(board, (typed(d),), measured=((d, F(1, 4)),))


@fires("wrong-value")
def a_diameter_called_a_radius_across_a_circle() -> Drawing:
    board = bored()
    d = board.across((1.75, 2), (2.25, 2), "R.500", line_at=5)
    why = "the diameter is stated for the radius"
    return Drawing(board, (Says("wrong-value", ERROR, (d,), why, F(1, 4)), typed(d, NOTE)))


def half_view(text: str, radius: float = 1.0) -> tuple[Board, str]:
    """The upper half of a shaft, its axis a centreline through the corners, dimensioned from there."""
    board = Board()
    board.path((4, 0), (4, radius), (0, radius), (0, 0), close=False)
    board.line((-0.5, 0), (4.5, 0), "CENTER")
    return board, board.upright((0, 0), (0, radius), text, line_at=-1)


@silent("wrong-value")
def a_diameter_from_the_axis_through_a_corner() -> Drawing:
    """Symmetrical parts may be drawn in half and dimensioned whole (ISO 129-1)."""
    board, d = half_view("%%c2.000")
    return Drawing(board, (typed(d),), measured=((d, F(2)),))


@silent("wrong-value")
def a_diameter_from_a_point_along_the_axis() -> Drawing:
    """The end is on the centreline itself, at none of its ends."""
    board = Board()
    board.path((4, 0), (4, 1), (0, 1), (0, 0), close=False)
    board.line((-0.5, 0), (4.5, 0), "CENTER")
    d = board.upright((3, 0), (4, 1), "%%c2.000", line_at=5)
    return Drawing(board, (typed(d),), measured=((d, F(2)),))


@fires("wrong-value")
def neither_the_half_nor_the_whole_of_a_half_view() -> Drawing:
    board, d = half_view("%%c3.000")
    return Drawing(board, (Says("wrong-value", ERROR, (d,), "", F(1)), typed(d)))


@fires("wrong-value")
def twice_the_drawn_size_without_a_diameter_sign() -> Drawing:
    """No Ø, no half view: 2.500 from the axis is twice what is drawn."""
    board, d = half_view("2.500", radius=1.25)
    why = "it is 2 times the drawn size (a half view?)"
    return Drawing(board, (Says("wrong-value", ERROR, (d,), why, F(5, 4)), typed(d)))


# --- equal steps ------------------------------------------------------------------------------------


def row_of_holes(apart: float, text: str) -> tuple[Board, str]:
    """A metric strip with its first and last hole `apart`, dimensioned from the one to the other."""
    board = Board(metric=True)
    board.plate(200, 40)
    for x in (20, 20 + apart):
        board.circle((x, 20), 5)
    return board, board.across((20, 20), (20 + apart, 20), text, line_at=50)


@silent("wrong-value")
def equal_steps_measured_over_all_of_them() -> Drawing:
    """8 times 20 is 160: the dimension spans all eight steps, and one of them is what the text states."""
    board, d = row_of_holes(160, "8X 20 (=160)")
    return Drawing(board, (typed(d),), measured=((d, F(20)),))


@silent("wrong-value")
def equal_steps_measured_over_one() -> Drawing:
    board, d = row_of_holes(20, "8X 20 (=160)")
    return Drawing(board, (typed(d, NOTE),), measured=((d, F(20)),))


@fires("wrong-value")
def equal_steps_that_do_not_add_up_on_the_drawing() -> Drawing:
    """The holes are drawn 150 apart: neither one step nor eight."""
    board, d = row_of_holes(150, "8X 20 (=160)")
    return Drawing(board, (Says("wrong-value", ERROR, (d,), "", F(150)), typed(d)))


# --- limits -----------------------------------------------------------------------------------------


@fires("wrong-value")
def below_a_lowest_size() -> Drawing:
    board = jig(2.5)
    d = over_holes(board, 2.5, "2.550 MIN")
    return Drawing(board, (Says("wrong-value", ERROR, (d,), "", F(5, 2)), typed(d)))


# --- likeliest causes -------------------------------------------------------------------------------


@fires("wrong-value")
def the_decimal_point_slipped() -> Drawing:
    board = jig(2.5)
    d = over_holes(board, 2.5, "25.00")
    why = "likeliest cause: the decimal point is 1 place off"
    return Drawing(board, (Says("wrong-value", ERROR, (d,), why, F(5, 2)), typed(d)))


@fires("wrong-value")
def the_distance_to_the_next_hole() -> Drawing:
    """3.500 is right for the hole beside the one that the dimension ends on, and the report names it."""
    board = jig(2.315)
    board.circle((4.5, 2), 0.375)
    d = over_holes(board, 2.315, "3.500")
    why = "likeliest cause: it is the distance to centre of the Ø.375 circle"
    return Drawing(board, (Says("wrong-value", ERROR, (d,), why, F("2.315")), typed(d)))


@fires("wrong-value")
def dimlfac_left_at_one_before_a_viewport_at_half_size() -> Drawing:
    """The plate is 6 long and shown at 1:2; the dimension on the sheet shows the 3 inches of paper."""
    board = Board()
    board.plate(6, 4)
    d = board.sheet_across((0, 2), (3, 2), seen=10)
    why = "at 1:2: 2 is needed"
    return Drawing(board, (Says("wrong-value", ERROR, (d,), why, F(6)),))


@silent("wrong-value")
def dimlfac_that_suits_the_viewport() -> Drawing:
    board = Board()
    board.plate(6, 4)
    d = board.sheet_across((0, 2), (3, 2), seen=10, dimlfac=2.0)
    return Drawing(board, measured=((d, F(6)),))


# --- noise ------------------------------------------------------------------------------------------


def noisy(text: str) -> tuple[Board, str]:
    """A plate that is 2 7/16 wide but for what a program's arithmetic left, dimensioned."""
    board = Board()
    board.plate(2.4374999999998, 4)
    return board, board.shows(board.across((0, 4), (2.4374999999998, 4)), text)


@fires("rounded")
def the_number_in_the_file_rounds_the_way_it_is_written() -> Drawing:
    """2.4375 is a tie, and no rule writes 2.437; 2.4374999999998, as the file holds it, is rounded to just that."""
    board, d = noisy("2.437")
    return Drawing(board, (Says("rounded", NOTE, (d,), "exact 2.4375 (2 7/16)", F(39, 16)),))


@fires("cut-off")
def without_noise_the_same_number_is_cut_off() -> Drawing:
    board = Board()
    board.plate(2.4375, 4)
    d = board.shows(board.across((0, 4), (2.4375, 4)), "2.437")
    return Drawing(board, (Says("cut-off", WARNING, (d,), "no rounding rule gives it", F(39, 16)),))


@silent("cut-off")
def noise_below_a_tie_is_rounded_down() -> Drawing:
    board, d = noisy("2.437")
    return Drawing(board, measured=((d, F(39, 16)),))


# --- typed and unreadable texts ----------------------------------------------------------------------


@silent("typed-text")
def an_underlined_value_is_typed_on_purpose() -> Drawing:
    """Not to scale, by the drafter's word: such a value can't be measured, so it must be typed."""
    board = jig(2.475)
    d = over_holes(board, 2.475, "%%u2.500")
    return Drawing(board, (Says("wrong-value", NOTE, (d,)),), measured=((d, F("2.475")),))


@fires("unreadable-text")
def unknown_words_with_a_number_beside_a_typed_size() -> Drawing:
    """Which of the two numbers is the size can't be told."""
    board = jig(2.5)
    d = over_holes(board, 2.5, "2.500 GLUE FACE 7.5")
    return Drawing(board, (Says("unreadable-text", WARNING, (d,)),))


@silent("unreadable-text")
def unknown_words_with_a_number_beside_the_measured_value() -> Drawing:
    """The override says where the size is, whatever stands around it."""
    board = jig(2.5)
    d = over_holes(board, 2.5, "<> GLUE FACE 7.5")
    e = board.without_block(over_holes(board, 2.5, "<> GLUE FACE 7.5"))
    return Drawing(board, measured=((d, F(5, 2)), (e, F(5, 2))))
