"""Findings as annotations in the log of a hosted CI: workflow commands, a line each, `::level file=…,title=…::message`.

A line that begins with two colons is obeyed by the CI. Each line here is one, or is our own words; a text from a
drawing never begins one, since its line ends are escaped.
"""

from dimaudit.model.audit import Level, UnreadDrawing
from dimaudit.model.record import Result, Totals
from dimaudit.report.interface import CAUTION
from dimaudit.report.plain_lines import LONGEST, finding_lines, open_ends, some
from dimaudit.report.visible import visible

COMMANDS = {Level.ERROR: "error", Level.WARNING: "warning", Level.NOTE: "notice"}


class WorkflowReport:
    """The errors of a drawing first: the CI shows the first few of each level on its pages, and the log holds all."""

    def __init__(self, version: str) -> None:
        self._version = version

    def begin(self) -> str:
        return ""

    def drawing(self, result: Result) -> str:
        if isinstance(result, UnreadDrawing):
            return command("error", result.path, "not read", [result.why])
        lines = [
            command(COMMANDS[f.level], result.path, f"{f.rule} {some(f.handles)}", finding_lines(f))
            for level in Level
            for f in result.record.findings
            if f.level == level
        ]
        if ends := [f"{end.what}: {end}" for end in open_ends(result.record)]:
            lines.append(command("notice", result.path, "not judged or not read", ends))
        return "".join(lines)

    def end(self, totals: Totals) -> str:
        """Faults and remarks, then the totals, which no CI cuts off."""
        lines = [
            command("error", fault.path, f"a fault of dimaudit itself: {fault.rule}",
                    [fault.error, "please report it with the drawing"])
            for fault in totals.faults
        ]  # fmt: skip
        lines += [command("warning", "", "dimaudit", [remark]) for remark in totals.remarks]
        said = [
            f"drawings {totals.drawings}", f"not read {totals.unread}", f"dimensions {totals.dimensions}",
            f"judged {totals.judged}", *(f"{level}s {totals.levels[level]}" for level in Level),
            f"accepted {totals.accepted}",
        ]  # fmt: skip
        return f"{''.join(lines)}{CAUTION}\ndimaudit {visible(self._version)}: {', '.join(said)}\n"


def command(name: str, path: str, title: str, lines: list[str]) -> str:
    """One command. Its message may have several lines, which are escaped."""
    file = f"file={_property(path)}," if path else ""
    message = _data("\n".join(visible(line, LONGEST) for line in lines))
    return f"::{name} {file}title={_property(title)}::{message}\n"


def _data(text: str) -> str:
    """A message: its line ends escaped, and the sign that escapes."""
    return text.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")


def _property(text: str) -> str:
    """A value before the message, which ends at a comma or a colon if these are not escaped."""
    return _data(visible(text, LONGEST)).replace(":", "%3A").replace(",", "%2C")
