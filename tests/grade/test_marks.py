"""Marks of invented submissions, worked out by hand: what each criterion takes, to the point."""

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction as F
from pathlib import Path
from typing import Any

import pytest
from rules.rule_board import Board

from dimaudit.grade.laid_out import key_of
from dimaudit.grade.marks import grade
from dimaudit.model.grading import Asked, Criterion, ForAPerson, LayerAsked, Lying
from dimaudit.model.settings import Settings
from dimaudit.pipeline import examine_file
from grade.plates import ALL, KEY, RUBRIC, Block, examined, key, marks, taken

C = Criterion
SIZE, FEATURE, SHAPE, DIMENSION, LINE = F(2), F(2), F(2), F(2), F(2)
"""What one fault costs, as RUBRIC shares the points out."""


def without(*names: str) -> tuple[str, ...]:
    return tuple(d for d in ALL if d not in names)


FULL: dict[str, dict[str, Any]] = {
    "the key itself": {},
    "a polyline, and half arcs for circles": {"build": "polyline"},
    "a block": {"build": "block"},
    "moved": {"way": lambda p: (p[0] + 3.1, p[1] - 2.7)},
    "more places than the key": {"places": {"width": 4, "bore y": 4}},
    "another scheme that defines the part": {
        "dims": (*without("bolts apart", "bore x"), "bolts to right", "bore to right"),
    },
    "a border about it": {"extra": lambda b: b.path((-4, -4), (14, -4), (14, 9), (-4, 9))},
    "a try-out beside it": {"extra": lambda b: b.circle((20, 20), 3)},
    "a point at the bore's centre, though none is asked": {"extra": lambda b: b.msp.add_point((4, 2.4375))},
}  # fmt: skip


@pytest.mark.parametrize("changes", FULL.values(), ids=FULL)
def test_what_is_right_gets_full_marks_however_it_was_drawn(changes: dict[str, Any]) -> None:
    found = marks(replace(KEY, **changes))
    assert taken(found) == {}
    assert found.got == found.points == 129


def mirror(p: tuple[float, float]) -> tuple[float, float]:
    return -p[0], p[1]


def quarter(p: tuple[float, float]) -> tuple[float, float]:
    return 3.1 - p[1], p[0] - 2.7


