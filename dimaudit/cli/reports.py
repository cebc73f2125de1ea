"""The reports of a run in the making: which, and where each goes."""

import sys
from collections.abc import Callable, Iterable, Sequence
from contextlib import ExitStack
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from dimaudit import __version__
from dimaudit.batch.one import Wanted
from dimaudit.errors import UsageError
from dimaudit.model.audit import DrawingAudit, Report, UnreadDrawing
from dimaudit.model.record import Audited, Result, Totals
from dimaudit.model.seen import Seen
from dimaudit.write.whole import whole_file

if TYPE_CHECKING:
    from rich.console import Console

    from dimaudit.report.interface import Format

Sink = Callable[[str], None]
FORMATS = ["terminal", "json", "jsonl", "html", "markdown", "csv", "sarif", "junit", "workflow"]
"""Those of report/formats.py and the page; written out, so that help does not wait for them to load."""


class Also(click.ParamType[tuple[str, Path]]):
    """A format and the file that gets it."""

    name = "format=file"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> tuple[str, Path]:
        if isinstance(value, tuple):
            return value
        format_, _, file = str(value).partition("=")
        if format_ not in FORMATS or not file:
            known = ", ".join(FORMATS)
            self.fail(f"{value!r} is not FORMAT=FILE, as in sarif=audit.sarif; formats are {known}", param, ctx)
        if file == "-":
            self.fail(f"{value!r}: standard output is for --format {format_}; name a file", param, ctx)
        return format_, Path(file)


def writable(reports: Sequence[Path], drawings: Sequence[Path]) -> None:
    """Raises UsageError where a report would be written over a drawing or over another report."""
    for file in reports:
        if any(file.exists() and d.exists() and file.samefile(d) for d in drawings):
            raise UsageError(f"{file} is one of the drawings; a drawing is never written over: name another file")
    names = [file.resolve() for file in reports]
    for k, name in enumerate(names):
        if name in names[:k]:
            raise UsageError(f"{reports[k]} is named for two reports: give each a file of its own")


def report_in(name: str) -> "Format":
    """A report in the format of that name."""
    if name == "html":
        return Page()
    from dimaudit.report.formats import FORMATS as MADE

    return MADE[name](__version__)


def wanted_by(reports: Iterable[tuple["Format", Sink]]) -> Wanted:
    """What these reports need of each drawing."""
    from dimaudit.report.formats import DETAILED

    return Wanted(
        details=any(isinstance(report, DETAILED) for report, _ in reports),
        pictures=any(isinstance(report, Page) for report, _ in reports),
    )


class Screen:
    """The report for people, printed as it goes."""

    def __init__(self, console: "Console") -> None:
        self._console = console

    def begin(self) -> str:
        return ""

    def drawing(self, result: Result) -> str:
        from dimaudit.report.terminal import print_drawing

        print_drawing(self._console, result)
        return ""

    def end(self, totals: Totals) -> str:
        from dimaudit.report.terminal import print_end

        print_end(self._console, totals)
        return ""


class Page:
    """The page; it needs each drawing itself, and all of them at the end."""

    def __init__(self) -> None:
        self._drawings: list[DrawingAudit | UnreadDrawing] = []
        self._seen: list[Seen] = []
        self._accepted: list[int] = []

    def begin(self) -> str:
        return ""

    def show(self, result: Result, shown: tuple[DrawingAudit | UnreadDrawing, Seen] | None) -> None:
        """The drawing whose result comes next."""
        assert shown is not None
        audit, looks = shown
        if isinstance(audit, DrawingAudit) and isinstance(result, Audited):
            audit = replace(audit, findings=result.record.findings)
        self._drawings.append(audit)
        self._seen.append(looks)
        self._accepted.append(len(result.accepted) if isinstance(result, Audited) else 0)

    def drawing(self, result: Result) -> str:  # noqa: ARG002 (it was shown)
        return ""

    def end(self, totals: Totals) -> str:
        from dimaudit.report.html import html_report
        from dimaudit.report.interface import Run

        report = Report(tuple(self._drawings), totals.faults)
        return html_report(Run(report, __version__, tuple(self._seen), tuple(self._accepted), totals.remarks))


def standard_output(piece: str) -> None:
    """The sink of a report that goes to no file."""
    if piece:
        sys.stdout.buffer.write(piece.encode("utf-8", "backslashreplace"))


def into(stack: ExitStack, path: Path) -> Sink:
    """The sink of a file, which takes its name when the stack is left."""
    file = stack.enter_context(whole_file(path))

    def write(piece: str) -> None:
        file.write(piece.encode("utf-8", "backslashreplace"))

    return write
