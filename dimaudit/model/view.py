"""A view: one cluster of linework that dimensions belong to, with its features found when asked for.

Most dimensions end on corners and centres that the levels alone place; the full list of features is
made only for a view in which some dimension has to be searched for.
"""

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from math import hypot

from dimaudit.exact.recover import Recovered
from dimaudit.model.drawing import Arc, Circle, Curve, LineRole, Mark, Point, Segment, Shape, Space
from dimaudit.model.geometry import Feature, FeatureKind, HoleGroup, Levels, LineworkFault, Near, Profile
from dimaudit.model.rings import DrawnHole, drawn_holes

TANGENT_SINE = 0.001
"""Directions that differ by less than this (0.06 degrees) at a joint of an arc are tangent."""


@dataclass(frozen=True, eq=False)
class View:
    """Shapes, and the levels and radii that they stand on."""

    name: str
    shapes: tuple[Shape, ...]
    xs: Levels
    ys: Levels
    radii: dict[Fraction, Recovered]
    profiles: tuple[Profile, ...] = ()
    scale: Fraction | None = None
    """Drawn size over true size by the user's word; None where it was not said."""

    def place(self, point: Point) -> Point:
        """A point of the file moved onto the recovered levels that it stands on."""
        return self.xs.place(point[0]), self.ys.place(point[1])

    def radius(self, raw: Fraction) -> Recovered:
        """What the raw radius is taken for."""
        return self.radii.get(raw) or Recovered(raw, raw)

    @property
    def size(self) -> float:
        """The longer side of the bounds of the view's corners and centres."""
        return max(
            (self.xs.keys[-1] - self.xs.keys[0]) if self.xs.keys else 0.0,
            (self.ys.keys[-1] - self.ys.keys[0]) if self.ys.keys else 0.0,
        )

    @cached_property
    def extent(self) -> tuple[tuple[float, float], tuple[float, float]]:
        """Lowest and highest x, and y, of the part itself: centrelines run beyond it and do not count."""
        xs: list[float] = []
        ys: list[float] = []
        for shape in self.shapes:
            if shape.origin.role is LineRole.CENTRE:
                continue
            spots = list(shape_ends(shape))
            if isinstance(shape, Circle):
                spots = list(quadrants(shape.centre, shape.radius))
            elif isinstance(shape, Arc):
                spots += [p for p in quadrants(shape.centre, shape.radius) if on_arc(shape, p)]
            elif isinstance(shape, Curve):
                spots = list(shape.points)
            xs += [float(p[0]) for p in spots]
            ys += [float(p[1]) for p in spots]
        return (min(xs, default=0.0), max(xs, default=0.0)), (min(ys, default=0.0), max(ys, default=0.0))

    @cached_property
    def members(self) -> frozenset[int]:
        """The identities of the view's shapes, to tell them from those of other views."""
        return frozenset(map(id, self.shapes))

    @cached_property
    def points(self) -> tuple[Feature, ...]:
        """Corners, ends, tangent points, centres, quadrants and points, each once."""
        found: dict[tuple[Point, bool], Feature] = {}
        for raw, own in self.joints.values():
            place = self.place(raw)
            found[place, False] = Feature(joint_kind(raw, own), place, raw, tuple(own))
        for kind, raw, at, shape in self._spots():
            key = (at, kind is FeatureKind.CENTRE)
            before = found.get(key)
            if before is None:
                found[key] = Feature(kind, at, raw, (shape,))
            elif shape not in before.shapes:
                found[key] = Feature(before.kind, at, before.raw, (*before.shapes, shape))
        for corner in self.sharp_corners:
            found.setdefault((corner.at, False), corner)
        return tuple(found.values())

    @cached_property
    def joints(self) -> dict[Point, tuple[Point, list[Shape]]]:
        """Where ends of lines and arcs are, with the shapes that end there, by the recovered point."""
        found: dict[Point, tuple[Point, list[Shape]]] = {}
        for shape in self.shapes:
            for end in shape_ends(shape):
                found.setdefault(self.place(end), (end, []))[1].append(shape)
        return found

    def _spots(self) -> list[tuple[FeatureKind, Point, Point, Shape]]:
        spots: list[tuple[FeatureKind, Point, Point, Shape]] = []
        for shape in self.shapes:
            match shape:
                case Arc(_, centre, radius, _, _) | Circle(_, centre, radius):
                    at, r = self.place(centre), self.radius(radius).value
                    spots.append((FeatureKind.CENTRE, centre, at, shape))
                    raws, places = quadrants(centre, radius), quadrants(at, r)
                    for raw, place in zip(raws, places, strict=True):
                        if isinstance(shape, Circle) or on_arc(shape, raw):
                            spots.append((FeatureKind.QUADRANT, raw, place, shape))
                case Curve(_, _, curve_centre) if curve_centre is not None:
                    spots.append((FeatureKind.CENTRE, curve_centre, self.place(curve_centre), shape))
                case Mark(_, spot):
                    spots.append((FeatureKind.POINT, spot, self.place(spot), shape))
                case _:
                    pass
        return spots

    @cached_property
    def sharp_corners(self) -> tuple[Feature, ...]:
        """Where the straight edges beside a fillet or a small chamfer would meet: dimensions are given to there."""
        at_end: dict[Point, list[Segment]] = defaultdict(list)
        for shape in self.shapes:
            if isinstance(shape, Segment) and shape.origin.role is not LineRole.CENTRE:
                for end in shape_ends(shape):
                    at_end[self.place(end)].append(shape)
        found: dict[Point, Feature] = {}
        for shape in self.shapes:
            if shape.origin.role is LineRole.CENTRE or not isinstance(shape, (Arc, Segment)):
                continue
            first, second = ([s for s in at_end[self.place(p)] if s is not shape] for p in (shape.a, shape.b))
            if len(first) != 1 or len(second) != 1 or first[0] is second[0]:
                continue
            corner = self._sharp_corner(shape, first[0], second[0])
            if corner is not None:
                found.setdefault(corner.at, corner)
        return tuple(found.values())

    def sharp_near(self, x: float, reach: float) -> Sequence[Feature]:
        """Theoretical sharp corners whose x is within `reach` of `x`."""
        corners, keys = self._sharp_sorted
        return corners[bisect_left(keys, x - reach) : bisect_right(keys, x + reach)]

    @cached_property
    def _sharp_sorted(self) -> tuple[list[Feature], list[float]]:
        corners = sorted(self.sharp_corners, key=lambda f: float(f.raw[0]))
        return corners, [float(f.raw[0]) for f in corners]

    def _sharp_corner(self, between: Arc | Segment, first: Segment, second: Segment) -> Feature | None:
        raw = crossing(first.a, first.b, second.a, second.b)
        at = crossing(self.place(first.a), self.place(first.b), self.place(second.a), self.place(second.b))
        if raw is None or at is None:
            return None
        width = _apart(between.a, between.b)
        if isinstance(between, Segment) and width > min(_apart(first.a, first.b), _apart(second.a, second.b)):
            return None  # an edge of its own, no chamfer
        if max(_apart(raw, between.a), _apart(raw, between.b)) > 2 * width:
            return None
        return Feature(FeatureKind.SHARP_CORNER, at, raw, (first, second))

    @cached_property
    def centres(self) -> frozenset[Point]:
        """The recovered centres of circles, arcs and curves."""
        centres = (shape.centre for shape in self.shapes if isinstance(shape, (Arc, Circle, Curve)))
        return frozenset(self.place(centre) for centre in centres if centre is not None)

    @cached_property
    def by_place(self) -> dict[Point, Feature]:
        """Features by their recovered place; a centre before what else is there."""
        found: dict[Point, Feature] = {}
        for feature in self.points:
            if feature.at not in found or feature.kind is FeatureKind.CENTRE:
                found[feature.at] = feature
        return found

    @cached_property
    def rounds(self) -> dict[tuple[Point, Fraction], list[Arc | Circle]]:
        """Circles and arcs by their recovered centre and radius."""
        found: dict[tuple[Point, Fraction], list[Arc | Circle]] = defaultdict(list)
        for shape in self.shapes:
            if isinstance(shape, (Arc, Circle)):
                found[self.place(shape.centre), self.radius(shape.radius).value].append(shape)
        return found

    @cached_property
    def by_x(self) -> dict[float, tuple[Feature, ...]]:
        """Features by their x level."""
        return _by_axis(self.points, 0)

    @cached_property
    def by_y(self) -> dict[float, tuple[Feature, ...]]:
        """Features by their y level."""
        return _by_axis(self.points, 1)

    @cached_property
    def _sorted(self) -> tuple[tuple[float, ...], tuple[float, ...]]:
        return tuple(self.by_x), tuple(self.by_y)

    def near_level(self, axis: int, level: float, reach: float) -> list[Feature]:
        """Features whose level along the axis (0 for x, 1 for y) is within `reach` of `level`."""
        keys = self._sorted[axis]
        index = self.by_x if axis == 0 else self.by_y
        low, high = bisect_left(keys, level - reach), bisect_right(keys, level + reach)
        return [feature for key in keys[low:high] for feature in index[key]]

    @cached_property
    def holes(self) -> tuple[HoleGroup, ...]:
        """Concentric circles, grouped."""
        groups: dict[Point, list[Circle]] = defaultdict(list)
        for shape in self.shapes:
            if isinstance(shape, Circle) and shape.origin.role is not LineRole.CENTRE:
                groups[self.place(shape.centre)].append(shape)
        return tuple(
            HoleGroup(
                centre,
                tuple(sorted({self.radius(c.radius).value for c in circles})),
                tuple(c.origin.handle for c in circles),
            )
            for centre, circles in groups.items()
        )

    @cached_property
    def hole_at(self) -> dict[Point, HoleGroup]:
        """The same by their centre."""
        return {hole.centre: hole for hole in self.holes}

    @cached_property
    def drawn_holes(self) -> tuple[DrawnHole, ...]:
        """Holes with thread lines, and circles that are drawn as arcs."""
        return drawn_holes(self.shapes, self.place, lambda radius: self.radius(radius).value)

    @cached_property
    def centrelines(self) -> tuple[Segment, ...]:
        """Straight lines drawn as centrelines."""
        return tuple(s for s in self.shapes if isinstance(s, Segment) and s.origin.role is LineRole.CENTRE)


