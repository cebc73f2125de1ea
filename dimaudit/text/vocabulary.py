"""The signs, units and words that dimension text may hold, as tables: a new one is a new row.

Abbreviations: ASME Y14.38 and Y14.5 usage; those without a page read for them are common practice
from memory.
"""

import re
from enum import StrEnum
from fractions import Fraction

from dimaudit.model.stated import Sign, StepKind
from dimaudit.model.units import Unit


class Effect(StrEnum):
    """What a word does to the number beside it."""

    REFERENCE = "reference"
    BOXED = "boxed"
    ONE_SIDED = "one-sided"
    SIGN = "sign"
    NOTE = "note"


WORDS: dict[str, Effect] = {
    "REF": Effect.REFERENCE,
    "REFERENCE": Effect.REFERENCE,
    "BASIC": Effect.BOXED,
    "BSC": Effect.BOXED,
    "MIN": Effect.ONE_SIDED,
    "MINIMUM": Effect.ONE_SIDED,
    "MAX": Effect.ONE_SIDED,
    "MAXIMUM": Effect.ONE_SIDED,
    "DIA": Effect.SIGN,
    "DIAM": Effect.SIGN,
    "SQ": Effect.SIGN,
    "RAD": Effect.SIGN,
    "ARC": Effect.SIGN,
    "TYP": Effect.NOTE,
    "TYPICAL": Effect.NOTE,
    "NOM": Effect.NOTE,
    "NOMINAL": Effect.NOTE,
    "APPROX": Effect.NOTE,
    "NTS": Effect.NOTE,
    "BC": Effect.NOTE,
    "B.C": Effect.NOTE,
    "BOLT CIRCLE": Effect.NOTE,
    "PCD": Effect.NOTE,
    "P.C.D": Effect.NOTE,
    "CBORE": Effect.NOTE,
    "C'BORE": Effect.NOTE,
    "COUNTERBORE": Effect.NOTE,
    "CSK": Effect.NOTE,
    "COUNTERSINK": Effect.NOTE,
    "SPOTFACE": Effect.NOTE,
    "DRILL": Effect.NOTE,
    "REAM": Effect.NOTE,
    "BORE": Effect.NOTE,
    "TAP": Effect.NOTE,
    "TAPPED": Effect.NOTE,
    "THD": Effect.NOTE,
    "THREAD": Effect.NOTE,
    "CHAM": Effect.NOTE,
    "CHAMFER": Effect.NOTE,
    "FULL R": Effect.NOTE,
    "FULL RAD": Effect.NOTE,
    "FULL RADIUS": Effect.NOTE,
    "DEEP": Effect.NOTE,
    "DEPTH": Effect.NOTE,
    "DP": Effect.NOTE,
    "WIDE": Effect.NOTE,
    "LONG": Effect.NOTE,
    "LG": Effect.NOTE,
    "HIGH": Effect.NOTE,
    "THICK": Effect.NOTE,
    "THK": Effect.NOTE,
    "ACROSS FLATS": Effect.NOTE,
    "A/F": Effect.NOTE,
    "ACROSS CORNERS": Effect.NOTE,
    "OD": Effect.NOTE,
    "O.D": Effect.NOTE,
    "ID": Effect.NOTE,
    "I.D": Effect.NOTE,
    "C/C": Effect.NOTE,
    "CTRS": Effect.NOTE,
    "OVERALL": Effect.NOTE,
    "INCL": Effect.NOTE,
    "BOTH SIDES": Effect.NOTE,
    "BOTH ENDS": Effect.NOTE,
    "NEAR SIDE": Effect.NOTE,
    "FAR SIDE": Effect.NOTE,
    "N/S": Effect.NOTE,
    "F/S": Effect.NOTE,
    "ALL AROUND": Effect.NOTE,
    "REQD": Effect.NOTE,
    "REQ'D": Effect.NOTE,
    "STOCK": Effect.NOTE,
    "SLIP FIT": Effect.NOTE,
    "SLIDING FIT": Effect.NOTE,
    "RUNNING FIT": Effect.NOTE,
    "PUSH FIT": Effect.NOTE,
    "PRESS FIT": Effect.NOTE,
    "DRIVE FIT": Effect.NOTE,
    "SHRINK FIT": Effect.NOTE,
}

