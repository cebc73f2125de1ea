"""Tolerances and fits behind a size."""

import re
from fractions import Fraction

from dimaudit.model.stated import Tolerance
from dimaudit.text.flat import blanks, readable
from dimaudit.text.line import Line
from dimaudit.text.numbers import STACK, Amount, amount, unclear
from dimaudit.text.runs import CLOSE
from dimaudit.text.sizes import _ROW, near, whole_text
from dimaudit.text.vocabulary import FIT

_NIL = re.compile(r"\s*(0*[.,]?0*)\s*[/,]?\s*(?=[+-][0-9.,])")

_BETWEEN = re.compile(r"\s*[/,]?\s*")

_FIT_STACK = re.compile("\x01 *([A-Za-z]{1,2}[0-9]{1,2}) *\x02[/#^] *([A-Za-z]{1,2}[0-9]{1,2}) *\x03")

_NUMBERED = re.compile(r"[0-9]+-(?!0+-)[0-9]+-[0-9]+")
"""Hyphens tight between whole numbers: a date, a part number, a telephone number."""


def negative(found: Amount) -> Amount:
    return Amount(-found.value, found.step, found.places, found.denominator, found.unit)


def tolerance(line: Line) -> bool:
    if line.found.tolerance is not None or line.found.limits is not None or line.further:
        return False
    return deviations(line) or deviations_in_parentheses(line)


def deviations(line: Line) -> bool:
    if line.text[line.pos] == "±":
        parsed = amount(line.text, line.pos + 1 + blanks(line.text, line.pos + 1), line.context)
        if parsed is None:
            unclear("no number follows '±'")
        both, line.pos = parsed
        set_tolerance(line, both, negative(both))
        return True
    return stacked_tolerance(line) or row_tolerance(line)


def deviations_in_parentheses(line: Line) -> bool:
    """'h6 (0/-0.016)'; behind a fit its two limits may stand there as well: 'H7 (25.021/25.000)'."""
    if line.text[line.pos] != "(":
        return False
    begin = line.pos
    line.pos += 1 + blanks(line.text, begin + 1)
    if line.pos < len(line.text) and (deviations(line) or limits_of_fit(line)) and line.take(CLOSE):
        return True
    line.pos, line.found.tolerance = begin, None
    return False


def limits_of_fit(line: Line) -> bool:
    size = line.found.amount
    first = amount(line.text, line.pos, line.context)
    row = None if first is None else _ROW.match(line.text, first[1])
    second = None if row is None else amount(line.text, row.end(), line.context)
    if not line.fitted or size is None or first is None or second is None:
        return False
    if not (near(size, first[0]) and near(size, second[0])):
        return False
    line.pos = second[1]
    set_tolerance(
        line, *(Amount(x.value - size.value, x.step, x.places, x.denominator, x.unit) for x in (first[0], second[0]))
    )
    return True


def stacked_tolerance(line: Line) -> bool:
    stack = STACK.match(line.text, line.pos)
    if stack is None:
        return False
    upper, _kind, lower = (part.strip() for part in stack.groups())
    if not (upper or lower):
        unclear("an empty stack stands after the size")
    a, b = whole_text(upper or "0", line.context), whole_text(lower or "0", line.context)
    if a is None or b is None:
        unclear(f"'{upper}' above '{lower}' after the size is no tolerance")
    if lower[:1] not in ("+", "-"):
        if upper[:1] in ("+", "-") and a.value * b.value != 0:
            unclear(f"'{lower}' below '{upper}' has no sign of its own")
        # Writing programs leave both signs out: the upper one is plus, the lower one minus.
        if line.found.amount is not None and 2 * b.value >= abs(line.found.amount.value) > 0:
            unclear(f"'{upper}' above '{lower}' is too large for a tolerance of the size before it")
        b = negative(b)
    line.pos = stack.end()
    set_tolerance(line, a, b)
    return True


def row_tolerance(line: Line) -> bool:
    nil = _NIL.match(line.text, line.pos)
    if nil is not None and nil.group(1).strip(".,"):
        parsed = amount(line.text, nil.end(), line.context)
        if parsed is None:
            return False
        set_tolerance(line, Amount(Fraction(0), parsed[0].step), parsed[0])
        line.pos = parsed[1]
        return True
    if line.text[line.pos] not in "+-":
        return False
    numbered = _NUMBERED.search(line.text)
    if numbered is not None and numbered.start() < line.pos < numbered.end():
        unclear(f"'{numbered.group()}' looks like a date or a part number")
    first = amount(line.text, line.pos, line.context)
    if first is None:
        return False
    gap = _BETWEEN.match(line.text, first[1])
    assert gap is not None  # the pattern matches the empty text
    second = amount(line.text, gap.end(), line.context)
    if second is None or (line.text[gap.end()] not in "+-" and second[0].value != 0):
        unclear(f"'{readable(line.text[line.pos : first[1]])}' stands alone: the other deviation is missing")
    line.pos = second[1]
    set_tolerance(line, first[0], second[0])
    return True


def set_tolerance(line: Line, a: Amount, b: Amount) -> None:
    size = line.found.amount
    assert size is not None
    units = {x.unit for x in (size, a, b) if x.unit is not None}
    if len(units) > 1:
        unclear("the size and its tolerance are in two units")
    line.found.tolerance = Tolerance(max(a.value, b.value), min(a.value, b.value), a.value < b.value)
    line.found.tolerance_unit = units.pop() if units else None


def fit(line: Line) -> bool:
    """'H7', 'H7/g6', also as a stack."""
    if line.found.fit:
        return False
    stack = _FIT_STACK.match(line.text, line.pos)
    if stack is not None and FIT.fullmatch("/".join(stack.groups())):
        line.pos = stack.end()
        line.found.fit = "/".join(stack.groups())
    else:
        found = line.take(FIT)
        if found is None:
            return False
        line.found.fit = "".join(found.group(1).split())
    line.fitted = True
    return True
