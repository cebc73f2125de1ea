"""Equal steps in a row: '8X 20 (=160)'."""

import re
from fractions import Fraction

from dimaudit.exact.number import decimal_text
from dimaudit.text.flat import blanks, readable
from dimaudit.text.line import Line
from dimaudit.text.numbers import Amount, amount, unclear
from dimaudit.text.vocabulary import COUNT_OF_RUN

_PRODUCT = re.compile(r"(\()? *(=)? *(?=[0-9.,])")

CLOSE = re.compile(r" *\)")


def count_of_run(line: Line) -> "re.Match[str] | None":
    """'8 x 20 (=160)': equal steps; the product says that the first number counts the second."""
    counted = COUNT_OF_RUN.match(line.text, line.pos)
    size = None if counted is None else amount(line.text, counted.end(), line.context)
    if counted is None or size is None:
        return None
    product = product_at(line, size[1] + blanks(line.text, size[1]))
    if product is None or int(counted.group(1)) * size[0].value != product[0].value:
        return None
    line.pos = counted.end()
    return counted


def product_at(line: Line, pos: int) -> "tuple[Amount, int, bool] | None":
    """'(=40)', '= 160' or '(160)' at `pos`: the number, where it ends, and whether '=' stands there."""
    begin = _PRODUCT.match(line.text, pos)
    if begin is None or not (begin.group(1) or begin.group(2)):
        return None
    total = amount(line.text, begin.end(), line.context)
    if total is None:
        return None
    end = total[1]
    if begin.group(1):
        close = CLOSE.match(line.text, end)
        if close is None:
            return None
        end = close.end()
    return total[0], end, begin.group(2) is not None


def product(line: Line) -> bool:
    """The length of all equal steps together, behind a count and the size of one."""
    size, count = line.found.amount, line.found.count
    product = product_at(line, line.pos)
    if product is None or size is None or count is None:
        return False
    total, end, equals = product
    slack = Fraction(0) if size.places == 0 else count * size.step  # 3X 33.33 (=100)
    if 2 * abs(count * size.value - total.value) > slack:
        if equals:
            told = decimal_text(total.value)
            right = decimal_text(count * size.value)
            unclear(f"'{readable(line.text)}' contradicts itself: {count} times the size is {right}, not {told}")
        return False
    line.found.words.append(readable(line.text[line.pos : end]))
    line.pos = end
    return True
