"""A small drafting board on top of ezdxf: sheets, views, and dimensions with their drawn blocks.

Coordinates are exact fractions until they are written, so that a file holds short decimals only. The
dimension blocks are drawn here and not by the library: a print then looks the same on every machine
(no fonts are measured), may show fractions, and can be made to disagree with itself on purpose.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import TypeAlias, cast

from ezdxf._options import options
from ezdxf.document import Drawing
from ezdxf.entities.arc import Arc
from ezdxf.entities.circle import Circle
from ezdxf.entities.dimension import Dimension
from ezdxf.entities.dxfentity import DXFTagStorage
from ezdxf.entities.dxfgfx import DXFGraphic
from ezdxf.entities.dxfobj import DXFObject
from ezdxf.entities.leader import Leader
from ezdxf.entities.line import Line
from ezdxf.entities.lwpolyline import LWPolyline
from ezdxf.entities.mtext import MText
from ezdxf.entities.tolerance import Tolerance
from ezdxf.enums import TextEntityAlignment
from ezdxf.filemanagement import new
from ezdxf.layouts.base import BaseLayout
from ezdxf.lldxf.extendedtags import ExtendedTags
from ezdxf.render.arrows import ARROWS

Num: TypeAlias = str | int | Fraction
Spot: TypeAlias = tuple[Num, Num]
Exact: TypeAlias = tuple[Fraction, Fraction]
Flat: TypeAlias = tuple[float, float]

SHOP = "BOATYARD MACHINE SHOP"


def spot(at: Spot) -> Exact:
    """A point as exact fractions."""
    return Fraction(at[0]), Fraction(at[1])


def decimal(value: Fraction) -> str:
    """An exact value as a decimal where it ends, else as a fraction; `Fraction()` reads both back."""
    scaled = value * 10**9
    if scaled.denominator != 1:
        return str(value)
    whole, rest = divmod(abs(scaled.numerator), 10**9)
    tail = f"{rest:09d}".rstrip("0")
    return ("-" if value < 0 else "") + f"{whole}" + (f".{tail}" if tail else "")


def neat(x: float, y: float) -> Flat:
    """A point of a dimension's picture: six places are enough to look at."""
    return round(x, 6) + 0.0, round(y, 6) + 0.0


@dataclass(frozen=True, slots=True)
class Look:
    """Sizes and number format of one dimension style."""

    style: str
    height: float
    metric: bool = False
    places: int = 3
    fractions: bool = False
    lfac: Fraction = Fraction(1)

    @property
    def zeros(self) -> int:
        """DIMZIN: inch prints drop the leading zero, metric prints the trailing ones."""
        return 8 if self.metric else 4

    @property
    def gap(self) -> float:
        return self.height / (3 if self.metric else 2)

    @property
    def above(self) -> bool:
        """ISO 129-1: the text stands above the dimension line; else it stands level, in the line."""
        return self.metric


INCH = Look("SHOP-INCH", 0.125)
METRIC = Look("SHOP-METRIC", 3.0, metric=True, places=2)
FRACTIONAL = Look("SHOP-FRACTIONAL", 0.125, places=5, fractions=True)


def as_decimal(value: Fraction, places: int, zeros: int) -> str:
    """Value at some places, a tie going up, zeros suppressed as DIMZIN says."""
    units = math.floor(value * 10**places + Fraction(1, 2))
    whole, rest = divmod(units, 10**places)
    head = "" if zeros & 4 and whole == 0 and rest else str(whole)
    tail = f"{rest:0{places}d}" if places else ""
    if zeros & 8:
        tail = tail.rstrip("0")
    return head + (f".{tail}" if tail else "")


def as_fraction(value: Fraction) -> str:
    """Value as a whole number and a stacked fraction, in the formatting codes of a drawn text."""
    whole, rest = divmod(value, 1)
    stack = f"{{\\H0.7x;\\S{rest.numerator}/{rest.denominator};}}" if rest else ""
    return (str(whole) if whole or not rest else "") + stack


def width(text: str, height: float) -> float:
    """About how wide a text is drawn."""
    total = 0.0
    plain = text.replace("\\A1;", "").replace("%%c", "O").replace("%%d", "o").replace("%%p", "+")
    while "\\S" in plain:
        start = plain.index("{\\H")
        end = plain.index("}", start)
        stack = plain[plain.index("\\S", start) + 2 : end - 1]
        total += 0.62 * height * max(len(part) for part in stack.replace("^", "/").split("/"))
        plain = plain[:start] + plain[end + 1 :]
    if "\\P" in plain:
        return max(width(row, height) for row in plain.split("\\P"))
    return total + sum(height * (0.42 if sign in ".(),1I" else 0.86) for sign in plain)


@dataclass(frozen=True, slots=True)
class Tie:
    """What one definition point is snapped to."""

    target: str
    snap: int
    edge: int = 0
    along: float = 0.0


