"""A picture as SVG in the page, and the looks of its strokes as CSS."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from markupsafe import Markup

from dimaudit.model.audit import Finding
from dimaudit.model.picture import PAPER, Box, Picture, Stroke
from dimaudit.report.svg import AREAS, THEMES, Mark, marks_of, readable
from dimaudit.report.visible import visible

COLOUR = re.compile(r"#[0-9a-fA-F]{6}")
THIN, THICK = 0.13, 1.4
"""Millimetres: the thinnest line of ISO 128-2's series, and a bound so that a wide polyline does not hide its part."""
EDGE = 0.02
"""Room around what is shown, as a share of its longer side."""


@dataclass(slots=True)
class Looks:
    """The looks that occur in a report, each with the name of its class."""

    colours: dict[tuple[str, bool], str] = field(default_factory=dict)
    """By colour and whether it must stand out from the paper."""
    widths: dict[float, str] = field(default_factory=dict)
    opacities: dict[float, str] = field(default_factory=dict)

    def of(self, stroke: Stroke, kind: str) -> str:
        """The classes of a stroke of an entity of a kind."""
        names = ["t" if stroke.text else "f"] if stroke.filled else ["s"]
        shade = stroke.filled and not stroke.text and kind in AREAS
        if stroke.colour == PAPER:
            names.append("hides")
        elif COLOUR.fullmatch(stroke.colour):
            names.append(self.colours.setdefault((stroke.colour.lower(), not shade), f"c{len(self.colours)}"))
        if stroke.opacity < 1:
            names.append(self.opacities.setdefault(round(stroke.opacity, 2), f"o{len(self.opacities)}"))
        if not stroke.filled:
            width = min(max(round(stroke.width, 2), THIN), THICK)
            names.append(self.widths.setdefault(width, f"w{len(self.widths)}"))
        return " ".join(names)

    def css(self) -> str:
        """Rules for all of them."""
        return "\n".join([
            *(f".{name}{{color:light-dark({_on_both(*key)})}}" for key, name in self.colours.items()),
            *(f".{name}{{stroke-width:{width}mm}}" for width, name in self.widths.items()),
            *(f".{name}{{opacity:{opacity}}}" for opacity, name in self.opacities.items()),
        ])


def _on_both(colour: str, stands_out: bool) -> str:
    """The colour on light and on dark paper."""
    return ",".join(readable(colour, theme) if stands_out else colour for theme in THEMES.values())


@dataclass(frozen=True, slots=True)
class Figure:
    """One layout as it stands in the page."""

    layout: str
    box: Box
    """What is shown, in the layout's coordinates: the picture, and every finding that lies beside it."""
    svg: Markup
    marks: tuple[Mark, ...]
    """The findings that have a place on it."""
    entities: int
    left_out: tuple[tuple[str, str], ...]

    @property
    def size(self) -> tuple[float, float]:
        """Width and height, in drawing units."""
        return self.box[2] - self.box[0], self.box[3] - self.box[1]

    def place(self, x: float, y: float) -> tuple[float, float]:
        """A point of the layout in the figure: x to the right and y down from its upper left corner."""
        return near(x - self.box[0]), near(self.box[3] - y)


def figure(picture: Picture, findings: Sequence[Finding], looks: Looks) -> Figure:
    """The picture with its entities as groups that carry their handle."""
    marks = marks_of(findings, picture)
    box = _room(picture.box, [mark.at for mark in marks])
    shift = Markup(' transform="translate({} {})"').format(
        near(picture.box[0] - box[0]), near(box[3] - picture.box[3])
    )
    parts = [
        Markup('<g data-h="{}">').format(visible(entity.handle))
        + Markup("").join(
            Markup('<path class="{}" d="{}"/>').format(looks.of(s, entity.kind), s.path) for s in entity.strokes
        )
        + Markup("</g>")
        for entity in picture.entities if entity.strokes
    ]  # fmt: skip
    svg = Markup("<g{}>").format(shift) + Markup("\n").join(parts) + Markup("</g>")
    return Figure(picture.layout, box, svg, marks, len(picture.entities), picture.left_out)


def _room(box: Box, spots: Sequence[tuple[float, float]]) -> Box:
    xs, ys = [box[0], box[2], *(p[0] for p in spots)], [box[1], box[3], *(p[1] for p in spots)]
    edge = EDGE * max(max(xs) - min(xs), max(ys) - min(ys)) or 1.0
    return min(xs) - edge, min(ys) - edge, max(xs) + edge, max(ys) + edge


def near(x: float) -> float:
    """Nine digits: what is looked at need not be longer."""
    return float(f"{x:.9g}")
