"""Situations of scale labels beside a title block in cells, and of views that mix factors beside a label."""

from rule_board import Board, Spot
from rule_cases import Drawing, Says, fires, silent
from rule_notes import holes, leader, plate, right_of
from rule_views import label, stair, two_views

from dimaudit.model.audit import Level

SCALE = "view-scale-disagrees"
ERROR, WARNING = Level.ERROR, Level.WARNING


def cells(board: Board, *rows: tuple[str, str], at: Spot = (60.0, -30.0)) -> None:
    """A title block in rows of two texts."""
    for k, (name, value) in enumerate(rows):
        label(board, name, (at[0], at[1] - 0.3 * k), 0.1)
        label(board, value, (at[0] + 1.2, at[1] - 0.3 * k), 0.1)


@fires(SCALE)
def a_label_contradicts_a_title_block_in_cells() -> Drawing:
    """SCALE and 1:1 are two texts; the detail says 2:1 and its dimensions say full size."""
    board, _, detail = two_views("", "DETAIL B\\PSCALE 2:1", factor=1.0)
    cells(board, ("SCALE", "1:1"))
    return Drawing(board, (Says(SCALE, WARNING, (detail,), "own scale is stated as 1:1"),))


@fires(SCALE)
def a_label_contradicts_a_scale_in_words() -> Drawing:
    """SCALE and FULL: the value alone would not be a scale."""
    board, _, detail = two_views("", "DETAIL B (4:1)")
    cells(board, ("SCALE:", "FULL"))
    return Drawing(board, (Says(SCALE, WARNING, (detail,), "own scale is stated as 1:1"),))


@silent(SCALE)
def a_title_block_in_cells_states_the_print() -> Drawing:
    """Printed at 1:2, a detail at DIMLFAC 0.5 is on paper at full size."""
    board, _, _ = two_views("", "DETAIL B (1:1)")
    cells(board, ("SCALE", "1:2"))
    return Drawing(board)


@silent(SCALE)
def a_bare_ratio_in_a_cell_of_another_name() -> Drawing:
    """The 1:25 belongs to a taper, and how the drawing is printed is not known."""
    board, _, _ = two_views("", "DETAIL B (4:1)")
    cells(board, ("TAPER", "1:25"))
    return Drawing(board)


def a_detail(
    first: float, second: float, words: str = "DETAIL A  SCALE 2:1", print_at: str = ""
) -> tuple[Board, str, str]:  # fmt: skip
    """A plate at full size, and one at 2:1 with a width and a height, each by its own DIMLFAC; handles of the two."""
    board = Board()
    stair(board)
    board.plate(2, 1.5, (30, 0))
    wide = board.across((30, 0), (32, 0), line_at=-1, dimlfac=first)
    high = board.upright((32, 0), (32, 1.5), dimlfac=second)
    label(board, words, (30, -1.25))
    if print_at:
        cells(board, ("SCALE", print_at))
    return board, wide, high


@fires(SCALE)
def one_length_of_a_detail_has_not_the_labels_factor() -> Drawing:
    """The label says 2:1 and the height agrees; the width is at DIMLFAC 1, so it states the size on paper."""
    board, wide, _ = a_detail(1.0, 0.5)
    return Drawing(board, (Says(SCALE, WARNING, (wide,), "1 of 2 lengths have DIMLFAC 0.5"),))


@fires(SCALE)
def no_length_of_a_detail_has_the_labels_factor() -> Drawing:
    """Printed at 1:2, a label of 2:1 needs DIMLFAC 0.25."""
    board, wide, high = a_detail(1.0, 0.5, print_at="1:2")
    return Drawing(board, (Says(SCALE, WARNING, (wide, high), "own scale is stated as 1:2"),))


@fires(SCALE)
def most_lengths_of_a_detail_have_not_the_labels_factor() -> Drawing:
    """Two lengths at DIMLFAC 1 and a third, a part of one of them, at the label's 0.5."""
    board, wide, high = a_detail(1.0, 1.0)
    board.line((30.5, 0), (30.5, 1.5))
    board.across((30, 1.5), (30.5, 1.5), dimlfac=0.5)
    return Drawing(board, (Says(SCALE, WARNING, (wide, high), "1 of 3 lengths have DIMLFAC 0.5"),))


@silent(SCALE)
def one_length_of_a_detail_is_drawn_shortened() -> Drawing:
    """The width has a factor of its own that no forgotten setting explains: a break, maybe."""
    return Drawing(a_detail(0.75, 0.5)[0])


@silent(SCALE)
def the_scale_beside_a_mixed_view_may_be_the_drawings() -> Drawing:
    """A label without a title says 1:1; one length at DIMLFAC 2 may be drawn shortened."""
    return Drawing(a_detail(1.0, 2.0, "SCALE 1:1")[0])


@silent(SCALE)
def a_mixed_view_whose_print_is_not_known() -> Drawing:
    """A bare ratio somewhere may be the drawing's scale, so what the label needs can't be told."""
    board, _, _ = a_detail(1.0, 0.5)
    label(board, "1:2", (60, -30))
    return Drawing(board)


def on_a_sheet(first: float, second: float, words: str) -> tuple[Board, str]:
    """A plate drawn at twice its size, shown at 1:2 with a label below; the handle of its width."""
    board = Board()
    board.plate(12, 4)
    wide = board.across((0, 0), (12, 0), line_at=-1, dimlfac=first)
    board.upright((12, 0), (12, 4), dimlfac=second)
    sheet = board.doc.layouts.new("PRINT")
    sheet.add_viewport((5, 5), (8, 4), (6, 2), 8.0)
    sheet.add_text(words, height=0.125, dxfattribs={"insert": (5, 2.5)})
    return board, wide


@fires(SCALE)
def one_length_has_not_the_factor_of_the_label_on_the_sheet() -> Drawing:
    """Shown at 1:2, a label of 1:1 needs DIMLFAC 0.5."""
    board, wide = on_a_sheet(1.0, 0.5, "DETAIL A  SCALE 1:1")
    return Drawing(board, (Says(SCALE, WARNING, (wide,), "viewport"),))


@fires("hole-note-mismatch")
def the_note_of_a_detail_gives_the_size_on_paper() -> Drawing:
    """Drawn .250 at 2:1, so the hole is .125: the size as drawn is likelier than a radius for a diameter."""
    board = plate(scale=2, dimlfac=0.5)
    (hole,) = holes(board, 0.25, (10, 6))
    note = leader(board, right_of((10, 6), 0.25), "%%c.250 THRU", (13.5, 6.5))
    return Drawing(board, (Says("hole-note-mismatch", ERROR, (*note, hole), "the view is drawn at 2:1"),))
