"""Outside checks: the DXF library's own measurements, a units library, and writers that are not that library."""

from fractions import Fraction
from itertools import pairwise
from pathlib import Path
from typing import Any

import pint
import pytest
from dxfwrite import DXFEngine
from hypothesis import given, settings
from hypothesis import strategies as st
from read.sketch import Sketch, audited
from strategies import four_decimals, points

from dimaudit.exact.real import nearly
from dimaudit.model.attached import Link
from dimaudit.model.audit import Verdict
from dimaudit.model.drawing import Arc, Circle, Kind, Mark, Segment
from dimaudit.model.settings import Settings
from dimaudit.model.units import IN_MM, Unit, conversion
from dimaudit.read import read_drawing

F = Fraction

# --- the DXF library's own measurement ---------------------------------------------------------------------------

sizes = st.integers(1, 10**6).map(lambda k: F(k, 10**4))
turns = st.integers(0, 359)


@settings(max_examples=25, deadline=None)
@given(st.lists(st.tuples(points, points, turns, sizes).filter(lambda t: t[0] != t[1]), min_size=1, max_size=6))
def test_lengths_agree_with_the_dxf_librarys_own_measurement(tmp_path_factory: Any, rows: list[Any]) -> None:
    """Linear, aligned and ordinate dimensions, radii and diameters measure what ezdxf's get_measurement() gives.

    Compared within 1e-9 of the size of the coordinates; its angular and arc measurements err, so they are not used.
    """
    sketch = Sketch()
    made: list[Any] = []
    for a, b, turn, r in rows:
        sketch.line(a, b)
        sketch.circle(a, r)
        east, west = (a[0] + r, a[1]), (a[0] - r, a[1])
        made += [
            sketch.dim(Kind.LINEAR, {13: a, 14: b, 10: b}, angle=turn),
            sketch.dim(Kind.ALIGNED, {13: a, 14: b, 10: b}),
            sketch.dim(Kind.ORDINATE, {10: a, 13: b, 14: b}, along_x=True),
            sketch.dim(Kind.ORDINATE, {10: a, 13: b, 14: b}),
            sketch.dim(Kind.RADIUS, {10: a, 15: east}),
            sketch.dim(Kind.DIAMETER, {10: west, 15: east}),
        ]
    audit = audited(sketch.save(tmp_path_factory.mktemp("oracle")))
    found = {j.attached.dimension.handle: j for j in audit.judgements}
    reach = max(abs(float(x)) for row in rows for p in row[:2] for x in p) + float(max(row[3] for row in rows))
    for dimension in made:
        spanned = found[dimension.dxf.handle].attached.spanned
        assert spanned is not None
        there = dimension.get_measurement()
        if dimension.dimtype == 6:  # the vector from the origin to the feature
            there = abs(there.x if dimension.dxf.dimtype & 64 else there.y)
        assert nearly(spanned.raw) == pytest.approx(there, rel=1e-9, abs=reach * 1e-12)


@settings(max_examples=30, deadline=None)
@given(points, points, st.lists(four_decimals.filter(bool), min_size=2, max_size=6, unique=True))
def test_the_drawn_value_agrees_with_the_dxf_librarys_own_measurement(
    tmp_path_factory: Any, origin: tuple[Fraction, Fraction], other: tuple[Fraction, Fraction], xs: list[Fraction]
) -> None:
    """Sizes between the corners of a stepped outline measure from the features what ezdxf measures from the points."""
    sketch = Sketch()
    levels = sorted({origin[0] + x for x in xs})
    corners = [(x, origin[1] + k) for k, x in enumerate(levels)]
    sketch.chain(*corners, (levels[0], origin[1] + len(levels) + 1), corners[0])
    made = [sketch.across(a, b) for a, b in pairwise(corners)] + [
        sketch.dim(Kind.ALIGNED, {13: a, 14: b, 10: other}) for a, b in pairwise(corners)
    ]
    audit = audited(sketch.save(tmp_path_factory.mktemp("outline")), Settings(snap=F(1, 10**6)))
    for dimension, judgement in zip(made, audit.judgements, strict=True):
        assert judgement.attached.link is Link.ON
        assert judgement.attached.drawn is not None
        there = dimension.get_measurement()  # type: ignore[attr-defined]
        assert nearly(judgement.attached.drawn.value) == pytest.approx(there, rel=1e-9, abs=1e-9)


WINDOWS = [
    ("1:2", {}, (10, 20), (0, 0)), ("twist of 90", {"twist": 90}, (10, 20), (0, 0)),
    ("twist of -90", {"twist": 270}, (10, 20), (0, 0)), ("twist of 30", {"twist": 30}, (10, 20), (0, 0)),
    ("view centre off", {}, (10, 20), (3, 4)), ("twist and view centre", {"twist": 90}, (10, 20), (3, 4)),
    ("target", {"target": (5, -6)}, (10, 20), (3, 4)),
    ("target and twist", {"target": (5, -6), "twist": 90}, (10, 20), (3, 4)),
    ("target and twist of 30", {"target": (5, -6), "twist": 30}, (10, 20), (3, 4)),
]  # fmt: skip