MEASURES = frozenset(
    ("DEEP", "DEPTH", "DP", "WIDE", "LONG", "LG", "HIGH", "THICK", "THK", "ACROSS FLATS", "A/F", "ACROSS CORNERS")
) | {"OD", "O.D", "ID", "I.D", "C/C", "CTRS", "OVERALL", "STOCK"}
"""Words that say what a number measures: one on the second of two lines makes that a size of its own."""

AFTER_ONLY = frozenset(("REQD", "REQ'D", "STOCK"))
"""Words that mark a size behind it only: a number after 'STOCK' names the material."""

SIGN_WORDS = {"DIA": Sign.DIAMETER, "DIAM": Sign.DIAMETER, "SQ": Sign.SQUARE, "RAD": Sign.RADIUS, "ARC": Sign.ARC}


def _pattern(words: "tuple[str, ...]") -> str:
    # The longest first, so that THRU does not hide THRU ALL.
    ordered = sorted(words, key=len, reverse=True)
    return "|".join(re.escape(word).replace(r"\ ", " +") for word in ordered)


WORD = re.compile(rf"({_pattern(tuple(WORDS))})(?![A-Za-z0-9_=])\.?", re.IGNORECASE)

_COUNTERBORE = r"⌴|(?:C(?:OUN)?TE?R?['\"/ -]?BORED?|C['\"/ -]?BORED?)(?![A-Za-z0-9_=])\.?"
_COUNTERSINK = r"⌵|(?:CSK|C['\"/]?SK|C['\"/]SINK|CSINK|COUNTER-?SINK|COUNTERSUNK)(?![A-Za-z0-9_=])\.?"
_SPOTFACE = r"⌴ *SF|(?:SPOT[ -]?FACED?)(?![A-Za-z0-9_=])\.?|(?:SF|S/F|SFACE)\.?(?= *[0-9.,Ø□])"
STEP = re.compile(rf"(?P<spotface>{_SPOTFACE})|(?P<counterbore>{_COUNTERBORE})|(?P<countersink>{_COUNTERSINK})", re.I)
"""What opens a further step of a hole: counterbore, countersink, spotface."""

HOLE = re.compile(rf"↧|{STEP.pattern}", re.IGNORECASE)
"""What opens the further sizes of a hole call-out: a step, or a depth."""


def step_kind(opened: "re.Match[str]") -> StepKind:
    """The step that a match of `STEP` opens."""
    return StepKind(str(opened.lastgroup))


THROUGH = re.compile(r"(?:THRU|THROUGH|THRO)(?:[ -]+ALL)?(?![A-Za-z0-9_=])\.?(?: +HOLES?(?![A-Za-z]))?", re.IGNORECASE)
EQUALLY_SPACED = re.compile(
    r"(?:EQ(?:L|UALLY)?\.? +SP(?:A|ACED|CD)?|EQUISPACED|EVENLY +SPACED)(?![A-Za-z0-9_=])\.?", re.IGNORECASE
)

