"""Situations of two numbers for one size, in inches and in millimetres."""

from fractions import Fraction as F

from rule_board import Board
from rule_cases import Drawing, Says, fires, silent
from rule_tolerances import say
from rule_values import jig, over_holes, typed

from dimaudit.model.audit import Level

ERROR, WARNING, NOTE = Level.ERROR, Level.WARNING, Level.NOTE
RULE = "dual-units-disagree"


def dual(text: str, size: float = 2.0, metric: bool = False) -> tuple[Board, str]:
    """A plate of this size that is dimensioned with this text."""
    board = Board(metric=metric)
    board.plate(size, 1)
    return board, board.across((0, 1), (size, 1), text)


def fault(text: str, level: Level, why: str, size: float = 2.0, metric: bool = False, typing: Level = NOTE) -> Drawing:
    """The text is typed, and its first number is the drawn one."""
    board, d = dual(text, size, metric)
    return Drawing(board, (Says(RULE, level, (d,), why), typed(d, typing)))


def right(text: str, size: float = 2.0, metric: bool = False, typing: Level = NOTE) -> Drawing:
    board, d = dual(text, size, metric)
    return Drawing(board, (typed(d, typing),))


@fires(RULE)
def a_digit_mistyped() -> Drawing:
    return fault("2.000 [50.85]", ERROR, "2 in × 25.4 = 50.8 mm (254/5)")


@fires(RULE)
def the_residual_as_a_fraction() -> Drawing:
    return fault("2.000 [50.85]", ERROR, "0.05 (1/20) too large")


@fires(RULE)
def a_decimal_point_in_the_wrong_place() -> Drawing:
    return fault("2.000 [508.0]", ERROR, "the decimal point")


@fires(RULE)
def with_an_exponent() -> Drawing:
    return fault("2.000 [5.18E+01]", ERROR, "written 51.8: 1 too large")


@fires(RULE)
def a_small_size_with_an_exponent() -> Drawing:
    return fault("0.0100 [2.64E-01]", ERROR, "written 0.264: 0.01 (1/100) too large", 0.01)


@fires(RULE)
def multiplied_where_the_marks_say_divide() -> Drawing:
    return fault("50.8 mm [1290 in]", ERROR, "converted the wrong way round", 50.8, metric=True)


@fires(RULE)
def divided_where_only_the_drawings_unit_says_multiply() -> Drawing:
    """2.000 in a drawing in inches; .0787 would be right for 2.000 mm."""
    return fault("2.000 [.0787]", WARNING, "as if 2 were mm; or the drawing is not in in")


@fires(RULE)
def digits_cut_off() -> Drawing:
    """3/16 in are 4.7625 mm: 4.76 and no rounding rule gives 4.7."""
    return fault("3/16 [4.7]", WARNING, "cut off", 0.1875, typing=WARNING)


@fires(RULE)
def the_reference_is_wrong_too() -> Drawing:
    return fault("(2.000) [50.85]", WARNING, "a reference dimension controls nothing")


@fires(RULE)
def a_second_number_outside_the_tolerance() -> Drawing:
    """51 is 50.8 to the millimetre, and the tolerance ends at 50.927."""
    return fault("2.000 %%p.005 [51]", WARNING, "50.673 to 50.927 mm")


@fires(RULE)
def limits_to_the_nearest_get_wider() -> Drawing:
    return fault("11 %%p0.3 [.433 %%p.012]", NOTE, "33/127000", 11, metric=True)


@fires(RULE)
def a_tolerance_that_is_no_rounding() -> Drawing:
    """±.005 in are ±0.127 mm."""
    return fault("2.000 %%p.005 [50.80 %%p0.15]", ERROR, "rounded inward: 50.68 to 50.92")


@fires(RULE)
def a_tolerance_with_too_few_places() -> Drawing:
    """A total of .010 in is converted to 0.01 mm; 0.1 lies inside and takes a fifth of the room away."""
    return fault("2.000 %%p.005 [50.8 %%p0.1]", NOTE, "is converted to 0.01 mm")


@fires(RULE)
def feet_are_no_millimetres() -> Drawing:
    return fault("2.000 [.1667]", NOTE, "inches and millimetres stand 1 to 25.4")


@fires(RULE)
def limits_beside_one_number() -> Drawing:
    board, d = dual(r"\S2.005^ 1.995; [50.80]")
    return Drawing(board, (Says(RULE, NOTE, (d,), "two limits stand beside one number"), typed(d, NOTE)))


