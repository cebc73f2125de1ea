"""What the user can set. Lengths are in the drawing's own unit once `for_unit` has filled them in."""

from dataclasses import dataclass, field, replace
from enum import StrEnum
from fractions import Fraction

from dimaudit.exact.number import Rounding
from dimaudit.model.general import GeneralTolerances
from dimaudit.model.scheme import Implied
from dimaudit.model.units import IN_MM, INCHES, Unit

# Defaults that a shop would choose, in the two units a shop works in; other units are converted from
# millimetres. Reasons: docs/numbers.md. Common practice, no source.
SNAP = {True: Fraction(1, 100_000), False: Fraction(1, 10_000)}
NEAR = {True: Fraction(1, 32), False: Fraction(8, 10)}
GAP = {True: Fraction(1, 64), False: Fraction(4, 10)}
NEARLY_LEVEL_DEGREES = Fraction(1, 4)
EATEN_SHARE = Fraction(1, 10)
FINEST_NOISE = Fraction(1, 10**9)
COARSEST_NOISE = Fraction(1, 10**6)


@dataclass(frozen=True, slots=True)
class ViewBox:
    """A rectangle that the user says holds one view, with that view's scale (drawn size over true size) if known."""

    low: tuple[Fraction, Fraction]
    high: tuple[Fraction, Fraction]
    scale: Fraction | None = None


class RuleLevel(StrEnum):
    """How the findings of a rule are reported by the user's word."""

    OFF = "off"
    NOTE = "note"
    WARNING = "warning"
    ERROR = "error"


@dataclass(frozen=True, slots=True)
class Settings:
    """Everything that steers an audit; None stands for 'decide from the drawing's unit'."""

    rounding: Rounding = Rounding.HALF_UP
    unit: Unit | None = None
    """The drawing's unit by the user's word; None reads it from the file."""
    snap: Fraction | None = None
    """Points nearer than this are one point."""
    near: Fraction | None = None
    """A definition point this near to a feature, and not on it, has missed it."""
    gap: Fraction | None = None
    """Open ends nearer than this were meant to meet."""
    noise: Fraction | None = None
    """How far a coordinate may stand from a simple number to be taken for it; None sizes it from the file."""
    nearly_level: Fraction = NEARLY_LEVEL_DEGREES
    """A line nearer than this many degrees to horizontal or vertical, and not on it, was meant to be."""
    eaten_share: Fraction = EATEN_SHARE
    """The share of a tolerance that rounding may eat before it is a warning."""
    views: tuple[ViewBox, ...] = field(default=())
    """Views by the user's word; linework outside them is grouped as always."""
    general: GeneralTolerances | None = None
    """General tolerances by the user's word, in place of those of the title block; None reads them there."""
    left_out_layers: tuple[str, ...] = ()
    """Layers by name (case does not count) that are not read."""
    left_out_layouts: tuple[str, ...] = ()
    """Layouts by name (case does not count) that are not read; model space is always read."""
    rule_levels: tuple[tuple[str, RuleLevel], ...] = ()
    """Rules by name, in alphabetical order, whose findings are not reported or on another level than their own."""
    rule_set: int | None = None
    """The rule set that the user's word was written for: later rules only give notes. None is the one in force."""
    taken_as_implied: tuple[Implied, ...] = tuple(Implied)
    """What the dimension scheme takes from the linework without a dimension that says so."""

    def for_unit(self, unit: Unit | None) -> "Lengths":
        """The lengths in force for a drawing in `unit`; a drawing without a unit gets the millimetre figures."""
        inches = unit in INCHES
        per = Fraction(1)
        if unit is not None:
            per = (IN_MM[Unit.INCH] if inches else IN_MM[Unit.MILLIMETRE]) / IN_MM[unit]
        return Lengths(
            snap=self.snap if self.snap is not None else SNAP[inches] * per,
            near=self.near if self.near is not None else NEAR[inches] * per,
            gap=self.gap if self.gap is not None else GAP[inches] * per,
            noise=self.noise,
        )


@dataclass(frozen=True, slots=True)
class Lengths:
    """The lengths in force for one drawing, in its unit."""

    snap: Fraction
    near: Fraction
    gap: Fraction
    noise: Fraction | None

    def with_noise(self, noise: Fraction) -> "Lengths":
        """The same, with the noise that the file itself showed."""
        return replace(self, noise=noise)
