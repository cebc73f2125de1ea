"""Advice on rounding: which numbers of places make chains close and keep every feature near where it is drawn."""

from dataclasses import dataclass
from fractions import Fraction

from dimaudit.model.scheme import Net
from dimaudit.model.units import Unit


@dataclass(frozen=True, slots=True)
class Change:
    """A dimension that should be stated otherwise. Lengths are in the drawing's unit."""

    dimension: str
    text: str
    """As it is now."""
    places: int | None
    """Decimals that it should have; None for a fraction."""
    values: tuple[Fraction, ...]
    """What it then states: two where it is a tie that half-up and half-even write differently."""


@dataclass(frozen=True, slots=True)
class Plan:
    """Changes that together do it, under half-up and under half-even."""

    changes: tuple[Change, ...]
    least: bool = True
    """Whether no plan with less is possible; False where there were too many ways to try them all."""

    @property
    def added(self) -> int:
        """How many dimensions change."""
        return len(self.changes)


@dataclass(frozen=True, slots=True)
class Ways:
    """How the chains of a group of dimensions can be made to close within the limits."""

    closes: bool
    """Whether they do as they are stated now."""
    fits: bool
    """Whether they do, and no feature is further off than its limit."""
    places: Plan | None = None
    """The least number of added decimals; None where none up to the most places does it."""
    fractions: Plan | None = None
    """The fewest dimensions stated as fractions instead."""
    never: bool = False
    """Proved: no number of decimals, the same for all, closes the chains."""
    no_decimal: tuple[tuple[str, Fraction], ...] = ()
    """Dimensions, by handle, whose exact size no number of decimals states."""


@dataclass(frozen=True, slots=True)
class Off:
    """Where a feature lands by the stated numbers, less where it is drawn, and how much of that is allowed."""

    node: int
    deviation: Fraction
    limit: Fraction
    source: str
    """What the limit is from."""


@dataclass(frozen=True, slots=True)
class FromOrigin:
    """One dimension of the common-origin scheme."""

    node: int
    values: tuple[Fraction, ...]


@dataclass(frozen=True, slots=True)
class Wrong:
    """A dimension whose number is not the drawn one, and the number that it should state, written as it is now."""

    dimension: str
    text: str
    """As it is now."""
    exact: Fraction
    """What is drawn, in the drawing's unit."""
    value: Fraction
    """That, rounded to the last place as written; in the drawing's unit."""
    written: Fraction
    """The same in the unit of the text."""
    places: int | None
    """Decimals of the text; None for a fraction."""
    unit: Unit | None
    """What the text names; None for the drawing's own."""


@dataclass(frozen=True, slots=True)
class Advice:
    """The advice for dimensions along one axis that hang together."""

    net: Net
    origin: int
    """The level that most of them start from; deviations are counted from it."""
    dimensions: tuple[str, ...]
    ways: Ways
    worst: Off | None
    """The feature that is furthest off, measured by its limit; None where chains do not close."""
    from_origin: tuple[FromOrigin, ...] = ()
    """Every level from the common origin, with no more places than now; empty where that does not do it either."""
    not_advised: str = ""
    """Why there is no advice."""
    wrong: tuple[Wrong, ...] = ()
    """Numbers to be mended first; the advice takes them as mended. Their tolerances are those found for the numbers
    as they stand."""
