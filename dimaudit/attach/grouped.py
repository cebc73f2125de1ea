"""A hole note and the frame beneath it are one group: what ties the one ties the other.

Practice of ASME Y14.5 (a frame is placed beneath the size that it controls; clause from memory).
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from dimaudit.model.control_frame import ControlFrames, TiedFrame
from dimaudit.model.geometry import HoleGroup
from dimaudit.model.pointed import Carrier, HoleNote


def grouped(frames: ControlFrames, notes: Sequence[HoleNote]) -> tuple[ControlFrames, tuple[HoleNote, ...]]:
    """Frames tied by the notes above them, notes by the leaders of the frames beneath; no frame's text is a note."""
    notes = [note for note in notes if note.handles[0] not in frames.claimed]
    of_text = {handle: note for note in notes for handle in note.handles}
    tied = tuple(_by_note(frame, of_text) for frame in frames.frames)
    leading: dict[str, list[TiedFrame]] = {}
    for frame in tied:
        if frame.under and frame.hole is not None and frame.under in of_text and not frame.reason:
            leading.setdefault(of_text[frame.under].handles[0], []).append(frame)
    return replace(frames, frames=tied), tuple(_by_frame(note, leading.get(note.handles[0], ())) for note in notes)


def _by_note(frame: TiedFrame, of_text: Mapping[str, HoleNote]) -> TiedFrame:
    note = of_text.get(frame.under)
    if note is None or not frame.reason or note.view is None or not note.holes:
        return frame
    handles = tuple(dict.fromkeys(h for hole in note.holes for h in hole.handles))
    centre = note.holes[0].centre
    hole: HoleGroup | None = next((h for h in note.view.holes if h.centre == centre), None)
    return replace(frame, by="the note above", handles=handles, hole=hole, view=note.view, reason="")


def _by_frame(note: HoleNote, frames: Sequence[TiedFrame]) -> HoleNote:
    """The note with the hole that the one frame beneath it has."""
    if note.carrier is not Carrier.NOTHING or len(frames) != 1:
        return note
    (frame,) = frames
    if frame.hole is None or frame.view is None:
        return note
    centre = frame.hole.centre
    holes = tuple(hole for hole in frame.view.drawn_holes if hole.centre == centre)
    handles = tuple(dict.fromkeys((*note.handles, frame.origin.handle)))
    return replace(note, carrier=Carrier.LEADER, handles=handles, view=frame.view, holes=holes, why_not="")
