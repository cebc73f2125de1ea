"""Scale labels: what states a scale, what it states, and what only looks like it."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dimaudit.text.scale_label import LONGEST, ratio_text, read_scale_label

F = Fraction

# ISO 5455 (EN ISO 5455:1994, clause 3 and the table of clause 5): enlargements, full size, reductions.
RECOMMENDED = ["50:1", "20:1", "10:1", "5:1", "2:1", "1:1", "1:2", "1:5", "1:10", "1:20", "1:50", "1:100", "1:200",
               "1:500", "1:1000", "1:2000", "1:5000", "1:10000"]  # fmt: skip

LABELS: list[tuple[str, Fraction, str]] = [
    # text, drawn over true, source
    ("SCALE 1:1", F(1), "EN ISO 5455:1994, clause 3"),
    ("SCALE 5 : 1", F(5), "EN ISO 5455:1994, clause 3"),
    ("SCALE 1 = 2", F(1, 2), "armyordnance.tpub.com/OD16418/OD164180111.htm"),
    ("SCALE 2 = 1", F(2), "armyordnance.tpub.com/OD16418/OD164180111.htm"),
    ("SCALE 1=1", F(1), "armyordnance.tpub.com/OD16418/OD164180111.htm"),
    ("1/2 in. = 1 ft.", F(1, 24), "chestofbooks.com, Bench Work in Wood, 7 Scale: 1/24th the size"),
    ("2 in. = 1 ft.", F(1, 6), "chestofbooks.com, Bench Work in Wood, 7 Scale: 1/6th the size"),
    ("6 in. = 1 ft.", F(1, 2), "chestofbooks.com, Bench Work in Wood, 7 Scale: half size"),
    ("HALF SIZE", F(1, 2), "chestofbooks.com, Bench Work in Wood, 7 Scale"),
    ("1/2 inch = 1 inch", F(1, 2), "bitlit.ru, Essentials of Woodworking, p. 125"),
    ("1:2.5", F(2, 5), "metrication.com/drafting/scales.html"),
    ("SCALE: 1:2", F(1, 2), "common practice, no source"),
    ("SCALE 1/4", F(1, 4), "common practice, no source"),
    ("SCALE 2X", F(2), "common practice, no source"),
    ("SCALE 0.500", F(1, 2), "common practice, no source"),
    ("FULL SCALE", F(1), "common practice, no source"),
    ("SCALE: FULL", F(1), "common practice, no source"),
    ("QUARTER SIZE", F(1, 4), "common practice, no source"),
    ("2X SIZE", F(2), "common practice, no source"),
    ("SCALE 1:2 @ A3", F(1, 2), "common practice, no source"),
    ("1/2\" = 1'-0\"", F(1, 24), "common practice, no source"),
    ("SCALE: 1-1/2\" = 1'-0\"", F(1, 8), "common practice, no source"),
    ("1\" = 20'", F(1, 240), "common practice, no source"),
    ("1 cm = 1 m", F(1, 100), "common practice, no source"),
    ("DETAIL A (2:1)", F(2), "common practice, no source"),
    ("DETAIL \"B\"  SCALE 4:1", F(4), "common practice, no source"),
    ("SECTION B-B SCALE 1:2", F(1, 2), "common practice, no source"),
    ("FRONT VIEW  SCALE 1:1", F(1), "common practice, no source"),
    ("ESCALA 1:5", F(1, 5), "word from memory"),
    ("MASSSTAB 2:1", F(2), "word from memory"),
    ("Maßstab 2:1", F(2), "word from memory"),
    ("ÉCHELLE 1:2,5", F(2, 5), "word from memory"),
    ("SCHNITT A-A M 2:1", F(2), "word from memory"),
    ("Einzelheit Z 5:1", F(5), "word from memory"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "factor"), [row[:2] for row in LABELS], ids=[r[0] for r in LABELS])
def test_a_label_states_drawn_over_true(text: str, factor: Fraction) -> None:
    """Each label of the table states its scale as an exact ratio."""
    label = read_scale_label(text)
    assert label is not None
    assert label.factor == factor


@pytest.mark.parametrize("text", RECOMMENDED)
def test_the_recommended_scales_read_and_write_alike(text: str) -> None:
    """Each scale that ISO 5455 recommends is read in each of its forms, and written again as it was."""
    drawn, true = map(int, text.split(":"))
    for form in (text, f"SCALE {text}", f"SCALE {drawn} : {true}", f"(SCALE {text})", f"DETAIL A\\PSCALE {text}"):
        label = read_scale_label(form)
        assert label is not None, form
        assert (label.factor, label.text) == (F(drawn, true), text)


@pytest.mark.parametrize("text", ["NTS", "N.T.S.", "NOT TO SCALE", "SCALE: NONE", "DETAIL C (NTS)"])
def test_not_to_scale_is_a_label_without_a_ratio(text: str) -> None:
    """'Not to scale' says that there is no ratio, which is something else than saying nothing."""
    label = read_scale_label(text)
    assert label is not None
    assert label.factor is None
    assert label.text == "not to scale"


NONE = [
    "", "SCALE", "SCALE:", "DO NOT SCALE", "DO NOT SCALE DRAWING", "SCALE AS SHOWN", "DETAIL A", "SECTION A-A",
    "VIEW X", "TAPER 1:10", "SLOPE 1:50", "M5", "M10x1.5", "2X", "1/2", "1 = 2", "12=1", "NONE", "FULL", "0:1", "1:0",
    "SCALE 0", "SCALE 1/0", "1 in = 25.4 mm", "SCALE 2:1)", "(SCALE 2:1", "BS9251:2014",
    "SCALE 1:1 WHEN PRINTED ON A3 PAPER",
    "1:2:3", "SCALE 1:2 SCALE 2:1", "2.500", "4X Ø.281 THRU", "Ø.250:1", "SCALE -1:2 OR SO", "SCALE 1:1234567",
]  # fmt: skip


@pytest.mark.parametrize("text", NONE)
def test_what_is_no_scale_label_is_none(text: str) -> None:
    """Texts that name a scale without stating one, tapers, threads, sizes, and ratios of nothing."""
    assert read_scale_label(text) is None


def test_a_bare_ratio_is_marked_as_such() -> None:
    """'1:10' alone may be a taper; a word or a view's title makes it a scale."""
    found = {text: read_scale_label(text) for text in ("1:10", "(1:10)", "SCALE 1:10", "DETAIL A 1:10")}
    assert {text: label.worded for text, label in found.items() if label} == {
        "1:10": False, "(1:10)": False, "SCALE 1:10": True, "DETAIL A 1:10": True,
    }  # fmt: skip


