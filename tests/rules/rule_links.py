"""Situations of the rules about the ends of dimensions and what they are tied to."""

from fractions import Fraction as F

from rule_board import CENTRE, NOT_IN_THE_FILE, Board, Tie
from rule_cases import Drawing, Says, fires, silent
from rule_values import typed

from dimaudit.model.audit import Level

ERROR, WARNING, NOTE = Level.ERROR, Level.WARNING, Level.NOTE


def base_plate(board: Board | None = None) -> tuple[Board, list[str]]:
    """A winch base plate, 6 by 4, and its four edges: lower, right, upper, left."""
    board = board or Board()
    return board, board.plate(6, 4)


def whole_plate_tied(board: Board, edges: list[str], count: int) -> list[str]:
    """The overall length, dimensioned `count` times and tied each time to the upper edge's ends."""
    dims = [board.across((0, 4), (6, 4), line_at=5 + 0.5 * k) for k in range(count)]
    return [board.tie(d, Tie(0, edges[2]), Tie(1, edges[2])) for d in dims]


def filleted(radius: float) -> Board:
    """A gusset 3 by 4 whose upper right corner is rounded; its diagonal to the sharp corner is 5."""
    board = Board()
    board.path((3 - radius, 4), (0, 4), (0, 0), (3, 0), (3, 4 - radius), close=False)
    board.arc((3 - radius, 4 - radius), radius, 0, 90)
    return board


# --- near-miss ----------------------------------------------------------------------------------


@fires("near-miss")
def twelve_thousandths_short_of_the_edge() -> Drawing:
    board, _ = base_plate()
    d = board.across((0, 4), (5.988, 4))
    why = "its points span 5.988; the features are 6 apart"
    return Drawing(board, (Says("near-miss", ERROR, (d,), why, F(6)),))


@fires("near-miss")
def a_miss_too_small_to_change_the_number_is_a_warning() -> Drawing:
    """.0004 does not reach half of .001: the print still says 6.000."""
    board, _ = base_plate()
    d = board.across((0, 4), (5.9996, 4))
    return Drawing(board, (Says("near-miss", WARNING, (d,), "by 0.0004", F(6)),))


@fires("near-miss")
def a_miss_of_exactly_the_near_distance() -> Drawing:
    board, _ = base_plate()
    d = board.across((0, 4), (6.03125, 4))  # 1/32 beyond
    return Drawing(board, (Says("near-miss", ERROR, (d,), "by 0.03125", F(6)),))


@fires("near-miss")
def an_extension_line_that_passes_a_corner() -> Drawing:
    """A quarter inch above the corner and .020 beside it."""
    board, _ = base_plate()
    d = board.across((0, 4), (6.02, 4.25), line_at=6)
    return Drawing(board, (Says("near-miss", ERROR, (d,), "by 0.02", F(6)),))


@fires("near-miss")
def beside_the_centre_of_a_hole() -> Drawing:
    board, _ = base_plate()
    board.circle((2, 2), 0.5)
    d = board.across((0, 2), (2.01, 2))
    return Drawing(board, (Says("near-miss", ERROR, (d,), "centre of the Ø.500 circle", F(2)),))


@fires("near-miss")
def half_a_millimetre_on_a_metric_print() -> Drawing:
    board = Board(metric=True)
    board.plate(150, 100)
    d = board.across((0, 100), (149.5, 100), line_at=110)
    return Drawing(board, (Says("near-miss", ERROR, (d,), "by 0.5", F(150)),))


@fires("near-miss")
def a_typed_number_on_a_point_that_missed() -> Drawing:
    """Two faults: the point is off, and the typed number is neither what it spans nor what is drawn."""
    board, _ = base_plate()
    d = board.across((0, 4), (5.988, 4), "6.250")
    return Drawing(
        board,
        (Says("near-miss", ERROR, (d,), "", F(6)), Says("wrong-value", ERROR, (d,), "", F(6)), typed(d)),
    )


@silent("near-miss")
def off_the_corner_along_the_extension_line() -> Drawing:
    """The usual gap between part and extension line, drawn into the definition point."""
    board, _ = base_plate()
    d = board.across((0, 4.0625), (6, 4.0625))
    return Drawing(board, measured=((d, F(6)),))


@silent("near-miss")
def within_the_snap_distance() -> Drawing:
    board, _ = base_plate()
    d = board.across((0, 4), (5.999995, 4))
    return Drawing(board, measured=((d, F(6)),))


@silent("near-miss")
def at_the_middle_of_a_slanted_edge() -> Drawing:
    """The middle of an edge is a place; anywhere else on a slant is none, see floating-end."""
    board = Board()
    board.path((0, 0), (6, 0), (4, 4), (0, 4))
    d = board.across((0, 0), (5, 2), line_at=-1)
    return Drawing(board, measured=((d, F(5)),))


