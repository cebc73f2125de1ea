"""Hole notes: what a text that stands on the sheet says of a hole, and which texts say nothing of one."""

import csv
import time
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from text.describing import described

from dimaudit.model.drawing import Kind
from dimaudit.model.stated import CallOut, Stated, Unreadable
from dimaudit.text.call_out import read_call_out
from dimaudit.text.grammar import read_text

NOTES = [
    # Symbols: ASME Y14.5; words: older editions of it and common practice.
    ("4X Ø.281 THRU, COUNTERBORE Ø.438 DEPTH .25", "4X; hole Ø281/1000[3] thru; counterbore Ø219/500[3] deep 1/4[2]"),
    ("DRILL .250 THRU 4 PLACES", "4X; hole 1/4[3] thru; words DRILL"),
    ("2X M6x1 - 6H ↧ 12", "2X; thread 'M6x1 - 6H' 6mm pitch 1 class 6H; thread depth 12[0]"),
    ("1/4-20 UNC-2B ↧ .50", "thread '1/4-20 UNC-2B' 1/4in pitch 1/20 class 2B; thread depth 1/2[2]"),
    ("Ø.266 THRU FOR 1/4-20 SHCS", "hole Ø133/500[3] thru; screw '1/4-20' 1/4in pitch 1/20 SHCS"),
    ("C'BORE Ø7/16 X 1/4 DP", "counterbore Ø7/16 deep 1/4"),
    ("REAM .3750 +.0005/-.0000", "hole 3/8[4] tolerance=1/2000..0; words REAM"),
    ("#7 DRILL", "hole 201/1000[4]in; words #7 DRILL"),
    ("LETTER F DRILL THRU", "hole 257/1000[3]in thru; words LETTER F DRILL"),
    ("6-M8 TAP DEEP 16", "6X; thread 'M8' 8mm; thread depth 16[0]"),
    ("4-Ø9 THRU", "4X; hole Ø9[0] thru"),
    ("CSK 82° TO Ø.507", "countersink Ø507/1000[3] angle 82[0]deg"),
    (r"{\Fgdt;n}.281 THRU\P{\Fgdt;v}{\Fgdt;n}.438 {\Fgdt;x}.25",
     "hole Ø281/1000[3] thru; counterbore Ø219/500[3] deep 1/4[2]"),
    (".281 DIA THRU, .438 DIA C'BORE .25 DEEP, 4 PLACES",
     "4X; hole Ø281/1000[3] thru; counterbore Ø219/500[3] deep 1/4[2]"),
    ("DRILL #7 X .75 DEEP, TAP 1/4-20 UNC X .50 DEEP",
     "hole 201/1000[4]in deep 3/4[2]; thread '1/4-20 UNC' 1/4in pitch 1/20; thread depth 1/2[2]; words DRILL #7"),
    ("Ø6.6 THRU ⌴ Ø11 ↧ 6.5 FOR M6 SOCKET HEAD CAP SCREW",
     "hole Ø33/5[1] thru; counterbore Ø11[0] deep 13/2[1]; screw 'M6' 6mm SOCKET HEAD CAP SCREW"),
    ("10-32 TAP", "thread '10-32' 19/100in pitch 1/32"),
    ("M6 CLEARANCE HOLE", "screw 'M6' 6mm"),
    ("1/2 NPT", "thread '1/2 NPT' 1/2in pipe"),
    ("Ø.250 REAM FOR Ø.250 DOWEL PIN", "hole Ø1/4[3]; words REAM,FOR Ø.250 DOWEL PIN"),
    ("TAP 1/4-20 UNC TO DEPTH .50, (4) PLACES", "4X; thread '1/4-20 UNC' 1/4in pitch 1/20; thread depth 1/2[2]"),
    (r"2X Ø.281\PØ.279 THRU", "2X; hole Ø7/25[3] limits=279/1000..281/1000 thru"),
    ("Ø.250 DRILL FROM BOTH SIDES", "hole Ø1/4[3]; words DRILL,FROM BOTH SIDES"),
    ("Ø.213 (#3) DRILL X .75 DP, 1/4-28 UNF TAP X .50 DP",
     "hole Ø213/1000[3] deep 3/4[2]; thread '1/4-28 UNF' 1/4in pitch 1/28; thread depth 1/2[2]; words (#3),DRILL"),
    ("Ø.266 (H DRILL) THRU", "hole Ø133/500[3] thru; words (H DRILL)"),
    ("F DRILL (.257) X .875 DEEP, 5/16-18 UNC-2B X .625 DEEP, 4 HOLES",
     "4X; hole 257/1000[3]in deep 7/8[3]; thread '5/16-18 UNC-2B' 5/16in pitch 1/18 class 2B; thread depth 5/8[3]; "
     "words F DRILL (.257)"),
    ('(2) 1-1/2" DIA. HOLES THRU', "2X; hole Ø3/2in thru; words HOLES"),
    ("DRILL (2) 1.000 DIA. HOLES", "2X; hole Ø1[3]; words DRILL,HOLES"),
    ("BORE TO Ø1.015", "hole Ø203/200[3]; words BORE TO"),
    ("TWO HOLES Ø1.000", "2X; hole Ø1[3]; words HOLES"),
    ("Ø.281 THRU, FOUR (4) PLACES", "4X; hole Ø281/1000[3] thru"),
    ("Ø1.015 SLIP FIT", "hole Ø203/200[3]; words SLIP FIT"),
    ("Ø1.015 THRU, DEBURR BOTH SIDES .010 MAX", "hole Ø203/200[3] thru; words DEBURR BOTH SIDES .010 MAX"),
    ("2X Ø1.015 THRU @ 180°", "2X; hole Ø203/200[3] thru; spacing 180[0]deg"),
    ("6X Ø9 AT 60° APART ON Ø95 B.C.", "6X; hole Ø9[0]; bolt circle Ø95[0]; spacing 60[0]deg"),
    ("Ø1.000 (REF)", "hole Ø1[3] reference=True"),
    ("Ø.281 THRU - 1 HOLE", "1X; hole Ø281/1000[3] thru"),
    ("PILOT HOLE Ø.250", "hole Ø1/4[3]; words PILOT HOLE"),
    ("(4X Ø.250 THRU)", "4X; hole Ø1/4[3] reference=True thru"),
]  # fmt: skip

