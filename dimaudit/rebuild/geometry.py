"""A space rebuilt, in one pass: network, what lies near the dimensions, views, features, faults."""

from collections import Counter
from collections.abc import Sequence

import numpy as np
import shapely

from dimaudit.model.drawing import Dimension, Shape, Space
from dimaudit.model.geometry import LineworkFault, Near
from dimaudit.model.settings import Settings
from dimaudit.model.units import Unit
from dimaudit.model.view import Geometry, View
from dimaudit.rebuild.faults import linework_faults
from dimaudit.rebuild.features import build_view
from dimaudit.rebuild.network import Network, build_network
from dimaudit.rebuild.noise import size_noise
from dimaudit.rebuild.views import group_views


def rebuild(space: Space, unit: Unit | None, settings: Settings) -> Geometry:
    """Rebuilds one space. Lengths are in the drawing's unit."""
    lengths = settings.for_unit(unit)
    noise = lengths.noise if lengths.noise is not None else size_noise(space.shapes)
    lengths = lengths.with_noise(noise)
    network = build_network(space.shapes, float(lengths.near) / 4)
    near, on = _near(space.dimensions, network, float(lengths.near), float(lengths.snap))
    grouping = group_views(
        space, network, near, on, float(lengths.snap), float(lengths.gap), settings.views
    )
    wanted = Counter(g for g in grouping.of_dimension if g is not None)
    order = sorted(wanted, key=lambda g: min(grouping.members[g]))
    views = tuple(
        build_view(
            f"view {n}" if space.name == "Model" else f"{space.name}, view {n}",
            [space.shapes[k] for k in grouping.members[g]],
            grouping.faces.get(g, ()),
            space.shapes,
            lengths,
            unit,
            grouping.boxes.get(g),
        )
        for n, g in enumerate(order, 1)
    )
    number = {g: n for n, g in enumerate(order)}
    inside = [k for g in order for k in grouping.members[g]]
    return Geometry(
        space,
        views,
        tuple(None if g is None else number[g] for g in grouping.of_dimension),
        near,
        linework_faults(space.shapes, network, inside, lengths, settings.nearly_level),
        noise,
        len(grouping.members) - len(order),
    )


def _near(
    dimensions: Sequence[Dimension], network: Network, near: float, snap: float
) -> tuple[tuple[dict[int, Near], ...], tuple[dict[int, set[int]], ...]]:
    """For each dimension and each of its points on the part: the shapes near it, and those it is on."""
    keys: list[tuple[int, int]] = []
    spots: list[tuple[float, float]] = []
    for d, dimension in enumerate(dimensions):
        for group, (x, y) in dimension.measured_points.items():
            keys.append((d, group))
            spots.append((float(x), float(y)))
    bodies: list[list[int]] = [[] for _ in keys]
    centres: list[list[int]] = [[] for _ in keys]
    on: list[dict[int, set[int]]] = [{} for _ in dimensions]
    if spots and len(network.lines):
        points = shapely.points(np.array(spots))
        hits = network.tree.query(points, predicate="dwithin", distance=near + network.sagitta)
        apart = shapely.distance(points[hits[0]], network.lines[hits[1]])
        close = (apart <= snap + network.sagitta).tolist()
        for p, k, touches in zip(hits[0].tolist(), hits[1].tolist(), close, strict=True):
            bodies[p].append(k)
            if touches:
                d, group = keys[p]
                on[d].setdefault(group, set()).add(k)
        if len(network.centres):
            tree = shapely.STRtree(network.centres)
            hits = tree.query(points, predicate="dwithin", distance=near)
            apart = shapely.distance(points[hits[0]], network.centres[hits[1]])
            close = (apart <= snap).tolist()
            for p, c, touches in zip(hits[0].tolist(), hits[1].tolist(), close, strict=True):
                k = int(network.centre_of[c])
                centres[p].append(k)
                if touches:
                    d, group = keys[p]
                    on[d].setdefault(group, set()).add(k)
    found: list[dict[int, Near]] = [{} for _ in dimensions]
    for (d, group), b, c in zip(keys, bodies, centres, strict=True):
        found[d][group] = Near(tuple(sorted(b)), tuple(sorted(c)))
    return tuple(found), tuple(on)


def whole_sheet(space: Space, unit: Unit | None, settings: Settings) -> View:
    """All linework of a space as one view, whether dimensions belong to it or not: its levels recovered together."""
    lengths = settings.for_unit(unit)
    if lengths.noise is None:
        lengths = lengths.with_noise(size_noise(space.shapes))
    return build_view(space.name, space.shapes, (), space.shapes, lengths, unit, None)


def faults_among(
    shapes: Sequence[Shape], inside: Sequence[int], unit: Unit | None, settings: Settings
) -> tuple[LineworkFault, ...]:
    """The faults of the linework among the shapes `inside` (indices), whether dimensions belong to it or not."""
    lengths = settings.for_unit(unit)
    network = build_network(shapes, float(lengths.near) / 4)
    return linework_faults(shapes, network, inside, lengths, settings.nearly_level)
