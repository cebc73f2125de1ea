"""The parts of a hole note behind, or around, the size of the hole.

Each part takes what it knows at the line's place and gives True, or leaves the line as it is and
gives False; Unclear where it begins and does not go on as it must. Notation: ASME Y14.5 (symbols, words
of older editions), else common practice.
"""

import re

from dimaudit.model.stated import DIAMETERS, Sign, Stated, StepKind, Thread
from dimaudit.model.units import Unit
from dimaudit.text.flat import LINE_END, blanks, readable
from dimaudit.text.hole import Step
from dimaudit.text.line import Line, two_sizes
from dimaudit.text.marks import sign
from dimaudit.text.numbers import STACK, unclear
from dimaudit.text.sizes import size
from dimaudit.text.threads import screw_at, thread_at
from dimaudit.text.tolerances import fit, tolerance
from dimaudit.text.vocabulary import (
    APART,
    AT_ANGLE,
    BOLT_CIRCLE,
    CLEARANCE,
    COUNT_AFTER,
    DEEP,
    EQUALLY_SPACED,
    FASTENER,
    FOR_PART,
    FOR_SCREW,
    HEAD,
    ON,
    SIGN,
    SIGN_WORDS,
    STEP,
    TAP,
    THREAD,
    THROUGH,
    TIMES,
    WORD,
    WORDS,
    Effect,
    step_kind,
)

_DEPTH = re.compile(r"↧ *|(?:TO +)?(?:A +)?(?:DEEP|DEPTH|DP)(?![A-Za-z0-9_=])\.?(?: +OF(?![A-Za-z]))? *[:=]? *", re.I)
_BY = re.compile(r"(?:[xX] *(?=[0-9.,\x01Ø])|(?:TO|BY)(?![A-Za-z0-9]) *)?", re.IGNORECASE)
_INCLUDED = re.compile(r" *INCL(?:UDED|\.)?(?![A-Za-z])(?: +ANGLE)?", re.IGNORECASE)
_OWN = frozenset((Effect.ONE_SIDED, Effect.REFERENCE, Effect.BOXED, Effect.SIGN))
_INCLUDED_ANGLES = frozenset((60, 82, 90, 100, 110, 120))
"""Angles of countersinks: 82 and 90 degrees for screws, 60 for centres, 100 to 120 for rivets (common practice)."""


# Sizes within a note


def own_word(line: Line) -> bool:
    """A word that belongs to the number before it: MIN, MAX, (REF), BASIC, DIA."""
    opened = line.text[line.pos] == "("
    found = WORD.match(line.text, line.pos + opened)
    if found is None or (opened and line.text[found.end() : found.end() + 1] != ")"):
        return False
    name = " ".join(found.group(1).upper().split())
    effect = WORDS[name]
    if effect not in _OWN:
        return False
    line.pos = found.end() + opened
    if effect is Effect.ONE_SIDED:
        line.found.one_sided = True
        line.found.words.append(found.group())
    elif effect is Effect.REFERENCE:
        line.found.reference = True
    elif effect is Effect.BOXED:
        line.found.boxed = True
    else:
        line.found.signs.append(SIGN_WORDS[name])
    return True


def bracket(line: Line) -> bool:
    """'[12.7]' behind a size within a note: the same in the other unit."""
    if line.text[line.pos] != "[" or line.found.alternate is not None:
        return False
    end = line.text.find("]", line.pos)
    inner = None if end < 0 else sized(Line(line.text[:end], line.context, line.pos + 1), opened=True)
    if inner is None or inner.pos != end:
        return False
    line.found.alternate = inner.found.stated(False, False)
    line.pos = end + 1
    return True


def sized(sub: Line, *, opened: bool = False) -> Line | None:
    """`sub` moved over one size with its symbol, tolerance and own words; None where none stands there.

    `opened`: a word or a sign asks for a size here, so that a stack is its limits and no tolerance.
    """
    sub.skip_blanks()
    while sub.pos < len(sub.text) and sign(sub):
        sub.skip_blanks()
    limits = (opened or sub.found.signs) and STACK.match(sub.text, sub.pos)
    if THREAD.match(sub.text, sub.pos) or not (limits or sub.number_at(sub.pos)):
        return None
    size(sub)
    sub.repeat((fit, tolerance, bracket, own_word))
    while sub.text[sub.pos - 1] in " ,;":
        sub.pos -= 1
    if len(set(sub.found.signs)) > 1:
        unclear(f"'{readable(sub.text)}' carries two symbols that exclude each other")
    return sub


def size_at(line: Line, pos: int, *, opened: bool = False) -> Line | None:
    """The size at `pos` of the same line of text, as a line of its own that stands behind it."""
    end = line.text.find(LINE_END, pos)
    sub = Line(line.text if end < 0 else line.text[:end], line.context, pos)
    sub.note = True
    return sized(sub, opened=opened)


