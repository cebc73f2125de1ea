"""Situations of the rule about hole tables. The part is the cleat drill jig, its holes counted from a corner."""

from collections.abc import Sequence

from ezdxf.entities.acad_table import AcadTableBlockContent
from ezdxf.lldxf.extendedtags import ExtendedTags
from rule_board import Board, Spot
from rule_cases import Drawing, Says, fires, silent

from dimaudit.model.audit import Level

ERROR, WARNING, NOTE = Level.ERROR, Level.WARNING, Level.NOTE
RULE = "table-disagrees"
HEAD = ("HOLE", "X", "Y", "%%c")
HOLES = {"A1": (1.0, 0.75, 0.25), "A2": (2.5, 0.75, 0.25), "A3": (4.125, 1.5, 0.25), "B1": (5.0, 3.0, 0.5)}
ROWS = (
    ("A1", "1.000", ".750", ".250"),
    ("A2", "2.500", ".750", ".250"),
    ("A3", "4.125", "1.500", ".250"),
    ("B1", "5.000", "3.000", ".500"),
)


def table(
    board: Board, rows: Sequence[Sequence[str]], head: Sequence[str] = HEAD, at: Spot = (12, 6)
) -> list[list[str]]:
    """Writes a table as texts; gives back the handles by row, without the heading's."""
    x, y = at
    made = []
    for n, cells in enumerate([head, *rows]):
        made.append([
            str(board.msp.add_text(cell, height=0.125, dxfattribs={"insert": (x + 1.2 * k, y - 0.25 * n)}).dxf.handle)
            for k, cell in enumerate(cells)
        ])  # fmt: skip
    return made[1:]


def title(board: Board, text: str) -> None:
    board.msp.add_text(text, height=0.125, dxfattribs={"insert": (12.5, 6.3)})


def jig(*left_out: str, tags: bool = True, at: Spot = (0, 0), width_dim: bool = True) -> tuple[Board, dict[str, str]]:
    """The jig's plate, 6 by 4, its holes and tags; gives back the circles by tag."""
    board, circles, (x0, y0) = Board(), {}, at
    board.plate(6, 4, at)
    for tag, (x, y, size) in HOLES.items():
        if tag not in left_out:
            circles[tag] = board.circle((x0 + x, y0 + y), size)
            if tags:
                tag_at(board, tag, (x0 + x + size / 2 + 0.05, y0 + y + 0.1))
    if width_dim:
        board.across((x0, y0 + 4), (x0 + 6, y0 + 4))
    return board, circles


def table_object(board: Board, block: str, at: Spot) -> None:
    """An ACAD_TABLE with the tags that say which block draws it, and where (DXF reference)."""
    tags: list[tuple[int, object]] = [
        (0, "ACAD_TABLE"), (5, board.doc.entitydb.next_handle()), (100, "AcDbEntity"), (8, "0"),
        (100, "AcDbBlockReference"), (2, block), (10, at[0]), (20, at[1]), (30, 0.0),
        (100, "AcDbTable"), (11, 1.0), (21, 0.0), (31, 0.0),
    ]  # fmt: skip
    text = "".join(f"{code}\n{value}\n" for code, value in tags)
    made = AcadTableBlockContent.load(ExtendedTags.from_text(text), board.doc)
    board.doc.entitydb.add(made)
    board.msp.add_entity(made)


def tag_at(board: Board, tag: str, at: Spot) -> str:
    return str(board.msp.add_text(tag, height=0.125, dxfattribs={"insert": at}).dxf.handle)


def changed(tag: str, **cells: str) -> list[tuple[str, ...]]:
    """The sound rows with some cells of one row put otherwise."""
    names = {"tag": 0, "x": 1, "y": 2, "size": 3}
    rows = [list(row) for row in ROWS]
    for row in rows:
        if row[0] == tag:
            for name, text in cells.items():
                row[names[name]] = text
    return [tuple(row) for row in rows]


@fires(RULE)
def one_place_is_wrong() -> Drawing:
    """4.125 - 4.215 = -.090: transposed digits."""
    board, circles = jig()
    cells = table(board, changed("A3", x="4.215"))
    why = "the Ø.250 hole at (4.125, 1.500) is meant"
    return Drawing(board, (Says(RULE, ERROR, (cells[2][1], circles["A3"]), why),))


@fires(RULE)
def one_size_is_wrong() -> Drawing:
    board, circles = jig()
    cells = table(board, changed("B1", size=".531"))
    return Drawing(board, (Says(RULE, ERROR, (cells[3][3], circles["B1"]), "is meant"),))


