"""The linework of an as-read part as a DXF drawing."""

from collections.abc import Sequence
from fractions import Fraction
from io import StringIO
from math import atan2, degrees

from ezdxf import units
from ezdxf._options import options
from ezdxf.document import Drawing
from ezdxf.filemanagement import new
from ezdxf.layouts.layout import Modelspace
from ezdxf.lldxf.validator import is_valid_layer_name

from dimaudit.model.drawing import Arc, Circle, Curve, LineRole, Mark, Point, Segment, Shape
from dimaudit.model.units import Unit

INSUNITS = {
    Unit.INCH: units.IN, Unit.FOOT: units.FT, Unit.MILLIMETRE: units.MM, Unit.CENTIMETRE: units.CM, Unit.METRE: units.M,
}  # fmt: skip
LINETYPES = {LineRole.CENTRE: "CENTER", LineRole.HIDDEN: "HIDDEN"}
NOTE_LAYER = "AS-READ NOTE"
NOTE_SHARE = 0.02
"""Height of the note's letters, as a share of the part's height or width."""


def part_dxf(shapes: Sequence[Shape], unit: Unit | None, note: Sequence[str]) -> str:
    """The text of a DXF file (R2010): the shapes on their layers, and the note's lines below them.

    The same shapes give the same text: it holds no date and no random mark.
    """
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        document = new("R2010", setup=["linetypes"])
        document.header["$INSUNITS"] = INSUNITS.get(unit, 0) if unit is not None else 0
        space = document.modelspace()
        for shape in shapes:
            _add(document, space, shape)
        _note(document, space, shapes, note)
        stream = StringIO()
        document.write(stream)
        return stream.getvalue()
    finally:
        options.write_fixed_meta_data_for_testing = before


def _add(document: Drawing, space: Modelspace, shape: Shape) -> None:
    layer = layer_name(shape.origin.layer)
    if layer not in document.layers:
        document.layers.add(layer)
    attributes = {"layer": layer, "linetype": LINETYPES.get(shape.origin.role, "CONTINUOUS")}
    match shape:
        case Segment(_, a, b):
            space.add_line(_at(a), _at(b), attributes)
        case Circle(_, centre, radius) if radius > 0:
            space.add_circle(_at(centre), float(radius), attributes)
        case Arc(_, centre, radius, a, b) if radius > 0:
            space.add_arc(_at(centre), float(radius), _turn(centre, a), _turn(centre, b), dxfattribs=attributes)
        case Curve(_, points, _):
            space.add_lwpolyline([_at(p) for p in points], dxfattribs=attributes)
        case Mark(_, at):
            space.add_point(_at(at), attributes)
        case _:
            pass  # a circle that the stated numbers leave nothing of


def layer_name(name: str) -> str:
    """The layer's own name; characters that a layer may not have in its name become underscores."""
    kept = "".join(c if is_valid_layer_name(c) and c.isprintable() else "_" for c in name)
    return kept if kept and is_valid_layer_name(kept) else "0"


def _at(p: Point) -> tuple[float, float]:
    return float(p[0]), float(p[1])


def _turn(centre: Point, p: Point) -> float:
    return degrees(atan2(float(p[1] - centre[1]), float(p[0] - centre[0])))


def _note(document: Drawing, space: Modelspace, shapes: Sequence[Shape], note: Sequence[str]) -> None:
    spots = [p for shape in shapes for p in _spots(shape)]
    left, low = min((p[0] for p in spots), default=Fraction(0)), min((p[1] for p in spots), default=Fraction(0))
    right, high = max((p[0] for p in spots), default=Fraction(1)), max((p[1] for p in spots), default=Fraction(1))
    height = NOTE_SHARE * float(max(right - left, high - low, Fraction(1, 1000)))
    document.layers.add(NOTE_LAYER)
    for n, line in enumerate(note):
        at = (float(left), float(low) - (n + 2) * 1.6 * height)
        space.add_text(line, height=height, dxfattribs={"layer": NOTE_LAYER}).set_placement(at)


def _spots(shape: Shape) -> tuple[Point, ...]:
    match shape:
        case Segment(_, a, b):
            return a, b
        case Arc(_, centre, radius, _, _) | Circle(_, centre, radius):
            x, y = centre
            return (x - radius, y - radius), (x + radius, y + radius)
        case Curve(_, points, _):
            return points
        case Mark(_, at):
            return (at,)