@pytest.mark.parametrize(("how", "centre", "aim"), [w[1:] for w in WINDOWS], ids=[w[0] for w in WINDOWS])
def test_a_viewport_leads_where_the_dxf_library_says(
    tmp_path: Path, how: dict[str, Any], centre: Any, aim: Any
) -> None:
    """A point of the sheet lands in the model where ezdxf's matrix of the viewport puts it."""
    sketch = Sketch()
    sheet = sketch.sheet()
    window = sketch.window(sheet, centre, 16, 12, aim, 24, **how)
    spots = {13: (7, 18), 14: (12, 23), 10: (12, 17)}
    sketch.dim(Kind.ALIGNED, spots)
    (dimension,) = sketch.read(tmp_path).spaces[0].dimensions
    matrix = window.get_transformation_matrix()  # type: ignore[attr-defined]
    for group, at in spots.items():
        x, y = (float(q) for q in dimension.points[group])
        back = matrix.transform((x, y, 0))
        assert (back.x, back.y) == pytest.approx(at, abs=1e-9)


# --- units -------------------------------------------------------------------------------------------------------

PINT_NAMES = {Unit.INCH: "inch", Unit.FOOT: "foot", Unit.MILLIMETRE: "millimeter", Unit.CENTIMETRE: "centimeter",
              Unit.METRE: "meter"}  # fmt: skip


@pytest.fixture(scope="module")
def registry() -> pint.UnitRegistry[Any]:
    return pint.UnitRegistry(non_int_type=Fraction)


@pytest.mark.parametrize("source", PINT_NAMES, ids=str)
@pytest.mark.parametrize("target", PINT_NAMES, ids=str)
def test_units_convert_as_another_library_converts_them(
    registry: pint.UnitRegistry[Any], source: Unit, target: Unit
) -> None:
    """Each conversion is the one of pint, in exact fractions."""
    there = registry.Quantity(Fraction(1), PINT_NAMES[source]).to(PINT_NAMES[target]).magnitude
    assert isinstance(there, Fraction)
    assert conversion(source, target) == there


def test_every_length_has_its_oracle() -> None:
    """No length unit is without the check above."""
    assert set(PINT_NAMES) == set(IN_MM)


# --- another writer ----------------------------------------------------------------------------------------------


def tags(*pairs: tuple[int, Any]) -> str:
    return "".join(f"{code:>3}\n{value}\n" for code, value in pairs)


def dimension_r12(kind: int, points: dict[int, tuple[Any, Any]], **more: Any) -> str:
    """A DIMENSION of the R12 format, group by group as the DXF reference lists them."""
    rows: list[tuple[int, Any]] = [(0, "DIMENSION"), (8, "DIM"), (3, "STANDARD"), (70, kind)]
    for group, (x, y) in points.items():
        rows += [(group, x), (group + 10, y), (group + 20, 0.0)]
    if "text" in more:
        rows.append((1, more["text"]))
    if "angle" in more:
        rows.append((50, more["angle"]))
    return tags(*rows)


def test_linework_of_another_writer_is_read(tmp_path: Path) -> None:
    """A drawing written by dxfwrite is read as the lines, arcs and circles that it was told to write."""
    drawing = DXFEngine.drawing(str(tmp_path / "other.dxf"))
    drawing.add(DXFEngine.line((0, 0), (2.4375, 0), layer="PART"))
    drawing.add(DXFEngine.arc(0.5, (1, 1), 0, 90))
    drawing.add(DXFEngine.circle(0.3125, (1.25, 0.75)))
    drawing.add(DXFEngine.point((3, 3)))
    chain = DXFEngine.polyline([(0, 0), (0, 2), (2, 2)])
    chain.close()
    drawing.add(chain)
    drawing.add(DXFEngine.solid([(5, 5), (6, 5), (6, 6)]))
    drawing.save()
    shapes = read_drawing(tmp_path / "other.dxf", Settings()).spaces[0].shapes
    line, arc, circle, point, *rest = shapes
    assert isinstance(line, Segment)
    assert (line.a, line.b, line.origin.layer) == ((0, 0), (F(39, 16), 0), "PART")
    assert isinstance(arc, Arc)
    assert (arc.centre, arc.radius, arc.a, arc.b) == ((1, 1), F(1, 2), (F(3, 2), 1), (1, F(3, 2)))
    assert isinstance(circle, Circle)
    assert (circle.centre, circle.radius) == ((F(5, 4), F(3, 4)), F(5, 16))
    assert isinstance(point, Mark)
    assert point.at == (3, 3)
    assert [(s.a, s.b) for s in rest[:3] if isinstance(s, Segment)] == [
        ((0, 0), (0, 2)), ((0, 2), (2, 2)), ((2, 2), (0, 0)),
    ]  # fmt: skip
    assert {p for s in rest[3:] if isinstance(s, Segment) for p in (s.a, s.b)} == {(5, 5), (6, 5), (6, 6)}


