"""Situations of where dimensions start from: references, lost symmetry, changed origins, rounding drawn in."""

from rule_board import Board
from rule_cases import Drawing, Says, fires, silent

from dimaudit.model.audit import Level

ERROR, WARNING, NOTE = Level.ERROR, Level.WARNING, Level.NOTE


def drilled(wide: float, hole: float, **width: object) -> tuple[Board, str, str]:
    """A plate 2 high with a Ø.250 hole at half its height, all stated but the hole's place across; width and circle."""
    board = Board()
    board.plate(wide, 2)
    circle = board.circle((hole, 1), 0.25)
    overall = board.across((0, 2), (wide, 2), line_at=4.5, **width)
    board.upright((wide, 0), (wide, 2))
    board.upright((0, 0), (hole, 1), line_at=-1)
    board.diameter((hole, 1), 0.25)
    return board, overall, circle


# --- reference-used -----------------------------------------------------------------------------------


@fires("reference-used")
def a_hole_that_only_a_reference_locates() -> Drawing:
    board, _, _ = drilled(4, 1.5)
    d = board.across((0, 0), (1.5, 1), text="(<>)", line_at=3.5)
    return Drawing(board, (Says("reference-used", WARNING, (d,), "without it the feature is not located"),))


@fires("reference-used")
def a_circle_that_only_a_reference_sizes() -> Drawing:
    board = Board()
    board.plate(4, 2)
    board.circle((1.5, 1), 0.25)
    board.across((0, 2), (4, 2), line_at=4.5)
    board.upright((4, 0), (4, 2))
    board.upright((0, 0), (1.5, 1), line_at=-1)
    board.across((0, 0), (1.5, 1), line_at=3.5)
    d = board.diameter((1.5, 1), 0.25, text="(<>)")
    return Drawing(board, (Says("reference-used", WARNING, (d,), "not sized"),))


@silent("not-located")
def a_place_that_is_only_a_reference_is_said_once() -> Drawing:
    """One missing size, one finding: the reference's own."""
    board, _, _ = drilled(4, 1.5)
    d = board.across((0, 0), (1.5, 1), text="(<>)", line_at=3.5)
    return Drawing(board, (Says("reference-used", WARNING, (d,)),))


@fires("not-located")
def a_hole_that_a_reference_ties_to_another_loose_one() -> Drawing:
    """Two sizes are missing: the reference would give one of them, the other is still to be found."""
    board, _, circle = drilled(4, 1.5)
    board.circle((3, 1), 0.25)
    board.diameter((3, 1), 0.25)
    d = board.across((1.5, 1), (3, 1), text="(<>)", line_at=3.5)
    return Drawing(board, (Says("not-located", WARNING, (circle,)), Says("reference-used", WARNING, (d,))))


@silent("not-sized")
def sizes_that_are_only_a_reference_are_said_once() -> Drawing:
    board = Board()
    board.plate(4, 2)
    for x in (1.5, 3):
        board.circle((x, 1), 0.25)
        board.across((0, 0), (x, 1), line_at=2 + x)
    board.across((0, 2), (4, 2), line_at=6.5)
    board.upright((4, 0), (4, 2))
    board.upright((0, 0), (1.5, 1), line_at=-1)
    d = board.diameter((1.5, 1), 0.25, text="(2X <>)")
    return Drawing(board, (Says("reference-used", WARNING, (d,)),))


@silent("reference-used")
def a_reference_that_closes_a_chain() -> Drawing:
    """1.5 and 2.5 and, for information, 4."""
    board = Board()
    board.plate(4, 2)
    board.circle((1.5, 1), 0.25)
    board.upright((4, 0), (4, 2))
    board.upright((0, 0), (1.5, 1), line_at=-1)
    board.diameter((1.5, 1), 0.25)
    board.across((0, 0), (1.5, 1), line_at=3.5)
    board.across((1.5, 1), (4, 2), line_at=3.5)
    board.across((0, 2), (4, 2), text="(<>)", line_at=4.5)
    return Drawing(board)


# --- implied-symmetry-broken --------------------------------------------------------------------------


@fires("implied-symmetry-broken")
def a_hole_on_the_middle_whose_half_is_rounded() -> Drawing:
    """7/16 of 7/8 stated .438: the other side gets .437."""
    board, _, _ = drilled(0.875, 0.4375)
    d = board.across((0, 0), (0.4375, 1), line_at=3.5)
    says = Says("implied-symmetry-broken", WARNING, (d,), "is 0.438 from left edge, and it is 0.437 from right edge")
    return Drawing(board, (says, Says("rounded", NOTE, (d,))))


