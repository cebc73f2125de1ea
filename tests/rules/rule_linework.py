"""Situations of the rules about linework. Each part is dimensioned once: what nobody dimensions is no view."""

from math import radians, tan

from rule_board import Board
from rule_cases import Drawing, Says, fires, silent

from dimaudit.model.audit import Level

WARNING = Level.WARNING


def flange(board: Board | None = None) -> Board:
    """A flange's plate, 6 by 4, with its length given."""
    board = board or Board()
    board.plate(6, 4)
    board.across((0, 4), (6, 4))
    return board


# --- gap ----------------------------------------------------------------------------------------


def open_corner(short: float) -> tuple[Board, tuple[str, str]]:
    """A plate whose upper edge ends `short` of its right one, and the two edges."""
    board = Board()
    board.path((6, 4), (6, 0), (0, 0), (0, 4), close=False)
    upper = board.line((0, 4), (6 - short, 4))
    board.upright((0, 0), (0, 4), line_at=-1)
    right = next(str(e.dxf.handle) for e in board.msp.query("LINE") if e.dxf.start == (6, 4))
    return board, (right, upper)


@fires("gap")
def four_thousandths_at_a_corner() -> Drawing:
    board, edges = open_corner(0.004)
    return Drawing(board, (Says("gap", WARNING, edges, "0.004 apart"),))


@fires("gap")
def a_gap_of_exactly_the_limit() -> Drawing:
    board, edges = open_corner(0.015625)
    return Drawing(board, (Says("gap", WARNING, edges, "0.015625 apart"),))


@silent("gap")
def wider_than_the_limit_is_an_opening() -> Drawing:
    board, _ = open_corner(0.0625)
    return Drawing(board)


@silent("gap")
def closed_within_the_snap_distance() -> Drawing:
    board, _ = open_corner(0.000005)
    return Drawing(board)


@silent("gap")
def an_end_that_stops_on_another_line() -> Drawing:
    board = flange()
    board.line((3, 0), (3, 4))  # a rib from edge to edge
    return Drawing(board)


@silent("gap")
def a_centreline_ends_near_a_corner() -> Drawing:
    board = flange()
    board.line((3, -0.5), (3, 4.005), "CENTER")
    board.line((3.004, 4.005), (3.004, 5), "CENTER")
    return Drawing(board)


@silent("gap")
def in_a_group_that_nobody_dimensions() -> Drawing:
    """The frame of a title block far from the part cuts no metal."""
    board = flange()
    board.path((10, 0), (14, 0), (14, 2), close=False)
    board.path((13.996, 2), (10, 2), (10, 0), close=False)
    return Drawing(board)


def rib(short: float) -> tuple[Board, tuple[str, str]]:
    """A plate with a rib that begins on its lower edge and ends `short` of its upper one; the rib and that edge."""
    board = Board()
    edges = board.plate(6, 4)
    board.upright((0, 0), (0, 4), line_at=-1)
    return board, (board.line((3, 0), (3, 4 - short)), edges[2])


@fires("gap")
def a_rib_that_stops_just_short_of_an_edge() -> Drawing:
    """One open end is enough: the rib runs toward the upper edge and does not reach it."""
    board, lines = rib(0.004)
    return Drawing(board, (Says("gap", WARNING, lines, "0.004 apart"),))


@silent("gap")
def a_rib_that_stops_well_short_of_an_edge() -> Drawing:
    board, _ = rib(0.0625)
    return Drawing(board)


@silent("gap")
def a_line_that_runs_beside_an_edge() -> Drawing:
    """Its ends are .004 from the upper edge, but it does not run toward it."""
    board = flange()
    board.line((1, 3.996), (5, 3.996))
    return Drawing(board)


@fires("gap")
def an_edge_drawn_twice_hides_no_gap() -> Drawing:
    """At its open end the edge touches only its own duplicate; both faults are said."""
    board, (right, upper) = open_corner(0.004)
    again = board.line((5.996, 4), (0, 4))
    return Drawing(
        board,
        (
            Says("gap", WARNING, (right, upper), "0.004 apart"),
            Says("duplicate-line", WARNING, (upper, again)),
        ),
    )


@silent("gap")
def the_open_ends_of_a_slit() -> Drawing:
    """A saw cut of .010 from the upper edge: its two sides end side by side on purpose."""
    board = Board()
    board.path((3, 2), (3, 4), (0, 4), (0, 0), (6, 0), (6, 4), (3.01, 4), (3.01, 2), close=False)
    board.across((0, 0), (6, 0), line_at=-1)
    return Drawing(board)


