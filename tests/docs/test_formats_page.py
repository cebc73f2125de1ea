"""The page of the report formats says what the code does."""

import re
from pathlib import Path

import pytest

from dimaudit.cli.check import FORMATS
from dimaudit.report.csv_table import HEADINGS
from dimaudit.report.plain_lines import LONGEST
from dimaudit.report.sarif import BASE, NOTICES
from dimaudit.report.schemas import SCHEMAS, schema

PAGE = (Path(__file__).parents[2] / "docs" / "formats.md").read_text(encoding="utf-8")
HEAD, *_ = PAGE.split("\n## ")


def first_column(title: str) -> list[str]:
    """The names in the first column of a section's tables."""
    body = PAGE.split(f"\n## {title}\n")[1].split("\n## ")[0]
    return [name for row in re.findall(r"^\| (`.*?) \|", body, re.MULTILINE) for name in re.findall(r"`([^`]+)`", row)]


def test_every_format_has_its_row():
    assert sorted(re.findall(r"^\| `([a-z]+)` \|", HEAD, re.MULTILINE)) == sorted(FORMATS)
    assert all(f"`{SCHEMAS[name]}`" in HEAD for name in ("check", "check-lines"))


def test_the_columns_are_those_of_the_table():
    assert first_column("csv") == list(HEADINGS)


def test_the_kinds_of_lines_are_those_of_the_schema():
    kinds = [one["properties"]["kind"]["const"] for one in schema("check-lines")["$defs"].values()
             if "kind" in one.get("properties", {})]  # fmt: skip
    assert sorted(first_column("jsonl")) == sorted(kinds)


@pytest.mark.parametrize("word", [*NOTICES, BASE, "dimauditIdentity/v1"])
def test_the_names_of_the_log_are_on_the_page(word):
    assert f"`{word}`" in PAGE


def test_the_longest_text_is_the_one_in_force():
    assert f"longer than {LONGEST} characters" in " ".join(PAGE.split())
