"""Limits of size by ISO 286-1: standard tolerances, fundamental deviations, and the classes made of them.

The figures were taken from open copies of the printed tables and compared cell by cell with each other: a
transcription of a printed table (IT01 to IT16; holes K, M, N and P), a workshop page (IT1 to IT14 up to 315 mm), and
three packages of tables; `tests/tables/test_iso286.py` holds them against one of these and against published
examples, and names what other tables print differently. Above 500 mm the figures come from two open tables that
disagree on one (IT5 of 2500 to 3150: 96 or 98), so those are less sure. Clause numbers are not cited: the standard
itself was not at hand.
"""

import re
from bisect import bisect_left
from dataclasses import dataclass
from fractions import Fraction

GRADES = ("01", "0", *map(str, range(1, 19)))
"""Standard tolerance grades, finest first."""

LARGEST = 3150
"""Nominal sizes above this (mm) have no standard tolerance."""
LARGEST_DEVIATION = 500
"""The fundamental deviations here end at this size (mm), except for h, H, js and JS, which follow from the grade."""

# One row a range 'up to and including' (mm); micrometres for IT01, IT0, IT1 … IT18; '-' is no value.
_STANDARD_TOLERANCES = """
3     0.3 0.5 0.8 1.2 2 3 4 6 10 14 25 40 60 100 140 250 400 600 1000 1400
6     0.4 0.6 1 1.5 2.5 4 5 8 12 18 30 48 75 120 180 300 480 750 1200 1800
10    0.4 0.6 1 1.5 2.5 4 6 9 15 22 36 58 90 150 220 360 580 900 1500 2200
18    0.5 0.8 1.2 2 3 5 8 11 18 27 43 70 110 180 270 430 700 1100 1800 2700
30    0.6 1 1.5 2.5 4 6 9 13 21 33 52 84 130 210 330 520 840 1300 2100 3300
50    0.6 1 1.5 2.5 4 7 11 16 25 39 62 100 160 250 390 620 1000 1600 2500 3900
80    0.8 1.2 2 3 5 8 13 19 30 46 74 120 190 300 460 740 1200 1900 3000 4600
120   1 1.5 2.5 4 6 10 15 22 35 54 87 140 220 350 540 870 1400 2200 3500 5400
180   1.2 2 3.5 5 8 12 18 25 40 63 100 160 250 400 630 1000 1600 2500 4000 6300
250   2 3 4.5 7 10 14 20 29 46 72 115 185 290 460 720 1150 1850 2900 4600 7200
315   2.5 4 6 8 12 16 23 32 52 81 130 210 320 520 810 1300 2100 3200 5200 8100
400   3 5 7 9 13 18 25 36 57 89 140 230 360 570 890 1400 2300 3600 5700 8900
500   4 6 8 10 15 20 27 40 63 97 155 250 400 630 970 1550 2500 4000 6300 9700
630   - - 9 11 16 22 32 44 70 110 175 280 440 700 1100 1750 2800 4400 7000 11000
800   - - 10 13 18 25 36 50 80 125 200 320 500 800 1250 2000 3200 5000 8000 12500
1000  - - 11 15 21 28 40 56 90 140 230 360 560 900 1400 2300 3600 5600 9000 14000
1250  - - 13 18 24 33 47 66 105 165 260 420 660 1050 1650 2600 4200 6600 10500 16500
1600  - - 15 21 29 39 55 78 125 195 310 500 780 1250 1950 3100 5000 7800 12500 19500
2000  - - 18 25 35 46 65 92 150 230 370 600 920 1500 2300 3700 6000 9200 15000 23000
2500  - - 22 30 41 55 78 110 175 280 440 700 1100 1750 2800 4400 7000 11000 17500 28000
3150  - - 26 36 50 68 96 135 210 330 540 860 1350 2100 3300 5400 8600 13500 21000 33000
"""

