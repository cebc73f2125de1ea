"""A submission's pieces, laid on the key, with the key's: one to one, by kind, place and size."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import hypot, inf

import numpy as np
from scipy.optimize import linear_sum_assignment
from scipy.spatial import cKDTree

from dimaudit.grade.layout import Kind, Piece
from dimaudit.model.drawing import LineRole

REACH = 0.5
"""A feature farther than this share of the key's diagonal from its place is another one."""
RESIZED = 0.1
"""One of another size, or an edge of another direction, is the same feature only within this share of the diagonal."""
ALIKE = 2.0
"""What is round, of another size and in another place is the same feature only where one of the sizes is no more than
so many times the other, or the one's centre lies within the other."""
TURNED = 0.5
"""One whose ends both lie near the key's may be turned by more: up to 30 degrees (sine)."""
LEVEL = 1e-4
"""Within this share of the diagonal two edges are on one line."""
TILTED = 0.17
"""Sine of the angle (10 degrees) up to which an edge is still the key's, drawn askew."""


@dataclass(frozen=True, slots=True)
class Pairing:
    """Which piece of the submission stands for which of the key; indices into the two sequences."""

    of_key: dict[int, int]
    missing: tuple[int, ...]
    """The key's pieces that nothing stands for."""
    surplus: tuple[int, ...]
    """The submission's pieces that stand for nothing."""


def pair(
    key: Sequence[Piece], submission: Sequence[Piece], snap: float, wholes: Iterable[Sequence[int]] = ()
) -> Pairing:
    """Pairs what lies on its like first, then what is left, so that the sum of the distances is the least.

    `wholes`: pieces of the key that make one thing, as a notch. One that lies elsewhere as a whole is that one, though
    an edge of it may come to lie where another of its edges was.
    """
    of_key: dict[int, int] = {}
    own, theirs = _by_kind(key), _by_kind(submission)
    size = _diagonal(key)
    for shape, mine in own.items():
        if shape in theirs:
            _lying_on(key, submission, mine, theirs[shape], snap, of_key)
    _moved_as_a_whole(key, submission, list(wholes), snap, size, of_key)
    for shape, mine in own.items():
        other = theirs.get(shape, [])
        if not other:
            continue
        taken = set(of_key.values())
        left, right = [k for k in mine if k not in of_key], [s for s in other if s not in taken]
        if left and right:
            costs = np.array([[_cost(key[k], submission[s], size) for s in right] for k in left])
            finite = np.where(np.isfinite(costs), costs, 1e9 * max(size, 1.0))
            for row, column in zip(*linear_sum_assignment(finite), strict=True):
                if np.isfinite(costs[row, column]):
                    of_key[left[row]] = right[column]
    _other_linetype(key, submission, snap, of_key)
    taken = set(of_key.values())
    return Pairing(
        of_key,
        tuple(k for k in range(len(key)) if k not in of_key),
        tuple(s for s in range(len(submission)) if s not in taken),
    )


def _moved_as_a_whole(
    key: Sequence[Piece], submission: Sequence[Piece], wholes: list[Sequence[int]], snap: float, size: float,
    of_key: dict[int, int],
) -> None:  # fmt: skip
    parts = [own for own in wholes if not all(k in of_key for k in own)]
    if not parts:
        return
    loose = {k for own in parts for k in own}
    settled = {s for k, s in of_key.items() if k not in loose}
    free = {s for s in range(len(submission)) if s not in settled}
    for own in parts:
        first = min(own, key=lambda k: (key[k].kind is Kind.STRAIGHT, k))
        ways = []
        for s in free:
            if submission[s].kind is key[first].kind:
                x, y = (b - a for a, b in zip(key[first].numbers[:2], submission[s].numbers[:2], strict=True))
                if snap < hypot(x, y) <= REACH * size:
                    found = {k: _at(key[k], x, y, submission, free, snap) for k in own}
                    if None not in found.values() and len(set(found.values())) == len(own):
                        ways.append((hypot(x, y), s, found))
        if ways:
            whole = {k: s for k, s in min(ways, key=lambda way: way[:2])[2].items() if s is not None}
            for k in [k for k, s in of_key.items() if s in whole.values()]:
                del of_key[k]
            of_key.update(whole)
            free.difference_update(whole.values())


def _at(
    piece: Piece, x: float, y: float, submission: Sequence[Piece], free: Iterable[int], snap: float
) -> int | None:  # fmt: skip
    """The one of the submission's pieces that lies on the key's piece, moved so far."""
    spots = piece.numbers
    wanted = [v + (x, y)[n % 2] for n, v in enumerate(spots[:-1])] + [spots[-1]]
    for s in free:
        other = submission[s]
        if (other.kind, other.role, len(other.numbers)) == (piece.kind, piece.role, len(wanted)) and all(
            abs(a - b) <= 2 * snap for a, b in zip(wanted, other.numbers, strict=True)
        ):
            return s
    return None


