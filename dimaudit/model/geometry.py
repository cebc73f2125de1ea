"""Linework rebuilt: views, their levels, and the shapes near each definition point."""

from bisect import bisect_left
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from dimaudit.exact.recover import Recovered
from dimaudit.model.drawing import Point, Shape


@dataclass(frozen=True, slots=True, eq=False)
class Levels:
    """The distinct coordinates of one view along one axis, each recovered once, so that sums add up.

    Doubles serve for searching only: `keys` is sorted, `values` gives for each what it is taken for.
    """

    keys: tuple[float, ...]
    values: dict[float, Recovered]
    snap: float

    def at(self, raw: Fraction) -> Recovered | None:
        """The level within the snap distance of `raw`, the nearest; None where there is none."""
        x = float(raw)
        found = self.values.get(x)
        if found is not None:
            return found
        k = bisect_left(self.keys, x)
        best, distance = None, self.snap
        for i in (k - 1, k):
            if 0 <= i < len(self.keys) and abs(self.keys[i] - x) <= distance:
                distance, best = abs(self.keys[i] - x), self.values[self.keys[i]]
        return best

    def place(self, raw: Fraction) -> Fraction:
        """What `raw` is taken for; `raw` itself where no level is near."""
        found = self.at(raw)
        return raw if found is None else found.value


class FeatureKind(StrEnum):
    """What a dimension's end can be on."""

    CORNER = "corner"
    END = "end"
    TANGENT_POINT = "tangent point"
    MIDPOINT = "midpoint"
    CENTRE = "centre"
    QUADRANT = "quadrant"
    INTERSECTION = "intersection"
    SHARP_CORNER = "theoretical sharp corner"
    """Where the edges beside a fillet or a chamfer would meet."""
    POINT = "point"
    EDGE = "edge"
    ARC = "arc"
    CURVE = "curve"


@dataclass(frozen=True, slots=True)
class Feature:
    """A place on the part; `at` is recovered, `raw` as in the file."""

    kind: FeatureKind
    at: Point
    raw: Point
    shapes: tuple[Shape, ...]


@dataclass(frozen=True, slots=True)
class Profile:
    """A closed outline as a ring of shapes; inner profiles are the holes and windows of the outer one around them."""

    handles: tuple[str, ...]
    outer: bool
    area: float


@dataclass(frozen=True, slots=True)
class HoleGroup:
    """Concentric circles: a hole with its counterbore, or a bolt head over its hole."""

    centre: Point
    radii: tuple[Fraction, ...]
    handles: tuple[str, ...]


class FaultKind(StrEnum):
    """What can be wrong with linework as such."""

    GAP = "gap"
    DUPLICATE = "duplicate"
    OVERLAP = "overlap"
    ZERO_LENGTH = "zero length"
    NEARLY_LEVEL = "nearly level"
    NEARLY_CONCENTRIC = "nearly concentric"


@dataclass(frozen=True, slots=True)
class LineworkFault:
    """One fault; `amount` is the gap, the overlap, the deviation or the distance of the centres."""

    kind: FaultKind
    handles: tuple[str, ...]
    at: Point
    amount: Fraction
    """Length; for gaps and centres its square (roots stay exact)."""
    detail: str = ""


@dataclass(frozen=True, slots=True)
class Near:
    """Where one definition point of a dimension finds linework: indices into the space's shapes."""

    bodies: tuple[int, ...]
    """Shapes whose line passes near the point."""
    centres: tuple[int, ...]
    """Arcs and circles whose centre is near the point."""
