"""A view's own factor and where it is from, and which view a scale label belongs to."""

from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from read.sketch import Sketch, audited

from dimaudit.judge.labels import claimed, scale_labels, scales_of_views
from dimaudit.judge.scale import ViewFactor, factor_of, find_scales
from dimaudit.judge.stating import state
from dimaudit.model.drawing import Kind
from dimaudit.model.projection import projections
from dimaudit.model.settings import Settings, ViewBox
from dimaudit.model.view import Geometry
from dimaudit.pipeline import audit_file
from dimaudit.read import read_drawing
from dimaudit.rebuild import rebuild

F = Fraction


def factor(sketch: Sketch, folder: Path, settings: Settings | None = None) -> ViewFactor:
    """Of the only view; the scales are those that judging finds."""
    audit = audited(sketch.save(folder), settings)
    judgements = audit.judgements
    attached = [j.attached for j in judgements]
    (view,) = {id(a.view): a.view for a in attached if a.view is not None}.values()
    statements = [state(a, (settings or Settings()).rounding) for a in attached]
    scales = find_scales(attached, statements, audit.unit)
    return factor_of(view, judgements, tuple(scales.values()))


def block(sketch: Sketch, texts: tuple[str, str, str] = ("", "", ""), **style: Any) -> None:
    """A step of 6 by 2 with three lengths of different values."""
    sketch.chain((0, 0), (6, 0), (6, 1), (4, 1), (4, 2), (0, 2), (0, 0))
    more = {"style": style} if style else {}
    sketch.across((0, 0), (6, 0), text=texts[0], **more)
    sketch.across((0, 2), (4, 2), 3, text=texts[1], **more)
    sketch.upright((0, 0), (0, 2), text=texts[2], **more)


def test_dimlfac_says_the_factor(tmp_path: Path) -> None:
    """DIMLFAC is true size over drawn size, so the view's factor is its inverse."""
    sketch = Sketch()
    block(sketch, dimlfac=0.5)
    found = factor(sketch, tmp_path)
    assert (found.factor, found.source, found.known) == (2, "DIMLFAC 1/2 of 3 dimensions", True)


def test_the_dimensions_say_that_a_view_is_at_full_size(tmp_path: Path) -> None:
    """Texts that state what is drawn say 1:1."""
    sketch = Sketch()
    block(sketch)
    found = factor(sketch, tmp_path)
    assert (found.factor, found.source, found.known) == (1, "the dimensions themselves", True)


def test_the_found_scale_says_the_factor(tmp_path: Path) -> None:
    """Texts that are all twice what is drawn say 1:2."""
    sketch = Sketch()
    block(sketch, ("12.0", "8.0", "4.0"))
    found = factor(sketch, tmp_path)
    assert (found.factor, found.known) == (F(1, 2), True)
    assert found.source == "3 dimensions that agree on it"


def test_the_users_word_outranks_the_dimensions(tmp_path: Path) -> None:
    """The scale that the user gives for a box is the view's."""
    sketch = Sketch()
    block(sketch, ("12.0", "8.0", "5.0"))
    box = ViewBox((F(-1), F(-1)), (F(9), F(9)), F(1, 2))
    found = factor(sketch, tmp_path, Settings(views=(box,)))
    assert (found.factor, found.source) == (F(1, 2), "the user's word")


def test_nothing_says_the_factor(tmp_path: Path) -> None:
    """Where every text is a variable, 1:1 is assumed and marked so."""
    sketch = Sketch()
    block(sketch, ("W", "L", "H"))
    found = factor(sketch, tmp_path)
    assert (found.factor, found.source, found.known) == (1, "1:1 assumed: nothing says otherwise", False)


def test_two_factors_are_not_known(tmp_path: Path) -> None:
    """A view that is dimensioned at two factors has the more frequent one, and it is not known."""
    sketch = Sketch()
    block(sketch)
    sketch.upright((6, 0), (6, 1), 7, style={"dimlfac": 4.0})
    found = factor(sketch, tmp_path)
    assert (found.factor, found.known) == (1, False)


