"""The picture to hand out: of a whole layout, of one finding, or of one entity."""

from collections.abc import Sequence

from dimaudit.model.audit import Finding
from dimaudit.model.marks import numbered
from dimaudit.model.picture import Picture
from dimaudit.report.svg import Theme, close_up, marks_of, svg_of


def hand_out(
    pictures: Sequence[Picture], findings: Sequence[Finding], name: str, number: int | None, handle: str | None,
    theme: Theme,
) -> tuple[str, Picture]:  # fmt: skip
    """An SVG and the picture that it shows. `number` is that of a finding in every report; `name` is the drawing's.

    Raises LookupError with what is not there and what to do.
    """
    if number is not None:
        return _of_finding(pictures, findings, name, number, theme)
    if handle is not None:
        return _of_entity(pictures, findings, name, handle.strip().upper(), theme)
    marked = {id(p): marks_of(findings, p) for p in pictures}
    picture = max(pictures, key=lambda p: (len(marked[id(p)]), len(p.entities)))
    return svg_of(picture, marked[id(picture)], theme, title=f"{name}, layout {picture.layout}"), picture


def _of_finding(
    pictures: Sequence[Picture], findings: Sequence[Finding], name: str, number: int, theme: Theme
) -> tuple[str, Picture]:
    if number > len(findings):
        many = f"{len(findings)} finding{'s' if len(findings) != 1 else ''}" if findings else "no findings"
        raise LookupError(f"there is no finding {number}: the audit has {many}")
    finding = numbered(findings)[number - 1].finding
    wanted = set(finding.handles)

    def worth(picture: Picture) -> tuple[bool, bool]:
        return any(e.handle in wanted for e in picture.entities), picture.layout == finding.layout

    picture = max(pictures, key=worth)
    marks = [mark for mark in marks_of(findings, picture) if mark.number == number]
    if not marks:
        raise LookupError(f"finding {number} ({finding.rule}) stands on nothing that is drawn: see it with `check`")
    part = close_up(picture, finding.handles, [mark.at for mark in marks])
    says = [f"{marks[0].label} {finding.level}: {finding.rule}: {finding.message}", *finding.why]
    lines = [*says, f"to do: {finding.suggestion}"] if finding.suggestion else says
    title = f"{name}, layout {picture.layout}: finding {number}"
    return svg_of(picture, marks, theme, title=title, lines=lines, stressed=wanted, part=part), picture


def _of_entity(
    pictures: Sequence[Picture], findings: Sequence[Finding], name: str, handle: str, theme: Theme
) -> tuple[str, Picture]:
    def shown(picture: Picture) -> list[str]:
        return [e.handle for e in picture.entities if e.handle.upper() == handle]

    picture = next((p for p in pictures if shown(p)), None)
    if picture is None:
        raise LookupError(
            f"nothing that is drawn has the handle {handle}: `check` shows the handles; what stands within a block is "
            "drawn under the handle of its reference"
        )
    numbers = {n.number for n in numbered(findings) if handle in (h.upper() for h in n.finding.handles)}
    marks = [mark for mark in marks_of(findings, picture) if mark.number in numbers]
    part = close_up(picture, shown(picture))
    lines = [f"{mark.label} {mark.level}: {mark.says}" for mark in marks] or [f"{handle}: no findings"]
    title = f"{name}, layout {picture.layout}: {handle}"
    return svg_of(picture, marks, theme, title=title, lines=lines, stressed=shown(picture), part=part), picture