@dataclass(frozen=True, slots=True)
class How:
    """What sets one dimension apart from the plain ones."""

    text: str | None = None
    """Group 1, the typed text."""
    shown: str | None = None
    """The text in the drawn block, where it is not what the entity says."""
    stored: Fraction | None = None
    """Group 42, where it is not the true value; degrees for angles."""
    ties: tuple[Tie | None, ...] | None = None
    """Instead of the ties found at the points; None in it leaves that point untied."""
    associated: bool = True
    blank_snap: bool = False
    """Snap points written as 0,0,0, as many programs do."""
    places: int | None = None
    fraction: bool = False
    slide: Num = 0
    """How far the text stands from the middle of the dimension line, along it."""
    side: int = 0
    """1 or -1: text and arrows outside, beyond the far or the near end."""
    basic: bool = False
    """In a box: DIMGAP below zero."""
    alternate: int | None = None
    """Places of the size in the other unit, in brackets: DIMALT."""
    plus: str | None = None
    """Upper deviation by the style (DIMTOL); alone it counts both ways."""
    minus: str | None = None
    """Lower deviation by the style, as a positive number."""


PLAIN = How()


@dataclass(frozen=True, slots=True)
class Title:
    """What the title block says."""

    part: str
    number: str
    material: str
    scale: str = "1:1"
    drawn: str = "T.W."
    sheet: str = "1 OF 1"
    unit: str = ""
    """Where the block names another unit than the print has."""


@dataclass(slots=True)
class Seeded:
    """One seeded fault, for expected.json; `handle` may be one of a pair."""

    rule: str
    handle: str
    stated: str | None
    exact: str | None
    what: str
    others: tuple[str, ...] = ()


@dataclass(slots=True)
class Silent:
    """One near-fault that no rule may speak about."""

    rule: str
    handle: str
    why: str


@dataclass(slots=True)
class Print:
    """One drawing in the making."""

    name: str
    about: str
    doc: Drawing
    look: Look
    clean: bool = True
    associated: bool = True
    faults: list[Seeded] = field(default_factory=list)
    silent: list[Silent] = field(default_factory=list)
    summary: list[str] = field(default_factory=list)
    """Rules that speak once, about the whole drawing."""

    @property
    def units(self) -> str:
        return "mm" if self.look.metric else "in"

    def fault(
        self, rule: str, entity: DXFGraphic, what: str, stated: str | None, exact: Num | None, *others: DXFGraphic
    ) -> None:
        """Note a seeded fault."""
        handles = tuple(str(other.dxf.handle) for other in others)
        number = None if exact is None else decimal(Fraction(exact))
        self.faults.append(Seeded(rule, str(entity.dxf.handle), stated, number, what, handles))

    def quiet(self, rule: str, entity: DXFGraphic, why: str) -> None:
        """Note a near-fault."""
        self.silent.append(Silent(rule, str(entity.dxf.handle), why))


def new_print(name: str, about: str, look: Look, version: str = "R2010") -> Print:
    """A document with the shop's layers, linetypes and styles, and nothing drawn."""
    options.write_fixed_meta_data_for_testing = True  # no clock and no version in the files
    doc = new(version, setup=False)
    scale = 25.4 if look.metric else 1.0
    patterns = {
        "CENTER": ("Center ____ _ ____ _", [0.9, 0.625, -0.09, 0.095, -0.09]),
        "HIDDEN": ("Hidden __ __ __ __", [0.1875, 0.125, -0.0625]),
        "PHANTOM": ("Phantom ____ _ _ ____", [0.955, 0.5, -0.08, 0.107, -0.08, 0.108, -0.08]),
    }
    for kind, (description, pattern) in patterns.items():
        doc.linetypes.add(kind, [round(part * scale, 4) for part in pattern], description=description)
    for layer, color, linetype, weight in (
        ("OUTLINE", 7, "CONTINUOUS", 50),
        ("CENTER", 1, "CENTER", 25),
        ("HIDDEN", 3, "HIDDEN", 35),
        ("DIM", 4, "CONTINUOUS", 25),
        ("NOTES", 2, "CONTINUOUS", 25),
        ("BORDER", 8, "CONTINUOUS", 70),
    ):
        entry = doc.layers.add(layer, color=color, linetype=linetype)
        if version != "R12":
            entry.dxf.lineweight = weight
    if not doc.layers.has_entry("Defpoints"):
        doc.layers.add("Defpoints", color=7).dxf.plot = 0
    doc.styles.add("SHOP", font="txt.shx")
    h = look.height
    for style in (look.style, "Standard"):
        made = doc.dimstyles.get(style) if doc.dimstyles.has_entry(style) else doc.dimstyles.new(style)
        values: dict[str, object] = {
            "dimtxt": h,
            "dimasz": h,
            "dimexo": look.gap,
            "dimexe": round(h * (0.7 if look.metric else 1), 6),
            "dimgap": look.gap,
            "dimscale": 1.0,
            "dimlfac": float(look.lfac),
            "dimrnd": 0.0,
            "dimzin": 0 if look.fractions else look.zeros,
            "dimtad": 1 if look.above else 0,
            "dimtih": 0 if look.above else 1,
            "dimtoh": 0 if look.above else 1,
            "dimtol": 0,
            "dimlim": 0,
            "dimalt": 0,
            "dimaltf": 25.4,
            "dimpost": "",
            "dimcen": 0.0,
        }
        if version != "R12":
            values |= {
                "dimdec": look.places,
                "dimlunit": 5 if look.fractions else 2,
                "dimfrac": 0,
                "dimdsep": 46,
                "dimadec": 0,
                "dimazin": 2,
                "dimaunit": 0,
                "dimtdec": look.places,
                "dimtxsty": "SHOP",
            }
        made.update_dxf_attribs(values)
    doc.dimstyles.get(look.style).copy_to_header(doc)
    header = doc.header
    header["$MEASUREMENT"] = 1 if look.metric else 0
    header["$LUNITS"] = 5 if look.fractions else 2
    header["$LUPREC"] = look.places
    header["$LTSCALE"] = 0.5
    header["$DIMSTYLE"] = look.style
    if version != "R12":
        header["$INSUNITS"] = 4 if look.metric else 1
        header["$LASTSAVEDBY"] = "T.W."
    return Print(name, about, doc, look)


