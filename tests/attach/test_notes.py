"""Which hole a call-out points at, and why one is tied to none."""

from fractions import Fraction as F
from pathlib import Path

import pytest
from read.sketch import Sketch

from dimaudit.attach.notes import NO_HOLE, NO_POINTER, SEVERAL_VIEWS, TWO_WAYS, hole_notes
from dimaudit.model.pointed import Carrier, HoleNote, claimed, not_judged
from dimaudit.model.settings import Settings
from dimaudit.model.stated import CallOut, Unreadable
from dimaudit.read import read_drawing
from dimaudit.rebuild import rebuild


def read(raw: str, separator: str) -> CallOut | Unreadable | None:
    """Every text that begins with BORE is a call-out here; how they are read has tests of its own."""
    return CallOut(words=(separator,)) if raw.startswith("BORE") else None


def notes_of(sketch: Sketch, tmp_path: Path) -> tuple[HoleNote, ...]:
    settings = Settings()
    drawing = read_drawing(sketch.save(tmp_path), settings)
    geometries = [rebuild(space, drawing.unit, settings) for space in drawing.spaces]
    return hole_notes(geometries, settings.for_unit(drawing.unit), read)


def only(sketch: Sketch, tmp_path: Path) -> HoleNote:
    (note,) = notes_of(sketch, tmp_path)
    return note


def flange() -> Sketch:
    """A shaft-log flange: Ø6 outside, a Ø2 bore in a Ø3 recess, and a hole of Ø.5 at (2, 0)."""
    sketch = Sketch()
    for centre, radius in (((0, 0), 3), ((0, 0), 1), ((0, 0), "1.5"), ((2, 0), "0.25")):
        sketch.circle(centre, radius)
    sketch.across((-3, 0), (3, 0), -4)
    return sketch


def mtext(sketch: Sketch, at: tuple[float, float], words: str = "BORE 1") -> str:
    made = sketch.into.add_mtext(words, {"char_height": 0.2, "insert": at})
    return str(made.dxf.handle)


def leader(sketch: Sketch, *vertices: tuple[float, float], to: str = "") -> None:
    made = sketch.into.add_leader(vertices)
    if to:
        made.dxf.annotation_handle = to


@pytest.mark.parametrize(
    ("tip", "centre", "on_circle"),
    [
        ((2.25, 0), (2, 0), True),
        ((2.24, 0.02), (2, 0), True),
        ((2, 0), (2, 0), True),
        ((2.1, 0.05), (2, 0), False),
        ((0, 1.5), (0, 0), True),
        ((0.4, 0.3), (0, 0), False),
    ],
    ids=["edge", "beside the edge", "centre", "inside", "edge of the recess", "inside the bore"],
)
def test_a_tip_points_at_the_nearest_circle(
    tip: tuple[float, float], centre: tuple[int, int], on_circle: bool, tmp_path: Path
):
    """An edge, a centre, else the smallest circle around the tip."""
    sketch = flange()
    leader(sketch, tip, (5, 5), to=mtext(sketch, (5, 5)))
    note = only(sketch, tmp_path)
    assert [hole.centre for hole in note.holes] == [centre]
    assert (note.on_circle, note.carrier, note.why_not) == (on_circle, Carrier.LEADER, "")


def test_all_circles_about_the_centre_are_the_hole(tmp_path: Path):
    sketch = flange()
    leader(sketch, (0, 1), (5, 5), to=mtext(sketch, (5, 5)))
    (hole,) = only(sketch, tmp_path).holes
    assert [ring.radius for ring in hole.rings] == [1, F(3, 2), 3]


def test_inside_the_outline_is_no_hole(tmp_path: Path):
    """The leader ends on the face of the flange: that it is within its outer circle says nothing."""
    sketch = flange()
    leader(sketch, (-2, 1), (5, 5), to=mtext(sketch, (5, 5)))
    note = only(sketch, tmp_path)
    assert (note.holes, note.why_not) == ((), NO_HOLE)


def test_three_quarters_of_a_circle_are_a_thread_and_a_half_is_none(tmp_path: Path):
    sketch = flange()
    sketch.arc((2, 0), "0.375", 0, 270)
    sketch.arc((2, 0), "0.45", 0, 180)
    leader(sketch, (2.25, 0), (5, 5), to=mtext(sketch, (5, 5)))
    (hole,) = only(sketch, tmp_path).holes
    assert [(ring.radius, ring.whole) for ring in hole.rings] == [(F(1, 4), True), (F(3, 8), False)]


def test_two_arcs_make_a_circle(tmp_path: Path):
    """As a polyline with bulges draws one."""
    sketch = flange()
    sketch.into.add_lwpolyline([(-2.25, 0, 1), (-1.75, 0, 1)], format="xyb", close=True)
    leader(sketch, (-1.75, 0), (5, 5), to=mtext(sketch, (5, 5)))
    (hole,) = only(sketch, tmp_path).holes
    assert [(ring.radius, ring.whole, len(ring.handles)) for ring in hole.rings] == [(F(1, 4), True, 1)]