def test_a_block_of_another_writer_is_placed(tmp_path: Path) -> None:
    """A block that dxfwrite wrote and inserted twice, once turned and doubled, stands where it was told to."""
    drawing = DXFEngine.drawing(str(tmp_path / "other.dxf"))
    block = DXFEngine.block("PART", basepoint=(1, 1))
    block.add(DXFEngine.line((1, 1), (3, 2)))
    drawing.blocks.add(block)
    drawing.add(DXFEngine.insert("PART", (10, 10)))
    drawing.add(DXFEngine.insert("PART", (20, 10), xscale=2, yscale=2, rotation=90))
    drawing.save()
    shapes = read_drawing(tmp_path / "other.dxf", Settings()).spaces[0].shapes
    assert [(s.a, s.b) for s in shapes if isinstance(s, Segment)] == [((10, 10), (12, 11)), ((20, 10), (18, 14))]


BY_HAND = [
    # name, type, points, more, the drawn value, verdict
    ("linear", 0, {10: (2.4375, -1), 11: (1.2, -1), 13: (0, 0), 14: (2.4375, 0)}, {"text": "2.4375"}, F(39, 16),
     Verdict.EXACT),
    ("upright", 0, {10: (-1, 2), 11: (-1, 1), 13: (0, 0), 14: (0, 2)}, {"angle": 90, "text": "2.01"}, F(2),
     Verdict.WRONG),
    ("rounded", 0, {10: (2.4375, -1), 11: (1.2, -1), 13: (0, 0), 14: (2.4375, 0)}, {"text": "2.44"}, F(39, 16),
     Verdict.ROUNDED),
    ("aligned", 1, {10: (0, 3), 11: (1, 3), 13: (0, 0), 14: (2.4375, 2)}, {"text": "3.153"}, None, Verdict.ROUNDED),
    ("diameter", 3, {10: (0.6875, 1), 11: (3, 3), 15: (1.3125, 1)}, {"text": "%%c.625"}, F(5, 8), Verdict.EXACT),
    ("radius", 4, {10: (1, 1), 11: (3, 3), 15: (1.3125, 1)}, {"text": "R.31"}, F(5, 16), Verdict.ROUNDED),
    ("angle", 2, {10: (0, 2), 11: (1, 1), 13: (0, 0), 14: (2.4375, 0), 15: (0, 0), 16: (1, 1)}, {"text": "90%%d"},
     F(90), Verdict.EXACT),
    ("ordinate", 70, {10: (0, 0), 11: (3, 3), 13: (2.4375, 2), 14: (2.4375, 4)}, {"text": "2.438"}, F(39, 16),
     Verdict.TIE),
]  # fmt: skip


@pytest.mark.parametrize(
    ("kind", "points", "more", "value", "verdict"), [b[1:] for b in BY_HAND], ids=[b[0] for b in BY_HAND]
)
def test_a_dimension_written_by_hand_in_another_writers_drawing_is_judged(
    tmp_path: Path, kind: int, points: dict[int, tuple[Any, Any]], more: dict[str, Any], value: Any, verdict: Verdict
) -> None:
    """A DIMENSION written group by group after the DXF reference, among dxfwrite's lines, is judged."""
    path = tmp_path / "other.dxf"
    drawing = DXFEngine.drawing(str(path))
    corners = [(0, 0), (2.4375, 0), (2.4375, 2), (0, 2), (0, 0)]
    for a, b in pairwise(corners):
        drawing.add(DXFEngine.line(a, b))
    drawing.add(DXFEngine.circle(0.3125, (1, 1)))
    drawing.save()
    text = path.read_text(encoding="utf-8")
    head, mark, tail = text.partition("ENTITIES\n")
    path.write_text(head + mark + dimension_r12(kind, points, **more) + tail, encoding="utf-8")
    (judgement,) = audited(path, Settings(unit=Unit.INCH)).judgements
    assert judgement.attached.link is Link.ON
    assert judgement.verdict is verdict
    if value is not None:
        assert judgement.measured == value
    else:
        assert judgement.measured.square == F(39, 16) ** 2 + 4  # type: ignore[union-attr]


HEADER = tags((0, "SECTION"), (2, "HEADER"), (9, "$ACADVER"), (1, "AC1009"), (0, "ENDSEC"))


@pytest.mark.parametrize("newline", ["\n", "\r\n"], ids=["LF", "CRLF"])
def test_a_file_written_wholly_by_hand_is_audited(tmp_path: Path, newline: str) -> None:
    """The smallest R12 file after the DXF reference, a line and its dimension, without tables or blocks."""
    line = tags((0, "LINE"), (8, "0"), (10, "1.5"), (20, "1"), (11, "4.75"), (21, "1"))
    size = dimension_r12(0, {10: ("4.75", "0"), 13: ("1.5", "1"), 14: ("4.75", "1")}, text="3 1/4")
    text = HEADER + tags((0, "SECTION"), (2, "ENTITIES")) + line + size + tags((0, "ENDSEC"), (0, "EOF"))
    path = tmp_path / "hand.dxf"
    path.write_bytes(text.replace("\n", newline).encode("ascii"))
    (judgement,) = audited(path, Settings(unit=Unit.INCH)).judgements
    assert (judgement.measured, judgement.verdict) == (F(13, 4), Verdict.EXACT)