@silent("near-miss")
def on_the_theoretical_sharp_corner() -> Drawing:
    """Nothing is drawn where the edges beside a fillet would meet, and drafters dimension to there all the same."""
    board = filleted(0.5)
    d = board.aligned((0, 0), (3, 4))
    return Drawing(board, measured=((d, F(5)),))


@fires("near-miss")
def beside_the_theoretical_sharp_corner() -> Drawing:
    """The place where the edges beside the fillet would meet is missed by .010, like a drawn corner."""
    board = filleted(0.5)
    d = board.aligned((0, 0), (2.99, 4))
    why = "misses theoretical sharp corner at (3.000, 4.000) by 0.01"
    return Drawing(board, (Says("near-miss", ERROR, (d,), why),))


@fires("near-miss")
def beside_a_corner_on_the_edge_that_runs_with_the_dimension() -> Drawing:
    """The point is on the upper edge, which marks no place along itself: the corner .012 away is meant."""
    board, _ = base_plate()
    d = board.across((0.012, 4), (6, 4))
    return Drawing(board, (Says("near-miss", ERROR, (d,), "first end misses left edge by 0.012", F(6)),))


@silent("near-miss")
def an_extension_line_that_passes_from_afar_is_another_rule() -> Drawing:
    board, _ = base_plate()
    d = board.across((0, 4), (6.02, 4.5), line_at=6)
    return Drawing(board, (Says("floating-end", WARNING, (d,)),))


@silent("near-miss")
def further_off_than_near_is_another_rule() -> Drawing:
    board, _ = base_plate()
    d = board.across((0, 4), (6.0625, 4.5), line_at=6)
    return Drawing(board, (Says("floating-end", WARNING, (d,)),))


# --- floating-end -------------------------------------------------------------------------------


@fires("floating-end")
def one_end_in_the_air() -> Drawing:
    board, _ = base_plate()
    d = board.across((0, 4), (3.313, 4.75), line_at=6)
    return Drawing(board, (Says("floating-end", WARNING, (d,), "second end: nothing", F("3.313")),))


@fires("floating-end")
def both_ends_of_a_dimension_left_behind() -> Drawing:
    board, _ = base_plate()
    d = board.across((1.3, 4.75), (3.6, 4.75), line_at=6)
    return Drawing(board, (Says("floating-end", WARNING, (d,), "first end: nothing", F("2.3")),))


@fires("floating-end")
def anywhere_along_an_edge_that_runs_with_the_dimension() -> Drawing:
    """The point is on the upper edge, but an edge marks no place along itself: 3.500 to nothing."""
    board, _ = base_plate()
    d = board.across((0, 4), (3.5, 4), line_at=6)
    return Drawing(board, (Says("floating-end", WARNING, (d,)),))


@fires("floating-end")
def anywhere_along_a_slanted_edge() -> Drawing:
    """On the slant, neither at its ends nor at its middle: a little up or down gives another number."""
    board = Board()
    board.path((0, 0), (6, 0), (4, 4), (0, 4))
    d = board.across((0, 0), (5.25, 1.5), line_at=-1)
    return Drawing(board, (Says("floating-end", WARNING, (d,), "second end: no place of the", F("5.25")),))


@silent("floating-end")
def from_one_slanted_edge_square_to_another() -> Drawing:
    """Two parallel slants 2 apart (in the direction 4, -3): anywhere along them the distance square to them is 2."""
    board = Board()
    board.path((0, 0), (3, 4), (4.6, 2.8), (1.6, -1.2))
    d = board.aligned((0.9, 1.2), (2.5, 0))
    return Drawing(board, measured=((d, F(2)),))


@fires("floating-end")
def anywhere_around_a_hole() -> Drawing:
    """The point is on the circle (3-4-5), but the circle does not run square to the dimension there."""
    board, _ = base_plate()
    board.circle((2, 2), 1)
    d = board.across((0, 4), (2.3, 2.4), line_at=5)
    return Drawing(board, (Says("floating-end", WARNING, (d,), "no place of the", F("2.3")),))


@silent("floating-end")
def along_the_radius_of_a_hole() -> Drawing:
    """From the centre outward the tangent stands square to what is measured: any point of the circle will do."""
    board, _ = base_plate()
    board.circle((2, 2), 1)
    d = board.aligned((2, 2), (2.3, 2.4))
    return Drawing(board, measured=((d, F(1, 2)),))


