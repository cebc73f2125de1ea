"""File names for the learners' pages, made from the submissions' names, whatever those hold."""

import re
import unicodedata
from collections import Counter
from collections.abc import Iterable
from hashlib import sha256

FOLDER = "pages"
LONGEST = 60
"""Characters of a file name without its ending; the longest ones of any script stay below the 255 bytes of systems."""
DIGITS = 20
"""Of the digest that tells names apart which look alike as file names."""
RESERVED = re.compile(r"(con|prn|aux|nul|com[0-9]|lpt[0-9])", re.IGNORECASE)
"""Names that some systems keep for devices (common practice, no source)."""


def page_names(names: Iterable[str]) -> dict[str, str]:
    """A file name for each submission's name: of letters, digits, '-' and '_', never the same for two.

    Two that differ only in what a file name does not hold, or in the case of letters, get a digest of the name behind
    a '~', which no other file name has.
    """
    every = list(dict.fromkeys(names))
    plain = {name: _plain(name) for name in every}
    often = Counter(text.casefold() for text in plain.values())
    return {
        name: f"{text}.html" if often[text.casefold()] == 1 else f"{text}~{_digest(name)}.html"
        for name, text in plain.items()
    }


def _plain(name: str) -> str:
    text = re.sub(r"[^\w]+", "-", unicodedata.normalize("NFC", name))
    text = text[:LONGEST].strip("-") or "page"
    return f"{text}_" if RESERVED.fullmatch(text) else text


def _digest(name: str) -> str:
    return sha256(name.encode("utf-8", "backslashreplace")).hexdigest()[:DIGITS]