def write(pr: Print, to: str) -> None:
    """Save the print so that every run gives the same bytes."""
    if pr.doc.dxfversion >= "AC1015":
        pr.doc.header["$DIMASSOC"] = 2 if pr.associated else 1
        # the library adds these in the order of a set, which changes from run to run
        for kind in sorted(pr.doc.entitydb.dxf_types_in_use()):
            pr.doc.classes.add_class(kind)
    pr.doc.saveas(to)


def note(
    space: BaseLayout, at: Spot, text: str, height: float, middle: bool = False, layer: str = "NOTES"
) -> DXFGraphic:
    """One line of text."""
    made = space.add_text(text, height=height, dxfattribs={"layer": layer, "style": "SHOP"})
    x, y = (float(value) for value in spot(at))
    place = TextEntityAlignment.MIDDLE_CENTER if middle else TextEntityAlignment.LEFT
    made.set_placement((x, y), align=place)
    return made


def sheet(
    pr: Print, size: Spot, title: Title, notes: Sequence[str], space: BaseLayout | None = None
) -> dict[str, DXFGraphic]:
    """Border, title block and notes; gives back each text by its words."""
    on_paper = space is not None
    space = space if space is not None else pr.doc.modelspace()
    unit = Fraction(25) if pr.look.metric else Fraction(1)
    w, h = spot(size)
    wide, high = float(w), float(h)
    if not on_paper:
        pr.doc.set_modelspace_vport(round(high * 1.05, 3), (wide / 2, high / 2))
        pr.doc.modelspace().reset_extents((0.0, 0.0, 0.0), (wide, high, 0.0))
        pr.doc.header["$EXTMIN"], pr.doc.header["$EXTMAX"] = (0.0, 0.0, 0.0), (wide, high, 0.0)
        pr.doc.modelspace().reset_limits((0.0, 0.0), (wide, high))
    margin = unit * Fraction(2, 5)
    small = w < 12 * unit
    bw, bh = (unit * 6, unit * Fraction(8, 5)) if small else (unit * 7, unit * 2)
    row = bh / 5
    text = unit * (Fraction("0.09") if small else Fraction("0.11"))

    def rule(a: Spot, b: Spot) -> None:
        ax, ay = spot(a)
        bx, by = spot(b)
        space.add_line((float(ax), float(ay)), (float(bx), float(by)), dxfattribs={"layer": "BORDER"})

    for inset in (Fraction(0), margin):
        corners = [(inset, inset), (w - inset, inset), (w - inset, h - inset), (inset, h - inset)]
        for a, b in zip(corners, [*corners[1:], corners[0]], strict=True):
            rule(a, b)
    left, low, right = w - margin - bw, margin, w - margin
    rule((left, low), (left, low + bh))
    rule((left, low + bh), (right, low + bh))
    for n in range(1, 5):
        rule((left, low + n * row), (right, low + n * row))
    split = left + bw * Fraction(1, 2)
    rule((split, low), (split, low + row * 4))
    metric = pr.look.metric
    if metric:
        rules = ("TOLERANCES UNLESS NOTED: ISO 2768-m", "ANGLES %%p0.5%%d")
    elif pr.look.fractions:
        rules = ("TOLERANCES UNLESS NOTED:", "FRACTIONS %%p1/64   ANGLES %%p0.5%%d")
    else:
        rules = ("TOLERANCES UNLESS NOTED: .XX %%p.01", ".XXX %%p.005   .XXXX %%p.0005   ANGLES %%p0.5%%d")
    cells: list[tuple[Fraction, int, str]] = [
        (left, 4, f"{SHOP}     {title.part}"),
        (left, 3, f"DRAWING NO. {title.number}"),
        (split, 3, f"SCALE {title.scale}     SHEET {title.sheet}"),
        (left, 2, f"MATERIAL: {title.material}"),
        (split, 2, f"DIMENSIONS IN {title.unit or ('MILLIMETRES' if metric else 'INCHES')}"),
        (left, 1, rules[0]),
        (split, 1, f"DRAWN {title.drawn}     CHECKED ____"),
        (left, 0, rules[1]),
        (split, 0, "VERIFY BEFORE CUTTING"),
    ]
    made: dict[str, DXFGraphic] = {}
    for x, n, words in cells:
        size_ = text * Fraction(13, 10) if n == 4 else text
        while width(words, float(size_)) * 0.82 > float((bw if n == 4 else bw / 2) - text):
            size_ *= Fraction(19, 20)
        at = (x + text * Fraction(3, 4), low + n * row + (row - size_) / 2)
        made[words] = note(space, at, words, round(float(size_), 4))
    for n, line in enumerate(notes):
        at = (margin + 2 * text, margin + 2 * text + (len(notes) - 1 - n) * text * 2)
        made[line] = note(space, at, line, float(text))
    return made


