"""The words that head the columns of hole tables (common practice, no source)."""

import re

from dimaudit.model.hole_table import Column
from dimaudit.model.units import Unit

HEADINGS = {
    Column.TAG: (
        "HOLE", "HOLES", "HOLE NO", "HOLE NUMBER", "HOLE #", "HOLE ID", "HOLE LABEL", "HOLE REF", "HOLE TAG",
        "HOLE LETTER", "HOLE SYMBOL", "TAG", "LABEL", "MARK", "SYMBOL", "SYM", "LETTER", "ID", "NO", "NR", "#", "POINT",
        "PT", "POS", "ITEM",
    ),
    Column.SIZE: (
        "Ø", "DIA", "DIAM", "DIAMETER", "SIZE", "HOLE SIZE", "HOLE DIA", "HOLE DIAMETER", "HOLE Ø", "DRILL",
        "DRILL SIZE", "DRILL DIA", "DESCRIPTION", "DESC", "CALLOUT", "CALL OUT", "CALL-OUT", "HOLE DESCRIPTION",
    ),
    Column.QTY: ("QTY", "QUANTITY", "QUAN", "COUNT", "NO OF HOLES", "NO REQD", "REQD"),
    Column.DEPTH: ("DEPTH", "DEEP", "HOLE DEPTH", "↧"),
}  # fmt: skip

TITLES = ("HOLE TABLE", "HOLE CHART", "HOLE LIST", "HOLE SCHEDULE", "DRILL TABLE", "DRILL CHART", "DRILL LIST")
ALL_HOLES = re.compile(r"\b(?:ALL|COMPLETE)\b.{0,40}\bHOLES?\b|\bHOLES?\b.{0,40}\b(?:ALL|COMPLETE)\b")
"""A title that says that the table leaves no hole out."""

DIAMETERS = ("Ø", "DIA", "DIAM", "DIAMETER", "DRILL", "DRILL DIA")
"""Headings of sizes that are those of something round, and that parts lists do not have."""

_KINDS = {word: kind for kind, words in HEADINGS.items() for word in words}
_PLACE_WORDS = (
    "LOC|LOCATION|DIM|DIMENSION|POS|POSITION|COORD|COORDINATE|CO-ORD|CO-ORDINATE|ORD|ORDINATE|DIST|DISTANCE|DIR|VALUE"
    "|OFFSET|AXIS"
)
_PLACE = re.compile(rf"([XYZ])(?:[-_ ]?(?:{_PLACE_WORDS}))?|(?:{_PLACE_WORDS})[-_ ]?([XYZ])")
"""'X', 'XDIM', 'X-COORD', 'LOC X': an axis, with or without a word for a place."""
_UNIT = re.compile(r"[ (\[]*(MM|IN|INCH|INCHES)[)\]. ]*$")
_SIGNS = str.maketrans({"⌀": "Ø", "∅": "Ø", "Φ": "Ø", "ø": "Ø"})
_UNITS = {"MM": Unit.MILLIMETRE, "IN": Unit.INCH, "INCH": Unit.INCH, "INCHES": Unit.INCH}
LONGEST = 40
"""Characters in the longest heading."""


def heading(text: str) -> tuple[Column | None, Unit | None]:
    """What a column with this heading gives, and the unit that the heading names; (None, None) for other words."""
    if len(text) > LONGEST:
        return None, None
    words = " ".join(text.upper().translate(_SIGNS).split())
    unit = _UNIT.search(words)
    if unit is not None and unit.start() > 0:
        words = words[: unit.start()]
    else:
        unit = None
    words = words.replace(".", "").strip(" :-")
    place = _PLACE.fullmatch(words)
    kind = _KINDS.get(words) if place is None else Column(place.group(1) or place.group(2))
    return kind, None if unit is None else _UNITS[unit.group(1)]


def of_something_round(text: str) -> bool:
    """Whether a heading of sizes says that they are diameters."""
    return " ".join(text.upper().translate(_SIGNS).split()).strip(" .:-") in DIAMETERS


def names_holes(text: str) -> bool:
    """Whether a heading or a title speaks of holes."""
    words = text[:200].upper()
    return "HOLE" in words or "DRILL" in words
