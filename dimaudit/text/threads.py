"""Thread designations to their numbers: unified (ASME B1.1), metric (ISO 965-1), pipe.

A size with threads per inch is written like a date or a count ('10-32', '5/8-11'); without the
letters of its series it is a thread only where the pair stands in the table below.
"""

import re
from dataclasses import replace
from fractions import Fraction

from dimaudit.model.stated import Thread
from dimaudit.model.units import Unit
from dimaudit.text.flat import readable
from dimaudit.text.numbers import Context, amount, unclear

# Threads per inch of the coarse, fine and extra fine series (ASME B1.1, from memory; the coarse and
# fine ones are on every tap-drill chart).
_INCH_SERIES = {
    "1/4": (20, 28, 32), "5/16": (18, 24, 32), "3/8": (16, 24, 32), "7/16": (14, 20, 28), "1/2": (13, 20, 28),
    "9/16": (12, 18, 24), "5/8": (11, 18, 24), "11/16": (24,), "3/4": (10, 16, 20), "13/16": (20,), "7/8": (9, 14, 20),
    "15/16": (20,), "1": (8, 12, 14, 20), "9/8": (7, 12), "5/4": (7, 12), "11/8": (6, 12), "3/2": (6, 12), "7/4": (5,),
}  # fmt: skip
STANDARD_INCH = frozenset((Fraction(size), Fraction(tpi)) for size, all_tpi in _INCH_SERIES.items() for tpi in all_tpi)

_NUMBER_SERIES = {
    0: (80,), 1: (64, 72), 2: (56, 64), 3: (48, 56), 4: (40, 48), 5: (40, 44), 6: (32, 40), 8: (32, 36), 10: (24, 32),
    12: (24, 28, 32),
}  # fmt: skip
STANDARD_NUMBER = frozenset((size, Fraction(tpi)) for size, all_tpi in _NUMBER_SERIES.items() for tpi in all_tpi)

STANDARD_METRIC = frozenset(
    Fraction(size)
    for size in (
        "1.6",
        2,
        "2.5",
        3,
        4,
        5,
        6,
        7,
        8,
        10,
        12,
        14,
        16,
        18,
        20,
        22,
        24,
        27,
        30,
        33,
        36,
        39,
        42,
        45,
        48,
        52,
        56,
        60,
        64,
    )
)
"""Diameters of ISO 261 that are read with no pitch behind them; M1 is rather the name of a motor."""

_SERIES = r"UN[A-Z]*|N[CFS](?![A-Z])|NEF|N(?![A-Z])|ACME|STUB ACME|BSW|BSF"
_PIPE = r"NPT[A-Z]*|NPS[A-Z]*|BSP[A-Z]*"
_BAR = r"(?:[0-9]+ */ *[0-9]+|\x01[0-9]+\x02[/#][0-9]+\x03)"
_SIZE = rf"(?:[0-9]+(?: *- *| +)(?={_BAR}))?{_BAR}|[0-9]+(?=\x01){_BAR}|[0-9]*\.[0-9]+|[0-9]+"
_CLASS_INCH = r"(?: *- *([1-3](?:[AB](?![A-Z])|(?![0-9A-Z./]))))?"
_LEFT = r"(?: *-? *LH(?![A-Z]))?"

_UNIFIED = re.compile(
    rf"(\#|NO\.? *)?({_SIZE})(\")? *- *([0-9]+(?:\.[0-9]+)?)(?![0-9/'\"°]|\.[0-9])"
    rf"(?: *-? *({_SERIES})(?![A-Z]))?{_CLASS_INCH}{_LEFT}",
    re.IGNORECASE,
)
_METRIC = re.compile(
    r"(?:MJ?(?: ?(?=[0-9]+(?:[.,][0-9]+)? ?[xX]))?)([0-9]+(?:[.,][0-9]+)?)(?: *x *([0-9]+(?:[.,][0-9]+)?))?(?![0-9/])"
    r"(?: *-? *([3-9][A-Ha-h](?:[3-9][A-Ha-h])?(?:/[3-9][A-Ha-h](?:[3-9][A-Ha-h])?)?)(?![A-Za-z0-9]))?"
    rf"{_LEFT}(?![A-Za-z0-9])",
    re.IGNORECASE,
)
_TRAPEZOID = re.compile(
    r"TR *([0-9]+(?:[.,][0-9]+)?) *x *([0-9]+(?:[.,][0-9]+)?)(?: *-? *([6-9][A-Ha-h]))?" + _LEFT + "(?![A-Za-z0-9])",
    re.IGNORECASE,
)
_PIPES = (
    re.compile(rf"(?:G|Rc|Rp) *({_SIZE})(?![0-9./])(\")?()(?: *[AB](?![A-Za-z]))?"),
    re.compile(rf"(?:{_PIPE}) *({_SIZE})(\")?(?: *- *([0-9]+(?:\.[0-9]+)?))?(?![0-9./])"),
    re.compile(rf"({_SIZE})(\")? *-? *(?:([0-9]+(?:\.[0-9]+)?) *-? *)?(?:{_PIPE})(?![A-Za-z])"),
)
_PLAIN = Context(".", False)
_METRIC_NAME = re.compile(r"M([0-9]+(?:\.[0-9]+)?)(?![0-9./])")
_INCH_NAME = re.compile(rf"(\#|NO\.? *)?({_SIZE})\"?(?![0-9./])", re.IGNORECASE)
_LENGTH = re.compile(rf" *x *(?:{_SIZE})(?:mm|\")?(?: +LG| +LONG)?(?![0-9A-Za-z./])", re.IGNORECASE)


