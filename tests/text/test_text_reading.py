"""Reading dimension text."""

import time
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dimaudit.exact.number import Rounding, fixed_text, round_to
from dimaudit.model.drawing import Kind
from dimaudit.model.stated import (
    CallOut,
    Chamfer,
    HoleStep,
    Sign,
    Stated,
    StepKind,
    Suppressed,
    Symbolic,
    Thread,
    Tolerance,
    Unreadable,
)
from dimaudit.model.units import Unit
from dimaudit.text.grammar import LONGEST, read_text


def stated(value: str, step: str, **more: Any) -> Stated:
    """A reading, with fractions written as text."""
    return Stated(Fraction(value), Fraction(step), **more)


def decimal(digits: str, **more: Any) -> Stated:
    """The reading of a plain decimal with a point."""
    places = len(digits.partition(".")[2])
    return Stated(Fraction(digits), Fraction(1, 10**places), places=places, **more)


def shop(value: str, denominator: int, **more: Any) -> Stated:
    """The reading of a fraction."""
    return Stated(Fraction(value), Fraction(1, denominator), denominator=denominator, **more)


def bored(size: Stated, *more: HoleStep, step: HoleStep | None = None, **rest: Any) -> Stated:
    """The reading of a hole note: the size, what `step` says of the first step beside it, and the further steps."""
    alone = replace(size, count=None, reference=False, words=())
    first = replace(step or HoleStep(StepKind.HOLE), diameter=alone)
    return replace(size, call_out=CallOut(size.count, (first, *more), **rest))


def deep(depth: Stated, kind: StepKind = StepKind.HOLE) -> HoleStep:
    return HoleStep(kind, depth=depth)


def cbore(diameter: Stated, depth: Stated | None = None) -> HoleStep:
    return HoleStep(StepKind.COUNTERBORE, diameter, depth)


def csk(diameter: Stated, angle: Stated) -> HoleStep:
    return HoleStep(StepKind.COUNTERSINK, diameter, angle=angle)


THRU = HoleStep(StepKind.HOLE, through=True)


def within(upper: str, lower: str) -> Tolerance:
    return Tolerance(Fraction(upper), Fraction(lower))


def between(lower: str, upper: str) -> tuple[Fraction, Fraction]:
    return Fraction(lower), Fraction(upper)


INCH, MM, DEG = Unit.INCH, Unit.MILLIMETRE, Unit.DEGREE
DIA, RAD = Sign.DIAMETER, Sign.RADIUS

