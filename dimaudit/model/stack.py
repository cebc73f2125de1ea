"""Stack-ups: what the tolerances between two features of a part add up to."""

from dataclasses import dataclass
from fractions import Fraction

from dimaudit.model.scheme import Implied


@dataclass(frozen=True, slots=True)
class Contributor:
    """One dimension of a stack-up. Lengths are in the drawing's unit."""

    dimension: str
    text: str
    sign: int
    """1 along the way from the first feature to the second, -1 against it."""
    share: Fraction
    """How much of the dimension counts: 1; a half from a symmetrical feature's middle."""
    times: int
    """How often it is gone along, where 'nX' counts equal steps."""
    stated: Fraction
    upper: Fraction | None
    """How far above the stated number the tolerance in force reaches; None where none is in force."""
    lower: Fraction | None
    """How far below it: usually negative."""
    source: str
    """What the tolerance is from, or why there is none."""

    @property
    def amount(self) -> Fraction:
        """What it adds to the nominal distance."""
        return self.sign * self.share * self.times * self.stated

    @property
    def swing(self) -> tuple[Fraction, Fraction] | None:
        """Lowest and highest deviation that it adds; None without a tolerance."""
        if self.upper is None or self.lower is None:
            return None
        low, high = sorted(self.sign * self.share * self.times * d for d in (self.lower, self.upper))
        return low, high

    @property
    def half_square(self) -> Fraction | None:
        """The square of its half width (for equal steps: the sum of theirs)."""
        if self.upper is None or self.lower is None:
            return None
        half = self.share * (self.upper - self.lower) / 2
        return self.times * half * half


@dataclass(frozen=True, slots=True)
class Stack:
    """The stack-up between two levels, over the shortest chain that the print defines."""

    contributors: tuple[Contributor, ...]
    taken: tuple[Implied, ...]
    drawn: Fraction
    """How far apart they are drawn, at the scale of the stated numbers."""

    @property
    def nominal(self) -> Fraction:
        """The sum of the stated numbers, each with its sign."""
        return sum((c.amount for c in self.contributors), Fraction(0))

    @property
    def unknown(self) -> tuple[Contributor, ...]:
        """Those without a tolerance in force; where there is one, the stack is not judged."""
        return tuple(c for c in self.contributors if c.swing is None)

    @property
    def worst(self) -> tuple[Fraction, Fraction] | None:
        """The lowest and highest distance where every dimension is at its limit; exact."""
        swings = [c.swing for c in self.contributors if c.swing is not None]
        if len(swings) < len(self.contributors):
            return None
        return self.nominal + sum(s[0] for s in swings), self.nominal + sum(s[1] for s in swings)

    @property
    def span(self) -> Fraction | None:
        """Highest less lowest."""
        return None if self.worst is None else self.worst[1] - self.worst[0]

    @property
    def middle(self) -> Fraction | None:
        """Half-way between the limits: the nominal distance where all tolerances are equal on both sides."""
        return None if self.worst is None else (self.worst[0] + self.worst[1]) / 2

    @property
    def square(self) -> Fraction | None:
        """The square of the root-sum-square half width about the middle; exact."""
        squares = [c.half_square for c in self.contributors if c.half_square is not None]
        return None if len(squares) < len(self.contributors) else sum(squares, Fraction(0))

    def shares(self) -> tuple[Fraction, ...]:
        """Each contributor's share of the worst-case span; empty where that is not known or nothing."""
        if not self.span:
            return ()
        return tuple((c.swing[1] - c.swing[0]) / self.span for c in self.contributors if c.swing is not None)
