"""Situations of tolerances: their sense, classes, the title block, and what they make of a rounding."""

from fractions import Fraction as F

from rule_board import Board
from rule_cases import Drawing, Says, fires, silent
from rule_values import jig, over_holes, typed

from dimaudit.model.audit import Level
from dimaudit.model.general import Form, GeneralTolerance, GeneralTolerances
from dimaudit.model.settings import Settings

ERROR, WARNING, NOTE = Level.ERROR, Level.WARNING, Level.NOTE


def metric_plate(wide: float = 25.0) -> Board:
    """A steel plate of the rudder bearing, 40 high."""
    board = Board(metric=True)
    board.plate(wide, 40)
    return board


def width(board: Board, text: str, wide: float = 25.0, **style: object) -> str:
    """Its width, typed."""
    return board.across((0, 40), (wide, 40), text=text, line_at=52.0, **style)


def say(board: Board, text: str, at: tuple[float, float] = (20.0, -30.0), height: float = 0.2) -> str:
    """A text of the title block, well away from the part."""
    return str(board.msp.add_text(text, height=height, dxfattribs={"insert": at}).dxf.handle)


# --- sense ------------------------------------------------------------------------------------------


@fires("tolerance-makes-no-sense")
def a_tolerance_of_nothing() -> Drawing:
    board = metric_plate()
    d = width(board, "25 %%p0")
    says = Says("tolerance-makes-no-sense", ERROR, (d,), "both limits are 25")
    return Drawing(board, (says, typed(d, NOTE)))


@fires("tolerance-makes-no-sense")
def a_tolerance_wider_than_the_hole() -> Drawing:
    """Ø2 ±5 instead of ±.05: the point was lost."""
    board = metric_plate()
    board.circle((12, 20), 2)
    d = board.diameter((12, 20), 2, text="<> %%p5")
    return Drawing(board, (Says("tolerance-makes-no-sense", ERROR, (d,), "its lower limit is -3"),))


@fires("tolerance-makes-no-sense")
def the_minus_value_above_the_plus_value() -> Drawing:
    board = metric_plate()
    d = width(board, "25{\\H0.7x;\\S-0.02^+0.05;}")
    says = Says("tolerance-makes-no-sense", WARNING, (d,), "-0.02 stands where the upper deviation belongs")
    return Drawing(board, (says, typed(d, NOTE)))


@fires("tolerance-makes-no-sense")
def the_lower_limit_above_the_upper() -> Drawing:
    board = metric_plate()
    d = width(board, "\\S24.95^25.05;")
    says = Says("tolerance-makes-no-sense", WARNING, (d,), "24.95 stands above 25.05")
    return Drawing(board, (says, typed(d, NOTE)))


@fires("tolerance-makes-no-sense")
def both_deviations_below_the_size() -> Drawing:
    """-0.1/-0.3 at 25 mm is of no class of ISO 286-1: the machinist who works to 25 makes scrap."""
    board = metric_plate()
    d = width(board, "25{\\S-0.1^-0.3;}")
    says = Says("tolerance-makes-no-sense", NOTE, (d,), "on one side")
    return Drawing(board, (says, typed(d, NOTE)))


@silent("tolerance-makes-no-sense")
def the_figures_of_a_class_on_one_side() -> Drawing:
    """+0.028/+0.007 at 25 mm is G7 (ISO 286-1), whether or not the class stands beside it."""
    board = metric_plate()
    d = width(board, "25{\\S+0.028^+0.007;}")
    return Drawing(board, (typed(d, NOTE),))


@silent("tolerance-makes-no-sense")
def limits_in_a_row_lower_first() -> Drawing:
    """In a row the lower limit comes first (ASME Y14.5)."""
    board = metric_plate()
    d = width(board, "24.95-25.05")
    return Drawing(board, (typed(d, NOTE),))


@silent("tolerance-makes-no-sense")
def a_stack_in_its_right_order() -> Drawing:
    board = metric_plate()
    d = width(board, "25{\\H0.7x;\\S+0.05^-0.02;}")
    return Drawing(board, (typed(d, NOTE),))


# --- reference and basic ----------------------------------------------------------------------------


@fires("toleranced-reference")
def a_reference_with_a_tolerance() -> Drawing:
    board = metric_plate()
    d = width(board, "(25) %%p0.1")
    says = Says("toleranced-reference", WARNING, (d,), "controls nothing")
    return Drawing(board, (says, typed(d, NOTE)))


@silent("toleranced-reference")
def a_reference_alone() -> Drawing:
    board = metric_plate()
    d = width(board, "(<>)")
    return Drawing(board, measured=((d, F(25)),))


# --- places -----------------------------------------------------------------------------------------


