"""Two revisions of one print, and what changed between them. Lengths are in the unit of the new one, angles in degrees.

Places are in the coordinates of the new drawing: those of the old one are told as they come to lie when the old view is
laid over the new one, so that a view that was moved on the sheet is one change and not many.
"""

from collections import Counter
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from dimaudit.exact.real import Real
from dimaudit.model.units import Unit


class Sort(StrEnum):
    """Sorts of change, in the order in which they are told: what can deceive a reader of the print comes first."""

    GEOMETRY_ALONE = "the geometry moved, the text stood still"
    TEXT_ALONE = "the number changed, the geometry stood still"
    DETACHED = "no longer attached"
    REATTACHED = "attached to something else"
    BOTH = "the number and the geometry changed"
    RESTATED = "stated otherwise"
    DIMENSION_REMOVED = "dimension removed"
    DIMENSION_ADDED = "dimension added"
    VIEW_REMOVED = "view removed"
    VIEW_ADDED = "view added"
    VIEW_MOVED = "view moved as a whole"
    VIEW_SCALED = "view drawn to another scale"
    FEATURE_MOVED = "feature moved"
    FEATURE_RESIZED = "feature of another size"
    FEATURE_REDRAWN = "feature drawn otherwise"
    FEATURE_REMOVED = "feature removed"
    FEATURE_ADDED = "feature added"
    OUTSIDE = "linework outside the views"
    UNITS = "units"
    TITLE_BLOCK = "title block"
    NOTE_CHANGED = "note changed"
    NOTE_REMOVED = "note removed"
    NOTE_ADDED = "note added"
    FINDING_NEW = "new finding of the audit"
    FINDING_GONE = "finding of the audit that is gone"


DANGEROUS = (Sort.GEOMETRY_ALONE, Sort.TEXT_ALONE)
"""One of the two numbers went, and the other did not follow."""


@dataclass(frozen=True, slots=True)
class Fact:
    """One thing that changed: as it was, as it is; None where it was or is not."""

    what: str
    """'stated', 'drawn', 'x', 'tolerance', …"""
    old: Real | str | None
    new: Real | str | None
    angle: bool = False
    """In degrees, or a number without a unit."""
    moved: Fraction | None = None
    """By how much, where several things moved alike and `old` and `new` say nothing."""

    @property
    def by(self) -> Fraction | None:
        """New less old, where both are rational."""
        if self.moved is not None:
            return self.moved
        if isinstance(self.old, Fraction) and isinstance(self.new, Fraction):
            return self.new - self.old
        return None


@dataclass(frozen=True, slots=True)
class Seat:
    """Where a change is in one of the drawings."""

    handles: tuple[str, ...] = ()
    layout: str = ""
    at: tuple[float, float] | None = None
    """In the coordinates of that layout."""


@dataclass(frozen=True, slots=True)
class Change:
    """One change."""

    sort: Sort
    subject: str
    """What it is about: 'linear dimension "2.500"', 'Ø.281 circle', 'right edge'."""
    view: str
    """Name of the view in the new drawing, in the old one where it is in that alone; may be empty."""
    facts: tuple[Fact, ...]
    old: Seat
    new: Seat
    where: str = ""
    """The place in words."""
    why: tuple[str, ...] = ()
    """What there is to say besides: what it means for a reader of the print, or the places of several things."""

    @property
    def dangerous(self) -> bool:
        return self.sort in DANGEROUS


@dataclass(frozen=True, slots=True)
class Revision:
    """One of the two drawings."""

    path: str
    sha256: str
    version: str
    unit: Unit | None
    dimensions: int
    views: int
    findings: int


@dataclass(frozen=True, slots=True)
class Compared:
    """What changed from one revision to the other."""

    old: Revision
    new: Revision
    factor: Fraction
    """Lengths of the old drawing were multiplied by this: one old unit in new units, 1 where either is unknown."""
    apart: Fraction
    """What lies no farther apart than this, in the new unit, lies at one place: the snap distance, or the noise."""
    changes: tuple[Change, ...]
    """In the order of their sorts, then of the new drawing."""
    same_dimensions: int
    same_shapes: int
    same_notes: int
    same_findings: int
    not_compared: tuple[str, ...]
    """What was left out, with counts and reasons."""

    @property
    def counts(self) -> Counter[Sort]:
        return Counter(change.sort for change in self.changes)
