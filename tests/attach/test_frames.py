"""Feature control frames tied to their features, and datum letters recognised, on small drawings.

How a frame is placed (leader, or beneath the dimension or the note): ASME Y14.5, from memory.
"""

import sys
from pathlib import Path

import pytest
from ezdxf.math import Vec2
from ezdxf.render import mleader

sys.path.insert(0, str(Path(__file__).parents[1] / "rules"))
import rule_frames as board_of
from rule_board import Board

from dimaudit.attach import attach, hole_notes
from dimaudit.attach.frames import attach_frames
from dimaudit.attach.grouped import grouped
from dimaudit.model.control_frame import ControlFrames
from dimaudit.model.pointed import Carrier
from dimaudit.model.settings import Settings
from dimaudit.read import read_drawing
from dimaudit.rebuild import rebuild

CELLS = (board_of.POSITION, board_of.DIAMETER + ".010", "A")


def found(board: Board, folder: Path) -> ControlFrames:
    board.doc.saveas(folder / "plate.dxf")
    drawing = read_drawing(folder / "plate.dxf", Settings())
    geometries = [rebuild(space, drawing.unit, Settings()) for space in drawing.spaces]
    lengths = Settings().for_unit(drawing.unit)
    attached = [a for g in geometries for a in attach(g, lengths.with_noise(g.noise))]
    return attach_frames(geometries, attached, lengths)


def plate() -> tuple[Board, str]:
    board = board_of.plate()
    board.across((0, 0), (6, 0), line_at=-1)
    return board, str(board.msp.query("CIRCLE")[0].dxf.handle)


def test_a_leader_ties_by_its_annotation(tmp_path: Path) -> None:
    """Group 340 of the leader names the frame."""
    board, circle = plate()
    made = board_of.frame(board, *CELLS, at=(3, 6))
    board_of.leader(board, (1.25, 1), (2, 6), to=made)
    (tied,) = found(board, tmp_path).frames
    assert (tied.by, tied.handles, tied.reason) == ("a leader", (circle,), "")
    assert tied.hole is not None
    assert tied.hole.centre == (1, 1)


@pytest.mark.parametrize(("tail", "ties"), [((3.0, 6.0), True), ((2.9, 6.05), True), ((2.0, 6.0), False)])
def test_a_leader_ties_by_its_tail(tail: tuple[float, float], ties: bool, tmp_path: Path) -> None:
    """It ends at the frame's edge, and no further off than one and a half letters."""
    board, circle = plate()
    board_of.frame(board, *CELLS, at=(3, 6))
    board_of.leader(board, (1.25, 1), (2, 5), tail)
    (tied,) = found(board, tmp_path).frames
    assert tied.handles == ((circle,) if ties else ())
    assert bool(tied.reason) is not ties


def test_a_leader_that_points_at_nothing_is_said(tmp_path: Path) -> None:
    """The frame is not tied, and the reason says so."""
    board, _ = plate()
    made = board_of.frame(board, *CELLS, at=(3, 6))
    board_of.leader(board, (3, 3), (3, 6), to=made)
    (tied,) = found(board, tmp_path).frames
    assert tied.handles == ()
    assert "points at no line" in tied.reason


def test_an_edge_is_a_feature_and_no_hole(tmp_path: Path) -> None:
    """A frame on an edge controls the edge."""
    board, _ = plate()
    edge = str(board.msp.query("LINE")[2].dxf.handle)
    made = board_of.frame(board, board_of.FLATNESS, ".002", at=(3, 6))
    board_of.leader(board, (3, 4), (3, 6), to=made)
    (tied,) = found(board, tmp_path).frames
    assert (tied.handles, tied.hole) == ((edge,), None)


