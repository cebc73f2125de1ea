"""`as-read`, `stack-up` and `advise`: what the dimensions of a part make together."""

import sys
from fractions import Fraction
from pathlib import Path
from typing import IO, TYPE_CHECKING, Any

import click

from dimaudit import __version__
from dimaudit.cli.group import CLEAN, OUR_FAULT, cli
from dimaudit.cli.options import NUMBER, configured_for, setting_options
from dimaudit.cli.saying import audited, deliver, for_people, spare
from dimaudit.errors import UsageError
from dimaudit.write.whole import write_whole

if TYPE_CHECKING:
    from dimaudit.pipeline import Reading

FORMAT = click.option("--format", "format_", type=click.Choice(["terminal", "json"]), default="terminal",
                      show_default=True, help="How to say it.")  # fmt: skip
OUTPUT = click.option("--output", type=click.Path(path_type=Path, dir_okay=False), help="Write the report to a file.")


@cli.command("as-read")
@click.argument("drawing", type=click.Path(path_type=Path, dir_okay=False))
@setting_options
@click.option("--neglect", multiple=True, metavar="HANDLE", help="A dimension that is not to be trusted: its drawn "
              "value stands, where nothing else gives it. May be repeated.")  # fmt: skip
@FORMAT
@click.option("--report", "report_to", type=click.Path(path_type=Path, dir_okay=False),
              help="Write the report to a file.")  # fmt: skip
@click.option("--output", type=click.Path(path_type=Path, dir_okay=False), help="Write the as-read part as DXF.")
def as_read(
    drawing: Path, neglect: tuple[str, ...], format_: str, report_to: Path | None, output: Path | None, **options: Any
) -> None:
    """Show where the print, taken at its word, puts each feature, against where it is drawn.

    \b
    Example:
      dimaudit as-read print.dxf
      dimaudit as-read print.dxf --output as-read.dxf
      dimaudit as-read print.dxf --format json --report as-read.json
    """
    from dimaudit.pipeline import as_read_file
    from dimaudit.report.interface import CAUTION

    for written in (output, report_to):
        spare(drawing, written)
    if output is not None and report_to is not None and output.resolve() == report_to.resolve():
        raise UsageError(f"{output} can't hold both the part and the report: name two files")
    settings = configured_for(drawing, **options).settings
    neglected = frozenset(h.strip().upper() for h in neglect)
    found = as_read_file(drawing, settings, neglected)
    unknown = sorted({h for h in neglect if h.strip().upper() not in {k.upper() for k in found.texts}})
    if unknown:
        raise UsageError(f"{drawing}: no dimension with handle {', '.join(unknown)}: `check` shows the handles")
    if output is not None:
        from dimaudit.write.part import part_dxf

        if not found.parts:
            raise UsageError(f"{drawing}: there is no as-read part to write")
        note = ["AS-READ PART: THE STATED NUMBERS, NOT THE DRAWING. VERIFY BEFORE CUTTING METAL.", CAUTION]
        shapes = [shape for part in found.parts for shape in part.shapes]
        write_whole(output, part_dxf(shapes, found.drawing.unit, note))
    if format_ == "json":
        from dimaudit.report.as_read_json import as_read_report

        deliver(as_read_report(found.drawing, found.parts, found.texts, neglected, found.faults, settings,
                                __version__), report_to)  # fmt: skip
    elif report_to is not None:
        from io import StringIO

        buffer = StringIO()
        _print_as_read(found, buffer)
        deliver(buffer.getvalue(), report_to)
    else:
        _print_as_read(found, None)
    raise SystemExit(OUR_FAULT if found.faults else CLEAN)


def _print_as_read(found: "Reading", to: IO[str] | None) -> None:
    """The as-read parts for people: on standard output, or into `to`."""
    from rich.console import Console
    from rich.text import Text

    from dimaudit.report.as_read import as_read_lines
    from dimaudit.report.interface import CAUTION, numbers_in
    from dimaudit.report.terminal import put
    from dimaudit.report.visible import visible

    console = Console(file=to, highlight=False, width=None if to is None and sys.stdout.isatty() else 120)
    put(console, Text(visible(f"{found.drawing.path}: {numbers_in(found.drawing.unit)}"), style="bold"))
    if not found.parts:
        put(console, Text("nothing to read: no view has dimensions enough to be a part"), 2)
    for indent, line in as_read_lines(found.parts, found.drawing.unit, found.texts):
        put(console, Text(visible(line, 2000), style="bold" if not indent else ""), indent)
    for fault in found.faults:
        put(console, Text(f"a fault of dimaudit itself: {visible(fault.rule)}: {visible(fault.error)}"))
    put(console, Text(CAUTION, style="italic"))


