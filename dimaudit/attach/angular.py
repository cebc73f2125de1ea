"""Angular dimensions, between two lines and by three points."""

from fractions import Fraction

from dimaudit.attach.context import Context, Result
from dimaudit.model.attached import End, Link
from dimaudit.model.drawing import Kind, Point, Segment
from dimaudit.model.geometry import Feature, FeatureKind

_SIDES = ((13, 14, "first line"), (15, 10, "second line"))


def attach_angular(context: Context) -> Result:
    """Each side to the straight edge that it lies on, or in line with."""
    return _two_lines(context) if context.dimension.kind is Kind.ANGULAR else _three_points(context)


def _two_lines(context: Context) -> Result:
    ends: list[End] = []
    points: dict[int, Point] = dict(context.dimension.points)
    whole = True
    for start, stop, role in _SIDES:
        end, line = _side(context, start, stop, role)
        ends.append(end)
        if line is None:
            whole = False
        else:
            points[start], points[stop] = context.view.place(line.a), context.view.place(line.b)
    return tuple(ends), points if whole else None


def _side(context: Context, start: int, stop: int, role: str) -> tuple[End, Segment | None]:
    """The edge that both points of a side lie on (on), or whose continuation they lie on (in line)."""
    a, b = context.dimension.points[start], context.dimension.points[stop]
    if a == b:
        return context.floating(start, role), None
    snap, near = context.lengths.snap, context.lengths.near
    best: tuple[int, Fraction, str] | None = None
    found: tuple[End, Segment] | None = None
    for line in context.view.shapes:
        if not isinstance(line, Segment):
            continue
        off = max(_off_line(a, line), _off_line(b, line))
        if off > near**2:
            continue
        overlap = _reaches(a, line, snap) and _reaches(b, line, snap)
        touching = overlap or _reaches(a, line, snap) or _reaches(b, line, snap)
        if off <= snap**2:
            link = Link.ON if touching else Link.IN_LINE
        elif touching:
            link = Link.NEAR
        else:
            continue
        score = ((Link.ON, Link.IN_LINE, Link.NEAR).index(link) * 2 + (not overlap), off, line.origin.handle)
        if best is None or score < best:
            feature = Feature(FeatureKind.EDGE, context.view.place(line.a), line.a, (line,))
            best, found = score, (context.end(start, role, link, feature, off), line)
    return found if found is not None else (context.floating(start, role), None)


def _off_line(p: Point, line: Segment) -> Fraction:
    """Square of the distance from `p` to the endless line."""
    dx, dy = line.b[0] - line.a[0], line.b[1] - line.a[1]
    size = dx * dx + dy * dy
    if not size:
        return (p[0] - line.a[0]) ** 2 + (p[1] - line.a[1]) ** 2
    return ((p[0] - line.a[0]) * dy - (p[1] - line.a[1]) * dx) ** 2 / size


def _reaches(p: Point, line: Segment, snap: Fraction) -> bool:
    """Whether the foot of `p` falls on the line between its ends."""
    dx, dy = line.b[0] - line.a[0], line.b[1] - line.a[1]
    size = dx * dx + dy * dy
    if not size:
        return False
    t = (p[0] - line.a[0]) * dx + (p[1] - line.a[1]) * dy
    return -snap * snap <= t <= size + snap * snap or 0 <= t <= size


def _three_points(context: Context) -> Result:
    """The vertex and the two points; a point off the part may still lie in line with an edge from the vertex."""
    ends: list[End] = []
    points: dict[int, Point] = dict(context.dimension.points)
    whole = True
    for group, role in ((15, "vertex"), (13, "first side"), (14, "second side")):
        found = context.at(group)
        end = context.on(group, found, role)
        if end is None and group != 15:
            end = _along_edge(context, group, role)
        end = end or context.near_miss(group, found, role) or context.floating(group, role)
        ends.append(end)
        if end.feature is None:
            whole = False
        else:
            points[group] = end.feature.at
    return tuple(ends), points if whole else None


def _along_edge(context: Context, group: int, role: str) -> End | None:
    """A side whose point lies on the continuation of an edge: the edge's far end stands for it."""
    vertex, p = context.dimension.points[15], context.dimension.points[group]
    limit = context.lengths.snap**2
    for line in context.view.shapes:
        if not isinstance(line, Segment) or _off_line(vertex, line) > limit or _off_line(p, line) > limit:
            continue
        way = (p[0] - vertex[0], p[1] - vertex[1])
        far = max((line.a, line.b), key=lambda q: (q[0] - vertex[0]) * way[0] + (q[1] - vertex[1]) * way[1])
        if (far[0] - vertex[0]) * way[0] + (far[1] - vertex[1]) * way[1] > 0:
            feature = Feature(FeatureKind.EDGE, context.view.place(far), far, (line,))
            return context.end(group, role, Link.IN_LINE, feature, Fraction(0))
    return None
