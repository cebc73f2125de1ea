"""A cause is found from differences: whatever a layout happens to be laid on, the same is wrong with it."""

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction as F

from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from dimaudit.grade.align import laid
from dimaudit.grade.laid_out import lay_out
from dimaudit.grade.sized import Sizes, sizes
from dimaudit.model.grading import Alignment, Criterion
from grade.plates import KEY, RUBRIC, Block, examined, key, marks, taken

OFF = st.sampled_from((0.0, 0.0, 0.0625, 0.125, -0.125, 0.25))


@st.composite
def blocks(draw: st.DrawFn) -> Block:
    """Anything of the block may be off, and some of it is left out."""
    by = [draw(OFF) for _ in range(10)]
    return replace(
        KEY, left=by[0], width=8 + by[1], height=5 + by[2], bolts=((1 + by[3], 1 + by[4]), (7 + by[5], 1 + by[4])),
        bore=draw(st.sampled_from(((4 + by[6], 2.4375 + by[7]), None))), notch=(3 + by[8], 5 + by[8], 0.75),
        slot=draw(st.sampled_from(((2 + by[9], 3 + by[9], 4.0 + by[7]), None))),
        tilt=draw(st.sampled_from((0.0, 0.0, 0.125))), dims=(),
    )  # fmt: skip


RIGHT = 0.125
ALL_RIGHT = replace(
    KEY, bolts=((1 + RIGHT, 1.0), (7 + RIGHT, 1.0)), bore=(4 + RIGHT, 2.4375), notch=(3 + RIGHT, 5 + RIGHT, 0.75),
    slot=(2 + RIGHT, 3 + RIGHT, 4.0), dims=(),
)  # fmt: skip
"""All that is measured from the left edge lies too far right, the outline is right."""


@settings(max_examples=25, deadline=None, suppress_health_check=list(HealthCheck))
@given(blocks(), st.tuples(OFF, OFF))
@example(ALL_RIGHT, (RIGHT, 0.0))
@example(ALL_RIGHT, (-RIGHT, 0.0))
@example(replace(KEY, left=-0.125, width=8.125, dims=()), (0.125, 0.0))
def test_what_is_wrong_does_not_depend_on_where_the_layout_was_laid(block: Block, shift: tuple[float, float]) -> None:
    found = lay_out(key(), examined(block), RUBRIC)
    assert found is not None
    theirs = {k: found.pieces[s] for k, s in found.pairing.of_key.items()}
    by = Alignment(shift=(F(shift[0]), F(shift[1])))
    moved = {k: laid(piece, by) for k, piece in theirs.items()}
    of = key()
    seen, again = (sizes(of.examined.audit, of.views, of.pieces, own, found.tolerance) for own in (theirs, moved))
    assert counted(again) == counted(seen)


def counted(found: Sizes) -> Sequence[object]:
    return found.asked, found.lost, sorted((f.dimensions, f.implied is None, f.tilted, f.pieces) for f in found.faults)


def test_all_that_is_measured_from_one_edge_is_off_alike_once() -> None:
    found = marks(ALL_RIGHT)
    assert taken(found)[Criterion.SIZES] == 2
    (said,) = [d for m in found.marks if m.criterion is Criterion.SIZES for d in m.deductions]
    assert said.what == "the left edge is out of place: .125 to the left, against what is measured from it"