LINEAR = [
    ("whole", "25", decimal("25")),
    ("decimal", "2.50", decimal("2.50")),
    ("no leading zero", ".5", decimal(".5")),
    ("nothing behind the point", "5.", decimal("5")),
    ("negative", "-3.2", decimal("-3.2")),
    ("minus sign of its own", "−3.2", decimal("-3.2")),
    ("plus", "+4", decimal("4")),
    ("comma with two decimals", "1504,68", decimal("1504.68")),
    ("comma after a zero", "0,500", decimal("0.500")),
    ("comma without a whole part", ",500", decimal("0.500")),
    ("thousand and decimals", "1,500.5", decimal("1500.5")),
    ("two groups", "1,234,567", decimal("1234567")),
    ("scientific", "1.50E+01", stated("15", "1/10")),
    ("full-width digits", "１２．５", decimal("12.5")),
    ("fraction", "7/16", shop("7/16", 16)),
    ("fraction not in lowest terms", "8/16", shop("1/2", 16)),
    ("fraction above one", "9/8", shop("9/8", 8)),
    ("mixed with a blank", "2 7/16", shop("39/16", 16)),
    ("mixed with a hyphen", "2-7/16", shop("39/16", 16)),
    ("one character for the fraction", "1½", shop("3/2", 2)),
    ("stacked with a bar", r"\S7/16;", shop("7/16", 16)),
    ("stacked with a slanted bar", r"2\S7#16;", shop("39/16", 16)),
    ("stacked in a smaller height", r"\A1;1{\H0.7x;\S3#8;}", shop("11/8", 8)),
    ("fraction in an old encoding", "1#4", shop("1/4", 4)),
    ("mixed in an old encoding", '5-1#4"', shop("21/4", 4, unit=INCH)),
    ("feet and inches", "1'-2\"", shop("14", 1, unit=INCH)),
    ("feet, inches, fraction", "1'-2 1/2\"", shop("29/2", 2, unit=INCH)),
    ("feet and zero inches", "3'-0\"", shop("36", 1, unit=INCH)),
    ("feet and decimal inches", "1'-2.50\"", decimal("14.50", unit=INCH)),
    ("feet and a stacked fraction", r"7'-0{\H1.000000x;\S3#4;}" + '"', shop("339/4", 4, unit=INCH)),
    ("feet with curly marks", "1’-2”", shop("14", 1, unit=INCH)),
    ("negative feet and inches", "-1'-2\"", shop("-14", 1, unit=INCH)),
    ("feet alone", "5'", shop("60", 1, unit=INCH)),
    ("broken feet alone", "5.5'", stated("66", "6/5", places=1, unit=INCH)),
    ("fraction of an inch", '2 1/2"', shop("5/2", 2, unit=INCH)),
    ("decimal inches", '14.5"', decimal("14.5", unit=INCH)),
    ("inch mark of two apostrophes", "5''", decimal("5", unit=INCH)),
    ("mm", "10mm", decimal("10", unit=MM)),
    ("MM set apart", "10 MM", decimal("10", unit=MM)),
    ("cm", "4 cm", decimal("4", unit=Unit.CENTIMETRE)),
    ("m", "1.2 m", decimal("1.2", unit=Unit.METRE)),
    ("in", "3in", decimal("3", unit=INCH)),
    ("IN. with its point", "3.50 IN.", decimal("3.50", unit=INCH)),
    ("degrees in a linear dimension", "30%%d", decimal("30", unit=DEG)),
    ("diameter code", "%%c.500", decimal(".500", sign=DIA)),
    ("diameter sign", "⌀30", decimal("30", sign=DIA)),
    ("empty set used as diameter", r"\U+220580", decimal("80", sign=DIA)),
    ("Greek phi used as diameter", "Φ12", decimal("12", sign=DIA)),
    ("diameter in the symbol font", r"{\Fgdt;n}.25", decimal(".25", sign=DIA)),
    ("diameter twice", r"\A1;⌀%%c30", decimal("30", sign=DIA)),
    ("DIA before", "DIA .5", decimal(".5", sign=DIA)),
    ("DIA after", ".5 DIA.", decimal(".5", sign=DIA)),
    ("radius", "R20", decimal("20", sign=RAD)),
    ("radius after", ".25R", decimal(".25", sign=RAD)),
    ("spherical radius", "SR12", decimal("12", sign=Sign.SPHERICAL_RADIUS)),
    ("spherical diameter", "S%%c12", decimal("12", sign=Sign.SPHERICAL_DIAMETER)),
    ("controlled radius", "CR.5", decimal(".5", sign=Sign.CONTROLLED_RADIUS)),
    ("square", "□20", decimal("20", sign=Sign.SQUARE)),
    ("square by a word", "20 SQ", decimal("20", sign=Sign.SQUARE)),
    ("arc length", "⌒12", decimal("12", sign=Sign.ARC)),
    ("count and diameter", "4X Ø.250", decimal(".250", sign=DIA, count=4)),
    ("count, blank, x, diameter", "4 x Ø6", decimal("6", sign=DIA, count=4)),
    ("count with a hyphen", "4-Ø6", decimal("6", sign=DIA, count=4)),
    ("count and number", "4x .250", decimal(".250", count=4)),
    ("count in parentheses", "Ø.250 (4X)", decimal(".250", sign=DIA, count=4)),
    ("count in parentheses before", "(4X) .250", decimal(".250", count=4)),
    ("count behind", ".250 4X", decimal(".250", count=4)),
    ("places", ".250 4 PLACES", decimal(".250", count=4)),
    ("places, short", ".250 (4 PLCS)", decimal(".250", count=4)),
    ("places before", "2 PL R3", decimal("3", sign=RAD, count=2)),
    ("reference", "(3.000)", decimal("3.000", reference=True)),
    ("reference by a word", "3.000 REF", decimal("3.000", reference=True)),
    ("reference by a word in parentheses", "3.000 (REF.)", decimal("3.000", reference=True)),
    ("reference with its symbol inside", "(R5)", decimal("5", sign=RAD, reference=True)),
    ("reference with its symbol outside", "Ø(30)", decimal("30", sign=DIA, reference=True)),
    ("reference with a count", "4X (Ø.25)", decimal(".25", sign=DIA, count=4, reference=True)),
    ("basic", "3.000 BASIC", decimal("3.000", boxed=True)),
    ("basic, short", "3.000 BSC", decimal("3.000", boxed=True)),
    ("typical", r"\fPlay|b0|i0;{\H5.4800;7.0 TYP}", decimal("7.0", words=("TYP",))),
    ("two notes", "4X .250 THRU, TYP", bored(decimal(".250", count=4, words=("TYP",)), step=THRU)),
    ("through all", "Ø6 THRU ALL", bored(decimal("6", sign=DIA), step=THRU)),
    ("equally spaced", ".5 EQ SP", decimal(".5", words=("EQ SP",))),
    ("approximate", "435 APPROX", decimal("435", words=("APPROX",))),
    ("minimum", "12 MIN", decimal("12", one_sided=True, words=("MIN",))),
    ("maximum before", "MAX 12", decimal("12", one_sided=True, words=("MAX",))),
    ("plus-minus", ".500±.005", decimal(".500", tolerance=within(".005", "-.005"))),
    ("plus-minus in codes", "%%c.5 %%p.1", decimal(".5", sign=DIA, tolerance=within(".1", "-.1"))),
    ("plus-minus typed as +/-", "10+/-0.1", decimal("10", tolerance=within("0.1", "-0.1"))),
    ("plus-minus of a fraction", "2 ±1/64", decimal("2", tolerance=within("1/64", "-1/64"))),
    ("deviations with a blank", "1.5 +.005 -.003", decimal("1.5", tolerance=within(".005", "-.003"))),
    ("deviations with a slash", "1.5 +0.05/-0.03", decimal("1.5", tolerance=within("0.05", "-0.03"))),
    ("no upper deviation", "32 0/-0.02", decimal("32", tolerance=within("0", "-0.02"))),
    ("no lower deviation", "32 +0.02/0", decimal("32", tolerance=within("0.02", "0"))),
    ("lower deviation first", "32 -0.02 +0.01", decimal("32", tolerance=within("0.01", "-0.02"))),
    ("both above", "32 +0.05/+0.02", decimal("32", tolerance=within("0.05", "0.02"))),
    ("deviations in fractions", "2 +0 -1/8", decimal("2", tolerance=within("0", "-1/8"))),
    ("mixed with a free hyphen", "2 - 7/16", shop("39/16", 16)),
    ("feet and a free hyphen", "1' - 2\"", shop("14", 1, unit=INCH)),
    ("deviations in feet", "9' +1' -2\"", shop("108", 1, unit=INCH, tolerance=within("12", "-2"))),
    ("stacked deviations", r"5\S+0.01^ -0.02;", decimal("5", tolerance=within("0.01", "-0.02"))),
    ("stacked, signs left out", r"\A1;70\S0.01^ 0.02;", decimal("70", tolerance=within("0.01", "-0.02"))),
    ("stacked fractions", r"7\S+1/64^ -1/32;", decimal("7", tolerance=within("1/64", "-1/32"))),
    ("tolerance names the unit", "5 ±0.1 mm", decimal("5", unit=MM, tolerance=within("0.1", "-0.1"))),
    ("deviations on lines", r".5\P+.05\P-.03", decimal(".5", tolerance=within(".05", "-.03"))),
    ("stacked limits", r"\S1.005^ .995;", decimal("1.000", limits=between(".995", "1.005"))),
    ("stacked limits with a diameter", r"%%c\S10.2^ 10;",
     stated("10.1", "1", places=0, sign=DIA, limits=between("10", "10.2"))),
    ("limits, dash", ".995-1.005", decimal("1.000", limits=between(".995", "1.005"))),
    ("limits, slash", ".748/.750", decimal(".749", limits=between(".748", ".750"))),
    ("limits, high first", "Ø.750/.748", decimal(".749", sign=DIA, limits=between(".748", ".750"))),
    ("limits on two lines", "12.45\n12.35", decimal("12.40", limits=between("12.35", "12.45"))),
    (
        "limits on two lines with a note",
        r"Ø12.45\PØ12.35 TYP",
        decimal("12.40", sign=DIA, limits=between("12.35", "12.45"), words=("TYP",)),
    ),
    ("count on the second line", r".25\P4X", decimal(".25", count=4)),
    ("same number as the count", r"4\P4 PLACES", decimal("4", count=4)),
    ("limits in units", "10mm-12mm", decimal("11", unit=MM, limits=between("10", "12"))),
    ("alternate", "25.4 [1.000]", decimal("25.4", alternate=decimal("1.000"))),
    ("alternate below the line", r"25.4\X[1.000 in]", decimal("25.4", alternate=decimal("1.000", unit=INCH))),
    ("alternate with a symbol", "Ø25.4 [Ø1]", decimal("25.4", sign=DIA, alternate=decimal("1", sign=DIA))),
    ("fit", "32k6", decimal("32", fit="k6")),
    ("fit of a hole", "25 H7", decimal("25", fit="H7")),
    ("fit of a pair", "Ø25 H7/k6", decimal("25", sign=DIA, fit="H7/k6")),
    ("note on the second line", r"12.5\PTYP", decimal("12.5", words=("TYP",))),
    ("reference on the second line", r"12.5\PREF", decimal("12.5", reference=True)),
    ("note on the first line", r"HOLE\P12.5", decimal("12.5", words=("HOLE",))),
    ("note with a number on the second line", r"12.5\PSEE NOTE 3", decimal("12.5", words=("SEE NOTE 3",))),
    ("underlined", r"\L12.5\l", decimal("12.5", underlined=True)),
    ("lost sign before", "?12.5", decimal("12.5", words=("?",))),
    ("lost sign behind", "12.5\ufffd", decimal("12.5", words=("\ufffd",))),
]  # fmt: skip

