"""The tolerance that holds for one dimension, and what says so.

Its own comes first, then its class by ISO 286-1, then the general tolerances. Basic and reference dimensions have none,
MIN and MAX set one limit only, and none of these takes a general tolerance (ASME Y14.5; clauses from memory).
"""

import re
from fractions import Fraction

from dimaudit.exact.real import enclose, root
from dimaudit.model.attached import Attached
from dimaudit.model.audit import InForce
from dimaudit.model.drawing import ANGLES, Kind, Segment
from dimaudit.model.general import Form, GeneralTolerance, GeneralTolerances, Iso2768
from dimaudit.model.stated import RADII, Stated
from dimaudit.model.units import IN_MM, Unit, conversion
from dimaudit.tables.iso286 import NoLimits, limits
from dimaudit.tables.iso2768 import SMALLEST, angle, broken_edge, linear
from dimaudit.text.grammar import read_text

OWN = "its own"
_GRADE = re.compile(r"(?:[4-9]|1[0-8])$")
"""Grades that a shop works to; a word such as 'A1' or 'B2' is the name of a hole."""
_CONVERTED = {
    (Unit.INCH, Unit.MILLIMETRE), (Unit.MILLIMETRE, Unit.INCH), (Unit.METRE, Unit.MILLIMETRE), (Unit.FOOT, Unit.INCH),
}  # fmt: skip
"""Where DIMLFAC is the factor between these, the numbers are in the second."""
_FINE = Fraction(1, 10**12)
"""A side is known this closely where its length is a root; the table's edges are whole millimetres."""


def fit_of(stated: Stated) -> str:
    """The tolerance class beside the number: 'H7', 'H7/g6'; empty where there is none."""
    return stated.fit.replace(" ", "")


def unit_of_numbers(attached: Attached, unit: Unit | None) -> Unit | None:
    """The unit that the judged numbers are in: the drawing's, or the one that DIMLFAC converts to."""
    return unit_after(attached.dimension.true_factor, unit)


def unit_after(factor: Fraction, unit: Unit | None) -> Unit | None:
    """The unit of numbers that are the drawn lengths, in `unit`, times `factor`."""
    if unit is not None and factor != 1:
        return next((b for a, b in _CONVERTED if a is unit and conversion(a, b) == factor), unit)
    return unit


def tolerance_in_force(
    attached: Attached, text: str, reading: Stated, value: Fraction, limits_: tuple[Fraction, Fraction] | None,
    band: tuple[Fraction, Fraction] | None, unit: Unit | None, factor: Fraction, general: GeneralTolerances,
) -> InForce | None:  # fmt: skip
    """The limits for one dimension; `value`, `limits_` and `band` are what it states itself, in the drawing's unit.

    `text` is what a person reads: the general tolerance goes by the number of decimals that are written.
    """
    if reading.boxed:
        return InForce("basic: no tolerance of its own")
    if reading.reference:
        return InForce("reference: none")
    if limits_ is not None:
        return InForce(OWN, *limits_)
    if reading.one_sided:
        highest = any(w.upper().startswith("MAX") for w in reading.words)
        return InForce("MAX", None, value) if highest else InForce("MIN", value, None)
    if band is not None:
        return InForce(OWN, min(band), max(band))
    unit = unit_of_numbers(attached, unit)
    designation = fit_of(reading)
    if designation:
        return _by_class(designation, value, unit)
    if not general:
        return None
    if attached.dimension.kind in ANGLES:
        return _angle(attached, value, unit, factor, general)
    return _length(attached, text, reading, value, unit, general)


def _by_class(designation: str, value: Fraction, unit: Unit | None) -> InForce:
    source = f"ISO 286-1 {designation}"
    if "/" in designation:
        return InForce(f"{source}: a hole and a shaft, and one number for both")
    if unit is None:
        return InForce(f"{source}: not known, the drawing names no unit")
    found = limits(abs(value) * IN_MM[unit], designation)
    if isinstance(found, NoLimits):
        return InForce(f"{source}: not known, {found.why}")
    return InForce(source, value + found.lower / IN_MM[unit], value + found.upper / IN_MM[unit])


