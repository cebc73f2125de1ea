"""The JSON report against its own schema and its promise that exact values are strings."""

import json
from fractions import Fraction
from pathlib import Path

import jsonschema
import pytest

from dimaudit.cli import run
from dimaudit.model.settings import Settings
from dimaudit.report.interface import Run
from dimaudit.report.json_report import json_report, schema

SAMPLES = Path(__file__).parent.parent.parent / "samples"
DRAWINGS = sorted(SAMPLES.glob("*.dxf"))


def report(*paths: Path) -> dict:
    return json.loads(json_report(Run(run(list(paths), Settings(), ""), Settings(), "0.0")))


def test_the_schema_is_a_schema():
    """The shipped schema is itself valid under the draft that it names."""
    jsonschema.Draft202012Validator.check_schema(schema())


@pytest.mark.parametrize("path", DRAWINGS, ids=lambda p: p.name)
def test_reports_fit_the_schema(path):
    """The report of each sample fits the shipped schema."""
    jsonschema.validate(report(path), schema(), cls=jsonschema.Draft202012Validator)


def test_an_unread_file_fits_the_schema(tmp_path):
    """A file that could not be read is an entry of its own, with the reason."""
    bad = tmp_path / "bad.dxf"
    bad.write_bytes(b"AC1027 not text")
    body = report(bad)
    jsonschema.validate(body, schema(), cls=jsonschema.Draft202012Validator)
    assert "DWG" in body["drawings"][0]["unread"]
    assert body["summary"]["unread"] == 1


def test_exact_values_are_strings():
    """No number in the report is a float but the place to look at."""

    def walk(value, key=""):
        if isinstance(value, float):
            assert key == "at"
        elif isinstance(value, dict):
            for k, v in value.items():
                walk(v, k)
        elif isinstance(value, list):
            for v in value:
                walk(v, key)

    walk(report(*DRAWINGS))


def test_residual_is_measured_less_stated():
    """For every rational dimension the residual is exactly measured minus stated."""
    checked = 0
    for drawing in report(*DRAWINGS)["drawings"]:
        for d in drawing["dimensions"]:
            residual = d["residual"]
            if residual and "exact" in residual and d["stated"]["unit"] is None:
                assert Fraction(residual["exact"]) == Fraction(d["measured"]["exact"]) - Fraction(d["stated"]["value"])
                checked += 1
    assert checked > 50


def test_the_same_run_gives_the_same_bytes():
    """Two runs over the same files give the same bytes."""
    once = json_report(Run(run(DRAWINGS, Settings(), ""), Settings(), "0.0"))
    again = json_report(Run(run(DRAWINGS, Settings(), ""), Settings(), "0.0"))
    assert once == again