ANGULAR = [
    ("bare number", "30", decimal("30", unit=DEG)),
    ("degree sign", "30.5°", decimal("30.5", unit=DEG)),
    ("degree code", "131%%d", decimal("131", unit=DEG)),
    ("degree escape", r"94\U+00B0", decimal("94", unit=DEG)),
    ("minutes", "30°15'", stated("30.25", "1/60", unit=DEG)),
    ("seconds", "30°15'30\"", stated("3631/120", "1/3600", unit=DEG)),
    ("d for the degree", "30d15'30\"", stated("3631/120", "1/3600", unit=DEG)),
    ("d alone", "45d", decimal("45", unit=DEG)),
    ("bearing", "N 45%%d30'15\" E", stated("10679/240", "1/3600", unit=DEG)),
    ("bearing to the west", "N30d0'W", stated("120", "1/60", unit=DEG)),
    ("bearing from the south", "S 10°0' W", stated("260", "1/60", unit=DEG)),
    ("bearing in degrees", "S10dE", decimal("280", unit=DEG)),
    ("seconds with blanks", "30° 15' 30\"", stated("3631/120", "1/3600", unit=DEG)),
    ("broken seconds", "0°0'0.5\"", stated("1/7200", "1/36000", unit=DEG)),
    ("minutes alone", "30'", stated("1/2", "1/60", unit=DEG)),
    ("minutes and seconds alone", "15'30\"", stated("31/120", "1/3600", unit=DEG)),
    ("gradians", "33.33g", stated("29.997", "9/1000", places=2, unit=DEG)),
    ("tolerance", "30°±.5°", decimal("30", unit=DEG, tolerance=within("1/2", "-1/2"))),
    ("tolerance in minutes", "30°±0°15'", decimal("30", unit=DEG, tolerance=within("1/4", "-1/4"))),
    ("stacked tolerance", r"27%%d\S0.01^ 0.02;", decimal("27", unit=DEG, tolerance=within("0.01", "-0.02"))),
    ("limits", "29.5°-30.5°", decimal("30.0", unit=DEG, limits=between("29.5", "30.5"))),
    ("count", "2X 45°", decimal("45", unit=DEG, count=2)),
    ("lost degree sign", "108?", decimal("108", unit=DEG, words=("?",))),
]

SYMBOLIC = [
    "W", "H", "W1", "FRAME SIZE", "fanwidth", "d1=33.2/2", "A = 25", "SEE NOTE 3", "see detail A", "text",
    "dimgap (147)", "TYP", "R", "DIA", "---", "Ø", "(REF)", "Rod 4", "SQUARE HEAD 5", r"\fArial|b0;W\PH",
    "FULL R", "2X R", "2X FULL R", "(R)", "LONG BOLT 3", "STOCK 4130", "MAX LOAD 500", "DRILL PER NOTE 3",
]  # fmt: skip

THREADS = [
    # Designations as ISO 261/965, ASME B1.1, ISO 228 and ASME B1.20.1 write them (from memory).
    "M6", "M6x1", "M8x1.25", "M10x1.5-6H", "M 12", "MJ6x1", "Tr20x4", "3/8-16 UNC-2B", "1/4-20 UNC", "1/4-20",
    "1-8 UNC",
    "1 1/8-7 UNC", "1-1/4-7", "#10-32 UNF", "10-32 UNF", ".250-20 UNC", r"\S1/4;-20 UNC-2B", "G1/2", "G 1/2 A", "Rc1/2",
    "1/2 NPT", "1/8-27 NPT", "1/4-20 UNC-2B ↧ .50", "M8 THRU", "M8x1.25 ↧16", "4X M8x1.25 ↧16", "4xM8", "4-M8",
    "2X 1/4-20 UNC", "TAP M8x1.25", r"M8x1.25\P4 PLACES", r"M3x0.5 - 6H\PTYP 2 PLCS", "ØM8", "Ø3/8-16", "(M8)",
]  # fmt: skip

NO_DIMENSIONS = [
    "SEE NOTE 3", "NOTE 3", "W1", "A4", "B12", "REV B", "REV 2", "A-A", "SECTION A-A", "SECTION C2-C2", "C2-C2",
    "DETAIL A (2:1)", "SCALE 1:2", "1:2", "3:1", "12:30", "10.5.1", "1.2.3.4", "2024-05-01", "2024-05", "05-2024",
    "01.05.2024", "1/5/2024", "05/01/24", "12-34-56", "555-1234", "555-123-4567", "(555) 123-4567", "+1 555 123 4567",
    "P/N 1234", "123-456-78", "10-32-5", "12-5-3.5", "6061-T6", "S235JR", "AISI 304", "DIN 912", "ISO 2768-mK",
    "DWG 1234",
    "SHEET 1 OF 2", "1 OF 2", "ITEM 5", "QTY 4", "No. 7", "#7", "50%", "$5", "5 kg", "20°C", "60 HRC", "Ra 3.2",
    "RA 1.6",
    "1200 SF", "STOCK 4130", "3. COUNTERBORE ON TOP FACE ONLY.", "4xM16x120-8.8",
]  # fmt: skip

