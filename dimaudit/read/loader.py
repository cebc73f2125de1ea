"""Opening a file: the strict reader, then the one that repairs, then a word on what the file is instead."""

import logging
import os
import re
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

from ezdxf import recover
from ezdxf.document import Drawing as Document
from ezdxf.filemanagement import readfile

from dimaudit.errors import UnreadableFile
from dimaudit.model.drawing import Loss
from dimaudit.read.blockless import put_back
from dimaudit.read.words import clean

logging.getLogger("ezdxf").setLevel(logging.CRITICAL)  # what it repairs is reported as a loss, once

_DETAIL = re.compile(r"\(.*\)|#[0-9A-Fa-f]+")
"""What differs between two repairs of one kind: handles and values."""
_DROPPED = re.compile(r"Removed \w*DIMENSION\w*\(#([0-9A-Fa-f]+)\) without valid geometry block")
"""How the repairing reader says that it threw away a dimension that has no drawn block."""

_OTHER_FORMATS = (
    (b"version https://git-lfs", "a large-file-storage pointer, not the drawing itself: fetch the file's content "
     "(git lfs pull), then audit again"),
    (b"AC10", "a DWG drawing under a .dxf name: save it as DXF (R2000 or later) in the program that made it"),
    (b"AutoCAD DXB", "a DXB file: save it as DXF (R2000 or later) in the program that made it"),
    (b"%PDF", "a PDF: export the drawing itself as DXF; a PDF holds no dimensions"),
    (b"PK\x03\x04", "a ZIP archive: unpack it and audit the DXF files in it"),
    (b"\x1f\x8b", "a gzip archive: unpack it and audit the DXF file in it"),
    (b"\x89PNG", "a picture: export the drawing itself as DXF"),
    (b"\xff\xd8\xff", "a picture: export the drawing itself as DXF"),
    (b"<?xml", "an XML file: export the drawing as DXF"),
    (b"<svg", "an SVG picture: export the drawing as DXF"),
    (b"ISO-10303-21", "a STEP model: export a 2D drawing of it as DXF"),
    (b"solid ", "an STL mesh: export a 2D drawing as DXF"),
)  # fmt: skip


_COUNTED = frozenset(
    b"DIMENSION ARC_DIMENSION LINE ARC CIRCLE LWPOLYLINE POLYLINE ELLIPSE SPLINE INSERT TEXT MTEXT".split()
)


@dataclass(frozen=True, slots=True)
class Loaded:
    """A document, what had to be repaired, and the dimensions that are lost for good."""

    doc: Document
    losses: tuple[Loss, ...]
    dropped: tuple[str, ...] = ()
    """Handles."""


def load(path: Path, head: bytes) -> Loaded:
    """Opens a file. `head` is the start of its bytes.

    Raises UnreadableFile with what the file seems to be and what to do.
    """
    if not head:
        raise UnreadableFile(f"{path}: the file is empty: export the drawing again as DXF")
    lowered = head.lstrip(b"\xef\xbb\xbf \t\r\n")
    for magic, what in _OTHER_FORMATS:
        if lowered.startswith(magic):
            raise UnreadableFile(f"{path}: this is {what}")
    if _is_cut_off(path):
        raise UnreadableFile(f"{path}: the file ends in the middle, cut off. {_scan(path)}Copy or save it again")
    try:
        return Loaded(readfile(path), _no_end(path))
    except MemoryError:
        raise
    except Exception as error:  # besides its own the library raises ValueError, KeyError, AttributeError, OSError
        return _recovered(path, error)


def open_document(path: Path) -> Document:
    """The document of a file, as the audit opens it.

    Raises UnreadableFile.
    """
    try:
        with path.open("rb") as file:
            head = file.read(64)
    except OSError as error:
        raise UnreadableFile(f"{path}: {error.strerror or error}: check the name and the permissions") from error
    return load(path, head).doc


def _recovered(path: Path, first: Exception) -> Loaded:
    try:
        doc, auditor = recover.readfile(path)
    except MemoryError:
        raise
    except Exception as error:
        raise UnreadableFile(_refusal(path, f"{_line(first)}; with repair: {_line(error)}")) from error
    if "is not a DXF file" in str(first) and not len(doc.modelspace()):
        raise UnreadableFile(_refusal(path, f"{_line(first)}; repair finds nothing in it"))
    said = _line(first).replace(f"File '{path}'", "the file")  # what is said of a drawing knows no name of it
    why = f"repaired while reading; the strict reader said: {said}"
    losses = [*_no_end(path), Loss("the file's structure", why)]
    fixes = [entry.message for entry in auditor.fixes]
    dropped = [found.group(1) for message in fixes if (found := _DROPPED.match(message))]
    if dropped and (back := put_back(doc, path)):
        fixes = [message for message in fixes if not _DROPPED.match(message)]
        lost = [handle for handle in dropped if handle not in doc.entitydb]
        dropped = lost[: max(len(dropped) - back, 0)]  # one that the file gives no handle comes back under a new one
    for what, messages in (("repaired", fixes), ("beyond repair", [entry.message for entry in auditor.errors])):
        kinds = Counter(_DETAIL.sub("…", clean(message)) for message in messages)
        losses += [Loss(what, message, count) for message, count in kinds.items()]
    return Loaded(doc, tuple(losses), tuple(dropped))


def _last_lines(path: Path) -> list[bytes]:
    """The last two lines of a file that are no blanks (an old end-of-file byte counts as one)."""
    with path.open("rb") as file:
        file.seek(0, os.SEEK_END)
        file.seek(max(file.tell() - 400, 0))
        return file.read().replace(b"\x1a", b" ").split()[-2:]


def _is_cut_off(path: Path) -> bool:
    """Whether a DXF file ends neither with EOF nor with the end of a section (DXF reference: both are required)."""
    with path.open("rb") as file:
        head = file.read(4096)
    if head.startswith(b"AutoCAD Binary DXF"):
        with path.open("rb") as file:
            file.seek(max(path.stat().st_size - 16, 0))
            return b"EOF" not in file.read()
    last = _last_lines(path)
    return b"SECTION" in head and (not last or last[-1] not in (b"EOF", b"ENDSEC"))


def _no_end(path: Path) -> tuple[Loss, ...]:
    if _last_lines(path)[-1:] != [b"ENDSEC"]:
        return ()
    return (Loss("the file's end", "it has no EOF tag: it may have been cut off between two sections"),)


def _refusal(path: Path, why: str) -> str:
    return (
        f"{path}: not readable as DXF: {why}. {_scan(path)}Open it in the program that made it, run that program's "
        "own check of the file, and save it again as DXF (R2000 or later)"
    )


def _scan(path: Path) -> str:
    """What a plain look at the tags finds in a file that no reader takes, so that the loss has a size."""
    lines = [line.strip() for line in path.read_bytes().splitlines()]
    kinds = Counter(
        value.decode("ascii", "replace")
        for code, value in zip(lines[::2], lines[1::2], strict=False)
        if code == b"0" and value in _COUNTED
    )
    if not kinds:
        return ""
    return f"Its tags name {', '.join(f'{count} {kind}' for kind, count in sorted(kinds.items()))}, none of it read. "


def _line(error: Exception) -> str:
    text = " ".join(clean(str(error)).split()).rstrip(".")
    return f"{type(error).__name__}: {text}" if text else type(error).__name__
