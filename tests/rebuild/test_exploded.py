"""Exploded dimensions: drawn whole by the DXF library, judged, exploded, and judged again. Both must say the same.

The library that draws the pieces is the oracle: it knows nothing of how they are put together again.
"""

from collections.abc import Callable
from fractions import Fraction as F
from math import cos, sin
from pathlib import Path
from time import process_time
from typing import Any

import ezdxf
import pytest
from ezdxf.document import Drawing as Document
from read.sketch import audited

from dimaudit.exact.real import nearly
from dimaudit.model.audit import DrawingAudit, Judgement
from dimaudit.model.drawing import Kind
from dimaudit.model.settings import Settings
from dimaudit.pipeline import audit_file
from dimaudit.read import read_drawing
from dimaudit.rebuild import put_together

INCH, METRIC = False, True


def sheet(metric: bool = INCH, **style: Any) -> Document:
    """A bearing block: a plate with a hole, a boss with a chamfered corner, a slope; one style for all."""
    doc = ezdxf.new("R2010")
    doc.header["$INSUNITS"] = 4 if metric else 1
    size = 2.5 if metric else 0.125
    values = {
        "dimlfac": 1.0, "dimtxt": size, "dimasz": size, "dimexo": size / 2, "dimexe": size, "dimgap": size / 2,
        "dimdec": 2 if metric else 3, "dimzin": 8 if metric else 4, "dimdsep": 44 if metric else 46, "dimtsz": 0.0,
        "dimtad": 1 if metric else 0, "dimblk": "", "dimadec": 1, "dimtih": 0,
    }  # fmt: skip
    doc.dimstyles.new("SHOP", dxfattribs=values | style)
    msp, k = doc.modelspace(), 25.0 if metric else 1.0
    msp.add_lwpolyline([(0, 0), (6 * k, 0), (6 * k, 2.5 * k), (4 * k, 4 * k), (0, 4 * k)], close=True)
    msp.add_circle((2 * k, 2 * k), 0.375 * k)
    return doc


def dimensioned(doc: Document, k: float) -> None:
    msp = doc.modelspace()
    style = {"dimstyle": "SHOP"}
    msp.add_linear_dim((0, 5.5 * k), (0, 4 * k), (6 * k, 2.5 * k), **style).render()
    msp.add_linear_dim((0, 4.75 * k), (0, 4 * k), (2 * k, 2 * k), **style).render()
    msp.add_linear_dim((0, 4.75 * k), (2 * k, 2 * k), (4 * k, 4 * k), **style).render()
    msp.add_linear_dim((7.5 * k, 0), (6 * k, 0), (4 * k, 4 * k), angle=90, **style).render()
    msp.add_linear_dim((-k, 0), (0, 0), (2 * k, 2 * k), angle=90, text="<> TYP", **style).render()
    msp.add_aligned_dim((4 * k, 4 * k), (6 * k, 2.5 * k), 0.6 * k, **style).render()
    msp.add_diameter_dim((2 * k, 2 * k), radius=0.375 * k, angle=30, **style).render()
    msp.add_angular_dim_2l(
        (5.2 * k, 2.2 * k), ((6 * k, 0), (6 * k, 2.5 * k)), ((4 * k, 4 * k), (6 * k, 2.5 * k)), **style
    ).render()


def explode(doc: Document) -> dict[str, str]:
    """Takes every dimension apart; gives back the handle of its text by that of the dimension."""
    msp = doc.modelspace()
    texts = {}
    for dimension in list(msp.query("DIMENSION")):
        for entity in list(dimension.virtual_entities()):  # type: ignore[attr-defined]
            if entity.dxftype() == "POINT":
                continue
            msp.add_entity(entity)
            if entity.dxftype() in ("TEXT", "MTEXT"):
                texts[str(dimension.dxf.handle)] = str(entity.dxf.handle)
        msp.delete_entity(dimension)
    return texts


def by_handle(audit: DrawingAudit) -> dict[str, Judgement]:
    return {j.attached.dimension.handle: j for j in audit.judgements}


