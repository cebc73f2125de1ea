"""Texts, leaders and feature control frames to plain values, in the coordinates of the space they stand in."""

from dataclasses import replace
from fractions import Fraction
from math import atan2, cos, degrees, radians, sin

from ezdxf.document import Drawing as Document
from ezdxf.entities.dxfentity import DXFEntity
from ezdxf.entities.leader import Leader as LeaderEntity
from ezdxf.entities.mleader import MultiLeader
from ezdxf.entities.mtext import MText
from ezdxf.math import Vec3

from dimaudit.exact.number import exact
from dimaudit.model.drawing import Frame, Leader, Note, Origin, Point
from dimaudit.read.affine import Affine
from dimaudit.read.entities.plain import at
from dimaudit.read.words import clean

LEADERS = frozenset({"LEADER", "MULTILEADER", "MLEADER"})
FRAMES = frozenset({"TOLERANCE"})


def note_of(entity: DXFEntity, origin: Origin, by: Affine) -> Note:
    """A TEXT, MTEXT or ATTRIB."""
    dxf = entity.dxf
    turn = exact(dxf.get("rotation", 0.0))
    place = dxf.insert
    if isinstance(entity, MText):
        text, height = entity.text, exact(abs(dxf.get("char_height", 0.0)))
        if dxf.hasattr("text_direction"):  # it wins over the rotation (DXF reference, MTEXT)
            turn = exact(round(entity.get_rotation(), 9))
        row, column = divmod(min(max(dxf.get("attachment_point", 1), 1), 9) - 1, 3)
        anchor = (Fraction(column, 2), 1 - Fraction(row, 2))
    else:
        text, height = dxf.get("text", ""), exact(abs(dxf.get("height", 0.0)))
        across, up = dxf.get("halign", 0), dxf.get("valign", 0)
        if (across or up) and dxf.hasattr("align_point"):  # else the first point counts (DXF reference, TEXT)
            place = dxf.insert if across in (3, 5) else dxf.align_point
        anchor = (_ACROSS.get(across, Fraction(0)), Fraction(1, 2) if across == 4 else _UP.get(up, Fraction(0)))
    tag = clean(dxf.get("tag", "")) if entity.dxftype() == "ATTRIB" else ""
    size = height * (by.scale() or 1)
    return Note(origin, clean(text), by(at(place)), size, _turned(turn, by), tag, anchor=anchor)


_ACROSS = {1: Fraction(1, 2), 2: Fraction(1), 4: Fraction(1, 2)}
_UP = {2: Fraction(1, 2), 3: Fraction(1)}
"""Groups 72 and 73 of a TEXT: centre, right, middle of the line; middle and top (DXF reference, TEXT)."""


def _turned(turn: Fraction, by: Affine) -> Fraction:
    """The direction of a line of text, in degrees, once the text has been moved."""
    if by.is_identity:
        return turn
    c, s = cos(radians(turn)), sin(radians(turn))
    x, y = float(by.a) * c + float(by.b) * s, float(by.d) * c + float(by.e) * s
    return exact(round(degrees(atan2(y, x)), 9))


def leader_of(entity: DXFEntity, origin: Origin, by: Affine, layout: str, doc: Document) -> Leader:
    """A LEADER with the text that it is tied to, or a MULTILEADER with its own."""
    if isinstance(entity, MultiLeader):
        context = entity.context
        tips = tuple(
            by(at(Vec3(line.vertices[0]))) for leader in context.leaders for line in leader.lines if line.vertices
        )
        mtext = context.mtext
        text = None if mtext is None else clean(mtext.default_content)
        place = None if mtext is None else by(at(mtext.insert))
        if context.block is not None:  # a block in place of the text: what its attributes say
            text = " ".join(clean(attribute.text) for attribute in entity.block_attribs) or None
            place = by(at(context.block.insert))
        return Leader(origin, tips, text, None, place, place, layout, place)
    assert isinstance(entity, LeaderEntity)
    vertices = [by(at(Vec3(v))) for v in entity.vertices]
    tail = vertices[-1] if vertices else None
    handle = entity.dxf.get("annotation_handle")
    target = None if not handle or handle == "0" else doc.entitydb.get(handle)
    text, place = None, tail
    if isinstance(target, MText):
        text, place = clean(target.text), by(at(target.dxf.insert))
    elif target is not None and target.dxftype() in ("TEXT", "ATTRIB"):
        text, place = clean(target.dxf.get("text", "")), by(at(target.dxf.insert))
    note = None if target is None else str(handle)
    return Leader(origin, tuple(vertices[:1]), text, note, place, tail, layout, place)


def frame_of(entity: DXFEntity, origin: Origin, by: Affine, layout: str) -> Frame:
    """A TOLERANCE entity."""
    place = by(at(entity.dxf.insert))
    return Frame(origin, clean(entity.dxf.get("content", "")), place, layout, place)


def leader_moved(leader: Leader, by: Affine, through: str) -> Leader:
    """The leader carried to the coordinates of the geometry that it points at."""
    return replace(
        leader,
        tips=tuple(map(by, leader.tips)),
        at=_moved(leader.at, by),
        tail=_moved(leader.tail, by),
        through=through,
    )


def frame_moved(frame: Frame, by: Affine, through: str) -> Frame:
    """The frame carried to the coordinates of the geometry that it stands at."""
    return replace(frame, at=by(frame.at), through=through)


def _moved(point: Point | None, by: Affine) -> Point | None:
    return None if point is None else by(point)
