"""Geometry that was itself drawn to a printed value: .438 drawn where 7/16 is meant looks exact, and is not."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import pairwise

from dimaudit.exact.number import INCH_IN_MM, Rounding, decimal_places, decimal_text, fraction_text, round_to
from dimaudit.judge.check import Rule, Sheet
from dimaudit.judge.saying import finding, named
from dimaudit.model.audit import Finding, Judgement, Level, Verdict
from dimaudit.model.drawing import LineRole
from dimaudit.model.scheme import Net, Symmetry
from dimaudit.model.stated import Stated
from dimaudit.model.units import INCHES, Unit
from dimaudit.model.view import View
from dimaudit.scheme.stack import Linked, linked, scales, weights
from dimaudit.text.levels import is_centre, node_text
from dimaudit.text.places import size_text

FINEST = 64
"""Fractions of an inch that a shop means (common practice, no source)."""
LEAST_HOLES = 4
"""Equal holes in a row whose steps nearly agree; with fewer the agreement is chance (our own rule)."""
BOTH = (Rounding.HALF_UP, Rounding.HALF_EVEN)


def check(sheet: Sheet) -> Iterator[Finding]:
    said: set[str] = set()
    for judgement, meant, evidence in _found(sheet):
        handle = judgement.attached.dimension.handle
        if handle not in said:
            said.add(handle)
            yield _finding(judgement, meant, evidence, sheet)


Found = tuple[Judgement, Fraction, str]


def _found(sheet: Sheet) -> Iterator[Found]:
    yield from _stated_as_fraction(sheet)
    judged = {j.attached.dimension.handle: j for j in sheet.judgements}
    sizes = scales(sheet.judgements)
    yield from _chains(sheet, judged, sizes)
    for scheme in sheet.schemes:
        for net in scheme.nets:
            whole = linked(net, judged, sizes)
            yield from _middles(whole, sheet)
            yield from _centrelines(whole, scheme.symmetries, sheet)
            yield from _rows(whole, sheet)


def meant_by(value: Fraction, unit: Unit | None) -> Fraction | None:
    """The fraction of an inch that `value` is a rounding of; None where it is none, or is one itself.

    In inches a rounding to 3 or 4 decimals, in millimetres to 2 or 3: a coarser one is near some fraction by chance.
    """
    per = Fraction(1) if unit is Unit.INCH else INCH_IN_MM if unit is Unit.MILLIMETRE else None
    places = decimal_places(value)
    if per is None or places is None or places not in ((3, 4) if per == 1 else (2, 3)):
        return None
    found = round_to(value / per, Fraction(1, FINEST), Rounding.HALF_EVEN) * per
    return found if found != value and value in _roundings(found, places) else None


def _roundings(value: Fraction, places: int) -> set[Fraction]:
    return {round_to(value, Fraction(1, 10**places), rule) for rule in BOTH}


def _exactly(judgement: Judgement) -> Fraction | None:
    """What the printed number stands for, where it is printed as it is drawn."""
    value = judgement.measured
    if judgement.verdict is Verdict.EXACT and judgement.from_features and isinstance(value, Fraction):
        return value
    return None


def _stated_as_fraction(sheet: Sheet) -> Iterator[Found]:
    """The text itself states the fraction, and the geometry is drawn to its decimals."""
    for j in sheet.judgements:
        reading, value = j.reading, j.measured
        if not isinstance(reading, Stated) or not isinstance(value, Fraction) or j.stated is None:
            continue
        if reading.denominator and reading.denominator > 1 and meant_by(value, sheet.drawing.unit) == j.stated:
            yield j, j.stated, f"the dimension itself states {j.text}"
    for note in sheet.hole_notes:
        step = next((s.diameter for s in note.call_out.steps if s.diameter is not None), None)
        if step is None or not step.denominator or step.denominator == 1 or note.view is None:
            continue
        for j in sheet.judgements:
            own = {s for end in j.attached.ends if end.feature for s in (x.origin.handle for x in end.feature.shapes)}
            at = {h for hole in note.holes for h in hole.handles}
            value = _exactly(j)
            if own & at and value is not None and meant_by(value, sheet.drawing.unit) == step.value:
                yield j, step.value, f'the hole note "{note.text}" states the fraction'


def _chains(sheet: Sheet, judged: dict[str, Judgement], sizes: dict[int, Fraction]) -> Iterator[Found]:
    """A chain of stated numbers that does not close, and closes with the fractions."""
    for scheme in sheet.schemes:
        for loop in scheme.loops:
            if not loop.straight or not loop.steps:
                continue
            if not {loop.dimension, *(handle for handle, _ in loop.steps)} <= judged.keys():
                continue  # a note or a table takes part
            members = [judged[loop.dimension], *(judged[handle] for handle, _ in loop.steps)]
            times = weights(members, sizes)
            if times is None or any(j.stated is None or j.residual is None for j in members):
                continue
            signs = (-1, *(sign for _, sign in loop.steps))
            own = [(sign * t, j) for sign, t, j in zip(signs, times, members, strict=True)]
            error, mended = Fraction(0), Fraction(0)
            changed = []
            for sign, j in own:
                stated = j.stated or Fraction(0)
                value = _exactly(j)
                meant = None if value is None else meant_by(value, sheet.drawing.unit)
                error += sign * stated
                mended += sign * (stated if meant is None else meant)
                if meant is not None:
                    changed.append((j, meant))
            if error and not mended:
                for j, meant in changed:
                    with_ = ", ".join(fraction_text(m) for _, m in changed)
                    yield j, meant, f"the chain is {decimal_text(abs(error))} off as stated, and closes with {with_}"


def _middles(net: Linked, sheet: Sheet) -> Iterator[Found]:
    """A centre beside the middle of the outline, or or of its mate's mirror image, and on it with the fraction."""
    nodes, unit = net.net.nodes, sheet.drawing.unit
    ends = _ends(net.net)
    if ends is None:
        return
    low, high = (nodes[k].at for k in ends)
    middle = (low + high) / 2
    centres = {k for k, node in enumerate(nodes) if any(is_centre(p) and not p.helper for p in node.places)}
    mates: dict[Fraction, int] = {}
    """By the level that is as far from one end as a centre is from the other: the centre."""
    for k in centres:
        mates.setdefault(low + high - nodes[k].at, k)
    for link in net.links:
        value = _exactly(link.judgement)
        if value is None or link.share != 1 or link.step.by is not None:
            continue
        meant = meant_by(value, unit)
        ended = {link.step.low, link.step.high} & set(ends)
        moved = {link.step.low, link.step.high} - set(ends)
        if meant is None or len(ended) != 1 or not moved <= centres:
            continue
        (k,) = moved
        if nodes[k].at in mates:
            continue  # it has a mate as it is, or is on the middle
        at = low + meant / net.scale if link.step.low in ended else high - meant / net.scale
        if at == nodes[k].at or (at != middle and at not in mates):
            continue
        if at == middle:
            where = f"half-way across the {size_text((high - low) * net.scale, unit)}"
        else:
            where = f"as far from one side as the {node_text(nodes[mates[at]], unit)} is from the other"
        yield link.judgement, meant, f"with it {node_text(nodes[k], unit)} stands exactly {where}"


