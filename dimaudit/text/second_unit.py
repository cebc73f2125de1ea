"""The same size in the other unit, in parentheses."""

from fractions import Fraction

from dimaudit.model.units import Unit
from dimaudit.text.flat import blanks, readable
from dimaudit.text.line import Found, Line
from dimaudit.text.numbers import Amount, amount, unclear
from dimaudit.text.runs import CLOSE
from dimaudit.text.vocabulary import SIGN, SIGNS

_INCH = Fraction(254, 10)


def _same_size(a: Amount, b: Amount) -> bool:
    """Whether `b` is `a` in millimetres where `a` is in inches, or the other way, as far as `b` is written."""
    for inch, mm, factor in ((a, b, _INCH), (b, a, 1 / _INCH)):
        fits = inch.unit in (None, Unit.INCH) and mm.unit in (None, Unit.MILLIMETRE)
        if fits and 2 * abs(a.value * factor - b.value) <= b.step:
            return True
    return False


def second_unit(line: Line) -> bool:
    """'2.000 (50.80)': the same size in the other unit."""
    size = line.found.amount
    if line.text[line.pos] != "(" or size is None or line.found.alternate is not None or line.further:
        return False
    begin = line.pos + 1 + blanks(line.text, line.pos + 1)
    symbol = SIGN.match(line.text, begin)
    other = amount(line.text, begin if symbol is None else symbol.end(), line.context)
    close = None if other is None else CLOSE.match(line.text, other[1])
    if other is None or close is None:
        return False
    if not _same_size(size, other[0]):
        unclear(
            f"'{readable(line.text[line.pos : close.end()])}' behind the size can be read as a reference or as "
            "the size in another unit, and it is not the size times 25.4 or divided by 25.4"
        )
    found = Found(amount=other[0], signs=[] if symbol is None else [SIGNS[symbol.group().replace(" ", "")]])
    line.found.alternate, line.pos = found.stated(False, False), close.end()
    return True
