"""Hole tables found and tied: what is silent for a rule must not be silent because nothing was seen."""

import sys
from collections import Counter
from fractions import Fraction
from pathlib import Path
from time import process_time

import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "rules"))
import rule_tables as tables
from rule_board import Board, Spot

from dimaudit.attach import attach
from dimaudit.attach.hole_tables import attach_hole_tables
from dimaudit.model.hole_table import Column, HoleTables
from dimaudit.model.settings import Settings
from dimaudit.read import read_drawing
from dimaudit.rebuild import rebuild
from dimaudit.text.table_words import HEADINGS, heading


def found(board: Board, folder: Path) -> HoleTables:
    board.doc.saveas(folder / "jig.dxf")
    drawing = read_drawing(folder / "jig.dxf", Settings())
    geometries = [rebuild(space, drawing.unit, Settings()) for space in drawing.spaces]
    lengths = Settings().for_unit(drawing.unit)
    attached = [a for g in geometries for a in attach(g, lengths.with_noise(g.noise))]
    return attach_hole_tables(geometries, attached, lengths, drawing.unit)


@pytest.mark.parametrize(
    ("situation", "rows", "origin"),
    [
        (tables.a_sound_table, 4, "the lower left corner"),
        (tables.a_sound_table_without_tags_or_dimensions, 4, "the lower left corner"),
        (tables.rounded_places, 4, "the lower left corner"),
        (tables.counted_from_the_origin_of_the_ordinates, 5, "the origin of the ordinate dimensions"),
        (tables.counted_from_a_mark_on_a_lattice, 12, 'the mark "X0 Y0"'),
        (tables.millimetres_without_zeros_and_with_commas, 4, "the lower left corner"),
        (tables.a_thread_gives_no_diameter, 4, "the lower left corner"),
    ],
)
def test_every_row_of_a_sound_table_is_tied(situation: object, rows: int, origin: str, tmp_path: Path) -> None:
    """Each row has its hole, and the origin is the one that a reader would take."""
    (table,) = found(situation().board, tmp_path).tables  # type: ignore[operator]
    assert (len(table.rows), table.origin_text, table.reason) == (rows, origin, "")
    assert all(row.hole is not None and not row.guessed for row in table.rows)


def test_all_texts_of_a_table_are_claimed(tmp_path: Path) -> None:
    """Heading, cells, the tags beside the holes and the mark of the origin are known for what they are."""
    board, _ = tables.jig()
    cells = tables.table(board, tables.ROWS)
    mark = tables.tag_at(board, "X0 Y0", (0.05, -0.2))
    claimed = dict(found(board, tmp_path).claimed)
    assert claimed.pop(mark) == "origin of a hole table"
    assert {h for row in cells for h in row} <= set(claimed)
    assert Counter(claimed.values()) == {"hole table": 5 * 4, "tag of a hole table": 4}


@pytest.mark.parametrize(
    "head",
    [("TAG", "XDIM", "YDIM", "DESCRIPTION"), ("NO.", "X-COORD", "Y-COORD", "SIZE"), ("HOLE", "LOC X", "LOC Y", "DIA"),
     ("HOLE #", "X POS", "Y POS", "SIZE"), ("ID", "X (IN)", "Y (IN)", "%%c (IN)")],
)  # fmt: skip
def test_headings_as_drafters_write_them(head: tuple[str, ...], tmp_path: Path) -> None:
    """An axis with a word for a place before or behind it, joined, with a hyphen, or with the unit."""
    board, _ = tables.jig()
    tables.table(board, tables.ROWS, head)
    (table,) = found(board, tmp_path).tables
    assert [row.hole is not None for row in table.rows] == [True] * 4


@pytest.mark.parametrize(("tags", "tables_"), [("AAB", 1), ("AAA", 0), ("", 0)])
def test_a_chart_of_diameters_is_one_of_holes_by_its_tags(tags: str, tables_: int, tmp_path: Path) -> None:
    """TAG, QTY, DIA: nothing speaks of holes but the tags beside them, each of which must be there."""
    board = Board()
    board.plate(6, 4)
    board.across((0, 4), (6, 4))
    for x, tag in zip((1, 2, 4), tags.ljust(3), strict=True):
        board.circle((x, 1), 0.25)
        tables.tag_at(board, tag, (x + 0.2, 1.1))
    tables.table(board, [("A", "2", ".250", "THRU"), ("B", "1", ".250", "THRU")], ("TAG", "QTY", "DIA", "NOTES"))
    result = found(board, tmp_path)
    assert len(result.tables) == tables_
    assert len(result.claimed) == (12 + 3 if tables_ else 0)