@pytest.mark.parametrize(("down", "ties"), [(0.25, True), (0.5, True), (1.0, False), (-0.25, False)])
def test_the_dimension_above_ties(down: float, ties: bool, tmp_path: Path) -> None:
    """The frame hangs beneath the dimension's text, within five letters."""
    board, circle = plate()
    size = board.diameter((1, 1), 0.5)
    x, y, _ = board.doc.entitydb[size].dxf.text_midpoint
    board_of.frame(board, *CELLS, at=(x - 0.2, y - down))
    (tied,) = found(board, tmp_path).frames
    assert (tied.dimension, tied.handles) == ((size, (circle,)) if ties else ("", ()))
    assert bool(tied.reason) is not ties


def test_between_two_dimensions_it_is_tied_to_none(tmp_path: Path) -> None:
    """Two texts are as near above it: which one is meant can't be told."""
    board, _ = plate()
    board.across((0, 4), (3, 4), line_at=6)
    board.across((1.6, 4), (3.6, 4), line_at=6)
    board_of.frame(board, *CELLS, at=(1.7, 5.8))
    (tied,) = found(board, tmp_path).frames
    assert "more than one" in tied.reason


def test_all_that_was_read_is_claimed(tmp_path: Path) -> None:
    """Frames and datum letters by their handles."""
    board, _ = plate()
    first = board_of.frame(board, *CELLS)
    alone = board_of.frame(board, "B", at=(10, 12))
    letter = board_of.datum(board, "A", (8, 0))
    text = board.msp.add_mtext("⌓|.010|A", dxfattribs={"insert": (10, 14), "char_height": 0.125})
    result = found(board, tmp_path)
    assert result.claimed == {
        first: "feature control frame",
        alone: "feature control frame",
        str(text.dxf.handle): "feature control frame",
        letter: "datum letter",
    }
    assert {datum.letter for datum in result.datums} == {"A", "B"}


@pytest.mark.parametrize("left_out", range(4))
def test_a_box_has_four_sides(left_out: int, tmp_path: Path) -> None:
    """A letter with three lines around it is in no box."""
    board, _ = plate()
    board_of.frame(board, *CELLS)
    corners = [(8.0, 0.0), (8.25, 0.0), (8.25, 0.25), (8.0, 0.25)]
    for k in range(4):
        if k != left_out:
            board.line(corners[k], corners[(k + 1) % 4])
    board_of.letter_at(board, "A", (8.07, 0.06))
    result = found(board, tmp_path)
    assert result.datums == ()
    assert result.lone_letters == {"A"}


def test_a_frame_in_a_block_counts_once(tmp_path: Path) -> None:
    """A block that is shown twice shows one frame twice."""
    board, _ = plate()
    block = board.doc.blocks.new("DETAIL")
    block.new_entity("TOLERANCE", {"insert": (0, 0), "dimstyle": "Standard", "content": "%%v".join(CELLS)})
    board.msp.add_blockref("DETAIL", (10, 10))
    board.msp.add_blockref("DETAIL", (20, 10))
    assert len(found(board, tmp_path).frames) == 1


def test_a_sheet_s_frame_finds_the_model_through_its_viewport(tmp_path: Path) -> None:
    """Leader and frame stand on the sheet; the tip is on the hole in model space."""
    board, circle = plate()
    sheet = board.doc.layouts.new("PRINT")
    sheet.add_viewport((4, 2.5), (8, 5), (3, 2), 10)  # half size
    made = sheet.new_entity("TOLERANCE", {"insert": (6, 4), "dimstyle": "Standard", "content": "%%v".join(CELLS)})
    pointer = sheet.add_leader([(4 + (1.25 - 3) / 2, 2.5 + (1 - 2) / 2), (6, 4)], dimstyle="Standard")
    pointer.dxf.annotation_handle = made.dxf.handle
    (tied,) = found(board, tmp_path).frames
    assert (tied.layout, tied.handles) == ("PRINT", (circle,))


