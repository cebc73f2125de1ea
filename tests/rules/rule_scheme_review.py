"""Prints of the boatyard's parts as drafters and learners draw them, worked out by hand: what holds each feature.

Each silent print has something beside plain dimensions that holds a feature: a note at a leader, a turned dimension, an
angle from a centreline, a detail that shows three corners. Each firing one lacks just that.
"""

from math import cos, radians, sin, sqrt, tan

from rule_board import Board, Spot
from rule_cases import Drawing, Says, fires, silent
from rule_notes import leader, text

from dimaudit.model.audit import Level

WARNING = Level.WARNING
R = 0.25


def bracket(*, radius: bool = False) -> tuple[Board, str]:
    """An angle bracket with an inside fillet of R.25, dimensioned but for the fillet."""
    board = Board()
    board.path((1 + R, 0.75), (3, 0.75), (3, 0), (0, 0), (0, 2), (1, 2), (1, 0.75 + R), close=False)
    arc = board.arc((1 + R, 0.75 + R), R, 180, 270)
    board.across((0, 0), (3, 0), line_at=-1)
    board.upright((0, 0), (0, 2), line_at=-1)
    board.across((0, 2), (1, 2))
    board.upright((3, 0), (3, 0.75))
    if radius:
        board.radius((1 + R, 0.75 + R), R, 225)
    return board, arc


ON_THE_FILLET = (1 + R - R * sqrt(0.5), 0.75 + R - R * sqrt(0.5))


@fires("not-sized")
def a_fillet_without_a_note() -> Drawing:
    board, arc = bracket()
    return Drawing(board, (Says("not-sized", WARNING, (arc,)),))


@silent("not-sized")
def a_fillet_by_a_note_at_a_leader() -> Drawing:
    board, _ = bracket()
    leader(board, ON_THE_FILLET, "R.25", (2, 2.2))
    return Drawing(board)


@silent("not-sized")
def a_fillet_by_a_note_beside_it() -> Drawing:
    board, _ = bracket()
    text(board, "R.25 TYP", (1.5, 1.5))
    return Drawing(board)


@fires("not-sized")
def a_fillet_beside_the_note_of_another_radius() -> Drawing:
    board, arc = bracket()
    text(board, "R.38 TYP", (1.5, 1.5))
    return Drawing(board, (Says("not-sized", WARNING, (arc,)),))


def rounded_plate() -> tuple[Board, list[str]]:
    """A plate 4 by 3 with four corners of R.25 and a hole in each centre's place."""
    board = Board()
    for a, b in (((R, 0), (4 - R, 0)), ((4, R), (4, 3 - R)), ((4 - R, 3), (R, 3)), ((0, 3 - R), (0, R))):
        board.line(a, b)
    arcs = [
        board.arc((x, y), R, start, start + 90)
        for x, y, start in ((R, R, 180), (4 - R, R, 270), (4 - R, 3 - R, 0), (R, 3 - R, 90))
    ]
    board.across((0, 1), (4, 1), line_at=-1)
    board.upright((1, 0), (1, 3), line_at=-1)
    return board, arcs


ON_THE_CORNER = (4 - R + R * sqrt(0.5), 3 - R + R * sqrt(0.5))


@silent("not-sized")
def four_corners_by_one_note_that_is_typical() -> Drawing:
    board, _ = rounded_plate()
    leader(board, ON_THE_CORNER, "R.25 TYP", (4.5, 3.5))
    return Drawing(board)


@fires("not-sized")
def four_corners_by_a_reference_only() -> Drawing:
    board, arcs = rounded_plate()
    leader(board, ON_THE_CORNER, "(R.25)", (4.5, 3.5))
    return Drawing(board, (Says("not-sized", WARNING, tuple(arcs)),))


def chamfered(down: float = 0.25, back: float = 0.25) -> tuple[Board, list[str]]:
    """A plate 4 by 3 with one corner cut off."""
    board = Board()
    lines = board.path((0, 0), (4, 0), (4, 3 - down), (4 - back, 3), (0, 3))
    board.across((0, 0), (4, 0), line_at=-1)
    board.upright((0, 0), (0, 3), line_at=-1)
    return board, lines


@fires("not-located")
def a_chamfer_without_a_note() -> Drawing:
    board, lines = chamfered()
    return Drawing(board, (Says("not-located", WARNING, (lines[1], lines[2])),))


@silent("not-located")
def a_chamfer_by_a_note_at_a_leader() -> Drawing:
    board, _ = chamfered()
    leader(board, (3.875, 2.875), ".25 X 45°", (4.5, 3.5))
    return Drawing(board)


@silent("not-located")
def a_steep_chamfer_by_leg_and_angle() -> Drawing:
    board, _ = chamfered(down=0.5, back=0.5 * tan(radians(30)))
    leader(board, (3.9, 2.8), ".50 X 30°", (4.5, 3.5))
    return Drawing(board)


@fires("not-located")
def a_chamfer_beside_the_note_of_another() -> Drawing:
    board, lines = chamfered()
    leader(board, (3.875, 2.875), ".12 X 45°", (4.5, 3.5))
    return Drawing(board, (Says("not-located", WARNING, (lines[1], lines[2])),))


