"""The text of the report page: its policy, its bytes, its rules' pages, what is escaped, what fails without harm."""

import base64
import hashlib
import json
import re
import tomllib
from dataclasses import replace
from fractions import Fraction
from html.parser import HTMLParser
from importlib.resources import files
from pathlib import Path

import pytest

from dimaudit import pipeline
from dimaudit.judge.registry import RULES
from dimaudit.model.audit import DrawingAudit, Report, RuleFault, UnreadDrawing
from dimaudit.model.picture import DrawnEntity, Picture, Stroke
from dimaudit.model.seen import Seen
from dimaudit.model.settings import Settings
from dimaudit.pipeline import see_file
from dimaudit.report.html import html_report
from dimaudit.report.html.rule_pages import rule_page
from dimaudit.report.interface import CAUTION, Run
from dimaudit.report.rule_text import folder
from dimaudit.report.svg import THEMES, contrast

ROOT = Path(__file__).parents[2]
JIG = ROOT / "samples" / "cleat-drill-jig.dxf"


class Elements(HTMLParser):
    """The elements of a page with their attributes, and the text of scripts and styles."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.found: list[tuple[str, dict[str, str | None]]] = []
        self.inside: dict[str, list[str]] = {"script": [], "style": []}
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        self.found.append((tag, dict(attrs)))
        if tag in self.inside:
            self.inside[tag].append("")

    def handle_data(self, data):
        if self.cdata_elem:
            self.inside[self.cdata_elem][-1] += data



@pytest.fixture(scope="module")
def jig() -> tuple[DrawingAudit, Seen]:
    audit, faults, seen = see_file(JIG, Settings())
    assert isinstance(audit, DrawingAudit)
    assert faults == ()
    return audit, seen


@pytest.fixture(scope="module")
def text(jig) -> str:
    return written(*jig)


UNSEEN = Seen()


def written(audit: DrawingAudit | UnreadDrawing, seen: Seen = UNSEEN, faults: tuple[RuleFault, ...] = ()) -> str:
    return html_report(Run(Report((audit,), faults), "0", (seen,)))


def test_the_policy_knows_the_pages_own_script_and_style_and_nothing_else(text):
    """Content Security Policy Level 3: the hash of an element's text, in base64; everything else is forbidden."""
    page = Elements(text)
    (policy,) = [a["content"] for tag, a in page.found if tag == "meta" and "http-equiv" in a]
    rules = dict(part.strip().split(" ", 1) for part in policy.split(";"))
    assert rules["default-src"] == "'none'"
    for tag, rule in (("script", "script-src"), ("style", "style-src")):
        own = [t for t in page.inside[tag] if not t.startswith("{")]
        (words,) = own
        digest = base64.b64encode(hashlib.sha256(words.encode()).digest()).decode()
        assert rules[rule] == f"'sha256-{digest}'"
    assert set(rules) == {"default-src", "script-src", "style-src", "base-uri", "form-action"}


def test_nothing_in_it_leads_outside(text):
    """No element refers to another file or address; no attribute is a script or a style."""
    for tag, attributes in Elements(text).found:
        for name, value in attributes.items():
            assert not name.startswith("on"), (tag, name)
            assert name not in ("src", "style", "srcset", "action", "formaction", "data", "poster"), (tag, name)
            if name in ("href", "xlink:href"):
                assert value is not None
                assert value.startswith("#"), value
    assert "@import" not in text
    assert not re.search(r"url\(|\beval\b|innerHTML|outerHTML|insertAdjacentHTML|document\.write|fetch\(|XMLHttp", text)


def test_every_inner_link_leads_somewhere(text):
    """Each '#name' is the id of an element."""
    page = Elements(text).found
    ids = {a["id"] for _, a in page if "id" in a}
    assert {a["href"][1:] for _, a in page if a.get("href")} <= ids | {"index"}


def test_the_same_drawing_gives_the_same_bytes(text):
    """Audited again, looked at again, written again: the same text."""
    audit, _, seen = see_file(JIG, Settings())
    assert written(audit, seen) == text
    assert not re.search(r"\b20\d\d-\d\d-\d\d\b", text), "no date"


def test_the_caution_stands_at_its_head_and_foot(text):
    """The whole sentence, twice."""
    assert text.count(CAUTION) == 2


def test_each_finding_and_dimension_is_there(jig, text):
    """The list holds every finding once; the data hold every dimension with its steps."""
    audit, _ = jig
    numbers = sorted(int(a["data-f"]) for tag, a in Elements(text).found if "data-f" in a)
    assert numbers == list(range(len(audit.findings)))
    (data,) = [json.loads(t) for t in Elements(text).inside["script"] if t.startswith("{")]
    assert [d["handle"] for d in data["dimensions"]] == [j.attached.dimension.handle for j in audit.judgements]
    assert all(len(d["steps"]) > 3 for d in data["dimensions"])
    assert [f["mark"][1:] for f in data["findings"]] == [str(n) for n in range(1, len(audit.findings) + 1)]


