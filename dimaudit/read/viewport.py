"""Dimensions on a sheet that measure the model through a viewport."""

from bisect import bisect_left
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from ezdxf.document import Drawing as Document
from ezdxf.entities.dxfentity import DXFEntity
from ezdxf.lldxf.const import VSF_NON_RECTANGULAR_CLIPPING, VSF_TURN_VIEWPORT_OFF
from ezdxf.path import make_path

from dimaudit.errors import InexactError
from dimaudit.exact.direction import unit_vector
from dimaudit.exact.number import decimal_text, exact
from dimaudit.model.drawing import (
    ANGLES,
    MEASURED_POINTS,
    Arc,
    Circle,
    Curve,
    Dimension,
    Frame,
    Kind,
    Leader,
    Mark,
    Pane,
    Point,
    Segment,
    Shape,
    Space,
)
from dimaudit.read.affine import Affine
from dimaudit.read.annotation import frame_moved, leader_moved
from dimaudit.read.dimension import moved, on_paper
from dimaudit.read.entities.plain import at

ON = Fraction(1, 100_000)
"""A point this near to an end or a centre, as a share of the height that the viewport shows, stands on it."""
FLAT = 1000
"""A curved clipping boundary is followed to the viewport's height over this."""

MOST_TERMS = 1000
NOISE = Fraction(1, 10**7)
"""Two heights that a hand dragged do not divide evenly: 1:25.0000003 is taken for 1:25, a ratio of whole numbers up to
MOST_TERMS within this share of it."""


@dataclass(frozen=True, slots=True)
class Window:
    """A viewport: its frame on the paper, and the way from paper to model."""

    handle: str
    low: Point
    high: Point
    to_model: Affine
    scale: Fraction
    """Paper length over model length."""
    tilted: bool
    boundary: tuple[Point, ...] = ()
    """Corners of a boundary that is no rectangle (its clipping entity), on the paper; empty where there is none."""
    frozen: frozenset[str] = frozenset()
    """Layers that are frozen in this viewport alone, casefolded."""
    shut: str = ""
    """Why it shows nothing: it is off, or its layer is frozen; empty where it shows the model."""

    def holds(self, point: Point) -> bool:
        within = all(a <= p <= b for a, p, b in zip(self.low, point, self.high, strict=True))
        return within and (not self.boundary or inside(point, self.boundary))

    @property
    def reach(self) -> Fraction:
        """How near a point must come to the model's corners, in the model's unit."""
        return (self.high[1] - self.low[1]) / self.scale * ON

    @property
    def name(self) -> str:
        """'viewport 2A at 1:2'."""
        scale = f"{decimal_text(self.scale)}:1" if self.scale >= 1 else f"1:{decimal_text(1 / self.scale)}"
        return f"viewport {self.handle} at {scale}"


def inside(point: Point, ring: Sequence[Point]) -> bool:
    """Whether the point is in the polygon or on its edge, exactly (crossings of a ray to the right, even or odd)."""
    x, y = point
    odd = False
    for (ax, ay), (bx, by) in zip(ring, [*ring[1:], ring[0]], strict=True):
        turn = (bx - ax) * (y - ay) - (by - ay) * (x - ax)
        if turn == 0 and min(ax, bx) <= x <= max(ax, bx) and min(ay, by) <= y <= max(ay, by):
            return True
        if (ay > y) != (by > y) and (turn > 0) == (by > ay):
            odd = not odd
    return odd


class Spots:
    """Ends, corners, centres and quadrants of linework with their layers: what a dimension is usually drawn to."""

    def __init__(self, shapes: Iterable[Shape]) -> None:
        self._spots = sorted(
            {(float(x), float(y), s.origin.layer.casefold()) for s in shapes for x, y in _spots_of(s)}
        )

    def layers_at(self, point: Point, reach: Fraction) -> set[str]:
        """The layers that have such a spot within `reach` of the point."""
        x, y, near = float(point[0]), float(point[1]), float(reach)
        found = set()
        for k in range(bisect_left(self._spots, (x - near,)), len(self._spots)):
            sx, sy, layer = self._spots[k]
            if sx > x + near:
                break
            if abs(sy - y) <= near:
                found.add(layer)
        return found


