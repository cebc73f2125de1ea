"""What a person reads in a dimension's text."""

from dataclasses import dataclass, field
from enum import StrEnum
from fractions import Fraction
from typing import TypeAlias

from dimaudit.model.units import Unit


class Sign(StrEnum):
    """The symbol before the number (ASME Y14.5 and ISO 129-1 symbols)."""

    DIAMETER = "Ø"
    RADIUS = "R"
    SPHERICAL_DIAMETER = "SØ"
    SPHERICAL_RADIUS = "SR"
    CONTROLLED_RADIUS = "CR"
    SQUARE = "□"
    ARC = "⌒"


DIAMETERS = (Sign.DIAMETER, Sign.SPHERICAL_DIAMETER)
RADII = (Sign.RADIUS, Sign.SPHERICAL_RADIUS, Sign.CONTROLLED_RADIUS)


@dataclass(frozen=True, slots=True)
class Tolerance:
    """Distances from the value to the limits: value + upper and value + lower; lower is usually negative."""

    upper: Fraction
    lower: Fraction
    lower_first: bool = field(default=False, compare=False)
    """Written with the lower one above or before the upper one; it says the same."""


class StepKind(StrEnum):
    """The steps of a hole that a call-out gives one after the other (words of ASME Y14.5)."""

    HOLE = "hole"
    COUNTERBORE = "counterbore"
    SPOTFACE = "spotface"
    COUNTERSINK = "countersink"


@dataclass(frozen=True, slots=True)
class HoleStep:
    """One step of a hole; what the text does not give is None."""

    kind: StepKind
    diameter: "Stated | None" = None
    depth: "Stated | None" = None
    angle: "Stated | None" = None
    """The included angle of a countersink, in degrees."""
    through: bool = False


@dataclass(frozen=True, slots=True)
class Thread:
    """A thread as designated by ASME B1.1 ('3/8-16 UNC-2B') or ISO 965-1 ('M10x1.5-6H')."""

    text: str
    diameter: Fraction
    """Nominal diameter, in `unit`; number sizes by their decimal (#10 is .190)."""
    unit: Unit
    pitch: Fraction | None = None
    """In `unit`: one over the threads per inch; None where the text leaves it to the coarse series."""
    fit_class: str = ""
    """'2B', '6H'; empty where not given."""
    pipe: bool = False
    """A pipe thread ('1/4 NPT', 'G1/2'): `diameter` is the name of the pipe, and nothing measures so much."""


@dataclass(frozen=True, slots=True)
class CallOut:
    """What a hole note says: how many, the steps from the hole outwards, the thread, the screw it is for."""

    count: int | None = None
    steps: tuple[HoleStep, ...] = ()
    """The hole itself first, where its size is given; then counterbore, spotface, countersink as written."""
    thread: Thread | None = None
    thread_depth: "Stated | None" = None
    screw: Thread | None = None
    """The screw that the note names, by its thread: 'FOR 1/4-20 SHCS', 'FOR M6 SOCKET HEAD CAP SCREW'."""
    head: str = ""
    """The kind of the screw's head as written: 'SOCKET HEAD CAP SCREW', 'SHCS', 'FHCS'."""
    bolt_circle: "Stated | None" = None
    equally_spaced: bool = False
    words: tuple[str, ...] = ()
    """What was understood and changes nothing, as written: 'TYP', 'BOTH SIDES'."""
    spacing: "Stated | None" = None
    """The angle from one hole to the next, in degrees: '@ 60°'."""


@dataclass(frozen=True, slots=True)
class Chamfer:
    """What a text says of a chamfer besides the leg that it states; 'C2' says nothing more, and means 45°."""

    angle: "Stated | None" = None
    """In degrees: '2 x 45°'."""
    leg: "Stated | None" = None
    """The other leg: 'CHAM .06 X .12'."""


@dataclass(frozen=True, slots=True)
class Stated:
    """A number with all that the text says about it.

    `value` is in `unit` where the text names one (feet-and-inches arrive as inches, angles as
    degrees), else in the drawing's own unit (`unit` None). `step` is one unit in the last written
    place: the text stands for every true value within half a step. For a limit dimension `value`
    is the middle of the two limits and `limits` holds (lower, upper).
    """

    value: Fraction
    step: Fraction
    places: int | None = None
    """Decimals as written; None for fractions and for degrees-minutes-seconds."""
    denominator: int | None = None
    """Denominator as written, for fractions; 1 for whole feet-and-inches."""
    unit: Unit | None = None
    sign: Sign | None = None
    count: int | None = None
    """4 in '4X Ø.250'."""
    reference: bool = False
    """In parentheses or followed by REF."""
    boxed: bool = False
    """Basic by a word ('BASIC', 'BSC'); a drawn box is in the style."""
    tolerance: Tolerance | None = None
    limits: tuple[Fraction, Fraction] | None = None
    alternate: "Stated | None" = None
    """The second number, in brackets or parentheses: the same size in the other unit."""
    fit: str = ""
    """The tolerance class as written: 'H7', 'g6', 'H7/g6' (ISO 286-1)."""
    call_out: CallOut | None = None
    """The whole hole note, where more than the size is given: depth, counterbore, thread, …

    Its first step has this size again, with nothing around it, and its count is this count; its words
    stand in `words`.
    """
    chamfer: Chamfer | None = None
    one_sided: bool = False
    """MIN or MAX follows: one limit only; the word itself is among `words`."""
    underlined: bool = False
    """Underlined: not to scale (ASME Y14.5, ISO 129-1)."""
    words: tuple[str, ...] = ()
    """Words that were understood and change nothing here, as written: 'TYP', 'DRILL'."""


@dataclass(frozen=True, slots=True)
class Symbolic:
    """A word or a variable instead of a number: 'W', 'FRAME SIZE', 'd1=33.2/2'."""

    text: str


@dataclass(frozen=True, slots=True)
class Unreadable:
    """Text with a number in it that can't be read one way only."""

    text: str
    why: str


@dataclass(frozen=True, slots=True)
class Suppressed:
    """No text at all (group 1 is one blank)."""


Reading: TypeAlias = Stated | Symbolic | Unreadable | Suppressed
