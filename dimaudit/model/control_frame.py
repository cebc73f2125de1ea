"""Feature control frames and datum letters, as read and as tied to the part."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from dimaudit.model.drawing import Origin, Point
from dimaudit.model.geometry import HoleGroup
from dimaudit.model.stated import Sign, Stated
from dimaudit.model.view import View


class Characteristic(StrEnum):
    """What a frame controls (words of ASME Y14.5; ISO 1101 has the same symbols)."""

    STRAIGHTNESS = "straightness"
    FLATNESS = "flatness"
    CIRCULARITY = "circularity"
    CYLINDRICITY = "cylindricity"
    LINE_PROFILE = "profile of a line"
    SURFACE_PROFILE = "profile of a surface"
    ANGULARITY = "angularity"
    PERPENDICULARITY = "perpendicularity"
    PARALLELISM = "parallelism"
    POSITION = "position"
    CONCENTRICITY = "concentricity"
    SYMMETRY = "symmetry"
    CIRCULAR_RUNOUT = "circular runout"
    TOTAL_RUNOUT = "total runout"


FORM = frozenset(
    {Characteristic.STRAIGHTNESS, Characteristic.FLATNESS, Characteristic.CIRCULARITY, Characteristic.CYLINDRICITY}
)
"""A form is compared with itself: it takes no datum (ASME Y14.5; ISO 1101)."""

RUNOUT = frozenset({Characteristic.CIRCULAR_RUNOUT, Characteristic.TOTAL_RUNOUT})

NEEDS_DATUM = RUNOUT | {
    Characteristic.ANGULARITY,
    Characteristic.PERPENDICULARITY,
    Characteristic.PARALLELISM,
    Characteristic.CONCENTRICITY,
    Characteristic.SYMMETRY,
}
"""Orientation, runout and coaxiality say how a feature stands to another one."""

WITH_BASICS = frozenset({Characteristic.POSITION, Characteristic.LINE_PROFILE, Characteristic.SURFACE_PROFILE})
"""What puts a tolerance on a place or a shape that basic dimensions define."""


@dataclass(frozen=True, slots=True)
class DatumReference:
    """One cell of the frame that names a datum: 'A', 'BⓂ', the common datum 'A-B'."""

    letters: tuple[str, ...]
    modifiers: str = ""
    """The circled letters behind it, as signs."""

    def __str__(self) -> str:
        return "-".join(self.letters) + self.modifiers


@dataclass(frozen=True, slots=True)
class FrameRow:
    """One row of a frame."""

    symbol: str
    """The sign in the first cell, as read."""
    characteristic: Characteristic | None
    """None where the sign is none of the fourteen."""
    zone: Sign | None = None
    """Ø for a cylinder, SØ for a sphere; None for a zone between two lines or planes."""
    tolerance: Stated | None = None
    """None where the cell holds no number."""
    tolerance_text: str = ""
    modifiers: str = ""
    """The circled letters behind the tolerance, as signs: 'Ⓜ', 'ⓁⓅ'."""
    second: Stated | None = None
    """A second tolerance in a cell of its own."""
    datums: tuple[DatumReference, ...] = ()
    rest: tuple[str, ...] = ()
    """Cells, and words behind the tolerance, that were not understood, as read."""

    def __str__(self) -> str:
        cells = [self.symbol, self.tolerance_text, *map(str, self.datums)]
        return " | ".join(cell for cell in cells if cell)


@dataclass(frozen=True, slots=True)
class ControlFrame:
    """A feature control frame: one row, or two for a composite, and what stands beneath."""

    rows: tuple[FrameRow, ...] = ()
    projected: Stated | None = None
    """Height of a projected tolerance zone."""
    identifier: str = ""
    """The datum letter that the frame gives to its feature; a frame may consist of it alone."""
    rest: tuple[str, ...] = ()
    """Lines that were not understood."""

    def __str__(self) -> str:
        if not self.rows:
            return f"datum {self.identifier}" if self.identifier else " ".join(self.rest)
        return " / ".join(map(str, self.rows))


@dataclass(frozen=True, slots=True)
class TiedFrame:
    """A frame with the feature that it controls."""

    frame: ControlFrame
    origin: Origin
    layout: str
    at: Point
    """Where it stands in that layout."""
    by: str = ""
    """What ties it: 'a leader', 'the dimension above', …; empty where nothing does."""
    dimension: str = ""
    """Handle of the dimension that it stands under."""
    under: str = ""
    """Handle of the text, or of the leader with a text of its own, right above it."""
    handles: tuple[str, ...] = ()
    """Handles of the linework that it controls."""
    hole: HoleGroup | None = None
    """The hole, where it controls one."""
    view: View | None = None
    reason: str = ""
    """Why it is not tied; empty where it is."""


@dataclass(frozen=True, slots=True)
class DatumLetter:
    """A datum feature symbol: the letter and how it was recognised."""

    letter: str
    handle: str
    layout: str
    at: Point | None
    how: str


@dataclass(frozen=True, slots=True)
class ControlFrames:
    """All frames and datum letters of a drawing."""

    frames: tuple[TiedFrame, ...] = ()
    datums: tuple[DatumLetter, ...] = ()
    lone_letters: frozenset[str] = frozenset()
    """Capital letters that stand by themselves without being recognised as datum letters."""
    claimed: Mapping[str, str] = field(default_factory=dict)
    """Handles of texts that were understood, and what they are."""


NO_FRAMES = ControlFrames()
