"""Dori's theorem on random orthogonal views that are drawn, saved, read, rebuilt and audited.

D. Dori, 'Dimensioning analysis', Communications of the ACM, 1992 (method and theorem read on public copies): the nodes
are the edge positions along an axis, the arcs the dimensions between them. The view is properly dimensioned along the
axis exactly when the graph is a tree over all nodes; components - 1 are missing, and arcs - nodes + components are
surplus. The graphs here are counted by networks of their own (union of sets), not by the project's forest.
"""

from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from pathlib import Path
from tempfile import TemporaryDirectory

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from read.sketch import Sketch

from dimaudit.model.audit import DrawingAudit
from dimaudit.model.scheme import Scheme

SLOW = settings(max_examples=30, deadline=None, suppress_health_check=[HealthCheck.too_slow])
Arcs = list[tuple[int, int]]


@dataclass(frozen=True)
class Stair:
    """A stepped block: all its x positions are different, and all its y positions."""

    xs: tuple[int, ...]
    ys: tuple[int, ...]

    @property
    def corners(self) -> list[tuple[int, int]]:
        """Up the left side, then down the steps to the lower right corner."""
        low, left = self.ys[0], self.xs[0]
        steps = []
        for x, y in zip(self.xs[1:], reversed(self.ys[1:]), strict=True):
            steps += [(steps[-1][0] if steps else left, y), (x, y)]
        return [(left, low), *steps, (self.xs[-1], low)]

    def at(self, axis: int, level: int) -> tuple[int, int]:
        """A corner on that level."""
        return next(c for c in self.corners if c[axis] == (self.xs, self.ys)[axis][level])


@st.composite
def stairs(draw: st.DrawFn) -> Stair:
    """Two to six positions each way, in sixteenths of an inch apart; an L shape has three."""
    count = draw(st.integers(2, 6))
    gaps = st.lists(st.integers(4, 40), min_size=count - 1, max_size=count - 1)

    def levels() -> tuple[int, ...]:
        found = [0]
        for gap in draw(gaps):
            found.append(found[-1] + gap)
        return tuple(found)

    return Stair(levels(), levels())


@st.composite
def arcs(draw: st.DrawFn, count: int) -> Arcs:
    """Dimensions between positions, at least one; the same two may be dimensioned twice."""
    pair = st.tuples(st.integers(0, count - 1), st.integers(0, count - 1)).filter(lambda p: p[0] != p[1])
    return draw(st.lists(pair, min_size=1, max_size=count + 2))


@st.composite
def trees(draw: st.DrawFn, count: int) -> Arcs:
    """A tree over all positions: each hangs on an earlier one, in any order."""
    order = draw(st.permutations(range(count)))
    return [(order[k], order[draw(st.integers(0, k - 1))]) for k in range(1, count)]


def drawn(stair: Stair, across: Arcs, upright: Arcs) -> tuple[DrawingAudit, Scheme, list[str], list[str]]:
    """The audit of the block with these dimensions, its only scheme, and the handles of the dimensions."""
    sketch = Sketch()
    spots = [(Fraction(x, 16), Fraction(y, 16)) for x, y in stair.corners]
    for a, b in pairwise([*spots, spots[0]]):
        sketch.line(a, b)

    def spot(axis: int, level: int) -> tuple[Fraction, Fraction]:
        x, y = stair.at(axis, level)
        return Fraction(x, 16), Fraction(y, 16)

    flat = [sketch.across(spot(0, a), spot(0, b), y=-1 - k).dxf.handle for k, (a, b) in enumerate(across)]
    tall = [sketch.upright(spot(1, a), spot(1, b), x=-1 - k).dxf.handle for k, (a, b) in enumerate(upright)]
    with TemporaryDirectory() as folder:
        audit = sketch.audit(Path(folder))
    (scheme,) = audit.schemes
    return audit, scheme, flat, tall


def components(count: int, own: Arcs) -> list[frozenset[int]]:
    found = [frozenset([k]) for k in range(count)]
    for a, b in own:
        touched = [c for c in found if a in c or b in c]
        found = [c for c in found if c not in touched] + [frozenset().union(*touched)]
    return found


def loose(scheme: Scheme, axis: int) -> set[frozenset[Fraction]]:
    """The groups of positions that are free along an axis."""
    return {frozenset(p.value * 16 for p in free.places) for free in scheme.free if free.axis == axis}



