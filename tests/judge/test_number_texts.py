"""Texts with a number that are no dimension's own: each is listed, read or not."""

from fractions import Fraction
from pathlib import Path

from read.sketch import Sketch, audited

from dimaudit.judge.texts import LIKE_A_SIZE
from dimaudit.model.units import Unit


def test_what_is_not_understood_is_listed_with_its_handle(tmp_path: Path) -> None:
    """A lone size and a line nobody understands are listed, the size first; names are not."""
    sketch = Sketch(Unit.INCH)
    sketch.rect(0, 0, Fraction(4), 4)
    strange = sketch.into.add_text("KEEP 12 BELOW THE LINE", dxfattribs={"insert": (1, 6)})
    lone = sketch.into.add_mtext(r"\A1;{\H0.7x;.250}", dxfattribs={"insert": (2, 2)})
    for name in ("DRAWING NO. WBP-101", "1. BREAK SHARP EDGES.", "EVENING CLASS"):
        sketch.into.add_text(name, dxfattribs={"insert": (9, 9)})
    audit = audited(sketch.save(tmp_path))
    found = [(t.handle, t.text, t.why) for t in audit.unread_texts()]
    assert found == [(lone.dxf.handle, ".250", LIKE_A_SIZE), (strange.dxf.handle, "KEEP 12 BELOW THE LINE", "")]
    assert audit.unread_texts()[0].at == (2.0, 2.0)


def test_a_text_in_a_block_counts_once(tmp_path: Path) -> None:
    """An entity shown by several block references is one text."""
    sketch = Sketch(Unit.INCH)
    sketch.rect(0, 0, Fraction(4), 4)
    block = sketch.doc.blocks.new("LABEL")
    block.add_text("TURN TO .500", dxfattribs={"insert": (0, 0)})
    for x in (1, 2, 3):
        sketch.into.add_blockref("LABEL", (x, 1))
    assert [t.text for t in audited(sketch.save(tmp_path)).texts] == ["TURN TO .500"]
