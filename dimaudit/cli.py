"""Arguments to pipeline to exit status."""

import atexit
import gc
import os
import sys
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import ExitStack, contextmanager
from fractions import Fraction
from pathlib import Path
from typing import IO, TYPE_CHECKING, Any

import click

from dimaudit import __version__
from dimaudit.errors import AuditError, UsageError
from dimaudit.exact.number import Rounding
from dimaudit.model.audit import DrawingAudit, Level, Report, RuleFault, UnreadDrawing
from dimaudit.model.general import GeneralTolerance, GeneralTolerances, Iso2768
from dimaudit.model.scheme import Implied
from dimaudit.model.seen import Seen
from dimaudit.model.settings import EATEN_SHARE, Settings, ViewBox
from dimaudit.model.units import IN_MM, Unit
from dimaudit.write.whole import write_whole

if TYPE_CHECKING:
    from rich.console import Console

    from dimaudit.pipeline import Reading

CLEAN, FINDINGS, UNUSABLE, OUR_FAULT = 0, 1, 2, 3
"""Exit statuses; see docs/exit-status.md."""


class Number(click.ParamType[Fraction]):
    """A non-negative decimal or a fraction, read exactly."""

    name = "number"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Fraction:
        if isinstance(value, Fraction):
            return value
        try:
            number = Fraction(str(value))
        except (ValueError, ZeroDivisionError):
            self.fail(f"{value!r} is neither a decimal nor a fraction such as 1/64", param, ctx)
        if number < 0:
            self.fail(f"{value!r} is negative", param, ctx)
        return number


class FindingNumber(click.ParamType[int]):
    """The number of a finding, with or without the letter of its level: 3 or E3."""

    name = "number"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> int:
        digits = str(value).strip().lstrip("EWNewn")
        if not (digits.isascii() and digits.isdigit() and len(digits) < 10 and int(digits)):
            self.fail(f"{value!r} is not the number of a finding: write it as 3 or E3", param, ctx)
        return int(digits)


class Box(click.ParamType[ViewBox]):
    """A view's rectangle: X0,Y0,X1,Y1 with the view's scale behind an equals sign, if it is known."""

    name = "x0,y0,x1,y1[=scale]"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> ViewBox:
        if isinstance(value, ViewBox):
            return value
        corners, _, scale = str(value).partition("=")
        try:
            x0, y0, x1, y1 = (Fraction(part.strip()) for part in corners.split(","))
            ratio = None
            if scale:
                drawn, _, true = scale.partition(":")
                ratio = Fraction(drawn) / Fraction(true or "1")
        except (ValueError, ZeroDivisionError):
            self.fail(f"{value!r} is not X0,Y0,X1,Y1 with an optional =DRAWN:TRUE, as in 0,0,200,100=2:1", param, ctx)
        if ratio is not None and ratio <= 0:
            self.fail(f"the scale in {value!r} must be above zero", param, ctx)
        return ViewBox((min(x0, x1), min(y0, y1)), (max(x0, x1), max(y0, y1)), ratio)


class General(click.ParamType[GeneralTolerance | Iso2768 | None]):
    """One general tolerance: .XX=.01, fractions=1/64, angles=0.5, lengths=0.2, iso2768-m; or none."""

    name = "for=tolerance"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        if not isinstance(value, str) or value.strip().lower() == "none":
            return None if isinstance(value, str) else value
        from dimaudit.judge.title_block import tolerance_by_word

        try:
            return tolerance_by_word(value)
        except ValueError as error:
            self.fail(f"{value!r}: {error}", param, ctx)


NUMBER, BOX, GENERAL = Number(), Box(), General()


IMPLIED = {kind.word: kind for kind in Implied}
"""The words of `--not-implied`."""


