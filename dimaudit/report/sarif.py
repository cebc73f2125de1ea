"""The run as a SARIF log, version 2.1.0 (OASIS standard); numbers in parentheses are its sections.

A drawing is no text: what is wrong with it is at an entity of a view, which is a logical location (3.33), and a region
of lines and columns (3.30) would be made up. A result is one line of the log.
"""

import json
from collections import Counter
from typing import Any

from dimaudit.model.audit import Finding, UnreadDrawing
from dimaudit.model.record import Accepted, Record, Result, Totals
from dimaudit.report.interface import CAUTION
from dimaudit.report.plain_lines import LONGEST, finding_lines, open_ends
from dimaudit.report.rule_text import RuleText, rule_texts
from dimaudit.report.uri import uri
from dimaudit.report.visible import visible

SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
BASE = "%SRCROOT%"
"""The name that readers of such logs know for the top of a checkout: from memory."""
ABOUT = "Compares the dimensions of 2D drawings with the drawn geometry, in exact fractions."
STARTED_IN = "The folder in which dimaudit was started."
NOTICES = {
    "unread-file": "A file could not be audited.",
    "fault-of-the-tool": "A rule, or the whole audit of a file, broke.",
    "not-judged": "Something in a drawing could not be judged or read.",
    "remark": "Something is to be said of the run as a whole.",
}
"""Notifications (3.58) by their names."""


class SarifReport:
    """One run, with a result for each finding, accepted ones too (3.27.23). What is kept is a few lines a drawing."""

    def __init__(self, version: str) -> None:
        self._version = version
        self._rules = {text.rule: k for k, text in enumerate(rule_texts())}
        self._results = 0
        self._artifacts: list[str] = []
        self._notices: list[str] = []
        self._failed = False

    def begin(self) -> str:
        driver = {
            "name": "dimaudit",
            "version": self._version,
            "shortDescription": _text(ABOUT),
            "fullDescription": _text(f"{ABOUT} {CAUTION}"),
        }
        return (
            f'{{"$schema": {_json(SCHEMA)}, "version": "2.1.0", "runs": [{{\n'
            f'"tool": {{"driver": {_json(driver)[:-1]}, "rules": [\n'
            + ",\n".join(_json(_rule(text)) for text in rule_texts())
            + '\n], "notifications": [\n'
            + ",\n".join(_json({"id": name, "shortDescription": _text(what)}) for name, what in NOTICES.items())
            + f'\n]}}}},\n"originalUriBaseIds": {_json({BASE: {"description": _text(STARTED_IN)}})},\n"results": ['
        )

    def drawing(self, result: Result) -> str:
        index = len(self._artifacts)
        location = artifact_location(result.path, index)
        if isinstance(result, UnreadDrawing):
            self._artifacts.append(_json({"location": location, "roles": ["analysisTarget"]}))
            self._notice("unread-file", "error", result.why, location)
            return ""
        self._artifacts.append(_json(_artifact(result.record, location)))
        for end in open_ends(result.record):
            self._notice("not-judged", "warning", f"{end.what}: {end}", location)
        same: Counter[str] = Counter()
        told = [self._result(f, location, same) for f in result.record.findings]
        for a in result.accepted:
            told.append({**self._result(a.finding, location, same), "suppressions": [_suppression(a)]})
        pieces = []
        for one in told:
            pieces.append(("\n" if not self._results else ",\n") + _json(one))
            self._results += 1
        return "".join(pieces)

    def end(self, totals: Totals) -> str:
        for fault in totals.faults:
            said = f"{fault.rule} on {fault.path}: {fault.error}. Please report it with the drawing."
            self._notice("fault-of-the-tool", "error", said, artifact_location(fault.path), fault.rule)
        for remark in totals.remarks:
            self._notice("remark", "warning", remark)
        artifacts, notices = ",\n".join(self._artifacts), ",\n".join(self._notices)
        return (
            f'\n],\n"artifacts": [\n{artifacts}\n],\n'
            f'"invocations": [{{"executionSuccessful": {_json(not self._failed)}, '
            f'"toolExecutionNotifications": [\n{notices}\n]}}]\n}}]}}\n'
        )

    def _notice(self, name: str, level: str, said: str, at: dict[str, Any] | None = None, rule: str = "") -> None:
        """Keeps a notification; one that is an error says that the run failed (3.20.21)."""
        self._failed |= level == "error"
        body: dict[str, Any] = {
            "descriptor": {"id": name, "index": list(NOTICES).index(name)},
            "level": level,
            "message": _text(said),
        }
        if at is not None:
            body["locations"] = [{"physicalLocation": {"artifactLocation": at}}]
        if rule in self._rules:
            body["associatedRule"] = {"id": rule, "index": self._rules[rule]}
        self._notices.append(_json(body))

    def _result(self, f: Finding, location: dict[str, Any], same: Counter[str]) -> dict[str, Any]:
        """One result. Either all results of a run say whether they are suppressed, or none (3.27.23): all do."""
        body: dict[str, Any] = {"ruleId": f.rule}
        if f.rule in self._rules:
            body["ruleIndex"] = self._rules[f.rule]
        body["level"] = str(f.level)
        body["message"] = {"text": literal("\n".join(finding_lines(f)))}
        body["locations"] = [{"physicalLocation": {"artifactLocation": location}, "logicalLocations": _logical(f)}]
        if f.identity:
            same[f.identity] += 1
            body["partialFingerprints"] = {"dimauditIdentity/v1": f"{f.identity}:{same[f.identity]}"}
        body["suppressions"] = []
        body["properties"] = {
            "handles": list(f.handles),
            "layout": f.layout or None,
            "view": f.view or None,
            "at": None if f.at is None else [round(f.at[0], 6), round(f.at[1], 6)],
        }
        return body


