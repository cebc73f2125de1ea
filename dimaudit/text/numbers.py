"""Numbers as they stand in dimension text: decimals, fractions, feet and inches, angles."""

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import NoReturn

from dimaudit.model.units import Unit
from dimaudit.text.vocabulary import ANGLE_UNIT, ANGLE_UNITS, INCH_POINT, UNIT, UNITS

STACK = re.compile("\x01([^\x02]*)\x02([/#^])([^\x03]*)\x03")
"""A stack inside a line; control characters never come out of the markup otherwise."""

_DIGITS = re.compile(r"[0-9]+(?:[.,][0-9]+)*\.?|[.,][0-9]+")
_EXPONENT = re.compile(r"[eE]([+-][0-9]{1,2})(?![0-9])")
_BLANK_GROUPS = re.compile(r"[0-9]{1,3}(?: [0-9]{3})+(?![0-9])(?:[.,][0-9]+)?(?! *[/#0-9])")
_WHOLE = re.compile(r"[0-9]+(?![0-9.,])")
_BAR = re.compile(r" *[/#] *([0-9]+)(?![0-9]|[.,][0-9])")
# A hyphen joins where it touches the whole number or stands free: in '1 -1/8' it is a sign.
_PART = re.compile(r"(?: +| +- +|- *)([0-9]+) *[/#] *([0-9]+)(?![0-9]|[.,][0-9])")
_BEFORE_STACK = re.compile(r" *-? *(?=\x01)")
_FOOT = re.compile(r" *'(?!')")
_TO_INCHES = re.compile(r"(?:( +- +|- *)| *)(?=[0-9.,\x01])")
_INCH = re.compile(r' *"')
_DEGREES = re.compile(r" *[°d][ -]*(?=[0-9])")
_BEARING = re.compile(r"([NS]) *(?=[0-9])")
_TOWARDS = re.compile(r" *([EW])(?![A-Za-z0-9])")
_FROM_EAST = {"NE": (90, -1), "NW": (90, 1), "SW": (270, -1), "SE": (270, 1)}
"""A bearing as an angle from east, against the clock: north is 90 degrees, and which way from there."""
_MINUTE = re.compile(r" *' *")
_GROUPED = {sign: re.compile(rf"[1-9][0-9]{{0,2}}(?:\{sign}[0-9]{{3}})+") for sign in ".,"}
_SHOP_DENOMINATORS = frozenset(2**n for n in range(1, 9))


class Unclear(Exception):
    """The text can't be read; the message says why and what would help. Never leaves this package."""


def unclear(why: str) -> NoReturn:
    """Gives up on the text."""
    raise Unclear(why)


@dataclass(frozen=True, slots=True)
class Amount:
    """A number with what its writing says."""

    value: Fraction
    step: Fraction
    places: int | None = None
    denominator: int | None = None
    unit: Unit | None = None

    def times(self, factor: Fraction, unit: Unit) -> "Amount":
        return replace(self, value=self.value * factor, step=self.step * factor, unit=unit)


@dataclass(frozen=True, slots=True)
class Context:
    """What reading a number depends on besides the text."""

    separator: str
    angular: bool


Parsed = tuple[Amount, int]


def decimal(digits: str, separator: str) -> tuple[Fraction, int]:
    """The value of a decimal and its places; Unclear where it can be read two ways."""
    point, comma = digits.rfind("."), digits.rfind(",")
    if comma < 0:
        if digits.count(".") > 1:
            if not _GROUPED["."].fullmatch(digits):
                unclear(f"'{digits}' has more than one decimal point; write it with one")
            return Fraction(int(digits.replace(".", ""))), 0
        mark = point
    elif point >= 0:
        mark = max(point, comma)
        whole, other = digits[:mark], "," if mark == point else "."
        if digits.count(digits[mark]) > 1 or not _GROUPED[other].fullmatch(whole):
            unclear(f"'{digits}' mixes points and commas in a way that makes no number")
        digits = whole.replace(other, "") + "." + digits[mark + 1 :]
        mark = digits.find(".")
    elif digits.count(",") > 1:
        if not _GROUPED[","].fullmatch(digits):
            unclear(f"'{digits}' has more than one decimal comma; write it with one")
        return Fraction(int(digits.replace(",", ""))), 0
    else:
        if separator != "," and _GROUPED[","].fullmatch(digits):
            unclear(
                f"'{digits}' can be read as {digits.replace(',', '.')} or as {digits.replace(',', '')}; "
                "write a decimal point, or leave the comma out"
            )
        mark = comma
    if mark < 0:
        return Fraction(int(digits)), 0
    tail = digits[mark + 1 :]
    return Fraction(int(digits[:mark] + tail), 10 ** len(tail)), len(tail)


