"""Layouts graded against a key: what a rubric asks, what a submission lost, and why. Points are exact fractions."""

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from dimaudit.model.units import Unit


class Criterion(StrEnum):
    """What marks are given for; the words are those of the rubric file."""

    UNITS = "units"
    ORIENTATION = "orientation"
    """Neither turned nor mirrored."""
    PLACE = "place"
    """Where the part lies about the origin."""
    FEATURES = "features"
    """Every edge, hole and window of the key is there."""
    SIZES = "sizes"
    """Every number of the key is drawn right."""
    SHAPE = "shape"
    """What the key draws level, square, in line, tangent or alike is drawn so."""
    DIMENSIONS = "dimensions"
    """The dimensions asked for are there, right, well stated and associated."""
    TYPED = "typed-over"
    """No number is typed over a measured one."""
    LINEWORK = "linework"
    """Nothing drawn twice, left open, or drawn that the key does not have."""
    LAYERS = "layers"
    """Kinds of entity and the layers that they are on."""
    CENTRE_POINTS = "centre-points"
    """A POINT at each hole's centre."""


@dataclass(frozen=True, slots=True)
class Deduction:
    """Points taken for one thing, or a remark that costs nothing."""

    criterion: Criterion
    points: Fraction
    """Taken; 0 where it follows from another fault, or the rubric lets it pass."""
    what: str
    """In a learner's words: 'the left Ø1/2 hole is missing'."""
    why: tuple[str, ...] = ()
    """The arithmetic, line by line."""
    handles: tuple[str, ...] = ()
    """In the submission."""
    at: tuple[float, float] | None = None
    """In the submission's drawing units."""
    key_handles: tuple[str, ...] = ()
    follows: str = ""
    """What it follows from and was charged for already; empty else."""


@dataclass(frozen=True, slots=True)
class CriterionMark:
    """What one criterion gave."""

    criterion: Criterion
    points: Fraction
    """The most it gives."""
    asked: int
    """How many things it asks; 0 where each fault costs a fixed amount."""
    each: Fraction
    """What one of them is worth, or one fault costs."""
    deductions: tuple[Deduction, ...]
    got: Fraction
    """`points` less the deductions, never below 0."""
    for_a_person: str = ""
    """Why a person must look at it; its points are then not given and not taken, and the sum says so."""


@dataclass(frozen=True, slots=True)
class Alignment:
    """How a submission is laid on the key: scaled, mirrored, turned, moved, in this order."""

    factor: Fraction = Fraction(1)
    """Key's length over submission's: 25.4 where inches were drawn for millimetres."""
    mirrored: bool = False
    """About a vertical line."""
    quarter_turns: int = 0
    """Counter-clockwise, 0 to 3."""
    shift: tuple[Fraction, Fraction] = (Fraction(0), Fraction(0))
    """In the key's unit."""


@dataclass(frozen=True, slots=True)
class Graded:
    """One submission, marked."""

    name: str
    """From the file's name."""
    path: str
    sha256: str
    alignment: Alignment
    marks: tuple[CriterionMark, ...]
    geometry: str
    """A digest of the layout alone: equal for two files that draw the very same in the same place."""
    remarks: tuple[str, ...] = ()

    @property
    def got(self) -> Fraction:
        """Sum of what the criteria gave."""
        return sum((m.got for m in self.marks), Fraction(0))

    @property
    def points(self) -> Fraction:
        """Sum of what the criteria can give."""
        return sum((m.points for m in self.marks), Fraction(0))


@dataclass(frozen=True, slots=True)
class ForAPerson:
    """A submission that a person has to look at: never a zero."""

    name: str
    path: str
    sha256: str
    """Empty where the file could not be read."""
    why: str
    to_do: str
    """For the instructor."""
    yours: str = ""
    """What the learner can do, said to them; empty where that is to wait."""


class Lying(StrEnum):
    """Where a part is asked to lie about the origin."""

    ANYWHERE = "anywhere"
    AS_KEY = "as the key"
    CENTRED = "centred"
    """The middle of its bounds on the origin."""
    CORNER = "corner"
    """The lower left corner of its bounds on the origin."""


@dataclass(frozen=True, slots=True)
class Asked:
    """One criterion of a rubric."""

    criterion: Criterion
    points: Fraction
    """The most it gives."""
    each: Fraction | None = None
    """What one fault costs; None shares `points` out among the things asked."""


@dataclass(frozen=True, slots=True)
class LayerAsked:
    """What the linework for one purpose must be drawn as; an empty tuple leaves it open."""

    purpose: str
    """'outline', 'hidden', 'centre', 'dimensions' or 'points'."""
    layers: tuple[str, ...]
    """Names, case left aside."""
    entities: tuple[str, ...]
    """DXF names: 'LINE', 'LWPOLYLINE'."""


@dataclass(frozen=True, slots=True)
class Rubric:
    """What is asked, what it gives, and what is let pass."""

    key: str
    """The key drawing's path, from the rubric's folder."""
    key_sha256: str
    title: str
    criteria: tuple[Asked, ...]
    """In the order of `Criterion`; what is not there is not asked."""
    turned: bool = False
    """A layout turned by quarter turns loses nothing."""
    mirrored: bool = False
    other_units: bool = False
    lying: Lying = Lying.ANYWHERE
    tolerance: Fraction | None = None
    """How far a size may be off, in the key's unit; None: equal, but for the distance within which points are one."""
    close: Fraction | None = None
    """A size off by no more than this is close; None: nothing is."""
    close_costs: Fraction = Fraction(1, 2)
    """Share of a wrong size's cost."""
    rounded_costs: Fraction = Fraction(1, 2)
    """Share of a wrong size's cost where the printed, rounded number was drawn for the exact one."""
    own_scheme: bool = True
    """Another dimension scheme than the key's that defines the part as well earns the credit."""
    shares: tuple[Fraction, Fraction, Fraction, Fraction] = (
        Fraction(2, 5), Fraction(1, 5), Fraction(1, 5), Fraction(1, 5)
    )  # fmt: skip
    """Of a dimension's points: for being there, right, well stated, associated; 1 in all."""
    layers: tuple[LayerAsked, ...] = ()
    round_to: Fraction | None = None
    """The sum of the marks is rounded to a multiple of it, half up; None leaves it exact."""
    unit: Unit | None = None
    """The key's by the instructor's word; None reads it from the file."""
    without_layers: tuple[str, ...] = ()
    """Layers that are read of no file."""