UNREADABLE = [
    # text, a part of the reason
    ("1,500", "'1,500' can be read as 1.500 or as 1500"),
    ("1,23,456", "more than one decimal comma"),
    ("1.2.3", "more than one decimal point"),
    ("1.234,567,8", "mixes points and commas"),
    ("1 234", "thousands set apart or as two numbers"),
    ("3/0", "denominator 0"),
    ("2 17/16", "not below 1"),
    ("25/24", "a fraction or as two limits"),
    ("12/13", "a fraction or as two limits"),
    (r"\S7^ 16;", "a fraction or as two limits"),
    ("1.5'-2\"", "broken number of feet"),
    ("4x6", "two sizes or as a count"),
    ("4 x 6", "two sizes or as a count"),
    ("10 x 20 x 45°", "two sizes or as a count"),
    ("2X 45°", "a chamfer or as a count"),
    ("4X", "no size"),
    ("(4X)", "no size"),
    ("0X Ø3", "a count of 0"),
    ("2X Ø3 4X", "two counts, 2 and 4"),
    ("⌀R40", "exclude each other"),
    ("R5 DIA", "exclude each other"),
    ("(3.000", "parenthesis is opened"),
    ("3.000)", "')' behind the size"),
    ("3 [", "bracket is opened"),
    ("3 [4] [5]", "two numbers in brackets"),
    ("12.5 BLORP", "'BLORP' behind the size is not understood"),
    ("12.5 *", "'*' behind the size"),
    ("10²", "'²' behind the size"),
    ("LENGTH 250 mm", "'LENGTH 250 mm' does not begin with a size"),
    ("2X 12.5 BLORP", "'BLORP' behind the size"),
    ("4 x 15 DEEP", "two sizes or as a count"),
    ("Ø20 X 50", "two sizes or as a count"),
    ("Ø.30/.50 DEEP", "'/.50 DEEP' behind the size"),
    ("12.5\\P14 LONG", "2 lines hold numbers"),
    ("12.5 OD\\P11.5 ID", "2 lines hold numbers"),
    ("2 x 45° ±1", "the tolerance of the length or of the angle"),
    ("4 X 6 CHAM", "two sizes or as a count"),
    ("Ø8 ↧", "no depth stands behind its symbol"),
    ("Ø8 ↧15 ↧12", "the hole has two depths"),
    ("Ø6.8 TAP M8 TAP M10", "it names two threads, M8 and M10"),
    ("Ø8 ↧15\\P±0.5", "2 lines hold numbers"),
    ("3. COUNTERBORE ON TOP FACE ONLY.", "begins like a numbered note"),
    ("3. COUNTERBORE 2 FACES", "begins like a numbered note"),
    ("6 HOLES EQ SP ON Ø95 B.C.", "'ON Ø95 B.C.' gives the bolt circle"),
    ("EQUALLY SPACED ON Ø4.000 B.C.", "gives the bolt circle"),
    ("8X 20 = 150", "8 times the size is 160, not 150"),
    ("8X 20 (150)", "a reference or as the size in another unit"),
    ("20 = 160", "'= 160' behind the size"),
    ("2.000 (51.00)", "'(51.00)' behind the size can be read as a reference or as the size in another unit"),
    ("2.000 mm (50.80)", "a reference or as the size in another unit"),
    ("2.000 mm (50.80 mm)", "a reference or as the size in another unit"),
    ("2.000 (50.80", "'(50.80' behind the size"),
    ("40 (+0.1)", "the other deviation is missing"),
    ("2.000 -.005", "the other deviation is missing"),
    ("2.005 MIN 1.995 MAX", "its largest size below its smallest"),
    ("2.005 MAX 1.995 MAX", "behind the size"),
    ("2024-05-01", "'2024-05-01' looks like a date or a part number"),
    ("25 +0.1", "the other deviation is missing"),
    ("25 +0.1 0.2", "the other deviation is missing"),
    (r"25\S+0.02^ 0.01;", "no sign of its own"),
    (r"70\S70.1^ 69.9;", "too large for a tolerance"),
    ("10 mm ±.005 in", "in two units"),
    ("5 ±", "no number follows '±'"),
    ("25.4\\X1.000", "2 lines hold numbers"),
    ("1.000-.400", "too far apart"),
    ("4-.250", "the other deviation is missing"),
    ("10\\P11\\P12", "3 lines hold numbers"),
    (r"Ø3\PR3.1", "2 lines hold numbers"),
    ("25 M6", "'M6' behind the size"),
    ("%%p2", "'±2' does not begin with a size"),
    ("+0.005/-0.003", "behind the size"),
    ("9" * (LONGEST + 1), "characters"),
]


def _ids(cases: list[Any]) -> list[str]:
    return [case[0][:40] for case in cases]


@pytest.mark.parametrize(("raw", "reading"), [case[1:] for case in LINEAR], ids=_ids(LINEAR))
def test_linear_text(raw: str, reading: Stated) -> None:
    """Each way of writing a size reads as its exact value with all that it says beside it."""
    assert read_text(raw) == reading


@pytest.mark.parametrize(("raw", "reading"), [case[1:] for case in ANGULAR], ids=_ids(ANGULAR))
@pytest.mark.parametrize("kind", [Kind.ANGULAR, Kind.ANGULAR_3P])
def test_angular_text(kind: Kind, raw: str, reading: Stated) -> None:
    """Each way of writing an angle reads as exact degrees."""
    assert read_text(raw, kind=kind) == reading


def test_radians_are_degrees_to_fifty_places() -> None:
    """3.1416 radians are a little over 180 degrees, by 180 times the digits' surplus over pi."""
    reading = read_text("3.1416r", kind=Kind.ANGULAR)
    assert isinstance(reading, Stated)
    # 180 * 3.1416 / pi, worked out on its own with pi = 3.14159265358979
    assert abs(reading.value - Fraction("180.000420917773")) < Fraction(1, 10**9)
    assert reading.unit is Unit.DEGREE


@pytest.mark.parametrize("text", SYMBOLIC)
def test_words_and_variables_are_symbolic(text: str) -> None:
    """A word, a variable or a formula is no number and never becomes one."""
    assert isinstance(read_text(text), Symbolic)


@pytest.mark.parametrize("text", THREADS)
def test_threads_are_symbolic(text: str) -> None:
    """A thread designation states no drawn size, whatever stands around it."""
    assert isinstance(read_text(text), Symbolic)


