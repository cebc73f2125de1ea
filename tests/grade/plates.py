"""A rudder bearing block as the evening class draws it: its key, and what learners make of it.

The block is 8 x 5 inches with a notch below, a chamfer, two bolt holes, a bore and a slot. Every size can be set apart,
and it can be drawn with other entities, moved, turned, mirrored and scaled.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cache
from itertools import pairwise
from math import atan2, degrees, hypot
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from rules.rule_board import CENTRE, END, Board, Spot, Tie

from dimaudit.grade.laid_out import Key, key_of
from dimaudit.grade.marks import grade
from dimaudit.model.grading import Asked, Criterion, Graded, Rubric
from dimaudit.model.settings import Settings
from dimaudit.pipeline import Examined, examine_file

C = Criterion
ALL = ("width", "height", "bolt x", "bolt y", "bolts apart", "bore x", "bore y", "notch x", "notch wide", "notch deep",
       "chamfer x", "chamfer y", "slot x", "slot long", "slot y", "bolt size", "bore size", "slot size")  # fmt: skip
"""The key's dimensions."""


@dataclass(frozen=True)
class Block:
    """What is drawn. Lengths in inches."""

    left: float = 0.0
    width: float = 8.0
    height: float = 5.0
    bolts: tuple[Spot | None, ...] = ((1.0, 1.0), (7.0, 1.0))
    bolt_size: tuple[float, ...] = (0.5, 0.5)
    bore: Spot | None = (4.0, 2.4375)
    bore_size: float = 1.25
    notch: tuple[float, float, float] | None = (3.0, 5.0, 0.75)
    """From, to, deep."""
    chamfer: tuple[float, float] | None = (0.75, 0.75)
    slot: tuple[float, float, float] | None = (2.0, 3.0, 4.0)
    """Centres' x, and their y."""
    slot_radius: float = 0.25
    tilt: float = 0.0
    """By how much the upper edge's left end is too high."""
    dims: tuple[str, ...] = ALL
    texts: dict[str, str] = field(default_factory=dict)
    places: dict[str, int] = field(default_factory=dict)
    styles: dict[str, Any] = field(default_factory=dict)
    """Settings of all dimensions: 'dimlfac'."""
    free: frozenset[str] = frozenset()
    """Dimensions that are not associated."""
    way: Callable[[Spot], Spot] = tuple[float, float]
    """Where a place comes to lie: moved, turned, mirrored, scaled."""
    scale: float = 1.0
    build: str = "lines"
    """'lines', 'polyline', 'block'."""
    cuts: tuple[float, ...] = ()
    """Shares of its length, in order, at which each line is cut in pieces."""
    arc_cuts: tuple[float, ...] = ()
    """Shares of its turn, in order, at which each arc is cut; a circle is cut in arcs at them and where it begins."""
    layers: dict[str, str] = field(default_factory=dict)
    """'outline', 'bolts', 'dims' to a layer."""
    extra: Callable[[Board], Any] | None = None
    stray: Spot | None = None
    """A small hole that the key does not have."""
    metric: bool = False
    shuffled: Callable[[list[Any]], None] | None = None
    points: bool = False

    @property
    def outline(self) -> list[Spot]:
        w, h, left = self.width, self.height, self.left
        spots = [(left, 0.0)]
        if self.notch:
            a, b, deep = self.notch
            spots += [(a, 0.0), (a, deep), (b, deep), (b, 0.0)]
        spots += [(w, 0.0)]
        if self.chamfer:
            cx, cy = self.chamfer
            spots += [(w, h - cy), (w - cx, h)]
        else:
            spots += [(w, h)]
        return [*spots, (left, h + self.tilt)]