def _length(
    attached: Attached, text: str, reading: Stated, value: Fraction, unit: Unit | None, general: GeneralTolerances
) -> InForce | None:
    places, denominator = _written(attached, text, reading)
    entry = None
    if denominator is not None:
        entry = general.entry(Form.FRACTIONS)
    elif places is not None:
        entry = general.entry(Form.PLACES, places)
    entry = entry or general.entry(Form.LENGTHS)
    if entry is not None:
        foreign = reading.unit is not None and unit is not None and reading.unit is not unit
        typed = attached.dimension.override is not None and "<>" not in attached.dimension.override
        if foreign and typed and entry.unit is None:
            return InForce("general tolerance: not known, the number is in a unit of its own")
        return _around(value, entry, unit)
    if general.iso2768 is not None:
        radius = attached.dimension.kind in (Kind.RADIUS, Kind.JOGGED_RADIUS) or reading.sign in RADII
        edge = radius or reading.chamfer is not None
        return _iso_length(general.iso2768, value, unit, edge)
    lengths = [e for e in general.entries if e.form is not Form.ANGLES]
    what = "fractions" if denominator is not None else f"{places} decimals"
    return InForce(f"general tolerance: none is stated for {what}") if lengths else None


def _written(attached: Attached, text: str, reading: Stated) -> tuple[int | None, int | None]:
    """Decimals, or the denominator, as they stand on the print; a style that drops zeros shows fewer than it has."""
    dimension = attached.dimension
    again = read_text(text, separator=dimension.style.separator, kind=dimension.kind)
    if isinstance(again, Stated) and again.value == reading.value:
        return again.places, again.denominator
    return reading.places, reading.denominator


def _around(value: Fraction, entry: GeneralTolerance, unit: Unit | None) -> InForce:
    per = Fraction(1)
    if entry.unit is not None and unit is not None:
        per = conversion(entry.unit, unit)
    return InForce(entry_text(entry), value + entry.lower * per, value + entry.upper * per)


def entry_text(entry: GeneralTolerance) -> str:
    """'general tolerance .XXX ±0.005 (title block, text 4F)'."""
    where = entry.where if entry.where.startswith("set ") else f"title block, {entry.where}"
    return f"general tolerance {entry.words} ({where})"


def _iso_length(iso: Iso2768, value: Fraction, unit: Unit | None, edge: bool) -> InForce:
    source = f"ISO 2768-1 {iso.letter}"
    if unit is None:
        return InForce(f"{source}: not known, the drawing names no unit")
    size = abs(value) * IN_MM[unit]
    found = (broken_edge if edge else linear)(size, iso.letter)
    if found is None:
        small = f"below {SMALLEST} mm it has to stand beside the size"
        return InForce(f"{source}: none, {small if size < SMALLEST else 'the table has no value for this size'}")
    return InForce(source, value - found / IN_MM[unit], value + found / IN_MM[unit])


def _angle(
    attached: Attached, value: Fraction, unit: Unit | None, factor: Fraction, general: GeneralTolerances
) -> InForce | None:
    entry = general.entry(Form.ANGLES)
    if entry is not None:
        return InForce(entry_text(entry), value + entry.lower, value + entry.upper)
    if general.iso2768 is None:
        return None
    source = f"ISO 2768-1 {general.iso2768.letter}"
    side = _shorter_side(attached)
    if side is None or unit is None:
        return InForce(f"{source}: not known, it goes by the length of the shorter side")
    found = angle(side * factor * IN_MM[unit], general.iso2768.letter)
    return None if found is None else InForce(source, value - found, value + found)


def _shorter_side(attached: Attached) -> Fraction | None:
    """Length of the shorter of the two edges, as drawn; None where the ends are no edges."""
    if attached.dimension.kind is not Kind.ANGULAR or len(attached.ends) != 2:
        return None
    squares: list[Fraction] = []
    for end in attached.ends:
        lines = [] if end.feature is None else [s for s in end.feature.shapes if isinstance(s, Segment)]
        if len(lines) != 1:
            return None
        (line,) = lines
        squares.append((line.a[0] - line.b[0]) ** 2 + (line.a[1] - line.b[1]) ** 2)
    return enclose(root(min(squares)), _FINE)[1]
