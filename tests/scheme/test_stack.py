"""Stack-ups: the chain that is taken, and what the tolerances on it add up to."""

from fractions import Fraction as F
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from read.sketch import Sketch

from dimaudit.model.audit import DrawingAudit
from dimaudit.model.scheme import Implied
from dimaudit.model.stack import Contributor, Stack
from dimaudit.model.units import Unit
from dimaudit.scheme.stack import Chains, linked, scales, worst_pairs
from dimaudit.text.levels import levels_named


def judged(audit: DrawingAudit) -> dict:
    return {j.attached.dimension.handle: j for j in audit.judgements}


def stack(audit: DrawingAudit, one: str, other: str, axis: int = 0) -> Stack | None:
    """The stack-up between two named features along one axis."""
    first, second = (levels_named(audit.schemes, word, audit.lengths.near) for word in (one, other))
    for a in first:
        for b in second:
            if a.net is b.net and a.net.axis == axis:
                return Chains(linked(a.net, judged(audit), scales(judged(audit).values()))).stack(a.node, b.node)
    raise AssertionError("no axis in common")


def steps(sketch: Sketch, levels: list[str], high: str = "20") -> None:
    """A stepped block: upright edges at the levels, each a quarter lower than the one before."""
    top = F(high)
    points = [(F(levels[0]), F(0)), (F(levels[0]), top)]
    for level in levels[1:-1]:
        points += [(F(level), top), (F(level), top - F(1, 4))]
        top -= F(1, 4)
    points += [(F(levels[-1]), top), (F(levels[-1]), F(0)), (F(levels[0]), F(0))]
    sketch.chain(*points)


def bearing_block(unit: Unit, whole: tuple[str, str], parts: list[tuple[str, str]], folder: Path) -> DrawingAudit:
    """A block with parts stated from its left edge one after the other, and its overall; what is left is the gap."""
    levels = [F(0)]
    for size, _ in parts:
        levels.append(levels[-1] + F(size))
    sketch = Sketch(unit)
    steps(sketch, [*map(str, levels), whole[0]])
    top = F(20)
    for (size, tol), a, b in zip(parts, levels, levels[1:], strict=False):
        sketch.across((a, top), (b, top), y=25, text=f"{size} %%p{tol}")
        top -= F(1, 4)
    sketch.across((0, 0), (F(whole[0]), 0), y=-5, text=f"{whole[0]} %%p{whole[1]}")
    return sketch.audit(folder)


def test_the_published_housing_with_three_parts(tmp_path: Path) -> None:
    """4.020 ±.005 less 2.000 ±.005, 1.500 ±.003 and .500 ±.002: .020, worst case ±.015, root-sum-square ±.00794.

    A worked example published at ficientdesign.com (tolerance stack page); its figures as printed there.
    """
    parts = [("2.000", "0.005"), ("1.500", "0.003"), ("0.500", "0.002")]
    audit = bearing_block(Unit.INCH, ("4.020", "0.005"), parts, tmp_path)
    found = stack(audit, "4,19.25", "4.02,0")
    assert found is not None
    assert found.nominal == F("0.020") == found.drawn
    assert found.worst == (F("0.005"), F("0.035"))
    assert found.square == F(63, 10**6)
    assert round(float(found.square) ** 0.5, 5) == 0.00794
    low, high = float(found.middle) - float(found.square) ** 0.5, float(found.middle) + float(found.square) ** 0.5
    assert (round(low, 3), round(high, 3)) == (0.012, 0.028)
    assert sorted(found.shares()) == [F(2, 15), F(1, 5), F(1, 3), F(1, 3)]
    assert sorted(c.sign for c in found.contributors) == [-1, -1, -1, 1]