def setting_options(command: Any) -> Any:
    """The options that steer an audit, shared by the commands."""
    options = (
        click.option("--units", type=click.Choice([str(u) for u in IN_MM]), help="The drawing's unit, by your word."),
        click.option("--rounding", type=click.Choice([str(r) for r in Rounding]), default=str(Rounding.HALF_UP),
                     show_default=True, help="How a value exactly between two neighbours is written."),
        click.option("--snap", type=NUMBER, help="Points nearer than this are one.  [default: .00001 in, .0001 mm]"),
        click.option("--near", type=NUMBER, help="A definition point this near a feature, and not on it, has missed "
                     "it.  [default: 1/32 in, .8 mm]"),
        click.option("--gap", type=NUMBER, help="Open ends nearer than this should meet.  [default: 1/64 in, .4 mm]"),
        click.option("--noise", type=NUMBER, help="How far a coordinate may be from a simple number to be taken for "
                     "it.  [default: sized from the file, at most .000001]"),
        click.option("--eaten-share", type=NUMBER, help="The share of a tolerance that rounding may eat before it is a "
                     "warning.  [default: 1/10]"),
        click.option("--general-tolerance", "general", type=GENERAL, multiple=True, help="A tolerance for dimensions "
                     "without their own, in place of those of the title block: .XX=.01, fractions=1/64, angles=0.5, "
                     "lengths=0.2, iso2768-m, or none. May be repeated."),
        click.option("--view", "views", type=BOX, multiple=True, help="A rectangle that holds one view, with its scale "
                     "if known: 0,0,200,100=2:1. May be repeated."),
        click.option("--without-layer", "layers", multiple=True, help="A layer to leave out. May be repeated."),
        click.option("--not-implied", "not_implied", type=click.Choice(list(IMPLIED)), multiple=True, help="What the "
                     "dimension scheme must not take as implied by the linework. May be repeated."),
    )  # fmt: skip
    for option in reversed(options):
        command = option(command)
    return command


FORMAT = click.option("--format", "format_", type=click.Choice(["terminal", "json"]), default="terminal",
                      show_default=True, help="How to say it.")  # fmt: skip
OUTPUT = click.option("--output", type=click.Path(path_type=Path, dir_okay=False), help="Write the report to a file.")


def settings_from(
    units: str | None, rounding: str, snap: Fraction | None, near: Fraction | None, gap: Fraction | None,
    noise: Fraction | None, eaten_share: Fraction | None, general: Sequence[GeneralTolerance | Iso2768 | None],
    views: Sequence[ViewBox], layers: Sequence[str], not_implied: Sequence[str] = (),
) -> Settings:  # fmt: skip
    for name, value in (("--near", near), ("--gap", gap)):
        if snap is not None and value is not None and value <= snap:
            raise UsageError(f"{name} must be larger than --snap: what is nearer than that is joined, not missed")
    if eaten_share is not None and not 0 < eaten_share <= 1:
        raise UsageError("--eaten-share must be above 0 and at most 1, as in 1/10")
    return Settings(
        rounding=Rounding(rounding), unit=None if units is None else Unit(units), snap=snap, near=near, gap=gap,
        noise=noise, eaten_share=EATEN_SHARE if eaten_share is None else eaten_share,
        general=general_from(general), views=tuple(views), left_out_layers=tuple(layers),
        taken_as_implied=tuple(kind for word, kind in IMPLIED.items() if word not in not_implied),
    )  # fmt: skip


def general_from(stated: Sequence[GeneralTolerance | Iso2768 | None]) -> GeneralTolerances | None:
    """General tolerances by the user's word; None where nothing was said."""
    if not stated:
        return None
    entries = tuple(e for e in stated if isinstance(e, GeneralTolerance))
    classes = tuple(e for e in stated if isinstance(e, Iso2768))
    names = [e.name for e in entries] + ["iso2768"] * len(classes)
    if None in stated and len(stated) > 1:
        raise UsageError("--general-tolerance none leaves no room for another: drop one of them")
    if len(set(names)) < len(names):
        twice = next(name for name in names if names.count(name) > 1)
        raise UsageError(f"--general-tolerance is given twice for {twice}: drop one of them")
    return GeneralTolerances(entries, classes[0] if classes else None)


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="dimaudit")
def cli() -> None:
    """Audit the dimensions of 2D DXF drawings: every stated number against the drawn geometry, in exact fractions.

    \b
    Example:
      dimaudit check print.dxf
    """


