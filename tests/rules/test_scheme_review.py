"""What can't be decided stays unclaimed, and what notes and tables state holds in the as-read part, too."""

import tempfile
from pathlib import Path

import rule_scheme_review as prints
from rule_board import Board
from rule_tables import ROWS, jig, table

from dimaudit.model.as_read import AsRead
from dimaudit.model.scheme import Scheme
from dimaudit.model.settings import Settings
from dimaudit.pipeline import as_read_file


def scheme(board: Board, folder: Path) -> Scheme:
    (one,) = board.audit(folder, Settings()).schemes
    return one


def read(board: Board) -> AsRead:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "print.dxf"
        board.doc.saveas(path)
        (part,) = as_read_file(path, Settings()).parts
    return part


def test_what_is_free_along_a_turned_part_is_listed_as_not_judged(tmp_path: Path) -> None:
    """Its corners are rounded by the file, so the rank is not certain: it is said, and is no pass."""
    board, _ = prints.turned_plate(hole_across=False)
    found = scheme(board, tmp_path)
    assert found.free == ()
    assert found.unsure


def test_an_end_of_a_dimension_that_is_left_out_is_not_called_loose(tmp_path: Path) -> None:
    """The second hole's place is stated across the slant by a dimension that the scheme can't take."""
    board = Board()
    board.plate(4, 2)
    board.circle((1, 1), 0.5)
    board.circle((3, 1.25), 0.5)
    board.across((0, 0), (4, 0), line_at=-1)
    board.upright((0, 0), (0, 2), line_at=-1)
    board.across((0, 0), (1, 1), line_at=-0.5)
    board.upright((0, 0), (1, 1), line_at=-0.5)
    board.across((1, 1), (3, 1.25), line_at=-0.5)
    board.diameter((3, 1.25), 0.5, "2X <>")
    board.msp.add_linear_dim((2, 3), (1, 1), (3, 1.25), angle=30, dimstyle="SHOP").render()
    found = scheme(board, tmp_path)
    assert [why for _, why in found.left_out] == ["it measures along a slanted direction"]
    assert found.missing == 1
    assert found.free == ()


def test_holes_that_a_table_places_are_held_in_the_as_read_part() -> None:
    board, _ = jig()
    table(board, ROWS)
    board.upright((0, 0), (0, 4), line_at=-1)
    assert not any(landing.free for landing in read(board).landings)


def test_a_chamfer_that_a_note_gives_is_held_in_the_as_read_part() -> None:
    board = prints.a_chamfer_by_a_note_at_a_leader().board
    assert not any(landing.free for landing in read(board).landings)
    assert any(landing.free for landing in read(prints.a_chamfer_without_a_note().board).landings)


def to_do(board: Board, folder: Path) -> str:
    (one,) = (f for f in board.audit(folder, Settings()).findings if f.rule == "not-sized")
    return one.suggestion


def test_the_count_that_is_suggested_is_that_of_all_equal_features(tmp_path: Path) -> None:
    """Of four equal holes one has its size: the count that is missing is four, not the three without a size."""
    board = Board()
    board.plate(4, 3)
    for x in (0.5, 3.5):
        for y in (0.5, 2.5):
            board.circle((x, y), 0.25)
    board.across((0, 0), (4, 0), line_at=-1)
    board.upright((0, 0), (0, 3), line_at=-1)
    board.across((0, 0), (0.5, 0.5), line_at=-0.5)
    board.across((0.5, 0.5), (3.5, 0.5), line_at=-0.5)
    board.upright((0, 0), (0.5, 0.5), line_at=-0.5)
    board.upright((0.5, 0.5), (0.5, 2.5), line_at=-0.7)
    assert to_do(board, tmp_path) == "give the size once, with '4X' before it"
    board.diameter((3.5, 2.5), 0.25)
    assert to_do(board, tmp_path).startswith("if the size that is given is theirs, too, write '4X' before it")
    assert to_do(prints.a_fillet_without_a_note().board, tmp_path) == "give its diameter or its radius"
