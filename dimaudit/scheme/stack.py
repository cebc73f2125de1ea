"""Stack-ups between two levels of a part: over the shortest chain that the print defines, from the tolerances in force.

Worst case: every dimension at its limit. Root-sum-square: half widths as the square root of the sum of their squares,
for dimensions that vary independently about the middle of their limits (K. W. Chase, 'Tolerance analysis of
assemblies', in 'Dimensioning and Tolerancing Handbook', 1999; title from memory). Unequal tolerances are first shifted
to their middle.
"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from heapq import heappop, heappush
from math import lcm

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

    def by_node(self) -> dict[int, list[Link]]:
        """The links at each node."""
        found: dict[int, list[Link]] = defaultdict(list)
        for link in self.links:
            found[link.step.low].append(link)
            found[link.step.high].append(link)
        return found


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
        bands = [link.band for link in net.links]
        self.width = [None if band is None else band[1] - band[0] for band in bands]
        """Of each link's dimension."""
        uses = Counter((link.step.dimension, link.step.again) for link in net.links)
        self.several = frozenset(key for key, count in uses.items() if count > 1)
        """Dimensions, each with its equal step, that make more than one link."""
        widths = [None if w is None else link.share * w for link, w in zip(net.links, self.width, strict=True)]
        known = [w for w in widths if w is not None]
        whole = lcm(*(w.denominator for w in known)) if known else 1
        total = 1 + sum(int(w * whole) for w in known)
        most = 1 + total * (len(net.links) + 1)
        self._cost = [most + (total if w is None else int(w * whole)) for w in widths]  # exact, as one whole number
        self._at: dict[int, list[tuple[int, int]]] = defaultdict(list)
        for k, link in enumerate(net.links):
            self._at[link.step.low].append((link.step.high, k))
            self._at[link.step.high].append((link.step.low, k))

    def from_node(self, start: int) -> dict[int, tuple[int, int]]:
        """For each node that a chain leads to: the node before it and the link between (Dijkstra)."""
        best = {start: 0}
        before: dict[int, tuple[int, int]] = {start: (start, -1)}
        done: set[int] = set()
        heap = [(0, start)]
        while heap:
            cost, node = heappop(heap)
            if node in done:
                continue
            done.add(node)
            for other, k in self._at[node]:
                reach = cost + self._cost[k]
                if other not in best or reach < best[other]:
                    best[other] = reach
                    before[other] = (node, k)
                    heappush(heap, (reach, other))
        return before

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
    """For each view and axis the `most` pairs with the largest worst-case span; every pair of levels is looked at."""
    sizes = scales(judged.values())
    found = []
    for net in scheme.nets:
        chains = Chains(linked(net, judged, sizes))
        nodes = [k for k, node in enumerate(net.nodes) if not node.drawn_only]
        ways = {k: chains.from_node(k) for k in nodes}
        for view, axis, own in _of_views(net, nodes):
            spans: list[tuple[Fraction, int, int]] = []
            unknown = unlinked = 0
            for start in own:
                reach = _spans(chains, start, ways[start])
                for end in own:
                    if net.nodes[end].at > net.nodes[start].at:
                        if end not in reach:
                            unlinked += 1
                        elif reach[end] is None:
                            unknown += 1
                        else:
                            spans.append((-(reach[end] or Fraction(0)), start, end))
            spans.sort()
            pairs = []
            for _, start, end in spans[:most]:
                stack = chains.stack(start, end, ways[start])
                assert stack is not None
                pairs.append(Pair(view, axis, net, start, end, stack))
            found.append(Worst(view, axis, tuple(pairs), len(spans), unknown, unlinked))
    return tuple(found)


def _of_views(net: Net, nodes: Sequence[int]) -> list[tuple[View, int, list[int]]]:
    """The nodes of a net by the views that show them, with the axis that it is there."""
    views: dict[tuple[int, int], tuple[View, int, dict[int, None]]] = {}
    for k in nodes:
        for place in net.nodes[k].places:
            if not place.helper:
                views.setdefault((id(place.view), place.axis), (place.view, place.axis, {}))[2][k] = None
    return [(view, axis, list(own)) for view, axis, own in views.values()]


def _spans(chains: Chains, start: int, before: Mapping[int, tuple[int, int]]) -> dict[int, Fraction | None]:
    """The worst-case span to each node that a chain leads to; None where a tolerance on the way is not known."""
    spans: dict[int, Fraction | None] = {start: Fraction(0)}
    gone: dict[int, dict[tuple[str, int], Fraction]] = {start: {}}  # of dimensions that make several links
    for node in before:
        way = []
        while node not in spans:
            way.append(node)
            node = before[node][0]
        for later in reversed(way):
            last, k = before[later]
            link, so_far, width = chains.net.links[k], spans[last], chains.width[k]
            gone[later] = gone[last]
            key = (link.step.dimension, link.step.again)
            if so_far is None or width is None:
                spans[later] = None
                continue
            share = link.share if link.step.high == later else -link.share
            was = Fraction(0)
            if key in chains.several:
                was = gone[last].get(key, Fraction(0))
                gone[later] = {**gone[last], key: was + share}
            spans[later] = so_far + (abs(was + share) - abs(was)) * width
    return spans
