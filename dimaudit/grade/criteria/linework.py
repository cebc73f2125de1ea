"""Nothing is drawn twice, left open, or drawn that the key does not have."""

from collections import defaultdict
from collections.abc import Iterator
from fractions import Fraction

from dimaudit.exact.real import middle, root
from dimaudit.grade.criteria.adding import each_of, marked
from dimaudit.grade.feature import cell, connected, ends
from dimaudit.grade.laid_out import Key, LaidOut, is_part
from dimaudit.grade.layout import Kind, Piece, apart
from dimaudit.grade.words import bounds, counted, extent, length_text, named_piece, spot_text, unlaid
from dimaudit.model.drawing import Mark, Point
from dimaudit.model.geometry import FaultKind, LineworkFault
from dimaudit.model.grading import Alignment, Asked, Criterion, CriterionMark, Deduction
from dimaudit.model.settings import Settings
from dimaudit.model.units import Unit
from dimaudit.rebuild import faults_among

OUTSIDE = Fraction(1, 10)
"""What lies farther than this share of the view's longer side outside its bounds is no part of it: a border, a title
block, a try-out beside the part."""


def mark(laid_out: LaidOut, asked: Asked) -> CriterionMark:
    """Nothing is counted: each fault costs a fixed amount."""
    each = each_of(asked, 0)
    near, outside = _surplus(laid_out)
    faults = list(_faults(laid_out, near, each))
    doubled = {h for d in faults for h in d.handles}
    found = *faults, *_open(laid_out, each, doubled), *_groups(laid_out, near, each), *_beside(outside, laid_out)
    return marked(asked, 0, found)


def _surplus(laid_out: LaidOut) -> tuple[list[int], list[int]]:
    """What stands for nothing of the key: in or at the part, and well outside it."""
    near: list[int] = []
    outside: list[int] = []
    furniture = {(p.kind, _rounded(p)) for p in laid_out.key.furniture}
    for s in laid_out.pairing.surplus:
        piece = laid_out.pieces[s]
        if not is_part(piece) or (piece.kind, _rounded(piece)) in furniture or _at_a_centre(laid_out, piece):
            continue
        own = laid_out.own[s]
        if (own.kind, _rounded(own)) in furniture:  # a border stays where it is when the part is moved
            continue
        (near if any(_within(piece, laid_out.key, name) for name in laid_out.view_alignments) else outside).append(s)
    return near, outside


def _rounded(piece: Piece) -> tuple[float, ...]:
    return tuple(round(v, 4) for v in piece.numbers)


def _at_a_centre(laid_out: LaidOut, piece: Piece) -> bool:
    """A point at a hole's centre is no surplus, asked or not."""
    if piece.kind is not Kind.POINT:
        return False
    (x, y), near = piece.spots[0], 2 * laid_out.tolerance
    return any(
        p.kind in (Kind.CIRCLE, Kind.ARC) and abs(p.spots[0][0] - x) <= near and abs(p.spots[0][1] - y) <= near
        for p in laid_out.pieces
    )


def _within(piece: Piece, key: Key, view: str) -> bool:
    around, own = extent(key, view), bounds((piece,))
    if around is None or own is None:
        return False
    margin = OUTSIDE * max(around[1][0] - around[0][0], around[1][1] - around[0][1])
    return all(
        own[0][axis] <= around[1][axis] + margin and own[1][axis] >= around[0][axis] - margin for axis in (0, 1)
    )


def _groups(laid_out: LaidOut, near: list[int], each: Fraction) -> Iterator[Deduction]:
    """What hangs together is one surplus thing."""
    for group in connected(near, laid_out.own):
        first = laid_out.pieces[group[0]]
        others = f" and {counted(len(group) - 1, 'piece')} joined to it" if len(group) > 1 else ""
        x, y = laid_out.own[group[0]].middle
        verb = "are" if others else "is"
        yield Deduction(
            Criterion.LINEWORK, each, f"{named_piece(first, laid_out.key)}{others} {verb} drawn, and not in the key",
            () if laid_out.alignments[group[0]] == Alignment() else ("coordinates are those of the key",),
            tuple(dict.fromkeys(h for s in group for h in laid_out.own[s].handles)), (float(x), float(y)),
        )  # fmt: skip


def _beside(outside: list[int], laid_out: LaidOut) -> Iterator[Deduction]:
    if outside:
        x, y = laid_out.own[outside[0]].middle
        yield Deduction(
            Criterion.LINEWORK, Fraction(0),
            f"{counted(len(outside), 'piece')} well outside the part left aside: a border, notes, a try-out",
            handles=tuple(dict.fromkeys(h for s in outside for h in laid_out.own[s].handles)),
            at=(float(x), float(y)),
        )  # fmt: skip


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
            x, y = fault.at
            yield Deduction(Criterion.LINEWORK, each, said[0], (said[1],), fault.handles, (float(x), float(y)))


def _open(laid_out: LaidOut, each: Fraction, charged: set[str]) -> Iterator[Deduction]:
    """Corners of the key at which the layout's two edges meet nothing, farther apart than a gap that is seen by itself.

    Where an edge is missing, its neighbours' ends are left alone: they follow. So does one that runs past its corner
    where its linework is `charged` already, as lying on another.
    """
    key, of_key, gap = laid_out.key, laid_out.pairing.of_key, float(laid_out.key.examined.audit.lengths.gap)
    corners: dict[Point, set[int]] = defaultdict(set)
    for k, piece in enumerate(key.pieces):
        if is_part(piece):
            for spot in ends(piece):
                corners[cell(spot)].add(k)
    drawn = [s for s, piece in enumerate(laid_out.pieces) if is_part(piece) and piece.kind is not Kind.POINT]
    for at, meeting in corners.items():
        if len(meeting) != 2 or not meeting <= of_key.keys():
            continue
        loose: list[tuple[int, Point]] = []
        for k in sorted(meeting):
            own = of_key[k]
            here = ends(laid_out.pieces[own])
            if not here:
                continue
            spot = min(here, key=lambda s: (s[0] - at[0]) ** 2 + (s[1] - at[1]) ** 2)
            if all(apart(laid_out.pieces[s], spot) > gap for s in drawn if s != own):
                loose.append((own, spot))
        if loose:
            s, spot = loose[0]
            x, y = unlaid(spot, laid_out.alignments[s])
            past = _meet([laid_out.pieces[of_key[k]] for k in meeting], at, gap)
            if past and not charged.isdisjoint(laid_out.own[s].handles):
                continue
            yield Deduction(
                Criterion.LINEWORK, each,
                "an edge runs past its corner" if past else "the outline is open: two ends do not meet",
                (f"in the key they meet at {spot_text(at, key.examined.audit.unit)}",),
                tuple(dict.fromkeys(h for k in sorted(meeting) for h in laid_out.own[of_key[k]].handles)),
                (float(x), float(y)),
            )  # fmt: skip


def _meet(pieces: list[Piece], at: Point, gap: float) -> bool:
    """Whether an end of one of two pieces, the one near a place, lies on the other."""
    first, second = pieces
    for one, other in ((first, second), (second, first)):
        spot = min(ends(one), key=lambda s: (s[0] - at[0]) ** 2 + (s[1] - at[1]) ** 2, default=None)
        if spot is not None and apart(other, spot) <= gap:
            return True
    return False


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