@fires(RULE)
def a_wrong_place_without_tags() -> Drawing:
    """The one hole that is left over shares the row's Y."""
    board, circles = jig(tags=False)
    cells = table(board, changed("A3", x="4.215"))
    return Drawing(board, (Says(RULE, ERROR, (cells[2][1], circles["A3"]), "no other row has"),))


@fires(RULE)
def two_rows_of_four_are_wrong_and_the_tags_tell() -> Drawing:
    """From the corner two rows agree; the others are held to the holes that their tags stand beside."""
    board, circles = jig()
    tag_at(board, "X0 Y0", (0.02, -0.25))
    rows = [list(row) for row in ROWS]
    rows[1][2], rows[2][2] = ".760", "1.510"
    cells = table(board, rows, ("TAG", "XDIM", "YDIM", "DESCRIPTION"))
    why = 'counted from the mark "X0 Y0"'
    return Drawing(
        board,
        (
            Says(RULE, ERROR, (cells[1][2], circles["A2"]), why),
            Says(RULE, ERROR, (cells[2][2], circles["A3"]), why),
        ),
    )


@fires(RULE)
def a_mark_that_no_row_is_counted_from() -> Drawing:
    board, _ = jig(tags=False)
    tag_at(board, "DATUM", (0.02, -0.25))
    table(board, [(tag, f"{x * 25.4:.2f}", f"{y * 25.4:.2f}", "6.4") for tag, (x, y, _) in HOLES.items()])
    heading = next(e for e in board.msp.query("TEXT") if e.dxf.text == "HOLE")
    return Drawing(board, (Says(RULE, NOTE, (str(heading.dxf.handle),), "without an origin"),))


@fires(RULE)
def a_row_without_a_hole() -> Drawing:
    board, _ = jig("A3", tags=False)
    cells = table(board, ROWS)
    return Drawing(board, (Says(RULE, ERROR, tuple(cells[2][:3]), "counted from the lower left corner"),))


@fires(RULE)
def two_tags_are_exchanged() -> Drawing:
    board, circles = jig("A2", "A3", tags=True)
    for tag, other in (("A2", "A3"), ("A3", "A2")):
        x, y, size = HOLES[other]
        circles[tag] = board.circle((x, y), size)
        tag_at(board, tag, (x + 0.2, y + 0.1))
    board.circle((1, 3), 0.25)
    tag_at(board, "A4", (1.2, 3.1))
    board.circle((2, 3), 0.25)
    tag_at(board, "A5", (2.2, 3.1))
    cells = table(board, [*ROWS, ("A4", "1.000", "3.000", ".250"), ("A5", "2.000", "3.000", ".250")])
    return Drawing(
        board,
        (
            Says(RULE, ERROR, (cells[1][1], circles["A2"]), "is meant"),
            Says(RULE, ERROR, (cells[1][2], circles["A2"]), "is meant"),
            Says(RULE, ERROR, (cells[2][1], circles["A3"]), "is meant"),
            Says(RULE, ERROR, (cells[2][2], circles["A3"]), "is meant"),
        ),
    )


@fires(RULE)
def digits_were_cut_off() -> Drawing:
    """4 3/16 = 4.1875: .187 is neither neighbour that a rule gives; .188 is."""
    board, circles = jig("A3")
    circles["A3"] = board.circle((4.1875, 1.5), 0.25)
    tag_at(board, "A3", (4.4, 1.6))
    cells = table(board, changed("A3", x="4.187"))
    return Drawing(board, (Says(RULE, WARNING, (cells[2][1], circles["A3"]), "drawn - stated = 0.0005"),))


@fires(RULE)
def a_tag_of_the_series_has_no_row() -> Drawing:
    board, _ = jig()
    extra = board.circle((2.5, 3), 0.25)
    tag = tag_at(board, "A4", (2.7, 3.1))
    table(board, ROWS)
    return Drawing(board, (Says(RULE, WARNING, (tag, extra), 'its tag is "A4"'),))


@fires(RULE)
def the_title_says_all_holes() -> Drawing:
    board, _ = jig()
    extra = board.circle((2.5, 3), 0.25)
    title(board, "HOLE TABLE - ALL HOLES")
    table(board, ROWS)
    return Drawing(board, (Says(RULE, WARNING, (extra,), "the title says"),))


@fires(RULE)
def no_origin_fits() -> Drawing:
    board, _ = jig(tags=False)
    shifted = [(f"{float(x) + 0.3:.3f}", f"{float(y) + 0.1 * n:.3f}") for n, (_, x, y, _) in enumerate(ROWS)]
    table(board, [(row[0], *place, row[3]) for row, place in zip(ROWS, shifted, strict=True)])
    heading = next(e for e in board.msp.query("TEXT") if e.dxf.text == "HOLE")
    return Drawing(board, (Says(RULE, NOTE, (str(heading.dxf.handle),), "without an origin"),))


