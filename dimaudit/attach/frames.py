"""Feature control frames tied to what they control, and the datum letters that a drawing defines.

A frame is tied by its leader, by the dimension that it stands under, or by the leader of the note
that it stands under (ASME Y14.5, placement of feature control frames; the clause is from memory).
Note and frame are one group: the leader of either one is that of both.
"""

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import hypot

from dimaudit.attach.drawn_frames import DrawnFrame, drawn_frames
from dimaudit.attach.room import LINE, room_of
from dimaudit.attach.separator import drawing_separator
from dimaudit.model.attached import Attached
from dimaudit.model.control_frame import ControlFrame, ControlFrames, DatumLetter, TiedFrame
from dimaudit.model.drawing import (
    Arc,
    Circle,
    Frame,
    Kind,
    Leader,
    LineRole,
    Note,
    Origin,
    Point,
    Segment,
    Shape,
    Space,
)
from dimaudit.model.geometry import HoleGroup
from dimaudit.model.settings import Lengths
from dimaudit.model.view import Geometry, View, foot_on
from dimaudit.text.control_frame import lone_letter, read_frame, read_frame_note
from dimaudit.text.markup import plain_text

# Distances on the paper, in heights of the frame's letters. Common practice, no source: a frame's cell is twice as
# high as its letters, and it hangs beneath its dimension without a gap to speak of.
BENEATH = 5.0
"""From the middle of the lowest line above down to the middle of the frame, at most."""
ASIDE = 3.0
"""How far the middle of the text above may stand off the frame's width."""
TAIL = 1.5
"""From a leader's tail to the frame's edge, at most."""
WIDTH = 1.0
"""The width of a letter with its share of the cell."""
BOX = 5.0
"""The longest side of the box around a datum letter."""


@dataclass(frozen=True, slots=True)
class _Standing:
    """A frame as it stands in a layout."""

    frame: ControlFrame
    origin: Origin
    layout: str
    at: Point
    """The middle of its left edge."""
    height: float
    """Of its letters."""
    pieces: tuple[str, ...] = ()
    """Handles of its texts, where it is drawn with boxes."""
    drawn_width: float = 0.0

    @property
    def width(self) -> float:
        longest = max((len(str(row)) for row in self.frame.rows), default=1)
        return self.drawn_width or longest * WIDTH * self.height


def attach_frames(geometries: Sequence[Geometry], attached: Sequence[Attached], lengths: Lengths) -> ControlFrames:
    """All frames of the drawing, each tied to its feature or with the reason why it is not."""
    standing, claimed = _frames(geometries, drawing_separator(geometries))
    if not standing:
        return ControlFrames()
    leaders = [leader for g in geometries for leader in g.space.leaders]
    datums = [*_identified(standing), *_datum_letters(geometries, leaders, claimed)]
    claimed |= {datum.handle: "datum letter" for datum in datums if datum.handle not in claimed}
    known = {datum.handle for datum in datums} | claimed.keys()
    lone = {lone_letter(n.text) for g in geometries for n in g.space.notes if n.origin.handle not in known}
    tier = _Tier(geometries, attached, leaders, float(lengths.near), claimed)
    tied: dict[str, TiedFrame] = {}
    for one in (tier.tie(one) for one in standing if one.frame.rows):
        before = tied.get(one.origin.handle)
        if before is None or (before.reason and not one.reason):  # a block shows the same frame in several places
            tied[one.origin.handle] = one
    return ControlFrames(tuple(tied.values()), tuple(datums), frozenset(lone - {""}), claimed)


def _frames(geometries: Sequence[Geometry], separator: str) -> tuple[list[_Standing], dict[str, str]]:
    found: list[_Standing] = []
    claimed: dict[str, str] = {}
    for space in (g.space for g in geometries):
        for entity in space.frames:
            frame = read_frame(entity.text, separator)
            if frame is not None:
                found.append(_standing(entity, frame))
        for note in space.notes:
            frame = read_frame_note(note.text, separator)
            if frame is not None:
                found.append(_Standing(frame, note.origin, space.name, note.at, float(note.height)))
        found += [_drawn(one, space.name) for one in drawn_frames(space, separator)]
    for one in found:
        claimed |= dict.fromkeys((one.origin.handle, *one.pieces), "feature control frame")
    return found, claimed