def whole_and_exploded(doc: Document, folder: Path) -> list[tuple[Judgement, Judgement]]:
    """Pairs of judgements; every dimension must be there both times, and nothing else."""
    doc.saveas(folder / "whole.dxf")
    whole = by_handle(audited(folder / "whole.dxf"))
    texts = explode(doc)
    doc.saveas(folder / "exploded.dxf")
    pieces = by_handle(audited(folder / "exploded.dxf"))
    assert set(pieces) == {texts[handle] for handle in whole}
    return [(judgement, pieces[texts[handle]]) for handle, judgement in whole.items()]


STYLES: dict[str, dict[str, Any]] = {
    "filled arrowheads": {},
    "open arrowheads": {"dimblk": "OPEN30"},
    "wide open arrowheads": {"dimblk": "OPEN90"},
    "blank arrowheads": {"dimblk": "CLOSEDBLANK"},
    "oblique ticks": {"dimtsz": 0.1},
    "tick blocks": {"dimblk": "ARCHTICK"},
    "dots": {"dimblk": "DOT"},
    "text above": {"dimtad": 1},
    "text in the gap": {"dimtad": 0},
    "text below": {"dimtad": 4},
    "no gap at the part": {"dimexo": 0.0},
    "wide gap at the part": {"dimexo": 0.2},
    "extension lines that stop at the dimension line": {"dimexe": 0.0},
    "large arrowheads": {"dimasz": 0.25},
    "upright text": {"dimtih": 1},
}


@pytest.mark.parametrize("name", STYLES)
def test_an_exploded_dimension_says_what_the_whole_one_said(name: str, tmp_path: Path) -> None:
    """Kind, number as read, exact measured value and verdict are those of the dimension before it was exploded."""
    doc = sheet(**STYLES[name])
    dimensioned(doc, 1.0)
    pairs = whole_and_exploded(doc, tmp_path)
    assert len(pairs) == 8
    for whole, pieces in pairs:
        straight = (Kind.LINEAR, Kind.ALIGNED)  # at an angle the two can't be told apart, and measure the same
        kinds = [j.attached.dimension.kind for j in (whole, pieces)]
        assert kinds[0] is kinds[1] or set(kinds) <= set(straight)
        assert pieces.attached.dimension.exploded
        assert (pieces.text, pieces.stated, pieces.verdict) == (whole.text, whole.stated, whole.verdict)
        assert pieces.measured == whole.measured
        assert pieces.from_features


@pytest.mark.parametrize("name", ["filled arrowheads", "oblique ticks", "dots", "text below"])
def test_metric_dimensions_with_a_comma(name: str, tmp_path: Path) -> None:
    """Millimetres, a comma, letters 2,5 high: the same."""
    style = dict(STYLES[name])
    if "dimtsz" in style:
        style["dimtsz"] = 2.0
    doc = sheet(METRIC, **style)
    dimensioned(doc, 25.0)
    for whole, pieces in whole_and_exploded(doc, tmp_path):
        assert (pieces.stated, pieces.verdict, pieces.measured) == (whole.stated, whole.verdict, whole.measured)


def small(msp: Any) -> None:
    """A length too short for its arrowheads and its text."""
    msp.add_lwpolyline([(9, 0), (9.3, 0), (9.3, 1), (9, 1)], close=True)
    msp.add_linear_dim((0, 2), (9, 1), (9.3, 1), dimstyle="SHOP").render()


def moved_with_a_leader(msp: Any) -> None:
    style = msp.add_linear_dim((0, 5), (0, 4), (4, 4), dimstyle="SHOP")
    style.set_location((1.5, 6.5), leader=True)
    style.render()


def radius_from_inside(msp: Any) -> None:
    msp.add_arc((12, 0), 1.5, 0, 90)
    msp.add_radius_dim((12, 0), radius=1.5, angle=40, dimstyle="SHOP").render()


def tilted(msp: Any) -> None:
    """A plate that stands at an angle, and the horizontal distance of two of its corners."""
    corners = [(12.0, 0.0), (16.0, 3.0), (14.5, 5.0), (10.5, 2.0)]
    msp.add_lwpolyline(corners, close=True)
    msp.add_linear_dim((0, 6), corners[3], corners[1], dimstyle="SHOP").render()
    msp.add_aligned_dim(corners[0], corners[1], -1, dimstyle="SHOP").render()


def three_points(msp: Any) -> None:
    """An angle of more than half a turn, between the sides of a wedge."""
    msp.add_lwpolyline([(12, 0), (15, 0)])
    msp.add_lwpolyline([(12, 0), (12, 3)])
    msp.add_angular_dim_3p((11, -1), (12, 0), (12, 3), (15, 0), dimstyle="SHOP").render()


