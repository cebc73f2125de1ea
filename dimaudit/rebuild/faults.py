"""Faults of the linework itself: gaps, duplicates, overlaps, zero lengths, nearly level lines, near centres."""

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from math import hypot, radians, tan

import numpy as np
import shapely

from dimaudit.model.drawing import Arc, Circle, Curve, LineRole, Point, Segment, Shape
from dimaudit.model.geometry import FaultKind, LineworkFault
from dimaudit.model.settings import Lengths
from dimaudit.model.view import foot_on, shape_ends
from dimaudit.rebuild.network import Groups, Network, pairs_within


def linework_faults(
    shapes: Sequence[Shape], network: Network, inside: Sequence[int], lengths: Lengths, nearly_level: Fraction
) -> tuple[LineworkFault, ...]:
    """The faults among the shapes `inside` (indices): those of views; a border's or a table's lines cut no metal."""
    chosen = sorted(set(inside))
    found: list[LineworkFault] = []
    found += _zero_lengths(shapes, chosen, lengths)
    found += _duplicates(shapes, chosen, lengths)
    found += _overlaps(shapes, chosen, lengths)
    found += _gaps(shapes, network, chosen, lengths)
    found += _nearly_level(shapes, chosen, lengths, nearly_level)
    found += _nearly_concentric(shapes, chosen, lengths)
    return tuple(found)


def _zero_lengths(shapes: Sequence[Shape], chosen: Sequence[int], lengths: Lengths) -> Iterator[LineworkFault]:
    limit = lengths.snap
    for k in chosen:
        match shapes[k]:
            case Segment(origin, a, b) if abs(a[0] - b[0]) <= limit and abs(a[1] - b[1]) <= limit:
                yield LineworkFault(FaultKind.ZERO_LENGTH, (origin.handle,), a, Fraction(0), "line")
            case Arc(origin, centre, radius, _, _) | Circle(origin, centre, radius) if radius <= limit:
                yield LineworkFault(FaultKind.ZERO_LENGTH, (origin.handle,), centre, Fraction(0), "circle or arc")
            case _:
                pass


SMOOTH = 0.35
"""Sine of the bend (20 degrees) up to which a chain of lines is taken to follow a curve."""

Entity = tuple[str, tuple[str, ...]]
"""An entity as drawn: its handle, and the block references it came through."""


def _entity(shape: Shape) -> Entity:
    return shape.origin.handle, shape.origin.inserts


def _duplicates(shapes: Sequence[Shape], chosen: Sequence[int], lengths: Lengths) -> Iterator[LineworkFault]:
    """Entities that lie on others edge for edge, drawn for the same purpose; one fault for each pile of them.

    A hidden edge under a visible one is normal; so are two outlines that share an edge, as neighbours do: only an
    entity all of whose edges lie on one other entity is drawn twice.
    """
    piles: dict[object, list[int]] = defaultdict(list)
    cells = _Cells(shapes, chosen, float(lengths.snap))
    for k in chosen:
        key = cells.key(shapes[k])
        if key is not None and shapes[k].origin.role is not LineRole.CENTRE:
            piles[key, shapes[k].origin.role].append(k)
    sizes = Counter(_entity(shapes[k]) for k in chosen)
    shared: dict[Entity, Counter[Entity]] = defaultdict(Counter)
    first: dict[Entity, int] = {}
    together: list[tuple[Entity, Entity]] = []
    for pile in piles.values():
        if len(pile) < 2:
            continue
        entities = dict.fromkeys(_entity(shapes[k]) for k in pile)
        for k in pile:
            first.setdefault(_entity(shapes[k]), k)
        several = [e for e in entities if sizes[e] > 1]
        singles = [e for e in entities if sizes[e] == 1]
        anchor = (several or singles)[0]
        together += [(e, anchor) for e in singles if e != anchor]  # a line of its own lies wholly on what is there
        for e in several:
            shared[e].update(other for other in several if other != e)
    order = list(first)
    groups = Groups(len(order))
    number = {e: n for n, e in enumerate(order)}
    for e, other in together:
        groups.join(number[e], number[other])
    for e, others in shared.items():
        for other, count in others.items():
            if count == sizes[e]:
                groups.join(number[e], number[other])
    members: dict[int, list[Entity]] = defaultdict(list)
    for e in order:
        members[groups.of(number[e])].append(e)
    said: set[tuple[str, ...]] = set()
    for pile_of in members.values():
        # What came through different block references is named by them: those are what a person can delete.
        apart = len({inserts for _, inserts in pile_of}) > 1
        handles = tuple(dict.fromkeys(ins[0] if ins and apart else handle for handle, ins in pile_of))
        if len(handles) < 2 or handles in said:
            continue
        said.add(handles)
        shape = shapes[first[pile_of[0]]]
        what = {Segment: "line", Circle: "circle", Arc: "arc"}.get(type(shape), "curve")
        at = shape.centre if isinstance(shape, Circle) else shape_ends(shape)[0]
        yield LineworkFault(FaultKind.DUPLICATE, handles, at, Fraction(0), what)


