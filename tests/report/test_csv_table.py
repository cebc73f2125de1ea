"""The table of findings: read back by Python's own library, as RFC 4180 has it; no cell is a formula."""

import csv
import re
from io import StringIO

import pytest
from hypothesis import given
from report.runs import HOSTILE, TEXTS, audited, finding, hostile_run, in_format, sample_results, told

from dimaudit.model.audit import RuleFault, UnreadDrawing
from dimaudit.model.record import Accepted, Totals
from dimaudit.report.cells import STARTS
from dimaudit.report.csv_table import HEADINGS, CsvReport

LEVELS = {"error", "warning", "note"}


def table(*args, **kw) -> list[dict[str, str]]:
    """The rows; every row has every cell."""
    text = in_format("csv", *args, **kw)
    assert text.startswith("\ufeff")
    assert "\n" not in text.replace("\r\n", "")  # RFC 4180, 2.1: lines end with CR LF; ours hold no other line end
    assert "\r" not in text.replace("\r\n", "")
    head, *rows = csv.reader(StringIO(text.removeprefix("\ufeff"), newline=""), strict=True)
    assert head == list(HEADINGS)
    assert all(len(row) == len(head) for row in rows)  # RFC 4180, 2.4
    return [dict(zip(head, row, strict=True)) for row in rows]


def handles(row: dict[str, str]) -> tuple[str, ...]:
    return tuple(re.findall(r"\[([^\]]*)\]", row["handles"]))


def test_the_samples_say_the_same_as_the_json_report():
    """A row for each finding, in the order of the report."""
    found = [(r["drawing"], r["rule"], r["level"], handles(r)) for r in table(sample_results()) if r["level"] in LEVELS]
    assert found == told(sample_results())
    assert len(found) > 50


def test_the_place_is_two_numbers():
    """A negative one stays a number."""
    (row,) = table([audited(finding("a"))])
    assert (float(row["at_x"]), float(row["at_y"])) == (-1.5, 2.0)


def test_a_handle_is_never_taken_for_a_number():
    """2E5 alone would be 200000."""
    (row,) = table([audited(finding("a"))])
    assert row["handles"] == "[a] [2E5]"


def test_what_else_there_is_to_say():
    """Files and texts that were not read, dimensions that were not judged, accepted findings, faults, remarks."""
    kept = Accepted(finding("old"), "agreed", "ines")
    rows = table(
        [audited(accepted=[kept], reasons=["symbolic"], losses=["ATTRIB"]), UnreadDrawing("b.dxf", "no DXF")],
        faults=[RuleFault("a.dxf", "gap", "KeyError")],
    )
    assert [(r["drawing"], r["level"], r["message"], r["accepted"]) for r in rows] == [
        ("print.dxf", "error", "old", "ines: agreed"), ("print.dxf", "not judged", "1 × symbolic", ""),
        ("print.dxf", "not read", "2 × ATTRIB: ATTRIB", ""), ("b.dxf", "unread", "no DXF", ""),
        ("a.dxf", "fault", "KeyError", ""),
    ]  # fmt: skip
    assert CsvReport("1").end(Totals(remarks=("one is expired",))).count("one is expired") == 1


def harmless(rows: list[dict[str, str]]) -> None:
    for row in rows:
        for name, cell in row.items():
            if name not in ("at_x", "at_y"):
                assert cell.strip()[:1] not in STARTS or not cell.strip()
                assert not re.search(r"[\x00-\x1f\x7f\u202a-\u202e]", cell)


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_texts(text):
    results, faults = hostile_run(text)
    rows = table(results, faults=faults)
    assert len([r for r in rows if r["level"] in LEVELS]) == 4
    harmless(rows)


@given(TEXTS)
def test_no_text_is_a_formula(text):
    results, faults = hostile_run(text)
    harmless(table(results, faults=faults))


def test_an_empty_run_has_its_headings():
    assert table([]) == []
