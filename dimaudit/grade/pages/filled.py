"""The pages: templates filled with what was graded. All text is escaped as it goes in; no page runs a script."""

import base64
import hashlib
from collections.abc import Sequence
from fractions import Fraction
from importlib.resources import files
from pathlib import PurePath
from urllib.parse import quote

from jinja2 import Environment, FunctionLoader, StrictUndefined
from markupsafe import Markup

from dimaudit.grade import explained
from dimaudit.grade.gradebook import Row, number_text
from dimaudit.grade.pages.figure import Shown, numbered
from dimaudit.grade.pages.names import FOLDER
from dimaudit.grade.pages.spread import spread_svg
from dimaudit.grade.remarks import Remarks
from dimaudit.grade.rubric_text import ABOUT
from dimaudit.grade.state import Result
from dimaudit.grade.summary import BARS, Summary, alike_text
from dimaudit.grade.words import counted, points_text
from dimaudit.model.grading import Criterion, Graded, Lying, Rubric
from dimaudit.report.interface import CAUTION
from dimaudit.report.visible import visible

LONGEST = 2000
"""Characters of one text that are shown; what is cut says so."""
LIES = {
    Lying.ANYWHERE: "anywhere", Lying.AS_KEY: "where it lies in the key",
    Lying.CENTRED: "its middle on the origin", Lying.CORNER: "its lower left corner on the origin",
}  # fmt: skip


def learner_page(result: Result, row: Row, rubric: Rubric, remarks: Remarks, shown: Shown, version: str) -> str:
    """One learner's page. Nothing on it is about anyone else, nor where the instructor keeps the file."""
    graded = result if isinstance(result, Graded) else None
    numbers = iter(numbered(result))
    criteria = []
    handles = False
    for mark in graded.marks if graded else ():
        lost = [(0, d) if explained.aside(d) else next(numbers) for d in mark.deductions]
        handles = handles or any(n and d.handles and n not in shown.marked for n, d in lost)
        criteria.append((mark, asked_lines(mark.criterion, rubric), lost))
    return _page(
        "learner.html", shown.looks, title=rubric.title, result=result, graded=graded, row=row, rubric=rubric,
        remark=remarks.about(result.name).remark.strip(), criteria=criteria, shown=shown, picture=Markup(shown.svg),
        handles=handles,
        own_name=lambda text: _without_folder(text, result.path), version=version,
    )  # fmt: skip


def class_page(
    rubric: Rubric, rows: Sequence[Row], summary: Summary, names: dict[str, str], version: str
) -> str:
    """The class as a whole, for the instructor. `names`: of the learners' pages."""
    ranges = [(summary.of * n / BARS, summary.of * (n + 1) / BARS, many) for n, many in enumerate(summary.spread)]
    return _page(
        "class.html", "", title=rubric.title, rubric=rubric, rows=rows, summary=summary, version=version,
        links={name: f"{FOLDER}/{quote(file)}" for name, file in names.items()}, plot=spread_svg(summary),
        ranges=ranges, missed=sorted(summary.missed, key=lambda m: -m.by), alike_text=alike_text,
        criteria=[a.criterion for a in rubric.criteria],
    )  # fmt: skip


def asked_lines(criterion: Criterion, rubric: Rubric) -> list[str]:
    """What a criterion asks, and what the rubric lets pass."""
    lines = [ABOUT[criterion]] if criterion is not Criterion.ORIENTATION else [
        "The layout is neither turned nor mirrored."
    ]  # fmt: skip
    match criterion:
        case Criterion.UNITS if rubric.other_units:
            lines.append("Another unit or scale costs nothing.")
        case Criterion.ORIENTATION:
            passes = [word for word, yes in (("turned", rubric.turned), ("mirrored", rubric.mirrored)) if yes]
            lines += [f"A layout that is {' or '.join(passes)} loses nothing."] if passes else []
        case Criterion.PLACE:
            lines.append(f"Asked: {LIES[rubric.lying]}.")
        case Criterion.SIZES:
            if rubric.tolerance is not None:
                lines.append(f"A size may be off by {_length(rubric.tolerance)}.")
            if rubric.close is not None:
                cost = points_text(rubric.close_costs)
                lines.append(f"One off by no more than {_length(rubric.close)} costs {cost} of a wrong one.")
        case Criterion.DIMENSIONS:
            parts = zip(("being there", "being right", "being well stated", "being associated"), rubric.shares,
                        strict=True)  # fmt: skip
            lines.append(f"Of each: {', '.join(f'{points_text(share)} for {what}' for what, share in parts)}.")
        case Criterion.LAYERS:
            for layer in rubric.layers:
                asked = [f"{what} {', '.join(some)}" for what, some in (("on", layer.layers), ("as", layer.entities))
                         if some]  # fmt: skip
                lines += [f"{layer.purpose}: {'; '.join(asked)}."] if asked else []
        case _:
            pass
    return lines


def _length(value: Fraction) -> str:
    return f"{points_text(value)} in the key's unit"


def _without_folder(text: str, path: str) -> str:
    """Where the instructor keeps a file is nobody else's matter."""
    return text.replace(path, PurePath(path).name) if path else text


def _page(template: str, looks: str, **given: object) -> str:
    style = Markup(f"\n{_own('look.css')}\n{looks}\n")
    policy = base64.b64encode(hashlib.sha256(style.encode("utf-8")).digest()).decode("ascii")
    text = _ENVIRONMENT.get_template(template).render(
        style=style, style_hash=f"sha256-{policy}", caution=CAUTION, **given
    )
    return text if text.endswith("\n") else f"{text}\n"


def _own(name: str) -> str:
    return files("dimaudit.grade.pages").joinpath(name).read_text(encoding="utf-8")


def _harmless(value: object) -> object:
    """Text as it may stand in any page; what is ours stays as it is."""
    if not isinstance(value, str) or isinstance(value, Markup):
        return value
    return visible(value, LONGEST).encode("utf-8", "replace").decode("utf-8")


_ENVIRONMENT = Environment(
    loader=FunctionLoader(_own), autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True,
    finalize=_harmless,
)  # fmt: skip
_ENVIRONMENT.globals.update(
    counted=counted, points=points_text, about=explained.shown, number=number_text, got_text=explained.got_text,
    cost_text=explained.cost_text, why_lines=explained.why_lines, taken_text=explained.taken_text,
    sum_lines=explained.sum_lines, alignment_text=explained.alignment_text,
)  # fmt: skip
