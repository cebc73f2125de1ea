"""Every kind of dimension, in every place where a drawing may hold it: the measured value is the constructed one.

Meanings of the points: DXF reference, DIMENSION. Enclosures are compared with mpmath at 60 digits.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path
from typing import Any

import mpmath
import pytest
from read.sketch import At, Sketch, audited

from dimaudit.exact.real import Enclosed, Real, Root, enclose, scaled
from dimaudit.model.attached import Link
from dimaudit.model.audit import Judgement
from dimaudit.model.drawing import ANGLES, Kind
from dimaudit.model.units import Unit

Spot = tuple[Fraction, Fraction]
Put = Callable[[At], Spot]
"""From the part's own coordinates to those of the file."""


@dataclass(frozen=True)
class Case:
    """A part, one dimension on it, and the value that it was constructed with (a length for a part of size 1)."""

    name: str
    kind: Kind
    points: Mapping[int, tuple[str, str]]
    value: Callable[[], Any] | str
    part: tuple[tuple[Any, ...], ...]
    attribs: Mapping[str, Any] = field(default_factory=dict)
    free: bool = False
    """The number is known by an enclosure only."""


PLATE = (("rect", "1", "1", "39/16", "2"),)
SLANT = (("line", ("0", "0"), ("4", "1")), ("line", ("4", "1"), ("4", "3")), ("line", ("4", "3"), ("0", "0")))
TRIANGLE = (("line", ("1", "1"), ("3", "4")), ("line", ("3", "4"), ("5", "1")), ("line", ("5", "1"), ("1", "1")))
HOLE = (("circle", ("2", "2"), "3/4"),)
CROSS = (("line", ("0", "2"), ("4", "2")), ("line", ("1", "0"), ("3", "4")))
DIAGONAL = (("line", ("0", "2"), ("4", "2")), ("line", ("0", "0"), ("4", "4")))
WEDGE = (("line", ("2", "2"), ("4", "2")), ("line", ("2", "2"), ("3", "4")))
BEND = (("arc", ("1", "1"), "2", 0, 90),)
"""A quarter circle: its ends are exact."""


def steep() -> Any:
    return mpmath.degrees(mpmath.atan(2))


CROSSING = {13: ("0", "2"), 14: ("4", "2"), 15: ("1", "0"), 10: ("3", "4")}
FORTY_FIVE = {13: ("0", "2"), 14: ("4", "2"), 15: ("0", "0"), 10: ("4", "4")}
CORNER = {15: ("2", "2"), 13: ("4", "2"), 14: ("3", "4")}
JOG = {10: ("2", "2"), 15: ("11/4", "2"), 13: ("5/2", "3"), 14: ("5/2", "2")}