def test_the_published_four_link_gap_in_millimetres(tmp_path: Path) -> None:
    """40.00 ±0.10 less 25.00 ±0.05, 2.00 ±0.03 and 10.00 ±0.05: 3.00, 2.77 to 3.23.

    Inputs from metricmech.com (stack page); the results are the sum and the root of .0159, computed by hand.
    """
    parts = [("25.00", "0.05"), ("2.00", "0.03"), ("10.00", "0.05")]
    found = stack(bearing_block(Unit.MILLIMETRE, ("40.00", "0.10"), parts, tmp_path), "37,19.25", "40,0")
    assert found is not None
    assert (found.nominal, found.worst) == (3, (F("2.77"), F("3.23")))
    assert found.square == F("0.0159")


@pytest.mark.parametrize(("count", "worst", "rss"), [(5, "0.5", 0.2236), (10, "1.0", 0.3162)])
def test_published_equal_tolerances(count: int, worst: str, rss: float) -> None:
    """n dimensions of ±0.1: n x 0.1 at worst, 0.1 root n by squares (published at mech.toolfusion.net for 5 and 10)."""
    each = [Contributor(str(k), "1", 1, F(1), 1, F(1), F("0.1"), F("-0.1"), "") for k in range(count)]
    found = Stack(tuple(each), (), F(count))
    assert found.worst == (count - F(worst), count + F(worst))
    assert round(float(found.square or 0) ** 0.5, 4) == rss


def test_unequal_tolerances_keep_their_sides() -> None:
    """2 +.010/-.002 less nothing, then 1 +0/-.004 against the way: each side is summed by itself, squares about the
    middle (hand-worked)."""
    plus = Contributor("A", "2", 1, F(1), 1, F(2), F("0.010"), F("-0.002"), "")
    minus = Contributor("B", "1", -1, F(1), 1, F(1), F(0), F("-0.004"), "")
    found = Stack((plus, minus), (), F(1))
    assert found.worst == (F("0.998"), F("1.014"))
    assert found.middle == F("1.006")  # 2.004 - 0.998
    assert found.square == F("0.006") ** 2 + F("0.002") ** 2


def test_chain_baseline_and_direct(tmp_path: Path) -> None:
    """Four edges, each dimension ±.005: from the first to the last three links, two from a baseline, one directly
    (ASME Y14.5M-1994 2.6, as a textbook describes it; arithmetic by hand)."""
    levels = ["0", "1", "2.5", "3.75"]
    spans = {"chain": [(0, 1), (1, 2), (2, 3)], "baseline": [(0, 1), (0, 2), (0, 3)], "direct": [(1, 3), (0, 1)]}
    found = {}
    for name, pairs in spans.items():
        sketch = Sketch()
        steps(sketch, levels)
        for k, (a, b) in enumerate(pairs):
            size = F(levels[b]) - F(levels[a])
            sketch.across((levels[a], 0), (levels[b], 0), y=-2 - k, text=f"{float(size):.3f} %%p0.005")
        made = stack(sketch.audit(tmp_path), "1,19.75", "3.75,0")
        assert made is not None
        found[name] = made.span
    assert found == {"chain": F("0.020"), "baseline": F("0.020"), "direct": F("0.010")}


def test_a_dimension_without_a_tolerance_is_named(tmp_path: Path) -> None:
    """Where nothing gives one a tolerance, the stack is not judged, and the dimension is named; never a zero."""
    sketch = Sketch()
    steps(sketch, ["0", "1", "2.5", "3.75"])
    sketch.across((0, 0), (1, 0), text="1.000 %%p.005")
    bare = sketch.across((1, 0), ("2.5", 0), text="1.500").dxf.handle
    found = stack(sketch.audit(tmp_path), "0,0", "2.5,19.5")
    assert found is not None
    assert (found.nominal, found.worst, found.square, found.shares()) == (F(5, 2), None, None, ())
    assert [c.dimension for c in found.unknown] == [bare]


def test_features_that_no_chain_joins_have_no_stack(tmp_path: Path) -> None:
    """The right edge hangs on nothing."""
    sketch = Sketch()
    steps(sketch, ["0", "1", "2.5", "3.75"])
    sketch.across((0, 0), (1, 0), text="1.000 %%p.005")
    assert stack(sketch.audit(tmp_path), "0,0", "3.75,0") is None


