"""Situations of views: a view's scale against its label and its dimensions, and views in line against one another."""

from fractions import Fraction

from rule_board import Board, Spot
from rule_cases import Drawing, Says, fires, silent

from dimaudit.model.audit import Level

F = Fraction
ERROR, WARNING, NOTE = Level.ERROR, Level.WARNING, Level.NOTE

# --- views-disagree -----------------------------------------------------------------------------


class Block:
    """The front and top view of a rudder bearing block of 6 by 3 by 2, one above the other or moved apart.

    Between the ends both show the step at 4.5 and one or two holes, each by its centre and its two sides. The other
    step is where each view is told to have it.
    """

    def __init__(self, front_step: float = 1.25, top_step: float = 1.25, holes: int = 2, length: float = 6.0) -> None:
        self.board = board = Board()
        self.front = board.path(
            (0, 0), (6, 0), (6, 1), (4.5, 1), (4.5, 2), (front_step, 2), (front_step, 1.5), (0, 1.5)
        )
        self.top = board.plate(length, 3, (0, 4))
        self.front_step = self.front[5]
        self.top_step = board.line((top_step, 4), (top_step, 7))
        board.line((4.5, 4), (4.5, 7))
        for x, size, high in ((3.0, 0.5, 2.0), (5.25, 0.25, 1.0))[:holes]:
            self.hole((x, 5.5), size, x, high)
        board.across((0, 0), (6, 0), line_at=-1)
        board.upright((length, 4), (length, 7))

    def hole(self, centre: Spot, size: float, at: float, high: float) -> tuple[list[str], str]:
        """Hidden in the front view at `at`, a circle in the top view; all handles."""
        b = self.board
        lines = [b.line((x, 0), (x, high), "HIDDEN") for x in (at - size / 2, at + size / 2)]
        lines.append(b.line((at, -0.25), (at, high + 0.25), "CENTER"))
        return lines, b.circle(centre, size)

    def drawing(self, *says: Says) -> Drawing:
        return Drawing(self.board, says)


@fires("views-disagree")
def a_step_is_a_hundredth_off_in_the_top_view() -> Drawing:
    """Seven levels agree between the ends, so the views are of one part beyond doubt."""
    block = Block(top_step=1.26)
    handles = (block.front_step, block.top_step)
    return block.drawing(Says("views-disagree", ERROR, handles, "share both overall ends and 7 levels"))


@fires("views-disagree")
def a_step_is_off_and_four_levels_agree() -> Drawing:
    """One hole and one step agree: enough for a warning."""
    block = Block(top_step=1.26, holes=1)
    handles = (block.front_step, block.top_step)
    return block.drawing(Says("views-disagree", WARNING, handles, "view 2 nothing at 1.25"))


@fires("views-disagree")
def a_hole_stands_elsewhere_in_the_front_view() -> Drawing:
    """The hole's centre and both its sides are off by the same: one finding for one hole."""
    block = Block()
    lines, circle = block.hole((2, 6.5), 0.25, 2.02, 2)
    handles = (lines[0], circle, lines[2], lines[1])
    return block.drawing(Says("views-disagree", ERROR, handles, "share both overall ends and 8 levels"))


@fires("views-disagree")
def one_view_is_a_hundredth_longer() -> Drawing:
    block = Block(length=6.01)
    return block.drawing(Says("views-disagree", WARNING, (block.front[1], block.top[1]), "differ at the right end"))


@silent("views-disagree")
def all_levels_agree() -> Drawing:
    return Block().drawing()


@silent("views-disagree")
def a_step_that_the_other_view_leaves_out() -> Drawing:
    """Hidden lines may be left out: a level without a counterpart anywhere is no disagreement."""
    block = Block()
    block.board.line((2.1, 4), (2.1, 7))
    return block.drawing()


@silent("views-disagree")
def two_steps_that_are_far_apart() -> Drawing:
    """.4 apart on a length of 6 are two steps, each of which one view leaves out."""
    return Block(top_step=1.65).drawing()


@silent("views-disagree")
def too_few_levels_agree() -> Drawing:
    """Only the step at 4.5 and the ends agree: plates of equal length look like this as well."""
    return Block(top_step=1.26, holes=0).drawing()


@silent("views-disagree")
def a_thread_is_drawn_by_its_other_diameter() -> Drawing:
    """The front view shows the tap drill, the top view the thread, each as two lines about one centreline."""
    block = Block()
    b = block.board
    for x in (1.9, 2.1):
        b.line((x, 0), (x, 2), "HIDDEN")
    for x in (1.875, 2.125):
        b.line((x, 4), (x, 5), "HIDDEN")
    b.line((2, -0.25), (2, 2.25), "CENTER")
    b.line((2, 3.75), (2, 5.25), "CENTER")
    return block.drawing()


@silent("views-disagree")
def a_step_near_the_side_of_a_hole() -> Drawing:
    """One view shows a step where the other has the side of a hole: they are near one another by chance."""
    block = Block()
    block.board.line((1.9, 0), (1.9, 2), "HIDDEN")
    block.board.circle((2, 6.5), 0.25)
    return block.drawing()


@silent("views-disagree")
def other_parts_that_happen_to_be_as_long() -> Drawing:
    """Two levels with no counterpart on either side, beside those that are near: the parts are different."""
    block = Block(top_step=1.26)
    block.board.line((0.5, 4), (0.5, 7))
    block.board.line((3.75, 0), (3.75, 2), "HIDDEN")
    return block.drawing()


@silent("views-disagree")
def a_view_between_the_two() -> Drawing:
    """Another part's view stands between them, so they are no neighbours."""
    block = Block(top_step=1.26)
    block.board.plate(3, 0.5, (1, 2.75))
    block.board.upright((4, 2.75), (4, 3.25), line_at=4.5)
    return block.drawing()
