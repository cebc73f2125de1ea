"""The terminal's report: a line for each drawing, its findings grouped by rule, each with its arithmetic."""

import re
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from io import StringIO

from rich.console import Console
from rich.text import Text

from dimaudit.exact.number import decimal_text
from dimaudit.model.audit import Finding, Level, NotCompared, NumberText, UnreadDrawing
from dimaudit.model.general import ReadAs
from dimaudit.model.record import Audited, Record, Result, Totals
from dimaudit.report.interface import CAUTION, UNIT_WORDS
from dimaudit.report.visible import visible

STYLES = {Level.ERROR: "bold red", Level.WARNING: "yellow", Level.NOTE: "cyan"}
LONG = 6
"""More findings of one rule than this are shown a line each; errors are always shown in full."""

FEW_TEXTS = 4
"""Texts that were not understood are shown up to this many; JSON lists them all."""
UNSURE = "slanted lines, or arcs whose ends the file only rounds"
"""Why a place is left open."""
SHOWN_OF_TEXT = 40
"""Characters of such a text that are shown."""


Part = tuple[str, str]
"""Some text and its style."""
Line = tuple[int, Sequence[Part]]
"""How far it is set in, and what it says."""


def print_drawing(console: Console, drawing: Result) -> None:
    """One drawing's part of the report."""
    _print(console, _told(drawing))


def _told(drawing: Result) -> Iterable[Line]:
    if isinstance(drawing, UnreadDrawing):
        yield 0, ((f"{visible(drawing.path)}  ", "bold"), ("could not be read", STYLES[Level.ERROR]))
        yield 2, ((visible(drawing.why, 1200), ""),)
        yield 0, ()
        return
    yield 0, _headline(drawing)
    for part in _about(drawing.record):
        yield 2, (part,)
    for rule, findings in _by_rule(drawing.record.findings):
        yield 0, ()
        yield from _group(rule, findings)
    yield 0, ()


def _headline(drawing: Audited) -> list[Part]:
    counts = Counter(f.level for f in drawing.record.findings)
    total, judged = drawing.record.dimensions, drawing.record.judged
    line = [(f"{visible(drawing.path)}  ", "bold")]
    if total == 0:
        return [*line, ("nothing to check: no dimension in the drawing", STYLES[Level.WARNING])]
    line.append((f"{total} dimension{'s' if total != 1 else ''}, {judged} judged", ""))
    if judged < total:
        line.append((f", {total - judged} not judged", STYLES[Level.WARNING]))
    line.append((": ", ""))
    accepted = [(f", {len(drawing.accepted)} accepted", "dim")] if drawing.accepted else []
    return [*line, *(_levels(counts) or [("no findings", "green")]), *accepted]


def _levels(counts: Counter[Level]) -> list[Part]:
    """'1 error, 2 warnings', each in its colour."""
    parts: list[Part] = []
    for level in (level for level in Level if counts[level]):
        parts += [(", " if parts else "", ""), (_count(counts[level], str(level)), STYLES[level])]
    return parts


def _count(n: int, word: str) -> str:
    return f"{n} {word}{'s' if n != 1 else ''}"


def _about(drawing: Record) -> Iterable[Part]:
    unit = "no unit" if drawing.unit is None else UNIT_WORDS[drawing.unit]
    views = _count(len(drawing.views), "view")
    about = f"DXF {visible(drawing.version)}, {unit} ({visible(drawing.unit_from)}), {views} with dimensions"
    yield f"{about}, sha256 {drawing.sha256[:12]}", "dim"
    lengths = drawing.lengths
    noise = "" if lengths.noise is None else f", noise {decimal_text(lengths.noise)}"
    yield (
        f"rounding {drawing.rounding}, snap {decimal_text(lengths.snap, 9)}, near {decimal_text(lengths.near, 9)}, "
        f"gap {decimal_text(lengths.gap, 9)}{noise}; {_tolerances(drawing)}",
        "dim",
    )
    yield from _title_block(drawing.title_block)
    if drawing.view_scales:
        parts = [f"{visible(said.read_as)} [{visible(said.handle)}]" for said in drawing.view_scales]
        yield f"labels read as: {'; '.join(parts)}", "dim"
    if drawing.views_not_compared:
        yield _not_compared(drawing.views_not_compared)
    if drawing.undimensioned:
        groups = _count(drawing.undimensioned, "group")
        yield f"{groups} of linework without dimensions (borders, tables, other views): not audited", "dim"
    for reason, count in drawing.not_judged:
        yield f"not judged: {count} × {visible(reason)}", STYLES[Level.WARNING]
    for why, texts in drawing.unjudged_texts().items():
        yield f"not judged: {len(texts)} × {visible(why)} [{_some(texts)}]", STYLES[Level.WARNING]
    unread = drawing.unread_texts()
    if unread:
        many = f"{len(unread)} text{'s' if len(unread) != 1 else ''} with a number"
        yield f"not judged: {many}, not understood [{_some(unread)}]", STYLES[Level.WARNING]
    yield from _schemes(drawing)
    for loss in drawing.losses:
        handles = f" [{_few(loss.handles, 5)}]"
        text = f"{loss.count} × {visible(loss.what)}: {visible(loss.why)}{handles if loss.handles else ''}"
        yield text, "dim"


