"""The stages from file to audit, in order, on one screen; the last one, the report, is the caller's choice."""

import gc
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TypedDict

from dimaudit.attach import attach, hole_notes
from dimaudit.attach.frames import attach_frames
from dimaudit.attach.grouped import grouped
from dimaudit.attach.hole_tables import attach_hole_tables
from dimaudit.attach.radius_notes import radius_notes
from dimaudit.errors import UnreadableFile
from dimaudit.judge import judge_drawing
from dimaudit.judge.as_reading import as_read_parts
from dimaudit.judge.runner import sheet_of
from dimaudit.model.as_read import AsRead
from dimaudit.model.attached import Attached
from dimaudit.model.audit import DrawingAudit, RuleFault, UnreadDrawing
from dimaudit.model.control_frame import ControlFrames
from dimaudit.model.drawing import Drawing
from dimaudit.model.hole_table import HoleTables
from dimaudit.model.picture import Picture
from dimaudit.model.pointed import HoleNote, RadiusNote
from dimaudit.model.seen import Seen
from dimaudit.model.settings import Lengths, Settings
from dimaudit.model.view import Geometry, View
from dimaudit.read import read_drawing
from dimaudit.read.loader import open_document
from dimaudit.rebuild import put_together, rebuild, whole_sheet


def audit_file(path: Path, settings: Settings) -> tuple[DrawingAudit | UnreadDrawing, tuple[RuleFault, ...]]:
    """Audits one file. An unreadable file is a result, not an exception; so is a rule that broke."""
    with _collector_standing_back():
        return _audit(path, settings)


def see_file(
    path: Path, settings: Settings
) -> tuple[DrawingAudit | UnreadDrawing, tuple[RuleFault, ...], Seen]:
    """The audit of one file, and what the file looks like. What fails on the way to a picture never ends the audit."""
    with _collector_standing_back():
        try:
            drawing, rest = _tied(path, settings)
        except UnreadableFile as error:
            return UnreadDrawing(str(path), str(error)), (), Seen()
        audit, faults = judge_drawing(drawing, **rest)
        broken = list(faults)
        pictures: tuple[Picture, ...] = ()
        parts: tuple[tuple[str, AsRead], ...] = ()
        try:
            pictures = pictures_of_file(path, left_out=settings.left_out_layouts)
        except MemoryError:
            raise
        except Exception as error:
            broken.append(RuleFault(str(path), "the picture", f"{type(error).__name__}: {error}"))
        try:
            sheet, _ = sheet_of(drawing, **rest)
            space = {id(view): g.space.name for g in rest["geometries"] for view in g.views}
            parts = tuple((space[id(part.landings[0].places[0].view)], part) for part in as_read_parts(sheet))
        except MemoryError:
            raise
        except Exception as error:
            broken.append(RuleFault(str(path), "the as-read part", f"{type(error).__name__}: {error}"))
        return audit, tuple(broken), Seen(pictures, parts)


@contextmanager
def _collector_standing_back() -> Iterator[None]:
    """A drawing is a great many objects that all live on: looking for garbage among them only costs time."""
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.enable()


@dataclass(frozen=True, slots=True)
class Reading:
    """A drawing as read."""

    drawing: Drawing
    parts: tuple[AsRead, ...]
    texts: dict[str, str]
    """What a person reads in each dimension, by its handle."""
    faults: tuple[RuleFault, ...]


def as_read_file(path: Path, settings: Settings, neglected: frozenset[str] = frozenset()) -> Reading:
    """The as-read parts of one file, without trusting the dimensions in `neglected` (handles in capitals).

    Raises UnreadableFile.
    """
    with _collector_standing_back():
        drawing, rest = _tied(path, settings)
        sheet, broken = sheet_of(drawing, **rest)
        texts = {j.attached.dimension.handle: j.text for j in sheet.judgements}
        return Reading(drawing, as_read_parts(sheet, neglected), texts, tuple(broken))


@dataclass(frozen=True, slots=True)
class Examined:
    """A drawing with its audit, and its linework whether dimensions belong to it or not."""

    drawing: Drawing
    geometries: tuple[Geometry, ...]
    audit: DrawingAudit
    sheet: View
    """All linework of model space."""
    faults: tuple[RuleFault, ...]
    notes: tuple[HoleNote | RadiusNote, ...] = ()
    """Call-outs of holes and radii on leaders, those that could not be tied among them."""


def examine_file(path: Path, settings: Settings) -> Examined:
    """One file audited, with its linework. Raises UnreadableFile."""
    with _collector_standing_back():
        drawing, rest = _tied(path, settings)
        audit, faults = judge_drawing(drawing, **rest)
        sheet = whole_sheet(drawing.spaces[0], drawing.unit, settings)
        return Examined(drawing, rest["geometries"], audit, sheet, faults, (*rest["notes"], *rest["radii"]))


def _audit(path: Path, settings: Settings) -> tuple[DrawingAudit | UnreadDrawing, tuple[RuleFault, ...]]:
    try:
        drawing, rest = _tied(path, settings)
    except UnreadableFile as error:
        return UnreadDrawing(str(path), str(error)), ()
    return judge_drawing(drawing, **rest)


class _Tied(TypedDict):
    """What judging takes besides the drawing."""

    geometries: tuple[Geometry, ...]
    attached: tuple[Attached, ...]
    lengths: Lengths
    settings: Settings
    frames: ControlFrames
    hole_tables: HoleTables
    notes: tuple[HoleNote, ...]
    radii: tuple[RadiusNote, ...]


def _tied(path: Path, settings: Settings) -> tuple[Drawing, _Tied]:
    """Reads, rebuilds and attaches."""
    drawing = read_drawing(path, settings, put_together)  # exploded dimensions become whole ones
    geometries = tuple(rebuild(space, drawing.unit, settings) for space in drawing.spaces)
    lengths = settings.for_unit(drawing.unit)
    noise = max((g.noise for g in geometries if g.space.dimensions), default=geometries[0].noise)
    attached = tuple(
        dimension for g in geometries for dimension in attach(g, lengths.with_noise(g.noise))
    )
    frames = attach_frames(geometries, attached, lengths)
    tables = attach_hole_tables(geometries, attached, lengths, drawing.unit)
    notes = hole_notes(geometries, lengths, apart={**tables.claimed, **frames.claimed})
    radii = radius_notes(geometries, lengths)
    frames, notes = grouped(frames, notes)
    return drawing, {
        "geometries": geometries,
        "attached": attached,
        "lengths": lengths.with_noise(noise),
        "settings": settings,
        "frames": frames,
        "hole_tables": tables,
        "notes": tuple(notes),
        "radii": tuple(radii),
    }


def pictures_of_file(
    path: Path, layouts: Iterable[str] | None = None, left_out: Iterable[str] = ()
) -> tuple[Picture, ...]:
    """Pictures of the layouts that an audit looks at, none of `left_out`, or of the named ones.

    The file is never changed. Raises UnreadableFile, and KeyError for a layout that is not there.
    """
    from dimaudit.picture import pictures_of  # only who wants pictures waits for the drawing library's loading

    with _collector_standing_back():
        return pictures_of(open_document(path), layouts, left_out)
