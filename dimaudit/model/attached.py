"""Dimensions tied to the features that they measure."""

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from dimaudit.exact.real import Real
from dimaudit.model.drawing import Dimension, Point
from dimaudit.model.geometry import Feature
from dimaudit.model.view import View


class Link(StrEnum):
    """How one end of a dimension meets the part."""

    ON = "on"
    IN_LINE = "in line"
    NEAR = "near"
    FLOATING = "floating"


class Hold(StrEnum):
    """What the file's association object says of a dimension."""

    ASSOCIATED = "associated"
    BROKEN = "broken"
    NONE = "not associated"


@dataclass(frozen=True, slots=True)
class End:
    """One definition point and the feature it belongs to."""

    group: int
    """The point's DXF group."""
    role: str
    """'first end', 'centre', 'origin', …"""
    point: Point
    link: Link
    feature: Feature | None
    off_square: Fraction
    """Square of the distance by which the feature is missed: across the extension line for linear kinds."""


@dataclass(frozen=True, slots=True)
class Measured:
    """A measured number, in the unit of the drawing, or degrees; `recovered` says what was cleaned of noise."""

    value: Real
    raw: Real
    recovered: bool
    """The file holds `raw`; `value` is the simple number within the noise."""


@dataclass(frozen=True, slots=True)
class Attached:
    """A dimension with its ends; all four numbers but the stated one."""

    dimension: Dimension
    view: View | None
    ends: tuple[End, ...]
    hold: Hold
    broken: tuple[str, ...]
    """Why the association is broken, one line each."""
    spanned: Measured | None
    """From the definition points; None where they do not define a number."""
    drawn: Measured | None
    """From the features; None where an end touches nothing."""
    why_not: str = ""
    """Why there is no number at all."""

    @property
    def link(self) -> Link:
        """The weakest of the ends."""
        order = (Link.ON, Link.IN_LINE, Link.NEAR, Link.FLOATING)
        return max((end.link for end in self.ends), key=order.index, default=Link.FLOATING)
