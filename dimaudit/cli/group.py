"""The group that all commands belong to, and the exit statuses."""

import click

from dimaudit import __version__

CLEAN, FINDINGS, UNUSABLE, OUR_FAULT = 0, 1, 2, 3
"""Exit statuses; see docs/exit-status.md."""


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="dimaudit")
def cli() -> None:
    """Audit the dimensions of 2D DXF drawings: every stated number against the drawn geometry, in exact fractions.

    \b
    Example:
      dimaudit check print.dxf
    """
