"""The Markdown summary: what comes from a drawing is text and nothing else, and each finding is in it."""

from collections import Counter
from html.parser import HTMLParser
from pathlib import Path

import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st
from markdown_it import MarkdownIt
from reporting import told
from rules.rule_board import Board

from dimaudit.cli import cli
from dimaudit.model.audit import Level, RuleFault, UnreadDrawing
from dimaudit.model.marks import numbered
from dimaudit.model.settings import Settings
from dimaudit.pipeline import audit_file
from dimaudit.report.interface import CAUTION, whole
from dimaudit.report.markdown import OPEN_ROWS, MarkdownReport, plain

SAMPLES = sorted((Path(__file__).parent.parent.parent / "samples").glob("*.dxf"))
OURS = {"h2", "h3", "p", "strong", "table", "thead", "tbody", "tr", "th", "td", "details", "summary", "br",
        "blockquote", "ul", "li"}  # fmt: skip


class Shown(HTMLParser):
    """What a browser makes of HTML: its elements, and the text in them."""

    def __init__(self) -> None:
        super().__init__()
        self.elements: Counter[str] = Counter()
        self.attributes: set[str] = set()
        self.text = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements[tag] += 1
        self.attributes |= {name for name, _ in attrs}
        self.text += " " if tag == "br" else ""

    def handle_comment(self, data: str) -> None:
        raise AssertionError(f"a comment hides {data!r}")

    def handle_data(self, data: str) -> None:
        self.text += data


def shown(text: str) -> Shown:
    """Rendered by a general-purpose library that follows CommonMark, with tables and raw HTML as on a pull request."""
    page = Shown()
    page.feed(MarkdownIt("commonmark", {"html": True}).enable(["table", "strikethrough"]).render(text))
    page.close()
    return page


def summary(*results: object, faults: tuple[RuleFault, ...] = ()) -> str:
    return whole(MarkdownReport("1.2"), map(told, results), faults)  # type: ignore[arg-type]


HOSTILE = [
    "a | b", "`code`", "<img src=x onerror=alert(1)>", "<!-- hidden", "</td></tr></table>", "[a](http://b.c)",
    "![a](http://b.c)", "@everyone", "someone@yard.example", "#12", "GH-12", "http://b.c", "www.b.c", "&lt;b&gt;",
    "**bold** _a_ ~~gone~~", "\\|", "$x$", ":anchor:", "a\nb", "# heading", "\u202egnp", "<details>", "```", "| --- |",
    "[^1]", "<https://b.c>", "&amp;#64;all",
]  # fmt: skip


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_is_shown_as_text(text: str):
    """In a cell of a table, where most of the markup would count."""
    page = shown(f"| a | b |\n|---|---|\n| {plain(text)} | next |\n")
    assert page.elements == {"table": 1, "thead": 1, "tbody": 1, "tr": 2, "th": 2, "td": 2}
    said = " ".join(page.text.split()).replace("\u200b", "")
    expected = text.replace("\n", " ").replace("\u202e", "\\x202e")
    assert said == f"a b {expected} next"


@pytest.mark.parametrize("text", ["@everyone", "a@b.example", "#12", "GH-12", "https://b.c", "www.b.c", ":anchor:"])
def test_what_is_looked_for_in_the_shown_text_is_taken_apart(text: str):
    """Mentions, references and bare links are made from the text as shown, not from the source."""
    assert text not in shown(plain(text)).text
    assert text in shown(plain(text)).text.replace("\u200b", "")


@given(st.text(max_size=80))
def test_no_text_makes_an_element(text: str):
    """Whatever a drawing says, the table keeps its cells and nothing else comes to be."""
    page = shown(f"| a | b |\n|---|---|\n| x{plain(text)} | next |\n")
    assert page.elements == {"table": 1, "thead": 1, "tbody": 1, "tr": 2, "th": 2, "td": 2}
    assert not page.attributes


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda p: p.stem)
def test_each_finding_is_a_row(sample: Path):
    """With its number, level in words, rule and handles; those in the fold, too; and the counts agree."""
    audit, _ = audit_file(sample, Settings())
    text = summary(audit)
    rows = [line.split(" | ") for line in text.splitlines() if line.startswith(("| E", "| W", "| N"))]
    expected = [(one.label, str(one.finding.level), one.finding.rule) for one in numbered(audit.findings)]
    assert [(row[0].removeprefix("| "), row[1], row[2]) for row in rows] == expected
    page = shown(text)
    assert set(page.elements) <= OURS
    folded = len(audit.findings) - OPEN_ROWS
    assert (f"{folded} more of {len(audit.findings)} findings" in page.text) == (folded > 0)
    assert CAUTION in " ".join(page.text.split())


def test_numbers_put_the_worst_first():
    """The numbers are those of the marked copy."""
    audit, _ = audit_file(SAMPLES[2], Settings())
    levels = [one.finding.level for one in numbered(audit.findings)]
    assert levels == sorted(levels, key=list(Level).index)
    assert [one.number for one in numbered(audit.findings)] == list(range(1, len(levels) + 1))


def test_hostile_names_of_files_and_faults_are_text():
    page = shown(
        summary(UnreadDrawing("<b>|x`.dxf", "no | drawing\n# at all"), faults=(RuleFault("a|b", "r<i>", "*e*"),))
    )
    assert set(page.elements) <= OURS
    assert page.elements["td"] == 7
    for part in ("<b>|x`.dxf", "no | drawing # at all", "r<i> on a|b: *e*", "1 file not read", "could not be read"):
        assert part in page.text


def test_hostile_text_of_a_drawing(tmp_path: Path):
    board = Board()
    board.plate(3, 2)
    board.across((0, 0), (3, 0), text="3.1 | </details><script>x</script> @all")
    path = tmp_path / "a|b.dxf"
    board.doc.saveas(path)
    done = CliRunner().invoke(cli, ["check", str(path), "--format", "markdown"])
    page = shown(done.output)
    assert set(page.elements) <= OURS
    assert "<script>" in page.text.replace("\u200b", "")


def test_a_drawing_without_dimensions_is_no_pass(tmp_path: Path):
    board = Board()
    board.plate(3, 2)
    path = tmp_path / "print.dxf"
    board.doc.saveas(path)
    audit, _ = audit_file(path, Settings())
    assert "Nothing to check" in summary(audit)