@fires("tolerance-places")
def an_inch_size_with_fewer_decimals_than_its_tolerance() -> Drawing:
    board = jig(2.5)
    d = over_holes(board, 2.5, "2.5 %%p.005")
    return Drawing(board, (Says("tolerance-places", NOTE, (d,), "1 and 3 decimals"), typed(d, NOTE)))


@fires("tolerance-places")
def metric_deviations_with_different_decimals() -> Drawing:
    board = metric_plate()
    d = width(board, "25{\\S+0.25^-0.1;}")
    return Drawing(board, (Says("tolerance-places", NOTE, (d,), "2 and 1 decimals"), typed(d, NOTE)))


@fires("tolerance-places")
def limits_with_different_decimals() -> Drawing:
    board = metric_plate()
    d = width(board, "\\S25.45^25;")
    return Drawing(board, (Says("tolerance-places", NOTE, (d,), "2 and 0 decimals"), typed(d)))


@fires("tolerance-places")
def a_metric_nil_with_decimals() -> Drawing:
    board = metric_plate()
    d = width(board, "25{\\S+0.00^-0.02;}")
    return Drawing(board, (Says("tolerance-places", NOTE, (d,), "a lone 0"), typed(d, NOTE)))


@silent("tolerance-places")
def a_metric_size_without_decimals() -> Drawing:
    """In millimetres the size need not have the decimals of its tolerance."""
    board = metric_plate()
    d = width(board, "25 %%p0.05")
    return Drawing(board, (typed(d, NOTE),))


@silent("tolerance-places")
def an_inch_size_as_it_should_be() -> Drawing:
    board = jig(2.5)
    d = over_holes(board, 2.5, "2.500 +.005 -.000")
    return Drawing(board, (typed(d, NOTE),))


# --- classes ----------------------------------------------------------------------------------------


@fires("fit-limits-disagree")
def limits_of_another_class() -> Drawing:
    """+0.033/0 at 25 mm is H8."""
    board = metric_plate()
    d = width(board, "25 H7 (+0.033/0)")
    says = Says("fit-limits-disagree", ERROR, (d,), "H7 at 25 mm is +0.021/0 mm")
    return Drawing(board, (says, typed(d, NOTE)))


@silent("fit-limits-disagree")
def limits_of_the_class() -> Drawing:
    board = metric_plate()
    d = width(board, "25 H7 (+0.021/0)")
    return Drawing(board, (typed(d, NOTE),))


@silent("fit-limits-disagree")
def limits_of_the_class_in_full() -> Drawing:
    board = metric_plate()
    d = width(board, "25 H7 (25.021/25.000)")
    return Drawing(board, (typed(d, NOTE),))


@fires("fit-unknown")
def a_class_that_begins_above_the_size() -> Drawing:
    """Class t begins above 24 mm."""
    board = metric_plate(20)
    d = width(board, "20 t6", 20)
    return Drawing(board, (Says("fit-unknown", WARNING, (d,), "begins above 24 mm"), typed(d, NOTE)))


@fires("fit-unknown")
def a_fit_that_names_two_holes() -> Drawing:
    board = metric_plate()
    d = width(board, "25 h6/h7")
    return Drawing(board, (Says("fit-unknown", WARNING, (d,), "the hole first"), typed(d, NOTE)))


@silent("fit-unknown")
def a_class_that_is_only_not_in_the_tables() -> Drawing:
    """x8 is a class of ISO 286-1, and the tables here do not have it: nothing is said."""
    board = metric_plate()
    d = width(board, "25 z8")
    return Drawing(board, (typed(d, NOTE),))


@fires("wrong-value")
def a_size_outside_its_class() -> Drawing:
    """25 H7 reaches to 25.021; drawn 25.1."""
    board = metric_plate(25.1)
    d = width(board, "25 H7", 25.1)
    says = Says("wrong-value", ERROR, (d,), "outside the tolerance in force, ISO 286-1 H7", F("25.1"))
    return Drawing(board, (says, typed(d)))


# --- the title block --------------------------------------------------------------------------------


@fires("wrong-value")
def inside_the_general_tolerance() -> Drawing:
    """2.50 for 2.512 is off by more than half a hundredth, and .XX allows two hundredths."""
    board = jig(2.512)
    say(board, ".XX %%p.02")
    d = over_holes(board, 2.512, "2.50")
    why = "not drawn to nominal: the drawn size is inside the tolerance in force, general tolerance .XX ±0.02"
    return Drawing(board, (Says("wrong-value", WARNING, (d,), why, F("2.512")), typed(d)))


