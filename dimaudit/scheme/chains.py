"""Stated differences as a graph over levels: where each level lands, and which dimensions can't all be met.

A node is all that is taken as implied to stand on one level (or to be of one size); an edge is a dimension, and what it
adds is its stated less its drawn length. Where a loop of edges adds up to something else than nothing, some edge of it
is not met: each spanning tree of the loops that hang together is one way to choose.
"""

from collections import defaultdict, deque
from collections.abc import Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations
from math import comb

from flint import fmpz_mat

from dimaudit.scheme.joined import Joined, sharing

MOST_WAYS = 200
"""Ways out of one conflict that are looked at one by one; for more only a bound is given."""
MOST_TRIES = 20_000
"""Sets of edges that are tried as ways out."""


@dataclass(frozen=True, slots=True)
class Edge:
    """A dimension from node `a` to node `b`."""

    relation: int
    a: int
    b: int
    adds: Fraction
    """How much farther `b` lands than it is drawn, seen from `a`; drawn units."""


@dataclass(frozen=True, slots=True)
class Forest:
    """A spanning forest: for each node its root, its way there, and how far it is off against its root."""

    root: list[int]
    off: list[Fraction]
    before: list[tuple[int, Edge] | None]
    """The node before it on the way from the root, and the edge between."""
    unused: tuple[Edge, ...]

    def way(self, node: int) -> Iterator[tuple[Edge, int]]:
        """The edges from the node back to its root, each with 1 where it is gone along from the root, else -1."""
        step = self.before[node]
        while step is not None:
            node, edge = step[0], step[1]
            yield edge, 1 if edge.a == node else -1
            step = self.before[node]


@dataclass(frozen=True, slots=True)
class Tangle:
    """Loops that share dimensions, and do not all close."""

    edges: tuple[Edge, ...]
    ways: tuple[frozenset[int], ...]
    """The relations that are not met, by each way out; the way of the forest first. Empty where there are too many."""
    count: int | None
    """How many ways there are, one for each spanning tree; None where they are too many to be counted."""
    errors: tuple[Fraction, ...]
    """What each loop of the forest is short of closing."""
    closing: Edge
    """The edge that closes the first loop."""

    def spread(self, forest: Forest, node: int) -> tuple[Fraction, Fraction, bool] | None:
        """How far the ways out can take a node from where the forest has it, least and greatest, and whether that is
        only a bound; None where they do not touch it.

        In one loop there are two ways to a node, and they differ by what the loop is short of. In several, two ways
        differ by loops of the forest, each of which counts at most once.
        """
        own = {e.relation for e in self.edges}
        first = next((e.relation for e, _ in forest.way(node) if e.relation in own), None)
        if first is None:
            return None
        if len(self.errors) > 1:
            most = sum(map(abs, self.errors), Fraction(0))
            return -most, most, True
        behind = any(e.relation == first for e, _ in forest.way(self.closing.b))
        other = self.errors[0] if behind else -self.errors[0]
        return min(other, Fraction(0)), max(other, Fraction(0)), False


