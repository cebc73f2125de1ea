"""A zip archive, unpacked safely: under names of our own, within bounds that are counted and not believed."""

import stat
import struct
import zipfile
import zlib
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from dimaudit.errors import UsageError

LARGEST_ARCHIVE = 512 * 2**20
"""Bytes of the archive itself."""
LARGEST_IN_ALL = 1024 * 2**20
"""Bytes of all that it holds, unpacked."""
RATIO = 200
"""Unpacked size over packed size. DXF text packs to a tenth or a thirtieth; deflate's limit is about 1030."""
LITTLE = 2**20
"""An entry up to this size may pack as well as it likes."""
DIRECTORY_ENTRY = 600
"""Bytes of the archive's list of contents for one entry, generously: 46 and its name (APPNOTE.TXT 4.3.12)."""
CHUNK = 2**16

BOMB = "unpack it by hand, if you trust who sent it"


@dataclass(frozen=True, slots=True)
class Entry:
    """A file of an archive."""

    inside: PurePosixPath
    file: Path | None
    """Unpacked, under a name of our own; None where it was refused."""
    refused: tuple[str, str] | None = None
    """Why, and what to do."""


def unpacked(path: Path, into: Path, largest: int, most: int) -> Iterator[Entry]:
    """The files of an archive, in its own order; each that is refused says why.

    Nothing is written but plain files in `into`, named by numbers. Raises UsageError where the archive as a whole can't
    be opened or holds more than `most` files.
    """
    _fit_to_open(path, most)
    try:
        archive = zipfile.ZipFile(path)
    except (OSError, zipfile.BadZipFile, ValueError, NotImplementedError) as error:
        raise UsageError(f"{path}: no archive that can be opened ({error}): pack the folder anew as a zip") from None
    with archive:
        infos = [info for info in archive.infolist() if not info.is_dir()]
        if len(infos) > most:
            raise UsageError(f"{path}: holds {len(infos)} files, more than {most}: pack the class's own folder alone")
        names = [_name(info) for info in infos]
        twice = {name for name, count in Counter(names).items() if count > 1}
        left = LARGEST_IN_ALL
        for n, (info, name) in enumerate(zip(infos, names, strict=True)):
            inside, refused = _inside(name)
            refused = refused or _refused(info, largest)
            if not refused and name in twice:
                refused = "more than once in the archive under this name", "unpack and rename them; grade the folder"
            if refused:
                yield Entry(inside, None, refused)
                continue
            file = into / f"{n}.dxf"
            size, refused = _written(archive, info, file, min(largest, left), left < largest)
            left -= size
            yield Entry(inside, None, refused) if refused else Entry(inside, file)


def _fit_to_open(path: Path, most: int) -> None:
    """Looks at the archive's last record before its list of contents is read whole (APPNOTE.TXT 4.3.16)."""
    try:
        size = path.stat().st_size
        if size > LARGEST_ARCHIVE:
            raise UsageError(f"{path}: {size} bytes are more than the {LARGEST_ARCHIVE} that are read: name the folder")
        with path.open("rb") as file:
            file.seek(max(0, size - 2**16 - 22))
            tail = file.read()
    except OSError as error:
        raise UsageError(f"{path}: {error.strerror or error}: name an archive that can be read") from None
    at = tail.rfind(b"PK\x05\x06")
    if at < 0 or len(tail) < at + 22:
        raise UsageError(f"{path}: no archive that can be opened (it has no end): pack the folder anew as a zip")
    (length,) = struct.unpack_from("<L", tail, at + 12)
    if length > most * DIRECTORY_ENTRY or tail[max(0, at - 20) : at].startswith(b"PK\x06\x07"):
        raise UsageError(f"{path}: made for more than {most} files: pack the class's own folder alone, or name it")


def _name(info: zipfile.ZipInfo) -> str:
    """The name; what is UTF-8 without saying so is read as UTF-8 (APPNOTE.TXT appendix D says CP437)."""
    name = info.orig_filename.replace("\\", "/")
    if not info.flag_bits & 0x800:
        try:
            return name.encode("cp437").decode("utf-8")
        except UnicodeError:
            return name
    return name


def _inside(name: str) -> tuple[PurePosixPath, tuple[str, str] | None]:
    """The path in the archive, without what would lead out of it; a reason to refuse it where it tried."""
    parts = [p for p in name.split("/") if p not in ("", ".")]
    kept = [p for p in parts if p != ".."]
    path = PurePosixPath(*kept) if kept else PurePosixPath("without a name")
    outside = ".." in parts or name.startswith("/") or (kept and len(kept[0]) == 2 and kept[0][1] == ":")
    if outside:
        return path, ("its path leads out of the archive, as no archive of a class does", "ask who packed it")
    if "\0" in name:
        return path, ("its name holds a character that no name has", "ask who packed it")
    return path, None


def _refused(info: zipfile.ZipInfo, largest: int) -> tuple[str, str] | None:
    mode = info.external_attr >> 16
    if info.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED) and not info.flag_bits & 0x1:
        return "packed in a way that is not read", "unpack the archive by hand, and grade the folder"
    if info.flag_bits & 0x1:
        return "locked with a password", "unpack the archive with the password, and grade the folder"
    if stat.S_ISLNK(mode):
        return "a link to another file, which is not followed", "ask for the file itself"
    if stat.S_IFMT(mode) not in (0, stat.S_IFREG):
        return "no plain file", "ask for the file itself"
    if info.file_size > largest:
        return f"{info.file_size} bytes unpacked, more than the {largest} that are read", BOMB
    if info.file_size > LITTLE and info.file_size > RATIO * max(1, info.compress_size):
        return f"unpacks to {info.file_size} bytes from {info.compress_size}, as no drawing does", BOMB
    return None


def _written(
    archive: zipfile.ZipFile, info: zipfile.ZipInfo, file: Path, most: int, in_all: bool
) -> tuple[int, tuple[str, str] | None]:
    """Unpacks one entry, counting as it goes: what the archive says of its size is not believed."""
    size = 0
    refused: tuple[str, str] | None = None
    try:
        with archive.open(info) as source, file.open("wb") as target:
            while chunk := source.read(CHUNK):
                size += len(chunk)
                if size > most:
                    limit = f"the archive holds more than {LARGEST_IN_ALL} bytes in all" if in_all else (
                        f"more than the {most} bytes that are read")
                    refused = limit, BOMB
                    break
                if size > LITTLE and size > RATIO * max(1, info.compress_size):
                    refused = f"unpacks to more than {RATIO} times its packed size, as no drawing does", BOMB
                    break
                target.write(chunk)
    except (zipfile.BadZipFile, zlib.error, EOFError, OSError, ValueError) as error:
        refused = f"damaged in the archive ({error})", "ask for the file again"
    except (NotImplementedError, RuntimeError) as error:
        refused = f"packed in a way that can't be read ({error})", "unpack the archive by hand, and grade the folder"
    if refused:
        file.unlink(missing_ok=True)
    return size, refused
