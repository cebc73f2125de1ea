"""The picture of a submission with its numbered deductions, made where the submission is graded.

It is kept with the result, so that a page is made anew, say for a remark, without the drawing.
"""

import base64
import binascii
import json
import zlib
from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path

from markupsafe import Markup

from dimaudit.grade.explained import aside
from dimaudit.grade.state import Result
from dimaudit.model.grading import Deduction, Graded
from dimaudit.model.picture import Box, Picture
from dimaudit.pipeline import pictures_of_file
from dimaudit.report.html.figure import Looks, figure, near

MODEL = "Model"
LARGEST = 4 * 2**20
"""Characters of a picture; a layout of a class has about 50 000. A larger one is not shown, and that is said."""
SIZE = 0.019
"""Half the size of a mark, as a share of the picture's longer side."""
RINGS = 7
AROUND = ((1, -1), (-1, -1), (1, 1), (-1, 1), (0, -1.4), (1.4, 0), (0, 1.4), (-1.4, 0))
OUTSIDE = 0.5
"""How far beside the picture a mark may lie, as a share of its longer side; one farther off would shrink the part."""


@dataclass(frozen=True, slots=True)
class Shown:
    """A picture as it stands on a page: made by us, all text in it escaped."""

    svg: str = ""
    """The whole element; empty where there is no picture."""
    looks: str = ""
    """The style of its strokes."""
    marked: tuple[int, ...] = ()
    """The numbers of the deductions that are marked on it."""
    left_out: int = 0
    """How many entities could not be drawn."""
    why: str = ""
    """Why there is no picture; empty where there is one."""


def numbered(result: Result) -> list[tuple[int, Deduction]]:
    """The deductions in the order of the page, counted from 1; what asks nothing of the learner has no number."""
    marks = result.marks if isinstance(result, Graded) else ()
    return list(enumerate((d for m in marks for d in m.deductions if not aside(d)), start=1))


def shown_of(file: Path, result: Result) -> Shown:
    """The picture of a submission's model space. Raises UnreadableFile, and what the drawing of it breaks on."""
    picture = pictures_of_file(file, [MODEL])[0]
    if not picture.entities:
        return Shown(why="there is nothing in model space to show")
    found = _shown(picture, numbered(result))
    return found if len(found.svg) <= LARGEST else Shown(why="the drawing is too large to show on a page")


def packed(shown: Shown) -> str:
    """As text to be kept: the same picture gives the same text."""
    data = json.dumps(asdict(shown), ensure_ascii=True, sort_keys=True).encode("ascii")
    return base64.b64encode(zlib.compress(data, 6)).decode("ascii")


def unpacked(text: str) -> Shown:
    """What `packed` kept. Raises ValueError where it is damaged."""
    try:
        inflate = zlib.decompressobj()
        data = inflate.decompress(base64.b64decode(text, validate=True), 4 * LARGEST)
        kept = json.loads(data)
        return Shown(
            str(kept["svg"]), str(kept["looks"]), tuple(map(int, kept["marked"])), int(kept["left_out"]),
            str(kept["why"]),
        )  # fmt: skip
    except (binascii.Error, zlib.error, KeyError, TypeError) as error:
        raise ValueError(str(error)) from None