def test_a_leader_that_is_tied_to_nothing_has_the_text_at_its_tail(tmp_path: Path):
    sketch = flange()
    leader(sketch, (2.25, 0), (4.8, 4.9))
    far, near = mtext(sketch, (9, 9), "BORE 2"), mtext(sketch, (5, 5))
    beside, apart = notes_of(sketch, tmp_path)
    assert (beside.handles[0], beside.carrier) == (near, Carrier.LEADER)
    assert (apart.handles, apart.why_not) == ((far,), NO_POINTER)


def test_two_leaders_share_one_text(tmp_path: Path):
    sketch = flange()
    sketch.circle((-2, 0), "0.25")
    own = mtext(sketch, (5, 5))
    leader(sketch, (2.25, 0), (5, 5), to=own)
    leader(sketch, (-2.25, 0), (5, 5), to=own)
    note = only(sketch, tmp_path)
    assert {hole.centre for hole in note.holes} == {(2, 0), (-2, 0)}
    assert len(note.handles) == 3


def test_one_text_for_two_views_is_tied_to_none(tmp_path: Path):
    sketch = flange()
    sketch.circle((20, 0), 2)
    sketch.across((18, 0), (22, 0), -4)
    own = mtext(sketch, (10, 5))
    leader(sketch, (2.25, 0), (10, 5), to=own)
    leader(sketch, (22, 0), (10, 5), to=own)
    note = only(sketch, tmp_path)
    assert (note.holes, note.why_not) == ((), SEVERAL_VIEWS)


def test_a_leader_on_a_sheet_points_through_its_viewport(tmp_path: Path):
    """Half size: the tip at (6.125, 5) on the paper is at (2.25, 0) in the model; the text stays on the paper."""
    sketch = flange()
    paper = sketch.sheet("PRINT")
    sketch.window(paper, (5, 5), 8, 8, (0, 0), 16)
    leader(sketch, (6.125, 5), (7.9, 7.9))
    own = mtext(sketch, (8, 8))
    note = only(sketch, tmp_path)
    assert [hole.centre for hole in note.holes] == [(2, 0)]
    assert (note.handles[0], note.layout, note.at) == (own, "PRINT", (8, 8))


def test_a_line_from_the_text_to_the_circle_is_a_pointer(tmp_path: Path):
    sketch = flange()
    line = sketch.line((4.9, 2.9), ("2.2", "0.15"))
    own = mtext(sketch, (5, 3))
    note = only(sketch, tmp_path)
    assert (note.carrier, note.handles, note.holes[0].centre) == (Carrier.LINE, (own, line.dxf.handle), (2, 0))


@pytest.mark.parametrize(
    ("ends", "why"),
    [
        ([((4.9, 2.9), (2, 0.25))], NO_POINTER),
        ([((4.9, 0.25), (2, 0.25))], NO_POINTER),
        ([((6.5, 2.9), (2, 0.25))], NO_POINTER),
        ([((4.9, 2.9), (3.5, 1.5)), ((3.5, 1.5), (2.2, 0.15)), ((3.5, 1.5), (3.5, 0))], NO_POINTER),
        ([((4.9, 2.9), (2.2, 0.15)), ((4.9, 2.8), (0.6, 0.8))], TWO_WAYS),
    ],
    ids=["past the centre", "a tangent", "from elsewhere", "branching lines", "to two holes"],
)
def test_other_lines_are_no_pointers(
    ends: list[tuple[tuple[float, float], tuple[float, float]]], why: str, tmp_path: Path
):
    """A pointer begins at the text, does not branch, and runs toward the centre of one circle."""
    sketch = flange()
    for a, b in ends:
        sketch.line(a, b)
    mtext(sketch, (5, 3 if ends[0][0][1] > 1 else 0.35))
    assert only(sketch, tmp_path).why_not == why


def test_a_text_beside_a_hole_is_claimed_and_tied_to_none(tmp_path: Path):
    """Nearness is a guess: the text is read as a hole note, and its hole is not judged."""
    sketch = flange()
    own = mtext(sketch, (2.3, 0.3))
    mtext(sketch, (2.3, 1.5), "PAINT 2 COATS")
    found = notes_of(sketch, tmp_path)
    assert [(note.handles, note.carrier, note.why_not) for note in found] == [((own,), Carrier.NOTHING, NO_POINTER)]
    assert claimed(found) == {own: "hole note"}
    assert not_judged(found) == {own: NO_POINTER}


def test_notes_are_read_with_the_comma_where_the_dimensions_have_it(tmp_path: Path):
    sketch = flange()
    (dimension,) = sketch.into.query("DIMENSION")
    dimension.set_acad_dstyle({"dimdsep": ord(",")})  # type: ignore[attr-defined]
    mtext(sketch, (5, 5))
    assert only(sketch, tmp_path).call_out.words == (",",)
