"""The words that findings share."""

from fractions import Fraction

from dimaudit.exact.number import decimal_places, decimal_text, fraction_text
from dimaudit.exact.real import Real, Root, real_text
from dimaudit.judge.check import Sheet
from dimaudit.model.audit import Finding, Judgement, Level
from dimaudit.model.drawing import ANGLES
from dimaudit.model.units import INCHES, Unit
from dimaudit.text.places import kind_text, where_text

DYADIC = 128
LONGEST_ROOT = 12
"""A root of a longer number tells a person nothing; `explain` and JSON show it whole."""


def number_text(value: Real, judgement: Judgement, unit: Unit | None) -> str:
    """A measured value as a decimal, with the fraction it is where a shop would know it by that: '2.4375 (2 7/16)'."""
    angle = judgement.attached.dimension.kind in ANGLES
    text = real_text(value, 6)
    if unit in INCHES and not angle and text.startswith("0."):
        text = text[1:]
    if angle:
        return f"{text}°"
    if isinstance(value, Fraction) and unit in INCHES and value.denominator > 1 and DYADIC % value.denominator == 0:
        return f"{text} ({fraction_text(value)})"
    if isinstance(value, Fraction) and decimal_places(value) is None and value.denominator <= 10**6:
        return f"{text} ({fraction_text(value)})"
    if isinstance(value, Root) and len(str(value.square)) <= LONGEST_ROOT:
        return f"{text} (√{value.square})"
    return text


def residual_text(judgement: Judgement) -> str:
    """Measured less stated, signed: exact where it is rational, else to nine decimals."""
    if judgement.residual is None:
        return ""
    low, high = judgement.residual
    text = decimal_text(low if low == high else (low + high) / 2, 9)
    return text if text.startswith("-") else f"+{text}"


def named(judgement: Judgement) -> str:
    """The dimension as a person would call it: 'linear dimension "2.500"'."""
    what = kind_text(judgement.attached.dimension.kind)
    return f'{what} "{judgement.text}"' if judgement.text else what


def spot(judgement: Judgement) -> tuple[float, float] | None:
    """Where the finding is on the drawing: the text's middle, else a definition point."""
    dimension = judgement.attached.dimension
    point = dimension.shown_at or next(iter(dimension.points.values()), None)
    return None if point is None else (float(point[0]), float(point[1]))


def finding(
    rule: str, level: Level, judgement: Judgement, sheet: Sheet, message: str, why: list[str], suggestion: str
) -> Finding:
    """A finding about one dimension."""
    attached = judgement.attached
    return Finding(
        rule=rule,
        level=level,
        handles=(attached.dimension.handle,),
        message=message,
        why=tuple(why),
        suggestion=suggestion,
        at=spot(judgement),
        layout=attached.dimension.layout,
        view="" if attached.view is None else attached.view.name,
        where=where_text(attached, sheet.drawing.unit),
        subject=named(judgement),
    )
