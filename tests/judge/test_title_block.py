"""Notes of a title block: what is read as what, what is not believed, and what is no statement at all."""

from fractions import Fraction as F
from time import process_time

import pytest

from dimaudit.judge.title_block import CONTRADICTION, ORDER, read_title_block, tolerance_by_word
from dimaudit.judge.tolerance_like import BY_SIZE, UNKNOWN_FORM
from dimaudit.model.drawing import Note, Origin, Space
from dimaudit.model.general import Form, GeneralTolerance, GeneralTolerances, Iso2768, TitleBlock
from dimaudit.model.units import Unit


def sheet(*texts: str | tuple[str, float, float], tag: str = "") -> TitleBlock:
    """Texts of a sheet; with a place, or each far from the others."""
    notes = []
    for k, text in enumerate(texts):
        words, x, y = text if isinstance(text, tuple) else (text, 1000.0 * k, 0.0)
        notes.append(Note(Origin(f"A{k}", "0"), words, (F(x), F(y)), F(1), F(0), tag))
    return read_title_block([Space("Model", (), tuple(notes), ())])


def read_as(*texts: str | tuple[str, float, float]) -> list[str]:
    return [said.read_as for said in sheet(*texts).read if not said.trouble]


# Forms of title blocks: common practice, no source; classes: ISO 2768-1.
READ = [
    (".X %%p .1", [".X ±0.1"]),
    (".XX ±.01", [".XX ±0.01"]),
    (".XX +/-.01", [".XX ±0.01"]),
    (".XX+-.01", [".XX ±0.01"]),
    ("X.XX ±0.1", [".XX ±0.1"]),
    ("0.XX ± 0,05", [".XX ±0.05"]),
    ("X,X ±0,2", [".X ±0.2"]),
    ("XXX = ±.005", [".XXX ±0.005"]),
    (".XX +.02 -.01", [".XX +0.02/-0.01"]),
    (".XX +.02/-.00", [".XX +0.02/0"]),
    (".X ±.1 .XX ±.01 .XXX ±.005", [".X ±0.1", ".XX ±0.01", ".XXX ±0.005"]),
    ("X ±1\\PX.X ±0.2\\PX.XX ±0.1", ["X ±1", ".X ±0.2", ".XX ±0.1"]),
    ("X ±.1\\PXX ±.01", [".X ±0.1", ".XX ±0.01"]),
    ("TOLERANCES UNLESS NOTED: .XX ±.01", [".XX ±0.01"]),
    ("2 PLACE DECIMALS ±.01", [".XX ±0.01"]),
    ("2 PL. DEC. ±.01", [".XX ±0.01"]),
    ("THREE PLACE DEC. ± .005", [".XXX ±0.005"]),
    ("THREE DECIMAL PLACES: ±.005", [".XXX ±0.005"]),
    ("TWO PLACE DECIMAL ±.01 THREE PLACE DECIMAL ±.005", [".XX ±0.01", ".XXX ±0.005"]),
    ("FRACTIONS ±1/64", ["fractions ±1/64"]),
    ("FRACTIONAL TOL. ± 1/32", ["fractions ±1/32"]),
    ("TWO PLACE (.XX) ±.010", [".XX ±0.01"]),
    ("2 PL ±.01  3 PL ±.005", [".XX ±0.01", ".XXX ±0.005"]),
    ("TOLERANCES:\\P2 PLACES ±.01", [".XX ±0.01"]),
    ("FRACTIONS DECIMALS ANGLES\\P±1/64  .XX ±.01  ±1/2°\\P  .XXX ±.005",
     [".XX ±0.01", "fractions ±1/64", "angles ±0.5°", ".XXX ±0.005"]),
    ("FRACTIONAL   ANGULAR\\P±1/32   ±0°30'", ["fractions ±1/32", "angles ±0.5°"]),
    ("ANGLES ±1/2°", ["angles ±0.5°"]),
    ("ANGULAR: ±0°30'", ["angles ±0.5°"]),
    ("ANGULAR DIMENSIONS ±30'", ["angles ±0.5°"]),
    ("ANGLES %%p1%%d", ["angles ±1°"]),
    ("X° ±1°", ["angles ±1°"]),
    ("ANGULAR: MACH ±.5° BEND ±.5°", ["angles ±0.5°"]),
    ("4. TOLERANCES ARE +/- 0.5mm UNLESS OTHERWISE NOTED.", ["lengths ±0.5 mm"]),
    ("UNLESS OTHERWISE SPECIFIED TOLERANCE ±.005", ["lengths ±0.005"]),
    ("ALL DIMENSIONS ±0.1", ["lengths ±0.1"]),
    ("LINEAR ±0.2 ANGULAR ±1°", ["lengths ±0.2", "angles ±1°"]),
    ("ISO 2768-m", ["ISO 2768-1 m (medium)"]),
    ("ISO 2768-mK", ["ISO 2768-1 m (medium)"]),
    ("DIN ISO 2768 fH", ["ISO 2768-1 f (fine)"]),
    ("ISO 2768 - c - L", ["ISO 2768-1 c (coarse)"]),
    ("GENERAL TOLERANCES ISO 2768-1 medium", ["ISO 2768-1 m (medium)"]),
    ("GENERAL TOLERANCES TO ISO 2768-1 VERY COARSE", ["ISO 2768-1 v (very coarse)"]),
    ("ISO 2768-1/-2 mK", ["ISO 2768-1 m (medium)"]),
    ("3. ALL DIMENSIONS IN mm.", ["dimensions are in millimetres"]),
    ("UNLESS OTHERWISE SPECIFIED DIMENSIONS ARE IN INCHES", ["dimensions are in inches"]),
    ("DIMENSIONS: MILLIMETRES", ["dimensions are in millimetres"]),
    ("UNITS: INCH", ["dimensions are in inches"]),
    ("SCALE 1:2", ["scale 1:2"]),
    ("SCALE: FULL", ["scale full"]),
    ("SCALE: N.T.S.", ["scale n.t.s."]),
]

