"""Arguments to pipeline to exit status: one file a kind of command."""

from dimaudit.cli import accepting, check, comparing, explain, grading, listing, scheming, settling, showing
from dimaudit.cli.group import cli
from dimaudit.cli.main import main

__all__ = [
    "accepting", "check", "cli", "comparing", "explain", "grading", "listing", "main", "scheming", "settling",
    "showing",
]  # fmt: skip
