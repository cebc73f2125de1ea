"""A comparison as JSON."""

from collections.abc import Sequence
from typing import Any

from dimaudit.exact.real import Real
from dimaudit.model.audit import RuleFault
from dimaudit.model.compared import Change, Compared, Fact, Revision, Seat, Sort
from dimaudit.model.settings import Settings
from dimaudit.report.json_shared import faults_of_the_tool, head, number, written


def compared_json(compared: Compared, faults: Sequence[RuleFault], settings: Settings, version: str) -> str:
    """Lengths are in the unit of the new drawing; exact values are strings."""
    counts = compared.counts
    return written({
        **head("compare", version, settings),
        "old": _revision(compared.old),
        "new": _revision(compared.new),
        "old_times": number(compared.factor),
        "one_place": number(compared.apart),
        "changes": [_change(n, change) for n, change in enumerate(compared.changes, 1)],
        "summary": {
            "changes": len(compared.changes),
            "dangerous": sum(change.dangerous for change in compared.changes),
            "sorts": {str(sort): counts[sort] for sort in Sort if counts[sort]},
            "same": {
                "dimensions": compared.same_dimensions,
                "shapes": compared.same_shapes,
                "notes": compared.same_notes,
                "findings": compared.same_findings,
            },
        },
        "not_compared": list(compared.not_compared),
        "faults_of_the_tool": faults_of_the_tool(faults),
    })  # fmt: skip


def _revision(side: Revision) -> dict[str, Any]:
    return {
        "path": side.path,
        "sha256": side.sha256,
        "dxf_version": side.version,
        "units": None if side.unit is None else str(side.unit),
        "dimensions": side.dimensions,
        "views": side.views,
        "findings": side.findings,
    }


def _change(n: int, change: Change) -> dict[str, Any]:
    return {
        "number": n,
        "sort": str(change.sort),
        "dangerous": change.dangerous,
        "subject": change.subject,
        "view": change.view,
        "where": change.where,
        "facts": [_fact(fact) for fact in change.facts],
        "why": list(change.why),
        "old": _seat(change.old),
        "new": _seat(change.new),
    }


def _fact(fact: Fact) -> dict[str, Any]:
    return {
        "what": fact.what,
        "old": _value(fact.old),
        "new": _value(fact.new),
        "by": None if fact.by is None else number(fact.by),
    }


def _value(value: Real | str | None) -> Any:
    return value if value is None or isinstance(value, str) else number(value)


def _seat(seat: Seat) -> dict[str, Any]:
    return {"handles": list(seat.handles), "layout": seat.layout, "at": None if seat.at is None else list(seat.at)}
