"""Situations of the rules about all dimensions of a part together: chains, repeats, what is not located or sized.

The silent ones are fully dimensioned prints of the boatyard's parts, each with something that a print leaves to the
reader: fillets, chamfers, slots, patterns, a centreline of symmetry, a second view, a detail, a hole table.
"""


from rule_board import Board
from rule_cases import Drawing, Says, fires, silent
from rule_notes import leader, multileader, text
from rule_tables import ROWS, jig, table

from dimaudit.model.audit import Level
from dimaudit.model.scheme import Implied
from dimaudit.model.settings import Settings

ERROR, WARNING, NOTE = Level.ERROR, Level.WARNING, Level.NOTE
STEP = 0.46875
"""15/32, which three places round to .469."""


def steps(*, last: str = "<>", whole: str = "<>", three: bool = True) -> tuple[Board, list[str], str]:
    """A stepped block of 3 x 15/32 (1 13/32 long) and its chain of dimensions: .469 each, and 1.406."""
    board = Board()
    s = STEP
    board.path((0, 0), (3 * s, 0), (3 * s, 1), (2 * s, 1), (2 * s, 1.5), (s, 1.5), (s, 2), (0, 2))
    parts = [board.across((0, 2), (s, 2)), board.across((s, 2), (2 * s, 1.5), line_at=3)]
    if three:
        parts.append(board.across((2 * s, 1.5), (3 * s, 1), text=last, line_at=3))
    overall = board.across((0, 0), (3 * s, 0), text=whole, line_at=-1)
    for low, high, at in ((0, 2, -1), (1, 1.5, 2), (1.5, 2, 3)):
        board.upright((0 if at < 0 else 2 * s, low), (0 if high == 2 else s, high), line_at=at)
    return board, parts, overall


# --- chain-does-not-close -----------------------------------------------------------------------


@fires("chain-does-not-close")
def rounded_parts_make_a_thousandth_more_than_the_rounded_whole() -> Drawing:
    """15/32 + 15/32 + 15/32 = 1 13/32; as printed .469 + .469 + .469 = 1.407, and the whole says 1.406."""
    board, parts, whole = steps()
    says = Says(
        "chain-does-not-close", ERROR, (whole,),
        '0.469 + 0.469 + 0.469 = 1.407, but linear dimension "1.406" states 1.406: 0.001 (1/1000) apart',
    )  # fmt: skip
    return Drawing(board, (says, *(Says("rounded", NOTE, (h,)) for h in (*parts, whole))))


@silent("chain-does-not-close")
def the_same_with_a_reference_in_parentheses() -> Drawing:
    board, parts, whole = steps(last="(<>)")
    return Drawing(board, tuple(Says("rounded", NOTE, (h,)) for h in (*parts, whole)))


@silent("chain-does-not-close")
def the_same_with_one_step_left_out() -> Drawing:
    board, parts, whole = steps(three=False)
    return Drawing(board, tuple(Says("rounded", NOTE, (h,)) for h in (*parts, whole)))


@silent("chain-does-not-close")
def a_wrong_number_is_said_once() -> Drawing:
    """The whole is typed over with a number that is not drawn: that finding is enough."""
    board = Board()
    board.path((0, 0), (4, 0), (4, 1), (2, 1), (2, 2), (0, 2))
    board.across((0, 2), (2, 2))
    board.across((2, 2), (4, 1), line_at=3)
    whole = board.across((0, 0), (4, 0), text="4.500", line_at=-1)
    board.upright((0, 0), (0, 2), line_at=-1)
    board.upright((4, 0), (4, 1), line_at=5)
    return Drawing(board, (Says("wrong-value", ERROR, (whole,)), Says("typed-text", WARNING, (whole,))))


# --- closed-chain -------------------------------------------------------------------------------


@fires("closed-chain")
def two_parts_and_their_whole() -> Drawing:
    board = Board()
    board.path((0, 0), (4, 0), (4, 1), (1.5, 1), (1.5, 2), (0, 2))
    board.across((0, 2), (1.5, 2))
    board.across((1.5, 2), (4, 1), line_at=3)
    whole = board.across((0, 0), (4, 0), line_at=-1)
    board.upright((0, 0), (0, 2), line_at=-1)
    board.upright((4, 0), (4, 1), line_at=5)
    return Drawing(board, (Says("closed-chain", WARNING, (whole,), "the loop:"),))