# es of c to h, ei of k (grades 4 to 7; 0 in all others) to u, in micrometres.
_SHAFTS = """
     c d e f g h k m n p r s u
3    -60 -20 -14 -6 -2 0 0 2 4 6 10 14 18
6    -70 -30 -20 -10 -4 0 1 4 8 12 15 19 23
10   -80 -40 -25 -13 -5 0 1 6 10 15 19 23 28
14   -95 -50 -32 -16 -6 0 1 7 12 18 23 28 33
18   -95 -50 -32 -16 -6 0 1 7 12 18 23 28 33
24   -110 -65 -40 -20 -7 0 2 8 15 22 28 35 41
30   -110 -65 -40 -20 -7 0 2 8 15 22 28 35 48
40   -120 -80 -50 -25 -9 0 2 9 17 26 34 43 60
50   -130 -80 -50 -25 -9 0 2 9 17 26 34 43 70
65   -140 -100 -60 -30 -10 0 2 11 20 32 41 53 87
80   -150 -100 -60 -30 -10 0 2 11 20 32 43 59 102
100  -170 -120 -72 -36 -12 0 3 13 23 37 51 71 124
120  -180 -120 -72 -36 -12 0 3 13 23 37 54 79 144
140  -200 -145 -85 -43 -14 0 3 15 27 43 63 92 170
160  -210 -145 -85 -43 -14 0 3 15 27 43 65 100 190
180  -230 -145 -85 -43 -14 0 3 15 27 43 68 108 210
200  -240 -170 -100 -50 -15 0 4 17 31 50 77 122 236
225  -260 -170 -100 -50 -15 0 4 17 31 50 80 130 258
250  -280 -170 -100 -50 -15 0 4 17 31 50 84 140 284
280  -300 -190 -110 -56 -17 0 4 20 34 56 94 158 315
315  -330 -190 -110 -56 -17 0 4 20 34 56 98 170 350
355  -360 -210 -125 -62 -18 0 4 21 37 62 108 190 390
400  -400 -210 -125 -62 -18 0 4 21 37 62 114 208 435
450  -440 -230 -135 -68 -20 0 5 23 40 68 126 232 490
500  -480 -230 -135 -68 -20 0 5 23 40 68 132 252 540
"""

LETTERS = frozenset(
    ("a", "b", "c", "cd", "d", "e", "ef", "f", "fg", "g", "h", "j", "js", "k", "m", "n", "p", "r", "s", "t", "u", "v",
     "x", "y", "z", "za", "zb", "zc")
)  # fmt: skip
"""The letters of the standard; those of holes are the same in capitals. From memory."""
_BEGINS_ABOVE = {"t": 24, "v": 14, "y": 18}
"""Letters without a value up to this size (mm); from memory."""

CLASS = re.compile(r"([A-Za-z]{1,2})(0?1|[0-9]|1[0-8])")


@dataclass(frozen=True, slots=True)
class Deviations:
    """Upper and lower limit deviation from the nominal size, in millimetres."""

    upper: Fraction
    lower: Fraction


@dataclass(frozen=True, slots=True)
class NoLimits:
    """Why there are no limits; `exists` tells a class that is only missing here from one that there is not."""

    why: str
    exists: bool


def _rows(table: str) -> list[list[str]]:
    return [line.split() for line in table.strip().splitlines()]


def _micrometres(text: str) -> Fraction | None:
    return None if text == "-" else Fraction(text) / 1000


_IT_ROWS = _rows(_STANDARD_TOLERANCES)
_IT_TOPS = [int(row[0]) for row in _IT_ROWS]
_IT = [dict(zip(GRADES, map(_micrometres, row[1:]), strict=True)) for row in _IT_ROWS]
_SHAFT_LETTERS, *_SHAFT_ROWS = _rows(_SHAFTS)
_SHAFT_TOPS = [int(row[0]) for row in _SHAFT_ROWS]
_SHAFT = [
    {letter: Fraction(text) / 1000 for letter, text in zip(_SHAFT_LETTERS, row[1:], strict=True)}
    for row in _SHAFT_ROWS
]
_EXACT_M6 = Fraction(-9, 1000)
"""ES of M6 over 250 up to 315 mm is -9, where the rule would give -11."""


