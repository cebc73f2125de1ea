"""`check`: drawings to reports."""

import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import ExitStack
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from dimaudit import __version__
from dimaudit.batch.one import Job, Outcome, Wanted
from dimaudit.cli.engine import ENGINE, Engine, engine_options
from dimaudit.cli.group import CLEAN, FINDINGS, OUR_FAULT, UNUSABLE, cli
from dimaudit.cli.options import setting_options, settings_from
from dimaudit.cli.saying import progress_bar
from dimaudit.errors import UsageError
from dimaudit.model.audit import DrawingAudit, Level, Report, RuleFault, UnreadDrawing
from dimaudit.model.record import Audited, Result, Tally, Totals
from dimaudit.model.seen import Seen
from dimaudit.model.settings import Settings
from dimaudit.write.whole import whole_file

if TYPE_CHECKING:
    from rich.console import Console

    from dimaudit.report.interface import Format
    from dimaudit.repository.accepted import Acceptance

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


@cli.command()
@click.argument("paths", nargs=-1, required=True, type=click.Path(path_type=Path))
@setting_options
@click.option("--format", "format_", type=click.Choice(FORMATS), default="terminal",
              show_default=True, help="How to say it; html is a page with the drawing.")  # fmt: skip
@click.option("--output", type=click.Path(path_type=Path, dir_okay=False), help="Write the report to a file.")
@click.option("--also", type=Also(), multiple=True, help="Write the report in a second format to a file, too: "
              "sarif=audit.sarif. May be repeated.")  # fmt: skip
@click.option("--accepted", "accepted_file", type=click.Path(path_type=Path, dir_okay=False),
              help="A file of accepted findings, made by `dimaudit accept`; they are counted and not reported.")
@click.option("--no-accepted", is_flag=True, help="Report accepted findings, too.")
@click.option("--fail-on", type=click.Choice([*map(str, Level), "never"]), default="error", show_default=True,
              help="The lowest level of finding that makes the exit status 1.")  # fmt: skip
@click.option("--fail-on-not-judged", is_flag=True,
              help="Exit with status 1 where a dimension, or a whole drawing, could not be judged.")  # fmt: skip
@engine_options
def check(
    paths: tuple[Path, ...], format_: str, output: Path | None, also: tuple[tuple[str, Path], ...],
    accepted_file: Path | None, no_accepted: bool, fail_on: str, fail_on_not_judged: bool, **options: Any,
) -> None:  # fmt: skip
    """Audit drawings: files, or folders that are searched for .dxf files.

    \b
    Exit status: 0 nothing at or above the failing level; 1 findings; 2 wrong usage, nothing matched, or a file
    that could not be read; 3 a fault of the tool itself.

    \b
    Examples:
      dimaudit check print.dxf
      dimaudit check drawings/ --fail-on warning
      dimaudit check drawings/ --accepted dimaudit-accepted.toml
      dimaudit check print.dxf --format json --output report.json
      dimaudit check drawings/ --format html --output report.html
      dimaudit check drawings/ --also sarif=audit.sarif --also junit=audit.xml
    """
    engine = Engine(*map(options.pop, ENGINE))
    settings = settings_from(**options)
    files = list(find_drawings(paths))
    if not files:
        raise UsageError(f"no .dxf file in {', '.join(map(str, paths))}: name a drawing, or a folder that holds some")
    writable([*([] if output is None else [output]), *(file for _, file in also)], files)
    from rich.console import Console

    fixed = (None, None) if sys.stdout.isatty() else (120, 25)  # a pipe has no size to be asked for
    console = Console(highlight=False, width=fixed[0], height=fixed[1])
    on_screen = output is None and format_ == "terminal"
    report = _Screen(console) if on_screen else report_in(format_, settings)
    ending = Ending(fail_on, fail_on_not_judged)
    jobs = [Job(file, settings) for file in files]
    accepted = None if accepted_file is None or no_accepted else _acceptance(accepted_file)
    with ExitStack() as stack:
        sink = _standard_output if output is None else _into(stack, output)
        shown = console if on_screen and sys.stdout.isatty() else Console(stderr=True)
        done = stack.enter_context(progress_bar(shown, len(files)))
        reports = [(report, sink), *((report_in(name, settings), _into(stack, file)) for name, file in also)]
        outcomes = stack.enter_context(engine.outcomes(jobs, wanted_by(reports)))
        run(jobs, outcomes, reports, ending, done, accepted)
    sys.stdout.flush()
    raise SystemExit(ending.status)


