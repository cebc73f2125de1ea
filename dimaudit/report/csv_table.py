"""Findings as a table: CSV with line ends as RFC 4180 has them. No text in it is ever a formula."""

import csv
from collections.abc import Iterable
from io import StringIO

from dimaudit.model.audit import Finding, UnreadDrawing
from dimaudit.model.record import Result, Totals
from dimaudit.report.cells import defused
from dimaudit.report.plain_lines import open_ends

HEADINGS = ("drawing", "level", "rule", "identity", "handles", "layout", "view", "where", "about", "message", "why",
            "suggestion", "at_x", "at_y", "accepted")  # fmt: skip


class CsvReport:
    """A heading, then a row for each finding, each reason for which something is not judged or read, each file that
    could not be read; at the end one for each fault of the tool and each remark."""

    def __init__(self, version: str) -> None:
        pass

    def begin(self) -> str:
        return "\ufeff" + _rows([{name: name for name in HEADINGS}])  # the mark tells spreadsheets that it is UTF-8

    def drawing(self, result: Result) -> str:
        path = defused(result.path)
        if isinstance(result, UnreadDrawing):
            return _rows([{"drawing": path, "level": "unread", "message": defused(result.why)}])
        rows = [{"drawing": path, **_finding(f)} for f in result.record.findings]
        for a in result.accepted:
            until = "" if a.until is None else f" until {a.until.isoformat()}"
            why = defused(f"{a.author}{until}: {a.reason}")
            rows.append({"drawing": path, **_finding(a.finding), "accepted": why})
        for end in open_ends(result.record):
            rows.append({"drawing": path, "level": end.what, "message": defused(str(end))})
        return _rows(rows)

    def end(self, totals: Totals) -> str:
        rows = [
            {"drawing": defused(f.path), "level": "fault", "rule": defused(f.rule), "message": defused(f.error)}
            for f in totals.faults
        ]
        rows += [{"level": "remark", "message": defused(remark)} for remark in totals.remarks]
        return _rows(rows)


def _finding(f: Finding) -> dict[str, str]:
    x, y = ("", "") if f.at is None else (str(round(c, 6)) for c in f.at)
    return {
        "level": str(f.level), "rule": f.rule, "identity": defused(f.identity),
        "handles": " ".join(f"[{defused(handle)}]" for handle in f.handles),  # 5E3 alone is 5000 to a spreadsheet
        "layout": defused(f.layout), "view": defused(f.view), "where": defused(f.where), "about": defused(f.subject),
        "message": defused(f.message), "why": defused("; ".join(f.why)), "suggestion": defused(f.suggestion),
        "at_x": x, "at_y": y,
    }  # fmt: skip


def _rows(rows: Iterable[dict[str, str]]) -> str:
    buffer = StringIO(newline="")
    csv.DictWriter(buffer, HEADINGS, restval="", lineterminator="\r\n").writerows(rows)
    return buffer.getvalue()