def test_the_as_read_shapes_pair_with_the_drawn_ones(jig):
    """Both come one for one; what is not moved is the same to the last digit."""
    _, seen = jig
    for _, part in seen.parts:
        assert len(part.drawn) == len(part.shapes)
        assert all(a.origin == b.origin and type(a) is type(b) for a, b in zip(part.drawn, part.shapes, strict=True))
        still = sum(a == b for a, b in zip(part.drawn, part.shapes, strict=True))
        assert 0 < still < len(part.drawn)


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.name)
def test_every_rule_is_explained(rule):
    """Each rule's page becomes a summary and its sections; its links lead to rules of the report or are plain words."""
    found = rule_page(rule.name, frozenset({rule.name}))
    assert found is not None
    titles = [title for title, _ in found.sections]
    assert {"What it finds", "Why it matters at the machine", "How to mend it", "Source"} <= set(titles)
    html = found.summary + "".join(body for _, body in found.sections)
    assert all(link == f"#rule-{rule.name}" for link in re.findall(r'href="([^"]*)"', html))


def test_links_between_rules_stay_inside():
    """A link to a rule that the report holds leads to it; one to a rule that it does not hold is its words."""
    both = rule_page("rounded", frozenset({"rounded", "wrong-value"}))
    alone = rule_page("rounded", frozenset({"rounded"}))
    assert 'href="#rule-wrong-value"' in "".join(body for _, body in both.sections)
    assert "href" not in "".join(body for _, body in alone.sections)
    assert rule_page("../decisions", frozenset()) is None


def test_the_pages_of_the_rules_are_packed():
    """A built package finds them where the project file puts them; a checkout where they are written."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    packed = project["tool"]["hatch"]["build"]["targets"]["wheel"]["force-include"]
    assert packed == {"docs/rules": "dimaudit/report/html/rules"}
    if not (files("dimaudit.report.html") / "rules").is_dir():
        assert folder() == ROOT / "docs" / "rules"


def test_a_file_that_was_not_read_has_its_page():
    """It says so, with the reason, and is no pass."""
    text = written(UnreadDrawing("<a>.dxf", "not readable as DXF: <b>"))
    assert "&lt;a&gt;.dxf" in text
    assert "Could not be read" in text
    assert "not readable as DXF: &lt;b&gt;" in text


def test_a_drawing_without_a_picture_keeps_its_list(jig, monkeypatch):
    """A picture that fails is a fault of its own; audit and list stand."""
    def fails(_: Path, **_how: object) -> None:
        raise RuntimeError("no ink")

    monkeypatch.setattr(pipeline, "pictures_of_file", fails)
    audit, faults, seen = see_file(JIG, Settings())
    assert [f.rule for f in faults] == ["the picture"]
    text = written(audit, seen, faults)
    assert "There is no picture of this drawing" in text
    assert "RuntimeError: no ink" in text
    assert len(audit.findings) == len(jig[0].findings) == text.count('class="item"')


def test_colours_are_seen_on_both_papers(jig):
    """A pale yellow line and a dark blue text are moved until they stand out (WCAG 2.2, 1.4.11), a shade is kept."""
    audit, _ = jig
    strokes = (Stroke("M0 0H1", "#ffff00", 0.25), Stroke("M0 0H1V1z", "#000080", 0, text=True))
    entities = (
        DrawnEntity("1", "LINE", "0", strokes, (0, 0, 1, 1)),
        DrawnEntity("2", "HATCH", "0", (Stroke("M0 0H1V1z", "#fffff0", 0),), (0, 0, 1, 1)),
    )
    text = written(audit, Seen((Picture("Model", (0, 0, 2, 1), 0.01, entities),)))
    found = re.findall(r"^\.c\d+\{color:light-dark\((#\w{6}),(#\w{6})\)\}", text, re.MULTILINE)
    assert len(found) == 3
    assert found[2] == ("#fffff0", "#fffff0")
    for light, dark in found[:2]:
        assert contrast(light, THEMES["light"].paper) >= 3
        assert contrast(dark, THEMES["dark"].paper) >= 3
    assert f"--paper: light-dark({THEMES['light'].paper}, {THEMES['dark'].paper})" in text


def test_hidden_characters_are_shown(jig):
    """Characters that turn or hide text are shown by their code (Unicode TR 36), also in the data."""
    audit, seen = jig
    first = replace(audit.findings[0], message="a\u202eb\x00c", handles=("\u202e<",))
    text = written(replace(audit, findings=(first,)), seen)
    assert "\u202e" not in text
    assert "\x00" not in text
    assert "a\\x202eb\\x00c" in text


def test_numbers_that_are_not_known_do_not_move_a_shape(jig):
    """Every coordinate of the overlay is a finite number."""
    (data,) = [json.loads(t) for t in Elements(written(*jig)).inside["script"] if t.startswith("{")]
    numbers = [v for part in data["parts"] for shape in part["shapes"] for v in shape[1:]]
    assert len(numbers) > 100
    assert all(isinstance(v, (int, float)) and abs(v) < 1e6 for v in numbers)
    assert Fraction(0) <= data["parts"][0]["most"]