@fires("closed-chain")
def the_third_angle_of_a_triangular_gusset() -> Drawing:
    """Two angles of a triangle make the third: the size is held by one leg."""
    board = Board()
    board.path((0, 0), (4, 0), (1, 2))
    board.across((0, 0), (4, 0), line_at=-1)
    base, left, right = ((4.0, 0.0), (0.0, 0.0)), ((0.0, 0.0), (1.0, 2.0)), ((4.0, 0.0), (1.0, 2.0))
    a = board.angle((base[1], base[0]), left, (1, 0.8), dimadec=4)
    b = board.angle(right, base, (3, 0.4), dimadec=4)
    c = board.angle(left, right, (1.2, 1.5), dimadec=4)
    rounded = tuple(Says("rounded", NOTE, (h,)) for h in (a, b, c))
    return Drawing(board, (Says("closed-chain", WARNING, (c,), b), *rounded))


@silent("closed-chain")
def the_whole_is_a_reference() -> Drawing:
    board = Board()
    board.path((0, 0), (4, 0), (4, 1), (1.5, 1), (1.5, 2), (0, 2))
    board.across((0, 2), (1.5, 2))
    board.across((1.5, 2), (4, 1), line_at=3)
    board.across((0, 0), (4, 0), text="(<>)", line_at=-1)
    board.upright((0, 0), (0, 2), line_at=-1)
    board.upright((4, 0), (4, 1), line_at=5)
    return Drawing(board)


@silent("closed-chain")
def ordinates_from_one_corner() -> Drawing:
    """Levels from one origin close no chain, however many they are."""
    board = Board()
    board.path((0, 0), (4, 0), (4, 1), (1.5, 1), (1.5, 2), (0, 2))
    for x, y in ((1.5, 2.0), (4.0, 1.0)):
        board.level_x((x, y), (x, y + 1))
    board.upright((0, 0), (0, 2), line_at=-1)
    board.upright((4, 0), (4, 1), line_at=5)
    return Drawing(board)


# --- repeated-dimension -------------------------------------------------------------------------


@fires("repeated-dimension")
def the_width_above_and_below() -> Drawing:
    board = Board()
    board.plate(6, 4)
    first = board.across((0, 4), (6, 4))
    second = board.across((0, 0), (6, 0), line_at=-1)
    board.upright((0, 0), (0, 4), line_at=-1)
    return Drawing(board, (Says("repeated-dimension", WARNING, (second,), first),))


@fires("repeated-dimension")
def the_height_in_two_views_in_line() -> Drawing:
    board = Board()
    board.plate(6, 4)
    board.plate(1, 4, (9, 0))
    board.across((0, 4), (6, 4))
    board.across((9, 4), (10, 4))
    first = board.upright((0, 0), (0, 4), line_at=-1)
    second = board.upright((10, 0), (10, 4), line_at=11)
    return Drawing(board, (Says("repeated-dimension", WARNING, (second,), first),))


@fires("repeated-dimension")
def the_radius_of_a_circle_beside_its_diameter() -> Drawing:
    board = Board()
    board.circle((0, 0), 3)
    first = board.diameter((0, 0), 3)
    second = board.radius((0, 0), 1.5, 120)
    return Drawing(board, (Says("repeated-dimension", WARNING, (second,), first),))


@silent("repeated-dimension")
def the_second_is_in_parentheses() -> Drawing:
    board = Board()
    board.plate(6, 4)
    board.across((0, 4), (6, 4))
    board.across((0, 0), (6, 0), text="(<>)", line_at=-1)
    board.upright((0, 0), (0, 4), line_at=-1)
    return Drawing(board)


@silent("repeated-dimension")
def equal_distances_of_different_features() -> Drawing:
    board = Board()
    board.plate(6, 4)
    board.circle((1, 1), 0.5)
    board.across((0, 4), (6, 4))
    board.upright((0, 0), (0, 4), line_at=-1)
    board.across((0, 0), (1, 1), line_at=-1)
    board.upright((0, 0), (1, 1), line_at=-2)
    board.diameter((1, 1), 0.5)
    return Drawing(board)


# --- not-located --------------------------------------------------------------------------------


def drilled(*, across: bool = True, upright: bool = True, size: bool = True) -> tuple[Board, str]:
    """A plate with one hole and its dimensions."""
    board = Board()
    board.plate(6, 4)
    hole = board.circle((2, 1.5), 0.5)
    board.across((0, 4), (6, 4))
    board.upright((0, 0), (0, 4), line_at=-1)
    if across:
        board.across((0, 0), (2, 1.5), line_at=-1)
    if upright:
        board.upright((0, 0), (2, 1.5), line_at=-2)
    if size:
        board.diameter((2, 1.5), 0.5)
    return board, hole


