"""Holes as they are drawn: circles, and arcs that make most of one, about a common centre."""

from collections import defaultdict
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from fractions import Fraction
from math import atan2, pi

from dimaudit.model.drawing import Arc, Circle, LineRole, Point, Shape

LEAST_TURN = 0.65
"""Part of a full turn that arcs of one circle must cover to be a hole's edge: the thin line of a thread covers three
quarters (ISO 6410-1; from memory), a fillet a quarter, the end of a slot a half."""
WHOLE_TURN = 0.999


@dataclass(frozen=True, slots=True)
class Ring:
    """One circle of a hole, or the arcs that make it."""

    radius: Fraction
    """Recovered."""
    handles: tuple[str, ...]
    whole: bool
    """A full circle; else the three quarters of a thread."""
    hidden: bool


@dataclass(frozen=True, slots=True)
class DrawnHole:
    """Rings about one centre: a hole with its counterbore and its thread line."""

    centre: Point
    rings: tuple[Ring, ...]
    """The smallest first."""

    @property
    def handles(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(h for ring in self.rings for h in ring.handles))

    @property
    def radii(self) -> frozenset[Fraction]:
        return frozenset(ring.radius for ring in self.rings)


def drawn_holes(
    shapes: Iterable[Shape],
    place: Callable[[Point], Point] = lambda point: point,
    size: Callable[[Fraction], Fraction] = lambda radius: radius,
) -> tuple[DrawnHole, ...]:
    """Holes by their centre, centrelines left out; `place` and `size` say what a centre and a radius are taken for."""
    rounds: dict[Point, dict[Fraction, list[Circle | Arc]]] = defaultdict(lambda: defaultdict(list))
    for shape in shapes:
        if isinstance(shape, (Circle, Arc)) and shape.origin.role is not LineRole.CENTRE:
            rounds[place(shape.centre)][size(shape.radius)].append(shape)
    found = []
    for centre, by_radius in rounds.items():
        rings = [ring for radius, own in sorted(by_radius.items()) if (ring := _ring(radius, own)) is not None]
        if rings:
            found.append(DrawnHole(centre, tuple(rings)))
    return tuple(found)


def _ring(radius: Fraction, own: list[Circle | Arc]) -> Ring | None:
    turn = max(1.0 if isinstance(shape, Circle) else 0.0 for shape in own)
    if not turn:  # arcs drawn twice count once
        arcs = {(s.a, s.b): s for s in own if isinstance(s, Arc)}
        turn = sum(map(_turn, arcs.values()))
    if turn < LEAST_TURN:
        return None
    handles = tuple(dict.fromkeys(s.origin.handle for s in own))
    hidden = all(s.origin.role is LineRole.HIDDEN for s in own)
    return Ring(radius, handles, turn >= WHOLE_TURN, hidden)


def _turn(arc: Arc) -> float:
    """Part of a full turn; only for telling circles from arcs."""
    (ax, ay), (bx, by) = ((float(p[0] - arc.centre[0]), float(p[1] - arc.centre[1])) for p in (arc.a, arc.b))
    return ((atan2(by, bx) - atan2(ay, ax)) / (2 * pi)) % 1.0