def thread_at(text: str, pos: int, *, by_word: bool = False) -> "tuple[Thread, int] | None":
    """The thread designated at `pos` and where it ends; None where none stands there.

    `by_word`: a word such as TAP says that it is one, so that '10-32' needs no series. Unclear where
    a count and a mixed size can't be told apart.
    """
    return _metric(text, pos, by_word) or _pipe(text, pos) or _unified(text, pos, by_word)


def screw_at(text: str, pos: int) -> "tuple[Thread, int, bool] | None":
    """The screw named at `pos`, where its name ends, and whether more than a bare size names it.

    '1/4-20', 'M6x1', 'M6x20', '#10', '1/4'; a length stays in its text.
    """
    found = thread_at(text, pos, by_word=True)
    designated = found is not None
    if found is None:
        found = _metric_name(text, pos) or _inch_name(text, pos)
        designated = found is not None and found[0].unit is Unit.MILLIMETRE
    if found is None:
        return None
    thread, end = found
    length = _LENGTH.match(text, end)
    if length is not None:
        end = length.end()
        thread = replace(thread, text=" ".join(readable(text[pos:end]).split()))
    return thread, end, designated


def _metric_name(text: str, pos: int) -> "tuple[Thread, int] | None":
    found = _METRIC_NAME.match(text, pos)
    if found is None or Fraction(found.group(1)) not in STANDARD_METRIC:
        return None
    return Thread(found.group(), Fraction(found.group(1)), Unit.MILLIMETRE), found.end()


def _inch_name(text: str, pos: int) -> "tuple[Thread, int] | None":
    found = _INCH_NAME.match(text, pos)
    size = None if found is None else _inches(found.group(2))
    if found is None or size is None or not 0 < size <= 12:
        return None
    if found.group(2).isdigit() and (found.group(1) or size > 2):
        size = number_size(int(size))
    elif found.group(1):
        return None
    return Thread(_named(found), size, Unit.INCH), found.end()


def number_size(number: int) -> Fraction:
    """The diameter of a numbered screw: .060 and .013 more for each number (ASME B1.1)."""
    return Fraction(60 + 13 * number, 1000)


def _metric(text: str, pos: int, by_word: bool) -> "tuple[Thread, int] | None":
    found = _TRAPEZOID.match(text, pos) or _METRIC.match(text, pos)
    if found is None or not text[pos].isupper():
        return None
    diameter = Fraction(found.group(1).replace(",", "."))
    pitch = None if found.group(2) is None else Fraction(found.group(2).replace(",", "."))
    if pitch is None and not by_word and not found.group(3) and diameter not in STANDARD_METRIC:
        return None
    # No series has a pitch beyond a third of the diameter: 'M6x20' is the length of a screw.
    if diameter == 0 or diameter > 600 or pitch == 0 or (pitch is not None and 3 * pitch > diameter):
        return None
    return Thread(_named(found), diameter, Unit.MILLIMETRE, pitch, found.group(3) or ""), found.end()


def _pipe(text: str, pos: int) -> "tuple[Thread, int] | None":
    for pattern in _PIPES:
        found = pattern.match(text, pos)
        size = None if found is None else _inches(found.group(1))
        if found is not None and size is not None and 0 < size <= 24:
            per_inch = Fraction(found.group(3) or 0)
            pitch = 1 / per_inch if per_inch else None
            return Thread(_named(found), size, Unit.INCH, pitch, pipe=True), found.end()
    return None


def _unified(text: str, pos: int, by_word: bool) -> "tuple[Thread, int] | None":
    found = _UNIFIED.match(text, pos)
    if found is None:
        return None
    numbered, written, mark, per_inch, series, fit_class = found.groups()
    tpi = Fraction(per_inch)
    whole = written.isdigit()
    size = _inches(written)
    if size is None or not 3 <= tpi <= 100:
        return None
    number = whole and not mark and (int(written), tpi) in STANDARD_NUMBER
    if numbered and not number:
        return None
    if number:
        if not (numbered or series or by_word):
            return None
        size = number_size(int(written))
    elif not (series or by_word) and (whole or (size, tpi) not in STANDARD_INCH):
        return None
    if size * tpi < 3 or size > 12:
        return None  # fewer than three turns over the diameter: no thread is so coarse
    _not_a_count(written, tpi, found)
    return Thread(_named(found), size, Unit.INCH, 1 / tpi, (fit_class or "").upper()), found.end()


def _not_a_count(written: str, tpi: Fraction, found: "re.Match[str]") -> None:
    """'4-1/4-20' may be four times 1/4-20 or a size of 4 1/4 inches."""
    first, hyphen, rest = written.partition("-")
    if not hyphen or first.strip() == "1":
        return
    part = _inches(rest.strip())
    if part is not None and (part, tpi) in STANDARD_INCH:
        unclear(f"'{_named(found)}' can be read as a count or as a part of the thread's size; write '{first.strip()}X'")


def _inches(written: str) -> Fraction | None:
    parsed = amount(written, 0, _PLAIN)
    return None if parsed is None or parsed[1] != len(written) else parsed[0].value


def _named(found: "re.Match[str]") -> str:
    return " ".join(readable(found.group()).split())
