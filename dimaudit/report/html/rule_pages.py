"""The pages of the rules, from docs/rules: the same text that the documentation shows."""

import re
from dataclasses import dataclass
from functools import cache

from markdown_it import MarkdownIt
from markdown_it.token import Token
from markupsafe import Markup

from dimaudit.report.rule_text import SECTIONS, folder


@dataclass(frozen=True, slots=True)
class RulePage:
    """One rule explained."""

    rule: str
    summary: Markup
    sections: tuple[tuple[str, Markup], ...]
    """Title and text."""


@cache
def rule_page(rule: str, linked: frozenset[str]) -> RulePage | None:
    """The page of a rule, or None where there is none; links to the rules in `linked` stay inside the report."""
    file = folder() / f"{rule}.md"
    if not re.fullmatch(r"[a-z0-9-]+", rule) or not file.is_file():
        return None
    head, *rest = SECTIONS.split(file.read_text(encoding="utf-8"))
    summary = re.sub(r"\A# .*\n", "", head)
    sections = zip(rest[::2], rest[1::2], strict=True)
    return RulePage(rule, _html(summary, linked), tuple((title, _html(body, linked)) for title, body in sections))


def _html(text: str, linked: frozenset[str]) -> Markup:
    markdown = MarkdownIt("commonmark", {"html": False}).enable("table")
    tokens = markdown.parse(text)
    for token in tokens:
        _inside(token.children or [], linked)
        if token.type.startswith("heading"):  # the report has levels of its own above
            token.tag = "h5"
    return Markup(markdown.renderer.render(tokens, markdown.options, {}))


def _inside(tokens: list[Token], linked: frozenset[str]) -> None:
    """Links lead to a rule that the report holds; every other link is its words alone."""
    for token in tokens:
        if token.type in ("link_open", "link_close"):
            if token.type == "link_open":
                target = re.fullmatch(r"([a-z0-9-]+)\.md(#.*)?", str(token.attrs.get("href", "")))
                inside = target is not None and target[1] in linked
                if target is not None and inside:
                    token.attrs = {"href": f"#rule-{target[1]}"}
            if not inside:
                token.tag, token.attrs = "span", {}
