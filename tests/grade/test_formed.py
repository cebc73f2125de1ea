"""Arcs and curves that end where the key's do, and run otherwise: each is one fault of the shape, 2 points here."""

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction as F
from functools import cache
from math import radians, tau
from typing import Any

import pytest
from rules.rule_board import Board

from dimaudit.grade.laid_out import Key, key_of
from dimaudit.model.grading import Criterion
from grade.plates import KEY, Block, examined, marks, taken

C = Criterion
Draw = Callable[[Board], Any]


def rounded(centre: tuple[float, float], radius: float, start: float, end: float) -> Draw:
    """A groove in the face: an arc between the ends of two level lines at (5, 3.5) and (6, 3.5), or near them."""
    def draw(board: Board) -> None:
        board.line((4.75, 3.5), (5, 3.5))
        board.line((6, 3.5), (6.25, 3.5))
        board.arc(centre, radius, start, end)

    return draw


def splined(*spots: tuple[float, float]) -> Draw:
    return lambda b: b.msp.add_open_spline([(x, y, 0) for x, y in spots])


def oval(x: float = 6.0, y: float = 3.0, wide: float = 0.5, ratio: float = 0.5, turn: bool = False) -> Draw:
    """An oval window; `turn` draws it from its other end."""
    return lambda b: b.msp.add_ellipse((x, y), (-wide if turn else wide, 0), ratio)


S = ((5, 3), (5.25, 3.5), (5.75, 2.5), (6, 3))
GROOVE = rounded((5.5, 3.5), 0.5, 0, 180)
FLAT = rounded((5.5, 3.125), 0.625, 36.8698976458440, 143.1301023541560)
"""Half as long as wide from (5, 3.5) to (6, 3.5), .25 high: the radius is (.5^2 + .25^2) / (2 x .25) = .625."""


@cache
def keyed(name: str) -> Key:
    return key_of(examined(replace(KEY, extra={"half": GROOVE, "flat": FLAT, "s": splined(*S), "oval": oval()}[name])))


SAME: dict[str, tuple[str, Draw]] = {
    "half": ("half", GROOVE),
    "half in two": ("half", lambda b: (rounded((5.5, 3.5), 0.5, 0, 70)(b), b.arc((5.5, 3.5), 0.5, 70, 180))),
    "flat": ("flat", FLAT),
    "s": ("s", splined(*S)),
    "s drawn from the other end": ("s", splined(*S[::-1])),
    "oval": ("oval", oval()),
    "oval drawn from its other end": ("oval", oval(turn=True)),
}


@pytest.mark.parametrize(("of", "draw"), SAME.values(), ids=SAME)
def test_the_key_again_costs_nothing(of: str, draw: Draw) -> None:
    assert taken(marks(replace(KEY, extra=draw), of=keyed(of))).keys() <= {C.DIMENSIONS}


FAULTS: dict[str, tuple[str, Draw, Criterion, str]] = {
    "half, the other way": ("half", rounded((5.5, 3.5), 0.5, 180, 360), C.SHAPE, "bulges the other way"),
    "flat, the other way": (
        "flat", rounded((5.5, 3.875), 0.625, 216.8698976458440, 323.1301023541560), C.SHAPE, "bulges the other way",
    ),
    "flat, the long way round": (
        "flat", rounded((5.5, 3.875), 0.625, -36.8698976458440, 216.8698976458440), C.SHAPE,
        "goes the other way round its circle",
    ),
    "another radius": ("half", FLAT, C.SIZES, "instead of"),
    "s, mirrored": ("s", splined(*((x, 6 - y) for x, y in S)), C.SHAPE, "runs otherwise than the key's"),
    "s, flatter": ("s", splined(S[0], (5.25, 3.25), (5.75, 2.75), S[3]), C.SHAPE, "runs otherwise than the key's"),
    "oval, narrower": ("oval", oval(ratio=0.4), C.SHAPE, "runs otherwise than the key's"),
    "oval, out of place": ("oval", oval(x=6.25), C.SIZES, "is out of place: .250 to the right"),
}


@pytest.mark.parametrize(("of", "draw", "criterion", "words"), FAULTS.values(), ids=FAULTS)
def test_what_runs_otherwise_is_one_fault(of: str, draw: Draw, criterion: Criterion, words: str) -> None:
    found = marks(replace(KEY, extra=draw), of=keyed(of))
    (said,) = [d for m in found.marks if m.criterion is criterion for d in m.deductions]
    assert words in said.what
    each = {m.criterion: m.each for m in found.marks}
    assert {c: v for c, v in taken(found).items() if c is not C.DIMENSIONS} == {criterion: each[criterion]}


def test_a_slot_drawn_inside_out_is_seen() -> None:
    """Its ends' centres, radii and levels are right, and the slot is not there."""
    def inward(board: Board) -> None:
        for arc in board.msp.query("ARC"):
            arc.dxf.start_angle, arc.dxf.end_angle = arc.dxf.end_angle, arc.dxf.start_angle

    found = marks(replace(KEY, extra=inward))
    assert taken(found)[C.SHAPE] == F(4)
    assert [d.what for m in found.marks if m.criterion is C.SHAPE for d in m.deductions] == [
        "the R.250 arc about (2.000, 4.000) bulges the other way",
        "the R.250 arc about (3.000, 4.000) bulges the other way",
    ]


def test_an_oval_beside_an_edge_that_is_off_follows_it() -> None:
    block: Block = replace(KEY, width=8.25, extra=oval(x=6.25))
    assert taken(marks(block, of=keyed("oval"))).keys() <= {C.SIZES}
    assert taken(marks(block, of=keyed("oval")))[C.SIZES] == F(2)


def test_a_round_ellipse_is_the_circle_and_the_arc_that_it_draws() -> None:
    """Its two axes are alike; a hole and a slot's end drawn so are there, and of the right size."""
    def ellipses(board: Board) -> None:
        for entity in list(board.msp.query("CIRCLE ARC")):
            x, y, _ = entity.dxf.center
            turn = (0.0, tau) if entity.dxftype() == "CIRCLE" else (
                radians(entity.dxf.start_angle), radians(entity.dxf.end_angle)
            )
            board.msp.add_ellipse((x, y), (entity.dxf.radius, 0), 1.0, *turn)
            board.msp.delete_entity(entity)

    assert taken(marks(replace(KEY, dims=(), extra=ellipses))).keys() == {C.DIMENSIONS}
    resized = marks(replace(KEY, dims=(), bore_size=1.5, extra=ellipses))
    assert taken(resized)[C.SIZES] == F(2)