def test_a_multileader_with_a_block_shows_a_datum_letter(tmp_path: Path) -> None:
    """The letter is an attribute of the block that the leader ends in."""
    board, _ = plate()
    board_of.frame(board, *CELLS)
    block = board.doc.blocks.new("SYMBOL")
    block.add_attdef("LETTER", (0, 0), dxfattribs={"height": 0.125})
    builder = board.msp.add_multileader_block("Standard")
    builder.set_content("SYMBOL")
    builder.set_attribute("LETTER", "A")
    builder.add_leader_line(mleader.ConnectionSide.left, [Vec2(6, 2)])
    builder.build(insert=Vec2(8, 2))
    (datum,) = found(board, tmp_path).datums
    assert (datum.letter, datum.how) == ("A", "a leader ends at it")


def _note(board: Board, kind: str) -> None:
    """A note of two lines at (3, 6) with a pointer to the hole that nothing in the file ties to it."""
    words = "4X Ø.500 THRU\\PDEBURR"
    if kind == "multileader":
        builder = board.msp.add_multileader_mtext("Standard")
        builder.set_content(words, char_height=0.125)
        builder.add_leader_line(mleader.ConnectionSide.left, [Vec2(1.25, 1)])
        builder.build(insert=Vec2(3, 6))
        return
    if kind == "text":
        board.msp.add_text("4X Ø.500 THRU", height=0.125, dxfattribs={"insert": (3, 5.74)})
    else:
        at, anchor = {"top left": ((3, 6), 1), "middle left": ((3, 5.84), 4)}[kind]
        board.msp.add_mtext(words, dxfattribs={"insert": at, "char_height": 0.125, "attachment_point": anchor})
    board_of.leader(board, (1.25, 1), (2.8, 5.85), (2.95, 5.85))


@pytest.mark.parametrize("kind", ["text", "top left", "middle left", "multileader"])
def test_the_leader_of_the_note_above_ties_by_its_tail(kind: str, tmp_path: Path) -> None:
    """Without an annotation object the leader belongs to the text that it ends beside."""
    board, circle = plate()
    _note(board, kind)
    board_of.frame(board, *CELLS, at=(3, 5.5))
    (tied,) = found(board, tmp_path).frames
    assert (tied.by, tied.handles, tied.reason) == ("the leader of the note above", (circle,), "")


def test_a_note_above_without_a_leader_is_said(tmp_path: Path) -> None:
    """It is not true that no note stands there."""
    board, _ = plate()
    board.msp.add_text("4X Ø.500 THRU", height=0.125, dxfattribs={"insert": (3, 5.75)})
    board_of.frame(board, *CELLS, at=(3, 5.5))
    (tied,) = found(board, tmp_path).frames
    assert tied.reason == "no leader ends at it, and none ends at the text right above it"


def _boxed(board: Board, cells: list[str], open_: int | None = None) -> list[str]:
    """Texts in a row of boxes of single lines; `open_` is a box without its upper side."""
    x, y, handles = 3.0, 5.25, []
    for k, cell in enumerate(cells):
        wide = 0.12 * len(cell) + 0.13
        board.line((x, y), (x + wide, y))
        board.line((x, y), (x, y + 0.25))
        if k != open_:
            board.line((x, y + 0.25), (x + wide, y + 0.25))
        handles.append(board_of.letter_at(board, cell, (x + 0.06, y + 0.06)))
        x += wide
    board.line((x, y), (x, y + 0.25))
    return handles


def test_a_frame_drawn_with_boxes_is_one(tmp_path: Path) -> None:
    """It is tied as others are, and its letters define no datum."""
    board, circle = plate()
    _note(board, "text")
    sign, tolerance, *letters = _boxed(board, ["⌖", "Ø.010Ⓜ", "A", "B"])
    result = found(board, tmp_path)
    (tied,) = result.frames
    assert (str(tied.frame), tied.origin.handle) == ("⌖ | Ø.010Ⓜ | A | B", tolerance)
    assert tied.handles == (circle,)
    assert result.datums == ()
    assert set(result.claimed) == {sign, tolerance, *letters}


