"""What notes state of rounded and chamfered edges: 'R.25 TYP', '4X .06 X 45°', with a leader or without."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import isclose, radians, tan

from dimaudit.judge.called import size_in
from dimaudit.model.drawing import Arc, Circle, LineRole, Point, Segment
from dimaudit.model.pointed import RadiusNote
from dimaudit.model.stated import RADII, Chamfer, Stated
from dimaudit.model.units import Unit
from dimaudit.model.view import Geometry, View
from dimaudit.scheme.analyse import Placed, Sized
from dimaudit.text.grammar import read_text
from dimaudit.text.markup import plain_text

STEEP = 1e-3
"""How far the drawn slope of a chamfer may be from the stated one, as a share; it only finds the edge that is meant."""
_MAY_BE = re.compile(r"\d")
LONGEST = 60
"""Letters of a text that is one size with its words; a longer one is a sentence."""


def edges_of_notes(
    radii: Sequence[RadiusNote], geometry: Geometry, scales: Mapping[int, Fraction], unit: Unit | None
) -> Iterator[Sized | Placed]:
    """The arcs that radius notes size, and the legs of the chamfers that notes state.

    A leader that ends on an arc sizes that arc, and with a count or TYP all that are as large. A text that is tied to
    nothing sizes all that are as large as it says: which ones it means is for other rules to say. A chamfer is found
    by its size: a slanted edge with the stated leg and angle.
    """
    own = {id(v) for v in geometry.views}
    tied = {n.handles[0]: n for n in radii if n.arcs and n.view is not None and id(n.view) in own}
    for note in tied.values():
        if not note.stated.reference:
            yield from _pointed(note, geometry.views, scales)
    for text in geometry.space.notes:
        if text.origin.handle in tied or len(text.text) > LONGEST or not _MAY_BE.search(text.text):
            continue
        stated = read_text(" ".join(plain_text(text.text).split()))
        if not isinstance(stated, Stated) or stated.reference:
            continue
        for view in geometry.views:
            ruler = _Ruler(scales.get(id(view), Fraction(1)), unit)
            if stated.chamfer is not None:
                yield from _chamfers(stated, view, ruler, text.origin.handle)
            elif stated.sign in RADII and stated.call_out is None:
                same = tuple(r for r in _rounds(view, Arc) if ruler.agrees(r[1], stated))
                if same:
                    yield Sized(view, same, text.origin.handle)


def _pointed(note: RadiusNote, views: Sequence[View], scales: Mapping[int, Fraction]) -> Iterator[Sized]:
    assert note.view is not None
    first = note.arcs[0]
    several = note.stated.count is not None or any(word.upper().startswith("TYP") for word in note.stated.words)
    if not several:
        yield Sized(note.view, tuple(_round(note.view, arc) for arc in note.arcs), note.handles[0])
        return
    scale, value = scales.get(id(note.view), Fraction(1)), note.radius()
    alike = [_round(note.view, first)] + [r for r in _rounds(note.view, type(first)) if r[1] == value]
    yield Sized(note.view, tuple(alike), note.handles[0])
    for view in views:  # the same corners may show in another view
        if view is not note.view and scales.get(id(view), Fraction(1)) == scale:
            same = tuple(r for r in _rounds(view, type(first)) if r[1] == value)
            if same:
                yield Sized(view, same, note.handles[0])


def _round(view: View, shape: Arc | Circle) -> tuple[Point, Fraction]:
    return view.place(shape.centre), view.radius(shape.radius).value


def _rounds(view: View, kind: type[Arc] | type[Circle]) -> Iterator[tuple[Point, Fraction]]:
    for shape in view.shapes:
        if isinstance(shape, kind) and shape.origin.role is not LineRole.CENTRE:
            yield _round(view, shape)


@dataclass(frozen=True, slots=True)
class _Ruler:
    """Drawn lengths against stated ones."""

    scale: Fraction
    """Drawn over true size."""
    unit: Unit | None

    def agrees(self, drawn: Fraction, stated: Stated) -> bool:
        """Whether the drawn length is the stated one, to half a unit of the last place."""
        value, step = size_in(stated, self.unit)
        return abs(drawn / self.scale - value) <= step / 2


def _chamfers(stated: Stated, view: View, ruler: _Ruler, handle: str) -> Iterator[Placed]:
    """The legs of the slanted edges that are as long, and as steep, as a chamfer note says."""
    chamfer = stated.chamfer
    assert chamfer is not None
    for shape in view.shapes:
        if not isinstance(shape, Segment) or shape.origin.role is LineRole.CENTRE:
            continue
        a, b = view.place(shape.a), view.place(shape.b)
        legs = (abs(b[0] - a[0]), abs(b[1] - a[1]))
        if 0 not in legs and any(_fits(legs[k], legs[1 - k], stated, chamfer, ruler) for k in (0, 1)):
            for axis in (0,) if legs[0] == legs[1] else (0, 1):  # at 45° the other leg follows
                yield Placed(view, axis, (a[axis], b[axis]), handle)


def _fits(leg: Fraction, other: Fraction, stated: Stated, chamfer: Chamfer, ruler: _Ruler) -> bool:
    if not ruler.agrees(leg, stated):
        return False
    if chamfer.leg is not None:
        return ruler.agrees(other, chamfer.leg)
    angle = Fraction(45) if chamfer.angle is None else chamfer.angle.value
    if angle == 45 or not 0 < angle < 90:
        return leg == other
    slope, drawn = tan(radians(float(angle))), float(other / leg)
    return isclose(drawn, slope, rel_tol=STEEP) or isclose(drawn, 1 / slope, rel_tol=STEEP)
