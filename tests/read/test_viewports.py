"""Dimensions on a sheet that measure the model: through which viewport, and when that can't be told.

The mapping itself is held against the DXF library's matrix in tests/attach/test_oracles.py. Here the model is a bar of
8 by 3, shown at 1:2 unless a test says otherwise: 4 on the paper is 8 of the model.
"""

from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dimaudit.model.audit import Judgement, Verdict
from dimaudit.read.viewport import inside
from read.sketch import At, Sketch, audited

F = Fraction
FAR = 100
"""Where a second part is, out of sight of the first one's viewport."""
FROZEN_LAYERS = "LOWER"


def bar() -> tuple[Sketch, Any]:
    """A bar of 8 by 3 in the model, and an empty sheet to draw on."""
    sketch = Sketch()
    sketch.doc.header["$INSUNITS"] = 1
    sketch.doc.layers.add(FROZEN_LAYERS)
    sketch.rect(0, 0, 8, 3)
    return sketch, sketch.sheet()


def half(sketch: Sketch, sheet: Any, **more: Any) -> Any:
    """The bar at 1:2 in a frame of 6 by 4 around (5, 5): its corners are at (3, 4.25) and (7, 5.75)."""
    return sketch.window(sheet, (5, 5), 6, 4, (4, "3/2"), 8, **more)


LEFT, RIGHT = (3, "17/4"), (7, "17/4")


def read(sketch: Sketch, folder: Path) -> list[Judgement]:
    return list(sketch.audit(folder).judgements)


def measured(sketch: Sketch, folder: Path) -> Fraction:
    (judgement,) = read(sketch, folder)
    assert isinstance(judgement.measured, Fraction)
    assert judgement.attached.dimension.through.startswith("viewport")
    assert judgement.from_features
    return judgement.measured


def undecided(sketch: Sketch, folder: Path) -> str:
    (judgement,) = read(sketch, folder)
    assert judgement.verdict is Verdict.NOT_JUDGED
    assert judgement.measured is None
    return judgement.reason


# --- one viewport of several -------------------------------------------------------------------------------------


def test_each_scale_of_a_sheet_measures_its_own_part(tmp_path: Path) -> None:
    """Two viewports at 1:2 and 4:1 on one sheet: each dimension has the model's own size."""
    sketch, sheet = bar()
    sketch.model()
    sketch.rect(FAR, 0, 1, F(1, 2))
    sketch.into = sheet
    half(sketch, sheet)
    sketch.window(sheet, (15, 5), 6, 4, (FAR + F(1, 2), F(1, 4)), 1)
    first = sketch.across(LEFT, RIGHT)
    second = sketch.across((13, 4), (17, 4))
    found = {j.attached.dimension.handle: j.measured for j in read(sketch, tmp_path)}
    assert found == {first.dxf.handle: 8, second.dxf.handle: 1}


@pytest.mark.parametrize("inset_first", [True, False])
def test_an_inset_covers_what_is_beneath_it(tmp_path: Path, inset_first: bool) -> None:
    """A small viewport at 1:1 inside a large one at 1:2: where its own corners are dimensioned, it is meant."""
    sketch, sheet = bar()
    sketch.model()
    sketch.rect(FAR, 0, 1, 1)
    sketch.into = sheet

    def inset() -> None:
        sketch.window(sheet, (5, "11/2"), 2, "3/2", (FAR + F(1, 2), F(1, 2)), "3/2")

    if inset_first:
        inset()
    half(sketch, sheet)
    if not inset_first:
        inset()
    sketch.across(("9/2", 5), ("11/2", 5))
    assert measured(sketch, tmp_path) == 1


def test_the_linework_tells_which_of_two_viewports_is_meant(tmp_path: Path) -> None:
    """A small viewport lies over the bar's left corners and shows nothing there: the bar is measured through the large
    one, though the small one holds both points as well."""
    sketch, sheet = bar()
    half(sketch, sheet)
    sketch.window(sheet, (3, 5), 1, 2, (2 * FAR, 0), 2)
    sketch.upright(LEFT, (3, "23/4"), 2)
    assert measured(sketch, tmp_path) == 3


