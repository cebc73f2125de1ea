"""Texts with a number in them that are no dimension's own: none goes unread without being listed."""

import re
from collections.abc import Iterator

from dimaudit.judge import labels
from dimaudit.judge.check import Sheet
from dimaudit.model import pointed
from dimaudit.model.audit import NumberText
from dimaudit.model.drawing import Drawing, Point
from dimaudit.model.pointed import Carrier
from dimaudit.model.stated import Stated
from dimaudit.text.grammar import read_text
from dimaudit.text.identification import states_a_number
from dimaudit.text.markup import plain_text
from dimaudit.text.names import LONGEST

_CELL = re.compile("%%v", re.IGNORECASE)
"""Between the cells of a frame, which is said as a person reads it."""
LIKE_A_SIZE = "reads like a size, but neither a dimension nor a pointer says of what"


def number_texts(sheet: Sheet) -> tuple[NumberText, ...]:
    """Notes, texts of leaders and frames that state a number, each entity once, with what each was read as.

    Drawing numbers, dates, sheets, materials and the numbers of notes name something and state nothing: they are
    left out.
    """
    claimed, not_judged = _claimed(sheet), _not_judged(sheet)
    readable = {tied.origin.handle: str(tied.frame) for tied in sheet.frames.frames}
    found: dict[str, NumberText] = {}
    for handle, layout, raw, at in _texts(sheet.drawing):
        if handle in found or not any(c.isdigit() for c in raw):
            continue
        plain = plain_text(_CELL.sub(" | ", raw))
        read_as = claimed.get(handle, "")
        if not read_as and not states_a_number(plain):
            continue
        text = readable.get(handle) or " ".join(plain.split())
        why = not_judged.get(handle, "")
        if not read_as and len(text) <= LONGEST and isinstance(read_text(raw), Stated):
            why = LIKE_A_SIZE
        found[handle] = NumberText(handle, layout, (float(at[0]), float(at[1])), text, read_as, why)
    return tuple(found.values())


def _texts(drawing: Drawing) -> Iterator[tuple[str, str, str, Point]]:
    for space in drawing.spaces:
        for note in space.notes:
            yield note.origin.handle, space.name, note.text, note.at
        for leader in space.leaders:
            if leader.note is None and leader.text and leader.shown_at is not None:
                yield leader.origin.handle, leader.layout, leader.text, leader.shown_at
        for frame in space.frames:
            yield frame.origin.handle, frame.layout, frame.text, frame.shown_at or frame.at


def _claimed(sheet: Sheet) -> dict[str, str]:
    """What the parts of the audit read the texts as, by handle; a cell of a table is no note that lacks a leader."""
    return {
        **labels.claimed(sheet.labels),
        **sheet.title_block.claimed,
        **pointed.claimed(sheet.hole_notes),
        **sheet.hole_tables.claimed,
        **pointed.claimed(note for note in sheet.hole_notes if note.carrier is not Carrier.NOTHING),
        **{note.handles[0]: "radius note" for note in sheet.radius_notes},
        **sheet.frames.claimed,
        **{d.handle: "exploded dimension" for space in sheet.drawing.spaces for d in space.dimensions if d.exploded},
    }


def _not_judged(sheet: Sheet) -> dict[str, str]:
    """Why a text that was read could not be compared with the part, by handle."""
    cells = sheet.hole_tables.claimed.keys() | sheet.frames.claimed.keys()
    notes = [n for n in sheet.hole_notes if n.carrier is not Carrier.NOTHING or n.handles[0] not in cells]
    return {
        **{table.handle: table.reason for table in sheet.hole_tables.tables if table.reason},
        **pointed.not_judged(notes),
        **{
            note.handles[0]: note.why_not or f"its size: {note.scale_unknown}"
            for note in sheet.radius_notes
            if note.why_not or note.scale_unknown
        },
        **{tied.origin.handle: tied.reason for tied in sheet.frames.frames if tied.reason},
    }
