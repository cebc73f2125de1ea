"""The evening class's plate: the key, and what learners make of it. Lengths are exact, in inches unless scaled."""

from collections.abc import Callable
from dataclasses import dataclass, field
from fractions import Fraction

from drafting import INCH, METRIC, Exact, How, Num, Print, Spot, Tie, View, new_print, spot
from ezdxf.entities.arc import Arc
from ezdxf.entities.circle import Circle
from ezdxf.entities.lwpolyline import LWPolyline

F = Fraction
ALL = (
    "width", "height", "bolt x", "bolt y", "bolts apart", "bore x", "bore y", "chamfer x", "chamfer y",
    "slot x", "slot y", "slot long", "bolt size", "bore size", "slot size", "fillet",
)  # fmt: skip
"""The key's dimensions, 16 of them."""
ASIDE: dict[str, Num] = {"bolts apart": 1, "slot long": "0.375"}
"""Texts that stand clear of the bore's extension line."""
ALONG, DOWN = F(3, 4), F(5, 8)
"""The chamfer's legs; not alike, as a chamfer at 45 degrees is fixed by one of them."""


@dataclass(frozen=True, slots=True)
class Way:
    """Where a place of the plate comes to lie: mirrored about a vertical line, turned, scaled, moved, in this order."""

    mirrored: bool = False
    turns: int = 0
    """Quarter turns counter-clockwise."""
    scale: Fraction = Fraction(1)
    shift: tuple[Num, Num] = (0, 0)

    def turned(self, p: Spot) -> Exact:
        """A direction; its length stays."""
        x, y = spot(p)
        x = -x if self.mirrored else x
        for _ in range(self.turns % 4):
            x, y = -y, x
        return x, y

    def __call__(self, p: Spot) -> Exact:
        x, y = self.turned(p)
        dx, dy = spot(self.shift)
        return x * self.scale + dx, y * self.scale + dy

    def angles(self, start: int, end: int) -> tuple[int, int]:
        """Of an arc that runs counter-clockwise, in degrees."""
        if self.mirrored:
            start, end = 180 - end, 180 - start
        return (start + 90 * self.turns) % 360, (end + 90 * self.turns) % 360


@dataclass(frozen=True, slots=True)
class Plate:
    """What one learner drew."""

    width: Num = 6
    height: Num = 4
    bolts: tuple[Spot | None, ...] = ((1, 1), (5, 1))
    bolt_size: Num = "3/8"
    bore: Spot = (3, "39/16")
    bore_size: Num = "5/4"
    slot: tuple[Num, Num, Num] = ("9/4", "15/4", "7/8")
    """Both centres' x, and their y."""
    radius: Num = "1/4"
    """Of the slot."""
    dims: tuple[str, ...] = ALL
    texts: dict[str, str] = field(default_factory=dict)
    """Typed over the measured number."""
    free: bool = False
    """Dimensions that are not associated."""
    way: Way = Way()
    metric: bool = False
    polyline: bool = False
    """The outline as one polyline, the slot as one, the holes as half arcs."""
    holes_on: str = "OUTLINE"
    points: bool = True
    gap: Num = 0
    """How much the lower edge is short of the fillet."""
    extra: Callable[[View], object] | None = None


