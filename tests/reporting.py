"""Reports of drawings made without the command line."""

from collections.abc import Iterable
from pathlib import Path

from dimaudit.batch.here import here
from dimaudit.batch.one import Job, Wanted
from dimaudit.model.audit import DrawingAudit, RuleFault, UnreadDrawing
from dimaudit.model.record import Audited, Result, recorded
from dimaudit.model.settings import Settings
from dimaudit.report.formats import FORMATS
from dimaudit.report.interface import whole
from dimaudit.report.json_report import details_of


def told(audit: DrawingAudit | UnreadDrawing, settings: Settings | None = None) -> Result:
    """An audit as a report is given it."""
    if isinstance(audit, UnreadDrawing):
        return audit
    return Audited(audit.path, recorded(audit), settings or Settings(), details_of(audit))


def report_of(paths: Iterable[Path], name: str, settings: Settings | None = None, version: str = "0.0") -> str:
    """The whole report of these files in the format of that name."""
    settings = settings or Settings()
    faults: list[RuleFault] = []
    results: list[Result] = []
    for one in here((Job(path, settings) for path in paths), Wanted(details=True)):
        faults += one.faults
        found = one.found
        results.append(found if isinstance(found, UnreadDrawing) else Audited(one.path, found, settings, one.details))
    return whole(FORMATS[name](version), results, faults)