@cli.command()
@click.argument("paths", nargs=-1, required=True, type=click.Path(path_type=Path))
@setting_options
@click.option("--format", "format_", type=click.Choice(["terminal", "json", "html", "markdown"]), default="terminal",
              show_default=True, help="How to say it; html is a page with the drawing.")  # fmt: skip
@click.option("--output", type=click.Path(path_type=Path, dir_okay=False), help="Write the report to a file.")
@click.option("--fail-on", type=click.Choice([*map(str, Level), "never"]), default="error", show_default=True,
              help="The lowest level of finding that makes the exit status 1.")  # fmt: skip
@click.option("--fail-on-not-judged", is_flag=True,
              help="Exit with status 1 where a dimension, or a whole drawing, could not be judged.")  # fmt: skip
def check(
    paths: tuple[Path, ...], format_: str, output: Path | None, fail_on: str, fail_on_not_judged: bool, **options: Any
) -> None:
    """Audit drawings: files, or folders that are searched for .dxf files.

    \b
    Exit status: 0 nothing at or above the failing level; 1 findings; 2 wrong usage, nothing matched, or a file
    that could not be read; 3 a fault of the tool itself.

    \b
    Examples:
      dimaudit check print.dxf
      dimaudit check drawings/ --fail-on warning
      dimaudit check print.dxf --format json --output report.json
      dimaudit check drawings/ --format html --output report.html
    """
    settings = settings_from(**options)
    files = list(find_drawings(paths))
    if not files:
        raise UsageError(f"no .dxf file in {', '.join(map(str, paths))}: name a drawing, or a folder that holds some")
    if output is not None and any(output.exists() and f.exists() and output.samefile(f) for f in files):
        raise UsageError(f"{output} is one of the drawings; a drawing is never written over: name another file")
    from dimaudit.report.formats import SHOWING

    seen: list[Seen] = []
    report = run(files, settings, format_ if output is None else "", seen if format_ in SHOWING else None)
    if format_ != "terminal" or output is not None:
        text = _whole(report, seen, settings, format_)
        if output is None:
            sys.stdout.buffer.write(text.encode("utf-8"))
        else:
            write_whole(output, text)
    sys.stdout.flush()
    raise SystemExit(status(report, fail_on, fail_on_not_judged))


def _whole(report: Report, seen: Sequence[Seen], settings: Settings, format_: str) -> str:
    from dimaudit.report.formats import FORMATS
    from dimaudit.report.interface import Run

    if format_ in FORMATS:
        return FORMATS[format_](Run(report, settings, __version__, tuple(seen)))
    import io

    from rich.console import Console

    from dimaudit.report.terminal import print_drawing, print_end

    buffer = io.StringIO()
    console = Console(file=buffer, width=120, highlight=False, color_system=None)
    for drawing in report.drawings:
        print_drawing(console, drawing)
    print_end(console, report)
    return buffer.getvalue()


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


def run(files: Sequence[Path], settings: Settings, show: str, seen: list[Seen] | None = None) -> Report:
    """Audits each file; what one of them does never stops the others. `show` 'terminal' prints as it goes. What each
    drawing looks like is added to `seen`, where that is given."""
    from rich.console import Console

    from dimaudit.pipeline import audit_file, see_file
    from dimaudit.report.terminal import print_drawing, print_end

    drawings: list[DrawingAudit | UnreadDrawing] = []
    faults: list[RuleFault] = []
    fixed = (None, None) if sys.stdout.isatty() else (120, 25)  # a pipe has no size to be asked for
    console = Console(highlight=False, width=fixed[0], height=fixed[1])
    with _progress(console if show == "terminal" and sys.stdout.isatty() else Console(stderr=True), len(files)) as done:
        for k, file in enumerate(files):
            looks = Seen()
            try:
                if seen is None:
                    drawing, broken = audit_file(file, settings)
                else:
                    drawing, broken, looks = see_file(file, settings)
            except Exception as error:
                drawing = UnreadDrawing(str(file), f"{file}: a fault of dimaudit itself ended its audit")
                broken = (RuleFault(str(file), "the audit", f"{type(error).__name__}: {error}"),)
            drawings.append(drawing)
            faults += broken
            if seen is not None:
                seen.append(looks)
            if show == "terminal":
                print_drawing(console, drawing)
            done()
            if k + 1 < len(files):
                gc.collect()  # a document is full of cycles; what is read next should not wait behind it
    report = Report(tuple(drawings), tuple(faults))
    if show == "terminal":
        print_end(console, report)
    return report