NONE = [
    "BREAK ALL EDGES .015 MAX", "SCALE 2:1", "REV 2", "PART NO 1234", "2024-05-01", "12-05-2024",
    "555-123-4567", '1/2-13 X 2" BOLT', "Ø3/8 THRU BOLT", "M12x1.75 BOLT", "M8 X 30",
    "Ø.25 X 1.00 SLOT", "THRU 3 PLATES",
    "(3.000)",
    "25 H7", "R.25 TYP", "10-32", "M6x20 SHCS", "Ø12 SHAFT", "DRILL 3", "REAM 3 TIMES", "HOLE 6", "DRILL JIG 2",
    "3. DRILL THRU 4 HOLES", "2X4 STUD", "",
]  # fmt: skip


@pytest.mark.parametrize(("raw", "said"), NOTES)
def test_a_hole_note_says_what_it_says(raw: str, said: str) -> None:
    """Each way of writing a hole note gives the same structure."""
    assert described(read_call_out(raw)) == said


@pytest.mark.parametrize("raw", NONE)
@pytest.mark.parametrize("separator", [".", ","])
def test_other_texts_are_no_hole_note(raw: str, separator: str) -> None:
    """What stands elsewhere on a sheet says nothing of a hole."""
    assert read_call_out(raw, separator) is None


@pytest.mark.parametrize(
    ("raw", "why"),
    [
        ("4X Ø.281 THRU, CBORE", "no size stands with 'CBORE'"),
        ("2X Ø.281 ↧", "no depth stands behind its symbol"),
        ("Ø.250 ↧ .50 ↧ .75", "two depths"),
        ("2X Ø.250 THRU EACH SIDE", "multiplies the count of 2"),
        ("Ø10 +0.015", "the other deviation is missing"),
        ("DRILL .250 ±", "no number follows"),
        ("Ø.250 (H DRILL) THRU", "is not the size before it"),
        ("2X Ø.250 THRU, TWO (3) PLACES", "two counts, 3 and 2"),
        ("4X Ø.250 THRU, TWO PLACES", "two counts, 4 and 2"),
        ("Ø.250 (#7) THRU", "is not the size before it"),
        ("2X Ø.500 THRU Ø.250", "'Ø.250' is not understood"),
        ("4-1/4-20 UNC THRU", "a count or as a part of the thread's size"),
        ("Ø.250 THRU ±", "'±' is not understood"),
    ],
)
def test_a_hole_note_gone_wrong_is_unreadable(raw: str, why: str) -> None:
    """A text that begins like a hole note and goes wrong says why."""
    found = read_call_out(raw)
    assert isinstance(found, Unreadable)
    assert why in found.why


