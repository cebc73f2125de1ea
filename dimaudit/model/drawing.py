"""A drawing as it was read: plain, exact, and free of the DXF library."""

from dataclasses import dataclass, field
from enum import StrEnum
from fractions import Fraction
from typing import TypeAlias

from dimaudit.model.style import DimStyle
from dimaudit.model.units import Unit

Point: TypeAlias = tuple[Fraction, Fraction]


class LineRole(StrEnum):
    """What a line is drawn for, told by its linetype (ISO 128-2, ASME Y14.2) or layer name."""

    OUTLINE = "outline"
    HIDDEN = "hidden"
    CENTRE = "centre"


@dataclass(frozen=True, slots=True)
class Origin:
    """Where a piece of linework stands in the file."""

    handle: str
    layer: str
    role: LineRole = LineRole.OUTLINE
    inserts: tuple[str, ...] = ()
    """Handles of the block references it came through, the outermost first."""
    entity: str = ""
    """Its DXF name: 'LINE', 'LWPOLYLINE'."""


@dataclass(frozen=True, slots=True)
class Segment:
    """A straight edge."""

    origin: Origin
    a: Point
    b: Point


@dataclass(frozen=True, slots=True)
class Arc:
    """A circular arc, counter-clockwise from `a` to `b`; its ends carry the rounding of the file's angles."""

    origin: Origin
    centre: Point
    radius: Fraction
    a: Point
    b: Point


@dataclass(frozen=True, slots=True)
class Circle:
    """A full circle."""

    origin: Origin
    centre: Point
    radius: Fraction


@dataclass(frozen=True, slots=True)
class Curve:
    """An ellipse or a spline as a chain of points on it: fit for seeing where it is, not for measuring."""

    origin: Origin
    points: tuple[Point, ...]
    centre: Point | None = None


@dataclass(frozen=True, slots=True)
class Mark:
    """A POINT entity."""

    origin: Origin
    at: Point


Shape: TypeAlias = Segment | Arc | Circle | Curve | Mark


@dataclass(frozen=True, slots=True)
class Note:
    """A TEXT, MTEXT or ATTRIB, as raw text with its formatting codes."""

    origin: Origin
    text: str
    at: Point
    """Its insertion point."""
    height: Fraction = Fraction(0)
    """Height of the letters, in the space it stands in; 0 where the file gives none."""
    turn: Fraction = Fraction(0)
    """Degrees by which the line of text is turned from the x axis."""
    tag: str = ""
    """The name of the attribute that it fills, for an ATTRIB."""
    block: str = ""
    """Name of the block whose picture it belongs to; empty for a text that stands in the layout itself."""
    anchor: tuple[Fraction, Fraction] = (Fraction(0), Fraction(0))
    """Which spot of the text's box `at` is: 0 to 1 from its left to its right, and from its foot to its top."""
    scale: Fraction | None = Fraction(1)
    """How many times its own size the block references show it; None where that depends on the direction."""


@dataclass(frozen=True, slots=True)
class Arrowhead:
    """A reference to one of the format's own arrow blocks ('_ClosedFilled', '_Oblique', …): the end of an exploded
    dimension line. Its lines are among the shapes, too; their innermost block reference is this one."""

    origin: Origin
    tip: Point
    way: Point | None
    """The direction that it points in, of any length; None for ticks, dots and boxes, which point nowhere."""
    size: Fraction


@dataclass(frozen=True, slots=True)
class Leader:
    """A LEADER or MULTILEADER: what it points at, in the coordinates of the linework, and the text at its tail."""

    origin: Origin
    tips: tuple[Point, ...]
    """One for each arrow."""
    text: str | None = None
    """Raw text: a multileader's own, or that of the annotation a leader is tied to; None where there is none."""
    note: str | None = None
    """Handle of the TEXT, MTEXT or TOLERANCE that a leader is tied to (group 340); None for a multileader."""
    at: Point | None = None
    """Where the text or the tail is, in the coordinates of the tips."""
    tail: Point | None = None
    """The last point of a leader, where its text should stand."""
    layout: str = "Model"
    """Where it stands itself."""
    shown_at: Point | None = None
    """The text's place in that layout."""
    through: str = ""


@dataclass(frozen=True, slots=True)
class Frame:
    """A TOLERANCE entity: a feature control frame as raw text ('{\\Fgdt;j}%%v{\\Fgdt;n}.010%%vA')."""

    origin: Origin
    text: str
    at: Point
    """Its insertion point: the middle of its left edge."""
    layout: str = "Model"
    shown_at: Point | None = None
    through: str = ""
    height: Fraction = Fraction(0)
    """Height of its letters, in the layout where it stands; 0 where the file gives none."""


class Kind(StrEnum):
    """Kinds of dimension (group 70 of a DIMENSION, masked)."""

    LINEAR = "linear"
    ALIGNED = "aligned"
    ANGULAR = "angular"
    """Between two lines."""
    ANGULAR_3P = "angular by three points"
    DIAMETER = "diameter"
    RADIUS = "radius"
    ORDINATE = "ordinate"
    ARC_LENGTH = "arc length"
    JOGGED_RADIUS = "foreshortened radius"


ANGLES = (Kind.ANGULAR, Kind.ANGULAR_3P)
"""Kinds whose number is an angle; DIMLFAC and DIMRND leave them alone."""


