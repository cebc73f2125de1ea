"""What stands around a size and holds no size of its own: counts, symbols, words, parentheses."""

from dimaudit.text.flat import readable
from dimaudit.text.line import Line
from dimaudit.text.numbers import unclear
from dimaudit.text.runs import count_of_run
from dimaudit.text.vocabulary import (
    AFTER_ONLY,
    COUNT_AFTER,
    COUNT_BARE,
    COUNT_BEFORE,
    LOST,
    SEE_NOTE,
    SIGN,
    SIGN_WORDS,
    SIGNS,
    WORD,
    WORDS,
    Effect,
)


def opening(line: Line) -> bool:
    if line.open or line.text[line.pos] != "(" or line.found.reference:
        return False
    line.pos += 1
    line.open = line.found.reference = True
    return True


def closing(line: Line) -> bool:
    if not line.open or line.text[line.pos] != ")":
        return False
    line.pos += 1
    line.open = False
    return True


def count_before(line: Line) -> bool:
    if line.found.signs and not line.text[line.pos - 1].isspace():
        return False  # Ø10 REQ'D
    if line.found.chamfer is not None:
        return False  # C2-C2
    counted = line.take(COUNT_BEFORE) or line.take(COUNT_AFTER) or count_of_run(line)
    if counted is None:
        bare = COUNT_BARE.match(line.text, line.pos)
        if bare is None:
            return False
        # 4x6 may be 4 by 6; with a blank or a decimal point after the x it is a count.
        if not bare.group(2) and line.text[bare.end()].isdigit():
            if line.is_angle(bare.end()):
                return False  # 2x45° is a chamfer
            unclear(f"'{readable(line.text)}' can be read as two sizes or as a count ('4X 6')")
        line.pos = bare.end()
        line.bare_count = True
        counted = bare
    line.set_count(counted)
    return True


def count_after(line: Line) -> bool:
    found = line.take(COUNT_AFTER)
    if found is None:
        return False
    line.set_count(found)
    return True


def sign(line: Line) -> bool:
    found = line.take(SIGN)
    if found is None:
        return False
    line.found.signs.append(SIGNS[found.group().replace(" ", "")])
    return True


def word(line: Line) -> bool:
    in_parentheses = line.text[line.pos] == "("
    found = WORD.match(line.text, line.pos + in_parentheses)
    if found is None or (line.found.amount is None and found.group(1).upper() in AFTER_ONLY):
        return False
    end = found.end()
    if in_parentheses:
        if line.text[end : end + 1] != ")":
            return False
        end += 1
    line.pos = end
    name = " ".join(found.group(1).upper().split())
    match WORDS[name]:
        case Effect.REFERENCE:
            line.found.reference = True
        case Effect.BOXED:
            line.found.boxed = True
        case Effect.SIGN:
            line.found.signs.append(SIGN_WORDS[name])
        case Effect.ONE_SIDED:
            line.found.one_sided = True
            line.found.words.append(found.group())
        case Effect.NOTE:
            line.found.words.append(found.group())
    return True


def lost(line: Line) -> bool:
    if line.text[line.pos] == "~":
        line.pos += 1
        line.found.words.append("~")
        return True
    found = line.take(LOST)
    if found is None:
        return False
    line.found.words.append(found.group())
    return True


def see_note(line: Line) -> bool:
    found = line.take(SEE_NOTE)
    if found is None:
        return False
    line.found.words.append(found.group())
    return True
