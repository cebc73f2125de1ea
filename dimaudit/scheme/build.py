"""The relations of a view: from linework what is taken as implied, from dimensions what is stated."""

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import islice
from math import atan2, hypot, isclose, pi, radians

from dimaudit.exact.real import nearly, root
from dimaudit.model.attached import Attached, End
from dimaudit.model.drawing import ANGLES, Arc, Circle, Kind, LineRole, Mark, Point, Segment
from dimaudit.model.drawing import Shape as Drawn
from dimaudit.model.geometry import Feature, FeatureKind
from dimaudit.model.scheme import Implied, Place
from dimaudit.model.view import View, joint_kind, shape_ends
from dimaudit.scheme.edges import edges, meetings
from dimaudit.scheme.relation import HALF, Relation, Shape

Pair = tuple[int, int]
TURN = 1e-6
"""Radians by which parallel lines may differ: the points of a turned part are rounded."""
STRAIGHT = (Kind.LINEAR, Kind.ALIGNED, Kind.ORDINATE)
ALONG = 1e-9
"""Relative; a turned linear dimension that measures no less than the distance of its points, runs along them."""


@dataclass(slots=True)
class System:
    """Unknowns and relations in the making."""

    taken: frozenset[Implied] = frozenset(Implied)
    places: list[Place] = field(default_factory=list)
    implied: list[Relation] = field(default_factory=list)
    given: list[Relation] = field(default_factory=list)
    left_out: list[tuple[str, str]] = field(default_factory=list)
    touched: set[int] = field(default_factory=set)
    """Unknowns at an end of a dimension that is left out: it may be what holds them."""
    loose: set[int] = field(default_factory=set)
    """How far lines go that just stop."""
    points: dict[int, dict[Point, Pair]] = field(default_factory=dict)
    """By the identity of the view, then by place."""
    radii: dict[tuple[int, Point, Fraction], int] = field(default_factory=dict)
    slanted: dict[int, list[tuple[float, int, Segment]]] = field(default_factory=dict)
    """Slanted edges by the identity of the view, each with its turn (radians, by the quarter turn) and its order."""
    _levels: dict[tuple[int, int], tuple[int, dict[Fraction, int]]] = field(default_factory=dict)
    """By view and axis: of how many of its points the levels are known, and the levels."""

    def imply(self, kind: Implied, shape: Shape, *of: int, factor: Fraction = Fraction(1)) -> None:
        """A relation that the linework implies, unless that kind is switched off."""
        if kind in self.taken:
            self.implied.append(Relation(shape, of, kind.name, factor=factor))

    def levels(self, view: View, axis: int) -> Mapping[Fraction, int]:
        """The levels of a view along an axis, each with one unknown that stands on it."""
        own = self.in_view(view)
        count, found = self._levels.get((id(view), axis), (0, {}))
        if count < len(own):  # points only ever come to a view
            for at, pair in islice(own.items(), count, None):
                found.setdefault(at[axis], pair[axis])
            self._levels[id(view), axis] = len(own), found
        return found

    def in_view(self, view: View) -> dict[Point, Pair]:
        """The points of one view."""
        return self.points.setdefault(id(view), {})

    def point(self, view: View, at: Point, helper: bool = False) -> Pair:
        """The two unknowns of a point that stands at the recovered place."""
        own = self.in_view(view)
        pair = own.get(at)
        if pair is None:
            start = len(self.places)
            self.places += [Place(view, at, 0, at[0], helper), Place(view, at, 1, at[1], helper)]
            pair = own[at] = (start, start + 1)
        return pair

    def radius(self, view: View, shape: Arc | Circle) -> int:
        """The unknown of a radius; circles and arcs on one centre with one radius share it."""
        centre, value = view.place(shape.centre), view.radius(shape.radius).value
        key = (id(view), centre, value)
        index = self.radii.get(key)
        if index is None:
            index = self.radii[key] = len(self.places)
            self.places.append(Place(view, centre, 2, value))
        return index


