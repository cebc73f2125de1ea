"""Texts that are no dimension: variables, formulas and notes."""

import re

from dimaudit.text.vocabulary import AFTER_ONLY, SIGN, WORD

LONGEST = 400
"""Characters in the longest text that is read: real ones hold under 80; reported where it strikes."""

_NAME = re.compile(r"[^\W\d_]\w*")

_OPENS_NUMBER = re.compile(r"[ :=]*[+-]?[0-9.,ØR□\x01]")

# A number that stands by itself and is written like a size: a decimal, a fraction, a size with its
# symbol or its unit.
_SIZE = re.compile(
    r"(?<![A-Za-z0-9.])(?:[0-9]*[.,][0-9]+|[0-9]+ *[/#] *[0-9]+|[0-9]+ *(?:[\"'°±]|mm\b|cm\b|in\b))"
    r"|[Ø□]\s*[0-9.,]|\x01|[A-Za-z][0-9]*[.,][0-9]"
)

HAS_DIGIT = re.compile(r"[0-9\u00bc-\u00be\u2150-\u215e\uff10-\uff19]")

NUMBERED_NOTE = re.compile(r"[0-9]{1,2}\. +[A-Za-z]{3}")
"""'3. DRILL THRU': the number of a note."""


def is_name(text: str) -> bool:
    """Whether a text that is no dimension is a variable, a formula or a note, not a size gone wrong."""
    text = text.lstrip(" (")
    if _NAME.match(text) is None:
        return False
    if "=" in text:
        return True
    if SIGN.match(text) is not None:
        return False
    word = WORD.match(text)
    if word is not None and word.group(1).upper() not in AFTER_ONLY and _OPENS_NUMBER.match(text, word.end()):
        return False
    return _SIZE.search(text) is None


def reason(shown: str, why: str) -> str:
    """A reason that begins with the text it is about."""
    return why if why.startswith("'") else f"'{' '.join(shown.split())}': {why}"
