"""What is typed on a dimension against what it is drawn on: last places, symbols, steps, limits and causes.

Each case is one dimension over two features; the expected number is worked out by hand.
"""

from collections.abc import Callable
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from read.sketch import Sketch, audited, of_handle

from dimaudit.model.audit import DrawingAudit, Verdict
from dimaudit.model.drawing import Kind
from dimaudit.model.units import Unit

F = Fraction
V = Verdict
DECIMAL = {"dimlunit": 2, "dimdec": 3}
EIGHTHS = {"dimlunit": 5, "dimdec": 3}


def slot(tmp_path: Path, width: Fraction, text: str, style: dict[str, Any], unit: Unit = Unit.INCH) -> DrawingAudit:
    """A plate of this width with its width typed on it."""
    sketch = Sketch(unit)
    sketch.rect(0, 0, width, 4)
    sketch.across((0, 0), (width, 0), text=text, style=style)
    return audited(sketch.save(tmp_path))


LAST_PLACES: list[tuple[str, Fraction, dict[str, Any], Fraction, Verdict]] = [
    ("2 1/2", F(39, 16), DECIMAL, F(1, 64), V.WRONG),
    ("2 7/16", F(39, 16), DECIMAL, F(1, 64), V.EXACT),
    ("2 7/16", F(39, 16) + F(1, 200), DECIMAL, F(1, 64), V.ROUNDED),
    ("2 7/16", F(39, 16) - F(1, 128), DECIMAL, F(1, 64), V.TIE),
    ("2 7/16", F(39, 16) + F(1, 100), DECIMAL, F(1, 64), V.WRONG),
    ("2 7/16", F(39, 16) + F(1, 64), DECIMAL, F(1, 64), V.WRONG),
    ("1 1/3", F(3, 2), DECIMAL, F(1, 64), V.WRONG),
    ("2 5/128", F(2), DECIMAL, F(1, 128), V.WRONG),
    ("2 1/2", F(79, 32), EIGHTHS, F(1, 8), V.ROUNDED),
    ("2 1/2", F(38, 16), EIGHTHS, F(1, 8), V.WRONG),
    ("2 3/16", F(35, 16) + F(1, 40), EIGHTHS, F(1, 16), V.ROUNDED),
    ("3", F(49, 16), EIGHTHS, F(1, 8), V.TIE),
    ("2", F(2001, 1000), DECIMAL, F(1, 1000), V.WRONG),
    ("2", F("2.4"), {"dimlunit": 2, "dimdec": 0}, F(1), V.ROUNDED),
    ("2.0", F("2.04"), DECIMAL, F(1, 10), V.ROUNDED),
    ("2.50%%p.001", F("2.504"), DECIMAL, F(1, 100), V.WRONG),
    ("2.50%%p.004", F("2.504"), DECIMAL, F(1, 100), V.ROUNDED),
    ("2.450 MAX", F("2.45"), DECIMAL, F(1, 1000), V.WITHIN_LIMITS),
    ("2.450 MAX", F("2.4501"), DECIMAL, F(1, 1000), V.WRONG),
    ("2.450 MIN", F("2.45"), DECIMAL, F(1, 1000), V.WITHIN_LIMITS),
    ("2.450 MIN", F("2.4499"), DECIMAL, F(1, 1000), V.WRONG),
]


@pytest.mark.parametrize(("text", "width", "style", "step", "verdict"), LAST_PLACES)
def test_a_typed_number_is_read_to_its_last_place(
    tmp_path: Path, text: str, width: Fraction, style: dict[str, Any], step: Fraction, verdict: Verdict
) -> None:
    """A typed fraction counts in 64ths or the style's own, a whole number in the style's places, a decimal as written.

    What a number stands for, its tolerance or its one limit then decide the verdict.
    """
    (judgement,) = slot(tmp_path, width, text, style).judgements
    assert judgement.measured == width
    assert judgement.step == step
    assert judgement.verdict is verdict