@pytest.mark.parametrize(
    "unit", ["Ø1 ", "4X ", "M6 ", "1/4-20 ", "⌴Ø1", "FOR ", "(", "1-", "HEAD ", "EQ SP ", r"\P1", "#7 DRILL ", "(2) ",
     "TWO HOLES ", "DEBURR ", "@ 60°", "(H DRILL) "]
)
def test_hostile_notes_are_settled_in_time(unit: str) -> None:
    """A megabyte of anything is settled at once, and the longest text that is read in less than a second."""
    begin = time.process_time()
    assert not isinstance(read_call_out(unit * (1_000_000 // len(unit))), CallOut)
    read_call_out(unit * (400 // len(unit)))
    assert time.process_time() - begin < 2


NO_DIMENSIONS = (Path(__file__).parent / "no_dimensions.txt").read_text(encoding="utf-8").splitlines()
PUBLISHED = list(csv.DictReader((Path(__file__).parent / "published_notation.csv").read_text("utf-8").splitlines()))


def test_the_tables_are_large() -> None:
    """At least 120 published notations, each with its source, and 80 texts that are none."""
    assert len({row["text"] for row in PUBLISHED}) == len(PUBLISHED) >= 120
    assert all(row["source"] for row in PUBLISHED)
    assert len(set(NO_DIMENSIONS)) == len(NO_DIMENSIONS) >= 80


@pytest.mark.parametrize("row", PUBLISHED, ids=[row["text"] for row in PUBLISHED])
def test_published_notation_is_read(row: dict[str, str]) -> None:
    """Each text in the notation of its source (the numbers are ours) reads as the table says."""
    text = row["text"]
    reading = read_call_out(text) if row["kind"] == "note" else read_text(text, kind=Kind(row["kind"]))
    assert described(reading) == row["reads"]


@pytest.mark.parametrize("raw", NO_DIMENSIONS)
@pytest.mark.parametrize("separator", [".", ","])
def test_what_is_no_dimension_is_never_one(raw: str, separator: str) -> None:
    """Title blocks, revisions, dates, part numbers, general notes and hostile strings state no size and no hole."""
    for kind in Kind:
        assert not isinstance(read_text(raw, separator=separator, kind=kind), Stated), kind
    assert read_call_out(raw, separator) is None


PARTS = [
    "Ø", ".281", "1/4", "4X", "THRU", "⌴", "⌵", "↧", "CBORE", "CSK", "82°", "X", "TO", "DEEP", "DRILL", "#7", "TAP",
    "M8", "M8x1", "1/4-20", "1/2-0 NPT", "UNC-2B", "FOR", "SHCS",
    "ON", "B.C.", "EQ SP", "4 PLACES", "(", ")", ",", "-", "±", ".01", "H7", "SF", "@ 60°", "TWO", "HOLES", "(2)",
    "3/0", "G1/2", "MIN", "[", "]", "DEBURR", "(H DRILL)", r"\P", r"\S1/2;", r"\S.3^.2;", "CLEARANCE", "PIN", "FROM",
    "DIA",
]  # fmt: skip


@given(st.lists(st.sampled_from(PARTS), max_size=12), st.sampled_from([" ", ""]))
@settings(max_examples=500)
def test_any_row_of_parts_is_settled(parts: list[str], between: str) -> None:
    """No row of a hole note's parts makes reading fail, and a refusal begins with the text it is about."""
    found = read_call_out(between.join(parts))
    assert not isinstance(found, Unreadable) or found.why.startswith("'")


@given(st.text(max_size=60))
def test_any_text_is_settled(raw: str) -> None:
    """No text at all makes reading fail; nothing is a hole note without a digit or the name of a drill."""
    found = read_call_out(raw)
    assert found is None or any(sign.isdigit() for sign in raw) or "drill" in raw.lower()