def _schemes(drawing: Record) -> Iterable[Part]:
    """What the dimension schemes took for granted, and what they leave open."""
    if drawing.taken:
        yield f"taken as implied: {'; '.join(kind.value for kind in drawing.taken)}", "dim"
    for part in drawing.open_parts:
        where = visible(part.views)
        if part.why_not:
            yield f"not judged: what is located in {where}: {visible(part.why_not)}", STYLES[Level.WARNING]
        if part.unsure:
            places = _count(part.unsure, "place")
            yield f"not judged: whether {places} of {where} are located: {UNSURE}", STYLES[Level.WARNING]
    left_out: dict[str, list[str]] = {}
    for handle, why in drawing.left_out:
        left_out.setdefault(why, []).append(handle)
    for why, handles in left_out.items():
        many = _count(len(handles), "dimension")
        yield f"not in the dimension scheme: {many}: {visible(why)} [{_few(tuple(handles), 5)}]", "dim"


def _some(texts: Sequence[NumberText]) -> str:
    some = ", ".join(f"{visible(t.handle)} '{_cut(visible(t.text))}'" for t in texts[:FEW_TEXTS])
    return f"{some}, …" if len(texts) > FEW_TEXTS else some


def _cut(text: str) -> str:
    return text if len(text) <= SHOWN_OF_TEXT else f"{text[:SHOWN_OF_TEXT]}…"


def _title_block(read: Sequence[ReadAs]) -> Iterable[Part]:
    """What was read as what: the texts that are used in one line, those that are not in a line for each reason."""
    used: dict[str, list[str]] = {}
    not_used: dict[str, list[str]] = {}
    for said in read:
        if said.trouble:
            about = f"{visible(said.handle)} '{visible(said.text)}' read as {visible(said.read_as)}"
            not_used.setdefault(visible(said.trouble), []).append(about)
        else:
            used.setdefault(visible(said.handle), []).append(visible(said.read_as))
    for why, texts in not_used.items():
        some = "; ".join([*texts[:FEW_TEXTS], *([f"… ({len(texts)})"] if len(texts) > FEW_TEXTS else [])])
        yield f"title block: {some}; not used: {why}", STYLES[Level.WARNING]
    if used:
        parts = [f"{', '.join(said)} [{handle}]" for handle, said in used.items()]
        yield f"title block read as: {'; '.join(parts)}", "dim"


def _not_compared(pairs: Sequence[NotCompared]) -> Part:
    """Views in line, by the reason why they were not held against one another."""
    by_why: dict[str, list[str]] = {}
    for pair in pairs:
        by_why.setdefault(pair.why, []).append(f"{visible(pair.first)} and {visible(pair.second)}")
    parts = []
    for why, names in by_why.items():
        rest = f", … ({len(names)})" if len(names) > FEW_TEXTS else ""
        parts.append(f"{', '.join(names[:FEW_TEXTS])}{rest} ({visible(why)})")
    return f"in line, steps and holes not compared: {'; '.join(parts)}", "dim"


def _tolerances(drawing: Record) -> str:
    if not drawing.tolerances:
        return "no tolerance known but those in the dimensions themselves"
    return f"general tolerances {', '.join(drawing.tolerances)}"


def put(console: Console, text: Text, indent: int = 0) -> None:
    """Prints text wrapped to the console's width, each line indented and without blanks at its end."""
    if console.is_terminal:
        _coloured(console, [(indent, text)])
    else:
        _plain(console, [(indent, text.plain)])


def _print(console: Console, told: Iterable[Line]) -> None:
    if console.is_terminal:
        _coloured(console, ((indent, Text.assemble(*parts)) for indent, parts in told))
    else:
        _plain(console, ((indent, "".join([text for text, _ in parts])) for indent, parts in told))


def _coloured(console: Console, told: Iterable[tuple[int, Text]]) -> None:
    """All at once: a print for each of some thousand findings takes longer than reading the file."""
    parts: list[Text] = []
    for indent, text in told:
        for line in text.wrap(console, max(console.width - indent, NARROWEST)):
            line.rstrip()
            parts.append(Text(" " * indent).append(line) if line else line)
    console.print(Text("\n").join(parts), soft_wrap=True)


def _plain(console: Console, told: Iterable[tuple[int, str]]) -> None:
    """The same text without the terminal's machinery."""
    width, lines = console.width, []
    for indent, text in told:
        before = " " * indent
        lines += [
            before + COMMAND.sub(_shown, line) if line else "" for line in wrapped(text, max(width - indent, NARROWEST))
        ]
    console.file.write("\n".join([*lines, ""]))