MORE = [small, moved_with_a_leader, radius_from_inside, tilted, three_points]


@pytest.mark.parametrize("draw", MORE, ids=lambda d: d.__name__)
@pytest.mark.parametrize("style", ["filled arrowheads", "text above"])
def test_awkward_places(draw: Callable[[Any], None], style: str, tmp_path: Path) -> None:
    """Outside arrowheads, texts at the end of their line, dimensions at an angle, reflex angles."""
    doc = sheet(**STYLES[style])
    draw(doc.modelspace())
    for whole, pieces in whole_and_exploded(doc, tmp_path):
        assert pieces.stated == whole.stated
        assert pieces.measured is not None
        assert whole.measured is not None
        assert nearly(pieces.measured) == pytest.approx(nearly(whole.measured), rel=1e-9)


def test_the_pieces_are_no_outline(tmp_path: Path) -> None:
    """What is left of the linework is the part, the texts are claimed, and the handles are all still there."""
    doc = sheet()
    dimensioned(doc, 1.0)
    part = {str(e.dxf.handle) for e in doc.modelspace().query("LWPOLYLINE CIRCLE")}
    texts = explode(doc)
    doc.saveas(tmp_path / "exploded.dxf")
    loose = read_drawing(tmp_path / "exploded.dxf", Settings()).spaces[0]
    space = put_together(loose)
    assert {shape.origin.handle for shape in space.shapes} == part
    assert {d.handle for d in space.dimensions if d.exploded} == set(texts.values())
    assert space.handles == loose.handles
    for dimension in space.dimensions:
        assert set(dimension.pieces) <= space.handles


@pytest.mark.parametrize("scale", [1.0, 2.0])
def test_exploded_inside_a_block(scale: float, tmp_path: Path) -> None:
    """In a block that is shown twice it counts once, and a block that is shown enlarged keeps its own size."""
    doc = sheet()
    dimensioned(doc, 1.0)
    explode(doc)
    msp = doc.modelspace()
    block = doc.blocks.new("BEARING")
    for entity in list(msp):
        msp.move_to_layout(entity, block)
    for x in (0, 40):
        msp.add_blockref("BEARING", (x, 0), dxfattribs={"xscale": scale, "yscale": scale})
    doc.saveas(tmp_path / "blocks.dxf")
    judgements = audited(tmp_path / "blocks.dxf").judgements
    assert len(judgements) == len({j.attached.dimension.handle for j in judgements}) == 8
    assert {j.measured for j in judgements} >= {F(6), F(2), F(4), F(3, 4)}


@pytest.mark.parametrize("seen", [5.0, 10.0])
def test_exploded_on_a_sheet(seen: float, tmp_path: Path) -> None:
    """On a sheet it measures the model through its viewport, as a whole dimension does."""
    doc = sheet()
    paper = doc.layouts.new("PRINT")
    paper.add_viewport((4, 2.5), (8, 5), (seen * 0.8, seen / 2), seen)
    k = 5 / seen
    made = paper.add_linear_dim((0, 4.4 * k), (0, 4 * k), (6 * k, 2.5 * k), dimstyle="SHOP", text="6.000")
    made.render()
    for entity in list(made.dimension.virtual_entities()):
        if entity.dxftype() != "POINT":
            paper.add_entity(entity)
    paper.delete_entity(made.dimension)
    doc.saveas(tmp_path / "paper.dxf")
    (judgement,) = audited(tmp_path / "paper.dxf").judgements
    assert judgement.attached.dimension.exploded
    assert judgement.measured == 6


