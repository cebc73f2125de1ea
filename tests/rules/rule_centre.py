"""Situations of drawn centrelines: what is drawn alike about one is held by one side, and nothing else is."""

from rule_board import Board, Spot
from rule_cases import Drawing, Says, fires, silent
from rule_notes import leader

from dimaudit.model.audit import Level

ERROR, WARNING, NOTE = Level.ERROR, Level.WARNING, Level.NOTE


def base(*lines: tuple[Spot, Spot]) -> Board:
    """A plate of 6 by 4 with its two sizes, and centrelines."""
    board = Board()
    board.plate(6, 4)
    for a, b in lines:
        board.line(a, b, "CENTER")
    board.across((0, 4), (6, 4), line_at=7)
    board.upright((0, 0), (0, 4), line_at=-3)
    return board


UPRIGHT = ((3.0, -0.5), (3.0, 4.5))
LEVEL = ((-0.5, 2.0), (6.5, 2.0))


def holes(board: Board, *spots: Spot, size: float = 0.5) -> list[str]:
    """Circles, and the places of the first of them."""
    made = [board.circle(spot, size) for spot in spots]
    board.across((0, 0), spots[0], line_at=-1)
    board.upright((0, 0), spots[0], line_at=-1)
    return made


# --- one side is enough -------------------------------------------------------------------------


@silent("not-located")
def a_hole_and_its_mirror_image_by_one_side() -> Drawing:
    """Place and size are given on the left only; the right follows."""
    board = base(UPRIGHT)
    holes(board, (1, 1), (5, 1))
    board.diameter((1, 1), 0.5)
    return Drawing(board)


@silent("not-located")
def four_holes_about_two_centrelines_by_one_of_them() -> Drawing:
    board = base(UPRIGHT, LEVEL)
    holes(board, (1, 1), (5, 1), (1, 3), (5, 3))
    board.diameter((1, 1), 0.5)
    return Drawing(board)


@silent("not-located")
def notches_above_and_below_a_level_centreline() -> Drawing:
    """The depth and the place of the lower notch stand for the upper one."""
    board = Board()
    board.path(
        (0, 0), (2, 0), (2, 0.5), (3, 0.5), (3, 0), (6, 0), (6, 4), (3, 4), (3, 3.5), (2, 3.5), (2, 4), (0, 4)
    )
    board.line(*LEVEL, "CENTER")
    board.across((0, 4), (6, 4), line_at=6)
    board.across((0, 0), (2, 0), line_at=-1)
    board.across((2, 0), (3, 0), line_at=-2)
    board.upright((0, 0), (0, 4), line_at=-2)
    board.upright((3, 0), (3, 0.5), line_at=8)
    return Drawing(board)


@silent("not-located")
def two_slots_by_one_of_them() -> Drawing:
    board = base(UPRIGHT)
    for left, right in ((1.0, 2.0), (4.0, 5.0)):
        board.line((left, 1.75), (right, 1.75))
        board.line((left, 2.25), (right, 2.25))
        board.arc((left, 2), 0.25, 90, 270)
        board.arc((right, 2), 0.25, 270, 90)
    board.across((0, 0), (1, 2), line_at=-1)
    board.across((1, 2), (2, 2), line_at=-2)
    board.upright((0, 0), (1, 2), line_at=-1)
    board.radius((1, 2), 0.25, 180, text="2X <>")
    return Drawing(board)


@silent("not-located")
def a_pattern_about_a_centreline_of_its_own() -> Drawing:
    """The centreline of the pair is located, the pair by its distance; the plate is not alike on both sides of it."""
    board = base(((2.0, 1.0), (2.0, 3.0)))
    for x in (1.25, 2.75):
        board.circle((x, 2), 0.25)
    board.across((0, 0), (2, 1), line_at=-2)
    board.across((1.25, 2), (2.75, 2), line_at=-1)
    board.upright((0, 0), (1.25, 2), line_at=-1)
    board.diameter((1.25, 2), 0.25, text="2X <>")
    return Drawing(board)


@silent("not-located")
def a_bore_on_a_centreline_that_is_dimensioned() -> Drawing:
    """The dimension ends on the centreline, not on the bore; what stands on the line is where the line is."""
    board = base(((2.0, -0.5), (2.0, 4.5)), ((0.5, 1.0), (3.5, 1.0)))
    board.circle((2, 1), 1)
    board.across((0, 0), (2, -0.5), line_at=-2)
    board.upright((0, 0), (0.5, 1), line_at=-1)
    board.diameter((2, 1), 1)
    return Drawing(board)