def hole(sketch: Sketch) -> dict[str, Any]:
    """Ø5 at (10, 10) in a metric plate, with a dimension of each kind that can carry a symbol."""
    sketch.rect(0, 0, 20, 20)
    sketch.circle((10, 10), "2.5")
    return {
        "radius": lambda text: sketch.dim(Kind.RADIUS, {10: (10, 10), 15: ("12.5", 10)}, text=text),
        "diameter": lambda text: sketch.dim(Kind.DIAMETER, {10: ("7.5", 10), 15: ("12.5", 10)}, text=text),
        "centre to quadrant": lambda text: sketch.across((10, 10), ("12.5", 10), 25, text=text),
        "across": lambda text: sketch.across(("7.5", 10), ("12.5", 10), 25, text=text),
        "edge to centre": lambda text: sketch.across((0, 10), (10, 10), 25, text=text),
        "edge to edge": lambda text: sketch.across((0, 0), (20, 0), 25, text=text),
    }


SYMBOLS: list[tuple[str, str, Fraction]] = [
    ("radius", "R2.5", F("2.5")),
    ("radius", "2.5", F("2.5")),
    ("radius", "%%c5", F(5)),
    ("radius", "SR2.5", F("2.5")),
    ("radius", "S%%c5", F(5)),
    ("radius", "%%c2.5", F(5)),
    ("diameter", "%%c5", F(5)),
    ("diameter", "5", F(5)),
    ("diameter", "R2.5", F("2.5")),
    ("diameter", "CR2.5", F("2.5")),
    ("diameter", "R5", F("2.5")),
    ("centre to quadrant", "%%c5", F(5)),
    ("centre to quadrant", "%%c2.5", F(5)),
    ("centre to quadrant", "R2.5", F("2.5")),
    ("centre to quadrant", "2.5", F("2.5")),
    ("across", "R2.5", F("2.5")),
    ("across", "R5", F("2.5")),
    ("across", "%%c5", F(5)),
    ("edge to centre", "%%c20", F(10)),
    ("edge to edge", "R10", F(20)),
]


@pytest.mark.parametrize(("where", "text", "wanted"), SYMBOLS)
def test_the_symbol_says_what_is_compared(tmp_path: Path, where: str, text: str, wanted: Fraction) -> None:
    """R is a radius and Ø a diameter, whatever was measured, as long as the ends are of one circle."""
    sketch = Sketch(Unit.MILLIMETRE)
    made = hole(sketch)[where](text)
    (judgement,) = of_handle(audited(sketch.save(tmp_path)), made.dxf.handle)
    assert judgement.measured == wanted
    assert judgement.stated is not None
    assert (judgement.verdict is V.EXACT) == (judgement.stated == wanted)


STEPS: list[tuple[str, Fraction, Fraction, Verdict]] = [
    ("8X 20 (=160)", F(160), F(20), V.EXACT),
    ("8X 20 (=160)", F(20), F(20), V.EXACT),
    ("8X 20 (=160)", F(150), F(150), V.WRONG),
    ("8 x 20 (=160)", F(160), F(20), V.EXACT),
    ("3X 33.33 (=100)", F(100), F(100, 3), V.ROUNDED),
    ("8X 20", F(160), F(160), V.WRONG),
]


@pytest.mark.parametrize(("text", "width", "measured", "verdict"), STEPS)
def test_equal_steps_with_their_total(
    tmp_path: Path, text: str, width: Fraction, measured: Fraction, verdict: Verdict
) -> None:
    """With the total written, a dimension over all the steps is compared as one of them; without it, it is not."""
    (judgement,) = slot(tmp_path, width, text, {"dimdec": 2}, Unit.MILLIMETRE).judgements
    assert (judgement.measured, judgement.verdict) == (measured, verdict)


def half(sketch: Sketch, text: str) -> Any:
    """Half a shaft above its axis, 10 high; the axis runs through the corners of its ends."""
    sketch.doc.linetypes.add("CENTER", [0.5, 0.25, -0.25])
    sketch.chain((0, 0), (0, 10), (40, 10), (40, 0))
    sketch.line((-5, 0), (45, 0), linetype="CENTER")
    return sketch.upright((0, 0), (0, 10), text=text)


