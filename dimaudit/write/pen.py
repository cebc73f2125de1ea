"""Plain entities as new tags, in the form of a file's version (DXF reference: LINE, CIRCLE, TEXT, common groups).

LINE, CIRCLE and TEXT are all that a mark needs, and every version of the format has them.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from enum import Enum

from dimaudit.model.marks import MARK_APP, MARK_WORD
from dimaudit.write.tags import New
from dimaudit.write.words import ascii_only

Spot = tuple[float, float]
WIDTH = 0.7
"""Width factor of the letters: texts of a table stand near to one another."""
ADVANCE = WIDTH
"""From letter to letter, as a share of the height: that of a plain stroke font, the widest that is in use (common
practice, no source). In a narrower font there is some blank left."""


class Anchor(Enum):
    """Which spot of a text is given: groups 72 and 73 (DXF reference, TEXT)."""

    BEGIN = (0, 0)
    """On the base line."""
    END = (2, 0)
    """On the base line."""
    MIDDLE = (1, 2)


@dataclass(slots=True)
class Pen:
    """Draws into one layout. The entities gather in `tags`."""

    layer: str
    old: bool
    """No subclass markers: DXF R12 and before."""
    unicode: bool
    """The file is in UTF-8; else in a codepage, and the marks are in ASCII."""
    handles: Iterator[str] | None
    """New handles; None where the file's entities have none."""
    owner: str
    """Handle of the layout's block record; empty where the file has none."""
    paper: bool
    tags: list[New] = field(default_factory=list)

    def line(self, a: Spot, b: Spot) -> None:
        self._entity("LINE", "AcDbLine", [*_point(10, a), *_point(11, b)])

    def ring(self, spots: Sequence[Spot]) -> None:
        """A closed outline."""
        for a, b in zip(spots, [*spots[1:], spots[0]], strict=True):
            self.line(a, b)

    def circle(self, centre: Spot, radius: float) -> None:
        self._entity("CIRCLE", "AcDbCircle", [*_point(10, centre), (40, float(radius))])

    def text(self, words: str, at: Spot, height: float, anchor: Anchor = Anchor.BEGIN) -> None:
        """A harmless text that has its anchor at `at`."""
        coded = words if self.unicode else ascii_only(words)
        groups: list[New] = [*_point(10, at), (40, float(height)), (1, coded), (41, WIDTH)]
        across, up = anchor.value
        if across:
            groups += [(72, across), *_point(11, at)]
        if not self.old:
            groups.append((100, "AcDbText"))
        if up:
            groups.append((73, up))
        self._entity("TEXT", "AcDbText", groups)

    def _entity(self, kind: str, subclass: str, groups: Sequence[New]) -> None:
        self.tags.append((0, kind))
        if self.handles is not None:
            self.tags.append((5, next(self.handles)))
        if self.owner and not self.old:
            self.tags.append((330, self.owner))
        if not self.old:
            self.tags.append((100, "AcDbEntity"))
        if self.paper:
            self.tags.append((67, 1))
        self.tags.append((8, self.layer))
        if not self.old:
            self.tags.append((100, subclass))
        self.tags += [*groups, (1001, MARK_APP), (1000, MARK_WORD)]


def _point(code: int, at: Spot) -> list[New]:
    return [(code, float(at[0])), (code + 10, float(at[1])), (code + 20, 0.0)]
