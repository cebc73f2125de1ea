"""Stack-ups between two levels of a part: over the shortest chain that the print defines, from the tolerances in force.

Worst case: every dimension at its limit. Root-sum-square: half widths as the square root of the sum of their squares,
for dimensions that vary independently about the middle of their limits (K. W. Chase, 'Tolerance analysis of
assemblies', in 'Dimensioning and Tolerancing Handbook', 1999; title from memory). Unequal tolerances are first shifted
to their middle.
"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from heapq import heappop, heappush, nsmallest
from math import comb, lcm

from dimaudit.model.audit import Judgement
from dimaudit.model.drawing import ANGLES
from dimaudit.model.scheme import Implied, Net, Scheme, Step
from dimaudit.model.stack import Contributor, Stack
from dimaudit.model.view import View

Judged = Mapping[str, Judgement]
"""Judgements by the handle of their dimension."""


@dataclass(frozen=True, slots=True)
class Link:
    """A step of a net with what its dimension states; usable in a sum."""

    step: Step
    share: Fraction
    """Of the stated number; above 1 where one of equal steps is stated for all of them."""
    judgement: Judgement

    @property
    def band(self) -> tuple[Fraction, Fraction] | None:
        """Lower and upper deviation from the stated number."""
        return deviations(self.judgement)


@dataclass(frozen=True, slots=True)
class Linked:
    """A net whose steps carry numbers."""

    net: Net
    links: tuple[Link, ...]
    scale: Fraction
    """True size over drawn size, along the net's own coordinates."""


def scales(judgements: Iterable[Judgement]) -> dict[int, Fraction]:
    """True size over drawn size of each view, by its identity: the factor of most of its lengths.

    A dimension whose factor differs states twice what it spans (a diameter from the axis), or a part of it.
    """
    votes: dict[int, Counter[Fraction]] = defaultdict(Counter)
    for j in judgements:
        if j.attached.view is not None and j.stated is not None and j.attached.dimension.kind not in ANGLES:
            votes[id(j.attached.view)][j.factor / j.multiple] += 1
    return {key: max(count.items(), key=lambda item: (item[1], item[0]))[0] for key, count in votes.items()}


def weights(judgements: Sequence[Judgement], sizes: Mapping[int, Fraction]) -> tuple[Fraction, ...] | None:
    """How often each stated number counts in a sum that comes to the first one; None where a size is not known.

    All count once but those that state a multiple of what they span: of a diameter stated from the axis a half
    counts, of one of four equal steps stated over all of them four.
    """
    spans = []
    for j in judgements:
        if not j.factor or j.attached.view is None:
            return None
        spans.append(sizes.get(id(j.attached.view), j.factor) / j.factor)
    return tuple(span / spans[0] for span in spans)


def linked(net: Net, judged: Judged, sizes: Mapping[int, Fraction]) -> Linked:
    """The net with the numbers of its dimensions; what states no number, or is not drawn so, takes no part."""
    links = []
    for step in net.steps:
        j = judged.get(step.dimension)
        if j is None or j.stated is None or not j.factor or j.attached.view is None:
            continue
        links.append(Link(step, step.share * sizes.get(id(j.attached.view), j.factor) / j.factor, j))
    first = net.nodes[0].places[0].view if net.nodes else None
    return Linked(net, tuple(links), sizes.get(id(first), Fraction(1)))


