"""The stages from file to audit, in order, on one screen; the last one, the report, is the caller's choice."""

import gc
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from dimaudit.attach import attach, hole_notes
from dimaudit.attach.frames import attach_frames
from dimaudit.attach.grouped import grouped
from dimaudit.attach.hole_tables import attach_hole_tables
from dimaudit.attach.radius_notes import radius_notes
from dimaudit.errors import UnreadableFile
from dimaudit.judge import judge_drawing
from dimaudit.model.audit import DrawingAudit, RuleFault, UnreadDrawing
from dimaudit.model.settings import Settings
from dimaudit.read import read_drawing
from dimaudit.rebuild import put_together, rebuild


def audit_file(path: Path, settings: Settings) -> tuple[DrawingAudit | UnreadDrawing, tuple[RuleFault, ...]]:
    """Audits one file. An unreadable file is a result, not an exception; so is a rule that broke."""
    with _collector_standing_back():
        return _audit(path, settings)


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


def _audit(path: Path, settings: Settings) -> tuple[DrawingAudit | UnreadDrawing, tuple[RuleFault, ...]]:
    try:
        drawing = read_drawing(path, settings, put_together)  # exploded dimensions become whole ones
    except UnreadableFile as error:
        return UnreadDrawing(str(path), str(error)), ()
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
    return judge_drawing(
        drawing, geometries, attached, lengths.with_noise(noise), settings,
        frames=frames, hole_tables=tables, notes=notes, radii=radii,
    )  # fmt: skip
