"""Dimensions that state a multiple of what they span, and sums in which one dimension counts more than once.

A diameter from the axis of a half view states twice what it spans (ISO 129-1, symmetrical parts; from memory).
Expected sums are worked by hand, or by taking every corner of the box of tolerances.
"""

from dataclasses import replace
from fractions import Fraction as F
from itertools import combinations, product
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from read.sketch import Sketch

from dimaudit.model.audit import DrawingAudit, Finding
from dimaudit.model.scheme import Implied, Step
from dimaudit.scheme.stack import Chains, linked, scales, worst_pairs


def of_chains(audit: DrawingAudit) -> list[Finding]:
    rules = ("chain-does-not-close", "closed-chain", "repeated-dimension")
    return [f for f in audit.findings if f.rule in rules]


def half_view(step: str) -> Sketch:
    """Half of a shaft about its axis: a collar Ø4, a neck Ø2, and the step between them."""
    sketch = Sketch()
    sketch.doc.linetypes.add("CENTER", [2.0, 1.25, -0.25, 0.25, -0.25])
    sketch.chain((0, 0), (0, 2), (3, 2), (3, 1), (5, 1), (5, 0), (0, 0))
    sketch.line((-1, 0), (6, 0), linetype="CENTER")
    sketch.across((0, 0), (3, 1), text="3.000")
    sketch.across((0, 0), (5, 0), y=-3, text="5.000")
    sketch.upright((5, 0), (5, 1), x=7, text="%%c2.000")
    sketch.upright((5, 0), (0, 2), x=9, text="%%c4.000")
    sketch.upright((3, 1), (3, 2), x=8, text=step)
    return sketch


def test_of_a_diameter_from_the_axis_a_half_counts(tmp_path: Path) -> None:
    """1.000 is half of 4.000 less half of 2.000: the chain closes, and is one size more than needed."""
    (found,) = of_chains(half_view("1.000").audit(tmp_path))
    assert found.rule == "closed-chain"


def test_what_a_chain_of_diameters_is_apart_by(tmp_path: Path) -> None:
    """Drawn 1.0003: the stated 1.000 rounds it, and what the diameters leave is written with its halves."""
    sketch = half_view("1.001")
    for entity in sketch.into.query("DIMENSION"):
        if entity.dxf.text == "1.001":
            entity.dxf.text = "1.0"
        elif entity.dxf.text == "%%c2.000":
            entity.dxf.text = "%%c2.1"
    sketch = moved(sketch, F(1), F("1.04"))
    (found,) = of_chains(sketch.audit(tmp_path))
    assert found.rule == "chain-does-not-close"
    assert "-1/2 × 2.1 + 1/2 × 4 = 0.95, but" in found.why[0], found.why
    assert "0.05 (1/20) apart" in found.why[0]


def moved(sketch: Sketch, old: F, new: F) -> Sketch:
    """The neck drawn with another radius."""
    for entity in sketch.into:
        for name in ("start", "end", "defpoint2", "defpoint3"):
            if entity.dxf.hasattr(name) and entity.dxf.get(name).y == float(old):
                x, _, z = entity.dxf.get(name)
                entity.dxf.set(name, (x, float(new), z))
    return sketch


@pytest.mark.parametrize(("text", "rule"), [("%%c2.000", "repeated-dimension"), ("1.000", "repeated-dimension")])
def test_a_radius_repeats_a_diameter(tmp_path: Path, text: str, rule: str) -> None:
    """The neck stated once more, as a diameter or as its half."""
    sketch = half_view("(1.000)")
    sketch.upright((5, 0), (3, 1), x=11, text=text)
    assert [f.rule for f in of_chains(sketch.audit(tmp_path))] == [rule]


def row(count: int, text: str, at: tuple[int, int]) -> Sketch:
    """Ribs an inch apart."""
    sketch = Sketch()
    for x in range(count + 1):
        sketch.line((x, 0), (x, 4))
    for y in (0, 4):
        sketch.chain(*((x, y) for x in range(count + 1)))
    sketch.across((at[0], 0), (at[1], 0), text=text)
    return sketch


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.integers(2, 4), st.sampled_from(["first", "row", "whole"]))
def test_the_worst_case_is_that_of_the_corners(count: int, kind: str) -> None:
    """Equal ribs: of '4X 1.000' on the first, and of '4X 1.000 (=4.000)' over all, each step is made by itself; parts
    of one 4.000 are shares of one size.

    The span between any two ribs is that between the extremes over all corners of the independent sizes.
    """
    with TemporaryDirectory() as folder:
        audit = {
            "first": lambda: row(count, f"{count}X 1.000 %%p.005", (0, 1)),
            "row": lambda: row(count, f"{count}X 1.000 (={count}.000) %%p.005", (0, count)),
            "whole": lambda: row(count, f"{count}.000 %%p.020", (0, count)),
        }[kind]().audit(Path(folder))
    judged = {j.attached.dimension.handle: j for j in audit.judgements}
    (scheme,) = audit.schemes
    net = next(n for n in scheme.nets if n.axis == 0)
    at = {node.at: k for k, node in enumerate(net.nodes)}
    if kind == "whole":  # as where something else says that the ribs are evenly spaced
        (step,) = net.steps
        shares = [F(k, count) for k in range(1, count)]
        more = [Step(step.dimension, at[F(0)], at[count * s], s, 0, Implied.EQUAL) for s in shares]
        more += [Step(step.dimension, at[count * s], at[F(count)], 1 - s, 0, Implied.EQUAL) for s in shares]
        net = replace(net, steps=(step, *more))
        scheme = replace(scheme, nets=(net,))
    chains = Chains(linked(net, judged, scales(judged.values())))
    (across,) = (w for w in worst_pairs(scheme, judged, 10) if w.axis == 0)
    spans = {(net.nodes[p.start].at, net.nodes[p.end].at): p.stack.span for p in across.pairs}
    assert list(spans.values()) == sorted(spans.values(), reverse=True), "the order is that of the stacks' own spans"
    for a, b in combinations(range(count + 1), 2):
        found = chains.stack(at[F(a)], at[F(b)])
        assert found is not None
        assert found.nominal == found.drawn == b - a
        if kind == "whole":
            reach = [(b - a) * (1 + F(t, count)) for t in (F("-0.02"), F("0.02"))]
            square = ((b - a) * F("0.02") / count) ** 2
        else:
            reach = [sum(corner, F(0)) for corner in product((F("0.995"), F("1.005")), repeat=b - a)]
            square = (b - a) * F("0.005") ** 2
        assert (found.worst, found.square) == ((min(reach), max(reach)), square)
        assert spans[F(a), F(b)] == max(reach) - min(reach)
