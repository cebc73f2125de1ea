"""Why a stated number is likely to be wrong."""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from dimaudit.exact.number import INCH_IN_MM, Rounding, decimal_text, fixed_text
from dimaudit.exact.real import Real, compare, middle, round_real, scaled
from dimaudit.model.attached import Attached, Link
from dimaudit.model.drawing import ANGLES, Kind
from dimaudit.model.stated import DIAMETERS, RADII, Stated
from dimaudit.model.units import Unit
from dimaudit.text.places import feature_text
from dimaudit.text.scale_label import ratio_text

_SCALES = tuple(Fraction(a, b) for a, b in ((2, 1), (1, 2), (4, 1), (1, 4), (5, 1), (1, 5), (10, 1), (1, 10),
                                            (12, 1), (1, 12), (100, 1), (1, 100)))  # fmt: skip

NO_SCALES = (Fraction(1), INCH_IN_MM, 1 / INCH_IN_MM)
"""Factors of DIMLFAC that convert or do nothing."""


@dataclass(frozen=True, slots=True)
class Cause:
    """Why a number is likely to be wrong, and what mends that where the number itself is not at fault."""

    words: str
    cure: str = ""


def likeliest_cause(
    attached: Attached, reading: Stated, stated: Fraction, step: Fraction, measured: Real, unit: Unit | None
) -> Cause | None:
    """The first cause, likeliest first, that explains the stated number; None where none does."""
    setting = _setting(attached, stated, step)
    if setting is not None:
        return setting
    words = next(_causes(attached, reading, stated, step, measured, unit), "")
    return Cause(words) if words else None


def _setting(attached: Attached, stated: Fraction, step: Fraction) -> Cause | None:
    """A DIMLFAC that is right for another viewport."""
    dimension = attached.dimension
    if attached.spanned is None or dimension.text_factor == dimension.true_factor:
        return None
    if not _fits(scaled(attached.spanned.value, dimension.text_factor), stated, step):
        return None
    needed = decimal_text(abs(dimension.style.factor) * dimension.true_factor / dimension.text_factor, 6)
    has = decimal_text(dimension.style.factor)
    return Cause(f"DIMLFAC {has} does not suit {dimension.through}: {needed} is needed", f"set DIMLFAC to {needed}")


def _causes(
    attached: Attached, reading: Stated, stated: Fraction, step: Fraction, measured: Real, unit: Unit | None
) -> Iterator[str]:
    dimension = attached.dimension
    spanned = None if attached.spanned is None else scaled(attached.spanned.value, dimension.text_factor)
    own = dimension.text_factor == dimension.true_factor
    if spanned is not None and own and attached.link is Link.NEAR and _fits(spanned, stated, step):
        yield "it states what its definition points span, and they are not on the part"
    by_user = None if attached.view is None else attached.view.scale
    factor = dimension.true_factor / (by_user or 1)
    if factor not in NO_SCALES and dimension.kind not in ANGLES and _fits(scaled(measured, 1 / factor), stated, step):
        yield as_drawn(factor)
    radius = dimension.kind is Kind.RADIUS if reading.sign is None else reading.sign in RADII
    diameter = dimension.kind is Kind.DIAMETER if reading.sign is None else reading.sign in DIAMETERS
    if radius and _fits(scaled(measured, Fraction(2)), stated, step):
        yield "the diameter is stated for the radius"
    if diameter and _fits(scaled(measured, Fraction(1, 2)), stated, step):
        yield "the radius is stated for the diameter"
    if dimension.kind not in ANGLES:
        for factor, words in ((INCH_IN_MM, "millimetres are stated for inches"),
                              (1 / INCH_IN_MM, "inches are stated for millimetres")):  # fmt: skip
            if _fits(scaled(measured, factor), stated, step):
                yield f"{words} (times 25.4)"
    if dimension.kind not in ANGLES:
        for places in (1, 2, 3):
            if stated in (middle(measured) * 10**places, middle(measured) / 10**places):
                yield f"the decimal point is {places} place{'s' if places > 1 else ''} off"
    written = _digits(stated, reading)
    right = _digits(round_real(measured, step, Rounding.HALF_UP), reading)
    if right and written:
        yield from slips(written, right)
        if isinstance(measured, Fraction):  # a digit too many or too few moves the last place
            yield from slips(written, significant(measured))
    if dimension.stored is not None and dimension.kind not in ANGLES:
        stored = dimension.stored
        if _fits(stored, stated, step) and compare(measured, stored) != 0:
            yield "it states the stored measurement, which is out of date"
    if dimension.kind in ANGLES:
        about = middle(measured)
        for other, words in ((180 - about, "the supplement of the angle is stated"),
                             (90 - about, "the complement of the angle is stated"),
                             (360 - about, "the angle on the other side is stated")):  # fmt: skip
            if abs(other - stated) <= step / 2:
                yield words
    else:
        for scale in _SCALES:
            if _fits(scaled(measured, scale), stated, step):
                n, d = scale.as_integer_ratio()
                half = " (a half view?)" if scale == 2 else ""
                yield f"it is {n} times the drawn size{half}" if d == 1 else f"it is 1/{d} of the drawn size"
    neighbour = _neighbour(attached, stated, step, unit)
    if neighbour:
        yield neighbour


