"""Two views and a title block: how the layout lies is found from all of it, and nothing else stands for the part."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from math import cos, radians, sin
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from rules.rule_board import Board, Spot

from dimaudit.grade.laid_out import Key, key_of
from dimaudit.grade.marks import grade
from dimaudit.model.grading import Criterion, Graded
from dimaudit.model.settings import Settings
from dimaudit.pipeline import Examined, examine_file
from grade.plates import RUBRIC, taken

C = Criterion
SMALL = {"dimtxt": 0.1, "dimasz": 0.1}
Way = Callable[[Spot], Spot]


@dataclass(frozen=True)
class Flange:
    """A shaft-log flange: seen from the front, and from the side with its hub, beside a title block."""

    across: float = 5.0
    first_hole: float = 0.0
    """Degrees."""
    front: bool = True
    side: bool = True
    side_at: Spot = (4.0, 0.0)
    block: bool = True
    way: Way = tuple[float, float]
    dims: bool = False

    def examined(self) -> Examined:
        board = Board()
        self._draw(board)
        with TemporaryDirectory() as folder:
            path = Path(folder) / "flange.dxf"
            board.doc.saveas(path)
            return examine_file(path, Settings())

    def _draw(self, b: Board) -> None:
        at, r = self.way, self.across / 2

        def path(*spots: Spot) -> None:
            b.path(*map(at, spots))

        if self.front:
            for size in (self.across, 2.25, 1.5):
                b.circle(at((0, 0)), size)
            b.circle(at((0, 0)), 3.75, "CENTER")
            for k in range(6):
                turn = radians(self.first_hole + 60 * k)
                b.circle(at((1.875 * cos(turn), 1.875 * sin(turn))), 0.28125)
        if self.side:
            x, y = self.side_at
            path((x, y - r), (x + 0.75, y - r), (x + 0.75, y - 1.125), (x + 1.25, y - 1.125), (x + 1.25, y + 1.125),
                 (x + 0.75, y + 1.125), (x + 0.75, y + r), (x, y + r))  # fmt: skip
        if self.block:  # where the sheet has it, however the part lies
            b.path((1.0, -9.0), (7.0, -9.0), (7.0, -8.0), (1.0, -8.0))
            b.line((3.0, -9.0), (3.0, -8.0))
        if self.dims:
            b.diameter((0, 0), 1.5, **SMALL)
            b.diameter((0, 0), 3.75, **SMALL)
            b.diameter((1.875, 0), 0.28125, text="6X <> EQ SP", **SMALL)
            b.across((4.0, -r), (4.75, -r), line_at=-3.0, **SMALL)
            b.across((4.0, -r), (5.25, -1.125), line_at=-3.5, **SMALL)
            b.upright((4.0, -r), (4.0, r), line_at=3.5, **SMALL)
            b.upright((5.25, -1.125), (5.25, 1.125), line_at=6.0, **SMALL)


@cache
def keyed() -> Key:
    return key_of(Flange(dims=True).examined())


def marks(flange: Flange) -> Graded:
    found = grade(keyed(), flange.examined(), RUBRIC)
    assert isinstance(found, Graded), found
    return found


def lost(flange: Flange) -> dict[Criterion, float]:
    """In faults; the layouts have no dimensions, and these are left out."""
    found = marks(flange)
    each = {m.criterion: m.each for m in found.marks}
    return {c: float(v / each[c]) for c, v in taken(found).items() if c is not C.DIMENSIONS}


WAYS: dict[str, tuple[Way, str]] = {
    "turned counter-clockwise": (lambda p: (-p[1], p[0]), "the layout is turned a quarter counter-clockwise"),
    "turned clockwise": (lambda p: (p[1], -p[0]), "the layout is turned a quarter clockwise"),
    "upside down": (
        lambda p: (-p[0], -p[1]),
        "the layout is upside down (turned by a half) or mirrored left to right: on this part it is the same",
    ),
}


@pytest.mark.parametrize("block", [True, False], ids=["with a title block", "without"])
@pytest.mark.parametrize(("way", "words"), WAYS.values(), ids=WAYS)
def test_a_round_view_does_not_say_how_the_layout_is_turned_and_the_other_does(
    way: Way, words: str, block: bool
) -> None:
    flange = Flange(way=way, block=block)
    assert lost(flange) == {C.ORIENTATION: 1}
    assert [d.what for m in marks(flange).marks if m.criterion is C.ORIENTATION for d in m.deductions] == [words]


@pytest.mark.parametrize("block", [True, False], ids=["with a title block", "without"])
def test_holes_turned_about_their_circle_are_one_fault_and_the_layout_is_not_turned(block: bool) -> None:
    """Six holes at 30 degrees stand as if the front view were turned by a quarter."""
    flange = Flange(first_hole=30, block=block)
    assert lost(flange) == {C.SIZES: 1}
    (said,) = [d.what for m in marks(flange).marks if m.criterion is C.SIZES for d in m.deductions if d.points]
    assert said.endswith("are turned by 30° about their circle's centre")


def test_a_view_that_is_not_drawn_is_missing_and_the_title_block_stands_for_none_of_it() -> None:
    """The side view has five edges beside its hub, which is one tab. Of 9 sizes its 5 follow, one
    of them the hub's place, which no number gives; 3 of these cost nothing."""
    assert {m.criterion: m.asked for m in marks(Flange(side=False)).marks}[C.SIZES] == 9
    assert lost(Flange(side=False)) == {C.FEATURES: 6, C.SIZES: 2}
    assert lost(Flange(side=False, block=False)) == {C.FEATURES: 6, C.SIZES: 2}


def test_one_size_that_both_views_show_is_one_fault() -> None:
    """The outer diameter is a circle in one view and a height in the other; what lies within is right in both."""
    found = marks(Flange(across=5.25))
    assert lost(Flange(across=5.25)) == {C.SIZES: 1}
    (said,) = [d.what for m in found.marks if m.criterion is C.SIZES for d in m.deductions if d.points]
    assert said.startswith("a distance along y is 5.250 instead of 5.000")


def test_views_farther_apart_cost_nothing() -> None:
    assert lost(Flange(side_at=(6.0, 0.0))) == {}


PLACES: dict[str, tuple[Spot, tuple[str, ...]]] = {
    "farther apart": ((6.0, 0.0), ()),
    "too low": ((4.0, -0.5), ("two views are .500 out of line, which the key has in line; it costs nothing",)),
    "on the other side": (
        (-6.0, 0.0), ("a view is on the other side of its neighbour than in the key; it costs nothing",),
    ),
}  # fmt: skip


@pytest.mark.parametrize(("at", "words"), PLACES.values(), ids=PLACES)
def test_where_a_view_stands_to_its_neighbour_is_said(at: Spot, words: tuple[str, ...]) -> None:
    """Views are in line by their projection (ISO 128-3, first and third angle)."""
    assert lost(Flange(side_at=at)) == {}
    assert tuple(r for r in marks(Flange(side_at=at)).remarks if "view" in r) == words
