"""The examples of docs/dimension-text.md."""

import re
from pathlib import Path

import pytest
from text.describing import described

from dimaudit.model.drawing import Kind
from dimaudit.text.call_out import read_call_out
from dimaudit.text.grammar import LONGEST, read_text
from dimaudit.text.vocabulary import UNITS, WORDS

PAGE = (Path(__file__).parents[2] / "docs" / "dimension-text.md").read_text(encoding="utf-8")
EXAMPLES = re.findall(r"^\| `(.+)` \| (linear|angular|note) \| (.+) \|$", PAGE, re.MULTILINE)


def test_examples_are_found() -> None:
    """The page's table is read as a whole: as many examples as its rows."""
    table = PAGE.split("## Examples")[1].split("## Writing a reading")[0]
    assert len(EXAMPLES) == sum(line.startswith("| `") for line in table.splitlines()) > 25


@pytest.mark.parametrize(("raw", "kind", "reading"), EXAMPLES)
def test_example_of_the_page(raw: str, kind: str, reading: str) -> None:
    """Each example of the page reads as the page says."""
    found = read_call_out(raw) if kind == "note" else read_text(raw, kind=Kind(kind))
    assert described(found) == reading


@pytest.mark.parametrize("word", [*WORDS, *UNITS])
def test_vocabulary_is_on_the_page(word: str) -> None:
    """Every word and unit of the vocabulary stands in the page's grammar."""
    assert f'"{word.replace("EQ. SP", "EQ SP")}"' in PAGE or f"'{word}'" in PAGE


def test_longest_text_is_on_the_page() -> None:
    """The page names the length beyond which nothing is read."""
    assert f"more than {LONGEST} characters" in PAGE
