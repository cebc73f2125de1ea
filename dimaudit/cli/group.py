"""The group that all commands belong to, and the exit statuses."""

import os
import sys
from typing import Any

import click

from dimaudit import __version__

CLEAN, FINDINGS, UNUSABLE, OUR_FAULT = 0, 1, 2, 3
"""Exit statuses; see docs/exit-status.md."""


class Commands(click.Group):
    """The commands. A reader that closes the pipe is no error; click would end with the status of findings."""

    def invoke(self, ctx: click.Context) -> Any:
        try:
            found = super().invoke(ctx)
            sys.stdout.flush()
        except BrokenPipeError:
            os.dup2(os.open(os.devnull, os.O_WRONLY), 1)  # what is left to write goes there
            raise SystemExit(CLEAN) from None
        return found


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="dimaudit")
def cli() -> None:
    """Audit the dimensions of 2D DXF drawings: every stated number against the drawn geometry, in exact fractions.

    \b
    Example:
      dimaudit check print.dxf
    """