def _drawn(drawn: DrawnFrame, layout: str) -> _Standing:
    """It goes by the handle of the text with its tolerance."""
    sign, tolerance = drawn.notes[:2]
    at = Fraction(drawn.left), (Fraction(drawn.low) + Fraction(drawn.high)) / 2
    pieces = tuple(note.origin.handle for note in drawn.notes)
    return _Standing(
        drawn.frame, tolerance.origin, layout, at, float(sign.height), pieces, drawn.right - drawn.left
    )


def _standing(entity: Frame, frame: ControlFrame) -> _Standing:
    return _Standing(frame, entity.origin, entity.layout, entity.shown_at or entity.at, float(entity.height))


class _Tier:
    """What a frame can be tied by."""

    def __init__(
        self, geometries: Sequence[Geometry], attached: Sequence[Attached], leaders: Sequence[Leader], near: float,
        claimed: Mapping[str, str],
    ) -> None:  # fmt: skip
        self._shapes = [
            (shape, view_of.get(id(shape)))
            for g in geometries
            for view_of in ({member: view for view in g.views for member in view.members},)
            for shape in g.space.shapes
            if shape.origin.role is not LineRole.CENTRE
        ]
        self._near = near
        self._leaders = leaders
        self._by_note: dict[str, list[Leader]] = defaultdict(list)
        for leader in leaders:
            if leader.note is not None:
                self._by_note[leader.note].append(leader)
        self._bare_leaders = [e for e in leaders if e.note is None and e.text is None and e.shown_at is not None]
        self._lines: dict[str, list[_Line]] = defaultdict(list)
        for a in attached:
            self._lines[a.dimension.layout] += _lines_of_dimension(a)
        for leader in leaders:
            if leader.origin.handle not in claimed:
                self._lines[leader.layout] += _lines_of_leader(leader)
        for geometry in geometries:
            notes = (note for note in geometry.space.notes if note.origin.handle not in claimed)
            self._lines[geometry.space.name] += [line for note in notes for line in _lines_of_note(note)]
        for lines in self._lines.values():
            lines.sort(key=lambda line: line.y)
        self._tallest = {name: max(line.height for line in lines) for name, lines in self._lines.items() if lines}
        self._more = {name: max(line.more for line in lines) for name, lines in self._lines.items() if lines}

    def tie(self, one: _Standing) -> TiedFrame:
        """The frame with its feature; the surest tie first."""
        bare = TiedFrame(one.frame, one.origin, one.layout, one.at)
        above = self._above(one)
        if len(above) == 1 and not isinstance(above[0], Attached):
            bare = replace(bare, under=above[0].origin.handle)
        own = self._by_note.get(one.origin.handle) or [e for e in self._bare_leaders if _touches(e, one)]
        if own:
            return self._pointed(bare, own, "a leader")
        if len(above) > 1:
            return replace(bare, reason="it stands under more than one text: which one it belongs to can't be told")
        if not above:
            return replace(bare, reason="no leader ends at it, and no dimension or note stands right above it")
        (found,) = above
        if isinstance(found, Attached):
            return self._under(bare, found)
        leaders = [found] if isinstance(found, Leader) else self._leaders_of(found, one.layout)
        if not leaders:
            return replace(bare, reason="no leader ends at it, and none ends at the text right above it")
        return self._pointed(bare, leaders, "the leader of the note above")

    def _leaders_of(self, note: Note, layout: str) -> list[Leader]:
        """The leaders that are tied to a note, else those that end beside it."""
        tied = self._by_note.get(note.origin.handle)
        if tied:
            return tied
        room = room_of(note)
        return [
            leader for leader in self._bare_leaders
            if leader.layout == layout and leader.shown_at is not None
            and room.off(float(leader.shown_at[0]), float(leader.shown_at[1])) <= TAIL * room.height
        ]  # fmt: skip

    def _above(self, one: _Standing) -> list[Attached | Note | Leader]:
        """The dimensions, notes and leaders' texts that stand right above the frame, only those nearest to it."""
        lines, y = self._lines.get(one.layout, []), float(one.at[1])
        tallest = max(one.height, self._tallest.get(one.layout, 0.0))
        highest = y + (BENEATH + LINE * self._more.get(one.layout, 0)) * tallest
        found: dict[int, tuple[float, Attached | Note | Leader]] = {}
        for line in lines[bisect_right(lines, y, key=lambda line: line.y) :]:
            if line.y > highest:
                break
            if (down := _beneath(one, line)) is not None:
                found.setdefault(id(line.of), (down, line.of))
        nearest = min((down for down, _ in found.values()), default=0.0)
        return [above for down, above in found.values() if down <= nearest + one.height / 2]

    def _under(self, bare: TiedFrame, above: Attached) -> TiedFrame:
        handle = above.dimension.handle
        tied = replace(bare, by="the dimension above", dimension=handle, view=above.view)
        shapes = [shape for end in above.ends if end.feature is not None for shape in end.feature.shapes]
        handles = tuple(dict.fromkeys(shape.origin.handle for shape in shapes))
        rounds = {id(s): s for s in shapes if isinstance(s, Circle)}
        hole = None
        sized = above.dimension.kind in (Kind.DIAMETER, Kind.RADIUS)  # elsewhere the frame need not be the hole's
        if sized and above.view is not None and len(rounds) == 1:
            (circle,) = rounds.values()
            hole = _hole_of(circle, above.view)
        return replace(tied, handles=handles, hole=hole)

    def _pointed(self, bare: TiedFrame, leaders: Sequence[Leader], by: str) -> TiedFrame:
        for leader in leaders:
            for tip in leader.tips:
                hit = self._at(tip)
                if hit is not None:
                    shape, view = hit
                    hole = _hole_of(shape, view) if isinstance(shape, Circle) and view is not None else None
                    return replace(bare, by=by, handles=(shape.origin.handle,), hole=hole, view=view)
        return replace(bare, reason=f"{by} points at no line of the drawing")

    def _at(self, tip: Point) -> tuple[Shape, View | None] | None:
        """The line nearest to a leader's tip, within the near distance."""
        best: tuple[float, Shape, View | None] | None = None
        for shape, view in self._shapes:
            off = _off(tip, shape)
            if off is not None and off <= self._near and (best is None or off < best[0]):
                best = off, shape, view
        return None if best is None else best[1:]


