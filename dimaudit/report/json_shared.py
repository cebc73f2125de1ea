"""What the JSON reports have in common: their head, numbers, places, settings. Exact values are strings."""

import json
from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import Any

from dimaudit.exact.number import decimal_text
from dimaudit.exact.real import Real, exact_text, real_text
from dimaudit.model.audit import DrawingAudit, RuleFault
from dimaudit.model.drawing import Drawing
from dimaudit.model.scheme import Implied, Place
from dimaudit.model.settings import Settings
from dimaudit.model.units import Unit
from dimaudit.report.interface import CAUTION
from dimaudit.report.schemas import SCHEMAS
from dimaudit.text.place_words import ALONG, place_text

FINE = 10**12
"""Bounds of an enclosure are given to so many parts of the unit, rounded outward: a proof of more helps nobody."""


def written(body: Any) -> str:
    """The text of a report."""
    return json.dumps(body, indent=1, ensure_ascii=False) + "\n"


def head(command: str, version: str, settings: Settings | None = None) -> dict[str, Any]:
    """What every report opens with; the settings, where it is of one drawing."""
    return {
        "schema": SCHEMAS[command],
        "tool": {"name": "dimaudit", "version": version},
        "caution": CAUTION,
        **({} if settings is None else {"settings": settings_json(settings)}),
    }


def settings_json(settings: Settings) -> dict[str, Any]:
    """What steered an audit."""

    def number(q: Fraction | None) -> str:
        return "by the drawing's unit" if q is None else decimal_text(q)

    return {
        "rounding": str(settings.rounding),
        "unit": "from the file" if settings.unit is None else str(settings.unit),
        "snap": number(settings.snap),
        "near": number(settings.near),
        "gap": number(settings.gap),
        "noise": "from the file" if settings.noise is None else decimal_text(settings.noise),
        "nearly_level_degrees": decimal_text(settings.nearly_level),
        "eaten_share": decimal_text(settings.eaten_share),
        "general_tolerances": None if settings.general is None else settings.general.words(),
        "views_given": len(settings.views),
        "layers_left_out": list(settings.left_out_layers),
        "layouts_left_out": list(settings.left_out_layouts),
        "rule_levels": {name: str(level) for name, level in settings.rule_levels},
        "rule_set": settings.rule_set,
        "not_implied": words(kind for kind in Implied if kind not in settings.taken_as_implied),
    }


def file(drawing: Drawing | DrawingAudit) -> dict[str, Any]:
    """Which file a report is about, and what its numbers are in."""
    return {
        "path": drawing.path,
        "sha256": drawing.sha256,
        "dxf_version": drawing.version,
        "units": None if drawing.unit is None else str(drawing.unit),
        "units_from": drawing.unit_from,
    }


def faults_of_the_tool(faults: Iterable[RuleFault]) -> list[dict[str, str]]:
    """Rules that broke."""
    return [{"path": f.path, "rule": f.rule, "error": f.error} for f in faults]


def words(kinds: Iterable[Implied]) -> list[str]:
    """What was taken as implied, by the words of `--not-implied`."""
    return [kind.word for kind in kinds]


def number(value: Real) -> dict[str, str]:
    """A decimal for people, and all of it."""
    return {"decimal": real_text(value, 9), "exact": exact_text(value)}


def enclosed(low: Fraction, high: Fraction) -> dict[str, str]:
    """A number that lies between two rationals, or is both of them."""
    if low == high:
        return number(low)
    low, high = Fraction(low * FINE // 1, FINE), -Fraction(-high * FINE // 1, FINE)
    return {"decimal": decimal_text((low + high) / 2, 9), "between": f"{low} and {high}"}


def band(limits: tuple[Fraction, Fraction] | None) -> list[dict[str, str]] | None:
    """Lower and upper limit."""
    return None if limits is None else [number(limits[0]), number(limits[1])]


def place(at: Place, unit: Unit | None) -> dict[str, Any]:
    """A place of a view, as drawn, with the name that a person would call it by."""
    return {
        "view": at.view.name,
        "name": place_text(at, unit),
        "axis": ALONG[at.axis],
        "x": number(at.at[0]),
        "y": number(at.at[1]),
        "radius": number(at.value) if at.axis == 2 else None,
        "centreline": at.helper,
    }


def places(at: Sequence[Place], unit: Unit | None) -> list[dict[str, Any]]:
    """Several of them."""
    return [place(one, unit) for one in at]