class Chains:
    """The shortest chains of a net: fewest dimensions first, then the least worst-case tolerance.

    A dimension without a tolerance in force counts as wider than all that have one.
    """

    def __init__(self, net: Linked) -> None:
        self.net = net
        widths = [None if link.band is None else link.share * (link.band[1] - link.band[0]) for link in net.links]
        self._whole = lcm(*(w.denominator for w in widths if w is not None))
        self._widths = [None if w is None else int(w * self._whole) for w in widths]  # exact, as whole numbers
        total = 1 + sum(w for w in self._widths if w is not None)
        uses = Counter(map(_size, net.links))
        self._several = frozenset(key for key, count in uses.items() if count > 1)
        """Dimensions, each with its equal step, that make more than one link: one and the same size."""
        most = 1 + total * (len(net.links) + 1)
        self._cost = [most + (total if w is None else w) for w in self._widths]
        between: dict[tuple[int, int], int] = {}
        for k, link in enumerate(net.links):
            ends = link.step.low, link.step.high
            if ends not in between or self._cost[k] < self._cost[between[ends]]:
                between[ends] = k
        self._at: dict[int, list[tuple[int, int]]] = defaultdict(list)
        for (low, high), k in between.items():
            self._at[low].append((high, k))
            self._at[high].append((low, k))

    def from_node(self, start: int) -> dict[int, tuple[int, int]]:
        """For each node that a chain leads to: the node before it and the link between (Dijkstra); nearest first."""
        best = {start: 0}
        before: dict[int, tuple[int, int]] = {start: (start, -1)}
        done: dict[int, tuple[int, int]] = {}
        heap = [(0, start)]
        while heap:
            cost, node = heappop(heap)
            if node in done:
                continue
            done[node] = before[node]
            for other, k in self._at.get(node, ()):
                reach = cost + self._cost[k]
                if other not in best or reach < best[other]:
                    best[other] = reach
                    before[other] = (node, k)
                    heappush(heap, (reach, other))
        return done

    def joined(self, nodes: Iterable[int], known: bool = False) -> Iterator[tuple[list[int], bool]]:
        """Those of the nodes that chains join, group by group, and whether there is just one chain between any two, on
        which each link is a size of its own.

        With `known`, only links whose tolerance is known count.
        """
        own = set(nodes)
        done: set[int] = set()
        for start in sorted(own):
            if start in done:
                continue
            group, ends = {start}, 0
            waiting = [start]
            while waiting:
                for other, k in self._at.get(waiting.pop(), ()):
                    if not known or self._widths[k] is not None:
                        ends += 1
                        if other not in group:
                            group.add(other)
                            waiting.append(other)
            done |= group
            yield sorted(group & own), not self._several and ends == 2 * (len(group) - 1)

    def spans(self, start: int) -> dict[int, int | None]:
        """The worst-case span of the chain to each node that one leads to, as whole numbers of one small unit; None
        where a tolerance on the way is not known."""
        spans: dict[int, int | None] = {start: 0}
        gone: dict[int, dict[tuple[str, int], int]] = {start: {}}  # of sizes that make several links
        for node, (last, k) in self.from_node(start).items():
            if node == start:
                continue
            before, width, link = spans[last], self._widths[k], self.net.links[k]
            gone[node] = gone[last]
            if before is None or width is None:
                spans[node] = None
                continue
            key, was = _size(link), 0
            signed = width if link.step.high == node else -width
            if key in self._several:
                was = gone[last].get(key, 0)
                gone[node] = {**gone[last], key: was + signed}
            spans[node] = before + abs(was + signed) - abs(was)
        return spans

    def stack(self, start: int, end: int, before: Mapping[int, tuple[int, int]] | None = None) -> Stack | None:
        """The stack-up from one node to another; None where no chain of dimensions joins them."""
        before = self.from_node(start) if before is None else before
        if end not in before:
            return None
        way: list[tuple[Link, int]] = []
        node = end
        while node != start:
            last, k = before[node]
            link = self.net.links[k]
            way.append((link, 1 if link.step.high == node else -1))
            node = last
        taken = sorted({link.step.by for link, _ in way if link.step.by is not None})
        nodes = self.net.net.nodes
        drawn = (nodes[end].at - nodes[start].at) * self.net.scale
        return Stack(_contributors(reversed(way)), tuple(taken), drawn)


def _size(link: Link) -> tuple[str, int]:
    """The size that a link is of: a dimension, and which of its equal steps."""
    return link.step.dimension, link.step.again


def _contributors(way: Iterable[tuple[Link, int]]) -> tuple[Contributor, ...]:
    """The links of a chain, those of one dimension together.

    Links of one dimension are one and the same size, so what is gone forth and back of it cancels; but equal steps
    under one 'nX' are made each by itself, and so are those of which one dimension states the whole row.
    """
    found: dict[str, dict[int, list[tuple[Link, int]]]] = defaultdict(lambda: defaultdict(list))
    for link, sign in way:
        found[link.step.dimension][link.step.again].append((link, sign))
    made = []
    for handle, apart in found.items():
        nets = Counter(sum((sign * link.share for link, sign in links), Fraction(0)) for links in apart.values())
        j = next(iter(apart.values()))[0][0].judgement
        row = all(link.step.by in (None, Implied.EQUAL) for links in apart.values() for link, _ in links)
        band = deviations(j)
        assert j.stated is not None
        for net, times in nets.items():
            if not net:
                continue
            sign, each = (1 if net > 0 else -1), abs(net)
            if row and each.denominator == 1:
                times, each = times * int(each), Fraction(1)
            made.append(
                Contributor(
                    handle, j.text, sign, each, times, j.stated,
                    None if band is None else band[1], None if band is None else band[0], why_band(j),
                )
            )  # fmt: skip
    return tuple(made)


def deviations(judgement: Judgement) -> tuple[Fraction, Fraction] | None:
    """The tolerance in force as lower and upper deviation from the stated number."""
    force, stated = judgement.in_force, judgement.stated
    if force is None or force.band is None or stated is None:
        return None
    return force.band[0] - stated, force.band[1] - stated


