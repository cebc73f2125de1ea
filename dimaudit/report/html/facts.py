"""What a drawing's part of the page says besides its findings: what was not judged, not read, and taken for granted."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from dimaudit.exact.number import decimal_text
from dimaudit.model.audit import JUDGED, DrawingAudit, NumberText
from dimaudit.model.scheme import Implied
from dimaudit.report.interface import UNIT_WORDS

UNSURE = "whether they are located: slanted lines, or arcs whose ends the file only rounds"


@dataclass(frozen=True, slots=True)
class Item:
    """One line, with what it leads to on the picture."""

    text: str
    handle: str = ""
    layout: str = ""
    at: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class Fact:
    """A heading and its lines."""

    title: str
    items: tuple[Item, ...]
    gap: bool = False
    """It says what was not judged."""


def counted(n: int, word: str) -> str:
    """'1 view', '2 views'."""
    return f"{n} {word}{'s' if n != 1 else ''}"


def about(drawing: DrawingAudit) -> str:
    """Version, unit and fingerprint on one line."""
    unit = "no unit" if drawing.unit is None else UNIT_WORDS[drawing.unit]
    views = counted(len(drawing.views), "view")
    return (
        f"DXF {drawing.version}, {unit} ({drawing.unit_from}), {views} with dimensions, sha256 {drawing.sha256[:12]}"
    )


def facts(drawing: DrawingAudit) -> tuple[Fact, ...]:
    """All that there is to say, what was not judged first; headings without lines are left out."""
    return tuple(fact for fact in (*_gaps(drawing), *_read(drawing)) if fact.items)


def _gaps(drawing: DrawingAudit) -> Iterator[Fact]:
    reasons: dict[str, list[Item]] = {}
    for j in drawing.judgements:
        if j.verdict not in JUDGED:
            d = j.attached.dimension
            spot = d.shown_at or next(iter(d.points.values()), None)
            at = None if spot is None else (float(spot[0]), float(spot[1]))
            why = f"{j.verdict}: {j.reason}" if j.reason else str(j.verdict)
            reasons.setdefault(why, []).append(Item(j.text or "no text", d.handle, d.layout, at))
    for why, items in sorted(reasons.items()):
        yield Fact(f"{counted(len(items), 'dimension')} not judged: {why}", tuple(items), True)
    for why, texts in drawing.unjudged_texts().items():
        yield Fact(f"{counted(len(texts), 'text')} not judged: {why}", _texts(texts), True)
    unread = drawing.unread_texts()
    yield Fact(f"{counted(len(unread), 'text')} with a number, not understood", _texts(unread), True)
    for scheme in drawing.schemes:
        where = ", ".join(view.name for view in scheme.views)
        if scheme.why_not:
            yield Fact(f"What is located in {where} is not judged", (Item(scheme.why_not),), True)
        if scheme.unsure:
            places = counted(len({(id(p.view), p.at) for p in scheme.unsure}), "place")
            yield Fact(f"{places} of {where} not judged", (Item(UNSURE),), True)
    left_out = [Item(why, handle) for scheme in drawing.schemes for handle, why in scheme.left_out]
    yield Fact("Not in the dimension scheme", tuple(left_out), True)
    pairs = [Item(f"{p.first} and {p.second}: {p.why}") for p in drawing.views_not_compared]
    yield Fact("Views in line whose steps and holes were not compared", tuple(pairs), True)
    groups = drawing.undimensioned
    if groups:
        said = f"{counted(groups, 'group')} of linework without dimensions (borders, tables, other views): not audited"
        yield Fact("Linework without dimensions", (Item(said),), True)
    losses = [
        Item(f"{loss.count} × {loss.what}: {loss.why}{_few(loss.handles)}") for loss in drawing.losses
    ]
    yield Fact("Repaired, left out or not read", tuple(losses), True)


def _read(drawing: DrawingAudit) -> Iterator[Fact]:
    block = drawing.title_block
    yield Fact(
        "Statements of the sheet that could not be used",
        tuple(Item(f"'{r.text}' read as {r.read_as}: {r.trouble}", r.handle) for r in block.read if r.trouble), True,
    )  # fmt: skip
    yield Fact(
        "Read from the sheet",
        tuple(Item(r.read_as, r.handle) for r in (*block.read, *drawing.view_scales) if not r.trouble),
    )
    lengths = drawing.lengths
    noise = "" if lengths.noise is None else f", noise {decimal_text(lengths.noise)}"
    general = block.tolerances
    in_force = f"general tolerances {', '.join(general.words())}" if general else (
        "no tolerance known but those in the dimensions themselves"
    )  # fmt: skip
    yield Fact("Settings in force", (
        Item(f"rounding {drawing.rounding}, snap {decimal_text(lengths.snap, 9)}, near {decimal_text(lengths.near, 9)},"
             f" gap {decimal_text(lengths.gap, 9)}{noise}"),
        Item(in_force),
    ))  # fmt: skip
    taken = {kind for scheme in drawing.schemes for kind in scheme.taken}
    yield Fact("Taken as implied", tuple(Item(kind.value) for kind in Implied if kind in taken))


def _texts(texts: Sequence[NumberText]) -> tuple[Item, ...]:
    return tuple(
        Item(f"'{t.text}'" + (f": {t.why}" if t.why and not t.read_as else ""), t.handle, t.layout, t.at)
        for t in texts
    )


def _few(handles: tuple[str, ...], most: int = 12) -> str:
    """The first handles, and how many there are where that is not all."""
    if not handles:
        return ""
    rest = f", … ({len(handles)})" if len(handles) > most else ""
    return f" [{', '.join(handles[:most])}{rest}]"
