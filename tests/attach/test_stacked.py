"""Which single-line texts stand line under line."""

from fractions import Fraction as F

from dimaudit.attach.stacked import Stacks
from dimaudit.model.drawing import Note, Origin


def note(x: str, y: str, words: str = "4 PLACES", height: str = "0.125", turn: int = 0) -> Note:
    origin = Origin("1A", "NOTES")
    return Note(origin, words, (F(x), F(y)), F(height), F(turn))


def below(*notes: Note) -> int | None:
    return Stacks(notes).below(0)


def test_the_next_line():
    assert below(note("1", "1"), note("1", "0.8"), note("1", "0.6")) == 1


def test_the_line_above_is_the_same_seen_from_below():
    stacks = Stacks([note("1", "1"), note("1", "0.8")])
    assert (stacks.above(1), stacks.above(0)) == (0, None)


def test_the_file_may_have_them_in_any_order():
    assert below(note("1", "1"), note("1", "0.6"), note("1", "0.8")) == 2


def test_a_row_of_a_table_is_too_far_below():
    assert below(note("1", "1"), note("1", "0.7")) is None


def test_letters_of_another_height_are_another_text():
    assert below(note("1", "1"), note("1", "0.8", height="0.1")) is None


def test_a_text_further_in_is_another_one():
    assert below(note("1", "1"), note("1.1", "0.8")) is None


def test_turned_lines_stand_beside_one_another():
    """Turned by 90 degrees, the next line is to the right."""
    assert below(note("1", "1", turn=90), note("1.2", "1", turn=90), note("1", "0.8", turn=90)) == 1


def test_below_a_text_of_two_lines():
    assert below(note("1", "1", "Ø.281 THRU\\P⌴ Ø.438"), note("1", "0.8"), note("1", "0.6")) == 1