@fires("gap")
def in_a_piece_inside_the_bounds_of_a_view() -> Drawing:
    """Nobody dimensions the two lines, and the outline around them is open: they belong to its view all the same."""
    board = Board()
    board.path((0, 4), (0, 0), (6, 0), (6, 4), close=False)
    board.across((0, 0), (6, 0), line_at=-1)
    lines = (board.line((2, 2), (3, 2)), board.line((3.004, 2), (4, 2)))
    return Drawing(board, (Says("gap", WARNING, lines, "0.004 apart"),))


@silent("gap")
def in_a_piece_beside_a_view() -> Drawing:
    """The same two lines, partly outside the bounds of the only view."""
    board = Board()
    board.path((0, 4), (0, 0), (6, 0), (6, 4), close=False)
    board.across((0, 0), (6, 0), line_at=-1)
    board.line((5.5, 5), (6, 5))
    board.line((6.004, 5), (7, 5))
    return Drawing(board)


# --- duplicate-line -----------------------------------------------------------------------------


@fires("duplicate-line")
def an_edge_drawn_again_the_other_way_round() -> Drawing:
    board = Board()
    edges = board.plate(6, 4)
    again = board.line((6, 0), (0, 0))
    board.across((0, 4), (6, 4))
    return Drawing(board, (Says("duplicate-line", WARNING, (edges[0], again), "the lines lie on one another"),))


@fires("duplicate-line")
def a_hole_drawn_twice() -> Drawing:
    board = flange()
    holes = (board.circle((2, 2), 0.5), board.circle((2, 2), 0.5))
    return Drawing(board, (Says("duplicate-line", WARNING, holes, "the circles lie on one another"),))


@fires("duplicate-line")
def an_edge_drawn_again_with_noise() -> Drawing:
    """Odd 16ths and the last digits of a double: the edges are one as far as anyone can measure."""
    board = flange()
    edges = (board.line((1.0625, 1), (1.0625, 3)), board.line((1.0625000000002, 1), (1.0625, 3)))
    more = (board.line((2.1875, 1), (2.1875, 3)), board.line((2.1874999999998, 1), (2.1875, 3)))
    return Drawing(board, tuple(Says("duplicate-line", WARNING, pair) for pair in (edges, more)))


@fires("duplicate-line")
def a_block_placed_twice_on_one_spot() -> Drawing:
    """The two circles are one entity of the block: what can be deleted is one of its two references."""
    board = flange()
    board.doc.blocks.new("BOLT").add_circle((0, 0), 0.25)
    both = tuple(str(board.msp.add_blockref("BOLT", (2, 2)).dxf.handle) for _ in range(2))
    return Drawing(board, (Says("duplicate-line", WARNING, both),))


@silent("duplicate-line")
def neighbours_that_share_an_edge() -> Drawing:
    """Two closed outlines side by side: neither is the other drawn again."""
    board = flange()
    for low, high in ((1, 2), (2, 3)):
        board.msp.add_lwpolyline([(low, 1), (high, 1), (high, 2), (low, 2)], close=True)
    return Drawing(board)


@fires("duplicate-line")
def a_closed_outline_drawn_twice() -> Drawing:
    board = flange()
    corners = [(1, 1), (2, 1), (2, 2), (1, 2)]
    both = tuple(str(board.msp.add_lwpolyline(corners, close=True).dxf.handle) for _ in range(2))
    return Drawing(board, (Says("duplicate-line", WARNING, both),))


@fires("duplicate-line")
def three_on_one_spot_are_one_finding() -> Drawing:
    board = flange()
    holes = tuple(board.circle((2, 2), 0.5) for _ in range(3))
    return Drawing(board, (Says("duplicate-line", WARNING, holes),))


@silent("duplicate-line")
def a_hidden_edge_under_a_visible_one() -> Drawing:
    board = flange()
    board.line((0, 0), (6, 0), "HIDDEN")
    return Drawing(board)


@silent("duplicate-line")
def two_holes_on_one_centre() -> Drawing:
    board = flange()
    board.circle((2, 2), 0.5)
    board.circle((2, 2), 1.0)
    return Drawing(board)


@silent("duplicate-line")
def two_edges_from_one_corner() -> Drawing:
    board = flange()
    board.path((2, 0), (3, 2), (4, 0), close=False)
    return Drawing(board)