def as_drawn(factor: Fraction) -> str:
    """Of a number that fits the drawn length; the part is `factor` times as large."""
    return f"it is the size as drawn, and the view is drawn at {ratio_text(1 / factor)}"


def _fits(value: Real, stated: Fraction, step: Fraction) -> bool:
    return compare(value, stated - step / 2) >= 0 and compare(value, stated + step / 2) <= 0


def _digits(value: Fraction, reading: Stated) -> str:
    if reading.places is None or value < 0 or (value * 10**reading.places).denominator != 1:
        return ""
    return fixed_text(value, reading.places).replace(".", "").lstrip("0")


def significant(value: Fraction) -> str:
    """The digits of a decimal that ends, without leading and trailing zeros."""
    text = decimal_text(value)
    return "" if text.endswith("…") or "." not in text else text.replace(".", "").lstrip("0")


def slips(written: str, right: str) -> Iterator[str]:
    """Slips of the hand: two digits swapped, one doubled, one dropped, one mistyped."""
    for k in range(len(right) - 1):
        if right[:k] + right[k + 1] + right[k] + right[k + 2 :] == written and right[k] != right[k + 1]:
            yield f"two digits are swapped ({right[k]}{right[k + 1]})"
    if len(written) == len(right) + 1:
        for k, digit in enumerate(right):
            if right[: k + 1] + digit + right[k + 1 :] == written:
                yield f"a digit is doubled ({digit})"
    if len(written) == len(right) - 1 and len(right) > 2:
        for k, digit in enumerate(right):
            if right[:k] + right[k + 1 :] == written:
                yield f"a digit is missing ({digit})"
    if len(written) == len(right):
        differing = [k for k in range(len(right)) if written[k] != right[k]]
        if len(differing) == 1 and len(right) > 2:
            k = differing[0]
            yield f"one digit differs ({written[k]} for {right[k]})"
    if sorted(written) == sorted(right) and len(right) > 2:
        yield "the digits are those of the right number in another order"


def _neighbour(attached: Attached, stated: Fraction, step: Fraction, unit: Unit | None) -> str:
    """Another level of the view at the stated distance from one of the ends, for level and upright dimensions."""
    dimension, view = attached.dimension, attached.view
    if view is None or dimension.kind not in (Kind.LINEAR, Kind.ORDINATE):
        return ""
    direction = dimension.angle % 180
    if dimension.kind is Kind.ORDINATE and not dimension.along_x:
        direction = (direction + 90) % 180
    if direction not in (0, 90):
        return ""
    axis = 0 if direction == 0 else 1
    factor = dimension.true_factor
    for end in attached.ends:
        if end.feature is None:
            continue
        here = end.feature.at[axis]
        for features in (view.by_x if axis == 0 else view.by_y).values():
            distance = abs(features[0].at[axis] - here) * factor
            if distance and abs(distance - stated) <= min(step / 2, Fraction(1, 1000)):
                return f"it is the distance to {feature_text(features[0], view, unit, axis)}"
    return ""