@fires("wrong-value")
def a_rounding_outside_the_general_tolerance() -> Drawing:
    """2.44 for 2.4375 is a rounding, and .XX allows .002 only."""
    board = jig(2.4375)
    say(board, ".XX %%p.002")
    d = over_holes(board, 2.4375, "2.44")
    says = Says("wrong-value", ERROR, (d,), "larger than the tolerance leaves room for", F(39, 16))
    return Drawing(board, (says, typed(d)))


@fires("rounded")
def a_rounding_that_eats_a_quarter() -> Drawing:
    """.0025 of .01; the tolerance goes by the decimals that are written."""
    board = jig(2.4375)
    say(board, ".XX %%p.01")
    d = over_holes(board, 2.4375, "2.44")
    return Drawing(board, (Says("rounded", WARNING, (d,), "eats 25 % of the tolerance", F(39, 16)), typed(d)))


@fires("rounded")
def a_style_that_drops_zeros_gets_the_tolerance_of_what_is_seen() -> Drawing:
    """DIMZIN 12 shows 2.4 for 2.4004: on the print that is one decimal, and .X has ±.1."""
    board = jig(2.4004)
    say(board, ".X %%p.1")
    say(board, ".XXX %%p.001", (20.0, -31.0))
    d = over_holes(board, 2.4004, "<>", dimzin=12)
    says = Says("rounded", NOTE, (d,), "0.4 % of the tolerance on that side (general tolerance .X ±0.1", F("2.4004"))
    return Drawing(board, (says,))


@fires("rounded")
def a_basic_size_takes_no_general_tolerance() -> Drawing:
    board = jig(2.4375)
    say(board, ".XX %%p.01")
    d = over_holes(board, 2.4375, "2.44", dimgap=-0.1)
    says = Says("rounded", NOTE, (d,), "basic: no tolerance of its own", F(39, 16))
    return Drawing(board, (says, Says("basic-without-frame", NOTE, (d,)), typed(d)))


@fires("rounded")
def the_users_word_stands_above_the_title_block() -> Drawing:
    board = jig(2.4375)
    say(board, ".XX %%p.01")
    d = over_holes(board, 2.4375, "2.44")
    word = GeneralTolerance(Form.PLACES, F(1, 10), F(-1, 10), 2, where="set by the user")
    says = Says("rounded", NOTE, (d,), "(general tolerance .XX ±0.1 (set by the user)): harmless", F(39, 16))
    return Drawing(board, (says, typed(d)), Settings(general=GeneralTolerances((word,))))


@fires("title-block-unclear")
def two_tolerances_for_one_number_of_decimals() -> Drawing:
    board = jig(2.5)
    a = say(board, ".XX %%p.01")
    b = say(board, ".XX %%p.02", (20.0, -32.0))
    over_holes(board, 2.5, "<>")
    return Drawing(board, (Says("title-block-unclear", WARNING, (a, b), "contradict each other"),))


@fires("title-block-unclear")
def a_tolerance_that_nobody_means() -> Drawing:
    board = jig(2.5)
    a = say(board, ".XXX %%p5")
    over_holes(board, 2.5, "<>")
    return Drawing(board, (Says("title-block-unclear", NOTE, (a,), "not believed"),))


@silent("title-block-unclear")
def a_title_block_that_is_clear() -> Drawing:
    board = jig(2.5)
    texts = (".X %%p.1", ".XX %%p.01", ".XXX %%p.005", "ANGLES %%p1/2%%d", "ISO 2768-mK", "SCALE 1:1")
    for k, text in enumerate(texts):
        say(board, text, (20.0, -30.0 - k))
    d = over_holes(board, 2.5, "<>")
    return Drawing(board, measured=((d, F(5, 2)),))


@fires("units-disagree")
def inches_on_the_sheet_and_millimetres_in_the_file() -> Drawing:
    board = metric_plate()
    a = say(board, "UNLESS OTHERWISE SPECIFIED DIMENSIONS ARE IN INCHES")
    width(board, "<>")
    return Drawing(board, (Says("units-disagree", WARNING, (a,), "$INSUNITS"),))


@silent("units-disagree")
def a_factor_that_converts_to_the_unit_of_the_sheet() -> Drawing:
    """Drawn in millimetres, dimensioned in inches by DIMLFAC: the sheet is right."""
    board = metric_plate(25.4)
    say(board, "ALL DIMENSIONS IN INCHES")
    d = width(board, "<>", 25.4, dimlfac=1 / 25.4)
    return Drawing(board, measured=((d, F(1)),))


@silent("units-disagree")
def the_unit_of_the_sheet_is_that_of_the_file() -> Drawing:
    board = metric_plate()
    say(board, "ALL DIMENSIONS IN MILLIMETRES")
    d = width(board, "<>")
    return Drawing(board, measured=((d, F(25)),))
