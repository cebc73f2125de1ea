"""`compare`: two revisions of one print."""

import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from dimaudit import __version__
from dimaudit.cli.group import CLEAN, FINDINGS, OUR_FAULT, cli
from dimaudit.cli.options import OUTPUT, configured_for, setting_options
from dimaudit.cli.saying import deliver, spare, tell
from dimaudit.errors import UnreadableFile, UsageError
from dimaudit.model.audit import RuleFault
from dimaudit.model.picture import Picture
from dimaudit.model.settings import Settings
from dimaudit.write.whole import write_whole

if TYPE_CHECKING:
    from dimaudit.model.compared import Compared
    from dimaudit.pipeline import Examined
    from dimaudit.report.svg import Theme

PIXELS = 2000
"""Width of a PNG, the same as of `picture`."""


@cli.command()
@click.argument("old")
@click.argument("new")
@click.option("--format", "format_", type=click.Choice(["terminal", "json", "markdown", "html"]), default="terminal",
              show_default=True, help="How to say it; html is a page with one drawing over the other.")  # fmt: skip
@OUTPUT
@click.option("--picture", type=click.Path(path_type=Path, dir_okay=False),
              help="Write one drawing laid over the other, changes numbered, as .svg or .png.")  # fmt: skip
@click.option("--dark", is_flag=True, help="The picture on dark paper.")
@setting_options
def compare(
    old: str, new: str, format_: str, output: Path | None, picture: Path | None, dark: bool, **options: Any
) -> None:
    """Compare two revisions of one print: dimensions, geometry, notes, title block, and findings of the audit.

    \b
    OLD and NEW are files, or files as git has them at a revision: HEAD~1:drawings/print.dxf
    Exit status: 0 no change; 1 changes; 2 wrong usage, or a file that could not be read; 3 a fault of the tool itself.

    \b
    Examples:
      dimaudit compare print-a.dxf print-b.dxf
      dimaudit compare HEAD:drawings/print.dxf drawings/print.dxf --format markdown
      dimaudit compare print-a.dxf print-b.dxf --format html --output changes.html
    """
    from dimaudit.compare import compare as compared_with
    from dimaudit.repository.named import place_of

    settings = configured_for(place_of(new), **options).settings  # for both: else they would differ by what steers them
    if picture is not None and picture.suffix.lower() not in (".svg", ".png"):
        raise UsageError(f"{picture}: a picture is written as .svg or .png: name such a file")
    for written in (output, picture):
        for drawing in (old, new):
            spare(Path(drawing), written)
    if picture is not None and output is not None and picture.resolve() == output.resolve():
        raise UsageError(f"{output} can't hold both the report and the picture: name two files")
    wanted = picture is not None or format_ == "html"
    (one, was), (other, now) = (_examined(name, settings, wanted) for name in (old, new))
    found = compared_with(one, other)
    faults = (*one.faults, *other.faults)
    if format_ == "json":
        from dimaudit.report.compared_json import compared_json

        deliver(compared_json(found, faults, settings, __version__), output)
    elif format_ == "markdown":
        from dimaudit.report.compared_markdown import compared_markdown

        deliver(compared_markdown(found), output)
    elif format_ == "html":
        from dimaudit.report.html.compared import compared_page

        deliver(compared_page(found, was, now, faults, __version__), output)
    else:
        from dimaudit.report.compared_text import compared_lines

        if output is None:
            tell(compared_lines(found))
        else:
            from dimaudit.report.visible import visible

            lines = (" " * 3 * indent + visible(line, 2000) for indent, line in compared_lines(found))
            deliver("\n".join(lines) + "\n", output)
    sys.stdout.flush()
    if picture is not None:
        _write_picture(picture, found, was, now, "dark" if dark else "light")
    for fault in faults:
        tell([(0, f"a fault of dimaudit itself: {fault.rule}: {fault.error}")])
    raise SystemExit(OUR_FAULT if faults else FINDINGS if found.changes else CLEAN)


def _examined(name: str, settings: Settings, wanted: bool) -> tuple["Examined", tuple[Picture, ...]]:
    """A revision audited, under the name by which it was asked for, and its pictures where they are wanted."""
    from dimaudit.pipeline import examine_file, pictures_of_file
    from dimaudit.repository.named import revision_file

    with revision_file(name) as file:
        try:
            found = examine_file(file, settings)
            pictures = pictures_of_file(file) if wanted else ()
        except UnreadableFile as error:
            raise UnreadableFile(str(error).replace(str(file), name)) from None
    faults = tuple(RuleFault(name, fault.rule, fault.error) for fault in found.faults)
    return replace(found, audit=replace(found.audit, path=name), faults=faults), pictures


def _write_picture(
    path: Path, found: "Compared", old: tuple[Picture, ...], new: tuple[Picture, ...], theme: "Theme"
) -> None:
    from dimaudit.report.compared_svg import compared_svg
    from dimaudit.report.png import png_of, width_that_fits
    from dimaudit.report.visible import visible

    svg, others = compared_svg(found, old, new, theme)
    content: str | bytes = svg
    if path.suffix.lower() == ".png":
        try:
            content = png_of(svg, width_that_fits(svg, PIXELS))
        except ValueError as error:
            raise UsageError(f"{path}: {error}") from None
    write_whole(path, content)
    if others:
        click.echo(f"not on the picture: layout {visible(', '.join(others))}; --format html has all", err=True)
