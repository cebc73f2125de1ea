"""The text of a note to what it says of a hole; the grammar is written out in docs/dimension-text.md.

A note stands anywhere on a sheet, among title blocks, dates and part numbers. So it is a hole note only
where its own words or signs say so, and what a person could take for something else is none.
"""

import re
from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache

from dimaudit.model.stated import CallOut, Sign, StepKind, Unreadable
from dimaudit.model.units import Unit
from dimaudit.text.drills import BARE_NAME, DRILL_NAME, drill_amount
from dimaudit.text.flat import LINE_END, flat_lines, readable
from dimaudit.text.hole import Step
from dimaudit.text.line import Line, NoNumber
from dimaudit.text.marks import count_after, see_note
from dimaudit.text.markup import decode, plain_text
from dimaudit.text.names import HAS_DIGIT, LONGEST, NUMBERED_NOTE, reason
from dimaudit.text.numbers import Context, Unclear, unclear
from dimaudit.text.steps import (
    bolt_circle,
    countersink_angle,
    depth,
    equally_spaced,
    for_part,
    screw,
    size_then_step,
    sized,
    spacing,
    step,
    tapped,
    through,
)
from dimaudit.text.threads import thread_at
from dimaudit.text.vocabulary import COUNT_BARE, COUNT_BEFORE, FASTENER, STEP, THREAD, WORD, WORDS, Effect

_SIGNS_OF_HOLES = re.compile(
    r"[Ø⌴⌵↧]|DRILL|REAM|BOR[EI]|TAP|THREAD|THD|SINK|CSK|SPOT|THR[UO]|HOLE|DIA|M[0-9J ]|UN|NPT|[0-9] *-|B\.?C"
    r"|G ?[0-9]|BSP|Rc|Rp|Tr|PCD|P\.C|CLEAR|SCREW|BOLT",
    re.IGNORECASE,
)
"""Every hole note holds one of these: a quick no for all the other texts of a sheet."""
_MAKING = re.compile(
    r"(?:DRILL(?:ED)?|REAM(?:ED)?|BORED?)(?![A-Za-z0-9_=])\.?(?: +TO(?= *[Ø0-9.,\x01]))?", re.IGNORECASE
)
_HOLES = re.compile(r"(?:PILOT +)?HOLES?(?![A-Za-z0-9])\.?", re.IGNORECASE)
_JOIN = re.compile(r"(?:AND|THEN|WITH)(?![A-Za-z0-9])|W/(?= )|&|-(?= )", re.IGNORECASE)
_TAP_WORD = re.compile(r"(?:TAP|TAPPED|THD|THREAD|THREADED)(?![A-Za-z])", re.IGNORECASE)
_SPELT = re.compile(
    r"(ONE|TWO|THREE|FOUR|FIVE|SIX|SEVEN|EIGHT|NINE|TEN|ELEVEN|TWELVE) *(?:\( *(?P<digits>[0-9]+) *\) *)?"
    r"(?:(?:PLACES?|PLCS?)(?![A-Za-z])\.?|(?=HOLES?(?![A-Za-z])|Ø))",
    re.IGNORECASE,
)
_SPELT_NUMBERS = ["ONE", "TWO", "THREE", "FOUR", "FIVE", "SIX", "SEVEN", "EIGHT", "NINE", "TEN", "ELEVEN", "TWELVE"]
_IN_PARENTHESES = re.compile(r"\( *([0-9]+) *\) *(?=[Ø0-9.#\x01]|HOLES?|DRILL|REAM|BORE|TAP|DIA)", re.IGNORECASE)
"""'(2) 1/2 DIA HOLES': before any size, what stands in parentheses alone is how many."""
_EDGES = re.compile(r"(?:DEBURR|BREAK|REMOVE +(?:ALL +)?BURRS?)(?![A-Za-z])[^,;\x1fØ⌴⌵↧]*", re.IGNORECASE)
"""'DEBURR BOTH SIDES .010 MAX': said of the hole's edges, whatever number it holds."""
_EACH = re.compile(r"(?:ON +|AT +|IN +)?(?:EACH|PER|EVERY)(?![A-Za-z])", re.IGNORECASE)
_WHERE = re.compile(
    r"[(]?(?:FOR|FROM|ON|AT|IN|TO|AS|BOTH|EACH|THIS|THESE|ALL|ONLY|NEAR|FAR|PER|TOP|BOTTOM|LEFT|RIGHT|OPP(?:OSITE)?|ONE|SIDES?"
    r"|FLANGE|MATCH|AFTER|BEFORE|WHEN|BETWEEN|INTO|ENDS?|FACES?)(?![A-Za-z0-9])",
    re.IGNORECASE,
)
"""How words go on behind a hole that say where or what for."""