def _decimal_at(text: str, pos: int, context: Context) -> Parsed | None:
    grouped = _BLANK_GROUPS.match(text, pos)
    if grouped is not None:
        digits = grouped.group()
        if context.separator != ",":
            unclear(f"'{digits}' can be read as one number with its thousands set apart or as two numbers")
        value, places = decimal(digits.replace(" ", ""), context.separator)
        return Amount(value, Fraction(1, 10**places), places), grouped.end()
    found = _DIGITS.match(text, pos)
    if found is None:
        return None
    value, places = decimal(found.group(), context.separator)
    exponent = _EXPONENT.match(text, found.end())
    if exponent is None:
        return Amount(value, Fraction(1, 10**places), places), found.end()
    power = Fraction(10) ** int(exponent.group(1))
    return Amount(value * power, power / 10**places), exponent.end()


def _fraction(upper: str, lower: str, whole: str | None) -> Amount:
    above, below = int(upper), int(lower)
    text = f"{upper}/{lower}"
    if below == 0:
        unclear(f"'{text}' has the denominator 0")
    if whole is not None:
        if above >= below:
            unclear(f"'{whole} {text}' holds a fraction that is not below 1")
        value = int(whole) + Fraction(above, below)
    else:
        # 15/16 is a fraction and 25/24 most likely two limits: what no scale carries is left open.
        if below not in _SHOP_DENOMINATORS and (above >= below or (below > 10 and 2 * above > below)):
            unclear(f"'{text}' can be read as a fraction or as two limits; write decimals")
        value = Fraction(above, below)
    return Amount(value, Fraction(1, below), None, below)


def _stacked_fraction(text: str, pos: int, whole: str | None) -> Parsed | None:
    found = STACK.match(text, pos)
    if found is None or found.group(2) == "^":
        return None
    upper, lower = found.group(1), found.group(3)
    if not (_is_whole(upper) and _is_whole(lower)):
        return None
    return _fraction(upper, lower, whole), found.end()


def _is_whole(text: str) -> bool:
    return text.isascii() and text.isdigit()


def number(text: str, pos: int, context: Context) -> Parsed | None:
    """An unsigned number without its unit, or None where there is none at `pos`."""
    found = _WHOLE.match(text, pos)
    if found is None:
        if text[pos : pos + 1] == "\x01":
            return _stacked_fraction(text, pos, None)
        return _decimal_at(text, pos, context)
    whole, end = found.group(), found.end()
    part = _PART.match(text, end)
    if part is not None:
        return _fraction(part.group(1), part.group(2), whole), part.end()
    bar = _BAR.match(text, end)
    if bar is not None:
        return _fraction(whole, bar.group(1), None), bar.end()
    gap = _BEFORE_STACK.match(text, end)
    if gap is not None:
        stacked = _stacked_fraction(text, gap.end(), whole)
        if stacked is not None:
            return stacked
    return _decimal_at(text, pos, context)


def amount(text: str, pos: int, context: Context) -> Parsed | None:
    """A number with its sign and its unit, or None where there is none at `pos`."""
    if context.angular:
        bearing = _BEARING.match(text, pos)
        if bearing is not None:
            return _bearing(text, bearing, context)
    sign = text[pos : pos + 1]
    signed = sign in ("+", "-")
    parsed = number(text, pos + signed, context)
    if parsed is None:
        return None
    found, end = parsed
    for form in _FORMS:
        with_unit = form(text, end, found, context)
        if with_unit is not None:
            found, end = with_unit
            break
    return (replace(found, value=-found.value) if sign == "-" else found), end


def _bearing(text: str, begin: "re.Match[str]", context: Context) -> Parsed | None:
    """N 45°30'15" E: surveyor's units (DXF reference, DIMAUNIT 4; the direction from memory)."""
    parsed = number(text, begin.end(), context)
    turned = None if parsed is None else _angle(text, parsed[1], parsed[0], context)
    if parsed is not None and turned is None:
        turned = _plain_unit(text, parsed[1], parsed[0], context)
    towards = None if turned is None else _TOWARDS.match(text, turned[1])
    if turned is None or towards is None or turned[0].unit is not Unit.DEGREE:
        return None
    found = turned[0]
    if found.value > 90:
        unclear(f"'{text[begin.start() : towards.end()]}' is no bearing: it turns by more than 90 degrees")
    base, way = _FROM_EAST[begin.group(1) + towards.group(1)]
    return replace(found, value=base + way * found.value), towards.end()


