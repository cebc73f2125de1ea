"""Situations of the rules about hole call-outs. The parts are the boatyard's: winch bases, jigs and bearing blocks."""

from typing import Any

from ezdxf.math import Vec2
from ezdxf.render import mleader
from rule_board import Board, Spot
from rule_cases import Drawing, Says, fires, silent

from dimaudit.model.audit import Level

ERROR, WARNING, NOTE = Level.ERROR, Level.WARNING, Level.NOTE
AT = (7.5, 3.5)
"""Where the text of most notes stands, to the right of the plate."""


def plate(metric: bool = False, scale: float = 1, **style: Any) -> Board:
    """A winch base, 6 by 4 (150 by 100), with its two sizes; drawn at `scale`."""
    board = Board(metric=metric)
    wide, high = ((150, 100) if metric else (6, 4))
    board.plate(wide * scale, high * scale)
    board.across((0, high * scale), (wide * scale, high * scale), **style)
    board.upright((0, 0), (0, high * scale), line_at=-1, **style)
    return board


def text(board: Board, words: str, at: Spot = AT, height: float = 0.125) -> str:
    """A note, its left upper corner at `at`."""
    made = board.msp.add_mtext(words, {"char_height": height, "attachment_point": 1})
    made.dxf.insert = at
    return str(made.dxf.handle)


def leader(board: Board, tip: Spot, words: str, at: Spot = AT, *, tied: bool = True) -> tuple[str, str]:
    """A note with a leader to `tip`: the handles of both. One that is not tied only ends beside the text."""
    own = text(board, words, at)
    made = board.msp.add_leader([tip, (at[0] - 0.1, at[1] - 0.0625)])
    if tied:
        made.dxf.annotation_handle = own
    return own, str(made.dxf.handle)


def multileader(board: Board, words: str, *tips: Spot) -> str:
    made = board.msp.add_multileader_mtext()
    made.set_content(words)
    for tip in tips:
        made.add_leader_line(mleader.ConnectionSide.left, [Vec2(tip)])
    made.build(insert=Vec2(AT))
    return str(made.multileader.dxf.handle)


def holes(board: Board, diameter: float, *centres: Spot) -> list[str]:
    return [board.circle(centre, diameter) for centre in centres]


FOUR = ((1.0, 1.0), (5.0, 1.0), (5.0, 3.0), (1.0, 3.0))


def right_of(centre: Spot, diameter: float) -> Spot:
    """The place on a circle that a leader from the right touches."""
    return centre[0] + diameter / 2, centre[1]


# --- hole-note-mismatch -------------------------------------------------------------------------


@fires("hole-note-mismatch")
def the_hole_is_drawn_smaller_than_noted() -> Drawing:
    board = plate()
    (hole,) = holes(board, 0.266, (5, 3))
    note = leader(board, right_of((5, 3), 0.266), "%%c.281 THRU")
    return Drawing(board, (Says("hole-note-mismatch", ERROR, (*note, hole), "drawn less stated -0.015"),))


@fires("hole-note-mismatch")
def the_note_gives_the_radius() -> Drawing:
    board = plate()
    (hole,) = holes(board, 0.5, (5, 3))
    note = leader(board, right_of((5, 3), 0.5), "%%c.250 THRU")
    return Drawing(board, (Says("hole-note-mismatch", ERROR, (*note, hole), "the note gives the radius"),))


@fires("hole-note-mismatch")
def the_counterbore_is_drawn_smaller_than_noted() -> Drawing:
    board = plate()
    holes(board, 0.281, (5, 3))
    (bore,) = holes(board, 0.406, (5, 3))
    note = leader(board, right_of((5, 3), 0.406), "%%c.281 THRU ⌴ %%c.438 ↧ .25")
    return Drawing(board, (Says("hole-note-mismatch", ERROR, (*note, bore), "drawn less stated -0.032"),))