def test_overlapping_viewports_of_equal_scale_measure_alike(tmp_path: Path) -> None:
    """Two frames over one another that show the same model at the same scale give one number."""
    sketch, sheet = bar()
    half(sketch, sheet)
    sketch.window(sheet, (5, "9/2"), 6, 4, (4, "1/2"), 8)
    sketch.across(LEFT, RIGHT)
    assert measured(sketch, tmp_path) == 8


def test_overlapping_viewports_of_different_scales_are_not_guessed(tmp_path: Path) -> None:
    """Where both scales have corners at the points, or neither has, and none lies inside the other: not judged."""
    sketch, sheet = bar()
    half(sketch, sheet)
    sketch.model()
    sketch.rect(FAR, 0, 4, 3)
    sketch.into = sheet
    sketch.window(sheet, (5, 6), 6, 4, (FAR + 2, F(7, 4)), 4)  # at 1:1: its part's corners fall on the bar's
    sketch.across(LEFT, RIGHT)
    why = undecided(sketch, tmp_path)
    assert "at 1:2 and viewport" in why
    assert "nothing says which" in why


def test_points_in_two_viewports_are_not_judged(tmp_path: Path) -> None:
    """A dimension from one viewport to another spans paper and no part."""
    sketch, sheet = bar()
    half(sketch, sheet)
    sketch.window(sheet, (15, 5), 6, 4, (4, "3/2"), 4)
    sketch.across(LEFT, (15, 5))
    assert "different viewports" in undecided(sketch, tmp_path)


def test_one_picture_in_two_frames_is_one_viewport(tmp_path: Path) -> None:
    """Two frames side by side that cut one picture in two: a dimension across both has the model's size."""
    sketch, sheet = bar()
    sketch.window(sheet, (4, 5), 4, 4, (2, "3/2"), 8)
    sketch.window(sheet, (8, 5), 4, 4, (10, "3/2"), 8)
    sketch.across(LEFT, RIGHT)
    assert measured(sketch, tmp_path) == 8


def test_a_point_outside_the_frame_is_not_judged(tmp_path: Path) -> None:
    """One end on the bar, the other in the open: nothing is measured, and the report says why."""
    sketch, sheet = bar()
    half(sketch, sheet)
    sketch.across(LEFT, (12, "17/4"))
    assert "another outside it" in undecided(sketch, tmp_path)


def test_lines_of_the_sheet_inside_a_frame_are_measured_on_the_sheet(tmp_path: Path) -> None:
    """A part drawn on the paper inside a viewport's frame has its size on the paper."""
    sketch, sheet = bar()
    half(sketch, sheet)
    sketch.rect(4, F("4.5"), 1, F("0.5"))
    sketch.across((4, "4.5"), (5, "4.5"))
    (judgement,) = read(sketch, tmp_path)
    assert judgement.measured == 1
    assert judgement.attached.dimension.through == ""


def test_a_point_on_the_sheets_own_line_keeps_the_dimension_on_the_sheet(tmp_path: Path) -> None:
    """An end on a line of the sheet, outside every frame, and one inside a frame: no size of the model is claimed."""
    sketch, sheet = bar()
    half(sketch, sheet)
    sketch.line((12, 4), (12, 6))
    sketch.across(LEFT, (12, 4))
    (judgement,) = read(sketch, tmp_path)
    assert judgement.attached.dimension.through == ""


# --- viewports that show nothing, or not all ---------------------------------------------------------------------


def off_by_status(_sketch: Sketch, window: Any) -> None:
    window.dxf.status = 0


def off_by_flag(_sketch: Sketch, window: Any) -> None:
    window.dxf.flags = window.dxf.get("flags", 0) | 131072