NO_STATEMENT = [
    "4X ±.01", "BORE 2 PLACES ±.01", "FLATNESS TOLERANCE ±.005", "TOLERANCE ±.005 ON BORE", "DO NOT SCALE DRAWING",
    "DIMENSIONS IN [ ] ARE IN MILLIMETERS", "REF DIMENSIONS IN MM", "DIMENSIONS IN INCHES AND MILLIMETRES",
    "ISO 2768-2 K", "ISO 4762-M6", "PART NO. 2768-MK", "DETAIL A\\PSCALE 2:1", "XX", "X", "3 PLACES", "ANGLE 45°",
    "2.500 ±.005", "%%c.250 ±.001", "MATERIAL: BRONZE", "SIZES XX TO XL", "", "±", "+.01", ".XX", "LIST .XXX .XX",
    "MAXIMUM ±", "SECTION A-A SCALE 1:1", "2 PL ±.01", "2 PL ±.01 BOTH ENDS", "UP TO 6 ±.01",
]  # fmt: skip


@pytest.mark.parametrize(("text", "expected"), READ, ids=[text for text, _ in READ])
def test_statements_are_read(text: str, expected: list[str]) -> None:
    """Each form is read as it should, and the text is claimed."""
    block = sheet(text)
    assert [said.read_as for said in block.read] == expected
    assert not any(said.trouble for said in block.read)
    assert dict(block.claimed) == {"A0": "title block"}


@pytest.mark.parametrize("text", NO_STATEMENT)
def test_what_is_no_statement_is_left_alone(text: str) -> None:
    """Dimensions, part numbers, labels of views and notes of one feature say nothing of all dimensions."""
    assert sheet(text) == TitleBlock()


