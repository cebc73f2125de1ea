"""Hole notes: what a text that stands on the sheet says of a hole, and which texts say nothing of one."""

import csv
import time
from pathlib import Path

import pytest
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
    ("(4X Ø.250 THRU)", "4X; hole Ø1/4[3] reference=True thru"),
]  # fmt: skip

NONE = [
    "BREAK ALL EDGES .015 MAX", "SCALE 2:1", "REV 2", "PART NO 1234", "2024-05-01", "12-05-2024",
    "555-123-4567",
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
        ("Ø.250 THRU ±", "'±' is not understood"),
    ],
)
def test_a_hole_note_gone_wrong_is_unreadable(raw: str, why: str) -> None:
    """A text that begins like a hole note and goes wrong says why."""
    found = read_call_out(raw)
    assert isinstance(found, Unreadable)
    assert why in found.why


@pytest.mark.parametrize(
    "unit", ["Ø1 ", "4X ", "M6 ", "1/4-20 ", "⌴Ø1", "FOR ", "(", "1-", "HEAD ", "EQ SP ", r"\P1", "#7 DRILL "]
)
def test_hostile_notes_are_settled_in_time(unit: str) -> None:
    """A megabyte of anything is settled at once, and the longest text that is read in less than a second."""
    begin = time.perf_counter()
    assert not isinstance(read_call_out(unit * (1_000_000 // len(unit))), CallOut)
    read_call_out(unit * (400 // len(unit)))
    assert time.perf_counter() - begin < 2


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