def _by_axis(points: Sequence[Feature], axis: int) -> dict[float, tuple[Feature, ...]]:
    found: dict[float, list[Feature]] = defaultdict(list)
    for feature in points:
        found[float(feature.at[axis])].append(feature)
    return {level: tuple(features) for level, features in sorted(found.items())}


def shape_ends(shape: Shape) -> tuple[Point, ...]:
    """The two ends of a line, an arc or a curve; nothing for a circle or a point."""
    match shape:
        case Segment(_, a, b) | Arc(_, _, _, a, b):
            return a, b
        case Curve(_, points, _):
            return points[0], points[-1]
        case _:
            return ()


def quadrants(centre: Point, radius: Fraction) -> tuple[Point, ...]:
    """The four points of a circle on its horizontal and vertical diameters."""
    x, y = centre
    return (x + radius, y), (x, y + radius), (x - radius, y), (x, y - radius)


def crossing(a: Point, b: Point, c: Point, d: Point) -> Point | None:
    """Where the endless lines through a-b and c-d meet; None where they are parallel."""
    rx, ry, sx, sy = b[0] - a[0], b[1] - a[1], d[0] - c[0], d[1] - c[1]
    across = rx * sy - ry * sx
    if not across:
        return None
    t = ((c[0] - a[0]) * sy - (c[1] - a[1]) * sx) / across
    return a[0] + t * rx, a[1] + t * ry