NOT_USED = [
    (".XX ±.00", "leaves no room"),
    (".XX ±2", "more than 100 units"),
    (".X ±.0005", "less than 1/100"),
    ("ANGLES ±30°", "more than 10"),
    ("TOLERANCES ±50", "more than 25.4 mm"),
    ("X ±.1", "a whole number or for one decimal"),
    ("ANGULAR: MACH ± 1/2° BEND ±1°", "machined and bent"),
    ("ISO 2768-1", "the class (f, m, c or v) is not named"),
    (".XX ±1e999", "number behind ± can't be read"),
    (".XX ±.01.005", "number behind ± can't be read"),
    ("FRACTIONS ±1/0", "number behind ± can't be read"),
    ("ANGLES ±0°99'", "60 minutes or seconds"),
    ("ANGLES ±0°30'60\"", "60 minutes or seconds"),
    ("TWO PLACE (.XXX) ±.005", "different numbers of decimals"),
    ("TOLERANCES .005", "its form is not understood"),
    ("LINEAR UP TO 6 ±.01", "for a range of sizes"),
    ("TWO PLACE DECIMALS .01", "its form is not understood"),
    ("SCALE 0:0", "a scale of 0 is none"),
    ("SCALE 1:0,0", "a scale of 0 is none"),
    ("SCALE: 1/0", "a scale of 0 is none"),
]


@pytest.mark.parametrize(("text", "why"), NOT_USED)
def test_what_can_not_be_believed_is_not_used(text: str, why: str) -> None:
    """It is said with its reason, and gives no tolerance."""
    block = sheet(text)
    (said,) = block.read
    assert why in said.trouble
    assert not block.tolerances


def test_contradictions_are_said_and_none_is_used() -> None:
    """Of two tolerances, classes or units neither holds; what is clear beside them does."""
    units = "DIMENSIONS IN MM", "DIMENSIONS IN INCHES"
    block = sheet(".XX ±.01", ".XX ±.02", "ISO 2768-m", "ISO 2768-f", *units, ".X ±.1")
    assert [said.trouble for said in block.read] == [CONTRADICTION] * 6 + [""]
    assert [e.name for e in block.tolerances.entries] == [".X"]
    assert (block.tolerances.iso2768, block.unit) == (None, None)


def test_the_same_on_two_sheets_is_no_contradiction() -> None:
    """A statement that is repeated alike holds."""
    block = sheet(".XX ±.01", ".XX ±.010", "DIMENSIONS IN INCHES", "ALL DIMENSIONS ARE IN INCHES")
    assert not any(said.trouble for said in block.read)
    expected = GeneralTolerance(Form.PLACES, F(1, 100), F(-1, 100), 2, None, "text A0")
    assert block.tolerances.entry(Form.PLACES, 2) == expected
    assert block.unit is Unit.INCH


def test_more_decimals_never_have_the_wider_tolerance() -> None:
    """A table in the wrong order is not used."""
    block = sheet(".XX ±.01", ".XXX ±.05")
    assert [said.trouble for said in block.read] == [ORDER, ORDER]


CELLS = [
    # side by side; labels above their values; lines of two texts; a label in the corner of its cell
    ([(".XX", 0, 0), ("±.01", 5, 0), (".XXX", 0, -2), ("±.005", 5, -2)], [".XX ±0.01", ".XXX ±0.005"]),
    ([(".XX ±", 0, 0), (".01", 5, 0), ("ANGLES", 0, -2), ("±1°", 5, -2)], [".XX ±0.01", "angles ±1°"]),
    ([(".X", 0, 0), (".XX", 5, 0), ("±.1", 0, -2), ("±.01", 5, -2)], [".X ±0.1", ".XX ±0.01"]),
    ([(".X\\P.XX", 0, 0), ("±.1\\P±.01", 9, 0)], [".X ±0.1", ".XX ±0.01"]),
    ([("SCALE:", 0, 0), ("1:2", 9, -1.5), ("UNITS:", 40, 0), ("MM", 49, -1.5)],
     ["scale 1:2", "dimensions are in millimetres"]),
    ([("TWO PLACE (.XX)", 0, 0), ("±.010", 12, 0), ("ONE PLACE (.X)", 0, 2), ("±.030", 12, 2)],
     [".XX ±0.01", ".X ±0.03"]),
    ([("2 PL", 0, 0), ("±.01", 12, 0), ("3 PL", 0, -2), ("±.005", 12, -2)], [".XX ±0.01", ".XXX ±0.005"]),
]  # fmt: skip


