"""How a tolerance or two limits stand in a text: which number is above which, and with how many decimals.

The reading of a text holds the deviations in order of size; whether they are written that way is asked here only.
"""

import re
from dataclasses import dataclass
from enum import StrEnum

from dimaudit.judge.stating import Statement
from dimaudit.model.audit import Judgement, TextSource
from dimaudit.model.drawing import ANGLES
from dimaudit.text.markup import Stack, decode
from dimaudit.text.numbers import Amount, Context, Unclear, amount

_SIGNED = re.compile(r"±|\+ ?/ ?-|\+-")
_SIZE = re.compile(r"(?<![0-9.,])[0-9.,]*[0-9](?![0-9.,]| ?[xX×](?![a-z]))")  # not the 4 of '4X'
_ROW = re.compile(r"(?:(?<=[ (])|(?<=[0-9])(?=\+))[+-](?=[0-9.,])")
_BETWEEN = re.compile(r" *[/,]? *")


class Layout(StrEnum):
    """How two numbers stand."""

    BOTH = "±"
    STACK = "above one another"
    ROW = "in a row"


@dataclass(frozen=True, slots=True)
class Written:
    """The size, where one stands before them, and the two numbers as they are written."""

    layout: Layout
    size: Amount | None
    first: Amount
    """The upper one, or the one to the left; for ± the one number."""
    second: Amount | None = None


def written_tolerance(judgement: Judgement, statement: Statement) -> Written | None:
    """What stands on the print for a dimension with a tolerance or with limits; None where that is not clear."""
    dimension = judgement.attached.dimension
    raw = dimension.override if statement.source is TextSource.TYPED else dimension.drawn_text
    if raw is None:
        raw = statement.expected_text
    try:
        return _written(raw, Context(dimension.style.separator, dimension.kind in ANGLES))
    except (Unclear, ValueError):
        return None


def _written(raw: str, context: Context) -> Written | None:
    lines = decode(raw).lines
    size: Amount | None = None
    for line in lines:
        for run in line:
            content = run.content
            if isinstance(content, Stack):
                if content.kind != "^":
                    continue
                first, second = (_alone(part, context) for part in (content.upper, content.lower))
                if first is None or second is None:
                    return None
                if size is not None and content.lower.strip()[:1] not in ("+", "-") and second.value:
                    second = _negative(second)  # writing programs leave the signs out
                return Written(Layout.STACK, size, first, second)
            text = content.translate(_MINUS)
            signed = _SIGNED.search(text)
            before = text if signed is None else text[: signed.start()]
            size = _size(before, context) or size
            if signed is not None:
                both = amount(text, _skip(text, signed.end()), context)
                return None if both is None else Written(Layout.BOTH, size, both[0])
            row = _row(text, size, context)
            if row is not None:
                return row
    if len(lines) == 2 and size is not None:
        return _two_lines([_text(line) for line in lines], context)
    return None


_MINUS = str.maketrans("−–", "--")


def _text(line: tuple[object, ...]) -> str:
    return "".join(str(getattr(run, "content", "")) for run in line)


def _alone(text: str, context: Context) -> Amount | None:
    text = text.strip().translate(_MINUS)
    found = amount(text, 0, context)
    return found[0] if found is not None and not text[found[1] :].strip() else None


def _negative(number: Amount) -> Amount:
    return Amount(-number.value, number.step, number.places, number.denominator, number.unit)


def _skip(text: str, pos: int) -> int:
    while text[pos : pos + 1] == " ":
        pos += 1
    return pos


def _size(text: str, context: Context) -> Amount | None:
    found = _SIZE.search(text)
    read = None if found is None else amount(text, found.start(), context)
    return None if read is None else read[0]


def _row(text: str, size: Amount | None, context: Context) -> Written | None:
    """'+.005 -.000' or '+.005/-.000' behind the size."""
    begin = None if size is None else _ROW.search(text)
    first = None if begin is None else amount(text, begin.start(), context)
    gap = None if first is None else _BETWEEN.match(text, first[1])
    second = None if gap is None else amount(text, gap.end(), context)
    if first is None or second is None or gap is None:
        return None
    if text[gap.end() : gap.end() + 1] not in ("+", "-") and second[0].value:
        return None
    return Written(Layout.ROW, size, first[0], second[0])


def _two_lines(lines: list[str], context: Context) -> Written | None:
    """Two limits on two lines, the symbol before either."""
    first, second = (_size(line, context) for line in lines)
    if first is None or second is None:
        return None
    return Written(Layout.STACK, None, first, second)
