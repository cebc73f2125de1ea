"""Workflow commands: read back by the grammar of the CI's public documentation.

What the public pages say, and the two functions of its public toolkit that escape a message (`%`, CR, LF) and a
property (also `:` and `,`): a line that begins with `::` is `::name key=value,key=value::message`. Read.
"""

import re

import pytest
from hypothesis import given
from report.runs import HOSTILE, TEXTS, audited, finding, hostile_run, in_format, sample_results, told

from dimaudit.model.audit import Level, RuleFault, UnreadDrawing
from dimaudit.model.record import Totals
from dimaudit.report.interface import CAUTION
from dimaudit.report.visible import visible
from dimaudit.report.workflow import WorkflowReport

LEVELS = {"error": "error", "warning": "warning", "notice": "note"}
OURS = re.compile(r"dimaudit 1\.2: drawings \d+, not read \d+, dimensions \d+, judged \d+, errors \d+, warnings \d+, "
                  r"notes \d+, accepted \d+")  # fmt: skip


def back(text: str, signs: str) -> str:
    """Unescaped as the runner does it: the sign that escapes comes last."""
    for sign in signs:
        text = text.replace(f"%{ord(sign):02X}", sign)
    return text.replace("%25", "%")


def commands(*args, **kw) -> list[tuple[str, dict[str, str], str]]:
    """Each line as a runner reads it; every line but the last two is a command that we meant."""
    text = in_format("workflow", *args, **kw)
    *lines, caution, totals = re.split(r"\r\n|\r|\n", text.removesuffix("\n"))
    assert caution == CAUTION
    assert OURS.fullmatch(totals)
    found = []
    for line in lines:
        name, given_, message = re.fullmatch(r"::(error|warning|notice) (.*?)::(.*)", line).groups()
        values = dict(part.split("=", 1) for part in given_.split(","))
        assert set(values) <= {"file", "title"}
        found.append((name, {k: back(v, "\r\n:,") for k, v in values.items()}, back(message, "\r\n")))
    return found


def test_the_samples_say_the_same_as_the_json_report():
    """Every finding, with its level; those of a drawing by their levels, errors first."""
    found = [
        (values["file"], values["title"].split()[0], LEVELS[name])
        for name, values, _ in commands(sample_results())
        if not values["title"].startswith("not judged")
    ]
    paths = list(dict.fromkeys(path for path, *_ in told(sample_results())))
    expected = sorted(told(sample_results()), key=lambda f: (paths.index(f[0]), list(Level).index(Level(f[2]))))
    assert found == [(path, rule, level) for path, rule, level, _ in expected]
    assert len(found) > 50


def test_a_message_has_its_reasons_on_lines_of_their_own():
    ((_, values, message),) = commands([audited(finding("2.135"))])
    assert message.split("\n") == ["2.135", "2.135, 2.135, 2.135", "2.135", "why", "to do: 2.135"]
    assert values == {"file": "print.dxf", "title": "wrong-value 2.135, 2E5"}


def test_escapes_worked_by_hand():
    """100 % of a,b: the per cent sign, the comma and the colon in a property; only the first in a message."""
    text = in_format("workflow", [audited(finding("100% a,b:c"))])
    assert "title=wrong-value 100%25 a%2Cb%3Ac%2C 2E5::100%25 a,b:c%0A" in text


def test_what_else_there_is_to_say():
    found = commands([UnreadDrawing("b.dxf", "no DXF"), audited(reasons=["symbolic"], losses=["ATTRIB"])],
                     faults=[RuleFault("a.dxf", "gap", "KeyError")])  # fmt: skip
    assert [(name, message) for name, _, message in found] == [
        ("error", "no DXF"), ("notice", "not judged: 1 × symbolic\nnot read: 2 × ATTRIB: ATTRIB"),
        ("error", "KeyError\nplease report it with the drawing"),
    ]  # fmt: skip
    remarked = WorkflowReport("1").end(Totals(remarks=("one is expired\n::error::x",)))
    assert remarked.splitlines()[0] == "::warning title=dimaudit::one is expired ::error::x"


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_texts(text):
    """No text ends its line or begins a command."""
    results, faults = hostile_run(text)
    found = commands(results, faults=faults)
    shown = visible(text, 2000).encode("utf-8", "backslashreplace").decode()
    assert [name for name, _, _ in found] == ["error", "warning", "notice", "notice", "notice", "error", "error"]
    assert found[-1][2].startswith(shown)
    assert found[-2][1].get("file", "") == shown


@given(TEXTS)
def test_no_text_becomes_a_command(text):
    results, faults = hostile_run(text)
    assert len(commands(results, faults=faults)) == 7


def test_the_totals_are_the_last_line_of_an_empty_run():
    assert commands([]) == []
