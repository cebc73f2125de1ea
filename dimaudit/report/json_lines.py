"""The run as JSON Lines: an object a line, each with its kind. The schema of a line is beside this file."""

import json
from collections import Counter
from typing import Any

from dimaudit.model.audit import Level, UnreadDrawing
from dimaudit.model.record import Record, Result, Totals
from dimaudit.report.json_report import accepted_json, coverage_json, finding_json, losses_json, summary_json
from dimaudit.report.json_shared import faults_of_the_tool, head


class JsonLinesReport:
    """What made it; each drawing and behind it its findings; faults and remarks; the counts."""

    def __init__(self, version: str) -> None:
        self._version = version

    def begin(self) -> str:
        return _line("run", head("check-lines", self._version))

    def drawing(self, result: Result) -> str:
        path = {"path": result.path}
        if isinstance(result, UnreadDrawing):
            return _line("unread", path, {"why": result.why})
        lines = [_line("drawing", path, _drawing(result.record))]
        lines += [_line("finding", path, finding_json(f)) for f in result.record.findings]
        lines += [_line("accepted", path, accepted_json(a)) for a in result.accepted]
        return "".join(lines)

    def end(self, totals: Totals) -> str:
        lines = [_line("fault", fault) for fault in faults_of_the_tool(totals.faults)]
        lines += [_line("remark", {"text": remark}) for remark in totals.remarks]
        return "".join([*lines, _line("summary", summary_json(totals))])


def _drawing(record: Record) -> dict[str, Any]:
    levels = Counter(f.level for f in record.findings)
    return {
        "sha256": record.sha256,
        "dxf_version": record.version,
        "units": None if record.unit is None else str(record.unit),
        "units_from": record.unit_from,
        "coverage": coverage_json(record),
        "losses": losses_json(record),
        **{str(level): levels[level] for level in Level},
    }


def _line(kind: str, *bodies: dict[str, Any]) -> str:
    """One line. No line end stands in it, since JSON escapes them; the two others that some readers know are, too."""
    body: dict[str, Any] = {"kind": kind}
    for part in bodies:
        body.update(part)
    text = json.dumps(body, ensure_ascii=False)
    return text.replace("\u2028", "\\u2028").replace("\u2029", "\\u2029").replace("\x85", "\\u0085") + "\n"