BY_HAND: dict[str, tuple[dict[str, Any], dict[Criterion, F]]] = {
    # one wrong overall: the bolt hole and the chamfer, dimensioned from elsewhere, follow and cost nothing
    "a quarter inch too wide": ({"width": 8.25}, {C.SIZES: SIZE}),
    "both overall sizes wrong": ({"width": 8.25, "height": 5.125}, {C.SIZES: 2 * SIZE}),
    # the second hole is dimensioned from the first, and right from it
    "the first bolt hole off, the other right from it": ({"bolts": ((1.25, 1.0), (7.25, 1.0))}, {C.SIZES: SIZE}),
    # the first hole alone: two numbers meet there, one cause
    "the first bolt hole off": ({"bolts": ((1.25, 1.0), (7.0, 1.0))}, {C.SIZES: SIZE}),
    "the second bolt hole too high": ({"bolts": ((1.0, 1.0), (7.0, 1.125))}, {C.SHAPE: SHAPE}),
    "both bolt holes of another size": ({"bolt_size": (0.4375, 0.4375)}, {C.SIZES: SIZE}),
    "one bolt hole of another size": ({"bolt_size": (0.5, 0.4375)}, {C.SIZES: SIZE}),
    "the bore's diameter drawn as its radius": ({"bore_size": 2.5}, {C.SIZES: SIZE}),
    # the key says 2.438 and means 2.4375
    "the printed number drawn for the exact one": ({"bore": (4.0, 2.438)}, {C.SIZES: SIZE / 2}),
    "a leg of the chamfer": ({"chamfer": (0.625, 0.75)}, {C.SIZES: SIZE}),
    "the slot moved": ({"slot": (2.25, 3.25, 4.0)}, {C.SIZES: SIZE}),
    "the slot too long": ({"slot": (2.0, 3.25, 4.0)}, {C.SIZES: SIZE}),
    "the slot too narrow": ({"slot_radius": 0.1875}, {C.SIZES: SIZE}),
    "the notch too deep": ({"notch": (3.0, 5.0, 1.0)}, {C.SIZES: SIZE}),
    "a bolt hole missing": ({"bolts": ((1.0, 1.0), None), "dims": without("bolts apart")}, {C.FEATURES: FEATURE}),
    "the chamfer missing": ({"chamfer": None, "dims": without("chamfer x", "chamfer y")}, {C.FEATURES: FEATURE}),
    "the notch missing": (
        {"notch": None, "dims": without("notch x", "notch wide", "notch deep")}, {C.FEATURES: FEATURE},
    ),
    "the slot missing": (
        {"slot": None, "dims": without("slot x", "slot long", "slot y", "slot size")}, {C.FEATURES: FEATURE},
    ),
    # the notch's new left side lies where its right side was; it is one notch, and one number of it is wrong
    "the notch moved by its own width": ({"notch": (5.0, 7.0, 0.75)}, {C.SIZES: SIZE}),
    "the slot moved by its own width": ({"slot": (2.0, 3.0, 3.5)}, {C.SIZES: SIZE}),
    "the bore missing, and a tiny hole near its place": (
        {"bore": None, "stray": (4.75, 2.0), "dims": without("bore x", "bore y", "bore size")},
        {C.FEATURES: FEATURE, C.LINEWORK: LINE},
    ),
    # of 18 sizes and 18 dimensions 6 may follow from what is missing: bolt holes, bore and slot have 11 of either
    # (bolt x, y and apart, bore x and y, slot x, y and long, and three sizes)
    "bolt holes, bore and slot missing": (
        {"bolts": (None, None), "bore": None, "slot": None,
         "dims": ("width", "height", "notch x", "notch wide", "notch deep", "chamfer x", "chamfer y")},
        {C.FEATURES: 4 * FEATURE, C.SIZES: 5 * SIZE, C.DIMENSIONS: 5 * DIMENSION},
    ),
    "slot and chamfer missing": (
        {"slot": None, "chamfer": None,
         "dims": without("slot x", "slot long", "slot y", "slot size", "chamfer x", "chamfer y")},
        {C.FEATURES: 2 * FEATURE},
    ),
    "the upper edge askew": ({"tilt": 0.125}, {C.SHAPE: SHAPE}),
    "mirrored": ({"way": mirror}, {C.ORIENTATION: F(5)}),
    "turned and moved": ({"way": quarter}, {C.ORIENTATION: F(5)}),
    "mirrored, and too wide": ({"way": mirror, "width": 8.25}, {C.ORIENTATION: F(5), C.SIZES: SIZE}),
    "turned, the bore too low": (
        {"way": quarter, "bore": (4.0, 2.25)}, {C.ORIENTATION: F(5), C.SIZES: SIZE},
    ),
    "in millimetres": ({"scale": 25.4, "metric": True}, {C.UNITS: F(5)}),
    "in millimetres, and said to be inches": ({"scale": 25.4}, {C.UNITS: F(5)}),
    "in millimetres, and too wide": ({"scale": 25.4, "metric": True, "width": 8.25}, {C.UNITS: F(5), C.SIZES: SIZE}),
    "a file that says millimetres, with the key's inches": ({"metric": True, "places": dict.fromkeys(ALL, 3)},
                                                            {C.UNITS: F(5)}),
    "no dimensions": ({"dims": ()}, {C.DIMENSIONS: F(36)}),
    "three dimensions, the others not there": ({"dims": ALL[:3]}, {C.DIMENSIONS: 15 * DIMENSION}),
    # width, height and bolt x are not there, and 2 sizes are free: the height follows from the slot's and the chamfer's
    "another scheme, one size missing": (
        {"dims": (*without("bolts apart", "bore x"), "bore to right")}, {C.DIMENSIONS: DIMENSION},
    ),
    # .2 of a dimension's 2 points is for how it is stated, .2 for being associated
    "two dimensions too coarse": ({"places": {"width": 1, "bore y": 2}}, {C.DIMENSIONS: 2 * F(2, 5)}),
    "two dimensions not associated": ({"free": frozenset({"width", "height"})}, {C.DIMENSIONS: 2 * F(2, 5)}),
    # a wrong number typed over is charged as typed over, and not as a wrong dimension again
    "two numbers typed over, one of them wrong": ({"texts": {"width": "8.500", "bolt x": "1.000"}}, {C.TYPED: F(2)}),
    "a line drawn twice": ({"extra": lambda b: b.line((0, 0), (3, 0))}, {C.LINEWORK: LINE}),
    "a line over part of another": ({"extra": lambda b: b.line((1, 0), (2, 0))}, {C.LINEWORK: LINE}),
    "an edge twice, the second one past its corner": (
        {"extra": lambda b: b.line((5, 0), (8.5, 0))}, {C.LINEWORK: LINE},
    ),
    "a stray line": ({"extra": lambda b: b.line((6, 3), (7, 3))}, {C.LINEWORK: LINE}),
    "a stray window": ({"extra": lambda b: b.plate(0.5, 0.5, (6, 2.5))}, {C.LINEWORK: LINE}),
    "a stray line, a stray hole and a line drawn twice": (
        {"extra": lambda b: (b.line((6, 3), (7, 3)), b.circle((6.5, 2), 0.25), b.line((0, 0), (3, 0)))},
        {C.LINEWORK: 3 * LINE},
    ),
}  # fmt: skip