@fires("hole-note-mismatch")
def the_counterbore_is_not_drawn() -> Drawing:
    board = plate()
    (hole,) = holes(board, 0.281, (5, 3))
    note = leader(board, right_of((5, 3), 0.281), "%%c.281 THRU ⌴ %%c.438 ↧ .25")
    return Drawing(board, (Says("hole-note-mismatch", NOTE, (*note, hole), "what is not drawn"),))


@fires("hole-note-mismatch")
def the_counterbore_is_smaller_than_its_hole() -> Drawing:
    board = plate()
    (hole,) = holes(board, 0.438, (5, 3))
    note = leader(board, right_of((5, 3), 0.438), "%%c.438 THRU ⌴ %%c.281 ↧ .25")
    return Drawing(
        board,
        (
            Says("hole-note-mismatch", ERROR, note, ".281 - .438 = -0.157"),
            Says("hole-note-mismatch", NOTE, (*note, hole), "no circle of Ø.281"),
        ),
    )


@fires("hole-note-mismatch")
def the_counterbore_goes_deeper_than_its_hole() -> Drawing:
    board = plate()
    holes(board, 0.281, (5, 3))
    holes(board, 0.438, (5, 3))
    note = leader(board, right_of((5, 3), 0.438), "%%c.281 ↧ .25 ⌴ %%c.438 ↧ .375")
    return Drawing(board, (Says("hole-note-mismatch", ERROR, note, "counterbore .375 deep, hole .250 deep"),))


@fires("hole-note-mismatch")
def a_leader_that_only_ends_beside_its_text() -> Drawing:
    board = plate()
    (hole,) = holes(board, 0.266, (5, 3))
    note = leader(board, right_of((5, 3), 0.266), "%%c.281 THRU", tied=False)
    return Drawing(board, (Says("hole-note-mismatch", ERROR, (*note, hole), "drawn less stated -0.015"),))


@fires("hole-note-mismatch")
def a_plain_line_is_the_pointer() -> Drawing:
    board = plate()
    (hole,) = holes(board, 0.266, (5, 3))
    own = text(board, "%%c.281 THRU", (6.9, 3.2))
    line = board.line((6.8, 3.135), (5.133, 3.0))
    return Drawing(board, (Says("hole-note-mismatch", ERROR, (own, line, hole), "drawn less stated -0.015"),))


@fires("hole-note-mismatch")
def a_plain_line_with_a_shoulder() -> Drawing:
    board = plate()
    (hole,) = holes(board, 0.266, (5, 3))
    own = text(board, "%%c.281 THRU", (7.1, 3.2))
    shoulder, line = board.path((7.0, 3.135), (6.8, 3.135), (5.133, 3.0), close=False)
    return Drawing(board, (Says("hole-note-mismatch", ERROR, (own, shoulder, line, hole), "Ø.281, drawn Ø.266"),))


@fires("hole-note-mismatch")
def a_multileader_with_two_arrows() -> Drawing:
    board = plate()
    right, _ = holes(board, 0.266, (5, 3)), holes(board, 0.281, (5, 1))
    note = multileader(board, "%%c.281 THRU", right_of((5, 3), 0.266), right_of((5, 1), 0.281))
    return Drawing(board, (Says("hole-note-mismatch", ERROR, (note, *right), "drawn less stated -0.015"),))


@fires("hole-note-mismatch")
def a_leader_that_ends_inside_the_circle() -> Drawing:
    board = plate()
    (hole,) = holes(board, 1.0, (5, 3))
    note = leader(board, (5.2, 3.1), "%%c.875 THRU")
    return Drawing(board, (Says("hole-note-mismatch", WARNING, (*note, hole), "ends inside the circle"),))


@fires("hole-note-mismatch")
def digits_are_cut_off() -> Drawing:
    board = plate()
    (hole,) = holes(board, 0.46875, (5, 3))  # 15/32: .469 by every rule of rounding
    note = leader(board, right_of((5, 3), 0.46875), "%%c.468 THRU")
    return Drawing(board, (Says("hole-note-mismatch", WARNING, (*note, hole), "no rounding rule"),))