# --- labels ------------------------------------------------------------------------------------------------------


def geometries(sketch: Sketch, folder: Path) -> list[Geometry]:
    drawing = read_drawing(sketch.save(folder), Settings())
    return [rebuild(space, drawing.unit, Settings()) for space in drawing.spaces]


def note(sketch: Sketch, text: str, at: tuple[float, float], height: float = 0.2) -> str:
    made = sketch.into.add_text(text, height=height, dxfattribs={"insert": at})
    return str(made.dxf.handle)


def plates(sketch: Sketch) -> None:
    """Two plates of 4 by 2, the second 20 to the right, each with one dimension."""
    for x in (0, 20):
        sketch.rect(x, 0, 4, 2)
        sketch.across((x, 0), (x + 4, 0))


PLACES: list[tuple[str, tuple[float, float], str]] = [
    ("below the first", (1, -1.5), "view 1"),
    ("above the second", (21, 2.5), "view 2"),
    ("inside the second", (22, 1), "view 2"),
    ("half way between", (12, 1), ""),
    ("nearer to the first, but not by half", (10, 1), ""),
    ("far below", (1, -12), ""),
]


@pytest.mark.parametrize(("at", "view"), [p[1:] for p in PLACES], ids=[p[0] for p in PLACES])
def test_a_label_belongs_to_the_view_that_it_clearly_stands_at(
    tmp_path: Path, at: tuple[float, float], view: str
) -> None:
    """The nearest view, where no other is nearly as near and none is too far; else no view."""
    sketch = Sketch()
    plates(sketch)
    handle = note(sketch, "SCALE 1:1", at)
    (found,) = scale_labels(geometries(sketch, tmp_path), {})
    assert (found.view.name if found.view else "") == view
    assert claimed([found]) == {handle: f"scale of {view or 'the drawing'}"}


def test_the_nearer_of_two_labels_is_the_views(tmp_path: Path) -> None:
    """A second label further off is the drawing's, not the view's."""
    sketch = Sketch()
    plates(sketch)
    note(sketch, "SCALE 1:1", (1, -0.5))
    note(sketch, "SCALE 1:2", (1, -1.5))
    found = scale_labels(geometries(sketch, tmp_path), {})
    assert [(p.label.text, p.view.name if p.view else "") for p in found] == [("1:1", "view 1"), ("1:2", "")]


def test_a_title_in_a_text_of_its_own_is_taken_in(tmp_path: Path) -> None:
    """'DETAIL A' right above '2:1' makes the ratio a scale; 'DETAIL A' far away does not."""
    for away, titled in ((0.4, True), (6.0, False)):
        sketch = Sketch()
        plates(sketch)
        note(sketch, "2:1", (1, -1.5))
        note(sketch, "DETAIL A", (1, -1.5 + away))
        (found,) = scale_labels(geometries(sketch, tmp_path), {})
        assert (found.label.title, found.label.worded) == (("detail a", True) if titled else ("", False))


def test_a_cell_of_its_own_is_a_title_blocks_unless_a_views_title_is_beside_it(tmp_path: Path) -> None:
    """SCALE in one text and 2:1 in the next, near a view: the drawing's, but for DETAIL A right above."""
    for away, view in ((0.4, "view 1"), (6.0, "")):
        sketch = Sketch()
        plates(sketch)
        handle = note(sketch, "2:1", (1, -1.5))
        note(sketch, "DETAIL A", (1, -1.5 + away))
        (found,) = scale_labels(geometries(sketch, tmp_path), {handle: "SCALE 2:1"})
        assert (found.label.worded, found.of_view) == (True, view)
        read = [f"scale of {view}: 2:1"] if view else []
        assert [said.read_as for said in scales_of_views([found])] == read


