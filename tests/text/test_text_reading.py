"""Reading dimension text."""

import time
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dimaudit.model.drawing import Kind
from dimaudit.model.stated import Sign, Stated, Suppressed, Symbolic, Tolerance, Unreadable
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
    ("two notes", "4X .250 THRU, TYP", decimal(".250", count=4, words=("THRU", "TYP"))),
    ("through all", "Ø6 THRU ALL", decimal("6", sign=DIA, words=("THRU ALL",))),
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
    ("alternate", "25.4 [1.000]", decimal("25.4", alternate=Fraction(1))),
    ("alternate below the line", r"25.4\X[1.000 in]", decimal("25.4", alternate=Fraction(1))),
    ("alternate with a symbol", "Ø25.4 [Ø1]", decimal("25.4", sign=DIA, alternate=Fraction(1))),
    ("fit", "32k6", decimal("32", words=("k6",))),
    ("fit of a hole", "25 H7", decimal("25", words=("H7",))),
    ("fit of a pair", "Ø25 H7/k6", decimal("25", sign=DIA, words=("H7/k6",))),
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
    (".06 X 45%%d", "two sizes or as a count"),
    ("2x45°", "two sizes or as a count"),
    ("2X 45°", "a chamfer or as a count"),
    ("4X", "no size"),
    ("(4X)", "no size"),
    ("0X Ø3", "a count of 0"),
    ("2X Ø3 4X", "two counts, 2 and 4"),
    ("⌀R40", "exclude each other"),
    ("R5 DIA", "exclude each other"),
    ("(3.000", "parenthesis is opened"),
    ("3.000)", "')' after the size"),
    ("3 [", "bracket is opened"),
    ("3 [4] [5]", "two numbers in brackets"),
    ("12.5 BLORP", "'BLORP' after the size"),
    ("12.5 *", "'*' after the size"),
    ("10²", "'²' after the size"),
    ("LENGTH 250 mm", "no size where 'LENGTH"),
    ("DEPTH 12.5", "no size where 'DEPTH"),
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
    ("M6", "thread"),
    ("M6x1", "thread"),
    ("25 M6", "'M6' after the size"),
    ("%%p2", "no size where '±2'"),
    ("+0.005/-0.003", "after the size"),
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


@pytest.mark.parametrize(("text", "why"), UNREADABLE, ids=_ids(UNREADABLE))
def test_unknown_numbers_are_unreadable(text: str, why: str) -> None:
    """A number that the grammar does not know, or can take two ways, is refused with the reason."""
    reading = read_text(text)
    assert isinstance(reading, Unreadable)
    assert why in reading.why


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
    ("4X ⌀.250 THRU", decimal(".250", sign=DIA, count=4, words=("THRU",))),
    ("%%c.500 %%p.005", decimal(".500", sign=DIA, tolerance=within(".005", "-.005"))),
    ("(3.000)", decimal("3.000", reference=True)),
    ("25.4 [1.000]", decimal("25.4", alternate=Fraction(1))),
    ("\\A1;1{\\H0.7x;\\S3#8;}", shop("11/8", 8)),
    ("12.45\n12.35", decimal("12.40", limits=between("12.35", "12.45"))),
    ("25 H7", decimal("25", words=("H7",))),
    ("R.25 TYP", decimal(".25", sign=RAD, words=("TYP",))),
    ("8X R3", decimal("3", sign=RAD, count=8)),
    ("SR12", decimal("12", sign=Sign.SPHERICAL_RADIUS)),
    ("□20", decimal("20", sign=Sign.SQUARE)),
    ("30° 15' 30\"", stated("3631/120", "1/3600", unit=DEG)),
]

CALLOUTS_OF_SEVERAL_SIZES = [
    "2X ⌀.281 THRU ⌴ ⌀.438 ↧ .250",
    "⌀4 ↧15",
    "⌴⌀8↧3",
    "3X ⌀.177 THRU ⌵ ⌀.332 X 82°",
    ".06 X 45%%d",
    "1/4-20 UNC-2B ↧ .50",
]


@pytest.mark.parametrize(("raw", "reading"), CALLOUTS)
def test_standard_callouts(raw: str, reading: Stated) -> None:
    """Call-outs of one size, in the notation of the standards, read as that size."""
    assert read_text(raw) == reading


@pytest.mark.parametrize("raw", CALLOUTS_OF_SEVERAL_SIZES)
def test_callouts_of_several_sizes_are_not_read_as_one(raw: str) -> None:
    """A call-out of several sizes is refused, not cut down to its first number."""
    assert isinstance(read_text(raw), Unreadable)


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
    begin = time.perf_counter()
    assert not isinstance(read_text(unit * (1_000_000 // len(unit))), Stated)
    read_text(unit * (LONGEST // len(unit)))
    assert time.perf_counter() - begin < 5
