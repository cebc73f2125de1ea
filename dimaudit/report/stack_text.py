"""Stack-ups in words: the chain, its contributors, and what they add up to."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from dimaudit.exact.number import Rounding, decimal_text, fraction_text, round_to
from dimaudit.exact.real import real_text, root
from dimaudit.model.scheme import Node
from dimaudit.model.stack import Contributor, Stack
from dimaudit.model.units import Unit
from dimaudit.model.view import View
from dimaudit.scheme.stack import Chains, Judged, Worst, linked, scales
from dimaudit.text.levels import Level, node_text

TENTH = Fraction(1, 10)
NO_CHAIN = "no chain of dimensions joins them"
NO_AXIS = "the two have no axis in common along which both are one level"
AXES = ("across (x)", "up and down (y)")


@dataclass(frozen=True, slots=True)
class Between:
    """Two levels along one axis, the lower first, each as a view shows it, and their stack-up."""

    axis: int
    """Of the first view of their net: 0 for x, 1 for y."""
    start: Node
    end: Node
    views: tuple[View, View]
    stack: Stack | None
    """None where no chain of dimensions joins them."""


def between(first: Sequence[Level], second: Sequence[Level], judged: Judged) -> list[Between]:
    """The stack-ups between two features, along each axis along which both have a level."""
    sizes = scales(judged.values())
    found = []
    for one in first:
        for other in second:
            if one.net is not other.net:
                continue
            start, end = sorted((one, other), key=lambda level: level.net.nodes[level.node].at)
            stack = Chains(linked(one.net, judged, sizes)).stack(start.node, end.node)
            nodes = one.net.nodes
            views = start.view, end.view
            found.append(Between(one.net.axis, nodes[start.node], nodes[end.node], views, stack))
    return found


def between_lines(found: Sequence[Between], unit: Unit | None) -> Iterator[str]:
    """The same in words."""
    for one in found:
        names = [node_text(node, unit, view) for node, view in zip((one.start, one.end), one.views, strict=True)]
        yield f"{AXES[one.axis]}: {names[0]} to {names[1]}"
        if one.start is one.end:
            yield "   on one level: nothing lies between them"
        elif one.stack is None:
            yield f"   not judged: {NO_CHAIN}"
        else:
            yield from (f"   {line}" for line in stack_lines(one.stack))
    if not found:
        yield f"not judged: {NO_AXIS}"


def stack_lines(stack: Stack) -> Iterator[str]:
    """One stack-up: its contributors with their shares, nominal, worst case and root-sum-square."""
    shares = stack.shares()
    for k, c in enumerate(stack.contributors):
        share = ""
        if shares:
            percent = decimal_text(round_to(shares[k] * 100, TENTH, Rounding.HALF_EVEN))
            share = f", {percent} % of the worst case"
        yield f"{_sign(c)} {c.dimension} {c.text}{_times(c)}: {_band(c)}{share}"
    for kind in stack.taken:
        yield f"taken as implied: {kind.value}"
    nominal = stack.nominal
    drawn = "as drawn" if nominal == stack.drawn else f"drawn {decimal_text(stack.drawn)}"
    yield f"nominal {decimal_text(nominal)}{_fraction(nominal)}, {drawn}"
    if stack.worst is None or stack.middle is None or stack.square is None:
        names = ", ".join(f"{c.dimension} {c.text}: {c.source}" for c in stack.unknown)
        yield f"not judged: no tolerance in force for {names}"
        return
    low, high = stack.worst
    yield f"worst case {decimal_text(low)} to {decimal_text(high)} ({_deviation(low - nominal, high - nominal)})"
    if stack.middle != nominal:
        yield f"unequal tolerances: shifted to the middle of the limits, {decimal_text(stack.middle)}, before squaring"
    half = root(stack.square)
    exactly = "" if isinstance(half, Fraction) else f" (√{decimal_text(stack.square)})"
    yield f"root-sum-square {decimal_text(stack.middle)} ±{real_text(half, 6)}{exactly}"


def worst_lines(worst: Sequence[Worst], unit: Unit | None) -> Iterator[str]:
    """The pairs whose distance is least certain, view by view."""
    for one in worst:
        if not one.judged and not one.unknown:
            continue
        yield f"{one.view.name}, {AXES[one.axis]}: {one.judged} pairs of levels judged" + (
            f"; {one.unknown} not judged: a dimension of their chain has no tolerance in force" if one.unknown else ""
        ) + (f"; {one.unlinked} that no chain of dimensions joins" if one.unlinked else "")
        for pair in one.pairs:
            names = [node_text(pair.net.nodes[k], unit, one.view) for k in (pair.start, pair.end)]
            yield f"   {names[0]} to {names[1]}"
            yield from (f"      {line}" for line in stack_lines(pair.stack))


def _sign(c: Contributor) -> str:
    return "+" if c.sign > 0 else "-"


def _times(c: Contributor) -> str:
    parts = [f"{c.times} times"] if c.times != 1 else []
    parts += [f"{fraction_text(c.share)} of it"] if c.share != 1 else []
    return f" ({', '.join(parts)})" if parts else ""


def _band(c: Contributor) -> str:
    if c.upper is None or c.lower is None:
        return c.source
    return f"{_deviation(c.lower, c.upper)} ({c.source})"


def _deviation(low: Fraction, high: Fraction) -> str:
    if low == -high:
        return f"±{decimal_text(high)}"
    return f"{'+' if high > 0 else ''}{decimal_text(high)}/{'+' if low > 0 else ''}{decimal_text(low)}"


def _fraction(value: Fraction) -> str:
    return f" ({fraction_text(value)})" if value.denominator > 1 and 128 % value.denominator == 0 else ""