def _spots_of(shape: Shape) -> tuple[Point, ...]:
    match shape:
        case Segment(_, a, b):
            return a, b, ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        case Arc(_, centre, _, a, b):
            return centre, a, b
        case Circle(_, (x, y), r):
            return (x, y), (x + r, y), (x - r, y), (x, y + r), (x, y - r)
        case Curve(_, points, _):
            return points[0], points[-1]
        case Mark(_, spot):
            return (spot,)

SMALLEST_SCALE = Fraction(1, 10**6)
"""A viewport that makes things smaller, or larger, than a million times shows nothing that a person could read."""


def windows(viewports: Iterable[DXFEntity], doc: Document | None = None) -> list[Window]:
    """The viewports of a sheet; the sheet's own (id 1) and those without a size are none of them."""
    found = []
    for viewport in viewports:
        try:
            window = _window(viewport, doc)
        except InexactError:  # a viewport with numbers that are no lengths shows nothing
            continue
        if window is not None:
            found.append(window)
    return found


def _window(viewport: DXFEntity, doc: Document | None) -> Window | None:
    dxf = viewport.dxf
    height, width = exact(dxf.get("height", 0.0)), exact(dxf.get("width", 0.0))
    seen = exact(dxf.get("view_height", 0.0))
    if dxf.get("id", 2) == 1 or height <= 0 or width <= 0 or seen <= 0:
        return None
    centre = at(dxf.center)
    aim = dxf.get("view_center_point")
    target, view = dxf.get("view_target_point"), dxf.get("view_direction_vector")
    tilted = view is not None and (abs(view.x) > 1e-9 or abs(view.y) > 1e-9 or view.z < 0)
    scale = height / seen
    shut = _shut(viewport, doc)
    if not SMALLEST_SCALE <= scale <= 1 / SMALLEST_SCALE:
        scale, shut = Fraction(1), "shows nothing: its scale is none that a person could read"
    # A positive twist turns what is seen counter-clockwise on the paper, so the model is reached by turning back.
    c, s = unit_vector(-exact(dxf.get("view_twist_angle", 0.0)))
    k = 1 / scale
    ax, ay = (exact(aim.x), exact(aim.y)) if aim is not None else (Fraction(0), Fraction(0))
    seen_from = Affine(k, Fraction(0), ax - centre[0] * k, Fraction(0), k, ay - centre[1] * k)
    tx, ty = at(target) if target is not None else (Fraction(0), Fraction(0))
    to_model = Affine(c, -s, tx, s, c, ty).after(seen_from)
    simple = scale.limit_denominator(MOST_TERMS) if scale < 1 else 1 / (1 / scale).limit_denominator(MOST_TERMS)
    if abs(simple - scale) <= scale * NOISE:
        scale = simple
    half = (width / 2, height / 2)
    return Window(
        str(dxf.handle),
        (centre[0] - half[0], centre[1] - half[1]),
        (centre[0] + half[0], centre[1] + half[1]),
        to_model,
        scale,
        tilted,
        _boundary(viewport, doc, float(height) / FLAT),
        frozenset(name.casefold() for name in getattr(viewport, "frozen_layers", ())),
        shut,
    )


def _shut(viewport: DXFEntity, doc: Document | None) -> str:
    """Status 0 and bit 131072 of group 90 turn a viewport off (DXF reference, VIEWPORT). On a frozen layer it shows
    nothing, on one that is off it only loses its frame (from memory)."""
    dxf = viewport.dxf
    if dxf.get("status", 1) == 0 or dxf.get("flags", 0) & VSF_TURN_VIEWPORT_OFF:
        return "is off"
    name = str(dxf.get("layer", "0"))
    if doc is not None and doc.layers.has_entry(name) and doc.layers.get(name).is_frozen():
        return "stands on a frozen layer"
    return ""


