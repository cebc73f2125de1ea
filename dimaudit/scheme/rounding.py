"""The least number of decimals with which dimensions along an axis close and keep within limits; by exhaustive search.

Ties: a plan has to hold under half-up and under half-even, both of which prints use.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import lcm

from dimaudit.exact.number import Rounding, decimal_places, round_to
from dimaudit.model.advice import Change, Plan, Ways

MOST_PLACES = 6
"""More decimals than this are not asked for on a print."""
MOST_TRIES = 30_000
"""Plans that are tried; beyond it the plan found is good, and not proved to be the least."""
LONGEST_PERIOD = 1000
"""Decimals of repeating fractions are followed for so long; beyond it nothing is claimed."""
BOTH = (Rounding.HALF_UP, Rounding.HALF_EVEN)
FRACTIONS = 64
"""Finest fraction of an inch that a plan uses (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Size:
    """One dimension: what it is exactly, and how it is stated. Lengths are in the drawing's unit."""

    dimension: str
    text: str
    exact: Fraction
    stated: Fraction
    unit: Fraction | None
    """One unit in the last decimal as written; None where it is written in no decimals."""
    places: int | None


@dataclass(frozen=True, slots=True)
class Edge:
    """Two nodes that are `share` times a size apart."""

    low: int
    high: int
    size: int
    """Index of the size."""
    share: Fraction = Fraction(1)


Allowed = Callable[[int, Fraction], bool]
"""Whether a node may be off by so much."""


@dataclass(frozen=True, slots=True)
class Group:
    """Dimensions that hang together; `levels` are the drawn coordinates of the nodes, the origin first."""

    sizes: tuple[Size, ...]
    edges: tuple[Edge, ...]
    levels: Mapping[int, Fraction]
    origin: int
    tree: tuple[tuple[int, int, int], ...]
    """A tree that reaches every node: edge, the node that it leads to, 1 or -1 for up or down."""

    def off(self, values: Sequence[Fraction]) -> dict[int, Fraction] | None:
        """How far each node lands from where it is drawn; None where a chain does not close."""
        found = {self.origin: Fraction(0)}
        edges, sizes = self.edges, self.sizes
        errors = [value - size.exact for value, size in zip(values, sizes, strict=True)]
        for k, node, sign in self.tree:
            edge = edges[k]
            before = edge.low if sign > 0 else edge.high
            found[node] = found[before] + sign * edge.share * errors[edge.size]
        for edge in edges:
            if found[edge.high] - found[edge.low] != edge.share * errors[edge.size]:
                return None
        return found


def group_of(sizes: Sequence[Size], edges: Sequence[Edge], levels: Mapping[int, Fraction], origin: int) -> Group:
    """The group around an origin; every node must be reachable from it."""
    at: dict[int, list[tuple[int, int, int]]] = {}
    for k, edge in enumerate(edges):
        at.setdefault(edge.low, []).append((k, edge.high, 1))
        at.setdefault(edge.high, []).append((k, edge.low, -1))
    tree: list[tuple[int, int, int]] = []
    reached, front = {origin}, [origin]
    while front:
        ahead = []
        for node in front:
            for way in at.get(node, ()):
                if way[1] not in reached:
                    reached.add(way[1])
                    tree.append(way)
                    ahead.append(way[1])
        front = ahead
    return Group(tuple(sizes), tuple(edges), levels, origin, tuple(tree))


def ways(group: Group, allowed: Allowed, fractions: bool) -> Ways:
    """What makes the chains of a group close, with every node off by no more than allowed."""
    now = [(size.stated,) * len(BOTH) for size in group.sizes]
    off = group.off([size.stated for size in group.sizes])
    no_decimal = tuple((s.dimension, s.exact) for s in group.sizes if decimal_places(s.exact) is None)
    if off is not None and all(allowed(node, d) for node, d in off.items()):
        return Ways(True, True, no_decimal=no_decimal)
    plan = _least(group, allowed, [_more_places(size) for size in group.sizes], now)
    by_fraction = _least(group, allowed, [_fraction(size) for size in group.sizes], now) if fractions else None
    never = plan is None and off is None and _never(group)
    return Ways(off is not None, False, plan, by_fraction, never, no_decimal)


Option = tuple[int, Change]
"""What a change costs, and the change."""


def _more_places(size: Size) -> list[Option]:
    """Each number of added places that changes what is stated, up to the exact value."""
    if size.unit is None or size.places is None or size.stated == size.exact:
        return []
    found: list[Option] = []
    last: tuple[Fraction, ...] = (size.stated,)
    for k in range(1, MOST_PLACES - size.places + 1):
        values = tuple(dict.fromkeys(round_to(size.exact, size.unit / 10**k, rule) for rule in BOTH))
        if values != last:
            found.append((k, Change(size.dimension, size.text, size.places + k, values)))
            last = values
        if values == (size.exact,):
            break
    return found


def _fraction(size: Size) -> list[Option]:
    if size.stated == size.exact or FRACTIONS % size.exact.denominator:
        return []
    return [(1, Change(size.dimension, size.text, None, (size.exact,)))]


def _least(
    group: Group, allowed: Allowed, options: Sequence[Sequence[Option]], now: Sequence[tuple[Fraction, ...]]
) -> Plan | None:
    """The plan that costs least, of those the one that changes fewest: all plans in the order of their cost."""
    open_ = [i for i, own in enumerate(options) if own]
    most = sum(own[-1][0] for own in options if own)
    tries = 0
    for cost in range(1, most + 1):
        best: dict[int, Change] | None = None
        for plan in _of_cost(cost, open_, options):
            tries += 1
            if tries > MOST_TRIES:
                return _good(group, allowed, options, now)
            if (best is None or len(plan) < len(best)) and _does(group, allowed, plan, now):
                best = plan
        if best is not None:
            return Plan(tuple(best[i] for i in sorted(best)))
    return None


def _of_cost(cost: int, open_: Sequence[int], options: Sequence[Sequence[Option]]) -> Iterator[dict[int, Change]]:
    """Every choice of changes that costs just so much."""
    room = [0] * (len(open_) + 1)
    for k in range(len(open_) - 1, -1, -1):
        room[k] = room[k + 1] + options[open_[k]][-1][0]

    def choose(k: int, left: int, chosen: dict[int, Change]) -> Iterator[dict[int, Change]]:
        if left == 0:
            yield dict(chosen)
        elif left <= room[k]:
            yield from choose(k + 1, left, chosen)
            for price, change in options[open_[k]]:
                if price <= left:
                    chosen[open_[k]] = change
                    yield from choose(k + 1, left - price, chosen)
                    del chosen[open_[k]]

    return choose(0, cost, {})


def _does(group: Group, allowed: Allowed, plan: Mapping[int, Change], now: Sequence[tuple[Fraction, ...]]) -> bool:
    """Whether the plan closes the chains within the limits, under each rounding rule."""
    for rule in range(len(BOTH)):
        values = [now[i][rule] if i not in plan else plan[i].values[min(rule, len(plan[i].values) - 1)]
                  for i in range(len(now))]  # fmt: skip
        off = group.off(values)
        if off is None or not all(allowed(node, d) for node, d in off.items()):
            return False
    return True


def _good(
    group: Group, allowed: Allowed, options: Sequence[Sequence[Option]], now: Sequence[tuple[Fraction, ...]]
) -> Plan | None:
    """A plan that does it where there are too many to try them all: everything changed, then given back one by one."""
    plan = {i: own[-1][1] for i, own in enumerate(options) if own}
    if not _does(group, allowed, plan, now):
        return None
    for i in sorted(plan, key=lambda i: -options[i][-1][0]):
        kept = plan.pop(i)
        for choice in (None, *(change for _, change in options[i])):
            trial = plan if choice is None else {**plan, i: choice}
            if _does(group, allowed, trial, now):
                plan = dict(trial)
                break
        else:
            plan[i] = kept
    return Plan(tuple(plan[i] for i in sorted(plan)), least=False)


def _never(group: Group) -> bool:
    """Whether no number of decimals, the same for all, closes the chains: the rest of a division repeats for ever."""
    units = [size.unit * 10**size.places for size in group.sizes if size.unit is not None and size.places is not None]
    if len(units) < len(group.sizes):
        return False
    start = max((size.places or 0 for size in group.sizes), default=0)
    tail, period = 0, 1
    for size, unit in zip(group.sizes, units, strict=True):
        before, repeat = _repeats((size.exact / unit).denominator)
        tail, period = max(tail, before), lcm(period, repeat)
    if period > LONGEST_PERIOD:
        return False
    for places in range(start, max(start, tail) + period + 1):
        for rule in BOTH:
            values = [round_to(s.exact, u / 10**places, rule) for s, u in zip(group.sizes, units, strict=True)]
            if group.off(values) is not None:
                return False
    return True


def _repeats(denominator: int) -> tuple[int, int]:
    """How many decimals a fraction has before its decimals repeat, and after how many they do."""
    before = 0
    for prime in (2, 5):
        count = 0
        while denominator % prime == 0:
            denominator //= prime
            count += 1
        before = max(before, count)
    if denominator == 1:
        return before, 1
    power, rest = 1, 10 % denominator
    while rest != 1 and power <= LONGEST_PERIOD:
        rest = rest * 10 % denominator
        power += 1
    return before, power
