"""A drafting board for one-fault drawings: a few lines, a few dimensions, saved and audited.

Each dimension gets the drawn block that a drawing program would leave. What the block shows, what the
entity stores and what it is tied to can each be set apart from the rest, as faults in files are.
"""

from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any

import ezdxf
from ezdxf.entities.dxfentity import DXFTagStorage
from ezdxf.lldxf.extendedtags import ExtendedTags

from dimaudit.model.audit import DrawingAudit, Judgement
from dimaudit.model.settings import Settings
from dimaudit.pipeline import audit_file

Spot = tuple[float, float]
STYLE = "SHOP"
NOT_IN_THE_FILE = "FFF0"
END, CENTRE = 1, 3
"""Object snaps, group 72 of an association object (DXF reference)."""


@dataclass(frozen=True)
class Tie:
    """A tied point: its number from 0, the handle of its geometry, and the snap point that the file writes."""

    index: int
    target: str
    snap: int = END
    written: Spot = (0.0, 0.0)


class Board:
    """One drawing in the making; inches unless it is metric. Handles are given back as strings."""

    def __init__(self, version: str = "R2010", metric: bool = False) -> None:
        self.doc = ezdxf.new(version)
        self.msp = self.doc.modelspace()
        self.metric = metric
        if version != "R12":
            self.doc.header["$INSUNITS"] = 4 if metric else 1
        self.doc.header["$MEASUREMENT"] = 1 if metric else 0
        size = 3.0 if metric else 0.125
        self.doc.linetypes.add("CENTER", [2.0, 1.25, -0.25, 0.25, -0.25])
        self.doc.linetypes.add("HIDDEN", [0.375, 0.25, -0.125])
        self.doc.dimstyles.new(
            STYLE,
            dxfattribs={
                "dimlfac": 1.0, "dimtol": 0, "dimlim": 0, "dimpost": "", "dimtxt": size, "dimasz": size,
                "dimzin": 8 if metric else 4,
                # R12 has neither places nor a separator in a style
                **({} if version == "R12" else {"dimdsep": 46, "dimdec": 2 if metric else 3, "dimadec": 0}),
            },
        )  # fmt: skip

    # --- linework -------------------------------------------------------------------------------

    def line(self, a: Spot, b: Spot, linetype: str = "BYLAYER", layer: str = "0") -> str:
        return str(self.msp.add_line(a, b, dxfattribs={"linetype": linetype, "layer": layer}).dxf.handle)

    def path(self, *spots: Spot, close: bool = True) -> list[str]:
        ends = [*spots[1:], spots[0]] if close else list(spots[1:])
        return [self.line(a, b) for a, b in zip(spots, ends, strict=False)]

    def plate(self, wide: float, high: float, at: Spot = (0.0, 0.0)) -> list[str]:
        """Lower, right, upper and left edge."""
        x, y = at
        return self.path((x, y), (x + wide, y), (x + wide, y + high), (x, y + high))

    def circle(self, centre: Spot, diameter: float, linetype: str = "BYLAYER") -> str:
        return str(self.msp.add_circle(centre, diameter / 2, dxfattribs={"linetype": linetype}).dxf.handle)

    def arc(self, centre: Spot, radius: float, start: float, end: float) -> str:
        return str(self.msp.add_arc(centre, radius, start, end).dxf.handle)

    # --- dimensions -----------------------------------------------------------------------------

    def across(self, a: Spot, b: Spot, text: str = "<>", line_at: float | None = None, **style: Any) -> str:
        """A horizontal dimension from `a` to `b`; `style` overrides the style's variables for this one."""
        at = (0.0, max(a[1], b[1]) + 1.0 if line_at is None else line_at)
        return self._done(self.msp.add_linear_dim(at, a, b, text=text, dimstyle=STYLE, override=style))

    def upright(self, a: Spot, b: Spot, text: str = "<>", line_at: float | None = None, **style: Any) -> str:
        at = (max(a[0], b[0]) + 1.0 if line_at is None else line_at, 0.0)
        return self._done(self.msp.add_linear_dim(at, a, b, angle=90, text=text, dimstyle=STYLE, override=style))

    def aligned(self, a: Spot, b: Spot, text: str = "<>", **style: Any) -> str:
        return self._done(self.msp.add_aligned_dim(a, b, 1.0, text=text, dimstyle=STYLE, override=style))

    def diameter(self, centre: Spot, size: float, text: str = "<>", **style: Any) -> str:
        made = self.msp.add_diameter_dim(centre, radius=size / 2, angle=30, text=text, dimstyle=STYLE, override=style)
        return self._done(made)

    def radius(self, centre: Spot, size: float, angle: float, text: str = "<>", **style: Any) -> str:
        made = self.msp.add_radius_dim(centre, radius=size, angle=angle, text=text, dimstyle=STYLE, override=style)
        return self._done(made)

    def angle(self, a: tuple[Spot, Spot], b: tuple[Spot, Spot], arc_at: Spot, text: str = "<>", **style: Any) -> str:
        # The library writes the angle from its second line to its first, whichever sector the arc is in.
        made = self.msp.add_angular_dim_2l(arc_at, b, a, text=text, dimstyle=STYLE, override=style)
        return self._done(made)

    def level_x(self, feature: Spot, leader_end: Spot) -> str:
        """An ordinate of x, from the origin of the drawing."""
        offset = (leader_end[0] - feature[0], leader_end[1] - feature[1])
        return self._done(self.msp.add_ordinate_x_dim(feature, offset, origin=(0, 0), dimstyle=STYLE))

    def _done(self, made: Any) -> str:
        made.render()
        return str(made.dimension.dxf.handle)

    def sheet_across(self, a: Spot, b: Spot, seen: float, **style: Any) -> str:
        """A horizontal dimension on a sheet, over a viewport of 8 by 5 that shows the model's lowest `seen`."""
        sheet = self.doc.layouts.new("PRINT")
        sheet.add_viewport((4, 2.5), (8, 5), (seen * 0.8, seen / 2), seen)
        made = sheet.add_linear_dim((0, a[1] + 0.5), a, b, dimstyle=STYLE, override=style)
        return self._done(made)

    # --- what sets a dimension apart ------------------------------------------------------------

    def shows(self, handle: str, text: str) -> str:
        """Changes what the dimension's drawn block shows, and nothing else."""
        block = self.doc.entitydb[handle].get_geometry_block()
        texts = [entity for entity in block if entity.dxftype() in ("MTEXT", "TEXT")]
        assert len(texts) == 1
        if texts[0].dxftype() == "MTEXT":
            texts[0].text = text
        else:
            texts[0].dxf.text = text
        return handle

    def stores(self, handle: str, value: float) -> str:
        """Sets group 42."""
        self.doc.entitydb[handle].dxf.actual_measurement = value
        return handle

    def without_block(self, handle: str) -> str:
        """Takes the drawn block away: only the entity and its style are left to say what is read."""
        dimension = self.doc.entitydb[handle]
        self.doc.blocks.delete_block(dimension.dxf.geometry, safe=False)
        dimension.dxf.discard("geometry")
        return handle

    def tie(self, handle: str, *ties: Tie) -> str:
        """Writes an association object, with the tags that the DXF reference lists."""
        doc = self.doc
        owner = doc.entitydb[handle].new_extension_dict().dictionary
        own = doc.entitydb.next_handle()
        tags: list[tuple[int, object]] = [
            (0, "DIMASSOC"), (5, own), (330, owner.dxf.handle), (100, "AcDbDimAssoc"), (330, handle),
            (90, sum(1 << tie.index for tie in ties)), (70, 0), (71, 0),
        ]  # fmt: skip
        for tie in ties:
            x, y = tie.written
            tags += [
                (1, "AcDbOsnapPointRef"), (72, tie.snap), (331, tie.target), (73, 2), (91, 0), (40, 0.0),
                (10, x), (20, y), (30, 0.0), (75, 0),
            ]  # fmt: skip
        made = DXFTagStorage.load(ExtendedTags.from_text("".join(f"{code}\n{value}\n" for code, value in tags)), doc)
        doc.entitydb.add(made)
        doc.objects.add_object(made)
        owner.add("ACAD_DIMASSOC", made)
        return handle

    # --- the audit ------------------------------------------------------------------------------

    def audit(self, folder: Path, settings: Settings, losses: tuple[str, ...] = ()) -> DrawingAudit:
        path = folder / "part.dxf"
        self.doc.saveas(path)
        audit, broken = audit_file(path, settings)
        assert broken == ()
        assert isinstance(audit, DrawingAudit)
        assert tuple(loss.what for loss in audit.losses) == losses
        return audit


def judgement_of(audit: DrawingAudit, handle: str) -> Judgement:
    return next(j for j in audit.judgements if j.attached.dimension.handle == handle)


def measured(audit: DrawingAudit, handle: str) -> Fraction:
    """The exact measured value of one dimension; the drawings here have rational sizes only."""
    value = judgement_of(audit, handle).measured
    assert isinstance(value, Fraction)
    return value