def _boundary(viewport: DXFEntity, doc: Document | None, flat: float) -> tuple[Point, ...]:
    """The corners of the entity that clips the viewport (group 340); none where it is missing or encloses nothing."""
    handle = viewport.dxf.get("clipping_boundary_handle", "0")
    if doc is None or not viewport.dxf.get("flags", 0) & VSF_NON_RECTANGULAR_CLIPPING or handle == "0":
        return ()
    entity = doc.entitydb.get(handle)
    if entity is None:
        return ()
    try:
        corners = [at(p) for p in make_path(entity).flattening(flat)]
    except (TypeError, ValueError):  # no entity that encloses anything: the frame counts
        return ()
    return tuple(corners) if len(corners) > 2 else ()


_SHOWN = {Kind.RADIUS: (15,), Kind.JOGGED_RADIUS: (15,), Kind.ORDINATE: (13,)}
"""Points that must stand in the frame where not all need to: a centre or an origin may lie beyond it."""


@dataclass(frozen=True, slots=True)
class Undecided:
    """Why it can't be told which of the model's lines a dimension on a sheet measures."""

    why: str


def window_of(
    points: Sequence[Point], windows: Sequence[Window], model: Spots, sheet: Spots
) -> Window | Undecided | None:
    """The viewport that the points are seen through; None where they stand on the paper.

    Of several that hold all the points: those in which the most points stand on corners and centres of the model that
    they show; of these, the one that lies within all others (an inset covers what is beneath it), or any where all
    show the model alike. Lines on the sheet itself come first where all the points stand on them, and no viewport
    shows as much of the model there.
    """
    if not points:
        return None
    every = [w for w in windows if not w.shut]
    holding = [w for w in every if all(map(w.holds, points))]
    reach = min((w.reach * w.scale for w in windows), default=Fraction(0))
    on_sheet = sum(bool(sheet.layers_at(p, reach)) for p in points)
    if not holding:
        return None if on_sheet else _outside(points, every, [w for w in windows if w.shut])
    shown, hidden = _touched(points, holding, model)
    best = max(shown.values())
    if on_sheet == len(points) and best < on_sheet:
        return None
    chosen = [w for w in holding if shown[w.handle] == best]
    if best == 0:
        visible = [w for w in chosen if not hidden[w.handle]]
        if not visible:
            layers = ", ".join(sorted(set().union(*(hidden[w.handle] for w in chosen))))
            return Undecided(f"what it measures is on a layer that is frozen in {chosen[0].name} ({layers})")
        chosen = visible
    if len({w.scale for w in chosen}) == 1:
        return min(chosen, key=_area)
    inmost = min(chosen, key=_area)
    if all(w.holds(inmost.low) and w.holds(inmost.high) for w in chosen):
        return inmost
    names = " and ".join(sorted(w.name for w in chosen))
    return Undecided(f"it stands in {names}, and nothing says which of them it measures through")


def _touched(
    points: Sequence[Point], holding: Sequence[Window], model: Spots
) -> tuple[Mapping[str, int], Mapping[str, set[str]]]:
    """By the viewport: how many points stand on linework that it shows, and the frozen layers of the other hits."""
    shown: dict[str, int] = {}
    hidden: dict[str, set[str]] = {}
    for window in holding:
        hits = [model.layers_at(window.to_model(p), window.reach) for p in points]
        shown[window.handle] = sum(bool(layers - window.frozen) for layers in hits)
        hidden[window.handle] = set().union(*hits) & window.frozen
    return shown, hidden


