"""Where edges, arcs and circles end and which way they run: each fault is charged, and once.

The block's key gets a window with one rounded corner: 12 features at 22/12 each, so that a part of one is a share.
"""

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction as F
from functools import cache
from itertools import pairwise
from typing import Any

import pytest
from rules.rule_board import Board

from dimaudit.grade.laid_out import Key, key_of
from dimaudit.model.grading import Criterion
from grade.plates import KEY, Block, examined, marks, taken

C = Criterion
Corner = Callable[[Board], Any]


def window(corner: Corner, right: float = 3.25, top: float = 5.75) -> Corner:
    """From (5, 3) to (6, 3.5), its upper right corner rounded; `right`, `top`: where these edges end."""
    def draw(board: Board) -> None:
        spots = (5.0, 3.5), (5.0, 3.0), (6.0, 3.0), (6.0, right)
        for a, b in pairwise(spots):
            board.line(a, b)
        board.line((top, 3.5), (5, 3.5))
        corner(board)

    return draw


def fillet(centre: tuple[float, float] = (5.75, 3.25), start: float = 0, end: float = 90) -> Corner:
    return lambda b: b.arc(centre, 0.25, start, end)


def nothing(_: Board) -> None:
    pass


@cache
def keyed() -> Key:
    return key_of(examined(replace(KEY, extra=window(fillet()))))


LINEWORK, SHAPE, QUARTER = F(2), F(2), F(22, 12) / 5
CASES: dict[str, tuple[Corner, dict[Criterion, F]]] = {
    "as the key": (window(fillet()), {}),
    "both edges run on to the sharp corner": (window(fillet(), 3.5, 6), {C.LINEWORK: LINEWORK}),
    "one edge runs on": (window(fillet(), 3.5), {C.LINEWORK: LINEWORK}),
    "one edge ends too early": (window(fillet(), 3.125), {C.LINEWORK: LINEWORK}),
    "it bulges inwards": (window(fillet((6, 3.5), 180, 270)), {C.SHAPE: SHAPE}),
    "a chamfer for the fillet": (window(lambda b: b.line((6, 3.25), (5.75, 3.5))), {C.FEATURES: QUARTER}),
    "a full circle for the fillet": (window(lambda b: b.circle((5.75, 3.25), 0.25)), {C.FEATURES: QUARTER}),
}


@pytest.mark.parametrize(("corner", "lost"), CASES.values(), ids=CASES)
def test_a_corner_is_the_keys_or_one_fault(corner: Corner, lost: dict[Criterion, F]) -> None:
    found = marks(replace(KEY, extra=corner), of=keyed())
    assert {c: v for c, v in taken(found).items() if c is not C.DIMENSIONS} == lost


def test_an_arc_on_its_circle_turned_by_a_quarter_is_seen() -> None:
    found = marks(replace(KEY, extra=window(fillet(start=90, end=180))), of=keyed())
    assert "bulges another way" in " ".join(d.what for m in found.marks for d in m.deductions)


def test_how_far_ends_are_apart_is_said() -> None:
    found = marks(replace(KEY, extra=window(fillet(), 3.125)), of=keyed())
    (said,) = [d for m in found.marks if m.criterion is C.LINEWORK for d in m.deductions]
    assert said.why == (
        "in the key they meet at (6.000, 3.250)",
        "they are .125 apart: the upright edge from (6.000, 3.000) to (6.000, 3.250) ends at (6.000, 3.125)",
    )


INSTEAD: dict[str, Block] = {
    "a three-quarter arc for the bore": replace(
        KEY, bore=None, extra=lambda b: b.arc((4.0, 2.4375), 0.625, 0, 270),
    ),
    "a polygon for the bore": replace(
        KEY, bore=None, extra=lambda b: b.msp.add_lwpolyline(
            [(4.625, 2.4375), (4.0, 3.0625), (3.375, 2.4375), (4.0, 1.8125)], close=True),
    ),
}  # fmt: skip


@pytest.mark.parametrize("block", INSTEAD.values(), ids=INSTEAD)
def test_what_is_drawn_instead_of_a_feature_is_charged_there(block: Block) -> None:
    found = marks(replace(block, dims=()))
    assert {c: v for c, v in taken(found).items() if c is not C.DIMENSIONS} == {C.FEATURES: F(2)}
    (said,) = [d for m in found.marks if m.criterion is C.LINEWORK for d in m.deductions]
    assert "in place of the Ø1.250 hole at (4.000, 2.4375)" in said.what


def test_what_is_drawn_elsewhere_is_another_fault() -> None:
    found = marks(replace(KEY, bore=None, dims=(), extra=lambda b: b.arc((6.5, 3.5), 0.5, 0, 270)))
    assert {c: v for c, v in taken(found).items() if c is not C.DIMENSIONS} == {C.FEATURES: F(2), C.LINEWORK: F(2)}
