"""What notes, hole call-outs and control frames point at by their leaders, and which of them point at something else.

A text that stands still says something else when its arrow goes to another hole, so that is a change of the print. What
an arrow points at are the lines, arcs and circles beside its tip; of a tip inside of circles, the smallest one. Where a
tip stands in the open in both drawings, there is nothing to compare.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import zip_longest
from math import hypot

import numpy as np

from dimaudit.compare.features import name
from dimaudit.compare.landed import Partners
from dimaudit.compare.shared import bounds
from dimaudit.compare.texts import Said
from dimaudit.model.compared import Change, Fact, Seat, Sort
from dimaudit.model.drawing import Arc, Circle, Curve, Leader, LineRole, Mark, Point, Segment, Shape
from dimaudit.model.pointed import HoleNote, RadiusNote
from dimaudit.model.units import Unit
from dimaudit.model.view import Geometry, View, foot_on, on_arc
from dimaudit.text.places import size_text

Target = tuple[Shape, ...]
"""What one tip points at."""


class Pointing:
    """The tips of one layout's leaders by the handles of their texts, and the linework there."""

    def __init__(
        self, geometry: Geometry, notes: Iterable[HoleNote | RadiusNote], sheet: View, unit: Unit | None, reach: float
    ) -> None:
        """`notes` are the call-outs of the whole drawing: some are beside a leader that the file ties to no text."""
        self._unit, self._reach = unit, reach
        self._shapes = [s for s in geometry.space.shapes if not isinstance(s, Mark)]
        self._view = {id(s): view for view in (sheet, *geometry.views) for s in view.shapes}
        self._boxes = np.array([_box(s) for s in self._shapes], dtype=float).reshape(-1, 4)
        beside = {h: note.handles[0] for note in notes for h in note.handles[1:]}
        self._tips: dict[str, list[Point]] = defaultdict(list)
        self._handles: dict[str, list[str]] = defaultdict(list)
        for leader in geometry.space.leaders:
            text = _text_of(leader, beside)
            self._tips[text] += leader.tips
            self._handles[text].append(leader.origin.handle)

    def targets(self, text: str) -> list[Target]:
        """One for each tip of the leaders of a text that does not stand in the open."""
        return [target for tip in self._tips.get(text, ()) if (target := self._at(tip))]

    def seat(self, said: Said) -> Seat:
        """Of a text with its leaders."""
        return replace(said.seat, handles=tuple(dict.fromkeys((said.handle, *self._handles.get(said.handle, ())))))

    def words(self, shapes: Target) -> str:
        """'Ø.281 circle at (4.000, 5.750)'; one is enough, as others meet it there."""
        one = min(shapes, key=lambda s: not isinstance(s, (Arc, Circle)))
        view = self._view[id(one)]
        text = name(one, view, self._unit)
        if isinstance(one, (Arc, Circle)):
            x, y = (size_text(v, self._unit) for v in view.place(one.centre))
            text += f" at ({x}, {y})"
        return text

    def _at(self, tip: Point) -> Target:
        """Doubles: for searching only."""
        x, y = float(tip[0]), float(tip[1])
        b, r = self._boxes, self._reach
        inside = np.nonzero((b[:, 0] <= x + r) & (b[:, 1] >= x - r) & (b[:, 2] <= y + r) & (b[:, 3] >= y - r))[0]
        near = [self._shapes[k] for k in inside]
        on = [s for s in near if (off := _off(tip, s)) is not None and off <= r]
        if not on:
            holes = [s for s in near if isinstance(s, Circle) and s.origin.role is not LineRole.CENTRE
                     and hypot(x - float(s.centre[0]), y - float(s.centre[1])) <= float(s.radius)]  # fmt: skip
            on = [min(holes, key=lambda s: s.radius)] if holes else []
        return tuple(on)


def pointed_elsewhere(
    pairs: Sequence[tuple[Said, Said]], old: Pointing, new: Pointing, to: Partners
) -> Iterator[Change]:
    """Texts that are one, and whose leaders do not point at what they pointed at. `to`: new shapes by old ones."""
    for one, other in pairs:
        left, right = _without_alike(old.targets(one.handle), new.targets(other.handle), to)
        words = zip_longest((old.words(t) for t in left), (new.words(t) for t in right), fillvalue="nothing")
        facts = tuple(Fact("points at", was, now) for was, now in words if was != now)
        if facts:
            gone = all(f.new == "nothing" for f in facts)
            sort = Sort.DETACHED if gone else Sort.REATTACHED
            yield Change(sort, f'note "{other.text}"', "", facts, old.seat(one), new.seat(other))


def _without_alike(
    olds: Sequence[Target], news: Sequence[Target], to: Partners
) -> tuple[list[Target], list[Target]]:
    """Those that are left when each took one that points at the same."""
    left, right = [], list(news)
    for one in olds:
        went = {id(to[id(s)]) for s in one if id(s) in to}
        same = next((k for k, t in enumerate(right) if any(id(s) in went for s in t)), None)
        if same is None:
            left.append(one)
        else:
            del right[same]
    return left, right


def _text_of(leader: Leader, beside: Mapping[str, str]) -> str:
    own = leader.origin.handle
    return leader.note or (own if leader.text else beside.get(own, own))


def _box(shape: Shape) -> tuple[float, float, float, float]:
    """Left, right, lower, upper."""
    match shape:
        case Arc(_, centre, radius, _, _) | Circle(_, centre, radius):
            x, y, r = float(centre[0]), float(centre[1]), float(radius)
            return x - r, x + r, y - r, y + r
        case Segment(_, a, b):
            (x0, y0), (x1, y1) = bounds((a, b))
        case Curve(_, points, _):
            (x0, y0), (x1, y1) = bounds(points)
        case Mark(_, at):
            (x0, y0), (x1, y1) = at, at
    return float(x0), float(x1), float(y0), float(y1)


def _off(p: Point, shape: Shape) -> float | None:
    """How far a point is from a line, in doubles: for searching only."""
    x, y = float(p[0]), float(p[1])
    match shape:
        case Segment(_, a, b):
            foot = foot_on(p, a, b)
            return hypot(x - float(foot[0]), y - float(foot[1]))
        case Circle(_, centre, radius):
            return abs(hypot(x - float(centre[0]), y - float(centre[1])) - float(radius))
        case Arc(_, centre, radius, _, _):
            off = abs(hypot(x - float(centre[0]), y - float(centre[1])) - float(radius))
            return off if on_arc(shape, p) else None
        case Curve(_, points, _):
            return min(hypot(x - float(q[0]), y - float(q[1])) for q in points)
        case Mark():
            return None
