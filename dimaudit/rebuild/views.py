"""Which linework belongs together as one view, decided from linework and dimensions together.

1. Shapes that touch are one piece. Centrelines do not join pieces: they run through several views.
2. A piece inside a closed outline belongs to the smallest outline around it.
3. A piece that no dimension touches, and that holds whole dimensions (their points and texts), is sheet furniture
   (border, frame): it holds nothing together.
4. Dimensions join pieces: a dimension with its ends on two pieces makes them one view. A single dimension between
   two closed pieces that have two or more dimensions each of their own does not: it is more likely the mistake.
   Pieces whose own dimensions are at different factors (DIMLFAC) are details at different scales and never joined.
5. A piece that no dimension touches, inside the bounds of a view, belongs to that view: the smallest that holds it.
6. The user's boxes outrank all of this: what has its middle in a box is in the box's view, and in no other.
"""

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

import numpy as np
import shapely

from dimaudit.model.drawing import Dimension, LineRole, Space
from dimaudit.model.geometry import Near
from dimaudit.model.settings import ViewBox
from dimaudit.rebuild.network import Groups, Network, pairs_within

MOST_TO_CUT = 20_000
"""Pieces of more shapes than this are not cut at their crossings when looking for closed outlines."""
MOST_MEETINGS = 100_000
"""Nor is anything cut in a drawing whose lines meet more often than this: cutting makes a line of each meeting."""

GRID = 0.7354
"""Lines are cut on a grid of so many snap distances, so that an end which misses a line by noise still meets it. An
odd number: coordinates that a shop uses, and noise about them, do not lie half way between two lines of the grid."""


@dataclass(frozen=True, slots=True)
class Face:
    """A closed region, the shapes on its ring, and the group it came from."""

    polygon: Any
    shapes: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Grouping:
    """The result: shapes by group, centrelines in every group they touch; sheet furniture is a group of its own."""

    members: dict[int, tuple[int, ...]]
    """Shapes by group."""
    faces: dict[int, tuple[Face, ...]]
    of_dimension: tuple[int | None, ...]
    boxes: dict[int, ViewBox]


def group_views(
    space: Space, network: Network, near: Sequence[dict[int, Near]], on: Sequence[dict[int, set[int]]],
    snap: float, gap: float, boxes: Sequence[ViewBox],
) -> Grouping:  # fmt: skip
    """Groups the shapes of `space`. `near` and `on` give the shapes near to and on each definition point."""
    shapes = space.shapes
    joins = np.array([s.origin.role is not LineRole.CENTRE for s in shapes], dtype=bool)
    pieces = Groups(len(shapes))
    centre_pairs: list[list[int]] = []
    meetings = 0
    for a, b in pairs_within(network.tree, network.lines, gap):
        pieces.join_all(a[joins[a] & joins[b]], b[joins[a] & joins[b]])
        meetings += len(a)
        crossing = joins[a] != joins[b]
        swap = joins[a[crossing]]
        centre_pairs += np.column_stack(
            (np.where(swap, b[crossing], a[crossing]), np.where(swap, a[crossing], b[crossing]))
        ).tolist()
    boxed = _boxed(network, boxes)
    faces = _faces(network, joins, pieces, snap, cut=meetings <= MOST_MEETINGS)
    furniture = _nest(network, pieces, faces, space.dimensions, on, joins)
    solid = _without_centrelines(on, joins)
    _join_by_dimensions(space.dimensions, pieces, faces, solid, joins)
    _take_in(pieces, network, solid, furniture)
    touched_by: dict[int, set[int]] = defaultdict(set)
    for centre, other in centre_pairs:
        touched_by[centre].add(other)

    def group(k: int) -> int:
        return -1 - boxed[k] if k in boxed else pieces.of(k)

    members: dict[int, list[int]] = defaultdict(list)
    group_of: dict[int, list[int]] = {}
    for k in range(len(shapes)):
        own = k in boxed or k not in touched_by
        group_of[k] = [group(k)] if own else sorted({group(other) for other in touched_by[k]})
        for g in group_of[k]:
            members[g].append(k)
    by_group: dict[int, list[Face]] = defaultdict(list)
    for face in faces:
        by_group[group(face.shapes[0])].append(face)
    return Grouping(
        {g: tuple(m) for g, m in members.items()},
        {g: tuple(f) for g, f in by_group.items()},
        _views_of_dimensions(space.dimensions, group_of, members, network, near, solid),
        {-1 - n: box for n, box in enumerate(boxes)},
    )


