"""A picture as an SVG file: the drawing, findings marked on it, what the marks mean, and the caution.

A mark's shape and its text both carry the level, so that it reads without colour.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal
from xml.sax.saxutils import escape, quoteattr

from dimaudit.model.audit import Finding, Level
from dimaudit.model.marks import numbered
from dimaudit.model.picture import FOREGROUND, PAPER, Box, DrawnEntity, Picture, Stroke
from dimaudit.report.interface import CAUTION
from dimaudit.report.visible import visible
from dimaudit.typeface import FAMILY

Theme = Literal["light", "dark"]


@dataclass(frozen=True, slots=True)
class Colours:
    """What a theme draws with; all '#rrggbb'."""

    paper: str
    ink: str
    faint: str
    """For what is not the matter."""
    mark: str
    """For marks, and for the entities that a mark is about."""


THEMES: dict[Theme, Colours] = {
    "light": Colours("#ffffff", "#1a1d21", "#c3c8ce", "#a3123f"),
    "dark": Colours("#15191e", "#eef0f2", "#4a525b", "#ff8fae"),
}
LEAST_CONTRAST = 3.0
"""Of a line or a letter with the paper (WCAG 2.2, 1.4.11 for graphics); a paler colour is moved towards the ink."""

LETTER = {Level.ERROR: "E", Level.WARNING: "W", Level.NOTE: "N"}
MARK = 0.0085
"""Half the size of a mark, as a share of the picture's width."""
ROOM = 0.22
"""The least part of a drawing that a picture of one finding shows, as a share of its larger side."""
AROUND = 0.35
"""Room around the entities of one finding, as a share of their size."""
WIDEST, TALLEST = 2.0, 0.5
"""Width over height of a picture of one finding, at most and at least."""
OF_LETTER = 0.5
"""Width of a letter of the typeface on average, in heights of its type; a little more than it is."""


@dataclass(frozen=True, slots=True)
class Mark:
    """A finding on a picture."""

    number: int
    level: Level
    at: tuple[float, float]
    """In the layout's coordinates."""
    says: str

    @property
    def label(self) -> str:
        return f"{LETTER[self.level]}{self.number}"


def marks_of(findings: Sequence[Finding], picture: Picture) -> tuple[Mark, ...]:
    """A mark for each finding that has a place on the picture. The numbers are those of every report."""
    drawn: dict[str, tuple[float, float]] = {}
    for entity in picture.entities:
        x0, y0, x1, y1 = entity.box
        drawn.setdefault(entity.handle, ((x0 + x1) / 2, (y0 + y1) / 2))
    marks = []
    for one in numbered(findings):
        finding = one.finding
        here = finding.at if finding.layout == picture.layout else None
        at = here or next((drawn[handle] for handle in finding.handles if handle in drawn), None)
        if at is not None:
            marks.append(Mark(one.number, finding.level, at, f"{finding.rule}: {finding.message}"))
    return tuple(marks)


def close_up(picture: Picture, handles: Iterable[str], places: Iterable[tuple[float, float]] = ()) -> Picture:
    """The part of a picture around some entities and places; the whole where there are none."""
    wanted = set(handles)
    boxes = [e.box for e in picture.entities if e.handle in wanted] + [(x, y, x, y) for x, y in places]
    if not boxes:
        return picture
    x0, y0 = min(b[0] for b in boxes), min(b[1] for b in boxes)
    x1, y1 = max(b[2] for b in boxes), max(b[3] for b in boxes)
    least = max(picture.size) * ROOM
    around = max(x1 - x0, y1 - y0) * AROUND
    width, height = max(x1 - x0 + 2 * around, least), max(y1 - y0 + 2 * around, least)
    width, height = max(width, height * TALLEST), max(height, width / WIDEST)
    left, right = _moved_in((x0 + x1) / 2, width, picture.box[0], picture.box[2])
    low, high = _moved_in((y0 + y1) / 2, height, picture.box[1], picture.box[3])
    box = (left, low, right, high)
    return replace(picture, box=box, entities=tuple(e for e in picture.entities if _meet(e.box, box)))


def _moved_in(middle: float, size: float, low: float, high: float) -> tuple[float, float]:
    """A stretch about a middle, moved so that it shows nothing beyond the ends, if it is short enough for that."""
    start = middle - size / 2
    if size <= high - low:
        start = min(max(start, low), high - size)
    return start, start + size