class _Cells:
    """Coordinates and radii numbered so that those within the snap distance of one another share a number."""

    def __init__(self, shapes: Sequence[Shape], chosen: Sequence[int], snap: float) -> None:
        values: set[float] = set()
        for k in chosen:
            match shapes[k]:
                case Segment(_, a, b):
                    values.update((float(a[0]), float(a[1]), float(b[0]), float(b[1])))
                case Circle(_, centre, radius):
                    values.update((float(centre[0]), float(centre[1]), float(radius)))
                case Arc(_, centre, radius, a, b):
                    numbers = (*centre, radius, *a, *b)
                    values.update(map(float, numbers))
                case _:
                    pass
        ordered = np.array(sorted(values))
        steps = np.concatenate(([0], (np.diff(ordered) > snap).cumsum())) if len(ordered) else ordered
        self._number: dict[float, int] = dict(zip(ordered.tolist(), steps.tolist(), strict=True))

    def key(self, shape: Shape) -> object | None:
        """What two edges share that lie on one another; None for what is no edge."""
        match shape:
            case Segment(_, a, b):
                ends = frozenset((self._near(a), self._near(b)))
                return None if len(ends) == 1 else ("line", ends)
            case Circle(_, centre, radius):
                return "circle", self._near(centre), self._number[float(radius)]
            case Arc(_, centre, radius, a, b):
                return "arc", self._near(centre), self._number[float(radius)], self._near(a), self._near(b)
            case _:
                return None

    def _near(self, p: Point) -> tuple[int, int]:
        return self._number[float(p[0])], self._number[float(p[1])]


def _overlaps(
    shapes: Sequence[Shape], chosen: Sequence[int], lengths: Lengths
) -> Iterator[LineworkFault]:
    """Lines on one another for part of their length, drawn for the same purpose; one fault for each pile of them.

    Outlines that share part of an edge are neighbours and no slip: one of the two must be a line of its own.
    """
    own = [s for k in chosen if isinstance(s := shapes[k], Segment) and s.origin.role is not LineRole.CENTRE]
    if len(own) < 2:
        return
    sizes = Counter(_entity(shapes[k]) for k in chosen)
    single = np.array([sizes[_entity(line)] == 1 for line in own])
    names: dict[object, int] = {}
    purpose = np.array([names.setdefault(_purpose(line), len(names)) for line in own])
    ends = np.array([[[float(c) for c in p] for p in (line.a, line.b)] for line in own])
    way = ends[:, 1] - ends[:, 0]
    size = np.hypot(way[:, 0], way[:, 1])
    way = way / np.where(size > 0, size, 1.0)[:, None]
    snap = float(lengths.snap)
    piles = Groups(len(own))
    found: dict[tuple[int, int], float] = {}
    lines = shapely.linestrings(ends)
    for i, j in pairs_within(shapely.STRtree(lines), lines, snap):
        near = (purpose[i] == purpose[j]) & (single[i] | single[j]) & (size[i] > snap) & (size[j] > snap)
        i, j = i[near], j[near]
        offset = ends[j] - ends[i, :1]
        across = np.abs(offset[:, :, 0] * way[i, None, 1] - offset[:, :, 1] * way[i, None, 0]).max(axis=1)
        along = (offset * way[i, None, :]).sum(axis=2)
        low, high = np.maximum(along.min(axis=1), 0.0), np.minimum(along.max(axis=1), size[i])
        shared = high - low
        same = (np.abs(shared - size[i]) <= 4 * snap) & (np.abs(shared - size[j]) <= 4 * snap)
        on = (across <= snap) & (shared > 4 * snap) & ~same
        i, j, shared = i[on], j[on], shared[on]
        piles.join_all(i, j)
        if len(i):  # the widest overlap of this lot stands for its pile, if it stays the widest
            for k in np.unique(i).tolist():
                widest = int(np.argmax(np.where(i == k, shared, -1.0)))
                found[int(i[widest]), int(j[widest])] = float(shared[widest])
    best: dict[int, tuple[float, int, int]] = {}
    for (i, j), width in found.items():
        pile = piles.of(i)
        if pile not in best or (width, -i, -j) > (best[pile][0], -best[pile][1], -best[pile][2]):
            best[pile] = (width, i, j)
    members: dict[int, list[str]] = defaultdict(list)
    for k, line in enumerate(own):
        if piles.of(k) in best:
            members[piles.of(k)].append(line.origin.handle)
    for pile, (_, i, j) in sorted(best.items()):
        fault = _overlap(own[i], own[j], lengths)
        if fault is not None and len(set(members[pile])) > 1:
            yield replace(fault, handles=tuple(dict.fromkeys(members[pile])))


