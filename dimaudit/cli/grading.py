"""`rubric` and `grade`: a class's layouts."""

import os
from contextlib import ExitStack
from pathlib import Path

import click

from dimaudit import __version__
from dimaudit.cli.engine import processors
from dimaudit.cli.group import CLEAN, FINDINGS, OUR_FAULT, cli
from dimaudit.cli.saying import progress_bar, tell
from dimaudit.errors import UsageError
from dimaudit.model.audit import Level
from dimaudit.model.settings import Settings
from dimaudit.write.whole import write_whole


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
    from dimaudit.grade.marks import grade as graded_by
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
        tell(fault_lines(errors))
        if not faulty:
            click.echo(f"not written: mend {key}, or say --with-a-faulty-key", err=True)
            raise SystemExit(FINDINGS)
    try:
        name = Path(os.path.relpath(key, output.parent)).as_posix()
    except ValueError:  # on another drive
        name = key.resolve().as_posix()
    new = proposed(found, name, key.stem)
    write_whole(output, rubric_text(new, examined.audit.unit, [f"{e.rule}: {e.message}" for e in errors]))
    warnings = [f for f in examined.audit.findings if f.level is Level.WARNING]
    tell(rubric_lines(new, str(output), graded_by(found, examined, new), warnings))
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
    from dimaudit.grade.told import class_lines, fault_lines, mark_lines
    from dimaudit.text.toml_file import nearest

    with ExitStack() as stack:
        try:
            found = grade_class(
                rubric, submissions, output, __version__, jobs or processors(), all_again=all_again,
                faulty_key=faulty,
                progress=lambda n: stack.enter_context(progress_bar(Console(stderr=True), n, "grading")),
            )  # fmt: skip
        except FaultyKey as error:
            tell(((0, error.said), *fault_lines(error.errors)))
            click.echo(f"not graded: mend {error.key}, or say --with-a-faulty-key", err=True)
            raise SystemExit(FINDINGS) from None
    tell(class_lines(found, str(output)))
    known = [r.name for r in found.results]
    for name in explain:
        if name not in known:
            raise UsageError(f"--explain-marks: {name!r} is no submission's name{nearest(name, known)}")
        tell(mark_lines(found, name))
    raise SystemExit(OUR_FAULT if found.faults else FINDINGS if found.summary.for_a_person else CLEAN)
