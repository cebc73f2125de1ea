"""Where the dimensions of a part start from: references that locate, symmetry that is lost, origins that change."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from dimaudit.exact.number import decimal_text
from dimaudit.judge.check import Rule, Sheet
from dimaudit.judge.references import ROUND, needed
from dimaudit.judge.saying import finding, named
from dimaudit.model.audit import Finding, Level
from dimaudit.model.scheme import Net, Node, Symmetry
from dimaudit.model.stated import Stated
from dimaudit.scheme.advice import ROUNDED, group_around, groups_of
from dimaudit.scheme.stack import Chains, Link, Linked, linked, scales
from dimaudit.text.levels import node_text
from dimaudit.text.places import size_text

LEAST_HOPS = 2
"""Dimensions that start from the other edge: a single one is often given from the edge that it has to do with (common
practice, no source)."""
LEAST_RUN = 4
"""Fewer dimensions along an axis are no run that could change its origin (common practice, no source)."""


# --- reference-used -----------------------------------------------------------------------------------


def reference_used(sheet: Sheet) -> Iterator[Finding]:
    for scheme in sheet.schemes:
        for j, _ in needed(scheme, sheet):
            what = "sized" if j.attached.dimension.kind in ROUND else "located"
            yield finding(
                "reference-used", Level.WARNING, j, sheet,
                f"{named(j)} is a reference, and what it gives is {what} by nothing else",
                ["a reference dimension is for information; it is not inspected, and holds nothing",
                 f"without it the feature is not {what}"],
                "take the parentheses away, or give the dimension that it is meant to follow from",
            )  # fmt: skip


# --- implied-symmetry-broken --------------------------------------------------------------------------


def implied_symmetry_broken(sheet: Sheet) -> Iterator[Finding]:
    judged = {j.attached.dimension.handle: j for j in sheet.judgements}
    sizes = scales(sheet.judgements)
    for scheme in sheet.schemes:
        for net in scheme.nets:
            whole = linked(net, judged, sizes)
            for links in groups_of(whole):
                if all(link.judgement.verdict in ROUNDED for link in links):
                    yield from _off_centre(whole, links, scheme.symmetries, sheet)


def _off_centre(
    net: Linked, links: Sequence[Link], symmetries: Sequence[Symmetry], sheet: Sheet
) -> Iterator[Finding]:  # fmt: skip
    nodes = net.net.nodes
    known = {node for link in links for node in (link.step.low, link.step.high)}
    group = group_around(net, links)
    off = group.off([size.stated for size in group.sizes])
    if off is None:
        return  # chains that do not close put a feature in more than one place: a finding of its own
    said: set[tuple[int, int]] = set()
    causes: set[tuple[Fraction, tuple[str, ...]]] = set()
    for (low, high), pairs, what in _about(nodes, known, symmetries, sheet):
        for one, other in pairs:
            apart = (off[one] + off[other] - off[low] - off[high]) / 2
            if apart and (one, other) not in said:
                said.add((one, other))
                made = _broken(net, links, sheet, (low, high), (one, other), apart, what)
                cause = apart, made.handles
                if cause not in causes:  # what is dimensioned from a feature that is off is off with it
                    causes.add(cause)
                    yield made


About = tuple[tuple[int, int], Sequence[tuple[int, int]], str]
"""Two nodes that a middle is half-way between, or one twice; the pairs that are drawn alike about it; its name."""


def _about(
    nodes: Sequence[Node], known: set[int], symmetries: Sequence[Symmetry], sheet: Sheet
) -> Iterator[About]:  # fmt: skip
    """What is drawn alike about the middle of the outline, and about each drawn centreline."""
    ends: set[tuple[int, int]] = set()
    for low, high, what in _middles(nodes, known):
        ends.add((low, high))
        yield (low, high), list(_mirrored(nodes, known - {low, high}, (nodes[low].at + nodes[high].at) / 2)), what
    at = {(id(p.view), p.axis, p.value): k for k in known for p in nodes[k].places}
    for line in symmetries:
        key = id(line.view), line.axis
        pairs = [
            (a, b) for low, high in line.pairs
            if (a := at.get((*key, low))) is not None and (b := at.get((*key, high))) is not None
        ]  # fmt: skip
        own = at.get((*key, line.middle))
        if own is not None:
            pairs.append((own, own))
        if len(pairs) < 2:
            continue
        pairs.sort(key=lambda pair: nodes[pair[0]].at - nodes[pair[1]].at)  # the widest first
        main = next((pair for pair in pairs if pair in ends or pair[::-1] in ends), pairs[-1 if own is not None else 0])
        where = f"{'xy'[line.axis]} = {size_text(line.middle, sheet.drawing.unit)}"
        yield main, [pair for pair in pairs if pair != main], f"the centreline at {where}"


def _middles(nodes: Sequence[Node], known: set[int]) -> Iterator[tuple[int, int, str]]:
    """The two levels that a middle is half-way between: the outline's ends, where both are dimensioned."""
    ends: dict[tuple[int, int], dict[int, int]] = {}
    for k in sorted(known):
        for place in nodes[k].places:
            own = ends.setdefault((id(place.view), place.axis), {})
            for side, end in enumerate(place.view.extent[place.axis]):
                if abs(float(place.value) - end) <= 1e-9 * (abs(end) + 1):
                    own.setdefault(side, k)
    for low, high in dict.fromkeys((own[0], own[1]) for own in ends.values() if len(own) == 2):
        if low != high:
            yield low, high, "the middle of the outline"


