"""LINE, POINT and SOLID."""

from ezdxf.entities.dxfentity import DXFEntity

from dimaudit.exact.number import exact
from dimaudit.model.drawing import Mark, Origin, Point, Segment, Shape


def at(vector: object) -> Point:
    """The x and y of the library's vector, exactly."""
    return exact(vector.x), exact(vector.y)  # type: ignore[attr-defined]


def line(entity: DXFEntity, origin: Origin) -> list[Shape]:
    return [Segment(origin, at(entity.dxf.start), at(entity.dxf.end))]


def point(entity: DXFEntity, origin: Origin) -> list[Shape]:
    return [Mark(origin, at(entity.dxf.location))]


def solid(entity: DXFEntity, origin: Origin) -> list[Shape]:
    """The outline of a filled triangle or quadrilateral; its third and fourth corners are stored crosswise."""
    corners = [at(entity.dxf.get(name)) for name in ("vtx0", "vtx1", "vtx3", "vtx2") if entity.dxf.hasattr(name)]
    ring = [p for k, p in enumerate(corners) if p != corners[k - 1]] or corners[:1]
    return [Segment(origin, a, b) for a, b in zip(ring, ring[1:] + ring[:1], strict=True) if a != b]
