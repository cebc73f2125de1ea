"""Advice on rounding for the dimensions of a part: places, fractions, or another origin."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from fractions import Fraction

from dimaudit.exact.number import Rounding, decimal_places, round_to
from dimaudit.model.advice import Advice, FromOrigin, Off, Ways, Wrong
from dimaudit.model.audit import Judgement, Verdict
from dimaudit.model.scheme import Implied, Scheme
from dimaudit.model.stated import Stated
from dimaudit.scheme.rounding import BOTH, Allowed, Edge, Group, Size, group_of, ways
from dimaudit.scheme.stack import Judged, Link, Linked, linked, scales

ROUNDED = frozenset({Verdict.EXACT, Verdict.ROUNDED, Verdict.TIE, Verdict.CUT_OFF})
"""What advice on rounding can mend; a wrong number has another cause, and is mended first."""


def advise(
    schemes: Iterable[Scheme], judged: Judged, share: Fraction, within: Fraction | None = None,
    fractions: bool = False, rounding: Rounding = Rounding.HALF_UP,
) -> Iterator[Advice]:  # fmt: skip
    """The advice for each group of dimensions that hang together along an axis.

    No feature may land further from where it is drawn than `within`; without it, than the `share` of the tolerance in
    force of the dimension that places it, on the side in question, or half a unit in its last place where none is in
    force. Deviations count from the level that most dimensions start from. With `fractions`, fractions of the
    drawing's unit may be stated. A number that is plainly wrong is named with what it should be, by the `rounding`
    rule; the advice takes it as mended.
    """
    sizes = scales(judged.values())
    for scheme in schemes:
        for net in scheme.nets:
            whole = linked(net, judged, sizes)
            for links in groups_of(whole):
                yield _advice(whole, links, share, within, fractions, rounding)


def groups_of(net: Linked) -> list[list[Link]]:
    """Links that hang together. What symmetry adds is left out: it is no number that someone wrote."""
    owner: dict[int, int] = {}

    def find(i: int) -> int:
        while owner.setdefault(i, i) != i:
            i = owner[i]
        return i

    links = [link for link in net.links if link.step.by in (None, Implied.EQUAL)]
    for link in links:
        owner[find(link.step.low)] = find(link.step.high)
    found: dict[int, list[Link]] = defaultdict(list)
    for link in links:
        found[find(link.step.low)].append(link)
    return list(found.values())


LONG = 9
"""A decimal with more places than this is no one's size: it may be what a division left in the file."""
LARGEST_DIVISOR = 1000
NEAREST = Fraction(1, 10**10)


def divided(value: Fraction) -> Fraction:
    """The simple fraction that a long decimal of a file stands for (0.3333333333333333 is 1/3); else the value."""
    places = decimal_places(value)
    if places is not None and places <= LONG:
        return value
    near = value.limit_denominator(LARGEST_DIVISOR)
    return near if abs(near - value) <= NEAREST else value


def size_of(judgement: Judgement, exact: Fraction) -> Size:
    """A dimension as advice sees it: its exact size, and the decimals that it is written in."""
    reading, step, stated = judgement.reading, judgement.step, judgement.stated
    assert stated is not None
    unit = places = None
    if isinstance(reading, Stated) and reading.places is not None and step is not None:
        per = _per(stated, reading)
        ten, at = per, 0
        while ten > step and at < 12:
            ten, at = ten / 10, at + 1
        if ten == step:  # where a style rounds to halves or quarters, a further place is no refinement
            unit, places = step, at
    return Size(judgement.attached.dimension.handle, judgement.text, exact, stated, unit, places)


def _per(stated: Fraction, reading: Stated) -> Fraction:
    """What one unit of the text is in the drawing's unit."""
    return stated / reading.value if reading.value else Fraction(1)


def _advice(
    net: Linked, links: Sequence[Link], share: Fraction, within: Fraction | None, fractions: bool, rounding: Rounding
) -> Advice:
    known = {link.step.dimension: link for link in links}
    origin = _origin(net, links)
    group = _group(net, links, origin)
    mended = {
        size.dimension: _mended(known[size.dimension].judgement, size, rounding)
        for size in group.sizes if known[size.dimension].judgement.verdict not in ROUNDED
    }  # fmt: skip
    unfit = [known[handle].judgement for handle, wrong in mended.items() if wrong is None]
    wrong = tuple(w for w in mended.values() if w is not None and w.value != known[w.dimension].judgement.stated)
    if unfit:
        names = ", ".join(f"{j.attached.dimension.handle} {j.text} ({_why_unfit(j)})" for j in unfit)
        why = f"its numbers are not roundings of what is drawn: {names}"
        return Advice(net.net, origin, tuple(known), Ways(False, False), None, not_advised=why, wrong=wrong)
    right = {w.dimension: w.value for w in wrong}
    group = replace(group, sizes=tuple(replace(s, stated=right.get(s.dimension, s.stated)) for s in group.sizes))
    limits = _limits(group, known, share, within)

    def allowed(node: int, off: Fraction) -> bool:
        return node == origin or limits[node][0] <= off <= limits[node][1]

    found = ways(group, allowed, fractions)
    off = group.off([size.stated for size in group.sizes])
    worst = _worst(off, limits) if off is not None else None
    other = () if found.fits else _from_origin(group, allowed)
    return Advice(net.net, origin, tuple(known), found, worst, other, wrong=wrong)