@pytest.mark.parametrize("polyline", [False, True])
def test_boxes_may_be_polylines_and_signs_of_the_drafting_font(polyline: bool, tmp_path: Path) -> None:
    """As a drawing program leaves a frame that was exploded."""
    board, _ = plate()
    x = 3.0
    for cell, wide in ((r"{\Fgdt;j}", 0.25), (r"{\Fgdt;n}.010", 0.75), ("A", 0.25)):
        corners = [(x, 5), (x + wide, 5), (x + wide, 5.25), (x, 5.25)]
        if polyline:
            board.msp.add_lwpolyline(corners, close=True)
        else:
            board.path(*corners)
        middle = {"insert": (x + wide / 2, 5.125), "char_height": 0.125, "attachment_point": 5}
        board.msp.add_mtext(cell, dxfattribs=middle)
        x += wide
    (tied,) = found(board, tmp_path).frames
    assert str(tied.frame) == "⌖ | Ø.010 | A"


@pytest.mark.parametrize(
    ("cells", "open_"),
    [
        (["⌖", "Ø.010", "A"], 1), (["—", "1", "A"], None), (["//", "2.5", "B"], None), (["⌖", "A", "B"], None),
        (["⌖", "Ø.010", "PLATE"], None), (["⌖"], None), (["1", "Ø.010", "A"], None), (["∠", "30° MAX", "A"], None),
    ],
)  # fmt: skip
def test_other_rows_of_boxes_are_no_frames(cells: list[str], open_: int | None, tmp_path: Path) -> None:
    """A box that is open, a row of a list, words, an angle: what can be something else is."""
    board, _ = plate()
    _boxed(board, cells, open_)
    assert found(board, tmp_path).frames == ()


def test_a_note_has_the_leader_of_the_frame_beneath_it(tmp_path: Path) -> None:
    """Note and frame are one group; the leader ends at the frame."""
    board, circle = plate()
    board.msp.add_text("Ø.531 THRU", height=0.125, dxfattribs={"insert": (3, 6.2)})
    frame = board_of.frame(board, *CELLS, at=(3, 6))
    board_of.leader(board, (1.25, 1), (2.8, 6), (3, 6))
    audit = board.audit(tmp_path, Settings())
    finding = next(f for f in audit.findings if f.rule == "hole-note-mismatch")
    assert {circle, frame} <= set(finding.handles)


def test_a_frame_has_the_hole_of_the_note_above_it(tmp_path: Path) -> None:
    """The note's pointer is a plain line."""
    board, circle = plate()
    board.msp.add_text("Ø.500 THRU", height=0.125, dxfattribs={"insert": (3, 5.8)})
    board.path((1 + 0.25 * 0.3473, 1 + 0.25 * 0.9377), (2.8, 5.86), (2.95, 5.86), close=False)
    board_of.frame(board, *CELLS, at=(3, 5.55))
    (tied,) = found(board, tmp_path).frames
    assert tied.reason
    drawing = read_drawing(tmp_path / "plate.dxf", Settings())
    geometries = [rebuild(space, drawing.unit, Settings()) for space in drawing.spaces]
    lengths = Settings().for_unit(drawing.unit)
    frames, notes = grouped(attach_frames(geometries, (), lengths), hole_notes(geometries, lengths))
    assert [note.carrier for note in notes] == [Carrier.LINE]
    assert (frames.frames[0].handles, frames.frames[0].reason) == ((circle,), "")


def test_a_frame_is_listed_as_a_person_reads_it(tmp_path: Path) -> None:
    """Not with the codes of the file."""
    board, _ = plate()
    handle = board_of.frame(board, *CELLS)
    audit = board.audit(tmp_path, Settings())
    assert [t.text for t in audit.texts if t.handle == handle] == ["⌖ | Ø.010 | A"]