def test_the_scale_of_a_view_is_no_entry_of_the_title_block(tmp_path: Path) -> None:
    """The detail's label and the title block's cells are listed apart."""
    sketch = Sketch()
    plates(sketch)
    note(sketch, "SCALE 2:1", (21, -0.5))
    note(sketch, "SCALE", (40, -30))
    note(sketch, "1:1", (41, -30))
    audit = audited(sketch.save(tmp_path))
    assert [said.read_as for said in audit.title_block.read] == ["scale 1:1"]
    assert [said.read_as for said in audit.view_scales] == ["scale of view 2: 2:1"]


def test_a_bare_ratio_that_stands_at_no_view_is_not_understood(tmp_path: Path) -> None:
    """It is left to the list of texts that were not read."""
    sketch = Sketch()
    plates(sketch)
    note(sketch, "1:10", (12, 1))
    assert claimed(scale_labels(geometries(sketch, tmp_path), {})) == {}


def test_a_label_on_a_sheet_belongs_to_the_view_in_the_viewport(tmp_path: Path) -> None:
    """Two viewports show a plate each; the label below the second one is of the second plate."""
    sketch = Sketch()
    plates(sketch)
    sheet = sketch.sheet()
    sketch.window(sheet, (5, 5), 4, 3, (2, 1), 3)
    sketch.window(sheet, (15, 5), 4, 3, (22, 1), 6)
    note(sketch, "SCALE 1:2", (14, 3))
    (found,) = scale_labels(geometries(sketch, tmp_path), {})
    assert found.view is not None
    assert found.pane is not None
    assert (found.view.name, found.pane.scale, found.layout) == ("view 2", F(1, 2), "Sheet")


# --- views in line -----------------------------------------------------------------------------------------------


def rectangle(sketch: Sketch, x: float, y: float, w: float, h: float) -> None:
    sketch.rect(F(str(x)), F(str(y)), F(str(w)), F(str(h)))
    sketch.dim(Kind.LINEAR, {13: (x, y), 14: (x + w, y), 10: (x, y - 0.5)})


LINES: list[tuple[str, list[tuple[float, float, float, float]], float, list[tuple[str, str, int]]]] = [
    # name, rectangles (x, y, width, height), share, the pairs
    ("front and top", [(0, 0, 4, 2), (0, 5, 4, 3)], 0, [("view 1", "view 2", 0)]),
    ("front and side", [(0, 0, 4, 2), (9, 0, 3, 2)], 0, [("view 1", "view 2", 1)]),
    ("front, top and side", [(0, 0, 4, 2), (0, 5, 4, 3), (9, 0, 3, 2)], 0,
     [("view 1", "view 2", 0), ("view 1", "view 3", 1)]),
    ("not in line", [(0, 0, 4, 2), (0.5, 5, 4, 3)], 0, []),
    ("of another length", [(0, 0, 4, 2), (0, 5, 4.05, 3)], 0, []),
    ("nearly of the length", [(0, 0, 4, 2), (0, 5, 4.05, 3)], 0.03, [("view 1", "view 2", 0)]),
    ("nearly, and off at both ends", [(0, 0, 4, 2), (-0.05, 5, 4.1, 3)], 0.03, []),
    ("three in a row", [(0, 0, 4, 2), (0, 5, 4, 3), (0, 11, 4, 1)], 0,
     [("view 1", "view 2", 0), ("view 2", "view 3", 0)]),
    ("another between", [(0, 0, 4, 2), (1, 4, 1, 1), (0, 8, 4, 3)], 0, []),
]  # fmt: skip


@pytest.mark.parametrize(("boxes", "share", "pairs"), [n[1:] for n in LINES], ids=[n[0] for n in LINES])
def test_views_in_line(
    tmp_path: Path, boxes: list[tuple[float, float, float, float]], share: float, pairs: list[tuple[str, str, int]]
) -> None:
    """Neighbours that share both overall ends along one axis are in line (ISO 128-3, ASME Y14.3)."""
    sketch = Sketch()
    for box in boxes:
        rectangle(sketch, *box)
    (geometry,) = geometries(sketch, tmp_path)
    found = projections(geometry.views, 1e-5, share)
    assert [(p.first.name, p.second.name, p.axis) for p in found] == pairs


