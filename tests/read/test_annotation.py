"""Where a text stands, and which spot of it its point is."""

from fractions import Fraction as F
from pathlib import Path

import pytest

from dimaudit.model.drawing import Note
from read.sketch import Sketch

HALF = F(1, 2)


def only_note(sketch: Sketch, tmp_path: Path) -> Note:
    (note,) = sketch.read(tmp_path).spaces[0].notes
    return note


@pytest.mark.parametrize(
    ("group", "anchor"),
    [(1, (0, 1)), (2, (HALF, 1)), (3, (1, 1)), (4, (0, HALF)), (5, (HALF, HALF)), (6, (1, HALF)), (7, (0, 0)),
     (8, (HALF, 0)), (9, (1, 0))],
)  # fmt: skip
def test_an_mtext_is_held_by_its_attachment_point(group: int, anchor: tuple[F, F], tmp_path: Path):
    """Group 71 of an MTEXT: 1 is top left, 9 is bottom right (DXF reference, MTEXT)."""
    sketch = Sketch()
    sketch.into.add_mtext("BORE", {"insert": (2, 3), "char_height": 0.125, "attachment_point": group})
    note = only_note(sketch, tmp_path)
    assert (note.at, note.anchor, note.height) == ((2, 3), anchor, F(1, 8))


@pytest.mark.parametrize(
    ("across", "up", "at", "anchor"),
    [(0, 0, (2, 3), (0, 0)), (1, 0, (5, 6), (HALF, 0)), (2, 3, (5, 6), (1, 1)), (4, 0, (5, 6), (HALF, HALF)),
     (0, 2, (5, 6), (0, HALF)), (5, 0, (F(7, 2), F(9, 2)), (HALF, 0))],
)  # fmt: skip
def test_a_text_that_is_aligned_is_held_by_its_second_point(
    across: int, up: int, at: tuple[int, int], anchor: tuple[F, F], tmp_path: Path
):
    """Groups 72 and 73 of a TEXT; 'fit' is held midway between its two points (DXF reference, TEXT)."""
    sketch = Sketch()
    sketch.into.add_text(
        "BORE", dxfattribs={"insert": (2, 3), "align_point": (5, 6), "halign": across, "valign": up, "height": 0.125}
    )
    note = only_note(sketch, tmp_path)
    assert (note.at, note.anchor) == (at, anchor)


def test_a_text_in_a_block_turns_with_it(tmp_path: Path):
    sketch = Sketch()
    sketch.block("LABEL").add_text("BORE", dxfattribs={"insert": (1, 0), "height": 0.125, "rotation": 30})
    sketch.model()
    sketch.insert("LABEL", (10, 10), rotation=90)
    note = only_note(sketch, tmp_path)
    assert (note.at, note.turn) == ((10, 11), 120)


def test_a_multileader_with_a_block_says_what_its_attributes_say(tmp_path: Path):
    from ezdxf.math import Vec2
    from ezdxf.render import mleader

    sketch = Sketch()
    block = sketch.doc.blocks.new("BALLOON")
    block.add_attdef("SIZE", (0, 0), dxfattribs={"height": 0.125})
    made = sketch.doc.modelspace().add_multileader_block()
    made.set_content("BALLOON")
    made.set_attribute("SIZE", "%%c.281")
    made.add_leader_line(mleader.ConnectionSide.left, [Vec2(1, 2)])
    made.build(insert=Vec2(5, 5))
    (leader,) = sketch.read(tmp_path).spaces[0].leaders
    assert (leader.text, leader.tips) == ("%%c.281", ((1, 2),))
