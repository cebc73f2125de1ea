"""Lines to a reading: the parts in the order in which they are tried."""

import re
from collections.abc import Callable

from dimaudit.text.chamfers import chamfer_angle, chamfer_leg, chamfer_letter
from dimaudit.text.flat import LINE_END, blanks, readable
from dimaudit.text.hole import Step
from dimaudit.text.line import Found, Line, give_up
from dimaudit.text.marks import (
    closing,
    count_after,
    count_before,
    lost,
    opening,
    see_note,
    sign,
    word,
)
from dimaudit.text.names import HAS_DIGIT, NUMBERED_NOTE, is_name
from dimaudit.text.numbers import Context, Unclear, unclear
from dimaudit.text.runs import product
from dimaudit.text.second_unit import second_unit
from dimaudit.text.sizes import size
from dimaudit.text.steps import (
    bolt_circle,
    countersink_angle,
    depth,
    equally_spaced,
    for_part,
    screw,
    size_then_step,
    spacing,
    step,
    step_before,
    tapped,
    through,
)
from dimaudit.text.tolerances import fit, tolerance
from dimaudit.text.vocabulary import COUNT_AFTER, COUNT_BEFORE, HOLE, ON, THREAD

_DASH = re.compile(r"- +(?=[A-Za-z0-9⌴⌵↧Ø])")

_PAIR = re.compile(r"([^\[\]]+?) *\[([^\[\]]+)\]")


def read_lines(lines: list[str], context: Context) -> Found:
    """The one size that the lines state; Unclear or NoNumber where there is none."""
    if len(lines) == 1:
        return read(Line(lines[0], context))
    try:
        return read(Line(_both_units(lines) or LINE_END.join(lines), context))
    except Unclear:
        numbered = [k for k, line in enumerate(lines) if HAS_DIGIT.search(line) and not is_name(line)]
        if numbered:  # what begins like a further size of the hole, or like its thread, is not the size
            numbered = numbered[:1] + [k for k in numbered[1:] if not _further(lines[k])]
        if len(numbered) == 1:
            found = read(Line(lines[numbered[0]], context))
            found.words += [readable(line) for k, line in enumerate(lines) if k != numbered[0]]
            return found
        unclear(f"{len(numbered)} lines hold numbers; which one is the dimension can't be told")


def _both_units(lines: list[str]) -> str:
    """Two limits that each have the other unit beside them, '1.005 [25.53]' above '.995 [25.27]', unit by unit."""
    pairs = [_PAIR.fullmatch(line) for line in lines]
    if len(lines) != 2 or not all(pairs):
        return ""
    first, second = (LINE_END.join(pair[k] for pair in pairs if pair is not None) for k in (1, 2))
    return f"{first} [{second}]"


def _further(line: str) -> bool:
    """Whether a line below the size gives a further size of the same hole, or its thread."""
    counted = COUNT_BEFORE.match(line) or COUNT_AFTER.match(line)
    begin = 0 if counted is None else counted.end() + blanks(line, counted.end())
    return any(known.match(line, begin) for known in (HOLE, THREAD, ON))


def read(line: Line) -> Found:
    """The line from its beginning to its end."""
    if NUMBERED_NOTE.match(line.text):
        unclear(f"'{readable(line.text)}' begins like a numbered note")
    line.found.hole.steps.append(Step())
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


def dash(line: Line) -> bool:
    """'Ø.250 THRU - 4 HOLES': a dash that only divides."""
    return line.text[line.pos - 1] in f" {LINE_END}" and line.take(_DASH) is not None


def where_words(line: Line) -> bool:
    """'⌴ Ø14 ↧5 FROM TOP': words to the end of the line, behind a further size and with no number in them."""
    end = line.text.find(LINE_END, line.pos)
    end = len(line.text) if end < 0 else end
    rest = line.text[line.pos : end].rstrip(" ,;")
    if line.open and rest.endswith(")") and rest.count(")") > rest.count("("):
        rest = rest[:-1]
    if not line.further or line.found.hole.empty or not rest[:1].isalpha() or HAS_DIGIT.search(rest) or "=" in rest:
        return False
    line.found.words.append(readable(rest))
    line.pos += len(rest)
    return True


def depth_sign(line: Line) -> bool:
    """'↧15' by itself: the size is a depth."""
    if line.text[line.pos] != "↧":
        return False
    line.pos += 1
    line.found.words.append("↧")
    return True


_BEFORE: tuple[Callable[[Line], bool], ...] = (
    count_before,
    step_before,
    through,
    equally_spaced,
    word,
    opening,
    sign,
    depth_sign,
    chamfer_letter,
    lost,
)

_AFTER: tuple[Callable[[Line], bool], ...] = (
    closing,
    step,
    size_then_step,
    depth,
    through,
    tapped,
    screw,
    for_part,
    countersink_angle,
    chamfer_angle,
    chamfer_leg,
    bolt_circle,
    spacing,
    equally_spaced,
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
    dash,
    where_words,
)
