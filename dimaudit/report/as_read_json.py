"""The as-read parts as JSON. Deviations and sizes are true ones, places as drawn."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from dimaudit.model.as_read import AsRead, Conflict, Landing, Leg, Span
from dimaudit.model.audit import RuleFault
from dimaudit.model.drawing import Drawing
from dimaudit.model.settings import Settings
from dimaudit.model.units import Unit
from dimaudit.report.as_read import elsewhere
from dimaudit.report.json_shared import band, enclosed, faults_of_the_tool, file, head, number, place, places, written
from dimaudit.text.place_words import ALONG

Texts = Mapping[str, str]
"""What a person reads in each dimension, by its handle."""


def as_read_report(
    drawing: Drawing, parts: Sequence[AsRead], texts: Texts, neglected: Iterable[str], faults: Sequence[RuleFault],
    settings: Settings, version: str,
) -> str:  # fmt: skip
    """All parts of one drawing."""
    return written({
        **head("as-read", version, settings),
        "drawing": file(drawing),
        "neglected": sorted(neglected),
        "parts": [_part(part, drawing.unit, texts) for part in parts],
        "faults_of_the_tool": faults_of_the_tool(faults),
    })  # fmt: skip


def _part(part: AsRead, unit: Unit | None, texts: Texts) -> dict[str, Any]:
    return {
        "views": list(dict.fromkeys(p.view.name for landing in part.landings for p in landing.places)),
        "set_up_from": places(part.origins, unit),
        "landings": [_landing(landing, unit, texts) for landing in part.landings],
        "conflicts": [_conflict(conflict, part, texts) for conflict in part.conflicts],
        "not_kept": [{"implied": b.kind.word, "places": places(b.places, unit)} for b in part.broken],
        "not_read": [{"handle": h, "text": texts.get(h), "why": why} for h, why in part.kept],
    }


def _landing(landing: Landing, unit: Unit | None, texts: Texts) -> dict[str, Any]:
    least, greatest, scale = landing.least, landing.greatest, landing.scale
    return {
        "axis": ALONG[landing.axis],
        "places": places(landing.places, unit),
        "off": _off(landing, landing.off),
        "why_not": landing.why_not or None,
        "elsewhere": None if landing.off is None else elsewhere(landing),
        "held_by_nothing": landing.free,
        "least": None if least is None else enclosed(least * scale, least * scale),
        "greatest": None if greatest is None else enclosed(greatest * scale, greatest * scale),
        "bound_only": landing.bound,
        "from": None if landing.origin is None else place(landing.origin, unit),
        "sum": None if landing.legs is None else [_leg(leg, texts) for leg in landing.legs],
        "tolerances": band(landing.tolerance),
        "inside": landing.inside,
        "scale": number(scale),
    }


def _off(landing: Landing, off: Span | None) -> dict[str, str] | None:
    return None if off is None else enclosed(off[0] * landing.scale, off[1] * landing.scale)


def _leg(leg: Leg, texts: Texts) -> dict[str, Any]:
    return {
        "dimension": leg.handle,
        "text": texts.get(leg.handle),
        "share": number(leg.share),
        "stated": number(leg.stated),
        "drawn": number(leg.drawn),
        "tolerances": band(leg.limits),
    }


def _conflict(conflict: Conflict, part: AsRead, texts: Texts) -> dict[str, Any]:
    return {
        "dimensions": [{"handle": h, "text": texts.get(h)} for h in conflict.members],
        "ways": conflict.ways,
        "choices": [
            {
                "not_met": list(choice.neglected),
                "lands": [{"landing": i, "off": _off(part.landings[i], off)} for i, off in choice.lands],
            }
            for choice in conflict.choices
        ],
    }