@pytest.mark.parametrize(("changes", "expected"), BY_HAND.values(), ids=BY_HAND)
def test_each_fault_is_charged_as_worked_out_by_hand(
    changes: dict[str, Any], expected: dict[Criterion, F]
) -> None:
    found = marks(replace(KEY, **changes))
    assert taken(found) == expected
    assert found.got == 129 - sum(expected.values())


def test_a_missing_hole_is_not_out_of_place_as_well() -> None:
    """Its centre stands level with the quadrants of the bolt holes, and these are drawn too small."""
    of = key_of(examined(replace(KEY, extra=lambda b: b.circle((1.25, 3.0), 0.25))))
    found = marks(replace(KEY, bolt_size=(0.4375, 0.4375)), of=of)
    each = {m.criterion: m.each for m in found.marks}
    assert taken(found) == {c: each[c] for c in (C.FEATURES, C.SIZES)}


def test_a_slot_dimensioned_by_its_width_is_wrong_once() -> None:
    """Its ends are round and tangent: their radius follows the width, which is the key's only number for both."""
    wide = {"dims": without("slot size"), "extra": lambda b: b.upright((3, 3.75), (3, 4.25), line_at=3.5)}
    of = key_of(examined(replace(KEY, **wide)))
    found = marks(replace(KEY, slot_radius=0.3125, dims=()), of=of)
    (fault,) = [d for m in found.marks if m.criterion is C.SIZES for d in m.deductions]
    assert fault.what.startswith("a distance along y is .625 instead of .500")
    assert taken(marks(replace(KEY, slot_radius=0.3125, dims=()))).get(C.SIZES) == SIZE  # the key gives the radius


def test_marks_add_up_from_what_is_shown() -> None:
    block = replace(KEY, width=8.25, bore=(4.0, 2.438), chamfer=None, dims=ALL[:10], texts={"width": "9.000"})
    for mark in marks(block).marks:
        assert mark.got == max(F(0), mark.points - sum((d.points for d in mark.deductions), F(0)))
        assert all(d.what for d in mark.deductions)
        if mark.asked:
            assert mark.each * mark.asked == mark.points or mark.criterion is C.TYPED


def words(block: Block, criterion: Criterion) -> Iterator[str]:
    for mark in marks(block).marks:
        if mark.criterion is criterion:
            for d in mark.deductions:
                yield from (d.what, *d.why)


def test_the_arithmetic_and_the_cause_are_said() -> None:
    assert list(words(replace(KEY, bore=(4.0, 2.438)), C.SIZES)) == [
        "a distance along y is 2.438 instead of 2.4375, between the lower edge and the Ø1.250 hole at (4.000, 2.4375)",
        "the key says 2.438, exactly 2.4375",
        "drawn: 2.438",
        "off by .0005 too large",
        "cause: the printed, rounded number was drawn in place of the exact one",
        "1/2 of 2 is taken: 1",
    ]
    assert "likely cause: the diameter was drawn as the radius" in list(words(replace(KEY, bore_size=2.5), C.SIZES))
    swapped = list(words(replace(KEY, bore=(4.0, 2.4735)), C.SIZES))
    assert "likely cause: two digits are swapped (37)" in swapped
    assert "millimetres were drawn for inches" in " ".join(words(replace(KEY, scale=25.4), C.UNITS))
    assert "the layout is mirrored left to right" in list(words(replace(KEY, way=mirror), C.ORIENTATION))