@dataclass(frozen=True, slots=True)
class _Line:
    """The lowest line of a text that a frame may hang beneath: its beginning, and its middle's height."""

    x: float
    y: float
    height: float
    """Of its letters; 0 where that is not known."""
    of: Attached | Note | Leader
    more: int = 0
    """How many lines stand beneath it, as far as is known."""


def _lines_of_dimension(attached: Attached) -> Iterator[_Line]:
    place = attached.dimension.shown_at
    if place is not None:
        yield _Line(float(place[0]), float(place[1]), 0.0, attached)


def _lines_of_leader(leader: Leader) -> Iterator[_Line]:
    """Of a leader with a text of its own, whose place is at its first line."""
    if leader.text and leader.note is None and leader.shown_at is not None:
        more = plain_text(leader.text).count("\n")
        yield _Line(float(leader.shown_at[0]), float(leader.shown_at[1]), 0.0, leader, more)


def _lines_of_note(note: Note) -> Iterator[_Line]:
    if note.height > 0:
        room = room_of(note)
        if room.level:
            yield _Line(room.x + room.left, room.foot + room.height / 2, room.height, note)


def _beneath(one: _Standing, line: _Line) -> float | None:
    """How far the frame's middle stands below a line of text; None where it does not hang beneath it."""
    h = max(one.height, line.height)
    if h <= 0:
        return None
    x, y = line.x - float(one.at[0]), line.y - float(one.at[1])
    inside = -ASIDE * h <= x <= one.width + ASIDE * h
    more = line.more * LINE * h
    return max(y - more, 0.0) if inside and 0 < y <= BENEATH * h + more else None


def _touches(leader: Leader, one: _Standing) -> bool:
    """Whether the tail of a leader without a text of its own ends at the frame's left or right edge."""
    tail = leader.shown_at
    if tail is None or leader.layout != one.layout or one.height <= 0:
        return False
    x, y = float(tail[0]) - float(one.at[0]), float(tail[1]) - float(one.at[1])
    reach = TAIL * one.height
    return abs(y) <= reach and (abs(x) <= reach or abs(x - one.width) <= 0.3 * one.width + reach)


