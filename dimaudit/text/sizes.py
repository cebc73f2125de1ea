"""The size itself: one number, or the two limits of one."""

import re
from fractions import Fraction

from dimaudit.model.stated import Chamfer, Sign
from dimaudit.model.units import Unit
from dimaudit.text.flat import LINE_END, blanks, flat, readable
from dimaudit.text.line import Found, Line, NoNumber, give_up
from dimaudit.text.numbers import STACK, Amount, Context, amount, unclear
from dimaudit.text.vocabulary import COUNT_AFTER, DEEP, MEASURES, SIGN, SIGNS, THREAD, TIMES, WORD

_ROW = re.compile(r" *(-|/|(?i:to)(?![A-Za-z])) *(?=[0-9.,\x01])")

_NEXT_LINE = re.compile(rf" *{LINE_END} *(?=.)")

_NAMED_LIMIT = re.compile(
    rf" *(\()?(?P<which>MIN|MAX)(?:IMUM)?(?![A-Za-z])\.?(?(1)\)) *(?:[/{LINE_END}]|,(?![0-9]))* *", re.IGNORECASE
)

_NAMED_GAP = re.compile(rf"(?:[ /{LINE_END}]|,(?![0-9]))*")

_SIGNED = re.compile(r" *[/,]? *[+-][0-9.,]")


def near(a: Amount, b: Amount) -> bool:
    """Whether two numbers lie as near as two limits of one size do; 4-.25 is something else."""
    return abs(a.value - b.value) < min(abs(a.value), abs(b.value))


def limits_of(a: Amount, b: Amount, what: str, named: bool = False) -> tuple[Amount, tuple[Fraction, Fraction]]:
    """The middle of two limits, and the limits in order."""
    low, high = sorted((a.value, b.value))
    units = {x.unit for x in (a, b) if x.unit is not None}
    if len(units) > 1:
        unclear(f"{what} are in two units")
    if not named and not near(a, b):
        unclear(f"{what} lie too far apart for two limits of one size")
    places = None if a.places is None or b.places is None else min(a.places, b.places)
    denominator = None if a.denominator is None or b.denominator is None else min(a.denominator, b.denominator)
    unit = units.pop() if units else None
    return Amount((low + high) / 2, max(a.step, b.step), places, denominator, unit), (low, high)


def _may_be_limits(a: Amount, b: Amount) -> bool:
    """Whole numbers in a row are a fraction, a count or a part number; limits show decimals or units."""
    if a.value < 0 or b.value < 0:
        return False
    return bool(a.places and b.places) or (a.unit is not None and b.unit is not None)


def whole_text(text: str, context: Context) -> Amount | None:
    """The amount that fills `text` from end to end."""
    text = flat(text, context.separator).replace("+ ", "+").replace("- ", "-")
    parsed = amount(text, 0, context)
    return parsed[0] if parsed is not None and parsed[1] == len(text) else None


def size(line: Line) -> None:
    if line.pos >= len(line.text):
        if line.found.signs or any(word.upper().startswith("FULL") for word in line.found.words):
            raise NoNumber  # '2X R': the radius follows from the drawing
        unclear("there is a count or a word, but no size")
    if THREAD.match(line.text, line.pos) and set(line.found.signs) <= {Sign.DIAMETER}:
        raise NoNumber
    if stacked_limits(line):
        return
    parsed = amount(line.text, line.pos, line.context)
    if parsed is None:
        give_up(line)
        return
    first, line.pos = parsed
    if angle_first(line, first) or named_limits(line, first):
        return
    row = _ROW.match(line.text, line.pos)
    second = None if row is None else amount(line.text, row.end(), line.context)
    if row is not None and second is not None and is_no_range(line, row, first, second):
        row = None
    if row is not None and second is not None and _may_be_limits(first, second[0]):
        what = f"'{readable(line.text)}': the two numbers"
        line.found.amount, line.found.limits = limits_of(first, second[0], what)
        line.pos = second[1]
        return
    if second_line(line, first):
        return
    if line.bare_count and first.unit is Unit.DEGREE and not line.context.angular:
        unclear(f"'{readable(line.text)}' can be read as a chamfer or as a count of angles")
    line.found.amount = first


