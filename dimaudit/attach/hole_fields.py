"""The holes of one view, and the places that a drafter would count their coordinates from."""

import re
from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from math import floor, hypot

import numpy as np
from numpy.typing import NDArray

from dimaudit.attach.room import room_of
from dimaudit.model.attached import Attached
from dimaudit.model.drawing import Circle, Kind, Leader, LineRole, Point, Segment, Space
from dimaudit.model.geometry import FeatureKind
from dimaudit.model.units import Unit
from dimaudit.model.view import Geometry, View, crossing
from dimaudit.text.markup import plain_text
from dimaudit.text.places import size_text

MOST_CENTRELINES = 40
"""Crossings of centrelines are looked at in views with no more of them."""
MARK_REACH = 10.0
MARK_UNSURE = 2.0
"""From a mark of the origin to the place that it marks, at most, and how much further off another place may be that
may be meant as well: in heights of its letters. Common practice, no source."""
SHORT = 40
"""Characters in the longest text that is looked at."""
LEFT_CORNER, CORNER, PLACE = 2, 3, 4
"""Ranks of starts. Before them come the origin of the ordinate dimensions and a mark."""

_ZERO = r" ?=? ?0(?:[.,]0{0,6})?"
_ORIGIN_MARK = re.compile(
    rf"\(?X{_ZERO} ?[,;/]? ?Y{_ZERO}\)?|\(?0(?:\.0{{0,6}})? ?[,;/] ?0(?:\.0{{0,6}})?\)?"
    r"|(?:(?:PART|PROGRAM|WORK|DATUM) )?(?:ORIGIN|ZERO)|DATUM(?: (?:POINT|0[,;/ ]0))?|ZERO POINT"
)


@dataclass(frozen=True, slots=True)
class Hole:
    """Concentric circles; x and y are for searching."""

    centre: Point
    radii: tuple[Fraction, ...]
    handles: tuple[str, ...]
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class Start:
    """A place to count from."""

    at: Point
    rank: int
    """What a drafter would rather count from comes first; places of one rank are as good as each other."""
    text: str
    handle: str = ""
    """Of the text that marks it."""

    @property
    def said(self) -> bool:
        """Whether the sheet itself says that it is counted from there."""
        return self.rank < LEFT_CORNER


@dataclass(frozen=True)
class Field:
    """The holes of one view, or those of a space that are in no view."""

    name: str
    space: Space
    view: View | None
    holes: tuple[Hole, ...]
    ordinates: tuple[Point, ...]
    factors: tuple[Fraction, ...]
    """True size over drawn size, as dimensions of the view have it."""
    unit: Unit | None
    leaders: tuple[Leader, ...]
    """Of all layouts: a leader on a sheet may point into the model."""
    snap: float

    @cached_property
    def _cells(self) -> tuple[float, dict[tuple[int, int], list[Hole]]]:
        """The holes by square cells, about one to a cell."""
        xs, ys = [h.x for h in self.holes], [h.y for h in self.holes]
        size = max(max(xs) - min(xs), max(ys) - min(ys), 1e-9) / len(self.holes) ** 0.5
        cells: dict[tuple[int, int], list[Hole]] = defaultdict(list)
        for hole in self.holes:
            cells[floor(hole.x / size), floor(hole.y / size)].append(hole)
        return size, cells

    def near(self, x: float, y: float, reach: float) -> Iterator[Hole]:
        """Holes whose centre is within `reach` along both axes."""
        size, cells = self._cells
        low_x, high_x, low_y, high_y = (floor(v / size) for v in (x - reach, x + reach, y - reach, y + reach))
        if (high_x - low_x + 1) * (high_y - low_y + 1) > len(self.holes):
            found: Sequence[Hole] = self.holes
        else:
            spots = ((i, j) for i in range(low_x, high_x + 1) for j in range(low_y, high_y + 1))
            found = [hole for spot in spots for hole in cells.get(spot, ())]
        return (hole for hole in found if abs(hole.x - x) <= reach and abs(hole.y - y) <= reach)

    @cached_property
    def arrays(self) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
        """x, y and largest radius of the holes: for searching only."""
        radii = [float(h.radii[-1]) for h in self.holes]
        return np.array([h.x for h in self.holes]), np.array([h.y for h in self.holes]), np.array(radii)

    @cached_property
    def alike(self) -> Counter[tuple[Fraction, ...]]:
        """How many holes have these radii."""
        return Counter(hole.radii for hole in self.holes)

    @cached_property
    def starts(self) -> tuple[Start, ...]:
        """Places to count from, each once, the likeliest first."""
        found: dict[Point, Start] = {}
        for start in (*self._starts(), *self._marked()):
            if start.at not in found or start.rank < found[start.at].rank:
                found[start.at] = start
        return tuple(sorted(found.values(), key=lambda s: s.rank))

    @cached_property
    def _unsaid(self) -> tuple[Start, ...]:
        return tuple(self._starts())

    def _starts(self) -> Iterator[Start]:
        for at in self.ordinates:
            yield Start(at, 0, "the origin of the ordinate dimensions")
        corners = [at for at, kind in self._places if kind is not FeatureKind.CENTRE]
        if corners:
            (low, high), (bottom, top) = ((min(c), max(c)) for c in zip(*corners, strict=True))
            yield Start((low, bottom), LEFT_CORNER, "the lower left corner")
            yield Start((low, top), CORNER, "the upper left corner")
            yield Start((high, bottom), CORNER, "the lower right corner")
            yield Start((high, top), CORNER, "the upper right corner")
            yield Start(((low + high) / 2, (bottom + top) / 2), CORNER, "the middle of the part")
        for at, kind in self._places:
            yield Start(at, PLACE, f"the {kind} at {self.spot(at)}")
        for hole in self.holes:
            yield Start(hole.centre, PLACE, f"the centre of the hole at {self.spot(hole.centre)}")
        zero = Fraction(0)
        yield Start((zero, zero), PLACE, "the origin of the drawing")

    def _marked(self) -> Iterator[Start]:
        """The places that a text with an origin's words stands beside or points at."""
        for note in self.space.notes:
            text = _mark_text(note.text)
            h = float(note.height)
            if not text or h <= 0:
                continue
            room = room_of(note)
            near = [(room.off(float(s.at[0]), float(s.at[1])), s) for s in self._unsaid]
            nearest = min(off for off, _ in near)
            if nearest <= MARK_REACH * h:
                for off, start in near:
                    if off <= nearest + MARK_UNSURE * h:
                        yield Start(start.at, 1, f'the mark "{text}"', note.origin.handle)
        for leader in self.leaders:
            text = _mark_text(leader.text or "")
            for tip in leader.tips if text else ():
                x, y = float(tip[0]), float(tip[1])
                for start in self._unsaid:
                    if hypot(float(start.at[0]) - x, float(start.at[1]) - y) <= self.snap:
                        yield Start(start.at, 1, f'the mark "{text}"', leader.note or leader.origin.handle)

    def spot(self, p: Point) -> str:
        """The place in words."""
        return f"({size_text(p[0], self.unit)}, {size_text(p[1], self.unit)})"

    @cached_property
    def _places(self) -> list[tuple[Point, FeatureKind]]:
        if self.view is None:
            ends = [p for s in self.space.shapes if isinstance(s, Segment) for p in (s.a, s.b)]
            return [(p, FeatureKind.CORNER) for p in ends]
        wanted = (FeatureKind.CORNER, FeatureKind.SHARP_CORNER, FeatureKind.CENTRE, FeatureKind.POINT)
        places = [
            (f.at, f.kind)
            for f in self.view.points
            if f.kind in wanted and any(s.origin.role is not LineRole.CENTRE for s in f.shapes)
        ]
        lines = self.view.centrelines if len(self.view.centrelines) <= MOST_CENTRELINES else ()
        for k, first in enumerate(lines):
            for second in lines[k + 1 :]:
                at = crossing(first.a, first.b, second.a, second.b)
                if at is not None:
                    places.append((self.view.place(at), FeatureKind.CENTRE))
        return places


