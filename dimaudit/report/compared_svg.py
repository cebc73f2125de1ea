"""Two drawings laid over one another, what changed marked with its number.

Only what changed is drawn of the old one. The three looks differ by dash and width as well as by colour: what is the
same is thin and grey, what was is dashed, what is is bold. An orange and a blue are told apart by colour-blind readers
(after the palette of Okabe and Ito, 2008; from memory). Looks are classes: a page has them in light and in dark.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from xml.sax.saxutils import quoteattr

from dimaudit.model.compared import Change, Compared, Seat, Sort
from dimaudit.model.picture import PAPER, Box, DrawnEntity, Picture
from dimaudit.report.compared_text import by_sort, change_lines, headline, title
from dimaudit.report.interface import CAUTION
from dimaudit.report.svg import THEMES, Theme, beside, rows, short, words, xml_plain, xml_text

WIDTH = 297.0
"""Millimetres."""
MARK = 0.0095
"""Half the size of a mark, as a share of the width."""
OUTSIDE = 0.5
"""How far beside the new drawing the old one may reach, as a share of its size; what is farther off is cut."""
SAME, OLD, NEW = 0.18, 0.3, 0.5
"""Millimetres: widths of lines that are the same, that were, and that are (ISO 128-2 has such a series)."""
UNMARKED = (Sort.FINDING_NEW, Sort.FINDING_GONE)
"""They follow from the other changes and would stand on them; the page of `check` marks them."""
LEGEND = (
    ("old", "dashed: as it was in the old drawing, where it changed"),
    ("new", "bold: as it is in the new drawing, where it changed"),
    ("same", "thin: the same in both"),
)
DANGER = "full square: text and geometry no longer go together as they did"
OTHER = "ring: another change"


@dataclass(frozen=True, slots=True)
class Palette:
    """Colours of a theme, '#rrggbb'."""

    paper: str
    ink: str
    same: str
    old: str
    new: str
    danger: str


PALETTES: dict[Theme, Palette] = {
    "light": Palette(THEMES["light"].paper, THEMES["light"].ink, "#6a737c", "#b84e00", "#0060a8", "#a3123f"),
    "dark": Palette(THEMES["dark"].paper, THEMES["dark"].ink, "#8f98a1", "#e69f00", "#56b4e9", "#ff8fae"),
}


@dataclass(frozen=True, slots=True)
class Over:
    """One layout: what stands within an <svg> element whose coordinates are millimetres from its upper left corner."""

    layout: str
    width: float
    height: float
    body: str
    marked: tuple[int, ...]
    """Numbers of the changes that are marked on it."""
    left_out: int
    """How many entities could not be drawn."""


def laid_over(
    olds: Sequence[Picture], news: Sequence[Picture], changes: Sequence[Change], factor: Fraction
) -> list[Over]:
    """Each layout of the two drawings: those of one name over one another."""
    first, second = {p.layout: p for p in olds}, {p.layout: p for p in news}
    names = [*second, *(name for name in first if name not in second)]
    return [_over(first.get(name), second.get(name), changes, float(factor)) for name in names]


def _over(old: Picture | None, new: Picture | None, changes: Sequence[Change], factor: float) -> Over:
    layout = (new or old).layout  # type: ignore[union-attr]
    was = None if old is None else _times(old.box, factor)
    box = _union(was, None if new is None else new.box)
    across, up = box[2] - box[0], box[3] - box[1]
    per = across / WIDTH
    height = up / per
    drawn = [change for change in changes if change.sort not in UNMARKED]
    gone = frozenset(h for change in drawn for h in change.old.handles)
    come = frozenset(h for change in drawn for h in change.new.handles)
    parts = [f'<svg width="{short(WIDTH)}" height="{short(height)}" viewBox="0 0 {across:.9g} {up:.9g}">\n']
    texts: list[Box] = []
    if old is not None and was is not None:
        parts.append(f'<g class="old" transform="translate({was[0] - box[0]:.9g} {box[3] - was[3]:.9g}) '
                     f'scale({factor:.9g})">\n')  # fmt: skip
        for entity in old.entities:
            if entity.handle in gone:
                parts += _entity(entity, OLD * per / factor)
        parts.append("</g>\n")
    if new is not None:
        shift = f'transform="translate({new.box[0] - box[0]:.9g} {box[3] - new.box[3]:.9g})"'
        for look, width in (("same", SAME), ("new", NEW)):
            parts.append(f'<g class="{look}" {shift}>\n')
            for entity in new.entities:
                if (entity.handle in come) == (look == "new"):
                    parts += _entity(entity, width * per)
            parts.append("</g>\n")
        texts = [((x0 - box[0]) / per, (box[3] - y1) / per, (x1 - box[0]) / per, (box[3] - y0) / per)
                 for e in new.entities for x0, y0, x1, y1 in e.lettering]  # fmt: skip
    parts.append("</svg>\n")
    places = {}
    for number, change in enumerate(changes, 1):
        if change.sort in UNMARKED:
            continue
        at = _place(change.new, new, 1.0) or _place(change.old, old, factor)
        if at is not None and box[0] <= at[0] <= box[2] and box[1] <= at[1] <= box[3]:
            places[number] = (at[0] - box[0]) / per, (box[3] - at[1]) / per
    size = WIDTH * MARK
    spots = beside(places.values(), size, texts, (WIDTH, height))
    for (number, place), spot in zip(places.items(), spots, strict=True):
        parts += _mark(number, changes[number - 1], place, spot, size)
    lost = sum(len(p.left_out) for p in (old, new) if p is not None)
    return Over(layout, WIDTH, height, "".join(parts), tuple(places), lost)


def _times(box: Box, factor: float) -> Box:
    return box[0] * factor, box[1] * factor, box[2] * factor, box[3] * factor


def _union(old: Box | None, new: Box | None) -> Box:
    """Both drawings, but no more of the old one than OUTSIDE."""
    if new is None or old is None:
        return _roomy(new or old)  # type: ignore[arg-type]
    wide, high = (new[2] - new[0]) * OUTSIDE, (new[3] - new[1]) * OUTSIDE
    return _roomy((
        max(min(old[0], new[0]), new[0] - wide), max(min(old[1], new[1]), new[1] - high),
        min(max(old[2], new[2]), new[2] + wide), min(max(old[3], new[3]), new[3] + high),
    ))  # fmt: skip


def _roomy(box: Box) -> Box:
    edge = 0.02 * max(box[2] - box[0], box[3] - box[1])
    return box[0] - edge, box[1] - edge, box[2] + edge, box[3] + edge


def _place(seat: Seat, picture: Picture | None, factor: float) -> tuple[float, float] | None:
    """Where a change is on a picture: its own place, or the middle of the first of its entities that is drawn."""
    if picture is None:
        return None
    at = seat.at if seat.layout == picture.layout else None
    if at is None and seat.handles:
        boxes = {e.handle: e.box for e in reversed(picture.entities)}
        box = next((boxes[h] for h in seat.handles if h in boxes), None)
        at = None if box is None else ((box[0] + box[2]) / 2, (box[1] + box[3]) / 2)
    return None if at is None else (at[0] * factor, at[1] * factor)


def _entity(entity: DrawnEntity, width: float) -> Iterator[str]:
    yield f"<g data-h={quoteattr(xml_plain(entity.handle))}>"
    for stroke in entity.strokes:
        if stroke.colour == PAPER:
            yield f'<path class="hides" d="{stroke.path}"/>'
        elif stroke.filled:
            yield f'<path class="{"letters" if stroke.text else "area"}" d="{stroke.path}"/>'
        else:
            dash = f'stroke-width="{width:.4g}" stroke-dasharray="{width * 7:.4g} {width * 5:.4g}"'
            yield f'<path class="line" {dash} d="{stroke.path}"/>'
    yield "</g>\n"


def _mark(
    number: int, change: Change, place: tuple[float, float], spot: tuple[float, float], r: float
) -> Iterator[str]:
    """A full square where text and geometry parted, a ring elsewhere; a line to the place."""
    (x, y), (u, v) = place, spot
    says = f"{number} {change.sort}: {title(change)}: {'; '.join(change_lines(change))}"
    yield f'<g class="mark {"danger" if change.dangerous else "other"}"><title>{xml_text(says)}</title>'
    yield f'<path d="M{short(x)} {short(y)}L{short(u)} {short(v)}" stroke-width="{short(r / 8)}"/>'
    yield f'<circle class="spot" cx="{short(x)}" cy="{short(y)}" r="{short(r / 7)}"/>'
    yield _shape(change.dangerous, u, v, r)
    size = r * (1.15 if number < 100 else 0.85)
    yield f'<text x="{short(u)}" y="{short(v + size * 0.36)}" font-size="{short(size)}" text-anchor="middle">'
    yield f"{number}</text></g>\n"


def _shape(danger: bool, x: float, y: float, r: float) -> str:
    wide = f'stroke-width="{short(r / 6)}"'
    if danger:
        return f'<rect x="{short(x - r)}" y="{short(y - r)}" width="{short(2 * r)}" height="{short(2 * r)}" {wide}/>'
    return f'<circle cx="{short(x)}" cy="{short(y)}" r="{short(r)}" {wide}/>'


STYLE = """
.line,.mark>path{{fill:none;stroke-linecap:butt;stroke-linejoin:round}}
.old .line{{stroke:{old}}}
.same .line{{stroke:{same};stroke-dasharray:none}}
.new .line{{stroke:{new};stroke-dasharray:none}}
.area,.letters{{stroke:none;fill-rule:evenodd}}
.letters{{fill-rule:nonzero}}
.old .area,.old .letters{{fill:{old};opacity:.6}}
.same .area,.same .letters{{fill:{same}}}
.same .area,.new .area{{opacity:.6}}
.new .area,.new .letters{{fill:{new}}}
.hides{{fill:{paper};stroke:none}}
.mark>path{{stroke:{ink}}}
.mark .spot{{fill:{ink};stroke:none}}
.other circle{{fill:{paper};stroke:{ink}}}
.other text{{fill:{ink};font-weight:bold}}
.danger>path{{stroke:{danger}}}
.danger .spot{{fill:{danger}}}
.danger rect{{fill:{danger};stroke:{danger}}}
.danger text{{fill:{paper};font-weight:bold}}
"""
"""How the looks are drawn, for a palette's colours."""


