"""Situations of exploded dimensions: pieces that a person reads as a dimension, and what only looks a little so."""

from fractions import Fraction as F

from rule_board import Board, Spot
from rule_cases import Drawing, Says, fires, silent

from dimaudit.model.audit import Level

WARNING, ERROR = Level.WARNING, Level.ERROR
HIGH = 0.125
"""Height of the letters on these boards."""


def triangle(board: Board, tip: Spot, base: Spot) -> str:
    """A filled arrowhead, one to three."""
    (x, y), (u, v) = tip, base
    across = ((v - y) / 6, (x - u) / 6)
    corners = [tip, (u + across[0], v + across[1]), (u - across[0], v - across[1])]
    return str(board.msp.add_solid([*corners, corners[2]]).dxf.handle)


def lettered(board: Board, text: str, middle: Spot, turn: float = 0.0) -> str:
    made = board.msp.add_mtext(text, dxfattribs={"char_height": HIGH, "attachment_point": 5, "rotation": turn})
    made.dxf.insert = middle
    return str(made.dxf.handle)


def across(board: Board, a: float, b: float, y: float, text: str, gap: float = 0.0625) -> tuple[str, ...]:
    """A horizontal dimension in pieces over a part whose upper edge is at height 4: its text first."""
    lines = [board.line((x, 4 + gap), (x, y + HIGH)) for x in (a, b)]
    middle = (a + b) / 2
    pieces = [
        *lines,
        board.line((a + HIGH, y), (middle - 3 * HIGH, y)),
        board.line((middle + 3 * HIGH, y), (b - HIGH, y)),
    ]
    heads = [triangle(board, (a, y), (a + HIGH, y)), triangle(board, (b, y), (b - HIGH, y))]
    own = lettered(board, text, (middle, y))
    return own, *pieces[2:], *lines, *heads


def said(handles: tuple[str, ...]) -> Says:
    return Says("exploded-dimension", WARNING, handles, "neither its lines nor its number follow")


@fires("exploded-dimension")
def a_length_in_pieces() -> Drawing:
    board = Board()
    board.plate(6, 4)
    handles = across(board, 0, 6, 5, "6.000")
    return Drawing(board, (said(sorted_pieces(handles)),), measured=((handles[0], F(6)),))


@fires("exploded-dimension")
def a_length_in_pieces_that_is_out_of_date() -> Drawing:
    """The plate was lengthened: the number is judged against the part, like any other."""
    board = Board()
    board.plate(6.25, 4)
    handles = across(board, 0, 6.25, 5, "6.000")
    wrong = Says("wrong-value", ERROR, handles[:1], "", F(25, 4))
    return Drawing(board, (wrong, said(sorted_pieces(handles))))


@fires("exploded-dimension")
def a_length_in_pieces_that_misses_its_edge() -> Drawing:
    """The extension line aims past the edge: that is found, and not mended on the quiet."""
    board = Board()
    board.plate(6, 4)
    handles = across(board, 0, 6.01, 5, "6.000")
    near = Says("near-miss", ERROR, handles[:1], "misses", F(6))
    return Drawing(board, (near, said(sorted_pieces(handles))))


@fires("exploded-dimension")
def a_radius_in_pieces() -> Drawing:
    board = Board()
    board.plate(6, 4)
    board.circle((2, 2), 1.5)
    leader = board.line((2.45, 2.6), (2.9, 3.2))
    landing = board.line((2.9, 3.2), (3.1, 3.2))
    head = triangle(board, (2.45, 2.6), (2.525, 2.7))
    text = lettered(board, "R.750", (3.45, 3.2))
    return Drawing(board, (said((text, leader, landing, head)),), measured=((text, F(3, 4)),))


def sorted_pieces(handles: tuple[str, ...]) -> tuple[str, ...]:
    """The text, the lines in the order of the drawing, the arrowheads."""
    own, *rest = handles
    lines, heads = rest[:-2], rest[-2:]
    return own, *sorted(lines, key=lambda h: int(h, 16)), *heads


@silent("exploded-dimension")
def a_whole_dimension_beside_lines() -> Drawing:
    board = Board()
    board.plate(6, 4)
    d = board.across((0, 4), (6, 4))
    return Drawing(board, measured=((d, F(6)),))


@silent("exploded-dimension")
def a_number_by_a_line_without_arrowheads() -> Drawing:
    board = Board()
    board.plate(6, 4)
    board.line((0, 4.0625), (0, 5.1))
    board.line((6, 4.0625), (6, 5.1))
    board.line((0, 5), (6, 5))
    lettered(board, "6.000", (3, 5.125))
    return Drawing(board)


@silent("exploded-dimension")
def section_arrows() -> Drawing:
    board = Board()
    board.plate(6, 4)
    for x, side in ((-1.0, 1), (7.0, -1)):
        board.line((x, 2), (x + side * 0.5, 2))
        triangle(board, (x + side * 0.5, 2), (x + side * 0.375, 2))
        lettered(board, "A", (x, 2.2))
    return Drawing(board)


@silent("exploded-dimension")
def an_item_number_with_an_arrow() -> Drawing:
    board = Board()
    board.plate(6, 4)
    board.circle((8, 5), 0.5)
    lettered(board, "3", (8, 5))
    board.line((7.75, 5), (6, 3))
    triangle(board, (6, 3), (6.09, 3.12))
    return Drawing(board)


@silent("exploded-dimension")
def a_scale_bar() -> Drawing:
    board = Board()
    board.plate(6, 4)
    board.line((0, -2), (4, -2))
    for x in (0, 2, 4):
        board.line((x, -2), (x, -1.85))
        lettered(board, f"{x}", (x, -1.7))
    return Drawing(board)


@silent("exploded-dimension")
def an_arrow_between_two_boxes_with_a_number_that_is_no_length() -> Drawing:
    """Both arrowheads stop at boxes, nothing is an extension line, and 16 is not the length."""
    board = Board()
    board.plate(2, 2)
    board.plate(2, 2, at=(5, 0))
    board.line((2.125, 1), (4.875, 1))
    triangle(board, (2, 1), (2.125, 1))
    triangle(board, (5, 1), (4.875, 1))
    lettered(board, "16", (3.5, 1.2))
    return Drawing(board)


@silent("exploded-dimension")
def numbers_in_a_table() -> Drawing:
    board = Board()
    for x in range(5):
        board.line((x, 0), (x, 2))
    for y in range(5):
        board.line((0, y / 2), (4, y / 2))
        if y < 4:
            for x in range(4):
                lettered(board, f"{x}.{y}50", (x + 0.5, y / 2 + 0.25))
    return Drawing(board)