@fires("hole-note-mismatch")
def a_thread_on_a_clearance_hole() -> Drawing:
    board = plate()
    (hole,) = holes(board, 0.281, (5, 3))
    note = leader(board, right_of((5, 3), 0.281), "1/4-20 UNC-2B")
    return Drawing(board, (Says("hole-note-mismatch", WARNING, (*note, hole), "tap drill about 0.2"),))


@fires("hole-note-mismatch")
def a_dimension_with_a_counterbore() -> Drawing:
    board = plate()
    holes(board, 0.281, (3, 2))
    (bore,) = holes(board, 0.406, (3, 2))
    dim = board.diameter((3, 2), 0.281, "<> THRU ⌴ %%c.438 ↧ .25")
    return Drawing(board, (Says("hole-note-mismatch", ERROR, (dim, bore), "drawn less stated -0.032"),))


@silent("hole-note-mismatch")
def the_hole_is_rounded_as_usual() -> Drawing:
    board = plate()
    holes(board, 0.28125, (5, 3))
    holes(board, 0.4375, (5, 3))
    leader(board, right_of((5, 3), 0.4375), "%%c.281 THRU ⌴ %%c.438 ↧ .25")
    return Drawing(board)


@silent("hole-note-mismatch")
def a_thread_drawn_by_its_major_diameter_and_by_its_tap_drill() -> Drawing:
    """3/8-16 UNC: tap drill 5/16 (published by every chart of tap drills for 75 % thread)."""
    board = plate()
    board.arc((5, 3), 0.1875, 0, 270)
    holes(board, 0.3125, (5, 3))
    holes(board, 0.3125, (5, 1))
    board.arc((1, 1), 0.1875, 0, 270)
    for k, (centre, size) in enumerate((((5, 3), 0.375), ((5, 1), 0.3125), ((1, 1), 0.375))):
        leader(board, right_of(centre, size), "3/8-16 UNC-2B", (7.5, 3.5 - k))
    return Drawing(board)


@silent("hole-note-mismatch")
def a_view_at_half_scale() -> Drawing:
    board = plate(scale=0.5, dimlfac=2.0)
    holes(board, 0.1405, (2.5, 1.5))
    leader(board, right_of((2.5, 1.5), 0.1405), "%%c.281 THRU")
    return Drawing(board)


@silent("hole-note-mismatch")
def a_view_of_which_nothing_says_the_scale() -> Drawing:
    """Two lengths that are both typed over, at half size: too few to find the scale by, enough to doubt it."""
    board = Board()
    board.plate(3, 2)
    dims = [board.across((0, 2), (3, 2), "6.000"), board.upright((0, 0), (0, 2), "4.000", line_at=-1)]
    holes(board, 0.1405, (2.5, 1.5))
    leader(board, right_of((2.5, 1.5), 0.1405), "%%c.281 THRU")
    both = (("wrong-value", ERROR), ("typed-text", WARNING))
    return Drawing(board, tuple(Says(rule, level, (dim,)) for dim in dims for rule, level in both))


@silent("hole-note-mismatch")
def a_note_beside_a_hole_without_a_pointer() -> Drawing:
    board = plate()
    holes(board, 0.266, (5, 3))
    text(board, "%%c.281 THRU", (5.2, 3.1))
    return Drawing(board)


@silent("hole-note-mismatch")
def a_leader_to_the_side_view_of_a_hole() -> Drawing:
    board = plate()
    board.line((5, 0), (5, 4), "HIDDEN")
    board.line((5.266, 0), (5.266, 4), "HIDDEN")
    leader(board, (5.266, 3), "%%c.281 THRU")
    return Drawing(board)


@silent("hole-note-mismatch")
def an_edge_that_happens_to_end_beside_a_text() -> Drawing:
    """The plate's upper edge ends beside the note, and the lower hole lies in line with it: no pointer."""
    board = plate()
    holes(board, 0.266, (5, 3))
    text(board, "%%c.281 THRU", (6.1, 4.05))
    return Drawing(board)


