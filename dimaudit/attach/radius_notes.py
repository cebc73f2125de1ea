"""Notes about a radius at the end of a leader, tied to the arcs that the leader points at."""

from collections import defaultdict
from collections.abc import Sequence
from math import hypot

from dimaudit.attach.notes import NO_TEXT_END, SEVERAL_VIEWS, Reader, Tail
from dimaudit.model.drawing import Arc, Circle, Leader, LineRole, Point
from dimaudit.model.pointed import RadiusNote
from dimaudit.model.settings import Lengths
from dimaudit.model.stated import RADII, CallOut, Stated, Unreadable
from dimaudit.model.view import Geometry, View, on_arc
from dimaudit.text.call_out import read_call_out
from dimaudit.text.grammar import read_text
from dimaudit.text.markup import plain_text

NO_ARC = "its leader ends on no arc"
DIFFERENT_ARCS = "its leaders end on arcs of different radii"


def radius_notes(geometries: Sequence[Geometry], lengths: Lengths) -> tuple[RadiusNote, ...]:
    """Every text at a leader that gives a radius, in the order of the drawing."""
    readers = [Reader(g, lengths, read_call_out, frozenset()) for g in geometries]
    by_name = {r.geometry.space.name: r for r in readers}
    found: list[RadiusNote] = []
    for reader in readers:
        reader.take_texts(by_name)
        groups: dict[str, list[tuple[Leader, Tail]]] = defaultdict(list)
        for leader, tail in reader.tails:
            groups[tail.handle].append((leader, tail))
        for handle, members in groups.items():
            leader, tail = members[0]
            stated = _radius(tail.raw, tail.home.separator)
            if stated is not None:
                handles = tuple(dict.fromkeys((handle, *(member.origin.handle for member, _ in members))))
                tips = [tip for member, _ in members for tip in member.tips]
                words = " ".join(plain_text(tail.raw).split())
                note = RadiusNote(stated, words, handles, tail.at, leader.layout)
                found.append(_tied(note, tips, reader.geometry, lengths))
    return tuple(found)


def _radius(raw: str, separator: str) -> Stated | None:
    reading = read_text(raw, separator=separator)
    if not isinstance(reading, Stated) or reading.sign not in RADII or reading.call_out is not None:
        return None
    return None if isinstance(read_call_out(raw, separator), (CallOut, Unreadable)) else reading


def _tied(note: RadiusNote, tips: Sequence[Point], geometry: Geometry, lengths: Lengths) -> RadiusNote:
    hits = [hit for tip in tips if (hit := _at(tip, geometry, float(lengths.near))) is not None]
    if not hits:
        return note.untied(NO_ARC if tips else NO_TEXT_END)
    views = {id(view) for _, view in hits}
    if len(views) > 1:
        return note.untied(SEVERAL_VIEWS)
    view = hits[0][1]
    arcs = tuple({id(shape): shape for shape, _ in hits}.values())
    if len({arc.radius if view is None else view.radius(arc.radius).value for arc in arcs}) > 1:
        return note.untied(DIFFERENT_ARCS)
    return note.tied(arcs, view)


def _at(tip: Point, geometry: Geometry, near: float) -> tuple[Arc | Circle, View | None] | None:
    """The arc whose line the tip is nearest to; doubles serve for searching only."""
    best: tuple[float, Arc | Circle] | None = None
    x, y = float(tip[0]), float(tip[1])
    for shape in geometry.space.shapes:
        if not isinstance(shape, (Arc, Circle)) or shape.origin.role is LineRole.CENTRE:
            continue
        off = abs(hypot(x - float(shape.centre[0]), y - float(shape.centre[1])) - float(shape.radius))
        if off > near or (best is not None and off >= best[0]):
            continue
        if isinstance(shape, Circle) or on_arc(shape, tip):
            best = off, shape
    if best is None:
        return None
    shape = best[1]
    return shape, next((view for view in geometry.views if id(shape) in view.members), None)
