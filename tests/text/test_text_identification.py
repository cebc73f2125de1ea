"""Which numbers in notes state something, and which only name something."""

import pytest

from dimaudit.text.identification import states_a_number

NAMES = (
    "DRAWING NO. CDJ-415", "DWG NO: 4711", "PART NO 8842-3", "SHEET 1 OF 2", "1 OF 1", "REV 2", "REV. B2",
    "DATE 2026-11-25", "2/19/2026", "24.12.2026", "MATERIAL: 6061-T6 PLATE", "MATL 316L", "BRONZE C90500",
    "1. BREAK SHARP EDGES.", "NOTE 3: DEBURR", "WBP-101", "ISO 2768-m", "4711000", "A4", "",
)  # fmt: skip
NUMBERS = (
    "SCALE 1:2", ".XX ±.01", "ANGLES ±0.5°", "2675,62", "2.80mm", "Ø.281 THRU", "4X R.25", "R3", "M8x1.25",
    "1/4-20 UNC-2B", "3/8-16", "1/2", "½", "2X M6", "#7 DRILL", "12mm", "1'-6\"", "45°", "4-Ø9 THRU", "6-M8 TAP",
    "FILLETS R3 UNLESS NOTED", "1. BREAK EDGES 0.5 X 45°", "2X .250", "10", "C2",
)  # fmt: skip


@pytest.mark.parametrize("text", NAMES)
def test_a_number_that_names_states_nothing(text: str) -> None:
    """Drawing numbers, dates, sheets, materials, note numbers (common practice, no source)."""
    assert not states_a_number(text)


@pytest.mark.parametrize("text", NUMBERS)
def test_a_size_is_never_taken_for_a_name(text: str) -> None:
    """Sizes, threads, scales, tolerances stay what they are."""
    assert states_a_number(text)
    assert states_a_number(f"DRAWING NO. 12\n{text}")


def test_a_hostile_text_takes_no_time() -> None:
    """Long runs of letters, digits and signs are read in one pass."""
    for piece in ("1/", "A-", "9.", "1 OF ", "REV 1 ", "a1_"):
        states_a_number(piece * 20_000)
