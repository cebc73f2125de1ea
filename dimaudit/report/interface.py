"""What a report format is given and what it is."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Protocol

from dimaudit.model.audit import Report, RuleFault
from dimaudit.model.record import Result, Tally, Totals
from dimaudit.model.seen import Seen
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
    """A run whose drawings are all at hand; for a format that shows them."""

    report: Report
    version: str
    seen: tuple[Seen, ...] = ()
    """One for each drawing of the report."""
    accepted: tuple[int, ...] = ()
    """How many findings of each drawing are not in it, since they were accepted; empty for none."""
    remarks: tuple[str, ...] = ()
    """As `Totals.remarks`."""


class Format(Protocol):
    """A report in the making: text for each drawing as it comes, so that none need be kept.

    Each call returns the next piece of the report; the pieces joined are the whole.
    """

    def begin(self) -> str: ...

    def drawing(self, result: Result) -> str: ...

    def end(self, totals: Totals) -> str | Iterable[str]: ...


def pieces_at_end(report: Format, totals: Totals) -> Iterable[str]:
    """What a report ends with: one piece, or several where that is most of the report."""
    ending = report.end(totals)
    return (ending,) if isinstance(ending, str) else ending


def whole(report: Format, results: Iterable[Result], faults: Iterable[RuleFault] = ()) -> str:
    """A report of drawings that are all at hand."""
    tally = Tally()
    pieces = [report.begin()]
    for result in results:
        tally.add(result)
        pieces.append(report.drawing(result))
    return "".join([*pieces, *pieces_at_end(report, tally.totals(faults))])