@dataclass(frozen=True, slots=True)
class Chains:
    """The graph."""

    count: int
    edges: Sequence[Edge]
    roots: Sequence[int]
    """Nodes that stand still, or should be tried first, in that order."""

    def forest(self, without: AbstractSet[int] = frozenset()) -> Forest:
        """Spanning forest of the edges in their order: of those that close a loop the last is not used."""
        tree: Joined[int] = Joined()
        beside: dict[int, list[tuple[int, Edge]]] = defaultdict(list)
        unused = []
        for edge in self.edges:
            if edge.relation in without or not tree.join(edge.a, edge.b):
                unused.append(edge)
                continue
            beside[edge.a].append((edge.b, edge))
            beside[edge.b].append((edge.a, edge))
        root, off = [-1] * self.count, [Fraction(0)] * self.count
        before: list[tuple[int, Edge] | None] = [None] * self.count
        for start in (*self.roots, *range(self.count)):
            if root[start] != -1:
                continue
            root[start] = start
            front = deque([start])
            while front:
                node = front.popleft()
                for other, edge in beside[node]:
                    if root[other] == -1:
                        root[other] = start
                        off[other] = off[node] + (edge.adds if edge.a == node else -edge.adds)
                        before[other] = (node, edge)
                        front.append(other)
        return Forest(root, off, before, tuple(unused))

    def tangles(self, forest: Forest) -> list[Tangle]:
        """Loops that hang together by shared edges, where one of them does not close.

        Two edges are on one loop just where the fundamental loops of a spanning tree link them (the components of the
        cycle matroid), so that what one group chooses adds to what another chooses.
        """
        loops = [(edge, _loop(forest, edge)) for edge in forest.unused]
        found = []
        for members in sharing({k: [e.relation for e in (edge, *own)] for k, (edge, own) in enumerate(loops)}):
            errors = tuple(
                e.adds - (forest.off[e.b] - forest.off[e.a]) for e in (loops[k][0] for k in members)
            )
            if any(errors):
                edges = {e.relation: e for k in members for e in (loops[k][0], *loops[k][1])}
                found.append(_tangle(tuple(edges[r] for r in sorted(edges)), errors, forest, loops[members[0]][0]))
        return found


def _loop(forest: Forest, edge: Edge) -> tuple[Edge, ...]:
    """The edges of the forest between the ends of an edge."""
    one, other = ({e.relation: e for e, _ in forest.way(node)} for node in (edge.a, edge.b))
    return tuple(e for r, e in (one | other).items() if (r in one) != (r in other))


def _tangle(edges: tuple[Edge, ...], errors: tuple[Fraction, ...], forest: Forest, closing: Edge) -> Tangle:
    nodes = {n: k for k, n in enumerate(sorted({n for e in edges for n in (e.a, e.b)}))}
    spare = len(edges) - len(nodes) + 1
    count = len(edges) if spare == 1 else _spanning_trees(edges, nodes) if len(nodes) <= MOST_WAYS else None
    if count is None or count > MOST_WAYS or comb(len(edges), spare) > MOST_TRIES:
        return Tangle(edges, (), count, errors, closing)
    unused = {e.relation for e in forest.unused}
    own = frozenset(e.relation for e in edges if e.relation in unused)
    ways: dict[frozenset[int], None] = {}
    for left_out in sorted(combinations(edges, spare), key=lambda some: {e.relation for e in some} != own):
        missing = {e.relation for e in left_out}
        off = _reached(edges, missing)
        if len(off) == len(nodes):
            ways[frozenset(e.relation for e in edges if off[e.b] - off[e.a] != e.adds)] = None
    return Tangle(edges, tuple(ways), count, errors, closing)


def _reached(edges: Sequence[Edge], without: AbstractSet[int]) -> Mapping[int, Fraction]:
    """How far each node is off that the other edges lead to."""
    beside: dict[int, list[tuple[int, Fraction]]] = defaultdict(list)
    for e in edges:
        if e.relation not in without:
            beside[e.a].append((e.b, e.adds))
            beside[e.b].append((e.a, -e.adds))
    off = {edges[0].a: Fraction(0)}
    front = [edges[0].a]
    while front:
        node = front.pop()
        for other, adds in beside[node]:
            if other not in off:
                off[other] = off[node] + adds
                front.append(other)
    return off


def _spanning_trees(edges: Sequence[Edge], nodes: Mapping[int, int]) -> int:
    """Kirchhoff's theorem: a minor of the Laplacian."""
    n = len(nodes)
    laplacian = fmpz_mat(n, n)
    for e in edges:
        a, b = nodes[e.a], nodes[e.b]
        for i, j, v in ((a, a, 1), (b, b, 1), (a, b, -1), (b, a, -1)):
            laplacian[i, j] = laplacian[i, j] + v
    minor = fmpz_mat(n - 1, n - 1, [laplacian[i, j] for i in range(n - 1) for j in range(n - 1)])
    return int(minor.det())