def why_band(judgement: Judgement) -> str:
    """What a dimension's tolerance is from, or why it has none."""
    force = judgement.in_force
    if force is None:
        return "nothing gives it a tolerance"
    return force.source if force.band is not None else f"no two limits ({force.source})"


@dataclass(frozen=True, slots=True)
class Pair:
    """Two levels of one view, and their stack-up."""

    view: View
    axis: int
    net: Net
    start: int
    end: int
    stack: Stack


@dataclass(frozen=True, slots=True)
class Worst:
    """The pairs of one view along one axis whose distance is least certain."""

    view: View
    axis: int
    pairs: tuple[Pair, ...]
    judged: int
    unknown: int
    """Pairs whose chain holds a dimension without a tolerance in force."""
    unlinked: int
    """Pairs that no chain of dimensions joins."""


def worst_pairs(scheme: Scheme, judged: Judged, most: int) -> tuple[Worst, ...]:
    """For each view and axis the `most` pairs with the largest worst-case span, of all pairs of levels."""
    sizes = scales(judged.values())
    found = []
    for net in scheme.nets:
        chains = Chains(linked(net, judged, sizes))
        nodes = [k for k, node in enumerate(net.nodes) if not node.drawn_only]
        found += [_worst(chains, view, axis, own, most) for view, axis, own in _of_views(net, nodes)]
    return tuple(found)


Ranked = tuple[int, int, int]
"""A pair in the order of the report: its span below zero, the lower level, the upper level."""


def _worst(chains: Chains, view: View, axis: int, own: Sequence[int], most: int) -> Worst:
    net = chains.net.net
    best: list[Ranked] = []
    known = joined = 0
    for group, single in chains.joined(own):
        joined += _count(net, group)
        if single:
            for part, _ in chains.joined(group, known=True):
                known += _count(net, part)
                best = nsmallest(most, [*best, *_of_tree(chains, part, most)])
        else:
            for start in group:
                reach = _pairs(chains, start, group, upwards=True)
                known += len(reach)
                best = nsmallest(most, [*best, *reach])
    pairs = []
    for _, start, end in best:
        stack = chains.stack(start, end)
        assert stack is not None
        pairs.append(Pair(view, axis, net, start, end, stack))
    return Worst(view, axis, tuple(pairs), known, joined - known, _count(net, own) - joined)


def _count(net: Net, nodes: Sequence[int]) -> int:
    """How many pairs of them there are on different levels."""
    return comb(len(nodes), 2) - sum(comb(n, 2) for n in Counter(net.nodes[k].at for k in nodes).values())


def _pairs(chains: Chains, one: int, others: Iterable[int], upwards: bool = False) -> list[Ranked]:
    """The pairs of one node with others whose span is known; `upwards`: only with higher ones."""
    nodes, spans = chains.net.net.nodes, chains.spans(one)
    found = []
    for other in others:
        span, here, there = spans.get(other), nodes[one].at, nodes[other].at
        if span is not None and (here < there or (there < here and not upwards)):
            found.append((-span, *((one, other) if here < there else (other, one))))
    return found


def _of_tree(chains: Chains, part: Sequence[int], most: int) -> list[Ranked]:
    """The first pairs of nodes between any two of which there is one chain, of a known span.

    In a tree the node farthest from any other is an end of the longest chain, so two sweeps tell how far each node's
    pairs reach at most; nodes are looked at from the farthest on, until no pair of those left can be among the first.
    """
    if len(part) < 2:
        return []

    def reach(start: int) -> dict[int, int]:
        return {node: span for node, span in chains.spans(start).items() if span is not None}

    def farthest(spans: Mapping[int, int]) -> int:
        return max(part, key=lambda node: spans[node])

    one = reach(farthest(reach(part[0])))
    other = reach(farthest(one))
    bound = {node: max(one[node], other[node]) for node in part}
    best: list[Ranked] = []
    left = dict.fromkeys(part)
    for node in sorted(part, key=lambda node: (-bound[node], node)):
        if len(best) == most and (-bound[node], node) > best[-1][:2]:
            break
        del left[node]
        best = nsmallest(most, [*best, *_pairs(chains, node, left)])
    return best


def _of_views(net: Net, nodes: Sequence[int]) -> list[tuple[View, int, list[int]]]:
    """The nodes of a net by the views that show them, with the axis that it is there."""
    views: dict[tuple[int, int], tuple[View, int, dict[int, None]]] = {}
    for k in nodes:
        for place in net.nodes[k].places:
            if not place.helper:
                views.setdefault((id(place.view), place.axis), (place.view, place.axis, {}))[2][k] = None
    return [(view, axis, list(own)) for view, axis, own in views.values()]
