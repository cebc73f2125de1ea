"""Small drawings for tests: entities written with their raw DXF groups, without rendering, and read back."""

from collections.abc import Mapping
from fractions import Fraction
from itertools import pairwise
from pathlib import Path
from typing import Any

import ezdxf
from ezdxf.entities import DXFEntity
from ezdxf.layouts import BaseLayout

from dimaudit.model.audit import DrawingAudit, Judgement
from dimaudit.model.drawing import Drawing, Kind, Space
from dimaudit.model.settings import Settings
from dimaudit.model.units import Unit
from dimaudit.model.view import Geometry
from dimaudit.pipeline import audit_file
from dimaudit.read import read_drawing
from dimaudit.rebuild import rebuild

Number = Fraction | int | float | str
At = tuple[Number, Number]

INSUNITS = {Unit.INCH: 1, Unit.FOOT: 2, Unit.MILLIMETRE: 4, Unit.CENTIMETRE: 5, Unit.METRE: 6}
TYPES = {
    Kind.LINEAR: 0, Kind.ALIGNED: 1, Kind.ANGULAR: 2, Kind.DIAMETER: 3, Kind.RADIUS: 4, Kind.ANGULAR_3P: 5,
    Kind.ORDINATE: 6, Kind.ARC_LENGTH: 8, Kind.JOGGED_RADIUS: 4,
}  # fmt: skip
NEEDED: dict[Kind, tuple[int, ...]] = {
    Kind.LINEAR: (13, 14), Kind.ALIGNED: (13, 14), Kind.ANGULAR: (10, 13, 14, 15), Kind.ANGULAR_3P: (13, 14, 15),
    Kind.DIAMETER: (10, 15), Kind.RADIUS: (10, 15), Kind.ORDINATE: (10, 13), Kind.ARC_LENGTH: (13, 14, 15),
    Kind.JOGGED_RADIUS: (10, 15),
}  # fmt: skip
"""The groups of the points that define each kind's number (DXF reference, DIMENSION)."""
NAMES = {10: "defpoint", 13: "defpoint2", 14: "defpoint3", 15: "defpoint4", 16: "defpoint5"}


def num(value: Number) -> float:
    """The double that a writer puts into the file."""
    return float(Fraction(value)) if isinstance(value, str) else float(value)


def xy(at: At) -> tuple[float, float, float]:
    return num(at[0]), num(at[1]), 0.0


