"""The measurement stored in the entity (group 42) is not what its points give."""

from collections.abc import Iterator
from math import pi

from dimaudit.exact.number import INCH_IN_MM, decimal_text
from dimaudit.exact.real import nearly
from dimaudit.judge.check import Rule, Sheet
from dimaudit.judge.saying import finding, named, number_text
from dimaudit.model.audit import Finding, Judgement, Level
from dimaudit.model.drawing import ANGLES, Kind

CLOSE = 1e-6
"""Relative; programs store the measurement as a double they computed themselves."""


def check(sheet: Sheet) -> Iterator[Finding]:
    for judgement, statement in zip(sheet.judgements, sheet.statements, strict=True):
        dimension = judgement.attached.dimension
        spanned = judgement.attached.spanned
        if dimension.stored is None or spanned is None or statement.stale:
            continue
        if any(_close(float(dimension.stored), value) for value in _legitimate(judgement)):
            continue
        angle = dimension.kind in ANGLES
        stored = float(dimension.stored)
        shown = f"{stored * 180 / pi:.6g}° ({stored:.6g} rad)" if angle else decimal_text(dimension.stored, 6)
        why = [
            f"group 42 holds {shown}; the definition points span "
            f"{number_text(spanned.value, judgement, sheet.drawing.unit)}",
            "the text on the print does not depend on it; other programs and exports may use it",
        ]
        yield finding(
            "stale-measurement", Level.WARNING, judgement, sheet,
            f"{named(judgement)} stores a measurement that is out of date", why,
            "update the dimension in the program that made it (move a grip and back, or regenerate), then save",
        )  # fmt: skip


def _legitimate(judgement: Judgement) -> list[float]:
    """What writers put into group 42: the span, with or without DIMLFAC, on paper or in the model, in either unit.

    Angles in radians, sometimes in degrees, of the sector shown or of another; an aligned or rotated dimension
    sometimes stores the distance of its points. Observed in real files; none of these is out of date.
    """
    attached = judgement.attached
    dimension = attached.dimension
    assert attached.spanned is not None
    if dimension.kind in ANGLES:
        degrees = nearly(attached.spanned.value)
        sectors = [degrees, 180 - degrees, 360 - degrees, 180 + degrees]
        return [a * pi / 180 for a in sectors] + sectors
    spans = [nearly(attached.spanned.value)]
    if dimension.kind in (Kind.LINEAR, Kind.ALIGNED):
        a, b = dimension.points[13], dimension.points[14]
        dx, dy = abs(float(b[0] - a[0])), abs(float(b[1] - a[1]))
        spans += [(dx * dx + dy * dy) ** 0.5, dx, dy]
    if dimension.kind is Kind.ORDINATE:
        a, b = dimension.points[10], dimension.points[13]
        spans += [abs(float(b[0] - a[0])), abs(float(b[1] - a[1])), abs(float(b[0])), abs(float(b[1]))]
    if dimension.kind in (Kind.RADIUS, Kind.DIAMETER, Kind.JOGGED_RADIUS):
        spans += [spans[0] * 2, spans[0] / 2]
    if attached.drawn is not None and dimension.kind in (Kind.RADIUS, Kind.DIAMETER):
        spans.append(nearly(attached.drawn.value))
    dimlfac = abs(float(dimension.style.factor))
    factors = {1.0, dimlfac, float(dimension.text_factor), float(dimension.true_factor), float(judgement.factor)}
    inch = float(INCH_IN_MM)
    return [s * f * u for s in spans for f in factors for u in (1.0, inch, 1 / inch)]


def _close(stored: float, value: float) -> bool:
    return abs(stored - value) <= CLOSE * max(abs(value), abs(stored), 1e-12)


RULE = Rule("stale-measurement", Level.WARNING, "the stored measurement is out of date", check)