def _two_of_five_wrong(mark: str = "", mark_at: Spot = (0.02, -0.25), *, tags: bool = True) -> Board:
    """The cleat jig with a fifth hole; the table has Y of A2 and of A3 .010 too large."""
    board, _ = tables.jig(tags=tags)
    board.circle((2.0, 3.0), 0.5)
    if tags:
        tables.tag_at(board, "B2", (2.3, 3.1))
    rows = [list(row) for row in tables.ROWS] + [["B2", "2.000", "3.000", ".500"]]
    rows[1][2], rows[2][2] = ".760", "1.510"
    tables.table(board, rows)
    if mark:
        tables.tag_at(board, mark, mark_at)
    return board


@pytest.mark.parametrize(
    ("mark", "tags", "origin"),
    [
        ("X0 Y0", False, 'the mark "X0 Y0"'), ("X0,Y0", True, 'the mark "X0,Y0"'),
        ("(0, 0)", False, 'the mark "(0, 0)"'), ("DATUM", False, 'the mark "DATUM"'),
        ("", True, "the lower left corner"), ("", False, "the lower left corner"),
    ],
)  # fmt: skip
def test_two_wrong_rows_of_five_leave_the_origin(mark: str, tags: bool, origin: str, tmp_path: Path) -> None:
    """A mark, the tags, or that each wrong row is off by one number only, tells which rows are wrong."""
    (table,) = found(_two_of_five_wrong(mark, tags=tags), tmp_path).tables
    assert (table.origin_text, table.reason) == (origin, "")
    centres = [row.hole.centre for row in table.rows if row.hole is not None]
    assert centres == [(1, Fraction(3, 4)), (Fraction(5, 2), Fraction(3, 4)), (Fraction(33, 8), Fraction(3, 2)),
                       (5, 3), (2, 3)]  # fmt: skip


def test_a_mark_from_which_too_few_rows_meet_a_hole_is_named(tmp_path: Path) -> None:
    """The table counts from a place that is not on the part: the mark is another one's."""
    board, _ = tables.jig(tags=False)
    tables.tag_at(board, "X0 Y0", (0.02, -0.25))
    tables.table(board, [(tag, f"{x + 0.3 + 0.1 * x * x:.3f}", f"{y + 0.2 * x:.3f}", ".250")
                         for tag, (x, y, _) in tables.HOLES.items()])  # fmt: skip
    (table,) = found(board, tmp_path).tables
    assert table.reason == 'counted from the mark "X0 Y0", none of its 4 rows meets a hole'
    assert "unit" in table.remedy


def test_a_marked_corner_wins_over_one_that_fits_as_well(tmp_path: Path) -> None:
    """On a lattice a shifted origin leaves one column of holes over; the mark decides though a row is wrong."""
    board = Board()
    board.plate(6, 4)
    board.across((0, 4), (6, 4))
    for x in (1, 2, 3, 4):
        for y in (1, 2, 3):
            board.circle((x, y), 0.25)
    tables.tag_at(board, "X0 Y0", (1.15, 0.7))
    rows = [[f"{x - 1}.000", f"{y - 1}.000"] for x in (1, 2, 3, 4) for y in (1, 2, 3)]
    rows[4][0] = "1.010"
    tables.table(board, rows, ("X", "Y"))
    (table,) = found(board, tmp_path).tables
    assert table.origin_text == 'the mark "X0 Y0"'
    assert [n for n, row in enumerate(table.rows) if row.guessed] == [4]


def test_the_tagged_rows_find_an_origin_between_two_edges(tmp_path: Path) -> None:
    """Counted from the left edge and from the level of a pocket's floor: no corner is there."""
    board, _ = tables.jig()
    board.path((5.2, 0.5), (5.6, 0.5), (5.6, 0.7), (5.2, 0.7))
    rows = [(tag, x, f"{float(y) - 0.5:.3f}", size) for tag, x, y, size in tables.ROWS]
    rows[1] = ("A2", "2.510", "0.250", ".250")
    tables.table(board, rows)
    (table,) = found(board, tmp_path).tables
    assert table.origin == (0, Fraction(1, 2))
    assert "as most of the tagged rows have it" in table.origin_text
    assert all(row.hole is not None for row in table.rows)


def test_a_tag_for_several_rows_names_none_of_them(tmp_path: Path) -> None:
    """A, A, A: one kind of hole, its tag drawn once."""
    board, _ = tables.jig(tags=False)
    tables.tag_at(board, "A", (1.2, 0.85))
    tables.table(board, [("A", *row[1:]) for row in tables.ROWS])
    (table,) = found(board, tmp_path).tables
    assert all(row.hole is not None for row in table.rows)


