"""LWPOLYLINE and POLYLINE, with bulges."""

from collections.abc import Iterable
from fractions import Fraction

from ezdxf.entities.dxfentity import DXFEntity

from dimaudit.exact.number import exact
from dimaudit.exact.real import nearly, root
from dimaudit.model.drawing import Arc, Origin, Point, Segment, Shape
from dimaudit.read.entities.plain import at

Vertex = tuple[Point, Fraction]
"""A corner and the bulge of the edge that leaves it (tangent of a quarter of the arc's angle; DXF reference)."""


def lwpolyline(entity: DXFEntity, origin: Origin) -> list[Shape]:
    rows: Iterable[tuple[float, float, float]] = entity.get_points("xyb")  # type: ignore[attr-defined]
    vertices = [((exact(x), exact(y)), exact(b)) for x, y, b in rows]
    return _edges(vertices, bool(entity.closed), origin)  # type: ignore[attr-defined]


def polyline(entity: DXFEntity, origin: Origin) -> list[Shape]:
    """A 2D or 3D polyline; the control points of a fitted curve are left out. Meshes raise ValueError."""
    if entity.is_polygon_mesh or entity.is_poly_face_mesh:  # type: ignore[attr-defined]
        raise ValueError("a mesh is no outline; export the view as lines")
    vertices = [
        (at(v.dxf.location), exact(v.dxf.get("bulge", 0.0)))
        for v in entity.vertices  # type: ignore[attr-defined]
        if not v.dxf.get("flags", 0) & 16
    ]
    return _edges(vertices, bool(entity.is_closed), origin)  # type: ignore[attr-defined]


def _edges(vertices: list[Vertex], closed: bool, origin: Origin) -> list[Shape]:
    following = vertices[1:] + vertices[:1] if closed else vertices[1:]
    shapes: list[Shape] = []
    for (a, bulge), (b, _) in zip(vertices, following, strict=False):
        if a == b:  # a repeated vertex draws nothing
            continue
        shapes.append(Segment(origin, a, b) if bulge == 0 else _bulged(origin, a, b, bulge))
    return shapes


def _bulged(origin: Origin, a: Point, b: Point, bulge: Fraction) -> Arc:
    """The arc between two corners. A bulge is itself rounded: centre and radius are kept as decimals."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    across = (1 - bulge * bulge) / (4 * bulge)
    centre = (_short((a[0] + b[0]) / 2 - dy * across), _short((a[1] + b[1]) / 2 + dx * across))
    radius = _short(root((dx * dx + dy * dy) * ((1 + bulge * bulge) / (4 * bulge)) ** 2))
    return Arc(origin, centre, radius, a, b) if bulge > 0 else Arc(origin, centre, radius, b, a)


def _short(value: object) -> Fraction:
    if isinstance(value, Fraction) and value.denominator <= 10**6:
        return value
    return exact(nearly(value))  # type: ignore[arg-type]