@contextmanager
def _progress(console: "Console", total: int, what: str = "auditing") -> Iterator[Callable[[], None]]:
    """A bar on a terminal that goes away when it is done, nothing in a pipe; the report is printed above it."""
    from rich.progress import Progress

    if total < 2 or not console.is_terminal:
        yield lambda: None
        return
    with Progress(console=console, transient=True) as progress:
        task = progress.add_task(what, total=total)
        yield lambda: progress.advance(task)


def status(report: Report, fail_on: str, fail_on_not_judged: bool) -> int:
    """The exit status: our own fault outranks an unread file, which outranks findings."""
    if report.faults:
        return OUR_FAULT
    if any(isinstance(d, UnreadDrawing) for d in report.drawings):
        return UNUSABLE
    audited = [d for d in report.drawings if isinstance(d, DrawingAudit)]
    if fail_on != "never":
        failing = list(Level)[: list(Level).index(Level(fail_on)) + 1]
        if any(f.level in failing for d in audited for f in d.findings):
            return FINDINGS
    if fail_on_not_judged and any(not d.judgements or d.judged() < len(d.judgements) for d in audited):
        return FINDINGS
    return CLEAN


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

    audit, faults = audit_file(drawing, settings_from(**options))
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
        _spare(drawing, written)
    if output is not None and report_to is not None and output.resolve() == report_to.resolve():
        raise UsageError(f"{output} can't hold both the part and the report: name two files")
    settings = settings_from(**options)
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

        _deliver(as_read_report(found.drawing, found.parts, found.texts, neglected, found.faults, settings,
                                __version__), report_to)  # fmt: skip
    elif report_to is not None:
        from io import StringIO

        buffer = StringIO()
        _print_as_read(found, buffer)
        _deliver(buffer.getvalue(), report_to)
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
    _spare(drawing, output)
    settings = settings_from(**options)
    audit, faults = _audited(drawing, settings)
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

        _deliver(stacks_report(audit, found, named, least_certain, faults, settings, __version__), output)
    else:
        lines = [*(worst_lines(least_certain, audit.unit) if named is None else between_lines(found, audit.unit))]
        _deliver(_for_people(audit, lines or ["not judged: no view has a chain of dimensions along an axis"], faults),
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

    _spare(drawing, output)
    settings = settings_from(**options)
    audit, faults = _audited(drawing, settings)
    judged = {j.attached.dimension.handle: j for j in audit.judgements}
    fractions = audit.unit in INCHES
    found = list(advice(audit.schemes, judged, settings.eaten_share, within, fractions, audit.rounding))
    if format_ == "json":
        from dimaudit.report.advice_json import advice_report

        _deliver(advice_report(audit, found, within, faults, settings, __version__), output)
    else:
        lines = [line for one in found for line in advice_lines(one, audit.unit)]
        _deliver(_for_people(audit, lines or ["no dimensions that hang together along an axis"], faults), output)
    raise SystemExit(OUR_FAULT if faults else CLEAN)


@cli.command()
@click.argument("drawing", type=click.Path(path_type=Path, dir_okay=False))
@click.option("--finding", "number", type=FindingNumber(), metavar="N", help="The part around one finding, its "
              "entities in emphasis: its number on the picture, the page and the marked copy, as 3 or as E3.")
@click.option("--handle", help="The part around one entity of the drawing, with what is found about it.")
@click.option("--layout", help="The layout to draw.  [default: the one with the most findings]")
@click.option("--output", type=click.Path(path_type=Path, dir_okay=False), help="The file to write: .svg or .png.  "
              "[default: SVG to standard output]")
@click.option("--dark", is_flag=True, help="Light lines on dark paper.")
@click.option("--unmarked", is_flag=True, help="The drawing alone, without an audit.")
@click.option("--pixels", type=click.IntRange(100, 20_000), default=2000, show_default=True, help="Width of a PNG.")
@setting_options
def picture(
    drawing: Path, number: int | None, handle: str | None, layout: str | None, output: Path | None, dark: bool,
    unmarked: bool, pixels: int, **options: Any,
) -> None:
    """Draw a picture of a drawing with its findings marked, or of one finding, as SVG or PNG.

    \b
    Examples:
      dimaudit picture print.dxf --output print.svg
      dimaudit picture print.dxf --finding 3 --output finding-3.png
      dimaudit picture print.dxf --handle B7 --dark --output B7.svg
    """
    from dimaudit.pipeline import pictures_of_file
    from dimaudit.report.hand_out import hand_out
    from dimaudit.report.png import MOST, png_of, width_that_fits
    from dimaudit.report.visible import visible

    if sum((number is not None, handle is not None, unmarked)) > 1:
        raise UsageError("--finding, --handle and --unmarked are three pictures: ask for one of them")
    if output is not None and output.suffix.lower() not in (".svg", ".png"):
        raise UsageError(f"{output}: a picture is written as .svg or .png: name such a file")
    _spare(drawing, output)
    try:
        pictures = pictures_of_file(drawing, None if layout is None else [layout])
    except KeyError:
        raise UsageError(f"{drawing}: no layout is named {layout!r}") from None
    audit, faults = (None, ()) if unmarked else _audited(drawing, settings_from(**options))
    findings = () if audit is None else audit.findings
    try:
        svg, drawn = hand_out(pictures, findings, drawing.name, number, handle, "dark" if dark else "light")
    except LookupError as error:
        raise UsageError(f"{drawing}: {error.args[0]}") from None
    content: str | bytes = svg
    if output is not None and output.suffix.lower() == ".png":
        try:
            width = width_that_fits(svg, pixels)
        except ValueError as error:
            raise UsageError(f"{drawing}: {error}") from None
        content = png_of(svg, width)
        if width < pixels:
            click.echo(f"{width} pixels wide, not {pixels}: a PNG has at most {MOST:,} pixels", err=True)
    if output is not None:
        write_whole(output, content)
    else:
        sys.stdout.buffer.write(svg.encode("utf-8"))
        sys.stdout.flush()
    for why, count in Counter(why for _, why in drawn.left_out).items():
        click.echo(f"not drawn: {count} × {visible(why)}", err=True)
    if others := [p.layout for p in pictures if p is not drawn]:
        click.echo(f"drawn: layout {visible(drawn.layout)}; with --layout, also {visible(', '.join(others))}", err=True)
    for fault in faults:
        click.echo(f"a fault of dimaudit itself: {visible(fault.rule)}: {visible(fault.error)}", err=True)
    raise SystemExit(OUR_FAULT if faults else CLEAN)


def _audited(drawing: Path, settings: Settings) -> tuple[DrawingAudit, tuple[RuleFault, ...]]:
    from dimaudit.pipeline import audit_file

    audit, faults = audit_file(drawing, settings)
    if isinstance(audit, UnreadDrawing):
        raise AuditError(audit.why)
    return audit, faults


def _for_people(audit: DrawingAudit, lines: Iterable[str], faults: Sequence[RuleFault]) -> str:
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


def _spare(drawing: Path, output: Path | None) -> None:
    """Refuses to write over the drawing."""
    if output is not None and output.exists() and drawing.exists() and output.samefile(drawing):
        raise UsageError(f"{output} is the drawing itself; a drawing is never written over: name another file")


def _deliver(text: str, output: Path | None) -> None:
    """A whole report, to a file or to standard output."""
    if output is None:
        sys.stdout.buffer.write(text.encode("utf-8"))
        sys.stdout.flush()
    else:
        write_whole(output, text)


@cli.command()
@click.argument("drawing", type=click.Path(path_type=Path, dir_okay=False))
@click.option("--out", type=click.Path(path_type=Path, dir_okay=False), required=True, help="The copy's name; an "
              "earlier marked copy is written over, no other drawing is.")  # fmt: skip
@setting_options
def mark(drawing: Path, out: Path, **options: Any) -> None:
    """Write a copy of a drawing with every finding marked in it: balloons, and a table beside the drawing.

    The drawing itself is never changed, and the copy holds all of it, byte for byte.

    \b
    Examples:
      dimaudit mark print.dxf --out print-marked.dxf
      dimaudit mark print.dxf --out print-marked.dxf --units in
    """
    from dimaudit.report.interface import CAUTION
    from dimaudit.write.marked import is_marked, marked_copy

    _spare(drawing, out)
    if out.suffix.lower() != ".dxf":
        raise UsageError(f"{out}: a marked copy is a DXF file: give it a name that ends in .dxf")
    if out.exists() and not is_marked(out):
        raise UsageError(f"{out} is there already and no marked copy: name another file, or take that one away")
    audit, faults = _audited(drawing, settings_from(**options))
    copy = marked_copy(drawing, audit, CAUTION)
    write_whole(out, copy.content)
    said = [f"{out}: {copy.balloons} of {len(audit.findings)} findings marked on layer {copy.layer}"]
    if copy.legend_only:
        said.append(f"{copy.legend_only} without a place of their own: in the table beside the drawing")
    _deliver(_for_people(audit, said, faults), None)
    raise SystemExit(OUR_FAULT if faults else CLEAN)


@cli.command()
@click.argument("key", type=click.Path(path_type=Path, dir_okay=False))
@click.option("--output", required=True, type=click.Path(path_type=Path, dir_okay=False),
              help="The rubric file to write; one that is there is never written over.")  # fmt: skip
@click.option("--with-a-faulty-key", "faulty", is_flag=True, help="Write it though the key has errors of its own.")
def rubric(key: Path, output: Path, faulty: bool) -> None:
    """Write a rubric for a key drawing, to be edited: what is asked, what it gives, what is let pass.

    \b
    Exit status: 0 written; 1 not written, since the key has errors of its own; 2 wrong usage.
    Example:
      dimaudit rubric key.dxf --output rubric.toml
    """
    from dimaudit.grade.laid_out import key_of
    from dimaudit.grade.proposed import errors_of, proposed
    from dimaudit.grade.rubric_text import rubric_text
    from dimaudit.grade.told import fault_lines, rubric_lines
    from dimaudit.pipeline import examine_file

    if output.exists():
        raise UsageError(f"{output} is there, and may hold your edits: name another file, or delete it")
    examined = examine_file(key, Settings())
    found = key_of(examined)
    if not found.pieces:
        raise UsageError(f"{key}: no linework that a dimension belongs to: name the key drawing, with its dimensions")
    errors = errors_of(found)
    if errors:
        _tell(fault_lines(errors))
        if not faulty:
            click.echo(f"not written: mend {key}, or say --with-a-faulty-key", err=True)
            raise SystemExit(FINDINGS)
    try:
        name = Path(os.path.relpath(key, output.parent)).as_posix()
    except ValueError:  # on another drive
        name = key.resolve().as_posix()
    new = proposed(found, name, key.stem)
    write_whole(output, rubric_text(new, examined.audit.unit, [f"{e.rule}: {e.message}" for e in errors]))
    _tell(rubric_lines(new, str(output)))
    raise SystemExit(CLEAN)


@cli.command()
@click.argument("rubric", type=click.Path(path_type=Path, dir_okay=False))
@click.argument("submissions", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--output", required=True, type=click.Path(path_type=Path, file_okay=False),
              help="The folder for the gradebook.")  # fmt: skip
@click.option("--all-again", is_flag=True, help="Grade all, not only what is new or changed.")
@click.option("--explain-marks", "explain", multiple=True, metavar="NAME",
              help="Show how a submission's mark comes about, to be done again by hand. May be repeated.")  # fmt: skip
@click.option("--with-a-faulty-key", "faulty", is_flag=True,
              help="Go on though the key changed and has errors of its own.")  # fmt: skip
@click.option("--jobs", type=click.IntRange(min=1), help="Processes side by side.  [default: one a processor]")
def grade(
    rubric: Path, submissions: tuple[Path, ...], output: Path, all_again: bool, explain: tuple[str, ...], faulty: bool,
    jobs: int | None,
) -> None:  # fmt: skip
    """Grade layouts against a key: files, folders, or a zip of them, into a folder with the gradebook.

    \b
    Your own remarks and marks go into remarks.toml in that folder; they stay when you grade again.
    Exit status: 0 all graded; 1 something is for a person to look at; 2 wrong usage, or a rubric or key that
    can't be used; 3 a fault of the tool itself.
    Examples:
      dimaudit grade rubric.toml evening-class/ --output marks
      dimaudit grade rubric.toml evening-class.zip --output marks --explain-marks ines
    """
    from rich.console import Console

    from dimaudit.grade.room import FaultyKey, grade_class
    from dimaudit.grade.rubric import nearest
    from dimaudit.grade.told import class_lines, fault_lines, mark_lines

    with ExitStack() as stack:
        try:
            found = grade_class(
                rubric, submissions, output, __version__, jobs or os.cpu_count() or 1, all_again=all_again,
                faulty_key=faulty,
                progress=lambda n: stack.enter_context(_progress(Console(stderr=True), n, "grading")),
            )  # fmt: skip
        except FaultyKey as error:
            _tell(((0, error.said), *fault_lines(error.errors)))
            click.echo(f"not graded: mend {error.key}, or say --with-a-faulty-key", err=True)
            raise SystemExit(FINDINGS) from None
    _tell(class_lines(found, str(output)))
    known = [r.name for r in found.results]
    for name in explain:
        if name not in known:
            raise UsageError(f"--explain-marks: {name!r} is no submission's name{nearest(name, known)}")
        _tell(mark_lines(found, name))
    raise SystemExit(OUR_FAULT if found.faults else FINDINGS if found.summary.for_a_person else CLEAN)


def _tell(lines: Iterable[tuple[int, str]]) -> None:
    """Lines for a person, set in, wrapped on a terminal."""
    from rich.console import Console
    from rich.text import Text

    from dimaudit.report.terminal import put
    from dimaudit.report.visible import visible

    console = Console(highlight=False, width=None if sys.stdout.isatty() else 120)
    for indent, line in lines:
        put(console, Text(visible(line, 2000)), 3 * indent)


@cli.command()
def rules() -> None:
    """List the rules with the highest level that their findings have.

    \b
    Example:
      dimaudit rules
    """
    from dimaudit.judge import RULES

    width = max(len(rule.name) for rule in RULES)
    for rule in RULES:
        click.echo(f"{rule.name.ljust(width)}  {str(rule.level).ljust(7)}  {rule.summary}")


@cli.command()
@click.argument("command", type=click.Choice(["check", "as-read", "stack-up", "advise"]), default="check")
def schema(command: str) -> None:
    """Print the JSON Schema of a command's JSON report; without its name, that of `check`.

    \b
    Examples:
      dimaudit schema > report.schema.json
      dimaudit schema advise > advice.schema.json
    """
    import json

    from dimaudit.report.schemas import schema as load

    click.echo(json.dumps(load(command), indent=1))


LONGEST_ERROR = 4000
"""Characters of an error: names of files and words of a drawing are in it."""


def main() -> None:
    """The command line. Errors that a user can mend end with status 2, everything unforeseen with 3."""
    from dimaudit.report.visible import visible

    gc.disable()  # `run` collects between two drawings; in between there is no garbage worth looking for
    atexit.register(gc.freeze)  # what is left at the end goes with the process; nobody need take it apart first
    try:
        cli(standalone_mode=False)
    except click.exceptions.Abort:
        click.echo("interrupted", err=True)
        raise SystemExit(130) from None
    except click.ClickException as error:
        error.show()
        raise SystemExit(UNUSABLE) from None
    except AuditError as error:
        click.echo(f"dimaudit: {visible(str(error), LONGEST_ERROR)}", err=True)
        raise SystemExit(UNUSABLE) from None
    except BrokenPipeError:
        sys.stdout = None
        raise SystemExit(CLEAN) from None
    except Exception as error:
        what = visible(f"{type(error).__name__}: {error}", LONGEST_ERROR)
        click.echo(f"dimaudit: a fault of the tool itself: {what}", err=True)
        raise SystemExit(OUR_FAULT) from error
