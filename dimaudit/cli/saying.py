"""What the commands share in saying what they found."""

import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from dimaudit.errors import AuditError, UsageError
from dimaudit.model.audit import DrawingAudit, RuleFault, UnreadDrawing
from dimaudit.model.settings import Settings
from dimaudit.write.whole import write_whole

if TYPE_CHECKING:
    from rich.console import Console


@contextmanager
def progress_bar(console: "Console", total: int, what: str = "auditing") -> Iterator[Callable[[], None]]:
    """A bar on a terminal that goes away when it is done, nothing in a pipe; the report is printed above it."""
    from rich.progress import Progress

    if total < 2 or not console.is_terminal:
        yield lambda: None
        return
    with Progress(console=console, transient=True) as progress:
        task = progress.add_task(what, total=total)
        yield lambda: progress.advance(task)


def audited(drawing: Path, settings: Settings) -> tuple[DrawingAudit, tuple[RuleFault, ...]]:
    from dimaudit.pipeline import audit_file

    audit, faults = audit_file(drawing, settings)
    if isinstance(audit, UnreadDrawing):
        raise AuditError(audit.why)
    return audit, faults


def for_people(audit: DrawingAudit, lines: Iterable[str], faults: Sequence[RuleFault]) -> str:
    """The drawing and its unit, lines for a person, what failed, and the caution; wrapped as `check` wraps."""
    import io

    from rich.console import Console
    from rich.text import Text

    from dimaudit.report.interface import CAUTION, numbers_in
    from dimaudit.report.terminal import put
    from dimaudit.report.visible import visible

    width = Console().width if sys.stdout.isatty() else 120
    console = Console(file=io.StringIO(), width=width, highlight=False, color_system=None)
    broken = [f"a fault of dimaudit itself: {fault.rule}: {fault.error}" for fault in faults]
    for line in (f"{audit.path}: {numbers_in(audit.unit)}", *lines, *broken, CAUTION):
        put(console, Text(visible(line.lstrip(" "), 1200)), len(line) - len(line.lstrip(" ")))
    assert isinstance(console.file, io.StringIO)
    return console.file.getvalue()


def spare(drawing: Path, output: Path | None) -> None:
    """Refuses to write over the drawing."""
    if output is not None and output.exists() and drawing.exists() and output.samefile(drawing):
        raise UsageError(f"{output} is the drawing itself; a drawing is never written over: name another file")


def deliver(text: str, output: Path | None) -> None:
    """A whole report, to a file or to standard output."""
    if output is None:
        sys.stdout.buffer.write(text.encode("utf-8"))
        sys.stdout.flush()
    else:
        write_whole(output, text)


def tell(lines: Iterable[tuple[int, str]]) -> None:
    """Lines for a person, set in, wrapped on a terminal."""
    from rich.console import Console
    from rich.text import Text

    from dimaudit.report.terminal import put
    from dimaudit.report.visible import visible

    console = Console(highlight=False, width=None if sys.stdout.isatty() else 120)
    for indent, line in lines:
        put(console, Text(visible(line, 2000)), 3 * indent)
