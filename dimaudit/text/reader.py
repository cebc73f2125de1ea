"""Lines to a reading: the parts in the order in which they are tried."""

from collections.abc import Callable

from dimaudit.text.flat import LINE_END, blanks, readable
from dimaudit.text.holes import further_size
from dimaudit.text.line import Found, Line, give_up
from dimaudit.text.marks import (
    chamfer_letter,
    closing,
    count_after,
    count_before,
    hole_sign,
    lost,
    opening,
    see_note,
    sign,
    word,
)
from dimaudit.text.names import HAS_DIGIT, is_name
from dimaudit.text.numbers import Context, Unclear, unclear
from dimaudit.text.runs import product
from dimaudit.text.second_unit import second_unit
from dimaudit.text.sizes import size
from dimaudit.text.tolerances import fit, tolerance
from dimaudit.text.vocabulary import COUNT_AFTER, COUNT_BEFORE, HOLE, ON, THREAD


def read_lines(lines: list[str], context: Context) -> Found:
    """The one size that the lines state; Unclear or NoNumber where there is none."""
    if len(lines) == 1:
        return read(Line(lines[0], context))
    try:
        return read(Line(LINE_END.join(lines), context))
    except Unclear:
        numbered = [k for k, line in enumerate(lines) if HAS_DIGIT.search(line) and not is_name(line)]
        if numbered:  # what begins like a further size of the hole, or like its thread, is not the size
            numbered = numbered[:1] + [k for k in numbered[1:] if not _further(lines[k])]
        if len(numbered) == 1:
            found = read(Line(lines[numbered[0]], context))
            found.words += [readable(line) for k, line in enumerate(lines) if k != numbered[0]]
            return found
        unclear(f"{len(numbered)} lines hold numbers; which one is the dimension can't be told")


def _further(line: str) -> bool:
    """Whether a line below the size gives a further size of the same hole, or its thread."""
    counted = COUNT_BEFORE.match(line) or COUNT_AFTER.match(line)
    begin = 0 if counted is None else counted.end() + blanks(line, counted.end())
    return any(known.match(line, begin) for known in (HOLE, THREAD, ON))


def read(line: Line) -> Found:
    """The line from its beginning to its end."""
    line.repeat(_BEFORE)
    size(line)
    line.repeat(_AFTER)
    if line.pos < len(line.text):
        give_up(line)
    if line.open:
        unclear("a parenthesis is opened and not closed")
    kinds = set(line.found.signs)
    if len(kinds) > 1:
        unclear(f"'{readable(line.text)}' carries two symbols that exclude each other: {' and '.join(sorted(kinds))}")
    return line.found


def alternate(line: Line) -> bool:
    if line.text[line.pos] != "[":
        return False
    end = line.text.find("]", line.pos)
    if end < 0:
        unclear("a bracket is opened and not closed")
    if line.found.alternate is not None:
        unclear("it has two numbers in brackets")
    inner = read(Line(line.text[line.pos + 1 : end].strip(), line.context))
    line.found.alternate = inner.stated(line.context.angular, False)
    line.pos = end + 1
    return True


_BEFORE: tuple[Callable[[Line], bool], ...] = (
    count_before,
    word,
    opening,
    sign,
    hole_sign,
    chamfer_letter,
    lost,
)

_AFTER: tuple[Callable[[Line], bool], ...] = (
    closing,
    further_size,
    fit,
    tolerance,
    alternate,
    count_after,
    word,
    product,
    second_unit,
    see_note,
    sign,
    lost,
)
