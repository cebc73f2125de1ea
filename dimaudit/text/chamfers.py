"""Chamfers: '2 x 45°', '45° X .06', 'C2', 'CHAM .06 X .12'. The stated size is the first leg."""

from dimaudit.model.stated import Chamfer
from dimaudit.model.units import Unit
from dimaudit.text.flat import readable
from dimaudit.text.line import Line
from dimaudit.text.numbers import unclear
from dimaudit.text.steps import size_at
from dimaudit.text.vocabulary import CHAMFER_LETTER, CHAMFER_WORD, TIMES


def chamfer_letter(line: Line) -> bool:
    """'C2': the letter before a length."""
    if line.context.angular or line.found.signs or line.take(CHAMFER_LETTER) is None:
        return False
    line.found.chamfer = Chamfer()
    return True


def chamfer_angle(line: Line) -> bool:
    """'X 45°' behind a length."""
    times = TIMES.match(line.text, line.pos)
    if times is None or not line.is_angle(times.end()):
        return False
    sub = size_at(line, times.end())
    if sub is None or line.found.chamfer is not None or line.further:
        return False
    if sub.found.tolerance is not None and line.text.count("°", times.end(), sub.pos) < 2:
        unclear(f"'{readable(line.text)}': the number at its end can be the tolerance of the length or of the angle")
    line.found.chamfer = Chamfer(angle=sub.found.stated(False, False))
    line.pos = sub.pos
    line.further = True
    return True


def chamfer_leg(line: Line) -> bool:
    """'X .12' behind a length, where a word says that it is a chamfer."""
    times, size = TIMES.match(line.text, line.pos), line.found.amount
    if times is None or size is None or line.found.chamfer is not None or line.further:
        return False
    sub = size_at(line, times.end())
    if sub is None or sub.found.signs:
        return False
    named = any(CHAMFER_WORD.fullmatch(word) for word in line.found.words) or CHAMFER_WORD.match(sub.text, sub.pos)
    leg = sub.found.stated(False, False)
    if not named or leg.unit is Unit.DEGREE or (size.places == 0 and size.unit is None):
        return False  # '4 X 6 CHAM' may be a count
    line.found.chamfer = Chamfer(leg=leg)
    line.pos = sub.pos
    line.further = True
    return True