_FASTENER = (
    r"(?:(?:SOCKET|SOC|HEX(?:AGON)?|FLAT|FLT|BUTTON|PAN|ROUND|FILLISTER|CHEESE|LOW|COUNTERSUNK|CSK|CAP|MACHINE|SET"
    r"|SHOULDER|HEAD|HD|HDD|SLOTTED)\.?[ -]+)*"
    r"(?:SCREWS?|SCRS?|BOLTS?|SHCS|SHS|FHCS|FHMS|FHSCS|BHCS|BHSCS|HHCS|HHB|PHMS|RHMS|SHSS|SHSB|LHCS|SSS)(?![A-Za-z0-9_=])\.?"
)
HEAD = re.compile(rf" *{_FASTENER}", re.IGNORECASE)
"""The kind of a screw's head, in words or in the shop's abbreviations (common practice)."""
FASTENER = re.compile(
    rf" *(?:{_FASTENER}|(?:NUTS?|STUDS?|INSERTS?|WASHERS?|HELI-?COILS?|EYE)(?![A-Za-z]))", re.IGNORECASE
)
"""A part behind a thread: the text names the part, and no hole."""
CLEARANCE = re.compile(r" *(?:CLEARANCE|CLEAR|CLR)(?![A-Za-z])\.?(?: +HOLES?(?![A-Za-z]))?", re.IGNORECASE)
FOR_SCREW = re.compile(
    r"(?:(?:CLEARANCE|CLEAR|CLR)\.?(?: +HOLES?)? +|TO +(?:SUIT|CLEAR) +|TO +ACCEPT +)(?:FOR +)?(?:AN? +)?"
    r"(?=[M0-9.#N\x01])"
    r"|FOR +(?:AN? +)?(?=[M0-9.#N\x01])",
    re.IGNORECASE,
)

DEEP = re.compile(r" *(?:DEEP|DEPTH|DP)(?![A-Za-z0-9_=])\.?", re.IGNORECASE)
BOLT_CIRCLE = re.compile(
    r" *(?:(?:DIA|DIAM)\.?(?![A-Za-z]) *)?(?:B\.? ?C\.?D|B\.? ?C|BOLT +CIRCLE|P\.?C\.?D)(?![A-Za-z0-9_=])\.? *",
    re.IGNORECASE,
)
TAP = re.compile(r"(?:TAP|TAPPED|TAPPING|THD|THREAD|THREADED)(?![A-Za-z])\.?(?: +FOR(?![A-Za-z]))? *", re.IGNORECASE)
ON = re.compile(r"ON(?![A-Za-z0-9_=])(?: +AN?(?![A-Za-z]))? *", re.IGNORECASE)
FOR_PART = re.compile(
    r"FOR +(?:AN? +)?(?:Ø? *[0-9.][0-9./]* *(?:DIA\.?)? *)?(?:[A-Z]+ +)?"
    r"(?:PINS?|DOWELS?|BUSH(?:ING)?S?|BEARINGS?|INSERTS?|RIVETS?|STUDS?|KEYS?|PLUGS?|TAPS?|REAMER)(?![A-Za-z0-9])",
    re.IGNORECASE,
)
"""'FOR Ø.250 DOWEL PIN': a part that is no screw."""
AT_ANGLE = re.compile(r"(?:@|AT(?![A-Za-z])) *(?=[0-9])", re.IGNORECASE)
APART = re.compile(r" *(?:APART|INTERVALS?|SPACING)(?![A-Za-z])", re.IGNORECASE)
"""'@ 60°', 'AT 60° INTERVALS': the angle from hole to hole."""
CHAMFER_WORD = re.compile(r" *CHAM(?:FER)?(?![A-Za-z0-9])\.?", re.IGNORECASE)
TIMES = re.compile(r"[xX] *(?=[0-9.,\x01])")
CHAMFER_LETTER = re.compile(r"C ?(?=[0-9.,\x01])")
SEE_NOTE = re.compile(r"(\()?(?:SEE +)?NOTES? +[0-9]+(?: *[,&] *[0-9]+)*(?(1) *\))(?![A-Za-z0-9.])", re.IGNORECASE)

