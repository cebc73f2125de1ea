"""Advice on rounding as JSON."""

from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import Any

from dimaudit.model.advice import Advice, Off, Plan, Wrong
from dimaudit.model.audit import DrawingAudit, RuleFault
from dimaudit.model.scheme import Net
from dimaudit.model.settings import Settings
from dimaudit.model.units import Unit
from dimaudit.report.json_shared import faults_of_the_tool, file, head, number, place, written
from dimaudit.text.advice_text import wrong_text
from dimaudit.text.levels import node_place
from dimaudit.text.place_words import ALONG


def advice_report(
    audit: DrawingAudit, found: Iterable[Advice], within: Fraction | None, faults: Sequence[RuleFault],
    settings: Settings, version: str,
) -> str:  # fmt: skip
    """The advice for all groups of dimensions of one drawing."""
    return written({
        **head("advise", version, settings),
        "drawing": file(audit),
        "within": None if within is None else number(within),
        "groups": [_group(advice, audit.unit) for advice in found],
        "faults_of_the_tool": faults_of_the_tool(faults),
    })  # fmt: skip


def _group(advice: Advice, unit: Unit | None) -> dict[str, Any]:
    ways, judged = advice.ways, not advice.not_advised
    return {
        "axis": ALONG[advice.net.axis],
        "counted_from": _level(advice.net, advice.origin, unit),
        "dimensions": list(advice.dimensions),
        "wrong": [_wrong(wrong, unit) for wrong in advice.wrong],
        "why_not": advice.not_advised or None,
        "closes": ways.closes if judged else None,
        "fits": ways.fits if judged else None,
        "furthest_off": None if advice.worst is None else _off(advice.net, advice.worst, unit),
        "places": None if ways.places is None else _plan(ways.places),
        "fractions": None if ways.fractions is None else _plan(ways.fractions),
        "never": ways.never,
        "no_decimal": [{"dimension": handle, "drawn": number(exact)} for handle, exact in ways.no_decimal],
        "from_origin": [
            {"to": _level(advice.net, one.node, unit), "values": [number(v) for v in one.values]}
            for one in advice.from_origin
        ],
    }


def _level(net: Net, node: int, unit: Unit | None) -> dict[str, Any]:
    return place(node_place(net.nodes[node], axis=net.axis), unit)


def _wrong(wrong: Wrong, unit: Unit | None) -> dict[str, Any]:
    return {
        "dimension": wrong.dimension,
        "text": wrong.text,
        "drawn": number(wrong.exact),
        "value": number(wrong.value),
        "written": wrong_text(wrong, unit),
    }


def _off(net: Net, off: Off, unit: Unit | None) -> dict[str, Any]:
    return {
        "place": _level(net, off.node, unit),
        "off": number(off.deviation),
        "limit": number(off.limit),
        "limit_from": off.source,
    }


def _plan(plan: Plan) -> dict[str, Any]:
    return {
        "changes": [
            {
                "dimension": change.dimension,
                "text": change.text,
                "decimals": change.places,
                "values": [number(value) for value in change.values],
            }
            for change in plan.changes
        ],
        "least": plan.least,
    }
