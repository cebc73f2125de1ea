"""From a space with loose pieces to the same space with their dimensions."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from math import hypot

import numpy as np
import shapely

from dimaudit.model.drawing import Dimension, Point, Segment, Space
from dimaudit.model.style import DimStyle
from dimaudit.rebuild.exploded.carrier import BIGGEST, FINE, Carrier, carrier
from dimaudit.rebuild.exploded.curved import angular, radial
from dimaudit.rebuild.exploded.lettering import Lettering, nearest_factor, numbers, usual_separator
from dimaudit.rebuild.exploded.linework import Linework
from dimaudit.rebuild.exploded.straight import APART, CLOSE, CROSSING, Found, Label, beside, straight

OVER = 3.0
"""The gap between part and extension line over the height of the letters, at most; about one half is usual (ASME Y14.5:
a visible gap; the figure is common practice, no source)."""
CROWD = 24
"""Lines beside one text, or meeting at one place, above which nobody could say which of them carries it."""
ON_LINE = 1e-5
"""Noise of the places of an exploded dimension over the height of its letters."""


def put_together(space: Space) -> Space:
    """The space with a dimension for each group of pieces that a person reads as one.

    The pieces are taken out of its shapes: they are no outline. Their handles stay among the handles of the space.
    """
    if not space.notes or not space.shapes:
        return space
    texts = list(numbers(space, usual_separator(space)))
    if not texts:
        return space
    height = min(text.height for text in texts)
    work = Linework(space, FINE * height)
    found = _settled(_candidates(work, texts))
    if not found:
        return space
    taken = {k for one in found for k in one.shapes}
    factor_at = nearest_factor(space)
    dimensions: dict[str, Dimension] = {}
    for one in found:  # a block that is shown several times has its dimension once
        points = _on_part(work, one, taken)
        dimensions.setdefault(one.text.note.origin.handle, _dimension(one, points, space, factor_at(one.text)))
    return replace(
        space,
        shapes=tuple(shape for k, shape in enumerate(space.shapes) if k not in taken),
        dimensions=(*space.dimensions, *dimensions.values()),
    )


def _candidates(work: Linework, texts: list[Lettering]) -> Iterator[Found]:
    rooms = shapely.polygons(np.array([text.corners() for text in texts]))
    heights = np.array([text.height for text in texts])
    near: list[list[int]] = [[] for _ in texts]
    hits = work.network.tree.query(rooms, predicate="dwithin", distance=CLOSE * heights + work.network.sagitta)
    for t, k in hits.T.tolist():
        if k not in work.of_heads and work.shapes[k].origin.inserts == texts[t].note.origin.inserts:
            near[t].append(k)
    leading = _Leading(work)
    for text, room, close in zip(texts, rooms, near, strict=True):
        if len(close) > CROWD:
            continue
        for seeds in _on_one_line(work, sorted(close), FINE * text.height):
            if (label := beside(text, leading.through(text, seeds))) is not None:
                yield from straight(work, label)
                yield from radial(work, label)
        for label in leading.labels(text, close):
            yield from straight(work, label)
            yield from radial(work, label)
        yield from angular(work, text, close)
        for head in work.heads_near(room, BIGGEST * text.height):
            line = None if head.way is None else carrier(work, text, (), head)
            if line is not None and (label := beside(text, line, APART)) is not None:
                yield from straight(work, label)


@dataclass(frozen=True, slots=True)
class _Met:
    """Where another line meets the end of a line at an angle, and that other line's far end."""

    x: float
    y: float
    other: int
    far: tuple[float, float]


class _Leading:
    """What lines lead to, each line looked at once: in the grid of a table every line meets many, for every text."""

    def __init__(self, work: Linework) -> None:
        self.work = work
        self._carriers: dict[tuple[tuple[int, ...], float, tuple[str, ...]], Carrier] = {}
        self._met: dict[tuple[int, float, tuple[str, ...]], tuple[_Met, ...]] = {}

    def through(self, text: Lettering, seeds: tuple[int, ...]) -> Carrier:
        """The line through the lines `seeds`."""
        key = seeds, text.height, text.note.origin.inserts
        if key not in self._carriers:
            self._carriers[key] = carrier(self.work, text, seeds)
        return self._carriers[key]

    def labels(self, text: Lettering, close: Iterable[int]) -> Iterator[Label]:
        """The text as a leader takes it to a dimension line, or to the arrowhead at its end.

        The line by the text is a landing: what meets its end is the line with the arrowhead, or one more that leads
        there. Lines without an arrowhead are no dimension's.
        """
        fine = FINE * text.height
        for k in close:
            for first in self._meets(k, text):
                line = self.through(text, (first.other,))
                if line.heads:
                    t = line.along(first.x, first.y)
                    yield Label(text, line, t, t, (k,))
                for second in self._meets(first.other, text):
                    off = hypot(second.x - first.far[0], second.y - first.far[1])
                    if second.other != k and off <= fine:
                        line = self.through(text, (second.other,))
                        if line.heads:
                            t = line.along(second.x, second.y)
                            yield Label(text, line, t, t, (k, first.other))

    def _meets(self, k: int, text: Lettering) -> tuple[_Met, ...]:
        key = k, text.height, text.note.origin.inserts
        if key not in self._met:
            self._met[key] = tuple(_met(self.work, k, text, FINE * text.height))
        return self._met[key]


