"""Situations of a detail: a part of a view drawn again, twice as large, with dimensions of its own."""

from rule_board import Board, Spot
from rule_cases import Drawing, Says, fires, silent
from rule_notes import text

from dimaudit.model.audit import Level

ERROR, WARNING = Level.ERROR, Level.WARNING
HALF = {"dimlfac": 0.5}
GROOVE: tuple[Spot, ...] = ((5, 3), (5, 2), (5.5, 2), (5.5, 2.5), (6, 2.5), (6, 3))
"""A stepped groove in the upper edge of a guide bar, from left to right."""


def at(spot: Spot) -> Spot:
    """Where the detail shows a place of the bar."""
    return 16 + 2 * (spot[0] - 5), 10 + 2 * (spot[1] - 2)


def guide_bar(*, step: bool = True, depth: str = "<>", groove: tuple[Spot, ...] = GROOVE) -> tuple[Board, list[str]]:
    """The bar with its overall sizes and the groove's place; the groove's own sizes stand in the detail only."""
    board = Board()
    edges = board.path((0, 0), (10, 0), (10, 3), *groove[::-1], (0, 3))
    enlarged = [at(spot) for spot in ((4.5, 3), *GROOVE, (6.5, 3))]
    board.path(*enlarged, close=False)
    text(board, "DETAIL A", (16, 6))
    text(board, "SCALE 2:1", (16, 5.5))
    board.across((0, 0), (10, 0), line_at=-1)
    board.upright((0, 0), (0, 3), line_at=-1)
    board.across((0, 3), (5, 3), line_at=5)
    board.across(at((5, 3)), at((6, 3)), line_at=15, **HALF)
    if step:
        board.across(at((5, 2)), at((5.5, 2)), line_at=9, **HALF)
    board.upright(at((5, 2)), at((5, 3)), text=depth, line_at=14, **HALF)
    board.upright(at((5.5, 2)), at((5.5, 2.5)), line_at=21, **HALF)
    return board, edges


@silent("not-located")
def a_groove_by_the_dimensions_of_its_detail() -> Drawing:
    return Drawing(guide_bar()[0])


@fires("not-located")
def a_step_that_neither_the_view_nor_its_detail_places() -> Drawing:
    """It is said of the view, once: what only the detail shows is where it is broken off."""
    board, edges = guide_bar(step=False)
    return Drawing(board, (Says("not-located", WARNING, (edges[5], edges[6])),))


def stepped_bar(step: float) -> Drawing:
    """A bar with a step at 2, dimensioned in the front view only; the top view has the step where it is told to."""
    board = Board()
    edges = board.path((0, 0), (6, 0), (6, 1), (4.5, 1), (4.5, 2), (2, 2), (2, 1.5), (0, 1.5))
    board.plate(6, 3, (0, 4))
    line = board.line((step, 4), (step, 7))
    board.line((4.5, 4), (4.5, 7))
    for x in (3.0, 5.25):
        board.circle((x, 5.5), 0.25)
        board.across((0, 4), (x, 5.5), line_at=8 + x / 2)
        for side in (x - 0.125, x + 0.125):
            board.line((side, 0), (side, 2 if x == 3 else 1), "HIDDEN")
    board.diameter((3, 5.5), 0.25, text="2X <>")
    board.across((0, 0), (6, 0), line_at=-2)
    board.across((0, 0), (2, 1.5), line_at=-1)
    board.across((4.5, 1), (6, 1), line_at=3)
    for k, (x, y) in enumerate(((0.0, 1.5), (2.0, 2.0), (6.0, 1.0))):
        board.upright((6, 0), (x, y), line_at=8 + k)
    board.upright((0, 4), (0, 7), line_at=-1)
    board.upright((0, 4), (3, 5.5), line_at=-2)
    return Drawing(board, (Says("views-disagree", ERROR, (edges[5], line)),) if step != 2 else ())


@silent("not-located")
def a_step_that_both_views_show_at_one_place() -> Drawing:
    return stepped_bar(2)


@fires("repeated-dimension")
def a_width_in_the_view_and_in_its_detail() -> Drawing:
    board, _ = guide_bar()
    board.across((5, 3), (6, 3), line_at=4)
    (again,) = (str(d.dxf.handle) for d in list(board.msp.query("DIMENSION"))[-1:])
    return Drawing(board, (Says("repeated-dimension", WARNING, (again,)),))


@silent("repeated-dimension")
def a_width_that_is_a_reference_in_the_detail() -> Drawing:
    board, _ = guide_bar(depth="(<>)")
    board.upright((5, 2), (5, 3), line_at=3)
    return Drawing(board)


@fires("closed-chain")
def a_chain_that_runs_through_the_view_and_the_detail() -> Drawing:
    """To the groove and the bar's whole in the view, the groove's width in the detail, and what is left in the view."""
    board, _ = guide_bar()
    last = board.across((6, 3), (10, 3), line_at=5)
    return Drawing(board, (Says("closed-chain", WARNING, (last,)),))