def hole_fields(
    geometries: Sequence[Geometry], attached: Sequence[Attached], unit: Unit | None, snap: float
) -> Iterator[Field]:
    """The fields of all views with holes, and of the holes that are in no view."""
    of_view: dict[int, list[Attached]] = defaultdict(list)
    for a in attached:
        if a.view is not None:
            of_view[id(a.view)].append(a)
    leaders = tuple(leader for g in geometries for leader in g.space.leaders)
    for geometry in geometries:
        space = geometry.space
        inside: set[int] = set()
        for view in geometry.views:
            inside |= view.members
            own = of_view[id(view)]
            ordinates = tuple(dict.fromkeys(filter(None, map(_origin_of, own))))
            factors = tuple(dict.fromkeys([Fraction(1), *(a.dimension.true_factor for a in own)]))
            holes = tuple(_hole(h.centre, h.radii, h.handles) for h in view.holes)
            if holes:
                yield Field(view.name, space, view, holes, ordinates, factors, unit, leaders, snap)
        groups: dict[Point, list[Circle]] = defaultdict(list)
        for shape in space.shapes:
            if isinstance(shape, Circle) and shape.origin.role is not LineRole.CENTRE and id(shape) not in inside:
                groups[shape.centre].append(shape)
        loose = tuple(
            _hole(centre, tuple(sorted({c.radius for c in own})), tuple(c.origin.handle for c in own))
            for centre, own in groups.items()
        )
        if loose:
            yield Field("", space, None, loose, (), (Fraction(1),), unit, leaders, snap)


def _hole(centre: Point, radii: tuple[Fraction, ...], handles: tuple[str, ...]) -> Hole:
    return Hole(centre, radii, handles, float(centre[0]), float(centre[1]))


def _origin_of(attached: Attached) -> Point | None:
    """Where an ordinate dimension counts from, on the recovered levels of its view."""
    if attached.dimension.kind is not Kind.ORDINATE or attached.view is None or attached.dimension.unmeasurable:
        return None
    end = next((e for e in attached.ends if e.group == 10 and e.feature is not None), None)
    if end is not None and end.feature is not None:
        return end.feature.at
    return attached.view.place(attached.dimension.points[10])


def _mark_text(raw: str) -> str:
    """The words that mark an origin; empty for any other text."""
    if not raw or len(raw) >= SHORT:
        return ""
    text = " ".join(plain_text(raw).split())
    return text if _ORIGIN_MARK.fullmatch(text.upper()) else ""
