"""What a drawing's findings and open ends say, a line each, for formats that have no layout of their own."""

from collections.abc import Iterator
from dataclasses import dataclass

from dimaudit.model.audit import Finding
from dimaudit.model.record import Record
from dimaudit.report.visible import visible

LONGEST = 2000
"""Characters of one text; what is cut is said."""
MOST_HANDLES = 6
NOTHING_TO_CHECK = "nothing to check: no dimension in the drawing"


def finding_lines(finding: Finding) -> list[str]:
    """The message, the place, the reasons, what to do; each one line."""
    said = [finding.message, place(finding), *finding.why]
    if finding.suggestion:
        said.append(f"to do: {finding.suggestion}")
    return [visible(line, LONGEST) for line in said if line]


def place(finding: Finding) -> str:
    """Where it is, in words; empty where nothing is known."""
    layout = "" if finding.layout == "Model" else finding.layout
    return ", ".join(part for part in (finding.where, finding.view, layout) if part)


def some(handles: tuple[str, ...]) -> str:
    """The handles, with those that are left out counted; 'drawing' where there is none."""
    shown = ", ".join(handles[:MOST_HANDLES]) or "drawing"
    return f"{shown}, … ({len(handles)})" if len(handles) > MOST_HANDLES else shown


@dataclass(frozen=True, slots=True)
class OpenEnd:
    """Something in a drawing that the audit does not answer for."""

    what: str
    """'not judged' for dimensions, and for a drawing without any; 'not read' for texts and entities."""
    count: int
    why: str

    def __str__(self) -> str:
        return f"{self.count} × {self.why}" if self.count else self.why


def open_ends(record: Record) -> Iterator[OpenEnd]:
    """What was not judged, then what was not read."""
    if not record.dimensions:  # no pass
        yield OpenEnd("not judged", 0, NOTHING_TO_CHECK)
    for reason, count in record.not_judged:
        yield OpenEnd("not judged", count, visible(reason, LONGEST))
    for why, texts in record.unjudged_texts().items():
        handles = some(tuple(t.handle for t in texts))
        yield OpenEnd("not read", len(texts), visible(f"{why} ({handles})", LONGEST))
    if unread := record.unread_texts():
        handles = some(tuple(t.handle for t in unread))
        yield OpenEnd("not read", len(unread), visible(f"text with a number, not understood ({handles})", LONGEST))
    for loss in record.losses:
        yield OpenEnd("not read", loss.count, visible(f"{loss.what}: {loss.why}", LONGEST))