def _boxed(network: Network, boxes: Sequence[ViewBox]) -> dict[int, int]:
    """Which of the user's boxes holds each shape, by the middle of the shape; the first that does."""
    found: dict[int, int] = {}
    if not boxes or not len(network.lines):
        return found
    bounds = shapely.bounds(network.lines)
    middle = np.column_stack(((bounds[:, 0] + bounds[:, 2]) / 2, (bounds[:, 1] + bounds[:, 3]) / 2))
    for n, box in enumerate(boxes):
        low, high = np.array(box.low, dtype=float), np.array(box.high, dtype=float)
        for k in np.flatnonzero(((middle >= low) & (middle <= high)).all(axis=1)).tolist():
            found.setdefault(k, n)
    return found


def _faces(network: Network, joins: Any, pieces: Groups, snap: float, cut: bool) -> list[Face]:
    """Closed regions bounded by the linework; a piece that closes only at crossings is cut there first."""
    chosen = np.flatnonzero(joins)
    if chosen.size == 0:
        return []
    polygons = _filled(shapely.polygonize(_meeting(network.lines[chosen], snap)))
    found = [Face(polygon, _ring(network, polygon, snap, joins, pieces)) for polygon in polygons]
    found = [face for face in found if face.shapes]
    closed = {pieces.of(face.shapes[0]) for face in found}
    by_piece: dict[int, list[int]] = defaultdict(list)
    for k in chosen.tolist():
        if (piece := pieces.of(k)) not in closed:
            by_piece[piece].append(k)
    for open_piece in by_piece.values():
        if cut and 3 <= len(open_piece) <= MOST_TO_CUT:
            parts = shapely.get_parts(shapely.union_all(network.lines[open_piece], grid_size=GRID * snap))
            for polygon in _filled(shapely.polygonize(parts)):
                found.append(Face(polygon, tuple(open_piece)))
    return found


def _filled(collection: Any) -> Any:
    """The regions without their holes: what stands in a hole is inside the outline all the same."""
    parts = shapely.get_parts(collection)
    return shapely.polygons(shapely.get_exterior_ring(parts)) if len(parts) else parts


def _meeting(lines: Any, snap: float) -> Any:
    """The lines with ends that are one place made one point: the noise of a file opens no outline.

    Only ends that no other line has exactly are looked at; most drawings have few.
    """
    coordinates, owner = shapely.get_coordinates(lines, return_index=True)
    heads = np.flatnonzero(np.r_[True, owner[1:] != owner[:-1]])
    tails = np.r_[heads[1:] - 1, len(owner) - 1]
    ends = np.concatenate((heads, tails))
    _, which, count = np.unique(coordinates[ends], axis=0, return_inverse=True, return_counts=True)
    alone = ends[count[which.ravel()] == 1]
    if not alone.size:
        return lines
    points = shapely.points(coordinates[ends])
    near = shapely.STRtree(points).query(shapely.points(coordinates[alone]), predicate="dwithin", distance=snap)
    place = {int(end): k for k, end in enumerate(ends)}
    one = Groups(len(ends))
    for a, b in zip(near[0].tolist(), near[1].tolist(), strict=True):
        one.join(place[int(alone[a])], b)
    coordinates = coordinates.copy()
    for k, end in enumerate(ends.tolist()):
        coordinates[end] = coordinates[ends[one.of(k)]]
    return shapely.linestrings(coordinates, indices=owner)


