"""A finding has one number, wherever it is looked at: page, picture, Markdown, marked copy and its table."""

import json
import re
from html.parser import HTMLParser
from pathlib import Path

import ezdxf
import pytest
from click.testing import CliRunner

from dimaudit.cli import cli

SAMPLES = Path(__file__).parent.parent.parent / "samples"
LABEL = re.compile(r"[EWN]\d+")


class Items(HTMLParser):
    """What stands on each item of the page's list: the label and the message."""

    def __init__(self) -> None:
        super().__init__()
        self.said: dict[str, str] = {}
        self._kind = ""
        self._label = ""

    def handle_starttag(self, tag, attrs):  # noqa: ARG002
        kind = dict(attrs).get("class") or ""
        if kind.startswith("mark ") or kind == "said":
            self._kind = kind.split()[0]

    def handle_data(self, data):
        if self._kind == "mark" and LABEL.fullmatch(data.strip()):
            self._label = data.strip()
        if self._kind == "said":
            self.said[self._label] = data
        self._kind = ""


def run(*args: object) -> str:
    result = CliRunner().invoke(cli, [*map(str, args)], catch_exceptions=False)
    assert result.exit_code in (0, 1), result.output  # 1: findings
    return result.stdout


@pytest.fixture
def jig(tmp_path):
    """A print whose findings are not by level in the order of the rules."""
    path = SAMPLES / "cleat-drill-jig.dxf"
    run("check", path, "--format", "json", "--output", tmp_path / "r.json")
    found = json.loads((tmp_path / "r.json").read_text())["drawings"][0]["findings"]
    levels = [f["level"] for f in found]
    assert levels != sorted(levels, key=["error", "warning", "note"].index)
    return path, found


def test_one_number_in_every_report(jig, tmp_path):
    path, found = jig
    order = ["error", "warning", "note"]
    ranked = sorted(found, key=lambda f: order.index(f["level"]))
    wanted = {f"{f['level'][0].upper()}{n}": f["message"] for n, f in enumerate(ranked, 1)}

    run("check", path, "--format", "html", "--output", tmp_path / "r.html")
    items = Items()
    items.feed((tmp_path / "r.html").read_text("utf-8"))
    assert items.said == wanted

    titles = re.findall(r"<g><title>([EWN]\d+) \w+: [\w-]+: (.*?)</title>", run("picture", path))
    assert titles
    assert all(wanted[label] == message for label, message in titles)

    run("check", path, "--format", "markdown", "--output", tmp_path / "r.md")
    rows = re.findall(r"^\| ([EWN]\d+) \| \w+ \| [\w-]+ \| (.*?)(?:<br>| \|)", (tmp_path / "r.md").read_text(), re.M)
    assert dict(rows) == {label: message.replace("~", "&#126;") for label, message in wanted.items()}

    run("mark", path, "--out", tmp_path / "m.dxf")
    marks = [e for e in ezdxf.readfile(tmp_path / "m.dxf").modelspace().query("TEXT") if e.has_xdata("DIMAUDIT")]
    assert {e.dxf.text for e in marks if LABEL.fullmatch(e.dxf.text)} >= set(wanted)


def test_a_close_up_is_asked_for_by_that_number(jig):
    """With the letter or without: both are on the marks that a person reads."""
    path, found = jig
    last = f"N{len(found)}"
    assert last in run("picture", path, "--finding", last)
    assert run("picture", path, "--finding", last) == run("picture", path, "--finding", len(found))


@pytest.mark.parametrize("value", ["0", "-1", "E", "x3", "E0", "3E", "9" * 500, "²"])
def test_what_is_no_number_of_a_finding_is_refused(value):
    result = CliRunner().invoke(cli, ["picture", str(SAMPLES / "cleat-drill-jig.dxf"), "--finding", value])
    assert result.exit_code == 2
    assert "write it as 3 or E3" in result.output
