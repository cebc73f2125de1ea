"""The name of a file as a URI reference (RFC 3986)."""

from pathlib import PurePath
from urllib.parse import quote


def uri(path: str) -> str:
    """Relative as the path is; else with the scheme `file` (RFC 8089). Each byte that no URI may hold is escaped."""
    named = PurePath(path)
    slashed = named.as_posix()
    try:
        name = slashed.encode("utf-8", "surrogateescape")  # a name that is no UTF-8: its bytes as on the disk
    except UnicodeEncodeError:
        name = slashed.encode("utf-8", "backslashreplace")
    if not named.is_absolute():
        return quote(name)  # a colon is escaped, too: else the first part of a name might be taken for a scheme
    return f"file:///{quote(name.lstrip(b'/'), safe='/:')}"