def writable(reports: Sequence[Path], drawings: Sequence[Path]) -> None:
    """Raises UsageError where a report would be written over a drawing or over another report."""
    for file in reports:
        if any(file.exists() and d.exists() and file.samefile(d) for d in drawings):
            raise UsageError(f"{file} is one of the drawings; a drawing is never written over: name another file")
    names = [file.resolve() for file in reports]
    for k, name in enumerate(names):
        if name in names[:k]:
            raise UsageError(f"{reports[k]} is named for two reports: give each a file of its own")


def report_in(name: str, settings: Settings) -> "Format":
    """A report in the format of that name."""
    if name == "html":
        return _Page(settings)
    from dimaudit.report.formats import FORMATS as MADE

    return MADE[name](__version__)


def _acceptance(file: Path) -> "Acceptance":
    """The file at work, today."""
    from dimaudit.repository.accepted import Acceptance, read_accepted

    return Acceptance(read_accepted(file), date.today())


@dataclass
class Ending:
    """The exit status in the making: our own fault outranks an unread file, which outranks findings."""

    fail_on: str
    fail_on_not_judged: bool
    status: int = CLEAN

    def drawing(self, result: Result) -> None:
        if isinstance(result, UnreadDrawing):
            self.status = UNUSABLE
        elif self.status == CLEAN and self._fails(result):
            self.status = FINDINGS

    def _fails(self, result: Audited) -> bool:
        record = result.record
        failing = [] if self.fail_on == "never" else list(Level)[: list(Level).index(Level(self.fail_on)) + 1]
        if any(f.level in failing for f in record.findings):
            return True
        return self.fail_on_not_judged and (not record.dimensions or record.judged < record.dimensions)

    def end(self, totals: Totals) -> None:
        if totals.faults:
            self.status = OUR_FAULT


def wanted_by(reports: Iterable[tuple["Format", Sink]]) -> Wanted:
    """What these reports need of each drawing."""
    from dimaudit.report.formats import DETAILED

    return Wanted(
        details=any(isinstance(report, DETAILED) for report, _ in reports),
        pictures=any(isinstance(report, _Page) for report, _ in reports),
    )


def run(
    jobs: Sequence[Job], outcomes: Iterable[Outcome], reports: Sequence[tuple["Format", Sink]], ending: Ending,
    done: Callable[[], None] = lambda: None, accepted: "Acceptance | None" = None,
) -> None:  # fmt: skip
    """Hands what came out for each job to each report; nothing is kept of a drawing but counts."""
    tally = Tally()
    faults: list[RuleFault] = []
    for report, sink in reports:
        sink(report.begin())
    for job, outcome in zip(jobs, outcomes, strict=True):
        found, told = outcome.found, outcome.details
        result = found if isinstance(found, UnreadDrawing) else Audited(outcome.path, found, job.settings, told)
        if accepted is not None and isinstance(result, Audited):
            result = accepted.taken_out(result)
        faults += outcome.faults
        tally.add(result)
        ending.drawing(result)
        for report, sink in reports:
            if isinstance(report, _Page):
                report.show(result, outcome.shown)
            sink(report.drawing(result))
        done()
    totals = tally.totals(faults, () if accepted is None else accepted.remarks())
    ending.end(totals)
    for report, sink in reports:
        sink(report.end(totals))


class _Screen:
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


class _Page:
    """The page; it needs each drawing itself, and all of them at the end."""

    def __init__(self, settings: Settings) -> None:
        self._settings = settings
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
        accepted = tuple(self._accepted)
        return html_report(Run(report, self._settings, __version__, tuple(self._seen), accepted, totals.remarks))


def _standard_output(piece: str) -> None:
    if piece:
        sys.stdout.buffer.write(piece.encode("utf-8", "backslashreplace"))


def _into(stack: ExitStack, path: Path) -> Sink:
    """Writes to a file that takes its name when the stack is left."""
    file = stack.enter_context(whole_file(path))

    def write(piece: str) -> None:
        file.write(piece.encode("utf-8", "backslashreplace"))

    return write


def find_drawings(paths: Iterable[Path]) -> Iterator[Path]:
    """Files as named; .dxf files below folders, in the order of their names; each once."""
    seen: set[Path] = set()
    for path in paths:
        if path.is_dir():
            found = sorted(p for p in path.rglob("*") if p.suffix.lower() == ".dxf" and p.is_file())
        else:
            found = [path]
        for file in found:
            key = file.resolve()
            if key not in seen:
                seen.add(key)
                yield file
