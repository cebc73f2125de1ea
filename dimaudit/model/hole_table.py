"""Hole tables and ordinate tables, as read from a sheet and as tied to the drawn holes."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from fractions import Fraction

from dimaudit.model.drawing import Point
from dimaudit.model.stated import Sign, Stated
from dimaudit.model.units import Unit


class Column(StrEnum):
    """What a column of a hole table gives."""

    TAG = "tag"
    X = "X"
    Y = "Y"
    Z = "Z"
    SIZE = "size"
    QTY = "quantity"
    DEPTH = "depth"
    OTHER = "other"


@dataclass(frozen=True, slots=True)
class Cell:
    """One text of a table."""

    handle: str
    text: str
    at: Point
    stated: Stated | None = None
    """The number that it holds, in the drawing's unit unless it names its own; None where it holds none."""


@dataclass(frozen=True, slots=True)
class DrawnHole:
    """A hole as drawn, its centre and diameters in true size; the centre is counted from the table's origin."""

    centre: Point | None
    """None where the table has no origin."""
    diameters: tuple[Fraction, ...]
    at: Point
    """The centre in the coordinates of the drawing."""
    handles: tuple[str, ...]
    alike: int = 1
    """How many holes of these diameters its view shows."""


@dataclass(frozen=True, slots=True)
class TableRow:
    """One hole, or one kind of holes, with the drawn hole that it is tied to."""

    cells: Mapping[Column, Cell]
    hole: DrawnHole | None = None
    tagged: tuple[DrawnHole, ...] = ()
    """The holes that the row's tag is drawn beside."""
    guessed: bool = False
    """Tied as the one hole left over, by one coordinate, not by its tag or its place."""

    @property
    def tag(self) -> str:
        cell = self.cells.get(Column.TAG)
        return "" if cell is None else cell.text


@dataclass(frozen=True, slots=True)
class Loose:
    """A drawn hole that no row of the table names."""

    hole: DrawnHole
    tag: str
    """The tag drawn beside it; empty where the table says that it lists all holes."""
    handle: str = ""
    """The tag's own."""


@dataclass(frozen=True, slots=True)
class HoleTable:
    """A table, and what it is tied to."""

    handle: str
    """Of the first text of its header."""
    layout: str
    at: Point
    header: Mapping[Column, Cell]
    title: str
    rows: tuple[TableRow, ...]
    origin: Point | None = None
    """Where X and Y are counted from, in the coordinates of the drawing."""
    origin_text: str = ""
    """The origin in words: 'the lower left corner'."""
    view: str = ""
    loose: tuple[Loose, ...] = ()
    reason: str = ""
    """Why its places could not be judged; empty where they were."""
    remedy: str = ""
    """What to do about that."""

    @property
    def has_places(self) -> bool:
        """Whether it gives coordinates; else it gives sizes and quantities by tag."""
        return Column.X in self.header


@dataclass(frozen=True, slots=True)
class HoleTables:
    """All hole tables of a drawing."""

    tables: tuple[HoleTable, ...] = ()
    claimed: Mapping[str, str] = field(default_factory=dict)
    """Handles of texts that were understood, and what they are."""


NO_TABLES = HoleTables()

def diameter_of(cell: Cell, head: Cell) -> Stated | None:
    """The diameter of the hole itself in a cell of sizes; None where it gives a thread, or no diameter."""
    stated = cell.stated
    if stated is None or stated.limits is not None or stated.one_sided or stated.unit is Unit.DEGREE:
        return None
    if stated.call_out is not None:
        if stated.call_out.thread is not None:
            return None
        step = next(iter(stated.call_out.steps), None)
        if step is None or step.diameter is None or step.diameter.value != stated.value:
            return None
    if stated.sign is Sign.DIAMETER:
        return stated
    described = head.text.upper().startswith(("DESC", "CALL", "HOLE DESC"))
    return stated if stated.sign is None and not described else None
