"""`check`: drawings to reports."""

import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import ExitStack
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from dimaudit.batch.one import Job, Outcome
from dimaudit.cli.engine import ENGINE, Engine, engine_options
from dimaudit.cli.group import CLEAN, FINDINGS, OUR_FAULT, UNUSABLE, cli
from dimaudit.cli.options import configurations, failing_options, setting_options
from dimaudit.cli.reports import (
    FORMATS,
    Also,
    Page,
    Screen,
    Sink,
    into,
    report_in,
    standard_output,
    wanted_by,
    writable,
)
from dimaudit.cli.saying import progress_bar
from dimaudit.config.settle import Configured
from dimaudit.errors import UsageError
from dimaudit.model.audit import Level, RuleFault, UnreadDrawing
from dimaudit.model.record import Audited, Result, Tally, Totals

if TYPE_CHECKING:
    from dimaudit.report.interface import Format
    from dimaudit.repository.accepted import Acceptance


@cli.command()
@click.argument("paths", nargs=-1, required=True, type=click.Path(path_type=Path))
@setting_options
@click.option("--format", "format_", type=click.Choice(FORMATS), default="terminal",
              show_default=True, help="How to say it; html is a page with the drawing.")  # fmt: skip
@click.option("--output", type=click.Path(path_type=Path, dir_okay=False), help="Write the report to a file.")
@click.option("--also", type=Also(), multiple=True, help="Write the report in a second format to a file, too: "
              "sarif=audit.sarif. May be repeated.")  # fmt: skip
@click.option("--changed-since", metavar="REVISION", help="Only drawings that changed since the checked-out history "
              "left that of this git revision.")  # fmt: skip
@click.option("--accepted", "accepted_file", type=click.Path(path_type=Path, dir_okay=False), help="A file of accepted "
              "findings, made by `dimaudit accept`; they are counted and not reported.")  # fmt: skip