def _shown(picture: Picture, deductions: Sequence[tuple[int, Deduction]]) -> Shown:
    looks = Looks()
    drawn = figure(picture, (), looks)
    width, height = drawn.size
    longer = max(width, height)
    spots: dict[int, tuple[float, float]] = {}
    for number, deduction in deductions:
        at = _place(deduction, picture)
        if at is not None:
            x, y = drawn.place(*at)
            if all(-OUTSIDE * longer <= v <= most + OUTSIDE * longer for v, most in ((x, width), (y, height))):
                spots[number] = x, y
    r = longer * SIZE
    texts = [(*drawn.place(x0, y1), *drawn.place(x1, y0))
             for e in picture.entities for x0, y0, x1, y1 in e.lettering]  # fmt: skip
    xs = [0.0, width, *(x for x, _ in spots.values())]
    ys = [0.0, height, *(y for _, y in spots.values())]
    box = (min(xs) - 3 * r, min(ys) - 3 * r, max(xs) + 3 * r, max(ys) + 3 * r)
    costs = {number: bool(d.points) for number, d in deductions}
    marks = Markup("").join(_marks(spots, costs, r, texts, box))
    view = " ".join(f"{near(v)}" for v in (box[0], box[1], box[2] - box[0], box[3] - box[1]))
    says = "the submission as drawn" + (f", with the numbers {_list(spots)} at their places" if spots else "")
    svg = Markup('<svg viewBox="{}" role="img" aria-label="{}">{}{}</svg>').format(
        view, f"Picture: {says}", drawn.svg, marks
    )
    return Shown(str(svg), looks.css(), tuple(spots), len(picture.left_out))


def _list(numbers: Sequence[int] | dict[int, tuple[float, float]]) -> str:
    return ", ".join(map(str, numbers))


def _place(deduction: Deduction, picture: Picture) -> tuple[float, float] | None:
    """Where it is, by itself or by the first of its entities that is drawn."""
    if deduction.at is not None:
        return deduction.at
    boxes = {e.handle: e.box for e in reversed(picture.entities)}
    box = next((boxes[h] for h in deduction.handles if h in boxes), None)
    return None if box is None else ((box[0] + box[2]) / 2, (box[1] + box[3]) / 2)


def _marks(
    spots: dict[int, tuple[float, float]], costs: dict[int, bool], r: float, texts: Sequence[Box], box: Box
) -> Iterator[Markup]:
    """A number beside its place with a line to it. What cost points is a full square, what cost none a hollow ring."""
    placed: list[Box] = []
    for number, (x, y) in spots.items():
        u, v = _free(x, y, r, placed, texts, box)
        placed.append(_square(u, v, r))
        shape = (
            Markup('<rect x="{}" y="{}" width="{}" height="{}" rx="{}"/>').format(
                near(u - r), near(v - r), near(2 * r), near(2 * r), near(r / 4))
            if costs[number] else Markup('<circle cx="{}" cy="{}" r="{}"/>').format(near(u), near(v), near(r))
        )  # fmt: skip
        yield Markup(
            '<g class="{}"><path d="M{} {}L{} {}"/><circle class="spot" cx="{}" cy="{}" r="{}"/>{}'
            '<text x="{}" y="{}" font-size="{}" text-anchor="middle">{}</text></g>'
        ).format(
            "lost" if costs[number] else "kept", near(x), near(y), near(u), near(v), near(x), near(y), near(r / 5),
            shape, near(u), near(v + 0.38 * r), near(r * (1.15 if number < 100 else 0.8)), number,
        )  # fmt: skip


def _square(x: float, y: float, r: float) -> Box:
    return x - 1.2 * r, y - 1.2 * r, x + 1.2 * r, y + 1.2 * r


def _meet(a: Box, b: Box) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def _free(
    x: float, y: float, r: float, placed: Sequence[Box], texts: Sequence[Box], box: Box
) -> tuple[float, float]:
    """The nearest place beside (x, y) within the box that is clear of other marks, and of texts if there is one."""
    spots = [(x + dx * 1.9 * r * ring, y + dy * 1.9 * r * ring) for ring in range(1, RINGS + 1) for dx, dy in AROUND]
    spots = [(u, v) for u, v in spots if box[0] + r <= u <= box[2] - r and box[1] + r <= v <= box[3] - r]
    spots = [(u, v) for u, v in spots if not any(_meet(_square(u, v, r), other) for other in placed)]
    clear = next((s for s in spots if not any(_meet(_square(*s, r), t) for t in texts)), None)
    return clear or (spots[0] if spots else (x, y))