def _centrelines(net: Linked, symmetries: Sequence[Symmetry], sheet: Sheet) -> Iterator[Found]:
    """A centre beside a drawn centreline, or beside the mirror image of an equal circle, and on it with the fraction.

    The dimension has to start from what stays: the centreline itself, or an end of the outline.
    """
    unit, nodes = sheet.drawing.unit, net.net.nodes
    at = {(id(p.view), p.axis, p.value): k for k, node in enumerate(nodes) for p in node.places}
    first = nodes[0].places[0].view
    for line in symmetries:
        key = id(line.view), line.axis
        own = at.get((*key, line.middle))
        if line.marks or (own is None and (line.view is not first or line.axis != net.net.axis)):
            continue
        middle = line.middle if own is None else nodes[own].at
        rounds = _rounds(line, at)
        settled = {at.get((*key, level)) for pair in line.pairs for level in pair} | {own}
        firm = {own, *(_ends(net.net) or ())}
        where = f"the centreline at {'xy'[line.axis]} = {size_text(line.middle, unit)}"
        for link in net.links:
            value = _exactly(link.judgement)
            meant = None if value is None else meant_by(value, unit)
            if meant is None or link.share != 1 or link.step.by is not None:
                continue
            for moved, fixed, way in ((link.step.low, link.step.high, -1), (link.step.high, link.step.low, 1)):
                if moved in settled or moved not in rounds or fixed not in firm or moved in firm:
                    continue
                there, name = nodes[fixed].at + way * meant / net.scale, node_text(nodes[moved], unit)
                wanted = 2 * middle - there
                mate = next((k for k, own in rounds.items() if nodes[k].at == wanted and own & rounds[moved]), None)
                if there == middle:
                    yield link.judgement, meant, f"with it {name} stands on {where}"
                elif mate is not None:
                    mirrored = f"the mirror image of the {node_text(nodes[mate], unit)}"
                    yield link.judgement, meant, f"with it {name} is {mirrored} about {where}"


