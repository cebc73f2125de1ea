"""Linework as the geometry library's own objects, for searching; exact numbers stay with the shapes."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import acos, atan2, ceil, cos, pi, sin
from typing import Any

import numpy as np
import shapely

from dimaudit.model.drawing import Arc, Circle, Curve, Mark, Segment, Shape

LEAST_STEPS, MOST_STEPS = 16, 1440

Floats = Any
"""A numpy array; the library's own types differ between its versions."""


@dataclass(frozen=True, slots=True, eq=False)
class Network:
    """A space's shapes as lines; circles and arcs as chains that stay within `sagitta` of the curve."""

    lines: Floats
    """(n,) geometries, in the order of the shapes."""
    tree: shapely.STRtree
    centres: Floats
    """(m,) points: centres of arcs, circles and ellipses."""
    centre_of: Floats
    """(m,) index of the shape that each centre belongs to."""
    sagitta: float


def build_network(shapes: Sequence[Shape], fineness: float) -> Network:
    """The network of `shapes`; curves are chained as finely as `fineness` (a length) asks, within bounds."""
    coordinates: list[tuple[float, float]] = []
    owner: list[int] = []
    centres: list[tuple[float, float]] = []
    centre_of: list[int] = []
    sagitta = 0.0
    for k, shape in enumerate(shapes):
        points: Iterable[tuple[float, float]]
        match shape:
            case Segment(_, a, b):
                points = ((float(a[0]), float(a[1])), (float(b[0]), float(b[1])))
            case Mark(_, at):
                p = (float(at[0]), float(at[1]))
                points = (p, p)
            case Curve(_, chain, centre):
                points = [(float(x), float(y)) for x, y in chain]
                if len(points) < 2:
                    points = points * 2
                if centre is not None:
                    centres.append((float(centre[0]), float(centre[1])))
                    centre_of.append(k)
            case Arc() | Circle():
                points, sag = _chain(shape, fineness)
                sagitta = max(sagitta, sag)
                centres.append((float(shape.centre[0]), float(shape.centre[1])))
                centre_of.append(k)
        before = len(coordinates)
        coordinates.extend(points)
        owner.extend([k] * (len(coordinates) - before))
    lines = shapely.linestrings(np.array(coordinates).reshape(-1, 2), indices=np.array(owner, dtype=np.intp))
    return Network(
        lines,
        shapely.STRtree(lines),
        shapely.points(np.array(centres).reshape(-1, 2)),
        np.array(centre_of, dtype=np.intp),
        sagitta,
    )


def _chain(shape: Arc | Circle, fineness: float) -> tuple[list[tuple[float, float]], float]:
    """Points on the arc, its own ends among them, and how far the chain stays from it at most."""
    cx, cy, r = float(shape.centre[0]), float(shape.centre[1]), float(shape.radius)
    if isinstance(shape, Circle):
        start, sweep = 0.0, 2 * pi
    else:
        start = atan2(float(shape.a[1]) - cy, float(shape.a[0]) - cx)
        sweep = (atan2(float(shape.b[1]) - cy, float(shape.b[0]) - cx) - start) % (2 * pi) or 2 * pi
    step = 2 * acos(1 - fineness / r) if 0 < fineness < r else pi / 8
    steps = MOST_STEPS if step * MOST_STEPS <= sweep else max(ceil(sweep / step), LEAST_STEPS)
    if isinstance(shape, Circle):
        points = [(cx + r * x, cy + r * y) for x, y in _unit_circle(steps)]
    else:
        turns = [start + sweep * k / steps for k in range(steps + 1)]
        points = [(cx + r * cos(t), cy + r * sin(t)) for t in turns]
        points[0] = (float(shape.a[0]), float(shape.a[1]))
        points[-1] = (float(shape.b[0]), float(shape.b[1]))
    return points, r * (1 - cos(sweep / steps / 2))


@lru_cache(maxsize=64)
def _unit_circle(steps: int) -> tuple[tuple[float, float], ...]:
    ring = tuple((cos(2 * pi * k / steps), sin(2 * pi * k / steps)) for k in range(steps))
    return (*ring, ring[0])


AT_ONCE = 1000
"""Lines whose neighbours are looked up in one go: lines that all lie on one another make pairs by the square."""


def pairs_within(tree: shapely.STRtree, lines: Floats, distance: float) -> Iterator[tuple[Floats, Floats]]:
    """Pairs (first < second) of lines of the tree that come within `distance`, as two arrays at a time."""
    for start in range(0, len(lines), AT_ONCE):
        first, second = tree.query(lines[start : start + AT_ONCE], predicate="dwithin", distance=distance)
        first = first + start
        upper = first < second
        yield first[upper], second[upper]


class Groups:
    """Sets that grow together (disjoint sets; R. E. Tarjan, J. ACM 22(2), 1975)."""

    def __init__(self, count: int) -> None:
        self._above = list(range(count))

    def of(self, k: int) -> int:
        """The set that `k` is in, by its representative."""
        above = self._above
        while above[k] != k:
            above[k] = above[above[k]]
            k = above[k]
        return k

    def join_all(self, a: Floats, b: Floats) -> None:
        """Joins many pairs (two arrays of indices); pairs that are together already cost next to nothing."""
        if len(a) == 0:
            return
        count = len(self._above)
        labels = np.array([self.of(k) for k in range(count)], dtype=np.int64)
        first, second = labels[a], labels[b]
        apart = first != second
        for pair in np.unique(first[apart] * count + second[apart]).tolist():
            self.join(*divmod(pair, count))

    def join(self, a: int, b: int) -> None:
        """Makes one set of the two; the smaller index represents it, so that results do not depend on the order."""
        a, b = self.of(a), self.of(b)
        if a != b:
            self._above[max(a, b)] = min(a, b)
