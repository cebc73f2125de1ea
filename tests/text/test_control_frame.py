"""Feature control frames read from the text of a TOLERANCE, and from plain text.

The layout of the string (cells between %%v, rows between ^J, signs as letters of the drafting font) is as two
published readers of the format have it; the meaning of each sign: ASME Y14.5 and ISO 1101, Unicode code charts.
"""

from fractions import Fraction as F

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dimaudit.model.control_frame import Characteristic as C
from dimaudit.model.control_frame import DatumReference
from dimaudit.model.stated import Sign
from dimaudit.text.control_frame import MODIFIERS, SIGNS, lone_letter, read_frame, read_frame_note

LETTERS = {
    "u": C.STRAIGHTNESS, "c": C.FLATNESS, "e": C.CIRCULARITY, "g": C.CYLINDRICITY, "k": C.LINE_PROFILE,
    "d": C.SURFACE_PROFILE, "a": C.ANGULARITY, "b": C.PERPENDICULARITY, "f": C.PARALLELISM, "j": C.POSITION,
    "r": C.CONCENTRICITY, "i": C.SYMMETRY, "h": C.CIRCULAR_RUNOUT, "t": C.TOTAL_RUNOUT,
}  # fmt: skip
"""The drafting font's letters of the fourteen characteristics, as two published readers have them."""


@pytest.mark.parametrize(("letter", "name"), LETTERS.items())
def test_each_letter_of_the_font_is_its_characteristic(letter: str, name: C) -> None:
    """All fourteen are there, and none twice."""
    frame = read_frame(rf"{{\Fgdt;{letter}}}%%v0.1%%v%%vA")
    assert frame is not None
    (row,) = frame.rows
    assert (row.characteristic, row.tolerance and row.tolerance.value) == (name, F(1, 10))
    assert set(LETTERS.values()) == set(C)


def test_a_whole_composite_frame() -> None:
    """Two rows, zones, modifiers, three datums, a projected zone and a datum letter."""
    frame = read_frame(
        r"{\Fgdt;j}%%v{\Fgdt;n}.010{\Fgdt;m}%%v%%vA%%vB{\Fgdt;l}%%vC^J{\Fgdt;j}%%v{\Fgdt;n}.005%%v%%vA^J1.500{\Fgdt;p}^JD"
    )
    assert frame is not None
    upper, lower = frame.rows
    assert upper.tolerance is not None
    assert lower.tolerance is not None
    assert (upper.zone, upper.tolerance.value, upper.tolerance.step, upper.modifiers) == (
        Sign.DIAMETER, F(1, 100), F(1, 1000), "Ⓜ",
    )  # fmt: skip
    assert upper.datums == (DatumReference(("A",)), DatumReference(("B",), "Ⓛ"), DatumReference(("C",)))
    assert (lower.tolerance.value, lower.datums) == (F(5, 1000), (DatumReference(("A",)),))
    assert frame.projected is not None
    assert frame.projected.value == F(3, 2)
    assert (frame.identifier, frame.rest) == ("D", ())
    assert str(frame) == "⌖ | Ø.010Ⓜ | A | BⓁ | C / ⌖ | Ø.005 | A"


@pytest.mark.parametrize(
    ("raw", "value", "datums"),
    [
        (r"\Fgdt;j%%vn.010%%vA", F(1, 100), "A"),  # the font is not closed: the letters after it are its signs
        (r"⌖%%vØ0,125%%vA-B", F(1, 8), "A-B"),
        (r"⌖%%v%%c.010(M)%%vA(M)", F(1, 100), "AⓂ"),
        (r"⌖%%V%%C.010%%VA1", F(1, 100), "A"),  # a datum target belongs to its datum
        (r"//%%v.002%%vAB", F(1, 500), "AB"),
        (r"⟂%%v.002%%v%%v%%v%%vZ", F(1, 500), "Z"),
    ],
)
def test_other_ways_to_write_it(raw: str, value: F, datums: str) -> None:
    """Signs as characters, spelled modifiers, a comma, cells in other places."""
    frame = read_frame(raw)
    assert frame is not None
    (row,) = frame.rows
    assert row.tolerance is not None
    assert (row.tolerance.value, " ".join(map(str, row.datums)), row.rest) == (value, datums, ())