def test_the_title_is_kept() -> None:
    """The title says which view a label is of."""
    titles = ["DETAIL A (2:1)", "SECTION B-B SCALE 1:2", "LEFT SIDE VIEW SCALE 1:2", "SCALE 1:2"]
    found = [read_scale_label(text) for text in titles]
    assert [label.title for label in found if label] == ["detail a", "section b-b", "left side view", ""]


def test_formatting_codes_do_not_hide_a_label() -> None:
    """Underlined, stacked and scaled letters read as the plain text does."""
    for raw in ("%%uSCALE 1:2%%u", "{\\H2.5;\\LSCALE\\l 1:2}", "SCALE \\S1/2;"):
        label = read_scale_label(raw)
        assert label is not None, raw
        assert label.factor == F(1, 2)


@given(st.integers(1, 999999), st.integers(1, 999999))
def test_any_ratio_is_read_exactly(drawn: int, true: int) -> None:
    """A ratio of whole numbers is their quotient, whatever they are."""
    label = read_scale_label(f"SCALE {drawn}:{true}")
    assert label is not None
    assert label.factor == F(drawn, true)


@given(st.integers(1, 400), st.sampled_from([1, 2, 4, 5, 10, 20, 25, 50, 100]), st.booleans())
def test_a_ratio_is_written_so_that_it_reads_back(whole: int, part: int, up: bool) -> None:
    """What the reports print for a scale is a label for the same scale."""
    factor = max(F(whole, part), part / F(whole))
    factor = factor if up else 1 / factor
    label = read_scale_label(ratio_text(factor))
    assert label is not None
    assert label.factor == factor


@given(st.text(max_size=3 * LONGEST))
def test_any_text_is_read_or_refused(text: str) -> None:
    """No text raises, and what is longer than a label is none."""
    label = read_scale_label(text)
    assert label is None or label.factor is None or label.factor > 0


def test_a_long_text_is_refused_at_once() -> None:
    """A text that nearly matches over and over costs no more than its length."""
    for raw in ("SCALE " * 20, "(" * 119, "1:" * 59, "DETAIL A " * 13, " " * 119 + "1", "front " * 19, "1'-" * 39):
        assert read_scale_label(raw) is None
