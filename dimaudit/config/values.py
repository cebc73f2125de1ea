"""What a user writes for a setting, read: on the command line and in a configuration file by the same functions.

Each takes what was written (or the value itself, where it was read before) and raises ValueError with what would do.
"""

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from fractions import Fraction
from typing import TypeVar

from dimaudit.exact.number import Rounding
from dimaudit.model.audit import Level
from dimaudit.model.general import GeneralTolerance, GeneralTolerances, Iso2768
from dimaudit.model.scheme import Implied
from dimaudit.model.settings import RuleLevel, ViewBox
from dimaudit.model.units import IN_MM, Unit
from dimaudit.text.toml_file import exact_float, nearest, read_number

T = TypeVar("T")

UNITS: Mapping[str, Unit] = {str(unit): unit for unit in IN_MM}
ROUNDINGS: Mapping[str, Rounding] = {str(rule): rule for rule in Rounding}
IMPLIED: Mapping[str, Implied] = {kind.word: kind for kind in Implied}
FAILING: Mapping[str, Level | None] = {**{str(level): level for level in Level}, "never": None}
RULE_LEVELS: Mapping[str, RuleLevel] = {str(level): level for level in RuleLevel}

_POWER = re.compile(r"[+-]?(?:[0-9]{1,30}\.?[0-9]{0,30}|\.[0-9]{1,30})[eE][+-]?[0-9]{1,3}")


def shown(value: object) -> str:
    """What was written, short enough for a message."""
    if isinstance(value, bool):
        return "true" if value else "false"
    text = f"'{value}'" if isinstance(value, str) else str(value)
    return text if len(text) <= 60 else f"{text[:60]}…"


def number(value: object) -> Fraction:
    """A decimal or a fraction that is not negative, exactly."""
    try:
        powered = isinstance(value, str) and _POWER.fullmatch(value.strip())
        exact = exact_float(str(value).strip()) if powered else read_number(value)
    except ValueError:
        raise ValueError(f"{shown(value)} is neither a decimal nor a fraction such as 1/64") from None
    if exact < 0:
        raise ValueError(f"{shown(value)} is negative")
    return exact


def share(value: object) -> Fraction:
    exact = number(value)
    if not 0 < exact <= 1:
        raise ValueError("must be above 0 and at most 1, as in 1/10")
    return exact


def word_of(known: Mapping[str, T]) -> Callable[[object], T]:
    """Reads one of these words."""

    def read(value: object) -> T:
        if not isinstance(value, str) or value not in known:
            raise ValueError(f"{shown(value)} is not known{nearest(shown(value).strip(chr(39)), known)}")
        return known[value]

    return read


def view_box(value: object) -> ViewBox:
    """X0,Y0,X1,Y1 with the view's scale behind an equals sign, if it is known."""
    if isinstance(value, ViewBox):
        return value
    corners, _, scale = str(value).partition("=")
    try:
        x0, y0, x1, y1 = (read_number(part) for part in corners.split(","))
        ratio = None
        if scale:
            drawn, _, true = scale.partition(":")
            ratio = read_number(drawn) / read_number(true or "1")
    except (ValueError, ZeroDivisionError):
        raise ValueError(
            f"{shown(value)} is not X0,Y0,X1,Y1 with an optional =DRAWN:TRUE, as in 0,0,200,100=2:1"
        ) from None
    if ratio is not None and ratio <= 0:
        raise ValueError(f"the scale in {shown(value)} must be above zero")
    return ViewBox((min(x0, x1), min(y0, y1)), (max(x0, x1), max(y0, y1)), ratio)


def general_tolerance(value: object) -> GeneralTolerance | Iso2768 | None:
    """One general tolerance: .XX=.01, fractions=1/64, angles=0.5, lengths=0.2, iso2768-m; or none."""
    if value is None or isinstance(value, GeneralTolerance | Iso2768):
        return value
    if not isinstance(value, str):
        raise ValueError(f"{shown(value)} is no text: write '.XX=.01', 'iso2768-m' or 'none'")
    if value.strip().lower() == "none":
        return None
    from dimaudit.judge.title_block import tolerance_by_word  # heavy; `--help` need not wait for it

    try:
        return tolerance_by_word(value)
    except ValueError as error:
        raise ValueError(f"{shown(value)}: {error}") from None


def general_tolerances(stated: Sequence[GeneralTolerance | Iso2768 | None]) -> GeneralTolerances | None:
    """General tolerances by the user's word; None where nothing was said."""
    if not stated:
        return None
    entries = tuple(e for e in stated if isinstance(e, GeneralTolerance))
    classes = tuple(e for e in stated if isinstance(e, Iso2768))
    names = [e.name for e in entries] + ["iso2768"] * len(classes)
    if None in stated and len(stated) > 1:
        raise ValueError("none leaves no room for another: drop one of them")
    if len(set(names)) < len(names):
        twice = next(name for name in names if names.count(name) > 1)
        raise ValueError(f"given twice for {twice}: drop one of them")
    return GeneralTolerances(entries, classes[0] if classes else None)


def name(value: object) -> str:
    if not isinstance(value, str) or not value.strip():
        raise ValueError(f"{shown(value)} is no name: write it between quotation marks")
    return value


def path(value: object) -> str:
    if not isinstance(value, str) or not value.strip() or "\0" in value:
        raise ValueError(f"{shown(value)} is no path: write it between quotation marks")
    return value


def yes_no(value: object) -> bool:
    if not isinstance(value, bool):
        raise ValueError(f"{shown(value)} is neither true nor false (without quotation marks)")
    return value


def rule_set(value: object) -> int:
    from dimaudit.judge.registry import RULE_SET

    if isinstance(value, bool) or not isinstance(value, int) or value < 1:
        raise ValueError(f"{shown(value)} is no rule set: write a whole number, as in {RULE_SET}")
    if value > RULE_SET:
        raise ValueError(f"{value} is newer than this tool, whose rule set is {RULE_SET}: install a newer one")
    return value


def taken_as_implied(left_out: Iterable[Implied]) -> tuple[Implied, ...]:
    """All that is taken as implied but these."""
    out = frozenset(left_out)
    return tuple(kind for kind in Implied if kind not in out)
