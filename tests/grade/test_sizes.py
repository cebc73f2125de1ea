"""Parts of other kinds: what a submission is charged for, each cause once."""

from collections.abc import Callable
from math import cos, radians, sin
from pathlib import Path
from typing import Any

import pytest
from rules.rule_board import Board

from dimaudit.exact.real import nearly
from dimaudit.grade.laid_out import Key, LaidOut, key_of, lay_out
from dimaudit.grade.sized import Measure
from dimaudit.model.scheme import Implied
from dimaudit.model.settings import Settings
from dimaudit.pipeline import Examined, examine_file
from grade.plates import RUBRIC

SMALL = {"dimtxt": 0.1, "dimasz": 0.1}
Draw = Callable[..., None]


def examined(folder: Path, draw: Draw, **sizes: Any) -> Examined:
    board = Board()
    draw(board, **sizes)
    path = folder / "part.dxf"
    board.doc.saveas(path)
    return examine_file(path, Settings())


def laid_out(folder: Path, draw: Draw, **sizes: Any) -> LaidOut:
    """The part with other sizes, and without dimensions, on the part as the key draws it."""
    key: Key = key_of(examined(folder, draw))
    found = lay_out(key, examined(folder, draw, dims=False, **sizes), RUBRIC)
    assert found is not None
    return found


def numbers(found: LaidOut) -> list[tuple[float, float]]:
    """What the key says and what is drawn, fault by fault."""
    return [(round(nearly(f.key), 4), round(nearly(f.drawn), 4)) for f in found.sizes.faults
            if f.key is not None and f.drawn is not None]  # fmt: skip


def flange(
    b: Board, across: float = 4.0, holes: int = 6, size: float = 0.5, skip: tuple[int, ...] = (),
    off: dict[int, float] | None = None, turned: float = 0.0, dims: bool = True,
) -> None:  # fmt: skip
    """A shaft-log flange with holes on a bolt circle."""
    b.circle((0, 0), 6.0)
    b.circle((0, 0), 1.5)
    b.circle((0, 0), across, "CENTER")
    for k in range(holes):
        if k not in skip:
            at = radians(turned + 360 * k / holes + (off or {}).get(k, 0))
            b.circle((across / 2 * cos(at), across / 2 * sin(at)), size)
    if dims:
        for diameter in (6.0, 1.5, across):
            b.diameter((0, 0), diameter, **SMALL)
        b.diameter((across / 2, 0), size, text=f"{holes}X <> EQ SP", **SMALL)


def test_a_bolt_circle_is_one_size(tmp_path: Path) -> None:
    found = laid_out(tmp_path, flange, across=4.25)
    assert numbers(found) == [(4.0, 4.25)]
    assert [f.measure for f in found.sizes.faults] == [Measure.BOLT_CIRCLE]
    assert len(found.sizes.faults[0].pieces) == 6


def test_one_hole_off_its_angle_is_one_fault_with_a_wrong_bolt_circle_or_without(tmp_path: Path) -> None:
    assert len(laid_out(tmp_path, flange, off={2: 5}).sizes.faults) == 1
    assert len(laid_out(tmp_path, flange, off={2: 5}, across=4.25).sizes.faults) == 2


def test_five_holes_for_six_are_one_missing_and_one_wrong_angle(tmp_path: Path) -> None:
    found = laid_out(tmp_path, flange, holes=5)
    assert numbers(found) == [(60, 72)]
    assert len(found.sizes.faults) == 1
    assert len(found.pairing.missing) == 1


def test_a_missing_hole_of_a_pattern_moves_none_of_the_others(tmp_path: Path) -> None:
    for skip in ((3,), (0, 1), (1, 3, 5)):
        found = laid_out(tmp_path, flange, skip=skip)
        assert found.sizes.faults == ()
        assert len(found.pairing.missing) == len(skip)


def plate(
    b: Board, wide: float = 8.0, apart: float = 6.0, moved: dict[int, tuple[float, float]] | None = None,
    skip: tuple[int, ...] = (), dims: bool = True,
) -> None:  # fmt: skip
    """A winch base plate, alike on both sides."""
    b.plate(wide, 4.0, (-wide / 2, -2.0))
    for k, (x, y) in enumerate(((-1, -1), (1, -1), (1, 1), (-1, 1))):
        dx, dy = (moved or {}).get(k, (0.0, 0.0))
        if k not in skip:
            b.circle((x * apart / 2 + dx, y * 1.5 + dy), 0.5)
    if dims:
        x = apart / 2
        b.across((-wide / 2, -2), (wide / 2, -2), line_at=-4, **SMALL)
        b.upright((-wide / 2, -2), (-wide / 2, 2), line_at=-6, **SMALL)
        b.across((-x, 1.5), (x, 1.5), **SMALL)
        b.upright((-x, -1.5), (-x, 1.5), line_at=-5, **SMALL)
        b.across((-wide / 2, -2), (-x, -1.5), line_at=-3, **SMALL)
        b.upright((-wide / 2, -2), (-x, -1.5), line_at=-4.5, **SMALL)
        b.diameter((-x, -1.5), 0.5, text="4X <>", **SMALL)


def test_a_symmetrical_part_too_wide_on_both_sides_is_charged_once(tmp_path: Path) -> None:
    found = laid_out(tmp_path, plate, wide=8.5)
    assert numbers(found) == [(8.0, 8.5)]
    assert [(nearly(n.key), nearly(n.drawn)) for n in found.sizes.faults[0].numbers] == [(8, 8.5), (1, 1.25)]
    assert numbers(laid_out(tmp_path, plate, apart=6.5)) == [(6.0, 6.5)]


