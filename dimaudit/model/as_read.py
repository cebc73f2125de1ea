"""The as-read part: where a machinist who trusts the print puts each feature. Lengths are in drawn units."""

from dataclasses import dataclass
from fractions import Fraction

from dimaudit.model.drawing import Shape
from dimaudit.model.scheme import Implied, Place

Span = tuple[Fraction, Fraction]
"""Lower and upper end, which provably hold the number between them; both are the number where it is exact."""

STILL: Span = (Fraction(0), Fraction(0))


@dataclass(frozen=True, slots=True)
class Leg:
    """One dimension on the way from the origin to a feature."""

    handle: str
    share: Fraction
    """How often it counts: 1 along the way, -1 against it, 1/2 where a centreline or a diameter halves it."""
    stated: Fraction
    """True size, as read."""
    drawn: Fraction
    """True size, as drawn."""
    limits: Span | None
    """The tolerance in force as distances from the stated number; None where none is known."""


@dataclass(frozen=True, slots=True)
class Landing:
    """Places that move together along one axis, and where they land."""

    places: tuple[Place, ...]
    axis: int
    """0 for x, 1 for y, 2 for a radius."""
    off: Span | None
    """Where they land less where they are drawn; None where that is not judged."""
    why_not: str = ""
    least: Fraction | None = None
    """The least and the greatest that `off` can be, over what there is to trust; None where not judged."""
    greatest: Fraction | None = None
    bound: bool = False
    """`least` and `greatest` are no more than a bound: there were too many ways to look at each."""
    free: bool = False
    """Nothing holds them: they stay where they are drawn."""
    several: bool = False
    """Something moves them, and nothing holds them: `off` is one of several answers."""
    no_range: str = ""
    """Why `least` and `greatest` are not judged, where `off` is."""
    origin: Place | None = None
    """Where the way begins; None for radii, and where no way of straight dimensions leads from it."""
    legs: tuple[Leg, ...] | None = None
    """The way from the origin, whose stated numbers sum up to where they land; None where there is none."""
    scale: Fraction = Fraction(1)
    """True size over drawn size."""

    @property
    def moves(self) -> bool:
        """Whether they land, or could land, elsewhere than they are drawn."""
        return self.off not in (STILL, None) or bool(self.least) or bool(self.greatest)

    @property
    def size(self) -> Fraction:
        """How far off they can be at most, either way; 0 where not judged."""
        ends = (*(self.off or ()), self.least, self.greatest)
        return max((abs(v) for v in ends if v is not None), default=Fraction(0))

    @property
    def tolerance(self) -> Span | None:
        """How far they may be off by the worst case of the tolerances on the way; None where one is not known.

        The limits are about the stated sum; the drawn place must lie between them.
        """
        if not self.legs:
            return None
        low = high = Fraction(0)
        for leg in self.legs:
            if leg.limits is None:
                return None
            ends = sorted((leg.share * leg.limits[0], leg.share * leg.limits[1]))
            low, high = low + ends[0], high + ends[1]
        return low, high

    @property
    def inside(self) -> bool | None:
        """Whether what is drawn lies within the tolerance about where they land; None where that is not known."""
        band = self.tolerance
        if band is None or self.off is None:
            return None
        return band[0] <= -self.off[1] * self.scale and -self.off[0] * self.scale <= band[1]


@dataclass(frozen=True, slots=True)
class Choice:
    """One way out of a conflict."""

    neglected: tuple[str, ...]
    """Handles of the dimensions that are then not met."""
    lands: tuple[tuple[int, Span | None], ...]
    """Landings that end elsewhere than by the first choice: index, and where they land less where they are drawn."""


@dataclass(frozen=True, slots=True)
class Conflict:
    """Dimensions that can't all be met, with the ways out of it, the one that was taken first."""

    members: tuple[str, ...]
    choices: tuple[Choice, ...]
    """Empty where there are too many to look at each."""
    error: Fraction | None = None
    """By how much a single loop does not close, in drawn units; None where it is no single straight loop."""
    ways: int | None = 0
    """How many ways out there are; None where they are too many to be counted."""


@dataclass(frozen=True, slots=True)
class Broken:
    """Something taken as implied that the stated numbers do not keep."""

    kind: Implied
    places: tuple[Place, ...]


@dataclass(frozen=True, slots=True)
class AsRead:
    """One part as read."""

    landings: tuple[Landing, ...]
    """The worst first."""
    conflicts: tuple[Conflict, ...]
    broken: tuple[Broken, ...]
    kept: tuple[tuple[str, str], ...]
    """Dimensions whose drawn value was kept, and those that take no part: handle and reason."""
    shapes: tuple[Shape, ...]
    """The linework at the as-read places (the middles of what is enclosed)."""
    drawn: tuple[Shape, ...]
    """The same at the drawn places, one for one, recovered as the others are: their difference is what moves."""
    origins: tuple[Place, ...]
    """What stands still, along each axis."""

