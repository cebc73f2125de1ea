"""Hole call-outs of notes and leaders, tied to the holes that they point at."""

import re
from collections import Counter, defaultdict
from collections.abc import Callable, Container, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property
from math import hypot
from typing import Any

import numpy as np

from dimaudit.attach.room import room_of
from dimaudit.attach.stacked import Stacks
from dimaudit.model.drawing import Leader, LineRole, Note, Point, Segment
from dimaudit.model.pointed import Carrier, HoleNote
from dimaudit.model.rings import DrawnHole, drawn_holes
from dimaudit.model.settings import Lengths
from dimaudit.model.stated import CallOut, Unreadable
from dimaudit.model.view import Geometry, View
from dimaudit.text.call_out import read_call_out
from dimaudit.text.markup import plain_text

BESIDE = 1.5
"""Heights of the letters between a text and the line that belongs to it, at most. Common practice, no source."""
LONGEST_WAY = 3
"""Straight pieces of which a pointer drawn as plain lines is made, at most: the shoulder and what follows."""
OFF_RADIAL = 0.5
"""A pointer runs toward the centre of its circle (ASME Y14.5, leaders): by how much of the radius it may pass it."""

_SIDES = re.compile(r" *(?:TYP|BOTH|FAR|NEAR|EACH|OPP|THIS|ONE|FROM|ON|AT|IN|FOR)(?![A-Za-z0-9])", re.IGNORECASE)
"""How a line begins that says no more than where the hole is, or on which side. Common practice, no source."""

NO_POINTER = "nothing leads from the text to a hole: draw a leader, or the audit can't tell which hole is meant"
NO_HOLE = "its leader ends on no circle: the hole may be seen from the side there"
NO_TEXT_END = "its leader has no arrow that can be followed"
TWO_WAYS = "lines lead from it to different holes"
SEVERAL_VIEWS = "it points at holes of several views"

ReadCallOut = Callable[[str, str], CallOut | Unreadable | None]


def hole_notes(
    geometries: Sequence[Geometry], lengths: Lengths, read: ReadCallOut = read_call_out,
    apart: Container[str] = frozenset(),
) -> tuple[HoleNote, ...]:  # fmt: skip
    """Every text of a note or a leader that is a hole call-out, in the order of the drawing.

    `apart`: handles of texts that belong to something else, a table, and are no line of a note.
    """
    spaces = [Reader(g, lengths, read, apart) for g in geometries]
    by_name = {s.geometry.space.name: s for s in spaces}
    found: list[HoleNote] = []
    for space in spaces:
        space.take_texts(by_name)
    for space in spaces:
        found += space.by_leaders()
    for space in spaces:
        found += space.by_lines()
    return tuple(found)


@dataclass(frozen=True, slots=True)
class _Text:
    """A call-out with the texts that it is written in: one, or several single lines under one another."""

    call_out: CallOut
    raw: str
    lines: tuple[Note, ...]

    @property
    def handles(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(note.origin.handle for note in self.lines))


@dataclass(frozen=True, slots=True)
class Tail:
    """The text of a leader: its own, the one it is tied to, or the one at its tail."""

    handle: str
    raw: str
    at: Point
    home: "Reader"
    """The space that the text stands in."""


