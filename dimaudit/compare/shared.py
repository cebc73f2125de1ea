"""Coordinates that two views have in common: numbers that are one get one name.

Two coordinates are one where the files' own numbers are no farther apart than the snap distance, or where both were
recovered as the same number. So neither the rounding of another program nor a joint that is off by a hair, which is one
point for the audit, makes a difference.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from dimaudit.compare.views import Couple
from dimaudit.model.drawing import Arc, Circle, Curve, Mark, Point, Segment, Shape
from dimaudit.model.view import View
from dimaudit.scheme.joined import Joined

Entry = tuple[Fraction, Fraction, Fraction]
"""A number to look it up by, the same laid over the new view, and what it was recovered as, laid over."""
Name = int
Key = tuple[object, ...]


@dataclass(frozen=True, slots=True)
class Names:
    """The names of the numbers of both views."""

    old: dict[Fraction, Name]
    new: dict[Fraction, Name]


def named(old: Iterable[Entry], new: Iterable[Entry], apart: Fraction) -> Names:
    """Names, by which what is no farther than `apart` from its neighbour is one."""
    entries = sorted({(laid, True, raw, value) for raw, laid, value in old}
                     | {(laid, False, raw, value) for raw, laid, value in new})  # fmt: skip
    joined: Joined[int] = Joined()
    by_value: dict[Fraction, int] = {}
    for k, (laid, _, _, value) in enumerate(entries):
        if k and laid - entries[k - 1][0] <= apart:
            joined.join(k - 1, k)
        joined.join(by_value.setdefault(value, k), k)
    names: tuple[dict[Fraction, Name], dict[Fraction, Name]] = ({}, {})
    for k, (_, is_old, raw, _) in enumerate(entries):
        names[not is_old][raw] = joined.of(k)
    return Names(*names)


@dataclass(frozen=True, slots=True)
class Shared:
    """The names of all places and sizes of two views that are one."""

    x: Names
    y: Names
    radii: Names

    def key(self, shape: Shape, old: bool) -> Key:
        """What is the same for two shapes that lie on one another and are drawn for the same."""
        role = shape.origin.role
        match shape:
            case Segment(_, a, b):
                return "line", role, *sorted((self.point(a, old), self.point(b, old)))
            case Circle(_, centre, radius):
                return "circle", role, self.point(centre, old), self.radius(radius, old)
            case Arc(_, centre, radius, a, b):
                return "arc", role, self.radius(radius, old), *(self.point(p, old) for p in (centre, a, b))
            case Curve(_, points, _):
                spots = [self.point(p, old) for p in (points[0], points[-1], *bounds(points))]
                return "curve", role, *sorted(spots[:2]), *spots[2:]
            case Mark(_, at):
                return "point", self.point(at, old)

    def point(self, p: Point, old: bool) -> tuple[Name, Name]:
        return (self.x.old[p[0]], self.y.old[p[1]]) if old else (self.x.new[p[0]], self.y.new[p[1]])

    def radius(self, r: Fraction, old: bool) -> Name:
        return self.radii.old[r] if old else self.radii.new[r]


def shared(couple: Couple, apart: Fraction) -> Shared:
    """What the two views of a couple have in common; what is no farther than `apart` is one place."""
    old, new = couple.old, couple.new
    k = couple.laid.factor

    def names(axis: int) -> Names:
        shift = couple.laid.shift[axis]
        ours, theirs = ((v.xs, v.ys)[axis] for v in (old, new))
        return named(
            ((raw, raw * k + shift, ours.place(raw) * k + shift) for raw in _coordinates(old, axis)),
            ((raw, raw, theirs.place(raw)) for raw in _coordinates(new, axis)),
            apart,
        )

    radii = named(
        ((r, r * k, old.radius(r).value * k) for r in _radii(old)), ((r, r, new.radius(r).value) for r in _radii(new)),
        apart,
    )  # fmt: skip
    return Shared(names(0), names(1), radii)


def _coordinates(view: View, axis: int) -> set[Fraction]:
    """Along one axis, of all points that shapes are known by."""
    found: set[Fraction] = set()
    for shape in view.shapes:
        match shape:
            case Curve(_, points, _):
                found |= {p[axis] for p in (points[0], points[-1], *bounds(points))}
            case Arc(_, centre, _, a, b):
                found |= {centre[axis], a[axis], b[axis]}
            case Circle(_, centre, _):
                found.add(centre[axis])
            case Segment(_, a, b):
                found |= {a[axis], b[axis]}
            case Mark(_, at):
                found.add(at[axis])
    return found


def _radii(view: View) -> set[Fraction]:
    return {shape.radius for shape in view.shapes if isinstance(shape, (Arc, Circle))}


def bounds(points: Sequence[Point]) -> tuple[Point, Point]:
    """Lower left and upper right corner."""
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return (min(xs), min(ys)), (max(xs), max(ys))
