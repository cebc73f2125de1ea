"""Every rule has its page and its situations, and the pages say what the code does."""

import re
from pathlib import Path

import pytest
import rule_all  # noqa: F401 - importing it registers the situations
from rule_cases import CASES

from dimaudit.attach.table_grid import FINEST_FRACTION as GRID_FRACTION
from dimaudit.attach.table_grid import HIDDEN_STEP
from dimaudit.attach.table_origin import FEWEST_BY_CORNER, FEWEST_ROWS, SAID
from dimaudit.attach.table_origin import NEARLY_ALL as NEARLY_ALL_ROWS
from dimaudit.judge import RULES
from dimaudit.judge.check import Rule
from dimaudit.judge.rules.scheme import FEW
from dimaudit.judge.rules.views_disagree import CERTAIN_MATCHES, LEAST_MATCHES, MATCHES_PER_FAULT, MOST_APART, SAME
from dimaudit.judge.scale import LEAST_VALUES, MOST_TERMS, NEARLY_ALL
from dimaudit.judge.verdict import FINEST_FRACTION
from dimaudit.model.audit import Level
from dimaudit.model.settings import EATEN_SHARE, GAP, NEAR, NEARLY_LEVEL_DEGREES, SNAP
from dimaudit.scheme.analyse import HARDLY

PAGES = Path(__file__).parents[2] / "docs" / "rules"
SECTIONS = ["What it finds", "Why it matters at the machine", "How to mend it", "Example", "Source"]
NAMES = [rule.name for rule in RULES]
WORDS = {3: "three", 4: "four", 5: "five"}


def thousandths(value: object) -> str:
    """A length as the pages write it: .00001, 0.8."""
    return f"{float(value):.6f}".rstrip("0").lstrip("0")  # type: ignore[arg-type]


SNAPS = f"{thousandths(SNAP[True])} in", f"{thousandths(SNAP[False])} mm"
NEARS = f"{NEAR[True]} in", f"0{thousandths(NEAR[False])} mm"
GAPS = f"{GAP[True]} in", f"0{thousandths(GAP[False])} mm"
FIGURES = {
    "view-scale-disagrees": (
        f"At least {WORDS[LEAST_VALUES]} different",
        f"{WORDS[NEARLY_ALL.numerator]} in {WORDS[NEARLY_ALL.denominator]}",
        f"up to {MOST_TERMS}",
    ),
    "views-disagree": (
        f"at least {WORDS[LEAST_MATCHES]} levels",
        f"{WORDS[CERTAIN_MATCHES]} levels or more",
        f"{MOST_APART} of the overall length",
        f"{thousandths(SAME * SNAP[True])} in ({thousandths(SAME * SNAP[False])} mm)",
        f"{WORDS[MATCHES_PER_FAULT]} levels agree for each",
    ),
    "wrong-value": (f"{FINEST_FRACTION}th",),
    "table-disagrees": (
        f"{FEWEST_ROWS} rows and {NEARLY_ALL_ROWS} of all",
        f"{SAID} of all",
        f"{FEWEST_BY_CORNER} rows and more than half of all",
        f"{thousandths(HIDDEN_STEP[True])} in or 0{thousandths(HIDDEN_STEP[False])} mm",
        f"{GRID_FRACTION}th",
    ),
    "near-miss": SNAPS + NEARS,
    "floating-end": (NEARS[0], NEARS[1]),
    "broken-link": SNAPS,
    "rounded": (f"less than {EATEN_SHARE} of the tolerance",),
    "not-located": (f"more than {HARDLY} times", f"more than {FEW} features"),
    "gap": SNAPS + GAPS,
    "duplicate-line": SNAPS,
    "overlapping-lines": SNAPS,
    "zero-length": SNAPS,
    "nearly-level": (*SNAPS, f"{NEARLY_LEVEL_DEGREES} of a degree"),
    "nearly-concentric": SNAPS + GAPS,
}
"""The defaults that a page names: changed in the code, they must change on the page."""


def page(name: str) -> str:
    return (PAGES / f"{name}.md").read_text(encoding="utf-8")


def sections(text: str) -> dict[str, str]:
    parts = re.split(r"^## (.+)\n", text, flags=re.MULTILINE)
    return dict(zip(parts[1::2], parts[2::2], strict=True))


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.name)
def test_the_page_has_its_sections(rule: Rule) -> None:
    """Each rule's page says what, why, how to mend it, an example and the source, and when the rule is silent."""
    text = page(rule.name)
    title, blank, summary, rest = text.split("\n", 3)
    assert (title, blank, rest[0]) == (f"# {rule.name}", "", "\n")
    assert re.fullmatch(r"[A-Z][^.]+\.", summary), "one sentence says what the rule is"
    found = sections(text)
    assert list(found) == SECTIONS
    assert all(body.strip() for body in found.values())
    assert "It is" in found["What it finds"], "the near cases in which it is silent"
    assert re.search(r"\bsilent\b", found["What it finds"])


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.name)
def test_the_page_names_the_levels_that_the_situations_show(rule: Rule) -> None:
    """The levels on the page are those that the situations show, and the highest is the registry's."""
    shown = {s.level for c in CASES if c.rule == rule.name and c.fires for s in c.build().says if s.rule == rule.name}
    named = {level for level in Level if re.search(rf"(?:Level: |^\| ){level}\b", page(rule.name), re.MULTILINE)}
    assert shown == named
    highest = min(shown, key=list(Level).index)
    assert highest is rule.level


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.name)
def test_the_rule_has_a_firing_and_a_near_situation(rule: Rule) -> None:
    """Each rule is shown on a drawing where it speaks and on one where it nearly does."""
    own = [case for case in CASES if case.rule == rule.name]
    assert {case.fires for case in own} == {True, False}


def test_no_situation_is_of_an_unknown_rule() -> None:
    """A situation names a rule of the registry."""
    assert {case.rule for case in CASES} <= set(NAMES)


def test_the_situations_have_names_of_their_own() -> None:
    """No two situations of a rule share a name."""
    assert len({str(case) for case in CASES}) == len(CASES)


@pytest.mark.parametrize("name", FIGURES)
def test_the_page_names_the_figures_in_force(name: str) -> None:
    """The distances, shares and counts on a page are the defaults in the code."""
    body = sections(page(name))["What it finds"].replace("\n", " ")
    for figure in FIGURES[name]:
        # '.00001 in (.0001 mm)' and '(.00001 in, .0001 mm)' are both ways to write the two.
        assert figure in body, figure


def test_the_index_lists_exactly_the_registry() -> None:
    """The index has the registry's rules, with their levels and summaries, in the order of the report."""
    index = (PAGES / "README.md").read_text(encoding="utf-8")
    rows = re.findall(r"^\| \[(.+)\]\((.+)\.md\) \| (\w+) \| (.+) \|$", index, re.MULTILINE)
    assert rows == [(rule.name, rule.name, str(rule.level), rule.summary) for rule in RULES]


def test_there_is_no_page_without_a_rule() -> None:
    """Each page but the index is a rule's."""
    assert {path.stem for path in PAGES.glob("*.md")} == {*NAMES, "README"}


def test_every_link_leads_to_a_page() -> None:
    """No link of a rule's page leads nowhere."""
    for path in sorted(PAGES.glob("*.md")):
        for target in re.findall(r"\]\(([^)]+)\)", path.read_text(encoding="utf-8")):
            assert (path.parent / target).is_file(), f"{path.name}: {target}"
