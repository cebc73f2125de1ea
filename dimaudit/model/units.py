"""Length units, by their exact definitions (international inch = 25.4 mm; NIST SP 811 appendix B)."""

from enum import StrEnum
from fractions import Fraction


class Unit(StrEnum):
    """A unit that a drawing or a dimension text can be in; the value is what people write."""

    INCH = "in"
    FOOT = "ft"
    MILLIMETRE = "mm"
    CENTIMETRE = "cm"
    METRE = "m"
    DEGREE = "deg"


IN_MM: dict[Unit, Fraction] = {
    Unit.INCH: Fraction(254, 10),
    Unit.FOOT: Fraction(3048, 10),
    Unit.MILLIMETRE: Fraction(1),
    Unit.CENTIMETRE: Fraction(10),
    Unit.METRE: Fraction(1000),
}

INCHES = (Unit.INCH, Unit.FOOT)


def conversion(source: Unit, target: Unit) -> Fraction:
    """How many `target` one `source` is; both must be lengths (KeyError otherwise)."""
    return IN_MM[source] / IN_MM[target]