@pytest.mark.parametrize("text", NO_DIMENSIONS)
@pytest.mark.parametrize("kind", [Kind.LINEAR, Kind.DIAMETER, Kind.ANGULAR])
@pytest.mark.parametrize("separator", [".", ","])
def test_other_texts_are_never_a_dimension(text: str, kind: Kind, separator: str) -> None:
    """Notes, dates, part numbers, scales and the like are never read as a size."""
    assert not isinstance(read_text(text, separator=separator, kind=kind), Stated)


@pytest.mark.parametrize(("text", "why"), UNREADABLE, ids=_ids(UNREADABLE))
def test_unknown_numbers_are_unreadable(text: str, why: str) -> None:
    """A number that the grammar does not know, or can take two ways, is refused with the reason."""
    reading = read_text(text)
    assert isinstance(reading, Unreadable)
    assert why in reading.why
    assert reading.why.startswith("'")
    assert "grammar" not in reading.why


@pytest.mark.parametrize("text", ["", " ", "   ", r"\A1;", "{}", r"\~"])
def test_blank_text_is_suppressed(text: str) -> None:
    """Text with nothing visible in it suppresses the number."""
    assert read_text(text) == Suppressed()


@pytest.mark.parametrize(
    ("text", "separator", "reading"),
    [
        ("1,500", ",", decimal("1.500")),
        ("1.500", ",", decimal("1.500")),
        ("1.234,5", ",", decimal("1234.5")),
        ("1 234,5", ",", decimal("1234.5")),
        ("1 234", ",", decimal("1234")),
        ("1·5", "·", decimal("1.5")),
        ("·5", "·", decimal(".5")),
        ("1,5", "·", decimal("1.5")),
    ],
)
def test_the_styles_separator_decides(text: str, separator: str, reading: Stated) -> None:
    """The decimal sign of the style settles what a comma or another sign stands for."""
    assert read_text(text, separator=separator) == reading


CALLOUTS = [
    # Notation as in ASME Y14.5M-1994 hole call-outs, radii, reference and dual dimensions; the rules
    # were read at g-w.com (GDT 2016), coursehero p6ko48, cerezo.pntic.mec.es (ISO 129-1 symbols),
    # tpub 14276_153 (reference) and mhweather.co.uk (brackets).
    ("4X ⌀.250 THRU", bored(decimal(".250", sign=DIA, count=4), step=THRU)),
    ("%%c.500 %%p.005", decimal(".500", sign=DIA, tolerance=within(".005", "-.005"))),
    ("(3.000)", decimal("3.000", reference=True)),
    ("25.4 [1.000]", decimal("25.4", alternate=decimal("1.000"))),
    ("\\A1;1{\\H0.7x;\\S3#8;}", shop("11/8", 8)),
    ("12.45\n12.35", decimal("12.40", limits=between("12.35", "12.45"))),
    ("25 H7", decimal("25", fit="H7")),
    ("R.25 TYP", decimal(".25", sign=RAD, words=("TYP",))),
    ("8X R3", decimal("3", sign=RAD, count=8)),
    ("SR12", decimal("12", sign=Sign.SPHERICAL_RADIUS)),
    ("□20", decimal("20", sign=Sign.SQUARE)),
    ("30° 15' 30\"", stated("3631/120", "1/3600", unit=DEG)),
    ("2X ⌀.281 THRU ⌴ ⌀.438 ↧ .250",
     bored(decimal(".281", sign=DIA, count=2), cbore(decimal(".438", sign=DIA), decimal(".250")), step=THRU)),
    ("⌀4 ↧15", bored(decimal("4", sign=DIA), step=deep(decimal("15")))),
    ("⌴⌀8↧3", bored(decimal("8", sign=DIA), step=deep(decimal("3"), StepKind.COUNTERBORE))),
    ("3X ⌀.177 THRU ⌵ ⌀.332 X 82°",
     bored(decimal(".177", sign=DIA, count=3), csk(decimal(".332", sign=DIA), decimal("82", unit=DEG)), step=THRU)),
    (".06 X 45%%d", decimal(".06", chamfer=Chamfer(decimal("45", unit=DEG)))),
]  # fmt: skip

M8 = Thread("M8x1.25", Fraction(8), MM, Fraction(5, 4))