def lying_on(key: Sequence[Piece], submission: Sequence[Piece], snap: float) -> frozenset[int]:
    """The submission's pieces that lie on their like."""
    found: dict[int, int] = {}
    theirs = _by_kind(submission)
    for shape, mine in _by_kind(key).items():
        if shape in theirs:
            _lying_on(key, submission, mine, theirs[shape], snap, found)
    return frozenset(found.values())


def _other_linetype(
    key: Sequence[Piece], submission: Sequence[Piece], snap: float, of_key: dict[int, int]
) -> None:  # fmt: skip
    """What lies on its like, drawn as for another purpose: a hidden edge in the visible edges' linetype."""
    taken = set(of_key.values())
    own: dict[tuple[Kind, int], list[int]] = defaultdict(list)
    theirs: dict[tuple[Kind, int], list[int]] = defaultdict(list)
    for n, piece in enumerate(key):
        if n not in of_key:
            own[piece.kind, len(piece.numbers)].append(n)
    for n, piece in enumerate(submission):
        if n not in taken:
            theirs[piece.kind, len(piece.numbers)].append(n)
    for shape, mine in own.items():
        if shape in theirs:
            _lying_on(key, submission, mine, theirs[shape], snap, of_key)


def _lying_on(
    key: Sequence[Piece], submission: Sequence[Piece], mine: list[int], other: list[int], snap: float,
    of_key: dict[int, int],
) -> None:  # fmt: skip
    tree = cKDTree(np.array([key[k].numbers for k in mine]))
    hits = tree.query(np.array([submission[s].numbers for s in other]), p=np.inf, distance_upper_bound=snap)
    apart, which = (np.asarray(part).tolist() for part in hits)
    for s, distance, n in sorted(zip(other, apart, which, strict=True), key=lambda hit: hit[1]):
        if distance != inf and mine[n] not in of_key:
            of_key[mine[n]] = s


def _by_kind(pieces: Sequence[Piece]) -> dict[tuple[Kind, LineRole, int], list[int]]:
    groups: dict[tuple[Kind, LineRole, int], list[int]] = defaultdict(list)
    for n, piece in enumerate(pieces):
        groups[piece.kind, piece.role, len(piece.numbers)].append(n)
    return groups


def _cost(key: Piece, other: Piece, size: float) -> float:
    """How far a piece is from being the key's; infinite where it is none of it."""
    a, b = key.numbers, other.numbers
    apart = sum(hypot(a[i] - b[i], a[i + 1] - b[i + 1]) for i in range(0, len(a) - 1, 2)) / (len(a) // 2)
    apart += abs(a[-1] - b[-1])
    same = abs(a[-1] - b[-1]) <= 1e-4 * max(a[-1], b[-1])
    reach = REACH * size
    if key.kind is Kind.STRAIGHT:
        along = a[2] - a[0], a[3] - a[1]
        other_way = b[2] - b[0], b[3] - b[1]
        lengths = hypot(*along) * hypot(*other_way)
        if abs(along[0] * other_way[1] - along[1] * other_way[0]) > TILTED * lengths:
            ends = max(hypot(a[i] - b[i], a[i + 1] - b[i + 1]) for i in (0, 2))
            steep = abs(along[0] * other_way[1] - along[1] * other_way[0]) > TURNED * lengths
            return inf if steep or ends > RESIZED * size else apart
        middle = hypot((a[0] + a[2] - b[0] - b[2]) / 2, (a[1] + a[3] - b[1] - b[3]) / 2)
        across = abs(along[0] * (b[1] - a[1]) - along[1] * (b[0] - a[0])) / hypot(*along)
        apart = across + 0.5 * middle  # an edge is known by its level; its ends are its neighbours' matter
        if across <= LEVEL * size and _overlap(a, b) > 0.5:
            apart = across + 0.01 * middle  # a notch left out makes one edge of two
    elif not same:
        reach = RESIZED * size
        least, most = sorted((a[-1], b[-1]))
        if most > ALIKE * least and hypot(a[0] - b[0], a[1] - b[1]) > most:
            return inf
    return apart if apart <= reach else inf


def _overlap(a: Sequence[float], b: Sequence[float]) -> float:
    """The share of an edge along which another one on its line runs beside it."""
    ux, uy = a[2] - a[0], a[3] - a[1]
    length = ux * ux + uy * uy
    low, high = sorted(((x - a[0]) * ux + (y - a[1]) * uy) / length for x, y in ((b[0], b[1]), (b[2], b[3])))
    return min(high, 1.0) - max(low, 0.0)


def _diagonal(pieces: Sequence[Piece]) -> float:
    points = np.array([[float(x), float(y)] for p in pieces for x, y in p.spots] or [[0.0, 0.0]])
    return float(hypot(*(points.max(axis=0) - points.min(axis=0)))) or 1.0