MEASURED_POINTS: dict[Kind, tuple[int, ...]] = {
    Kind.LINEAR: (13, 14),
    Kind.ALIGNED: (13, 14),
    Kind.ANGULAR: (10, 13, 14, 15),
    Kind.ANGULAR_3P: (13, 14, 15),
    Kind.DIAMETER: (10, 15),
    Kind.RADIUS: (10, 15),
    Kind.ORDINATE: (10, 13),
    Kind.ARC_LENGTH: (13, 14, 15),
    Kind.JOGGED_RADIUS: (10, 15),
}
"""The points that a kind measures between, by their groups; others only place its lines, or are left-over zeros."""


@dataclass(frozen=True, slots=True)
class Tie:
    """One tied point of a DIMASSOC object: which point, to what, by which object snap (group 72)."""

    index: int
    """0 for the first definition point, up to 3 (the bits of group 90)."""
    snap: int
    target: str
    """Handle of the geometry (331)."""
    target_alive: bool
    """Whether an entity with that handle is in the file."""


@dataclass(frozen=True, slots=True)
class Association:
    """The DIMASSOC object of one dimension."""

    handle: str
    ties: tuple[Tie, ...]
    trans_space: bool = False
    """The dimension stands in paper space, its geometry in model space."""


@dataclass(frozen=True, slots=True)
class Dimension:
    """A dimension entity; its points are in the coordinates of the space whose linework it measures.

    The points by their DXF groups: 10 (definition point), 13, 14, 15, 16, as present.
    """

    handle: str
    kind: Kind
    layer: str
    points: dict[int, Point]
    angle: Fraction = Fraction(0)
    """Degrees from the x axis to the measured direction (groups 50 and 51 merged)."""
    oblique: Fraction | None = None
    """Degrees from the dimension line to the extension lines (group 52, added to 50); None where they stand square."""
    along_x: bool = False
    """For ordinates: the x level is measured."""
    override: str | None = None
    """Group 1, raw; None where absent, empty or a bare '<>'."""
    stored: Fraction | None = None
    """Group 42, angles in radians; None where absent or without meaning (0, -1, negative)."""
    drawn_text: str | None = None
    """The text in the dimension's drawn block, raw; None where there is no block or no text in it."""
    style: DimStyle = field(default_factory=DimStyle)
    association: Association | None = None
    text_factor: Fraction = Fraction(1)
    """What the writing program shows = the span of the points times this."""
    true_factor: Fraction = Fraction(1)
    """The part's size = the measured geometry times this."""
    text_at: Point | None = None
    """Middle of the text, in the coordinates of the points."""
    shown_at: Point | None = None
    """Middle of the text in the layout or block where the dimension stands: where a person looks for it."""
    layout: str = "Model"
    """Where the dimension entity itself stands."""
    through: str = ""
    """How it reaches the geometry, where that is not plain: 'viewport 2A at 1:2', 'block DETAIL'."""
    unmeasurable: str = ""
    """Why it can't be measured at all (tilted plane, missing point); empty where it can."""
    pieces: tuple[str, ...] = ()
    """Handles of the lines and arrowheads that an exploded dimension was put together from; its own is its text's."""

    @property
    def exploded(self) -> bool:
        """Whether it is no entity, but lines, arrowheads and a text that a person reads as one."""
        return bool(self.pieces)

    @property
    def measured_points(self) -> dict[int, Point]:
        """The points that the number is taken between."""
        return {g: self.points[g] for g in MEASURED_POINTS[self.kind] if g in self.points}


@dataclass(frozen=True, slots=True)
class Pane:
    """A viewport that shows the model on a sheet of paper space."""

    handle: str
    low: Point
    high: Point
    """Corners of its frame on the paper."""
    scale: Fraction
    """Paper length over model length."""
    to_paper: tuple[Fraction, Fraction, Fraction, Fraction, Fraction, Fraction]
    """A model point (x, y) is seen at (a x + b y + c, d x + e y + f)."""
    name: str

    def place(self, point: Point) -> Point:
        """Where the model's point is on the paper."""
        a, b, c, d, e, f = self.to_paper
        x, y = point
        return a * x + b * y + c, d * x + e * y + f


@dataclass(frozen=True, slots=True)
class Space:
    """Linework and the dimensions that measure it: model space, a sheet of paper space, or a block's own definition."""

    name: str
    shapes: tuple[Shape, ...]
    notes: tuple[Note, ...]
    dimensions: tuple[Dimension, ...]
    handles: frozenset[str] = frozenset()
    """Handles of all entities in the space, measured or not."""
    leaders: tuple[Leader, ...] = ()
    frames: tuple[Frame, ...] = ()
    panes: tuple[Pane, ...] = ()
    """The viewports of a sheet that show the model straight on."""
    arrowheads: tuple[Arrowhead, ...] = ()


@dataclass(frozen=True, slots=True)
class Loss:
    """Something in the file that was repaired, not read, or left out, and why."""

    what: str
    why: str
    count: int = 1
    handles: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Drawing:
    """One file, read."""

    path: str
    sha256: str
    version: str
    """The format's name: 'R2010'."""
    unit: Unit | None
    unit_from: str
    """What said so: '$INSUNITS', 'inferred: …', 'set by the user', or why there is none."""
    can_associate: bool
    """Whether the file's version can carry association objects (DXF R2000, AC1015, and later)."""
    spaces: tuple[Space, ...]
    losses: tuple[Loss, ...] = ()