@cli.command("stack-up")
@click.argument("drawing", type=click.Path(path_type=Path, dir_okay=False))
@click.argument("from_", metavar="[FROM", required=False)
@click.argument("to", metavar="TO]", required=False)
@click.option("--worst", type=click.IntRange(min=1), default=3, show_default=True,
              help="Without FROM and TO: how many pairs are shown for each view and direction.")  # fmt: skip
@FORMAT
@OUTPUT
@setting_options
def stack_up(
    drawing: Path, from_: str | None, to: str | None, worst: int, format_: str, output: Path | None, **options: Any
) -> None:
    """Add up what the tolerances in force allow between two features, along the shortest chain that the print defines.

    \b
    FROM and TO are handles of lines, arcs or circles, or places as X,Y in drawing units.
    Without them: the pairs of levels of each view whose distance is least certain.
    Examples:
      dimaudit stack-up print.dxf 4F 52
      dimaudit stack-up print.dxf 0,0 2.5,1
      dimaudit stack-up print.dxf --worst 5
      dimaudit stack-up print.dxf 4F 52 --format json
    """
    from dimaudit.report.stack_text import between, between_lines, worst_lines
    from dimaudit.scheme.stack import worst_pairs
    from dimaudit.text.levels import levels_named

    if from_ is not None and to is None:
        raise UsageError("name two features, FROM and TO, or none for the worst pairs of each view")
    spare(drawing, output)
    settings = configured_for(drawing, **options).settings
    audit, faults = audited(drawing, settings)
    judged = {j.attached.dimension.handle: j for j in audit.judgements}
    named = None if from_ is None or to is None else (from_, to)
    if named is not None:
        try:
            ends = [levels_named(audit.schemes, word, audit.lengths.near) for word in named]
        except ValueError as error:
            raise UsageError(f"{drawing}: {error}") from None
        found, least_certain = between(ends[0], ends[1], judged), []
    else:
        found, least_certain = [], [w for s in audit.schemes for w in worst_pairs(s, judged, worst)]
    if format_ == "json":
        from dimaudit.report.stack_json import stacks_report

        deliver(stacks_report(audit, found, named, least_certain, faults, settings, __version__), output)
    else:
        lines = [*(worst_lines(least_certain, audit.unit) if named is None else between_lines(found, audit.unit))]
        deliver(for_people(audit, lines or ["not judged: no view has a chain of dimensions along an axis"], faults),
                 output)  # fmt: skip
    raise SystemExit(OUR_FAULT if faults else CLEAN)


@cli.command()
@click.argument("drawing", type=click.Path(path_type=Path, dir_okay=False))
@click.option("--within", type=NUMBER, help="How far a feature may land from where it is drawn.  [default: the eaten "
              "share of the tolerance in force, or half a unit in the last place]")  # fmt: skip
@FORMAT
@OUTPUT
@setting_options
def advise(drawing: Path, within: Fraction | None, format_: str, output: Path | None, **options: Any) -> None:
    """Say which dimensions need more decimals, or a fraction, or another origin, so that chains close.

    \b
    Each group of dimensions that hang together along an axis gets its own advice.
    Examples:
      dimaudit advise print.dxf
      dimaudit advise print.dxf --within .0005
      dimaudit advise print.dxf --format json --output advice.json
    """
    from dimaudit.model.units import INCHES
    from dimaudit.scheme.advice import advise as advice
    from dimaudit.text.advice_text import advice_lines

    spare(drawing, output)
    settings = configured_for(drawing, **options).settings
    audit, faults = audited(drawing, settings)
    judged = {j.attached.dimension.handle: j for j in audit.judgements}
    fractions = audit.unit in INCHES
    found = list(advice(audit.schemes, judged, settings.eaten_share, within, fractions, audit.rounding))
    if format_ == "json":
        from dimaudit.report.advice_json import advice_report

        deliver(advice_report(audit, found, within, faults, settings, __version__), output)
    else:
        lines = [line for one in found for line in advice_lines(one, audit.unit)]
        deliver(for_people(audit, lines or ["no dimensions that hang together along an axis"], faults), output)
    raise SystemExit(OUR_FAULT if faults else CLEAN)