# --- count-mismatch -----------------------------------------------------------------------------


@fires("count-mismatch")
def four_are_noted_and_three_drawn() -> Drawing:
    board = plate()
    drawn = holes(board, 0.281, *FOUR[:3])
    note = leader(board, right_of(FOUR[2], 0.281), "4X %%c.281 THRU")
    return Drawing(board, (Says("count-mismatch", ERROR, (*note, *drawn), "stated 4, equal holes drawn in view 1: 3"),))


@fires("count-mismatch")
def four_are_noted_and_two_drawn() -> Drawing:
    """Twice as many may be on two sides: no error."""
    board = plate()
    drawn = holes(board, 0.281, *FOUR[1:3])
    note = leader(board, right_of(FOUR[2], 0.281), "4X %%c.281 THRU")
    return Drawing(board, (Says("count-mismatch", WARNING, (*note, *drawn), "only part of them"),))


@fires("count-mismatch")
def two_are_noted_and_four_drawn() -> Drawing:
    board = plate()
    drawn = holes(board, 0.281, *FOUR)
    note = leader(board, right_of(FOUR[2], 0.281), "2X %%c.281 THRU")
    return Drawing(board, (Says("count-mismatch", WARNING, (*note, *drawn), "2 have no size"),))


@fires("count-mismatch")
def a_dimension_counts_one_too_many() -> Drawing:
    board = plate()
    drawn = holes(board, 0.281, *FOUR[:3])
    dim = board.diameter(FOUR[0], 0.281, "4X <>")
    return Drawing(board, (Says("count-mismatch", ERROR, (dim, *drawn), "in the whole drawing: 3"),))


def rounded_block(text_: str, corners: int = 4) -> tuple[Board, str]:
    """A bearing block, 6 by 4, its first `corners` corners rounded by .5."""
    board = Board()
    r = 0.5
    spots = [((6, 0), (6 - r, r), 270), ((6, 4), (6 - r, 4 - r), 0), ((0, 4), (r, 4 - r), 90), ((0, 0), (r, r), 180)]
    ends: list[Spot] = []
    for k, (corner, centre, start) in enumerate(spots):
        if k < corners:
            board.arc(centre, r, start, start + 90)
            turn = {270: ((0, -r), (r, 0)), 0: ((r, 0), (0, r)), 90: ((0, r), (-r, 0)), 180: ((-r, 0), (0, -r))}[start]
            ends += [(centre[0] + dx, centre[1] + dy) for dx, dy in turn]
        else:
            ends += [corner, corner]
    for a, b in zip(ends[1::2], [*ends[2::2], ends[0]], strict=True):
        board.line(a, b)
    board.across((0, 2), (6, 2), line_at=5)
    return board, board.radius((5.5, 3.5), 0.5, 45, text_)


@fires("count-mismatch")
def five_corners_are_noted_and_four_drawn() -> Drawing:
    board, dim = rounded_block("5X <>")
    return Drawing(board, (Says("count-mismatch", ERROR, (dim,), "stated 5, equal arcs drawn in view 1: 4"),))


@fires("count-mismatch")
def three_corners_are_noted_and_four_drawn() -> Drawing:
    board, dim = rounded_block("3X <>")
    return Drawing(board, (Says("count-mismatch", NOTE, (dim,), "1 has no size"),))


@silent("count-mismatch")
def four_are_noted_and_drawn() -> Drawing:
    board = plate()
    holes(board, 0.281, *FOUR)
    leader(board, right_of(FOUR[2], 0.281), "4X %%c.281 THRU")
    return Drawing(board)


@silent("count-mismatch")
def four_corners_are_noted_and_drawn() -> Drawing:
    return Drawing(rounded_block("4X <>")[0])


@silent("count-mismatch")
def two_notes_share_the_holes() -> Drawing:
    board = plate()
    holes(board, 0.281, *FOUR)
    leader(board, right_of(FOUR[2], 0.281), "2X %%c.281 THRU")
    leader(board, right_of(FOUR[1], 0.281), "2X %%c.281 ↧ .5", (7.5, 1))
    return Drawing(board)