def test_a_deduction_points_at_what_was_drawn() -> None:
    block = replace(KEY, way=lambda p: (p[0] + 10, p[1]), bolt_size=(0.5, 0.4375))
    (size,) = [d for m in marks(block).marks for d in m.deductions if m.criterion is C.SIZES]
    assert size.at == (17.0, 1.0)
    missing = replace(KEY, way=lambda p: (p[0] + 10, p[1]), bolts=((1.0, 1.0), None), dims=without("bolts apart"))
    (lost,) = [d for m in marks(missing).marks for d in m.deductions if m.criterion is C.FEATURES]
    assert lost.at == (17.0, 1.0)
    assert lost.handles == ()
    assert lost.key_handles


def test_what_follows_costs_nothing_and_says_so() -> None:
    block = replace(KEY, slot=None, dims=without("slot x", "slot long", "slot y", "slot size"))
    following = [d for m in marks(block).marks for d in m.deductions if d.follows]
    assert {d.criterion for d in following} == {C.SIZES, C.DIMENSIONS}
    assert all(d.points == 0 for d in following)


def test_the_rubric_lets_pass_what_it_says() -> None:
    free = replace(RUBRIC, turned=True, mirrored=True, other_units=True)
    for changes in ({"way": mirror}, {"way": quarter}, {"scale": 25.4, "metric": True}):
        found = marks(replace(KEY, **changes), free)
        assert found.got == found.points
        assert any(d.points == 0 and "the rubric lets it pass" in d.why for m in found.marks for d in m.deductions)


def test_a_close_size_costs_a_share() -> None:
    close = replace(RUBRIC, close=F(1, 32), close_costs=F(1, 4))
    assert taken(marks(replace(KEY, width=8.03125), close)) == {C.SIZES: F(1, 2)}
    assert taken(marks(replace(KEY, width=8.0625), close)) == {C.SIZES: F(2)}
    assert taken(marks(replace(KEY, width=8.03125), replace(RUBRIC, tolerance=F(1, 32)))) == {}


def test_the_keys_own_dimensions_can_be_asked() -> None:
    other = replace(KEY, dims=(*without("bolts apart", "bore x"), "bolts to right", "bore to right"))
    assert taken(marks(other, replace(RUBRIC, own_scheme=False))) == {C.DIMENSIONS: 2 * DIMENSION}


def test_a_wrong_typed_number_is_a_wrong_dimension_where_typing_is_not_asked() -> None:
    rubric = replace(RUBRIC, criteria=tuple(a for a in RUBRIC.criteria if a.criterion is not C.TYPED))
    assert taken(marks(replace(KEY, texts={"width": "8.500"}), rubric)) == {C.DIMENSIONS: F(2, 5)}


PLACES: dict[str, tuple[Lying, tuple[float, float], bool]] = {
    "anywhere": (Lying.ANYWHERE, (3.5, 1.25), True),
    "as the key": (Lying.AS_KEY, (0, 0), True),
    "off the key's place": (Lying.AS_KEY, (0.5, 0), False),
    "corner on the origin": (Lying.CORNER, (0, 0), True),
    "corner off the origin": (Lying.CORNER, (0, -0.5), False),
    "centred": (Lying.CENTRED, (-4, -2.5), True),
    "not centred": (Lying.CENTRED, (0, 0), False),
}


@pytest.mark.parametrize(("lying", "shift", "right"), PLACES.values(), ids=PLACES)
def test_where_the_part_lies(lying: Lying, shift: tuple[float, float], right: bool) -> None:
    block = replace(KEY, way=lambda p: (p[0] + shift[0], p[1] + shift[1]))
    assert taken(marks(block, replace(RUBRIC, lying=lying))) == ({} if right else {C.PLACE: F(5)})


def test_a_wrong_width_does_not_cost_the_place_as_well() -> None:
    centred = replace(KEY, width=8.25, way=lambda p: (p[0] - 4.125, p[1] - 2.5))
    half = replace(KEY, width=8.25, way=lambda p: (p[0] - 4, p[1] - 2.5))
    for block in (centred, half):
        assert taken(marks(block, replace(RUBRIC, lying=Lying.CENTRED))) == {C.SIZES: SIZE}


