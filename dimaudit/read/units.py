"""The drawing's unit: from the header, else from what else the file says, and always with the reason."""

import re
from collections.abc import Iterable

from ezdxf.document import Drawing as Document

from dimaudit.model.drawing import ANGLES, Dimension, Space
from dimaudit.model.style import LinearFormat
from dimaudit.model.units import Unit

HEADER_UNITS = {1: Unit.INCH, 2: Unit.FOOT, 4: Unit.MILLIMETRE, 5: Unit.CENTIMETRE, 6: Unit.METRE}
"""$INSUNITS (DXF reference); 0 is 'unitless', the others are no units of a shop drawing."""

_SAYS_MM = re.compile(r"\b(IN|ALL|SIZES?|UNITS?\b.{0,6}|ARE)\s*(MM|MILLI?MET(RES?|ERS?))\b", re.IGNORECASE)
_SAYS_INCH = re.compile(r"\b(IN|ALL|SIZES?|UNITS?\b.{0,6}|ARE)\s*(INCH(ES)?)\b", re.IGNORECASE)
_INCH_FORMATS = (LinearFormat.ENGINEERING, LinearFormat.ARCHITECTURAL, LinearFormat.FRACTIONAL)


def _whole_hundreds(dimension: Dimension) -> bool:
    """A length of more than a hundred shown without decimals: no inch print is dimensioned so."""
    text = (dimension.override or dimension.drawn_text or "").split(";")[-1].strip("{} ")
    return dimension.kind not in ANGLES and text.isdigit() and int(text) > 100


def unit_of(doc: Document, spaces: Iterable[Space], wanted: Unit | None) -> tuple[Unit | None, str]:
    """The unit and what said so."""
    if wanted is not None:
        return wanted, "set by the user"
    code = doc.header.get("$INSUNITS", 0)
    if code in HEADER_UNITS:
        return HEADER_UNITS[code], "$INSUNITS"
    said = f"$INSUNITS is {code}; " if code else ""
    spaces = list(spaces)
    notes = [note.text for space in spaces for note in space.notes]
    for pattern, unit in ((_SAYS_MM, Unit.MILLIMETRE), (_SAYS_INCH, Unit.INCH)):
        if any(pattern.search(text[:2000]) for text in notes):
            return unit, f"{said}inferred: a note on the drawing names the unit"
    dimensions = [d for space in spaces for d in space.dimensions]
    styles = [d.style for d in dimensions]
    if any(style.linear_format in _INCH_FORMATS for style in styles):
        return Unit.INCH, f"{said}inferred: dimensions are shown as fractions or as feet and inches"
    texts = " ".join(d.override or d.drawn_text or "" for d in dimensions)
    if re.search(r"\d\s*mm\b", texts):
        return Unit.MILLIMETRE, f"{said}inferred: dimension texts say mm"
    if re.search(r"\d\s*(\"|in\b|inch)", texts, re.IGNORECASE):
        return Unit.INCH, f"{said}inferred: dimension texts say inches"
    if styles and all(style.zeros & 4 for style in styles):
        return Unit.INCH, f"{said}inferred: no zero stands before the decimal point, inch practice (ASME Y14.5)"
    if styles and all(style.separator == "," for style in styles):
        return Unit.MILLIMETRE, f"{said}inferred: the decimal sign is a comma, metric practice (ISO 129-1)"
    measurement = doc.header.get("$MEASUREMENT", None) if "$MEASUREMENT" in doc.header else None
    if measurement == 1:
        return Unit.MILLIMETRE, f"{said}inferred: $MEASUREMENT is metric"
    if measurement == 0 and any(_whole_hundreds(d) for d in dimensions):
        why = "$MEASUREMENT is imperial, yet sizes are whole numbers over a hundred, as in millimetres"
        return None, f"{said}not known: {why}; say which with --units"
    if measurement == 0:
        return Unit.INCH, f"{said}inferred: $MEASUREMENT is imperial"
    return None, f"{said}nothing in the file names a unit; numbers are compared as they stand"