def test_drawn_by_hand_in_single_lines(tmp_path: Path) -> None:
    """Open arrowheads of two lines each, closed ones of three, and ticks, all plain lines; the text a TEXT."""
    doc = sheet()
    msp = doc.modelspace()
    msp.delete_all_entities()
    msp.add_lwpolyline([(0, 0), (6, 0), (6, 4), (0, 4)], close=True)
    for level, kind in ((5.0, "open"), (5.5, "closed"), (6.0, "tick")):
        for x in (0.0, 6.0):
            msp.add_line((x, 4.0625), (x, level + 0.1))
            side = 0.15 if x == 0 else -0.15
            if kind == "tick":
                msp.add_line((x - 0.06, level - 0.06), (x + 0.06, level + 0.06))
                continue
            for up in (0.05, -0.05):
                msp.add_line((x, level), (x + side, level + up))
            if kind == "closed":
                msp.add_line((x + side, level + 0.05), (x + side, level - 0.05))
        msp.add_line((0, level), (6, level))
        msp.add_text("6.000", height=0.125, dxfattribs={"halign": 1, "align_point": (3, level + 0.06)})
    doc.saveas(tmp_path / "hand.dxf")
    audit = audited(tmp_path / "hand.dxf")
    assert [(j.measured, str(j.verdict)) for j in audit.judgements] == [(F(6), "exact")] * 3
    # One size three times, and no other: that is said, too.
    assert {f.rule for f in audit.findings} == {"exploded-dimension", "repeated-dimension", "not-located"}


def test_an_overall_dimension_keeps_clear_of_those_inside_it(tmp_path: Path) -> None:
    """Baseline dimensions one above the other with ticks: each text goes to its own line, the wrong one, too."""
    doc = sheet(dimtsz=0.1, dimtad=1)
    msp = doc.modelspace()
    for n, (x, text) in enumerate(((2, "2.000"), (4, "4.500"), (6, "6.000"))):
        y = 4 if x < 6 else 2.5
        msp.add_linear_dim((0, 4.6 + n * 0.3), (0, 4), (x, y), text=text, dimstyle="SHOP").render()
    explode(doc)
    doc.saveas(tmp_path / "base.dxf")
    audit = audited(tmp_path / "base.dxf")
    assert {j.text: nearly(j.measured) for j in audit.judgements if j.measured is not None} == {
        "2.000": 2, "4.500": 4, "6.000": 6,
    }  # fmt: skip


def test_time_grows_with_the_drawing_and_no_faster(tmp_path: Path) -> None:
    """Four times the numbers in a table, with arrowheads among them, take about four times as long: not sixteen."""
    from time import process_time

    def seconds(rows: int) -> float:
        doc = ezdxf.new("R2010")
        msp = doc.modelspace()
        for row in range(rows + 1):
            msp.add_line((0, row * 8), (200, row * 8))
        for column in range(11):
            msp.add_line((column * 20, 0), (column * 20, rows * 8))
        for row in range(rows):
            msp.add_solid([(0, row * 8), (3, row * 8 + 1), (3, row * 8 - 1), (3, row * 8 - 1)])
            for column in range(10):
                msp.add_text(f"{row}.{column}", height=3, dxfattribs={"insert": (column * 20 + 3, row * 8 + 2)})
        doc.saveas(tmp_path / "table.dxf")
        space = read_drawing(tmp_path / "table.dxf", Settings()).spaces[0]
        times = []
        for _ in range(3):
            start = process_time()
            assert put_together(space).dimensions == ()
            times.append(process_time() - start)
        return min(times)

    assert seconds(80) < 8 * seconds(20)


def test_a_crowd_of_lines_about_texts_takes_no_time(tmp_path: Path) -> None:
    """Where a hundred lines meet at one text nobody could say which carries it: none does, and soon."""
    doc = ezdxf.new("R2010")
    for k in range(150):
        angle = 2.3 * k
        doc.modelspace().add_line((0, 0), (4 * cos(angle), 4 * sin(angle)))
        doc.modelspace().add_text(f"1.{k:03}", height=0.125, dxfattribs={"insert": (0, 0)})
    path = tmp_path / "crowd.dxf"
    doc.saveas(path)
    began = process_time()
    audit, _ = audit_file(path, Settings())
    assert isinstance(audit, DrawingAudit)
    assert not audit.judgements
    assert process_time() - began < 10


def test_letters_of_no_height_break_nothing(tmp_path: Path) -> None:
    """A text a billionth of a billionth high is no lettering of a dimension, and no reason to stop."""
    doc = ezdxf.new("R2010")
    doc.modelspace().add_circle((0, 0), 1)
    doc.modelspace().add_mtext("2.000", dxfattribs={"char_height": 1e-18, "insert": (0, 0)})
    path = tmp_path / "small.dxf"
    doc.saveas(path)
    audit, faults = audit_file(path, Settings())
    assert isinstance(audit, DrawingAudit)
    assert not faults