def add_linework(system: System, view: View) -> None:
    """Unknowns for all corners, centres and radii of the part, and what the lines imply."""
    shapes = edges(view)
    system.slanted[id(view)] = sorted(_slanted_edges(view, shapes), key=lambda e: e[:2])
    for shape in shapes:
        match shape:
            case Segment(_, a, b) if a != b:
                _segment(system, view, view.place(a), view.place(b))
            case Arc(_, centre, _, a, b):
                c, r = system.point(view, view.place(centre)), system.radius(view, shape)
                for end in (a, b):
                    system.imply(Implied.MEETS, Shape.ON_CIRCLE, *system.point(view, view.place(end)), *c, r)
            case Circle(_, centre, _):
                system.point(view, view.place(centre))
                system.radius(view, shape)
            case Mark(_, at):
                system.point(view, view.place(at))
            case _:
                pass  # curves are not measured
    _pieces(system, view, shapes)
    for at, shape in meetings(view, shapes):
        if isinstance(shape, Segment):
            line = (i for end in (shape.a, shape.b) for i in system.point(view, view.place(end)))
            system.imply(Implied.MEETS, Shape.ON_LINE, *system.point(view, at), *line)
        else:
            circle = (*system.point(view, view.place(shape.centre)), system.radius(view, shape))
            system.imply(Implied.MEETS, Shape.ON_CIRCLE, *system.point(view, at), *circle)
    _tangents(system, view, frozenset(map(id, shapes)))
    _slanted(system, view, [s for s in shapes if isinstance(s, Segment)])
    _in_line(system, view)


def _pieces(system: System, view: View, shapes: Sequence[Drawn]) -> None:
    """Where two pieces of an edge meet, one ends on another, or one just stops, nothing is to be located along it."""
    runs: dict[tuple[int, Fraction], list[tuple[Fraction, Fraction]]] = defaultdict(list)
    at_end: dict[Point, int] = defaultdict(int)
    for shape in shapes:
        for spot in {view.place(p) for p in shape_ends(shape)}:
            at_end[spot] += 1
        if isinstance(shape, Segment):
            a, b = view.place(shape.a), view.place(shape.b)
            for axis in (0, 1):
                if a[axis] == b[axis] and a != b:
                    low, high = sorted((a[1 - axis], b[1 - axis]))
                    runs[1 - axis, a[axis]].append((low, high))
    for (along, level), pieces in runs.items():
        for end in {end for piece in pieces for end in piece}:
            at = (end, level) if along == 0 else (level, end)
            if at_end[at] == 1:  # a line that just stops is broken off there: its end is no feature
                system.loose.add(system.point(view, at)[along])
        if len(pieces) < 2:
            continue
        for low, high in pieces:
            for end in (low, high):
                at = (end, level) if along == 0 else (level, end)
                inside = sum(other != (low, high) and other[0] <= end <= other[1] for other in pieces)
                straight = sum(end in other for other in pieces)
                if inside and at_end[at] == straight and _runs_on(end, pieces):
                    index = system.point(view, at)[along]
                    system.places[index] = replace(system.places[index], helper=True)


def _runs_on(end: Fraction, pieces: Sequence[tuple[Fraction, Fraction]]) -> bool:
    """Whether the edge goes on to both sides of the place."""
    return any(low < end <= high for low, high in pieces) and any(low <= end < high for low, high in pieces)


def _segment(system: System, view: View, a: Point, b: Point) -> None:
    p, q = system.point(view, a), system.point(view, b)
    for axis in (0, 1):
        if a[axis] == b[axis] and a != b:
            system.imply(Implied.LEVEL, Shape.DIFFERENCE, p[axis], q[axis])


def _in_line(system: System, view: View) -> None:
    """What stands on one level is in line: each point with the next on its level."""
    own = sorted(system.in_view(view).items())
    for axis in (0, 1):
        last: dict[Fraction, int] = {}
        for at, pair in own:
            if at[axis] in last:
                system.imply(Implied.IN_LINE, Shape.DIFFERENCE, last[at[axis]], pair[axis])
            last[at[axis]] = pair[axis]


def _tangents(system: System, view: View, edges_of: frozenset[int]) -> None:
    """Where a line runs smoothly into an arc, the radius stands square on it; two arcs share the line of centres."""
    for at, (raw, own) in view.joints.items():
        own = [s for s in own if id(s) in edges_of]
        if len(own) != 2 or joint_kind(raw, own) is not FeatureKind.TANGENT_POINT:
            continue
        arcs = [s for s in own if isinstance(s, Arc)]
        lines = [s for s in own if isinstance(s, Segment)]
        p = system.point(view, at)
        centres = [system.point(view, view.place(s.centre)) for s in arcs]
        if lines and centres:
            line = lines[0]
            across = [k for k in (0, 1) if view.place(line.a)[1 - k] == view.place(line.b)[1 - k]]
            if across:
                (k,) = across  # of a level line the radius stands upright
                if view.place(arcs[0].centre)[k] == at[k]:
                    system.imply(Implied.TANGENT, Shape.DIFFERENCE, centres[0][k], p[k])
                continue
            far = next((q for q in (view.place(line.a), view.place(line.b)) if q != at), None)
            if far is not None:
                system.imply(Implied.TANGENT, Shape.ANGLE, *centres[0], *p, *p, *system.point(view, far))
        elif len(centres) == 2 and centres[0] != centres[1]:
            system.imply(Implied.TANGENT, Shape.ON_LINE, *p, *centres[0], *centres[1])


