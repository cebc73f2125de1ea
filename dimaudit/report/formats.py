"""The formats by name. A new one is a file and a line here; the page is separate, since it needs the drawings."""

from collections.abc import Callable

from dimaudit.report.interface import Format
from dimaudit.report.json_report import JsonReport
from dimaudit.report.markdown import MarkdownReport
from dimaudit.report.terminal import TerminalReport

FORMATS: dict[str, Callable[[str], Format]] = {  # each is given the tool's version
    "terminal": TerminalReport,
    "json": JsonReport,
    "markdown": MarkdownReport,
}

DETAILED = (JsonReport,)
"""Formats that give `Audited.details`."""