@click.option("--no-accepted", is_flag=True, help="Report accepted findings, too.")
@failing_options
@engine_options
def check(
    paths: tuple[Path, ...], format_: str, output: Path | None, also: tuple[tuple[str, Path], ...],
    changed_since: str | None, accepted_file: Path | None, no_accepted: bool, **options: Any,
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
      dimaudit check drawings/ --changed-since origin/main
      dimaudit check print.dxf --format json --output report.json
      dimaudit check drawings/ --format html --output report.html
      dimaudit check drawings/ --also sarif=audit.sarif --also junit=audit.xml
    """
    engine = Engine(*map(options.pop, ENGINE))
    files = drawings_in(paths)
    writable([*([] if output is None else [output]), *(file for _, file in also)], files)
    if changed_since is not None:
        files = changed(files, changed_since)
    configured = configurations(**options)
    drawings = [(file, configured.of(file)) for file in files]  # before the first audit: a slip in a file ends it here
    accepted = Acceptances(accepted_file, no_accepted)
    for _, holds in drawings:
        accepted.of(holds)
    from rich.console import Console

    fixed = (None, None) if sys.stdout.isatty() else (120, 25)  # a pipe has no size to be asked for
    console = Console(highlight=False, width=fixed[0], height=fixed[1])
    on_screen = output is None and format_ == "terminal"
    report = Screen(console) if on_screen else report_in(format_)
    ending = Ending()
    with ExitStack() as stack:
        sink = standard_output if output is None else into(stack, output)
        shown = console if on_screen and sys.stdout.isatty() else Console(stderr=True)
        done = stack.enter_context(progress_bar(shown, len(files)))
        reports = [(report, sink), *((report_in(name), into(stack, file)) for name, file in also)]
        jobs = [Job(file, holds.settings) for file, holds in drawings]
        outcomes = stack.enter_context(engine.outcomes(jobs, wanted_by(reports)))
        run(drawings, outcomes, reports, ending, accepted, done)
    sys.stdout.flush()
    raise SystemExit(ending.status)


def changed(files: Sequence[Path], revision: str) -> list[Path]:
    """Those that changed, or whose configuration or accepted findings did. Raises UsageError."""
    from dimaudit.config.files import OWN, SHARED
    from dimaudit.repository.accepted import FILE
    from dimaudit.repository.changed import changed_since

    steering = {OWN: _any, FILE: _any, SHARED: _of_ours}
    found = changed_since(files, revision, steering)
    said = f"{len(found)} of {len(files)} drawings changed since {revision}"
    click.echo(f"dimaudit: {said}", err=True)
    return found


def _any(_: bytes) -> bool:
    return True


def _of_ours(content: bytes) -> bool:
    return b"dimaudit" in content  # however the table is written


class Acceptances:
    """The files of accepted findings at work, each read once; none where the user wants none."""

    def __init__(self, given: Path | None, none: bool) -> None:
        self._given, self._none = given, none
        self._by_file: dict[Path, Acceptance] = {}

    def of(self, configured: Configured) -> "Acceptance | None":
        """The one that holds for a drawing; None where there is none. Raises UsageError."""
        file = self._given or configured.accepted
        if file is None or self._none:
            return None
        if file not in self._by_file:
            from dimaudit.repository.accepted import Acceptance, read_accepted

            self._by_file[file] = Acceptance(read_accepted(file), date.today())
        return self._by_file[file]

    def remarks(self) -> list[str]:
        """What there is to say of entries that are expired or match nothing."""
        return [remark for acceptance in self._by_file.values() for remark in acceptance.remarks()]


@dataclass
class Ending:
    """The exit status in the making: our own fault outranks an unread file, which outranks findings."""

    status: int = CLEAN

    def drawing(self, result: Result, configured: Configured) -> None:
        """A drawing that is told, and what holds for it."""
        if isinstance(result, UnreadDrawing):
            self.status = UNUSABLE
        elif self.status == CLEAN and _fails(result, configured):
            self.status = FINDINGS

    def end(self, totals: Totals) -> None:
        if totals.faults:
            self.status = OUR_FAULT


def _fails(result: Audited, configured: Configured) -> bool:
    record, level = result.record, configured.fail_on
    failing = [] if level is None else list(Level)[: list(Level).index(level) + 1]
    if any(f.level in failing for f in record.findings):
        return True
    return configured.fail_on_not_judged and (not record.dimensions or record.judged < record.dimensions)


def run(
    drawings: Sequence[tuple[Path, Configured]], outcomes: Iterable[Outcome],
    reports: Sequence[tuple["Format", Sink]], ending: Ending, accepted: Acceptances, done: Callable[[], None],
) -> None:  # fmt: skip
    """Hands what came out for each drawing to each report; nothing is kept of a drawing but counts."""
    from dimaudit.report.interface import pieces_at_end

    tally = Tally()
    faults: list[RuleFault] = []
    for report, sink in reports:
        sink(report.begin())
    for (_, configured), outcome in zip(drawings, outcomes, strict=True):
        found, told = outcome.found, outcome.details
        result: Result
        if isinstance(found, UnreadDrawing):
            result = found
        else:
            result = Audited(outcome.path, found, configured.settings, told)
            if (acceptance := accepted.of(configured)) is not None:
                result = acceptance.taken_out(result)
        faults += outcome.faults
        tally.add(result)
        ending.drawing(result, configured)
        for report, sink in reports:
            if isinstance(report, Page):
                report.show(result, outcome.shown)
            sink(report.drawing(result))
        done()
    totals = tally.totals(faults, accepted.remarks())
    ending.end(totals)
    for report, sink in reports:
        for piece in pieces_at_end(report, totals):
            sink(piece)


def drawings_in(paths: Sequence[Path]) -> list[Path]:
    """As `find_drawings`. Raises UsageError where there is none."""
    files = list(find_drawings(paths))
    if not files:
        raise UsageError(f"no .dxf file in {', '.join(map(str, paths))}: name a drawing, or a folder that holds some")
    return files


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
