"""DIMENSION and ARC_DIMENSION to a plain `Dimension`."""

from dataclasses import dataclass, replace
from fractions import Fraction

from ezdxf.document import Drawing as Document
from ezdxf.entities.dxfentity import DXFEntity
from ezdxf.entities.mtext import MText

from dimaudit.exact.number import LARGEST, exact
from dimaudit.model.drawing import ANGLES, MEASURED_POINTS, Dimension, Kind, Point
from dimaudit.read.affine import Affine, turned
from dimaudit.read.association import association_of
from dimaudit.read.style import Styles
from dimaudit.read.words import clean

KINDS = {
    0: Kind.LINEAR,
    1: Kind.ALIGNED,
    2: Kind.ANGULAR,
    3: Kind.DIAMETER,
    4: Kind.RADIUS,
    5: Kind.ANGULAR_3P,
    6: Kind.ORDINATE,
    8: Kind.ARC_LENGTH,
}
"""Group 70, masked with 15 (DXF reference; 8 is ours to see only in files that write an arc length as a DIMENSION)."""

_POINT_NAMES = {10: "defpoint", 13: "defpoint2", 14: "defpoint3", 15: "defpoint4", 16: "defpoint5"}
_JOGGED_POINT_NAMES = {10: "defpoint", 13: "chord_point", 14: "override_center", 15: "jog_point"}
"""The library's names by group; in real files 15 holds the point on the arc, whatever the name says."""

CONSTRAINT_LAYER = "*ADSK_CONSTRAINTS"
"""Dimensions on this layer belong to a sketcher's constraints and are no part of the print (ezdxf's documentation)."""


@dataclass(frozen=True, slots=True)
class DimensionReader:
    """Reads the dimensions of one document."""

    doc: Document
    styles: Styles

    def read(self, entity: DXFEntity, layout: str) -> Dimension:
        """One dimension, in the coordinates of the layout or block that it stands in."""
        dxf = entity.dxf
        kind = Kind.ARC_LENGTH if entity.dxftype() == "ARC_DIMENSION" else None
        if kind is None and entity.dxftype() in ("LARGE_RADIAL_DIMENSION", "RADIAL_DIMENSION_LARGE"):
            kind = Kind.JOGGED_RADIUS
        raw_kind = int(dxf.get("dimtype", 0)) & 15
        unmeasurable = ""
        if kind is None:
            kind = KINDS.get(raw_kind)
        if kind is None:
            kind, unmeasurable = Kind.LINEAR, f"dimension type {raw_kind} is not known"
        flip, tilt = _extrusion(entity)
        unmeasurable = unmeasurable or tilt
        points: dict[int, Point] = {}
        names = _JOGGED_POINT_NAMES if kind is Kind.JOGGED_RADIUS else _POINT_NAMES
        for group, name in names.items():
            if dxf.hasattr(name):
                p = dxf.get(name)
                x = exact(p.x)
                points[group] = (-x if flip and group == 16 else x, exact(p.y))
        missing = [str(group) for group in MEASURED_POINTS[kind] if group not in points]
        if missing and not unmeasurable:
            unmeasurable = f"the file gives no point for group {', '.join(missing)}"
        style = self.styles.of(entity)
        turn = -exact(dxf.get("horizontal_direction", 0.0)) if kind is Kind.ORDINATE else Fraction(0)
        text_at = dxf.get("text_midpoint")
        straight = kind in (Kind.LINEAR, Kind.ALIGNED)
        middle = None if text_at is None else (exact(-text_at.x if flip else text_at.x), exact(text_at.y))
        angle = (exact(dxf.get("angle", 0.0)) if straight else Fraction(0)) + turn
        oblique = exact(dxf.get("oblique_angle", 0.0)) if straight else Fraction(0)
        lengths = kind not in ANGLES
        return Dimension(
            handle=str(dxf.handle),
            kind=kind,
            layer=clean(str(dxf.get("layer", "0"))),
            points=points,
            angle=-angle if flip else angle,
            oblique=(-oblique if flip else oblique) or None,
            along_x=bool(int(dxf.get("dimtype", 0)) & 64),
            override=_override(dxf.get("text", "")),
            stored=_stored(dxf.get("actual_measurement")),
            drawn_text=self._drawn_text(entity),
            style=style,
            association=association_of(entity, self.doc),
            text_factor=model_factor(style.factor) if lengths else Fraction(1),
            true_factor=model_factor(style.factor) if lengths else Fraction(1),
            text_at=middle,
            shown_at=middle,
            layout=layout,
            unmeasurable=unmeasurable,
        )

    def _drawn_text(self, entity: DXFEntity) -> str | None:
        name = entity.dxf.get("geometry")
        if not name:
            return None
        block = self.doc.blocks.get(name)
        if block is None:
            return None
        texts = [
            e.text if isinstance(e, MText) else e.dxf.get("text", "")
            for e in block
            if e.dxftype() in ("MTEXT", "TEXT")
        ]
        joined = " ".join(clean(t) for t in texts if t.strip())
        return joined or None


def unreadable(handle: str, layer: str, layout: str, why: str) -> Dimension:
    """A dimension of which nothing but its place in the file is known."""
    return Dimension(handle, Kind.LINEAR, layer, {}, layout=layout, unmeasurable=why)


def model_factor(factor: Fraction) -> Fraction:
    """DIMLFAC in model space: a negative one counts in paper space only (DXF reference)."""
    return factor if factor > 0 else Fraction(1)


def on_paper(dimension: Dimension) -> Dimension:
    """A dimension of lines that are themselves drawn on the sheet: there the sign of DIMLFAC does not count."""
    if dimension.kind in ANGLES:
        return dimension
    factor = abs(dimension.style.factor)
    return replace(dimension, text_factor=factor, true_factor=factor)


def moved(dimension: Dimension, by: Affine, through: str) -> Dimension:
    """The dimension carried to the coordinates of the geometry it measures; lengths it shows stay as they were."""
    scale = by.scale()
    if scale is None or scale == 0:
        return replace(
            dimension, through=through, unmeasurable=f"{through} is scaled unequally: lengths depend on the direction"
        )
    lengths = dimension.kind not in ANGLES
    return replace(
        dimension,
        points={group: by(p) for group, p in dimension.points.items()},
        angle=turned(dimension.angle, by),
        oblique=-dimension.oblique if by.mirrors and dimension.oblique is not None else dimension.oblique,
        text_at=None if dimension.text_at is None else by(dimension.text_at),
        text_factor=dimension.text_factor / scale if lengths else Fraction(1),
        true_factor=dimension.true_factor / scale if lengths else Fraction(1),
        through=through,
    )


def _extrusion(entity: DXFEntity) -> tuple[bool, str]:
    """Whether the entity is seen from behind, and why it cannot be measured where it is tilted.

    A zero extrusion means nothing; files that carry one mean the default (0, 0, 1).
    """
    if not entity.dxf.hasattr("extrusion"):
        return False, ""
    e = entity.dxf.extrusion
    if abs(e.x) > 1e-9 or abs(e.y) > 1e-9:
        return False, "its plane is tilted against the sheet; it can't be measured from this side"
    return e.z < 0, ""


def _override(text: str) -> str | None:
    """Group 1: absent, empty and '<>' all show the measured value (DXF reference)."""
    return None if text in ("", "<>") else clean(text)


def _stored(value: float | None) -> Fraction | None:
    """Group 42; 0, -1 and any negative value are what writers put where they measured nothing."""
    if value is None or not 0 < value <= LARGEST:
        return None
    return exact(value)