CASES = [
    Case("linear, horizontal", Kind.LINEAR, {13: ("1", "1"), 14: ("55/16", "1"), 10: ("55/16", "0")}, "39/16", PLATE),
    Case(
        "linear, vertical", Kind.LINEAR, {13: ("1", "1"), 14: ("1", "3"), 10: ("0", "3")}, "2", PLATE, {"angle": 90}
    ),
    Case(
        "linear at 30 degrees", Kind.LINEAR, {13: ("0", "0"), 14: ("4", "1"), 10: ("4", "0")},
        lambda: 2 * mpmath.sqrt(3) + mpmath.mpf(1) / 2, SLANT, {"angle": 30}, free=True,
    ),
    Case(
        "linear at 45 degrees", Kind.LINEAR, {13: ("0", "0"), 14: ("4", "1"), 10: ("4", "0")},
        lambda: Root(Fraction(25, 2)), SLANT, {"angle": 45},
    ),
    Case("aligned, a root", Kind.ALIGNED, {13: ("1", "1"), 14: ("3", "4"), 10: ("2", "5")},
         lambda: Root(Fraction(13)), TRIANGLE),
    Case("aligned, whole", Kind.ALIGNED, {13: ("0", "0"), 14: ("4", "3"), 10: ("3", "4")}, "5", SLANT),
    Case("radius, level", Kind.RADIUS, {10: ("2", "2"), 15: ("11/4", "2")}, "3/4", HOLE),
    Case("radius, leaning", Kind.RADIUS, {10: ("2", "2"), 15: ("2.45", "2.6")}, "3/4", HOLE),
    Case("radius, foreshortened", Kind.JOGGED_RADIUS, JOG, "3/4", HOLE),
    Case("diameter, level", Kind.DIAMETER, {10: ("5/4", "2"), 15: ("11/4", "2")}, "3/2", HOLE),
    Case("diameter, leaning", Kind.DIAMETER, {10: ("1.55", "1.4"), 15: ("2.45", "2.6")}, "3/2", HOLE),
    Case("angle, right sector", Kind.ANGULAR, CROSSING | {16: ("3", "3")}, steep, CROSS, free=True),
    Case("angle, upper sector", Kind.ANGULAR, CROSSING | {16: ("1", "3")}, lambda: 180 - steep(), CROSS, free=True),
    Case("angle, left sector", Kind.ANGULAR, CROSSING | {16: ("1", "1")}, steep, CROSS, free=True),
    Case("angle, lower sector", Kind.ANGULAR, CROSSING | {16: ("3", "1")}, lambda: 180 - steep(), CROSS, free=True),
    Case("angle of 45, right sector", Kind.ANGULAR, FORTY_FIVE | {16: ("3", "5/2")}, "45", DIAGONAL),
    Case("angle of 45, upper sector", Kind.ANGULAR, FORTY_FIVE | {16: ("1", "3")}, "135", DIAGONAL),
    Case("angle of 45, left sector", Kind.ANGULAR, FORTY_FIVE | {16: ("1", "3/2")}, "45", DIAGONAL),
    Case("angle of 45, lower sector", Kind.ANGULAR, FORTY_FIVE | {16: ("3", "1")}, "135", DIAGONAL),
    Case("angle by three points", Kind.ANGULAR_3P, CORNER | {10: ("3", "3")}, steep, WEDGE, free=True),
    Case("angle by three points, outside", Kind.ANGULAR_3P, CORNER | {10: ("1", "1")},
         lambda: 360 - steep(), WEDGE, free=True),
    Case("ordinate x", Kind.ORDINATE, {10: ("1", "1"), 13: ("55/16", "3"), 14: ("55/16", "5")}, "39/16", PLATE,
         {"along_x": True}),
    Case("ordinate y", Kind.ORDINATE, {10: ("1", "1"), 13: ("55/16", "3"), 14: ("6", "3")}, "2", PLATE),
    Case("arc length", Kind.ARC_LENGTH, {13: ("3", "1"), 14: ("1", "3"), 15: ("1", "1"), 10: ("3", "3")},
         lambda: mpmath.pi, BEND, free=True),
    Case("arc length, ends swapped", Kind.ARC_LENGTH,
         {13: ("1", "3"), 14: ("3", "1"), 15: ("1", "1"), 10: ("3", "3")}, lambda: mpmath.pi, BEND, free=True),
]  # fmt: skip

SIZES = {Unit.INCH: Fraction(1), Unit.MILLIMETRE: Fraction(40)}


def draw(sketch: Sketch, case: Case, put: Put, grow: Fraction) -> None:
    """The part of a case."""
    for what, *args in case.part:
        match what:
            case "rect":
                x, y, w, h = (Fraction(v) for v in args)
                corners = [(x, y), (x + w, y), (x + w, y + h), (x, y + h), (x, y)]
                sketch.chain(*(put(c) for c in corners))
            case "line":
                sketch.line(put(args[0]), put(args[1]))
            case "circle":
                sketch.circle(put(args[0]), Fraction(args[1]) * grow)
            case "arc":
                sketch.arc(put(args[0]), Fraction(args[1]) * grow, args[2], args[3])


def put_dimension(sketch: Sketch, case: Case, put: Put, **more: Any) -> None:
    points = {group: put(at) for group, at in case.points.items()}
    sketch.dim(case.kind, points, **dict(case.attribs), **more)


def sized(size: Fraction, turned: bool = False) -> Put:
    def put(at: At) -> Spot:
        x, y = Fraction(at[0]) * size, Fraction(at[1]) * size
        return (-y, x) if turned else (x, y)

    return put


@dataclass(frozen=True)
class Place:
    """Where part and dimension stand: `build` makes the drawing; lengths are measured `grown` times the part's
    in the coordinates of the space they are measured in, and stand for `means` times the part's size."""

    name: str
    build: Callable[[Sketch, Case, Fraction], None]
    grown: Fraction = Fraction(1)
    means: Fraction = Fraction(1)
    count: int = 1


def in_model(sketch: Sketch, case: Case, size: Fraction) -> None:
    draw(sketch, case, sized(size), size)
    put_dimension(sketch, case, sized(size))


def with_factor(factor: float) -> Callable[[Sketch, Case, Fraction], None]:
    def build(sketch: Sketch, case: Case, size: Fraction) -> None:
        draw(sketch, case, sized(size), size)
        put_dimension(sketch, case, sized(size), style={"dimlfac": factor})

    return build


def on_sheet(factor: float) -> Callable[[Sketch, Case, Fraction], None]:
    """Part and dimension both drawn on the sheet, without a viewport."""

    def build(sketch: Sketch, case: Case, size: Fraction) -> None:
        sketch.sheet()
        draw(sketch, case, sized(size), size)
        put_dimension(sketch, case, sized(size), style={"dimlfac": factor})

    return build


