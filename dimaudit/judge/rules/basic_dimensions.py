"""Basic dimensions and the frames that give them their tolerance: the one without the other."""

from collections.abc import Iterator, Sequence, Set

from dimaudit.judge.check import Rule, Sheet
from dimaudit.judge.saying import finding, named
from dimaudit.model.audit import Finding, Judgement, Level
from dimaudit.model.control_frame import WITH_BASICS, Characteristic, TiedFrame
from dimaudit.model.drawing import ANGLES, Circle, Kind, Point
from dimaudit.model.geometry import FeatureKind, HoleGroup
from dimaudit.model.stated import Stated
from dimaudit.text.control_frame import SIGNS
from dimaudit.text.markup import plain_text

WITH_TOLERANCE = "basic-with-tolerance"
WITHOUT_FRAME = "basic-without-frame"
POSITION = "position-without-basic"
LOCATING = (Kind.LINEAR, Kind.ALIGNED, Kind.ORDINATE, *ANGLES)
SAID_IN_WORDS = ("POSITION", "PROFILE", "BASIC", "DATUM")
"""Words of a note that may put a tolerance on all basic dimensions of the drawing."""


def is_basic(judgement: Judgement) -> bool:
    """Whether the value is boxed, by its style or by a word."""
    reading = judgement.reading
    return isinstance(reading, Stated) and (reading.boxed or judgement.attached.dimension.style.boxed)


def toleranced(sheet: Sheet) -> Iterator[Finding]:
    """A basic dimension is theoretically exact: it has no tolerance of its own."""
    for judgement in sheet.judgements:
        reading = judgement.reading
        if not isinstance(reading, Stated) or not is_basic(judgement):
            continue
        if reading.tolerance is not None or reading.limits is not None or reading.fit:
            yield finding(
                WITH_TOLERANCE, Level.ERROR, judgement, sheet,
                f"{named(judgement)} is basic and has a tolerance",
                ["the box says that the value is exact and a frame gives the tolerance; the text gives another one"],
                "take the tolerance away and leave it to the frame, or take the box away",
            )  # fmt: skip


def unframed(sheet: Sheet) -> Iterator[Finding]:
    """One finding for the drawing, where it has basic dimensions and nothing that gives them a tolerance."""
    basics = [j for j in sheet.judgements if is_basic(j)]
    if not basics or any(_says_framed(text) for text in _texts(sheet)):
        return
    if any(row.characteristic in WITH_BASICS or row.characteristic is None
           for tied in sheet.frames.frames for row in tied.frame.rows):  # fmt: skip
        return
    count = len(basics)
    which = "1 dimension is basic" if count == 1 else f"{count} dimensions are basic"
    yield Finding(
        rule=WITHOUT_FRAME,
        level=Level.NOTE,
        handles=tuple(j.attached.dimension.handle for j in basics),
        message=f"{which}, and no frame of position or profile is on the drawing",
        why=("a boxed value has no tolerance of its own, and the general tolerance does not hold for it",),
        suggestion="add the frame, or take the box away",
        at=None,
        layout="",
    )


def _texts(sheet: Sheet) -> Iterator[str]:
    for geometry in sheet.geometries:
        for note in geometry.space.notes:
            yield note.text
        for leader in geometry.space.leaders:
            yield leader.text or ""


def _says_framed(raw: str) -> bool:
    """Whether a text speaks of such a tolerance: in words, or by a symbol of a frame that was taken to pieces."""
    text = plain_text(raw[:2000]).upper()
    signs = (sign for sign, name in SIGNS.items() if name in WITH_BASICS)
    return any(word in text for word in SAID_IN_WORDS) or any(sign in text for sign in signs)


def unlocated(sheet: Sheet) -> Iterator[Finding]:
    """A hole with a frame of position whose dimensions are found, or those of its pattern, none of them basic."""
    for tied in sheet.frames.frames:
        rows = [row for row in tied.frame.rows if row.characteristic is Characteristic.POSITION]
        if not rows or tied.hole is None or tied.view is None or not rows[0].datums:
            continue
        alike = [h for h in tied.view.holes if h.radii == tied.hole.radii]
        whole = len(alike) > 1 and _places(sheet, tied) == len(alike)
        pattern = _locating(sheet, alike, tied)
        own = pattern if whole else _locating(sheet, [tied.hole], tied)
        what = f"the {len(alike)} holes are" if whole else "the hole is"
        if own and not any(map(is_basic, pattern)):
            yield Finding(
                rule=POSITION,
                level=Level.WARNING,
                handles=(tied.origin.handle, *(j.attached.dimension.handle for j in own)),
                message=f'frame "{tied.frame}" gives a position, and no basic dimension says where that is',
                why=(
                    f"{what} located by {', '.join(named(j) for j in own)}, with a tolerance of their own",
                    "the zone of a position stands at the place that basic dimensions give",
                ),
                suggestion="make the dimensions that locate the hole or its pattern basic, or take the frame away",
                at=(float(tied.at[0]), float(tied.at[1])),
                layout=tied.layout,
                view=tied.view.name,
                subject=f'frame "{tied.frame}"',
            )


def _places(sheet: Sheet, tied: TiedFrame) -> int | None:
    """For how many places the text above the frame holds, and the frame with it: 4 for '4X Ø.281'."""
    if tied.dimension:
        for judgement in sheet.judgements:
            if judgement.attached.dimension.handle == tied.dimension and isinstance(judgement.reading, Stated):
                return judgement.reading.count
    for note in sheet.hole_notes:
        if tied.under and tied.under in note.handles:
            return note.call_out.count
    return None


def _locating(sheet: Sheet, holes: Sequence[HoleGroup], tied: TiedFrame) -> list[Judgement]:
    """The dimensions that end at the centre of one of these holes, or give a circle that a centre is on."""
    centres = {hole.centre for hole in holes}
    return [judgement for judgement in sheet.judgements if _locates(judgement, centres, tied)]


def _locates(judgement: Judgement, centres: Set[Point], tied: TiedFrame) -> bool:
    attached, reading = judgement.attached, judgement.reading
    if attached.view is not tied.view or not isinstance(reading, Stated) or reading.reference:
        return False
    features = [end.feature for end in attached.ends if end.feature is not None]
    if attached.dimension.kind in LOCATING:
        return any(feature.kind is FeatureKind.CENTRE and feature.at in centres for feature in features)
    circles = [shape for feature in features for shape in feature.shapes if isinstance(shape, Circle)]
    return any(_on(circle, centre) for circle in circles for centre in centres)


def _on(shape: Circle, centre: Point) -> bool:
    """Whether the circle runs through a hole's centre, as far as can be seen: a bolt circle."""
    dx, dy = float(shape.centre[0] - centre[0]), float(shape.centre[1] - centre[1])
    radius = float(shape.radius)
    return bool(radius > 0 and abs((dx * dx + dy * dy) ** 0.5 - radius) <= 1e-4 * radius)


RULES = (
    Rule(WITH_TOLERANCE, Level.ERROR, "a basic dimension has a tolerance of its own", toleranced),
    Rule(POSITION, Level.WARNING, "a position has no basic dimensions to stand on", unlocated),
    Rule(WITHOUT_FRAME, Level.NOTE, "basic dimensions without a frame that gives a tolerance", unframed),
)
