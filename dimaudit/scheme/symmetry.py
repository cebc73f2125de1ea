"""What a drawn centreline implies: places that it is the middle of, and equal sizes on both sides of it."""

from collections.abc import Sequence
from collections.abc import Set as AbstractSet
from fractions import Fraction

from dimaudit.model.drawing import Point, Segment
from dimaudit.model.drawing import Shape as Drawn
from dimaudit.model.scheme import Implied, Place, Symmetry
from dimaudit.model.view import View
from dimaudit.scheme.build import Pair, System
from dimaudit.scheme.edges import edges
from dimaudit.scheme.mirror import Mirror, mirrors
from dimaudit.scheme.relation import HALF, Shape

Levels = dict[Fraction, int]


def add_symmetry(system: System, view: View, counted: AbstractSet[Point]) -> tuple[Symmetry, ...]:
    """Relates what is drawn alike about each centreline of a view; holes at the places in `counted` are a pattern,
    whose count ('6X') says how many are of one size.
    """
    if not view.centrelines or Implied.SYMMETRIC not in system.taken:
        return ()
    shapes = edges(view)
    lines = list(mirrors(view, shapes))
    levels = [dict(system.levels(view, axis)) for axis in (0, 1)]
    found = []
    for line in lines:
        if line.axis is None:
            _slanted(system, view, line, shapes)
        else:
            _level(system, view, line, line.axis, levels[line.axis])
            found.append(_said(view, line, line.axis))
        _sizes(system, view, line, counted)
    return tuple(found)


def _said(view: View, line: Mirror, axis: int) -> Symmetry:
    pairs = dict.fromkeys((min(p[axis], q[axis]), max(p[axis], q[axis])) for p, q in line.pairs)
    return Symmetry(view, axis, line.a[axis], tuple(pairs), line.marks)


def _level(system: System, view: View, line: Mirror, axis: int, levels: Levels) -> None:
    """Of what is drawn in line one pair says all; without that, each pair is as high as its mate, and stands alone."""
    own, in_line = system.in_view(view), Implied.IN_LINE in system.taken
    middle = line.a[axis]
    done: set[Fraction | Point] = set()
    for p, q in line.pairs:
        low, high = (p, q) if p[axis] < q[axis] else (q, p)
        key = low[axis] if in_line else low
        if key in done or low not in own or high not in own:
            continue
        done.add(key)
        node = _middle(system, view, axis, middle, levels)
        system.imply(Implied.SYMMETRIC, Shape.BETWEEN, node, own[low][axis], own[high][axis], factor=HALF)
        if not in_line:
            system.imply(Implied.SYMMETRIC, Shape.SHARED, own[low][1 - axis], own[high][1 - axis])
    for at in dict.fromkeys(line.on) if done and not in_line else ():
        node = levels[middle]
        if at in own and own[at][axis] != node:
            system.imply(Implied.SYMMETRIC, Shape.SHARED, node, own[at][axis])


def _middle(system: System, view: View, axis: int, middle: Fraction, levels: Levels) -> int:
    node = levels.get(middle)
    if node is None:
        at = (middle, Fraction(0)) if axis == 0 else (Fraction(0), middle)
        node = levels[middle] = len(system.places)
        system.places.append(Place(view, at, axis, middle, helper=True))
    return node


def _slanted(system: System, view: View, line: Mirror, shapes: Sequence[Drawn]) -> None:
    """Each pair is as far from one place on the line as from another: that makes the line their perpendicular middle.

    The two places are the line's own ends where a dimension is tied to them; else centres and corners that are on it,
    middles of pairs, and, where these are too few, a place that only the line itself gives.
    """
    own = system.in_view(view)
    pairs = [(p, q) for p, q in _once(line.pairs) if p in own and q in own]
    if not pairs:
        return
    standing = {at: own[at] for at in (line.a, line.b, *line.on) if at in own}
    anchors = dict(list(standing.items())[:2])
    middles: dict[Point, tuple[Point, Point]] = {}
    for p, q in pairs:
        at = (p[0] + q[0]) / 2, (p[1] + q[1]) / 2
        if len(anchors) < 2 and at not in anchors:
            anchors[at] = _helper(system, view, at)
            middles[at] = p, q
            for m, a, b in zip(anchors[at], own[p], own[q], strict=True):
                system.imply(Implied.SYMMETRIC, Shape.BETWEEN, m, a, b, factor=HALF)
    if len(anchors) < 2:
        at = line.b if line.a in anchors else line.a
        anchors[at] = _helper(system, view, at)
    for p, q in pairs:
        for at, anchor in anchors.items():
            if middles.get(at) != (p, q):
                system.imply(Implied.SYMMETRIC, Shape.AS_FAR, *anchor, *own[p], *anchor, *own[q])
    one, other = anchors.values()
    for pair in list(standing.values())[2:]:
        system.imply(Implied.SYMMETRIC, Shape.ON_LINE, *pair, *one, *other)
    _direction(system, view, line, shapes, (one, other))


def _helper(system: System, view: View, at: Point) -> Pair:
    start = len(system.places)
    system.places += [Place(view, at, axis, at[axis], helper=True) for axis in (0, 1)]
    return start, start + 1


def _direction(
    system: System, view: View, line: Mirror, shapes: Sequence[Drawn], ends: tuple[Pair, Pair]
) -> None:  # fmt: skip
    """A centreline at 45° is so, and one that is parallel or square to a slanted edge, too."""
    (one, other), way = ends, (line.b[0] - line.a[0], line.b[1] - line.a[1])
    slope = way[1] / way[0]
    if abs(slope) == 1:
        system.imply(Implied.LEVEL, Shape.DIAGONAL, *one, *other, factor=slope)
        return
    own = system.in_view(view)
    for shape in shapes:
        if isinstance(shape, Segment):
            a, b = view.place(shape.a), view.place(shape.b)
            x, y = b[0] - a[0], b[1] - a[1]
            if (x or y) and (x * way[1] == y * way[0] or x * way[0] == -y * way[1]) and a in own and b in own:
                system.imply(Implied.LEVEL, Shape.ANGLE, *own[a], *own[b], *one, *other)
                return


def _once(pairs: list[tuple[Point, Point]]) -> list[tuple[Point, Point]]:
    return list({frozenset(pair): pair for pair in pairs}.values())


def _sizes(system: System, view: View, line: Mirror, counted: AbstractSet[Point]) -> None:
    """What is drawn alike is as large on one side as on the other."""
    known = system.radii
    done: set[tuple[int, int]] = set()
    for (c, r), (d, s) in line.rounds:
        one, other = known.get((id(view), c, r)), known.get((id(view), d, s))
        if one is None or other is None or one == other or (one, other) in done or {c, d} <= counted:
            continue
        done.add((one, other))
        system.imply(Implied.SYMMETRIC, Shape.SHARED, one, other)