def _mended(judgement: Judgement, size: Size, rounding: Rounding) -> Wrong | None:
    """What a wrong number should be at the place that it is written to; None where that can't be told.

    Limits, MIN and MAX have no one right number, and what is underlined is not drawn to scale on purpose. A number
    that is a rounding after all, and wrong only by its tolerance, comes out as it stands.
    """
    reading, step, stated = judgement.reading, judgement.step, judgement.stated
    if judgement.verdict is not Verdict.WRONG or not isinstance(reading, Stated) or not step or not stated:
        return None
    if reading.limits is not None or reading.one_sided or reading.underlined:
        return None
    value = round_to(size.exact, step, rounding)
    if value <= 0:
        return None  # it is written too coarsely to state it at all
    written = value / _per(stated, reading)
    return Wrong(size.dimension, size.text, size.exact, value, written, reading.places, reading.unit)


def _why_unfit(judgement: Judgement) -> str:
    reading = judgement.reading
    underlined = isinstance(reading, Stated) and reading.underlined
    return "underlined: not to scale" if underlined else str(judgement.verdict)


def _origin(net: Linked, links: Sequence[Link]) -> int:
    """The level from which most dimensions go one way; of a plain chain the lowest."""
    up, down = Counter(link.step.low for link in links), Counter(link.step.high for link in links)
    return min({*up, *down}, key=lambda node: (-max(up[node], down[node]), net.net.nodes[node].at))


def group_around(net: Linked, links: Sequence[Link]) -> Group:
    """The links as a group for sums, counted from their origin."""
    return _group(net, links, _origin(net, links))


def _group(net: Linked, links: Sequence[Link], origin: int) -> Group:
    levels = {n: divided(net.net.nodes[n].at * net.scale) for link in links for n in (link.step.low, link.step.high)}
    order: dict[str, int] = {}
    sizes: list[Size] = []
    edges = []
    for link in links:
        step = link.step
        if step.dimension not in order:
            order[step.dimension] = len(sizes)
            exact = (levels[step.high] - levels[step.low]) / link.share
            sizes.append(size_of(link.judgement, exact))
        edges.append(Edge(step.low, step.high, order[step.dimension], link.share))
    return group_of(sizes, edges, levels, origin)


Limit = tuple[Fraction, Fraction, str]
"""Lowest and highest deviation of a node, and what that is from."""


def _limits(group: Group, known: dict[str, Link], share: Fraction, within: Fraction | None) -> dict[int, Limit]:
    found: dict[int, Limit] = {}
    for k, node, sign in group.tree:
        size = group.sizes[group.edges[k].size]
        link = known[size.dimension]
        if within is not None:
            found[node] = -within, within, "set by the user"
            continue
        band = link.band
        if band is not None:  # where the part is above what is stated, the upper side gives way
            ends = sorted((-sign * share * band[0], -sign * share * band[1]))
            found[node] = ends[0], ends[1], f"{share} of the tolerance of {size.dimension} {size.text}"
        else:
            half = (link.judgement.step or Fraction(0)) / 2
            found[node] = -half, half, f"half a unit in the last place of {size.dimension} {size.text}"
    return found


def _worst(off: dict[int, Fraction], limits: dict[int, Limit]) -> Off | None:
    """The node that is furthest off, by its limit."""
    best: tuple[bool, Fraction, Off] | None = None
    for node, (low, high, source) in limits.items():
        d = off[node]
        limit = high if d > 0 else -low
        part = abs(d) / limit if limit else abs(d)
        entry = (d != 0 and not limit, part, Off(node, d, limit, source))
        if best is None or entry[:2] > best[:2]:
            best = entry
    return None if best is None else best[2]


def _from_origin(group: Group, allowed: Allowed) -> tuple[FromOrigin, ...]:
    """Every level from the origin, with as many decimals as the most that are written now."""
    units = [size.unit for size in group.sizes if size.unit is not None]
    if not units or all(group.origin in (edge.low, edge.high) for edge in group.edges):
        return ()
    found = []
    for node, level in sorted(group.levels.items(), key=lambda item: item[1]):
        if node == group.origin:
            continue
        distance = abs(level - group.levels[group.origin])
        up = 1 if level > group.levels[group.origin] else -1
        values = tuple(dict.fromkeys(round_to(distance, min(units), rule) for rule in BOTH))
        if not all(allowed(node, up * (value - distance)) for value in values):
            return ()
        found.append(FromOrigin(node, values))
    return tuple(found)


def closing(whole: Judgement, parts: Sequence[tuple[int, Judgement]], fractions: bool) -> Ways | None:
    """What closes one chain of dimensions, whose `parts`, each with its sign, should add up to `whole`.

    None where one of them is no rounding of what is drawn, or is no rational number.
    """
    exact = []
    for sign, j in parts:
        if j.verdict not in ROUNDED or not isinstance(j.measured, Fraction) or j.stated is None:
            return None
        exact.append(sign * divided(j.measured))
    levels = [sum(exact[:k], Fraction(0)) for k in range(len(exact) + 1)]
    if whole.verdict not in ROUNDED or whole.stated is None or not isinstance(whole.measured, Fraction):
        return None
    sizes = [size_of(whole, levels[-1]), *(size_of(j, abs(e)) for (_, j), e in zip(parts, exact, strict=True))]
    edges = [Edge(0, len(parts), 0)]
    for k, (sign, _) in enumerate(parts):
        edges.append(Edge(k, k + 1, k + 1) if sign > 0 else Edge(k + 1, k, k + 1))
    group = group_of(sizes, edges, dict(enumerate(levels)), 0)
    return ways(group, lambda _node, _off: True, fractions)