def on_a_frozen_layer(sketch: Sketch, window: Any) -> None:
    sketch.doc.layers.add("FRAMES").freeze()
    window.dxf.layer = "FRAMES"


@pytest.mark.parametrize(
    ("hide", "word"), [(off_by_status, "is off"), (off_by_flag, "is off"), (on_a_frozen_layer, "frozen layer")]
)
def test_a_viewport_that_shows_nothing_measures_nothing(tmp_path: Path, hide: Any, word: str) -> None:
    """Off by its status or its flag, or on a frozen layer: the dimension over it is not judged, with the reason."""
    sketch, sheet = bar()
    hide(sketch, half(sketch, sheet))
    sketch.across(LEFT, RIGHT)
    assert word in undecided(sketch, tmp_path)


def test_a_viewport_that_is_off_does_not_stand_in_the_way(tmp_path: Path) -> None:
    """A small viewport that is off, over the bar, leaves the dimension to the large one."""
    sketch, sheet = bar()
    half(sketch, sheet)
    off_by_flag(sketch, sketch.window(sheet, (5, 5), 5, 3, (4, "3/2"), 3))
    sketch.across(LEFT, RIGHT)
    assert measured(sketch, tmp_path) == 8


def test_a_viewport_whose_layer_is_off_only_loses_its_frame(tmp_path: Path) -> None:
    """Drafters put the frames on a layer that is off, to have no frame on the print; the model stays."""
    sketch, sheet = bar()
    sketch.doc.layers.add("FRAMES").off()
    half(sketch, sheet).dxf.layer = "FRAMES"
    sketch.across(LEFT, RIGHT)
    assert measured(sketch, tmp_path) == 8


def test_a_layer_frozen_in_one_viewport_leaves_the_other(tmp_path: Path) -> None:
    """Two frames of different scale show corners at the points; one has their layer frozen: the other is meant."""
    sketch, sheet = bar()
    sketch.model()
    sketch.rect(FAR, 0, 4, 3, layer=FROZEN_LAYERS)
    sketch.into = sheet
    half(sketch, sheet)
    overlapping = sketch.window(sheet, (5, 6), 6, 4, (FAR + 2, F(7, 4)), 4)
    overlapping.frozen_layers = [FROZEN_LAYERS]
    sketch.across(LEFT, RIGHT)
    assert measured(sketch, tmp_path) == 8


def test_what_is_frozen_in_the_only_viewport_is_not_judged(tmp_path: Path) -> None:
    """The dimension's corners are on a layer that its viewport does not show: nobody can see what it measures."""
    sketch, sheet = bar()
    sketch.model()
    sketch.rect(1, 1, 4, 1, layer=FROZEN_LAYERS)
    sketch.into = sheet
    half(sketch, sheet).frozen_layers = [FROZEN_LAYERS]
    sketch.across(("7/2", "19/4"), ("11/2", "19/4"))
    why = undecided(sketch, tmp_path)
    assert "frozen in viewport" in why
    assert "lower" in why


# --- boundaries that are no rectangle ----------------------------------------------------------------------------


def clipped(sketch: Sketch, sheet: Any, boundary: Any) -> Any:
    window = half(sketch, sheet)
    window.dxf.flags = window.dxf.get("flags", 0) | 65536
    window.dxf.clipping_boundary_handle = boundary.dxf.handle
    return window


TRIANGLE: list[At] = [(2, 3), (8, 3), (2, 7)]


def triangle(tmp_path: Path) -> tuple[Sketch, Path]:
    sketch, sheet = bar()
    clipped(sketch, sheet, sheet.add_lwpolyline([(float(x), float(y)) for x, y in TRIANGLE], close=True))
    return sketch, tmp_path


