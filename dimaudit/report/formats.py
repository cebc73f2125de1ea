"""The formats by name. A new one is a file and a line here; the page is separate, since it needs the drawings."""

from collections.abc import Callable

from dimaudit.report.csv_table import CsvReport
from dimaudit.report.interface import Format
from dimaudit.report.json_lines import JsonLinesReport
from dimaudit.report.json_report import JsonReport
from dimaudit.report.junit import JunitReport
from dimaudit.report.markdown import MarkdownReport
from dimaudit.report.sarif import SarifReport
from dimaudit.report.terminal import TerminalReport
from dimaudit.report.workflow import WorkflowReport

FORMATS: dict[str, Callable[[str], Format]] = {  # each is given the tool's version
    "terminal": TerminalReport,
    "json": JsonReport,
    "jsonl": JsonLinesReport,
    "markdown": MarkdownReport,
    "csv": CsvReport,
    "sarif": SarifReport,
    "junit": JunitReport,
    "workflow": WorkflowReport,
}

DETAILED = (JsonReport,)
"""Formats that give `Audited.details`."""