_INCH_SIZE = (
    r"(?:[0-9]+(?: *- *| +)?(?:\x01[0-9]+\x02[/#][0-9]+\x03)|\x01[0-9]+\x02[/#][0-9]+\x03"
    r"|(?:[0-9]+(?: *- *| +))?[0-9]+ */ *[0-9]+|[0-9]*\.[0-9]+|(?:#|NO\.? *)?[0-9]+)\"?"
)
_SHOP_SIZE = r"(?:(?:[0-9]+(?: *- *| +))?[0-9]+ */ *[0-9]+|(?:[0-9]+(?: *-? *))?\x01[0-9]+\x02[/#][0-9]+\x03)\"?"
_SERIES = r"(?:UN[A-Z]*|N[CFS]|NEF|NPT[A-Z]*|NPS[A-Z]*|BSW|BSF|BSP[A-Z]*|ACME)(?![A-Za-z])"
THREAD = re.compile(
    r"MJ? *[0-9]+(?:[.,][0-9]+)?(?= *[xX(,;)-]|\s|$)"
    r"|T[rR] *[0-9]+(?:[.,][0-9]+)? *[xX]"
    rf"|(?:G|Rc|Rp) *{_SHOP_SIZE}(?![0-9./])"
    rf"|(?:NPT|BSP[A-Z]*) *(?:{_SHOP_SIZE}|[0-9])"
    rf"|{_INCH_SIZE} *- *[0-9]+(?:\.[0-9]+)? *-? *{_SERIES}"
    rf"|{_INCH_SIZE} *-? *(?:NPT[A-Z]*|NPS[A-Z]*|BSW|BSF|BSP[A-Z]*)(?![A-Za-z])"
    rf"|{_SHOP_SIZE} *- *(?:[4-9]|[1-7][0-9]|80)(?![0-9./'\"°]| */| *[xX±+]| +[0-9]+ */| *\x01)",
)
"""A thread designation: metric, unified, pipe. '1/4-20' by itself is one too, '10-32' may be anything."""

_PLACES = _pattern(("PLACES", "PLACE", "PLCS", "PLC", "PLS", "PL", "HOLES", "HOLE", "REQD", "REQ'D"))
COUNT_AFTER = re.compile(
    rf"\( *[xX] *([0-9]+) *\)|\( *([0-9]+) *(?:[xX]|(?:{_PLACES})(?![A-Za-z0-9])\.?) *\)"
    rf"|\( *([0-9]+) *\) *(?:{_PLACES})(?![A-Za-z0-9])\.?"
    rf"|([0-9]+) *(?:{_PLACES})(?![A-Za-z0-9])\.?"
    r"|([0-9]+)[xX](?![A-Za-z0-9.,(])(?! *[0-9.,ØR□(])"
    r"|([0-9]+) +(?=EQ\.? +SP|EQL\.? +SP|EQUALLY +SP)",
    re.IGNORECASE,
)
"""'(4X)', '4 PLACES', '4 EQ SP', '4X' with nothing to count behind it."""

SIGNS: dict[str, Sign] = {
    "SØ": Sign.SPHERICAL_DIAMETER,
    "SR": Sign.SPHERICAL_RADIUS,
    "CR": Sign.CONTROLLED_RADIUS,
    "Ø": Sign.DIAMETER,
    "R": Sign.RADIUS,
    "□": Sign.SQUARE,
    "⌒": Sign.ARC,
}
SIGN = re.compile(r"S ?Ø|SR(?! *[A-Za-z])|CR(?! *[A-Za-z])|Ø|R(?! *[A-Za-z])|□|⌒")

_SYMBOL = r"(?:[ØR□⌒⌴⌵↧(]|S ?[ØR]|CR|C ?[0-9.]|MJ? *[0-9])"
COUNT_BEFORE = re.compile(rf"([0-9]+)(?:[xX](?= *{_SYMBOL})| +[xX] *(?={_SYMBOL})| *- *(?=[Ø□]|(?:S?R|C|M) *[0-9.,]))")
"""'4X Ø6', '4 x Ø6' and '4-Ø6': a symbol follows, so the number before is a count."""

COUNT_BARE = re.compile(r"([0-9]+)[xX]( *)(?=[0-9.,+-])")
"""'4X .250': a number follows."""

COUNT_OF_RUN = re.compile(r"([0-9]+) *[xX] *(?=[0-9.,])")
"""'8 x 20 (=160)': the product behind the size shows that the first number is a count."""

BY = re.compile(r"[0-9.,]+ +[xX] *[0-9.,]")