def _mirrored(nodes: Sequence[Node], known: set[int], middle: Fraction) -> Iterator[tuple[int, int]]:
    """Circles whose centre is on the middle, and pairs of equal circles that mirror one another about it."""
    by_level = {nodes[k].at: k for k in sorted(known)}
    for level, k in sorted(by_level.items()):
        other = by_level.get(2 * middle - level)
        if other is None or level > middle:
            continue
        mine, theirs = _circles(nodes[k]), _circles(nodes[other])
        if mine and (k == other or mine & theirs):
            yield k, other


def _circles(node: Node) -> set[tuple[int, int, Fraction, Fraction]]:
    """The circles with their centre on a level: view, axis, place along the other axis, radius."""
    found = set()
    for place in node.places:
        hole = place.view.hole_at.get(place.at)
        for radius in hole.radii if hole is not None else ():
            found.add((id(place.view), place.axis, place.at[1 - place.axis], radius))
    return found


def _broken(
    net: Linked, links: Sequence[Link], sheet: Sheet, ends: tuple[int, int], pair: tuple[int, int],
    apart: Fraction, what: str,
) -> Finding:  # fmt: skip
    nodes, unit = net.net.nodes, sheet.drawing.unit
    chains = Chains(replace(net, links=tuple(links)))
    to_low, to_high = chains.stack(ends[0], pair[0]), chains.stack(pair[1], ends[1])
    assert to_low is not None
    assert to_high is not None
    names = [node_text(nodes[k], unit) for k in (*pair, *ends)]
    single = pair[0] == pair[1]
    judged = {link.step.dimension: link.judgement for link in links}
    own = dict.fromkeys(c.dimension for c in (*to_low.contributors, *to_high.contributors))
    blamed = [judged[h] for h in own if any(judged[h].residual or ())] or [judged[next(iter(own))]]
    why = [
        f"by the stated numbers {names[0]} is {decimal_text(to_low.nominal)} from {names[2]}, and "
        f"{'it' if single else names[1]} is {decimal_text(to_high.nominal)} from {names[3]}",
        f"drawn, both are {decimal_text(to_low.drawn)}",
        f"read literally, {'it is' if single else 'the two are'} {decimal_text(abs(apart))} off {what}",
    ]
    level, weight = _weight(apart, (to_low.span, to_high.span), sheet.settings.eaten_share)
    why.append(weight)
    subject = names[0] if single else f"{names[0]} and its mate"
    made = finding(
        "implied-symmetry-broken", level, blamed[0], sheet, f"the print puts {subject} off {what}", why,
        "state the exact half (more places, or the fraction), or dimension it from the middle",
    )  # fmt: skip
    handles = tuple(dict.fromkeys(j.attached.dimension.handle for j in blamed))
    return replace(made, handles=handles)


def _weight(apart: Fraction, spans: tuple[Fraction | None, Fraction | None], share: Fraction) -> tuple[Level, str]:
    one, other = spans
    if one is None or other is None:
        return Level.WARNING, "no tolerance in force is known for all of them: its weight is not judged"
    room = min(one, other) / 2
    if room and abs(apart) / room < share:
        return Level.NOTE, f"less than {share} of what the tolerances allow (±{decimal_text(room)}): harmless"
    return Level.WARNING, f"the tolerances allow ±{decimal_text(room)}"


