"""Hole call-outs with the holes that they point at."""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from dimaudit.model.drawing import Point
from dimaudit.model.rings import DrawnHole
from dimaudit.model.stated import CallOut
from dimaudit.model.view import View


class Carrier(StrEnum):
    """What ties a call-out to a hole."""

    LEADER = "leader"
    LINE = "line"
    DIMENSION = "dimension"
    NOTHING = "nothing"


@dataclass(frozen=True, slots=True)
class HoleNote:
    """One call-out. `why_not` says why it could not be tied, or measured; empty where it could."""

    call_out: CallOut
    text: str
    """In one line, as plain text."""
    carrier: Carrier
    handles: tuple[str, ...]
    """The text's own, then those of its leaders or lines; for a dimension its own."""
    at: Point
    """Where the text is, in its layout."""
    layout: str
    view: View | None = None
    holes: tuple[DrawnHole, ...] = ()
    """One for each tip that points at a hole."""
    on_circle: bool = True
    """The tip is on an edge or a centre; else it is only somewhere inside the circle."""
    why_not: str = ""
    factor: Fraction | None = None
    """True size over drawn size; None where nothing says it for certain."""
    scale_unknown: str = ""
    """Why there is no factor."""


def claimed(notes: Iterable[HoleNote]) -> dict[str, str]:
    """Handles of the texts that were read as hole notes, tied to a hole or not."""
    return {note.handles[0]: "hole note" for note in notes if note.carrier is not Carrier.DIMENSION}


def not_judged(notes: Iterable[HoleNote]) -> dict[str, str]:
    """Handles of the texts whose sizes could not be compared with a drawn hole, each with the reason."""
    return {
        note.handles[0]: why
        for note in notes
        if note.carrier is not Carrier.DIMENSION and (why := note.why_not or note.scale_unknown)
    }
