"""Dimensions on a sheet that measure the model through a viewport."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from ezdxf.entities.dxfentity import DXFEntity

from dimaudit.errors import InexactError
from dimaudit.exact.direction import unit_vector
from dimaudit.exact.number import decimal_text, exact
from dimaudit.model.drawing import ANGLES, MEASURED_POINTS, Dimension, Frame, Kind, Leader, Point, Space
from dimaudit.read.affine import Affine
from dimaudit.read.annotation import frame_moved, leader_moved
from dimaudit.read.dimension import moved, on_paper
from dimaudit.read.entities.plain import at


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

    def holds(self, point: Point) -> bool:
        return all(a <= p <= b for a, p, b in zip(self.low, point, self.high, strict=True))

    @property
    def name(self) -> str:
        """'viewport 2A at 1:2'."""
        scale = f"{decimal_text(self.scale)}:1" if self.scale >= 1 else f"1:{decimal_text(1 / self.scale)}"
        return f"viewport {self.handle} at {scale}"


def window_of(points: Sequence[Point], windows: Sequence[Window]) -> Window | None:
    """The smallest viewport that holds all the points; None where none does, or there are no points."""
    holding = [w for w in windows if points and all(w.holds(p) for p in points)]
    return min(holding, key=lambda w: (w.high[0] - w.low[0]) * (w.high[1] - w.low[1]), default=None)


def windows(viewports: Iterable[DXFEntity]) -> list[Window]:
    """The viewports that show the model; the sheet's own (id 1) and those without a size are none of them."""
    found = []
    for viewport in viewports:
        try:
            window = _window(viewport)
        except InexactError:  # a viewport with numbers that are no lengths shows nothing
            continue
        if window is not None:
            found.append(window)
    return found


def _window(viewport: DXFEntity) -> Window | None:
    dxf = viewport.dxf
    height, width = exact(dxf.get("height", 0.0)), exact(dxf.get("width", 0.0))
    seen = exact(dxf.get("view_height", 0.0))
    if dxf.get("id", 2) == 1 or dxf.get("status", 1) == 0 or height <= 0 or width <= 0 or seen <= 0:
        return None
    centre = at(dxf.center)
    aim = dxf.get("view_center_point")
    target, view = dxf.get("view_target_point"), dxf.get("view_direction_vector")
    tilted = view is not None and (abs(view.x) > 1e-9 or abs(view.y) > 1e-9 or view.z < 0)
    scale = height / seen
    # A positive twist turns what is seen counter-clockwise on the paper, so the model is reached by turning back.
    c, s = unit_vector(-exact(dxf.get("view_twist_angle", 0.0)))
    k = 1 / scale
    ax, ay = (exact(aim.x), exact(aim.y)) if aim is not None else (Fraction(0), Fraction(0))
    seen_from = Affine(k, Fraction(0), ax - centre[0] * k, Fraction(0), k, ay - centre[1] * k)
    tx, ty = at(target) if target is not None else (Fraction(0), Fraction(0))
    to_model = Affine(c, -s, tx, s, c, ty).after(seen_from)
    half = (width / 2, height / 2)
    return Window(
        str(dxf.handle),
        (centre[0] - half[0], centre[1] - half[1]),
        (centre[0] + half[0], centre[1] + half[1]),
        to_model,
        scale,
        tilted,
    )


_SHOWN = {Kind.RADIUS: (15,), Kind.JOGGED_RADIUS: (15,), Kind.ORDINATE: (13,)}
"""Points that must stand in the frame where not all need to: a centre or an origin may lie beyond it."""


def through_window(dimension: Dimension, windows: Sequence[Window]) -> Dimension | None:
    """The dimension in model coordinates; None where its points do not all stand in one viewport.

    The part's size is the model's own;
    what the text shows is the paper length times DIMLFAC, or the model's length where the association
    object says that the dimension reaches through (trans-space).
    """
    wanted = _SHOWN.get(dimension.kind, MEASURED_POINTS[dimension.kind])
    window = window_of([dimension.points[group] for group in wanted if group in dimension.points], windows)
    if window is None:
        return None
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


def carried(sheet: Space, windows: Sequence[Window]) -> tuple[Space, Space]:
    """What of a sheet stands on the model through its viewports, and what is left on the paper itself."""
    through: list[Dimension] = []
    left: list[Dimension] = []
    for dimension in sheet.dimensions:
        moved_in = through_window(dimension, windows)
        if moved_in is None:
            left.append(on_paper(dimension))
        else:
            through.append(moved_in)
    leaders: list[Leader] = []
    leaders_left: list[Leader] = []
    for leader in sheet.leaders:
        window = window_of(leader.tips, windows)
        if window is None or window.tilted:
            leaders_left.append(leader)
        else:
            leaders.append(leader_moved(leader, window.to_model, window.name))
    frames: list[Frame] = []
    frames_left: list[Frame] = []
    for frame in sheet.frames:
        window = window_of([frame.at], windows)
        if window is None or window.tilted:
            frames_left.append(frame)
        else:
            frames.append(frame_moved(frame, window.to_model, window.name))
    here = replace(
        sheet, dimensions=tuple(through), leaders=tuple(leaders), frames=tuple(frames), shapes=(), notes=()
    )
    return here, replace(
        sheet, dimensions=tuple(left), leaders=tuple(leaders_left), frames=tuple(frames_left)
    )