def _off(p: Point, shape: Shape) -> float | None:
    """The distance from a point to a line, in doubles: for searching only."""
    x, y = float(p[0]), float(p[1])
    match shape:
        case Segment(_, a, b):
            foot = foot_on(p, a, b)
            return hypot(x - float(foot[0]), y - float(foot[1]))
        case Arc(_, centre, radius, _, _) | Circle(_, centre, radius):
            return abs(hypot(x - float(centre[0]), y - float(centre[1])) - float(radius))
        case _:
            return None


def _hole_of(circle: Circle, view: View) -> HoleGroup | None:
    return next((hole for hole in view.holes if circle.origin.handle in hole.handles), None)


def _identified(standing: Iterable[_Standing]) -> list[DatumLetter]:
    return [
        DatumLetter(one.frame.identifier, one.origin.handle, one.layout, one.at, "a frame's datum letter")
        for one in standing
        if one.frame.identifier
    ]


def _datum_letters(
    geometries: Sequence[Geometry], leaders: Sequence[Leader], claimed: Mapping[str, str]
) -> list[DatumLetter]:
    """Letters in a box, in a datum's block, at a leader's tail, or written in the old way, '-A-'."""
    found: list[DatumLetter] = []
    for leader in leaders:
        letter = "" if leader.text is None else lone_letter(leader.text)
        if letter:
            handle = leader.note or leader.origin.handle
            found.append(DatumLetter(letter, handle, leader.layout, leader.shown_at, "a leader ends at it"))
    for space in (g.space for g in geometries):
        free = (note for note in space.notes if note.origin.handle not in claimed)  # a frame's letters define nothing
        letters = [(note, letter) for note in free if (letter := lone_letter(note.text))]
        near = _short_lines(space, max((float(n.height) for n, _ in letters), default=0.0)) if letters else ()
        for note, letter in letters:
            how = ""
            if "DATUM" in note.block.upper() or "DATUM" in note.tag.upper():
                how = "a datum block"
            elif "-" in plain_text(note.text):
                how = "written with dashes"
            elif _boxed(note, near):
                how = "a box around it"
            if how:
                found.append(DatumLetter(letter, note.origin.handle, space.name, note.at, how))
    return found


def _short_lines(space: Space, tallest: float) -> tuple[tuple[float, float, float, float], ...]:
    """Straight lines short enough to be sides of a letter's box: x and y of both ends, lower first."""
    limit = BOX * tallest
    found = []
    for shape in space.shapes:
        if isinstance(shape, Segment):
            ax, ay, bx, by = float(shape.a[0]), float(shape.a[1]), float(shape.b[0]), float(shape.b[1])
            if max(abs(ax - bx), abs(ay - by)) <= limit:
                found.append((min(ax, bx), min(ay, by), max(ax, bx), max(ay, by)))
    return tuple(found)


def _boxed(note: Note, lines: Sequence[tuple[float, float, float, float]]) -> bool:
    """Whether upright and level lines stand close on all four sides of the letter.

    Where the insertion point is in the letter depends on its attachment: each place that it can be is tried.
    """
    h = float(note.height)
    if h <= 0:
        return False
    x, y = float(note.at[0]), float(note.at[1])
    limit, slack = BOX * h, h / 50
    middles = ((x + 0.4 * h, y + 0.5 * h), (x, y + 0.5 * h), (x, y), (x + 0.4 * h, y - 0.5 * h), (x, y - 0.5 * h))
    for mx, my in middles:
        sides: set[str] = set()
        for x0, y0, x1, y1 in lines:
            if x1 - x0 <= slack and y0 <= my <= y1 and abs(x0 - mx) < limit and y1 - y0 <= limit:
                sides.add("left" if x0 < mx else "right")
            elif y1 - y0 <= slack and x0 <= mx <= x1 and abs(y0 - my) < limit and x1 - x0 <= limit:
                sides.add("below" if y0 < my else "above")
        if len(sides) == 4:
            return True
    return False