@pytest.mark.parametrize(("cells", "expected"), CELLS)
def test_cells_are_put_together(cells: list[tuple[str, float, float]], expected: list[str]) -> None:
    """Each label with the value of its cell; both texts are claimed."""
    assert read_as(*cells) == expected
    assert set(sheet(*cells).claimed) == {f"A{k}" for k in range(len(cells))}


STRAYS = [
    [(".XX", 0, 0), ("±.01", 100, 0)],
    [(".XX", 0, 0), ("NOTE", 5, 0), ("±.01", 9, 0)],
    [(".XX", 0, 0), (".01", 5, 0)],
    [(".X\\P.XX", 0, 0), ("±.1", 9, 0)],
    [("SCALE:", 0, 0), ("2.500", 9, 0)],
    [(".XX", 0, 0), ("±.01 TYP", 5, 0)],
    [("LENGTHS", 0, 0), ("±0.1", 0, -2), ("±0.2", 0, -4)],
    [("LENGTHS", 0, 0), ("±0.1", 9, 0), ("±0.2", 18, 0)],
]


@pytest.mark.parametrize("cells", STRAYS)
def test_texts_that_do_not_belong_together_are_left_alone(cells: list[tuple[str, float, float]]) -> None:
    """Too far, another text between, no sign, another number of lines, no scale, words behind, several values."""
    assert sheet(*cells) == TitleBlock()


def unclear(*texts: str | tuple[str, float, float]) -> list[tuple[str, str]]:
    """Handles and reasons of what is not used."""
    return [(said.handle, said.trouble) for said in sheet(*texts).read if said.trouble]


def test_a_table_by_ranges_of_size_is_said_to_be_unread() -> None:
    """Each value is said, none is used, and none is claimed: the list of texts that were not read has them, too."""
    ranges = [(f"{text}", 10.0 * k, -3.0) for k, text in enumerate(("0.5-3", ">3-6", ">6-30"))]
    values = [(f"±{text}", 10.0 * k, -5.0) for k, text in enumerate(("0.1", "0.1", "0.2"))]
    table = [("TOLERANCES UNLESS NOTED", 0.0, 0.0), *ranges, *values]
    assert unclear(*table) == [(f"A{k}", UNKNOWN_FORM) for k in (4, 5, 6)]
    assert dict(sheet(*table).claimed) == {}
    assert not sheet(*table).tolerances


def test_places_that_may_count_holes_are_left_alone() -> None:
    """Beside a table that writes .XXX, far from a heading, and far from one another."""
    assert read_as((".XXX ±.005", 0, 0), ("3 PL ±.002", 5, 0), ("2 PL ±.01", 5, 2)) == [".XXX ±0.005"]
    assert read_as(("TOLERANCES", 0, 0), ("2 PL ±.01", 50, 0)) == []
    assert read_as(("TOLERANCES", 0, 0), ("2 PL ±.01", 0, -2)) == [".XX ±0.01"]
    assert read_as(("2 PL ±.01", 0, 0), ("4 PL ±.002", 50, 0)) == []


def test_a_value_far_from_every_title_block_is_left_alone() -> None:
    """The same texts, too far from the heading or without it."""
    assert unclear(("TOLERANCES", 0, 0), ("±0.1", 30, 0)) == []
    assert unclear(("±0.1", 0, 0), ("±0.2", 5, 0)) == []
    assert unclear(("TOLERANCES", 0, 0), ("±0.1", 10, 0), ("±0.2", 20, 0)) == [
        ("A1", UNKNOWN_FORM), ("A2", UNKNOWN_FORM),
    ]  # fmt: skip


