"""What a dimension's end can be on, and which outlines, holes and centrelines a view has."""

from fractions import Fraction
from pathlib import Path

import pytest
from read.sketch import At, Sketch

from dimaudit.model.attached import Link
from dimaudit.model.drawing import Arc, Circle, Kind, Origin, Segment
from dimaudit.model.geometry import FeatureKind
from dimaudit.model.view import View, on_arc

F = Fraction
K = FeatureKind


def rounded_plate(sketch: Sketch) -> None:
    """8 by 4, its right top corner rounded by 1, the left top corner chamfered by 1, with holes and a slanted line."""
    sketch.chain((7, 4), (1, 4), (0, 3), (0, 0), (8, 0), (8, 3), linetype="CONTINUOUS")
    sketch.arc((7, 3), 1, 0, 90)
    for radius in ("1/4", "1/2"):
        sketch.circle((3, 2), radius)
    sketch.circle((6, 2), "3/4")
    sketch.line((4, 1), (5, 3))
    sketch.into.add_point((1, 1))
    sketch.line((1, 2), (5, 2), linetype="CENTER")


SPOTS: list[tuple[str, At, FeatureKind]] = [
    ("corner", (0, 0), K.CORNER),
    ("corner of a chamfer", (1, 4), K.CORNER),
    ("tangent point at the top", (7, 4), K.TANGENT_POINT),
    ("tangent point at the side", (8, 3), K.TANGENT_POINT),
    ("end of a loose line", (4, 1), K.END),
    ("middle of an edge", (4, 0), K.MIDPOINT),
    ("sharp corner beside a chamfer", (0, 4), K.SHARP_CORNER),
    ("sharp corner beside a fillet", (8, 4), K.SHARP_CORNER),
    ("centre of two circles", (3, 2), K.CENTRE),
    ("centre of a fillet", (7, 3), K.CENTRE),
    ("right quadrant", (F("6.75"), 2), K.QUADRANT),
    ("top quadrant", (6, F("2.75")), K.QUADRANT),
    ("bottom quadrant of the small circle", (3, F("1.75")), K.QUADRANT),
    ("crossing of a line and a centreline", (F("4.5"), 2), K.INTERSECTION),
    ("a point entity", (1, 1), K.POINT),
]


@pytest.mark.parametrize(("at", "kind"), [s[1:] for s in SPOTS], ids=[s[0] for s in SPOTS])
def test_an_end_is_on_the_feature_that_is_there(tmp_path: Path, at: At, kind: FeatureKind) -> None:
    """A definition point on a feature is on it, at no distance, and the feature is named for what it is."""
    sketch = Sketch()
    sketch.doc.linetypes.add("CENTER", [0.5, 0.25, -0.25])
    rounded_plate(sketch)
    sketch.dim(Kind.ALIGNED, {13: at, 14: (8, 0), 10: (0, -1)})
    (judgement,) = sketch.audit(tmp_path).judgements
    end = judgement.attached.ends[0]
    assert (end.link, end.off_square) == (Link.ON, 0)
    assert end.feature is not None
    assert end.feature.kind is kind
    assert end.feature.at == (F(at[0]), F(at[1]))


SLIPPERY: list[tuple[str, At, At, FeatureKind | None]] = [
    ("a chamfer measured square to it", (F("0.25"), F("3.25")), (F("1.25"), F("2.25")), K.EDGE),
    ("a chamfer measured across", (F("0.25"), F("3.25")), (8, 0), None),
    ("a circle measured through its centre", (F("6.45"), F("2.6")), (6, 2), K.ARC),
    ("a circle measured past its centre", (F("6.45"), F("2.6")), (8, 0), None),
    ("a fillet measured past its centre", (F("7.6"), F("3.8")), (8, 0), None),
    ("an edge measured along", (F("2.3"), 0), (8, 0), None),
    ("an edge measured square to it", (F("2.3"), 0), (F("2.3"), 4), K.EDGE),
]


@pytest.mark.parametrize(("at", "to", "kind"), [s[1:] for s in SLIPPERY], ids=[s[0] for s in SLIPPERY])
def test_a_line_is_a_feature_only_square_to_the_measured_direction(
    tmp_path: Path, at: At, to: At, kind: FeatureKind | None
) -> None:
    """Somewhere along an edge or an arc is no place: it counts only where sliding along it changes nothing."""
    sketch = Sketch()
    sketch.doc.linetypes.add("CENTER", [0.5, 0.25, -0.25])
    rounded_plate(sketch)
    sketch.dim(Kind.ALIGNED, {13: at, 14: to, 10: (0, -1)})
    (judgement,) = sketch.audit(tmp_path).judgements
    end = judgement.attached.ends[0]
    if kind is None:
        assert end.link is not Link.ON
    else:
        assert end.link is Link.ON
        assert end.feature is not None
        assert end.feature.kind is kind


def the_view(sketch: Sketch, tmp_path: Path) -> View:
    sketch.across((0, 0), (8, 0), -1)
    (view,) = sketch.geometry(tmp_path).views
    return view


