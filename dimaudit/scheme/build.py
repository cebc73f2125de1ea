"""The relations of a view: from linework what is taken as implied, from dimensions what is stated."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import islice

from dimaudit.exact.real import root
from dimaudit.model.attached import Attached, End
from dimaudit.model.drawing import ANGLES, Arc, Circle, Kind, LineRole, Mark, Point, Segment
from dimaudit.model.drawing import Shape as Drawn
from dimaudit.model.geometry import Feature, FeatureKind
from dimaudit.model.scheme import Implied, Place
from dimaudit.model.view import View, joint_kind, shape_ends
from dimaudit.scheme.edges import edges, meetings
from dimaudit.scheme.relation import HALF, Relation, Shape

Pair = tuple[int, int]


@dataclass(slots=True)
class System:
    """Unknowns and relations in the making."""

    taken: frozenset[Implied] = frozenset(Implied)
    places: list[Place] = field(default_factory=list)
    implied: list[Relation] = field(default_factory=list)
    given: list[Relation] = field(default_factory=list)
    left_out: list[tuple[str, str]] = field(default_factory=list)
    points: dict[int, dict[Point, Pair]] = field(default_factory=dict)
    """By the identity of the view, then by place."""
    radii: dict[tuple[int, Point, Fraction], int] = field(default_factory=dict)
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
    """Where two pieces of one straight edge meet, or one ends on another, nothing has to be located along it."""
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
    """Lines at 45° are so; other slanted lines that are exactly parallel or square to an earlier one keep that."""
    first: dict[tuple[Fraction, bool], tuple[Pair, Pair]] = {}
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
        key = (slope, True) if slope > 0 else (-1 / slope, True)
        if key in first:
            system.imply(Implied.LEVEL, Shape.ANGLE, *first[key][0], *first[key][1], *p, *q)
        else:
            first[key] = (p, q)


def add_dimension(system: System, attached: Attached) -> None:
    """What one dimension states, as a relation between the features it is attached to."""
    dimension, view = attached.dimension, attached.view
    why = _unfit(attached)
    if why or view is None:
        system.left_out.append((dimension.handle, why or "it belongs to no view"))
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
    else:
        system.given.append(Relation(made[0], made[1], dimension.handle, dimension.handle))


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
    ends = [i for line in lines[:2] for p in _ends(system, view, line) for i in p]
    return Shape.ANGLE, tuple(ends)


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
        return "it measures along a slanted direction"
    return Shape.DISTANCE, (*first, *second)


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
    return attached.drawn.value == root((ax - bx) ** 2 + (ay - by) ** 2)


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
    return system.point(view, view.place(line.a), helper), system.point(view, view.place(line.b), helper)


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
        other = _on_level(system, view, axis, feature.at[axis], p[axis])
        if other is not None:
            system.imply(Implied.IN_LINE, Shape.DIFFERENCE, other, p[axis])
    return p


def _on_level(system: System, view: View, axis: int, level: Fraction, but: int) -> int | None:
    for at, pair in system.in_view(view).items():
        if at[axis] == level and pair[axis] != but:
            return pair[axis]
    return None
