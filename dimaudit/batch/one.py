"""One drawing of a run: what a worker does, wherever it runs."""

from dataclasses import dataclass, replace
from pathlib import Path

from dimaudit.model.audit import DrawingAudit, RuleFault, UnreadDrawing
from dimaudit.model.record import Record, recorded
from dimaudit.model.seen import Seen
from dimaudit.model.settings import Settings


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
    """Audits one drawing. Nothing that the drawing holds raises an exception.

    Raises MemoryError, which is never taken for a fault of one entity or rule: the audit would not be whole.
    """
    from dimaudit.pipeline import audit_file, see_file  # a run whose results are all known loads no DXF reader
    from dimaudit.report.json_report import details_of

    path, settings = job.path, job.settings
    if path.exists() and not path.is_file():
        return unread(path, wanted, "a pipe, a device or a folder, no file: save the drawing as a file and name that")
    looks = Seen()
    audit: DrawingAudit | UnreadDrawing
    try:
        if wanted.pictures:
            audit, faults, looks = see_file(path, settings)
        else:
            audit, faults = audit_file(path, settings)
        found = audit if isinstance(audit, UnreadDrawing) else recorded(audit)
        details = details_of(audit) if wanted.details and isinstance(audit, DrawingAudit) else ""
    except MemoryError:
        raise
    except Exception as error:
        if _out_of_memory(str(error)):
            raise MemoryError from error
        return broken(path, wanted, f"{type(error).__name__}: {error}")
    if any(_out_of_memory(fault.error) for fault in faults):
        raise MemoryError
    return Outcome(str(path), found, faults, details, (audit, looks) if wanted.pictures else None)


def _out_of_memory(error: str) -> bool:
    """Whether a compiled library ran out of memory: those say so in an error of their own."""
    return error.endswith(("could not allocate numpy array", "std::bad_alloc"))


def unread(path: Path, wanted: Wanted, why: str, faults: tuple[RuleFault, ...] = ()) -> Outcome:
    """The outcome of a drawing whose audit came to nothing."""
    found = UnreadDrawing(str(path), f"{path}: {why}")
    return Outcome(str(path), found, faults, "", (found, Seen()) if wanted.pictures else None)


def broken(path: Path, wanted: Wanted, error: str) -> Outcome:
    """The outcome of a drawing whose audit was ended by a fault of the tool itself."""
    fault = RuleFault(str(path), "the audit", error)
    return unread(path, wanted, "a fault of dimaudit itself ended its audit", (fault,))


def named(found: Outcome, path: Path) -> Outcome:
    """The same with the path that a person knows the drawing by, where a copy of it was audited."""
    was, now = found.path, str(path)

    def told(drawing: UnreadDrawing) -> UnreadDrawing:
        return UnreadDrawing(now, drawing.why.replace(was, now))

    shown = found.shown
    if shown is not None:
        audit, looks = shown
        shown = (told(audit) if isinstance(audit, UnreadDrawing) else replace(audit, path=now)), looks
    return Outcome(
        now,
        told(found.found) if isinstance(found.found, UnreadDrawing) else found.found,
        tuple(RuleFault(now, fault.rule, fault.error.replace(was, now)) for fault in found.faults),
        found.details,
        shown,
    )