def foot_on(p: Point, a: Point, b: Point) -> Point:
    """The point of the line from `a` to `b` nearest to `p`."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    size = dx * dx + dy * dy
    if not size:
        return a
    t = ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / size
    if t <= 0:
        return a
    if t >= 1:
        return b
    return a[0] + t * dx, a[1] + t * dy


def _apart(p: Point, q: Point) -> float:
    return hypot(float(p[0]) - float(q[0]), float(p[1]) - float(q[1]))


def on_arc(arc: Arc, p: Point) -> bool:
    """Whether a point of the arc's circle lies strictly between the arc's ends."""
    wide = _turns_left(arc.centre, arc.a, arc.b) <= 0  # a half turn or more
    after, before = _turns_left(arc.centre, arc.a, p) > 0, _turns_left(arc.centre, p, arc.b) > 0
    return (after or before) if wide else (after and before)


def _turns_left(centre: Point, p: Point, q: Point) -> float | Fraction:
    """Above zero where `q` is to the left of `p`, seen from the centre; exact where doubles could be misled."""
    cx, cy = float(centre[0]), float(centre[1])
    px, py, qx, qy = float(p[0]) - cx, float(p[1]) - cy, float(q[0]) - cx, float(q[1]) - cy
    rough = px * qy - py * qx
    if abs(rough) > 1e-9 * (abs(px * qy) + abs(py * qx)) + 1e-12 * (abs(cx) + abs(cy)) * (abs(px) + abs(qy)):
        return rough
    return (p[0] - centre[0]) * (q[1] - centre[1]) - (p[1] - centre[1]) * (q[0] - centre[0])


def joint_kind(at: Point, own: Sequence[Shape]) -> FeatureKind:
    """What a joint of these shapes is."""
    ends = len(own)
    if ends == 1:
        return FeatureKind.END
    if ends == 2 and any(isinstance(s, Arc) for s in own):
        a, b = (_direction(s, at) for s in own)
        if a is not None and b is not None and abs(a[0] * b[1] - a[1] * b[0]) < TANGENT_SINE:
            return FeatureKind.TANGENT_POINT
    return FeatureKind.CORNER


def _direction(shape: Shape, at: Point) -> tuple[float, float] | None:
    match shape:
        case Segment(_, a, b):
            dx, dy = float(b[0] - a[0]), float(b[1] - a[1])
        case Arc(_, centre, _, _, _):
            dx, dy = float(centre[1] - at[1]), float(at[0] - centre[0])
        case _:
            return None
    size = (dx * dx + dy * dy) ** 0.5
    return (dx / size, dy / size) if size else None


@dataclass(frozen=True, slots=True)
class Geometry:
    """A space rebuilt."""

    space: Space
    views: tuple[View, ...]
    view_of_dimension: tuple[int | None, ...]
    """Index into `views` for each dimension of the space."""
    near: tuple[dict[int, Near], ...]
    """For each dimension, by the point's DXF group."""
    faults: tuple[LineworkFault, ...]
    noise: Fraction
    undimensioned: int
    """Groups of linework that no dimension belongs to (borders, tables, views without dimensions)."""
