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
def plates_of_nearly_one_length() -> Drawing:
    """Two plates in line, one a hundredth longer, with nothing in them to compare."""
    board = Board()
    for y, length in ((0, 6.0), (4, 6.01)):
        board.plate(length, 2, (0, y))
        board.upright((length, y), (length, y + 2))
    return Drawing(board)


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


# --- view-scale-disagrees: two factors in one view ----------------------------------------------

SCALE = "view-scale-disagrees"


def stair(board: Board, at: Spot = (0.0, 0.0), by: float = 1.0, **style: float) -> list[str]:
    """Three steps, `by` times as large as 6 by 2, with four dimensions in one style; their handles."""
    x0, y0 = at

    def to(x: float, y: float) -> Spot:
        return x0 + by * x, y0 + by * y

    board.path(*(to(*p) for p in ((0, 0), (6, 0), (6, 0.5), (4, 0.5), (4, 1), (1.5, 1), (1.5, 2), (0, 2))))
    return [
        board.across(to(0, 0), to(6, 0), line_at=y0 - 1, **style),
        board.across(to(0, 2), to(1.5, 2), **style),
        board.upright(to(6, 0), to(6, 0.5), **style),
        board.upright(to(0, 0), to(0, 2), line_at=x0 - 1, **style),
    ]


def label(board: Board, text: str, at: Spot, height: float = 0.125) -> str:
    return str(board.msp.add_text(text, height=height, dxfattribs={"insert": at}).dxf.handle)


def letters(board: Board, text: str, at: Spot, height: float = 0.125) -> str:
    return str(board.msp.add_mtext(text, dxfattribs={"insert": at, "char_height": height}).dxf.handle)


@fires(SCALE)
def one_length_is_stated_at_two_factors() -> Drawing:
    """3.000 above the block and 6.000 below it, between the same corners."""
    board = Board()
    board.plate(3, 2)
    below = board.across((0, 0), (3, 0), line_at=-1, dimlfac=2.0)
    above = board.across((0, 2), (3, 2))
    board.upright((3, 0), (3, 2))
    return Drawing(board, (Says(SCALE, ERROR, (below, above), "between the same features"),))


@fires(SCALE)
def a_part_is_stated_longer_than_the_whole() -> Drawing:
    """The step is half of the length, and by its DIMLFAC as long as all of it."""
    board = Board()
    board.path((0, 0), (3, 0), (3, 1), (1.5, 1), (1.5, 2), (0, 2))
    whole = board.across((0, 0), (3, 0), line_at=-1)
    step = board.across((0, 2), (1.5, 2), dimlfac=2.5)
    return Drawing(board, (Says(SCALE, ERROR, (whole, step), "is a part of the other"),))


@fires(SCALE)
def one_view_is_dimensioned_at_two_scales() -> Drawing:
    """Heights at DIMLFAC 2.5, lengths at 1: no two numbers meet, and still the view has two scales."""
    board = Board()
    board.path((0, 0), (6, 0), (6, 0.5), (4, 0.5), (4, 2), (0, 2))
    board.across((0, 0), (6, 0), line_at=-1)
    board.across((0, 2), (4, 2))
    board.across((4, 0.5), (6, 0.5))
    heights = [board.upright((0, 0), (0, 2), line_at=-1, dimlfac=2.5), board.upright((6, 0), (6, 0.5), dimlfac=2.5)]
    return Drawing(board, (Says(SCALE, WARNING, tuple(heights), "what its own DIMLFAC makes of the drawn length"),))


@silent(SCALE)
def a_length_that_is_drawn_shortened() -> Drawing:
    """A shaft drawn with a break: one dimension over the break has a DIMLFAC of its own."""
    board = Board()
    board.path((0, 0), (6, 0), (6, 0.5), (4, 0.5), (4, 2), (0, 2))
    board.across((0, 0), (6, 0), line_at=-1, dimlfac=3.0)
    board.across((0, 2), (4, 2))
    board.upright((6, 0), (6, 0.5))
    return Drawing(board)


