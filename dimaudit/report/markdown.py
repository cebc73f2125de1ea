"""A summary for a pull request: GitHub Flavored Markdown, with all that comes from a drawing shown as plain text."""

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

from dimaudit.model.audit import DrawingAudit, Level, UnreadDrawing
from dimaudit.model.marks import Numbered, numbered
from dimaudit.report.interface import CAUTION, Run, numbers_in
from dimaudit.report.visible import visible

OPEN_ROWS = 12
"""So many findings of a drawing are shown at once; the rest is folded, and the fold says what is in it."""
MOST_HANDLES = 6
LONGEST = 2000
"""Characters of one text from a drawing; what is cut is said."""
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


def markdown(run: Run) -> str:
    """Totals, then each drawing in the order of the report, then the caution."""
    return "\n".join(_lines(run)) + "\n"


def _lines(run: Run) -> Iterator[str]:
    audited = [d for d in run.report.drawings if isinstance(d, DrawingAudit)]
    dimensions, judged = sum(len(d.judgements) for d in audited), sum(d.judged() for d in audited)
    unread = len(run.report.drawings) - len(audited)
    yield "## Dimension audit"
    yield ""
    levels = Counter(f.level for d in audited for f in d.findings)
    said = [
        _count(len(run.report.drawings), "drawing"), _count(dimensions, "dimension"), f"{judged} judged",
        f"{dimensions - judged} not judged", *(_count(levels[level], str(level)) for level in Level),
    ]  # fmt: skip
    yield ", ".join(said) + (f", **{_count(unread, 'file')} not read**" if unread else "") + "."
    yield ""
    yield "| drawing | dimensions | judged | not judged | errors | warnings | notes |"
    yield "|---|--:|--:|--:|--:|--:|--:|"
    for drawing in run.report.drawings:
        yield _total(drawing)
    for fault in run.report.faults:
        yield ""
        where = f"{plain(fault.rule)} on {plain(fault.path)}: {plain(fault.error)}"
        yield f"**A fault of dimaudit itself:** {where}. Please report it with the drawing."
    for drawing in run.report.drawings:
        yield from _drawing(drawing)
    yield ""
    yield f"> {CAUTION}"
    yield ""
    yield f"dimaudit {plain(run.version)}"


def _total(drawing: DrawingAudit | UnreadDrawing) -> str:
    if isinstance(drawing, UnreadDrawing):
        return f"| {plain(drawing.path)} | **could not be read** | | | | | |"
    total, judged = len(drawing.judgements), drawing.judged()
    levels = Counter(f.level for f in drawing.findings)
    cells = [total, judged, total - judged, *(levels[level] for level in Level)]
    return f"| {plain(drawing.path)} | {' | '.join(map(str, cells))} |"


def _drawing(drawing: DrawingAudit | UnreadDrawing) -> Iterator[str]:
    yield ""
    yield f"### {plain(drawing.path)}"
    yield ""
    if isinstance(drawing, UnreadDrawing):
        yield f"Could not be read: {plain(drawing.why)}"
        return
    yield f"DXF {plain(drawing.version)}, {numbers_in(drawing.unit)}, sha256 {drawing.sha256[:12]}."
    if not drawing.judgements:
        yield ""
        yield "**Nothing to check:** no dimension in the drawing."
    yield from _open_ends(drawing)
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


def _open_ends(drawing: DrawingAudit) -> Iterator[str]:
    """What was not judged or not read, in a fold that says how much it is."""
    said = [f"{count} × {plain(reason)}" for reason, count in drawing.not_judged().items()]
    for why, texts in drawing.unjudged_texts().items():
        said.append(f"{len(texts)} × {plain(why)} ({_handles([t.handle for t in texts])})")
    if unread := drawing.unread_texts():
        many = f"{len(unread)} text{'s' if len(unread) != 1 else ''} with a number, not understood"
        said.append(f"{many} ({_handles([t.handle for t in unread])})")
    said += [f"{loss.count} × {plain(loss.what)}: {plain(loss.why)}" for loss in drawing.losses]
    if said:
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
        place = ", ".join(part for part in (f.where, f.view, "" if f.layout == "Model" else f.layout) if part)
        wrong = "<br>".join(plain(part) for part in (f.message, place, *f.why) if part)
        cells = (one.label, str(f.level), plain(f.rule), wrong, _handles(f.handles) or "drawing", plain(f.suggestion))
        yield f"| {' | '.join(cells)} |"


def _handles(handles: Iterable[str]) -> str:
    every = list(handles)
    some = ", ".join(map(plain, every[:MOST_HANDLES]))
    return f"{some}, … ({len(every)})" if len(every) > MOST_HANDLES else some


def _count(n: int, word: str) -> str:
    return f"{n} {word}{'s' if n != 1 else ''}"
