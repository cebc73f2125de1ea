"""The tolerance in force for one dimension: its limits and what says so."""

from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from read.sketch import Sketch, audited
from rules.rule_board import Board, judgement_of

from dimaudit.model.audit import InForce
from dimaudit.model.general import Form, GeneralTolerance, GeneralTolerances, Iso2768
from dimaudit.model.settings import Settings
from dimaudit.model.units import Unit

F = Fraction
BY_USER = "set by the user"


def entry(form: Form, size: str, places: int | None = None, unit: Unit | None = None) -> GeneralTolerance:
    return GeneralTolerance(form, F(size), -F(size), places, unit, BY_USER)


TABLE = GeneralTolerances(
    (
        entry(Form.PLACES, "0.1", 1), entry(Form.PLACES, "0.01", 2), entry(Form.FRACTIONS, "1/64"),
        entry(Form.ANGLES, "0.5"),
    )
)  # fmt: skip
MEDIUM = GeneralTolerances((), Iso2768("m", BY_USER))
HALF_MM = GeneralTolerances((entry(Form.LENGTHS, "0.5", None, Unit.MILLIMETRE),))


def force(
    tmp_path: Path, text: str, general: GeneralTolerances, unit: Unit | None = Unit.MILLIMETRE, size: str = "25",
    **style: Any,
) -> InForce | None:  # fmt: skip
    sketch = Sketch(unit)
    sketch.rect(0, 0, F(size), 40)
    sketch.across((0, 0), (F(size), 0), text=text, style=style)
    (judgement,) = audited(sketch.save(tmp_path), Settings(general=general)).judgements
    return judgement.in_force


BOTH = "a hole and a shaft, and one number for both"
SMALL = "below 1/2 mm it has to stand beside the size"
WHICH = [
    # text, general, unit, size, source, lower, upper
    ("25.00", TABLE, Unit.MILLIMETRE, "25", "general tolerance .XX ±0.01 (set by the user)", "24.99", "25.01"),
    ("25.0", TABLE, Unit.MILLIMETRE, "25", "general tolerance .X ±0.1 (set by the user)", "24.9", "25.1"),
    ("2 1/2", TABLE, Unit.INCH, "2.5", "general tolerance fractions ±1/64 (set by the user)", "159/64", "161/64"),
    ("25.000", TABLE, Unit.MILLIMETRE, "25", "general tolerance: none is stated for 3 decimals", None, None),
    ("25.00 %%p0.2", TABLE, Unit.MILLIMETRE, "25", "its own", "24.8", "25.2"),
    ("25.2-24.8", TABLE, Unit.MILLIMETRE, "25", "its own", "24.8", "25.2"),
    ("(25.00)", TABLE, Unit.MILLIMETRE, "25", "reference: none", None, None),
    ("25.00 BSC", TABLE, Unit.MILLIMETRE, "25", "basic: no tolerance of its own", None, None),
    ("25.00 MAX", TABLE, Unit.MILLIMETRE, "25", "MAX", None, "25"),
    ("25.00 MIN", TABLE, Unit.MILLIMETRE, "25", "MIN", "25", None),
    ("25 H7", TABLE, Unit.MILLIMETRE, "25", "ISO 286-1 H7", "25", "25.021"),
    ("25 g6", TABLE, Unit.MILLIMETRE, "25", "ISO 286-1 g6", "24.980", "24.993"),
    ("1.000 H7", TABLE, Unit.INCH, "1", "ISO 286-1 H7", "1", str(1 + F(21, 25400))),
    ("25 H7/g6", TABLE, Unit.MILLIMETRE, "25", f"ISO 286-1 H7/g6: {BOTH}", None, None),
    ("25 z8", TABLE, Unit.MILLIMETRE, "25", "ISO 286-1 z8: not known, class z8 is not in the tables here", None, None),
    ("25", MEDIUM, Unit.MILLIMETRE, "25", "ISO 2768-1 m", "24.8", "25.2"),
    ("R3", MEDIUM, Unit.MILLIMETRE, "3", "ISO 2768-1 m", "2.8", "3.2"),
    ("2 X 45%%d", MEDIUM, Unit.MILLIMETRE, "2", "ISO 2768-1 m", "1.8", "2.2"),
    ("0.4", MEDIUM, Unit.MILLIMETRE, "0.4", f"ISO 2768-1 m: none, {SMALL}", None, None),
    ("1.00", MEDIUM, Unit.INCH, "1", "ISO 2768-1 m", str(1 - F(2, 254)), str(1 + F(2, 254))),
    ("25", HALF_MM, Unit.MILLIMETRE, "25", "general tolerance lengths ±0.5 mm (set by the user)", "24.5", "25.5"),
    ("1.00", HALF_MM, Unit.INCH, "1", "general tolerance lengths ±0.5 mm (set by the user)", "249/254", "259/254"),
    ("25.4 mm", TABLE, Unit.INCH, "1", "general tolerance: not known, the number is in a unit of its own", None, None),
]  # fmt: skip


@pytest.mark.parametrize(("text", "general", "unit", "size", "source", "lower", "upper"), WHICH)
def test_what_is_in_force(
    tmp_path: Path, text: str, general: GeneralTolerances, unit: Unit, size: str, source: str,
    lower: str | None, upper: str | None,
) -> None:  # fmt: skip
    """The first that applies: its own, its class, decimals as written, all lengths, ISO 2768-1."""
    ends = [None if q is None else F(q) for q in (lower, upper)]
    assert force(tmp_path, text, general, unit, size) == InForce(source, *ends)


def test_without_a_word_nothing_is_in_force(tmp_path: Path) -> None:
    """No tolerance is made up."""
    assert force(tmp_path, "25.00", GeneralTolerances()) is None


@pytest.mark.parametrize(("size", "minutes"), [(8.0, 60), (40.0, 30), (100.0, 20)])
def test_angles_of_a_class_go_by_the_shorter_side(tmp_path: Path, size: float, minutes: int) -> None:
    """ISO 2768-1 m: up to 10 mm 1°, up to 50 mm 30', up to 120 mm 20'; the other side is longer."""
    board = Board(metric=True)
    board.path((0, 0), (2 * size, 0), (2 * size, size), (0, 2 * size), close=False)
    board.line((0, 0), (0, size))
    d = board.angle(((0, 0), (2 * size, 0)), ((0, 0), (0, size)), (size / 2, size / 2))
    audit = board.audit(tmp_path, Settings(general=MEDIUM))
    found = judgement_of(audit, d).in_force
    assert found is not None
    assert (found.lower, found.upper) == (90 - F(minutes, 60), 90 + F(minutes, 60))


def test_numbers_that_dimlfac_converts_are_in_the_other_unit(tmp_path: Path) -> None:
    """A drawing in inches with DIMLFAC 25.4 is dimensioned in millimetres: 25 H7 is +0.021/0 as it stands."""
    found = force(tmp_path, "25.4 H7", TABLE, Unit.INCH, "1", dimlfac=25.4)
    assert found == InForce("ISO 286-1 H7", F("25.4"), F("25.421"))