class Drawn:
    """A block on a board, with the handles of what was drawn."""

    def __init__(self, block: Block) -> None:
        self.block = block
        self.board = Board(metric=block.metric)
        self.ends: dict[tuple[float, float], str] = {}
        self._draw()

    def at(self, spot: Spot) -> Spot:
        x, y = self.block.way(spot)
        return x * self.block.scale, y * self.block.scale

    def _layer(self, what: str) -> dict[str, str]:
        return {"layer": self.block.layers.get(what, "0")}

    def _draw(self) -> None:
        b, msp = self.block, self.board.msp
        into: Any = msp
        if b.build == "block":
            into = self.board.doc.blocks.new("BEARING")
        steps: list[Callable[[], None]] = [lambda: self._outline(into)]
        steps += [lambda n=n: self._circle(into, b.bolts[n], b.bolt_size[n], "bolts") for n in range(len(b.bolts))]
        steps.append(lambda: self._circle(into, b.bore, b.bore_size, "outline"))
        steps.append(lambda: self._slot(into))
        if b.points:
            steps.append(lambda: self._points(into))
        if b.shuffled is not None:
            b.shuffled(steps)
        for step in steps:
            step()
        if b.stray is not None:
            msp.add_circle(self.at(b.stray), 0.125 * b.scale)
        if b.build == "block":
            msp.add_blockref("BEARING", (0, 0))
        if b.extra is not None:
            b.extra(self.board)
        for name in b.dims:
            self._dimension(name)

    def _line(self, into: Any, a: Spot, b: Spot) -> None:
        p, q = self.at(a), self.at(b)
        spots = [(p[0] + (q[0] - p[0]) * t, p[1] + (q[1] - p[1]) * t) for t in (0.0, *self.block.cuts, 1.0)]
        lines = [into.add_line(c, d, dxfattribs=self._layer("outline")) for c, d in pairwise(spots)]
        self.ends.setdefault(a, lines[0].dxf.handle)
        self.ends.setdefault(b, lines[-1].dxf.handle)

    def _arc(self, into: Any, at: Spot, radius: float, start: float, turn: float, layer: str) -> str:
        """One arc, or several that make it up; gives the first one's handle."""
        angles = [start + turn * t for t in (0.0, *self.block.arc_cuts, 1.0)]
        arcs = [into.add_arc(at, radius, a, b, dxfattribs=self._layer(layer)) for a, b in pairwise(angles)]
        return str(arcs[0].dxf.handle)

    def _outline(self, into: Any) -> None:
        spots = self.block.outline
        if self.block.build == "polyline":
            made = into.add_lwpolyline([self.at(s) for s in spots], close=True, dxfattribs=self._layer("outline"))
            self.ends.update(dict.fromkeys(spots, made.dxf.handle))
            return
        sides = list(zip(spots, spots[1:] + spots[:1], strict=True))
        if self.block.shuffled is not None:
            self.block.shuffled(sides)
        for a, b in sides:
            self._line(into, a, b)

    def _circle(self, into: Any, centre: Spot | None, size: float, layer: str) -> None:
        if centre is None:
            return
        at, radius = self.at(centre), size / 2 * self.block.scale
        cuts = self.block.arc_cuts
        if self.block.build == "polyline":
            self.ends[centre] = self._arc(into, at, radius, 0, 180, layer)
            self._arc(into, at, radius, 180, 180, layer)
        elif cuts:
            self.ends[centre] = self._arc(into, at, radius, 360 * cuts[0], 360, layer)
        else:
            made = into.add_circle(at, radius, dxfattribs=self._layer(layer))
            self.ends[centre] = made.dxf.handle


    def _slot(self, into: Any) -> None:
        if self.block.slot is None:
            return
        (a, b, y), r = self.block.slot, self.block.slot_radius
        self._line(into, (a, y - r), (b, y - r))
        self._line(into, (a, y + r), (b, y + r))
        for centre, start, end in (((a, y), (a, y + r), (a, y - r)), ((b, y), (b, y - r), (b, y + r))):
            c, p, q = self.at(centre), self.at(start), self.at(end)
            turn = (p[0] - c[0]) * (q[1] - c[1]) - (p[1] - c[1]) * (q[0] - c[0])
            low, high = (degrees(atan2(s[1] - c[1], s[0] - c[0])) for s in (p, q))
            flipped = self._flipped()
            assert abs(turn) < 1e-6
            if flipped:
                low, high = high, low
            radius = hypot(p[0] - c[0], p[1] - c[1])
            self.ends[centre] = self._arc(into, c, radius, low, (high - low) % 360, "outline")

    def _flipped(self) -> bool:
        o, x, y = (self.at(s) for s in ((0.0, 0.0), (1.0, 0.0), (0.0, 1.0)))
        return (x[0] - o[0]) * (y[1] - o[1]) - (x[1] - o[1]) * (y[0] - o[0]) < 0

    def _points(self, into: Any) -> None:
        for spot in (*self.block.bolts, self.block.bore):
            if spot is not None:
                into.add_point(self.at(spot))

    def _dimension(self, name: str) -> None:
        b, w, h = self.block, self.block.width, self.block.height
        bolt, second, bore = b.bolts[0] or (1.0, 1.0), b.bolts[1] or (7.0, 1.0), b.bore or (4.0, 2.4375)
        notch, slot = b.notch or (3.0, 5.0, 0.75), b.slot or (2.0, 3.0, 4.0)
        cx, cy = b.chamfer or (0.0, 0.0)
        left = b.left
        spans: dict[str, tuple[Spot, Spot, int]] = {
            "width": ((left, 0.0), (w, 0.0), 0), "height": ((left, 0.0), (left, h + b.tilt), 1),
            "bolt x": ((left, 0.0), bolt, 0), "bolt y": ((left, 0.0), bolt, 1), "bolts apart": (bolt, second, 0),
            "bore x": ((left, 0.0), bore, 0), "bore y": ((left, 0.0), bore, 1),
            "notch x": ((left, 0.0), (notch[0], 0.0), 0), "notch wide": ((notch[0], 0.0), (notch[1], 0.0), 0),
            "notch deep": ((notch[0], 0.0), (notch[0], notch[2]), 1),
            "chamfer x": ((w - cx, h), (w, h - cy), 0), "chamfer y": ((w, h - cy), (w - cx, h), 1),
            "slot x": ((left, 0.0), (slot[0], slot[2]), 0),
            "slot long": ((slot[0], slot[2]), (slot[1], slot[2]), 0),
            "slot y": ((left, 0.0), (slot[0], slot[2]), 1),
            "bolts to right": (second, (w, 0.0), 0), "bore to right": (bore, (w, 0.0), 0),
            "bore down": (bore, (left, h), 1), "bolt to bore": (bolt, bore, 0), "bolt to bore up": (bolt, bore, 1),
            "slot down": ((slot[0], slot[2]), (left, h), 1),
        }  # fmt: skip
        style: dict[str, Any] = {"dimtxt": 0.1, "dimasz": 0.1, **b.styles}
        if name in b.places:
            style["dimdec"] = b.places[name]
        text = b.texts.get(name, "<>")
        ties: list[Spot] = []
        if name in spans:
            a, c, axis = spans[name]
            p, q = self.at(a), self.at(c)
            o, x = self.at((0.0, 0.0)), self.at((1.0, 0.0))
            across = (axis == 0) == (abs(x[0] - o[0]) > abs(x[1] - o[1]))
            handle = self.board.across(p, q, text, **style) if across else self.board.upright(p, q, text, **style)
            ties = [a, c]
        elif name == "slot size":
            centre = slot[1], slot[2]
            handle = self.board.radius(self.at(centre), b.slot_radius * b.scale, self._turned(), text, **style)
            ties = [centre]
        else:
            centre, size = (bolt, b.bolt_size[0]) if name == "bolt size" else (bore, b.bore_size)
            shown = "2X <>" if name == "bolt size" and text == "<>" else text
            handle = self.board.diameter(self.at(centre), size * b.scale, shown, **style)
            ties = [centre]
        dimension = self.board.doc.entitydb[handle]
        dimension.dxf.layer = b.layers.get("dims", "0")
        if name not in b.free:
            tied = [
                Tie(n, self.ends[s], CENTRE if name.endswith("size") else END, self.at(s))
                for n, s in enumerate(ties) if s in self.ends
            ]  # fmt: skip
            if tied:
                self.board.tie(handle, *tied)

    def _turned(self) -> float:
        """Where the slot's right end is seen from its centre, in degrees."""
        o, x = self.at((0.0, 0.0)), self.at((1.0, 0.0))
        return degrees(atan2(x[1] - o[1], x[0] - o[0]))


