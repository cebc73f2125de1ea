"""A drawing as it looks: paths in drawing units, each with the entity that it belongs to."""

from dataclasses import dataclass

Box = tuple[float, float, float, float]
"""Lower left and upper right: x0, y0, x1, y1."""


@dataclass(frozen=True, slots=True)
class Stroke:
    """A path of one look."""

    path: str
    """SVG path data: x to the right and y *down*, in drawing units from the picture's upper left corner."""
    colour: str
    """'#rrggbb' as drawn; empty for the foreground, which is dark on light paper and light on dark."""
    width: float
    """Millimetres on paper; 0 for a filled area."""

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


@dataclass(frozen=True, slots=True)
class Picture:
    """One layout as it looks. Doubles: for looking at, never for judging."""

    layout: str
    box: Box
    """What the picture shows, in the layout's coordinates."""
    entities: tuple[DrawnEntity, ...]
    """In the order in which they are drawn."""
    left_out: tuple[tuple[str, str], ...] = ()
    """What could not be drawn: handle and reason."""