COMMAND = re.compile(r"^\s*(?:::|##\[)")
"""How a line begins that a CI server takes for a command to itself, wherever it is from (workflow commands)."""


def _shown(found: re.Match[str]) -> str:
    sign = found.group().lstrip()[0]
    return found.group().replace(sign, f"\\x{ord(sign):02x}", 1)


NARROWEST = 20
_NARROW = re.compile("[\x20-\x7e\u00a1-\u00ac\u00ae-\u00ff…]*")
"""Signs that take one column each."""


def wrapped(text: str, width: int) -> list[str]:
    """The lines that `Text.wrap` makes of one line, without blanks at their ends, and mostly in a hundredth of its
    time."""
    text = text.rstrip()
    if _NARROW.fullmatch(text) and not text.startswith(" "):
        lines: list[str] = []
        start = 0
        while len(text) - start > width:
            blank = text.rfind(" ", start, start + width + 1)
            if blank < 0:  # a word to be broken within
                break
            lines.append(text[start:blank].rstrip())
            start = blank + 1
            while text[start] == " ":
                start += 1
        else:
            return [*lines, text[start:]]
    return [line.plain.rstrip() for line in Text(text).wrap(Console(width=width), width)]


def _few(handles: tuple[str, ...], most: int) -> str:
    rest = f", … ({len(handles)})" if len(handles) > most else ""
    return ", ".join(visible(h) for h in handles[:most]) + rest


def _by_rule(findings: Iterable[Finding]) -> list[tuple[str, list[Finding]]]:
    order = list(Level)
    groups: dict[str, list[Finding]] = {}
    for finding in findings:
        groups.setdefault(finding.rule, []).append(finding)
    return sorted(groups.items(), key=lambda item: min(order.index(f.level) for f in item[1]))


def _group(rule: str, findings: list[Finding]) -> Iterable[Line]:
    counts = Counter(f.level for f in findings)
    yield 2, [*_levels(counts), (f"  {rule}", "bold")]
    mixed = len(counts) > 1
    brief = len(findings) > LONG
    for finding in findings:
        head = [(f"{_few(finding.handles, 6) or 'drawing'}  ", "bold")]
        if mixed:
            head.insert(0, (f"{finding.level}  ", STYLES[finding.level]))
        if brief and finding.level is not Level.ERROR:
            said = [finding.subject, finding.where, *finding.why]
            yield 4, [*head, ("; ".join(visible(p) for p in said if p), "")]
            continue
        yield 4, [*head, (visible(finding.message), "")]
        place = [visible(finding.where)] if finding.where else []
        if finding.at is not None:
            place.append(f"shown at ({_short(finding.at[0])}, {_short(finding.at[1])})")
        layout = "" if finding.layout == "Model" or finding.layout in finding.view else finding.layout
        place += [visible(p) for p in (finding.view, layout) if p]
        if place:
            yield 8, ((", ".join(place), "dim"),)
        for reason in finding.why:
            yield 8, ((visible(reason), ""),)
        yield 8, _to_do(finding)
    if brief and any(f.level is not Level.ERROR for f in findings):
        yield 4, _to_do(findings[-1])


def _to_do(finding: Finding) -> list[Part]:
    return [("to do: ", "bold"), (visible(finding.suggestion), "")]


def _short(x: float) -> str:
    """A coordinate to look at: three decimals, no noise."""
    return f"{round(x, 3) + 0.0:.10g}"


def print_end(console: Console, totals: Totals) -> None:
    """The last lines: totals, faults of the tool, the caution."""
    dimensions = _count(totals.dimensions, "dimension")
    line = Text(f"{_count(totals.drawings, 'drawing')}, {dimensions}, {totals.judged} judged; ")
    line.append(", ".join(_count(totals.levels[level], str(level)) for level in Level))
    if totals.accepted:
        line.append(f"; {totals.accepted} accepted")
    if totals.unread:
        line.append(f"; {_count(totals.unread, 'file')} not read", style=STYLES[Level.ERROR])
    put(console, line)
    for remark in totals.remarks:
        put(console, Text(visible(remark), style=STYLES[Level.WARNING]))
    for fault in totals.faults:
        said = f"a fault of dimaudit itself: {visible(fault.rule)} on {visible(fault.path)}: {visible(fault.error)}"
        put(console, Text(f"{said}; please report it with the drawing", style=STYLES[Level.ERROR]))
    put(console, Text(CAUTION, style="italic"))


class TerminalReport:
    """The same as text for a file or a pipe, 120 columns wide."""

    def __init__(self, version: str) -> None:
        self.version = version

    def begin(self) -> str:
        return ""

    def drawing(self, result: Result) -> str:
        return _text(lambda console: print_drawing(console, result))

    def end(self, totals: Totals) -> str:
        return _text(lambda console: print_end(console, totals))


def _text(printing: Callable[[Console], None]) -> str:
    buffer = StringIO()
    printing(Console(file=buffer, width=120, highlight=False, color_system=None))
    return buffer.getvalue()