@fires(RULE)
def a_style_with_a_coarse_factor() -> Drawing:
    """1000 mm x .03937 = 39.37, and 39.3701 to four places."""
    board = Board(metric=True)
    board.plate(1000, 500)
    d = board.across((0, 500), (1000, 500), dimalt=1, dimaltf=0.03937, dimaltd=4)
    board.without_block(d)
    return Drawing(board, (Says(RULE, ERROR, (d,), "DIMALTF is 0.03937; exact is 0.03937007… (5/127)"),))


@silent(RULE)
def in_brackets() -> Drawing:
    return right("2.000 [50.80]")


@silent(RULE)
def in_parentheses() -> Drawing:
    return right("2.000 (50.80)")


@silent(RULE)
def millimetres_first() -> Drawing:
    return right("50.8 [2.000]", 50.8, metric=True)


@silent(RULE)
def with_marks() -> Drawing:
    return right("11 mm [.433 in]", 11, metric=True)


@silent(RULE)
def few_places() -> Drawing:
    return right("2.000 [51]")


@silent(RULE)
def a_tie_down() -> Drawing:
    return right("3/16 [4.762]", 0.1875, typing=WARNING)


@silent(RULE)
def a_tie_up() -> Drawing:
    return right("3/16 [4.763]", 0.1875, typing=WARNING)


@silent(RULE)
def converted_from_the_drawn_size() -> Drawing:
    """2.4375 x 25.4 = 61.9125; 2.44 x 25.4 = 61.976."""
    board = jig(2.4375)
    d = over_holes(board, 2.4375, "2.44 [61.91]")
    return Drawing(board, (typed(d),), measured=((d, F(39, 16)),))


@silent(RULE)
def converted_from_the_first_number() -> Drawing:
    board = jig(2.4375)
    d = over_holes(board, 2.4375, "2.44 [61.98]")
    return Drawing(board, (typed(d),), measured=((d, F(39, 16)),))


@silent(RULE)
def limits_inward() -> Drawing:
    return right(r"\S11.3^ 10.7; [\S.444^ .422;]", 11, metric=True)


@silent(RULE)
def a_tolerance_inward() -> Drawing:
    return right("2.000 %%p.005 [50.80 %%p0.12]")


@silent(RULE)
def feet_and_inches_for_inches() -> Drawing:
    """One unit, written in two ways."""
    return right("14.500 [1'-2 1/2\"]", 14.5)


@silent(RULE)
def by_the_style() -> Drawing:
    board = Board()
    board.plate(2, 1)
    d = board.without_block(board.across((0, 1), (2, 1), dimalt=1, dimaltf=25.4, dimaltd=2))
    return Drawing(board, measured=((d, F(2)),))


@silent(RULE)
def by_the_style_with_limits_rounded_for_the_first() -> Drawing:
    """2.4375 ±.02: 2.418 to 2.458 at three places, and 61.4045 to 62.4205 mm before that rounding."""
    board = jig(2.4375)
    style = {"dimlim": 1, "dimtp": 0.02, "dimtm": 0.02, "dimtdec": 3, "dimalt": 1, "dimaltf": 25.4, "dimalttd": 2}
    board.without_block(over_holes(board, 2.4375, **style))
    return Drawing(board)


@silent(RULE)
def nought() -> Drawing:
    board = Board()
    board.plate(2, 1)
    d = board.upright((0, 0), (2, 0), "0 [0]")
    return Drawing(board, (typed(d, NOTE),))


@fires(RULE)
def so_coarse_that_the_general_tolerance_leaves_it_out() -> Drawing:
    """2.520 ±.005 in is 63.881 to 64.135 mm: 64 is inside; 2.500 is 63.373 to 63.627, and 64 is not."""
    board, d = dual("2.500 [64]", 2.5)
    say(board, ".XXX %%p.005")
    return Drawing(board, (Says(RULE, WARNING, (d,), "the tolerance allows 63.373 to 63.627 mm"), typed(d, NOTE)))


@silent(RULE)
def coarse_and_still_inside_the_general_tolerance() -> Drawing:
    board, d = dual("2.520 [64]", 2.52)
    say(board, ".XXX %%p.005")
    return Drawing(board, (typed(d, NOTE),))
