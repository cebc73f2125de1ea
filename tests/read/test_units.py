"""The drawing's unit, and what said so."""

from collections.abc import Callable
from pathlib import Path

import pytest

from dimaudit.model.settings import Settings
from dimaudit.model.units import Unit
from read.sketch import Sketch

Say = Callable[[Sketch], object]


def silent(s: Sketch) -> None:
    """$MEASUREMENT left out: the file says nothing of its units."""
    if "$MEASUREMENT" in s.doc.header:
        del s.doc.header["$MEASUREMENT"]


def header(insunits: int | None = None, measurement: int | None = None) -> Say:
    def say(s: Sketch) -> None:
        silent(s)
        if insunits is not None:
            s.doc.header["$INSUNITS"] = insunits
        if measurement is not None:
            s.doc.header["$MEASUREMENT"] = measurement

    return say


def note(text: str) -> Say:
    return lambda s: s.into.add_text(text)


def size(text: str | None = None, **style: object) -> Say:
    return lambda s: s.across((0, 0), (4, 0), style=style, **({} if text is None else {"text": text}))


def all_of(*said: Say) -> Say:
    def say(s: Sketch) -> None:
        silent(s)
        for one in said:
            one(s)

    return say


CASES: list[tuple[str, Say, Unit | None, str]] = [
    ("inches by the header", header(1), Unit.INCH, "$INSUNITS"),
    ("feet by the header", header(2), Unit.FOOT, "$INSUNITS"),
    ("millimetres by the header", header(4), Unit.MILLIMETRE, "$INSUNITS"),
    ("centimetres by the header", header(5), Unit.CENTIMETRE, "$INSUNITS"),
    ("metres by the header", header(6), Unit.METRE, "$INSUNITS"),
    ("millimetres by the header, imperial templates", header(4, 0), Unit.MILLIMETRE, "$INSUNITS"),
    ("the header outranks a note", all_of(header(1), note("ALL DIMENSIONS IN MM")), Unit.INCH, "$INSUNITS"),
    ("miles are no unit of a shop", header(3, 1), Unit.MILLIMETRE, "$INSUNITS is 3; inferred: $MEASUREMENT"),
    ("a note in millimetres", all_of(note("ALL DIMENSIONS IN MM")), Unit.MILLIMETRE, "a note"),
    ("a note in full", all_of(note("Sizes are millimetres")), Unit.MILLIMETRE, "a note"),
    ("a note in inches", all_of(note("DIMENSIONS ARE IN INCHES")), Unit.INCH, "a note"),
    ("no note: a word that only ends so", all_of(note("CLAMM"), header(0, 0)), Unit.INCH, "$MEASUREMENT"),
    ("fractions", all_of(size(dimlunit=5)), Unit.INCH, "fractions"),
    ("feet and inches", all_of(size(dimlunit=4)), Unit.INCH, "fractions"),
    ("texts say mm", all_of(size("12 mm")), Unit.MILLIMETRE, "texts say mm"),
    ("texts say inches", all_of(size('4"')), Unit.INCH, "texts say inches"),
    ("no leading zero", all_of(size(dimzin=4)), Unit.INCH, "no zero"),
    ("commas", all_of(size(dimdsep=44)), Unit.MILLIMETRE, "comma"),
    ("metric templates", header(0, 1), Unit.MILLIMETRE, "$MEASUREMENT is metric"),
    ("imperial templates", header(0, 0), Unit.INCH, "$MEASUREMENT is imperial"),
    ("a note outranks fractions", all_of(note("SIZES MM"), size(dimlunit=5)), Unit.MILLIMETRE, "a note"),
    ("nothing at all", header(0), None, "nothing in the file names a unit"),
]  # fmt: skip


@pytest.mark.parametrize(("say", "unit", "reason"), [c[1:] for c in CASES], ids=[c[0] for c in CASES])
def test_the_unit_comes_with_its_reason(tmp_path: Path, say: Say, unit: Unit | None, reason: str) -> None:
    """The unit is taken from the header, else from what else the file says, and always with the reason."""
    sketch = Sketch(None)
    say(sketch)
    drawing = sketch.read(tmp_path)
    assert drawing.unit is unit
    assert reason in drawing.unit_from
    assert drawing.unit_from.count("inferred") == (reason not in ("$INSUNITS", "nothing in the file names a unit"))


@pytest.mark.parametrize("unit", [Unit.INCH, Unit.MILLIMETRE, Unit.METRE])
def test_the_users_word_outranks_the_file(tmp_path: Path, unit: Unit) -> None:
    """A unit set by the user is the unit, whatever the file says."""
    drawing = Sketch(Unit.FOOT).read(tmp_path, Settings(unit=unit))
    assert (drawing.unit, drawing.unit_from) == (unit, "set by the user")