KEY = Block()


def examined(block: Block) -> Examined:
    with TemporaryDirectory() as folder:
        path = Path(folder) / "block.dxf"
        Drawn(block).board.doc.saveas(path)
        return examine_file(path, Settings())


@cache
def key() -> Key:
    return key_of(examined(KEY))


RUBRIC = Rubric(
    "key.dxf", "", "rudder bearing block",
    (
        Asked(C.UNITS, Fraction(5)), Asked(C.ORIENTATION, Fraction(5)), Asked(C.PLACE, Fraction(5)),
        Asked(C.FEATURES, Fraction(22)), Asked(C.SIZES, Fraction(36)), Asked(C.SHAPE, Fraction(8), Fraction(2)),
        Asked(C.DIMENSIONS, Fraction(36)), Asked(C.TYPED, Fraction(4), Fraction(1)),
        Asked(C.LINEWORK, Fraction(8), Fraction(2)),
    ),
)  # fmt: skip
"""11 features at 2 each, 18 sizes at 2 each, 18 dimensions at 2 each: .8 for being there, .4 right, .4 well stated,
.4 associated. 129 points in all."""


def marks(block: Block, rubric: Rubric = RUBRIC, of: Key | None = None) -> Graded:
    found = grade(of or key(), examined(block), rubric)
    assert isinstance(found, Graded), found
    return found


def taken(graded: Graded) -> dict[Criterion, Fraction]:
    """What each criterion took, those that took nothing left out."""
    return {m.criterion: m.points - m.got for m in graded.marks if m.got != m.points}