def test_half_of_a_symmetrical_width_counts_half(tmp_path: Path) -> None:
    """From the drawn centreline to a side of a plate 4 ±.010 wide: 2 ±.005, taken as symmetrical."""
    sketch = Sketch()
    sketch.doc.linetypes.add("CENTER", [2.0, 1.25, -0.25, 0.25, -0.25])
    sketch.rect(0, 0, 4, 2)
    sketch.rect("1.5", "0.5", 1, 1)
    sketch.line((2, -1), (2, 3), linetype="CENTER")
    sketch.across((0, 2), (4, 2), y=4, text="4.000 %%p0.010")
    sketch.across(("1.5", "1.5"), ("2.5", "1.5"), y=3, text="1.000 %%p0.002")
    found = stack(sketch.audit(tmp_path), "0,0", "1.5,0.5")
    assert found is not None
    assert (found.nominal, found.worst) == (F("1.5"), (F("1.494"), F("1.506")))
    assert found.taken == (Implied.SYMMETRIC,)
    assert {c.share for c in found.contributors} == {F(1, 2)}


def test_a_handle_stands_for_its_centre_or_its_level(tmp_path: Path) -> None:
    """A hole by its circle, an edge by its line; nonsense is refused with what to do."""
    sketch = Sketch()
    left = sketch.rect(0, 0, 4, 2)[3].dxf.handle
    hole = sketch.circle((1, 1), "0.25").dxf.handle
    sketch.across((0, 2), (1, 1), y=4, text="1.000 %%p0.010")
    audit = sketch.audit(tmp_path)
    found = stack(audit, left, hole)
    assert found is not None
    assert found.worst == (F("0.990"), F("1.010"))
    for word in ("FFFF", "9,9", "a,b", "1,2,3", "1/0,2"):
        with pytest.raises(ValueError, match=r"X,Y"):
            levels_named(audit.schemes, word, audit.lengths.near)


def test_the_worst_pairs_come_first(tmp_path: Path) -> None:
    """Of the pairs of a chain the ends are the least certain; pairs that are not linked are counted."""
    sketch = Sketch()
    levels = ["0", "1", "2.5", "3.75", "6"]
    steps(sketch, levels)
    for k in range(3):
        size = F(levels[k + 1]) - F(levels[k])
        sketch.across((levels[k], 0), (levels[k + 1], 0), text=f"{float(size):.3f} %%p0.005")
    audit = sketch.audit(tmp_path)
    (across, _) = worst_pairs(audit.schemes[0], judged(audit), 2)
    assert [pair.stack.span for pair in across.pairs] == [F("0.030"), F("0.020")]
    assert (across.judged, across.unknown, across.unlinked) == (6, 0, 4)


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_the_chain_is_the_shortest_of_all(data: st.DataObject) -> None:
    """Fewest dimensions, then the least tolerance: as listing every simple path finds it."""
    from types import SimpleNamespace

    from dimaudit.model.scheme import Net, Node, Step
    from dimaudit.scheme.stack import Link, Linked

    count = data.draw(st.integers(2, 6))
    pairs = [(a, b) for a in range(count) for b in range(a + 1, count)]
    chosen = data.draw(st.lists(st.sampled_from(pairs), min_size=1, max_size=9))
    links = []
    for k, (a, b) in enumerate(chosen):
        tol = F(data.draw(st.integers(1, 9)), data.draw(st.sampled_from([100, 7])))
        force = SimpleNamespace(band=(b - a - tol, b - a + tol), source="")
        j = SimpleNamespace(in_force=force, stated=F(b - a), text="")
        links.append(Link(Step(str(k), a, b), F(1), j))  # type: ignore[arg-type]
    nodes = tuple(Node(F(n), ()) for n in range(count))
    net = Linked(Net(0, nodes, tuple(link.step for link in links)), tuple(links), F(1))

    def paths(node: int, seen: frozenset[int]) -> list[tuple[int, F]]:
        if node == count - 1:
            return [(0, F(0))]
        found = []
        for link in links:
            ends = (link.step.low, link.step.high)
            if node in ends:
                other = ends[1] if ends[0] == node else ends[0]
                if other not in seen:
                    width = link.band[1] - link.band[0]  # type: ignore[index]
                    found += [(n + 1, w + width) for n, w in paths(other, seen | {other})]
        return found

    all_ways = paths(0, frozenset({0}))
    found = Chains(net).stack(0, count - 1)
    if not all_ways:
        assert found is None
    else:
        assert found is not None
        assert (len(found.contributors), found.span) == min(all_ways)
        assert found.nominal == count - 1