@fires(RULE)
def a_chart_by_tags_counts_one_too_many() -> Drawing:
    board = Board()
    board.plate(6, 4)
    board.across((0, 4), (6, 4))
    circles = []
    for x in (1.0, 2.0, 3.0):
        circles.append(board.circle((x, 1), 0.25))
        tag_at(board, "A", (x + 0.2, 1.1))
    board.circle((5, 3), 0.5)
    tag_at(board, "B", (5.3, 3.1))
    cells = table(board, [("A", "4", "%%c.250 THRU"), ("B", "1", "%%c.500 THRU")], ("HOLE", "QTY", "DESCRIPTION"))
    return Drawing(board, (Says(RULE, ERROR, (cells[0][1], *circles), "counted in the view"),))


@fires(RULE)
def a_chart_by_tags_gives_a_wrong_size() -> Drawing:
    board = Board()
    board.plate(6, 4)
    board.across((0, 4), (6, 4))
    board.circle((1, 1), 0.25)
    tag_at(board, "A", (1.2, 1.1))
    big = board.circle((5, 3), 0.5)
    tag_at(board, "B", (5.3, 3.1))
    cells = table(board, [("A", "1", "%%c.250"), ("B", "1", "%%c.531")], ("HOLE", "QTY", "SIZE"))
    return Drawing(board, (Says(RULE, ERROR, (cells[1][2], big), "is meant"),))


@fires(RULE)
def a_table_object_of_the_format() -> Drawing:
    """An ACAD_TABLE shows its texts by an anonymous block."""
    board, circles = jig()
    block = board.doc.blocks.new("*T1")
    handles = []
    for n, cells in enumerate([HEAD, *changed("A3", y="1.050")]):
        for k, cell in enumerate(cells):
            at = (0.6 + 1.2 * k, -0.2 - 0.3 * n)
            made = block.add_mtext(cell, dxfattribs={"insert": at, "char_height": 0.125, "attachment_point": 5})
            handles.append(str(made.dxf.handle))
    table_object(board, "*T1", (12, 6))
    return Drawing(board, (Says(RULE, ERROR, (handles[4 * 3 + 2], circles["A3"]), "is meant"),))


@silent(RULE)
def a_sound_table() -> Drawing:
    board, _ = jig()
    title(board, "HOLE TABLE - ALL HOLES")
    table(board, ROWS)
    return Drawing(board)


@silent(RULE)
def a_mark_beside_another_corner_that_no_wrong_row_needs() -> Drawing:
    """All rows agree with the lower left corner: what is marked elsewhere is something else's."""
    board, _ = jig()
    tag_at(board, "DATUM", (6.05, 4.1))
    table(board, ROWS)
    return Drawing(board)


@silent(RULE)
def a_schedule_of_bars() -> Drawing:
    """Marks, quantities and diameters of what is no hole."""
    board, _ = jig(tags=False)
    table(board, [("A", "4", ".375"), ("B", "2", ".500")], ("MARK", "QTY", "DIA"))
    return Drawing(board)


@silent(RULE)
def a_sound_table_without_tags_or_dimensions() -> Drawing:
    board, _ = jig(tags=False, at=(3.3125, 1.0), width_dim=False)
    table(board, ROWS)
    return Drawing(board)


@silent(RULE)
def rounded_places() -> Drawing:
    """4 3/16 written with three places is 4.188, or 4.188 by half to even as well; 1/16 is .062 or .063."""
    board, _ = jig("A2", "A3")
    for tag, x in (("A2", 2.0625), ("A3", 4.1875)):
        board.circle((x, 1.5), 0.25)
        tag_at(board, tag, (x + 0.2, 1.6))
    table(board, [ROWS[0], ("A2", "2.062", "1.500", ".250"), ("A3", "4.188", "1.500", ".250"), ROWS[3]])
    return Drawing(board)


@silent(RULE)
def counted_from_the_origin_of_the_ordinates() -> Drawing:
    """The origin is the middle of hole A1, from which the ordinate dimension counts; some places are negative."""
    board = Board()
    board.plate(6, 4, (-1, -0.75))
    for tag, (x, y, size) in HOLES.items():
        board.circle((x - 1, y - 0.75), size)
        tag_at(board, tag, (x - 1 + size / 2 + 0.05, y - 0.65))
    board.circle((-0.5, 2.5), 0.25)
    board.level_x((1.5, 0), (1.5, -2))
    rows = [(t, f"{float(x) - 1:+.3f}", f"{float(y) - 0.75:.3f}", s) for t, x, y, s in ROWS]
    table(board, [*rows, ("A4", "-.500", "2.500", ".250")])
    return Drawing(board)


