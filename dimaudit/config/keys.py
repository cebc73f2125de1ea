"""The keys of a configuration, each with how it is read, what holds without it and how it is said.

A key is the long name of the option that says the same on the command line. Where the option may be repeated, the key
takes a list.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from dimaudit.config import values
from dimaudit.exact.number import Rounding, decimal_places, decimal_text
from dimaudit.model.audit import Level
from dimaudit.model.general import GeneralTolerances
from dimaudit.model.scheme import Implied
from dimaudit.model.settings import EATEN_SHARE, ViewBox
from dimaudit.model.units import Unit

RULES = "rules"
"""The table of rules: a rule's name, and the level of its findings."""
FOR = "for"
"""The tables for some drawings only."""
FILES = "files"
"""The key of such a table that says for which."""


@dataclass(frozen=True, slots=True)
class Key:
    """One key. `read` raises ValueError with what would do."""

    read: Callable[[Any], Any]
    default: Any
    words: Callable[[Any], str]
    """A value as the user would write it, or what stands in its place."""


def _listed(one: Callable[[object], Any], whole: Callable[[list[Any]], Any] = tuple) -> Callable[[Any], Any]:
    """A list, or one of its entries by itself."""
    return lambda value: whole([one(entry) for entry in (value if isinstance(value, list | tuple) else [value])])


def _number(value: Fraction) -> str:
    return decimal_text(value) if decimal_places(value) is not None else str(value)


def _or(default: str, words: Callable[[Any], str] = str) -> Callable[[Any], str]:
    return lambda value: default if value is None else words(value)


def _names(found: tuple[str, ...]) -> str:
    return ", ".join(found) or "none"


def _box(box: ViewBox) -> str:
    corners = ",".join(_number(part) for part in (*box.low, *box.high))
    return corners if box.scale is None else f"{corners}={box.scale.numerator}:{box.scale.denominator}"


def _boxes(boxes: tuple[ViewBox, ...]) -> str:
    return "; ".join(map(_box, boxes)) or "none given: found in the drawing"


def _general(stated: GeneralTolerances) -> str:
    return ", ".join(stated.words()) or "none"


def _implied(taken: tuple[Implied, ...]) -> str:
    return _names(tuple(kind.word for kind in Implied if kind not in taken))


KEYS: Mapping[str, Key] = {
    "units": Key(values.word_of(values.UNITS), None, _or("from the file", lambda u: str(Unit(u)))),
    "rounding": Key(values.word_of(values.ROUNDINGS), Rounding.HALF_UP, str),
    "snap": Key(values.number, None, _or(".00001 in, .0001 mm", _number)),
    "near": Key(values.number, None, _or("1/32 in, .8 mm", _number)),
    "gap": Key(values.number, None, _or("1/64 in, .4 mm", _number)),
    "noise": Key(values.number, None, _or("sized from the file, at most .000001", _number)),
    "eaten-share": Key(values.share, EATEN_SHARE, str),
    "general-tolerance": Key(_listed(values.general_tolerance, values.general_tolerances), None,
                             _or("from the title block", _general)),
    "view": Key(_listed(values.view_box), (), _boxes),
    "without-layer": Key(_listed(values.name), (), _names),
    "without-layout": Key(_listed(values.name), (), _names),
    "not-implied": Key(_listed(values.word_of(values.IMPLIED), values.taken_as_implied), tuple(Implied), _implied),
    "fail-on": Key(values.word_of(values.FAILING), Level.ERROR, _or("never")),
    "fail-on-not-judged": Key(values.yes_no, False, lambda yes: "true" if yes else "false"),
    "rule-set": Key(values.rule_set, None, _or("the one in force")),
    "accepted": Key(values.path, None, _or("none")),
}  # fmt: skip

RULE = Key(values.word_of(values.RULE_LEVELS), None, str)
"""An entry of the table of rules."""


def default_words(key: str) -> str:
    """What holds without the key, in words."""
    return KEYS[key].words(KEYS[key].default)