@settings(max_examples=200, deadline=None)
@given(st.data())
def test_the_worst_pairs_are_those_of_all_pairs(data: st.DataObject) -> None:
    """In trees and loops, with equal spans and levels and unknown tolerances: as each pair by itself has it."""
    from types import SimpleNamespace

    from dimaudit.model.drawing import Kind
    from dimaudit.model.scheme import Net, Node, Place, Step

    count = data.draw(st.integers(2, 9))
    levels = sorted(data.draw(st.lists(st.integers(0, 12), min_size=count, max_size=count)))
    order = data.draw(st.permutations(range(count)))
    level = {node: levels[order[node]] for node in range(count)}
    view = SimpleNamespace()
    nodes = tuple(
        Node(F(level[n]), (Place(view, (F(level[n]), F(n)), 0, F(level[n]), helper=data.draw(st.integers(0, 6)) == 0),))  # type: ignore[arg-type]
        for n in range(count)
    )
    chosen = [(a, b) for a in range(count) for b in range(count) if level[a] < level[b]]
    if data.draw(st.booleans()):  # a tree: each node hangs on an earlier one
        chosen = [(a, b) for b in range(1, count) for a in [data.draw(st.integers(0, b - 1))] if level[a] != level[b]]
        chosen = [(a, b) if level[a] < level[b] else (b, a) for a, b in chosen]
    elif chosen:
        chosen = data.draw(st.lists(st.sampled_from(chosen), max_size=10))
    judged_ones = {}
    for k, (a, b) in enumerate(chosen):
        stated, tol = F(level[b] - level[a]), F(data.draw(st.integers(0, 2)), data.draw(st.sampled_from([1, 3])))
        band = None if data.draw(st.integers(0, 7)) == 0 else (stated - tol, stated + tol)
        judged_ones[str(k)] = SimpleNamespace(
            in_force=SimpleNamespace(band=band, source=""), stated=stated, text="", factor=F(1), multiple=F(1),
            attached=SimpleNamespace(view=view, dimension=SimpleNamespace(kind=Kind.LINEAR)),
        )  # fmt: skip
    steps = [Step(str(k), a, b) for k, (a, b) in enumerate(chosen)]
    if len(steps) > 1 and data.draw(st.booleans()):  # one size that makes two links
        again, first = steps[-1], steps[0]
        if level[again.high] - level[again.low] == level[first.high] - level[first.low]:
            steps[-1] = Step(first.dimension, again.low, again.high)
    net = Net(0, nodes, tuple(steps))
    most = data.draw(st.integers(1, 5))
    found = worst_pairs(SimpleNamespace(nets=(net,)), judged_ones, most)  # type: ignore[arg-type]
    chains = Chains(linked(net, judged_ones, scales(judged_ones.values())))  # type: ignore[arg-type]
    own = [n for n in range(count) if not nodes[n].drawn_only]
    spans, unknown, unlinked = [], 0, 0
    for a in own:
        for b in own:
            if level[a] < level[b]:
                one = chains.stack(a, b)
                if one is None:
                    unlinked += 1
                elif one.span is None:
                    unknown += 1
                else:
                    spans.append((-one.span, a, b))
    if not own:
        assert found == ()
        return
    (worst,) = found
    assert (worst.judged, worst.unknown, worst.unlinked) == (len(spans), unknown, unlinked)
    assert [(-pair.stack.span, pair.start, pair.end) for pair in worst.pairs] == sorted(spans)[:most]