class View:
    """One view: part coordinates in, geometry and dimensions out.

    Geometry goes to `space` at `at` and `scale`. Dimensions go beside it, or to another space at
    `dim_at` and `dim_scale` (a sheet of paper that shows the model through a viewport).
    """

    def __init__(
        self,
        pr: Print,
        at: Spot,
        scale: Num = 1,
        sheet_space: BaseLayout | None = None,
        dim_at: Spot | None = None,
        dim_scale: Num | None = None,
    ) -> None:
        self.pr = pr
        self.space: BaseLayout = pr.doc.modelspace()
        self.at = spot(at)
        self.scale = Fraction(scale)
        self.paper: BaseLayout = sheet_space if sheet_space is not None else self.space
        self.through = sheet_space is not None
        self.dim_at = spot(dim_at) if dim_at is not None else self.at
        self.dim_scale = Fraction(dim_scale) if dim_scale is not None else self.scale
        self.ties: dict[Exact, Tie] = {}

    # --- geometry -------------------------------------------------------------------------------

    def put(self, p: Spot) -> Flat:
        """Where a point of the part stands in the space of the geometry."""
        x, y = spot(p)
        return float(self.at[0] + x * self.scale), float(self.at[1] + y * self.scale)

    def onto(self, p: Spot) -> Exact:
        """Where a point of the part stands in the space of the dimensions."""
        x, y = spot(p)
        return self.dim_at[0] + x * self.dim_scale, self.dim_at[1] + y * self.dim_scale

    def _tie(self, at: Exact, tie: Tie) -> None:
        self.ties.setdefault(at, tie)

    def line(self, a: Spot, b: Spot, layer: str = "OUTLINE") -> Line:
        made = self.space.add_line(self.put(a), self.put(b), dxfattribs={"layer": layer})
        handle = str(made.dxf.handle)
        self._tie(spot(a), Tie(handle, 13))
        self._tie(spot(b), Tie(handle, 1, along=1.0))
        return made

    def path(self, *points: Spot, close: bool = True, layer: str = "OUTLINE") -> list[Line]:
        ends = [*points[1:], points[0]] if close else list(points[1:])
        starts = points if close else points[:-1]
        return [self.line(a, b, layer) for a, b in zip(starts, ends, strict=True)]

    def circle(self, centre: Spot, diameter: Num, layer: str = "OUTLINE") -> Circle:
        radius = Fraction(diameter) / 2 * self.scale
        made = self.space.add_circle(self.put(centre), float(radius), dxfattribs={"layer": layer})
        self._tie(spot(centre), Tie(str(made.dxf.handle), 3))
        return made

    def arc(self, centre: Spot, radius: Num, start: int, end: int, layer: str = "OUTLINE") -> Arc:
        scaled = Fraction(radius) * self.scale
        made = self.space.add_arc(self.put(centre), float(scaled), start, end, dxfattribs={"layer": layer})
        handle = str(made.dxf.handle)
        self._tie(spot(centre), Tie(handle, 3))
        return made

    def poly(self, *points: tuple[Num, Num, int], layer: str = "OUTLINE") -> LWPolyline:
        """A closed polyline; the third number of a point is the bulge of the edge after it (0 or 1)."""
        rows = [(*self.put((x, y)), bulge) for x, y, bulge in points]
        made = self.space.add_lwpolyline(rows, format="xyb", close=True, dxfattribs={"layer": layer})
        handle = str(made.dxf.handle)
        for n, (x, y, bulge) in enumerate(points):
            self._tie(spot((x, y)), Tie(handle, 13, edge=n + 1))
            if bulge:
                bx, by = spot(points[(n + 1) % len(points)][:2])
                middle = ((Fraction(x) + bx) / 2, (Fraction(y) + by) / 2)
                self._tie(middle, Tie(handle, 3, edge=n + 1))
        return made

    def cross(self, centre: Spot, reach: Num, across: bool = True, up: bool = True) -> None:
        """Centre mark: two centrelines through a point."""
        x, y = spot(centre)
        r = Fraction(reach)
        if across:
            self.line((x - r, y), (x + r, y), "CENTER")
        if up:
            self.line((x, y - r), (x, y + r), "CENTER")

    def label(self, at: Spot, text: str, big: bool = False) -> DXFGraphic:
        """Words in or under the view, in its own coordinates."""
        height = self.pr.look.height * (1.25 if big else 1.0)
        return note(self.paper, self.onto(at), text, height, middle=True)

    # --- dimensions -----------------------------------------------------------------------------

    def across(self, a: Spot, b: Spot, y: Num, how: How = PLAIN) -> Dimension:
        """Horizontal dimension with its line at height y."""
        return self._linear(a, b, (0, y), (Fraction(1), Fraction(0)), how, 0)

    def upright(self, a: Spot, b: Spot, x: Num, how: How = PLAIN) -> Dimension:
        """Vertical dimension with its line at x."""
        return self._linear(a, b, (x, 0), (Fraction(0), Fraction(1)), how, 90)

    def _value(self, value: Fraction, sign: str, how: How) -> str:
        look = self.pr.look
        if how.fraction or (look.fractions and how.places is None):
            number = as_fraction(value)
        else:
            number = as_decimal(value, look.places if how.places is None else how.places, look.zeros)
        if how.plus is not None:
            number += f"{{\\H0.7x;\\S+{how.plus}^ -{how.minus};}}" if how.minus is not None else f"%%p{how.plus}"
        if how.alternate is not None:
            other = value / Fraction("25.4") if look.metric else value * Fraction("25.4")
            number += f" [{as_decimal(other, how.alternate, 0)}]"
        return self._template(sign + number, how)

    @staticmethod
    def _template(main: str, how: How) -> str:
        if how.shown is not None:
            return how.shown
        text = how.text.replace("<>", main) if how.text else main
        return "\\A1;" + text if "\\S" in text else text

    def _entity(self, kind: int, points: dict[str, Exact], middle: Flat, how: How, moved: bool) -> Dimension:
        values: dict[str, object] = {
            "layer": "DIM",
            "dimstyle": self.pr.look.style,
            "dimtype": kind | 32 | (128 if moved else 0),
            "text_midpoint": (*middle, 0.0),
        }
        values |= {key: (float(p[0]), float(p[1]), 0.0) for key, p in points.items()}
        if self.pr.doc.dxfversion > "AC1009":
            values["attachment_point"] = 5
        if how.text is not None:
            values["text"] = how.text
        made = self.paper.new_entity("DIMENSION", values)
        assert isinstance(made, Dimension)
        block = self.pr.doc.blocks.new_anonymous_block(type_char="D")
        made.dxf.geometry = block.name
        overrides: dict[str, object] = {}
        factor = 1 / self.dim_scale
        if factor != self.pr.look.lfac:
            overrides["dimlfac"] = float(factor)
        if how.fraction:
            overrides |= {"dimlunit": 5, "dimdec": 4}
        elif how.places is not None:
            overrides["dimdec"] = how.places
        if how.basic:
            overrides["dimgap"] = -round(self.pr.look.gap, 6)
        if how.plus is not None:
            low = how.plus if how.minus is None else how.minus
            places = max(len(part.partition(".")[2]) for part in (how.plus, low))
            overrides |= {"dimtol": 1, "dimtp": float(how.plus), "dimtm": float(low), "dimtdec": places}
            overrides |= {"dimtzin": self.pr.look.zeros, "dimtfac": 1.0 if how.minus is None else 0.7}
        if how.alternate is not None:
            ratio = 1 / 25.4 if self.pr.look.metric else 25.4
            overrides |= {"dimalt": 1, "dimaltf": ratio, "dimaltz": 0}
            overrides |= {"dimaltd": how.alternate, "dimalttd": how.alternate}
        if overrides:
            made.set_acad_dstyle(overrides)
        return made

    def _picture(self, dim: Dimension) -> BaseLayout:
        block = dim.get_geometry_block()
        assert block is not None
        return block

    def _stroke(self, block: BaseLayout, a: Flat, b: Flat) -> None:
        block.add_line(neat(*a), neat(*b), dxfattribs={"layer": "DIM"})

    def _arrow(self, block: BaseLayout, tip: Flat, toward: Flat) -> None:
        """An arrowhead with its tip at a point; `toward` is the direction it points in."""
        size = self.pr.look.height
        (x, y), (ux, uy) = tip, toward
        bx, by = x - ux * size, y - uy * size
        half = size / 6
        corners = [neat(x, y), neat(bx - uy * half, by + ux * half), neat(bx + uy * half, by - ux * half)]
        block.add_solid([*corners, corners[-1]], dxfattribs={"layer": "DIM"})

    def _words(self, block: BaseLayout, at: Flat, text: str, turn: float = 0.0, boxed: bool = False) -> None:
        height = self.pr.look.height
        if boxed:
            w, h = width(text, height) / 2 + self.pr.look.gap, height / 2 + self.pr.look.gap
            w, h = (h, w) if turn else (w, h)
            corners = [(at[0] + i * w, at[1] + j * h) for i, j in ((-1, -1), (1, -1), (1, 1), (-1, 1))]
            for a, b in zip(corners, [*corners[1:], corners[0]], strict=True):
                self._stroke(block, a, b)
        if self.pr.doc.dxfversion > "AC1009":
            made = block.add_mtext(
                text,
                dxfattribs={"layer": "DIM", "style": "SHOP", "char_height": height, "attachment_point": 5},
            )
            made.dxf.insert = (*neat(*at), 0.0)
            if turn:
                made.dxf.rotation = turn
        else:
            plain = block.add_text(text, height=height, dxfattribs={"layer": "DIM", "style": "SHOP"})
            plain.set_placement(neat(*at), align=TextEntityAlignment.MIDDLE_CENTER)

    def _marks(self, block: BaseLayout, *points: Exact) -> None:
        for x, y in points:
            block.add_point((float(x), float(y)), dxfattribs={"layer": "Defpoints"})

    def _linear(self, a: Spot, b: Spot, at: Spot, unit: tuple[Fraction, Fraction], how: How, angle: int) -> Dimension:
        look = self.pr.look
        ux, uy = unit
        first, second, level = self.onto(a), self.onto(b), self.onto(at)
        value = abs((spot(b)[0] - spot(a)[0]) * ux + (spot(b)[1] - spot(a)[1]) * uy)
        text = self._value(value, "", how)

        def foot(p: Exact) -> Exact:
            return (p[0], level[1]) if angle == 0 else (level[0], p[1])

        ends = sorted((foot(first), foot(second)))
        (x0, y0), (x1, y1) = ((float(x), float(y)) for x, y in ends)
        fx, fy = float(ux), float(uy)
        span = math.hypot(x1 - x0, y1 - y0)
        wide, h, gap = width(text, look.height), look.height, look.gap
        half = wide / 2 if look.above else wide / 2 * fx + h / 2 * fy
        room = span - 2 * half - 2 * gap
        arrows_out = how.side != 0 or room < (0 if look.above else 2 * h)
        side = how.side or (1 if room < 0 else 0)
        middle = span / 2 + float(Fraction(how.slide) * self.dim_scale)
        if side:
            middle = (span if side > 0 else 0.0) + side * (2 * h + gap + half)
        mx, my = x0 + fx * middle, y0 + fy * middle
        if look.above:
            lift = h / 2 + (2 * gap if how.basic else gap)
            mx, my = mx - fy * lift, my + fx * lift
        points = {"defpoint": foot(second), "defpoint2": first, "defpoint3": second}
        dim = self._entity(0, points, neat(mx, my), how, moved=bool(side or how.slide))
        dim.dxf.angle = angle
        block = self._picture(dim)
        for p in (first, second):
            px, py = float(p[0]), float(p[1])
            qx, qy = (float(v) for v in foot(p))
            reach = math.hypot(qx - px, qy - py)
            if reach > 2 * gap:
                dx, dy = (qx - px) / reach, (qy - py) / reach
                over = h * (0.7 if look.metric else 1)
                self._stroke(block, (px + dx * gap, py + dy * gap), (qx + dx * over, qy + dy * over))

        def on(t: float) -> Flat:
            return x0 + fx * t, y0 + fy * t

        if arrows_out:
            self._arrow(block, on(0), (fx, fy))
            self._arrow(block, on(span), (-fx, -fy))
            tail_low, tail_high = -2 * h, span + 2 * h
            if look.above and side > 0:
                tail_high = middle + half
            if look.above and side < 0:
                tail_low = middle - half
            self._stroke(block, on(tail_low), on(0))
            self._stroke(block, on(span), on(tail_high))
            if look.above:
                self._stroke(block, on(0), on(span))
        else:
            self._arrow(block, on(0), (-fx, -fy))
            self._arrow(block, on(span), (fx, fy))
            if look.above:
                self._stroke(block, on(0), on(span))
            else:
                self._stroke(block, on(0), on(middle - half - gap))
                self._stroke(block, on(middle + half + gap), on(span))
        self._words(block, (mx, my), text, 90.0 if look.above and angle == 90 else 0.0, how.basic)
        self._marks(block, first, second, foot(second))
        self._finish(dim, how, value, [(0, a), (1, b)])
        return dim

    def round_(
        self, shape: Circle | Arc | LWPolyline, at: Spot, radius: Num, toward: Spot, length: Num,
        how: How = PLAIN, diameter: bool = False, inside: bool = False, edge: int = 0,
    ) -> Dimension:  # fmt: skip
        """Radius or diameter with a leader; `toward` is an exact unit vector from the centre to the arrow."""
        look = self.pr.look
        cx, cy = spot(at)
        r = Fraction(radius)
        ux, uy = spot(toward)
        assert ux * ux + uy * uy == 1
        near = self.onto((cx + ux * r, cy + uy * r))
        far = self.onto((cx - ux * r, cy - uy * r))
        centre = self.onto(at)
        value = 2 * r if diameter else r
        text = self._value(value, "%%c" if diameter else "R", how)
        turn = -1 if inside else 1
        out = float(Fraction(length) * self.dim_scale)
        tip = float(near[0]), float(near[1])
        fx, fy = float(ux) * turn, float(uy) * turn
        elbow = tip[0] + fx * out, tip[1] + fy * out
        hand = 1 if fx >= 0 else -1
        shoulder = elbow[0] + hand * look.height * 1.5, elbow[1]
        wide = width(text, look.height)
        middle = neat(shoulder[0] + hand * (look.gap + wide / 2), shoulder[1])
        points = {"defpoint": far if diameter else centre, "defpoint4": near}
        dim = self._entity(3 if diameter else 4, points, middle, how, moved=True)
        dim.dxf.leader_length = round(out, 6)
        block = self._picture(dim)
        self._arrow(block, tip, (-fx, -fy))
        self._stroke(block, tip, elbow)
        self._stroke(block, elbow, shoulder)
        self._words(block, middle, text, boxed=how.basic)
        self._marks(block, near, points["defpoint"])
        tie = Tie(str(shape.dxf.handle), 3, edge=edge)
        self._finish(dim, how, value, [(1, at)], ties=(tie,))
        return dim

    def angle(
        self, lines: tuple[tuple[Spot, Spot], tuple[Spot, Spot]] | None, vertex: Spot,
        rays: tuple[Spot, Spot], radius: Num, degrees: int, start: float, how: How = PLAIN,
        slide: float = 0.0,
    ) -> Dimension:  # fmt: skip
        """Angle between two lines, or by three points where there are none.

        `start` is the direction of the first ray in degrees; the arc runs counter-clockwise from it.
        """
        look = self.pr.look
        vx, vy = (float(v) for v in self.onto(vertex))
        r = float(Fraction(radius) * self.dim_scale)

        def on(turn: float, reach: float = r) -> Flat:
            return vx + reach * math.cos(math.radians(turn)), vy + reach * math.sin(math.radians(turn))

        text = self._template(f"{degrees}%%d", how)
        half = start + degrees / 2 + slide
        wide = width(text, look.height)
        middle = neat(*on(half))
        mark = on(start + degrees / 4)
        arc_point = (Fraction(repr(round(mark[0], 6))), Fraction(repr(round(mark[1], 6))))
        if lines:
            (a, b), (c, d) = lines
            points = {
                "defpoint2": self.onto(a),
                "defpoint3": self.onto(b),
                "defpoint4": self.onto(c),
                "defpoint": self.onto(d),
                "defpoint5": arc_point,
            }
            tied = [(0, a), (1, b), (2, c), (3, d)]
        else:
            points = {
                "defpoint2": self.onto(rays[0]),
                "defpoint3": self.onto(rays[1]),
                "defpoint4": self.onto(vertex),
                "defpoint": arc_point,
            }
            tied = [(0, rays[0]), (1, rays[1]), (2, vertex)]
        dim = self._entity(2 if lines else 5, points, middle, how, moved=bool(slide))
        block = self._picture(dim)
        hole = math.degrees((wide / 2 + look.gap) / r)
        lean = math.degrees(look.height / 2 / r)

        def sweep(low: float, high: float) -> None:
            if high > low:
                block.add_arc(
                    neat(vx, vy), r, round(low, 6), round(high, 6), dxfattribs={"layer": "DIM"}
                )  # fmt: skip

        sweep(start, half - hole)
        sweep(half + hole, start + degrees)
        for turn, way in ((start, 1), (start + degrees, -1)):
            back = math.radians(turn + way * lean)
            self._arrow(block, on(turn), (way * math.sin(back), -way * math.cos(back)))
        for turn, ray in zip((start, start + degrees), rays, strict=True):
            px, py = (float(v) for v in self.onto(ray))
            reach = math.hypot(px - vx, py - vy)
            if reach + look.gap < r:
                self._stroke(block, on(turn, reach + look.gap), on(turn, r + look.height))
        self._words(block, middle, text)
        self._finish(dim, how, Fraction(degrees), tied, angular=True)
        return dim

    # --- notes with leaders, frames, tables --------------------------------------------------------

    def call_out(self, tip: Spot, elbow: Spot, text: str) -> MText:
        """A note of some lines with a leader; the shoulder runs to the side where the elbow is."""
        look = self.pr.look
        x0, x1 = spot(tip)[0], spot(elbow)[0]
        hand = 1 if x1 >= x0 else -1
        a, b = self.onto(tip), self.onto(elbow)
        shoulder = b[0] + hand * Fraction(str(round(look.height * 1.5, 4))), b[1]
        note_ = self.paper.add_mtext(
            text,
            dxfattribs={
                "layer": "DIM", "style": "SHOP", "char_height": look.height,
                "attachment_point": 4 if hand > 0 else 6, "line_spacing_factor": 1.0,
            },
        )  # fmt: skip
        rows = text.count("\\P")
        low = hand * look.height * 5 / 6 * rows  # the leader meets the first line on the left, or the last on the right
        end = float(shoulder[0]) + hand * look.gap * 2, float(shoulder[1]) - low
        note_.dxf.insert = (*neat(*end), 0.0)
        self._leader([a, b, shoulder], note_)
        return note_

    def _leader(self, points: Sequence[Exact], to: DXFGraphic, arrow: str = "") -> Leader:
        made = self.paper.add_leader(
            [(float(x), float(y)) for x, y in points], dimstyle=self.pr.look.style, dxfattribs={"layer": "DIM"}
        )
        made.dxf.annotation_handle = to.dxf.handle
        made.dxf.annotation_type = 1 if to.dxftype() == "TOLERANCE" else 0
        if arrow:
            blocks = self.pr.doc.blocks
            name = ARROWS.create_block(blocks, arrow)
            made.set_acad_dstyle({"dimldrblk_handle": blocks.get(name).block_record_handle})
        return made

    def frame(self, at: Spot, *cells: str) -> Tolerance:
        """A feature control frame; `at` is the middle of its left side."""
        x, y = self.onto(at)
        made = self.paper.new_entity(
            "TOLERANCE",
            {
                "layer": "DIM", "dimstyle": self.pr.look.style, "insert": (float(x), float(y), 0.0),
                "content": "%%v".join(cells),
            },
        )  # fmt: skip
        assert isinstance(made, Tolerance)
        return made

    def frame_at(self, tip: Spot, elbow: Spot, *cells: str) -> Tolerance:
        """A feature control frame with a leader of its own."""
        look = self.pr.look
        hand = 1 if spot(elbow)[0] >= spot(tip)[0] else -1
        assert hand > 0, "the frame stands to the right of its leader"
        shoulder = spot(elbow)[0] + Fraction(str(look.height * 1.5)) / self.dim_scale, spot(elbow)[1]
        made = self.frame(shoulder, *cells)
        self._leader([self.onto(tip), self.onto(elbow), self.onto(shoulder)], made)
        return made

    def datum(self, letter: str, foot: Spot, reach: Spot) -> Tolerance:
        """A datum feature symbol: a filled triangle on the feature, and the letter in a frame."""
        (fx, fy), (x, y) = spot(foot), spot(reach)
        h = Fraction(str(self.pr.look.height)) / self.dim_scale
        made = self.frame((x, y) if fx < x else (x - h, y + (h if fy < y else -h)), letter)
        self._leader([self.onto(foot), self.onto(reach)], made, ARROWS.datum_triangle_filled)
        return made

    def table(
        self, at: Spot, widths: Sequence[Num], rows: Sequence[Sequence[str]], title: str
    ) -> list[list[DXFGraphic]]:
        """A table of single texts with ruled lines; `at` is the left upper corner. The heading's row comes first."""
        look = self.pr.look
        left, top = self.onto(at)
        h = Fraction(str(look.height))
        row, wide = 2 * h, [Fraction(w) for w in widths]
        edges = [left + sum(wide[:n], Fraction(0)) for n in range(len(wide) + 1)]
        note(self.paper, (left, top + h * Fraction(2, 3)), title, look.height)
        low = top - row * len(rows)
        for n in range(len(rows) + 1):
            y = float(top - n * row)
            self.paper.add_line((float(left), y), (float(edges[-1]), y), dxfattribs={"layer": "NOTES"})
        for x in edges:
            self.paper.add_line((float(x), float(low)), (float(x), float(top)), dxfattribs={"layer": "NOTES"})
        return [
            [
                note(self.paper, (edges[k] + h * Fraction(2, 3), top - n * row - h * Fraction(3, 2)), cell, look.height)
                for k, cell in enumerate(cells)
            ]
            for n, cells in enumerate(rows)
        ]

    def explode(self, dim: Dimension) -> DXFGraphic:
        """Leave the lines, arrowheads and the text of a dimension, and no dimension; gives back the text."""
        block = self._picture(dim)
        words: DXFGraphic | None = None
        for entity in block:
            if entity.dxftype() != "POINT":
                copied = entity.copy()
                self.paper.add_entity(copied)
                words = copied if copied.dxftype() == "MTEXT" else words
        name = dim.dxf.geometry
        self.paper.delete_entity(dim)
        self.pr.doc.blocks.delete_block(name, safe=False)
        assert words is not None
        return words

    # --- association ----------------------------------------------------------------------------

    def _finish(
        self, dim: Dimension, how: How, value: Fraction, tied: list[tuple[int, Spot]],
        ties: tuple[Tie | None, ...] | None = None, angular: bool = False,
    ) -> None:  # fmt: skip
        stored = value if how.stored is None else how.stored
        if self.pr.doc.dxfversion > "AC1009":
            dim.dxf.actual_measurement = math.radians(stored) if angular else float(stored)
        if not self.pr.associated or not how.associated:
            return
        chosen = how.ties or ties or tuple(self.ties[spot(at)] for _, at in tied)
        refs: list[tuple[int, Tie, Flat]] = []
        for (index, at), tie in zip(tied, chosen, strict=True):
            if tie is not None:
                refs.append((index, tie, (0.0, 0.0) if how.blank_snap else self.put(at)))
        self._associate(dim, refs)

    def _associate(self, dim: Dimension, refs: list[tuple[int, Tie, Flat]]) -> None:
        """Write the DIMASSOC object: tags as the DXF reference lists them, and reactors on the geometry."""
        doc = self.pr.doc
        owner = dim.new_extension_dict().dictionary
        owner.dxf.hard_owned = 1
        owner._value_code = 360  # the library writes 350 for every extension dictionary
        handle = doc.entitydb.next_handle()
        tags: list[tuple[int, object]] = [
            (0, "DIMASSOC"), (5, handle), (102, "{ACAD_REACTORS"), (330, owner.dxf.handle), (102, "}"),
            (330, owner.dxf.handle), (100, "AcDbDimAssoc"), (330, dim.dxf.handle),
            (90, sum(1 << index for index, _, _ in refs)), (70, int(self.through)), (71, 0),
        ]  # fmt: skip
        for _, tie, (x, y) in refs:
            tags += [
                (1, "AcDbOsnapPointRef"), (72, tie.snap), (331, tie.target), (73, 2), (91, tie.edge),
                (40, tie.along), (10, x), (20, y), (30, 0.0), (75, 0),
            ]  # fmt: skip
        made = DXFTagStorage.load(ExtendedTags.from_text("".join(f"{code}\n{value}\n" for code, value in tags)), doc)
        doc.entitydb.add(made)
        kept = cast(DXFObject, made)  # raw tags take an object's place
        doc.objects.add_object(kept)
        owner.add("ACAD_DIMASSOC", kept)
        for _, tie, _ in refs:
            target = doc.entitydb.get(tie.target)
            if target is not None:
                target.append_reactor_handle(handle)