@fires("implied-symmetry-broken")
def the_amount_is_half_of_what_the_sides_differ() -> Drawing:
    board, _, _ = drilled(0.875, 0.4375)
    d = board.across((0, 0), (0.4375, 1), line_at=3.5)
    says = Says("implied-symmetry-broken", WARNING, (d,), "0.0005 off the middle of the outline")
    return Drawing(board, (says, Says("rounded", NOTE, (d,))))


@fires("implied-symmetry-broken")
def a_pair_of_holes_beside_the_middle() -> Drawing:
    """The left hole is stated .438 from the left edge, the right one .4375 from the right edge."""
    board = Board()
    board.plate(3, 2)
    for x in (0.4375, 2.5625):
        board.circle((x, 1), 0.25)
    board.across((0, 2), (3, 2), line_at=4.5)
    board.upright((3, 0), (3, 2))
    board.upright((0, 0), (0.4375, 1), line_at=-1)
    board.diameter((0.4375, 1), 0.25, text="2X <>")
    d = board.across((0, 0), (0.4375, 1), line_at=3.5)
    board.across((2.5625, 1), (3, 0), line_at=3.5, dimdec=4)
    says = Says("implied-symmetry-broken", WARNING, (d,), "the two are 0.00025 off the middle")
    return Drawing(board, (says, Says("rounded", NOTE, (d,))))


@fires("implied-symmetry-broken")
def an_amount_that_the_tolerances_dwarf() -> Drawing:
    """.0005 where ±.010 is allowed: a note."""
    wide = {"dimtol": 1, "dimtp": 0.010, "dimtm": 0.010, "dimtdec": 3}
    board, _, _ = drilled(0.875, 0.4375, **wide)
    d = board.across((0, 0), (0.4375, 1), line_at=3.5, **wide)
    says = Says("implied-symmetry-broken", NOTE, (d,), "harmless")
    return Drawing(board, (says, Says("rounded", NOTE, (d,))))


@silent("implied-symmetry-broken")
def an_exact_half() -> Drawing:
    board, _, _ = drilled(0.875, 0.4375)
    board.across((0, 0), (0.4375, 1), line_at=3.5, dimdec=4)
    return Drawing(board)


@silent("implied-symmetry-broken")
def a_rounded_place_beside_the_middle() -> Drawing:
    """The hole is not drawn on the middle: rounding moves it, and breaks no symmetry."""
    board, _, _ = drilled(1, 0.4375)
    d = board.across((0, 0), (0.4375, 1), line_at=3.5)
    return Drawing(board, (Says("rounded", NOTE, (d,)),))


# --- datum-hopping ------------------------------------------------------------------------------------

FIVE = {"dimtol": 1, "dimtp": 0.005, "dimtm": 0.005, "dimtdec": 3}


def stepped(spans: list[tuple[int, int]], **style: object) -> tuple[Board, list[str]]:
    """A block with five steps, and dimensions between its levels."""
    board = Board()
    xs, tops = (0.0, 1.0, 2.5, 4.0, 5.0, 6.0), (3.0, 3.0, 2.5, 2.0, 1.5, 1.0)
    corners = [(0.0, 0.0)]
    for k in range(5):
        corners += [(xs[k], tops[k + 1]), (xs[k + 1], tops[k + 1])]
    board.path(*corners, (6.0, 0.0))
    for k, top in enumerate(tops[1:]):
        board.upright((6, 0), (xs[k + 1], top), line_at=8.0 + k)
    return board, [
        board.across((xs[a], tops[a]), (xs[b], tops[b]), line_at=4.0 + k, **style) for k, (a, b) in enumerate(spans)
    ]


@fires("datum-hopping")
def two_steps_from_the_other_edge() -> Drawing:
    """Two steps from the left edge, two from the right, and the overall: ±.015 at worst, where ±.010 would do."""
    board, made = stepped([(0, 1), (0, 2), (3, 5), (4, 5), (0, 5)], **FIVE)
    return Drawing(board, (Says("datum-hopping", NOTE, (made[2], made[3]), "allows ±.015 at worst"),))


@silent("datum-hopping")
def one_step_from_the_other_edge() -> Drawing:
    board, _ = stepped([(0, 1), (0, 2), (0, 3), (4, 5), (0, 5)], **FIVE)
    return Drawing(board)


@silent("datum-hopping")
def all_steps_from_one_edge() -> Drawing:
    board, _ = stepped([(0, 1), (0, 2), (0, 3), (0, 4), (0, 5)], **FIVE)
    return Drawing(board)


@silent("datum-hopping")
def another_origin_without_tolerances() -> Drawing:
    board, _ = stepped([(0, 1), (0, 2), (3, 5), (4, 5), (0, 5)])
    return Drawing(board)


# --- drawn-to-rounded-value ---------------------------------------------------------------------------


