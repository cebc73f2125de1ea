"""Words from a drawing made fit for a TEXT entity: nothing in them is obeyed, and each program can show them."""

import re
from collections.abc import Iterable

_SIGNS = {
    "Ø": "%%c", "⌀": "%%c", "ø": "%%c", "°": "%%d", "±": "%%p", "×": "x", "–": "-", "—": "-", "−": "-", "…": "...",
    "’": "'", "‘": "'", "“": '"', "”": '"', "√": "root of ", "≥": ">=", "≤": "<=", "→": "->", "\u00a0": " ",
}  # fmt: skip
"""Signs that the format has a code for (DXF reference, TEXT, "special characters"), and those that the stroke fonts of
old files lack (common practice, no source)."""
_CODES = re.compile(r"%(?=%)|\\(?=[UuMm]\+)|\^")
"""Where a control code begins: two per cent signs, a character by its number, a caret."""
_ONE_CODE = re.compile(r"%%.|\^ |.", re.DOTALL)
"""What a program shows as one character."""
_BLANK = frozenset("\t\n\r\x0b\x0c\x85\u2028\u2029")
_BASIC = 0x10000
"""Below this a character can be written by its number (four digits)."""
MOST = 500
"""A longer text is cut, and the cut is said: a legend is no place for a drawing's whole notes."""


def harmless(text: str, most: int = MOST) -> str:
    """One line. Control codes are taken apart by a blank, line ends become blanks, and hidden characters are shown by
    their number."""
    cut = text if len(text) <= most else f"{text[:most]}... ({len(text)} characters)"
    return "".join(map(_shown, _CODES.sub(_apart, " ".join(cut.split()))))


def _apart(code: re.Match[str]) -> str:
    return f"{code.group()} "  # '^ ' is how the format itself writes a caret


def _shown(sign: str) -> str:
    if sign in _SIGNS:
        return _SIGNS[sign]
    if sign.isprintable():
        return sign
    return " " if sign in _BLANK else f"(U+{ord(sign):04X})"


def ascii_only(words: str) -> str:
    """Harmless words for a file in an old codepage: other characters as \\U+nnnn (from memory)."""
    return "".join(
        sign if sign.isascii() else f"\\U+{ord(sign):04X}" if ord(sign) < _BASIC else f"(U+{ord(sign):X})"
        for sign in words
    )


def signs(text: str) -> list[str]:
    """A harmless text by the characters that a person sees."""
    return _ONE_CODE.findall(text)


def wrapped(text: str, width: int) -> list[str]:
    """Harmless lines of at most `width` characters; a longer word is cut."""
    lines: list[str] = []
    line: list[str] = []
    for word in _words(harmless(text)):
        pieces = [word[k : k + width] for k in range(0, len(word), width)]
        for piece in pieces:
            if line and len(line) + 1 + len(piece) > width:
                lines.append("".join(line))
                line = []
            line += [" ", *piece] if line else piece
    return [*lines, "".join(line)] if line else lines or [""]


def _words(text: str) -> Iterable[list[str]]:
    word: list[str] = []
    for sign in signs(text):
        if sign == " ":
            if word:
                yield word
            word = []
        else:
            word.append(sign)
    if word:
        yield word