BESIDE = [
    ("UP TO 6 ±.01", BY_SIZE), ("> 6 ±.01", BY_SIZE), ("6-30 ±0.2", BY_SIZE), ("MACHINED LENGTHS ±.01", UNKNOWN_FORM),
    ("2.500 ±.005", ""), ("4X ±.01", ""), ("FLATNESS ±.005", ""), ("±.01 TYP", ""), ("SLOT 2 TO 3 ±.01", ""),
    ("TOLERANCE ±.005 ON BORE", ""), ("%%c.250 ±.001", ""), ("45%%d ±1%%d", ""), ("SHEET 1 OF 2", ""), ("2207", ""),
    ("MATERIAL 6061-T6", ""), ("FINISH 63", ""), ("14.03.2026", ""), ("1 3/4-5 UNC", ""), ("X 0.5", ""),
]  # fmt: skip


@pytest.mark.parametrize(("text", "why"), BESIDE, ids=[text for text, _ in BESIDE])
def test_what_stands_beside_a_tolerance(text: str, why: str) -> None:
    """Sizes of the part, notes of one feature and what else a title block holds are no general tolerances."""
    assert unclear((".XX ±.01", 0, 0), (text, 5, 0)) == ([("A1", why)] if why else [])


def test_what_other_parts_understand_is_no_title_block() -> None:
    """A cell of a hole table beside it is left alone."""
    notes = [Note(Origin(f"A{k}", "0"), t, (F(5 * k), F(0)), F(1)) for k, t in enumerate((".XX ±.01", "±.002"))]
    spaces = [Space("Model", (), tuple(notes), ())]
    assert len(read_title_block(spaces).read) == 2
    assert len(read_title_block(spaces, elsewhere={"A1"}).read) == 1