def test_one_hole_off_in_both_ways_is_a_number_and_a_row_that_is_not_straight(tmp_path: Path) -> None:
    found = laid_out(tmp_path, plate, moved={2: (0.25, 0.125)})
    assert numbers(found) == [(6.0, 6.25)]
    assert [f.implied for f in found.sizes.faults] == [None, Implied.IN_LINE]


def test_a_symmetrical_part_is_not_said_to_be_turned_since_holes_are_missing(tmp_path: Path) -> None:
    for skip in ((0,), (0, 2), (0, 1, 2)):
        found = laid_out(tmp_path, plate, skip=skip)
        assert not found.fit.alignment.mirrored
        assert found.fit.alignment.quarter_turns == 0
        assert found.sizes.faults == ()
        assert len(found.pairing.missing) == len(skip)


def wedge(b: Board, degrees: float = 30.0, long: float = 2.0, dims: bool = True) -> None:
    """A cleat wedge: a slanted edge by its length and its angle."""
    x, y = 6 - long * cos(radians(degrees)), 4 - long * sin(radians(degrees))
    b.path((0, 0), (6, 0), (6, y), (x, 4), (0, 4))
    if dims:
        b.across((0, 0), (6, 0), **SMALL)
        b.upright((0, 0), (0, 4), **SMALL)
        b.aligned((x, 4), (6, y), **SMALL)
        b.angle(((6, y), (x, 4)), ((6, 0), (6, y)), (5.5, 3.0), **SMALL)


def test_slanted_lengths_and_angles(tmp_path: Path) -> None:
    (fault,) = laid_out(tmp_path, wedge, degrees=45.0).sizes.faults
    assert fault.measure is Measure.ANGLE
    assert fault.key is not None
    assert fault.drawn is not None
    assert abs(nearly(fault.drawn) - nearly(fault.key)) == pytest.approx(15)
    assert numbers(laid_out(tmp_path, wedge, long=2.25)) == [(2.0, 2.25)]


def bare(
    b: Board, wide: float = 8.0, high: float = 5.0, hole: float = 1.0, window: tuple[float, float] | None = (2.0, 2.0),
    **_: bool,
) -> None:  # fmt: skip
    """A key that states nothing."""
    b.plate(wide, high)
    for x, y in ((hole, 1), (7, 1), (4, 3)):
        b.circle((x, y), 0.5)
    if window:
        b.plate(1.0, 0.5, window)


MOVED: dict[str, tuple[dict[str, Any], list[tuple[float, float]]]] = {
    "the width": ({"wide": 8.25}, [(0.25, 0)]),
    "width and height": ({"wide": 8.25, "high": 5.5}, [(0, 0.5), (0.25, 0)]),
    "a hole": ({"hole": 1.25}, [(0.25, 0)]),
    "a window, which is one thing": ({"window": (2.25, 2.125)}, [(0.25, 0.125)]),
}


@pytest.mark.parametrize(("sizes", "expected"), MOVED.values(), ids=MOVED)
def test_a_key_without_dimensions_is_compared_in_place(
    tmp_path: Path, sizes: dict[str, Any], expected: list[tuple[float, float]]
) -> None:
    found = laid_out(tmp_path, bare, **sizes)
    assert [tuple(map(float, f.moved or ())) for f in found.sizes.faults] == expected


def views(
    b: Board, hole: tuple[float, float] = (2.0, 1.0), side: tuple[float, float] = (10.0, 0.0), deep: float = 2.0,
    wide: float = 6.0, dims: bool = True,
) -> None:  # fmt: skip
    """A bearing block in two views in line; the hole is hidden in the second."""
    x, y = side
    b.plate(wide, 3.0)
    b.circle(hole, 0.75)
    b.plate(deep, 3.0, side)
    for level in (hole[1] - 0.375, hole[1] + 0.375):
        b.line((x, y + level), (x + deep, y + level), "HIDDEN")
    if dims:
        b.across((0, 0), (wide, 0), line_at=-1, **SMALL)
        b.upright((0, 0), (0, 3), line_at=-1, **SMALL)
        b.across((0, 0), hole, line_at=-0.5, **SMALL)
        b.upright((0, 0), hole, line_at=-0.5, **SMALL)
        b.diameter(hole, 0.75, **SMALL)
        b.across((x, y), (x + deep, y), line_at=y - 1, **SMALL)


TWO: dict[str, tuple[dict[str, Any], list[tuple[float, float]]]] = {
    "the views farther apart": ({"side": (12.0, 0.0)}, []),
    "the views not in line": ({"side": (12.0, 0.5)}, []),
    "the second view wrong, and elsewhere": ({"side": (12.0, 0.5), "deep": 2.25}, [(2.0, 2.25)]),
    "the hole too high in both views": ({"hole": (2.0, 1.25)}, [(1.0, 1.25)]),
    "the hole too far right": ({"hole": (2.25, 1.0)}, [(2.0, 2.25)]),
    "both views wrong": ({"wide": 6.5, "deep": 2.25}, [(6.0, 6.5), (2.0, 2.25)]),
}


@pytest.mark.parametrize(("sizes", "expected"), TWO.values(), ids=TWO)
def test_views_lie_where_the_learner_put_them(
    tmp_path: Path, sizes: dict[str, Any], expected: list[tuple[float, float]]
) -> None:
    found = laid_out(tmp_path, views, **sizes)
    assert found.pairing.missing == ()
    assert sorted(numbers(found)) == sorted(expected)
    assert len(found.sizes.faults) == len(expected)
