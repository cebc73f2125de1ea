"""How findings are numbered, and the sign on the entities of a marked copy by which the reader knows them."""

from collections.abc import Sequence
from dataclasses import dataclass

from dimaudit.model.audit import Finding, Level

MARK_APP = "DIMAUDIT"
"""Application name (group 1001) of the extended data on each mark. The layer's name is free to change; this is not."""
MARK_WORD = "audit mark: no part of the print"
"""The text (group 1000) that follows."""


@dataclass(frozen=True, slots=True)
class Numbered:
    """A finding with its number, the same in every report of one drawing."""

    number: int
    finding: Finding

    @property
    def label(self) -> str:
        """The level's letter and the number: 'E7'."""
        return f"{self.finding.level.value[0].upper()}{self.number}"


def numbered(findings: Sequence[Finding]) -> list[Numbered]:
    """The worst first, else in the order of the report; numbers run through all levels."""
    order = list(Level)
    ranked = sorted(findings, key=lambda f: order.index(f.level))
    return [Numbered(n, f) for n, f in enumerate(ranked, 1)]