UNITS: dict[str, tuple[Unit, Fraction]] = {
    # spelling, lower case: the unit it arrives in, and how many of that it is
    "mm": (Unit.MILLIMETRE, Fraction(1)),
    "cm": (Unit.CENTIMETRE, Fraction(1)),
    "m": (Unit.METRE, Fraction(1)),
    "in": (Unit.INCH, Fraction(1)),
    "inch": (Unit.INCH, Fraction(1)),
    "inches": (Unit.INCH, Fraction(1)),
    '"': (Unit.INCH, Fraction(1)),
    "ft": (Unit.INCH, Fraction(12)),
    "feet": (Unit.INCH, Fraction(12)),
    "°": (Unit.DEGREE, Fraction(1)),
    "deg": (Unit.DEGREE, Fraction(1)),
}
UNIT = re.compile(r' *((?i:mm|cm|inches|inch|in|feet|ft|deg)(?![A-Za-z0-9])|m(?![A-Za-z0-9])|["°])')
INCH_POINT = re.compile(r"(?i:in|ft|deg)\.")

PI = Fraction(314159265358979323846264338327950288419716939937510, 10**50)
"""Off by less than 1e-50: angles in radians are the one kind of text whose degrees are irrational."""

ANGLE_UNITS: dict[str, Fraction] = {
    "r": 180 / PI,
    "rad": 180 / PI,
    "d": Fraction(1),
    "g": Fraction(9, 10),
    "gon": Fraction(9, 10),
    "grad": Fraction(9, 10),
    "'": Fraction(1, 60),
    '"': Fraction(1, 3600),
}
"""Besides the degree; read so for angular dimensions only."""
ANGLE_UNIT = re.compile(r" *((?:rad|r|grad|gon|g|d)(?![A-Za-z0-9])|d(?=[EW](?![A-Za-z0-9]))|'|\")")

FIT = re.compile(
    # ISO 286-1 letters. M and R in capitals, and X, are left out: '25 M6' may be a thread,
    # 'R7' a radius and 'X6' a second length; with a slash ('R7/h6') no doubt is left.
    r" *((?:(?:CD|EF|FG|JS|ZA|ZB|ZC|[A-HJKNPSTUVYZ]|cd|ef|fg|js|za|zb|zc|[a-hjkmnprstuvyz])"
    r"(?:0?1|[0-9]|1[0-8])(?: */ *[a-z]{1,2}(?:0?1|[0-9]|1[0-8]))?"
    r"|[A-Z]{1,2}(?:0?1|[0-9]|1[0-8]) */ *[a-z]{1,2}(?:0?1|[0-9]|1[0-8])))(?![A-Za-z0-9.,])"
)

LOST = re.compile("[?\ufffd]")
"""What is left of a sign whose character was lost in conversion."""

_CHARACTERS = {
    **dict.fromkeys("−–—‐‑‒", "-"),
    **dict.fromkeys("⁄∕", "/"),
    **dict.fromkeys("′’‘ʹ", "'"),
    **dict.fromkeys("″”“ʺ", '"'),
    **dict.fromkeys("⌀∅Φφøɸ", "Ø"),
    **dict.fromkeys("º˚", "°"),
    **dict.fromkeys("□◻▢⬜", "□"),
    **dict.fromkeys("⌢", "⌒"),
    **dict.fromkeys("×✕", "x"),
    **dict.fromkeys("≈", "~"),
    "↓": "↧",
    **dict.fromkeys(map(chr, range(0x2000, 0x200B)), " "),
    **dict.fromkeys("\u00a0\u202f\u3000", " "),
    **dict.fromkeys("\u200b\u200c\u200d\ufeff", ""),
    **{chr(0xFF10 + digit): str(digit) for digit in range(10)},
    "．": ".",
    "，": ",",
    "（": "(",
    "）": ")",
    "½": " 1/2", "⅓": " 1/3", "⅔": " 2/3", "¼": " 1/4", "¾": " 3/4", "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8",
    "⅞": " 7/8",
}  # fmt: skip
CHARACTERS = str.maketrans(_CHARACTERS)
"""Look-alikes to the one character that the grammar knows."""
