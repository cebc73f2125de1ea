"""Every entity type that is read, as plain shapes (meanings of the groups: DXF reference, ENTITIES)."""

from collections.abc import Callable
from fractions import Fraction
from itertools import pairwise
from math import sqrt
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dimaudit.model.drawing import Arc, Circle, Curve, Mark, Segment, Shape
from dimaudit.read.entities import READERS
from read.sketch import Sketch

F = Fraction
P = tuple[Fraction, Fraction]


def p(x: str | int, y: str | int) -> P:
    return F(x), F(y)


def bare(shape: Shape) -> tuple[Any, ...]:
    """A shape without its origin."""
    match shape:
        case Segment(_, a, b):
            return "line", a, b
        case Arc(_, centre, radius, a, b):
            return "arc", centre, radius, a, b
        case Circle(_, centre, radius):
            return "circle", centre, radius
        case Mark(_, at):
            return "point", at
        case Curve():
            return ("curve",)


def ring(*corners: P) -> list[tuple[Any, ...]]:
    return [("line", a, b) for a, b in zip(corners, (*corners[1:], corners[0]), strict=True)]


def chain(*corners: P) -> list[tuple[Any, ...]]:
    return [("line", a, b) for a, b in pairwise(corners)]


A, B, C, D = p(0, 0), p(4, 0), p(4, 3), p(0, 3)
ABCD = [(0, 0), (4, 0), (4, 3), (0, 3)]
BEHIND = {"extrusion": (0, 0, -1)}
NOTHING = {"extrusion": (0, 0, 0)}
HALF_TURN = [(0, 0, 1), (4, 0, 0)]

Into = Callable[[Any], Any]
CASES: list[tuple[str, str, Into, list[tuple[Any, ...]]]] = [
    ("LINE", "line", lambda s: s.add_line((0, 0), (4, 3)), [("line", A, C)]),
    ("LINE", "line, decimals as in the file", lambda s: s.add_line((0.1, 0.2), (2.4374999999998, 3)),
     [("line", p("0.1", "0.2"), p("2.4374999999998", 3))]),
    ("LINE", "line seen from behind: its points are in world coordinates",
     lambda s: s.add_line((0, 0), (4, 3), BEHIND), [("line", A, C)]),
    ("LINE", "line with a height", lambda s: s.add_line((0, 0, 7), (4, 3, 7)), [("line", A, C)]),
    ("POINT", "point", lambda s: s.add_point((4, 3)), [("point", C)]),
    ("SOLID", "solid: third and fourth corner crosswise",
     lambda s: s.add_solid([(0, 0), (4, 0), (0, 3), (4, 3)]), ring(A, B, C, D)),
    ("SOLID", "solid of three corners", lambda s: s.add_solid([(0, 0), (4, 0), (4, 3)]), ring(A, B, C)),
    ("SOLID", "solid seen from behind", lambda s: s.add_solid([(0, 0), (4, 0), (0, 3), (4, 3)], BEHIND),
     ring(p(0, 0), p(-4, 0), p(-4, 3), p(0, 3))),
    ("TRACE", "trace", lambda s: s.add_trace([(0, 0), (4, 0), (0, 3), (4, 3)]), ring(A, B, C, D)),
    ("CIRCLE", "circle", lambda s: s.add_circle((1, 2), 0.75), [("circle", p(1, 2), F(3, 4))]),
    ("CIRCLE", "circle seen from behind", lambda s: s.add_circle((1, 2), 0.75, BEHIND),
     [("circle", p(-1, 2), F(3, 4))]),
    ("CIRCLE", "circle without a direction", lambda s: s.add_circle((1, 2), 0.75, NOTHING),
     [("circle", p(1, 2), F(3, 4))]),
    ("ARC", "quarter arc", lambda s: s.add_arc((1, 1), 2, 0, 90), [("arc", p(1, 1), F(2), p(3, 1), p(1, 3))]),
    ("ARC", "arc through 0 degrees", lambda s: s.add_arc((1, 1), 2, 270, 90),
     [("arc", p(1, 1), F(2), p(1, -1), p(1, 3))]),
    ("ARC", "arc with a negative angle", lambda s: s.add_arc((1, 1), 2, -90, 90),
     [("arc", p(1, 1), F(2), p(1, -1), p(1, 3))]),
    ("ARC", "arc all the way round", lambda s: s.add_arc((1, 1), 2, 0, 360), [("circle", p(1, 1), F(2))]),
    ("ARC", "quarter arc seen from behind", lambda s: s.add_arc((1, 1), 2, 0, 90, dxfattribs=BEHIND),
     [("arc", p(-1, 1), F(2), p(-1, 3), p(-3, 1))]),
    ("LWPOLYLINE", "open polyline", lambda s: s.add_lwpolyline(ABCD), chain(A, B, C, D)),
    ("LWPOLYLINE", "closed polyline", lambda s: s.add_lwpolyline(ABCD, close=True), ring(A, B, C, D)),
    ("LWPOLYLINE", "repeated vertex", lambda s: s.add_lwpolyline([(0, 0), (4, 0), (4, 0), (4, 3)]), chain(A, B, C)),
    ("LWPOLYLINE", "closed polyline that ends where it began",
     lambda s: s.add_lwpolyline([*ABCD, (0, 0)], close=True), ring(A, B, C, D)),
    ("LWPOLYLINE", "half circle by a bulge of 1", lambda s: s.add_lwpolyline(HALF_TURN, format="xyb"),
     [("arc", p(2, 0), F(2), A, B)]),
    ("LWPOLYLINE", "half circle by a bulge of -1", lambda s: s.add_lwpolyline([(0, 0, -1), (4, 0, 0)], format="xyb"),
     [("arc", p(2, 0), F(2), B, A)]),
    ("LWPOLYLINE", "bulge of a third: three, four, five", lambda s: s.add_lwpolyline([(0, 0, 0.5), (4, 0, 0)], "xyb"),
     [("arc", p(2, "1.5"), F(5, 2), A, B)]),
    ("LWPOLYLINE", "whole circle of two half ones",
     lambda s: s.add_lwpolyline([(0, 0, 1), (4, 0, 1)], format="xyb", close=True),
     [("arc", p(2, 0), F(2), A, B), ("arc", p(2, 0), F(2), B, A)]),
    ("LWPOLYLINE", "polyline seen from behind", lambda s: s.add_lwpolyline(HALF_TURN, "xyb", dxfattribs=BEHIND),
     [("arc", p(-2, 0), F(2), p(-4, 0), A)]),
    ("POLYLINE", "old polyline", lambda s: s.add_polyline2d(ABCD), chain(A, B, C, D)),
    ("POLYLINE", "old closed polyline", lambda s: s.add_polyline2d(ABCD, close=True), ring(A, B, C, D)),
    ("POLYLINE", "old polyline with a bulge", lambda s: s.add_polyline2d(HALF_TURN, format="xyb"),
     [("arc", p(2, 0), F(2), A, B)]),
    ("POLYLINE", "old polyline seen from behind", lambda s: s.add_polyline2d(ABCD, dxfattribs=BEHIND),
     chain(A, p(-4, 0), p(-4, 3), p(0, 3))),
    ("POLYLINE", "polyline in space", lambda s: s.add_polyline3d([(*xy, 5) for xy in ABCD]), chain(A, B, C, D)),
    ("POLYLINE", "polyline in space: its points are in world coordinates",
     lambda s: s.add_polyline3d([(*xy, 5) for xy in ABCD], dxfattribs=BEHIND), chain(A, B, C, D)),
]  # fmt: skip