@SLOW
@given(st.data())
def test_missing_and_surplus_are_those_of_the_graph(data: st.DataObject) -> None:
    """Components - 1 are missing, and arcs - nodes + components are surplus, along each axis by itself."""
    stair = data.draw(stairs())
    count = len(stair.xs)
    across, upright = data.draw(arcs(count)), data.draw(arcs(count))
    _, scheme, flat, tall = drawn(stair, across, upright)
    flat_parts, tall_parts = components(count, across), components(count, upright)
    assert scheme.missing == len(flat_parts) - 1 + len(tall_parts) - 1
    surplus = len(across) - count + len(flat_parts), len(upright) - count + len(tall_parts)
    assert sum(loop.dimension in flat for loop in scheme.loops) == surplus[0]
    assert sum(loop.dimension in tall for loop in scheme.loops) == surplus[1]
    assert len(scheme.loops) == sum(surplus)
    assert all(loop.straight for loop in scheme.loops)
    if not scheme.why_not:
        # All components but the one that is taken as standing still, with all its positions.
        for axis, levels, parts in ((0, stair.xs, flat_parts), (1, stair.ys, tall_parts)):
            groups = {frozenset(Fraction(levels[k]) for k in part) for part in parts}
            assert loose(scheme, axis) < groups
            assert len(loose(scheme, axis)) == len(parts) - 1
    proper = len(flat_parts) == len(tall_parts) == 1 and not scheme.loops
    is_tree = all(len(own) == count - 1 for own in (across, upright)) and len(flat_parts) == len(tall_parts) == 1
    assert proper == is_tree


@SLOW
@given(st.data())
def test_one_dimension_less_frees_what_hangs_on_it(data: st.DataObject) -> None:
    """A tree holds all. Without one of its dimensions one side of the cut is free, and nothing else."""
    stair = data.draw(stairs())
    count = len(stair.xs)
    across, upright = data.draw(trees(count)), data.draw(trees(count))
    audit, whole, _, _ = drawn(stair, across, upright)
    assert (whole.missing, whole.free, whole.loops) == (0, (), ())
    assert not {"not-located", "not-sized", "closed-chain", "repeated-dimension"} & {f.rule for f in audit.findings}
    left_out = data.draw(st.integers(0, count - 2))
    audit, scheme, _, _ = drawn(stair, across[:left_out] + across[left_out + 1 :], upright)
    sides = components(count, across[:left_out] + across[left_out + 1 :])
    (free,) = loose(scheme, 0)
    assert free in {frozenset(Fraction(stair.xs[k]) for k in side) for side in sides}
    assert loose(scheme, 1) == set()
    assert [f.rule for f in audit.findings if f.rule in ("not-located", "not-sized")] == ["not-located"]


@SLOW
@given(st.data())
def test_one_dimension_more_closes_one_loop(data: st.DataObject) -> None:
    """The loop is the tree's path between the two positions, with signs that add up."""
    stair = data.draw(stairs())
    count = len(stair.xs)
    across, upright = data.draw(trees(count)), data.draw(trees(count))
    a, b = data.draw(st.tuples(st.integers(0, count - 1), st.integers(0, count - 1)).filter(lambda p: p[0] != p[1]))
    _, scheme, flat, _ = drawn(stair, [*across, (a, b)], upright)
    assert (scheme.missing, scheme.free) == (0, ())
    (loop,) = scheme.loops
    assert loop.dimension == flat[-1]
    sizes = {handle: abs(stair.xs[p] - stair.xs[q]) for handle, (p, q) in zip(flat, [*across, (a, b)], strict=True)}
    assert sum(sign * sizes[handle] for handle, sign in loop.steps) == sizes[loop.dimension]
    steps = {handle for handle, _ in loop.steps}
    own = dict(zip(flat, across, strict=False))
    rest = [arc for handle, arc in own.items() if handle not in steps]
    assert len(components(count, rest)) == 1 + len(steps), "without these the tree falls apart at each of them"
    assert any({a, b} <= part for part in components(count, [arc for handle, arc in own.items() if handle in steps]))


def test_the_l_shape() -> None:
    """Three positions each way: two and two dimensions are proper; 30 + 70 + 100 closes a loop (worked by hand)."""
    stair = Stair((0, 30, 100), (0, 20, 60))
    _, proper, _, _ = drawn(stair, [(0, 1), (0, 2)], [(0, 1), (0, 2)])
    assert (proper.missing, proper.loops) == (0, ())
    _, over_and_under, flat, _ = drawn(stair, [(0, 1), (1, 2), (0, 2)], [(0, 2)])
    assert over_and_under.missing == 1, "the count of dimensions is right, and the scheme is wrong all the same"
    (loop,) = over_and_under.loops
    assert (loop.dimension, loop.steps) == (flat[2], ((flat[0], 1), (flat[1], 1)))
