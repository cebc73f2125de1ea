"""Faults of the linework, on both sides of the length that decides.

The lengths: snap 0.00001 in and 0.0001 mm, gap 1/64 in and 0.4 mm, a quarter of a degree for nearly level lines
(common practice, no source).
"""

from collections.abc import Callable
from fractions import Fraction
from math import radians, tan
from pathlib import Path

import pytest
from read.sketch import Sketch

from dimaudit.model.geometry import FaultKind, LineworkFault
from dimaudit.model.settings import Settings
from dimaudit.model.units import Unit

F = Fraction
X = FaultKind
SLOPE = tan(radians(0.25))

Draw = Callable[[Sketch], object]


def gap(width: str) -> Draw:
    """A rectangle of 4 by 3 whose last edge stops short."""
    return lambda s: s.chain((0, 0), (4, 0), (4, 3), (0, 3), (0, F(width)))


def doubled(off: str, layer: str = "0", linetype: str = "BYLAYER") -> Draw:
    def draw(s: Sketch) -> None:
        s.rect(0, 0, 4, 3)
        s.line((4, F(off)), (0, F(off)), layer=layer, linetype=linetype)

    return draw


def overlapping(start: str, end: str, off: str = "0") -> Draw:
    def draw(s: Sketch) -> None:
        s.rect(0, 0, 4, 3)
        s.line((F(start), F(off)), (F(end), F(off)))

    return draw


def tilted(rise: float) -> Draw:
    return lambda s: s.chain((0, 0), (4, 0), (4, 3), (0, 3 + rise), (0, 0))


def concentric(off: str, inner: str = "1/2", outer: str = "1") -> Draw:
    def draw(s: Sketch) -> None:
        s.rect(0, 0, 4, 3)
        s.circle((2, F(3, 2)), outer)
        s.circle((2 + F(off), F(3, 2)), inner)

    return draw


def with_line(a: tuple[str, str], b: tuple[str, str]) -> Draw:
    def draw(s: Sketch) -> None:
        s.rect(0, 0, 4, 3)
        s.line(a, b)

    return draw


def two_circles(off: str) -> Draw:
    def draw(s: Sketch) -> None:
        s.rect(0, 0, 4, 3)
        for x in (F(2), 2 + F(off)):
            s.circle((x, F(3, 2)), 1)

    return draw


def two_arcs(s: Sketch) -> None:
    s.chain((0, 0), (4, 0), (4, 3), (0, 3), (0, 0))
    for _ in range(2):
        s.arc((2, F(3, 2)), 1, 0, 90)


def t_joint(s: Sketch) -> None:
    """A rib that stops on the inside of an edge is no open end."""
    s.rect(0, 0, 4, 3)
    s.line((2, 0), (2, 3))


CASES: list[tuple[str, Draw, list[tuple[FaultKind, Fraction | None]]]] = [
    ("a closed outline", gap("0"), []),
    ("ends within the snap distance meet", gap("0.000009"), []),
    ("a gap just above the snap distance", gap("0.00002"), []),
    ("a gap of 0.001", gap("0.001"), [(X.GAP, F(1, 10**6))]),
    ("a gap of 0.0156", gap("0.0156"), [(X.GAP, F("0.0156") ** 2)]),
    ("an opening wider than a 64th", gap("0.0157"), []),
    ("a rib", t_joint, []),
    ("an edge drawn twice", doubled("0"), [(X.DUPLICATE, F(0))]),
    ("a hidden edge under a visible one", doubled("0", linetype="HIDDEN"), []),
    ("a centreline on an edge", doubled("0", linetype="CENTER"), []),
    ("a second edge 0.001 away, from edge to edge", doubled("0.001"), []),
    ("a circle drawn twice", two_circles("0"), [(X.DUPLICATE, F(0))]),
    ("an arc drawn twice", two_arcs, [(X.DUPLICATE, F(0))]),
    ("a line on a part of an edge", overlapping("1", "2"), [(X.OVERLAP, F(1))]),
    ("a line that runs past an edge", overlapping("3", "6"), [(X.OVERLAP, F(1))]),
    ("a line that goes on where an edge ends", overlapping("4", "6"), []),
    ("a line beside an edge", overlapping("1", "2", "0.001"), []),
    ("a line of no length", with_line(("1", "1"), ("1", "1")), [(X.ZERO_LENGTH, F(0))]),
    ("a line shorter than the snap distance", with_line(("1", "1"), ("1.000005", "1")), [(X.ZERO_LENGTH, F(0))]),
    ("a short line", with_line(("1", "1"), ("1.001", "1")), []),
    ("an edge off level by 0.001", tilted(0.001), [(X.NEARLY_LEVEL, F(1, 1000))]),
    ("an edge off level by less than the snap distance", tilted(0.000009), []),
    ("an edge just under a quarter of a degree", tilted(round(4 * SLOPE * 0.99, 6)), [(X.NEARLY_LEVEL, None)]),
    ("an edge just over a quarter of a degree", tilted(round(4 * SLOPE * 1.01, 6)), []),
    ("circles about one centre", concentric("0"), []),
    ("centres within the snap distance", concentric("0.000009"), []),
    ("centres 0.001 apart", concentric("0.001"), [(X.NEARLY_CONCENTRIC, F(1, 10**6))]),
    ("centres 0.0156 apart", concentric("0.0156"), [(X.NEARLY_CONCENTRIC, F("0.0156") ** 2)]),
    ("centres further apart than a 64th", concentric("0.0157"), []),
    ("circles that cross are no counterbore", two_circles("0.01"), []),
]