def _slanted(system: System, view: View, segments: Iterable[Segment]) -> None:
    """Lines at 45° are so; other slanted lines that are parallel or square to an earlier one keep that."""
    first: dict[int, tuple[Pair, Pair]] = {}
    for segment in segments:
        a, b = view.place(segment.a), view.place(segment.b)
        dx, dy = b[0] - a[0], b[1] - a[1]
        if not dx or not dy:
            continue
        p, q = system.point(view, a), system.point(view, b)
        slope = dy / dx
        if abs(slope) == 1:
            system.imply(Implied.LEVEL, Shape.DIAGONAL, *p, *q, factor=slope)
            continue
        key = round(_turn(dx, dy) / TURN)
        like = next((first[k] for k in (key, key - 1, key + 1) if k in first), None)
        if like is None:
            first[key] = (p, q)
        else:
            system.imply(Implied.LEVEL, Shape.ANGLE, *like[0], *like[1], *p, *q)


def _turn(dx: Fraction, dy: Fraction) -> float:
    """The direction of a line in radians, by the quarter turn."""
    return atan2(float(dy), float(dx)) % (pi / 2)


def add_dimension(system: System, attached: Attached) -> None:
    """What one dimension states, as a relation between the features it is attached to."""
    dimension, view = attached.dimension, attached.view
    why = _unfit(attached)
    if why or view is None:
        system.left_out.append((dimension.handle, why or "it belongs to no view"))
        _touch(system, attached)
        return
    made: tuple[Shape, tuple[int, ...]] | str
    if dimension.kind in (Kind.RADIUS, Kind.DIAMETER, Kind.JOGGED_RADIUS):
        made = _size(system, view, attached)
    elif dimension.kind in ANGLES:
        made = _angle(system, view, attached)
    else:
        made = _length(system, view, attached)
    if isinstance(made, str):
        system.left_out.append((dimension.handle, made))
        _touch(system, attached)
    else:
        system.given.append(Relation(made[0], made[1], dimension.handle, dimension.handle))


def _touch(system: System, attached: Attached) -> None:
    """Where a dimension that is left out ends: nobody can say that nothing is stated there."""
    view = attached.view
    if view is None:
        return
    axis = axis_of(attached) if attached.dimension.kind in STRAIGHT else None
    own = system.in_view(view)
    for end in attached.ends:
        if end.feature is None:
            continue
        spots = [end.feature.at]
        if end.feature.kind is FeatureKind.EDGE:
            spots += [view.place(p) for s in end.feature.shapes if isinstance(s, Segment) for p in (s.a, s.b)]
        for pair in (own[spot] for spot in spots if spot in own):
            system.touched.update(pair if axis is None else (pair[axis],))


def _unfit(attached: Attached) -> str:
    if attached.drawn is None:
        return "an end is on no feature"
    if attached.dimension.kind is Kind.ARC_LENGTH:
        return "arc lengths are not part of the scheme"
    return ""


def _size(system: System, view: View, attached: Attached) -> tuple[Shape, tuple[int, ...]] | str:
    for end in attached.ends:
        for shape in end.feature.shapes if end.feature is not None else ():
            if isinstance(shape, (Arc, Circle)):
                return Shape.SIZE, (system.radius(view, shape),)
    return "no circle is found under it"


def _angle(system: System, view: View, attached: Attached) -> tuple[Shape, tuple[int, ...]] | str:
    lines = [
        shape
        for end in attached.ends
        for shape in (end.feature.shapes if end.feature is not None else ())
        if isinstance(shape, Segment)
    ]
    if len(lines) < 2 or lines[0] is lines[1]:
        return "its two lines are not found"
    ends = [i for line in lines[:2] for p in _direction(system, view, line) for i in p]
    return Shape.ANGLE, tuple(ends)