def shapes(folder: Path, draw: Into) -> list[Shape]:
    sketch = Sketch()
    draw(sketch.into)
    drawing = sketch.read(folder)
    assert drawing.losses == ()
    return list(drawing.spaces[0].shapes)


@pytest.mark.parametrize(("draw", "wanted"), [c[2:] for c in CASES], ids=[c[1] for c in CASES])
def test_an_entity_is_read_as_what_it_draws(tmp_path: Path, draw: Into, wanted: list[tuple[Any, ...]]) -> None:
    """An entity becomes exactly the edges that it draws, in world coordinates."""
    assert [bare(s) for s in shapes(tmp_path, draw)] == wanted


def test_a_quarter_circle_bulge_has_its_centre_and_radius(tmp_path: Path) -> None:
    """A bulge of tan(22.5 degrees) is a quarter circle: centre and radius come within 1e-15."""
    bulge = sqrt(2) - 1
    (arc,) = shapes(tmp_path, lambda s: s.add_lwpolyline([(3, 1, bulge), (1, 3, 0)], format="xyb"))
    assert isinstance(arc, Arc)
    assert (arc.a, arc.b) == (p(3, 1), p(1, 3))
    for found, wanted in ((arc.centre[0], 1), (arc.centre[1], 1), (arc.radius, 2)):
        assert abs(found - wanted) < F(1, 10**14)


@given(st.floats(-3, 3).filter(lambda b: abs(b) > 0.01), st.integers(1, 50), st.integers(-50, 50))
def test_a_bulge_is_the_tangent_of_a_quarter_of_the_arcs_angle(
    tmp_path_factory: Any, bulge: float, dx: int, dy: int
) -> None:
    """Both ends are on the circle, and the distance from chord to arc is the bulge times half the chord."""
    (arc,) = shapes(
        tmp_path_factory.mktemp("bulge"), lambda s: s.add_lwpolyline([(0, 0, bulge), (dx, dy, 0)], format="xyb")
    )
    assert isinstance(arc, Arc)
    cx, cy, r = float(arc.centre[0]), float(arc.centre[1]), float(arc.radius)
    chord = sqrt(dx * dx + dy * dy)
    for x, y in ((0, 0), (dx, dy)):
        assert sqrt((x - cx) ** 2 + (y - cy) ** 2) == pytest.approx(r, rel=1e-9)
    # The height of the arc over its chord; the centre lies to the left of the way from a to b where it is less than
    # a half turn.
    way = ((dx, dy), (0, 0)) if bulge < 0 else ((0, 0), (dx, dy))
    (ax, ay), (bx, by) = way
    left = ((bx - ax) * (cy - ay) - (by - ay) * (cx - ax)) / chord
    assert r - left == pytest.approx(abs(bulge) * chord / 2, rel=1e-9, abs=1e-9)


