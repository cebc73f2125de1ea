"""Nothing is drawn twice, left open, or drawn that the key does not have."""

from collections import defaultdict
from collections.abc import Iterator
from fractions import Fraction
from math import hypot

from dimaudit.exact.real import middle, root
from dimaudit.grade.criteria.adding import each_of, marked
from dimaudit.grade.criteria.surplus import beside, groups, surplus
from dimaudit.grade.feature import ends
from dimaudit.grade.laid_out import LaidOut, is_part
from dimaudit.grade.layout import Kind, Piece, apart, cell
from dimaudit.grade.words import length_text, named, shown, spot_text, unlaid
from dimaudit.model.drawing import Mark, Point
from dimaudit.model.geometry import FaultKind, LineworkFault
from dimaudit.model.grading import Asked, Criterion, CriterionMark, Deduction
from dimaudit.model.settings import Settings
from dimaudit.model.units import Unit
from dimaudit.rebuild import faults_among


def mark(laid_out: LaidOut, asked: Asked) -> CriterionMark:
    """Nothing is counted: each fault costs a fixed amount."""
    each = each_of(asked, 0)
    near, outside = surplus(laid_out)
    faults = list(_faults(laid_out, near, each))
    doubled = {h for d in faults for h in d.handles}
    found = *faults, *_open(laid_out, each, doubled, near), *groups(laid_out, near, each), *beside(outside, laid_out)
    return marked(asked, 0, found)


def _faults(laid_out: LaidOut, near: list[int], each: Fraction) -> Iterator[Deduction]:
    shapes = laid_out.submission.sheet.shapes
    chosen = {h for s in (*laid_out.pairing.of_key.values(), *near) for h in laid_out.own[s].handles}
    paired = {h for s in laid_out.own for h in s.handles}
    inside = [
        k for k, shape in enumerate(shapes)
        if not isinstance(shape, Mark) and (shape.origin.handle in chosen or shape.origin.handle not in paired)
    ]  # fmt: skip
    unit = laid_out.submission.audit.unit
    points = [s for s in shapes if isinstance(s, Mark)]
    again: dict[Point, list[str]] = {}
    for point in points:
        again.setdefault((Fraction(round(point.at[0], 5)), Fraction(round(point.at[1], 5))), []).append(
            point.origin.handle
        )
    for at, handles in again.items():
        if len(handles) > 1:
            yield Deduction(Criterion.LINEWORK, each, "a point is drawn twice", (f"{len(handles)} lie on one place",),
                            tuple(handles), (float(at[0]), float(at[1])))  # fmt: skip
    for fault in faults_among(shapes, inside, unit, Settings()):
        said = _said(fault, unit)
        if said is not None:
            (x, y), why = fault.at, [said[1]]
            if fault.kind is FaultKind.DUPLICATE:
                twice = set(fault.handles)
                for k, s in laid_out.pairing.of_key.items():
                    if not twice.isdisjoint(laid_out.own[s].handles):
                        x, y = laid_out.own[s].middle  # not at a corner that it shares
                        why.append(f"it is {named(laid_out.key, k)}")
                        break
            yield Deduction(Criterion.LINEWORK, each, said[0], tuple(why), fault.handles, (float(x), float(y)))


def _open(laid_out: LaidOut, each: Fraction, charged: set[str], near: list[int]) -> Iterator[Deduction]:
    """Corners of the key at which the layout's two edges do not meet, farther apart than a gap that is seen by itself.

    One ends on nothing, or runs on past the other's end; several that run on to one place are one fault. Where an edge
    is missing, its neighbours' ends are left alone: they follow. So does one that runs on where its linework is
    `charged` already, as lying on another, or ends on what is `near`, surplus itself.
    """
    key, of_key, gap = laid_out.key, laid_out.pairing.of_key, float(laid_out.key.examined.audit.lengths.gap)
    corners: dict[Point, set[int]] = defaultdict(set)
    for k, piece in enumerate(key.pieces):
        if is_part(piece):
            for spot in ends(piece):
                corners[cell(spot)].add(k)
    drawn = [s for s, piece in enumerate(laid_out.pieces) if is_part(piece) and piece.kind is not Kind.POINT]
    told: list[Point] = []
    for at, meeting in corners.items():
        if len(meeting) != 2 or not meeting <= of_key.keys():
            continue
        own = [of_key[k] for k in sorted(meeting)]
        spots = [_end(key.pieces[k], laid_out.pieces[of_key[k]], at) for k in sorted(meeting)]
        if None in spots:
            continue
        (first, last), (p, q) = own, (spot for spot in spots if spot is not None)
        loose = [
            (s, spot) for s, spot in ((first, p), (last, q))
            if all(apart(laid_out.pieces[o], spot) > gap for o in drawn if o != s)
        ]  # fmt: skip
        past = [
            (s, spot) for s, spot, end in ((first, p, q), (last, q, p))
            if apart(laid_out.pieces[s], end) <= gap < hypot(*(float(a - b) for a, b in zip(spot, end, strict=True)))
            and all(apart(laid_out.pieces[o], spot) > gap for o in near)
        ]  # fmt: skip
        if not loose and not past:
            continue
        s, spot = max(past or loose, key=lambda found: _square(found[1], at))
        if past and (
            not charged.isdisjoint(laid_out.own[s].handles) or any(_square(spot, t) <= gap**2 for t in told)
        ):
            continue
        if past:
            told.append(spot)
        unit, (x, y) = key.examined.audit.unit, unlaid(spot, laid_out.alignments[s])
        by = length_text(shown(middle(root(_square(p, q)))), unit)
        name = named(key, sorted(meeting)[own.index(s)])
        yield Deduction(
            Criterion.LINEWORK, each,
            "an edge runs past its corner" if past else "the outline is open: two ends do not meet",
            (
                f"in the key they meet at {spot_text(at, unit)}",
                f"{name} runs on by {by}, to {spot_text(spot, unit)}" if past else
                f"they are {by} apart: {name} ends at {spot_text(spot, unit)}",
            ),
            tuple(dict.fromkeys(h for o in own for h in laid_out.own[o].handles)), (float(x), float(y)),
        )  # fmt: skip


def _end(key: Piece, drawn: Piece, at: Point) -> Point | None:
    """The end of what is drawn that stands for the key's end at a place, its other one for the key's other."""
    here, there = ends(key), ends(drawn)
    if len(here) != 2 or len(there) != 2:
        return None
    same = _square(here[0], there[0]) + _square(here[1], there[1])
    crossed = _square(here[0], there[1]) + _square(here[1], there[0])
    first = cell(here[0]) == at
    return there[0 if first == (same <= crossed) else 1]


def _square(a: Point, b: Point) -> Fraction:
    return (a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2


def _said(fault: LineworkFault, unit: Unit | None) -> tuple[str, str] | None:
    """What is wrong, and the figure; None for what other criteria judge."""
    match fault.kind:
        case FaultKind.DUPLICATE:
            return f"a {fault.detail} is drawn twice", f"{len(fault.handles)} lie on one another: keep one"
        case FaultKind.OVERLAP:
            return "lines lie on one another for part of their length", (
                f"they share a length of {length_text(fault.amount, unit)}"
            )
        case FaultKind.GAP:
            gap = Fraction(round(middle(root(fault.amount)), 6))
            return "the outline is open: two ends do not meet", f"the gap is {length_text(gap, unit)}"
        case FaultKind.ZERO_LENGTH:
            return f"a {fault.detail} without length or size is drawn", "nobody sees it, and a machine trips over it"
        case _:
            return None
