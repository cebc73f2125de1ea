"""What there is to tell of an audited drawing when its geometry is gone: plain values, small enough to keep on disk."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date

from dimaudit.exact.number import Rounding
from dimaudit.model.audit import (
    DrawingAudit,
    Finding,
    Level,
    NotCompared,
    NumberText,
    RuleFault,
    UnreadDrawing,
    unjudged,
    unread,
)
from dimaudit.model.drawing import Loss
from dimaudit.model.general import ReadAs
from dimaudit.model.scheme import Implied
from dimaudit.model.settings import Lengths, Settings
from dimaudit.model.units import Unit


@dataclass(frozen=True, slots=True)
class OpenPart:
    """A part of which the dimension scheme could not say all."""

    views: str
    """Their names, with commas between them."""
    why_not: str
    """Why it is not judged what is located; empty where it is."""
    unsure: int
    """How many places it is not known of whether they are located."""


@dataclass(frozen=True, slots=True)
class Record:
    """One audited drawing. Fields as in `DrawingAudit`, counts in place of what was counted."""

    sha256: str
    version: str
    unit: Unit | None
    unit_from: str
    lengths: Lengths
    rounding: Rounding
    dimensions: int
    judged: int
    not_judged: tuple[tuple[str, int], ...]
    """Reasons and counts."""
    findings: tuple[Finding, ...]
    losses: tuple[Loss, ...]
    views: tuple[str, ...]
    undimensioned: int
    texts: tuple[NumberText, ...]
    title_block: tuple[ReadAs, ...]
    view_scales: tuple[ReadAs, ...]
    tolerances: tuple[str, ...]
    """The general tolerances in force, in words."""
    views_not_compared: tuple[NotCompared, ...]
    taken: tuple[Implied, ...]
    """What the dimension schemes took as implied."""
    open_parts: tuple[OpenPart, ...]
    left_out: tuple[tuple[str, str], ...]
    """Dimensions that are in no scheme: handle and reason."""

    def unread_texts(self) -> tuple[NumberText, ...]:
        """As `unread`."""
        return unread(self.texts)

    def unjudged_texts(self) -> dict[str, tuple[NumberText, ...]]:
        """As `unjudged`."""
        return unjudged(self.texts)


def recorded(audit: DrawingAudit) -> Record:
    """The record of an audit."""
    taken = {kind for scheme in audit.schemes for kind in scheme.taken}
    return Record(
        sha256=audit.sha256,
        version=audit.version,
        unit=audit.unit,
        unit_from=audit.unit_from,
        lengths=audit.lengths,
        rounding=audit.rounding,
        dimensions=len(audit.judgements),
        judged=audit.judged(),
        not_judged=tuple(audit.not_judged().items()),
        findings=audit.findings,
        losses=audit.losses,
        views=audit.views,
        undimensioned=audit.undimensioned,
        texts=audit.texts,
        title_block=audit.title_block.read,
        view_scales=audit.view_scales,
        tolerances=tuple(audit.title_block.tolerances.words()),
        views_not_compared=audit.views_not_compared,
        taken=tuple(kind for kind in Implied if kind in taken),
        open_parts=tuple(
            OpenPart(", ".join(view.name for view in s.views), s.why_not, len({(id(p.view), p.at) for p in s.unsure}))
            for s in audit.schemes
            if s.why_not or s.unsure
        ),
        left_out=tuple(pair for scheme in audit.schemes for pair in scheme.left_out),
    )


@dataclass(frozen=True, slots=True)
class Accepted:
    """A finding that somebody accepted, and with what reason."""

    finding: Finding
    reason: str
    author: str
    until: date | None = None
    """The last day on which it is accepted; None is for good."""


@dataclass(frozen=True, slots=True)
class Audited:
    """One drawing of a run: what is told of it, and what steered its audit."""

    path: str
    record: Record
    settings: Settings
    details: str = ""
    """Its dimensions and schemes as the JSON report gives them, ready; empty where nobody asked for them."""
    accepted: tuple[Accepted, ...] = ()
    """Findings that are not in `record.findings`, since they were accepted."""


Result = Audited | UnreadDrawing
"""What a run has to tell of one file."""


@dataclass(frozen=True, slots=True)
class Totals:
    """A run, counted."""

    drawings: int = 0
    unread: int = 0
    dimensions: int = 0
    judged: int = 0
    levels: Counter[Level] = field(default_factory=Counter)
    accepted: int = 0
    faults: tuple[RuleFault, ...] = ()
    remarks: tuple[str, ...] = ()
    """What a run has to say besides its drawings: accepted findings that are expired, or that nothing matches."""


class Tally:
    """Adds up a run as it goes, and keeps nothing of its drawings."""

    def __init__(self) -> None:
        self._counts: Counter[str] = Counter()
        self._levels: Counter[Level] = Counter()

    def add(self, result: Result) -> None:
        self._counts["drawings"] += 1
        if isinstance(result, UnreadDrawing):
            self._counts["unread"] += 1
            return
        self._counts.update(
            dimensions=result.record.dimensions, judged=result.record.judged, accepted=len(result.accepted)
        )
        self._levels.update(f.level for f in result.record.findings)

    def totals(self, faults: Iterable[RuleFault] = (), remarks: Iterable[str] = ()) -> Totals:
        return Totals(**self._counts, levels=Counter(self._levels), faults=tuple(faults), remarks=tuple(remarks))
