"""Dimension text to what it states; the grammar is written out in docs/dimension-text.md.

Nothing in a text is ever evaluated: it matches the finite grammar, or it does not.
"""

import re
from fractions import Fraction
from functools import lru_cache

from dimaudit.model.drawing import ANGLES, Kind
from dimaudit.model.stated import Reading, Sign, Stated, Suppressed, Symbolic, Unreadable
from dimaudit.model.units import Unit
from dimaudit.text.flat import flat_lines
from dimaudit.text.line import NoNumber
from dimaudit.text.markup import decode, shown_text
from dimaudit.text.names import HAS_DIGIT, LONGEST, is_name, reason
from dimaudit.text.numbers import Context, Unclear
from dimaudit.text.reader import read_lines

_PLAIN = re.compile(r"(?:\\A1;)?(%%[cC]|[Ø⌀∅R])?([0-9]*)(?:([.,])([0-9]*))?(°|%%[dD])?")
"""The texts that are nearly all of a drawing, read without taking the long way."""


def read_text(raw: str, *, separator: str = ".", kind: Kind = Kind.LINEAR) -> Reading:
    """What a person reads in the raw text of a dimension.

    `separator` is the style's decimal sign (DIMDSEP), `kind` the dimension's: in an angular one a
    bare number is degrees. '<>' must be filled in before (`filled_template`).
    """
    plain = _PLAIN.fullmatch(raw)
    if plain is not None:
        stated = _plainly(plain, separator, kind)
        if stated is not None:
            return stated
    if len(raw) > 1000:  # not worth keeping in memory
        return _read(raw, separator, kind in ANGLES)
    return _read_cached(raw, separator, kind in ANGLES)


def _plainly(found: "re.Match[str]", separator: str, kind: Kind) -> Stated | None:
    sign, whole, mark, tail, degree = found.groups()
    digits = whole + (tail or "")
    if not digits or len(digits) > LONGEST or (mark == "," and (separator != "," or not tail)):
        return None
    places = len(tail or "")
    return Stated(
        value=Fraction(int(digits), 10**places),
        step=Fraction(1, 10**places),
        places=places,
        unit=Unit.DEGREE if degree or kind in ANGLES else None,
        sign=None if sign is None else Sign.RADIUS if sign == "R" else Sign.DIAMETER,
    )


@lru_cache(maxsize=4096)
def _read_cached(raw: str, separator: str, angular: bool) -> Reading:
    return _read(raw, separator, angular)


def _read(raw: str, separator: str, angular: bool) -> Reading:
    marked = decode(raw)
    shown = shown_text(marked)
    if not shown:
        return Suppressed()
    if HAS_DIGIT.search(shown) is None:
        return Symbolic(shown)
    lines = [line for line in flat_lines(marked, separator) if line]
    if len(shown) > LONGEST:
        if is_name(" ".join(lines)[:LONGEST]):
            return Symbolic(shown)
        return Unreadable(shown, f"'{shown[:20]}…' has {len(shown)} characters; a dimension has {LONGEST} at most")
    try:
        found = read_lines(lines, Context(separator, angular))
    except NoNumber:
        return Symbolic(shown)
    except Unclear as why:
        if is_name(" ".join(lines)):
            return Symbolic(shown)
        return Unreadable(shown, reason(shown, str(why)))
    return found.stated(angular, marked.underlined)
