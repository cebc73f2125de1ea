"""A drawing as it looks: paths in drawing units, each with the entity that it belongs to."""

from dataclasses import dataclass

Box = tuple[float, float, float, float]
"""Lower left and upper right: x0, y0, x1, y1."""

FOREGROUND = ""
"""The colour that stands out from the paper: dark on light paper, light on dark."""
PAPER = "paper"
"""The colour of the paper itself: an area that hides what lies beneath it."""


@dataclass(frozen=True, slots=True)
class Stroke:
    """A path of one look."""

    path: str
    """SVG path data: x to the right and y *down*, in drawing units from the picture's upper left corner. A line of no
    length is a dot: draw with round caps. Areas are filled by the even-odd rule, lettering by the non-zero rule."""
    colour: str
    """'#rrggbb' as drawn, FOREGROUND or PAPER."""
    width: float
    """Millimetres on paper; 0 for a filled area."""
    opacity: float = 1.0
    text: bool = False
    """Whether it is lettering, which must stay readable on any paper."""

    @property
    def filled(self) -> bool:
        return not self.width


@dataclass(frozen=True, slots=True)
class DrawnEntity:
    """One entity of the layout with all that is drawn for it; what its block holds is its own."""

    handle: str
    kind: str
    """DXF name, as in 'DIMENSION'."""
    layer: str
    strokes: tuple[Stroke, ...]
    box: Box
    """What its lines and areas reach, in the layout's coordinates."""
    lettering: tuple[Box, ...] = ()
    """Where its texts stand, in the layout's coordinates: what no mark should cover."""


@dataclass(frozen=True, slots=True)
class Picture:
    """One layout as it looks. Doubles: for looking at, never for judging."""

    layout: str
    box: Box
    """What the picture shows, in the layout's coordinates."""
    pen: float
    """Drawing units to a millimetre of line width: a stroke is `width * pen` wide in the units of its path."""
    entities: tuple[DrawnEntity, ...]
    """In the order in which they are drawn. On a sheet, what a viewport shows of the model stands under the model's
    own handles, once for each viewport."""
    left_out: tuple[tuple[str, str], ...] = ()
    """What could not be drawn: handle and reason."""

    @property
    def size(self) -> tuple[float, float]:
        """Width and height, in drawing units; both above zero."""
        x0, y0, x1, y1 = self.box
        return x1 - x0, y1 - y0