def test_thousands_of_values_are_no_title_block() -> None:
    """They are counted, said, and not searched through."""
    block = sheet("TOLERANCES", *(("±.1", float(k % 50), float(k // 50)) for k in range(600)))
    (said,) = block.read
    assert "600 texts look like tolerances" in said.trouble


def test_an_attribute_names_the_scale() -> None:
    """An attribute with the tag SCALE holds the scale alone."""
    assert [said.read_as for said in sheet("1:65", tag="SCALE").read] == ["scale 1:65"]


def test_what_says_a_scale_by_its_place_alone() -> None:
    """The value's text and the statement as a whole, for a cell and for an attribute; a whole text says it itself."""
    assert dict(sheet(("SCALE:", 0, 0), ("FULL", 9, 0)).scales) == {"A1": "SCALE FULL"}
    assert dict(sheet("1:65", tag="SCALE").scales) == {"A0": "SCALE 1:65"}
    assert dict(sheet("SCALE 1:2").scales) == {}
    assert dict(sheet(("SCALE:", 0, 0), ("0:1", 9, 0)).scales) == {}


def test_what_is_no_part_of_it_is_taken_out() -> None:
    """By either text of a pair; what else it says stays."""
    block = sheet(("SCALE:", 0, 0), ("1:2", 9, 0), (".XX ±.01", 500, 0))
    for handle in ("A0", "A1"):
        left = block.without({handle})
        assert ([said.read_as for said in left.read], dict(left.claimed)) == ([".XX ±0.01"], {"A2": "title block"})


def test_the_users_word_takes_the_place_of_the_sheet() -> None:
    """What the sheet states is still listed, and is not used; the unit stays."""
    word = GeneralTolerances((), Iso2768("f", "set by the user"))
    notes = [Note(Origin(f"A{k}", "0"), t, (F(0), F(99 * k)), F(1)) for k, t in enumerate((".XX ±.01", "UNITS: MM"))]
    block = read_title_block([Space("Model", (), tuple(notes), ())], word)
    assert block.tolerances == word
    assert [(said.read_as, said.by_user) for said in block.read] == [
        (".XX ±0.01", True), ("dimensions are in millimetres", False),
    ]  # fmt: skip


WORDS = [
    (".XX=.01", GeneralTolerance(Form.PLACES, F(1, 100), F(-1, 100), 2, None, "set by the user")),
    ("x.x=0.2", GeneralTolerance(Form.PLACES, F(1, 5), F(-1, 5), 1, None, "set by the user")),
    ("X=1", GeneralTolerance(Form.PLACES, F(1), F(-1), 0, None, "set by the user")),
    ("fractions=1/64", GeneralTolerance(Form.FRACTIONS, F(1, 64), F(-1, 64), None, None, "set by the user")),
    ("angles=±0.5", GeneralTolerance(Form.ANGLES, F(1, 2), F(-1, 2), None, None, "set by the user")),
    ("lengths=0.2mm", GeneralTolerance(Form.LENGTHS, F(1, 5), F(-1, 5), None, Unit.MILLIMETRE, "set by the user")),
    ("iso2768-mK", Iso2768("m", "set by the user")),
]


@pytest.mark.parametrize(("text", "expected"), WORDS)
def test_what_a_user_writes(text: str, expected: GeneralTolerance | Iso2768) -> None:
    """The forms of the option."""
    assert tolerance_by_word(text) == expected


REFUSED = ["", "=", ".XX", ".XX=", ".XX=-1", ".XX=5", ".XX=0", "iso2768", "iso2768-q", "bore=.1", ".XX=.01x",
           ".XX=1e999"]  # fmt: skip


SENSELESS = [("angles=0°99'", "60 minutes"), ("TWO PLACE (.XXX)=.01", "different numbers")]


@pytest.mark.parametrize(("text", "why"), SENSELESS)
def test_what_a_user_writes_is_held_to_the_same_sense(text: str, why: str) -> None:
    """What is not believed on a sheet is not believed in the option."""
    with pytest.raises(ValueError, match=why):
        tolerance_by_word(text)


@pytest.mark.parametrize("text", REFUSED)
def test_what_a_user_may_not_write(text: str) -> None:
    """A form that is not known, or a value that is not believed, is refused with a reason."""
    with pytest.raises(ValueError, match=r"write|believed|room"):
        tolerance_by_word(text)


HOSTILE = [
    ".XX ±" + "9" * 20_000, "ANGLES " * 15_000, "DIM ±1 " * 10_000, "TOLERAN" * 10_000, "UNLESS " * 10_000,
    "(" * 60_000 + "UNLESS", ".XX ±1/0", "±" * 50_000, "ISO 2768" * 8_000, "X" * 50_000, "\\P".join([".XX"] * 10_000),
    "SCALE " + ":" * 50_000, "TOLERANCES" + " 1" * 40_000, "TOLERANCES ±1 Y" * 5_000, "TOL 1-" + "-" * 50_000 + "±1",
    "FRACTIONS ANGLES\\P" + "±1/64 ±1° " * 8_000, "2 PL " * 20_000, "TOL 1.5 " + "± " * 30_000,
    "ALL DIMENSIONS IN " * 5_000,
]  # fmt: skip


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_hostile_texts_take_no_time_and_give_nothing(text: str) -> None:
    """Long runs, zero denominators, numbers of thousands of digits: no statement, and no error."""
    begin = process_time()
    block = sheet(text)
    assert process_time() - begin < 5
    assert not block.tolerances


def test_a_drawing_full_of_labels_is_no_title_block() -> None:
    """Thousands of labels are said to be too many, not searched through."""
    block = sheet(*((".XX", float(k % 50), float(k // 50)) for k in range(600)))
    (said,) = block.read
    assert "600 texts look like cells" in said.trouble
