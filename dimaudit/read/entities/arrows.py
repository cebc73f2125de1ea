"""The format's own arrow blocks, which stand at the ends of exploded dimension lines."""

from fractions import Fraction
from math import hypot

from dimaudit.exact.number import exact
from dimaudit.model.drawing import Arrowhead, Origin
from dimaudit.read.affine import Affine

_POINTED = ("CLOSEDFILLED", "CLOSEDBLANK", "CLOSED", "OPEN", "OPEN90", "OPEN30", "DATUMFILLED", "DATUMBLANK")
_BLUNT = (
    "OBLIQUE", "ARCHTICK", "DOT", "DOTSMALL", "DOTBLANK", "SMALL", "ORIGIN", "ORIGIN2", "BOXFILLED", "BOXBLANK",
    "INTEGRAL", "NONE",
)  # fmt: skip
ARROWS = {f"_{name}": pointed for names, pointed in ((_POINTED, True), (_BLUNT, False)) for name in names}
"""Names of the blocks, and whether the arrow points (DXF reference, DIMBLK)."""


def arrowhead(name: str, placed: Affine, origin: Origin) -> Arrowhead:
    """The arrow of a placed block: in the definition the tip is at the origin, the body one unit long toward -x."""
    zero, one = placed((Fraction(0), Fraction(0))), placed((Fraction(1), Fraction(0)))
    way = (one[0] - zero[0], one[1] - zero[1])
    return Arrowhead(origin, zero, way if ARROWS[name.upper()] else None, exact(hypot(float(way[0]), float(way[1]))))