@silent("floating-end")
def to_the_theoretical_sharp_corner_of_a_chamfer() -> Drawing:
    """A quarter inch is taken off the corner; the diagonal is given to where the edges would meet."""
    board = Board()
    board.path((0, 0), (3, 0), (3, 3.75), (2.75, 4), (0, 4))
    d = board.aligned((0, 0), (3, 4))
    return Drawing(board, measured=((d, F(5)),))


@fires("floating-end")
def where_the_edges_beside_a_long_slant_would_meet() -> Drawing:
    """The slant is longer than the edge beside it: an edge of its own and no chamfer, so no corner is understood."""
    board = Board()
    board.path((0, 0), (3, 0), (3, 1), (1, 4), (0, 4))
    d = board.aligned((0, 0), (3, 4))
    return Drawing(board, (Says("floating-end", WARNING, (d,), "second end: nothing", F(5)),))


@fires("floating-end")
def once_for_the_drawing_where_part_of_it_is_in_another_file() -> Drawing:
    """What the ends touch may be in the hull's drawing: one finding says so, and not one for each dimension."""
    board, _ = base_plate()
    board.doc.add_xref_def("hull.dxf", "HULL")
    board.msp.add_blockref("HULL", (0, 0))
    dims = (
        board.across((1.3, 4.75), (3.6, 4.75), line_at=6),
        board.across((0, 4), (3.313, 4.75), line_at=7),
    )
    says = Says("floating-end", WARNING, dims, "part of the drawing is elsewhere")
    return Drawing(board, (says,), losses=("external reference",))


@silent("floating-end")
def an_ordinate_from_the_origin_of_the_drawing() -> Drawing:
    """Nothing is drawn at 0,0; ordinates are commonly taken from there all the same."""
    board = Board()
    board.plate(6, 4, at=(1, 1))
    d = board.level_x((7, 1), (7, -1))
    return Drawing(board, measured=((d, F(7)),))


@silent("floating-end")
def where_a_centreline_crosses_an_edge() -> Drawing:
    board, _ = base_plate()
    board.line((3.5, -0.5), (3.5, 4.5), "CENTER")
    d = board.across((0, 4), (3.5, 4), line_at=6)
    return Drawing(board, measured=((d, F(7, 2)),))


@silent("floating-end")
def at_the_middle_of_an_edge() -> Drawing:
    board, _ = base_plate()
    d = board.across((0, 4), (3, 4), line_at=6)
    return Drawing(board, measured=((d, F(3)),))


@fires("floating-end")
def a_radius_with_no_arc() -> Drawing:
    board, _ = base_plate()
    d = board.radius((3, 2), 0.5, 45)
    return Drawing(board, (Says("floating-end", WARNING, (d,), "centre: nothing"),))


@silent("floating-end")
def in_the_air_and_in_line_with_a_hole() -> Drawing:
    """Two inches above the hole, at its level: the extension line points at its centre."""
    board, _ = base_plate()
    board.circle((2, 2), 0.5)
    d = board.across((0, 4), (2, 4.5), line_at=6)
    return Drawing(board, measured=((d, F(2)),))


@silent("floating-end")
def on_the_middle_of_an_edge_that_stands_square() -> Drawing:
    board, _ = base_plate()
    d = board.across((0, 2), (6, 2), line_at=5)
    return Drawing(board, measured=((d, F(6)),))


@silent("floating-end")
def on_a_centreline() -> Drawing:
    board, _ = base_plate()
    board.line((2, -0.5), (2, 4.5), "CENTER")
    d = board.across((0, 4), (2, 4.25), line_at=6)
    return Drawing(board, measured=((d, F(2)),))


@silent("floating-end")
def no_linework_at_all() -> Drawing:
    """A sheet of dimensions over nothing: said once by what was read, not once for each dimension."""
    board = Board()
    d = board.across((0, 0), (6, 0))
    return Drawing(board, measured=((d, F(6)),))


# --- broken-link --------------------------------------------------------------------------------


@fires("broken-link")
def tied_to_geometry_that_was_deleted() -> Drawing:
    board, edges = base_plate()
    whole_plate_tied(board, edges, 1)
    d = board.across((0, 0), (6, 0), line_at=-1)
    board.tie(d, Tie(0, edges[0]), Tie(1, NOT_IN_THE_FILE))
    why = f"point 2 is tied to {NOT_IN_THE_FILE}, which is not in the file"
    return Drawing(board, (Says("broken-link", WARNING, (d,), why, F(6)),))


@fires("broken-link")
def the_tied_hole_was_moved() -> Drawing:
    """The point stayed where the hole was; an edge of the slot runs there, so nothing else is wrong."""
    board, edges = base_plate()
    board.line((2, 1), (2, 3))
    hole = board.circle((2.5, 2), 0.5)
    d = board.across((0, 4), (2, 3), line_at=5)
    board.tie(d, Tie(0, edges[3]), Tie(1, hole, CENTRE))
    why = f"point 2 is tied to {hole}, but no longer touches it"
    return Drawing(board, (Says("broken-link", WARNING, (d,), why, F(2)),))


