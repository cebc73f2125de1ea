"""ARC and CIRCLE."""

from ezdxf.entities.dxfentity import DXFEntity

from dimaudit.exact.number import exact
from dimaudit.model.drawing import Arc, Circle, Origin, Shape
from dimaudit.read.affine import on_circle
from dimaudit.read.entities.plain import at


def circle(entity: DXFEntity, origin: Origin) -> list[Shape]:
    return [Circle(origin, at(entity.dxf.center), abs(exact(entity.dxf.radius)))]


def arc(entity: DXFEntity, origin: Origin) -> list[Shape]:
    centre, radius = at(entity.dxf.center), abs(exact(entity.dxf.radius))
    start, end = exact(entity.dxf.start_angle) % 360, exact(entity.dxf.end_angle) % 360
    if start == end:  # an arc all the way round
        return [Circle(origin, centre, radius)]
    return [Arc(origin, centre, radius, on_circle(centre, radius, start), on_circle(centre, radius, end))]