@silent(RULE)
def counted_from_a_mark_on_a_lattice() -> Drawing:
    """On even rows of holes several corners and centres fit nearly as well; all rows agree with the marked one only."""
    board = Board()
    board.plate(6, 4)
    board.across((0, 4), (6, 4))
    for x in (1, 2, 3, 4):
        for y in (1, 2, 3):
            board.circle((x, y), 0.25)
    board.msp.add_text("X0 Y0", height=0.125, dxfattribs={"insert": (1.15, 0.7)})
    rows = [(f"{x - 1}.000", f"{y - 1}.000") for x in (1, 2, 3, 4) for y in (1, 2, 3)]
    table(board, rows, ("X", "Y"))
    return Drawing(board)


@silent(RULE)
def the_size_is_one_of_two_steps() -> Drawing:
    """A counterbored hole: either of its circles may be the one that the table gives."""
    board, _ = jig()
    board.circle((5, 3), 0.75)
    table(board, ROWS)
    return Drawing(board)


@silent(RULE)
def a_thread_gives_no_diameter() -> Drawing:
    board, _ = jig()
    table(board, changed("B1", size="1/2-13 UNC"), ("HOLE", "X", "Y", "DESCRIPTION"))
    return Drawing(board)


@silent(RULE)
def one_tag_stands_for_all_that_are_alike() -> Drawing:
    board = Board()
    board.plate(6, 4)
    board.across((0, 4), (6, 4))
    for x in (1, 2, 3):
        board.circle((x, 1), 0.25)
    tag_at(board, "A", (1.2, 1.1))
    board.circle((5, 3), 0.5)
    tag_at(board, "B", (5.3, 3.1))
    table(board, [("A", "3", "%%c.250 THRU"), ("B", "1", "%%c.500 THRU")], ("HOLE", "QTY", "DESCRIPTION"))
    return Drawing(board)


@silent(RULE)
def a_tag_that_no_series_has() -> Drawing:
    """A section's letter beside a hole is no tag."""
    board, _ = jig()
    board.circle((2.5, 3), 0.25)
    tag_at(board, "C", (2.7, 3.1))
    table(board, ROWS)
    return Drawing(board)


@silent(RULE)
def lists_that_are_no_hole_tables() -> Drawing:
    """A parts list, a list of changes, and points of the slip that are on no part."""
    board, _ = jig(tags=False)
    parts = [("1", "2", "CLEAT", "BRONZE"), ("2", "4", "STUD .250", "STEEL"), ("3", "4", "NUT", "STEEL")]
    table(board, parts, ("ITEM", "QTY", "DESCRIPTION", "MATERIAL"), (12, 12))
    table(board, [("A", "3.10.", "WAS 2.500"), ("B", "4.10.", "WAS .750")], ("REV", "DATE", "DESCRIPTION"), (12, 14))
    table(board, [("1", "104.2", "88.1"), ("2", "117.9", "91.4"), ("3", "121.3", "70.6")], ("PT", "X", "Y"), (12, 16))
    return Drawing(board)


def _metric(rows: Sequence[Sequence[str]]) -> Board:
    board = Board(metric=True)
    board.plate(150, 100)
    board.across((0, 100), (150, 100), line_at=120)
    for x, y, size in ((25, 20, 6.6), (62.5, 20, 6.6), (100, 37.25, 9), (125, 75, 9)):
        board.circle((x, y), size)
    for n, cells in enumerate([("NO.", "X (mm)", "Y (mm)", "⌀"), *rows]):
        for k, cell in enumerate(cells):
            at = (200 + 30 * k, 100 - 6 * n)
            board.msp.add_text(cell, height=3, dxfattribs={"insert": at})
    return board


@silent(RULE)
def millimetres_without_zeros_and_with_commas() -> Drawing:
    """Where no number ends in a zero behind its sign, all stand for the finest place that is written."""
    rows = [("1", "25", "20", "6,6"), ("2", "62,5", "20", "6,6"), ("3", "100", "37,25", "9"), ("4", "125", "75", "9")]
    return Drawing(_metric(rows))


@fires(RULE)
def a_whole_number_among_hundredths() -> Drawing:
    """37 among hundredths is 37.00; drawn is 37.25."""
    rows = [("1", "25", "20", "6.6"), ("2", "62.5", "20", "6.6"), ("3", "100", "37", "9"), ("4", "125.25", "75", "9")]
    board = _metric(rows)
    texts = {e.dxf.text: str(e.dxf.handle) for e in board.msp.query("TEXT")}
    circles = [str(e.dxf.handle) for e in board.msp.query("CIRCLE")]
    board.doc.entitydb[circles[3]].dxf.center = (125.25, 75, 0)
    return Drawing(board, (Says(RULE, ERROR, (texts["37"], circles[2]), "drawn - stated = 0.25"),))