def deep_behind(sub: Line) -> "re.Match[str] | None":
    """DEEP behind a number, where it does not open a number of its own: '.50 DEEP', not 'Ø.438 DEPTH .25'."""
    deep = DEEP.match(sub.text, sub.pos)
    if deep is None:
        return None
    begin = deep.end() + blanks(sub.text, deep.end())
    own = sub.number_at(begin) and not COUNT_AFTER.match(sub.text, begin) and not thread_at(sub.text, begin)
    return None if own else deep


def _stated(sub: Line) -> Stated:
    return sub.found.stated(False, False)


# Depth


def depth(line: Line) -> bool:
    """'↧ .50', 'DEEP .50', 'X .50 DEEP', '.50 DEEP': of the step, or of the thread, that stands before it."""
    named = _DEPTH.match(line.text, line.pos)
    if named is not None:
        if COUNT_AFTER.match(line.text, named.end()):
            return False
        sub = size_at(line, named.end(), opened=True)
        if sub is None:
            if named.group().startswith("↧"):
                unclear(f"'{readable(line.text[line.pos :])}': no depth stands behind its symbol")
            return False
        return set_depth(line, sub)
    times = TIMES.match(line.text, line.pos)
    if times is None and line.text[line.pos] in "+-":
        return False
    sub = size_at(line, line.pos if times is None else times.end(), opened=times is not None)
    deep = None if sub is None else deep_behind(sub)
    if sub is None or deep is None:
        return False
    found = line.found.amount
    if times and found is not None and found.places == 0 and found.unit is None and not line.found.signs:
        two_sizes(line)
    sub.pos = deep.end()
    sub.repeat((own_word,))
    return set_depth(line, sub)


def set_depth(line: Line, sub: Line) -> bool:
    """Gives the depth that `sub` read to what stands before it."""
    hole = line.found.hole
    found = _stated(sub)
    if found.sign is not None or found.unit is Unit.DEGREE:
        unclear(f"'{readable(line.text[line.pos : sub.pos])}' is no depth")
    if hole.in_thread:
        if hole.thread_depth is not None:
            unclear("the thread has two depths")
        hole.thread_depth = found
    else:
        if not hole.steps:
            hole.steps.append(Step())
        if hole.steps[-1].depth is not None:
            unclear(f"the {hole.steps[-1].kind} has two depths")
        hole.steps[-1].depth = found
    line.pos = sub.pos
    line.further = True
    return True


def through(line: Line) -> bool:
    """'THRU', 'THRU ALL': of the step, or of the thread and so of its hole."""
    found = line.take(THROUGH)
    if found is None:
        return False
    hole = line.found.hole
    if not hole.steps:
        hole.steps.append(Step())
    step = hole.steps[0] if hole.in_thread else hole.steps[-1]
    if hole.in_thread and step.depth is not None:
        unclear("the thread goes through and the hole does not")
    step.through = True
    return True


# Steps


def step(line: Line) -> bool:
    """'⌴ Ø.438', 'CBORE .438', 'CSK 82° TO Ø.507', '⌴SF Ø.75': the next step of the hole."""
    opened = STEP.match(line.text, line.pos)
    if opened is None:
        return False
    new = Step(step_kind(opened))
    pos = opened.end()
    while True:
        sub = size_at(line, pos + len(_by(line.text, pos)), opened=True)
        if sub is None or deep_behind(sub):
            break
        found = _stated(sub)
        if found.unit is Unit.DEGREE:
            if new.angle is not None or new.kind is not StepKind.COUNTERSINK:
                break
            new.angle = found
            included = _INCLUDED.match(sub.text, sub.pos)
            sub.pos = sub.pos if included is None else included.end()
        elif new.diameter is not None:
            # 'CBORE Ø.438 X .25': what stands behind the x is the depth.
            if (
                new.kind is StepKind.COUNTERSINK
                or found.sign is not None
                or not TIMES.match(line.text, _skip(line, pos))
            ):
                break
            new.depth = found
            pos = sub.pos
            break
        else:
            _is_diameter(found, new.kind)
            new.diameter = found
        pos = sub.pos
    if new.diameter is None and new.bare:
        return _word_alone(line, opened)
    hole = line.found.hole
    if new.diameter is None and hole.steps and _takes_kind(line, hole.steps[-1], opened):
        hole.steps[-1].kind = new.kind
        hole.steps[-1].angle = new.angle
    else:
        hole.steps.append(new)
    hole.in_thread = False
    line.pos = pos
    line.further = True
    return True