def _ring(network: Network, polygon: Any, snap: float, joins: Any, pieces: Groups) -> tuple[int, ...]:
    """The shapes whose lines make the ring: those that hold the middle of one of its sides.

    What only runs along it there, a centreline or another piece, is none of them.
    """
    ring = shapely.get_coordinates(polygon.exterior)
    step = max(1, (len(ring) - 1) // 64)
    middles = shapely.points((ring[:-1:step] + ring[1::step]) / 2)
    size = float(np.abs(ring).max()) or 1.0
    hits = network.tree.query(middles, predicate="dwithin", distance=max(size * 1e-12, snap))
    own = [k for k in hits[1].tolist() if joins[k]]
    if not own:
        return ()
    piece, _ = Counter(map(pieces.of, own)).most_common(1)[0]
    return tuple(sorted({k for k in own if pieces.of(k) == piece}))


def _nest(
    network: Network, pieces: Groups, faces: Sequence[Face], dimensions: Sequence[Dimension],
    on: Sequence[dict[int, set[int]]], joins: Any,
) -> frozenset[int]:  # fmt: skip
    """Joins pieces inside an outline to it, sheet furniture excepted; returns the furniture, by a shape of each."""
    if not faces:
        return frozenset()
    first: dict[int, int] = {}
    for k in range(len(joins)):
        first.setdefault(pieces.of(k), k)
    heads = list(first)
    starts = shapely.get_point(network.lines[[first[h] for h in heads]], 0)
    tree = shapely.STRtree([face.polygon for face in faces])
    inside = tree.query(starts, predicate="intersects").T.tolist()
    piece_of_face = [pieces.of(face.shapes[0]) for face in faces]
    areas = [face.polygon.area for face in faces]
    around: dict[int, list[int]] = defaultdict(list)
    for start, face in inside:
        if piece_of_face[face] != heads[start]:
            around[heads[start]].append(face)
    furniture = _furniture(pieces, around, piece_of_face, faces, areas, dimensions, on)
    for head, holders in around.items():
        real = [f for f in holders if piece_of_face[f] not in furniture]
        if real and head not in furniture:
            pieces.join(head, piece_of_face[min(real, key=lambda f: areas[f])])
    return frozenset(furniture)


def _take_in(
    pieces: Groups, network: Network, on: Sequence[dict[int, set[int]]], furniture: frozenset[int]
) -> None:
    """Joins pieces that no dimension touches to the view whose bounds they lie in, the smallest: an open outline,
    too, has things inside it."""
    if not len(network.lines):
        return
    bounds = shapely.bounds(network.lines)
    members: dict[int, list[int]] = defaultdict(list)
    for k in range(len(network.lines)):
        members[pieces.of(k)].append(k)
    dimensioned = {pieces.of(k) for ends in on for hits in ends.values() for k in hits}
    boxes = {g: (*bounds[m][:, :2].min(axis=0), *bounds[m][:, 2:].max(axis=0)) for g, m in members.items()}
    held = {pieces.of(k) for k in furniture}
    loose = [g for g in members if g not in dimensioned and g not in held]
    views = sorted(
        (g for g in dimensioned if g not in held),
        key=lambda g: ((boxes[g][2] - boxes[g][0]) * (boxes[g][3] - boxes[g][1]), g),
    )
    if not loose or not views:
        return
    tree = shapely.STRtree(shapely.box(*np.array([boxes[g] for g in views]).T))
    holding = tree.query(shapely.box(*np.array([boxes[g] for g in loose]).T), predicate="within").T.tolist()
    first: dict[int, int] = {}
    for inner, outer in sorted(holding):
        first.setdefault(inner, outer)
    for inner, outer in first.items():
        pieces.join(loose[inner], views[outer])


def _furniture(
    pieces: Groups, around: dict[int, list[int]], piece_of_face: Sequence[int], faces: Sequence[Face],
    areas: Sequence[float], dimensions: Sequence[Dimension], on: Sequence[dict[int, set[int]]],
) -> set[int]:  # fmt: skip
    """Pieces that hold other pieces and their dimensions, text and all, while no dimension touches them."""
    holders = {piece_of_face[f] for inside in around.values() for f in inside}
    touched = {pieces.of(k) for ends in on for hits in ends.values() for k in hits}
    candidates = holders - touched
    if not candidates or not dimensions:
        return set()
    largest: dict[int, int] = {}
    for f, piece in enumerate(piece_of_face):
        if piece in candidates and (piece not in largest or areas[f] > areas[largest[piece]]):
            largest[piece] = f
    found = set()
    for piece, f in largest.items():
        polygon = faces[f].polygon
        shapely.prepare(polygon)
        if _all_inside(polygon, dimensions):
            found.add(piece)
    return found


def _all_inside(polygon: Any, dimensions: Sequence[Dimension]) -> bool:
    """Whether every dimension with a point inside has all its points and its text inside, and there is one."""
    any_inside = False
    for d in dimensions:
        ends = list(d.measured_points.values())
        if d.text_at is not None:
            rest = [*ends, d.text_at]
        else:
            rest = ends
        if not rest:
            continue
        flags = shapely.contains(polygon, shapely.points([[float(x), float(y)] for x, y in rest]))
        if flags.any():
            any_inside = True
            if not flags.all():
                return False
    return any_inside


def _without_centrelines(on: Sequence[dict[int, set[int]]], joins: Any) -> list[dict[int, set[int]]]:
    """The shapes that points are on, centrelines only where a point is on nothing else: they run through many views."""
    return [{g: ({k for k in hits if joins[k]} or hits) for g, hits in ends.items()} for ends in on]


def _join_by_dimensions(
    dimensions: Sequence[Dimension], pieces: Groups, faces: Sequence[Face], on: Sequence[dict[int, set[int]]],
    joins: Any,
) -> None:  # fmt: skip
    closed = {pieces.of(face.shapes[0]) for face in faces}
    between: Counter[tuple[int, int]] = Counter()
    own: Counter[int] = Counter()
    factors: dict[int, set[Fraction]] = defaultdict(set)
    for dimension, ends in zip(dimensions, on, strict=True):
        touched = {pieces.of(k) for hits in ends.values() for k in hits if joins[k]}
        if len(touched) == 1:
            (piece,) = touched
            own[piece] += 1
            factors[piece].add(dimension.true_factor)
        for a in touched:
            for b in touched:
                if a < b:
                    between[a, b] += 1
    for (a, b), count in sorted(between.items()):
        if factors[a] and factors[b] and factors[a].isdisjoint(factors[b]):
            continue
        if count >= 2 or not (a in closed and b in closed) or own[a] < 2 or own[b] < 2:
            pieces.join(a, b)


def _views_of_dimensions(
    dimensions: Sequence[Dimension], group_of: dict[int, list[int]], members: dict[int, list[int]],
    network: Network, near: Sequence[dict[int, Near]], on: Sequence[dict[int, set[int]]],
) -> tuple[int | None, ...]:  # fmt: skip
    """The group that each dimension measures: by the points on it, else near it, else the nearest around."""
    result: list[int | None] = []
    for d in range(len(dimensions)):
        votes = Counter(g for hits in on[d].values() for g in {g for k in hits for g in group_of[k]})
        if not votes:
            votes = Counter(
                g
                for spot in near[d].values()
                for g in {g for k in (*spot.bodies, *spot.centres) for g in group_of[k]}
            )
        most = max(votes.values(), default=0)
        result.append(min((g for g, n in votes.items() if n == most), default=None))
    if None in result and members:
        # A dimension that is near nothing belongs to a view that has dimensions, before it belongs to stray linework.
        known = sorted({g for g in result if g is not None}) or sorted(members)
        bounds = shapely.bounds(network.lines)
        boxes = np.array(
            [(*bounds[members[g]][:, :2].min(axis=0), *bounds[members[g]][:, 2:].max(axis=0)) for g in known]
        )
        for d, dimension in enumerate(dimensions):
            if result[d] is None:
                result[d] = _nearest(dimension, boxes, known)
    return tuple(result)


def _nearest(dimension: Dimension, boxes: Any, groups: Sequence[int]) -> int | None:
    """The group whose bounds the measured points stand in or next to: within its own size, the nearest first."""
    points = [(float(x), float(y)) for x, y in dimension.measured_points.values()]
    if not points:
        return None
    x0, y0, x1, y1 = boxes.T
    size = np.maximum(x1 - x0, y1 - y0)
    offs = [
        np.maximum(np.maximum(x0 - x, x - x1), 0) + np.maximum(np.maximum(y0 - y, y - y1), 0) for x, y in points
    ]
    off = np.max(offs, axis=0)
    order = np.lexsort((size, off))
    fitting = order[(off <= size)[order]]
    return groups[int(fitting[0])] if fitting.size else None