CURVES: list[tuple[str, str, Into, tuple[float, float], float, P | None]] = [
    ("ELLIPSE", "ellipse", lambda s: s.add_ellipse((1, 2), (4, 0), 0.5), (5.0, 2.0), 2.0, p(1, 2)),
    ("ELLIPSE", "half an ellipse", lambda s: s.add_ellipse((1, 2), (4, 0), 0.5, 0, 3.141592653589793), (5.0, 2.0), 2.0,
     p(1, 2)),
    ("SPLINE", "spline by its control points",
     lambda s: s.add_open_spline([(0, 0), (1, 3), (3, 3), (4, 0)]), (0.0, 0.0), 2.25, None),
    ("SPLINE", "spline by its fit points", lambda s: s.add_spline([(0, 0), (2, 2), (4, 0)]), (0.0, 0.0), 2.0, None),
]  # fmt: skip


@pytest.mark.parametrize(
    ("draw", "start", "height", "centre"), [c[2:] for c in CURVES], ids=[c[1] for c in CURVES]
)
def test_a_curve_is_a_chain_of_points_on_it(
    tmp_path: Path, draw: Into, start: tuple[float, float], height: float, centre: P | None
) -> None:
    """Ellipses and splines begin where they are drawn to begin and rise as high as they are drawn to."""
    (curve,) = shapes(tmp_path, draw)
    assert isinstance(curve, Curve)
    assert [float(q) for q in curve.points[0]] == pytest.approx(start, abs=1e-9)
    base = float(centre[1]) if centre else 0.0
    assert max(float(y) for _, y in curve.points) - base == pytest.approx(height, abs=0.01)
    assert curve.centre == centre
    assert len(curve.points) > 10


def test_every_reader_has_its_cases() -> None:
    """No entity type is read without a case above."""
    assert {c[0] for c in CASES} | {c[0] for c in CURVES} == set(READERS)


UNREAD: list[tuple[str, Into, str, str]] = [
    ("a mesh", lambda s: s.add_polyface(), "POLYLINE", "mesh"),
    ("a circle in a tilted plane", lambda s: s.add_circle((0, 0), 1, {"extrusion": (1, 0, 0)}), "CIRCLE", "tilted"),
    ("a spline of one point", lambda s: s.add_spline([(0, 0)]), "SPLINE", "at least two points"),
    ("a 3D face", lambda s: s.add_3dface([(0, 0), (1, 0), (1, 1)]), "3DFACE", "not measured"),
    ("a double line", lambda s: s.add_mline([(0, 0), (1, 0)]), "MLINE", "not measured"),
    ("an invisible line", lambda s: s.add_line((0, 0), (1, 1), {"invisible": 1}), "LINE", "invisible"),
    ("a helix", lambda s: s.add_helix(1, 1, 1), "HELIX", "not measured"),
]


@pytest.mark.parametrize(("draw", "what", "why"), [u[1:] for u in UNREAD], ids=[u[0] for u in UNREAD])
def test_what_is_not_read_is_said(tmp_path: Path, draw: Into, what: str, why: str) -> None:
    """An entity that cannot be read is a loss with its type, its reason and its handle; the others are read."""
    sketch = Sketch()
    made = draw(sketch.into)
    sketch.line((0, 0), (4, 3))
    drawing = sketch.read(tmp_path)
    assert [bare(s) for s in drawing.spaces[0].shapes] == [("line", A, C)]
    (loss,) = drawing.losses
    assert loss.what == what
    assert why in loss.why
    assert loss.handles == (made.dxf.handle,)


SILENT: list[tuple[str, Into]] = [
    ("text", lambda s: s.add_text("IN")),
    ("hatch", lambda s: s.add_hatch().paths.add_polyline_path([(0, 0), (1, 0), (1, 1)])),
    ("endless line", lambda s: s.add_xline((0, 0), (1, 0))),
    ("half an endless line", lambda s: s.add_ray((0, 0), (1, 0))),
    ("leader", lambda s: s.add_leader([(0, 0), (1, 1)])),
]


@pytest.mark.parametrize("draw", [c[1] for c in SILENT], ids=[c[0] for c in SILENT])
def test_what_is_no_outline_is_no_shape_and_no_loss(tmp_path: Path, draw: Into) -> None:
    """Text, fills, pointers and construction lines are no linework, and nothing is lost by that."""
    assert shapes(tmp_path, draw) == []
