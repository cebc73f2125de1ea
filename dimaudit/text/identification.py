"""Numbers that name something instead of stating a size: drawing numbers, dates, sheets, materials, note numbers.

The labels are common practice, no source.
"""

import re

_NOTE_NUMBER = re.compile(r"^ *(?:NOTE +)?[0-9]{1,2}[.):] ", re.IGNORECASE)
_DATE = re.compile(
    r"\b(?:[0-9]{1,2}([./-])[0-9]{1,2}\1(?:[0-9]{4}|[0-9]{2})|[0-9]{4}([./-])[0-9]{1,2}\2[0-9]{1,2})\b"
)
_SHEETS = re.compile(r"\b[0-9]{1,3} *OF *[0-9]{1,3}\b", re.IGNORECASE)
_CODE = re.compile(r"(?<![\w.,#Ø⌀%])(?=[\w/-]*[A-Za-z])(?=[A-Za-z]|[0-9]{3})(?![0-9.]+[xX][0-9])[\w]+(?:[-/_.][\w]+)*")
"""Letters and digits in one word: 'O1', 'CDJ-415', '6061-T6', '316L'."""
_UNIT_OR_SIGN = re.compile(
    r"^(?:[0-9]+(?:[.,/][0-9]+)?(?:MM|CM|M|IN|FT|X|DEG|D)|S?R[0-9]{0,3}(?:[.,][0-9]+)?|C[0-9]{1,2}(?:[.,][0-9]+)?|"
    r"M[0-9.,]+(?:X[0-9.,]+)?|X[0-9.,]+)$",
    re.IGNORECASE,
)
"""Words of letters and digits that do state something: '12mm', 'R3', 'M8', '4X'."""
_LABELS = (
    "DRAWING NO", "DRAWING NUMBER", "DWG NO", "DWG", "DRG NO", "PART NO", "PART NUMBER", "P/N", "ITEM NO", "ITEM",
    "SHEET", "SHT", "PAGE", "REV", "REVISION", "ISSUE", "DATE", "MATERIAL", "MATL", "MAT'L", "STOCK", "PROJECT",
    "JOB", "ORDER", "DRAWN", "CHECKED", "APPROVED", "FILE", "TEL", "PHONE", "SIZE A", "WEIGHT", "MASS", "FINISH",
    "COPYRIGHT", "ZONE",
)  # fmt: skip
_FIELD = re.compile(rf"\b(?:{'|'.join(re.escape(w) for w in _LABELS)})\b(?: BY| NO)?[ .:#-]*[^,;]*", re.IGNORECASE)
_LONG_NUMBER = re.compile(r"(?<![\w.,])[0-9]{6,}(?![\w.,])")
_NUMBER = re.compile(r"[0-9\u00bc-\u00be\u2150-\u215e]")


def states_a_number(plain: str) -> bool:
    """Whether a number is left in the plain text of a note once all that only names something is taken away."""
    return any(_NUMBER.search(_without_names(line)) is not None for line in plain.splitlines())


def _without_names(line: str) -> str:
    line = _NOTE_NUMBER.sub("", line)
    for pattern in (_DATE, _FIELD, _SHEETS, _LONG_NUMBER):
        line = pattern.sub(" ", line)
    return _CODE.sub(lambda word: word.group() if _UNIT_OR_SIGN.match(word.group()) else " ", line)