def step_before(line: Line) -> bool:
    """'⌴Ø8', 'CSK 82° TO Ø.507', '82° CSK Ø.507' before the size of a dimension: the size is that step's."""
    first = line.found.hole.steps[0]
    if first.kind is not StepKind.HOLE or line.context.angular:
        return False
    pos, angle = line.pos, _angle_at(line, line.pos)
    if angle is not None:
        pos = angle.pos + blanks(line.text, angle.pos)
    opened = STEP.match(line.text, pos)
    if opened is None or (angle is not None and opened.lastgroup != StepKind.COUNTERSINK):
        return False
    pos = opened.end()
    if angle is None and opened.lastgroup == StepKind.COUNTERSINK:
        angle = _angle_at(line, pos)
        pos = pos if angle is None else angle.pos
    first.kind = step_kind(opened)
    first.angle = None if angle is None else _stated(angle)
    line.pos = pos + len(_by(line.text, pos))
    return True


def _angle_at(line: Line, pos: int) -> Line | None:
    pos += blanks(line.text, pos)
    return size_at(line, pos) if line.is_angle(pos) else None


def _by(text: str, pos: int) -> str:
    begin = pos + blanks(text, pos)
    found = _BY.match(text, begin)
    assert found is not None  # the pattern matches the empty text
    return text[pos : found.end()]


def _skip(line: Line, pos: int) -> int:
    return pos + blanks(line.text, pos)


def _is_diameter(found: Stated, kind: StepKind) -> None:
    if found.sign not in (None, Sign.DIAMETER):
        unclear(f"the {kind} has a size with the symbol {found.sign}")


def _word_alone(line: Line, opened: "re.Match[str]") -> bool:
    """A step with nothing behind its word: '.438 CBORE .25 DEEP' gives its size before it, and its depth behind."""
    hole = line.found.hole
    sub = size_at(line, opened.end())
    deep = sub is not None and deep_behind(sub) is not None
    named = _DEPTH.match(line.text, opened.end() + blanks(line.text, opened.end()))
    if not deep and named is None:
        return False
    if hole.steps and _takes_kind(line, hole.steps[-1], opened):
        hole.steps[-1].kind = step_kind(opened)
    else:
        hole.steps.append(Step(step_kind(opened)))
    hole.in_thread = False
    line.pos = opened.end()
    line.further = True
    return True


def _takes_kind(line: Line, last: Step, opened: "re.Match[str]") -> bool:
    """Whether the word names the step whose size stands right before it: 'Ø.5 CBORE .25 DEEP'."""
    before = line.text[: opened.start()].rstrip(" ")
    sized = last.diameter is not None or (len(line.found.hole.steps) == 1 and line.found.amount is not None)
    close = bool(before) and before[-1] not in f",;{LINE_END}"
    return sized and last.bare and last.kind is StepKind.HOLE and close and not line.found.hole.in_thread


def size_then_step(line: Line) -> bool:
    """'.438 DIA CBORE .25 DEEP' behind the hole: the size of the next step before its word."""
    sub = None if line.text[line.pos] in "+-" else size_at(line, line.pos)
    if sub is None:
        return False
    opened = STEP.match(sub.text, _skip(sub, sub.pos))
    if opened is None:
        return False
    found = _stated(sub)
    new = Step(step_kind(opened))
    if found.unit is Unit.DEGREE:
        if new.kind is not StepKind.COUNTERSINK:
            return False
        line.pos = opened.start()
        if not step(line):
            line.found.hole.steps.append(new)
            line.pos = opened.end()
        line.found.hole.steps[-1].angle = found
        return True
    behind = size_at(line, opened.end() + len(_by(line.text, opened.end())))
    if behind is not None and not deep_behind(behind):
        if _stated(behind).unit is not Unit.DEGREE:
            return False  # the word belongs to the size behind it
        new.angle = _stated(behind)
    _is_diameter(found, new.kind)
    new.diameter = found
    line.found.hole.steps.append(new)
    line.found.hole.in_thread = False
    line.pos = opened.end() if new.angle is None or behind is None else behind.pos
    line.further = True
    return True


def countersink_angle(line: Line) -> bool:
    """'X 82°' behind a countersink, or behind a diameter that only a countersink can have."""
    by = TIMES.match(line.text, line.pos)
    if by is None or not line.is_angle(by.end()):
        return False
    hole = line.found.hole
    sub = size_at(line, by.end())
    if sub is None or not hole.steps or hole.in_thread or hole.steps[-1].angle is not None:
        return False
    last, found = hole.steps[-1], _stated(sub)
    if last.kind is StepKind.HOLE:
        in_size = len(hole.steps) == 1 and line.found.amount is not None
        signs = line.found.signs if in_size else [last.diameter.sign] if last.diameter is not None else []
        if not last.bare or not set(signs) & set(DIAMETERS) or found.value not in _INCLUDED_ANGLES:
            return False
        last.kind = StepKind.COUNTERSINK
    if last.kind is not StepKind.COUNTERSINK:
        return False
    last.angle = found
    included = _INCLUDED.match(line.text, sub.pos)
    line.pos = sub.pos if included is None else included.end()
    line.further = True
    return True