def through_window(twisted: bool, factor: float = 1.0) -> Callable[[Sketch, Case, Fraction], None]:
    """The part in the model, seen at 1:2 from its point (2, 2), which stands at (6, 7) times the size on the sheet."""

    def build(sketch: Sketch, case: Case, size: Fraction) -> None:
        draw(sketch, case, sized(size), size)
        sheet = sketch.sheet()
        aim = (2 * size, 2 * size)
        seen_from = (-aim[1], aim[0]) if twisted else aim  # view centre, in the turned view's own coordinates
        sketch.window(sheet, (6 * size, 7 * size), 10 * size, 10 * size, seen_from, 20 * size, 90 if twisted else 0)

        def put(at: At) -> Spot:
            x, y = (Fraction(at[0]) - 2) * size / 2, (Fraction(at[1]) - 2) * size / 2
            if twisted:
                x, y = -y, x
            return 6 * size + x, 7 * size + y

        more = dict(case.attribs)
        if twisted and case.kind is Kind.LINEAR:
            more["angle"] = more.get("angle", 0) + 90
        if twisted and case.kind is Kind.ORDINATE:
            more["horizontal_direction"] = -90
        points = {group: put(at) for group, at in case.points.items()}
        sketch.dim(case.kind, points, style={"dimlfac": factor}, **more)

    return build


def own_block(at: tuple[int, int] = (3, 4), **attribs: Any) -> Callable[[Sketch, Case, Fraction], None]:
    """Part and dimension in one block: the dimension measures its own definition."""

    def build(sketch: Sketch, case: Case, size: Fraction) -> None:
        sketch.block("PART", (1, 1))
        draw(sketch, case, sized(size), size)
        put_dimension(sketch, case, sized(size))
        sketch.model()
        sketch.insert("PART", at, **attribs)

    return build


def two_blocks(at: tuple[int, int] = (3, 4), **attribs: Any) -> Callable[[Sketch, Case, Fraction], None]:
    """The part in one block and the dimension in another, shown alike: the dimension measures the part as shown."""

    def build(sketch: Sketch, case: Case, size: Fraction) -> None:
        sketch.block("PART", (1, 1))
        draw(sketch, case, sized(size), size)
        sketch.block("SIZES", (1, 1))
        put_dimension(sketch, case, sized(size))
        sketch.model()
        own = dict(attribs)
        for name in ("column_spacing", "row_spacing"):
            if name in own:
                own[name] = float(own[name] * size)
        sketch.insert("PART", at, **own)
        sketch.insert("SIZES", at, **own)

    return build


def nested_two_blocks(sketch: Sketch, case: Case, size: Fraction) -> None:
    """The two blocks mirrored inside a third, which is turned by 90 degrees and shown at half size."""
    two_blocks((2, 1), xscale=-1)(sketch, case, size)
    outer = sketch.block("OUTER")
    model = sketch.model()
    for insert in list(model):
        model.unlink_entity(insert)
        outer.add_entity(insert)
    sketch.insert("OUTER", (5, 6), rotation=90, xscale=0.5, yscale=0.5)


def nested_own_block(sketch: Sketch, case: Case, size: Fraction) -> None:
    """A block with part and dimension, shown twice inside another block that is shown at double size."""
    own_block((0, 0))(sketch, case, size)
    outer = sketch.block("OUTER")
    model = sketch.model()
    for insert in list(model):
        model.unlink_entity(insert)
        outer.add_entity(insert)
    outer.add_blockref("PART", (float(30 * size), 0))
    sketch.insert("OUTER", (5, 6), xscale=2, yscale=2)


TWICE, HALF = Fraction(2), Fraction(1, 2)
PLACES = [
    Place("model space", in_model),
    Place("DIMLFAC 2", with_factor(2), means=TWICE),
    Place("DIMLFAC 25.4", with_factor(25.4), means=Fraction(127, 5)),
    Place("DIMLFAC -2 counts on sheets only", with_factor(-2)),
    Place("drawn on the sheet", on_sheet(1)),
    Place("drawn on the sheet, DIMLFAC -2", on_sheet(-2), means=TWICE),
    Place("viewport at 1:2", through_window(False)),
    Place("viewport at 1:2, DIMLFAC 2", through_window(False, 2)),
    Place("viewport at 1:2, DIMLFAC -2", through_window(False, -2)),
    Place("viewport at 1:2 with a twist of 90", through_window(True)),
    Place("own block", own_block()),
    Place("own block at 2:1", own_block(xscale=2, yscale=2, zscale=2)),
    Place("own block, mirrored", own_block(xscale=-1)),
    Place("own block, turned by 30 and stretched", own_block(rotation=30, xscale=3, yscale=2)),
    Place("own block, nested and shown twice", nested_own_block),
    Place("block of dimensions", two_blocks()),
    Place("block of dimensions at 2:1", two_blocks(xscale=2, yscale=2, zscale=2), grown=TWICE),
    Place("block of dimensions, mirrored in x", two_blocks(xscale=-1)),
    Place("block of dimensions, mirrored in y", two_blocks(yscale=-1)),
    Place("block of dimensions, seen from behind", two_blocks(extrusion=(0, 0, -1))),
    Place("block of dimensions, turned by 90", two_blocks(rotation=90)),
    Place("block of dimensions, turned by 180 at 1:2", two_blocks(rotation=180, xscale=0.5, yscale=0.5), grown=HALF),
    Place("block of dimensions, arrayed",
          two_blocks(column_count=2, row_count=2, column_spacing=9, row_spacing=11), count=4),
    Place("block of dimensions, arrayed and turned at 2:1",
          two_blocks(rotation=90, xscale=2, yscale=2, column_count=3, column_spacing=15), grown=TWICE, count=3),
    Place("block of dimensions, nested", nested_two_blocks, grown=HALF),
]  # fmt: skip


