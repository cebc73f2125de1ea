"""Arcs and curves that run otherwise than the key's, though their centres, sizes or ends are where they should be."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from dimaudit.grade.layout import Kind, Piece, apart, cell
from dimaudit.model.drawing import LineRole, Point

FINENESS = 500
"""Curves are chains of points within 1/2000 of the curve's size (`read/entities/curves.py`), and two of them, each
with points of its own, are compared: what differs by less than this part of the size is not told apart."""

Formed = tuple[int, str, Point | None]
"""The key's piece, what is wrong with it in words, and how far it is off its place where that is what is wrong."""


def formed(key: Sequence[Piece], theirs: Mapping[int, Piece], tolerance: Fraction) -> Iterator[Formed]:
    """What the levels, the radii and the ends do not tell, one for each piece."""
    ends = Counter(cell(spot) for piece in key for spot in _ends(piece))
    free = [tuple(ends[cell(spot)] == 1 for spot in _ends(piece)) for piece in key]
    """Which of its ends no other piece ends at."""
    moves = _moves(key, theirs)
    for n, piece in enumerate(key):
        if n not in theirs or piece.role is LineRole.CENTRE:
            continue
        if piece.kind is Kind.ARC:
            said = _arc(piece, theirs[n], free[n], tolerance)
            if said:
                yield n, said, None
        elif piece.kind is Kind.CURVE:
            by, off = _best(piece, theirs[n])
            size = max(_spread(piece))
            if off > float(tolerance) + size / FINENESS:
                yield n, f"runs otherwise than the key's: up to {off:.3g} off", None
            elif all(free[n]) and any(
                abs(by[axis]) > tolerance + Fraction(size) / FINENESS
                and not any(abs(by[axis] - move) <= tolerance + Fraction(size) / FINENESS for move in moves[axis])
                for axis in (0, 1)
            ):  # fmt: skip
                yield n, "", by


def _ends(piece: Piece) -> tuple[Point, ...]:
    match piece.kind:
        case Kind.STRAIGHT:
            return piece.spots
        case Kind.ARC:
            return piece.spots[1:]
        case Kind.CURVE if not piece.closed:
            return piece.spots[0], piece.spots[-1]
        case _:
            return ()


def _arc(key: Piece, other: Piece, free: Sequence[bool], tolerance: Fraction) -> str:
    """Compares the way to an arc's middle, which is square to the one from its first to its second end."""
    (cx, cy), a, b = key.spots
    (ox, oy), p, q = other.spots
    along = (b[0] - a[0]) * (q[0] - p[0]) + (b[1] - a[1]) * (q[1] - p[1])
    if along < 0:
        return "bulges the other way"
    square = ((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2) * ((q[0] - p[0]) ** 2 + (q[1] - p[1]) ** 2)
    if 2 * along * along < square:
        return "bulges another way"
    turn = (a[0] - cx) * (b[1] - cy) - (a[1] - cy) * (b[0] - cx)
    own = (p[0] - ox) * (q[1] - oy) - (p[1] - oy) * (q[0] - ox)
    near = tolerance * max(key.radius, other.radius)
    if min(turn, own) < -near and max(turn, own) > near:
        return "goes the other way round its circle"
    if abs(key.radius - other.radius) <= tolerance and any(
        alone and max(abs(e[0] - cx - f[0] + ox), abs(e[1] - cy - f[1] + oy)) > 2 * tolerance
        for e, f, alone in zip((a, b), (p, q), free, strict=True)
    ):  # fmt: skip
        return "ends elsewhere on its circle"
    return ""


def _best(key: Piece, other: Piece) -> tuple[Point, float]:
    """The shift that brings a curve best to the key's, and how far the two are then apart at most."""
    found = []
    spots = [(Fraction(0), Fraction(0))]
    for a, b in ((key.spots[0], other.spots[0]), (key.spots[-1], other.spots[-1]), (_middle(key), _middle(other))):
        spots.append((b[0] - a[0], b[1] - a[1]))
    for by in spots:
        moved = Piece(other.kind, tuple((x - by[0], y - by[1]) for x, y in other.spots), other.radius, (), other.role)
        off = max((*(apart(key, s) for s in moved.spots), *(apart(moved, s) for s in key.spots)))
        found.append((off, by))
    off, by = min(found, key=lambda f: f[0])
    return by, off


def _corners(piece: Piece) -> tuple[Point, Point]:
    xs, ys = zip(*piece.spots, strict=True)
    return (min(xs), min(ys)), (max(xs), max(ys))


def _middle(piece: Piece) -> Point:
    low, high = _corners(piece)
    return (low[0] + high[0]) / 2, (low[1] + high[1]) / 2


def _spread(piece: Piece) -> tuple[float, float]:
    low, high = _corners(piece)
    return float(high[0] - low[0]), float(high[1] - low[1])


def _moves(key: Sequence[Piece], theirs: Mapping[int, Piece]) -> tuple[set[Fraction], set[Fraction]]:
    """By how much other things are off along each axis: what is off alike follows from them."""
    found: tuple[set[Fraction], set[Fraction]] = {Fraction(0)}, {Fraction(0)}
    for n, piece in theirs.items():
        if n < len(key) and piece.kind is not Kind.CURVE:
            for axis in (0, 1):
                found[axis].update(b[axis] - a[axis] for a, b in zip(key[n].spots, piece.spots, strict=True))
    return found