# One size with what the shop writes around it. The forms are the trade's usual ones, from memory where no
# page is named above.
HOLES = [
    ("depth in the symbol font", r"Ø8 {\Fgdt;x}15", bored(decimal("8", sign=DIA), step=deep(decimal("15")))),
    ("depth by an arrow", "Ø8 ↓15", bored(decimal("8", sign=DIA), step=deep(decimal("15")))),
    ("by, deep", "Ø.250 X .50 DEEP", bored(decimal(".250", sign=DIA), step=deep(decimal(".50")))),
    ("deep before its number", "Ø.250 DEEP .50", bored(decimal(".250", sign=DIA), step=deep(decimal(".50")))),
    ("deep with no by", "%%c.250 DRILL .50 DEEP",
     bored(decimal(".250", sign=DIA, words=("DRILL",)), step=deep(decimal(".50")))),
    ("deep in a stack", r"Ø.25 \S1/2; DEEP", bored(decimal(".25", sign=DIA), step=deep(shop("1/2", 2)))),
    ("decimal by deep without a symbol", ".25 X .50 DEEP", bored(decimal(".25"), step=deep(decimal(".50")))),
    ("deep on the second line", r"Ø.30\P.50 DEEP", bored(decimal(".30", sign=DIA), step=deep(decimal(".50")))),
    ("deep, of the size itself", ".50 DEEP", decimal(".50", words=("DEEP",))),
    ("drilled deep", "DRILL .50 DEEP", decimal(".50", words=("DRILL", "DEEP"))),
    ("deep and a count", "12 DEEP 4 PLACES", decimal("12", count=4, words=("DEEP",))),
    ("deep and a limit", "12 DEEP MIN", decimal("12", one_sided=True, words=("DEEP", "MIN"))),
    ("a depth by its symbol", "↧15", decimal("15", words=("↧",))),
    ("the limit of a depth", "Ø8 ↧15 MIN",
     bored(decimal("8", sign=DIA), step=deep(decimal("15", one_sided=True, words=("MIN",))))),
    ("the tolerance of a depth", "Ø8 ±.1 ↧15 ±0.5",
     bored(decimal("8", sign=DIA, tolerance=within(".1", "-.1")),
           step=deep(decimal("15", tolerance=within("0.5", "-0.5"))))),
    ("count behind a depth", "Ø8 ↧15 (4X)", bored(decimal("8", sign=DIA, count=4), step=deep(decimal("15")))),
    ("places behind a depth", "Ø8 ↧15, 4 PLACES",
     bored(decimal("8", sign=DIA, count=4), step=deep(decimal("15")))),
    ("reference around all", "(Ø8 ↧15)", bored(decimal("8", sign=DIA, reference=True), step=deep(decimal("15")))),
    ("counterbore on its line", r"4X Ø.281 THRU\P⌴ Ø.438 ↧ .250\PTYP",
     bored(decimal(".281", sign=DIA, count=4, words=("TYP",)), cbore(decimal(".438", sign=DIA), decimal(".250")),
           step=THRU)),
    ("counterbore in letters", r"Ø.25 THRU\PC'BORE Ø.5 X .25 DEEP",
     bored(decimal(".25", sign=DIA), cbore(decimal(".5", sign=DIA), decimal(".25")), step=THRU)),
    ("a counterbore's depth behind an x", r"Ø.25 THRU\PC'BORE Ø.5 X .25",
     bored(decimal(".25", sign=DIA), cbore(decimal(".5", sign=DIA), decimal(".25")), step=THRU)),
    ("counterbore behind its size", ".281 DIA THRU, .438 DIA C'BORE .25 DEEP",
     bored(decimal(".281", sign=DIA), cbore(decimal(".438", sign=DIA), decimal(".25")), step=THRU)),
    ("the size of the counterbore itself", "Ø.438 CBORE .25 DEEP",
     bored(decimal(".438", sign=DIA), step=deep(decimal(".25"), StepKind.COUNTERBORE))),
    ("countersink in letters", r"Ø.25 THRU\PCSK Ø.5 X 82°",
     bored(decimal(".25", sign=DIA), csk(decimal(".5", sign=DIA), decimal("82", unit=DEG)), step=THRU)),
    ("countersink, angle first", "Ø.25 THRU, CSK 82° TO Ø.5",
     bored(decimal(".25", sign=DIA), csk(decimal(".5", sign=DIA), decimal("82", unit=DEG)), step=THRU)),
    ("countersink, angle before its word", "Ø.25 THRU, 82° CSK Ø.5",
     bored(decimal(".25", sign=DIA), csk(decimal(".5", sign=DIA), decimal("82", unit=DEG)), step=THRU)),
    ("countersink alone", "CSK Ø.5 X 82°",
     bored(decimal(".5", sign=DIA), step=csk(decimal(".5"), decimal("82", unit=DEG)))),
    ("countersink alone, angle first", "CSK 82° TO Ø.5",
     bored(decimal(".5", sign=DIA), step=csk(decimal(".5"), decimal("82", unit=DEG)))),
    ("countersink with no word", "Ø.5 X 82°",
     bored(decimal(".5", sign=DIA), step=csk(decimal(".5"), decimal("82", unit=DEG)))),
    ("spotface", r"Ø.25\PSF Ø.75",
     bored(decimal(".25", sign=DIA), HoleStep(StepKind.SPOTFACE, decimal(".75", sign=DIA)))),
    ("two steps below", r"Ø8\P⌴ Ø14 ↧5 FROM TOP\P⌵ Ø16 X 90°",
     bored(decimal("8", sign=DIA, words=("FROM TOP",)), cbore(decimal("14", sign=DIA), decimal("5")),
           csk(decimal("16", sign=DIA), decimal("90", unit=DEG)))),
    ("tapped", "Ø6.8 THRU, TAP M8x1.25 ↧12",
     bored(decimal("6.8", sign=DIA), step=THRU, thread=M8, thread_depth=decimal("12"))),
    ("thread below the drill", r"Ø6.8 ↧15\PM8x1.25 ↧12",
     bored(decimal("6.8", sign=DIA), step=deep(decimal("15")), thread=M8, thread_depth=decimal("12"))),
    ("for a screw", "Ø.266 THRU FOR 1/4-20 SHCS",
     bored(decimal(".266", sign=DIA), step=THRU, head="SHCS",
           screw=Thread("1/4-20", Fraction(1, 4), INCH, Fraction(1, 20)))),
    ("a dash between the parts", "Ø.250 THRU - 4 HOLES", bored(decimal(".250", sign=DIA, count=4), step=THRU)),
    ("bolt circle", "6X Ø9 EQ SP ON Ø95 B.C.",
     bored(decimal("9", sign=DIA, count=6), bolt_circle=decimal("95", sign=DIA), equally_spaced=True)),
    ("bolt circle spelled out", "Ø.25 THRU 6 HOLES EQUALLY SPACED ON A 4.000 DIA BOLT CIRCLE",
     bored(decimal(".25", sign=DIA, count=6), step=THRU, bolt_circle=decimal("4.000", sign=DIA), equally_spaced=True)),
    ("count by the spacing", r"Ø9\P6 EQ SP\PON Ø95 PCD",
     bored(decimal("9", sign=DIA, count=6), bolt_circle=decimal("95", sign=DIA), equally_spaced=True)),
    ("equally spaced holes", "6X Ø9 EQ SP", bored(decimal("9", sign=DIA, count=6), equally_spaced=True)),
    ("bolt circle by itself", "Ø4.000 B.C.", decimal("4.000", sign=DIA, words=("B.C.",))),
    ("required", "4 REQ'D Ø5", decimal("5", sign=DIA, count=4)),
    ("required behind", "Ø10 REQ'D", decimal("10", sign=DIA, words=("REQ'D",))),
]  # fmt: skip

AT_45, AT_30 = Chamfer(decimal("45", unit=DEG)), Chamfer(decimal("30", unit=DEG))

