"""The run as JSON; the schema is beside this file and documented in docs/json.md. Exact values are strings."""

from collections import Counter
from typing import Any

from dimaudit.exact.number import decimal_text
from dimaudit.model.attached import Measured
from dimaudit.model.audit import DrawingAudit, Finding, InForce, Judgement, Level, NumberText, UnreadDrawing
from dimaudit.model.general import ReadAs
from dimaudit.model.stated import CallOut, Chamfer, Stated, Thread
from dimaudit.report.interface import Run
from dimaudit.report.json_shared import faults_of_the_tool, file, head, number, written
from dimaudit.report.scheme_json import scheme_json
from dimaudit.text.places import end_text


def json_report(run: Run) -> str:
    """The whole run."""
    drawings = [_unread(d) if isinstance(d, UnreadDrawing) else _drawing(d) for d in run.report.drawings]
    audited = [d for d in run.report.drawings if isinstance(d, DrawingAudit)]
    levels = Counter(f.level for d in audited for f in d.findings)
    body = {
        **head("check", run.version, run.settings),
        "drawings": drawings,
        "faults_of_the_tool": faults_of_the_tool(run.report.faults),
        "summary": {
            "drawings": len(drawings),
            "unread": len(drawings) - len(audited),
            "dimensions": sum(len(d.judgements) for d in audited),
            "judged": sum(d.judged() for d in audited),
            "not_judged": sum(len(d.judgements) - d.judged() for d in audited),
            **{str(level): levels[level] for level in Level},
        },
    }
    return written(body)


def _unread(drawing: UnreadDrawing) -> dict[str, Any]:
    return {"path": drawing.path, "unread": drawing.why}


def _drawing(audit: DrawingAudit) -> dict[str, Any]:
    noise = audit.lengths.noise
    return {
        **file(audit),
        "lengths_in_force": {
            "snap": decimal_text(audit.lengths.snap),
            "near": decimal_text(audit.lengths.near),
            "gap": decimal_text(audit.lengths.gap),
            "noise": None if noise is None else decimal_text(noise),
        },
        "coverage": {
            "dimensions": len(audit.judgements),
            "judged": audit.judged(),
            "not_judged": len(audit.judgements) - audit.judged(),
            "not_judged_reasons": audit.not_judged(),
            "views": list(audit.views),
            "undimensioned_groups": audit.undimensioned,
            "texts_not_read": len(audit.unread_texts()),
        },
        "losses": [
            {"what": loss.what, "why": loss.why, "count": loss.count, "handles": list(loss.handles)}
            for loss in audit.losses
        ],
        "title_block": [_said(r) for r in audit.title_block.read],
        "view_scales": [_said(r) for r in audit.view_scales],
        "general_tolerances": audit.title_block.tolerances.words(),
        "views_not_compared": [
            {"views": [v.first, v.second], "share": "xy"[v.axis], "layout": v.layout, "why": v.why}
            for v in audit.views_not_compared
        ],
        "dimensions": [_dimension(j, audit) for j in audit.judgements],
        "schemes": [scheme_json(s, audit.unit) for s in audit.schemes],
        "texts": [_text(t) for t in audit.texts],
        "findings": [_finding(f) for f in audit.findings],
    }


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


def _finding(f: Finding) -> dict[str, Any]:
    return {
        "rule": f.rule,
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
