"""Text from a drawing made harmless to print: control and direction characters shown, never obeyed."""

import re

_HIDDEN = re.compile(
    "[\x00-\x1f\x7f-\x9f\u00ad\u061c\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff\ufff9-\ufffb]"
)

_NO_XML = re.compile("[\ud800-\udfff\ufffe\uffff]")
"""Characters that no XML 1.0 document may hold, of those that `visible` leaves (XML 1.0, production 2)."""


def visible(text: str, most: int = 400) -> str:
    """One line: tabs and line ends become blanks, other hidden characters their code; what is cut is said."""
    shown = _HIDDEN.sub(lambda m: " " if m.group() in "\t\n\r" else f"\\x{ord(m.group()):02x}", text)
    return shown if len(shown) <= most else f"{shown[:most]}… ({len(shown)} characters)"


def for_xml(text: str, most: int = 400) -> str:
    """As `visible`, without the characters that no XML document may hold; markup is still to be escaped."""
    return _NO_XML.sub("�", visible(text, most))
