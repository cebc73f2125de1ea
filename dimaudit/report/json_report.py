"""The run as JSON; the schema is beside this file and documented in docs/json.md. Exact values are strings."""

from typing import Any

from dimaudit.exact.number import decimal_text
from dimaudit.model.attached import Measured
from dimaudit.model.audit import DrawingAudit, Finding, InForce, Judgement, Level, NumberText, UnreadDrawing
from dimaudit.model.general import ReadAs
from dimaudit.model.record import Accepted, Record, Result, Totals
from dimaudit.model.stated import CallOut, Chamfer, Stated, Thread
from dimaudit.report.json_shared import faults_of_the_tool, head, number, settings_json, written
from dimaudit.report.scheme_json import scheme_json
from dimaudit.text.places import end_text


class JsonReport:
    """The run as one JSON object, a drawing at a time."""

    def __init__(self, version: str) -> None:
        self._version = version
        self._first = True

    def begin(self) -> str:
        return written(head("check", self._version)).rstrip("\n}") + ',\n "drawings": ['

    def drawing(self, result: Result) -> str:
        before = "\n" if self._first else ",\n"
        self._first = False
        return before + "  " + result_json(result).replace("\n", "\n  ")  # no line of it is empty

    def end(self, totals: Totals) -> str:
        """The counts, what broke, and what there is to say of the run as a whole."""
        body = {
            "faults_of_the_tool": faults_of_the_tool(totals.faults),
            "remarks": list(totals.remarks),
            "summary": summary_json(totals),
        }
        return ("" if self._first else "\n ") + "],\n" + written(body).removeprefix("{\n")


def result_json(result: Result) -> str:
    """One drawing as a JSON object, its fields a line each at least."""
    if isinstance(result, UnreadDrawing):
        return written({"path": result.path, "unread": result.why}).rstrip("\n")
    record = result.record
    noise = record.lengths.noise
    body = {
        "path": result.path,
        "sha256": record.sha256,
        "dxf_version": record.version,
        "units": None if record.unit is None else str(record.unit),
        "units_from": record.unit_from,
        "settings": settings_json(result.settings),
        "lengths_in_force": {
            "snap": decimal_text(record.lengths.snap),
            "near": decimal_text(record.lengths.near),
            "gap": decimal_text(record.lengths.gap),
            "noise": None if noise is None else decimal_text(noise),
        },
        "coverage": coverage_json(record),
        "losses": losses_json(record),
        "title_block": [_said(r) for r in record.title_block],
        "view_scales": [_said(r) for r in record.view_scales],
        "general_tolerances": list(record.tolerances),
        "views_not_compared": [
            {"views": [v.first, v.second], "share": "xy"[v.axis], "layout": v.layout, "why": v.why}
            for v in record.views_not_compared
        ],
        "texts": [_text(t) for t in record.texts],
        "findings": [finding_json(f) for f in record.findings],
        "accepted": [accepted_json(a) for a in result.accepted],
    }
    return written(body).rstrip("\n}") + ",\n" + (result.details or NO_DETAILS) + "\n}"


def coverage_json(record: Record) -> dict[str, Any]:
    """How much of a drawing was judged."""
    return {
        "dimensions": record.dimensions,
        "judged": record.judged,
        "not_judged": record.dimensions - record.judged,
        "not_judged_reasons": dict(record.not_judged),
        "views": list(record.views),
        "undimensioned_groups": record.undimensioned,
        "texts_not_read": len(record.unread_texts()),
    }


def losses_json(record: Record) -> list[dict[str, Any]]:
    """What was repaired, not read or left out."""
    return [{"what": x.what, "why": x.why, "count": x.count, "handles": list(x.handles)} for x in record.losses]


def summary_json(totals: Totals) -> dict[str, int]:
    """A run, counted."""
    return {
        "drawings": totals.drawings,
        "unread": totals.unread,
        "dimensions": totals.dimensions,
        "judged": totals.judged,
        "not_judged": totals.dimensions - totals.judged,
        **{str(level): totals.levels[level] for level in Level},
        "accepted": totals.accepted,
    }


def details_of(audit: DrawingAudit) -> str:
    """What the report says of a drawing's dimensions and schemes: the fields `dimensions` and `schemes`, as text."""
    body = {
        "dimensions": [_dimension(j, audit) for j in audit.judgements],
        "schemes": [scheme_json(s, audit.unit) for s in audit.schemes],
    }
    return written(body).removeprefix("{\n").removesuffix("\n}\n")


NO_DETAILS = ' "dimensions": null,\n "schemes": null'
"""Where nobody asked for them."""


def accepted_json(accepted: Accepted) -> dict[str, Any]:
    """An accepted finding, with who accepted it and why."""
    until = None if accepted.until is None else accepted.until.isoformat()
    return {**finding_json(accepted.finding), "reason": accepted.reason, "author": accepted.author, "until": until}