def _angle(text: str, pos: int, degrees: Amount, context: Context) -> Parsed | None:
    """Degrees, minutes and seconds; or an angle in a unit of its own."""
    gap = _DEGREES.match(text, pos)
    minutes = None if gap is None else _sexagesimal(text, gap.end(), context)
    if minutes is not None:
        rest, end = minutes
        if degrees.places != 0:
            unclear("a broken number of degrees has minutes behind it")
        return replace(rest, value=degrees.value + rest.value), end
    if not context.angular:
        return None
    alone = ANGLE_UNIT.match(text, pos)
    if alone is None:
        return None
    name = alone.group(1)
    if name == "'":
        seconds = number(text, _skip(text, alone.end()), context)
        mark = None if seconds is None else _INCH.match(text, seconds[1])
        if seconds is not None and mark is not None:
            value = degrees.value / 60 + seconds[0].value / 3600
            return Amount(value, seconds[0].step / 3600, unit=Unit.DEGREE), mark.end()
    turned = degrees.times(ANGLE_UNITS[name], Unit.DEGREE)
    return (replace(turned, places=None) if name in ("'", '"') else turned), alone.end()


def _skip(text: str, pos: int) -> int:
    while text[pos : pos + 1] == " ":
        pos += 1
    return pos


def _sexagesimal(text: str, pos: int, context: Context) -> Parsed | None:
    first = _decimal_at(text, pos, context)
    if first is None:
        return None
    found, end = first
    mark = _MINUTE.match(text, end)
    if mark is None:
        mark = _INCH.match(text, end)
        if mark is None:
            return None
        return Amount(found.value / 3600, found.step / 3600, unit=Unit.DEGREE), mark.end()
    minutes = Amount(found.value / 60, found.step / 60, unit=Unit.DEGREE)
    second = _decimal_at(text, mark.end(), context)
    if second is not None:
        close = _INCH.match(text, second[1])
        if close is not None:
            if found.places != 0:
                unclear("a broken number of minutes has seconds behind it")
            value = minutes.value + second[0].value / 3600
            return Amount(value, second[0].step / 3600, unit=Unit.DEGREE), close.end()
    return minutes, mark.end() if second is None else _rstrip(text, mark.end())


def _rstrip(text: str, pos: int) -> int:
    while text[pos - 1] == " ":
        pos -= 1
    return pos


def _feet(text: str, pos: int, feet: Amount, context: Context) -> Parsed | None:
    """Feet, with inches where they follow; in inches."""
    mark = _FOOT.match(text, pos)
    if mark is None or context.angular:
        return None
    gap = _TO_INCHES.match(text, mark.end())
    inches = None if gap is None else number(text, gap.end(), context)
    if gap is not None and inches is not None:
        close = _INCH.match(text, inches[1])
        if close is not None or gap.group(1):
            if feet.places != 0:
                unclear("a broken number of feet has inches behind it")
            found = inches[0]
            if not found.places and found.denominator is None:
                found = replace(found, places=None, denominator=1)
            total = replace(found, value=feet.value * 12 + found.value, unit=Unit.INCH)
            return total, inches[1] if close is None else close.end()
    if feet.places == 0:
        # 5' is short for 5'-0": zero inches are what styles leave out.
        return Amount(feet.value * 12, Fraction(1), None, 1, Unit.INCH), mark.end()
    return feet.times(Fraction(12), Unit.INCH), mark.end()


def _plain_unit(text: str, pos: int, found: Amount, _context: Context) -> Parsed | None:
    mark = UNIT.match(text, pos)
    if mark is None:
        return None
    unit, factor = UNITS[mark.group(1).lower()]
    end = mark.end()
    if INCH_POINT.fullmatch(text, mark.start(1), end + 1):
        end += 1
    if factor == 1:
        return replace(found, unit=unit), end
    return found.times(factor, unit), end


_FORMS: tuple[Callable[[str, int, Amount, Context], Parsed | None], ...] = (_angle, _feet, _plain_unit)