def _rounds(line: Symmetry, at: Mapping[tuple[int, int, Fraction], int]) -> dict[int, set[tuple[Fraction, Fraction]]]:
    """By node, the circles and arcs whose centres are on it: radius, and place along the centreline."""
    found: dict[int, set[tuple[Fraction, Fraction]]] = defaultdict(set)
    for (centre, radius), shapes in line.view.rounds.items():
        node = at.get((id(line.view), line.axis, centre[line.axis]))
        if node is not None and any(s.origin.role is not LineRole.CENTRE for s in shapes):
            found[node].add((radius, centre[1 - line.axis]))
    return found


def _ends(net: Net) -> tuple[int, int] | None:
    """The nodes of the outline's ends in the net's first view."""
    view = net.nodes[0].places[0].view
    found = []
    for end in view.extent[net.axis]:
        slack = 1e-9 * (abs(end) + 1)
        for k, node in enumerate(net.nodes):
            own = [p for p in node.places if p.view is view and p.axis == net.axis]
            if any(abs(float(p.value) - end) <= slack for p in own):
                found.append(k)
                break
    return (found[0], found[1]) if len(found) == 2 else None


def _rows(net: Linked, sheet: Sheet) -> Iterator[Found]:
    """Equal holes in a row whose steps differ by a rounding, and are equal with the fraction."""
    for view, levels in _equal_holes(net.net):
        at = sorted(levels)
        steps = [b - a for a, b in pairwise(at)]
        if len(at) < LEAST_HOLES or len(set(steps)) == 1:
            continue
        own = [(at[k] - at[0]) * net.scale for k in range(len(at))]
        for places in (3, 4) if sheet.drawing.unit is Unit.INCH else (2, 3):
            per = Fraction(1) if sheet.drawing.unit is Unit.INCH else INCH_IN_MM
            pitch = round_to(own[-1] / (len(at) - 1) / per, Fraction(1, FINEST), Rounding.HALF_EVEN) * per
            if pitch <= 0 or not all(d in _roundings(k * pitch, places) for k, d in enumerate(own)):
                continue
            for link in net.links:
                value = _exactly(link.judgement)
                ends = [_level_in(net.net, node, view) for node in (link.step.low, link.step.high)]
                meant = None if value is None else meant_by(value, sheet.drawing.unit)
                if meant is not None and meant % pitch == 0 and all(end in levels for end in ends):
                    steps_said = ", ".join(sorted({decimal_text(s * net.scale) for s in steps}))
                    words = f"the {len(at)} equal holes of the row are {steps_said} apart"
                    yield link.judgement, meant, f"{words}, and all {_said(pitch, per)} with it"
            break


def _said(value: Fraction, per: Fraction) -> str:
    return f"{fraction_text(value / per)}{'' if per == 1 else ' in'}"


def _level_in(net: Net, node: int, view: View) -> Fraction | None:
    return next((net.nodes[node].at for p in net.nodes[node].places if p.view is view), None)


def _equal_holes(net: Net) -> Iterator[tuple[View, set[Fraction]]]:
    """Levels, along the net, of holes of one size that stand in one row."""
    by_value: dict[tuple[int, int, Fraction], Fraction] = {}
    views: dict[tuple[int, int], View] = {}
    for node in net.nodes:
        for p in node.places:
            by_value[id(p.view), p.axis, p.value] = node.at
            views[id(p.view), p.axis] = p.view
    for (key, axis), view in views.items():
        rows: dict[tuple[frozenset[Fraction], Fraction], set[Fraction]] = defaultdict(set)
        for hole in view.drawn_holes:
            level = by_value.get((key, axis, hole.centre[axis]))
            if level is not None:
                rows[hole.radii, hole.centre[1 - axis]].add(level)
        for levels in rows.values():
            yield view, levels


def _finding(judgement: Judgement, meant: Fraction, evidence: str, sheet: Sheet) -> Finding:
    inches = sheet.drawing.unit in INCHES
    words = fraction_text(meant) if inches else f"{decimal_text(meant)} ({fraction_text(meant / INCH_IN_MM)} in)"
    value = judgement.measured if isinstance(judgement.measured, Fraction) else Fraction(0)
    return finding(
        "drawn-to-rounded-value", Level.NOTE, judgement, sheet,
        f"{named(judgement)} is drawn to a rounded value where {words} seems to be meant",
        [f"drawn {decimal_text(value)}, a rounding of {words}: {decimal_text(abs(value - meant))} off", evidence],
        f"draw it {words}, and state it so, or leave it where the decimal is what is meant",
    )  # fmt: skip


RULE = Rule("drawn-to-rounded-value", Level.NOTE, "the geometry itself is drawn to a rounded value", check)