# --- datum-hopping ------------------------------------------------------------------------------------


def datum_hopping(sheet: Sheet) -> Iterator[Finding]:
    judged = {j.attached.dimension.handle: j for j in sheet.judgements}
    sizes = scales(sheet.judgements)
    for scheme in sheet.schemes:
        for net in scheme.nets:
            whole = linked(net, judged, sizes)
            made = [hop for links in groups_of(whole) if (hop := _hop(whole, links, sheet)) is not None]
            yield from made[:1]


def _hop(net: Linked, links: Sequence[Link], sheet: Sheet) -> Finding | None:
    """A run whose features are dimensioned partly from one end of the part and partly from the other."""
    own = [link for link in links if link.step.by is None and not _chamfer(link)]
    if len(own) < LEAST_RUN or any(link.band is None for link in own):
        return None
    nodes = net.net.nodes
    known = {node for link in own for node in (link.step.low, link.step.high)}
    for low, high, _ in _middles(nodes, known):
        from_low = {link.step.high: link for link in own if link.step.low == low and link.step.high != high}
        from_high = {link.step.low: link for link in own if link.step.high == high and link.step.low != low}
        both = from_low.keys() & from_high.keys()  # a chain across the whole part: no origin is left for another
        ours, theirs = from_low.keys() - both, from_high.keys() - both
        if min(len(ours), len(theirs)) < LEAST_HOPS or len(ours) + len(theirs) < LEAST_RUN - 1:
            continue
        first = low if len(ours) >= len(theirs) else high
        chains = Chains(replace(net, links=tuple(own)))
        worst: tuple[Fraction, Fraction, int, int] | None = None
        for a in sorted(ours):
            ways = chains.from_node(a)
            for b in sorted(theirs):
                stack = chains.stack(a, b, ways)
                if stack is None or stack.span is None:
                    continue
                direct = _width(from_low[a]) + _width(from_high[b])
                if stack.span > direct and (worst is None or stack.span - direct > worst[0] - worst[1]):
                    worst = stack.span, direct, a, b
        if worst is not None:
            return _hopped(net.net, (from_low, from_high), first == low, worst, (low, high), sheet)
    return None


def _chamfer(link: Link) -> bool:
    """A leg of a chamfer is measured from the edge that it cuts, whatever the others start from."""
    reading = link.judgement.reading
    return isinstance(reading, Stated) and reading.chamfer is not None


def _width(link: Link) -> Fraction:
    assert link.band is not None
    return link.share * (link.band[1] - link.band[0])


def _hopped(
    net: Net, sides: tuple[Mapping[int, Link], Mapping[int, Link]], from_low: bool,
    worst: tuple[Fraction, Fraction, int, int], ends: tuple[int, int], sheet: Sheet,
) -> Finding:  # fmt: skip
    unit = sheet.drawing.unit
    span, direct, a, b = worst
    main, other = (ends[0], ends[1]) if from_low else (ends[1], ends[0])
    odd = sides[1][b] if from_low else sides[0][a]
    names = {k: node_text(net.nodes[k], unit) for k in (a, b, main, other)}
    hopped = [link.judgement for link in (sides[1] if from_low else sides[0]).values()]
    why = [
        f"most of the run starts from {names[main]}; from {names[other]} start: "
        + ", ".join(f"{j.attached.dimension.handle} {j.text}" for j in hopped),
        f"between {names[a]} and {names[b]} the print allows ±{size_text(span / 2, unit)} at worst; with both from "
        f"{names[main]}, and the same tolerances, ±{size_text(direct / 2, unit)}",
    ]
    made = finding(
        "datum-hopping", Level.NOTE, odd.judgement, sheet, "the run of dimensions changes its origin", why,
        f"dimension all from {names[main]}, where the two edges are not what matters",
    )  # fmt: skip
    return replace(made, handles=tuple(j.attached.dimension.handle for j in hopped))


RULES = (
    Rule("reference-used", Level.WARNING, "only a reference dimension locates or sizes a feature", reference_used),
    Rule(
        "implied-symmetry-broken", Level.WARNING, "the stated numbers put a feature off the middle that it is drawn on",
        implied_symmetry_broken,
    ),
    Rule("datum-hopping", Level.NOTE, "a run of dimensions changes its origin", datum_hopping),
)  # fmt: skip