def _purpose(line: Segment) -> tuple[str, LineRole, tuple[str, ...]]:
    """Lines of another layer, line type or block stand for something else: an extension line runs over an edge."""
    return line.origin.layer.casefold(), line.origin.role, line.origin.inserts


def _overlap(first: Segment, second: Segment, lengths: Lengths) -> LineworkFault | None:
    (x0, y0), (x1, y1) = first.a, first.b
    dx, dy = x1 - x0, y1 - y0
    axis = 0 if abs(dx) >= abs(dy) else 1
    main = dx if axis == 0 else dy
    if abs(main) <= lengths.snap:
        return None
    for p in (second.a, second.b):
        across = (p[0] - x0) * dy - (p[1] - y0) * dx
        if abs(across) > lengths.snap * abs(main):
            return None
    spans = [sorted((s.a[axis], s.b[axis])) for s in (first, second)]
    low, high = max(s[0] for s in spans), min(s[1] for s in spans)
    if high - low <= 4 * lengths.snap:
        return None
    if all(abs(s[0] - t[0]) <= 4 * lengths.snap and abs(s[1] - t[1]) <= 4 * lengths.snap
           for s, t in ((spans[0], spans[1]),)):  # fmt: skip
        return None  # the same line: a duplicate
    middle = (low + high) / 2
    other = (x0 if axis == 1 else y0) + (middle - first.a[axis]) * (dx / main if axis == 1 else dy / main)
    at = (middle, other) if axis == 0 else (other, middle)
    return LineworkFault(FaultKind.OVERLAP, (first.origin.handle, second.origin.handle), at, high - low)