def test_a_clipped_viewport_shows_what_is_inside_its_boundary(tmp_path: Path) -> None:
    """In a triangle's frame the bar's left edge shows."""
    sketch, folder = triangle(tmp_path)
    sketch.upright(LEFT, (3, "23/4"), 2)
    assert measured(sketch, folder) == 3


def test_a_clipped_viewport_hides_what_is_outside_its_boundary(tmp_path: Path) -> None:
    """In a triangle's frame the bar's lower right corner is cut away, though the viewport's rectangle holds it."""
    sketch, folder = triangle(tmp_path)
    sketch.across(LEFT, RIGHT)
    assert "another outside it" in undecided(sketch, folder)


def test_a_round_detail_shows_its_circle(tmp_path: Path) -> None:
    """A circle around (5, 5) of radius 1.9 shows the middle of the bar and no corner of it; of radius 2.2, all four."""
    for radius, holds in ((1.9, False), (2.2, True)):
        sketch, sheet = bar()
        circle = sheet.add_circle((5, 5), radius, dxfattribs={"layer": FROZEN_LAYERS})
        sketch.doc.layers.get(FROZEN_LAYERS).off()
        clipped(sketch, sheet, circle)
        sketch.across(LEFT, RIGHT)
        (judgement,) = read(sketch, tmp_path)
        # Out of the circle's sight, the dimension spans 4 of the paper and touches nothing.
        assert (judgement.measured, judgement.from_features) == ((8, True) if holds else (4, False))


def test_a_boundary_that_is_missing_leaves_the_frame(tmp_path: Path) -> None:
    """A viewport whose clipping entity is not in the file shows its whole frame."""
    sketch, sheet = bar()
    window = half(sketch, sheet)
    window.dxf.flags = window.dxf.get("flags", 0) | 65536
    window.dxf.clipping_boundary_handle = "FFF0"
    sketch.across(LEFT, RIGHT)
    assert measured(sketch, tmp_path) == 8


RING = ((F(0), F(0)), (F(4), F(0)), (F(4), F(4)), (F(2), F(2)), (F(0), F(4)))
"""A square with a notch from above down to its middle."""


@given(st.fractions(-1, 5), st.fractions(-1, 5))
def test_inside_a_notched_square(x: Fraction, y: Fraction) -> None:
    """A point is inside where it is in the square and not above the notch; the edge counts."""
    wanted = 0 <= x <= 4 and 0 <= y <= 4 and y <= 2 + abs(x - 2)
    assert inside((x, y), RING) is wanted


# --- twisted -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("twist", [90, 180, 270])
def test_a_twisted_viewport_measures_the_bar_as_it_is(tmp_path: Path, twist: int) -> None:
    """A turned picture: what is horizontal on the paper is measured along the model's own direction."""
    sketch, sheet = bar()
    # The view centre is given in the turned picture: (4, 3/2) of the model, turned by the twist.
    turned = {90: ("-3/2", 4), 180: (-4, "-3/2"), 270: ("3/2", -4)}[twist]
    sketch.window(sheet, (5, 5), 6, 6, turned, 12, twist=twist)
    if twist == 180:
        sketch.across((3, "17/4"), (7, "17/4"))
    else:
        sketch.upright(("17/4", 3), ("17/4", 7), 3)
    assert measured(sketch, tmp_path) == 8


@pytest.mark.parametrize("seen", [1e-9, 1e12])
def test_a_viewport_at_no_scale_shows_nothing(seen: float, tmp_path: Path) -> None:
    """A view height of a billionth is a slip: what measures through it is not judged, and nothing breaks."""
    sketch = Sketch()
    sketch.rect(0, 0, 4, 2)
    sheet = sketch.doc.paperspace()
    sheet.add_viewport(center=(5, 5), size=(8, 8), view_center_point=(2, 1), view_height=seen)
    sketch.into = sheet
    sketch.across((4, 4), (6, 4))
    (judgement,) = audited(sketch.save(tmp_path)).judgements
    assert "shows nothing" in judgement.reason