def svg_of(
    picture: Picture,
    marks: Sequence[Mark] = (),
    theme: Theme = "light",
    *,
    title: str = "",
    lines: Sequence[str] = (),
    stressed: Iterable[str] = (),
    part: Picture | None = None,
    width: float = 297.0,
) -> str:
    """A whole SVG file, `width` millimetres wide. The same picture gives the same bytes.

    `lines` are written beneath the drawing. `stressed` are handles: where there are any, their entities stand out and
    all else is faint. `part` is what `close_up` took from the picture: only that is drawn.
    """
    colours, shown = THEMES[theme], part or picture
    wanted = frozenset(stressed)
    across, up = shown.size
    k = width / across
    height = up * k
    left, top = shown.box[0] - picture.box[0], picture.box[3] - shown.box[3]
    title = title or f"layout {picture.layout}"
    foot = list(_foot(marks, lines, colours, width, height))
    whole = height + _foot_height(foot, width)
    counts = Counter(mark.level for mark in marks)
    said = ", ".join(f"{counts[level]} {level}{'s' if counts[level] != 1 else ''}" for level in Level)
    about = f"The drawing with {said} marked on it. {' '.join(lines)} {CAUTION}" if marks else f"The drawing. {CAUTION}"
    out = [
        '<?xml version="1.0" encoding="UTF-8"?>\n',
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{short(width)}mm" height="{short(whole)}mm" '
        f'viewBox="0 0 {short(width)} {short(whole)}" role="img" aria-labelledby="t d">\n',
        f'<title id="t">{xml_text(title)}</title>\n<desc id="d">{xml_text(about)}</desc>\n',
        f'<rect width="{short(width)}" height="{short(whole)}" fill="{colours.paper}"/>\n',
        f'<svg width="{short(width)}" height="{short(height)}" viewBox="{left:.9g} {top:.9g} {across:.9g} {up:.9g}">\n',
        '<g fill="none" fill-rule="evenodd" stroke-linecap="round" stroke-linejoin="round">\n',
    ]
    pen = picture.pen if part is None else min(picture.pen, max(shown.size) / max(picture.size) * picture.pen * 2)
    for entity in sorted(shown.entities, key=lambda e: e.handle in wanted) if wanted else shown.entities:
        out += _entity(entity, colours, pen, None if not wanted else entity.handle in wanted)
    out.append("</g>\n</svg>\n")
    out += _marks(marks, shown, colours, k, width, height)
    out += foot
    out.append("</svg>\n")
    return "".join(out)


def short(value: float) -> str:
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def xml_text(text: str) -> str:
    """Text from a drawing as text of an XML file, whatever it holds."""
    return escape(xml_plain(text))


def xml_plain(text: str) -> str:
    shown = visible(text, 4000).encode("utf-8", "replace").decode("utf-8")
    return shown.replace("\ufffe", "\ufffd").replace("\uffff", "\ufffd")  # no characters of XML


def _entity(entity: DrawnEntity, colours: Colours, pen: float, stressed: bool | None) -> Iterator[str]:
    """`stressed` is None where nothing is."""
    yield f"<g data-handle={quoteattr(xml_plain(entity.handle))}>"
    for stroke in entity.strokes:
        colour = _colour(stroke, entity, colours)
        if stressed is not None and stroke.colour != PAPER:
            colour = colours.mark if stressed else colours.faint
        clear = f' opacity="{stroke.opacity:g}"' if stroke.opacity < 1 else ""
        if stroke.filled:
            rule = ' fill-rule="nonzero"' if stroke.text else ""
            yield f'<path fill="{colour}"{rule}{clear} d="{stroke.path}"/>'
        else:
            wide = stroke.width * pen * (1.6 if stressed else 1)
            yield f'<path stroke="{colour}" stroke-width="{wide:.3g}"{clear} d="{stroke.path}"/>'
    yield "</g>\n"


AREAS = frozenset({"HATCH", "MPOLYGON", "SOLID", "TRACE", "WIPEOUT"})
"""Entities whose areas are shades, which may be pale."""


def _colour(stroke: Stroke, entity: DrawnEntity, colours: Colours) -> str:
    if stroke.colour == FOREGROUND:
        return colours.ink
    if stroke.colour == PAPER:
        return colours.paper
    if stroke.filled and not stroke.text and entity.kind in AREAS:
        return stroke.colour
    return readable(stroke.colour, colours)


def readable(colour: str, colours: Colours) -> str:
    """The colour, moved towards the ink until it stands out from the paper."""
    for share in range(21):
        mixed = _mixed(colour, colours.ink, share / 20)
        if contrast(mixed, colours.paper) >= LEAST_CONTRAST:
            return mixed
    return colours.ink


