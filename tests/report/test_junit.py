"""JUnit XML: well formed, of the published form, and the same findings by a reader of others (junitparser).

There is no standard. The form held here is that of `junit-10.xsd`, the schema of the xUnit plug-in of a widely used CI
server (MIT licence, read in its public repository); no package of the index carries it, so its rules stand here again.
"""

import xml.etree.ElementTree as ET
from collections import Counter

import pytest
from hypothesis import given, settings
from junitparser import Error, Failure, JUnitXml, Skipped
from report.runs import HOSTILE, TEXTS, audited, finding, hostile_run, in_format, sample_results, told

from dimaudit.model.audit import Level, RuleFault, UnreadDrawing
from dimaudit.model.record import Accepted, Totals
from dimaudit.report.interface import CAUTION, whole
from dimaudit.report.junit import JunitReport

OUTCOMES = {"skipped", "error", "failure", "rerunFailure", "rerunError", "flakyFailure", "flakyError", "system-out",
            "system-err"}  # fmt: skip
SUITE = {"name", "tests", "failures", "errors", "group", "time", "skipped", "timestamp", "hostname", "id", "package",
         "file", "log", "url"}  # fmt: skip
FORM: dict[str, tuple[set[str], set[str], set[str]]] = {
    "testsuites": (set(), {"name", "time", "tests", "failures", "errors"}, {"testsuite"}),
    "testsuite": ({"name", "tests", "failures", "errors"}, SUITE,
                  {"testsuite", "properties", "testcase", "system-out", "system-err"}),
    "testcase": ({"name"}, {"name", "time", "classname", "group"}, OUTCOMES),
    "properties": (set(), set(), {"property"}),
    "property": ({"name", "value"}, {"name", "value"}, set()),
    **{tag: (set(), {"type", "message"}, set()) for tag in ("failure", "error", "skipped")},
    "system-out": (set(), set(), set()),
}  # fmt: skip
"""Element: the attributes that it must have, those that it may have, the elements that may stand in it."""
MIXED = {"failure", "error", "skipped", "system-out"}
"""Elements that may hold text."""


def suites(*args, **kw) -> ET.Element:
    return of_the_form(in_format("junit", *args, **kw))


def of_the_form(text: str) -> ET.Element:
    root = ET.fromstring(text)
    assert root.tag == "testsuites"
    for element in root.iter():
        needed, allowed, inside = FORM[element.tag]
        assert needed <= set(element.attrib) <= allowed
        assert {child.tag for child in element} <= inside
        if element.tag not in MIXED:
            assert not "".join([element.text or "", *(child.tail or "" for child in element)]).strip()
    for suite in root:
        cases = suite.findall("testcase")
        count = Counter(child.tag for case in cases for child in case)
        said = [int(suite.attrib[name]) for name in ("tests", "failures", "errors", "skipped")]
        assert said == [len(cases), count["failure"], count["error"], count["skipped"]]
        names = [case.attrib["name"] for case in cases]
        assert len(set(names)) == len(names)
    return root


def cases(results, **kw):
    """Suite, name, kind of outcome, its type and message of each case, by junitparser."""
    for suite in JUnitXml.fromstring(in_format("junit", results, **kw).encode()):
        for case in suite:
            outcome = case.result[0] if case.result else None
            yield suite.name, case.name, type(outcome), getattr(outcome, "type", None), getattr(outcome, "message", "")


@pytest.mark.parametrize(
    "change",
    [('tests="', 'test="'), ("<failure", "<failed"), ('failures="0"', 'failures="7"'), ("<testsuites", "<suites"),
     (' classname="', ' time="1" of="'), ("</testsuite>", "text</testsuite>")],
)  # fmt: skip
def test_what_is_not_of_the_form_is_seen(change):
    """The check can fail."""
    text = in_format("junit", sample_results())
    of_the_form(text)
    wrong = text.replace(*change).replace("</failure", "</failed") if "failed" in change[1] else text.replace(*change)
    wrong = wrong.replace("</testsuites", "</suites") if change[1] == "<suites" else wrong
    assert wrong != text
    with pytest.raises((AssertionError, KeyError)):
        of_the_form(wrong)