@fires("not-located")
def a_hole_without_its_height() -> Drawing:
    board, hole = drilled(upright=False)
    return Drawing(board, (Says("not-located", WARNING, (hole,), "holds it in that direction"),))


@fires("not-located")
def a_hole_with_its_size_only() -> Drawing:
    """Both directions are one finding."""
    board, hole = drilled(across=False, upright=False)
    return Drawing(board, (Says("not-located", WARNING, (hole,)),))


@fires("not-located")
def a_step_that_only_symmetry_would_hold_when_that_is_not_taken() -> Drawing:
    """With `--not-implied symmetric` the holes on both sides of the centreline need a place each."""
    board = symmetric_flange()
    settings = Settings(taken_as_implied=tuple(k for k in Implied if k is not Implied.SYMMETRIC))
    left, _ = board.msp.query("CIRCLE")  # the other is 4 from it, so one more size would do
    return Drawing(board, (Says("not-located", WARNING, (str(left.dxf.handle),)),), settings)


def symmetric_flange() -> Board:
    """A flange with two holes, 4 apart about a drawn centreline that stands in the middle of the plate."""
    board = Board()
    board.plate(6, 4)
    board.line((3, -0.5), (3, 4.5), "CENTER")
    for x in (1, 5):
        board.circle((x, 2), 0.5)
    board.across((0, 4), (6, 4))
    board.upright((0, 0), (0, 4), line_at=-1)
    board.across((1, 2), (5, 2), line_at=-1)
    board.upright((0, 0), (1, 2), line_at=-2)
    board.diameter((5, 2), 0.5, text="2X <>")
    return board


@silent("not-located")
def holes_alike_on_both_sides_of_a_centreline() -> Drawing:
    return Drawing(symmetric_flange())


@silent("not-located")
def a_fully_dimensioned_hole() -> Drawing:
    return Drawing(drilled()[0])


@silent("not-located")
def a_pattern_by_steps() -> Drawing:
    """'3X 1.000': four holes in a row, the first by its own place."""
    board = Board()
    board.plate(6, 2)
    for k in range(4):
        board.circle((1 + k, 1), 0.25)
    board.across((0, 2), (6, 2))
    board.upright((0, 0), (0, 2), line_at=-1)
    board.across((0, 0), (1, 1), line_at=-1)
    board.across((1, 1), (2, 1), text="3X <>", line_at=-1)
    board.upright((6, 0), (4, 1), line_at=7)
    board.diameter((4, 1), 0.25, text="4X <>")
    return Drawing(board)


def bolt_circle(count: int = 6) -> tuple[Board, list[str]]:
    """A round flange with holes on a drawn pitch circle."""
    from math import cos, radians, sin

    board = Board()
    board.circle((0, 0), 6)
    board.circle((0, 0), 4, "CENTER")
    holes = [
        board.circle((2 * cos(radians(360 * k / count)), 2 * sin(radians(360 * k / count))), 0.5) for k in range(count)
    ]
    board.line((-3.5, 0), (3.5, 0), "CENTER")
    board.line((0, -3.5), (0, 3.5), "CENTER")
    board.diameter((0, 0), 6)
    board.diameter((0, 0), 4)
    return board, holes


@silent("not-located")
def holes_on_a_pitch_circle() -> Drawing:
    board, _ = bolt_circle()
    board.diameter((2, 0), 0.5, text="6X <>")
    return Drawing(board)


@silent("not-located")
def two_views_share_what_they_show() -> Drawing:
    """The hole's height stands in the front view, the plate's thickness in the side view; the rest follows in line."""
    board, _ = drilled()
    board.plate(0.5, 4, (9, 0))
    for y in (1.25, 1.75):
        board.line((9, y), (9.5, y), "HIDDEN")
    board.across((9, 4), (9.5, 4))
    return Drawing(board)


@silent("not-located")
def a_slot_by_its_centres_and_its_width() -> Drawing:
    board = Board()
    board.plate(6, 4)
    board.line((2, 1.75), (4, 1.75))
    board.line((2, 2.25), (4, 2.25))
    board.arc((2, 2), 0.25, 90, 270)
    board.arc((4, 2), 0.25, 270, 90)
    board.across((0, 4), (6, 4))
    board.upright((0, 0), (0, 4), line_at=-1)
    board.across((0, 0), (2, 2), line_at=-1)
    board.across((2, 2), (4, 2), line_at=-1)
    board.upright((4, 1.75), (4, 2.25), line_at=7)
    board.upright((0, 0), (2, 2), line_at=-2)
    board.radius((2, 2), 0.25, 180, text="2X R")
    return Drawing(board)