@silent("broken-link")
def an_association_object_that_ties_nothing() -> Drawing:
    """It never held anything, so nothing was lost: the dimension is not associated."""
    board, _ = base_plate()
    d = board.tie(board.across((0, 4), (6, 4)))
    return Drawing(board, measured=((d, F(6)),))


@silent("broken-link")
def snap_points_written_as_zero() -> Drawing:
    """Many programs write 0,0,0 there; the tie is the handle."""
    board, edges = base_plate()
    d = board.across((0, 4), (6, 4))
    board.tie(d, Tie(0, edges[2], written=(0, 0)), Tie(1, edges[2], written=(0, 0)))
    return Drawing(board, measured=((d, F(6)),))


@silent("broken-link")
def tied_to_the_centre_of_a_hole() -> Drawing:
    board, edges = base_plate()
    hole = board.circle((2, 2), 0.5)
    d = board.across((0, 4), (2, 2), line_at=5)
    board.tie(d, Tie(0, edges[3]), Tie(1, hole, CENTRE))
    return Drawing(board, measured=((d, F(2)),))


@silent("broken-link")
def only_one_point_is_tied() -> Drawing:
    board, edges = base_plate()
    d = board.tie(board.across((0, 4), (6, 4)), Tie(1, edges[2]))
    return Drawing(board, measured=((d, F(6)),))


@silent("broken-link")
def tied_to_something_that_is_not_measured() -> Drawing:
    """A note is in the file and is no linework: whether the point still touches it can't be told."""
    board, edges = base_plate()
    words = board.msp.add_text("KEEL SIDE", height=0.125, dxfattribs={"insert": (6, 4)})
    d = board.tie(board.across((0, 4), (6, 4)), Tie(0, edges[2]), Tie(1, str(words.dxf.handle)))
    return Drawing(board, measured=((d, F(6)),))


@silent("broken-link")
def never_tied_at_all() -> Drawing:
    board, _ = base_plate()
    d = board.across((0, 4), (6, 4))
    return Drawing(board, measured=((d, F(6)),))


# --- not-associated -----------------------------------------------------------------------------


@fires("not-associated")
def one_loose_among_tied_ones() -> Drawing:
    board, edges = base_plate()
    whole_plate_tied(board, edges, 2)
    d = board.upright((6, 0), (6, 4))
    return Drawing(board, (Says("not-associated", WARNING, (d,), "most dimensions of this drawing have one", F(4)),))


@fires("not-associated")
def half_of_them_loose_is_one_note() -> Drawing:
    board, edges = base_plate()
    whole_plate_tied(board, edges, 2)
    dims = (board.upright((6, 0), (6, 4)), board.upright((6, 0), (6, 4), line_at=8))
    return Drawing(board, (Says("not-associated", NOTE, dims),))


@fires("not-associated")
def none_of_them_tied_is_one_note() -> Drawing:
    board, _ = base_plate()
    dims = (board.across((0, 4), (6, 4)), board.upright((6, 0), (6, 4)))
    return Drawing(board, (Says("not-associated", NOTE, dims),))


@fires("not-associated")
def an_r12_file_can_tie_nothing() -> Drawing:
    board, _ = base_plate(Board("R12"))
    dims = (board.across((0, 4), (6, 4), line_at=5), board.upright((6, 0), (6, 4), line_at=7))
    for d, text in zip(dims, ("6.0000", "4.0000"), strict=True):
        board.shows(d, text)
    return Drawing(board, (Says("not-associated", NOTE, dims),))


@fires("not-associated")
def an_object_that_ties_nothing_is_no_tie() -> Drawing:
    board, edges = base_plate()
    whole_plate_tied(board, edges, 2)
    d = board.tie(board.upright((6, 0), (6, 4)))
    return Drawing(board, (Says("not-associated", WARNING, (d,)),))


@silent("not-associated")
def all_of_them_tied() -> Drawing:
    board, edges = base_plate()
    whole_plate_tied(board, edges, 2)
    return Drawing(board)


@silent("not-associated")
def a_broken_tie_is_another_rule() -> Drawing:
    board, edges = base_plate()
    whole_plate_tied(board, edges, 2)
    d = board.upright((6, 0), (6, 4))
    board.tie(d, Tie(0, edges[1]), Tie(1, NOT_IN_THE_FILE))
    return Drawing(board, (Says("broken-link", WARNING, (d,)),))


@silent("not-associated")
def no_dimension_to_tie() -> Drawing:
    board, _ = base_plate()
    return Drawing(board)