# --- overlapping-lines --------------------------------------------------------------------------


@fires("overlapping-lines")
def a_quarter_inch_shared() -> Drawing:
    board = Board()
    board.path((6, 0), (6, 4), (0, 4), (0, 0), close=False)
    halves = (board.line((0, 0), (3.25, 0)), board.line((3, 0), (6, 0)))
    board.across((0, 4), (6, 4))
    return Drawing(board, (Says("overlapping-lines", WARNING, halves, "they share 0.25 of length"),))


@fires("overlapping-lines")
def a_short_line_on_a_long_one() -> Drawing:
    board = Board()
    edges = board.plate(6, 4)
    patch = board.line((2, 0), (3, 0))
    board.across((0, 4), (6, 4))
    return Drawing(board, (Says("overlapping-lines", WARNING, (edges[0], patch), "they share 1 of length"),))


@silent("overlapping-lines")
def halves_that_meet_end_to_end() -> Drawing:
    board = Board()
    board.path((0, 0), (3, 0), (6, 0), (6, 4), (0, 4))
    board.across((0, 4), (6, 4))
    return Drawing(board)


@silent("overlapping-lines")
def lines_that_cross() -> Drawing:
    board = flange()
    board.line((2, 1), (4, 3))
    board.line((2, 3), (4, 1))
    return Drawing(board)


@silent("overlapping-lines")
def outlines_that_share_part_of_an_edge() -> Drawing:
    board = flange()
    board.msp.add_lwpolyline([(1, 1), (2, 1), (2, 2), (1, 2)], close=True)
    board.msp.add_lwpolyline([(2, 1.5), (3, 1.5), (3, 2.5), (2, 2.5)], close=True)
    return Drawing(board)


@silent("overlapping-lines")
def a_hidden_line_runs_on_under_an_edge() -> Drawing:
    board = flange()
    board.line((2, 0), (4, 0), "HIDDEN")
    return Drawing(board)


@silent("overlapping-lines")
def a_centreline_on_an_edge() -> Drawing:
    board = flange()
    board.line((-0.5, 0), (6.5, 0), "CENTER")
    return Drawing(board)


@silent("overlapping-lines")
def parallel_a_thousandth_apart() -> Drawing:
    board = flange()
    board.line((0, 0.001), (6, 0.001))
    return Drawing(board)


@silent("overlapping-lines")
def a_line_of_another_layer_runs_over_an_edge() -> Drawing:
    """Lines of another layer stand for something else: here a projection line."""
    board = flange()
    board.line((2, 0), (3, 0), layer="PROJECTION")
    return Drawing(board)


@silent("overlapping-lines")
def a_line_of_a_block_lies_on_an_edge() -> Drawing:
    """A part that is placed against another shares its edge; nothing is drawn twice by hand."""
    board = flange()
    board.doc.blocks.new("CLEAT").add_line((0, 0), (1, 0))
    board.msp.add_blockref("CLEAT", (2, 0))
    return Drawing(board)


@fires("overlapping-lines")
def two_lines_of_one_named_layer() -> Drawing:
    """A layer's name is the same in capitals and in small letters."""
    board = flange()
    pair = (board.line((1, 1), (3, 1), layer="PART"), board.line((2, 1), (5, 1), layer="part"))
    return Drawing(board, (Says("overlapping-lines", WARNING, pair, "they share 1 of length"),))


# --- zero-length --------------------------------------------------------------------------------


@fires("zero-length")
def a_line_that_ends_where_it_begins() -> Drawing:
    board = flange()
    dot = board.line((3, 0), (3, 0))
    return Drawing(board, (Says("zero-length", WARNING, (dot,), "begins and ends at one point"),))


@fires("zero-length")
def a_circle_smaller_than_the_snap_distance() -> Drawing:
    board = flange()
    dot = board.circle((3, 0), 0.00001)
    return Drawing(board, (Says("zero-length", WARNING, (dot,), "circle or arc"),))


@silent("zero-length")
def a_very_short_line_is_a_line() -> Drawing:
    board = Board()
    board.path((0, 0), (5.999, 0), (6, 0.001), (6, 4), (0, 4))  # a broken edge of .001
    board.across((0, 4), (6, 4))
    return Drawing(board)


@silent("zero-length")
def a_repeated_vertex_of_a_polyline() -> Drawing:
    board = flange()
    board.msp.add_lwpolyline([(1, 1), (2, 1), (2, 1), (2, 2), (1, 2)], close=True)
    return Drawing(board)


