"""What attaching one dimension needs to know."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from dimaudit.attach.nearest import Candidate, best, candidates, closest
from dimaudit.model.attached import End, Link
from dimaudit.model.drawing import Dimension, Point, Shape
from dimaudit.model.geometry import Feature, Near
from dimaudit.model.settings import FINEST_NOISE, Lengths
from dimaudit.model.view import View

Result = tuple[tuple[End, ...], dict[int, Point] | None]
"""The ends, and the points that the features put in place of the definition points (None where an end floats)."""


@dataclass(frozen=True, slots=True)
class Context:
    """One dimension with the view it measures and the linework near its points."""

    dimension: Dimension
    view: View
    shapes: Sequence[Shape]
    near: dict[int, Near]
    lengths: Lengths

    @property
    def noise(self) -> Fraction:
        return self.lengths.noise if self.lengths.noise is not None else FINEST_NOISE

    def at(self, group: int) -> list[Candidate]:
        """Features near the point of a group."""
        near = self.near.get(group, Near((), ()))
        if not (near.bodies or near.centres or self.view.sharp_corners):
            return []
        point, lengths = self.dimension.points[group], self.lengths
        return candidates(point, near, self.shapes, self.view, lengths.snap, lengths.near)

    def on(self, group: int, found: Sequence[Candidate], role: str) -> End | None:
        """The end on a feature; None where the point is on none."""
        hit = best(found, self.lengths.snap**2)
        return None if hit is None else self.end(group, role, Link.ON, hit.feature, hit.square)

    def near_miss(self, group: int, found: Sequence[Candidate], role: str) -> End | None:
        """The end near a feature of its own view and off it; None where nothing is within the near distance."""
        hit = closest(c for c in found if c.own)
        if hit is None or hit.square > self.lengths.near**2:
            return None
        return self.end(group, role, Link.NEAR, hit.feature, hit.square)

    def floating(self, group: int, role: str) -> End:
        """The end that touches nothing."""
        return self.end(group, role, Link.FLOATING, None, Fraction(0))

    def end(self, group: int, role: str, link: Link, feature: Feature | None, square: Fraction) -> End:
        return End(group, role, self.dimension.points[group], link, feature, square)
