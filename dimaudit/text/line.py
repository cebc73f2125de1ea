"""One line while it is read from left to right, and the reading while it grows."""

import re
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import NoReturn

from dimaudit.model.stated import DIAMETERS, Chamfer, Sign, Stated, Tolerance
from dimaudit.model.units import Unit
from dimaudit.text.flat import blanks, readable
from dimaudit.text.hole import Hole
from dimaudit.text.numbers import Amount, Context, amount, unclear
from dimaudit.text.vocabulary import BY, ON, TIMES

_BLANKS = re.compile(r"[\s,;]*")


class NoNumber(Exception):
    """The text states no number of its own: a thread, or a symbol that stands alone."""


@dataclass(slots=True)
class Found:
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
    fit: str = ""
    chamfer: Chamfer | None = None
    hole: Hole = field(default_factory=Hole)
    words: list[str] = field(default_factory=list)

    def stated(self, angular: bool, underlined: bool) -> Stated:
        """What was read; with the hole note where one was found."""
        assert self.amount is not None
        unit = self.amount.unit or self.tolerance_unit or (Unit.DEGREE if angular else None)
        stated = Stated(
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
            fit=self.fit,
            chamfer=self.chamfer,
            one_sided=self.one_sided,
            underlined=underlined,
            words=tuple(self.words),
        )
        if self.hole.empty and not (self.hole.equally_spaced and stated.sign in DIAMETERS):
            spaced = (self.hole.equally_spaced,) if self.hole.equally_spaced else ()
            return replace(stated, words=stated.words + spaced)
        limit = tuple(word for word in self.words if self.one_sided and word.upper().startswith(("MIN", "MAX")))
        alone = replace(stated, count=None, reference=False, boxed=False, underlined=False, words=limit)
        self.hole.steps[0].diameter = alone
        return replace(stated, call_out=self.hole.call_out(self.count))


class Line:
    """One line, read from left to right."""

    def __init__(self, text: str, context: Context, pos: int = 0) -> None:
        self.text = text
        self.context = context
        self.pos = pos
        self.open = False
        self.bare_count = False
        self.fitted = False
        self.further = False
        """A second size of the call-out stood there: what follows may be said of that one."""
        self.note = False
        """A note on the sheet, not a dimension: a comma before its first size divides parts."""
        self.found = Found()

    def repeat(self, parts: "tuple[Callable[[Line], bool], ...]") -> None:
        while True:
            self.skip()
            if self.pos >= len(self.text) or not any(part(self) for part in parts):
                return

    def skip(self) -> None:
        blank = _BLANKS.match(self.text, self.pos)
        assert blank is not None  # the pattern matches the empty text
        if ("," in blank.group() or ";" in blank.group()) and self.found.amount is None and not self.note:
            return  # a comma that opens a number
        self.pos = blank.end()
        if self.text[self.pos - 1 : self.pos] == "," and self.text[self.pos : self.pos + 1].isdigit():
            self.pos -= blank.end() > blank.start()

    def skip_blanks(self) -> None:
        self.pos += blanks(self.text, self.pos)

    def take(self, pattern: "re.Pattern[str]") -> "re.Match[str] | None":
        found = pattern.match(self.text, self.pos)
        if found is not None:
            self.pos = found.end()
        return found

    def number_at(self, pos: int) -> int:
        """Where the number at `pos` ends, 0 where none stands there."""
        parsed = amount(self.text, pos, self.context)
        return 0 if parsed is None else parsed[1]

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


def give_up(line: Line) -> NoReturn:
    """Refuses what stands at the line's place."""
    rest = readable(line.text[line.pos :])
    if not line.further and (BY.match(line.text) or TIMES.match(line.text, line.pos)):
        two_sizes(line)
    if line.found.amount is None:
        if ON.match(line.text, line.pos):
            unclear(f"'{rest}' gives the bolt circle; the size of the hole is missing")
        unclear(f"'{rest}' does not begin with a size")
    unclear(f"'{rest}' behind the size is not understood")


def two_sizes(line: Line) -> NoReturn:
    """Refuses a line that can be read as two sizes."""
    unclear(f"'{readable(line.text)}' can be read as two sizes or as a count ('4X Ø6')")
