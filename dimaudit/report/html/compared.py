"""The page of a comparison: one drawing laid over the other, and every change with its number. It runs no script."""

from collections.abc import Sequence

from markupsafe import Markup

from dimaudit.model.audit import RuleFault
from dimaudit.model.compared import Compared
from dimaudit.model.picture import Picture
from dimaudit.report.compared_svg import DANGER, LEGEND, OTHER, UNMARKED, Palette, laid_over, style
from dimaudit.report.compared_text import (
    ABOUT,
    by_sort,
    change_lines,
    handles_text,
    head_lines,
    headline,
    of_view,
    same_line,
)  # fmt: skip
from dimaudit.report.html.page import environment, own, source_hash
from dimaudit.report.interface import CAUTION

WIDTHS = {"old": 0.7, "new": 1.2, "same": 0.4}
"""Of the legend's lines, in the units of their own small picture."""


def compared_page(
    compared: Compared, olds: Sequence[Picture], news: Sequence[Picture], faults: Sequence[RuleFault], version: str
) -> str:
    """The whole page, one file."""
    layouts = laid_over(olds, news, compared.changes, compared.factor)
    marked = {number: k for k, over in reversed(list(enumerate(layouts))) for number in over.marked}
    colours = {name: f"var(--{name})" for name in Palette.__dataclass_fields__}
    css = Markup(f"\n{own('compared.css')}\n{style(colours)}\n")
    return environment().get_template("compared.html").render(
        style=css, style_hash=source_hash(css), compared=compared, headline=headline(compared),
        head=list(head_lines(compared)), sorts=list(by_sort(compared)), about=ABOUT, layouts=layouts, marked=marked,
        markup=Markup, legend=LEGEND, danger=DANGER, other=OTHER, lines=change_lines, handles=handles_text,
        of_view=of_view, widths=WIDTHS, unmarked=UNMARKED, same=same_line(compared),
        faults=faults, caution=CAUTION, version=version,
    )  # fmt: skip
