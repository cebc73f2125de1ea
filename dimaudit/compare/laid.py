"""How a view of the old drawing is laid over one of the new, so that as much as can be lies on itself.

Doubles serve for searching; the shift that is found is then told exactly, from the recovered places.
"""

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import TypeAlias

from dimaudit.exact.recover import INCH_GRIDS, METRIC_GRIDS, recover
from dimaudit.model.drawing import Arc, Circle, Curve, Mark, Point, Segment, Shape
from dimaudit.model.settings import FINEST_NOISE
from dimaudit.model.view import View

ZERO = Fraction(0)
GRIDS = (*METRIC_GRIDS, *INCH_GRIDS)
MOST_VOTES = 400
"""Pairs of one look that have a vote on the shift; where more look alike, the others and the corners decide."""
TRIED = 6
"""Shifts with most votes that are tried."""

Look: TypeAlias = tuple[object, ...]
Spot: TypeAlias = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Laid:
    """An old place times `factor`, plus `shift`, is the new place."""

    factor: Fraction
    shift: Point = (ZERO, ZERO)

    def place(self, point: Point) -> Point:
        return point[0] * self.factor + self.shift[0], point[1] * self.factor + self.shift[1]


@dataclass(frozen=True, slots=True)
class Fit:
    """A way to lay one over the other, and how many shapes then lie on one another."""

    laid: Laid
    meet: int
    of: int
    """Shapes of the larger of the two."""

    @property
    def share(self) -> float:
        return self.meet / self.of if self.of else 0.0

    @property
    def odd(self) -> int:
        """How odd a number the shift is: of two that differ by the noise only, the simple one was meant."""
        return self.laid.shift[0].denominator + self.laid.shift[1].denominator

    @property
    def far(self) -> float:
        return float(abs(self.laid.shift[0]) + abs(self.laid.shift[1]))


def best_fit(old: View, new: View, factor: Fraction, apart: Fraction) -> Fit:
    """The shift by which most shapes of the two views lie on one another; none where that is as good."""
    grain = float(apart)
    of = max(len(old.shapes), len(new.shapes))
    ours = [(*_look(s, old, factor, grain), s) for s in old.shapes]
    theirs = [(*_look(s, new, Fraction(1), grain), s) for s in new.shapes]
    there = Counter((look, _cell(spot, grain)) for look, spot, _ in theirs)

    def meeting(shift: Spot) -> int:
        moved = Counter((look, _cell((x + shift[0], y + shift[1]), grain)) for look, (x, y), _ in ours)
        return (moved & there).total()

    tried = [Laid(factor), *_voted(ours, theirs, old, new, factor, grain), *_corners(old, new, factor)]
    found = [Fit(_settled(laid, apart), meeting((float(laid.shift[0]), float(laid.shift[1]))), of) for laid in tried]
    return max(found, key=lambda fit: (fit.meet, -round(fit.far / grain), -fit.odd))


def _settled(laid: Laid, apart: Fraction) -> Laid:
    """What moved by no more than `apart` along an axis did not move along it; else by the simple number there is."""
    x, y = (ZERO if abs(v) <= apart else recover(v, FINEST_NOISE, GRIDS).value for v in laid.shift)
    return Laid(laid.factor, (x, y))


def _voted(
    ours: Sequence[tuple[Look, Spot, Shape]], theirs: Sequence[tuple[Look, Spot, Shape]], old: View, new: View,
    factor: Fraction, grain: float,
) -> Iterator[Laid]:  # fmt: skip
    first: dict[Look, list[tuple[Spot, Shape]]] = defaultdict(list)
    second: dict[Look, list[tuple[Spot, Shape]]] = defaultdict(list)
    for look, spot, shape in ours:
        first[look].append((spot, shape))
    for look, spot, shape in theirs:
        second[look].append((spot, shape))
    votes: Counter[tuple[int, int]] = Counter()
    voters: dict[tuple[int, int], list[tuple[Shape, Shape]]] = defaultdict(list)
    for look in first.keys() & second.keys():
        if len(first[look]) * len(second[look]) > MOST_VOTES:
            continue
        for a, one in first[look]:
            for b, other in second[look]:
                cell = _cell((b[0] - a[0], b[1] - a[1]), grain)
                votes[cell] += 1
                voters[cell].append((one, other))
    for cell in sorted(votes, key=lambda cell: (-votes[cell], abs(cell[0]) + abs(cell[1]), cell))[:TRIED]:
        shifts: Counter[Point] = Counter()  # all one but for the noise: the simplest is what was meant
        for one, other in voters[cell]:
            (ax, ay), (bx, by) = middle(one, old), middle(other, new)
            shifts[bx - ax * factor, by - ay * factor] += 1
        yield Laid(factor, min(shifts, key=lambda s: (s[0].denominator + s[1].denominator, -shifts[s], s)))


def _corners(old: View, new: View, factor: Fraction) -> Iterator[Laid]:
    """The lower left corners on one another, and the upper right ones."""
    if not (old.xs.keys and old.ys.keys and new.xs.keys and new.ys.keys):
        return
    for end in (0, -1):
        a, b = corner(old, end), corner(new, end)
        yield Laid(factor, (b[0] - a[0] * factor, b[1] - a[1] * factor))


def corner(view: View, end: int) -> Point:
    """Its lowest level of each axis (0), or its highest (-1); both axes must have one."""
    return view.xs.values[view.xs.keys[end]].value, view.ys.values[view.ys.keys[end]].value


def middle(shape: Shape, view: View) -> Point:
    """Where a shape is, as one recovered place."""
    match shape:
        case Segment(_, a, b):
            (ax, ay), (bx, by) = view.place(a), view.place(b)
            return (ax + bx) / 2, (ay + by) / 2
        case Arc(_, centre, _, _, _) | Circle(_, centre, _):
            return view.place(centre)
        case Curve(_, points, _):
            xs, ys = [p[0] for p in points], [p[1] for p in points]
            return (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2
        case Mark(_, at):
            return view.place(at)


def _look(shape: Shape, view: View, factor: Fraction, grain: float) -> tuple[Look, Spot]:
    """What a shape looks like wherever it is, and where it is."""
    k = float(factor)
    x, y = middle(shape, view)
    spot = float(x) * k, float(y) * k

    def size(value: Fraction) -> int:
        return round(float(value) * k / grain)

    role = shape.origin.role
    match shape:
        case Segment(_, a, b):
            dx, dy = size(b[0] - a[0]), size(b[1] - a[1])
            return ("line", role, abs(dx), abs(dy), (dx > 0) == (dy > 0) if dx and dy else None), spot
        case Arc(_, centre, radius, a, b):
            bulge = size((a[0] + b[0]) / 2 - centre[0]), size((a[1] + b[1]) / 2 - centre[1])
            return ("arc", role, size(radius), *bulge), spot
        case Circle(_, _, radius):
            return ("circle", role, size(radius)), spot
        case Curve(_, points, _):
            xs, ys = [p[0] for p in points], [p[1] for p in points]
            return ("curve", role, size(max(xs) - min(xs)), size(max(ys) - min(ys))), spot
        case Mark():
            return ("point",), spot


def _cell(spot: Spot, grain: float) -> tuple[int, int]:
    return round(spot[0] / grain), round(spot[1] / grain)
