"""Texts with a number in them that are no dimension's own: none goes unread without being listed."""

from collections.abc import Iterator, Mapping

from dimaudit.model.audit import NumberText
from dimaudit.model.drawing import Drawing, Point
from dimaudit.model.stated import Stated
from dimaudit.text.grammar import LONGEST, read_text
from dimaudit.text.identification import states_a_number
from dimaudit.text.markup import plain_text

LIKE_A_SIZE = "reads like a size, but neither a dimension nor a pointer says of what"


def number_texts(drawing: Drawing, claimed: Mapping[str, str]) -> tuple[NumberText, ...]:
    """Notes, texts of leaders and frames that state a number, each entity once; `claimed` says what was read as what.

    Drawing numbers, dates, sheets, materials and the numbers of notes name something and state nothing: they are
    left out.
    """
    found: dict[str, NumberText] = {}
    for handle, layout, raw, at in _texts(drawing):
        if handle in found or not any(c.isdigit() for c in raw):
            continue
        plain = plain_text(raw)
        read_as = claimed.get(handle, "")
        if not read_as and not states_a_number(plain):
            continue
        text = " ".join(plain.split())
        why = ""
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