def test_a_row_without_a_sign_takes_that_of_the_row_above() -> None:
    """In a composite frame one cell with the sign reaches over both rows."""
    frame = read_frame(r"{\Fgdt;j}%%v%%c.010%%vA^J%%v%%c.005%%vA")
    assert frame is not None
    assert [row.characteristic for row in frame.rows] == [C.POSITION, C.POSITION]


@pytest.mark.parametrize("raw", ["A", "-A-", "[A]", "^J^J^JA", "%%v%%v^JA"])
def test_a_frame_of_a_datum_letter_alone(raw: str) -> None:
    """It defines a datum and controls nothing."""
    frame = read_frame(raw)
    assert frame is not None
    assert (frame.rows, frame.identifier) == ((), "A")


@pytest.mark.parametrize("raw", ["", "%%v%%v%%v", "^J^J"])
def test_an_empty_frame_is_none(raw: str) -> None:
    """Nothing is written in it."""
    assert read_frame(raw) is None


def test_what_is_not_understood_is_kept() -> None:
    """Words behind the tolerance and unknown signs are not thrown away."""
    frame = read_frame("⌓%%v.010 CZ%%vA^Jsee note")
    assert frame is not None
    assert (frame.rows[0].rest, frame.rest) == (("CZ",), ("see note",))
    unknown = read_frame(r"{\Fgdt;q}%%v.010")
    assert unknown is not None
    assert (unknown.rows[0].symbol, unknown.rows[0].characteristic) == ("q", None)


@pytest.mark.parametrize(
    ("raw", "shown"),
    [
        ("⌖|Ø.010|A|B", "⌖ | Ø.010 | A | B"),
        (r"{\Fgdt;j} %%c.010 A B", "⌖ | Ø.010 | A | B"),
        (r"\Fgdt;c|0.05", "⏥ | 0.05"),
    ],
)
def test_a_frame_as_plain_text(raw: str, shown: str) -> None:
    """Bars between the cells, or the drafting font and datum letters, make a text a frame."""
    assert str(read_frame_note(raw)) == shown


@pytest.mark.parametrize(
    "raw",
    ["⌒ 12.5", "∠ 30°", r"{\Fgdt;n}.281 THRU", r"{\Fgdt;k}12.5", "◯ 4 PLACES", "| A | B |", "1|2|3", "A", "", "⌖",
     "— 1.5 —", "//", "ITEM|QTY", r"{\Fgdt;v} .438 {\Fgdt;x} .250"],
)  # fmt: skip
def test_no_other_text_is_a_frame(raw: str) -> None:
    """Arc lengths, angles, hole notes and tables use some of the signs."""
    assert read_frame_note(raw) is None


@pytest.mark.parametrize(
    ("raw", "letter"), [("A", "A"), ("-B-", "B"), ("[C]", "C"), ("{\\fArial;D}", "D"), ("AB", ""), ("a", ""), ("1", "")]
)
def test_a_lone_letter(raw: str, letter: str) -> None:
    """One capital letter, bare, between dashes or in brackets."""
    assert lone_letter(raw) == letter


OTHERS = (".010", "Ø", "%%c", "A", "A-B", r"{\Fgdt;", "}", "%%v", "^J", "|", " ", "q")
CELL = st.sampled_from([*SIGNS, *MODIFIERS, *OTHERS])


@given(st.lists(CELL, max_size=30).map("".join))
def test_nothing_raises(raw: str) -> None:
    """Whatever stands in the cells, reading ends, and a tolerance that was read has a last place."""
    for frame in (read_frame(raw), read_frame_note(raw)):
        for row in () if frame is None else frame.rows:
            assert row.tolerance is None or row.tolerance.step > 0
            assert row.tolerance is None or row.tolerance_text
