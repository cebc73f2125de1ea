"""A DXF file as its tags, each with its place in the file's bytes, so that new ones can be put between them.

Nothing is decoded and nothing is mended: what is not touched stays byte for byte. ASCII and binary DXF (DXF reference,
"ASCII DXF files", "binary DXF files"); the types of the values are those that the reader's library goes by.
"""

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from struct import Struct
from struct import error as StructError
from typing import NamedTuple, TypeAlias

from ezdxf.lldxf.types import BINARY_DATA, BYTES, DOUBLE, INT16, INT32, INT64

from dimaudit.errors import AuditError

Value: TypeAlias = str | int | float
New: TypeAlias = tuple[int, Value]
"""A tag to write: group code and value. Strings have no line ends; for a file in a codepage they are ASCII."""

BINARY_HEAD = b"AutoCAD Binary DXF\r\n\x1a\x00"
_LINE = re.compile(rb"([^\r\n]*)(\r\n|\n|\r|\Z)")
_NUMBERS = {
    **dict.fromkeys(INT16, Struct("<h")), **dict.fromkeys(INT32, Struct("<i")), **dict.fromkeys(INT64, Struct("<q")),
    **dict.fromkeys(DOUBLE, Struct("<d")), **dict.fromkeys(BYTES, Struct("<B")),
}  # fmt: skip
_SHORT = Struct("<H")
_WIDE = 0xFF
"""In files with codes of one byte: a code of two bytes follows."""


class Tag(NamedTuple):
    """One tag of the file. Numbers of a binary file are given as text, too; of its chunks the value is empty."""

    code: int
    value: bytes
    start: int
    end: int
    """Where its bytes begin and end."""


@dataclass(frozen=True, slots=True)
class TagFile:
    """A file's bytes, its tags, and how a new tag is written between them."""

    content: bytes
    tags: tuple[Tag, ...]
    coded: Callable[[New], bytes]
    line_end: bytes = b""
    """Of an ASCII file, else empty."""

    def text(self, new: Iterable[New]) -> bytes:
        """New tags in the file's own form."""
        return b"".join(map(self.coded, new))


def tag_file(content: bytes) -> TagFile:
    """The tags up to the end-of-file tag.

    Raises AuditError where the bytes are no sequence of tags: nothing can then be put between them.
    """
    return _binary(content) if content.startswith(BINARY_HEAD) else _ascii(content)


def spliced(file: TagFile, edits: Sequence[tuple[int, int, bytes]]) -> bytes:
    """The file's bytes with those from `start` to `end` replaced by new ones; edits of one place keep their order."""
    parts, done = [], 0
    for start, end, new in sorted(edits, key=lambda edit: edit[:2]):
        parts += [file.content[done:start], new]
        done = end
    return b"".join([*parts, file.content[done:]])


def _ascii(content: bytes) -> TagFile:
    tags = []
    position = len(b"\xef\xbb\xbf") if content.startswith(b"\xef\xbb\xbf") else 0
    first = _LINE.match(content, position)
    line_end = (first and first.group(2)) or b"\n"
    line = 1
    while position < len(content):
        head = _LINE.match(content, position)
        assert head is not None  # it matches anything
        value = _LINE.match(content, head.end())
        assert value is not None
        try:
            code = int(head.group(1))
        except ValueError:
            if not content[position:].strip(b" \t\r\n\x1a\x00"):
                break
            raise AuditError(
                f"line {line} should be a group code and is none, so the copy can't be proved to hold all of the "
                "original: save the drawing again as DXF in the program that made it, and mark that file"
            ) from None
        tags.append(Tag(code, value.group(1).strip(), position, value.end()))
        position = value.end()
        line += 2
        if code == 0 and tags[-1].value == b"EOF":
            break
    return TagFile(content, tuple(tags), lambda new: _ascii_tag(new, line_end), line_end)


def _ascii_tag(new: New, line_end: bytes) -> bytes:
    code, value = new
    return f"{code:3d}".encode() + line_end + _plain(value).encode() + line_end


def _plain(value: Value) -> str:
    text = repr(value) if isinstance(value, float) else str(value)
    assert text.isprintable(), "a line end in a value would make new tags"
    return text


def _binary(content: bytes) -> TagFile:
    at = len(BINARY_HEAD)
    wide = content[at + 1 : at + 2] == b"\x00" or content[at : at + 2] == _SHORT.pack(999)  # codes of two bytes: R13 on
    tags = []
    try:
        while at < len(content):
            start, code = at, content[at]
            if wide or code == _WIDE:
                (code,) = _SHORT.unpack_from(content, at if wide else at + 1)
                at += 2 if wide else 3
            else:
                at += 1
            value = b""
            if code in BINARY_DATA:
                at += 1 + content[at]
            elif code in _NUMBERS:
                number = _NUMBERS[code]
                value = str(number.unpack_from(content, at)[0]).encode()
                at += number.size
            else:
                end = content.index(b"\x00", at)
                value = content[at:end].strip()
                at = end + 1
            tags.append(Tag(code, value, start, at))
            if code == 0 and value == b"EOF":
                break
    except (IndexError, ValueError, StructError):
        raise AuditError("the binary file ends in the middle of a tag: save it again, and mark that file") from None
    return TagFile(content, tuple(tags), lambda new: _binary_tag(new, wide))


def _binary_tag(new: New, wide: bool) -> bytes:
    code, value = new
    if wide:
        head = _SHORT.pack(code)
    else:
        head = bytes([code]) if code < _WIDE else bytes([_WIDE]) + _SHORT.pack(code)
    if code in _NUMBERS:
        return head + _NUMBERS[code].pack(value)
    return head + _plain(value).encode() + b"\x00"
