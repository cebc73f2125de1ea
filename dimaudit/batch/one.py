"""One drawing of a run: what a worker does, wherever it runs."""

from dataclasses import dataclass
from pathlib import Path

from dimaudit.model.audit import DrawingAudit, RuleFault, UnreadDrawing
from dimaudit.model.record import Record, recorded
from dimaudit.model.seen import Seen
from dimaudit.model.settings import Settings
from dimaudit.pipeline import audit_file, see_file
from dimaudit.report.json_report import details_of


@dataclass(frozen=True, slots=True)
class Job:
    """One drawing to audit."""

    path: Path
    settings: Settings


@dataclass(frozen=True, slots=True)
class Wanted:
    """What the reports of a run need besides the records."""

    details: bool = False
    pictures: bool = False


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came out for one drawing."""

    path: str
    found: Record | UnreadDrawing
    faults: tuple[RuleFault, ...] = ()
    details: str = ""
    """As `Audited.details`; empty unless wanted."""
    shown: tuple[DrawingAudit | UnreadDrawing, Seen] | None = None
    """The audit itself and what the drawing looks like; None unless wanted."""


def outcome(job: Job, wanted: Wanted) -> Outcome:
    """Audits one drawing. Nothing that the drawing holds raises an exception."""
    path, settings = job.path, job.settings
    looks = Seen()
    audit: DrawingAudit | UnreadDrawing
    try:
        if wanted.pictures:
            audit, faults, looks = see_file(path, settings)
        else:
            audit, faults = audit_file(path, settings)
        found = audit if isinstance(audit, UnreadDrawing) else recorded(audit)
        details = details_of(audit) if wanted.details and isinstance(audit, DrawingAudit) else ""
    except Exception as error:
        audit = found = UnreadDrawing(str(path), f"{path}: a fault of dimaudit itself ended its audit")
        faults = (RuleFault(str(path), "the audit", f"{type(error).__name__}: {error}"),)
        details = ""
    return Outcome(str(path), found, faults, details, (audit, looks) if wanted.pictures else None)