@silent(SCALE)
def the_second_factor_converts_to_millimetres() -> Drawing:
    """Each length is given in inches, and again in millimetres with DIMLFAC 25.4."""
    board = Board()
    board.path((0, 0), (6, 0), (6, 0.5), (4, 0.5), (4, 2), (0, 2))
    for k, factor in enumerate((1.0, 25.4)):
        board.across((0, 0), (6, 0), line_at=-1 - k, dimlfac=factor)
        board.across((0, 2), (4, 2), line_at=3 + k, dimlfac=factor)
    return Drawing(board)


@silent(SCALE)
def full_diameters_in_a_half_view() -> Drawing:
    """Given from the axis with DIMLFAC 2, as is usual for symmetrical parts (ISO 129-1)."""
    board = Board()
    board.path((0, 0), (4, 0), (4, 1), (2, 1), (2, 1.5), (0, 1.5))
    board.across((0, 0), (4, 0), line_at=-1)
    board.across((0, 1.5), (2, 1.5))
    board.upright((4, 0), (4, 1), text="%%c<>", dimlfac=2.0)
    board.upright((0, 0), (0, 1.5), text="%%c<>", line_at=-1, dimlfac=2.0)
    return Drawing(board)


# --- view-scale-disagrees: labels ---------------------------------------------------------------


def two_views(main: str, detail: str, title_block: str = "", factor: float = 0.5) -> tuple[Board, str, str]:
    """A stair at full size and, far to the right, a copy drawn at 1/factor times that size; each label's handle."""
    board = Board()
    stair(board)
    own = label(board, main, (2, -2)) if main else ""
    stair(board, (30, 0), 1 / factor, dimlfac=factor)
    its = letters(board, detail, (34, -2)) if detail else ""
    if title_block:
        label(board, title_block, (60, -30))
    return board, own, its


@fires(SCALE)
def a_labels_ratio_is_not_the_ratio_of_the_factors() -> Drawing:
    """The front view says 1:1 and the detail 4:1, but the detail is drawn at twice the size, DIMLFAC 0.5."""
    board, _, detail = two_views("SCALE 1:1", "DETAIL A\\PSCALE 4:1")
    return Drawing(board, (Says(SCALE, WARNING, (detail,), "by the label of view 1 the space is printed at 1:1"),))


@fires(SCALE)
def a_label_contradicts_the_title_block() -> Drawing:
    """Printed at 1:2, a detail at DIMLFAC 0.5 is on paper at full size."""
    board, _, detail = two_views("", "DETAIL A (2:1)", "SCALE 1:2")
    return Drawing(board, (Says(SCALE, WARNING, (detail,), "own scale is stated as 1:2"),))


@fires(SCALE)
def a_label_contradicts_dimlfac_on_a_drawing_at_full_size() -> Drawing:
    """Nothing else states a scale, and the letters are of a size to be read as they are."""
    board, _, detail = two_views("", "DETAIL A (5:1)")
    return Drawing(board, (Says(SCALE, WARNING, (detail,), "DIMLFAC 1/2 of 4 dimensions"),))


@fires(SCALE)
def a_label_contradicts_the_scale_that_was_found() -> Drawing:
    """The view is drawn at half the size that its texts say, and labelled 1:4."""
    board = Board()
    stair(board)
    label(board, "SCALE 1:1", (2, -2))
    board.path((30, 0), (33, 0), (33, 1), (30, 1))
    board.path((33, 0), (34.25, 0), (34.25, 0.75), (33, 0.75), close=False)
    dims = [
        board.across((30, 0), (33, 0), "6.000", line_at=-1),
        board.across((33, 0), (34.25, 0), "2.500", line_at=-1),
        board.upright((30, 0), (30, 1), "2.000", line_at=29),
    ]
    detail = label(board, "DETAIL B  SCALE 1:4", (31, -2))
    typed = (Says("typed-text", WARNING, (d,)) for d in dims)
    return Drawing(
        board,
        (
            Says(SCALE, WARNING, tuple(dims), "factor 1/2"),
            Says(SCALE, WARNING, (detail,), "3 dimensions that agree on it"),
            *typed,
        ),
    )


