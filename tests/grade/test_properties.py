"""What may never change a mark, and what may never raise one."""

from dataclasses import replace
from fractions import Fraction
from functools import cache
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from dimaudit.grade.laid_out import Key, key_of
from dimaudit.grade.marks import grade
from dimaudit.model.grading import Asked, Criterion, Graded, LayerAsked
from dimaudit.model.settings import Settings
from dimaudit.pipeline import examine_file
from grade.plates import KEY, RUBRIC, Block, Drawn, examined, key, marks, taken

FEW = settings(max_examples=20, deadline=None, suppress_health_check=list(HealthCheck))

FAULTS: dict[str, dict[str, Any]] = {
    "width": {"width": 8.25},
    "height": {"height": 5.125},
    "bolts": {"bolts": ((1.25, 1.0), (7.25, 1.0))},
    "bolt size": {"bolt_size": (0.375, 0.375)},
    "bore": {"bore": (4.0, 2.25)},
    "bore size": {"bore_size": 1.5},
    "slot size": {"slot_radius": 0.1875},
    "chamfer": {"chamfer": (0.625, 0.75)},
    "tilt": {"tilt": 0.125},
    "typed": {"texts": {"notch x": "3.125"}},
    "loose": {"free": frozenset({"height"})},
    "coarse": {"places": {"bore x": 1}},
    "mirrored": {"way": lambda p: (-p[0], p[1])},
    "stray": {"stray": (6.5, 3.25)},
}
"""Faults that touch different numbers of the key, so that none hides another."""


@FEW
@given(st.sets(st.sampled_from(sorted(FAULTS)), max_size=4), st.integers(0, 10**6))
def test_order_handles_and_colours_never_change_a_mark(faults: set[str], seed: int) -> None:
    block = faulty(faults)
    before = marks(block)
    random = Random(seed)
    shuffled = Drawn(replace(block, shuffled=random.shuffle))
    for entity in shuffled.board.msp:
        entity.dxf.color = random.randint(1, 255)
    after = graded(shuffled, random)
    assert [(m.criterion, m.got) for m in after.marks] == [(m.criterion, m.got) for m in before.marks]
    assert after.geometry == before.geometry


def graded(drawn: Drawn, random: Random) -> Graded:
    """The drawing's marks, its dimensions' order shuffled too: `Block.shuffled` shuffles the linework."""
    space = drawn.board.msp.entity_space
    entities = list(space)
    random.shuffle(entities)
    space.entities[:] = entities
    with TemporaryDirectory() as folder:
        path = Path(folder) / "shuffled.dxf"
        drawn.board.doc.saveas(path)
        found = grade(key(), examine_file(path, Settings()), RUBRIC)
    assert isinstance(found, Graded)
    return found


def faulty(faults: set[str]) -> Block:
    return replace(KEY, **changes_of(faults))


def changes_of(faults: set[str]) -> dict[str, Any]:
    changes: dict[str, Any] = {}
    for name in sorted(faults):
        changes |= FAULTS[name]
    return changes


CUTS = st.sets(st.integers(1, 15), min_size=1, max_size=2).map(lambda own: tuple(n / 16 for n in sorted(own)))
"""Where a line or an arc is cut into two or three pieces."""
LAYERED = replace(KEY, layers={"outline": "OUTLINE", "bolts": "HOLES", "dims": "DIM"})
ON_LAYERS = replace(
    RUBRIC, criteria=(*RUBRIC.criteria, Asked(Criterion.LAYERS, Fraction(28))),
    layers=(LayerAsked("outline", ("OUTLINE", "HOLES"), ()), LayerAsked("dimensions", ("DIM",), ())),
)  # fmt: skip
LAYERS = st.fixed_dictionaries({
    "outline": st.sampled_from(("OUTLINE", "SCRAP")), "bolts": st.sampled_from(("HOLES", "SCRAP")),
    "dims": st.sampled_from(("DIM", "OUTLINE")),
})  # fmt: skip


@FEW
@given(st.sets(st.sampled_from(sorted(set(FAULTS) - {"loose"})), max_size=4), CUTS, CUTS | st.just(()), LAYERS)
def test_pieces_cut_in_several_change_only_what_is_associated(
    faults: set[str], cuts: tuple[float, ...], arc_cuts: tuple[float, ...], layers: dict[str, str]
) -> None:
    """A line drawn as two or three on one layer, an arc or a circle drawn as arcs: the layers' marks stay, too."""
    block, of = replace(faulty(faults), layers=layers), layered()
    whole = marks(block, ON_LAYERS, of)
    cut = marks(replace(block, cuts=cuts, arc_cuts=arc_cuts), ON_LAYERS, of)
    for before, after in zip(whole.marks, cut.marks, strict=True):
        if before.criterion is not Criterion.DIMENSIONS:
            assert after.got == before.got, before.criterion
        else:
            kept = [d.points for d in after.deductions if "associated" not in d.what]
            assert kept == [d.points for d in before.deductions if "associated" not in d.what]


@FEW
@given(st.sets(st.sampled_from(sorted(FAULTS)), max_size=3), CUTS, CUTS | st.just(()))
def test_a_key_drawn_in_pieces_asks_the_same(
    faults: set[str], cuts: tuple[float, ...], arc_cuts: tuple[float, ...]
) -> None:
    block, of = replace(LAYERED, **changes_of(faults)), key_of(examined(replace(LAYERED, cuts=cuts, arc_cuts=arc_cuts)))
    wanted, found = marks(block, ON_LAYERS, layered()), marks(block, ON_LAYERS, of)
    for before, after in zip(wanted.marks, found.marks, strict=True):
        assert (after.criterion, after.asked, after.got) == (before.criterion, before.asked, before.got)


@cache
def layered() -> Key:
    """The key, on layers."""
    return key_of(examined(LAYERED))


@FEW
@given(st.sets(st.sampled_from(sorted(FAULTS)), min_size=1, max_size=5), st.data())
def test_one_more_fault_never_raises_a_mark(faults: set[str], data: st.DataObject) -> None:
    more = data.draw(st.sampled_from(sorted(faults)))
    without, with_it = marks(faulty(faults - {more})), marks(faulty(faults))
    assert with_it.got <= without.got
    for before, after in zip(without.marks, with_it.marks, strict=True):
        assert after.got <= before.got


@FEW
@given(
    st.sets(st.sampled_from(sorted(set(FAULTS) - {"mirrored"})), max_size=3),
    st.tuples(st.integers(-400, 400), st.integers(-400, 400)), st.integers(0, 3), st.booleans(),
)  # fmt: skip
def test_a_layout_moved_turned_or_mirrored_has_the_same_marks_where_that_is_allowed(
    faults: set[str], shift: tuple[int, int], turns: int, mirrored: bool
) -> None:
    def way(p: tuple[float, float]) -> tuple[float, float]:
        x, y = (-p[0] if mirrored else p[0]), p[1]
        for _ in range(turns):
            x, y = -y, x
        return x + shift[0] / 16, y + shift[1] / 16

    rubric = replace(RUBRIC, turned=True, mirrored=True)
    block = faulty(faults)
    before, after = marks(block, rubric), marks(replace(block, way=way), rubric)
    assert taken(after) == taken(before)


def test_single_faults_cost_their_own_criterion_only() -> None:
    for name, changes in FAULTS.items():
        cost = taken(marks(replace(KEY, **changes)))
        assert len(cost) == 1, name
        assert next(iter(cost.values())) in (Fraction(1), Fraction(2), Fraction(5), Fraction(2, 5)), name
