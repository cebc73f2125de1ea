"""Screws and the holes for them: clearance holes, heads, counterbores and countersinks.

Inch figures: ASME B18.3 (heads, drills for close and normal fit) and ASME B18.2.8 (close, normal, loose). Millimetre
figures: ISO 273 (fine, medium, coarse), ISO 4762 and ISO 10642 (heads), DIN 974-1 (counterbores). The standards are
sold; the figures were read in the handbooks and open tables that docs/sources.md names. What was only remembered is
marked so (`Known.MEMORY`), and no error may rest on it.
"""

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from dimaudit.model.units import Unit


class Known(StrEnum):
    """How well a figure is known."""

    READ = "read in a handbook or an open table"
    MEMORY = "from memory"


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure of a table, in the unit of its screw."""

    value: Fraction
    table: str
    """'ASME B18.2.8, close'."""
    known: Known = Known.READ


@dataclass(frozen=True, slots=True)
class Screw:
    """One size of screw. Lengths are in `unit`; what the tables do not have is empty or None."""

    name: str
    unit: Unit
    body: Fraction
    tight: tuple[Figure, ...]
    """The smallest usual clearance holes: close fit, fine series; one for each table."""
    wide: tuple[Figure, ...]
    """The largest usual ones: loose fit, coarse series."""
    usual: tuple[Figure, ...]
    """Normal fit, medium series."""
    head: Figure | None = None
    """Largest diameter of a socket head."""
    head_height: Figure | None = None
    counterbore: Figure | None = None
    counterbore_depth: Figure | None = None
    flat_head: Figure | None = None
    """Theoretical sharp diameter of a countersunk socket head."""
    flat_angle: int = 0
    """Included angle of that head, in degrees."""


_INCH_HEADS = """
#0    .0600  .096  .0600
#1    .0730  .118  .0730
#2    .0860  .140  .0860
#3    .0990  .161  .0990
#4    .1120  .183  .1120
#5    .1250  .205  .1250
#6    .1380  .226  .1380
#8    .1640  .270  .1640
#10   .1900  .312  .1900
1/4   .2500  .375  .2500
5/16  .3125  .469  .3125
3/8   .3750  .562  .3750
7/16  .4375  .656  .4375
1/2   .5000  .750  .5000
5/8   .6250  .938  .6250
3/4   .7500 1.125  .7500
7/8   .8750 1.312  .8750
1    1.0000 1.500 1.0000
1-1/8 1.1250 1.688 1.1250
1-1/4 1.2500 1.875 1.2500
1-3/8 1.3750 2.062 1.3750
1-1/2 1.5000 2.250 1.5000
"""
"""Screw, body, largest head diameter, head height: ASME B18.3, socket head cap screws; read in open tables."""

_INCH_CLEARANCE = """
#0    0.067    0.076    0.09375
#1    0.081    0.089    0.104
#2    0.09375  0.1015   0.116
#3    0.1065   0.116    0.1285
#4    0.12     0.1285   0.144
#5    0.140625 0.15625  0.171875
#6    0.154    0.1695   0.185
#8    0.18     0.196    0.213
#10   0.2055   0.221    0.238
1/4   0.265625 0.28125  0.296875
5/16  0.328125 0.34375  0.359375
3/8   0.390625 0.40625  0.421875
7/16  0.453125 0.46875  0.484375
1/2   0.53125  0.5625   0.609375
5/8   0.65625  0.6875   0.734375
3/4   0.78125  0.8125   0.90625
7/8   0.90625  0.9375   1.03125
1     1.03125  1.09375  1.15625
1-1/8 1.15625  1.21875  1.3125
1-1/4 1.28125  1.34375  1.4375
1-3/8 1.4375   1.5      1.609375
1-1/2 1.5625   1.625    1.734375
"""
"""Screw, close, normal, loose drill: ASME B18.2.8; an open table, the loose column also in Machinery's Handbook,
31st edition, p. 1741 (all but #10)."""

_INCH_SOCKET_HOLES = """
#0    0.067    0.073    0.125   m
#1    0.081    0.089    0.15625 m
#2    0.09375  0.1065   0.1875  r
#3    0.1065   0.12     0.21875 m
#4    0.125    0.136    0.21875 m
#5    0.140625 0.154    0.25    m
#6    0.154    0.1695   0.28125 r
#8    0.18     0.1935   0.3125  r
#10   0.2055   0.221    0.375   r
1/4   0.265625 0.28125  0.4375  r
5/16  0.328125 0.34375  0.53125 r
3/8   0.390625 0.40625  0.625   r
7/16  0.453125 0.46875  0.71875 r
1/2   0.515625 0.53125  0.8125  r
5/8   0.640625 0.65625  1       r
3/4   0.765625 0.78125  1.1875  r
7/8   0.890625 0.90625  1.375   r
1     1.015625 1.03125  1.625   r
1-1/4 1.28125  1.3125   2       m
1-1/2 1.53125  1.5625   2.375   m
"""
"""Screw, close and normal drill, counterbore, and whether the drills were read (r) or remembered (m): ASME B18.3.
For #4 the tables differ (.136 and .144), so it counts as remembered. All counterbores are from memory: shops vary."""

_METRIC = """
M1.6  1.7  1.8  2    3.0 1.6 3.5 1.7
M2    2.2  2.4  2.6  3.8 2   4.3 2.1
M2.5  2.7  2.9  3.1  4.5 2.5 5   3.0
M3    3.2  3.4  3.6  5.5 3   6   3.4
M3.5  3.7  3.9  4.2  -   -   6.5 -
M4    4.3  4.5  4.8  7   4   8   4.4
M5    5.3  5.5  5.8  8.5 5   10  5.4
M6    6.4  6.6  7    10  6   11  6.4
M7    7.4  7.6  8    -   -   -   -
M8    8.4  9    10   13  8   15  8.6
M10   10.5 11   12   16  10  18  10.6
M12   13   13.5 14.5 18  12  20  12.6
M14   15   15.5 16.5 21  14  24  14.6
M16   17   17.5 18.5 24  16  26  16.6
M18   19   20   21   -   -   30  -
M20   21   22   24   30  20  33  20.6
M22   23   24   26   -   -   36  -
M24   25   26   28   36  24  40  24.8
M27   28   30   32   -   -   -   -
M30   31   33   35   45  30  50  31
M33   34   36   38   -   -   54  -
M36   37   39   42   54  36  58  37
"""
"""Thread; fine, medium, coarse (ISO 273); largest head diameter, head height (ISO 4762); counterbore diameter and
depth (DIN 974-1; for M3 another table has 6.5)."""

_OTHER_ISO_273 = {"M12": "13 14 15", "M14": "15 16 17", "M16": "17 18 19"}
"""Another open table prints these for fine, medium, coarse: both are taken as usual."""

_FLAT_INCH = """
#0 .138  #1 .168  #2 .197  #3 .226  #4 .255  #5 .281  #6 .307  #8 .359  #10 .411  1/4 .531  5/16 .656  3/8 .781
7/16 .844  1/2 .938  5/8 1.188  3/4 1.438
"""
"""Theoretical sharp head diameter of 82° flat head socket screws: ASME B18.3; read in an open table."""
_FLAT_METRIC = "M3 6.72  M4 8.96  M5 11.2  M6 13.44  M8 17.92  M10 22.4  M12 26.88  M16 33.6  M20 40.32"
"""The same for 90° heads: ISO 10642; read in an open table."""


def screw_of(diameter: Fraction, unit: Unit) -> Screw | None:
    """The screw with that nominal diameter, in inches or millimetres; None where the tables do not have it."""
    return _BY_SIZE.get((diameter, unit))


def _rows(table: str) -> list[list[str]]:
    return [line.split() for line in table.strip().splitlines()]


def _pairs(table: str) -> dict[str, Fraction]:
    words = table.split()
    return {name: Fraction(value) for name, value in zip(words[::2], words[1::2], strict=True)}


def _inch() -> list[Screw]:
    clearance = {name: tuple(map(Fraction, rest)) for name, *rest in _rows(_INCH_CLEARANCE)}
    socket = {name: rest for name, *rest in _rows(_INCH_SOCKET_HOLES)}
    flat = _pairs(_FLAT_INCH)
    made = []
    for name, body, head, height in _rows(_INCH_HEADS):
        close, normal, loose = clearance[name]
        tight = [Figure(close, "ASME B18.2.8, close")]
        usual = [Figure(normal, "ASME B18.2.8, normal")]
        bore = None
        if name in socket:
            known = Known.READ if socket[name][3] == "r" else Known.MEMORY
            tight.append(Figure(Fraction(socket[name][0]), "ASME B18.3, close", known))
            usual.append(Figure(Fraction(socket[name][1]), "ASME B18.3, normal", known))
            bore = Figure(Fraction(socket[name][2]), "ASME B18.3, counterbore", Known.MEMORY)
        made.append(
            Screw(
                name, Unit.INCH, Fraction(body), tuple(tight),
                (Figure(loose, "ASME B18.2.8, loose"),), tuple(usual),
                Figure(Fraction(head), "ASME B18.3, largest head diameter"),
                Figure(Fraction(height), "ASME B18.3, head height"),
                bore, None,
                Figure(flat[name], "ASME B18.3, sharp diameter of the flat head") if name in flat else None,
                82 if name in flat else 0,
            )
        )  # fmt: skip
    return made


def _metric() -> list[Screw]:
    flat = _pairs(_FLAT_METRIC)

    def figure(text: str, table: str) -> Figure | None:
        return None if text == "-" else Figure(Fraction(text), table)

    made = []
    for name, *texts in _rows(_METRIC):
        fits = [texts[:3]] + ([_OTHER_ISO_273[name].split()] if name in _OTHER_ISO_273 else [])
        tight, usual, wide = (
            tuple(Figure(Fraction(fit[k]), f"ISO 273, {series}") for fit in fits)
            for k, series in enumerate(("fine", "medium", "coarse"))
        )
        made.append(
            Screw(
                name, Unit.MILLIMETRE, Fraction(name[1:]), tight, wide, usual,
                figure(texts[3], "ISO 4762, largest head diameter"),
                figure(texts[4], "ISO 4762, head height"),
                figure(texts[5], "DIN 974-1, counterbore"),
                figure(texts[6], "DIN 974-1, counterbore depth"),
                Figure(flat[name], "ISO 10642, sharp diameter of the head") if name in flat else None,
                90 if name in flat else 0,
            )
        )  # fmt: skip
    return made


SCREWS: tuple[Screw, ...] = (*_inch(), *_metric())
_BY_SIZE = {(screw.body, screw.unit): screw for screw in SCREWS}