@silent(SCALE)
def each_label_agrees() -> Drawing:
    return Drawing(two_views("SCALE 1:1", "DETAIL A (2:1)")[0])


@silent(SCALE)
def everything_is_printed_at_half_size() -> Drawing:
    """Drawn at full size with DIMLFAC 1 and printed at 1:2: the labels say what is on paper."""
    return Drawing(two_views("SCALE 1:2", "DETAIL A (1:1)")[0])


@silent(SCALE)
def the_title_block_states_the_print() -> Drawing:
    return Drawing(two_views("", "DETAIL A (1:1)", "SCALE 1:2")[0])


@silent(SCALE)
def a_drawing_at_full_size_that_is_labelled_for_its_print() -> Drawing:
    """One view and one label: nothing says how it is printed, so the label may be right."""
    board = Board()
    stair(board)
    label(board, "FRONT VIEW  SCALE 1:2", (2, -2))
    return Drawing(board)


@silent(SCALE)
def a_detail_that_is_not_to_scale() -> Drawing:
    return Drawing(two_views("SCALE 1:1", "DETAIL A\\PNTS")[0])


@silent(SCALE)
def a_taper_is_no_scale() -> Drawing:
    """A bare 1:10 at a view may be a taper."""
    return Drawing(two_views("SCALE 1:1", "1:10")[0])


@silent(SCALE)
def a_label_between_two_views() -> Drawing:
    """As near to the one as to the other: it is neither's."""
    board = Board()
    stair(board)
    stair(board, (9, 0), 2, dimlfac=0.5)
    label(board, "SCALE 4:1", (7.5, 1))
    return Drawing(board)


@silent(SCALE)
def the_drawings_scale_stands_near_a_detail() -> Drawing:
    """The title block's 1:1 happens to stand beside the detail; it is right of the other view."""
    return Drawing(two_views("", "SCALE 1:1")[0])


@silent(SCALE)
def letters_for_a_smaller_print() -> Drawing:
    """Letters an inch high are for a print at some eighth of the size, and the detail's label may be right."""
    board, _, _ = two_views("", "")
    letters(board, "DETAIL A (1:4)", (34, -2), height=1.0)
    return Drawing(board)


# --- view-scale-disagrees: labels on a sheet ----------------------------------------------------


def on_a_sheet(text: str, seen: float = 8.0, factor: float = 1.0) -> tuple[Board, str]:
    """A stair in the model, shown in a viewport 4 high that sees `seen` of it, with a label below on the sheet."""
    board = Board()
    stair(board, by=1 / factor, dimlfac=factor)
    sheet = board.doc.layouts.new("PRINT")
    sheet.add_viewport((5, 5), (8, 4), (3 / factor, 1 / factor), seen)
    made = sheet.add_text(text, height=0.125, dxfattribs={"insert": (5, 2.5)})
    return board, str(made.dxf.handle)


@fires(SCALE)
def a_label_is_not_the_viewports_scale() -> Drawing:
    board, handle = on_a_sheet("FRONT VIEW  SCALE 1:1")
    return Drawing(board, (Says(SCALE, WARNING, (handle,), "at 1:2"),))


@fires(SCALE)
def a_label_is_not_the_viewports_scale_times_the_views() -> Drawing:
    """Drawn at twice the size (DIMLFAC 0.5) and shown at 1:2, the view is on paper at full size."""
    board, handle = on_a_sheet("DETAIL A SCALE 2:1", seen=8.0, factor=0.5)
    return Drawing(board, (Says(SCALE, WARNING, (handle,), "DIMLFAC 1/2 of 4 dimensions"),))


@silent(SCALE)
def a_label_is_the_viewports_scale() -> Drawing:
    return Drawing(on_a_sheet("SCALE 1:2")[0])


@silent(SCALE)
def a_label_is_the_viewports_scale_times_the_views() -> Drawing:
    return Drawing(on_a_sheet("DETAIL A SCALE 1:1", seen=8.0, factor=0.5)[0])
