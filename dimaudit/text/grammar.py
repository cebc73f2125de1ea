"""Dimension text to what it states; the grammar is written out in docs/dimension-text.md.

Nothing in a text is ever evaluated: it matches the finite grammar, or it does not.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from fractions import Fraction
from functools import lru_cache
from typing import NoReturn

from dimaudit.exact.number import decimal_text
from dimaudit.model.drawing import ANGLES, Kind
from dimaudit.model.stated import Reading, Sign, Stated, Suppressed, Symbolic, Tolerance, Unreadable
from dimaudit.model.units import Unit
from dimaudit.text.markup import Marked, Run, Stack, decode, plain_text, stack_text
from dimaudit.text.numbers import STACK, Amount, Context, Unclear, amount, unclear
from dimaudit.text.vocabulary import (
    AFTER_ONLY,
    BOLT_CIRCLE,
    BY,
    CHAMFER_LETTER,
    CHARACTERS,
    COUNT_AFTER,
    COUNT_BARE,
    COUNT_BEFORE,
    COUNT_OF_RUN,
    DEEP,
    FIT,
    HOLE,
    LOST,
    MEASURES,
    ON,
    SEE_NOTE,
    SIGN,
    SIGN_WORDS,
    SIGNS,
    TAP,
    THREAD,
    TIMES,
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
_INCH = Fraction(254, 10)
_SIGNED = re.compile(r" *[/,]? *[+-][0-9.,]")
_BETWEEN = re.compile(r"\s*[/,]?\s*")
_ROW = re.compile(r" *(-|/|(?i:to)(?![A-Za-z])) *(?=[0-9.,])")
_NEXT_LINE = re.compile(rf" *{_LINE_END} *(?=.)")
_NAME = re.compile(r"[^\W\d_]\w*")
_OPENS_NUMBER = re.compile(r"[ :=]*[+-]?[0-9.,ØR□\x01]")
# A number that stands by itself and is written like a size: a decimal, a fraction, a size with its
# symbol or its unit.
_SIZE = re.compile(
    r"(?<![A-Za-z0-9.])(?:[0-9]*[.,][0-9]+|[0-9]+ *[/#] *[0-9]+|[0-9]+ *(?:[\"'°±]|mm\b|cm\b|in\b))"
    r"|[Ø□]\s*[0-9.,]|\x01|[A-Za-z][0-9]*[.,][0-9]"
)
_NAMED_LIMIT = re.compile(rf" *[(]?(MIN|MAX)(?:IMUM)?(?![A-Za-z])\.?[)]? *[/,{_LINE_END}]* *", re.IGNORECASE)
_FIT_STACK = re.compile("\x01 *([A-Za-z]{1,2}[0-9]{1,2}) *\x02[/#^] *([A-Za-z]{1,2}[0-9]{1,2}) *\x03")
_NAMED_GAP = re.compile(rf"[ /,{_LINE_END}]*")
_PRODUCT = re.compile(r"(\()? *(=)? *(?=[0-9.,])")
_CLOSE = re.compile(r" *\)")
_NOTE_NUMBER = re.compile(r"[0-9]+\. *")
_NUMBERED = re.compile(r"[0-9]+-(?!0+-)[0-9]+-[0-9]+")
"""Hyphens tight between whole numbers: a date, a part number, a telephone number."""


class _NoNumber(Exception):
    """The text states no number of its own: a thread, or a symbol that stands alone."""


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
        return Unreadable(shown, f"'{shown[:20]}…' has {len(shown)} characters; a dimension has {LONGEST} at most")
    try:
        found = _read_lines(lines, Context(separator, angular))
    except _NoNumber:
        return Symbolic(shown)
    except Unclear as reason:
        if _is_name(" ".join(lines)):
            return Symbolic(shown)
        return Unreadable(shown, _reason(shown, str(reason)))
    return found.stated(angular, marked.underlined)


def _reason(shown: str, why: str) -> str:
    """A reason that begins with the text it is about."""
    return why if why.startswith("'") else f"'{' '.join(shown.split())}': {why}"


def _is_name(text: str) -> bool:
    """Whether a text that is no dimension is a variable, a formula or a note, not a size gone wrong."""
    text = text.lstrip(" (")
    if _NAME.match(text) is None:
        return False
    if "=" in text:
        return True
    if SIGN.match(text) is not None:
        return False
    word = WORD.match(text)
    if word is not None and word.group(1).upper() not in AFTER_ONLY and _OPENS_NUMBER.match(text, word.end()):
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
    alternate: Stated | None = None
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
    try:
        return _Line(_LINE_END.join(lines), context).read()
    except Unclear:
        numbered = [k for k, line in enumerate(lines) if _HAS_DIGIT.search(line) and not _is_name(line)]
        if numbered:  # what begins like a further size of the hole, or like its thread, is not the size
            numbered = numbered[:1] + [k for k in numbered[1:] if not _further(lines[k])]
        if len(numbered) == 1:
            found = _Line(lines[numbered[0]], context).read()
            found.words += [_readable(line) for k, line in enumerate(lines) if k != numbered[0]]
            return found
        unclear(f"{len(numbered)} lines hold numbers; which one is the dimension can't be told")


def _further(line: str) -> bool:
    """Whether a line below the size gives a further size of the same hole, or its thread."""
    counted = COUNT_BEFORE.match(line) or COUNT_AFTER.match(line)
    begin = 0 if counted is None else counted.end() + _blanks(line, counted.end())
    return any(known.match(line, begin) for known in (HOLE, THREAD, ON))


def _close(a: Amount, b: Amount) -> bool:
    """Whether two numbers lie as near as two limits of one size do; 4-.25 is something else."""
    return abs(a.value - b.value) < min(abs(a.value), abs(b.value))


def _same_size(a: Amount, b: Amount) -> bool:
    """Whether `b` is `a` in millimetres where `a` is in inches, or the other way, as far as `b` is written."""
    for inch, mm, factor in ((a, b, _INCH), (b, a, 1 / _INCH)):
        fits = inch.unit in (None, Unit.INCH) and mm.unit in (None, Unit.MILLIMETRE)
        if fits and 2 * abs(a.value * factor - b.value) <= b.step:
            return True
    return False


def _limits(a: Amount, b: Amount, what: str, named: bool = False) -> tuple[Amount, tuple[Fraction, Fraction]]:
    """The middle of two limits, and the limits in order."""
    low, high = sorted((a.value, b.value))
    units = {x.unit for x in (a, b) if x.unit is not None}
    if len(units) > 1:
        unclear(f"{what} are in two units")
    if not named and not _close(a, b):
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
        self.fitted = False
        self.further = False
        """A second size of the call-out stood there: what follows may be said of that one."""
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
            unclear(
                f"'{_readable(self.text)}' carries two symbols that exclude each other: {' and '.join(sorted(kinds))}"
            )
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
        if not self.further and (BY.match(self.text) or TIMES.match(self.text, self.pos)):
            self.two_sizes()
        if self.found.amount is None:
            if ON.match(self.text, self.pos):
                unclear(f"'{rest}' gives the bolt circle; the size of the hole is missing")
            unclear(f"'{rest}' does not begin with a size")
        unclear(f"'{rest}' behind the size is not understood")

    def two_sizes(self) -> NoReturn:
        unclear(f"'{_readable(self.text)}' can be read as two sizes or as a count ('4X Ø6')")

    # What may stand before the size

    def opening(self) -> bool:
        if self.open or self.text[self.pos] != "(" or self.found.reference:
            return False
        self.pos += 1
        self.open = self.found.reference = True
        return True

    def count_before(self) -> bool:
        if self.found.signs and not self.text[self.pos - 1].isspace():
            return False  # Ø10 REQ'D
        if self.found.words[-1:] == ["C"]:
            return False  # C2-C2
        counted = self.take(COUNT_BEFORE) or self.take(COUNT_AFTER) or self.count_of_run()
        if counted is None:
            bare = COUNT_BARE.match(self.text, self.pos)
            if bare is None:
                return False
            # 4x6 may be 4 by 6; with a blank or a decimal point after the x it is a count.
            if not bare.group(2) and self.text[bare.end()].isdigit():
                if self.is_angle(bare.end()):
                    return False  # 2x45° is a chamfer
                unclear(f"'{_readable(self.text)}' can be read as two sizes or as a count ('4X 6')")
            self.pos = bare.end()
            self.bare_count = True
            counted = bare
        self.set_count(counted)
        return True

    def count_of_run(self) -> "re.Match[str] | None":
        """'8 x 20 (=160)': equal steps; the product says that the first number counts the second."""
        counted = COUNT_OF_RUN.match(self.text, self.pos)
        size = None if counted is None else amount(self.text, counted.end(), self.context)
        if counted is None or size is None:
            return None
        product = self.product_at(size[1] + _blanks(self.text, size[1]))
        if product is None or int(counted.group(1)) * size[0].value != product[0].value:
            return None
        self.pos = counted.end()
        return counted

    def is_angle(self, pos: int) -> bool:
        """Whether an angle stands at `pos` in a dimension of a length."""
        parsed = None if self.context.angular else amount(self.text, pos, self.context)
        return parsed is not None and parsed[0].unit is Unit.DEGREE

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
        if found is None or (self.found.amount is None and found.group(1).upper() in AFTER_ONLY):
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

    def hole_sign(self) -> bool:
        """'⌴Ø8': the sign of the hole before its size."""
        found = self.take(HOLE)
        if found is None:
            return False
        self.found.words.append(found.group())
        return True

    def chamfer_letter(self) -> bool:
        if self.context.angular or self.found.signs:
            return False
        found = self.take(CHAMFER_LETTER)
        if found is None:
            return False
        self.found.words.append("C")
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
            if self.found.signs or any(word.upper().startswith("FULL") for word in self.found.words):
                raise _NoNumber  # '2X R': the radius follows from the drawing
            unclear("there is a count or a word, but no size")
        if THREAD.match(self.text, self.pos) and set(self.found.signs) <= {Sign.DIAMETER}:
            raise _NoNumber
        if self.stacked_limits():
            return
        parsed = amount(self.text, self.pos, self.context)
        if parsed is None:
            self.give_up()
            return
        begin = self.pos
        first, self.pos = parsed
        if self.angle_first(first, begin) or self.named_limits(first):
            return
        row = _ROW.match(self.text, self.pos)
        second = None if row is None else amount(self.text, row.end(), self.context)
        if row is not None and second is not None and self.is_no_range(row, first, second):
            row = None
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

    def is_no_range(self, row: "re.Match[str]", first: Amount, second: tuple[Amount, int]) -> bool:
        """Whether the second number in a row is a deviation or a further size, not the other limit."""
        if _SIGNED.match(self.text, second[1]):
            return True  # 2.000 -.000 +.005
        if self.found.signs and DEEP.match(self.text, second[1]):
            return True  # Ø.30/.50 DEEP
        minus = row.group().startswith(" ") and row.group().endswith("-")
        return minus and not _close(first, second[0])  # 2.000 -.005/.000

    def angle_first(self, first: Amount, begin: int) -> bool:
        """'45° X .06': in a dimension of a length the length is what is stated."""
        if first.unit is not Unit.DEGREE or self.context.angular:
            return False
        times = TIMES.match(self.text, self.pos + _blanks(self.text, self.pos))
        length = None if times is None else amount(self.text, times.end(), self.context)
        if times is None or length is None or length[0].unit is Unit.DEGREE:
            return False
        self.found.words.append(_readable(self.text[begin : times.end()]).strip())
        self.found.amount, self.pos = length
        self.further = True
        return True

    def named_limits(self, first: Amount) -> bool:
        """'2.005 MAX, 1.995 MIN': two limits that say which is which, on one line or two."""
        before = self.found.words[-1].upper()[:3] if self.found.words and self.found.one_sided else ""
        name = _NAMED_LIMIT.match(self.text, self.pos)
        if before in ("MIN", "MAX"):  # MAX 2.005, MIN 1.995
            gap = _NAMED_GAP.match(self.text, self.pos)
            assert gap is not None  # the pattern matches the empty text
            name = _NAMED_LIMIT.match(self.text, gap.end())
        if name is None:
            return False
        symbol = SIGN.match(self.text, name.end())
        second = amount(self.text, name.end() if symbol is None else symbol.end(), self.context)
        if second is None:
            return False
        if before in ("MIN", "MAX"):
            upper_first, other, end = before == "MAX", name.group(1).upper(), second[1]
        else:
            behind = _NAMED_LIMIT.match(self.text, second[1])
            if behind is None:
                return False
            upper_first, other, end = name.group(1).upper() == "MAX", behind.group(1).upper(), behind.end()
        if (other == "MAX") == upper_first:
            return False
        if (first.value > second[0].value) is not upper_first:
            unclear(f"'{_readable(self.text)}' has its largest size below its smallest")
        if before:
            self.found.words.pop()
            self.found.one_sided = False
        self.found.amount, self.found.limits = _limits(first, second[0], "the two limits", named=True)
        self.pos = end
        return True

    def second_line(self, first: Amount) -> bool:
        """Limits above one another, on two lines; the lower one may repeat the symbol."""
        line = _NEXT_LINE.match(self.text, self.pos)
        if line is None or COUNT_AFTER.match(self.text, line.end()):
            return False
        symbol = SIGN.match(self.text, line.end())
        second = amount(self.text, line.end() if symbol is None else symbol.end(), self.context)
        if second is None or self.text[line.end()] in "+-" or not _close(first, second[0]):
            return False
        named = WORD.match(self.text, second[1] + _blanks(self.text, second[1]))
        if named is not None and " ".join(named.group(1).upper().split()) in MEASURES:
            return False  # Ø.30 on one line, .50 DEEP on the next
        if symbol is not None and SIGNS[symbol.group().replace(" ", "")] not in self.found.signs:
            return False
        self.found.amount, self.found.limits = _limits(first, second[0], "the two lines")
        self.pos = second[1]
        return True

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
        if self.found.tolerance is not None or self.found.limits is not None or self.further:
            return False
        return self.deviations() or self.deviations_in_parentheses()

    def deviations(self) -> bool:
        if self.text[self.pos] == "±":
            parsed = amount(self.text, self.pos + 1 + _blanks(self.text, self.pos + 1), self.context)
            if parsed is None:
                unclear("no number follows '±'")
            both, self.pos = parsed
            self.set_tolerance(both, _negative(both))
            return True
        return self.stacked_tolerance() or self.row_tolerance()

    def deviations_in_parentheses(self) -> bool:
        """'h6 (0/-0.016)'; behind a fit its two limits may stand there as well: 'H7 (25.021/25.000)'."""
        if self.text[self.pos] != "(":
            return False
        begin = self.pos
        self.pos += 1 + _blanks(self.text, begin + 1)
        if self.pos < len(self.text) and (self.deviations() or self.limits_of_fit()) and self.take(_CLOSE):
            return True
        self.pos, self.found.tolerance = begin, None
        return False

    def limits_of_fit(self) -> bool:
        size = self.found.amount
        first = amount(self.text, self.pos, self.context)
        row = None if first is None else _ROW.match(self.text, first[1])
        second = None if row is None else amount(self.text, row.end(), self.context)
        if not self.fitted or size is None or first is None or second is None:
            return False
        if not (_close(size, first[0]) and _close(size, second[0])):
            return False
        self.pos = second[1]
        self.set_tolerance(
            *(Amount(x.value - size.value, x.step, x.places, x.denominator, x.unit) for x in (first[0], second[0]))
        )
        return True

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
        numbered = _NUMBERED.search(self.text)
        if numbered is not None and numbered.start() < self.pos < numbered.end():
            unclear(f"'{numbered.group()}' looks like a date or a part number")
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
        self.found.alternate = inner.stated(self.context.angular, False)
        self.pos = end + 1
        return True

    def fit(self) -> bool:
        stack = _FIT_STACK.match(self.text, self.pos)
        if stack is not None and FIT.fullmatch("/".join(stack.groups())):
            self.pos = stack.end()
            self.found.words.append("/".join(stack.groups()))
        else:
            found = self.take(FIT)
            if found is None:
                return False
            self.found.words.append(found.group(1))
        self.fitted = True
        return True

    # Further numbers that are not the dimension's own

    def further_size(self) -> bool:
        """Depth, counterbore, countersink, bolt circle, chamfer angle: kept as words."""
        return self.hole() or self.depth() or self.bolt_circle() or self.chamfer_angle()

    def hole(self) -> bool:
        """'⌴ Ø.438 ↧ .250', 'CBORE Ø.438', 'TAP M8': the next step of the hole."""
        tap = TAP.match(self.text, self.pos)
        if HOLE.match(self.text, self.pos) is None and (tap is None or not THREAD.match(self.text, tap.end())):
            return False
        if _HAS_DIGIT.search(self.text, self.pos) is None and self.text[self.pos].isalpha():
            return False  # a word by itself
        if _NOTE_NUMBER.fullmatch(self.text, 0, self.pos):
            return False  # 3. COUNTERBORE 2 FACES
        self.take_rest()
        return True

    def depth(self) -> bool:
        """'DEEP .50', 'X .50 DEEP', '.50 DEEP' behind the size."""
        named = DEEP.match(self.text, self.pos)
        if named is not None:
            begin = named.end() + _blanks(self.text, named.end())
            if COUNT_AFTER.match(self.text, begin) or not self.number_at(begin):
                return False
            self.take_rest()
            return True
        times = TIMES.match(self.text, self.pos)
        if times is None and self.text[self.pos] in "+-":
            return False
        end = self.number_at(self.pos if times is None else times.end())
        if not end or DEEP.match(self.text, end) is None:
            return False
        size = self.found.amount
        if times and size is not None and size.places == 0 and size.unit is None and not self.found.signs:
            self.two_sizes()
        self.take_rest()
        return True

    def number_at(self, pos: int) -> int:
        """Where the number at `pos` ends, 0 where none stands there."""
        parsed = amount(self.text, pos, self.context)
        return 0 if parsed is None else parsed[1]

    def bolt_circle(self) -> bool:
        """'ON Ø95 B.C.' behind the size of the holes."""
        on = ON.match(self.text, self.pos)
        begin = self.pos if on is None else on.end()
        symbol = SIGN.match(self.text, begin)
        if symbol is not None:
            begin = symbol.end() + _blanks(self.text, symbol.end())
        if on is None and symbol is None:
            return False
        end = self.number_at(begin)
        circle = BOLT_CIRCLE.match(self.text, end) if end else None
        if circle is None:
            return False
        self.found.words.append(_readable(self.text[self.pos : circle.end()]))
        self.pos = circle.end()
        self.further = True
        return True

    def chamfer_angle(self) -> bool:
        times = TIMES.match(self.text, self.pos)
        if times is None or not self.is_angle(times.end()):
            return False
        end = self.number_at(times.end())
        self.found.words.append(_readable(self.text[self.pos : end]))
        self.pos = end
        self.further = True
        return True

    def take_rest(self) -> None:
        """The line from here on as one entry of words; a count at its end is still read."""
        end = self.text.find(_LINE_END, self.pos)
        end = len(self.text) if end < 0 else end
        for counted in COUNT_AFTER.finditer(self.text, self.pos, end):
            if counted.end() == end and self.text[counted.start() - 1] in " ,;":
                end = counted.start()
        rest = self.text[self.pos : end].rstrip(" ,;")
        if self.open and rest.endswith(")") and rest.count(")") > rest.count("("):
            rest = rest[:-1]
        self.found.words.append(_readable(rest))
        self.pos += len(rest)
        self.further = True

    def product_at(self, pos: int) -> "tuple[Amount, int, bool] | None":
        """'(=40)', '= 160' or '(160)' at `pos`: the number, where it ends, and whether '=' stands there."""
        begin = _PRODUCT.match(self.text, pos)
        if begin is None or not (begin.group(1) or begin.group(2)):
            return None
        total = amount(self.text, begin.end(), self.context)
        if total is None:
            return None
        end = total[1]
        if begin.group(1):
            close = _CLOSE.match(self.text, end)
            if close is None:
                return None
            end = close.end()
        return total[0], end, begin.group(2) is not None

    def product(self) -> bool:
        """The length of all equal steps together, behind a count and the size of one."""
        size, count = self.found.amount, self.found.count
        product = self.product_at(self.pos)
        if product is None or size is None or count is None:
            return False
        total, end, equals = product
        slack = Fraction(0) if size.places == 0 else count * size.step  # 3X 33.33 (=100)
        if 2 * abs(count * size.value - total.value) > slack:
            if equals:
                told = decimal_text(total.value)
                right = decimal_text(count * size.value)
                unclear(f"'{_readable(self.text)}' contradicts itself: {count} times the size is {right}, not {told}")
            return False
        self.found.words.append(_readable(self.text[self.pos : end]))
        self.pos = end
        return True

    def second_unit(self) -> bool:
        """'2.000 (50.80)': the same size in the other unit."""
        size = self.found.amount
        if self.text[self.pos] != "(" or size is None or self.found.alternate is not None or self.further:
            return False
        begin = self.pos + 1 + _blanks(self.text, self.pos + 1)
        symbol = SIGN.match(self.text, begin)
        other = amount(self.text, begin if symbol is None else symbol.end(), self.context)
        close = None if other is None else _CLOSE.match(self.text, other[1])
        if other is None or close is None:
            return False
        if not _same_size(size, other[0]):
            unclear(
                f"'{_readable(self.text[self.pos : close.end()])}' behind the size can be read as a reference or as "
                "the size in another unit, and it is not the size times 25.4 or divided by 25.4"
            )
        found = _Found(amount=other[0], signs=[] if symbol is None else [SIGNS[symbol.group().replace(" ", "")]])
        self.found.alternate, self.pos = found.stated(False, False), close.end()
        return True

    def see_note(self) -> bool:
        found = self.take(SEE_NOTE)
        if found is None:
            return False
        self.found.words.append(found.group())
        return True


_BEFORE: tuple[Callable[[_Line], bool], ...] = (
    _Line.count_before,
    _Line.word,
    _Line.opening,
    _Line.sign,
    _Line.hole_sign,
    _Line.chamfer_letter,
    _Line.lost,
)
_AFTER: tuple[Callable[[_Line], bool], ...] = (
    _Line.closing,
    _Line.further_size,
    _Line.fit,
    _Line.tolerance,
    _Line.alternate,
    _Line.count_after,
    _Line.word,
    _Line.product,
    _Line.second_unit,
    _Line.see_note,
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
    return STACK.sub(lambda stack: stack_text(*stack.groups()), text).replace(_LINE_END, " ")
