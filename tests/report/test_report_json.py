"""The JSON report against its own schema and its promise that exact values are strings."""

import json
from fractions import Fraction
from pathlib import Path

import jsonschema
import pytest
from read.sketch import Sketch
from reporting import report_of

from dimaudit.model.scheme import Implied
from dimaudit.model.settings import Settings
from dimaudit.report.schemas import schema

SAMPLES = Path(__file__).parent.parent.parent / "samples"
DRAWINGS = sorted(SAMPLES.glob("*.dxf"))


def report(*paths: Path) -> dict:
    return json.loads(report_of(paths, "json"))


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


def test_what_is_free_is_in_the_report_with_its_place(tmp_path):
    """A hole that nothing places: free along x and along y, at its drawn centre, and in size."""
    sketch = Sketch()
    sketch.chain((0, 0), (0, 3), (2, 3), (2, 0), (0, 0))
    sketch.circle(("1.25", "1.5"), "0.25")
    sketch.across((0, 0), (2, 0), text="2.000")
    sketch.upright((0, 0), (0, 3), text="3.000")
    (drawing,) = report(sketch.save(tmp_path))["drawings"]
    (scheme,) = drawing["schemes"]
    free = {f["axis"]: f for f in scheme["free"] if any("circle" in p["name"] for p in f["places"])}
    assert set(free) == {"x", "y", "radius"}
    (centre,) = free["x"]["places"]
    assert (centre["x"]["exact"], centre["y"]["decimal"], centre["radius"]) == ("5/4", "1.5", None)
    (size,) = free["radius"]["places"]
    assert size["radius"] == {"decimal": "0.25", "exact": "1/4"}
    assert scheme["missing"] == 3
    assert scheme["why_not"] is None
    assert "level" in scheme["implied"]


def test_a_closed_chain_is_in_the_report_with_its_signs(tmp_path):
    """Two steps and their whole: the loop's steps, each with its sign, sum up to its dimension."""
    sketch = Sketch()
    sketch.chain((0, 0), (0, 3), (1, 3), (1, 2), (3, 2), (3, 0), (0, 0))
    first = sketch.across((0, 3), (1, 3), y=4, text="1.000")
    second = sketch.across((1, 2), (3, 2), y=4, text="2.000")
    whole = sketch.across((0, 0), (3, 0), text="3.000")
    sketch.upright((0, 0), (0, 3), text="3.000")
    lengths = {str(first.dxf.handle): 1, str(second.dxf.handle): 2, str(whole.dxf.handle): 3}
    (drawing,) = report(sketch.save(tmp_path))["drawings"]
    (loop,) = drawing["schemes"][0]["loops"]
    assert loop["straight"]
    assert lengths[loop["dimension"]] == sum(s["sign"] * lengths[s["dimension"]] for s in loop["steps"])


def test_what_must_not_be_implied_is_in_the_settings():
    """By the words of the option."""
    settings = Settings(taken_as_implied=(Implied.LEVEL, Implied.MEETS))
    body = json.loads(report_of(DRAWINGS[:1], "json", settings))
    assert body["drawings"][0]["settings"]["not_implied"] == ["in-line", "tangent", "equal", "symmetric", "projected"]
    assert set(body["drawings"][0]["schemes"][0]["implied"]) <= {"level", "meets"}


def test_a_hole_notes_spacing_and_a_chamfer_are_in_the_report(tmp_path):
    """What the text says beside the size."""
    sketch = Sketch()
    sketch.chain((0, 0), (0, 3), (2, 3), (2, 0), (0, 0))
    sketch.across((0, 0), (2, 0), text="6X %%c.250 @ 60%%d")
    sketch.across((0, 3), (2, 3), y=4, text="2 X 45%%d")
    (drawing,) = report(sketch.save(tmp_path))["drawings"]
    jsonschema.validate(report(sketch.save(tmp_path)), schema(), cls=jsonschema.Draft202012Validator)
    holes, chamfer = (d["stated"] for d in drawing["dimensions"])
    assert holes["hole_note"]["spacing"] == "60"
    assert chamfer["chamfer"] == {"angle": "45", "leg": None}


def test_the_same_run_gives_the_same_bytes():
    """Two runs over the same files give the same bytes."""
    once = report_of(DRAWINGS, "json")
    again = report_of(DRAWINGS, "json")
    assert once == again