def read_call_out(raw: str, separator: str = ".") -> CallOut | Unreadable | None:
    """What the raw text of a note says of a hole; None where it is no hole note.

    Unreadable only where a text clearly begins like one and then goes wrong. Never raises.
    """
    if len(raw) > 1000:
        return None  # a page of notes
    return _cached(raw, separator)


@lru_cache(maxsize=4096)
def _cached(raw: str, separator: str) -> CallOut | Unreadable | None:
    marked = decode(raw)
    lines = [line for line in flat_lines(marked, separator) if line]
    text = LINE_END.join(lines)
    numbered = HAS_DIGIT.search(text) is not None or DRILL_NAME.search(text) is not None
    if len(text) > LONGEST or not numbered or _SIGNS_OF_HOLES.search(text) is None:
        return None
    if NUMBERED_NOTE.match(text):
        return None
    reference = text.startswith("(") and text.endswith(")") and text.count("(") == 1
    note = _Note(text[1:-1] if reference else text, Context(separator, False))
    try:
        found = note.read()
    except NoNumber:
        return None
    except Unclear as why:
        shown = plain_text(raw)
        return Unreadable(shown, reason(shown, str(why))) if note.clear() or note.at_a_size() else None
    if found is None or not reference or not found.steps or found.steps[0].diameter is None:
        return found
    first = replace(found.steps[0], diameter=replace(found.steps[0].diameter, reference=True))
    return replace(found, steps=(first, *found.steps[1:]))


class _Note(Line):
    """The line of a note, with what speaks for its being about a hole."""

    def __init__(self, text: str, context: Context) -> None:
        super().__init__(text, context)
        self.note = True
        self.made = False
        """A word says how the hole is made."""
        self.signed = False
        """The hole's size stands with Ø or DIA."""
        self.whole = False
        """The hole's size is a whole number with no unit, so that it may be the number of a part or of a page."""

    def read(self) -> CallOut | None:
        self.repeat(_PARTS)
        hole = self.found.hole
        if self.pos < len(self.text) and not self.rest():
            return None
        first = hole.steps[0] if hole.steps else None
        if first is not None and first.kind is StepKind.HOLE and first.diameter is not None:
            more = not hole.empty or self.found.count is not None
            if not self.signed and not (self.made and (more or not self.whole)) and hole.empty:
                return None
            if not self.signed and self.whole and not more:
                return None
        elif first is not None and first.kind is StepKind.HOLE and hole.thread is None and hole.screw is None:
            if first.depth is None or "↧" not in self.text:
                return None
        elif first is None and hole.thread is None and hole.screw is None and hole.bolt_circle is None:
            return None
        return hole.call_out(self.found.count, tuple(self.found.words))

    def clear(self) -> bool:
        """Whether what was read so far can be nothing but the beginning of a hole note."""
        hole = self.found.hole
        if hole.thread is not None and (hole.thread.pitch is not None or hole.thread_depth is not None):
            return True
        if any(each.kind is not StepKind.HOLE for each in hole.steps):
            return True
        first = hole.steps[0] if hole.steps else None
        if first is None or first.diameter is None:
            return False
        return (self.signed and (self.made or self.found.count is not None or not first.bare or not self.whole)) or (
            self.made and not self.whole
        )

    def at_a_size(self) -> bool:
        """Whether the place where reading ended is the size of a hole, or its thread."""
        here = self.text[self.pos : self.pos + 1]
        thread = THREAD.match(self.text, self.pos)
        return here == "Ø" or (self.made and here in "0123456789.") or (thread is not None and "UN" in thread.group())

    def rest(self) -> bool:
        """The words behind what is understood; a number among them makes the note unreadable."""
        hole, rest = self.found.hole, self.text[self.pos :]
        if FASTENER.search(rest):
            return False  # 1/2-13 X 2" BOLT
        where = _WHERE.match(rest) is not None
        sure = self.clear() and (where or not hole.empty or self.made)
        if HAS_DIGIT.search(rest) or not (rest[0].isalpha() or rest[0] in "('"):
            if self.clear() and (where or not hole.empty or self.made or not rest[0].isalpha()):
                unclear(f"'{readable(rest)}' is not understood")
            return False
        if not sure or "=" in rest:
            return False
        if self.found.count is not None and _EACH.match(rest):
            unclear(f"'{readable(rest)}' multiplies the count of {self.found.count}, and how often is not said")
        self.found.words.append(" ".join(readable(rest).split()))
        self.pos = len(self.text)
        return True