def half_off_axis(sketch: Sketch, text: str) -> Any:
    """The same, with the centreline beside the axis."""
    sketch.doc.linetypes.add("CENTER", [0.5, 0.25, -0.25])
    sketch.chain((0, 0), (0, 10), (40, 10), (40, 0))
    sketch.line((-5, 2), (45, 2), linetype="CENTER")
    return sketch.upright((0, 0), (0, 10), text=text)


AXES: list[tuple[Callable[[Sketch, str], Any], str, Fraction]] = [
    (half, "%%c20", F(20)),
    (half, "%%c10", F(10)),
    (half, "%%c30", F(10)),
    (half, "20", F(10)),
    (half_off_axis, "%%c20", F(10)),
]


@pytest.mark.parametrize(("draw", "text", "measured"), AXES)
def test_a_diameter_from_the_axis_of_a_half_view(
    tmp_path: Path, draw: Callable[[Sketch, str], Any], text: str, measured: Fraction
) -> None:
    """From a corner on a centreline Ø may state the double, where that fits and the single does not (ISO 129-1)."""
    sketch = Sketch(Unit.MILLIMETRE)
    made = draw(sketch, text)
    (judgement,) = of_handle(audited(sketch.save(tmp_path)), made.dxf.handle)
    assert judgement.measured == measured


CAUSES: list[tuple[str, str]] = [
    ("23.15", "the decimal point is 1 place off"),
    (".02315", "the decimal point is 2 places off"),
    ("2.135", "two digits are swapped (31)"),
    ("2.351", "two digits are swapped (15)"),
    ("2.3315", "a digit is doubled (3)"),
    ("2.365", "one digit differs (6 for 1)"),
    ("58.801", "millimetres are stated for inches (times 25.4)"),
    ("9.260", "it is 4 times the drawn size"),
    ("6.250", "it is the distance to right edge"),
    ("3.777", ""),
]


def test_a_number_that_fits_the_enlarged_view_is_explained_by_its_scale(tmp_path: Path) -> None:
    """In a detail at 2:1 the length as drawn is a likelier mistake than a radius, and than a factor of 2."""
    sketch = Sketch()
    sketch.rect(0, 0, 12, 4)
    sketch.across((0, 0), (12, 0), text="12.000", style={**DECIMAL, "dimlfac": 0.5})
    sketch.upright((12, 0), (12, 4), style={**DECIMAL, "dimlfac": 0.5})
    (finding,) = [f for f in audited(sketch.save(tmp_path)).findings if f.rule == "wrong-value"]
    assert "likeliest cause: it is the size as drawn, and the view is drawn at 2:1" in finding.why


def test_a_setting_that_does_not_suit_a_viewport_is_what_is_to_be_mended(tmp_path: Path) -> None:
    """6.000 on a sheet for a length of 12 seen at 1:2: the number follows once DIMLFAC is right."""
    sketch = Sketch()
    sketch.rect(0, 0, 12, 4)
    sheet = sketch.sheet()
    sketch.window(sheet, (5, 5), 8, 4, (6, 2), 8)
    sketch.across((2, 4), (8, 4), 3, style={**DECIMAL, "dimlfac": 1.0})
    (finding,) = [f for f in audited(sketch.save(tmp_path)).findings if f.rule == "wrong-value"]
    assert finding.suggestion.startswith("set DIMLFAC to 2, so that it states 12")


@pytest.mark.parametrize(("text", "cause"), CAUSES)
def test_the_likeliest_cause_is_shown_by_arithmetic(tmp_path: Path, text: str, cause: str) -> None:
    """A wrong number is explained where a slip, a factor or a neighbouring feature gives it, and only there."""
    sketch = Sketch()
    sketch.rect(0, 0, "7.25", 4)
    sketch.circle((1, 2), "1/8")
    sketch.circle(("3.315", 2), "1/8")
    sketch.across((1, 2), ("3.315", 2), text=text, style=DECIMAL)
    sketch.across((0, 0), ("7.25", 0))
    audit = audited(sketch.save(tmp_path))
    (finding,) = [f for f in audit.findings if f.rule == "wrong-value"]
    said = [why.removeprefix("likeliest cause: ") for why in finding.why if why.startswith("likeliest cause: ")]
    assert said == ([cause] if cause else [])