def standard_tolerance(nominal_mm: Fraction, grade: str) -> Fraction | None:
    """IT of a grade ('01', '0' … '18') in millimetres; None where the table has no value."""
    if nominal_mm <= 0 or nominal_mm > LARGEST:
        return None
    return _IT[bisect_left(_IT_TOPS, nominal_mm)].get(grade)


def limits(nominal_mm: Fraction, designation: str) -> Deviations | NoLimits:
    """The limit deviations of one tolerance class, as 'H7' or 'g6', at a nominal size; sizes are over a, up to b."""
    found = CLASS.fullmatch(designation)
    if found is None:
        return NoLimits(f"'{designation}' is no tolerance class", False)
    letters, grade = found.groups()
    letter = letters.lower()
    if letter not in LETTERS or letters not in (letter, letter.upper()):
        return NoLimits(f"there is no tolerance class {designation}: no such letter", False)
    if nominal_mm <= 0:
        return NoLimits("the nominal size is not above zero", False)
    if nominal_mm > LARGEST:
        return NoLimits(f"ISO 286-1 ends at {LARGEST} mm", False)
    if nominal_mm <= _BEGINS_ABOVE.get(letter, 0):
        return NoLimits(f"class {designation} begins above {_BEGINS_ABOVE[letter]} mm", False)
    width = standard_tolerance(nominal_mm, grade)
    if width is None:
        return NoLimits(f"grade {grade} ends at {LARGEST_DEVIATION} mm", False)
    if letter == "js":
        return Deviations(width / 2, -width / 2)
    if letter == "h":
        return Deviations(Fraction(0), -width) if letters == "h" else Deviations(width, Fraction(0))
    if letter not in _SHAFT_LETTERS:
        return NoLimits(f"class {designation} is not in the tables here", True)
    if nominal_mm > LARGEST_DEVIATION:
        return NoLimits(f"class {designation} is in the tables here up to {LARGEST_DEVIATION} mm only", True)
    shaft = _SHAFT[bisect_left(_SHAFT_TOPS, nominal_mm)][letter]
    if letters.isupper():
        return _hole(nominal_mm, letter, grade, shaft, width, designation)
    if letter == "k" and grade not in ("4", "5", "6", "7"):
        shaft = Fraction(0)
    return Deviations(shaft, shaft - width) if letter < "h" else Deviations(shaft + width, shaft)


def _hole(
    nominal: Fraction, letter: str, grade: str, shaft: Fraction, width: Fraction, designation: str
) -> Deviations | NoLimits:
    """Holes mirror the shafts; K, M, N to grade 8 and P to ZC to grade 7 are lifted by IT less the next finer IT."""
    if letter < "h":
        return Deviations(width - shaft, -shaft)
    order = GRADES.index(grade)
    transition = letter in "kmn"
    if letter == "k" and nominal > 3 and order > GRADES.index("8"):
        return NoLimits(f"class {designation} is not in the tables here above 3 mm", True)
    upper = Fraction(0) if letter == "k" and nominal <= 3 else -shaft
    if letter == "n" and order > GRADES.index("8"):
        upper = -shaft if nominal <= 3 else Fraction(0)
    elif nominal > 3 and order <= GRADES.index("8" if transition else "7"):
        if order < GRADES.index("3"):
            return NoLimits(f"class {designation} is finer than the tables here", True)
        finer = standard_tolerance(nominal, GRADES[order - 1])
        assert finer is not None
        upper += width - finer
        if letter == "m" and grade == "6" and 250 < nominal <= 315:
            upper = _EXACT_M6
    return Deviations(upper, upper - width)


def classes_with(nominal_mm: Fraction, upper: Fraction, lower: Fraction) -> list[str]:
    """The classes in the tables that have these very deviations (mm) at a nominal size."""
    found = []
    for letter in (*_SHAFT_LETTERS, "js"):
        for letters in (letter.upper(), letter):
            for grade in GRADES:
                if limits(nominal_mm, letters + grade) == Deviations(upper, lower):
                    found.append(letters + grade)
    return found
