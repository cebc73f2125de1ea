"""What a situation is: a small drawing, and what the audit must say about it."""

from collections.abc import Callable
from dataclasses import dataclass, field
from fractions import Fraction

from rule_board import Board

from dimaudit.model.audit import Level
from dimaudit.model.settings import Settings


@dataclass(frozen=True)
class Says:
    """One finding that must be there, to the letter where it matters."""

    rule: str
    level: Level
    handles: tuple[str, ...]
    why: str = ""
    """Words that one of its reasons must hold."""
    measured: Fraction | None = None
    """The exact measured value of the (first) dimension."""


@dataclass(frozen=True)
class Drawing:
    """A board, and every finding it must give. Notes that nothing is tied are left out: most drawings here are not."""

    board: Board
    says: tuple[Says, ...] = ()
    settings: Settings = field(default_factory=Settings)
    measured: tuple[tuple[str, Fraction], ...] = ()
    """Handles and exact values of dimensions that are silent."""
    losses: tuple[str, ...] = ()
    """What the reader must say it left out; nothing, for most."""


@dataclass(frozen=True)
class Case:
    """A named situation of one rule: it fires, or it nearly does and must not."""

    rule: str
    fires: bool
    build: Callable[[], Drawing]

    def __str__(self) -> str:
        return f"{self.rule}: {self.build.__name__.replace('_', ' ')}"


ABOUT_THE_WHOLE = ("chain-does-not-close", "closed-chain", "repeated-dimension", "not-located", "not-sized")
"""Rules about all dimensions of a part together. The small drawings of other rules are hardly dimensioned on purpose:
what these rules say there is looked at in their own situations only."""

CASES: list[Case] = []


def fires(rule: str) -> Callable[[Callable[[], Drawing]], Callable[[], Drawing]]:
    """Registers a drawing on which the rule speaks."""

    def note(build: Callable[[], Drawing]) -> Callable[[], Drawing]:
        CASES.append(Case(rule, True, build))
        return build

    return note


def silent(rule: str) -> Callable[[Callable[[], Drawing]], Callable[[], Drawing]]:
    """Registers a drawing that nearly sets the rule off, and must not."""

    def note(build: Callable[[], Drawing]) -> Callable[[], Drawing]:
        CASES.append(Case(rule, False, build))
        return build

    return note
