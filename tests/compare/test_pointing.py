"""A text that stands still says something else when its arrow goes to another feature; a cut edge says the same."""

from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import ezdxf
import pytest
from ezdxf.document import Drawing

from compare.revising import between, shift, told
from dimaudit.model.compared import Sort

CORNERS = [(0, 0), (120, 0), (120, 80), (0, 80)]
HOLES = {"A": (20, 20), "B": (100, 60)}
Change = Callable[[Drawing], object]


def saved(path: Path, tip: tuple[float, float], change: Change = Drawing.modelspace, tied: bool = True) -> Path:
    """A plate 120 × 80 with a width, two holes, a hole note and a control frame whose leaders end at `tip`."""
    doc = ezdxf.new("R2010", setup=True)
    doc.header["$INSUNITS"] = 4
    space = doc.modelspace()
    for k, (a, b) in enumerate(zip(CORNERS, CORNERS[1:] + CORNERS[:1], strict=True)):
        space.add_line(a, b, dxfattribs={"handle": f"A0{k}"})
    for k, centre in enumerate(HOLES.values()):
        space.add_circle(centre, 4, dxfattribs={"handle": f"B0{k}"})
    override = {"dimlfac": 1, "dimtxt": 2.5, "dimpost": "<>"}
    space.add_linear_dim(base=(0, -20), p1=(0, 0), p2=(120, 0), override=override).render()
    note = space.add_mtext("%%c8 THRU", dxfattribs={"char_height": 2.5, "insert": (-40, 30), "handle": "C00"})
    leader = space.add_leader([tip, (-30, 30)], dimstyle="EZDXF", dxfattribs={"handle": "C01"})
    if tied:
        leader.dxf.annotation_handle, leader.dxf.annotation_type = note.dxf.handle, 0
    change(doc)
    doc.saveas(path)
    return path


def test_a_hole_note_on_another_hole(tmp_path: Path) -> None:
    """Nothing else changed, so it is the one thing that is told; backwards it is the mirror image."""
    old, new = saved(tmp_path / "a.dxf", (17, 22.645751)), saved(tmp_path / "b.dxf", (97, 62.645751))
    places = "Ø8 circle at (20, 20)", "Ø8 circle at (100, 60)"
    assert told(between(old, new)) == [
        ("REATTACHED", 'note "Ø8 THRU"', "C00 C01", f"points at {places[0]} > {places[1]}")
    ]
    assert told(between(new, old)) == [
        ("REATTACHED", 'note "Ø8 THRU"', "C00 C01", f"points at {places[1]} > {places[0]}")
    ]


@pytest.mark.parametrize("tied", [True, False], ids=["tied to its leader", "beside its leader"])
def test_an_arrow_in_the_open(tied: bool, tmp_path: Path) -> None:
    """A tip that left its hole points at nothing; one that only went around the hole points at the same."""
    old = saved(tmp_path / "a.dxf", (16, 20), tied=tied)
    away, around = saved(tmp_path / "b.dxf", (60, 40), tied=tied), saved(tmp_path / "c.dxf", (20, 24), tied=tied)
    row = ("DETACHED", 'note "Ø8 THRU"', "C00 C01", "points at Ø8 circle at (20, 20) > nothing")
    assert [r for r in told(between(old, away)) if r[0] not in ("FINDING_NEW", "FINDING_GONE")] == [row]
    assert told(between(old, around)) == []


def test_a_hole_that_moved_with_its_arrow(tmp_path: Path) -> None:
    """The hole is told, the note points at what it pointed at."""
    old = saved(tmp_path / "a.dxf", (16, 20))
    new = saved(tmp_path / "b.dxf", (21, 20), lambda doc: shift(doc, "B00", 5, 0))
    assert {c.sort for c in between(old, new).changes} <= {Sort.FEATURE_MOVED, Sort.FINDING_NEW, Sort.FINDING_GONE}


def broken(doc: Drawing) -> None:
    doc.entitydb["A00"].dxf.end = (60, 0)
    doc.modelspace().add_line((60, 0), (120, 0))


def chamfered(doc: Drawing) -> None:
    doc.entitydb["A00"].dxf.end = (115, 0)
    doc.entitydb["A01"].dxf.start = (120, 5)
    doc.modelspace().add_line((115, 0), (120, 5))


def notched(doc: Drawing) -> None:
    doc.entitydb["A00"].dxf.end = (100, 0)
    spots = [(100, 0), (100, 5), (110, 5), (110, 0), (120, 0)]
    for a, b in pairwise(spots):
        doc.modelspace().add_line(a, b)


@pytest.mark.parametrize("change", [broken, chamfered, notched])
def test_an_edge_that_is_cut_keeps_its_overall_dimension(change: Change, tmp_path: Path) -> None:
    """The width is still from the left edge to the right one, whatever became of the lower edge between them."""
    old, new = saved(tmp_path / "a.dxf", (16, 20)), saved(tmp_path / "b.dxf", (16, 20), change)
    found = between(old, new)
    assert found.same_dimensions == 1
    assert {c.sort for c in found.changes} <= {
        Sort.FEATURE_MOVED, Sort.FEATURE_ADDED, Sort.FINDING_NEW, Sort.FINDING_GONE
    }  # fmt: skip


def test_viewports_are_said_not_to_be_compared(tmp_path: Path) -> None:
    """Another scale of a sheet's viewport is no change, so the report says that it was not looked at."""

    def sheet(high: float) -> Change:
        def edit(doc: Drawing) -> None:
            layout = doc.layout("Layout1")
            layout.add_viewport((100, 100), (150, 100), (60, 40), high)
            layout.add_linear_dim(base=(0, -5), p1=(0, 0), p2=(10, 0), text="10").render()

        return edit

    old, new = saved(tmp_path / "a.dxf", (16, 20), sheet(100)), saved(tmp_path / "b.dxf", (16, 20), sheet(200))
    found = between(old, new)
    assert not found.changes
    assert "viewports of sheets: which part of the model they show, and to what scale" in found.not_compared
    flat = saved(tmp_path / "c.dxf", (16, 20))
    assert not any("viewport" in said for said in between(flat, flat).not_compared)