def test_equal_names_are_numbered():
    """A CI tells test cases by their names."""
    a, b = finding("a"), finding("a")
    names = [case[1] for case in cases([audited(a, b, b)])]
    assert names == ["wrong-value a, 2E5", "wrong-value a, 2E5 (2)", "wrong-value a, 2E5 (3)"]


def test_the_samples_say_the_same_as_the_json_report():
    """A failure for each error and warning, a case that passes for each note, in the order of the report."""
    suites(sample_results())
    found = []
    for suite, name, outcome, level, _ in cases(sample_results()):
        if name != "audit" and outcome is not Skipped and not name.startswith("not judged"):
            found.append((suite, name.split()[0], level if outcome is Failure else "note"))
    assert found == [(path, rule, level) for path, rule, level, _ in told(sample_results())]
    assert len(found) > 50


def test_a_clean_drawing_is_one_case_that_passes():
    found = list(cases([audited()]))
    assert found == [("print.dxf", "audit", type(None), None, "")]


def test_a_drawing_without_dimensions_is_no_pass():
    ((_, name, outcome, _, message),) = cases([audited(dimensions=0)])
    assert (name, outcome) == ("audit", Skipped)
    assert "nothing to check" in message


def test_what_is_not_judged_is_skipped_with_its_reason():
    found = list(cases([audited(reasons=["symbolic: a word", "unreadable: two points"])]))
    assert [(outcome, message) for _, _, outcome, _, message in found if outcome is Skipped] == [
        (Skipped, "1 × symbolic: a word"), (Skipped, "1 × unreadable: two points")
    ]  # fmt: skip


def test_what_was_not_read_is_said():
    root = suites([audited(losses=["ATTRIB"])])
    assert root[0].findtext("system-out") == "not read: 2 × ATTRIB: ATTRIB"


def test_an_unread_file_is_an_error():
    found = list(cases([UnreadDrawing("a.dxf", "no DXF")]))
    assert found == [("a.dxf", "audit", Error, "unread", "no DXF")]


def test_a_fault_of_the_tool_is_an_error():
    found = list(cases([audited()], faults=[RuleFault("a.dxf", "gap", "KeyError: 1")]))
    assert found[-1] == ("dimaudit", "gap on a.dxf", Error, "fault of the tool", "KeyError: 1")


def test_an_accepted_finding_is_skipped_with_its_reason():
    kept = Accepted(finding("old"), "agreed", "ines")
    skipped = [c for c in cases([audited(accepted=[kept])]) if c[2] is Skipped]
    assert [(c[3], c[4]) for c in skipped] == [("accepted", "accepted by ines: agreed")]


def test_the_reasons_and_the_caution_are_in_it():
    root = suites([audited(finding("2.135"))])
    failure = root.find(".//failure")
    assert failure is not None
    assert failure.attrib["message"] == "2.135"
    assert (failure.text or "").splitlines()[1:] == ["2.135", "why", "to do: 2.135"]
    assert CAUTION in [p.attrib["value"] for p in root.iter("property")]


def test_remarks_are_told():
    report = JunitReport("1")
    text = report.begin() + report.end(Totals(remarks=("an accepted finding <is> expired",)))
    assert ET.fromstring(text)[0].findtext("system-out") == "an accepted finding <is> expired"


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_texts(text):
    """Well formed by XML 1.0, and nothing but our own elements."""
    results, faults = hostile_run(text)
    root = suites(results, faults=faults)
    assert len(root.findall(".//failure")) == 2
    assert len(root.findall(".//error")) == 2


@settings(max_examples=100, deadline=None)
@given(TEXTS)
def test_any_text_is_well_formed(text):
    results, faults = hostile_run(text)
    suites(results, faults=faults)


def test_an_empty_run():
    assert len(suites([])) == 1


def test_no_clock_is_read():
    """The schema asks for no time, and a made-up one would be a lie; the same run gives the same bytes."""
    text = in_format("junit", sample_results())
    assert "time" not in {name for e in ET.fromstring(text).iter() for name in e.attrib}
    assert text == in_format("junit", sample_results())


def test_levels_are_types():
    found = {c[3] for c in cases([audited(*(finding("a", level) for level in Level))]) if c[2] is Failure}
    assert found == {"error", "warning"}
    assert whole(JunitReport("1"), [audited(finding("a", Level.NOTE))]).count("<failure") == 0
