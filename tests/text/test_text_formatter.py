"""Writing a true value as a style does."""

from dataclasses import replace
from fractions import Fraction

import pytest
from ezdxf.render.dim_base import format_text
from hypothesis import assume, given
from hypothesis import strategies as st

from dimaudit.exact.number import Rounding, round_to
from dimaudit.exact.real import Real, angle_between, enclose, root
from dimaudit.model.drawing import Kind
from dimaudit.model.stated import Sign, Stated, Tolerance
from dimaudit.model.style import AngleFormat, DimStyle, LinearFormat
from dimaudit.model.units import Unit
from dimaudit.text.formatter import (
    Form,
    deviations_text,
    filled_template,
    filled_text,
    number_text,
    post_parts,
    rounded,
    sexagesimal_step,
    stated_by_style,
    written_text,
)
from dimaudit.text.grammar import read_text

UP, EVEN = Rounding.HALF_UP, Rounding.HALF_EVEN
ARCH, ENG, FRAC, SCI = (
    LinearFormat.ARCHITECTURAL,
    LinearFormat.ENGINEERING,
    LinearFormat.FRACTIONAL,
    LinearFormat.SCIENTIFIC,
)

FEET_AND_INCH_ZEROS = [
    # DIMZIN 0 to 3 over four values: the table of the DXF reference's public pages, from memory.
    (0, ['1/2"', '6"', "1'", "1'-0 3/4\""]),
    (1, ["0'-0 1/2\"", "0'-6\"", "1'-0\"", "1'-0 3/4\""]),
    (2, ["0'-0 1/2\"", "0'-6\"", "1'", "1'-0 3/4\""]),
    (3, ['1/2"', '6"', "1'-0\"", "1'-0 3/4\""]),
]


@pytest.mark.parametrize(("zeros", "texts"), FEET_AND_INCH_ZEROS)
def test_feet_and_inch_zeros(zeros: int, texts: list[str]) -> None:
    """DIMZIN 0 to 3 keeps or drops zero feet and zero inches."""
    style = DimStyle(linear_format=ARCH, zeros=zeros)
    values = [Fraction(1, 2), Fraction(6), Fraction(12), Fraction(51, 4)]
    assert [written_text(value, style, Kind.LINEAR, UP) for value in values] == texts