class Reader:
    """The call-outs of one space."""

    def __init__(self, geometry: Geometry, lengths: Lengths, read: ReadCallOut, apart: Container[str]) -> None:
        self.geometry = geometry
        self.lengths = lengths
        self.taken: set[str] = set()
        """Handles of notes that a leader has, or that are part of a call-out already."""
        marks = Counter(d.style.separator for d in geometry.space.dimensions)
        separator = "," if marks[","] > marks["."] else "."
        self._texts: dict[str, CallOut | None] = {}
        self._read, self.separator, self._apart = read, separator, apart
        self.tails: list[tuple[Leader, Tail]] = []
        """The leaders of this space with their texts, after `take_texts`."""

    @cached_property
    def _boxes(self) -> "_Boxes":
        return _Boxes(self.geometry.space.notes)

    @cached_property
    def _targets(self) -> "_Targets":
        return _Targets(self.geometry, self.lengths)

    @cached_property
    def _lines(self) -> "_Lines":
        return _Lines(self.geometry, self._targets, float(self.lengths.snap))

    @cached_property
    def _stacks(self) -> Stacks:
        return Stacks(self.geometry.space.notes)

    @cached_property
    def _index(self) -> dict[str, int]:
        return {note.origin.handle: k for k, note in reversed(list(enumerate(self.geometry.space.notes)))}

    def call_out(self, raw: str) -> CallOut | None:
        if not raw or not any(c.isdigit() for c in raw):
            return None
        if raw not in self._texts:
            found = self._read(raw, self.separator)
            self._texts[raw] = found if isinstance(found, CallOut) else None
        return self._texts[raw]

    def take_texts(self, spaces: "dict[str, Reader]") -> None:
        """Finds the texts of the leaders of this space, in whatever space they stand."""
        for leader in self.geometry.space.leaders:
            home = spaces.get(leader.layout, self)
            tail = home._tail(leader)
            if tail is not None:
                home.taken.add(tail.handle)
                self.tails.append((leader, tail))

    def _tail(self, leader: Leader) -> Tail | None:
        if leader.text is not None:
            place = leader.shown_at or leader.at or (Fraction(0), Fraction(0))
            return Tail(leader.note or leader.origin.handle, leader.text, place, self)
        if leader.note is not None or leader.shown_at is None:
            return None
        found = self._boxes.beside(leader.shown_at)
        if found is None:
            return None
        note = self.geometry.space.notes[found]
        return Tail(note.origin.handle, note.text, note.at, self)

    def by_leaders(self) -> Iterator[HoleNote]:
        """Leaders of this space, those that share one text together."""
        groups: dict[str, list[tuple[Leader, Tail]]] = defaultdict(list)
        for leader, tail in self.tails:
            groups[tail.handle].append((leader, tail))
        for handle, members in groups.items():
            leader, tail = members[0]
            text = tail.home.text(tail)
            if text is None:
                continue
            tips = [tip for member, _ in members for tip in member.tips]
            hits = [hit for tip in tips if (hit := self._targets.at(tip)) is not None]
            why = "" if hits else (NO_HOLE if tips else NO_TEXT_END)
            pointers = tuple(m.origin.handle for m, _ in members)
            yield _note(text, handle, Carrier.LEADER, pointers, tail.at, leader.layout, hits, why)

    def text(self, tail: Tail) -> _Text | None:
        """The call-out at the tail of a leader, with the lines that stand under the one that the leader has."""
        k = self._index.get(tail.handle)
        if k is not None and self.geometry.space.notes[k].text == tail.raw:
            return self._together(k, at_leader=True)
        alone = self.call_out(tail.raw)
        return None if alone is None else _Text(alone, tail.raw, ())

    def _together(self, k: int, *, at_leader: bool) -> _Text | None:
        """Text `k` with the single lines below and above it that are part of the same call-out; they are taken."""
        notes = self.geometry.space.notes
        own, raw, members = self.call_out(notes[k].text), notes[k].text, [k]
        while True:
            for new, joint, below in (
                (self._free(self._stacks.below(members[-1]), at_leader), "{old}\n{new}", True),
                (self._free(self._stacks.above(members[0]), at_leader), "{new}\n{old}", False),
            ):
                if new is None:
                    continue
                joined = joint.format(old=raw, new=notes[new].text)
                found = self.call_out(joined)
                if found is not None and _adds(found, own, notes[new].text, below):
                    own, raw = found, joined
                    members = [*members, new] if below else [new, *members]
                    break
            else:
                break
        if own is None:
            return None
        first = [k, *(m for m in members if m != k)]
        text = _Text(own, raw, tuple(notes[m] for m in first))
        self.taken.update(text.handles)
        return text

    def _free(self, k: int | None, at_leader: bool) -> int | None:
        if k is None:
            return None
        note = self.geometry.space.notes[k]
        handle = note.origin.handle
        if handle in self.taken or handle in self._apart:
            return None
        # What is a call-out by itself and has a pointer of its own is no further line of what a leader has.
        alone = at_leader and self.call_out(note.text) is not None
        return None if alone and self._lines.from_text(note) else k

    def by_lines(self) -> Iterator[HoleNote]:
        """Texts that no leader has: with a plain line as the pointer, or without any."""
        notes = self.geometry.space.notes
        for k, note in enumerate(notes):
            alone = self.call_out(note.text)
            if alone is None or note.origin.handle in self.taken:
                continue
            single = _Text(alone, note.text, (note,))
            text = single if note.origin.handle in self._apart else self._together(k, at_leader=False) or single
            ways = self._ways(text)
            parts = [text]
            if len({id(hit.hole) for hit, _ in ways}) > 1 and len(text.lines) > 1:  # lines with a pointer each
                parts = [_Text(own, line.text, (line,)) for line in text.lines if (own := self.call_out(line.text))]
            for part in parts:
                self.taken.update(part.handles)
                yield self._at_lines(part, ways if part is text else self._ways(part))

    def _ways(self, text: _Text) -> "list[tuple[_Hit, tuple[str, ...]]]":
        return [way for line in text.lines for way in self._lines.from_text(line)]

    def _at_lines(self, text: _Text, ways: "Sequence[tuple[_Hit, tuple[str, ...]]]") -> HoleNote:
        note, name = text.lines[0], self.geometry.space.name
        if len({id(hit.hole) for hit, _ in ways}) == 1:
            lines = tuple(dict.fromkeys(h for _, own in ways for h in own))
            return _note(text, note.origin.handle, Carrier.LINE, lines, note.at, name, [ways[0][0]], "")
        why = TWO_WAYS if ways else NO_POINTER
        return _note(text, note.origin.handle, Carrier.NOTHING, (), note.at, name, [], why)


