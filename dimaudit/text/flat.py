"""One line of marked text as a row of characters: what the grammar reads."""

import re

from dimaudit.text.markup import Marked, Run, Stack, stack_text
from dimaudit.text.numbers import STACK
from dimaudit.text.vocabulary import CHARACTERS

LINE_END = "\x1f"
"""Between joined lines: a blank for what stands between the parts, never inside a number."""

_DOUBLE_APOSTROPHE = re.compile(r"''")

_PLUS_MINUS = re.compile(r"\+ ?/ ?-|\+-")


def flat_lines(marked: Marked, separator: str) -> list[str]:
    return [flat("".join(map(_run_text, line)), separator) for line in marked.lines]


def _run_text(run: Run) -> str:
    content = run.content
    if isinstance(content, Stack):
        return f"\x01{content.upper}\x02{content.kind}{content.lower}\x03"
    return content


def flat(text: str, separator: str) -> str:
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


def blanks(text: str, pos: int) -> int:
    return len(text[pos:]) - len(text[pos:].lstrip(" "))


def readable(text: str) -> str:
    """A flat line without its control characters."""
    return STACK.sub(lambda stack: stack_text(*stack.groups()), text).replace(LINE_END, " ")