CHAMFERS = [
    ("with blanks", "2 x 45%%d", decimal("2", chamfer=AT_45)),
    ("with no blank", "2x45°", decimal("2", chamfer=AT_45)),
    ("another angle", "1.5 X 30°", decimal("1.5", chamfer=AT_30)),
    ("fraction", "1/16 X 45° TYP", shop("1/16", 16, chamfer=AT_45, words=("TYP",))),
    ("with its tolerance", ".06±.01 X 45°", decimal(".06", tolerance=within(".01", "-.01"), chamfer=AT_45)),
    ("with the angle's tolerance", "2 x 45° ±1°",
     decimal("2", chamfer=Chamfer(decimal("45", unit=DEG, tolerance=within("1", "-1"))))),
    ("count", "4X .06 X 45°", decimal(".06", count=4, chamfer=AT_45)),
    ("angle first", "2X 45° X .06", decimal(".06", count=2, chamfer=AT_45)),
    ("by a word", "CHAM 2 x 45°", decimal("2", chamfer=AT_45, words=("CHAM",))),
    ("two legs", "CHAM .06 X .12", decimal(".06", chamfer=Chamfer(leg=decimal(".12")), words=("CHAM",))),
    ("two legs, the word behind", ".06 X .12 CHAMFER",
     decimal(".06", chamfer=Chamfer(leg=decimal(".12")), words=("CHAMFER",))),
    ("letter", "C2", decimal("2", chamfer=Chamfer())),
    ("letter and a blank", "C 2", decimal("2", chamfer=Chamfer())),
    ("letter and decimals", "C.5 TYP", decimal(".5", chamfer=Chamfer(), words=("TYP",))),
    ("letter and a count", "4X C2", decimal("2", count=4, chamfer=Chamfer())),
    ("letter and a hyphen", "4-C2", decimal("2", count=4, chamfer=Chamfer())),
]  # fmt: skip

RUNS = [
    ("with an equals sign in parentheses", "4X 10 (=40)", decimal("10", count=4, words=("(=40)",))),
    ("with an equals sign", "8X 20 = 160", decimal("20", count=8, words=("= 160",))),
    ("in parentheses", "8X 20 (160)", decimal("20", count=8, words=("(160)",))),
    ("with blanks around the x", "8 x 20 (=160)", decimal("20", count=8, words=("(=160)",))),
    ("with no blank", "8x20(=160)", decimal("20", count=8, words=("(=160)",))),
    ("rounded", "3X 33.33 (=100)", decimal("33.33", count=3, words=("(=100)",))),
]

FITS = [
    ("deviations in parentheses", "Ø40 h6 (0/-0.016)",
     decimal("40", sign=DIA, fit="h6", tolerance=within("0", "-0.016"))),
    ("with commas", "50 k6 (+0,018/+0,002)", decimal("50", fit="k6", tolerance=within("0.018", "0.002"))),
    ("with blanks", "Ø40h6 ( 0 / -0.016 )", decimal("40", sign=DIA, fit="h6", tolerance=within("0", "-0.016"))),
    ("stacked in parentheses", r"50H7(\S+0.025^0;)", decimal("50", fit="H7", tolerance=within("0.025", "0"))),
    ("limits in parentheses", "25 H7 (25.021/25.000)", decimal("25", fit="H7", tolerance=within("0.021", "0"))),
    ("pair in a stack", r"50 \SH7/g6;", decimal("50", fit="H7/g6")),
    ("pair in a stack with no bar", r"50\SH7^g6;", decimal("50", fit="H7/g6")),
    ("no fit", "40 (±0.1)", decimal("40", tolerance=within("0.1", "-0.1"))),
]  # fmt: skip

TWO_VALUES = [
    ("limits by words", r"2.005 MAX\P1.995 MIN", decimal("2.000", limits=between("1.995", "2.005"))),
    ("on one line", "2.005 MAX 1.995 MIN", decimal("2.000", limits=between("1.995", "2.005"))),
    ("least first", r"1.995 MIN\P2.005 MAX", decimal("2.000", limits=between("1.995", "2.005"))),
    ("words first", r"MAX 2.005\PMIN 1.995", decimal("2.000", limits=between("1.995", "2.005"))),
    ("far apart", r"R1 MIN\PR5 MAX", decimal("3", sign=RAD, limits=between("1", "5"))),
    ("one of them alone", r"12 MIN\PTYP", decimal("12", one_sided=True, words=("MIN", "TYP"))),
    ("minus first", "2.000 -.000 +.005", decimal("2.000", tolerance=within(".005", "0"))),
    ("minus first, both not nought", "Ø8.0 -0.1 +0.2", decimal("8.0", sign=DIA, tolerance=within("0.2", "-0.1"))),
    ("both minus", "25.0 -0.1 -0.2", decimal("25.0", tolerance=within("-0.1", "-0.2"))),
    ("minus over nil", "2.000 -.005/.000", decimal("2.000", tolerance=within("0", "-.005"))),
    ("millimetres in parentheses", "2.000 (50.80)", decimal("2.000", alternate=decimal("50.80"))),
    ("inches in parentheses", "50.80 (2.000)", decimal("50.80", alternate=decimal("2.000"))),
    ("rounded inches", "12 (.472)", decimal("12", alternate=decimal(".472"))),
    ("on the second line", r"2.000\P(50.80)", decimal("2.000", alternate=decimal("50.80"))),
    ("with units", "2.000 IN (50.80 MM)", decimal("2.000", unit=INCH, alternate=decimal("50.80", unit=MM))),
    ("with the symbol again", "Ø2.000 (Ø50.80)", decimal("2.000", sign=DIA, alternate=decimal("50.80", sign=DIA))),
    ("reference with a second unit", "(2.000) (50.80)", decimal("2.000", reference=True, alternate=decimal("50.80"))),
    ("a note in parentheses", "12.5 (SEE NOTE 3)", decimal("12.5", words=("(SEE NOTE 3)",))),
]

LABELS = [
    "DEEP", "WIDE", "LONG", "HIGH", "THICK", "THK", "ACROSS FLATS", "A/F", "BOTH SIDES", "O.D.", "OD", "I.D.", "ID",
    "C/C",
    "CTRS", "OVERALL", "INCL", "FULL R", "EQ SPACED", "NEAR SIDE", "FAR SIDE", "N/S", "F/S", "PCD", "ALL AROUND",
]  # fmt: skip


@pytest.mark.parametrize(("raw", "reading"), CALLOUTS)
def test_standard_callouts(raw: str, reading: Stated) -> None:
    """Call-outs of one size, in the notation of the standards, read as that size."""
    assert read_text(raw) == reading


MORE = [*HOLES, *CHAMFERS, *RUNS, *FITS, *TWO_VALUES]


@pytest.mark.parametrize(("raw", "reading"), [case[1:] for case in MORE], ids=_ids(MORE))
def test_callouts_of_several_numbers(raw: str, reading: Stated) -> None:
    """Of several numbers the one that the dimension states is read, and the rest is kept beside it."""
    assert read_text(raw) == reading


