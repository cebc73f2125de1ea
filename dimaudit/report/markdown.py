"""A summary for a pull request: GitHub Flavored Markdown, with all that comes from a drawing shown as plain text."""

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from zlib import compress, decompress

from dimaudit.model.audit import Level, UnreadDrawing
from dimaudit.model.marks import Numbered, numbered
from dimaudit.model.record import Record, Result, Totals
from dimaudit.report.interface import CAUTION, numbers_in
from dimaudit.report.plain_lines import LONGEST, open_ends, place, some
from dimaudit.report.visible import visible

OPEN_ROWS = 12
"""So many findings of a drawing are shown at once; the rest is folded, and the fold says what is in it."""
_MARKUP = re.compile(r"[&<>\\`*_\[\]|~$]|[@#](?=\S)|:(?=\S)|\b[wW]{3}(?=\.)|\b[gG][hH](?=-\d)")
"""What could become markup, a link, a mention, or a reference to an issue (GitHub Flavored Markdown Spec, 6; mentions
and references: from memory). A look-ahead of one or two characters, so the time is linear."""
_APART = "&#8203;"
"""A blank without width: mentions and links are found in the shown text, where a character's number is no help."""


def plain(text: str) -> str:
    """One line that shows the text as it is, wherever it stands in a Markdown file."""
    return _MARKUP.sub(_harmless, visible(text, LONGEST))


def _harmless(found: re.Match[str]) -> str:
    sign = found.group()
    if sign.isalpha():
        return f"{sign}{_APART}"
    return f"&#{ord(sign)};{_APART}" if sign in "@#:" else f"&#{ord(sign)};"


class MarkdownReport:
    """Totals, then each drawing in the order of the report, then the caution."""

    def __init__(self, version: str) -> None:
        self._version = version
        self._rows: list[str] = []
        self._drawings: list[bytes] = []
        """Packed, since it is kept of all drawings: the totals at the head are known only at the end."""

    def begin(self) -> str:
        return ""

    def drawing(self, result: Result) -> str:
        self._rows.append(_total(result))
        self._drawings.append(compress("\n".join([*_drawing(result), ""]).encode("utf-8", "surrogatepass")))
        return ""

    def end(self, totals: Totals) -> Iterator[str]:
        yield "\n".join([*self._head(totals), ""])
        yield from (decompress(packed).decode("utf-8", "surrogatepass") for packed in self._drawings)
        yield "\n".join([*self._foot(), ""])

    def _head(self, totals: Totals) -> Iterator[str]:
        yield "## Dimension audit"
        yield ""
        said = [
            _count(totals.drawings, "drawing"), _count(totals.dimensions, "dimension"), f"{totals.judged} judged",
            f"{totals.dimensions - totals.judged} not judged",
            *(_count(totals.levels[level], str(level)) for level in Level),
            *([f"{totals.accepted} accepted"] if totals.accepted else []),
        ]  # fmt: skip
        yield ", ".join(said) + (f", **{_count(totals.unread, 'file')} not read**" if totals.unread else "") + "."
        yield ""
        yield "| drawing | dimensions | judged | not judged | errors | warnings | notes |"
        yield "|---|--:|--:|--:|--:|--:|--:|"
        yield from self._rows
        for fault in totals.faults:
            yield ""
            where = f"{plain(fault.rule)} on {plain(fault.path)}: {plain(fault.error)}"
            yield f"**A fault of dimaudit itself:** {where}. Please report it with the drawing."
        for remark in totals.remarks:
            yield ""
            yield f"**{plain(remark)}**"

    def _foot(self) -> Iterator[str]:
        yield ""
        yield f"> {CAUTION}"
        yield ""
        yield f"dimaudit {plain(self._version)}"


def _total(drawing: Result) -> str:
    if isinstance(drawing, UnreadDrawing):
        return f"| {plain(drawing.path)} | **could not be read** | | | | | |"
    total, judged = drawing.record.dimensions, drawing.record.judged
    levels = Counter(f.level for f in drawing.record.findings)
    cells = [total, judged, total - judged, *(levels[level] for level in Level)]
    return f"| {plain(drawing.path)} | {' | '.join(map(str, cells))} |"


def _drawing(result: Result) -> Iterator[str]:
    yield ""
    yield f"### {plain(result.path)}"
    yield ""
    if isinstance(result, UnreadDrawing):
        yield f"Could not be read: {plain(result.why)}"
        return
    drawing = result.record
    yield f"DXF {plain(drawing.version)}, {numbers_in(drawing.unit)}, sha256 {drawing.sha256[:12]}."
    if not drawing.dimensions:
        yield ""
        yield "**Nothing to check:** no dimension in the drawing."
    yield from _open_ends(drawing)
    if result.accepted:
        yield ""
        yield f"{_count(len(result.accepted), 'finding')} accepted: not listed."
    findings = numbered(drawing.findings)
    if not findings:
        yield ""
        yield "No findings."
        return
    shown, folded = findings[:OPEN_ROWS], findings[OPEN_ROWS:]
    yield ""
    yield from _table(shown)
    if folded:
        levels = Counter(one.finding.level for one in folded)
        kinds = ", ".join(_count(levels[level], str(level)) for level in Level if levels[level])
        yield ""
        yield f"<details><summary>{len(folded)} more of {len(findings)} findings: {kinds}</summary>"
        yield ""
        yield from _table(folded)
        yield ""
        yield "</details>"


def _open_ends(drawing: Record) -> Iterator[str]:
    """What was not judged or not read, in a fold that says how much it is."""
    if said := [plain(str(end)) for end in open_ends(drawing) if end.count]:
        yield ""
        yield f"<details><summary>Not judged, or not read: {_count(len(said), 'reason')}</summary>"
        yield ""
        yield from (f"- {line}" for line in said)
        yield ""
        yield "</details>"


def _table(findings: Sequence[Numbered]) -> Iterator[str]:
    yield "| no. | level | rule | what is wrong | handles | what to do |"
    yield "|---|---|---|---|---|---|"
    for one in findings:
        f = one.finding
        wrong = "<br>".join(plain(part) for part in (f.message, place(f), *f.why) if part)
        cells = (one.label, str(f.level), plain(f.rule), wrong, plain(some(f.handles)), plain(f.suggestion))
        yield f"| {' | '.join(cells)} |"


def _count(n: int, word: str) -> str:
    return f"{n} {word}{'s' if n != 1 else ''}"