def _direction(system: System, view: View, line: Segment) -> tuple[Pair, Pair]:
    """Two points that give a line its direction: of a centreline, two places of the part that it runs through."""
    if line.origin.role is not LineRole.CENTRE:
        return _ends(system, view, line)
    a, b = view.place(line.a), view.place(line.b)
    for axis in (0, 1):
        if a[axis] == b[axis]:
            p, q = _ends(system, view, line)
            system.imply(Implied.LEVEL, Shape.DIFFERENCE, p[axis], q[axis])
            return p, q
    on = sorted(at for at in system.in_view(view) if _on(a, b, at, view.xs.snap))
    return (system.point(view, on[0]), system.point(view, on[-1])) if len(on) > 1 else _ends(system, view, line)


def _on(a: Point, b: Point, at: Point, reach: float) -> bool:
    dx, dy, x, y = (float(v) for v in (b[0] - a[0], b[1] - a[1], at[0] - a[0], at[1] - a[1]))
    along = hypot(dx, dy)
    return abs(dx * y - dy * x) <= 10 * reach * along and -reach <= (dx * x + dy * y) / along <= along + reach


def _length(system: System, view: View, attached: Attached) -> tuple[Shape, tuple[int, ...]] | str:
    dimension = attached.dimension
    if len(attached.ends) != 2:
        return "it has no two ends"
    nodes = [_node(system, view, end) for end in attached.ends]
    first, second = nodes
    if first is None or second is None:
        return "an end is on a curve"
    axis = axis_of(attached)
    if axis is not None:
        return Shape.DIFFERENCE, (first[axis], second[axis])
    for end, other in ((attached.ends[0], second), (attached.ends[1], first)):
        edge = end.feature.shapes[0] if end.feature is not None and end.feature.kind is FeatureKind.EDGE else None
        if isinstance(edge, Segment):
            line = [i for p in _ends(system, view, edge) for i in p]
            return Shape.FROM_LINE, (*other, *line)
    if dimension.kind is Kind.LINEAR and not _straight_between(attached):
        for end, other in ((attached.ends[0], second), (attached.ends[1], first)):
            across = _square_line(view, end, dimension.angle)
            if across is not None:
                return Shape.FROM_LINE, (*other, *(i for p in _ends(system, view, across) for i in p))
        return "it measures along a slanted direction"
    if dimension.kind is Kind.LINEAR:
        along = _square_or_along(system.slanted.get(id(view), []), radians(float(dimension.angle)))
        if along is not None:  # of a turned part, what is drawn in line with its edges is so
            line = [i for p in _ends(system, view, along) for i in p]
            system.imply(Implied.IN_LINE, Shape.ANGLE, *line, *first, *second)
    return Shape.DISTANCE, (*first, *second)


def _square_line(view: View, end: End, angle: Fraction) -> Segment | None:
    """The edge from the end's corner that stands square to the measured direction."""
    if end.feature is None or end.feature.kind is FeatureKind.EDGE:
        return None
    for shape in end.feature.shapes:
        if isinstance(shape, Segment) and shape.origin.role is not LineRole.CENTRE and shape.a != shape.b:
            a, b = view.place(shape.a), view.place(shape.b)
            turn = atan2(float(b[1] - a[1]), float(b[0] - a[0])) - radians(float(angle))
            if abs(turn % pi - pi / 2) <= TURN:
                return shape
    return None


def _slanted_edges(view: View, shapes: Iterable[Drawn]) -> Iterator[tuple[float, int, Segment]]:
    for n, shape in enumerate(shapes):
        if isinstance(shape, Segment):
            a, b = view.place(shape.a), view.place(shape.b)
            if a[0] != b[0] and a[1] != b[1]:
                yield _turn(b[0] - a[0], b[1] - a[1]), n, shape


def _square_or_along(slanted: Sequence[tuple[float, int, Segment]], turn: float) -> Segment | None:
    """The first of the slanted edges that runs in a direction or square to it."""
    turn %= pi / 2
    found: list[tuple[float, int, Segment]] = []
    for middle in (turn, turn - pi / 2, turn + pi / 2):  # a turn a hair above nothing is one a hair below the next
        low, high = (bisect_left(slanted, middle + reach, key=lambda e: e[0]) for reach in (-TURN, TURN))
        found += slanted[low:high]
    return min(found, key=lambda e: e[1])[2] if found else None


def axis_of(attached: Attached) -> int | None:
    """The axis that the dimension measures along, if it does along one."""
    dimension = attached.dimension
    if dimension.kind is Kind.ALIGNED:
        a, b = (end.feature.at if end.feature is not None else end.point for end in attached.ends)
        return 1 if a[0] == b[0] else 0 if a[1] == b[1] else None
    turn = dimension.angle if dimension.kind is Kind.LINEAR or dimension.along_x else dimension.angle + 90
    return 0 if turn % 180 == 0 else 1 if turn % 180 == 90 else None


