"""What of a hole note could not be judged is said, and only that."""

from pathlib import Path

from read.sketch import Sketch

from dimaudit.model.audit import DrawingAudit


def flange() -> Sketch:
    """A flange of Ø6 with three holes of Ø.5, and its size."""
    sketch = Sketch()
    sketch.circle((0, 0), 3)
    for at in ((2, 0), (-1, 1), (0, "-1.5")):
        sketch.circle(at, "0.25")
    return sketch


def note(sketch: Sketch, words: str) -> str:
    made = sketch.into.add_mtext(words, {"char_height": 0.2, "insert": (5, 5)})
    sketch.into.add_leader([(2.25, 0), (5, 5)]).dxf.annotation_handle = made.dxf.handle
    return str(made.dxf.handle)


def why(audit: DrawingAudit, handle: str) -> str:
    (found,) = (text for text in audit.texts if text.handle == handle)
    assert found.read_as == "hole note"
    return found.why


def test_a_bolt_circle_that_is_not_drawn(tmp_path: Path):
    sketch = flange()
    sketch.across((-3, 0), (3, 0), -4)
    own = note(sketch, "6X Ø.500 THRU ON Ø4.00 B.C.")
    assert why(sketch.audit(tmp_path), own).startswith("its bolt circle: ")


def test_sizes_where_nothing_says_the_scale(tmp_path: Path):
    sketch = flange()
    own = note(sketch, "Ø.500 THRU")
    assert why(sketch.audit(tmp_path), own).startswith("its sizes: no dimension belongs")


def test_the_count_is_judged_from_above_where_no_view_is_known(tmp_path: Path):
    """More than the whole drawing holds are too many at any scale; fewer may be meant."""
    sketch = flange()
    own = note(sketch, "4X Ø.500 THRU")
    audit = sketch.audit(tmp_path)
    assert why(audit, own).startswith("its sizes, and whether it counts too few holes: no dimension belongs")
    (found,) = (f for f in audit.findings if f.rule == "count-mismatch")
    assert found.why[0] == "stated 4, equal holes drawn in the whole drawing: 3"


def test_a_count_that_the_drawing_holds(tmp_path: Path):
    sketch = flange()
    note(sketch, "3X Ø.500 THRU")
    assert not [f for f in sketch.audit(tmp_path).findings if f.rule == "count-mismatch"]


def test_a_cell_of_a_table_lacks_no_leader(tmp_path: Path):
    sketch = flange()
    sketch.across((-3, 0), (3, 0), -4)
    rows = (("HOLE", "X", "Y", "SIZE"), ("A1", "2.00", "0", "Ø.500 THRU"), ("A2", "-1", "1", "Ø.500 THRU"))
    for k, row in enumerate(rows):
        for j, cell in enumerate(row):
            sketch.into.add_text(cell, height=0.2, dxfattribs={"insert": (6 + 2 * j, 6 - k)})
    cells = {text.text: (text.read_as, text.why) for text in sketch.audit(tmp_path).texts}
    assert cells["Ø.500 THRU"] == ("hole table", "")


def test_a_radius_whose_leader_ends_on_no_arc(tmp_path: Path):
    sketch = flange()
    made = sketch.into.add_mtext("R.25", {"char_height": 0.2, "insert": (5, 5)})
    sketch.into.add_leader([(4, 4), (5, 5)]).dxf.annotation_handle = made.dxf.handle
    (found,) = sketch.audit(tmp_path).texts
    assert (found.read_as, found.why) == ("radius note", "its leader ends on no arc")


def test_a_note_that_is_judged(tmp_path: Path):
    sketch = flange()
    sketch.across((-3, 0), (3, 0), -4)
    own = note(sketch, "Ø.500 THRU")
    assert why(sketch.audit(tmp_path), own) == ""