@silent("zero-length")
def a_point_is_meant_to_have_no_length() -> Drawing:
    board = flange()
    board.msp.add_point((3, 0))
    return Drawing(board)


# --- nearly-level -------------------------------------------------------------------------------


def sloping_top(rise: float) -> tuple[Board, str]:
    """A plate whose upper edge rises by this much over its 6 inches, and that edge."""
    board = Board()
    edges = board.path((0, 0), (6, 0), (6, 4 + rise), (0, 4))
    board.across((0, 0), (6, 0), line_at=-1)
    return board, edges[2]


@fires("nearly-level")
def three_thousandths_over_six_inches() -> Drawing:
    board, edge = sloping_top(0.003)
    return Drawing(board, (Says("nearly-level", WARNING, (edge,), "off horizontal by 0.003"),))


@fires("nearly-level")
def nearly_upright() -> Drawing:
    board = Board()
    edges = board.path((0, 0), (6.002, 0), (6, 4), (0, 4))
    board.across((0, 4), (6, 4))
    return Drawing(board, (Says("nearly-level", WARNING, (edges[1],), "off vertical by 0.002"),))


@fires("nearly-level")
def just_under_a_quarter_of_a_degree() -> Drawing:
    board, edge = sloping_top(round(6 * tan(radians(0.249)), 6))
    return Drawing(board, (Says("nearly-level", WARNING, (edge,)),))


@silent("nearly-level")
def just_over_a_quarter_of_a_degree_is_meant() -> Drawing:
    board, _ = sloping_top(round(6 * tan(radians(0.251)), 6))
    return Drawing(board)


@silent("nearly-level")
def its_angle_is_dimensioned() -> Drawing:
    """A draft of .19 degrees that the print states is meant."""
    board, _ = sloping_top(0.02)
    board.angle(((0, 0), (6, 0)), ((0, 4), (6, 4.02)), (5, 2), dimadec=2)
    return Drawing(board)


@silent("nearly-level")
def two_degrees_are_meant() -> Drawing:
    board, _ = sloping_top(round(6 * tan(radians(2)), 4))
    return Drawing(board)


@silent("nearly-level")
def level_within_the_snap_distance() -> Drawing:
    board, _ = sloping_top(0.000005)
    return Drawing(board)


@silent("nearly-level")
def on_a_chain_that_follows_a_curve() -> Drawing:
    """A fair curve as a polyline of short lines: one of them is nearly level where the curve is, and none is a slip."""
    board = flange()
    board.msp.add_lwpolyline([(1, 1.1), (2, 1.002), (3, 1), (4, 1.1), (5, 1.3)])
    return Drawing(board)


@fires("nearly-level")
def an_edge_of_a_polyline_with_square_corners() -> Drawing:
    """Its neighbours stand square to it, so it follows no curve."""
    board = flange()
    edge = board.msp.add_lwpolyline([(1, 1), (4, 1), (4, 2.003), (1, 2)], close=True)
    return Drawing(board, (Says("nearly-level", WARNING, (str(edge.dxf.handle),), "off horizontal by 0.003"),))


# --- nearly-concentric --------------------------------------------------------------------------


def counterbore(off: float) -> tuple[Board, tuple[str, str]]:
    """A hole whose counterbore stands `off` beside it, and the two circles."""
    board = flange()
    return board, (board.circle((2, 2), 0.5), board.circle((2 + off, 2), 1.0))


@fires("nearly-concentric")
def a_counterbore_two_thousandths_off() -> Drawing:
    board, circles = counterbore(0.002)
    return Drawing(board, (Says("nearly-concentric", WARNING, circles, "the centres are 0.002 apart"),))


@silent("nearly-concentric")
def truly_concentric() -> Drawing:
    board, _ = counterbore(0.0)
    return Drawing(board)


@silent("nearly-concentric")
def concentric_within_the_snap_distance() -> Drawing:
    board, _ = counterbore(0.000005)
    return Drawing(board)


@silent("nearly-concentric")
def an_eccentric_that_is_meant() -> Drawing:
    board, _ = counterbore(0.0625)
    return Drawing(board)


@silent("nearly-concentric")
def circles_that_cut_one_another() -> Drawing:
    """Neither is inside the other: two positions of one hole, not a hole and its counterbore."""
    board = flange()
    board.circle((2, 2), 0.5)
    board.circle((2.004, 2), 0.5)
    return Drawing(board)