def _met(work: Linework, k: int, text: Lettering, fine: float) -> Iterator[_Met]:
    """What meets each end of a line at an angle."""
    if not isinstance(work.shapes[k], Segment) or work.is_centre(k):
        return
    ax, ay, bx, by = work.ends[k].tolist()
    size = work.length(k)
    for x, y in ((ax, ay), (bx, by)):
        met = work.at(x, y, fine)
        for other in met if len(met) <= CROWD else ():
            shape = work.shapes[other]
            if other == k or other in work.of_heads or not isinstance(shape, Segment) or work.is_centre(other):
                continue
            cx, cy, dx, dy = work.ends[other].tolist()
            aslant = abs((dx - cx) * (by - ay) - (dy - cy) * (bx - ax)) > CROSSING * size * work.length(other)
            if aslant and shape.origin.inserts == text.note.origin.inserts:
                far = (dx, dy) if hypot(cx - x, cy - y) <= hypot(dx - x, dy - y) else (cx, cy)
                yield _Met(x, y, other, far)


def _on_one_line(work: Linework, close: Iterable[int], fine: float) -> list[tuple[int, ...]]:
    """The straight lines by the text, those on one endless line together; centrelines are none of it."""
    groups: list[tuple[float, float, float, float, list[int]]] = []
    for k in close:
        if not isinstance(work.shapes[k], Segment) or work.is_centre(k):
            continue
        ax, ay, bx, by = work.ends[k].tolist()
        size = work.length(k)
        if size <= fine:
            continue
        for x, y, ux, uy, members in groups:
            if all(abs((px - x) * uy - (py - y) * ux) <= fine for px, py in ((ax, ay), (bx, by))):
                members.append(k)
                break
        else:
            groups.append((ax, ay, (bx - ax) / size, (by - ay) / size, [k]))
    return [tuple(members) for *_, members in groups]


def _settled(candidates: Iterable[Found]) -> list[Found]:
    """One dimension for each text, one text for each pair of arrowheads; where two are as likely, none.

    A text may go to what looks likeliest, or to what its number fits. What fits comes first: a wrong number is one
    that fits nothing.
    """
    by_text: dict[int, list[Found]] = defaultdict(list)
    for one in candidates:
        by_text[id(one.text)].append(one)
    open_ones = []
    for found in by_text.values():
        found.sort(key=lambda f: f.rank)
        open_ones += [one for one in found if one.fits or one is found[0]]
    open_ones.sort(key=_order)
    texts: set[int] = set()
    tips: set[frozenset[tuple[float, float]]] = set()
    extensions: set[int] = set()
    other_lines: set[int] = set()
    settled = []
    for n, one in enumerate(open_ones):
        if id(one.text) in texts or one.tips in tips:
            continue
        own = one.shapes - one.extensions
        if own & extensions or one.extensions & other_lines:  # ticks on an extension line are those of its neighbours
            continue
        rival = open_ones[n + 1] if n + 1 < len(open_ones) else None
        tips.add(one.tips)
        if rival is None or rival.tips != one.tips or _order(rival) != _order(one) or rival.text is one.text:
            texts.add(id(one.text))
            extensions |= one.extensions
            other_lines |= own
            settled.append(one)
    return settled


def _order(found: Found) -> tuple[object, ...]:
    return not found.fits, found.rank, sorted(found.tips)


def _on_part(work: Linework, found: Found, taken: set[int]) -> dict[int, Point]:
    """The points moved on, over the gap that is left before the part, to the corner or centre the line aims at.

    Only what stands on the extension line to within the noise counts: what it misses is to be found as missed.
    """
    points = dict(found.points)
    height = found.text.height
    for group, (ux, uy) in found.aims:
        x, y = float(points[group][0]), float(points[group][1])
        probe = shapely.LineString([(x, y), (x + ux * OVER * height, y + uy * OVER * height)])
        ahead = []
        for at in work.places(probe, ON_LINE * height, taken):
            dx, dy = float(at[0]) - x, float(at[1]) - y
            if abs(dx * uy - dy * ux) <= ON_LINE * height:
                ahead.append((dx * ux + dy * uy, at))
        if ahead:
            points[group] = min(ahead)[1]
    return points


def _dimension(found: Found, points: dict[int, Point], space: Space, factor: Fraction) -> Dimension:
    note = found.text.note
    shown = factor if factor > 0 else Fraction(1)
    assert note.scale
    return Dimension(
        handle=note.origin.handle,
        kind=found.kind,
        layer=note.origin.layer,
        points=points,
        angle=found.angle,
        oblique=found.oblique,
        override=note.text,
        style=DimStyle(factor=factor, separator=found.text.separator, places=found.text.reading.places or 0),
        text_factor=shown / note.scale,
        true_factor=shown / note.scale,
        text_at=found.text.middle,
        shown_at=found.text.middle,
        layout=space.name,
        pieces=found.handles,
    )
