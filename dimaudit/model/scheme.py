"""What the dimensions of a view fix, leave free and fix twice."""

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from dimaudit.model.drawing import Point
from dimaudit.model.view import View


class Implied(StrEnum):
    """What is taken as implied by the drawing itself; each can be switched off."""

    LEVEL = "lines drawn level, upright, square, parallel or at 45° are so"
    """ASME Y14.5-2018 4.1(j), (k): implied 90° angles."""
    IN_LINE = "what is drawn in line, or on one centre, is so"
    """ASME Y14.5-2018 4.1(l): an implied zero."""
    MEETS = "what ends on an edge stays on it"
    """Common practice, no source."""
    TANGENT = "arcs drawn tangent are so"
    """Common practice, no source."""
    EQUAL = "features that one 'nX' counts are of one size"
    """ASME Y14.5: repeated features."""
    SYMMETRIC = "what is drawn alike on both sides of a centreline is so"
    """ISO 129-1:2018 7.9: symmetrical parts."""
    PROJECTED = "views in line share their levels"
    """ISO 128-3, ASME Y14.3."""

    @property
    def word(self) -> str:
        """A short name that stays: in options, and in reports for machines."""
        return self.name.lower().replace("_", "-")


@dataclass(frozen=True, slots=True)
class Place:
    """One unknown: a coordinate of a point, or a radius."""

    view: View
    at: Point
    """Recovered."""
    axis: int
    """0 for x, 1 for y, 2 for a radius."""
    value: Fraction
    helper: bool = False
    """A centreline's level, which is no part of the part."""


@dataclass(frozen=True, slots=True)
class Loop:
    """A dimension that others fix already."""

    dimension: str
    """Handle."""
    steps: tuple[tuple[str, int], ...]
    """The other dimensions of the loop, each with the sign that it counts with: along the way or against it."""
    implied: tuple[Implied, ...]
    """What was taken as implied on the way."""
    straight: bool
    """Whether all are differences along one axis, so that they can be summed."""


@dataclass(frozen=True, slots=True)
class Free:
    """Places that move together and are held by nothing in one direction."""

    places: tuple[Place, ...]
    axis: int
    follows: bool = False
    """It moves only as others do that are free: a dimension on one of these would hold it too."""
    others: int = 0
    """Groups that follow this one."""


@dataclass(frozen=True, slots=True)
class Node:
    """Places that stand on one level, in all views that share the axis."""

    at: Fraction
    """Its coordinate in the net's first view."""
    places: tuple[Place, ...]

    @property
    def drawn_only(self) -> bool:
        """Whether only a centreline stands there, and nothing of the part."""
        return all(place.helper for place in self.places)


@dataclass(frozen=True, slots=True)
class Step:
    """What one dimension says of two levels: they are `share` times its length apart."""

    dimension: str
    """Handle."""
    low: int
    high: int
    """Nodes, in the order in which they are drawn."""
    share: Fraction = Fraction(1)
    """A half from a symmetrical feature's middle to its side."""
    again: int = 0
    """Which of the equal steps under one 'nX' it is; each of them is made by itself."""
    by: Implied | None = None
    """What was taken as implied for it; None for what the dimension says itself."""


@dataclass(frozen=True, slots=True)
class Net:
    """One axis of a part: views in line share it."""

    axis: int
    """0 for x, 1 for y, as in the first view."""
    nodes: tuple[Node, ...]
    steps: tuple[Step, ...]


@dataclass(frozen=True, slots=True)
class Scheme:
    """One view, or views of one part in line."""

    views: tuple[View, ...]
    unknowns: int
    rank: int
    rigid: int
    """Motions of the whole part (2 translations, 3 where nothing is level), which no dimension needs to hold."""
    missing: int
    """How many sizes more would fix it: independent motions left, those of the whole part not counted."""
    free: tuple[Free, ...]
    """Empty where `why_not` says why it is not judged."""
    loops: tuple[Loop, ...]
    taken: tuple[Implied, ...]
    """What was taken as implied."""
    left_out: tuple[tuple[str, str], ...]
    """Dimensions that no relation could be made of: handle and reason."""
    why_not: str = ""
    """Why it is not judged what is free; empty where it is."""
    unsure: tuple[Place, ...] = ()
    """Places of which it is not known whether they are free: the drawn values are no exact or no general case."""
    nets: tuple[Net, ...] = ()
    """What is stated along each axis."""