def faults(draw: Draw, tmp_path: Path, unit: Unit = Unit.INCH, settings: Settings | None = None) -> list[LineworkFault]:
    sketch = Sketch(unit)
    for name in ("CENTER", "HIDDEN"):
        sketch.doc.linetypes.add(name, [0.5, 0.25, -0.25])
    draw(sketch)
    sketch.upright((4, 0), (4, 3), 5)
    return list(sketch.geometry(tmp_path, settings).faults)


@pytest.mark.parametrize(("draw", "wanted"), [c[1:] for c in CASES], ids=[c[0] for c in CASES])
def test_a_fault_is_found_and_nothing_else(
    tmp_path: Path, draw: Draw, wanted: list[tuple[FaultKind, Fraction | None]]
) -> None:
    """Linework has exactly the faults that it was drawn with, each with its exact amount."""
    found = faults(draw, tmp_path)
    assert sorted(f.kind for f in found) == sorted(kind for kind, _ in wanted)
    for fault, (_, amount) in zip(found, wanted, strict=True):
        assert amount is None or fault.amount == amount


METRIC = [
    ("a gap of 0.39 mm", gap("0.39"), [X.GAP]),
    ("an opening of 0.41 mm", gap("0.41"), []),
    ("centres 0.39 mm apart", concentric("0.39"), [X.NEARLY_CONCENTRIC]),
    ("centres 0.00009 mm apart", concentric("0.00009"), []),
]


@pytest.mark.parametrize(("draw", "wanted"), [c[1:] for c in METRIC], ids=[c[0] for c in METRIC])
def test_the_lengths_that_decide_are_metric_in_a_metric_drawing(
    tmp_path: Path, draw: Draw, wanted: list[FaultKind]
) -> None:
    """A drawing in millimetres is judged by the lengths in millimetres."""
    assert [f.kind for f in faults(draw, tmp_path, Unit.MILLIMETRE)] == wanted


def test_the_lengths_that_decide_can_be_set(tmp_path: Path) -> None:
    """A wider gap by the user's word finds a wider opening."""
    assert [f.kind for f in faults(gap("0.05"), tmp_path)] == []
    assert [f.kind for f in faults(gap("0.05"), tmp_path, settings=Settings(gap=F(1, 16)))] == [X.GAP]


def test_a_steep_line_is_nearly_upright(tmp_path: Path) -> None:
    """A line that leans a little from the vertical is said to be meant vertical, with how far it leans."""
    (fault,) = faults(lambda s: s.chain((0, 0), (4, 0), (4, 3), ("0.001", 3), (0, 0)), tmp_path)
    assert (fault.kind, fault.detail, fault.amount) == (X.NEARLY_LEVEL, "vertical", F(1, 1000))


def test_sheet_furniture_has_no_faults(tmp_path: Path) -> None:
    """A border drawn twice around the view cuts no metal: nothing is said of it."""

    def draw(s: Sketch) -> None:
        s.rect(0, 0, 4, 3)
        for _ in range(2):
            s.rect(-9, -9, 30, 30)

    assert faults(draw, tmp_path) == []
