"""A part that looks the same turned and mirrored: its dimensions say which it is; without them both are said."""

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from typing import Any

import pytest

from dimaudit.grade.laid_out import Key, key_of
from dimaudit.model.grading import Criterion
from grade.plates import KEY, RUBRIC, Spot, examined, marks, taken

C = Criterion
EVEN = replace(
    KEY, notch=None, chamfer=None, slot=None, bolts=((1.0, 2.5), (6.0, 2.5)), bore=(4.0, 2.5),
    dims=("width", "height", "bolt x", "bolt y", "bolts apart", "bore x", "bolt size", "bore size"),
)  # fmt: skip
"""Alike above and below."""
BOTH = replace(EVEN, bolts=((1.0, 2.5), (7.0, 2.5)))
"""Alike left and right, too."""


@cache
def keyed() -> Key:
    return key_of(examined(EVEN))


def said(way: Callable[[Spot], Spot], dims: bool) -> list[str]:
    block = replace(EVEN, way=way) if dims else replace(EVEN, way=way, dims=())
    return [d.what for m in marks(block, of=keyed()).marks if m.criterion is C.ORIENTATION for d in m.deductions]


def mirrored(p: Spot) -> Spot:
    return 8 - p[0], p[1]


def by_a_half(p: Spot) -> Spot:
    return 8 - p[0], 5 - p[1]


WORDS = {mirrored: "mirrored left to right", by_a_half: "upside down (turned by a half)"}


@pytest.mark.parametrize("way", WORDS)
def test_the_dimensions_say_how_an_even_part_was_turned(way: Callable[[Spot], Spot]) -> None:
    assert said(way, dims=True) == [f"the layout is {WORDS[way]}"]
    assert taken(marks(replace(EVEN, way=way), of=keyed())).keys() == {C.ORIENTATION}


@pytest.mark.parametrize("way", WORDS)
def test_without_dimensions_both_are_said(way: Callable[[Spot], Spot]) -> None:
    (words,) = said(way, dims=False)
    assert all(word in words for word in WORDS.values())
    assert words.endswith(": on this part it is the same")


@pytest.mark.parametrize("way", [mirrored, by_a_half])
def test_a_fault_costs_the_same_on_a_part_that_is_even_all_round(way: Callable[[Spot], Spot]) -> None:
    """Laid on the key as it is, its dimensions would run from the other edges."""
    rubric = replace(RUBRIC, turned=True, mirrored=True, own_scheme=False)
    of, block = key_of(examined(BOTH)), replace(BOTH, bolts=((1.25, 2.5), (7.0, 2.5)))
    assert taken(marks(replace(block, way=way), rubric, of)) == taken(marks(block, rubric, of))


FOUR = replace(BOTH, bolts=((1.0, 1.0), (7.0, 1.0), (1.0, 4.0), (7.0, 4.0)), bolt_size=(0.5,) * 4)


@pytest.mark.parametrize("change", [
    {"bolt_size": (0.375, 0.5, 0.5, 0.5)}, {"dims": tuple(d for d in BOTH.dims if d != "bolt size")},
], ids=["one of another size", "their size not stated"])  # fmt: skip
def test_of_like_holes_one_size_is_one_number_in_any_scheme(change: dict[str, Any]) -> None:
    """On a part that looks the same turned by a half, its dimensions run from the other edges: another scheme."""
    of = key_of(examined(FOUR))
    block = replace(FOUR, **change)
    assert taken(marks(replace(block, way=by_a_half), of=of)) == taken(marks(block, of=of))