@silent("count-mismatch")
def the_fourth_hole_has_a_dimension_of_its_own() -> Drawing:
    board = plate()
    holes(board, 0.281, *FOUR)
    leader(board, right_of(FOUR[2], 0.281), "3X %%c.281 THRU")
    board.diameter(FOUR[0], 0.281)
    return Drawing(board)


@silent("count-mismatch")
def equal_holes_with_a_counterbore_are_others() -> Drawing:
    board = plate()
    holes(board, 0.281, *FOUR)
    holes(board, 0.438, *FOUR[:2])
    leader(board, right_of(FOUR[2], 0.281), "2X %%c.281 THRU")
    return Drawing(board)


@silent("count-mismatch")
def a_counterbore_that_misses_its_hole_a_little() -> Drawing:
    """The hole is still one with a counterbore; that the centres differ is a finding of its own."""
    board = plate()
    holes(board, 0.281, *FOUR)
    inner = str(board.msp[-1].dxf.handle)
    outer = board.circle((FOUR[3][0] + 0.002, FOUR[3][1]), 0.438)
    leader(board, right_of(FOUR[2], 0.281), "3X %%c.281 THRU")
    return Drawing(board, (Says("nearly-concentric", WARNING, (inner, outer)),))


@silent("count-mismatch")
def the_others_are_on_the_other_side() -> Drawing:
    board = plate()
    holes(board, 0.281, *FOUR[1:3])
    leader(board, right_of(FOUR[2], 0.281), "4X %%c.281 THRU BOTH SIDES")
    return Drawing(board)


@silent("count-mismatch")
def the_others_are_in_another_view() -> Drawing:
    board = plate()
    holes(board, 0.281, *FOUR[:3])
    board.plate(6, 1, (0, -3))
    holes(board, 0.281, (3, -2.5))
    leader(board, right_of(FOUR[2], 0.281), "4X %%c.281 THRU")
    return Drawing(board)


# --- depth-disagrees ----------------------------------------------------------------------------


def block(depth: float, wide: float = 0.5, at: float = 3, linetype: str = "HIDDEN") -> Board:
    """A bearing block from above, 6 by 4, and from the front, 2 high, with a Ø.5 hole `depth` deep at (3, 2)."""
    board = plate()
    board.circle((3, 2), 0.5)
    board.plate(6, 2, (0, -4))
    board.upright((6, -4), (6, -2))
    for x in (at - wide / 2, at + wide / 2):
        board.line((x, -2), (x, -2 - depth), linetype)
    if depth < 2:
        board.line((at - wide / 2, -2 - depth), (at + wide / 2, -2 - depth), linetype)
    return board


@fires("depth-disagrees")
def the_front_view_shows_another_depth() -> Drawing:
    board = block(1.25)
    note = leader(board, (3.25, 2), "%%c.500 ↧ 1.00")
    ring, sides = _ring_and_sides(board)
    return Drawing(board, (Says("depth-disagrees", WARNING, (*note, ring, *sides), "drawn less stated 0.25"),))


@fires("depth-disagrees")
def the_section_shows_another_depth() -> Drawing:
    board = block(1.25, linetype="BYLAYER")
    note = leader(board, (3.25, 2), "%%c.500 ↧ 1.00")
    ring, sides = _ring_and_sides(board)
    return Drawing(board, (Says("depth-disagrees", WARNING, (*note, ring, *sides), "drawn less stated 0.25"),))


@fires("depth-disagrees")
def a_through_hole_is_drawn_blind() -> Drawing:
    board = block(1.25)
    note = leader(board, (3.25, 2), "%%c.500 THRU")
    ring, sides = _ring_and_sides(board)
    return Drawing(board, (Says("depth-disagrees", WARNING, (*note, ring, *sides), "where no face is"),))


