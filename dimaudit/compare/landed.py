"""Where a feature of the old view went in the new one."""

from collections.abc import Mapping
from fractions import Fraction

from dimaudit.compare.views import Couple
from dimaudit.model.drawing import Arc, Circle, Curve, Mark, Point, Segment, Shape
from dimaudit.model.geometry import Feature, FeatureKind
from dimaudit.model.view import crossing

Partners = Mapping[int, Shape]
"""The new shape of each old one, by the identity of the old one."""


def landed(feature: Feature, couple: Couple, to: Partners, axis: int | None = None) -> Point:
    """The place in the new view: where its shapes went; where none of them is left, where it would be.

    `axis`: 0 or 1 where only the level along x or y counts. Of a corner's lines the one square to it decides, since the
    other may have been cut or broken; else one that did not move.
    """
    if feature.kind in (FeatureKind.SHARP_CORNER, FeatureKind.INTERSECTION) and len(feature.shapes) == 2:
        one, other = (to.get(id(shape)) for shape in feature.shapes)
        if isinstance(one, Segment) and isinstance(other, Segment):
            place = couple.new.place
            met = crossing(place(one.a), place(one.b), place(other.a), place(other.b))
            if met is not None:
                return met
    still = couple.laid.place(feature.at)
    found = [
        (_square(shape, axis), there != still, there)
        for shape in feature.shapes
        if (new := to.get(id(shape))) is not None and (there := _on(feature.at, shape, new, couple)) is not None
    ]
    return min(found, key=lambda f: f[:2])[2] if found else still


def _square(shape: Shape, axis: int | None) -> bool:
    """False, which comes first, for a line that has one level along the axis."""
    return not (axis is not None and isinstance(shape, Segment) and shape.a[axis] == shape.b[axis])


def _on(at: Point, old: Shape, new: Shape, couple: Couple) -> Point | None:
    """The place of `new` that `at` is of `old`."""
    was, now = couple.old.place, couple.new.place
    match old, new:
        case Segment(_, a, b), Segment(_, c, d):
            return _along(at, was(a), was(b), *_same_way(old, new, couple))
        case Circle(_, m, r), Circle(_, n, q):
            return _around(at, was(m), couple.old.radius(r).value, now(n), couple.new.radius(q).value)
        case Arc(_, m, r, a, b), Arc(_, n, q, c, d):
            for end, other in ((a, c), (b, d)):
                if at == was(end):
                    return now(other)
            return _around(at, was(m), couple.old.radius(r).value, now(n), couple.new.radius(q).value)
        case (Curve(), Curve()) | (Mark(), Mark()):
            return couple.laid.place(at)
        case _:
            return None


def _same_way(old: Segment, new: Segment, couple: Couple) -> tuple[Point, Point]:
    """The ends of the new line in the order of the old one's."""
    (ax, ay), (bx, by) = couple.old.place(old.a), couple.old.place(old.b)
    c, d = couple.new.place(new.a), couple.new.place(new.b)
    same = (bx - ax) * (d[0] - c[0]) + (by - ay) * (d[1] - c[1])
    return (c, d) if same >= 0 else (d, c)


def _along(at: Point, a: Point, b: Point, c: Point, d: Point) -> Point:
    """As far along c-d as `at` is along a-b."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    size = dx * dx + dy * dy
    t = ((at[0] - a[0]) * dx + (at[1] - a[1]) * dy) / size if size else Fraction(0)
    return c[0] + t * (d[0] - c[0]), c[1] + t * (d[1] - c[1])


def _around(at: Point, m: Point, r: Fraction, n: Point, q: Fraction) -> Point:
    """As far from `n`, in radii, as `at` is from `m`."""
    k = q / r if r else Fraction(1)
    return n[0] + (at[0] - m[0]) * k, n[1] + (at[1] - m[1]) * k
