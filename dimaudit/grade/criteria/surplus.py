"""What is drawn that the key does not have: in or at the part, in place of something of the key, or well outside it."""

from collections.abc import Iterator
from fractions import Fraction

from dimaudit.grade.feature import connected, features
from dimaudit.grade.laid_out import Key, LaidOut, is_part
from dimaudit.grade.layout import Kind, Piece
from dimaudit.grade.words import bounds, counted, extent, named_all, named_piece
from dimaudit.model.drawing import Point
from dimaudit.model.grading import Alignment, Criterion, Deduction

OUTSIDE = Fraction(1, 10)
"""What lies farther than this share of the view's longer side outside its bounds is no part of it: a border, a title
block, a try-out beside the part."""
Bounds = tuple[Point, Point]
STEAD = Fraction(1, 2)
"""What is drawn instead of something of the key has its bounds, but for this share of their longer side."""


def surplus(laid_out: LaidOut) -> tuple[list[int], list[int]]:
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


def groups(laid_out: LaidOut, near: list[int], each: Fraction) -> Iterator[Deduction]:
    """What hangs together is one surplus thing. In place of something that is missing it is the same fault."""
    for group in connected(near, laid_out.own):
        first = laid_out.pieces[group[0]]
        others = f" and {counted(len(group) - 1, 'piece')} joined to it" if len(group) > 1 else ""
        x, y = laid_out.own[group[0]].middle
        verb = "are" if others else "is"
        instead = _in_place_of(laid_out, group)
        yield Deduction(
            Criterion.LINEWORK, Fraction(0) if instead else each,
            f"{named_piece(first, laid_out.key)}{others} {verb} drawn, "
            + (f"in place of {named_all(laid_out.key, instead)}" if instead else "and not in the key"),
            () if laid_out.alignments[group[0]] == Alignment() else ("coordinates are those of the key",),
            tuple(dict.fromkeys(h for s in group for h in laid_out.own[s].handles)), (float(x), float(y)),
            follows="what is missing there, under 'features'" if instead else "",
        )  # fmt: skip


def _in_place_of(laid_out: LaidOut, group: list[int]) -> tuple[int, ...]:
    """What is missing where a surplus thing is drawn, and was charged there."""
    if all(asked.criterion is not Criterion.FEATURES for asked in laid_out.rubric.criteria):
        return ()
    missing = set(laid_out.pairing.missing)
    gone = [own for f in features(laid_out.key) if (own := tuple(k for k in f.pieces if k in missing))]
    drawn = bounds(laid_out.pieces[s] for s in group)
    wholes = [*gone, *((k,) for several in gone if len(several) > 1 for k in several)]
    return next((k for k in wholes if drawn and _alike(drawn, bounds(laid_out.key.pieces[n] for n in k))), ())


def _alike(own: Bounds, other: Bounds | None) -> bool:
    if other is None:
        return False
    slack = STEAD * max(other[1][axis] - other[0][axis] for axis in (0, 1))
    return all(abs(a - b) <= slack for p, q in zip(own, other, strict=True) for a, b in zip(p, q, strict=True))


def beside(outside: list[int], laid_out: LaidOut) -> Iterator[Deduction]:
    if outside:
        x, y = laid_out.own[outside[0]].middle
        yield Deduction(
            Criterion.LINEWORK, Fraction(0),
            f"{counted(len(outside), 'piece')} well outside the part left aside: a border, notes, a try-out",
            handles=tuple(dict.fromkeys(h for s in outside for h in laid_out.own[s].handles)),
            at=(float(x), float(y)),
        )  # fmt: skip
