"""`explain`: one dimension worked out, or all that is found about an entity."""

import sys
from pathlib import Path
from typing import Any

import click

from dimaudit.cli.group import CLEAN, OUR_FAULT, cli
from dimaudit.cli.options import configured_for, setting_options
from dimaudit.errors import AuditError, UsageError
from dimaudit.model.audit import UnreadDrawing


@cli.command()
@click.argument("drawing", type=click.Path(path_type=Path, dir_okay=False))
@click.argument("handle")
@setting_options
def explain(drawing: Path, handle: str, **options: Any) -> None:
    """Show the whole arithmetic for one dimension, step by step, or all that is found about another entity.

    \b
    HANDLE is that of the dimension, note, frame or line, as `check` prints it.
    Example:
      dimaudit explain print.dxf B7
    """
    from rich.console import Console
    from rich.text import Text

    from dimaudit.pipeline import audit_file
    from dimaudit.report.arithmetic import arithmetic
    from dimaudit.report.interface import CAUTION
    from dimaudit.report.terminal import put
    from dimaudit.report.visible import visible

    audit, faults = audit_file(drawing, configured_for(drawing, **options).settings)
    if isinstance(audit, UnreadDrawing):
        raise AuditError(audit.why)
    wanted = handle.strip().upper()
    found = [j for j in audit.judgements if j.attached.dimension.handle.upper() == wanted]
    findings = [f for f in audit.findings if wanted in (h.upper() for h in f.handles)]
    if found:  # what is said of all dimensions at once is no news about one
        findings = [f for f in findings if f.where + f.view]
    texts = [t for t in audit.texts if t.handle.upper() == wanted]
    if not (found or findings or texts):
        known = ", ".join(j.attached.dimension.handle for j in audit.judgements[:12])
        more = " …" if len(audit.judgements) > 12 else ""
        raise UsageError(
            f"{drawing}: no dimension and no finding with handle {handle}; its dimensions are: {known or 'none'}{more}"
        )
    console = Console(highlight=False, width=None if sys.stdout.isatty() else 120)
    for judgement in found:
        for step in arithmetic(judgement, audit):
            console.print(Text(step.title, style="bold"))
            for line in step.lines:
                put(console, Text(visible(line)), 3)
    for text in texts:
        read = text.read_as or "not understood"
        put(console, Text(f"text '{visible(text.text)}': {read}{': ' if text.why else ''}{visible(text.why)}"))
    for finding in findings:
        console.print(Text(f"{finding.level}: {finding.rule}", style="bold"))
        put(console, Text(visible(finding.message)), 3)
        for reason in () if found else finding.why:
            put(console, Text(visible(reason)), 3)
        put(console, Text(f"to do: {visible(finding.suggestion)}"), 3)
    for fault in faults:
        put(console, Text(f"a fault of dimaudit itself: {visible(fault.rule)}: {visible(fault.error)}"))
    put(console, Text(CAUTION, style="italic"))
    raise SystemExit(OUR_FAULT if faults else CLEAN)