@silent("not-located")
def screw_holes_beside_a_bore_whose_centreline_runs_on() -> Drawing:
    """The two are of another size than the bore between them, so its centreline is their middle."""
    board = base(((2.0, -0.5), (2.0, 4.5)))
    holes(board, (2, 2), size=1)
    board.diameter((2, 2), 1)
    for x in (1.25, 2.75):
        board.circle((x, 2), 0.25)
    board.across((1.25, 2), (2.75, 2), line_at=5)
    board.diameter((1.25, 2), 0.25, text="2X <>")
    return Drawing(board)


def lug(off: float = 0.0, line: bool = True, one: bool = True) -> tuple[Board, str]:
    """A square plate with two holes that mirror one another about its diagonal; the second can be beside that."""
    board = Board()
    board.plate(4, 4)
    if line:
        board.line((-0.5, -0.5), (4.5, 4.5), "CENTER")
    board.across((0, 4), (4, 4), line_at=6)
    board.upright((0, 0), (0, 4), line_at=-3)
    board.circle((2, 2), 1)
    board.across((0, 0), (2, 2), line_at=-3)
    board.upright((0, 0), (2, 2), line_at=-2)
    board.diameter((2, 2), 1)
    board.circle((3, 1), 0.25)
    second = board.circle((1, 3 + off), 0.25)
    if one:
        board.across((0, 0), (3, 1), line_at=-1)
        board.upright((0, 0), (3, 1), line_at=-1)
        board.diameter((3, 1), 0.25, text="2X <>")
    return board, second


@silent("not-located")
def a_mirror_image_about_a_slanted_centreline() -> Drawing:
    return Drawing(lug()[0])


def bar(off: float = 0.0) -> tuple[Board, str]:
    """A bar that lies 3-4-5 on the sheet, two holes about the centreline along it; the second can be beside that."""
    board = Board()

    def turned(x: float, y: float) -> Spot:
        return (4 * x - 3 * y) / 5, (3 * x + 4 * y) / 5

    board.path(turned(0, 0), turned(5, 0), turned(5, 2.5), turned(0, 2.5))
    board.line(turned(-0.5, 1.25), turned(5.5, 1.25), "CENTER")
    board.circle(turned(1, 0.5), 0.25)
    second = board.circle(turned(1 + off, 2), 0.25)
    board.aligned(turned(0, 0), turned(5, 0))
    board.aligned(turned(0, 0), turned(0, 2.5))
    board.diameter(turned(1, 0.5), 0.25, text="2X <>")
    board.aligned(turned(0, 0), turned(1, 0.5), dimdec=8)
    board.aligned(turned(5, 0), turned(1, 0.5), dimdec=8)
    return board, second


@silent("not-located")
def a_bar_at_a_slant_about_the_centreline_along_it() -> Drawing:
    return Drawing(bar()[0])


# --- and nothing else is held -------------------------------------------------------------------


@fires("not-located")
def a_mirror_image_without_a_centreline() -> Drawing:
    board = base()
    _, right = holes(board, (1, 1), (5, 1))
    board.diameter((1, 1), 0.5, text="2X <>")
    return Drawing(board, (Says("not-located", WARNING, (right,)),))


@fires("not-located")
def a_hole_that_is_only_near_the_mirror_image() -> Drawing:
    board = base(UPRIGHT)
    _, right = holes(board, (1, 1), (5.01, 1))
    board.diameter((1, 1), 0.5, text="2X <>")
    return Drawing(board, (Says("not-located", WARNING, (right,)),))


@fires("not-located")
def a_mirror_image_of_another_size() -> Drawing:
    board = base(UPRIGHT)
    holes(board, (1, 1))
    right = board.circle((5, 1), 0.75)
    board.diameter((1, 1), 0.5)
    board.diameter((5, 1), 0.75)
    return Drawing(board, (Says("not-located", WARNING, (right,)),))


@fires("not-located")
def a_centre_mark_is_no_middle_of_the_plate() -> Drawing:
    """The bore is drawn half-way; the lines through it end beside it, so nothing says that it is to be there."""
    board = base(((3.0, 1.25), (3.0, 2.75)), ((2.25, 2.0), (3.75, 2.0)))
    bore = board.circle((3, 2), 1)
    board.diameter((3, 2), 1)
    return Drawing(board, (Says("not-located", WARNING, (bore,)),))


@fires("not-located")
def a_centre_mark_is_no_middle_of_the_holes_beside_it() -> Drawing:
    board = base(((2.0, 1.25), (2.0, 2.75)), ((1.25, 2.0), (2.75, 2.0)))
    holes(board, (2, 2), size=1)
    board.diameter((2, 2), 1)
    left, _ = (board.circle((x, 2), 0.25) for x in (1.25, 2.75))
    board.across((1.25, 2), (2.75, 2), line_at=5)
    board.diameter((1.25, 2), 0.25, text="2X <>")
    return Drawing(board, (Says("not-located", WARNING, (left,)),))