LINEAR = [
    # situation, value, style, kind, text
    ("zeros kept", "1/2", DimStyle(places=3), Kind.LINEAR, "0.500"),
    ("no leading zero", "1/2", DimStyle(places=3, zeros=4), Kind.LINEAR, ".500"),
    ("no trailing zeros", "1/2", DimStyle(places=3, zeros=8), Kind.LINEAR, "0.5"),
    ("neither", "1/2", DimStyle(places=3, zeros=12), Kind.LINEAR, ".5"),
    ("nought with neither", "0", DimStyle(places=3, zeros=12), Kind.LINEAR, "0"),
    ("whole with neither", "20", DimStyle(places=3, zeros=12), Kind.LINEAR, "20"),
    ("negative with no leading zero", "-1/2", DimStyle(places=2, zeros=4), Kind.ORDINATE, "-.50"),
    ("negative that rounds to nought", "-1/1000", DimStyle(places=1), Kind.ORDINATE, "0.0"),
    ("comma", "5/2", DimStyle(places=2, separator=","), Kind.LINEAR, "2,50"),
    ("rounded to a quarter first", "1.3", DimStyle(places=2, round_to=Fraction(1, 4)), Kind.LINEAR, "1.25"),
    ("angles are not rounded first", "31", DimStyle(round_to=Fraction(5)), Kind.ANGULAR, "31°"),
    ("desktop is decimal", "5/2", DimStyle(places=2, linear_format=LinearFormat.DESKTOP), Kind.LINEAR, "2.50"),
    ("scientific", "123456.7", DimStyle(linear_format=SCI), Kind.LINEAR, "1.2346E+05"),
    ("scientific, small", "1/400", DimStyle(linear_format=SCI, places=1), Kind.LINEAR, "2.5E-03"),
    ("scientific carries over", "99.99", DimStyle(linear_format=SCI, places=1), Kind.LINEAR, "1.0E+02"),
    ("scientific nought", "0", DimStyle(linear_format=SCI, places=1), Kind.LINEAR, "0.0E+00"),
    ("engineering", "14.5", DimStyle(linear_format=ENG, places=2), Kind.LINEAR, "1'-2.50\""),
    ("engineering carries into feet", "11.999", DimStyle(linear_format=ENG, places=2), Kind.LINEAR, "1'"),
    ("architectural", "29/2", DimStyle(linear_format=ARCH), Kind.LINEAR, "1'-2 1/2\""),
    ("architectural, negative", "-29/2", DimStyle(linear_format=ARCH), Kind.ORDINATE, "-1'-2 1/2\""),
    ("fractional", "39/16", DimStyle(linear_format=FRAC), Kind.LINEAR, "2 7/16"),
    ("fractional in quarters", "39/16", DimStyle(linear_format=FRAC, places=2), Kind.LINEAR, "2 1/2"),
    ("fractional, reduced to whole", "2.99", DimStyle(linear_format=FRAC), Kind.LINEAR, "3"),
    ("diameter", "2", DimStyle(places=0), Kind.DIAMETER, "Ø2"),
    ("radius", "2", DimStyle(places=0), Kind.RADIUS, "R2"),
    ("foreshortened radius", "2", DimStyle(places=0), Kind.JOGGED_RADIUS, "R2"),
    ("prefix takes the symbol's place", "2", DimStyle(places=0, post="SR<>"), Kind.RADIUS, "SR2"),
    ("suffix leaves the symbol", "2", DimStyle(places=0, post="<> TYP"), Kind.RADIUS, "R2 TYP"),
    ("suffix without a mark", "2", DimStyle(places=0, post=" mm"), Kind.LINEAR, "2 mm"),
    ("coded prefix", "2", DimStyle(places=0, post="%%c<>"), Kind.LINEAR, "Ø2"),
    ("no suffix on angles", "30", DimStyle(post=" mm"), Kind.ANGULAR, "30°"),
    ("equal tolerance", "2",
     DimStyle(places=1, tolerance=True, plus=Fraction(1, 50), minus=Fraction(1, 50), tolerance_places=2),
     Kind.LINEAR, "2.0 ±0.02"),
    ("unequal tolerance", "2",
     DimStyle(places=1, tolerance=True, plus=Fraction(1, 50), minus=Fraction(1, 100), tolerance_places=2),
     Kind.LINEAR, "2.0 +0.02 -0.01"),
    ("negative minus lifts the lower deviation", "2",
     DimStyle(places=1, tolerance=True, plus=Fraction(1, 50), minus=Fraction(-1, 100), tolerance_places=2),
     Kind.LINEAR, "2.0 +0.02 +0.01"),
    ("suffix behind the tolerance", "2",
     DimStyle(places=0, tolerance=True, plus=Fraction(1), minus=Fraction(1), tolerance_places=0, post="<> mm"),
     Kind.LINEAR, "2 ±1 mm"),
    ("limits", "2",
     DimStyle(places=1, limits=True, plus=Fraction(1, 50), minus=Fraction(1, 100), tolerance_places=2),
     Kind.DIAMETER, "Ø2.02\nØ1.99"),
    ("alternate", "1", DimStyle(places=1, alternate=True), Kind.LINEAR, "1.0 [25.40]"),
    ("alternate with its unit", "1",
     DimStyle(places=1, alternate=True, alternate_post="[] mm", alternate_places=1), Kind.LINEAR, "1.0 [25.4 mm]"),
    ("degrees", "61/2", DimStyle(angle_places=1), Kind.ANGULAR, "30.5°"),
    ("degrees, zeros dropped", "1/2", DimStyle(angle_places=2, angle_zeros=3), Kind.ANGULAR, ".5°"),
    ("minutes", "61/2", DimStyle(angle_format=AngleFormat(1), angle_places=2), Kind.ANGULAR, "30°30'"),
    ("seconds", "3631/120", DimStyle(angle_format=AngleFormat(1), angle_places=4), Kind.ANGULAR, "30°15'30\""),
    ("degrees carry over", "29.9999", DimStyle(angle_format=AngleFormat(1), angle_places=1), Kind.ANGULAR,
     "30°0'"),
    ("gradians", "30", DimStyle(angle_format=AngleFormat(2), angle_places=2), Kind.ANGULAR, "33.33g"),
    ("radians", "90", DimStyle(angle_format=AngleFormat(3), angle_places=4), Kind.ANGULAR, "1.5708r"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("value", "style", "kind", "text"), [case[1:] for case in LINEAR], ids=[case[0] for case in LINEAR]
)
def test_written_text(value: str, style: DimStyle, kind: Kind, text: str) -> None:
    """Each style variable changes the text as the DXF reference describes it."""
    assert written_text(Fraction(value), style, kind, UP) == text


PUBLISHED = [
    # value, places, rule, as printed, where
    ("1/32", 4, EVEN, ".0312", "drill list of ASME B94.11M, paperzz.com/doc/8844239"),
    ("1/32", 4, UP, ".0313", "chestofbooks.com decimal equivalents of 64ths; machinecalcs.com"),
    ("5/32", 4, UP, ".1563", "chestofbooks.com decimal equivalents of 64ths; machinecalcs.com"),
    ("5/32", 4, EVEN, ".1562", "blog.delteil.my.id chart"),
    ("9/32", 4, UP, ".2813", "chestofbooks.com decimal equivalents of 64ths; machinecalcs.com"),
    ("9/32", 4, EVEN, ".2812", "blog.delteil.my.id chart"),
    ("13/32", 4, UP, ".4063", "chestofbooks.com decimal equivalents of 64ths; machinecalcs.com"),
    ("13/32", 4, EVEN, ".4062", "blog.delteil.my.id chart"),
    ("3/32", 4, UP, ".0938", "chestofbooks.com decimal equivalents of 64ths"),
    ("21/16", 3, EVEN, "1.312", "head diameters of ASME B18.3, aftfasteners.com"),
    ("21/16", 3, UP, "1.313", "scribd.com/doc/104758193"),
    ("23/16", 3, UP, "1.438", "Machinery's Handbook 31, p. 1741"),
    ("23/16", 3, EVEN, "1.438", "Machinery's Handbook 31, p. 1741"),
    ("5/16", 3, EVEN, ".312", "head diameters of ASME B18.3, aftfasteners.com"),
    ("5/16", 3, UP, ".313", "scribd.com/doc/104758193"),
    ("9/16", 3, EVEN, ".562", "head diameters of ASME B18.3, aftfasteners.com"),
    ("9/16", 3, UP, ".563", "scribd.com/doc/104758193"),
    (".1065", 3, UP, ".107", "scribd.com/doc/104758193, drill 36"),
]


@pytest.mark.parametrize(("value", "places", "rule", "printed", "where"), PUBLISHED)
def test_published_decimal_equivalents(value: str, places: int, rule: Rounding, printed: str, where: str) -> None:
    """Printed tables come out digit for digit, each under the rule that its publisher rounded by."""
    style = DimStyle(places=places, zeros=4)
    assert written_text(Fraction(value), style, Kind.LINEAR, rule) == printed, where


def test_cut_off_table_follows_no_rule() -> None:
    """.0937 for 3/32, as a lead thickness chart prints it, comes from no rounding rule."""
    style = DimStyle(places=4, zeros=4)
    assert {written_text(Fraction(3, 32), style, Kind.LINEAR, rule) for rule in Rounding} == {".0938"}


@given(
    st.decimals(0, 9999, places=6),
    st.integers(0, 5),
    st.sampled_from([0, 4, 8, 12]),
    st.sampled_from([".", ","]),
)
def test_decimals_agree_with_another_program(value: object, places: int, zeros: int, separator: str) -> None:
    """Away from ties, decimals are written as ezdxf's renderer writes them."""
    exact = Fraction(str(value))
    assume((exact * 10**places * 2) % 1 != 0 or (exact * 10**places) % 1 == 0)
    assume(round_to(exact, Fraction(1, 10**places), UP) != 0)  # ezdxf may leave no digit of a nought
    style = DimStyle(places=places, zeros=zeros, separator=separator)
    expected = format_text(float(exact), None, places, zeros, separator)
    assert written_text(exact, style, Kind.LINEAR, UP) == expected


values = st.fractions(-5000, 5000, max_denominator=4096)
styles = st.builds(
    DimStyle,
    places=st.integers(0, 7),
    linear_format=st.sampled_from(LinearFormat),
    zeros=st.sampled_from([z + more for z in range(4) for more in (0, 4, 8, 12)]),
    separator=st.sampled_from([".", ",", "·"]),
    round_to=st.sampled_from([Fraction(0), Fraction(1, 4), Fraction(1, 10), Fraction(5)]),
    post=st.sampled_from(["", "<> TYP", " REF", "4X <>", "(<>)", "<> MAX"]),
)


@given(values, styles, st.sampled_from([Kind.LINEAR, Kind.DIAMETER, Kind.RADIUS]), st.sampled_from(Rounding))
def test_written_text_reads_back(value: Fraction, style: DimStyle, kind: Kind, rule: Rounding) -> None:
    """What a style writes reads back as the rounded value, in every format, separator and zero style."""
    text = written_text(value, style, kind, rule)
    read = read_text(text, separator=style.separator, kind=kind)
    if style.separator == "." or "," in text or "·" in text or "." not in text:
        assert isinstance(read, Stated), text
        meant = stated_by_style(value, style, kind, rule)
        assert read.value == meant.value
        assert (read.sign, read.count, read.reference, read.words, read.one_sided) == (
            meant.sign, meant.count, meant.reference, meant.words, meant.one_sided,
        )  # fmt: skip


@given(values, st.integers(0, 6), st.sampled_from(LinearFormat), st.sampled_from(Rounding))
def test_step_of_the_style_divides_the_step_as_read(
    value: Fraction, places: int, linear_format: LinearFormat, rule: Rounding
) -> None:
    """Suppressed zeros and reduced fractions only ever make the text look coarser than the style."""
    style = DimStyle(places=places, linear_format=linear_format, zeros=12)
    meant = stated_by_style(value, style, Kind.LINEAR, rule)
    read = read_text(written_text(value, style, Kind.LINEAR, rule))
    assert isinstance(read, Stated)
    assert read.step >= meant.step
    assert (read.step / meant.step).denominator == 1
    assert abs(meant.value - value) <= meant.step / 2


@given(
    st.fractions(1, 500, max_denominator=640),
    st.fractions(0, Fraction(1, 4), max_denominator=640),
    st.fractions(Fraction(-1, 8), Fraction(1, 4), max_denominator=640),
    st.sampled_from([LinearFormat.DECIMAL, FRAC, ARCH, ENG]),
    st.booleans(),
    st.sampled_from(["", "<> TYP"]),
)
def test_tolerances_and_limits_read_back(
    value: Fraction, plus: Fraction, minus: Fraction, linear_format: LinearFormat, limits: bool, post: str
) -> None:
    """Tolerances and limits read back as the style means them."""
    style = DimStyle(
        linear_format=linear_format, tolerance=not limits, limits=limits, plus=plus, minus=minus, post=post
    )
    read = read_text(written_text(value, style, Kind.LINEAR, UP))
    meant = stated_by_style(value, style, Kind.LINEAR, UP)
    assert isinstance(read, Stated)
    assert (read.value, read.tolerance, read.limits) == (meant.value, meant.tolerance, meant.limits)


@given(
    st.fractions(0, 360, max_denominator=7200),
    st.sampled_from([form for form in AngleFormat if form is not AngleFormat.RADIANS]),
    st.integers(0, 6),
    st.integers(0, 3),
    st.sampled_from([".", ","]),
)
def test_angles_read_back(value: Fraction, form: AngleFormat, places: int, zeros: int, separator: str) -> None:
    """Angles in degrees, gradians and degrees-minutes-seconds read back as the rounded value."""
    style = DimStyle(angle_format=form, angle_places=places, angle_zeros=zeros, separator=separator)
    read = read_text(written_text(value, style, Kind.ANGULAR, UP), separator=separator, kind=Kind.ANGULAR)
    meant = stated_by_style(value, style, Kind.ANGULAR, UP)
    assert isinstance(read, Stated)
    assert (read.value, read.unit) == (meant.value, Unit.DEGREE)
    assert abs(meant.value - value) <= meant.step / 2


@given(st.fractions(0, 360, max_denominator=7200), st.integers(0, 8))
def test_radians_read_back(value: Fraction, places: int) -> None:
    """Angles in radians read back as what the style means, within half a step of the true angle."""
    style = DimStyle(angle_format=AngleFormat.RADIANS, angle_places=places)
    read = read_text(written_text(value, style, Kind.ANGULAR, UP), kind=Kind.ANGULAR)
    meant = stated_by_style(value, style, Kind.ANGULAR, UP)
    assert isinstance(read, Stated)
    assert (read.value, read.step, read.places) == (meant.value, meant.step, places)
    assert abs(meant.value - value) <= meant.step / 2


@pytest.mark.parametrize(
    "value",
    [root(Fraction(2)), root(Fraction(50_000_000, 7)), angle_between(*map(Fraction, (1, 0, 1, 2)))],
)
@pytest.mark.parametrize("places", [0, 3, 9])
def test_irrational_values_are_rounded_once_with_their_deviations(value: Real, places: int) -> None:
    """Limits of an irrational value lie within half a step of value plus deviation."""
    plus, minus = Fraction(1, 3), Fraction(1, 7)
    style = DimStyle(limits=True, plus=plus, minus=minus, tolerance_places=places)
    limits = stated_by_style(value, style, Kind.LINEAR, UP).limits
    assert limits is not None
    half = Fraction(1, 10**places) / 2
    low, high = enclose(value, Fraction(1, 10**20))
    for limit, shift in zip(limits, (-minus, plus), strict=True):
        assert low + shift - half <= limit <= high + shift + half


def test_style_gives_what_its_text_hides() -> None:
    """From the style come places, unit, box, symbol and words that the printed number leaves open."""
    style = DimStyle(places=3, zeros=12, boxed=True, post="4X <> mm TYP", tolerance=True, plus=Fraction(1, 50))
    assert stated_by_style(Fraction(5, 2), style, Kind.LINEAR, UP) == Stated(
        Fraction(5, 2), Fraction(1, 1000), places=3, unit=Unit.MILLIMETRE, count=4, boxed=True,
        tolerance=Tolerance(Fraction(1, 50), Fraction(0)), words=("TYP",),
    )  # fmt: skip


def test_style_in_sixteenths_gives_sixteenths() -> None:
    """A reduced fraction keeps the denominator of its style."""
    style = DimStyle(linear_format=ARCH, places=4)
    assert stated_by_style(Fraction(1, 2), style, Kind.RADIUS, UP) == Stated(
        Fraction(1, 2), Fraction(1, 16), denominator=16, unit=Unit.INCH, sign=Sign.RADIUS
    )


@pytest.mark.parametrize(
    ("post", "parts"),
    [("", ("", "")), ("<>", ("", "")), (" mm", ("", " mm")), ("4X <> TYP", ("4X ", " TYP")), ("%%c<>", ("Ø", ""))],
)
def test_parts_of_dimpost(post: str, parts: tuple[str, str]) -> None:
    """What stands around '<>' is prefix and suffix; without it everything is suffix."""
    assert post_parts(post) == parts


@pytest.mark.parametrize(
    ("override", "text"),
    [("<>", "2.5"), ("(<>)", "(2.5)"), (r"\A1;<>\S0.01^ 0.02;", r"\A1;2.5\S0.01^ 0.02;"), ("4", "4")],
)
def test_template_takes_the_shown_value(override: str, text: str) -> None:
    """Every '<>' of an override becomes the shown value, and nothing else changes."""
    assert filled_template(override, "2.5") == text


FILLED = [
    ("<> TYP", r"2\S7/16; [61.91] TYP"), ("[] / <>", r"[61.91] / 2\S7/16;"), ("<>", r"2\S7/16; [61.91]"),
    (r"<>\P[]", r"2\S7/16;\P[61.91]"),
]  # fmt: skip


@pytest.mark.parametrize(("override", "text"), FILLED)
def test_an_override_with_brackets_places_the_alternate(override: str, text: str) -> None:
    """A '[]' takes the alternate of a style that has one; fractions are stacked as the style stacks them."""
    style = DimStyle(linear_format=FRAC, alternate=True)
    assert filled_text(override, Fraction(39, 16), style, Kind.LINEAR, UP) == text


def test_empty_brackets_stay_where_there_is_no_alternate() -> None:
    """Without DIMALT a '[]' is what was typed."""
    assert filled_text("<> []", Fraction(1), DimStyle(places=0), Kind.LINEAR, UP) == "1 []"


@pytest.mark.parametrize(
    ("upper", "lower", "text"),
    [("1/200", "-1/200", "±0.005"), ("1/50", "-1/100", "+0.02 -0.01"), ("1/50", "1/100", "+0.02 +0.01"),
     ("-1/100", "-1/50", "-0.01 -0.02"), ("0", "-1/50", "+0 -0.02"), ("0", "0", "±0")],
)  # fmt: skip
def test_deviations_in_words(upper: str, lower: str, text: str) -> None:
    """Deviations are written exactly, with their signs."""
    assert deviations_text(Tolerance(Fraction(upper), Fraction(lower))) == text


@pytest.mark.parametrize(("places", "step"), [(0, 1), (1, 60), (2, 60), (3, 3600), (4, 3600), (5, 36000)])
def test_places_of_sexagesimal_angles(places: int, step: int) -> None:
    """Places of a degrees-minutes-seconds style stand for minutes, seconds and decimals of a second."""
    assert sexagesimal_step(places) == Fraction(1, step)


def test_numbers_can_be_written_alone() -> None:
    """A form rounds a value and writes it without a style."""
    form = Form(FRAC, places=5)
    assert number_text(rounded(Fraction("0.4063"), form, EVEN), form) == "13/32"


@given(
    st.fractions(1, 500, max_denominator=640),
    st.fractions(0, Fraction(1, 8), max_denominator=640),
    st.fractions(0, Fraction(1, 8), max_denominator=640),
    st.sampled_from([LinearFormat.DECIMAL, ENG, ARCH, FRAC]),
    st.sampled_from([LinearFormat.DECIMAL, ENG, ARCH, FRAC]),
    st.sampled_from(["none", "tolerance", "limits"]),
    st.integers(1, 4),
    st.sampled_from(["", "[] mm", "Ø[]", "\\X[]"]),
    st.booleans(),
)
def test_an_alternate_reads_back_with_its_tolerance_or_limits(
    value: Fraction, plus: Fraction, minus: Fraction, first: LinearFormat, second: LinearFormat, beside: str,
    places: int, post: str, coded: bool,
) -> None:  # fmt: skip
    """What a style writes of both numbers reads back as it means them, plain and coded."""
    style = DimStyle(
        linear_format=first, tolerance=beside == "tolerance", limits=beside == "limits", plus=plus, minus=minus,
        alternate=True, alternate_format=second, alternate_places=places, alternate_tolerance_places=places,
        alternate_post=post if second is LinearFormat.DECIMAL else "",
    )  # fmt: skip
    text = written_text(value, style, Kind.LINEAR, UP, coded=coded)
    read, meant = read_text(text), stated_by_style(value, style, Kind.LINEAR, UP)
    assert isinstance(read, Stated), text
    assert (read.value, read.tolerance, read.limits) == (meant.value, meant.tolerance, meant.limits)
    assert read.alternate is not None
    assert meant.alternate is not None
    for name in ("value", "tolerance", "limits", "unit"):
        assert getattr(read.alternate, name) == getattr(meant.alternate, name), name


def test_what_the_suffix_says_is_stated_with_the_number() -> None:
    """DIMPOST brings a fit, or what a hole note says besides the size."""
    half = Fraction(1, 2)
    fit = stated_by_style(half, DimStyle(places=1, post="<> H7"), Kind.LINEAR, Rounding.HALF_UP)
    assert (fit.fit, fit.value) == ("H7", half)
    hole = stated_by_style(half, DimStyle(places=1, post="<> THRU"), Kind.DIAMETER, Rounding.HALF_UP)
    assert hole.call_out is not None
    assert hole.call_out.steps[0].through
    assert hole.call_out.steps[0].diameter == replace(hole, call_out=None)
