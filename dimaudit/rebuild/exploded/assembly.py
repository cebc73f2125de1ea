"""From a space with loose pieces to the same space with their dimensions."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import replace
from fractions import Fraction
from math import hypot

import numpy as np
import shapely

from dimaudit.model.drawing import Dimension, Segment, Space
from dimaudit.model.style import DimStyle
from dimaudit.rebuild.exploded.carrier import BIGGEST, FINE, Carrier, carrier
from dimaudit.rebuild.exploded.curved import angular, radial
from dimaudit.rebuild.exploded.lettering import Lettering, numbers, usual_factor, usual_separator
from dimaudit.rebuild.exploded.linework import Linework
from dimaudit.rebuild.exploded.straight import CLOSE, Found, straight

CLAIM = "exploded dimension"


def claimed_texts(space: Space) -> dict[str, str]:
    """Handles of the texts that were read as those of exploded dimensions."""
    return {d.handle: CLAIM for d in space.dimensions if d.exploded}


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
    factor = usual_factor(space)
    dimensions: dict[str, Dimension] = {}
    for one in found:  # a block that is shown several times has its dimension once
        dimensions.setdefault(one.text.note.origin.handle, _dimension(one, space, factor))
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
    known: dict[tuple[tuple[int, ...], float], Carrier] = {}
    for text, room, close in zip(texts, rooms, near, strict=True):
        for seeds in _on_one_line(work, sorted(close), FINE * text.height):
            key = (seeds, text.height)
            line = known.get(key)
            if line is None:
                line = known[key] = carrier(work, text, seeds)
            yield from straight(work, text, line)
            t, half = line.along(text.x, text.y), text.half(line.way) + CLOSE * text.height
            if line.gap(text) <= CLOSE * text.height:
                yield from radial(work, text, line, (t - half, t + half))
        yield from _with_landing(work, text, close)
        yield from angular(work, text, close)
        for head in work.heads_near(room, BIGGEST * text.height):
            if head.way is not None:
                yield from straight(work, text, carrier(work, text, (), head))


def _with_landing(work: Linework, text: Lettering, close: Iterable[int]) -> Iterator[Found]:
    """A leader with a short line toward its text: the arrowhead is on the line that meets that one."""
    if text.reading.sign is None:
        return
    fine = FINE * text.height
    for k in close:
        if not isinstance(work.shapes[k], Segment) or work.is_centre(k):
            continue
        ax, ay, bx, by = work.ends[k].tolist()
        for x, y in ((ax, ay), (bx, by)):
            for other in work.at(x, y, fine):
                cx, cy, dx, dy = work.ends[other].tolist()
                meets = min(hypot(cx - x, cy - y), hypot(dx - x, dy - y)) <= fine  # never, for what is not straight
                inserts = work.shapes[other].origin.inserts
                if other == k or not meets or other in work.of_heads or inserts != text.note.origin.inserts:
                    continue
                line = carrier(work, text, (other,))
                t = line.along(x, y)
                yield from radial(work, text, line, (t, t), (k,))


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
    """One dimension for each text, one text for each pair of arrowheads; where two are as likely, none."""
    by_text: dict[int, list[Found]] = defaultdict(list)
    for one in candidates:
        by_text[id(one.text)].append(one)
    best = [min(found, key=lambda f: f.rank) for found in by_text.values()]
    by_tips: dict[frozenset[tuple[float, float]], list[Found]] = defaultdict(list)
    for one in best:
        by_tips[one.tips].append(one)
    settled = []
    for found in by_tips.values():
        found.sort(key=lambda f: f.rank)
        if len(found) == 1 or found[0].rank < found[1].rank:
            settled.append(found[0])
    return settled


def _dimension(found: Found, space: Space, factor: Fraction) -> Dimension:
    note = found.text.note
    shown = factor if factor > 0 else Fraction(1)
    assert note.scale
    return Dimension(
        handle=note.origin.handle,
        kind=found.kind,
        layer=note.origin.layer,
        points=found.points,
        angle=found.angle,
        oblique=found.oblique,
        override=note.text,
        style=DimStyle(factor=factor, separator=found.text.separator),
        text_factor=shown / note.scale,
        true_factor=shown / note.scale,
        text_at=found.text.middle,
        shown_at=found.text.middle,
        layout=space.name,
        pieces=found.handles,
    )