# Threads and screws


def tapped(line: Line) -> bool:
    """'TAP M8x1.25', '1/4-20 UNC-2B', '10-32 TAP': the thread of the hole; 'M6 CLEARANCE' names the screw."""
    tap = TAP.match(line.text, line.pos)
    begin = line.pos if tap is None else tap.end()
    found = thread_at(line.text, begin, by_word=True)
    if found is None:
        return False
    thread, end = found
    clearance = CLEARANCE.match(line.text, end)
    behind = TAP.match(line.text, end + blanks(line.text, end))
    if clearance is not None and tap is None:
        return _screw(line, thread, clearance.end())
    if tap is None and behind is None:
        strict = thread_at(line.text, begin)
        if strict is None or FASTENER.match(line.text, end):
            return False
        first = line.found.amount is None and not line.found.hole.steps
        fresh = first or line.text[:begin].rstrip(" ")[-1:] in (",", ";", LINE_END)
        if not fresh and thread.pitch is None:
            return False  # '25 M6' may be a fit
    hole = line.found.hole
    if hole.thread is not None:
        unclear(f"it names two threads, {hole.thread.text} and {thread.text}")
    hole.thread = thread
    hole.in_thread = True
    line.pos = end if behind is None or tap is not None else behind.end()
    line.further = True
    return True


def screw(line: Line) -> bool:
    """'FOR 1/4-20 SHCS', 'CLEARANCE FOR M6': the screw that the hole is for."""
    opened = FOR_SCREW.match(line.text, line.pos)
    found = None if opened is None else screw_at(line.text, opened.end())
    if found is None:
        return False
    named, end, designated = found
    if not designated and HEAD.match(line.text, end) is None:
        return False  # 'FOR 1/4 DOWEL PIN'
    return _screw(line, named, end)


def for_part(line: Line) -> bool:
    """'FOR Ø.250 DOWEL PIN': what else the hole is for, as words."""
    found = line.take(FOR_PART)
    if found is None:
        return False
    line.found.words.append(" ".join(readable(found.group()).split()))
    return True


def _screw(line: Line, named: Thread, end: int) -> bool:
    hole = line.found.hole
    if hole.screw is not None:
        unclear(f"it names two screws, {hole.screw.text} and {named.text}")
    head = HEAD.match(line.text, end)
    hole.screw = named
    if head is not None:
        hole.head = " ".join(head.group().split())
        end = head.end()
    line.pos = end
    line.further = True
    return True


# The pattern of the holes


def bolt_circle(line: Line) -> bool:
    """'ON Ø95 B.C.', 'ON A 4.000 DIA BOLT CIRCLE', 'ON PCD 95' behind the size of the holes."""
    on = ON.match(line.text, line.pos)
    begin = line.pos if on is None else on.end()
    first = BOLT_CIRCLE.match(line.text, begin) if on is not None else None
    if on is None and SIGN.match(line.text, begin) is None:
        return False
    sub = size_at(line, begin if first is None else first.end())
    if sub is None:
        return False
    found = _stated(sub)
    circle = first if first is not None else BOLT_CIRCLE.match(sub.text, sub.pos)
    if circle is None or found.sign not in (None, Sign.DIAMETER):
        return False
    if line.found.hole.bolt_circle is not None:
        unclear("it names two bolt circles")
    line.found.hole.bolt_circle = found
    line.pos = sub.pos if first is not None else circle.end()
    line.further = True
    return True


def spacing(line: Line) -> bool:
    """'@ 180°', 'AT 60° APART' behind the size of the holes: the angle from one to the next."""
    at = AT_ANGLE.match(line.text, line.pos)
    if at is None or not line.is_angle(at.end()):
        return False
    sub = size_at(line, at.end())
    if sub is None or line.found.hole.spacing is not None or line.found.hole.in_thread:
        return False
    line.found.hole.spacing = _stated(sub)
    apart = APART.match(sub.text, sub.pos)
    line.pos = sub.pos if apart is None else apart.end()
    line.further = True
    return True


def equally_spaced(line: Line) -> bool:
    """'EQ SP', 'EQUALLY SPACED'."""
    found = line.take(EQUALLY_SPACED)
    if found is None:
        return False
    line.found.hole.equally_spaced = found.group()
    return True