@silent("not-located")
def a_chamfer_by_its_leg() -> Drawing:
    board = Board()
    board.path((0, 0), (6, 0), (6, 3.5), (5.5, 4), (0, 4))
    board.across((0, 0), (6, 0), line_at=-1)
    board.upright((0, 0), (0, 4), line_at=-1)
    board.across((5.5, 4), (6, 3.5), text="<> X 45%%d", line_at=5)
    return Drawing(board)


@silent("not-located")
def a_tapered_rib_by_its_angle() -> Drawing:
    board = Board()
    board.path((0, 0), (6, 0), (6, 1), (5, 3), (0, 3))
    board.across((0, 0), (6, 0), line_at=-1)
    board.across((0, 3), (5, 3))
    board.upright((0, 0), (0, 3), line_at=-1)
    board.angle(((5, 3), (0, 3)), ((5, 3), (6, 1)), (4.6, 2.6), dimadec=4)
    return Drawing(board)


@silent("not-located")
def a_hole_table_gives_the_places() -> Drawing:
    board, _ = jig()
    table(board, ROWS)
    board.upright((0, 0), (0, 4), line_at=-1)
    return Drawing(board)


@silent("not-located")
def a_view_that_is_hardly_dimensioned_is_not_judged() -> Drawing:
    """One size on a picture of many lines: the report says that what is located was not judged."""
    board = Board()
    board.plate(6, 4)
    for k in range(8):
        board.circle((0.5 + 0.625 * k, 1 + 0.25 * k), 0.25)
    board.across((0, 4), (6, 4))
    return Drawing(board)


@silent("not-located")
def section_lines_and_hatching_are_no_edges() -> Drawing:
    board, _ = drilled()
    board.line((7, 1.2), (8, 1.7), layer="SECTION LINE")
    for k in range(7):
        board.line((2.5 + 0.25 * k, 2.25), (3.0 + 0.25 * k, 3.25))
    return Drawing(board)


# --- not-sized ----------------------------------------------------------------------------------


@fires("not-sized")
def a_hole_without_its_size() -> Drawing:
    board, hole = drilled(size=False)
    return Drawing(board, (Says("not-sized", WARNING, (hole,), "gives its size"),))


@fires("not-sized")
def one_size_where_a_count_is_missing() -> Drawing:
    """Six equal holes and one 'Ø.500' without '6X': the other five are not sized."""
    board, holes = bolt_circle()
    board.diameter((2, 0), 0.5)
    return Drawing(board, (Says("not-sized", WARNING, tuple(holes[1:])),))


@silent("not-sized")
def a_note_on_a_leader() -> Drawing:
    board, _ = drilled(size=False)
    leader(board, (2.25, 1.5), "%%c.500 THRU")
    return Drawing(board)


@silent("not-sized")
def a_multileader_that_counts() -> Drawing:
    board, _ = bolt_circle()
    multileader(board, "6X %%c.500 THRU", (2.25, 0))
    return Drawing(board)


def rounded_plate() -> Board:
    """A plate with four fillets of .25, and its two sizes."""
    board = Board()
    for a, b in (((0.25, 0), (5.75, 0)), ((6, 0.25), (6, 3.75)), ((5.75, 4), (0.25, 4)), ((0, 3.75), (0, 0.25))):
        board.line(a, b)
    for centre, start in (((5.75, 0.25), 270), ((5.75, 3.75), 0), ((0.25, 3.75), 90), ((0.25, 0.25), 180)):
        board.arc(centre, 0.25, start, start + 90)
    board.across((0, 3.75), (6, 3.75), line_at=5)
    board.upright((0.25, 0), (0.25, 4), line_at=-1)
    return board


@silent("not-sized")
def four_fillets_by_one_radius() -> Drawing:
    board = rounded_plate()
    board.radius((5.75, 3.75), 0.25, 45, text="4X <>")
    return Drawing(board)


@silent("not-sized")
def fillets_by_a_general_note() -> Drawing:
    board = rounded_plate()
    text(board, "FILLETS R.25 UNLESS NOTED", (0, -3))
    return Drawing(board)


@fires("not-sized")
def fillets_without_a_radius() -> Drawing:
    board = rounded_plate()
    arcs = [str(arc.dxf.handle) for arc in board.msp.query("ARC")]
    return Drawing(board, (Says("not-sized", WARNING, tuple(arcs)),))