SPOT = (1 + 2 * cos(radians(30)), 1 + 2 * sin(radians(30)))


def polar(*, centreline_to: float = 2, angle: bool = True) -> tuple[Board, str]:
    """A plate with a second hole 2.000 from the first, at 30° to its level centreline."""
    board = Board()
    board.plate(4, 3)
    board.circle((1, 1), 0.5)
    hole = board.circle(SPOT, 0.25)
    far: Spot = (1 + centreline_to * cos(radians(30)), 1 + centreline_to * sin(radians(30)))
    board.line((1, 1), far, linetype="CENTER")
    board.line((0.5, 1), (3.5, 1), linetype="CENTER")
    board.across((0, 0), (4, 0), line_at=-1)
    board.upright((0, 0), (0, 3), line_at=-1)
    board.across((0, 0), (1, 1), line_at=-0.5)
    board.upright((0, 0), (1, 1), line_at=-0.5)
    board.aligned((1, 1), SPOT)
    board.diameter((1, 1), 0.5)
    board.diameter(SPOT, 0.25)
    if angle:
        board.angle(((1, 1), (3, 1)), ((1, 1), SPOT), (2.6, 1.4))
    return board, hole


@silent("not-located")
def a_hole_by_distance_and_angle_from_a_centreline() -> Drawing:
    return Drawing(polar()[0])


@silent("not-located")
def the_same_with_a_centreline_that_runs_past_the_hole() -> Drawing:
    return Drawing(polar(centreline_to=2.25)[0])


@fires("not-located")
def a_hole_by_its_distance_alone() -> Drawing:
    board, hole = polar(angle=False)
    return Drawing(board, (Says("not-located", WARNING, (hole,)),))


def turned_plate(*, hole_across: bool = True) -> tuple[Board, list[str]]:
    """A plate 4 by 2 with two holes in a row, all turned by 30°, dimensioned along its own edges."""
    board = Board()

    def at(x: float, y: float) -> Spot:
        c, s = cos(radians(30)), sin(radians(30))
        return (x * c - y * s, x * s + y * c)

    board.path(at(0, 0), at(4, 0), at(4, 2), at(0, 2))
    holes = [board.circle(at(x, 1), 0.5) for x in (1, 3)]
    along = [((0, 0), (4, 0), (2.0, -1.4), 30.0), ((1, 1), (3, 1), (2, -0.6), 30)]
    along += [((0, 0), (0, 2), (-1, 1), 120), ((0, 0), (1, 1), (-0.5, 0.5), 120)]
    along += [((0, 0), (1, 1), (0.5, -0.6), 30)] if hole_across else []
    for a, b, line, angle in along:
        board.msp.add_linear_dim(at(*line), at(*a), at(*b), angle=angle, dimstyle="SHOP").render()
    board.diameter(at(3, 1), 0.5, "2X <>")
    return board, holes


@silent("not-located")
def a_turned_plate() -> Drawing:
    return Drawing(turned_plate()[0])


def tapped() -> Board:
    """A plate with two tapped holes as ISO 6410-1 draws them: a circle, and three quarters of one around it."""
    board = Board()
    board.plate(4, 2)
    for x in (1, 3):
        board.circle((x, 1), 0.201)
        board.arc((x, 1), 0.125, 10, 280)
    board.across((0, 0), (4, 0), line_at=-1.4)
    board.across((0, 0), (1, 1), line_at=-0.6)
    board.across((1, 1), (3, 1), line_at=-0.6)
    board.upright((0, 0), (0, 2), line_at=-1)
    board.upright((0, 0), (1, 1), line_at=-0.5)
    leader(board, (3.07, 1.07), "2X 1/4-20 UNC THRU", (4.3, 2.5))
    return board


@silent("not-located")
def the_ends_of_the_arc_that_stands_for_a_thread() -> Drawing:
    return Drawing(tapped())


def undercut(*, detail: bool) -> tuple[Board, list[str]]:
    """A stub shaft's profile with an undercut that only a detail, at 4:1, dimensions; it shows three corners of it."""
    board = Board()
    lines = board.path((0, 0), (4, 0), (4, 1), (2.25, 1), (2.25, 0.875), (2, 0.875), (2, 1.5), (0, 1.5))
    board.across((0, 0), (4, 0), line_at=-1)
    board.upright((0, 0), (0, 1.5), line_at=-1)
    board.upright((4, 0), (4, 1))
    board.across((0, 0), (2, 0.875), line_at=-0.5)
    if detail:
        board.path((8, 1.4), (8, 0.5), (9, 0.5), (9, 1), (9.4, 1), close=False)
        board.across((8, 0.5), (9, 1), line_at=3, dimlfac=0.25)
        board.upright((9, 0.5), (9, 1), line_at=10.5, dimlfac=0.25)
    return board, lines


@silent("not-located")
def an_undercut_that_a_detail_of_three_corners_dimensions() -> Drawing:
    return Drawing(undercut(detail=True)[0])


@fires("not-located")
def the_same_undercut_without_the_detail() -> Drawing:
    board, lines = undercut(detail=False)
    across, down = (lines[3], lines[4]), (lines[4], lines[5])
    return Drawing(board, (Says("not-located", WARNING, across), Says("not-located", WARNING, down)))
