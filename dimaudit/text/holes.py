"""Further numbers that are not the dimension's own: depth, counterbore, bolt circle, chamfer angle."""

import re

from dimaudit.text.flat import LINE_END, blanks, readable
from dimaudit.text.line import Line, two_sizes
from dimaudit.text.names import HAS_DIGIT
from dimaudit.text.vocabulary import BOLT_CIRCLE, COUNT_AFTER, DEEP, HOLE, ON, SIGN, TAP, THREAD, TIMES

_NOTE_NUMBER = re.compile(r"[0-9]+\. *")


def further_size(line: Line) -> bool:
    """Depth, counterbore, countersink, bolt circle, chamfer angle: kept as words."""
    return hole(line) or depth(line) or bolt_circle(line) or chamfer_angle(line)


def hole(line: Line) -> bool:
    """'⌴ Ø.438 ↧ .250', 'CBORE Ø.438', 'TAP M8': the next step of the hole."""
    tap = TAP.match(line.text, line.pos)
    if HOLE.match(line.text, line.pos) is None and (tap is None or not THREAD.match(line.text, tap.end())):
        return False
    if HAS_DIGIT.search(line.text, line.pos) is None and line.text[line.pos].isalpha():
        return False  # a word by itself
    if _NOTE_NUMBER.fullmatch(line.text, 0, line.pos):
        return False  # 3. COUNTERBORE 2 FACES
    take_rest(line)
    return True


def depth(line: Line) -> bool:
    """'DEEP .50', 'X .50 DEEP', '.50 DEEP' behind the size."""
    named = DEEP.match(line.text, line.pos)
    if named is not None:
        begin = named.end() + blanks(line.text, named.end())
        if COUNT_AFTER.match(line.text, begin) or not line.number_at(begin):
            return False
        take_rest(line)
        return True
    times = TIMES.match(line.text, line.pos)
    if times is None and line.text[line.pos] in "+-":
        return False
    end = line.number_at(line.pos if times is None else times.end())
    if not end or DEEP.match(line.text, end) is None:
        return False
    size = line.found.amount
    if times and size is not None and size.places == 0 and size.unit is None and not line.found.signs:
        two_sizes(line)
    take_rest(line)
    return True


def bolt_circle(line: Line) -> bool:
    """'ON Ø95 B.C.' behind the size of the holes."""
    on = ON.match(line.text, line.pos)
    begin = line.pos if on is None else on.end()
    symbol = SIGN.match(line.text, begin)
    if symbol is not None:
        begin = symbol.end() + blanks(line.text, symbol.end())
    if on is None and symbol is None:
        return False
    end = line.number_at(begin)
    circle = BOLT_CIRCLE.match(line.text, end) if end else None
    if circle is None:
        return False
    line.found.words.append(readable(line.text[line.pos : circle.end()]))
    line.pos = circle.end()
    line.further = True
    return True


def chamfer_angle(line: Line) -> bool:
    times = TIMES.match(line.text, line.pos)
    if times is None or not line.is_angle(times.end()):
        return False
    end = line.number_at(times.end())
    line.found.words.append(readable(line.text[line.pos : end]))
    line.pos = end
    line.further = True
    return True


def take_rest(line: Line) -> None:
    """The line from here on as one entry of words; a count at its end is still read."""
    end = line.text.find(LINE_END, line.pos)
    end = len(line.text) if end < 0 else end
    for counted in COUNT_AFTER.finditer(line.text, line.pos, end):
        if counted.end() == end and line.text[counted.start() - 1] in " ,;":
            end = counted.start()
    rest = line.text[line.pos : end].rstrip(" ,;")
    if line.open and rest.endswith(")") and rest.count(")") > rest.count("("):
        rest = rest[:-1]
    line.found.words.append(readable(rest))
    line.pos += len(rest)
    line.further = True
