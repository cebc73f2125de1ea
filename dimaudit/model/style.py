"""What a dimension style says about the shown number, with the overrides of one dimension merged in."""

from dataclasses import dataclass
from enum import IntEnum
from fractions import Fraction


class LinearFormat(IntEnum):
    """DIMLUNIT, group 277 of a DIMSTYLE (DXF reference)."""

    SCIENTIFIC = 1
    DECIMAL = 2
    ENGINEERING = 3
    ARCHITECTURAL = 4
    FRACTIONAL = 5
    DESKTOP = 6


class AngleFormat(IntEnum):
    """DIMAUNIT, group 275 of a DIMSTYLE (DXF reference)."""

    DECIMAL_DEGREES = 0
    DEGREES_MINUTES_SECONDS = 1
    GRADIANS = 2
    RADIANS = 3
    SURVEYOR = 4


class Stacking(IntEnum):
    """DIMFRAC, group 276 of a DIMSTYLE (DXF reference): how a fraction is put on the print."""

    HORIZONTAL = 0
    DIAGONAL = 1
    NONE = 2


@dataclass(frozen=True, slots=True)
class DimStyle:
    """One field per style variable that changes the shown number; the variable's DXF name is beneath it."""

    name: str = "STANDARD"
    factor: Fraction = Fraction(1)
    """DIMLFAC (144), sign kept: a negative value counts in paper space only, as its absolute value."""
    places: int = 4
    """DIMDEC (271): decimals, or for fractional formats the denominator 2**places."""
    round_to: Fraction = Fraction(0)
    """DIMRND (45): linear values are first rounded to a multiple of this; 0 is off."""
    linear_format: LinearFormat = LinearFormat.DECIMAL
    """DIMLUNIT (277)."""
    stacking: Stacking = Stacking.HORIZONTAL
    """DIMFRAC (276)."""
    zeros: int = 0
    """DIMZIN (78): 0 to 3 feet/inch zeros; +4 no leading zero; +8 no trailing zeros."""
    separator: str = "."
    """DIMDSEP (278)."""
    post: str = ""
    """DIMPOST (3): prefix and suffix around '<>'; without '<>' a suffix."""
    angle_format: AngleFormat = AngleFormat.DECIMAL_DEGREES
    """DIMAUNIT (275)."""
    angle_places: int = 0
    """DIMADEC (179), -1 already resolved to DIMDEC."""
    angle_zeros: int = 0
    """DIMAZIN (79): 0 all, 1 no leading, 2 no trailing, 3 neither."""
    tolerance: bool = False
    """DIMTOL (71): the tolerance is appended."""
    limits: bool = False
    """DIMLIM (72): limits are shown instead of the value; never together with `tolerance`, which wins."""
    plus: Fraction = Fraction(0)
    """DIMTP (47)."""
    minus: Fraction = Fraction(0)
    """DIMTM (48): positive means below the value; negative lifts the lower limit above it."""
    tolerance_places: int = 4
    """DIMTDEC (272)."""
    tolerance_zeros: int = 0
    """DIMTZIN (284)."""
    boxed: bool = False
    """DIMGAP (147) negative: a box around the text, a basic dimension."""
    alternate: bool = False
    """DIMALT (170): an alternate value in brackets follows."""
    alternate_factor: Fraction = Fraction(254, 10)
    """DIMALTF (143)."""
    alternate_places: int = 2
    """DIMALTD (171)."""
    alternate_format: LinearFormat = LinearFormat.DECIMAL
    """DIMALTU (273), without what it says of stacking."""
    alternate_stacking: Stacking = Stacking.HORIZONTAL
    """What DIMALTU says of stacking."""
    alternate_round_to: Fraction = Fraction(0)
    """DIMALTRND (148): the alternate is first rounded to a multiple of this; 0 is off."""
    alternate_zeros: int = 0
    """DIMALTZ (285), bits as DIMZIN."""
    alternate_tolerance_places: int = 2
    """DIMALTTD (274)."""
    alternate_tolerance_zeros: int = 0
    """DIMALTTZ (286), bits as DIMZIN."""
    alternate_post: str = ""
    """DIMAPOST (4): prefix and suffix around '[]'; without '[]' a suffix."""
    half: int | None = None
    """The group (13 or 14) of the one end that is not drawn: its half of the dimension line and its extension line are
    off (DIMSD1, 281, with DIMSE1, 75; DIMSD2, 282, with DIMSE2, 76). So is the whole size of a half view written.
    """
