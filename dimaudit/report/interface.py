"""What a report format is given and what it is."""

from collections.abc import Callable
from dataclasses import dataclass

from dimaudit.model.audit import Report
from dimaudit.model.seen import Seen
from dimaudit.model.settings import Settings
from dimaudit.model.units import Unit

CAUTION = (
    "This audit covers what the file states. It is no release approval: verify before cutting metal; general "
    "tolerances, local codes, contract standards and licensed engineering judgement prevail."
)

UNIT_WORDS = {
    Unit.INCH: "inches",
    Unit.FOOT: "feet",
    Unit.MILLIMETRE: "millimetres",
    Unit.CENTIMETRE: "centimetres",
    Unit.METRE: "metres",
}


def numbers_in(unit: Unit | None) -> str:
    """What the numbers of a report are in, where it does not say so at each."""
    return "lengths in the drawing's own unit, which is not known" if unit is None else f"lengths in {UNIT_WORDS[unit]}"


@dataclass(frozen=True, slots=True)
class Run:
    """A run with what steered it."""

    report: Report
    settings: Settings
    version: str
    seen: tuple[Seen, ...] = ()
    """One for each drawing of the report; empty unless the format shows drawings (`formats.SHOWING`)."""


Format = Callable[[Run], str]
"""A whole run to the text of one file."""
