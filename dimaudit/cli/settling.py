"""`settings`: what holds for a drawing, and where each value is from."""

import sys
from pathlib import Path
from typing import Any

import click

from dimaudit import __version__
from dimaudit.cli.group import cli
from dimaudit.cli.options import FORMAT, configurations, failing_options, setting_options
from dimaudit.config.settle import Configured
from dimaudit.errors import UsageError


@cli.command()
@click.argument("drawing", type=click.Path(path_type=Path), required=False)
@setting_options
@failing_options
@FORMAT
def settings(drawing: Path | None, format_: str, **options: Any) -> None:
    """Show what holds for a drawing: each key, its value, and the file, table or option that says so.

    \b
    For a folder, or without a name for the one where you are: what holds for a drawing in it that no
    table [[for]] names.
    Examples:
      dimaudit settings print.dxf
      dimaudit settings drawings/ --format json
    """
    place = Path() if drawing is None else drawing
    if not place.exists():
        raise UsageError(f"{place}: there is no such drawing or folder: check the name")
    configured = configurations(**options)
    found = configured.of_folder(place) if place.is_dir() else configured.of(place)
    if format_ == "json":
        text = as_json(place, found)
    else:
        from rich.console import Console

        width = Console().width if sys.stdout.isatty() else 120
        text = as_text(place, found, width, files_left_out=options["without_configuration"])
    sys.stdout.buffer.write(text.encode("utf-8", "backslashreplace"))
    sys.stdout.flush()


def as_json(place: Path, found: Configured) -> str:
    from dimaudit.report.json_shared import head, written

    settings = [{"key": o.key, "value": o.value, "from": o.where} for o in found.origins]
    files = [str(file) for file in found.files]
    return written({**head("settings", __version__), "for": str(place), "files": files, "settings": settings})


def as_text(place: Path, found: Configured, width: int, *, files_left_out: bool = False) -> str:
    """Lines for a person, in three columns."""
    from io import StringIO

    from rich.console import Console
    from rich.table import Table
    from rich.text import Text

    from dimaudit.report.terminal import put
    from dimaudit.report.visible import visible

    out = StringIO()
    console = Console(file=out, width=width, highlight=False)
    what = f"a drawing in {'this folder' if place == Path() else place}" if place.is_dir() else str(place)
    put(console, Text(visible(what)))
    if files_left_out:
        put(console, Text("configuration files are left out"), 2)
    elif not found.files:
        put(console, Text("no configuration file"), 2)
    for file in found.files:
        put(console, Text(visible(f"configuration file: {file}")), 2)
    table = Table.grid(padding=(0, 2))
    table.add_column(no_wrap=True)
    table.add_column(overflow="fold", ratio=3)
    table.add_column(overflow="fold", ratio=2)
    for origin in found.origins:
        table.add_row(*(Text(visible(cell, 2000)) for cell in (f"  {origin.key}", origin.value, origin.where)))
    console.print(table)
    return "".join(f"{line.rstrip()}\n" for line in out.getvalue().splitlines())