def _gaps(
    shapes: Sequence[Shape], network: Network, chosen: Sequence[int], lengths: Lengths
) -> Iterator[LineworkFault]:
    """Open ends that nearly meet, or stop just short of a line; an end that stops on another line is no open end."""
    ends: list[tuple[int, Point]] = []
    for k in chosen:
        shape = shapes[k]
        if shape.origin.role is not LineRole.OUTLINE:
            continue
        match shape:
            case Segment(_, a, b) | Arc(_, _, _, a, b):
                ends += [(k, a), (k, b)]
            case Curve(_, points, _) if points[0] != points[-1]:
                ends += [(k, points[0]), (k, points[-1])]
            case _:
                pass
    if not ends:
        return
    spots = shapely.points([[float(x), float(y)] for _, (x, y) in ends])
    hits = network.tree.query(spots, predicate="dwithin", distance=float(lengths.snap) * 2)
    met = [False] * len(ends)
    for e, m in hits.T.tolist():
        k = ends[e][0]
        # A line drawn twice does not close the gap at its own end.
        if m != k and not _same_edge(shapes[k], shapes[m], lengths.snap):
            met[e] = True
    loose = [e for e in range(len(ends)) if not met[e]]
    if not loose:
        return
    paired: set[int] = set()
    tree = shapely.STRtree(spots[loose])
    pairs = tree.query(spots[loose], predicate="dwithin", distance=float(lengths.gap))
    best: dict[int, tuple[Fraction, int]] = {}
    for i, j in pairs.T.tolist():
        (k, p), (m, q) = ends[loose[i]], ends[loose[j]]
        if i == j or k == m or _same_edge(shapes[k], shapes[m], lengths.snap):
            continue
        square = (p[0] - q[0]) ** 2 + (p[1] - q[1]) ** 2
        if i not in best or square < best[i][0]:
            best[i] = (square, j)
    for i, (square, j) in sorted(best.items()):
        paired.add(i)
        if i < j and best.get(j, (None, -1))[1] == i and square > lengths.snap**2:
            (k, p), (m, q) = ends[loose[i]], ends[loose[j]]
            if _side_by_side(shapes[k], p, shapes[m], q):
                continue
            handles = (shapes[k].origin.handle, shapes[m].origin.handle)
            at = ((p[0] + q[0]) / 2, (p[1] + q[1]) / 2)
            yield LineworkFault(FaultKind.GAP, tuple(dict.fromkeys(handles)), at, square)
    alone = [loose[i] for i in range(len(loose)) if i not in paired]
    yield from _stopping_short(shapes, network, [ends[e] for e in alone], set(chosen), lengths)


def _stopping_short(
    shapes: Sequence[Shape], network: Network, ends: Sequence[tuple[int, Point]], chosen: set[int], lengths: Lengths
) -> Iterator[LineworkFault]:
    """Open ends of straight lines that stop just before another line that they run toward."""
    straight = [(k, p) for k, p in ends if isinstance(shapes[k], Segment)]
    if not straight:
        return
    spots = shapely.points([[float(x), float(y)] for _, (x, y) in straight])
    hits = network.tree.query(spots, predicate="dwithin", distance=float(lengths.gap))
    nearest: dict[int, tuple[Fraction, int]] = {}
    for e, m in hits.T.tolist():
        k, p = straight[e]
        other, line = shapes[m], shapes[k]
        if m == k or m not in chosen or other.origin.role is not LineRole.OUTLINE or not isinstance(other, Segment):
            continue
        if _same_edge(line, other, lengths.snap):
            continue
        foot = foot_on(p, other.a, other.b)
        square = (p[0] - foot[0]) ** 2 + (p[1] - foot[1]) ** 2
        if square > lengths.snap**2 and _runs_toward(line, p, foot) and (e not in nearest or square < nearest[e][0]):
            nearest[e] = (square, m)
    for e, (square, m) in sorted(nearest.items()):
        k, p = straight[e]
        handles = (shapes[k].origin.handle, shapes[m].origin.handle)
        yield LineworkFault(FaultKind.GAP, tuple(dict.fromkeys(handles)), p, square)


def _runs_toward(line: Shape, end: Point, foot: Point) -> bool:
    """Whether the line, made longer at `end`, would get nearer to `foot`: within 60 degrees of the way there."""
    assert isinstance(line, Segment)
    start = line.b if end == line.a else line.a
    ux, uy = float(end[0] - start[0]), float(end[1] - start[1])
    gx, gy = float(foot[0] - end[0]), float(foot[1] - end[1])
    return ux * gx + uy * gy > 0.5 * hypot(ux, uy) * hypot(gx, gy)


def _same_edge(first: Shape, second: Shape, snap: Fraction) -> bool:
    """Whether two shapes have the same two ends."""
    ours, theirs = shape_ends(first), shape_ends(second)
    if len(ours) != 2 or len(theirs) != 2 or type(first) is not type(second):
        return False
    reach = float(snap) * 2

    def close(p: Point, q: Point) -> bool:
        return abs(float(p[0] - q[0])) <= reach and abs(float(p[1] - q[1])) <= reach

    (a, b), (c, d) = ours, theirs
    return (close(a, c) and close(b, d)) or (close(a, d) and close(b, c))