@fires("not-located")
def the_middle_one_of_three_equal_holes_is_not_their_middle() -> Drawing:
    """Each hole has a long centreline of its own; the third hole is at the same pitch by chance."""
    board = base(*(((x, -0.5), (x, 4.5)) for x in (1.0, 2.0, 3.5)))
    _, _, last = holes(board, (1, 2), (2, 2), (3, 2), size=0.25)
    board.across((1, 2), (2, 2), line_at=-1)
    board.diameter((1, 2), 0.25, text="3X <>")
    return Drawing(board, (Says("not-located", WARNING, (last,)),))


@fires("not-located")
def a_pattern_whose_centreline_is_not_located() -> Drawing:
    """The two follow their centreline, and nothing holds that: one dimension is missing, not two."""
    board = base(((2.0, 1.0), (2.0, 3.0)))
    left, _ = (board.circle((x, 2), 0.25) for x in (1.25, 2.75))
    board.across((1.25, 2), (2.75, 2), line_at=-1)
    board.upright((0, 0), (1.25, 2), line_at=-1)
    board.diameter((1.25, 2), 0.25, text="2X <>")
    return Drawing(board, (Says("not-located", WARNING, (left,)),))


@fires("not-located")
def a_mirror_image_about_a_diagonal_that_is_not_drawn() -> Drawing:
    board, second = lug(line=False)
    return Drawing(board, (Says("not-located", WARNING, (second,)),))


@fires("not-located")
def a_hole_that_is_only_near_the_mirror_image_about_a_diagonal() -> Drawing:
    board, second = lug(0.01)
    return Drawing(board, (Says("not-located", WARNING, (second,)),))


@fires("not-located")
def a_hole_that_is_only_near_the_mirror_image_on_a_bar_at_a_slant() -> Drawing:
    board, second = bar(0.01)
    rounded = (Says("rounded", NOTE, (str(d.dxf.handle),)) for d in list(board.msp.query("DIMENSION"))[3:])
    return Drawing(board, (Says("not-located", WARNING, (second,)), *rounded))


# --- the print puts it off the centreline -------------------------------------------------------


def keyway(left: str = "<>", *, line: bool = True, off: float = 0.0, located: bool = True) -> tuple[Board, list[str]]:
    """A block 6 long with a groove of .875 about a centreline at 2, which is located; the groove by its two sides."""
    board = Board()
    board.path((0, 0), (6, 0), (6, 3), (2.4375 + off, 3), (2.4375 + off, 2), (1.5625, 2), (1.5625, 3), (0, 3))
    if line:
        board.line((2, 1.5), (2, 3.5), "CENTER")
    board.across((0, 0), (6, 0), line_at=-2)
    board.upright((0, 0), (0, 3), line_at=-1)
    board.upright((6, 3), (2.4375 + off, 2), line_at=8)
    board.circle((2, 1), 0.5)
    board.upright((0, 0), (2, 1), line_at=-2)
    board.diameter((2, 1), 0.5)
    if located:
        board.across((0, 0), (2, 1), line_at=-1)
    made = [
        board.across((1.5625, 3), (2, 1), text=left, line_at=5),
        board.across((2, 1), (2.4375 + off, 3), line_at=6, dimdec=4),
    ]
    return board, made


@fires("implied-symmetry-broken")
def a_groove_beside_its_centreline() -> Drawing:
    """.438 to the left of the centreline, .4375 to the right of it."""
    board, (left, _) = keyway()
    says = Says("implied-symmetry-broken", WARNING, (left,), "the two are 0.00025 off the centreline at x = 2.000")
    return Drawing(board, (says, Says("rounded", NOTE, (left,))))


@fires("implied-symmetry-broken")
def two_pairs_about_a_level_centreline_that_no_dimension_is_tied_to() -> Drawing:
    """The lower hole is stated 1.063 up, the other three levels are exact: the two pairs have not one middle."""
    board = Board()
    board.path((0, 0), (8, 0), (8, 6), (6, 6), (6, 4), (0, 4))
    board.line((-0.5, 2), (6.5, 2), "CENTER")
    board.across((0, 0), (8, 0), line_at=-2)
    board.across((0, 4), (6, 4), line_at=9)
    board.upright((8, 0), (8, 6), line_at=11)
    made = []
    for k, (y, places) in enumerate(((0.5, 4), (1.0625, 3), (2.9375, 4), (3.5, 4))):
        board.circle((2 if k in (0, 3) else 4, y), 0.25)
        made.append(board.upright((0, 0), (2 if k in (0, 3) else 4, y), line_at=-1 - k, dimdec=places))
    board.upright((0, 0), (0, 4), line_at=-6)
    board.across((0, 4), (2, 3.5), line_at=7)
    board.across((0, 4), (4, 2.9375), line_at=8)
    board.diameter((2, 0.5), 0.25, text="4X <>")
    says = Says("implied-symmetry-broken", WARNING, (made[1],), "0.00025 off the centreline at y = 2.000")
    return Drawing(board, (says, Says("rounded", NOTE, (made[1],))))


