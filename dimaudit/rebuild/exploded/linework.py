"""A space's linework, indexed for finding the pieces of exploded dimensions: by place, with the arrowheads known."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import hypot
from typing import Any

import numpy as np
import shapely

from dimaudit.model.drawing import Arc, Arrowhead, Circle, LineRole, Origin, Point, Segment, Shape, Space
from dimaudit.model.view import shape_ends
from dimaudit.rebuild.network import Network, build_network

SLENDER = 0.9
"""Width of an arrowhead over the length of its sides, at most; those in use are from 1:4 to 1:1 (ASME Y14.2: 1:3)."""
ALIKE = 0.02
"""By how much of their length the two sides of an arrowhead may differ."""

Vector = tuple[float, float]


@dataclass(frozen=True, slots=True, eq=False)
class Head:
    """The end of a dimension line: an arrowhead, a tick or a dot."""

    tip: Point
    x: float
    y: float
    way: Vector | None
    """Unit vector that it points in; None where it points nowhere."""
    size: float
    shapes: frozenset[int]
    """Indices of the lines that it is drawn with."""
    handles: tuple[str, ...]


class Linework:
    """The shapes of one space. Indices are those of the space's shapes."""

    def __init__(self, space: Space, fineness: float) -> None:
        self.space = space
        self.shapes = space.shapes
        self.network: Network = build_network(space.shapes, fineness)
        self.ends = np.full((len(self.shapes), 4), np.nan)
        """Both ends of each straight line; NaN for other shapes."""
        for k, shape in enumerate(self.shapes):
            if isinstance(shape, Segment):
                (ax, ay), (bx, by) = shape.a, shape.b
                self.ends[k] = float(ax), float(ay), float(bx), float(by)
        self.heads: tuple[Head, ...] = tuple(_heads(space))
        self.of_heads = frozenset(k for head in self.heads for k in head.shapes)
        """Lines that are part of an arrowhead."""

    @cached_property
    def head_tree(self) -> shapely.STRtree:
        return shapely.STRtree(shapely.points([(h.x, h.y) for h in self.heads]) if self.heads else [])

    def touching(self, geometry: Any, reach: float) -> list[int]:
        """Shapes that pass within `reach` of a geometry."""
        found = self.network.tree.query(geometry, predicate="dwithin", distance=reach)
        return sorted(found.tolist())

    def at(self, x: float, y: float, reach: float) -> list[int]:
        return self.touching(shapely.Point(x, y), reach)

    def heads_near(self, geometry: Any, reach: float) -> list[Head]:
        if not self.heads:
            return []
        return [self.heads[k] for k in sorted(self.head_tree.query(geometry, "dwithin", reach).tolist())]

    def places(self, geometry: Any, reach: float, taken: set[int]) -> Iterator[Point]:
        """Ends of lines and arcs, and centres, within `reach` of a geometry; not those of the shapes `taken`."""
        for k in self.touching(geometry, reach + self.network.sagitta):
            if k not in taken and k not in self.of_heads:
                yield from shape_ends(self.shapes[k])
        if len(self.network.centres):
            for c in self._centre_tree.query(geometry, "dwithin", reach).tolist():
                k = int(self.network.centre_of[c])
                shape = self.shapes[k]
                if k not in taken and isinstance(shape, (Arc, Circle)):
                    yield shape.centre

    @cached_property
    def _centre_tree(self) -> shapely.STRtree:
        return shapely.STRtree(self.network.centres)

    def length(self, k: int) -> float:
        ax, ay, bx, by = self.ends[k].tolist()
        return hypot(bx - ax, by - ay)

    def is_centre(self, k: int) -> bool:
        return self.shapes[k].origin.role is LineRole.CENTRE

    def handles(self, shapes: Iterable[int]) -> list[str]:
        return [self.shapes[k].origin.handle for k in sorted(shapes)]


def _heads(space: Space) -> list[Head]:
    """Arrow blocks, and closed slender triangles."""
    blocks: dict[tuple[str, ...], Arrowhead] = {}
    for arrow in space.arrowheads:
        blocks[(*arrow.origin.inserts, arrow.origin.handle)] = arrow
    drawn: dict[tuple[str, ...], list[int]] = defaultdict(list)
    rings: list[list[int]] = []
    ring: list[int] = []
    before: Origin | None = None
    for k, shape in enumerate(space.shapes):
        origin = shape.origin
        if origin.inserts in blocks:
            drawn[origin.inserts].append(k)
            before = None
            continue
        if origin is not before:
            ring = []
            rings.append(ring)
            before = origin
        if len(ring) < 4:
            ring.append(k)
    heads = []
    for key, arrow in blocks.items():
        way = None if arrow.way is None else _unit((float(arrow.way[0]), float(arrow.way[1])))
        x, y = float(arrow.tip[0]), float(arrow.tip[1])
        heads.append(Head(arrow.tip, x, y, way, float(arrow.size), frozenset(drawn[key]), (arrow.origin.handle,)))
    heads += [head for ring in rings if len(ring) == 3 and (head := _triangle(space.shapes, ring)) is not None]
    return heads


def _unit(v: Vector) -> Vector | None:
    size = hypot(*v)
    return (v[0] / size, v[1] / size) if size else None


def _triangle(shapes: Sequence[Shape], ring: list[int]) -> Head | None:
    lines = [shapes[k] for k in ring]
    if not all(isinstance(line, Segment) for line in lines):
        return None
    a, b, c = (line.a for line in lines if isinstance(line, Segment))
    closed = [line.b for line in lines if isinstance(line, Segment)] == [b, c, a]
    return pointed(a, b, c, frozenset(ring), (lines[0].origin.handle,)) if closed else None


def pointed(a: Point, b: Point, c: Point, ring: frozenset[int], handles: tuple[str, ...]) -> Head | None:
    """The slender triangle of three corners as an arrowhead; None where it is not slender."""
    for tip, p, q in ((a, b, c), (b, c, a), (c, a, b)):
        x, y = float(tip[0]), float(tip[1])
        mx, my = (float(p[0]) + float(q[0])) / 2, (float(p[1]) + float(q[1])) / 2
        sides = [hypot(float(r[0]) - x, float(r[1]) - y) for r in (p, q)]
        base = hypot(float(p[0] - q[0]), float(p[1] - q[1]))
        if abs(sides[0] - sides[1]) <= ALIKE * sides[0] and base <= SLENDER * sides[0]:
            return Head(tip, x, y, _unit((x - mx, y - my)), hypot(x - mx, y - my), ring, handles)
    return None