def _adds(found: CallOut, before: CallOut | None, line: str, below: bool) -> bool:
    """Whether a further line is part of the call-out: it says more of the hole, or where it is; above, how many."""
    if before is None:
        return True
    if not below:
        counted = before.count is None and found.count is not None
        return counted and replace(found, count=None, words=()) == replace(before, words=())
    more = replace(found, words=()) != replace(before, words=())
    return more or _SIDES.match(plain_text(line)) is not None


@dataclass(frozen=True, slots=True)
class _Hit:
    """A hole that a tip points at."""

    hole: DrawnHole
    view: View | None
    on_circle: bool = True


def _note(
    text: _Text, handle: str, carrier: Carrier, pointers: tuple[str, ...], at: Point, layout: str,
    hits: Sequence[_Hit], why: str,
) -> HoleNote:  # fmt: skip
    words = " ".join(plain_text(text.raw).split())
    own = tuple(dict.fromkeys((handle, *text.handles)))
    handles = tuple(dict.fromkeys((*own, *pointers)))
    holes = tuple({id(hit.hole): hit.hole for hit in hits}.values())
    views = {id(hit.view) for hit in hits}
    one = HoleNote(text.call_out, words, carrier, handles, at, layout, why_not=why, lines=len(own))
    if len(views) > 1:
        return replace(one, why_not=SEVERAL_VIEWS)
    view = hits[0].view if hits else None
    return replace(one, view=view, holes=holes, on_circle=all(hit.on_circle for hit in hits))


class _Targets:
    """The holes of a space, for finding the one at a tip. Doubles serve for searching only."""

    def __init__(self, geometry: Geometry, lengths: Lengths) -> None:
        self._snap, self._near = float(lengths.snap), float(lengths.near)
        self._hits: list[_Hit] = []
        rows: list[tuple[float, float, float, int, bool]] = []
        inside: set[int] = set()
        groups: list[tuple[Sequence[DrawnHole], View | None]] = [(view.drawn_holes, view) for view in geometry.views]
        for own in geometry.views:
            inside |= own.members
        groups.append((drawn_holes(s for s in geometry.space.shapes if id(s) not in inside), None))
        for found, view in groups:
            outer = {h for p in view.profiles if p.outer for h in p.handles} if view is not None else set()
            for hole in found:
                self._hits.append(_Hit(hole, view))
                x, y = float(hole.centre[0]), float(hole.centre[1])
                for ring in hole.rings:
                    # Inside the outline of a part, or of what no dimension belongs to, is not inside a hole.
                    open_ = view is None or any(h in outer for h in ring.handles)
                    rows.append((x, y, float(ring.radius), len(self._hits) - 1, open_))
        self._x, self._y, self._r = (np.array([row[k] for row in rows], dtype=float) for k in range(3))
        self._of = [row[3] for row in rows]
        self._open = np.array([row[4] for row in rows], dtype=bool)

    def at(self, tip: Point, *, inside: bool = True) -> _Hit | None:
        """The hole whose edge the tip is on, else whose centre, else the smallest circle around it."""
        if not self._of:
            return None
        apart = np.hypot(self._x - float(tip[0]), self._y - float(tip[1]))
        off = np.abs(apart - self._r)
        choices = [
            (off <= self._snap, self._r),
            (apart <= self._snap, self._r),
            (off <= self._near, off),
            (apart <= self._near, apart),
        ]
        if inside:
            choices.append(((apart < self._r) & ~self._open, self._r))
        for k, (fits, rank) in enumerate(choices):
            if fits.any():
                hit = self._hits[self._of[int(np.argmin(np.where(fits, rank, np.inf)))]]
                return hit if k < 4 else replace(hit, on_circle=False)
        return None


