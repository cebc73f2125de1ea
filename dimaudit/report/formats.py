"""The formats by name. A new one is a file and a line here; the terminal's is separate, since it streams."""

from dimaudit.report.html import html_report
from dimaudit.report.interface import Format
from dimaudit.report.json_report import json_report
from dimaudit.report.markdown import markdown

FORMATS: dict[str, Format] = {"json": json_report, "html": html_report, "markdown": markdown}

SHOWING = frozenset({"html"})
"""Formats that show the drawings: pictures and as-read parts are made for these only, since they take time."""