def test_concentric_circles_are_one_hole(tmp_path: Path) -> None:
    """Circles about one centre are one hole with its radii in order; centreline circles are none."""
    sketch = Sketch()
    sketch.doc.linetypes.add("CENTER", [0.5, 0.25, -0.25])
    rounded_plate(sketch)
    sketch.circle((6, 2), "3/2", linetype="CENTER")
    holes = {hole.centre: hole.radii for hole in the_view(sketch, tmp_path).holes}
    assert holes == {(3, 2): (F(1, 4), F(1, 2)), (6, 2): (F(3, 4),)}


def test_a_bolt_circle_is_one_hole_each(tmp_path: Path) -> None:
    """Holes about different centres stay apart, however many are alike."""
    sketch = Sketch()
    sketch.rect(0, 0, 8, 8)
    for x, y in ((1, 4), (4, 1), (7, 4), (4, 7)):
        sketch.circle((x, y), "1/4")
    holes = the_view(sketch, tmp_path).holes
    assert [(h.centre, h.radii, len(h.handles)) for h in holes] == [
        (centre, (F(1, 4),), 1) for centre in ((1, 4), (4, 1), (7, 4), (4, 7))
    ]


def test_outer_and_inner_profiles_are_told_apart(tmp_path: Path) -> None:
    """The outline is the outer profile, the holes and windows in it are inner ones, each with its area."""
    sketch = Sketch()
    outer = sketch.rect(0, 0, 8, 6)
    window = sketch.rect(1, 1, 2, 3)
    sketch.circle((6, 3), 1)
    profiles = the_view(sketch, tmp_path).profiles
    by_handle = {profile.handles[0]: profile for profile in profiles}
    assert len(profiles) == 3
    assert [p.outer for p in profiles].count(True) == 1
    assert by_handle[outer[0].dxf.handle].outer
    assert by_handle[outer[0].dxf.handle].area == 48
    assert by_handle[window[0].dxf.handle].area == 6
    assert set(by_handle[outer[0].dxf.handle].handles) == {line.dxf.handle for line in outer}


def test_centrelines_are_told_by_their_linetype(tmp_path: Path) -> None:
    """A line of a centre linetype is a centreline of the view that it runs through, and no outline."""
    sketch = Sketch()
    sketch.doc.linetypes.add("CENTER", [0.5, 0.25, -0.25])
    sketch.rect(0, 0, 8, 6)
    axis = sketch.line((-1, 3), (9, 3), linetype="CENTER")
    view = the_view(sketch, tmp_path)
    assert [line.origin.handle for line in view.centrelines] == [axis.dxf.handle]
    assert len(view.profiles) == 1


ORIGIN = Origin("1", "0")


def arc(*ends: At) -> Arc:
    a, b = ((F(x), F(y)) for x, y in ends)
    return Arc(ORIGIN, (F(0), F(0)), F(5), a, b)


ON_ARC = [
    ("inside a quarter", arc((5, 0), (0, 5)), (3, 4), True),
    ("outside a quarter", arc((5, 0), (0, 5)), (-3, 4), False),
    ("opposite a quarter", arc((5, 0), (0, 5)), (-3, -4), False),
    ("the end itself", arc((5, 0), (0, 5)), (5, 0), False),
    ("inside a half turn", arc((5, 0), (-5, 0)), (3, 4), True),
    ("the other half", arc((5, 0), (-5, 0)), (3, -4), False),
    ("inside three quarters", arc((5, 0), (0, -5)), (-3, -4), True),
    ("the missing quarter", arc((5, 0), (0, -5)), (3, -4), False),
    ("beyond the half of three quarters", arc((5, 0), (0, -5)), (-4, 3), True),
    ("small arc, inside", arc((4, -3), (4, 3)), (5, 0), True),
    ("small arc, behind", arc((4, -3), (4, 3)), (-5, 0), False),
]


@pytest.mark.parametrize(("shape", "at", "inside"), [c[1:] for c in ON_ARC], ids=[c[0] for c in ON_ARC])
def test_a_point_of_the_circle_is_on_the_arc_or_off_it(shape: Arc, at: At, inside: bool) -> None:
    """Of the points of an arc's circle, those strictly between its ends, counter-clockwise, are on it."""
    assert on_arc(shape, (F(at[0]), F(at[1]))) is inside


def test_quadrants_of_an_arc_are_only_those_it_reaches(tmp_path: Path) -> None:
    """An arc has the quadrants that lie on it: of a half turn to the top, the top one."""
    sketch = Sketch()
    sketch.arc((4, 0), 4, 0, 180)
    sketch.line((0, 0), (8, 0))
    view = the_view(sketch, tmp_path)
    assert [f.at for f in view.points if f.kind is K.QUADRANT] == [(4, 4)]
    assert sum(isinstance(s, Circle) for s in view.shapes) == 0
    assert sum(isinstance(s, Segment) for s in view.shapes) == 1