def _straight_between(attached: Attached) -> bool:
    """Whether a turned linear dimension measures the very distance of its two points."""
    (ax, ay), (bx, by) = (end.feature.at if end.feature is not None else end.point for end in attached.ends)
    if attached.drawn is None:
        return False
    apart = root((ax - bx) ** 2 + (ay - by) ** 2)
    return isclose(nearly(attached.drawn.value), nearly(apart), rel_tol=ALONG)  # a turn is stored rounded


def _node(system: System, view: View, end: End) -> Pair | None:
    """The unknowns of the place that an end is on; places that no line ends at get theirs here."""
    feature = end.feature
    if feature is None or feature.kind is FeatureKind.CURVE:
        return None
    shape = feature.shapes[0] if feature.shapes else None
    known = system.in_view(view).get(feature.at)
    match feature.kind:
        case FeatureKind.EDGE if isinstance(shape, Segment):
            return _ends(system, view, shape)[0]
        case FeatureKind.QUADRANT if isinstance(shape, (Arc, Circle)) and known is None:
            return _quadrant(system, view, feature, shape)
        case FeatureKind.ARC if isinstance(shape, (Arc, Circle)) and known is None:
            return None
        case FeatureKind.MIDPOINT if isinstance(shape, Segment) and known is None:
            p = system.point(view, feature.at, helper=shape.origin.role is LineRole.CENTRE)
            a, b = _ends(system, view, shape)
            for axis in (0, 1):
                system.imply(Implied.LEVEL, Shape.BETWEEN, p[axis], a[axis], b[axis], factor=HALF)
            return p
        case FeatureKind.SHARP_CORNER | FeatureKind.INTERSECTION if known is None:
            p = system.point(view, feature.at, helper=any(s.origin.role is LineRole.CENTRE for s in feature.shapes))
            for line in feature.shapes:
                if isinstance(line, Segment):
                    _onto(system, view, p, line)
            return p
        case _:
            if known is None:
                return _beside(system, view, feature)
            return known


def _ends(system: System, view: View, line: Segment) -> tuple[Pair, Pair]:
    """The ends of a line; those of a centreline are no part of the part."""
    helper = line.origin.role is LineRole.CENTRE
    a, b = view.place(line.a), view.place(line.b)
    known = system.in_view(view)
    fresh = helper and a not in known and b not in known
    p, q = system.point(view, a, helper), system.point(view, b, helper)
    for axis in (0, 1) if fresh and a != b else ():
        if a[axis] == b[axis]:  # what stands on the centreline is in line with it, as both its ends are
            system.imply(Implied.LEVEL, Shape.DIFFERENCE, p[axis], q[axis])
            other = _on_level(system, view, axis, a[axis], (p[axis], q[axis]))
            if other is not None:
                system.imply(Implied.IN_LINE, Shape.DIFFERENCE, other, p[axis])
    return p, q


def _quadrant(system: System, view: View, feature: Feature, shape: Arc | Circle) -> Pair:
    p = system.point(view, feature.at)
    centre = view.place(shape.centre)
    c, r = system.point(view, centre), system.radius(view, shape)
    for axis in (0, 1):
        if centre[axis] == feature.at[axis]:
            system.imply(Implied.IN_LINE, Shape.DIFFERENCE, p[axis], c[axis])
    system.imply(Implied.MEETS, Shape.ON_CIRCLE, *p, *c, r)
    return p


def _onto(system: System, view: View, p: Pair, line: Segment) -> None:
    a, b = view.place(line.a), view.place(line.b)
    q, s = _ends(system, view, line)
    for axis in (0, 1):
        if a[axis] == b[axis]:
            system.imply(Implied.LEVEL, Shape.DIFFERENCE, p[axis], q[axis])
            return
    system.imply(Implied.LEVEL, Shape.ON_LINE, *p, *q, *s)


def _beside(system: System, view: View, feature: Feature) -> Pair:
    """A place that only a centreline or the origin marks: on its levels, where the part has any there."""
    p = system.point(view, feature.at, helper=True)
    for axis in (0, 1):
        other = _on_level(system, view, axis, feature.at[axis], (p[axis],))
        if other is not None:
            system.imply(Implied.IN_LINE, Shape.DIFFERENCE, other, p[axis])
    return p


def _on_level(system: System, view: View, axis: int, level: Fraction, but: tuple[int, ...]) -> int | None:
    for at, pair in system.in_view(view).items():
        if at[axis] == level and pair[axis] not in but:
            return pair[axis]
    return None