class Drawing:
    """A plate on a drawing of its own."""

    def __init__(self, name: str, plate: Plate) -> None:
        self.plate = plate
        look = METRIC if plate.metric else INCH
        self.print: Print = new_print(name, "", look)
        self.print.associated = not plate.free
        self.view = View(self.print, (0, 0))
        self.rounds: dict[str, tuple[Circle | Arc | LWPolyline, Spot, Fraction, int]] = {}
        """By the dimension's name: what it stands on, the centre, the radius, and the edge of a polyline from 1."""
        self._outline()
        self._holes()
        self._slot()
        if plate.extra is not None:
            plate.extra(self.view)
        for dim in plate.dims:
            self._dimension(dim)

    # --- linework -------------------------------------------------------------------------------

    def _line(self, a: Spot, b: Spot, layer: str = "OUTLINE") -> None:
        self.view.line(self.plate.way(a), self.plate.way(b), layer)

    def _arc(self, centre: Spot, radius: Num, start: int, end: int, layer: str = "OUTLINE") -> Arc:
        way = self.plate.way
        return self.view.arc(way(centre), F(radius) * way.scale, *way.angles(start, end), layer)

    def _poly(self, corners: list[tuple[Num, Num, float]], centres: dict[int, Spot]) -> LWPolyline:
        """A closed polyline; the third number of a corner is the bulge of the edge after it."""
        way = self.plate.way
        sign = -1 if way.mirrored else 1
        spots = [way((x, y)) for x, y, _ in corners]
        rows = [(float(x), float(y), sign * bulge) for (x, y), (_, _, bulge) in zip(spots, corners, strict=True)]
        made = self.view.space.add_lwpolyline(rows, format="xyb", close=True, dxfattribs={"layer": "OUTLINE"})
        handle = str(made.dxf.handle)
        for n, at in enumerate(spots):
            self.view.ties.setdefault(at, Tie(handle, 13, edge=n + 1))
        for n, centre in centres.items():
            self.view.ties.setdefault(way(centre), Tie(handle, 3, edge=n + 1))
        return made

    def _outline(self) -> None:
        p = self.plate
        w, h, r, quarter = F(p.width), F(p.height), F(1, 2), 0.41421356237309503
        fillets = (w - r, r), (r, h - r)
        if p.polyline:
            made = self._poly(
                [(0, 0, 0), (w - r, 0, quarter), (w, r, 0), (w, h - DOWN, 0), (w - ALONG, h, 0), (r, h, quarter),
                 (0, h - r, 0)],
                {1: fillets[0], 5: fillets[1]},
            )  # fmt: skip
            self.rounds["fillet"] = made, fillets[0], r, 2
            return
        self._line((0, 0), (w - r - F(p.gap), 0))
        first = self._arc(fillets[0], r, 270, 0)
        self._line((w, r), (w, h - DOWN))
        self._line((w, h - DOWN), (w - ALONG, h))
        self._line((w - ALONG, h), (r, h))
        self._arc(fillets[1], r, 90, 180)
        self._line((0, h - r), (0, 0))
        self.rounds["fillet"] = first, fillets[0], r, 0

    def _holes(self) -> None:
        p = self.plate
        bolts = [(b, p.bolt_size, "bolt size") for b in p.bolts]
        for centre, size, name in (*bolts, (p.bore, p.bore_size, "bore size")):
            if centre is None:
                continue
            radius = F(size) / 2
            if p.polyline:
                made: Circle | Arc = self._arc(centre, radius, 0, 180, p.holes_on)
                self._arc(centre, radius, 180, 0, p.holes_on)
            else:
                made = self.view.circle(p.way(centre), F(size) * p.way.scale, p.holes_on)
            self.rounds.setdefault(name, (made, centre, radius, 0))
            if p.points:
                x, y = p.way(centre)
                self.view.space.add_point((float(x), float(y)), dxfattribs={"layer": "CENTER"})
            self.view.cross(p.way(centre), (radius + F(1, 8)) * p.way.scale)

    def _slot(self) -> None:
        p = self.plate
        (a, b, y), r = (F(v) for v in p.slot), F(p.radius)
        if p.polyline:
            made = self._poly([(a, y - r, 0), (b, y - r, 1), (b, y + r, 0), (a, y + r, 1)], {1: (b, y), 3: (a, y)})
            self.rounds["slot size"] = made, (b, y), r, 2
            return
        self._line((a, y - r), (b, y - r))
        self._line((a, y + r), (b, y + r))
        self._arc((a, y), r, 90, 270)
        right = self._arc((b, y), r, 270, 90)
        self.rounds["slot size"] = right, (b, y), r, 0

    # --- dimensions -----------------------------------------------------------------------------

    def _dimension(self, name: str) -> None:
        p = self.plate
        aside = F(ASIDE.get(name, 0)) * p.way.scale * (-1 if p.way.mirrored else 1)
        how = How(text=p.texts.get(name), associated=not p.free, slide=aside)
        w, h = F(p.width), F(p.height)
        bolt, second = p.bolts[0] or (1, 1), p.bolts[1] or (5, 1)
        bore, (sa, sb, sy), origin = p.bore, p.slot, (0, 0)
        spans: dict[str, tuple[Spot, Spot, int, Num]] = {
            "width": (origin, (w, F(1, 2)), 0, -2),
            "height": (origin, (F(1, 2), h), 1, -2),
            "bolt x": (origin, bolt, 0, "-0.5"),
            "bolt y": (origin, bolt, 1, "-0.5"),
            "bolts apart": (bolt, second, 0, "-1.2"),
            "bolts to right": (second, (w, F(1, 2)), 0, "-1.2"),
            "bore x": (origin, bore, 0, "-1.6"),
            "bore to right": (bore, (w, F(1, 2)), 0, "-1.6"),
            "bore y": (origin, bore, 1, "-1.5"),
            "chamfer x": ((w - ALONG, h), (w, h - DOWN), 0, h + F(1, 2)),
            "chamfer y": ((w, h - DOWN), (w - ALONG, h), 1, w + F(1, 2)),
            "slot x": (origin, (sa, sy), 0, "-0.85"),
            "slot y": (origin, (sa, sy), 1, -1),
            "slot long": ((sa, sy), (sb, sy), 0, "1.45"),
        }
        if name in spans:
            a, b, axis, level = spans[name]
            at = p.way((level, 0) if axis else (0, level))
            if axis ^ (p.way.turns % 2):
                self.view.upright(p.way(a), p.way(b), at[0], how)
            else:
                self.view.across(p.way(a), p.way(b), at[1], how)
            return
        both = name == "fillet" or (name == "bolt size" and None not in p.bolts)
        if how.text is None and both:
            how = How(text="2X <>", associated=not p.free)
        shape, centre, radius, edge = self.rounds[name]
        toward = p.way.turned({"fillet": ("0.6", "-0.8"), "bore size": ("0.6", "0.8")}.get(name, ("0.8", "0.6")))
        self.view.round_(
            shape, p.way(centre), radius * p.way.scale, toward, F("0.9") * p.way.scale, how,
            diameter=name in ("bolt size", "bore size"), edge=edge,
        )  # fmt: skip