def contrast(a: str, b: str) -> float:
    """The contrast of two colours, 1 to 21 (WCAG 2.2, 'contrast ratio')."""
    light, dark = sorted((_luminance(a), _luminance(b)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def _luminance(colour: str) -> float:
    """Relative luminance (WCAG 2.2)."""
    parts = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in (v / 255 for v in _channels(colour))]
    return 0.2126 * parts[0] + 0.7152 * parts[1] + 0.0722 * parts[2]


def _channels(colour: str) -> tuple[int, int, int]:
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)


def _mixed(colour: str, other: str, share: float) -> str:
    parts = (int(a + (b - a) * share + 0.5) for a, b in zip(_channels(colour), _channels(other), strict=True))
    return "#" + "".join(f"{part:02x}" for part in parts)


def _marks(
    marks: Sequence[Mark], shown: Picture, colours: Colours, k: float, width: float, height: float
) -> Iterator[str]:
    """Marks beside their places, each with a line to it; none upon another or on a text while there is room."""
    size = width * MARK
    left, top = shown.box[0], shown.box[3]
    texts = [
        ((x0 - left) * k, (top - y1) * k, (x1 - left) * k, (top - y0) * k)
        for entity in shown.entities for x0, y0, x1, y1 in entity.lettering
    ]  # fmt: skip
    places = [((mark.at[0] - left) * k, (top - mark.at[1]) * k) for mark in marks]
    inside = [-size <= x <= width + size and -size <= y <= height + size for x, y in places]
    spots = beside([place for place, shows in zip(places, inside, strict=True) if shows], size, texts, (width, height))
    for mark, (x, y), shows in zip(marks, places, inside, strict=True):
        if not shows:
            continue
        spot = next(spots)
        yield f'<g><title>{xml_text(f"{mark.label} {mark.level}: {mark.says}")}</title>'
        yield f'<path d="M{short(x)} {short(y)}L{short(spot[0])} {short(spot[1])}" stroke="{colours.mark}" '
        yield f'stroke-width="{short(size / 8)}"/><circle cx="{short(x)}" cy="{short(y)}" r="{short(size / 5)}" '
        yield f'fill="{colours.mark}"/>{_shape(mark.level, *spot, size, colours)}'
        yield f"{_lettered(mark, *spot, size, colours)}</g>\n"


def beside(
    places: Iterable[tuple[float, float]], size: float, texts: Iterable[Box], page: tuple[float, float]
) -> Iterator[tuple[float, float]]:
    """A spot for a mark of half size `size` beside each place of a page (x to the right, y down, from its corner)."""
    lettering, placed = _Cells(texts, size, *page), _Cells((), size, *page)
    for x, y in places:
        spot = _free(x, y, size, placed, lettering, page)
        placed.add(_square(*spot, size))
        yield spot


_AROUND = ((1, -1), (-1, -1), (1, 1), (-1, 1), (0, -1.4), (1.4, 0), (0, 1.4), (-1.4, 0))
_RINGS = 7
"""How many circles of places around its own a mark is tried on."""
OUT = 1.6
"""How far the largest shape, with its line, reaches from its middle, in half sizes of a mark."""
MOST_CELLS = 256