LAYERED = replace(
    RUBRIC,
    criteria=(*RUBRIC.criteria, Asked(C.LAYERS, F(30)), Asked(C.CENTRE_POINTS, F(3))),
    layers=(
        LayerAsked("outline", ("PART",), ("LINE", "ARC", "CIRCLE")),
        LayerAsked("dimensions", ("DIMS",), ()),
    ),
)
ON_LAYERS = {"outline": "PART", "bolts": "part", "dims": "Dims"}
"""Names of layers are one whatever their case (DXF)."""


def test_layers_kinds_of_entity_and_centre_points() -> None:
    """16 pieces (9 edges, 3 circles, 4 of the slot) and 18 dimensions share the 30 points."""
    of = key_of(examined(replace(KEY, layers=ON_LAYERS, points=True)))
    right = replace(KEY, layers=ON_LAYERS, points=True)
    each = F(30, 34)
    assert taken(marks(right, LAYERED, of)) == {}
    off = replace(right, layers={**ON_LAYERS, "bolts": "0"})
    assert taken(marks(off, LAYERED, of)) == {C.LAYERS: 2 * each}
    assert taken(marks(replace(right, layers={**ON_LAYERS, "dims": "0"}), LAYERED, of)) == {C.LAYERS: 18 * each}
    # edges as a polyline: nine are of the wrong kind; arcs are allowed for circles
    assert taken(marks(replace(right, build="polyline"), LAYERED, of)) == {C.LAYERS: 9 * each}
    assert taken(marks(replace(right, points=False), LAYERED, of)) == {C.CENTRE_POINTS: F(3)}
    lost = replace(right, bolts=((1.0, 1.0), None), dims=without("bolts apart"))
    assert taken(marks(lost, LAYERED, of)) == {C.FEATURES: FEATURE}


def test_split_lines_cost_nothing_but_association() -> None:
    """A half line that a dimension is tied to ends where the dimension does not: seven ties of the key are gone."""
    assert set(taken(marks(replace(KEY, cuts=(0.5,))))) <= {C.DIMENSIONS}
    loose = replace(KEY, cuts=(0.5,), free=frozenset(ALL))
    assert taken(marks(loose)) == {C.DIMENSIONS: F(36, 5)}
    assert taken(marks(replace(KEY, free=frozenset(ALL)))) == {C.DIMENSIONS: F(36, 5)}


def from_board(board: Board, folder: Path) -> Any:
    path = folder / "layout.dxf"
    board.doc.saveas(path)
    return grade(key(), examine_file(path, Settings()), RUBRIC)


def test_what_cannot_be_marked_is_for_a_person(tmp_path: Path) -> None:
    nothing = from_board(Board(), tmp_path)
    assert isinstance(nothing, ForAPerson)
    assert "no linework" in nothing.why
    assert nothing.name == "layout"
    other = Board()
    other.circle((0, 0), 3.3)
    found = from_board(other, tmp_path)
    assert isinstance(found, ForAPerson)
    assert found.to_do
    part = Board()
    part.circle((1, 1), 0.5)
    part.circle((7, 1), 0.5)
    few = from_board(part, tmp_path)
    assert isinstance(few, ForAPerson)
    assert "2 of the key's" in few.why


def test_the_digest_tells_equal_layouts_and_only_these() -> None:
    same = marks(replace(KEY, dims=(), layers={"outline": "X"}))
    assert same.geometry == marks(KEY).geometry
    assert marks(replace(KEY, width=8.25)).geometry != same.geometry
    assert marks(replace(KEY, cuts=(0.5,))).geometry == same.geometry


@pytest.mark.parametrize("times", [1.1, 0.9, 3.0, 25.0], ids=str)
def test_an_odd_scale_is_named_and_charged_once(times: float) -> None:
    """One number wrong beside it is one fault more; a rubric that lets other units pass lets no odd scale pass."""
    free = replace(RUBRIC, other_units=True)
    found = marks(replace(KEY, scale=times), free)
    assert taken(found) == {C.UNITS: F(5)}
    (said,) = [d.what for m in found.marks if m.criterion is C.UNITS for d in m.deductions]
    assert said == f"everything is drawn {times:g} times as large as the key"
    assert taken(marks(replace(KEY, scale=times, bolt_size=(0.75, 0.75)), free)) == {C.UNITS: F(5), C.SIZES: F(2)}