class _Lines:
    """Straight lines of a space, for following those that lead from a text to a hole."""

    def __init__(self, geometry: Geometry, targets: _Targets, snap: float) -> None:
        self._targets = targets
        self._snap = snap
        self._segments = [
            s for s in geometry.space.shapes if isinstance(s, Segment) and s.origin.role is LineRole.OUTLINE
        ]
        ends = [(float(p[0]), float(p[1])) for s in self._segments for p in (s.a, s.b)]
        self._ends = np.array(ends, dtype=float).reshape(-1, 2)

    def from_text(self, note: Note) -> list[tuple[_Hit, tuple[str, ...]]]:
        """The holes that lines beginning beside the text lead to, each with the handles on the way."""
        height = float(note.height)
        if not height or not len(self._ends):
            return []
        found: list[tuple[_Hit, tuple[str, ...]]] = []
        off = _Boxes([note]).off(self._ends[:, 0], self._ends[:, 1])
        for end in np.nonzero(off <= BESIDE * height)[0].tolist():
            segment = self._segments[end // 2]
            start, far = (segment.a, segment.b) if end % 2 == 0 else (segment.b, segment.a)
            if off[end ^ 1] <= max(off[end], height / 2):
                continue  # an underline, or an edge that runs past the text
            self._follow(start, far, (end // 2,), found)
        return found

    def _follow(
        self, start: Point, end: Point, way: tuple[int, ...], found: list[tuple[_Hit, tuple[str, ...]]]
    ) -> None:
        hit = self._targets.at(end, inside=False)
        if hit is not None and self._aims(start, end, hit.hole):
            found.append((hit, tuple(self._segments[k].origin.handle for k in way)))
            return
        if len(way) == LONGEST_WAY:
            return
        apart = np.hypot(self._ends[:, 0] - float(end[0]), self._ends[:, 1] - float(end[1]))
        onward = [k for k in np.nonzero(apart <= self._snap)[0].tolist() if k // 2 not in way]
        if len(onward) == 1:  # where lines branch, they are no pointer
            segment = self._segments[onward[0] // 2]
            on = segment.b if onward[0] % 2 == 0 else segment.a
            self._follow(end, on, (*way, onward[0] // 2), found)

    def _aims(self, start: Point, end: Point, hole: DrawnHole) -> bool:
        dx, dy = float(end[0] - start[0]), float(end[1] - start[1])
        cx, cy = float(hole.centre[0] - start[0]), float(hole.centre[1] - start[1])
        size = hypot(dx, dy)
        largest = float(hole.rings[-1].radius)
        return size > largest / 4 and abs(dx * cy - dy * cx) / size <= OFF_RADIAL * largest and hypot(cx, cy) > largest


class _Boxes:
    """Where texts are, roughly: letters differ in width, and so do fonts."""

    def __init__(self, notes: Sequence[Note]) -> None:
        rooms = map(room_of, notes)
        rows = [(r.x, r.y, r.cos, r.sin, r.left, r.low, r.wide, r.high, r.height) for r in rooms]
        self._rows = np.array(rows, dtype=float).reshape(-1, 9).T

    def off(self, x: Any, y: Any) -> Any:
        """Distances from the boxes: of one point from each, or of many points from the one there is."""
        at_x, at_y, c, s, left, low, wide, high, _ = self._rows
        along, up = (x - at_x) * c + (y - at_y) * s, (y - at_y) * c - (x - at_x) * s
        beyond = np.maximum(np.maximum(left - along, along - left - wide), 0)
        above = np.maximum(np.maximum(low - up, up - low - high), 0)
        return np.hypot(beyond, above)

    def beside(self, point: Point) -> int | None:
        """Which text a point belongs to: the nearest, if it is near enough."""
        off = self.off(float(point[0]), float(point[1]))
        near = off <= BESIDE * self._rows[8]
        return int(np.argmin(np.where(near, off, np.inf))) if near.any() else None