def style(colours: dict[str, str]) -> str:
    """The rules for one set of colours, by the names of a Palette's fields."""
    return STYLE.format(**colours)


TYPE = 0.0115
"""Height of the type beneath the drawing, as a share of the width."""
LEADING = 1.5
LETTERS = int((1 / TYPE - 2) / 0.5)
"""Characters in a line of type."""


def compared_svg(
    compared: Compared, olds: Sequence[Picture], news: Sequence[Picture], theme: Theme = "light"
) -> tuple[str, list[str]]:
    """A whole SVG file of the layout with most changes, and the names of the others."""
    layouts = laid_over(olds, news, compared.changes, compared.factor)
    shown = max(layouts, key=lambda over: len(over.marked))
    palette = PALETTES[theme]
    colours = {name: getattr(palette, name) for name in Palette.__dataclass_fields__}
    foot = list(_foot(compared, shown, palette))
    whole = shown.height + WIDTH * TYPE * (LEADING * len(foot) + 0.8)
    return "".join([
        '<?xml version="1.0" encoding="UTF-8"?>\n',
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{short(WIDTH)}mm" height="{short(whole)}mm" '
        f'viewBox="0 0 {short(WIDTH)} {short(whole)}" role="img" aria-labelledby="t d">\n',
        f'<title id="t">{xml_text(f"{compared.old.path} and {compared.new.path}, layout {shown.layout}")}</title>\n',
        f'<desc id="d">{xml_text(f"The two drawings laid over one another: {headline(compared)}. {CAUTION}")}</desc>\n',
        f"<style>{style(colours)}text{{font-family:'DejaVu Sans Condensed',sans-serif}}</style>\n",
        f'<rect width="{short(WIDTH)}" height="{short(whole)}" fill="{palette.paper}"/>\n',
        shown.body, *foot, "</svg>\n",
    ]), [over.layout for over in layouts if over is not shown]  # fmt: skip


