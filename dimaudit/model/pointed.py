"""Hole call-outs with the holes that they point at."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import StrEnum
from fractions import Fraction

from dimaudit.model.drawing import Arc, Circle, Point
from dimaudit.model.rings import DrawnHole
from dimaudit.model.stated import CallOut, Stated
from dimaudit.model.view import View

SPACING = "the angle from hole to hole is not compared with the drawn ones"
NO_PITCH = "no centreline leads through the holes, and the equal ones lie on no one circle"


class Carrier(StrEnum):
    """What ties a call-out to a hole."""

    LEADER = "leader"
    LINE = "line"
    DIMENSION = "dimension"
    NOTHING = "nothing"


@dataclass(frozen=True, slots=True)
class Pitch:
    """A circle that equal holes stand on, as drawn, in the drawing's lengths."""

    diameter: Fraction
    within: Fraction
    """How far the drawn one may be from `diameter`."""
    handles: tuple[str, ...]
    """Of its centreline, or of the holes on it."""
    text: str
    """What it was taken from: 'its centreline'."""


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
    pitches: tuple[Pitch, ...] = ()
    """The circles that its bolt circle may be, where it names one."""
    lines: int = 1
    """How many of the handles, the first ones, are texts that are read together."""

    def open(self) -> tuple[str, ...]:
        """What could not be compared with the drawn holes, each with the reason; empty where all was."""
        if self.why_not:
            return (self.why_not,)
        if self.scale_unknown:
            count = self.view is None and self.call_out.count is not None
            return (f"its sizes{', and whether it counts too few holes' if count else ''}: {self.scale_unknown}",)
        circle = self.call_out.bolt_circle is not None and not self.pitches
        return (
            *((f"its bolt circle: {NO_PITCH}",) if circle else ()),
            *((SPACING,) if self.call_out.spacing is not None else ()),
        )


@dataclass(frozen=True, slots=True)
class RadiusNote:
    """A radius at the end of a leader: '4X R.25'."""

    stated: Stated
    text: str
    """In one line, as plain text."""
    handles: tuple[str, ...]
    """The text's own, then those of its leaders."""
    at: Point
    layout: str
    view: View | None = None
    arcs: tuple[Arc | Circle, ...] = ()
    """One for each tip that points at one; all of one radius."""
    why_not: str = ""
    factor: Fraction | None = None
    """True size over drawn size; None where nothing says it for certain."""
    scale_unknown: str = ""
    """Why there is no factor."""

    def untied(self, why: str) -> "RadiusNote":
        return replace(self, why_not=why)

    def tied(self, arcs: tuple[Arc | Circle, ...], view: View | None) -> "RadiusNote":
        return replace(self, arcs=arcs, view=view)

    def radius(self) -> Fraction:
        """The drawn one, in the drawing's lengths; only of a note that is tied."""
        raw = self.arcs[0].radius
        return raw if self.view is None else self.view.radius(raw).value


def claimed(notes: Iterable[HoleNote]) -> dict[str, str]:
    """Handles of the texts that were read as hole notes, tied to a hole or not."""
    own = (note.handles[: note.lines] for note in notes if note.carrier is not Carrier.DIMENSION)
    return {handle: "hole note" for handles in own for handle in handles}


def not_judged(notes: Iterable[HoleNote]) -> dict[str, str]:
    """Handles of the texts of which something could not be compared with a drawn hole, each with what, and why."""
    return {
        note.handles[0]: "; ".join(open_)
        for note in notes
        if note.carrier is not Carrier.DIMENSION and (open_ := note.open())
    }