def test_a_row_whose_tag_is_in_another_view_is_not_missed(tmp_path: Path) -> None:
    """One table for two faces: the other face's hole is found by its tag, and its place is not judged."""
    board, _ = tables.jig()
    board.plate(3, 4, (20, 0))
    board.across((20, 4), (23, 4))
    board.circle((21, 1.5), 0.25)
    tables.tag_at(board, "C1", (21.2, 1.6))
    tables.table(board, [*tables.ROWS, ("C1", "1.000", "1.750", ".250")])
    (table,) = found(board, tmp_path).tables
    last = table.rows[-1].hole
    assert last is not None
    assert (last.at, last.centre) == ((21, Fraction(3, 2)), None)


def test_four_hundred_rows_are_tied_in_little_time(tmp_path: Path) -> None:
    """One row is wrong: no place fits whole, and all have to be looked at."""
    board = Board()
    board.plate(22, 22)
    board.across((0, 22), (22, 22))
    rows = []
    for n in range(400):
        x, y = 1 + n % 20, 1 + n // 20
        board.circle((x, y), 0.25)
        rows.append((f"A{n}", f"{x}.000", f"{y}.000" if n != 7 else f"{y}.010", ".250"))
    tables.table(board, rows, at=(30, 120))
    board.doc.saveas(tmp_path / "jig.dxf")
    drawing = read_drawing(tmp_path / "jig.dxf", Settings())
    geometries = [rebuild(space, drawing.unit, Settings()) for space in drawing.spaces]
    begun = process_time()
    (table,) = attach_hole_tables(geometries, [], Settings().for_unit(drawing.unit), drawing.unit).tables
    assert process_time() - begun < 2  # about ten times what it takes
    assert [n for n, row in enumerate(table.rows) if row.guessed] == [7]
    assert table.origin_text == "the lower left corner"


def test_a_chart_by_tags_is_tied_to_all_its_holes(tmp_path: Path) -> None:
    """The row of A has the one tagged hole, and three that are alike."""
    (table,) = found(tables.one_tag_stands_for_all_that_are_alike().board, tmp_path).tables
    assert [[hole.alike for hole in row.tagged] for row in table.rows] == [[3], [1]]


def test_no_other_list_is_a_hole_table(tmp_path: Path) -> None:
    """Parts, changes, and points that are on no part."""
    result = found(tables.lists_that_are_no_hole_tables().board, tmp_path)
    assert (result.tables, dict(result.claimed)) == ((), {})


@pytest.mark.parametrize("rows", [1, 2, 30])
def test_two_tables_side_by_side_are_two(rows: int, tmp_path: Path) -> None:
    """A long table is often broken into columns of rows."""
    board = Board()
    board.plate(40, 4)
    places = [(f"A{n + 1}", f"{0.5 + n * 0.875:.3f}", f"{1 + 0.03125 * n:.5f}") for n in range(2 * rows)]
    for _, x, y in places:
        board.circle((float(x), float(y)), 0.25)
    tables.table(board, places[:rows], ("HOLE", "X", "Y"), at=(50, 6))
    tables.table(board, places[rows:], ("HOLE", "X", "Y"), at=(53.6, 6))
    result = found(board, tmp_path)
    assert [len(table.rows) for table in result.tables] == ([] if rows == 1 else [rows, rows])
    assert all(row.hole is not None for table in result.tables for row in table.rows)


def test_a_balloon_is_no_tag(tmp_path: Path) -> None:
    """A number inside a circle names a part of the list, not the circle."""
    board, _ = tables.jig(tags=False)
    board.circle((7, 3), 0.5)
    tables.tag_at(board, "1", (6.95, 2.95))
    tables.table(board, [(str(n), *row[1:]) for n, row in enumerate(tables.ROWS, 1)])
    (table,) = found(board, tmp_path).tables
    assert table.rows[0].hole is not None
    assert table.rows[0].hole.centre == (1, 0.75)


@pytest.mark.parametrize(
    ("text", "kind"),
    [("X", Column.X), ("x (mm)", Column.X), ("Y LOC.", Column.Y), ("⌀", Column.SIZE), ("Hole No.", Column.TAG),
     ("XDIM", Column.X), ("Y-COORD", Column.Y), ("X POS.", Column.X), ("Loc. Y", Column.Y), ("POSITION X", Column.X),
     ("X (IN)", Column.X), ("Z DIM", Column.Z), ("POS", Column.TAG), ("XX", None), ("LOC", None), ("DIM", None),
     ("QTY", Column.QTY), ("MATERIAL", None), ("", None), ("X" * 50, None), ("MM", None)],
)  # fmt: skip
def test_headings(text: str, kind: Column | None) -> None:
    """Case, full stops and units do not count."""
    assert heading(text)[0] is kind