def _count(line: Line) -> bool:
    spelt = _SPELT.match(line.text, line.pos)
    if spelt is not None:
        number = _SPELT_NUMBERS.index(spelt.group(1).upper()) + 1
        if line.found.count not in (None, number) or int(spelt["digits"] or number) != number:
            unclear(f"it has two counts, {spelt['digits'] or line.found.count} and {number}")
        line.found.count, line.pos = number, spelt.end()
        return True
    counted = COUNT_BEFORE.match(line.text, line.pos)
    if counted is None and not line.found.hole.steps and line.found.count is None:
        counted = _IN_PARENTHESES.match(line.text, line.pos)
    if counted is None:
        if count_after(line):
            return True
        counted = COUNT_BARE.match(line.text, line.pos)
        if counted is None:
            return False
        if not counted.group(2) and line.text[counted.end()].isdigit() and not thread_at(line.text, counted.end()):
            return False  # 2X4 is timber
    line.set_count(counted)
    line.pos = counted.end()
    return True


def _drill(line: Line) -> bool:
    """'#7 DRILL': the hole's size by the name of its drill."""
    assert isinstance(line, _Note)
    named = DRILL_NAME.match(line.text, line.pos)
    hole = line.found.hole
    if named is None:
        named = BARE_NAME.match(line.text, line.pos)
        if named is None or not hole.steps:
            return False
    size = drill_amount(named)
    if size is None:
        return False
    line.found.words.append(" ".join(named.group().split()))
    line.pos = named.end()
    line.made = True
    if hole.steps and hole.steps[0].diameter is not None:
        stated = hole.steps[0].diameter
        if abs(stated.value - size.value) > (stated.step + size.step) / 2:
            unclear(f"'{named.group()}' is not the size before it")
    else:
        sub = Line("", line.context)
        sub.found.amount = size
        _add_size(line, sub)
    return True


def _size(line: Line) -> bool:
    """The size of the hole itself."""
    assert isinstance(line, _Note)
    hole = line.found.hole
    if line.text[line.pos] in "+-" or hole.in_thread:
        return False
    if hole.steps and (hole.steps[0].diameter is not None or len(hole.steps) > 1):
        return False
    whole = Line(line.text, line.context, line.pos)  # limits may stand on two lines
    whole.note = True
    sub = sized(whole)
    if sub is None or sub.found.amount is None:
        return False
    if sub.found.amount.unit is Unit.DEGREE or set(sub.found.signs) - {Sign.DIAMETER}:
        return False
    line.signed = bool(sub.found.signs)
    line.whole = sub.found.amount.places == 0 and sub.found.amount.unit is None
    _add_size(line, sub)
    line.pos = sub.pos
    return True


def _add_size(line: Line, sub: Line) -> None:
    hole = line.found.hole
    if not hole.steps:
        hole.steps.append(Step())
    hole.steps[0].diameter = sub.found.stated(False, False)


def _word(line: Line) -> bool:
    assert isinstance(line, _Note)
    making = _MAKING.match(line.text, line.pos)
    found = making or _HOLES.match(line.text, line.pos) or _TAP_WORD.match(line.text, line.pos)
    if found is None:
        if STEP.match(line.text, line.pos):
            unclear(f"no size stands with '{readable(line.text[line.pos :])}'")
        known = WORD.match(line.text, line.pos)
        if known is None or WORDS[" ".join(known.group(1).upper().split())] is not Effect.NOTE:
            return False
        found = known
    elif making is not None or line.found.hole.steps:
        line.made = True
    line.found.words.append(found.group())
    line.pos = found.end()
    return True


def _edges(line: Line) -> bool:
    """'DEBURR .010 MAX' behind the hole."""
    if not line.found.hole.steps:
        return False
    found = _EDGES.match(line.text, line.pos)
    if found is None:
        return False
    line.found.words.append(" ".join(readable(found.group()).split()))
    line.pos = found.end()
    return True


def _join(line: Line) -> bool:
    return line.take(_JOIN) is not None


_PARTS: tuple[Callable[[Line], bool], ...] = (
    _drill,
    _count,
    tapped,
    screw,
    for_part,
    step,
    size_then_step,
    depth,
    through,
    countersink_angle,
    bolt_circle,
    spacing,
    equally_spaced,
    _edges,
    _size,
    _join,
    see_note,
    _word,
)
