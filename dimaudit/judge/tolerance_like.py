"""Texts near a title block that read like general tolerances and were not understood.

The forms are common practice, no source.
"""

import re
from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

UNKNOWN_FORM = "it looks like a general tolerance, and its form is not understood"
BY_SIZE = "it looks like a general tolerance for a range of sizes, and such tables are not read"

HEIGHTS_APART = 12
"""Heights of the letters from one text of a title block to the next."""
MOST_TEXTS = 500
"""More texts than this that look like a tolerance, near a title block or not, are a list of something else."""

_VALUE = re.compile(r"± ?[0-9.,/]+(?: [0-9]+/[0-9]+)?|\+[0-9.,]+ ?/? ?-[0-9.,]+")
_WORD = re.compile(r"[A-ZÀ-ÖØ-Þ]+")
_WORDS = frozenset(
    """
    TOLERANCE TOLERANCES TOL TOLS PLACE PLACES PL PLC PLCS DEC DECIMAL DECIMALS FRACTION FRACTIONS FRACTIONAL FRAC
    FRACT ANGLE ANGLES ANGULAR ANG LINEAR LENGTH LENGTHS DIM DIMS DIMENSION DIMENSIONS SIZE SIZES RANGE ALL GENERAL
    STANDARD ARE IS TO BE UP OVER ABOVE UNDER BELOW FROM AND OR INCL INCLUDING THRU THROUGH BETWEEN MACH MACHINED
    BEND BENDS WHOLE NUMBER NUMBERS DIGIT DIGITS ONE TWO THREE FOUR FIVE MM CM IN INCH INCHES DEG DEGREES
    X XX XXX XXXX XXXXX
    """.split()  # noqa: SIM905 - a list of words is read more easily so
)
"""Words that a table of general tolerances is made of; any other is about one feature ('FLATNESS ±.005')."""
_TELLING = re.compile(r"(?<![A-Z])(?:TOLERANCES?|TOL|PLACES?|DECIMALS?|DEC|FRACTION(?:S|AL)?|LINEAR)(?![A-Z])")
_BROKEN_NUMBER = re.compile(r"[0-9]*[.,][0-9]+|[0-9]+/[0-9]+")
_RANGE = re.compile(
    r"(?<![A-Z])(?:UP TO|OVER|ABOVE|UNDER|BELOW|FROM|TO|BETWEEN)(?![A-Z])|[<>≤≥]|[0-9] ?-+ ?[0-9]"
)
_SIZE_BEFORE = re.compile(r"(?:[0-9.] ?X?|[\"'°]) ?$")
_HEADING = re.compile(
    r"(?:(?:GENERAL|STANDARD|UNSPECIFIED|MACHINING) )?(?:TOLERANCES?|TOL)\.?(?: (?:ARE|IS))?"
    r"(?: ?\(?(?:IN(?:CH(?:ES)?)?|MM|MILLIMET(?:RES?|ERS?))\)?)?[ .:]*"
)
_SIGNS = re.compile(r"[A-ZÀ-ÖØ-Þ0-9 ±+\-/.,:;=()\[\]<>≤≥°'\"#]*")


def heading(line: str) -> bool:
    """Whether a line, in capitals and without 'UNLESS NOTED', says that tolerances follow."""
    return _HEADING.fullmatch(line) is not None


def spelt_out(line: str) -> str:
    """Why a line by itself is a general tolerance that was not read ('TOLERANCES .005'); empty where it is none."""
    if not _TELLING.search(line) or not (_VALUE.search(line) or _BROKEN_NUMBER.search(line)):
        return ""
    return (BY_SIZE if _RANGE.search(line) else UNKNOWN_FORM) if _of_the_table(line) else ""


def beside_others(line: str) -> str:
    """Why a line is a general tolerance that was not read, if it stands in a title block; empty where it is none."""
    begin = 0
    for value in _VALUE.finditer(line):
        before = line[begin : value.start()].rpartition("#")[2]
        begin = value.end()
        by_size = _RANGE.search(before) is not None
        if by_size or not _SIZE_BEFORE.search(before):  # else '2.500 ±.005', a size of the part
            return (BY_SIZE if by_size else UNKNOWN_FORM) if _of_the_table(line) else ""
    return ""


def _of_the_table(line: str) -> bool:
    return _SIGNS.fullmatch(line) is not None and all(word in _WORDS for word in _WORD.findall(line))


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a text stands; `height` is that of its letters."""

    layout: str
    x: float
    y: float
    height: float


def in_the_block(anchors: Sequence[Spot], texts: Sequence[Spot]) -> list[int]:
    """Indices of the texts that stand near an anchor, or near a text that does."""
    found: set[int] = set()
    ordered: dict[str, list[tuple[float, int]]] = defaultdict(list)
    for k, text in enumerate(texts):
        ordered[text.layout].append((text.y, k))
    for rows in ordered.values():
        rows.sort()
    highest = max((text.height for text in texts), default=0.0)
    waiting = list(anchors)
    while waiting:
        spot = waiting.pop()
        rows = ordered.get(spot.layout, [])
        reach = HEIGHTS_APART * max(spot.height, highest)
        low, high = bisect_left(rows, (spot.y - reach, -1)), bisect_right(rows, (spot.y + reach, len(texts)))
        for _, k in rows[low:high]:
            if k not in found and _near(spot, texts[k]):
                found.add(k)
                waiting.append(texts[k])
    return sorted(found)


def _near(a: Spot, b: Spot) -> bool:
    reach = HEIGHTS_APART * max(a.height, b.height)
    return abs(a.x - b.x) <= reach and abs(a.y - b.y) <= reach