def test_no_heading_has_two_meanings() -> None:
    """Each word stands once."""
    words = [word for own in HEADINGS.values() for word in own]
    assert len(words) == len(set(words))


def test_a_table_on_a_sheet_is_tied_to_the_model(tmp_path: Path) -> None:
    """The table stands on the paper, the holes in model space."""
    board, _ = tables.jig(tags=False)
    model, board.msp = board.msp, board.doc.layouts.new("PRINT")
    tables.table(board, tables.ROWS)
    board.msp = model
    (table,) = found(board, tmp_path).tables
    assert (table.layout, table.view, table.reason) == ("PRINT", "view 1", "")


def test_a_table_object_without_its_drawn_block_is_a_loss(tmp_path: Path) -> None:
    """Its texts can't be read, and that is said."""
    board, _ = tables.jig()
    tables.table_object(board, "*T9", (12, 6))
    board.doc.saveas(tmp_path / "jig.dxf")
    losses = read_drawing(tmp_path / "jig.dxf", Settings()).losses
    assert [(loss.what, "drawn block" in loss.why) for loss in losses] == [("ACAD_TABLE", True)]


def test_a_part_drawn_at_half_size_is_measured_in_true_size(tmp_path: Path) -> None:
    """A dimension with DIMLFAC 2 says the scale; the table gives true sizes."""
    board = Board()
    board.plate(3, 2)
    board.across((0, 2), (3, 2), dimlfac=2)
    for x, y, size in tables.HOLES.values():
        board.circle((x / 2, y / 2), size / 2)
    tables.table(board, tables.ROWS)
    (table,) = found(board, tmp_path).tables
    assert table.reason == ""
    assert [hole.centre for row in table.rows if (hole := row.hole)][3] == (5, 3)
    assert [hole.diameters for row in table.rows if (hole := row.hole)][3] == (Fraction(1, 2),)


def test_an_ambiguous_origin_is_none(tmp_path: Path) -> None:
    """Where one row is wrong and two corners fit the others as well, nothing is said about places."""
    board = Board()
    board.plate(6, 4)
    board.path((0.5, 0.5), (0.7, 0.5), (0.7, 0.7), (0.5, 0.7))
    for x, y in ((1, 1), (2, 1.25)):
        board.circle((x + 0.5, y + 0.5), 0.25)
        board.circle((x + 0.7, y + 0.7), 0.25)
    board.across((0, 4), (6, 4))
    rows = [("1.000", "1.000"), ("2.000", "1.250"), ("9.000", "9.000")]
    tables.table(board, [(*row, ".250") for row in rows], ("X", "Y", "DIA"))
    (table,) = found(board, tmp_path).tables
    assert "two places fit equally well" in table.reason
    assert all(row.hole is None for row in table.rows)


@pytest.mark.parametrize(
    ("right", "up", "text"),
    [(True, False, "the upper left corner, Y downwards"), (False, True, "the lower right corner, X to the left")],
)
def test_places_may_be_counted_the_other_way(right: bool, up: bool, text: str, tmp_path: Path) -> None:
    """A back view is counted to the left; some tables count down from the upper edge."""
    board, _ = tables.jig()
    rows = [
        (tag, f"{x if right else 6 - x:.3f}", f"{y if up else 4 - y:.3f}") for tag, (x, y, _) in tables.HOLES.items()
    ]
    tables.table(board, rows, ("HOLE", "X", "Y"))
    (table,) = found(board, tmp_path).tables
    assert table.origin_text == text
    assert all(row.hole is not None and row.hole.centre is not None for row in table.rows)
    assert [row.hole.centre[0] for row in table.rows if row.hole and row.hole.centre] == [Fraction(r[1]) for r in rows]


@pytest.mark.parametrize("text", ["9" * 400, "1." + "3" * 400, "1/" + "9" * 300, "1/0", "." + "0" * 400 + "1", "9e999"])
def test_numbers_that_no_drawing_has_end_nothing(text: str, tmp_path: Path) -> None:
    """They are no places, or places where no hole is."""
    board, _ = tables.jig()
    tables.tag_at(board, "X0 Y0", (0.02, -0.25))
    tables.table(board, [(row[0], text, text, text) for row in tables.ROWS])
    assert all(table.reason or table.origin is None for table in found(board, tmp_path).tables)