@fires("depth-disagrees")
def a_blind_hole_is_drawn_through() -> Drawing:
    board = block(2)
    note = leader(board, (3.25, 2), "%%c.500 ↧ 1.00")
    ring, sides = _ring_and_sides(board)
    return Drawing(board, (Says("depth-disagrees", WARNING, (*note, ring, *sides), "from face to face"),))


def _ring_and_sides(board: Board) -> tuple[str, list[str]]:
    """The handles of the hole's circle and of its two edges in the front view."""
    ring = next(e for e in board.msp if e.dxftype() == "CIRCLE")
    edges = [e for e in board.msp if e.dxftype() == "LINE" and e.dxf.start.y == -2 and e.dxf.start.x == e.dxf.end.x
             and 0 < e.dxf.start.x < 6]  # fmt: skip
    return str(ring.dxf.handle), [str(e.dxf.handle) for e in edges]


@fires("depth-disagrees")
def the_counterbore_is_drawn_deeper() -> Drawing:
    board = block(2, wide=0.5)
    for line in [e for e in board.msp if e.dxftype() == "LINE" and e.dxf.linetype == "HIDDEN"]:
        board.msp.delete_entity(line)  # type: ignore[arg-type]
    outer = board.circle((3, 2), 0.75)
    sides = [board.line((x, -2), (x, -2.5), "HIDDEN") for x in (2.625, 3.375)]
    board.line((2.625, -2.5), (3.375, -2.5), "HIDDEN")
    for x in (2.75, 3.25):
        board.line((x, -2.5), (x, -4), "HIDDEN")
    note = leader(board, (3.375, 2), "%%c.500 THRU ⌴ %%c.750 ↧ .375")
    inner = str(next(e for e in board.msp if e.dxftype() == "CIRCLE").dxf.handle)
    handles = (*note, inner, outer, *sides)
    return Drawing(board, (Says("depth-disagrees", WARNING, handles, "drawn less stated 0.125"),))


@silent("depth-disagrees")
def the_depth_is_the_drawn_one() -> Drawing:
    board = block(1.25)
    leader(board, (3.25, 2), "%%c.500 ↧ 1.25")
    return Drawing(board)


@silent("depth-disagrees")
def another_hole_stands_before_it() -> Drawing:
    """Two holes in line: which of them the front view shows can't be told."""
    board = block(1.25)
    board.circle((3, 1), 0.5)
    leader(board, (3.25, 2), "%%c.500 ↧ 1.00")
    return Drawing(board)


@silent("depth-disagrees")
def the_lines_of_another_hole_stand_beside_it() -> Drawing:
    board = block(1.25, at=4)
    leader(board, (3.25, 2), "%%c.500 ↧ 1.00")
    return Drawing(board)


@silent("depth-disagrees")
def a_boss_on_the_block_is_no_hole() -> Drawing:
    board = plate()
    board.circle((3, 2), 0.5)
    board.path((0, -4), (6, -4), (6, -2), (3.25, -2), (3.25, -1.5), (2.75, -1.5), (2.75, -2), (0, -2))
    board.upright((6, -4), (6, -2))
    leader(board, (3.25, 2), "%%c.500 ↧ 1.00")
    return Drawing(board)


# --- fastener-clearance -------------------------------------------------------------------------


def for_screw(
    words: str, hole: float, bore: float = 0, metric: bool = False
) -> tuple[Board, tuple[str, ...], list[str]]:
    """The base with one hole and a note to it; the handles of the note and of the circles."""
    board = plate(metric)
    centre = (120, 70) if metric else (5, 3)
    drawn = holes(board, hole, centre)
    if bore:
        drawn += holes(board, bore, centre)
    tip = right_of(centre, bore or hole)
    at = (170, 90) if metric else AT
    return board, leader(board, tip, words, at), drawn


def firing(words: str, level: Level, why: str, hole: float, bore: float = 0, metric: bool = False) -> Drawing:
    board, note, drawn = for_screw(words, hole, bore, metric)
    return Drawing(board, (Says("fastener-clearance", level, (*note, *drawn), why),))


