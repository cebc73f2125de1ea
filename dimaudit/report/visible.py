"""Text from a drawing made harmless to print: control and direction characters shown, never obeyed."""

import re

_HIDDEN = re.compile(
    "[\x00-\x1f\x7f-\x9f\u00ad\u061c\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff\ufff9-\ufffb]"
)


def visible(text: str, most: int = 400) -> str:
    """One line: tabs and line ends become blanks, other hidden characters their code; what is cut is said."""
    shown = _HIDDEN.sub(lambda m: " " if m.group() in "\t\n\r" else f"\\x{ord(m.group()):02x}", text)
    return shown if len(shown) <= most else f"{shown[:most]}… ({len(shown)} characters)"
