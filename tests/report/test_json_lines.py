"""JSON Lines: an object a line by the shipped schema, saying the same as the JSON report."""

import json
from collections import Counter

import jsonschema
import pytest
from hypothesis import given, settings
from report.runs import HOSTILE, TEXTS, audited, finding, hostile_run, in_format, sample_results, told

from dimaudit.model.record import Totals
from dimaudit.report.json_lines import JsonLinesReport
from dimaudit.report.schemas import schema

VALID = jsonschema.Draft202012Validator(schema("check-lines"))


def lines(*args, **kw) -> list[dict]:
    """The objects. A line ends with LF (jsonlines.org), and no reader of lines finds more of them."""
    text = in_format("jsonl", *args, **kw)
    assert text.endswith("\n")
    assert text.splitlines() == text.removesuffix("\n").split("\n")
    found = [json.loads(line) for line in text.splitlines()]
    for one in found:
        VALID.validate(one)
    assert (found[0]["kind"], found[-1]["kind"]) == ("run", "summary")
    return found


def test_the_schema_is_a_schema_and_rejects():
    """A line of no kind, with a field too many or too few, is none."""
    jsonschema.Draft202012Validator.check_schema(schema("check-lines"))
    good = next(one for one in lines(sample_results()) if one["kind"] == "finding")
    for bad in ({**good, "kind": "other"}, {**good, "more": 1}, {k: v for k, v in good.items() if k != "rule"}):
        assert not VALID.is_valid(bad)


def test_the_samples_say_the_same_as_the_json_report():
    """Findings with all their fields, drawings with their coverage, and the same summary."""
    found = lines(sample_results())
    whole = json.loads(in_format("json", sample_results()))
    assert [(f["path"], f["rule"], f["level"], tuple(f["handles"])) for f in found if f["kind"] == "finding"] == told(
        sample_results()
    )
    for drawing in whole["drawings"]:
        own = [one for one in found if one.get("path") == drawing["path"]]
        assert own[0]["kind"] == "drawing"
        assert all(own[0][name] == drawing[name] for name in ("sha256", "units", "coverage", "losses"))
        assert [{k: v for k, v in f.items() if k not in ("kind", "path")} for f in own[1:]] == drawing["findings"]
        assert Counter(f["level"] for f in own[1:]) == Counter({k: own[0][k] for k in ("error", "warning", "note")})
    assert {k: v for k, v in found[-1].items() if k != "kind"} == whole["summary"]


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_texts(text):
    results, faults = hostile_run(text)
    kinds = Counter(one["kind"] for one in lines(results, faults=faults))
    assert kinds == {"run": 1, "drawing": 2, "finding": 3, "accepted": 1, "unread": 1, "fault": 1, "summary": 1}


@settings(max_examples=50, deadline=None)
@given(TEXTS)
def test_any_text_comes_back(text):
    """Texts are kept whole: what is no Unicode comes back as it was, since JSON has an escape for it."""
    results, faults = hostile_run(text)
    back = [one for one in lines(results, faults=faults) if one["kind"] == "unread"]
    assert back[0]["why"].encode("utf-16", "surrogatepass") == text.encode("utf-16", "surrogatepass")


def test_remarks_are_lines():
    told_ = JsonLinesReport("1").end(Totals(remarks=("one is expired",))).splitlines()
    assert json.loads(told_[0]) == {"kind": "remark", "text": "one is expired"}


def test_an_empty_run():
    assert [one["kind"] for one in lines([])] == ["run", "summary"]


def test_a_finding_has_its_drawing():
    found = lines([audited(finding("a"), path="b.dxf")])
    assert [one["path"] for one in found[1:3]] == ["b.dxf", "b.dxf"]