@silent("implied-symmetry-broken")
def a_groove_on_its_centreline() -> Drawing:
    board, _ = keyway("7/16")
    return Drawing(board, (Says("typed-text", WARNING, (_[0],)),))


@silent("implied-symmetry-broken")
def a_groove_without_a_centreline() -> Drawing:
    board, _ = keyway(line=False)
    return Drawing(board)


@silent("implied-symmetry-broken")
def a_groove_that_is_not_drawn_alike() -> Drawing:
    board, _ = keyway(off=0.0625)
    return Drawing(board)


# --- drawn to a rounding of it ------------------------------------------------------------------


def pair_about_a_centreline(left: float, *, line: bool = True, mark: bool = False) -> tuple[Board, str]:
    """Holes about a centreline at 2 of a plate 6 long: the right one 7/16 away from it, the left one about as far."""
    board = Board()
    board.plate(6, 3)
    if line:
        board.line((2, 0.5), (2, 2.5), "CENTER")
    if mark:
        board.circle((2, 1.5), 0.75)
        board.diameter((2, 1.5), 0.75)
        board.line((2, 1), (2, 2), "CENTER")
    else:
        board.circle((2, 1), 0.375)
        board.diameter((2, 1), 0.375)
        board.upright((6, 0), (2, 1), line_at=8)
    for x in (2 - left, 2.4375):
        board.circle((x, 1.5), 0.25)
    board.across((0, 0), (6, 0), line_at=-2)
    board.upright((0, 0), (0, 3), line_at=-1)
    board.upright((6, 0), (2.4375, 1.5), line_at=7)
    centre = (2.0, 1.5) if mark else (2.0, 1.0)
    board.across((0, 0), centre, line_at=-1)
    board.across(centre, (2.4375, 1.5), line_at=5, dimdec=4)
    board.diameter((2.4375, 1.5), 0.25, text="2X <>")
    return board, board.across((2 - left, 1.5), centre, line_at=6)


@fires("drawn-to-rounded-value")
def a_hole_drawn_beside_the_mirror_image_about_a_centreline() -> Drawing:
    """.438 to the left of the centreline; the other is 7/16 to the right of it."""
    board, d = pair_about_a_centreline(0.438)
    return Drawing(board, (Says("drawn-to-rounded-value", NOTE, (d,), "about the centreline at x = 2.000"),))


@fires("drawn-to-rounded-value")
def a_hole_drawn_beside_a_centreline() -> Drawing:
    """The centreline is drawn 7/16 from the edge, the hole on it .438."""
    board = Board()
    board.plate(6, 3)
    board.line((0.4375, 0.5), (0.4375, 2.5), "CENTER")
    board.circle((0.438, 1.5), 0.25)
    board.diameter((0.438, 1.5), 0.25)
    board.across((0, 0), (6, 0), line_at=-2)
    board.upright((0, 0), (0, 3), line_at=-1)
    board.upright((6, 0), (0.438, 1.5), line_at=7)
    d = board.across((0, 0), (0.438, 1.5), line_at=-1)
    return Drawing(board, (Says("drawn-to-rounded-value", NOTE, (d,), "stands on the centreline at x = .4375"),))


@silent("drawn-to-rounded-value")
def the_same_pair_without_a_centreline() -> Drawing:
    board, _ = pair_about_a_centreline(0.438, line=False)
    return Drawing(board)


@silent("drawn-to-rounded-value")
def the_same_pair_beside_a_centre_mark() -> Drawing:
    """The line only marks the bore between the two: nothing says that they are to be alike."""
    board, _ = pair_about_a_centreline(0.438, line=False, mark=True)
    return Drawing(board)


@fires("drawn-to-rounded-value")
def a_hole_whose_note_states_the_fraction() -> Drawing:
    """The note says Ø7/16, the circle is drawn Ø.438, and the Ø.438 beside it only repeats what is drawn."""
    board = base()
    holes(board, (2, 1.5), size=0.438)
    d = board.diameter((2, 1.5), 0.438)
    leader(board, (2.219, 1.5), "%%c7/16 THRU")
    says = Says("drawn-to-rounded-value", NOTE, (d,), 'the hole note "Ø7/16 THRU" states the fraction')
    return Drawing(board, (says,))


@silent("drawn-to-rounded-value")
def a_hole_whose_note_states_the_decimal() -> Drawing:
    board = base()
    holes(board, (2, 1.5), size=0.438)
    board.diameter((2, 1.5), 0.438, text="(<>)")
    leader(board, (2.219, 1.5), "%%c.438 THRU")
    return Drawing(board)
