"""Texts in the cells of a table that a spreadsheet opens."""

from dimaudit.report.visible import visible

LONGEST = 2000
"""Characters of a cell; what is cut says so."""
STARTS = frozenset("=+-@＝＋－＠")
"""What makes a spreadsheet take a text for a formula; the last four are the wide forms of the first."""


def defused(text: str) -> str:
    """A text that no spreadsheet takes for a formula: an apostrophe before what would begin one; else as it is."""
    shown = visible(text, LONGEST)
    return f"'{shown}" if shown.strip()[:1] in STARTS and shown.strip() else shown
