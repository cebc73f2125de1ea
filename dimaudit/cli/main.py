"""The command line as a program: what a user can mend ends with status 2, everything unforeseen with 3."""

import atexit
import gc
import io
import sys

import click

from dimaudit.cli.group import OUR_FAULT, UNUSABLE, cli
from dimaudit.errors import AuditError

LONGEST_ERROR = 4000
"""Characters of an error: names of files and words of a drawing are in it."""


def main() -> None:
    """The command line. Errors that a user can mend end with status 2, everything unforeseen with 3."""
    from dimaudit.report.visible import visible

    gc.disable()  # `run` collects between two drawings; in between there is no garbage worth looking for
    atexit.register(gc.freeze)  # what is left at the end goes with the process; nobody need take it apart first
    if isinstance(sys.stdout, io.TextIOWrapper):  # a name of a file that is no text, or 'Ø' on a stream that has none,
        sys.stdout.reconfigure(errors="backslashreplace")  # is shown as its code, and ends no batch
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
    except Exception as error:
        what = visible(f"{type(error).__name__}: {error}", LONGEST_ERROR)
        click.echo(f"dimaudit: a fault of the tool itself: {what}", err=True)
        raise SystemExit(OUR_FAULT) from error