def steps(sketch: Sketch, front: tuple[float, ...], top: tuple[float, ...], length: float = 6) -> None:
    """A front and a top view in line, each with hidden lines at these levels."""
    for y, wide, levels in ((0, 6.0, front), (5, length, top)):
        rectangle(sketch, 0, y, wide, 2)
        for x in levels:
            sketch.line((x, y), (x, y + 2))


NOT_COMPARED: list[tuple[str, tuple[float, ...], tuple[float, ...], float, str]] = [
    ("none shared", (1.25,), (1.27,), 6, "they share 0 levels between the ends, 3 are needed"),
    ("one shared", (1.25, 4), (1.27, 4), 6, "they share 1 level between the ends, 3 are needed"),
    ("other parts", (1, 2, 3, 4.5), (1, 2, 3, 5.5), 6, "each holds levels that the other has not"),
    ("ends differ", (1, 2, 3, 4.5), (1, 2, 3, 5.5), 6.1, "their overall ends differ"),
]


OPEN = [pytest.param(*rest, id=name) for name, *rest in NOT_COMPARED]


@pytest.mark.parametrize(("front", "top", "length", "why"), OPEN)
def test_views_in_line_that_are_not_compared_are_said(
    tmp_path: Path, front: tuple[float, ...], top: tuple[float, ...], length: float, why: str
) -> None:
    """Both hold levels, and too little is shared to tell a mistake from another part: that is no silent pass."""
    sketch = Sketch()
    steps(sketch, front, top, length)
    audit = audited(sketch.save(tmp_path))
    (pair,) = audit.views_not_compared
    assert (pair.first, pair.second, pair.axis, pair.layout) == ("view 1", "view 2", 0, "Model")
    assert pair.why.startswith(why)
    assert [f for f in audit.findings if f.rule == "views-disagree"] == []


COMPARED: list[tuple[str, tuple[float, ...], tuple[float, ...]]] = [
    ("all agree", (1, 2), (1, 2)), ("nothing in the one", (1, 2), ()),
    ("compared, and one step off", (1, 2, 3, 4.5), (1, 2, 3, 4.52)),
    ("compared, and left out", (1, 2, 3, 4.5), (1, 2, 3)),
]  # fmt: skip


@pytest.mark.parametrize(("front", "top"), [n[1:] for n in COMPARED], ids=[n[0] for n in COMPARED])
def test_views_that_are_compared_or_leave_nothing_to_compare_are_not_said(
    tmp_path: Path, front: tuple[float, ...], top: tuple[float, ...]
) -> None:
    """Only what was left open is listed."""
    sketch = Sketch()
    steps(sketch, front, top)
    assert audited(sketch.save(tmp_path)).views_not_compared == ()


def test_views_at_different_scales_are_not_compared(tmp_path: Path) -> None:
    """The second view has DIMLFAC 2."""
    sketch = Sketch()
    steps(sketch, (1, 2), ())
    sketch.rect(0, 10, 6, 2)
    sketch.line((2.5, 10), (2.5, 12))
    sketch.across((0, 10), (6, 10), 9, style={"dimlfac": 2.0})
    sketch.line((1, 5), (1, 7))
    said = [(p.first, p.second, p.why) for p in audited(sketch.save(tmp_path)).views_not_compared]
    assert ("view 2", "view 3", "they are dimensioned at different scales") in said


def test_labels_and_views_in_line_break_nothing(tmp_path: Path) -> None:
    """A label without letters' height, in a space without views, and views of nothing but centrelines: no fault."""
    sketch = Sketch()
    note(sketch, "SCALE 1:2", (0, 0), height=0)
    sketch.doc.linetypes.add("CENTER", [2.0, 1.25, -0.25, 0.25, -0.25])
    for y in (0, 5):
        sketch.line((0, y), (4, y), linetype="CENTER")
        sketch.across((0, y), (4, y))
    _, faults = audit_file(sketch.save(tmp_path), Settings())
    assert faults == ()
