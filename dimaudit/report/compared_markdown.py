"""A comparison as GitHub Flavored Markdown, for a pull request."""

from collections.abc import Iterator

from dimaudit.model.compared import Change, Compared
from dimaudit.report.compared_text import ABOUT, by_sort, change_lines, head_lines, headline, same_line, title
from dimaudit.report.interface import CAUTION
from dimaudit.report.markdown import plain

OPEN_ROWS = 12
"""So many changes of one sort are shown at once; the rest is folded, and the fold says how many there are."""


def compared_markdown(compared: Compared) -> str:
    return "\n".join(_lines(compared)) + "\n"


def _lines(compared: Compared) -> Iterator[str]:
    yield "## Revisions compared"
    yield ""
    yield f"**{plain(headline(compared))}**"
    yield ""
    yield from (f"- {plain(line)}" for line in head_lines(compared))
    for sort, changes in by_sort(compared):
        yield ""
        yield f"### {len(changes)} × {plain(sort)}"
        if sort in ABOUT:
            yield ""
            yield f"**Look first:** {ABOUT[sort]}."
        yield ""
        yield from (_row(number, change) for number, change in changes[:OPEN_ROWS])
        folded = changes[OPEN_ROWS:]
        if folded:
            yield ""
            yield f"<details><summary>{len(folded)} more</summary>"
            yield ""
            yield from (_row(number, change) for number, change in folded)
            yield ""
            yield "</details>"
    yield ""
    yield f"{plain(same_line(compared))}."
    yield ""
    yield from (f"- not compared: {plain(line)}" for line in compared.not_compared)
    yield ""
    yield f"> {CAUTION}"


def _row(number: int, change: Change) -> str:
    said = "; ".join(plain(line) for line in change_lines(change))
    return f"- **{number}** {plain(title(change))}: {said}"
