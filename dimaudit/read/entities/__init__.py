"""One function per entity type: from the library's entity to plain shapes in the entity's own plane.

A newcomer adds a type by adding a function here and a line in the table.
"""

from collections.abc import Callable

from ezdxf.entities.dxfentity import DXFEntity

from dimaudit.model.drawing import Origin, Shape
from dimaudit.read.entities.circular import arc, circle
from dimaudit.read.entities.curves import ellipse, spline
from dimaudit.read.entities.plain import line, point, solid
from dimaudit.read.entities.polylines import lwpolyline, polyline

Reader = Callable[[DXFEntity, Origin], list[Shape]]

READERS: dict[str, Reader] = {
    "LINE": line,
    "POINT": point,
    "SOLID": solid,
    "TRACE": solid,
    "ARC": arc,
    "CIRCLE": circle,
    "LWPOLYLINE": lwpolyline,
    "POLYLINE": polyline,
    "ELLIPSE": ellipse,
    "SPLINE": spline,
}

WORLD_COORDINATES = frozenset({"LINE", "POINT", "ELLIPSE", "SPLINE"})
"""Types whose points stand in world coordinates whatever their extrusion; the others stand in their own plane."""

ANNOTATION = frozenset(
    {"TEXT", "MTEXT", "ATTRIB", "ATTDEF", "LEADER", "MULTILEADER", "MLEADER", "TOLERANCE", "HATCH", "VIEWPORT",
     "IMAGE", "WIPEOUT", "SEQEND", "VERTEX", "ACAD_TABLE", "MPOLYGON", "XLINE", "RAY", "OLE2FRAME", "OLEFRAME",
     "SHAPE", "LIGHT", "SUN", "CAMERA", "SECTION", "GEOPOSITIONMARKER"}
)  # fmt: skip
"""Types that are no outline of a part: text, pointers, fills, pictures, endless construction lines."""
