"""Dimension text to what it states; the grammar is written out in docs/dimension-text.md.

Nothing in a text is ever evaluated: it matches the finite grammar, or it does not.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from fractions import Fraction
from functools import lru_cache

from dimaudit.model.drawing import ANGLES, Kind
from dimaudit.model.stated import Reading, Sign, Stated, Suppressed, Symbolic, Tolerance, Unreadable
from dimaudit.model.units import Unit
from dimaudit.text.markup import Marked, Run, Stack, decode, plain_text
from dimaudit.text.numbers import STACK, Amount, Context, Unclear, amount, unclear
from dimaudit.text.vocabulary import (
    BY,
    CHARACTERS,
    COUNT_AFTER,
    COUNT_BARE,
    COUNT_BEFORE,
    FIT,
    LOST,
    SIGN,
    SIGN_WORDS,
    SIGNS,
    WORD,
    WORDS,
    Effect,
)

LONGEST = 400
"""Characters in the longest text that is read: real ones hold under 80; reported where it strikes."""

_PLAIN = re.compile(r"(?:\\A1;)?(%%[cC]|[Ø⌀∅R])?([0-9]*)(?:([.,])([0-9]*))?(°|%%[dD])?")
"""The texts that are nearly all of a drawing, read without taking the long way."""

_LINE_END = "\x1f"
"""Between joined lines: a blank for what stands between the parts, never inside a number."""

_BLANKS = re.compile(r"[\s,;]*")
_HAS_DIGIT = re.compile(r"[0-9\u00bc-\u00be\u2150-\u215e\uff10-\uff19]")
_DOUBLE_APOSTROPHE = re.compile(r"''")
_PLUS_MINUS = re.compile(r"\+ ?/ ?-|\+-")
_NIL = re.compile(r"\s*(0*[.,]?0*)\s*[/,]?\s*(?=[+-][0-9.,])")
_BETWEEN = re.compile(r"\s*[/,]?\s*")
_ROW = re.compile(r" *(-|/|(?i:to)(?![A-Za-z])) *(?=[0-9.,])")
_NEXT_LINE = re.compile(rf" *{_LINE_END} *(?=.)")
_NAME = re.compile(r"[^\W\d_]\w*")
# A number that stands by itself and is written like a size: a decimal, a fraction, a size with its
# symbol or its unit.
_SIZE = re.compile(
    r"(?<![A-Za-z0-9.])(?:[0-9]*[.,][0-9]+|[0-9]+ *[/#] *[0-9]+|[0-9]+ *(?:[\"'°±]|mm\b|cm\b|in\b))"
    r"|[Ø□]\s*[0-9.,]|\x01|[A-Za-z][0-9]*[.,][0-9]"
)
_THREAD = re.compile(r"M *[0-9]+(?:[.,][0-9]+)?(?= *[xX-]|\s|$)")


def read_text(raw: str, *, separator: str = ".", kind: Kind = Kind.LINEAR) -> Reading:
    """What a person reads in the raw text of a dimension.

    `separator` is the style's decimal sign (DIMDSEP), `kind` the dimension's: in an angular one a
    bare number is degrees. '<>' must be filled in before (`filled_template`).
    """
    plain = _PLAIN.fullmatch(raw)
    if plain is not None:
        stated = _plainly(plain, separator, kind)
        if stated is not None:
            return stated
    if len(raw) > 1000:  # not worth keeping in memory
        return _read(raw, separator, kind in ANGLES)
    return _read_cached(raw, separator, kind in ANGLES)


def _plainly(found: "re.Match[str]", separator: str, kind: Kind) -> Stated | None:
    sign, whole, mark, tail, degree = found.groups()
    digits = whole + (tail or "")
    if not digits or len(digits) > LONGEST or (mark == "," and (separator != "," or not tail)):
        return None
    places = len(tail or "")
    return Stated(
        value=Fraction(int(digits), 10**places),
        step=Fraction(1, 10**places),
        places=places,
        unit=Unit.DEGREE if degree or kind in ANGLES else None,
        sign=None if sign is None else Sign.RADIUS if sign == "R" else Sign.DIAMETER,
    )


@lru_cache(maxsize=4096)
def _read_cached(raw: str, separator: str, angular: bool) -> Reading:
    return _read(raw, separator, angular)


def _read(raw: str, separator: str, angular: bool) -> Reading:
    marked = decode(raw)
    shown = plain_text(raw)
    if not shown:
        return Suppressed()
    if _HAS_DIGIT.search(shown) is None:
        return Symbolic(shown)
    lines = [line for line in _flat_lines(marked, separator) if line]
    if len(shown) > LONGEST:
        if _is_name(" ".join(lines)[:LONGEST]):
            return Symbolic(shown)
        return Unreadable(shown, f"it has {len(shown)} characters; a dimension's text has {LONGEST} at most")
    try:
        found = _read_lines(lines, Context(separator, angular))
    except Unclear as reason:
        if _is_name(" ".join(lines)):
            return Symbolic(shown)
        return Unreadable(shown, str(reason))
    return found.stated(angular, marked.underlined)


def _is_name(text: str) -> bool:
    """Whether a text that is no dimension is a variable, a formula or a note, not a size gone wrong."""
    text = text.lstrip(" (")
    if _NAME.match(text) is None:
        return False
    if "=" in text:
        return True
    if any(known.match(text) for known in (WORD, SIGN, _THREAD)):
        return False
    return _SIZE.search(text) is None


def _flat_lines(marked: Marked, separator: str) -> list[str]:
    return [_flat("".join(map(_run_text, line)), separator) for line in marked.lines]


def _run_text(run: Run) -> str:
    content = run.content
    if isinstance(content, Stack):
        return f"\x01{content.upper}\x02{content.kind}{content.lower}\x03"
    return content


def _flat(text: str, separator: str) -> str:
    if separator not in ".,":
        text = _with_points(text, separator)
    if not text.isascii():
        text = text.translate(CHARACTERS)
    text = _DOUBLE_APOSTROPHE.sub('"', text)
    return _PLUS_MINUS.sub("±", text).strip()


def _with_points(text: str, separator: str) -> str:
    """Puts a point for a style's unusual decimal sign, where it can't be anything else."""
    if len(separator) != 1 or separator.isalnum() or separator.isspace() or separator in "+-/#'\"()[]±°\\":
        return text
    return re.sub(rf"{re.escape(separator)}(?=[0-9])", ".", text)


@dataclass(slots=True)
class _Found:
    """A reading while it grows."""

    amount: Amount | None = None
    signs: list[Sign] = field(default_factory=list)
    count: int | None = None
    reference: bool = False
    boxed: bool = False
    one_sided: bool = False
    tolerance: Tolerance | None = None
    tolerance_unit: Unit | None = None
    limits: tuple[Fraction, Fraction] | None = None
    alternate: Fraction | None = None
    words: list[str] = field(default_factory=list)

    def stated(self, angular: bool, underlined: bool) -> Stated:
        assert self.amount is not None
        unit = self.amount.unit or self.tolerance_unit or (Unit.DEGREE if angular else None)
        return Stated(
            value=self.amount.value,
            step=self.amount.step,
            places=self.amount.places,
            denominator=self.amount.denominator,
            unit=unit,
            sign=self.signs[0] if self.signs else None,
            count=self.count,
            reference=self.reference,
            boxed=self.boxed,
            tolerance=self.tolerance,
            limits=self.limits,
            alternate=self.alternate,
            one_sided=self.one_sided,
            underlined=underlined,
            words=tuple(self.words),
        )


def _read_lines(lines: list[str], context: Context) -> _Found:
    if len(lines) == 1:
        return _Line(lines[0], context).read()
    numbered = [line for line in lines if _HAS_DIGIT.search(line) and not _is_name(line)]
    try:
        return _Line(_LINE_END.join(lines), context).read()
    except Unclear:
        if len(numbered) == 1:
            found = _Line(numbered[0], context).read()
            found.words += [line for line in lines if line is not numbered[0]]
            return found
        unclear(f"{len(numbered)} lines hold numbers; which one is the dimension can't be told")


def _close(a: Amount, b: Amount) -> bool:
    """Whether two numbers lie as near as two limits of one size do; 4-.25 is something else."""
    return abs(a.value - b.value) < min(abs(a.value), abs(b.value))


def _limits(a: Amount, b: Amount, what: str) -> tuple[Amount, tuple[Fraction, Fraction]]:
    """The middle of two limits, and the limits in order."""
    low, high = sorted((a.value, b.value))
    units = {x.unit for x in (a, b) if x.unit is not None}
    if len(units) > 1:
        unclear(f"{what} are in two units")
    if not _close(a, b):
        unclear(f"{what} lie too far apart for two limits of one size")
    places = None if a.places is None or b.places is None else min(a.places, b.places)
    denominator = None if a.denominator is None or b.denominator is None else min(a.denominator, b.denominator)
    unit = units.pop() if units else None
    return Amount((low + high) / 2, max(a.step, b.step), places, denominator, unit), (low, high)


class _Line:
    """One line, read from left to right."""

    def __init__(self, text: str, context: Context) -> None:
        self.text = text
        self.context = context
        self.pos = 0
        self.open = False
        self.bare_count = False
        self.found = _Found()

    def read(self) -> _Found:
        self.repeat(_BEFORE)
        self.size()
        self.repeat(_AFTER)
        if self.pos < len(self.text):
            self.give_up()
        if self.open:
            unclear("a parenthesis is opened and not closed")
        kinds = set(self.found.signs)
        if len(kinds) > 1:
            unclear(f"it carries two symbols that exclude each other: {' and '.join(sorted(kinds))}")
        return self.found

    def repeat(self, parts: "tuple[Callable[[_Line], bool], ...]") -> None:
        while True:
            self.skip()
            if self.pos >= len(self.text) or not any(part(self) for part in parts):
                return

    def skip(self) -> None:
        blank = _BLANKS.match(self.text, self.pos)
        assert blank is not None  # the pattern matches the empty text
        if ("," in blank.group() or ";" in blank.group()) and self.found.amount is None:
            return  # a comma that opens a number
        if self.text[blank.end() - 1 : blank.end()] == "," and self.text[blank.end() : blank.end() + 1].isdigit():
            return
        self.pos = blank.end()

    def take(self, pattern: "re.Pattern[str]") -> "re.Match[str] | None":
        found = pattern.match(self.text, self.pos)
        if found is not None:
            self.pos = found.end()
        return found

    def give_up(self) -> None:
        rest = _readable(self.text[self.pos :])
        if BY.match(self.text) or re.match(r"[xX] *[0-9.,]", self.text[self.pos :]):
            unclear(f"'{_readable(self.text)}' can be read as two sizes or as a count ('4X Ø6')")
        if self.found.amount is None:
            unclear(f"there is no size where '{rest}' begins")
        unclear(f"'{rest}' after the size is not in the grammar")

    # What may stand before the size

    def opening(self) -> bool:
        if self.open or self.text[self.pos] != "(" or self.found.reference:
            return False
        self.pos += 1
        self.open = self.found.reference = True
        return True

    def count_before(self) -> bool:
        counted = self.take(COUNT_BEFORE) or self.take(COUNT_AFTER)
        if counted is None:
            bare = COUNT_BARE.match(self.text, self.pos)
            if bare is None:
                return False
            # 4x6 may be 4 by 6; with a blank or a decimal point after the x it is a count.
            if not bare.group(2) and self.text[bare.end()].isdigit():
                unclear(f"'{_readable(self.text)}' can be read as two sizes or as a count ('4X 6')")
            self.pos = bare.end()
            self.bare_count = True
            counted = bare
        self.set_count(counted)
        return True

    def set_count(self, counted: "re.Match[str]") -> None:
        number = int(next(group for group in counted.groups() if group and group.isdigit()))
        if number == 0:
            unclear("a count of 0 makes no sense")
        if self.found.count not in (None, number):
            unclear(f"it has two counts, {self.found.count} and {number}")
        self.found.count = number

    def sign(self) -> bool:
        found = self.take(SIGN)
        if found is None:
            return False
        self.found.signs.append(SIGNS[found.group().replace(" ", "")])
        return True

    def word(self) -> bool:
        in_parentheses = self.text[self.pos] == "("
        found = WORD.match(self.text, self.pos + in_parentheses)
        if found is None:
            return False
        end = found.end()
        if in_parentheses:
            if self.text[end : end + 1] != ")":
                return False
            end += 1
        self.pos = end
        name = " ".join(found.group(1).upper().split())
        match WORDS[name]:
            case Effect.REFERENCE:
                self.found.reference = True
            case Effect.BOXED:
                self.found.boxed = True
            case Effect.SIGN:
                self.found.signs.append(SIGN_WORDS[name])
            case Effect.ONE_SIDED:
                self.found.one_sided = True
                self.found.words.append(found.group())
            case Effect.NOTE:
                self.found.words.append(found.group())
        return True

    def lost(self) -> bool:
        if self.text[self.pos] == "~":
            self.pos += 1
            self.found.words.append("~")
            return True
        found = self.take(LOST)
        if found is None:
            return False
        self.found.words.append(found.group())
        return True

    # The size itself

    def size(self) -> None:
        if self.pos >= len(self.text):
            unclear("there is a count or a word, but no size")
        if self.stacked_limits():
            return
        parsed = amount(self.text, self.pos, self.context)
        if parsed is None:
            if self.take_thread():
                unclear("a thread designation states no dimension of the grammar")
            self.give_up()
            return
        first, self.pos = parsed
        row = _ROW.match(self.text, self.pos)
        second = None if row is None else amount(self.text, row.end(), self.context)
        if row is not None and second is not None and _may_be_limits(first, second[0]):
            what = f"'{_readable(self.text)}': the two numbers"
            self.found.amount, self.found.limits = _limits(first, second[0], what)
            self.pos = second[1]
            return
        if self.second_line(first):
            return
        if self.bare_count and first.unit is Unit.DEGREE and not self.context.angular:
            unclear(f"'{_readable(self.text)}' can be read as a chamfer or as a count of angles")
        self.found.amount = first

    def second_line(self, first: Amount) -> bool:
        """Limits above one another, on two lines; the lower one may repeat the symbol."""
        line = _NEXT_LINE.match(self.text, self.pos)
        if line is None or COUNT_AFTER.match(self.text, line.end()):
            return False
        symbol = SIGN.match(self.text, line.end())
        second = amount(self.text, line.end() if symbol is None else symbol.end(), self.context)
        if second is None or self.text[line.end()] in "+-" or not _close(first, second[0]):
            return False
        if symbol is not None and SIGNS[symbol.group().replace(" ", "")] not in self.found.signs:
            return False
        self.found.amount, self.found.limits = _limits(first, second[0], "the two lines")
        self.pos = second[1]
        return True

    def take_thread(self) -> bool:
        return _THREAD.match(self.text, self.pos) is not None

    def stacked_limits(self) -> bool:
        stack = STACK.match(self.text, self.pos)
        if stack is None:
            return False
        upper, kind, lower = stack.groups()
        whole = upper.isdigit() and lower.isdigit()
        if whole and kind != "^":
            return False  # a fraction
        a, b = _whole_text(upper, self.context), _whole_text(lower, self.context)
        if a is None or b is None or upper[:1] in "+-" or lower[:1] in "+-":
            unclear(f"'{upper}' above '{lower}' with no size before them are no limits")
        if whole and (a.value, b.value) < (b.value, b.value) and b.value in (2, 4, 8, 16, 32, 64, 128):
            unclear(f"'{upper}' above '{lower}' can be read as a fraction or as two limits")
        self.found.amount, self.found.limits = _limits(a, b, f"'{upper}' above '{lower}'")
        self.pos = stack.end()
        return True

    # What may stand after the size

    def closing(self) -> bool:
        if not self.open or self.text[self.pos] != ")":
            return False
        self.pos += 1
        self.open = False
        return True

    def count_after(self) -> bool:
        found = self.take(COUNT_AFTER)
        if found is None:
            return False
        self.set_count(found)
        return True

    def tolerance(self) -> bool:
        if self.found.tolerance is not None or self.found.limits is not None:
            return False
        if self.text[self.pos] == "±":
            parsed = amount(self.text, self.pos + 1 + _blanks(self.text, self.pos + 1), self.context)
            if parsed is None:
                unclear("no number follows '±'")
            both, self.pos = parsed
            self.set_tolerance(both, _negative(both))
            return True
        return self.stacked_tolerance() or self.row_tolerance()

    def stacked_tolerance(self) -> bool:
        stack = STACK.match(self.text, self.pos)
        if stack is None:
            return False
        upper, _kind, lower = (part.strip() for part in stack.groups())
        if not (upper or lower):
            unclear("an empty stack stands after the size")
        a, b = _whole_text(upper or "0", self.context), _whole_text(lower or "0", self.context)
        if a is None or b is None:
            unclear(f"'{upper}' above '{lower}' after the size is no tolerance")
        if lower[:1] not in ("+", "-"):
            if upper[:1] in ("+", "-") and a.value * b.value != 0:
                unclear(f"'{lower}' below '{upper}' has no sign of its own")
            # Writing programs leave both signs out: the upper one is plus, the lower one minus.
            if self.found.amount is not None and 2 * b.value >= abs(self.found.amount.value) > 0:
                unclear(f"'{upper}' above '{lower}' is too large for a tolerance of the size before it")
            b = _negative(b)
        self.pos = stack.end()
        self.set_tolerance(a, b)
        return True

    def row_tolerance(self) -> bool:
        nil = _NIL.match(self.text, self.pos)
        if nil is not None and nil.group(1).strip(".,"):
            parsed = amount(self.text, nil.end(), self.context)
            if parsed is None:
                return False
            self.set_tolerance(Amount(Fraction(0), parsed[0].step), parsed[0])
            self.pos = parsed[1]
            return True
        if self.text[self.pos] not in "+-":
            return False
        first = amount(self.text, self.pos, self.context)
        if first is None:
            return False
        gap = _BETWEEN.match(self.text, first[1])
        assert gap is not None  # the pattern matches the empty text
        second = amount(self.text, gap.end(), self.context)
        if second is None or (self.text[gap.end()] not in "+-" and second[0].value != 0):
            unclear(f"'{_readable(self.text[self.pos : first[1]])}' stands alone: the other deviation is missing")
        self.pos = second[1]
        self.set_tolerance(first[0], second[0])
        return True

    def set_tolerance(self, a: Amount, b: Amount) -> None:
        size = self.found.amount
        assert size is not None
        units = {x.unit for x in (size, a, b) if x.unit is not None}
        if len(units) > 1:
            unclear("the size and its tolerance are in two units")
        self.found.tolerance = Tolerance(max(a.value, b.value), min(a.value, b.value))
        self.found.tolerance_unit = units.pop() if units else None

    def alternate(self) -> bool:
        if self.text[self.pos] != "[":
            return False
        end = self.text.find("]", self.pos)
        if end < 0:
            unclear("a bracket is opened and not closed")
        if self.found.alternate is not None:
            unclear("it has two numbers in brackets")
        inner = _Line(self.text[self.pos + 1 : end].strip(), self.context).read()
        assert inner.amount is not None
        self.found.alternate = inner.amount.value
        self.pos = end + 1
        return True

    def fit(self) -> bool:
        found = self.take(FIT)
        if found is None:
            return False
        self.found.words.append(found.group(1))
        return True


_BEFORE: tuple[Callable[[_Line], bool], ...] = (
    _Line.count_before,
    _Line.word,
    _Line.opening,
    _Line.sign,
    _Line.lost,
)
_AFTER: tuple[Callable[[_Line], bool], ...] = (
    _Line.closing,
    _Line.tolerance,
    _Line.alternate,
    _Line.count_after,
    _Line.word,
    _Line.fit,
    _Line.sign,
    _Line.lost,
)


def _may_be_limits(a: Amount, b: Amount) -> bool:
    """Whole numbers in a row are a fraction, a count or a part number; limits show decimals or units."""
    if a.value < 0 or b.value < 0:
        return False
    return bool(a.places and b.places) or (a.unit is not None and b.unit is not None)


def _whole_text(text: str, context: Context) -> Amount | None:
    """The amount that fills `text` from end to end."""
    text = _flat(text, context.separator).replace("+ ", "+").replace("- ", "-")
    parsed = amount(text, 0, context)
    return parsed[0] if parsed is not None and parsed[1] == len(text) else None


def _negative(found: Amount) -> Amount:
    return Amount(-found.value, found.step, found.places, found.denominator, found.unit)


def _blanks(text: str, pos: int) -> int:
    return len(text[pos:]) - len(text[pos:].lstrip(" "))


def _readable(text: str) -> str:
    """A flat line without its control characters."""
    return STACK.sub(lambda stack: f"{stack[1]}{'^' if stack[2] == '^' else '/'}{stack[3]}", text).replace(
        _LINE_END, " "
    )
