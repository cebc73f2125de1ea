"""ELLIPSE and SPLINE, as chains of points on them."""

from ezdxf.entities.dxfentity import DXFEntity

from dimaudit.model.drawing import Curve, Origin, Shape
from dimaudit.read.entities.plain import at

FINENESS = 2000
"""The chain stays within 1/FINENESS of the curve's size from the curve."""


def ellipse(entity: DXFEntity, origin: Origin) -> list[Shape]:
    """Raises ValueError for an ellipse without extent."""
    size = entity.dxf.major_axis.magnitude
    points = tuple(at(p) for p in entity.flattening(max(size / FINENESS, 1e-12)))  # type: ignore[attr-defined]
    if len(points) < 2:
        raise ValueError("an ellipse without extent")
    return [Curve(origin, points, at(entity.dxf.center))]


def spline(entity: DXFEntity, origin: Origin) -> list[Shape]:
    """Raises ValueError for a spline without enough points (the library's own error is of that class)."""
    control = list(entity.control_points) or list(entity.fit_points)  # type: ignore[attr-defined]
    if len(control) < 2:
        raise ValueError("a spline needs at least two points")
    spread = max(max(p[i] for p in control) - min(p[i] for p in control) for i in (0, 1))
    points = entity.flattening(max(spread / FINENESS, 1e-12))  # type: ignore[attr-defined]
    return [Curve(origin, tuple(at(p) for p in points))]