def _outside(points: Sequence[Point], every: Sequence[Window], shut: Sequence[Window]) -> Window | Undecided | None:
    """No viewport holds all the points, and nothing on the sheet is at any of them."""
    some = [w for w in every if any(map(w.holds, points))]
    if some and len({w.to_model for w in some}) == 1 and all(any(w.holds(p) for w in some) for p in points):
        return min(some, key=_area)  # one picture in several frames
    if some:
        apart = all(any(w.holds(p) for w in some) for p in points)
        names = " and ".join(sorted(w.name for w in some))
        return Undecided(
            f"its points stand in different viewports ({names})"
            if apart
            else f"one of its points stands in {names}, another outside it"
        )
    for window in shut:
        if all(map(window.holds, points)):
            return Undecided(f"it measures through viewport {window.handle}, which {window.shut}")
    return None


def _area(window: Window) -> Fraction:
    return (window.high[0] - window.low[0]) * (window.high[1] - window.low[1])


def through_window(
    dimension: Dimension, windows: Sequence[Window], model: Spots, sheet: Spots
) -> Dimension | None:
    """The dimension in model coordinates; None where it measures lines of the sheet itself.

    The part's size is the model's own;
    what the text shows is the paper length times DIMLFAC, or the model's length where the association
    object says that the dimension reaches through (trans-space).
    """
    wanted = _SHOWN.get(dimension.kind, MEASURED_POINTS[dimension.kind])
    points = [dimension.points[group] for group in wanted if group in dimension.points]
    window = window_of(points, windows, model, sheet)
    if window is None:
        return None
    if isinstance(window, Undecided):
        return replace(dimension, unmeasurable=dimension.unmeasurable or window.why)
    through = window.name
    if window.tilted:
        why = f"{through} looks at the model from the side; lengths on the sheet are foreshortened"
        return replace(dimension, through=through, unmeasurable=why)
    carried = moved(dimension, window.to_model, through)
    if carried.unmeasurable or dimension.kind in ANGLES:
        return carried
    reaches = dimension.association is not None and dimension.association.trans_space
    factor = Fraction(1) if reaches else abs(dimension.style.factor) * window.scale
    return replace(carried, text_factor=factor, true_factor=Fraction(1))


def _pane(window: Window) -> Pane:
    m = window.to_model
    size = m.a * m.e - m.b * m.d
    a, b, d, e = m.e / size, -m.b / size, -m.d / size, m.a / size
    return Pane(
        window.handle, window.low, window.high, window.scale,
        (a, b, -a * m.c - b * m.f, d, e, -d * m.c - e * m.f), window.name,
    )  # fmt: skip


def carried(sheet: Space, windows: Sequence[Window], model: Sequence[Shape]) -> tuple[Space, Space]:
    """What of a sheet stands on the model through its viewports, and what is left on the paper itself."""
    in_model, in_sheet = Spots(model if windows else ()), Spots(sheet.shapes if windows else ())
    through: list[Dimension] = []
    left: list[Dimension] = []
    for dimension in sheet.dimensions:
        moved_in = through_window(dimension, windows, in_model, in_sheet)
        if moved_in is None:
            left.append(on_paper(dimension))
        elif moved_in.unmeasurable:  # its points are still those of the paper
            left.append(moved_in)
        else:
            through.append(moved_in)
    leaders: list[Leader] = []
    leaders_left: list[Leader] = []
    for leader in sheet.leaders:
        window = window_of(leader.tips, windows, in_model, in_sheet)
        if not isinstance(window, Window) or window.tilted:
            leaders_left.append(leader)
        else:
            leaders.append(leader_moved(leader, window.to_model, window.name))
    frames: list[Frame] = []
    frames_left: list[Frame] = []
    for frame in sheet.frames:
        window = window_of([frame.at], windows, in_model, in_sheet)
        if not isinstance(window, Window) or window.tilted:
            frames_left.append(frame)
        else:
            frames.append(frame_moved(frame, window.to_model, window.name))
    here = replace(
        sheet, dimensions=tuple(through), leaders=tuple(leaders), frames=tuple(frames), shapes=(), notes=()
    )
    return here, replace(
        sheet, dimensions=tuple(left), leaders=tuple(leaders_left), frames=tuple(frames_left),
        panes=tuple(_pane(w) for w in windows if not (w.shut or w.tilted)),
    )  # fmt: skip