@fires("drawn-to-rounded-value")
def a_hole_drawn_beside_the_middle() -> Drawing:
    """.438 on a plate of .875: 7/16 is its half."""
    board, _, _ = drilled(0.875, 0.438)
    d = board.across((0, 0), (0.438, 1), line_at=3.5)
    return Drawing(board, (Says("drawn-to-rounded-value", NOTE, (d,), "exactly half-way across the .875"),))


@fires("drawn-to-rounded-value")
def a_mate_that_is_drawn_to_the_fraction() -> Drawing:
    board = Board()
    board.plate(3, 2)
    for x in (0.438, 2.5625):
        board.circle((x, 1), 0.25)
    board.across((0, 2), (3, 2), line_at=4.5)
    board.upright((3, 0), (3, 2))
    board.upright((0, 0), (0.438, 1), line_at=-1)
    board.diameter((0.438, 1), 0.25, text="2X <>")
    d = board.across((0, 0), (0.438, 1), line_at=3.5)
    board.across((2.5625, 1), (3, 0), line_at=3.5, dimdec=4)
    return Drawing(board, (Says("drawn-to-rounded-value", NOTE, (d,), "as far from one side"),))


@fires("drawn-to-rounded-value")
def a_text_that_states_the_fraction() -> Drawing:
    """Ø7/16 written, Ø.438 drawn."""
    board, _, _ = drilled(4, 1.5)
    board.across((0, 0), (1.5, 1), line_at=3.5)
    board.circle((3, 1), 0.438)
    board.across((0, 0), (3, 1), line_at=5.5)
    d = board.diameter((3, 1), 0.438, text="%%c7/16")
    says = (
        Says("drawn-to-rounded-value", NOTE, (d,), "0.0005 off"), Says("rounded", NOTE, (d,)),
        Says("typed-text", WARNING, (d,)),
    )  # fmt: skip
    return Drawing(board, says)


@fires("drawn-to-rounded-value")
def a_row_that_is_nearly_equal() -> Drawing:
    """Five holes at 0, .438, .875, 1.313 and 1.75: 7/16 apart, drawn to three decimals."""
    board = Board()
    board.plate(4, 2)
    xs = [1 + d for d in (0.0, 0.438, 0.875, 1.313, 1.75)]
    for x in xs:
        board.circle((x, 1), 0.25)
    board.across((0, 2), (4, 2), line_at=9)
    board.upright((4, 0), (4, 2))
    board.upright((0, 0), (1, 1), line_at=-1)
    board.diameter((1, 1), 0.25, text="5X <>")
    board.across((0, 0), (1, 1), line_at=3)
    made = [board.across((1, 1), (x, 1), line_at=3 + k) for k, x in enumerate(xs[1:], 1)]
    says = [Says("drawn-to-rounded-value", NOTE, (made[k],), "the 5 equal holes of the row") for k in (0, 2)]
    return Drawing(board, tuple(says))


@fires("drawn-to-rounded-value")
def a_chain_that_closes_with_the_fractions() -> Drawing:
    """.438 and .438, drawn so, under an overall of .875: the overall is not drawn so, and 7/16 twice is."""
    board = Board()
    board.path((0, 0), (0, 2), (0.438, 2), (0.438, 1), (0.876, 1), (0.876, 0))
    a = board.across((0, 2), (0.438, 2), line_at=3)
    b = board.across((0.438, 2), (0.876, 1), line_at=3)
    c = board.across((0, 0), (0.876, 0), text=".875", line_at=-1)
    board.upright((0, 0), (0, 2), line_at=-1)
    board.upright((0.876, 0), (0.876, 1), line_at=2)
    says = [Says("drawn-to-rounded-value", NOTE, (h,), "closes with 7/16, 7/16") for h in (a, b)]
    said = (("wrong-value", ERROR), ("typed-text", WARNING))
    return Drawing(board, (*says, *(Says(rule, level, (c,)) for rule, level in said)))


@silent("drawn-to-rounded-value")
def the_same_value_without_evidence() -> Drawing:
    """.438 on a plate of 1.000 is .438."""
    board, _, _ = drilled(1, 0.438)
    board.across((0, 0), (0.438, 1), line_at=3.5)
    return Drawing(board)


@silent("drawn-to-rounded-value")
def a_mated_pair_at_the_decimal() -> Drawing:
    """Both holes are .438 from their edges: that is what is meant."""
    board = Board()
    board.plate(3, 2)
    for x in (0.438, 2.562):
        board.circle((x, 1), 0.25)
    board.across((0, 2), (3, 2), line_at=4.5)
    board.upright((3, 0), (3, 2))
    board.upright((0, 0), (0.438, 1), line_at=-1)
    board.diameter((0.438, 1), 0.25, text="2X <>")
    board.across((0, 0), (0.438, 1), line_at=3.5)
    board.across((2.562, 1), (3, 0), line_at=3.5)
    return Drawing(board)
