"""The tags of a hole table where they stand beside the holes, or point at them."""

import re
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from math import hypot

import numpy as np

from dimaudit.attach.hole_fields import SHORT, Field, Hole
from dimaudit.model.drawing import Note
from dimaudit.text.markup import plain_text

# In heights of the tag's letters. Common practice, no source.
TAG_REACH = 3.0
TAG_UNSURE = 6.0

_SERIES = re.compile(r"([A-Z]{0,2})[0-9]{1,3}")


@dataclass(frozen=True, slots=True)
class TagMark:
    """A tag drawn beside holes: the holes near it, the nearest first, with their distances in letter heights."""

    text: str
    handle: str
    near: tuple[tuple[float, Hole], ...]

    @property
    def hole(self) -> Hole | None:
        """The one hole that is meant; None where two are about as near."""
        if not self.near or self.near[0][0] > TAG_REACH:
            return None
        if len(self.near) > 1 and self.near[1][0] < self.near[0][0] + 1:
            return None
        return self.near[0][1]


@dataclass(frozen=True)
class TagMarks:
    """The marks of one table in one field, in the order of the drawing."""

    all: tuple[TagMark, ...]

    @cached_property
    def by_text(self) -> dict[str, list[TagMark]]:
        """The marks by their tags."""
        found: dict[str, list[TagMark]] = defaultdict(list)
        for mark in self.all:
            found[mark.text].append(mark)
        return found

    def of(self, tag: str) -> Sequence[TagMark]:
        """The marks with this tag."""
        return self.by_text.get(tag, ()) if tag else ()

    def hole(self, tag: str) -> Hole | None:
        """The hole of a tag that is drawn once; None where it is not, or where its hole can't be told."""
        own = self.of(tag)
        return own[0].hole if len(own) == 1 else None

    def may_be(self, tag: str, hole: Hole) -> bool:
        """Whether the tag, if it is drawn once, is drawn by this hole or so near that it may be its."""
        own = self.of(tag)
        return len(own) != 1 or any(h is hole for _, h in own[0].near)


class TagTexts:
    """Short texts of a drawing as tags, read once for all its tables."""

    def __init__(self) -> None:
        self._of_space: dict[int, list[tuple[Note, str]]] = {}

    def marks(self, field: Field, tags: Sequence[str], taken: set[str], near: float) -> TagMarks:
        """Tags of these, or of their series, beside the field's holes; `taken` are the texts of the tables."""
        wanted = {tag for tag in tags if tag}
        series = {own.group(1) for tag in tags if (own := _SERIES.fullmatch(tag))} - {""}
        if not wanted:
            return TagMarks(())

        def fits(text: str) -> bool:
            own = _SERIES.fullmatch(text)
            return text in wanted or (own is not None and own.group(1) in series)

        found: list[TagMark] = []
        for note, text in self._notes(field):
            if fits(text) and note.origin.handle not in taken and (beside := _beside(note, text, field)):
                found.append(TagMark(text, note.origin.handle, beside))
        for leader in field.leaders:
            text = tag_of(plain_text(leader.text)) if leader.text and len(leader.text) < SHORT else ""
            if text and fits(text):
                hit = [hole for tip in leader.tips for hole in _at_tip(float(tip[0]), float(tip[1]), field, near)]
                found += [TagMark(text, leader.note or leader.origin.handle, ((0.0, h),)) for h in hit[:1]]
        leading = {m.handle for m in found if m.near[0][0] == 0.0}  # what a leader says is surer than what is near
        return TagMarks(tuple(m for m in found if m.handle not in leading or m.near[0][0] == 0.0))

    def _notes(self, field: Field) -> list[tuple[Note, str]]:
        key = id(field.space)
        if key not in self._of_space:
            short = ((note, tag_of(plain_text(note.text))) for note in field.space.notes if len(note.text) < SHORT)
            self._of_space[key] = [(note, text) for note, text in short if text]
        return self._of_space[key]


def tag_of(text: str) -> str:
    """A tag as it is compared: in capitals, without blanks or a full stop."""
    return "".join(text.upper().split()).rstrip(".:")


def _beside(note: Note, text: str, field: Field) -> tuple[tuple[float, Hole], ...]:
    """Holes whose edge is near a tag, or that it stands in, with the distance in heights of its letters."""
    h = float(note.height)
    if h <= 0:
        return ()
    x, y = float(note.at[0]), float(note.at[1])
    spots = [(x, y), (x + 0.4 * h * len(text), y + 0.5 * h), (x + 0.8 * h * len(text), y), (x + 0.4 * h, y - 0.5 * h)]
    xs, ys, radii = field.arrays
    off = np.minimum.reduce([np.hypot(xs - sx, ys - sy) for sx, sy in spots]) - radii
    near = off <= TAG_UNSURE * h
    if text.isdigit():
        near &= off >= 0  # a number in a circle is a balloon
    found = [(max(float(off[k]), 0.0) / h, field.holes[k]) for k in np.nonzero(near)[0].tolist()]
    return tuple(sorted(found, key=lambda pair: pair[0]))


def _at_tip(x: float, y: float, field: Field, near: float) -> list[Hole]:
    """Holes whose edge or centre a leader's tip is on."""
    xs, ys, radii = field.arrays
    close = np.nonzero(np.hypot(xs - x, ys - y) <= radii + near)[0].tolist()
    return [hole for hole in (field.holes[k] for k in close) if _on_hole(hypot(hole.x - x, hole.y - y), hole, near)]


def _on_hole(off: float, hole: Hole, near: float) -> bool:
    return off <= near or any(abs(off - float(r)) <= near for r in hole.radii)