def _matches(found: Real | None, case: Case, times: Fraction) -> bool:
    """Whether the value found is the constructed one: equal, or an enclosure of it to 45 digits."""
    assert found is not None
    wanted = Fraction(case.value) if isinstance(case.value, str) else None
    if wanted is not None:
        return found == wanted * times
    if not case.free:
        return bool(found == scaled(case.value(), times))  # type: ignore[operator]
    with mpmath.workdps(60):
        exactly = case.value() * times.numerator / times.denominator  # type: ignore[operator]
        low, high = enclose(found, Fraction(1, 10**45))
        return isinstance(found, Enclosed) and _mp(low) - mpmath.mpf(10) ** -55 <= exactly <= _mp(high) + mpmath.mpf(
            10
        ) ** -55


def _mp(q: Fraction) -> Any:
    return mpmath.mpf(q.numerator) / q.denominator


def _judgements(tmp_path: Path, case: Case, place: Place, unit: Unit) -> Iterator[Judgement]:
    sketch = Sketch(unit)
    place.build(sketch, case, SIZES[unit])
    yield from audited(sketch.save(tmp_path)).judgements


@pytest.mark.parametrize("unit", SIZES, ids=str)
@pytest.mark.parametrize("place", PLACES, ids=lambda p: p.name)
@pytest.mark.parametrize("case", CASES, ids=lambda c: c.name)
def test_the_constructed_value_is_measured(tmp_path: Path, case: Case, place: Place, unit: Unit) -> None:
    """Each dimension measures exactly what it was drawn with, from its points and from the features alike."""
    size = Fraction(1) if case.kind in ANGLES else SIZES[unit]
    grown = Fraction(1) if case.kind in ANGLES else place.grown
    means = Fraction(1) if case.kind in ANGLES else place.means
    found = list(_judgements(tmp_path, case, place, unit))
    assert len(found) == place.count
    for judgement in found:
        attached = judgement.attached
        assert attached.why_not == ""
        assert attached.dimension.kind is case.kind
        assert {end.link for end in attached.ends} == {Link.ON}
        assert attached.spanned is not None
        assert attached.drawn is not None
        assert _matches(attached.spanned.value, case, size * grown)
        assert _matches(attached.drawn.value, case, size * grown)
        assert not attached.drawn.recovered
        assert _matches(judgement.measured, case, size * means)


TURNED = Place("turned by 30", two_blocks(rotation=30))


@pytest.mark.parametrize("unit", SIZES, ids=str)
@pytest.mark.parametrize("case", [c for c in CASES if c.kind is not Kind.JOGGED_RADIUS], ids=lambda c: c.name)
def test_a_block_turned_by_thirty_degrees_is_measured_within_the_noise(
    tmp_path: Path, case: Case, unit: Unit
) -> None:
    """A turn that is no multiple of 90 degrees leaves the rationals: the value stays within 1e-9 of the constructed."""
    size = Fraction(1) if case.kind in ANGLES else SIZES[unit]
    (found,) = _judgements(tmp_path, case, TURNED, unit)
    assert {end.link for end in found.attached.ends} == {Link.ON}
    assert found.measured is not None
    value = case.value if isinstance(case.value, str) else case.value()
    low, high = enclose(value, Fraction(1, 10**15)) if isinstance(value, Root) else (None, None)
    constructed = low if low is not None else Fraction(value) if isinstance(value, str) else Fraction(str(value))
    measured, _ = enclose(found.measured, Fraction(1, 10**15))
    assert abs(measured - constructed * size) < Fraction(1, 10**8 if case.kind in ANGLES else 10**9) * max(size, 1)
    assert high is None or low != high