class Sketch:
    """A drawing in the making; `into` is the layout or block that the next entities go to."""

    def __init__(self, unit: Unit | None = Unit.INCH, version: str = "R2010") -> None:
        self.doc = ezdxf.new(version)
        if version != "R12":
            self.doc.header["$INSUNITS"] = INSUNITS.get(unit, 0)
        self.into: BaseLayout = self.doc.modelspace()

    def block(self, name: str, base: At = (0, 0)) -> BaseLayout:
        made = self.doc.blocks.new(name, base_point=xy(base))
        self.into = made
        return made

    def model(self) -> BaseLayout:
        self.into = self.doc.modelspace()
        return self.into

    def insert(self, name: str, at: At = (0, 0), **attribs: Any) -> DXFEntity:
        return self.into.add_blockref(name, xy(at), dxfattribs=attribs)

    # --- linework -------------------------------------------------------------------------------

    def line(self, a: At, b: At, **attribs: Any) -> DXFEntity:
        return self.into.add_line(xy(a), xy(b), dxfattribs=attribs)

    def chain(self, *points: At, **attribs: Any) -> list[DXFEntity]:
        return [self.line(a, b, **attribs) for a, b in pairwise(points)]

    def rect(self, x: Number, y: Number, w: Number, h: Number, **attribs: Any) -> list[DXFEntity]:
        x, y, w, h = (Fraction(v) for v in (x, y, w, h))
        return self.chain((x, y), (x + w, y), (x + w, y + h), (x, y + h), (x, y), **attribs)

    def circle(self, centre: At, radius: Number, **attribs: Any) -> DXFEntity:
        return self.into.add_circle(xy(centre), num(radius), dxfattribs=attribs)

    def arc(self, centre: At, radius: Number, start: Number, end: Number, **attribs: Any) -> DXFEntity:
        return self.into.add_arc(xy(centre), num(radius), num(start), num(end), dxfattribs=attribs)

    # --- dimensions -----------------------------------------------------------------------------

    def dim(
        self, kind: Kind, points: Mapping[int, At], style: Mapping[str, Any] | None = None, **attribs: Any
    ) -> DXFEntity:
        """A dimension by its kind and its points by DXF group; `style` overrides variables for it alone."""
        values: dict[str, Any] = {"dimtype": TYPES[kind] | 32, "dimstyle": "Standard"}
        if kind is Kind.ORDINATE and attribs.pop("along_x", False):
            values["dimtype"] |= 64
        entity = "ARC_DIMENSION" if kind is Kind.ARC_LENGTH else "DIMENSION"
        if kind is Kind.JOGGED_RADIUS:
            entity = "LARGE_RADIAL_DIMENSION"
        names = dict(NAMES)
        if kind is Kind.JOGGED_RADIUS:  # the library's names for groups 13, 14 and 15 of this entity
            names |= {13: "chord_point", 14: "override_center", 15: "jog_point"}
        values |= {names[group]: xy(at) for group, at in points.items()}
        made = self.into.new_entity(entity, values | attribs)
        if style:
            made.set_acad_dstyle(dict(style))  # type: ignore[attr-defined]
        return made

    def across(self, a: At, b: At, y: Number | None = None, **more: Any) -> DXFEntity:
        """A horizontal dimension with its line at height y."""
        level = y if y is not None else Fraction(a[1]) - 1
        return self.dim(Kind.LINEAR, {13: a, 14: b, 10: (b[0], level)}, **more)

    def upright(self, a: At, b: At, x: Number | None = None, **more: Any) -> DXFEntity:
        """A vertical dimension with its line at x."""
        level = x if x is not None else Fraction(a[0]) - 1
        return self.dim(Kind.LINEAR, {13: a, 14: b, 10: (level, b[1])}, angle=90, **more)

    def window(
        self, sheet: Any, centre: At, width: Number, height: Number, aim: At, seen: Number, twist: Number = 0,
        target: At | None = None,
    ) -> DXFEntity:  # fmt: skip
        """A viewport that shows the model around `aim`, `seen` high."""
        made = sheet.add_viewport(
            (num(centre[0]), num(centre[1])), (num(width), num(height)), (num(aim[0]), num(aim[1])), num(seen)
        )
        made.dxf.view_twist_angle = num(twist)
        if target is not None:
            made.dxf.view_target_point = xy(target)
        return made

    def sheet(self, name: str = "Sheet") -> Any:
        made = self.doc.layouts.new(name)
        self.into = made
        return made

    # --- reading back ---------------------------------------------------------------------------

    def save(self, folder: Path, name: str = "sketch.dxf", **how: Any) -> Path:
        path = folder / name
        self.doc.saveas(path, **how)
        return path

    def read(self, folder: Path, settings: Settings | None = None) -> Drawing:
        return read_drawing(self.save(folder), settings or Settings())

    def geometry(self, folder: Path, settings: Settings | None = None, space: int = 0) -> Geometry:
        drawing = self.read(folder, settings)
        return rebuild(drawing.spaces[space], drawing.unit, settings or Settings())

    def audit(self, folder: Path, settings: Settings | None = None) -> DrawingAudit:
        return audited(self.save(folder), settings)


def audited(path: Path, settings: Settings | None = None) -> DrawingAudit:
    """The audit of a file that is readable and breaks no rule."""
    audit, faults = audit_file(path, settings or Settings())
    assert isinstance(audit, DrawingAudit), audit
    assert faults == ()
    return audit


def of_handle(audit: DrawingAudit, handle: str) -> list[Judgement]:
    return [j for j in audit.judgements if j.attached.dimension.handle == handle]


def space_named(drawing: Drawing, name: str) -> Space:
    return next(s for s in drawing.spaces if s.name == name)
