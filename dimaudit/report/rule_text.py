"""What the rules say of themselves: their index and their pages in docs/rules, as text."""

import re
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path

SECTIONS = re.compile(r"^## (.+)$", re.MULTILINE)
_ROW = re.compile(r"^\| \[([a-z0-9-]+)\]\(\1\.md\) \| (error|warning|note) \| (.+) \|$", re.MULTILINE)
_LINK = re.compile(r"\[([^\]]*)\]\([^)\s]*\)")
_MARKS = re.compile(r"^#+ |\*\*|`", re.MULTILINE)


@dataclass(frozen=True, slots=True)
class RuleText:
    """One rule, as its row in the index and its page have it."""

    rule: str
    level: str
    """The highest that its findings have."""
    brief: str
    """What it finds, in the index."""
    page: str
    """Markdown without its first heading; links are their words alone, since what they lead to is not at hand."""

    @property
    def summary(self) -> str:
        """What stands before the first section."""
        return plain(SECTIONS.split(self.page, maxsplit=1)[0])

    def section(self, title: str) -> str:
        """One section as plain text; empty where the page has none of that name."""
        _, *rest = SECTIONS.split(self.page)
        return plain(dict(zip(rest[::2], rest[1::2], strict=True)).get(title, ""))


def folder() -> Traversable:
    """Where the pages are: in the package once it is built (pyproject.toml), in a checkout where they are written."""
    packed = files("dimaudit.report.html") / "rules"
    return packed if packed.is_dir() else Path(__file__).parents[2] / "docs" / "rules"


@cache
def rule_texts() -> tuple[RuleText, ...]:
    """Every rule, in the order of the index, which is that of the registry."""
    pages = folder()
    rows = _ROW.findall((pages / "README.md").read_text(encoding="utf-8"))
    return tuple(RuleText(rule, level, plain(brief), _page(pages / f"{rule}.md")) for rule, level, brief in rows)


def _page(file: Traversable) -> str:
    text = re.sub(r"\A# .*\n", "", file.read_text(encoding="utf-8"))
    return _LINK.sub(r"\1", text).strip()


def plain(markdown: str) -> str:
    """Our own Markdown without its marks; a paragraph is one line."""
    text = _MARKS.sub("", _LINK.sub(r"\1", markdown)).strip()
    return re.sub(r"(?<=[^\n|])\n(?=[^\n|\- ])", " ", text)