def _dimension(j: Judgement, audit: DrawingAudit) -> dict[str, Any]:
    attached = j.attached
    dimension = attached.dimension
    return {
        "handle": dimension.handle,
        "kind": str(dimension.kind),
        "layout": dimension.layout,
        "layer": dimension.layer,
        "through": dimension.through or None,
        "exploded": dimension.exploded,
        "view": None if attached.view is None else attached.view.name,
        "stated": _stated(j),
        "measured": None
        if j.measured is None
        else {
            **number(j.measured),
            "from": "features" if j.from_features else "definition points",
            "recovered": j.recovered,
            "factor": str(j.factor),
        },
        "spanned": _measured(attached.spanned),
        "stored": None if dimension.stored is None else decimal_text(dimension.stored, 17),
        "residual": _residual(j),
        "in_force": _in_force(j.in_force),
        "verdict": str(j.verdict),
        "reason": j.reason or None,
        "link": str(attached.link),
        "association": str(attached.hold),
        "attached": [
            {
                "end": end.role,
                "link": str(end.link),
                "to": end_text(end, attached, audit.unit),
                "handles": [] if end.feature is None else [s.origin.handle for s in end.feature.shapes],
            }
            for end in attached.ends
        ],
    }


def _measured(m: Measured | None) -> dict[str, str] | None:
    return None if m is None else number(m.value)


def _residual(j: Judgement) -> dict[str, str] | None:
    """Measured less stated; exact where it is rational, else an enclosure."""
    if j.residual is None:
        return None
    low, high = j.residual
    if low == high:
        return {"decimal": decimal_text(low), "exact": str(low)}
    return {"decimal": decimal_text((low + high) / 2, 12), "between": f"{low} and {high}"}


def _in_force(tolerance: InForce | None) -> dict[str, Any] | None:
    """The limits that hold, in the drawing's unit or degrees, and where they are from."""
    if tolerance is None:
        return None
    limits = (None if q is None else str(q) for q in (tolerance.lower, tolerance.upper))
    return {"limits": list(limits), "from": tolerance.source}


def _said(said: ReadAs) -> dict[str, Any]:
    return {
        "handle": said.handle,
        "layout": said.layout,
        "text": said.text,
        "read_as": said.read_as,
        "not_used": said.trouble or None,
    }


def _stated(j: Judgement) -> dict[str, Any]:
    reading = j.reading
    base: dict[str, Any] = {"text": j.text, "source": str(j.source), "expected_text": j.expected_text}
    if not isinstance(reading, Stated):
        return base
    return {**base, **_number(reading)}


def _number(reading: Stated) -> dict[str, Any]:
    """A number with all that the text says about it."""
    return {
        "value": str(reading.value),
        "places": reading.places,
        "denominator": reading.denominator,
        "unit": None if reading.unit is None else str(reading.unit),
        "sign": None if reading.sign is None else str(reading.sign),
        "count": reading.count,
        "reference": reading.reference,
        "basic": reading.boxed,
        "tolerance": None
        if reading.tolerance is None
        else {"upper": str(reading.tolerance.upper), "lower": str(reading.tolerance.lower)},
        "limits": None if reading.limits is None else [str(q) for q in reading.limits],
        "fit": reading.fit or None,
        "other_unit": None if reading.alternate is None else _number(reading.alternate),
        "chamfer": None if reading.chamfer is None else _chamfer(reading.chamfer),
        "one_sided": reading.one_sided,
        "underlined": reading.underlined,
        "hole_note": None if reading.call_out is None else _call_out(reading.call_out),
        "words": list(reading.words),
    }


def _value(stated: Stated | None) -> str | None:
    return None if stated is None else str(stated.value)


def _chamfer(chamfer: Chamfer) -> dict[str, Any]:
    return {"angle": _value(chamfer.angle), "leg": _value(chamfer.leg)}


def _call_out(note: CallOut) -> dict[str, Any]:
    """What a hole note says besides the size: each step with its numbers as exact fractions."""

    def thread(given: Thread | None) -> str | None:
        return None if given is None else given.text

    return {
        "steps": [
            {
                "kind": str(step.kind),
                "diameter": _value(step.diameter),
                "depth": _value(step.depth),
                "angle": _value(step.angle),
                "through": step.through,
            }
            for step in note.steps
        ],
        "thread": thread(note.thread),
        "thread_depth": _value(note.thread_depth),
        "screw": thread(note.screw),
        "bolt_circle": _value(note.bolt_circle),
        "spacing": _value(note.spacing),
        "equally_spaced": note.equally_spaced,
    }


def _text(t: NumberText) -> dict[str, Any]:
    return {
        "handle": t.handle,
        "layout": t.layout,
        "at": [round(t.at[0], 6), round(t.at[1], 6)],
        "text": t.text,
        "read_as": t.read_as or None,
        "why": t.why or None,
    }


def finding_json(f: Finding) -> dict[str, Any]:
    """A finding's fields."""
    return {
        "rule": f.rule,
        "identity": f.identity,
        "level": str(f.level),
        "handles": list(f.handles),
        "message": f.message,
        "where": f.where or None,
        "why": list(f.why),
        "suggestion": f.suggestion,
        "at": None if f.at is None else [round(f.at[0], 6), round(f.at[1], 6)],
        "layout": f.layout or None,
        "view": f.view or None,
    }