def _side_by_side(first: Shape, p: Point, second: Shape, q: Point) -> bool:
    """Whether the ends are those of two parallel lines that run beside one another, as in a slit."""
    if not isinstance(first, Segment) or not isinstance(second, Segment):
        return False
    ux, uy = (float(first.b[i] - first.a[i]) for i in (0, 1))
    vx, vy = (float(second.b[i] - second.a[i]) for i in (0, 1))
    gx, gy = float(q[0] - p[0]), float(q[1] - p[1])
    u, v, g = (ux * ux + uy * uy) ** 0.5, (vx * vx + vy * vy) ** 0.5, (gx * gx + gy * gy) ** 0.5
    parallel: bool = abs(ux * vy - uy * vx) <= 0.01 * u * v
    square: bool = abs(ux * gx + uy * gy) <= 0.1 * u * g
    return parallel and square


def _nearly_level(
    shapes: Sequence[Shape], chosen: Sequence[int], lengths: Lengths, limit: Fraction
) -> Iterator[LineworkFault]:
    slope = Fraction(tan(radians(float(limit))))
    found: list[tuple[Segment, Fraction, str]] = []
    for k in chosen:
        match shapes[k]:
            case Segment(_, a, b) as line:
                dx, dy = abs(b[0] - a[0]), abs(b[1] - a[1])
                off, along, way = (dy, dx, "horizontal") if dx >= dy else (dx, dy, "vertical")
                if lengths.snap < off <= slope * along:
                    found.append((line, off, way))
            case _:
                pass
    wanted = {_entity(line) for line, _, _ in found}
    by_entity: dict[Entity, list[Segment]] = defaultdict(list)
    for k in chosen:
        shape = shapes[k]
        if isinstance(shape, Segment) and _entity(shape) in wanted:
            by_entity[_entity(shape)].append(shape)
    for line, off, way in found:
        if not any(_bends_on(line, other) for other in by_entity[_entity(line)]):
            at = ((line.a[0] + line.b[0]) / 2, (line.a[1] + line.b[1]) / 2)
            yield LineworkFault(FaultKind.NEARLY_LEVEL, (line.origin.handle,), at, off, way)


def _bends_on(line: Segment, other: Segment) -> bool:
    """Whether the two are neighbours on a chain of lines that follows a curve: level only where the curve is."""
    if other is line or not {line.a, line.b} & {other.a, other.b}:
        return False
    ux, uy = (float(line.b[i] - line.a[i]) for i in (0, 1))
    vx, vy = (float(other.b[i] - other.a[i]) for i in (0, 1))
    across: float = abs(ux * vy - uy * vx) / (((ux * ux + uy * uy) * (vx * vx + vy * vy)) ** 0.5 or 1.0)
    return across < SMOOTH


def _nearly_concentric(
    shapes: Sequence[Shape], chosen: Sequence[int], lengths: Lengths
) -> Iterator[LineworkFault]:
    """Circles inside one another whose centres nearly agree."""
    circles = [k for k in chosen if isinstance(shapes[k], Circle) and shapes[k].origin.role is not LineRole.CENTRE]
    if len(circles) < 2:
        return
    own = [shapes[k] for k in circles]
    centres = shapely.points([[float(c.centre[0]), float(c.centre[1])] for c in own if isinstance(c, Circle)])
    pairs = shapely.STRtree(centres).query(centres, predicate="dwithin", distance=float(lengths.gap))
    by_first: dict[int, list[int]] = defaultdict(list)
    for i, j in pairs.T.tolist():
        if i < j:
            by_first[i].append(j)
    for i, others in sorted(by_first.items()):
        for j in sorted(others):
            a, b = own[i], own[j]
            assert isinstance(a, Circle)
            assert isinstance(b, Circle)
            square = (a.centre[0] - b.centre[0]) ** 2 + (a.centre[1] - b.centre[1]) ** 2
            if square > lengths.snap**2 and square < (a.radius - b.radius) ** 2:
                handles = (a.origin.handle, b.origin.handle)
                yield LineworkFault(FaultKind.NEARLY_CONCENTRIC, handles, a.centre, square)