def _foot(compared: Compared, shown: Over, palette: Palette) -> Iterator[str]:
    """The legend, a line for each sort of change, and the caution; an item for each line of type."""
    size = WIDTH * TYPE
    at = shown.height + size * LEADING
    for look, says in LEGEND:
        width = {"old": OLD, "new": NEW, "same": SAME}[look]
        line = f'<path class="line" stroke-width="{width}" stroke-dasharray="{width * 7:.3g} {width * 5:.3g}" '
        yield (f'<g class="{look}">{line}d="M{short(size)} {short(at - size * 0.3)}h{short(size * 3)}"/></g>'
               + words(says, size * 5, at, size, palette.ink) + "\n")  # fmt: skip
        at += size * LEADING
    for danger, says in ((True, DANGER), (False, OTHER)):
        if any(compared.changes[n - 1].dangerous is danger for n in shown.marked):
            shape = _shape(danger, size * 2.5, at - size * 0.3, size * 0.5)
            yield (f'<g class="mark {"danger" if danger else "other"}">{shape}</g>'
                   + words(says, size * 5, at, size, palette.ink) + "\n")  # fmt: skip
            at += size * LEADING
    unmarked = sum(change.sort not in UNMARKED for change in compared.changes) - len(shown.marked)
    said = [headline(compared), *(f"{len(changes)} × {sort}" for sort, changes in by_sort(compared))]
    if unmarked:
        said.append(f"{unmarked} without a place on this layout: see the report")
    if shown.left_out:
        said.append(f"{shown.left_out} entities could not be drawn")
    for line, more in [*((line, "") for line in said), (CAUTION, 'font-style="italic"')]:
        for row in rows(xml_plain(line), LETTERS):
            yield words(row, size, at, size, palette.ink, more) + "\n"
            at += size * LEADING
