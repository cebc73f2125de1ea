"""A view from its shapes: levels and radii recovered, closed profiles found."""

from collections.abc import Sequence
from functools import cache

import shapely

from dimaudit.exact.recover import INCH_GRIDS, METRIC_GRIDS, Grid, recover, scaled_grids
from dimaudit.model.drawing import Arc, Circle, Curve, Mark, Point, Shape
from dimaudit.model.geometry import Profile
from dimaudit.model.settings import Lengths, ViewBox
from dimaudit.model.units import INCHES, Unit, conversion
from dimaudit.model.view import View, shape_ends
from dimaudit.rebuild.levels import build_levels
from dimaudit.rebuild.views import Face


@cache
def grids_for(unit: Unit | None) -> tuple[Grid, ...]:
    """What counts as a simple number in a drawing of that unit; one without a unit gets the metric grids."""
    if unit in INCHES:
        return scaled_grids(INCH_GRIDS, conversion(Unit.INCH, unit))
    return METRIC_GRIDS if unit is None else scaled_grids(METRIC_GRIDS, conversion(Unit.MILLIMETRE, unit))


def build_view(
    name: str, shapes: Sequence[Shape], faces: Sequence[Face], all_shapes: Sequence[Shape], lengths: Lengths,
    unit: Unit | None, box: ViewBox | None,
) -> View:  # fmt: skip
    """One view from its shapes; `faces` refer to `all_shapes`."""
    assert lengths.noise is not None
    grids = grids_for(unit)
    points: list[Point] = []
    radii = {}
    for shape in shapes:
        points += shape_ends(shape)
        match shape:
            case Arc(_, centre, radius, _, _) | Circle(_, centre, radius):
                points.append(centre)
                if radius not in radii:
                    radii[radius] = recover(radius, lengths.noise, grids)
            case Curve(_, _, centre) if centre is not None:
                points.append(centre)
            case Mark(_, at):
                points.append(at)
            case _:
                pass
    return View(
        name=name,
        shapes=tuple(shapes),
        xs=build_levels([p[0] for p in points], lengths.snap, lengths.noise, grids),
        ys=build_levels([p[1] for p in points], lengths.snap, lengths.noise, grids),
        radii=radii,
        profiles=_profiles(faces, all_shapes),
        scale=None if box is None else box.scale,
    )


def _profiles(faces: Sequence[Face], all_shapes: Sequence[Shape]) -> tuple[Profile, ...]:
    """Closed regions as rings of handles; a region inside a larger one of the view is an inner profile."""
    if not faces:
        return ()
    polygons = [face.polygon for face in faces]
    tree = shapely.STRtree(polygons)
    within = tree.query(polygons, predicate="within")
    inner = set(within[0][within[0] != within[1]].tolist())
    return tuple(
        Profile(
            tuple(dict.fromkeys(all_shapes[k].origin.handle for k in face.shapes)),
            n not in inner,
            float(face.polygon.area),
        )
        for n, face in enumerate(faces)
    )