@fires("fastener-clearance")
def the_screw_does_not_pass() -> Drawing:
    return firing("%%c.250 THRU FOR 1/4-20 SHCS", ERROR, "body of the screw .250: 0 to spare", 0.25)


@fires("fastener-clearance")
def the_hole_is_closer_than_close() -> Drawing:
    """1/4 close fit: 17/64 = .265625 (ASME B18.2.8 and B18.3)."""
    return firing("%%c.257 THRU FOR 1/4-20 SHCS", WARNING, "0.008625 smaller", 0.257)


@fires("fastener-clearance")
def the_hole_is_wider_than_loose() -> Drawing:
    """1/4 loose fit: 19/64 = .296875 (ASME B18.2.8)."""
    return firing("%%c.313 THRU FOR 1/4-20 SHCS", WARNING, "ASME B18.2.8, loose .296875", 0.313)


@fires("fastener-clearance")
def the_head_does_not_go_in() -> Drawing:
    """1/4 socket head: at most .375 (ASME B18.3)."""
    words = "%%c.281 THRU ⌴ %%c.375 ↧ .25 FOR 1/4-20 SHCS"
    return firing(words, ERROR, "ASME B18.3, largest head diameter .375", 0.281, 0.375)


@fires("fastener-clearance")
def the_head_stands_proud() -> Drawing:
    """1/4 socket head: .250 high (ASME B18.3)."""
    return firing("%%c.281 THRU ⌴ %%c.438 ↧ .19 FOR 1/4-20 SHCS", NOTE, "0.06 above the face", 0.281, 0.438)


@fires("fastener-clearance")
def what_was_only_remembered_gives_a_note() -> Drawing:
    """5/8: close fit 41/64 in B18.3, 21/32 in B18.2.8; 1-1/2: 1-17/32 is from memory, so a smaller hole is a note."""
    return firing("%%c1.516 THRU FOR 1-1/2-6 SHCS", NOTE, "(from memory)", 1.516)


@fires("fastener-clearance")
def a_metric_hole_is_too_close() -> Drawing:
    """M8 fine: 8.4 (ISO 273)."""
    return firing("%%c8.2 THRU FOR M8", WARNING, "ISO 273, fine 8.4: 0.2 smaller", 8.2, metric=True)


@fires("fastener-clearance")
def a_metric_head_does_not_go_in() -> Drawing:
    """M6 socket head: at most 10 (ISO 4762, plain heads)."""
    words = "%%c6.6 THRU ⌴ %%c10 ↧ 6.4 FOR M6 SOCKET HEAD CAP SCREW"
    return firing(words, ERROR, "ISO 4762, largest head diameter 10", 6.6, 10, metric=True)


@silent("fastener-clearance")
def usual_holes_and_counterbores() -> Drawing:
    board = plate()
    rows = [("1/4-20", 0.281, 0.438, 0.25), ("#10-24", 0.206, 0.375, 0.19), ("1/2-13", 0.516, 0.813, 0.5)]
    for k, (screw, hole, bore, deep) in enumerate(rows):
        centre = (1.0 + 2 * k, 2.0)
        holes(board, hole, centre)
        holes(board, bore, centre)
        words = f"%%c{hole:.3f} THRU ⌴ %%c{bore:.3f} ↧ {deep:.3f} FOR {screw} SHCS"
        leader(board, right_of(centre, bore), words, (7.5, 3.5 - k))
    return Drawing(board)


@silent("fastener-clearance")
def both_tables_of_m12_are_usual() -> Drawing:
    """ISO 273 coarse for M12: 14.5 in one open table, 15 in another."""
    return Drawing(for_screw("%%c15.0 THRU FOR M12", 15, metric=True)[0])


@silent("fastener-clearance")
def a_tapped_hole_is_no_clearance_hole() -> Drawing:
    return Drawing(for_screw("1/4-20 UNC FOR 1/4-20 SHCS", 0.201)[0])
