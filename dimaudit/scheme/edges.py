"""Which linework of a view is the part's own edges, and what ends on them."""

import re
from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from functools import cache
from math import atan2, degrees, hypot

import numpy as np

from dimaudit.model.drawing import Arc, Circle, LineRole, Point, Segment, Shape
from dimaudit.model.view import View, on_arc

HATCH = 6
"""Parallel slanted lines with free ends on both sides, at least so many: hatching (common practice, no source)."""

THREAD = (225.0, 315.0)
"""Degrees of the arc that stands for a thread seen from its end: about three quarters (ISO 6410-1, from memory)."""

_NO_EDGES = re.compile(
    r"section.?lines?\b|cutting|viewing|break.?line|hatch|phantom|construct|border|title|\btext|\bnotes?\b|symbol|annot"
    r"|dimension|\bdims?\b|leader|balloon|weld",
    re.IGNORECASE,
)
"""Layers of lines that are no edges, by the names of ASME Y14.2's lines (from memory) and plain words."""


@cache
def _no_edges(layer: str) -> bool:
    return _NO_EDGES.search(layer) is not None


def edges(view: View) -> list[Shape]:
    """The shapes that are edges of the part: no centrelines, no section, break or border lines, no hatching."""
    own = [s for s in view.shapes if s.origin.role is not LineRole.CENTRE and not _no_edges(s.origin.layer)]
    threads = _threads(view, own)
    own = [s for s in own if id(s) not in threads]
    slanted = [s for s in own if isinstance(s, Segment) and s.a[0] != s.b[0] and s.a[1] != s.b[1]]
    if len(slanted) < HATCH:
        return own
    ends = Counter(view.place(end) for s in own if isinstance(s, (Segment, Arc)) for end in (s.a, s.b))
    loose: dict[float, list[Shape]] = defaultdict(list)
    for line in slanted:
        a, b = view.place(line.a), view.place(line.b)
        if ends[a] == ends[b] == 1 and a[0] != b[0]:
            loose[round(float((b[1] - a[1]) / (b[0] - a[0])), 6)].append(line)
    hatch = {id(line) for lines in loose.values() if len(lines) >= HATCH for line in lines}
    return [s for s in own if id(s) not in hatch]


def _threads(view: View, own: Sequence[Shape]) -> set[int]:
    """Arcs of about three quarters round a drawn circle, with free ends: threads as ISO 6410-1 draws them."""
    arcs = [s for s in own if isinstance(s, Arc)]
    if not arcs:
        return set()
    ends = Counter(view.place(end) for s in own if isinstance(s, (Segment, Arc)) for end in (s.a, s.b))
    centres = {view.place(s.centre) for s in own if isinstance(s, Circle)}
    return {
        id(s) for s in arcs
        if ends[view.place(s.a)] == ends[view.place(s.b)] == 1 and view.place(s.centre) in centres
        and THREAD[0] <= _span(s) <= THREAD[1]
    }  # fmt: skip


def _span(arc: Arc) -> float:
    """Degrees, counter-clockwise from its first to its second end."""
    start, end = (atan2(float(p[1] - arc.centre[1]), float(p[0] - arc.centre[0])) for p in (arc.a, arc.b))
    return degrees(end - start) % 360


def meetings(view: View, shapes: Sequence[Shape]) -> Iterator[tuple[Point, Segment | Arc | Circle]]:
    """Ends of lines and arcs that stand on a slanted line, an arc or a circle between its own ends."""
    spots = sorted({view.place(end) for s in shapes if isinstance(s, (Segment, Arc)) for end in (s.a, s.b)})
    xs, ys = (np.array([float(p[axis]) for p in spots]) for axis in (0, 1))
    reach = 10 * view.xs.snap
    for shape in shapes:
        match shape:
            case Segment(_, a, b) if a[0] != b[0] and a[1] != b[1]:
                corners = a, b
            case Arc(_, (x, y), r, _, _) | Circle(_, (x, y), r):
                corners = (x - r, y - r), (x + r, y + r)
            case _:
                continue
        (left, right), (low, high) = (sorted(float(p[axis]) for p in corners) for axis in (0, 1))
        first, last = np.searchsorted(xs, left - 2 * reach), np.searchsorted(xs, right + 2 * reach, "right")
        beside = ys[first:last]
        for k in np.flatnonzero((beside >= low - 2 * reach) & (beside <= high + 2 * reach)):
            if _between(view, spots[first + k], shape, reach):
                yield spots[first + k], shape


def _between(view: View, p: Point, shape: Segment | Arc | Circle, reach: float) -> bool:
    x, y = float(p[0]), float(p[1])
    if isinstance(shape, Segment):
        (ax, ay), (bx, by) = ((float(q[0]), float(q[1])) for q in (shape.a, shape.b))
        long = hypot(bx - ax, by - ay)
        off = abs((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / long
        along = ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / long
        return off <= reach and reach < along < long - reach
    if abs(hypot(x - float(shape.centre[0]), y - float(shape.centre[1])) - float(shape.radius)) > reach:
        return False
    if isinstance(shape, Circle):
        return True
    return p not in (view.place(shape.a), view.place(shape.b)) and on_arc(shape, p)

