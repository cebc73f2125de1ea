"""`picture` and `mark`: the findings on the drawing."""

import sys
from collections import Counter
from pathlib import Path
from typing import Any

import click

from dimaudit.cli.group import CLEAN, OUR_FAULT, cli
from dimaudit.cli.options import FindingNumber, configured_for, setting_options
from dimaudit.cli.saying import audited, deliver, for_people, spare
from dimaudit.errors import UsageError
from dimaudit.write.whole import write_whole


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
    spare(drawing, output)
    settings = configured_for(drawing, **options).settings
    try:
        pictures = pictures_of_file(drawing, None if layout is None else [layout], settings.left_out_layouts)
    except KeyError:
        raise UsageError(f"{drawing}: no layout is named {layout!r}") from None
    audit, faults = (None, ()) if unmarked else audited(drawing, settings)
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

    spare(drawing, out)
    if out.suffix.lower() != ".dxf":
        raise UsageError(f"{out}: a marked copy is a DXF file: give it a name that ends in .dxf")
    if out.exists() and not is_marked(out):
        raise UsageError(f"{out} is there already and no marked copy: name another file, or take that one away")
    audit, faults = audited(drawing, configured_for(drawing, **options).settings)
    copy = marked_copy(drawing, audit, CAUTION)
    write_whole(out, copy.content)
    said = [f"{out}: {copy.balloons} of {len(audit.findings)} findings marked on layer {copy.layer}"]
    if copy.legend_only:
        said.append(f"{copy.legend_only} without a place of their own: in the table beside the drawing")
    deliver(for_people(audit, said, faults), None)
    raise SystemExit(OUR_FAULT if faults else CLEAN)