@pytest.mark.parametrize("word", [*LABELS, "REQD", "REQ'D", "STOCK"])
def test_labels_behind_a_size(word: str) -> None:
    """A word that says what is measured, or where, changes nothing at the number before it."""
    assert read_text(f"2.50 {word}") == decimal("2.50", words=(word,))
    assert read_text(f"2.50 {word.lower()}") == decimal("2.50", words=(word.lower(),))


@pytest.mark.parametrize("word", LABELS)
def test_labels_before_a_size(word: str) -> None:
    """Most of these words may stand before the number as well."""
    assert read_text(f"{word} 2.50") == decimal("2.50", words=(word,))


@pytest.mark.parametrize("raw", ["2 x 45°", ".06 X 45°", "45° X .06", "C2"])
def test_an_angular_dimension_takes_no_chamfer(raw: str) -> None:
    """A chamfer's text in an angular dimension does not say which of its numbers is meant."""
    assert not isinstance(read_text(raw, kind=Kind.ANGULAR), Stated)


def test_angles_in_equal_steps() -> None:
    """A total behind a count and an angle is understood as behind a length."""
    expected = decimal("18", unit=DEG, count=17, words=("(=306°)",))
    assert read_text("17 × 18° (=306°)", kind=Kind.ANGULAR) == expected


@given(st.decimals("0.01", 999, places=3), st.integers(0, 4))
def test_a_true_second_unit_is_always_the_alternate(inches: Any, places: int) -> None:
    """The size times 25.4, rounded to any places, is the second unit; two more in the last place are not."""
    step = Fraction(1, 10**places)
    written = round_to(Fraction(str(inches)) * Fraction("25.4"), step, Rounding.HALF_UP)
    reading = read_text(f"{inches} ({fixed_text(written, places)})")
    assert isinstance(reading, Stated)
    assert reading.alternate is not None
    assert reading.alternate.value == written
    assert isinstance(read_text(f"{inches} ({fixed_text(written + 2 * step, places)})"), Unreadable)


# The 64ths as printed on decimal-equivalent charts, six decimals: decimaltoinches.pages.dev/equivalent-chart.
# Every number here is typed, none computed.
SIXTY_FOURTHS = """
1/64 .015625 1/32 .03125 3/64 .046875 1/16 .0625 5/64 .078125 3/32 .09375 7/64 .109375 1/8 .125
9/64 .140625 5/32 .15625 11/64 .171875 3/16 .1875 13/64 .203125 7/32 .21875 15/64 .234375 1/4 .25
17/64 .265625 9/32 .28125 19/64 .296875 5/16 .3125 21/64 .328125 11/32 .34375 23/64 .359375 3/8 .375
25/64 .390625 13/32 .40625 27/64 .421875 7/16 .4375 29/64 .453125 15/32 .46875 31/64 .484375 1/2 .5
33/64 .515625 17/32 .53125 35/64 .546875 9/16 .5625 37/64 .578125 19/32 .59375 39/64 .609375 5/8 .625
41/64 .640625 21/32 .65625 43/64 .671875 11/16 .6875 45/64 .703125 23/32 .71875 47/64 .734375 3/4 .75
49/64 .765625 25/32 .78125 51/64 .796875 13/16 .8125 53/64 .828125 27/32 .84375 55/64 .859375 7/8 .875
57/64 .890625 29/32 .90625 59/64 .921875 15/16 .9375 61/64 .953125 31/32 .96875 63/64 .984375
"""


def test_fractions_equal_their_published_decimals() -> None:
    """Each of the 63 fractions of a decimal-equivalent chart reads as the same value as its decimal."""
    words = SIXTY_FOURTHS.split()
    pairs = list(zip(words[::2], words[1::2], strict=True))
    assert len(pairs) == 63
    for fraction, digits in pairs:
        a, b = read_text(fraction), read_text(digits)
        assert isinstance(a, Stated)
        assert isinstance(b, Stated)
        assert a.value == b.value, fraction


@given(st.text(alphabet="0123456789.,'\"/#-+±°ØRXx() []TYPMIN?\\SP;^%cdp{}\n", max_size=40), st.sampled_from(Kind))
def test_any_text_gets_a_reading(raw: str, kind: Kind) -> None:
    """No text makes reading fail, and a stated value always has a positive step."""
    reading = read_text(raw, kind=kind)
    if isinstance(reading, Stated):
        assert reading.step > 0
        assert reading.limits is None or reading.limits[0] <= reading.value <= reading.limits[1]
        assert reading.tolerance is None or reading.tolerance.lower <= reading.tolerance.upper


@given(st.text(alphabet=st.characters(exclude_categories=["N"]), max_size=60).filter(lambda t: "%" not in t))
def test_text_without_a_digit_is_never_a_size(raw: str) -> None:
    """Where no digit stands, there is no dimension, whatever else is there."""
    assert isinstance(read_text(raw.replace("\\", "")), Symbolic | Suppressed)


PARTS = [
    "Ø", "R", "C", "2", "4X", "8", ".50", "1/2", "x", "45°", "DEEP", "↧", "⌴", "MAX", "MIN", "(", ")", "=", "H7", "M8",
    "ON", "B.C.", "+", "-", r"\P", "EQ SP", "TAP", r"\S1/2;", r"\S.1^.2;", "±",
]  # fmt: skip


@given(st.lists(st.sampled_from(PARTS)))
def test_any_callout_gets_a_reading(parts: list[str]) -> None:
    """No row of call-out parts makes reading fail, and a refusal begins with the text it is about."""
    reading = read_text(" ".join(parts))
    if isinstance(reading, Unreadable):
        assert reading.why.startswith("'")


@given(st.text(max_size=80))
def test_the_fast_way_and_the_long_way_agree(raw: str) -> None:
    """A plain decimal reads the same with a blank before it, which takes the long way round."""
    digits = "".join(sign for sign in raw if sign in "0123456789")[:9] or "7"
    for text in (digits, f".{digits}", f"{digits}.{digits}", f"R{digits}", f"%%c{digits}", f"{digits}%%d"):
        assert read_text(text) == read_text(" " + text)


@pytest.mark.parametrize(
    "unit", ["1", "1 ", "1'", "(", "[", "±", "1/", "TYP ", "{\\S1/2;", "4X ", "A", "\\P1", "1,", "°"]
)
def test_hostile_text_is_refused_in_time(unit: str) -> None:
    """A megabyte of anything is refused in seconds at the most, and never fails."""
    begin = time.process_time()
    assert not isinstance(read_text(unit * (1_000_000 // len(unit))), Stated)
    read_text(unit * (LONGEST // len(unit)))
    assert time.process_time() - begin < 5