def artifact_location(path: str, index: int | None = None) -> dict[str, Any]:
    """Where a file is (3.4): relative to where the tool was started, or absolute, as it was named."""
    name = uri(path)
    at: dict[str, Any] = {"uri": name} if name.startswith("file:") else {"uri": name, "uriBaseId": BASE}
    return at if index is None else {**at, "index": index}


def _artifact(record: Record, location: dict[str, Any]) -> dict[str, Any]:
    """A drawing (3.24), with how much of it was judged."""
    return {
        "location": location,
        "roles": ["analysisTarget"],
        "mimeType": "image/vnd.dxf",
        "hashes": {"sha-256": record.sha256},
        "properties": {"dimensions": record.dimensions, "judged": record.judged},
    }


def _logical(f: Finding) -> list[dict[str, Any]]:
    """The entities, each in its view of its layout; the view or the layout, where no entity is named."""
    above = [visible(part) for part in (f.layout or "Model", f.view) if part]
    if not f.handles:
        return [_named(above, "view" if f.view else "layout")]
    return [_named([*above, visible(handle)], "entity") for handle in dict.fromkeys(f.handles)]


def _named(parts: list[str], kind: str) -> dict[str, Any]:
    return {"name": parts[-1], "fullyQualifiedName": "/".join(parts), "kind": kind}


def _suppression(accepted: Accepted) -> dict[str, Any]:
    """What an accepted finding is to the standard (3.35); who accepted it and until when is no field of its own."""
    until = None if accepted.until is None else accepted.until.isoformat()
    return {
        "kind": "external",
        "status": "accepted",
        "justification": visible(accepted.reason, LONGEST),
        "properties": {"author": visible(accepted.author), "until": until},
    }


def _rule(text: RuleText) -> dict[str, Any]:
    """A rule (3.49)."""
    help_ = "\n\n".join(text.section(title) for title in ("Why it matters at the machine", "How to mend it"))
    return {
        "id": text.rule,
        "shortDescription": {"text": literal(text.brief)},
        "fullDescription": {"text": literal(text.summary)},
        "help": {"text": literal(help_), "markdown": literal(text.page)},
        "defaultConfiguration": {"level": text.level},
    }


def _text(said: str) -> dict[str, str]:
    return {"text": literal(visible(said, LONGEST))}


def literal(text: str) -> str:
    """A message that shows the text as it is: no placeholder in it, and no link (3.11.5, 3.11.6)."""
    return text.replace("{", "{{").replace("}", "}}").replace("](", "] (")


def _json(body: Any) -> str:
    return json.dumps(body, ensure_ascii=False)