def is_no_range(line: Line, row: "re.Match[str]", first: Amount, second: tuple[Amount, int]) -> bool:
    """Whether the second number in a row is a deviation or a further size, not the other limit."""
    if _SIGNED.match(line.text, second[1]):
        return True  # 2.000 -.000 +.005
    if line.found.signs and DEEP.match(line.text, second[1]):
        return True  # Ø.30/.50 DEEP
    minus = row.group().startswith(" ") and row.group().endswith("-")
    return minus and not near(first, second[0])  # 2.000 -.005/.000


def angle_first(line: Line, first: Amount) -> bool:
    """'45° X .06': in a dimension of a length the length is what is stated."""
    if first.unit is not Unit.DEGREE or line.context.angular or line.note:
        return False
    times = TIMES.match(line.text, line.pos + blanks(line.text, line.pos))
    length = None if times is None else amount(line.text, times.end(), line.context)
    if times is None or length is None or length[0].unit is Unit.DEGREE:
        return False
    line.found.chamfer = Chamfer(angle=Found(amount=first).stated(False, False))
    line.found.amount, line.pos = length
    line.further = True
    return True


def named_limits(line: Line, first: Amount) -> bool:
    """'2.005 MAX, 1.995 MIN': two limits that say which is which, on one line or two."""
    before = line.found.words[-1].upper()[:3] if line.found.words and line.found.one_sided else ""
    name = _NAMED_LIMIT.match(line.text, line.pos)
    if before in ("MIN", "MAX"):  # MAX 2.005, MIN 1.995
        gap = _NAMED_GAP.match(line.text, line.pos)
        assert gap is not None  # the pattern matches the empty text
        name = _NAMED_LIMIT.match(line.text, gap.end())
    if name is None:
        return False
    symbol = SIGN.match(line.text, name.end())
    second = amount(line.text, name.end() if symbol is None else symbol.end(), line.context)
    if second is None:
        return False
    if before in ("MIN", "MAX"):
        upper_first, other, end = before == "MAX", name["which"].upper(), second[1]
    else:
        behind = _NAMED_LIMIT.match(line.text, second[1])
        if behind is None:
            return False
        upper_first, other, end = name["which"].upper() == "MAX", behind["which"].upper(), behind.end()
    if (other == "MAX") == upper_first:
        return False
    if (first.value > second[0].value) is not upper_first:
        unclear(f"'{readable(line.text)}' has its largest size below its smallest")
    if before:
        line.found.words.pop()
        line.found.one_sided = False
    line.found.amount, line.found.limits = limits_of(first, second[0], "the two limits", named=True)
    line.pos = end
    return True


def second_line(line: Line, first: Amount) -> bool:
    """Limits above one another, on two lines; the lower one may repeat the symbol."""
    below = _NEXT_LINE.match(line.text, line.pos)
    if below is None or COUNT_AFTER.match(line.text, below.end()):
        return False
    symbol = SIGN.match(line.text, below.end())
    second = amount(line.text, below.end() if symbol is None else symbol.end(), line.context)
    if second is None or line.text[below.end()] in "+-" or not near(first, second[0]):
        return False
    named = WORD.match(line.text, second[1] + blanks(line.text, second[1]))
    if named is not None and " ".join(named.group(1).upper().split()) in MEASURES:
        return False  # Ø.30 on one line, .50 DEEP on the next
    if symbol is not None and SIGNS[symbol.group().replace(" ", "")] not in line.found.signs:
        return False
    line.found.amount, line.found.limits = limits_of(first, second[0], "the two lines")
    line.pos = second[1]
    return True


def stacked_limits(line: Line) -> bool:
    stack = STACK.match(line.text, line.pos)
    if stack is None:
        return False
    upper, kind, lower = stack.groups()
    whole = upper.isdigit() and lower.isdigit()
    if whole and kind != "^":
        return False  # a fraction
    a, b = whole_text(upper, line.context), whole_text(lower, line.context)
    if a is None or b is None or upper[:1] in "+-" or lower[:1] in "+-":
        unclear(f"'{upper}' above '{lower}' with no size before them are no limits")
    if whole and (a.value, b.value) < (b.value, b.value) and b.value in (2, 4, 8, 16, 32, 64, 128):
        unclear(f"'{upper}' above '{lower}' can be read as a fraction or as two limits")
    line.found.amount, line.found.limits = limits_of(a, b, f"'{upper}' above '{lower}'")
    line.pos = stack.end()
    return True
