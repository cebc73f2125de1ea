"""Hole tables found and tied: what is silent for a rule must not be silent because nothing was seen."""

import sys
from fractions import Fraction
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "rules"))
import rule_tables as tables
from rule_board import Board

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
    """Heading and cells are known for what they are; tags and other texts are not among them."""
    board, _ = tables.jig()
    cells = tables.table(board, tables.ROWS)
    claimed = found(board, tmp_path).claimed
    assert {h for row in cells for h in row} <= set(claimed)
    assert len(claimed) == 5 * 4
    assert set(claimed.values()) == {"hole table"}


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