class _Cells:
    """Boxes by the cells of the page that they touch, so that thousands of marks find their places soon."""

    def __init__(self, boxes: Iterable[Box], size: float, width: float, height: float) -> None:
        self._side = 2.4 * size
        self._page = (0.0, 0.0, width, height)
        self._boxes: dict[tuple[int, int], list[Box]] = {}
        self._large: list[Box] = []
        for box in boxes:
            self.add(box)

    def _touched(self, box: Box) -> tuple[range, range]:
        low_x, low_y = (int(max(v, 0.0) // self._side) for v in box[:2])
        high_x, high_y = (int(min(v, most) // self._side) for v, most in zip(box[2:], self._page[2:], strict=True))
        return range(low_x, high_x + 1), range(low_y, high_y + 1)

    def add(self, box: Box) -> None:
        if not _meet(box, self._page):
            return
        across, down = self._touched(box)
        if len(across) * len(down) > MOST_CELLS:
            self._large.append(box)
            return
        for i in across:
            for j in down:
                self._boxes.setdefault((i, j), []).append(box)

    def meet(self, box: Box) -> bool:
        """Whether one of the boxes meets this one, on the page."""
        across, down = self._touched(box)
        near = (other for i in across for j in down for other in self._boxes.get((i, j), ()))
        return any(_meet(box, other) for other in near) or any(_meet(box, other) for other in self._large)


def _square(x: float, y: float, size: float) -> Box:
    return x - 1.2 * size, y - 1.2 * size, x + 1.2 * size, y + 1.2 * size


def _free(
    x: float, y: float, size: float, placed: _Cells, texts: _Cells, page: tuple[float, float]
) -> tuple[float, float]:
    """The nearest place beside (x, y) that is on the page and clear of other marks, and of texts if there is one."""
    spots = [
        (x + dx * size * 1.9 * ring, y + dy * size * 1.9 * ring) for ring in range(1, _RINGS + 1) for dx, dy in _AROUND
    ]
    edge = OUT * size
    spots = [(u, v) for u, v in spots if edge <= u <= page[0] - edge and edge <= v <= page[1] - edge]
    spots = [spot for spot in spots if not placed.meet(_square(*spot, size))]
    for spot in spots[: 3 * len(_AROUND)]:
        if not texts.meet(_square(*spot, size)):
            return spot
    return spots[0] if spots else (min(max(x, edge), page[0] - edge), min(max(y, edge), page[1] - edge))


def _shape(level: Level, x: float, y: float, r: float, colours: Colours) -> str:
    """Error: a full hexagon. Warning: a square. Note: a circle. As on the page and in the marked copy."""
    line = f'stroke="{colours.mark}" stroke-width="{short(r / 6)}" stroke-linejoin="round"'
    if level is Level.ERROR:
        ways = ((1.35, 0), (0.7, 1), (-0.7, 1), (-1.35, 0), (-0.7, -1), (0.7, -1))
        corners = " ".join(f"{short(x + dx * r)},{short(y + dy * r)}" for dx, dy in ways)
        return f'<polygon points="{corners}" fill="{colours.mark}" {line}/>'
    if level is Level.WARNING:
        left, top, side = short(x - r), short(y - r), short(2 * r)
        return f'<rect x="{left}" y="{top}" width="{side}" height="{side}" fill="{colours.paper}" {line}/>'
    return f'<circle cx="{short(x)}" cy="{short(y)}" r="{short(r)}" fill="{colours.paper}" {line}/>'


def _lettered(mark: Mark, x: float, y: float, r: float, colours: Colours) -> str:
    colour = colours.paper if mark.level is Level.ERROR else colours.mark
    size = r * min(1.05, 2.2 / len(mark.label) / OF_LETTER / 1.7)
    return words(mark.label, x, y + size * 0.36, size, colour, 'text-anchor="middle"')


def words(text: str, x: float, y: float, size: float, colour: str, more: str = "") -> str:
    place, look = f'x="{short(x)}" y="{short(y)}"', f'font-size="{short(size)}" fill="{colour}"'
    look += f" {more}" if more else ""
    return f'<text {place} font-family="{FAMILY}, sans-serif" {look}>{xml_text(text)}</text>'


_TYPE = 0.0115
"""Height of the type beneath the drawing, as a share of the picture's width."""
_LEADING = 1.5


def _foot(
    marks: Sequence[Mark], lines: Sequence[str], colours: Colours, width: float, top: float
) -> Iterator[str]:
    """What the marks mean, the lines, and the caution; an item for each line of type."""
    size = width * _TYPE
    at = top + size * _LEADING
    counts = Counter(mark.level for mark in marks)
    if marks:
        x, parts = size * 1.6, []
        for level in (level for level in Level if counts[level]):
            says = f"{LETTER[level]} = {level}: {counts[level]}"
            parts.append(_shape(level, x, at - size * 0.36, size * 0.5, colours))
            parts.append(words(says, x + size * 1.2, at, size, colours.ink))
            x += size * (len(says) * OF_LETTER + 4)
        yield "".join(parts) + "\n"
        at += size * _LEADING
    for line, more in [*((line, "") for line in lines), (CAUTION, 'font-style="italic"')]:
        for row in rows(xml_plain(line), int((width / size - 2) / OF_LETTER)):
            yield words(row, size, at, size, colours.ink, more) + "\n"
            at += size * _LEADING


def _foot_height(foot: Sequence[str], width: float) -> float:
    return width * _TYPE * (_LEADING * len(foot) + 0.8)


def rows(text: str, most: int) -> Iterator[str]:
    """Lines of at most so many characters, broken between words where there are any."""
    row = ""
    for word in text.split():
        while len(word) > most:
            if row:
                yield row
                row = ""
            yield word[:most]
            word = word[most:]
        if row and len(row) + 1 + len(word) > most:
            yield row
            row = word
        else:
            row = f"{row} {word}" if row else word
    if row:
        yield row


def _meet(a: Box, b: Box) -> bool:
    return a[0] <= b[2] and b[0] <= a[2] and a[1] <= b[3] and b[1] <= a[3]
