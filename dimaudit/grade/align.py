"""How a submission lies on its key: the scale, mirroring, quarter turn and shift under which most of it is the key's.

Doubles search; the alignment that comes out, and what is laid with it, is exact.
"""

from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import hypot, log
from typing import Any

import numpy as np
from scipy.spatial import cKDTree

from dimaudit.grade.layout import Kind, Piece
from dimaudit.grade.pair import pair
from dimaudit.model.drawing import LineRole, Point
from dimaudit.model.grading import Alignment

FACTORS = tuple(
    Fraction(f) for f in ("1", "25.4", "5/127", "10", "1/10", "12", "1/12", "304.8", "5/1524", "2", "1/2")
)
"""Key's length over the submission's: inch and millimetre, centimetre, foot, and a layout drawn half or double size."""
WANTED = 0.5
"""A layout drawn at the key's own scale has this share of its pieces; else other scales are tried, too."""
ODD = 0.75
"""Another scale than these is looked at where it gives this share of the key's sizes, and more than twice as many as
they do: so few learners draw at one that a wrong size is likelier."""
SIMPLE = 10000
"""The largest denominator of such a scale where that is the scale within the snap distance."""
TURNED = 2
"""What a turn or a mirroring that is not accepted must win by: as much as one piece; a misplaced hole is likelier."""
CLOSE = 4
"""Ways to turn that fit worse than the best by no more than two pieces are paired before one is chosen."""
LOOKED_AT = 6
"""Of these the best are paired: pairing costs more time than looking what lies on its like."""
NO_SHIFT = Fraction(0), Fraction(0)
VOTED = 4
"""Shifts looked at closely for each way to turn: those that the most pieces vote for."""


@dataclass(frozen=True, slots=True)
class Fit:
    """An alignment and how well it fits."""

    alignment: Alignment
    equal: int
    """Pieces that come to lie on their like."""
    levels: int
    """Levels of straight edges and centres that are the key's."""
    alike: tuple[Alignment, ...] = ()
    """Other ways to turn or mirror it that fit as well."""


Told = Callable[[Sequence[Alignment]], int]
"""How many of the key's dimensions are found, the views laid so: of ways that fit alike the one with the most."""


def untold(_: Sequence[Alignment]) -> int:
    """Where there are no dimensions to tell."""
    return 0


def laid(piece: Piece, by: Alignment) -> Piece:
    """A submission's piece where it lies on the key, exactly."""
    spots = tuple(moved(spot, by) for spot in piece.spots)
    if piece.kind is Kind.STRAIGHT:
        spots = tuple(sorted(spots))
    elif piece.kind is Kind.ARC and by.mirrored:
        spots = spots[0], spots[2], spots[1]
    elif piece.kind is Kind.CURVE:
        spots = min(spots, spots[::-1])
    return replace(piece, spots=spots, radius=piece.radius * by.factor)


def moved(spot: Point, by: Alignment) -> Point:
    """A place of the submission where it lies on the key."""
    x, y = spot[0] * by.factor, spot[1] * by.factor
    if by.mirrored:
        x = -x
    for _ in range(by.quarter_turns):
        x, y = -y, x
    return x + by.shift[0], y + by.shift[1]


def align(
    key: Sequence[Piece], submission: Sequence[Piece], snap: Fraction, accepted: Iterable[Alignment] = (),
    told: Told = untold,
) -> list[Fit]:  # fmt: skip
    """The best fit, then those that are close to it; among equals the one with the most dimensions `told`, then the
    least change, or one that is `accepted` as it is.

    Nothing where no piece and no level of the submission can be laid on the key's. `snap` is in the key's unit.
    """
    own = [p for p in key if p.role is not LineRole.CENTRE] or list(key)
    theirs = [p for p in submission if p.role is not LineRole.CENTRE] or list(submission)
    if not own or not theirs:
        return []
    wanted = _Laid.of(own, float(snap))
    plain = {(a.mirrored, a.quarter_turns) for a in accepted} | {(False, 0)}
    found: list[tuple[tuple[int, ...], Fit]] = []
    """Each fit behind what ranks it."""
    for n, factor in enumerate(_likely(own, theirs, snap)):
        for order, (mirrored, turns) in enumerate((m, t) for m in (False, True) for t in range(4)):
            turned = Alignment(factor, mirrored, turns)
            accepted_so = (mirrored, turns) in plain
            pieces = [laid(p, turned) for p in theirs]
            for shift in dict.fromkeys(_shifts(own, pieces, float(snap))):
                fit = Fit(replace(turned, shift=shift), *wanted.shared(pieces, shift))
                rank = (
                    2 * fit.equal + fit.levels - (0 if accepted_so else TURNED), -n, 0 if accepted_so else -1 - order,
                    int(not any(shift)),
                )  # fmt: skip
                if fit.equal + fit.levels:
                    found.append((rank, fit))
        if not n and any(fit.equal >= WANTED * len(own) for _, fit in found):
            break
    found.sort(key=lambda f: f[0], reverse=True)
    best = {(f[1].alignment.mirrored, f[1].alignment.quarter_turns): f for f in reversed(found)}
    """Of each way to turn the best shift."""
    close = [f for f in found if f[0][0] >= found[0][0][0] - CLOSE][:LOOKED_AT]
    close += [f for f in best.values() if found and f[0][0] == found[0][0][0] and f not in close]
    ranked = [(f[0][0], told([f[1].alignment]), f) for f in close]
    if len(close) > 1 and close[0][1].equal < len(own):  # what else would have to be missing decides
        ranked = [(rank - 2 * _left_over(own, theirs, f[1], snap), also, f) for rank, also, f in ranked]
    ranked.sort(key=lambda r: (*r[:2], *r[2][0][1:]), reverse=True)
    return _told_alike([(rank, f[1]) for *rank, f in ranked])


def _told_alike(ranked: Sequence[tuple[list[int], Fit]]) -> list[Fit]:
    """Fits, best first, the best with those of another turn that rank with it."""
    if not ranked:
        return []
    first = ranked[0][1]
    ways = {(first.alignment.mirrored, first.alignment.quarter_turns)}
    alike = []
    for rank, fit in ranked[1:]:
        way = fit.alignment.mirrored, fit.alignment.quarter_turns
        if rank == ranked[0][0] and way not in ways:
            ways.add(way)
            alike.append(fit.alignment)
    return [replace(first, alike=tuple(alike)), *(fit for _, fit in ranked[1:])]


def align_views(
    views: Mapping[str, Sequence[Piece]], submission: Sequence[Piece], snap: Fraction,
    accepted: Sequence[Alignment] = (), told: Told = untold,
) -> tuple[str, Fit] | None:  # fmt: skip
    """The best fit for all views together, and the name of the one that most is found of: it may lie by itself.

    A round view looks alike however it is turned; the view beside it then tells.
    """
    plain = {(a.mirrored, a.quarter_turns) for a in accepted} | {(False, 0)}
    found: dict[Alignment, tuple[str, Fit]] = {}
    for name, key in views.items():
        for fit in align(key, submission, snap, accepted, told):
            found.setdefault(replace(fit.alignment, shift=NO_SHIFT), (name, fit))
        if len(views) == 1:
            break
    if len(views) == 1 or len(found) < 2:
        return next(iter(found.values()), None)
    ranked = []
    for n, (name, fit) in enumerate(found.values()):
        seen = {name: fit}
        for other, key in views.items():
            if other != name and (also := align_view(key, submission, fit.alignment, snap)) is not None:
                seen[other] = also
        way = fit.alignment.mirrored, fit.alignment.quarter_turns
        left = sum(_left_over(key, submission, seen[other], snap) for other, key in views.items() if other in seen)
        rank = sum(2 * f.equal + f.levels for f in seen.values()) - 2 * left - (0 if way in plain else TURNED)
        also_told = told([f.alignment for f in seen.values()])
        ranked.append((rank, also_told, -n, max(seen.items(), key=lambda s: s[1].equal)))
    ranked.sort(key=lambda r: r[:3], reverse=True)
    best = _told_alike([(list(r[:2]), r[3][1]) for r in ranked])[0]
    return ranked[0][3][0], best


def _left_over(key: Sequence[Piece], theirs: Sequence[Piece], fit: Fit, snap: Fraction) -> int:
    """How many of the key's pieces nothing would stand for."""
    return len(pair(key, [laid(p, fit.alignment) for p in theirs], float(snap)).missing)


def _likely(key: Sequence[Piece], theirs: Sequence[Piece], snap: Fraction) -> list[Fraction]:
    """Scales worth a look: the key's own, and the one that gives the most pieces the size of one of the key's."""
    wanted = {(p.kind, round(log(size), 4)) for p in key if (size := _extent(p))}
    sizes = [(p.kind, log(size)) for p in theirs if (size := _extent(p))]

    def alike(factor: Fraction) -> int:
        return len({(kind, round(size + log(factor), 4)) for kind, size in sizes} & wanted)

    best = max(FACTORS, key=alike)  # the first of equals, and the key's own is the first of all
    odd = _odd(key, theirs, snap) if alike(best) < WANTED * len(wanted) else None
    if odd is not None and alike(odd) >= max(ODD * len(wanted), 2 * alike(best) + 1):
        return [FACTORS[0], odd]
    return [FACTORS[0]] if best == FACTORS[0] else [FACTORS[0], best]


def _odd(key: Sequence[Piece], theirs: Sequence[Piece], snap: Fraction) -> Fraction | None:
    """The scale that the most pairs of pieces have, whatever it is."""
    votes: dict[float, list[tuple[Fraction, Fraction]]] = defaultdict(list)
    others: dict[Kind, set[Fraction]] = defaultdict(set)
    for piece in theirs:
        others[piece.kind].add(_reach(piece))
    for kind, size in {(p.kind, _reach(p)) for p in key}:
        for other in others[kind]:
            if size and other:
                votes[round(log(size / other), 3)].append((size, other))
    if not votes:
        return None
    most = max(votes.values(), key=len)
    size, other = max(most)  # the largest has the least rounding
    simple = (size / other).limit_denominator(SIMPLE)
    return simple if abs(simple * other - size) <= snap else size / other


def _reach(piece: Piece) -> Fraction:
    """A radius, or the longer way along x or y: exact."""
    (ax, ay), (bx, by) = piece.spots[0], piece.spots[-1]
    return piece.radius or max(abs(bx - ax), abs(by - ay))


def _extent(piece: Piece) -> float:
    """What turning and mirroring leave alone: a radius, a length."""
    if piece.radius:
        return float(piece.radius)
    (ax, ay), (bx, by) = piece.spots[0], piece.spots[-1]
    return hypot(float(bx - ax), float(by - ay))


def align_view(key: Sequence[Piece], submission: Sequence[Piece], turned: Alignment, snap: Fraction) -> Fit | None:
    """The shift of one view, where the scale and the turn are known from another."""
    if not key or not submission:
        return None
    wanted = _Laid.of(key, float(snap))
    pieces = [laid(p, replace(turned, shift=NO_SHIFT)) for p in submission]
    fits = [
        Fit(replace(turned, shift=shift), *wanted.shared(pieces, shift))
        for shift in (turned.shift, *_shifts(key, pieces, float(snap)))
    ]
    found = sorted(
        ((2 * fit.equal + fit.levels, fit.alignment.shift == turned.shift, fit) for fit in fits),
        key=lambda f: f[:2], reverse=True,
    )  # fmt: skip
    close = [f for f in found if f[0] >= found[0][0] - CLOSE and f[0]][:LOOKED_AT]
    if len(close) > 1 and close[0][2].equal < len(key):
        close.sort(key=lambda f: (f[0] - 2 * _left_over(key, submission, f[2], snap), f[1]), reverse=True)
    return close[0][2] if close else None


def _shifts(key: Sequence[Piece], pieces: Sequence[Piece], snap: float) -> Iterator[Point]:
    """Shifts worth a closer look: none; those that equal pieces vote for; corners and middles of the bounds."""
    yield Fraction(0), Fraction(0)
    by_size: dict[tuple[object, ...], list[Piece]] = defaultdict(list)
    for piece in key:
        by_size[_size(piece, snap)].append(piece)
    votes: Counter[tuple[int, int]] = Counter()
    exact: dict[tuple[int, int], Point] = {}
    for piece in pieces:
        for like in by_size.get(_size(piece, snap), ()):
            shift = like.spots[0][0] - piece.spots[0][0], like.spots[0][1] - piece.spots[0][1]
            cell = round(float(shift[0]) / (4 * snap)), round(float(shift[1]) / (4 * snap))
            votes[cell] += 1
            exact.setdefault(cell, shift)
    for cell, _ in sorted(votes.items(), key=lambda v: (-v[1], v[0]))[:VOTED]:
        yield exact[cell]
    a, b = _bounds(key), _bounds(pieces)
    for fx in (Fraction(0), Fraction(1), Fraction(1, 2)):
        for fy in (Fraction(0), Fraction(1), Fraction(1, 2)):
            yield (
                a[0] + fx * (a[2] - a[0]) - b[0] - fx * (b[2] - b[0]),
                a[1] + fy * (a[3] - a[1]) - b[1] - fy * (b[3] - b[1]),
            )


def _size(piece: Piece, snap: float) -> tuple[object, ...]:
    """What two pieces have equal that are alike but for their place."""
    x, y = piece.spots[0]
    steps = [round(float(v) / (4 * snap)) for spot in piece.spots[1:] for v in (spot[0] - x, spot[1] - y)]
    return piece.kind, len(piece.spots), round(float(piece.radius) / (4 * snap)), *steps


def _bounds(pieces: Sequence[Piece]) -> tuple[Fraction, Fraction, Fraction, Fraction]:
    xs, ys = [], []
    for piece in pieces:
        reach = piece.radius if piece.kind is Kind.CIRCLE else Fraction(0)
        spots = piece.spots[1:] if piece.kind is Kind.ARC else piece.spots
        xs += [v for spot in spots for v in (spot[0] - reach, spot[0] + reach)]
        ys += [v for spot in spots for v in (spot[1] - reach, spot[1] + reach)]
    return min(xs), min(ys), max(xs), max(ys)


@dataclass(frozen=True, slots=True)
class _Laid:
    """The key, ready to be compared with a submission laid on it."""

    trees: dict[tuple[Kind, int], cKDTree]
    levels: tuple[cKDTree | None, cKDTree | None]
    snap: float

    @classmethod
    def of(cls, key: Sequence[Piece], snap: float) -> "_Laid":
        groups = _by_shape(key)
        levels = tuple(cKDTree([[v] for v in sorted(set(own))]) if own else None for own in map(_floats, _levels(key)))
        return cls({shape: cKDTree(rows) for shape, rows in groups.items()}, (levels[0], levels[1]), snap)

    def shared(self, pieces: Sequence[Piece], shift: Point) -> tuple[int, int]:
        """How many pieces, and how many levels, are the key's."""
        x, y = float(shift[0]), float(shift[1])
        equal = 0
        for shape, rows in _by_shape(pieces).items():
            tree = self.trees.get(shape)
            if tree is not None:
                moved = np.array(rows)
                moved[:, :-1:2] += x
                moved[:, 1:-1:2] += y
                equal += _hit(tree, moved, self.snap)
        levels = 0
        for tree, own, move in zip(self.levels, _levels(pieces), (x, y), strict=True):
            if tree is not None and own:
                levels += _hit(tree, np.array([[float(v) + move] for v in own]), self.snap)
        return equal, levels


def _hit(tree: cKDTree, rows: "np.ndarray[Any, np.dtype[np.float64]]", within: float) -> int:
    """How many of a tree's points some row is within reach of, along each axis."""
    apart, which = (np.asarray(part) for part in tree.query(rows, p=np.inf, distance_upper_bound=within))
    return len(set(which[np.isfinite(apart)].tolist()))


def _by_shape(pieces: Sequence[Piece]) -> dict[tuple[Kind, int], list[tuple[float, ...]]]:
    groups: dict[tuple[Kind, int], list[tuple[float, ...]]] = defaultdict(list)
    for piece in pieces:
        numbers = piece.numbers
        groups[piece.kind, len(numbers)].append(numbers)
    return groups


def _levels(pieces: Sequence[Piece]) -> tuple[set[Fraction], set[Fraction]]:
    """Levels along x and y that edges and centres stand on."""
    found: tuple[set[Fraction], set[Fraction]] = set(), set()
    for piece in pieces:
        for axis in (0, 1):
            if piece.kind is Kind.STRAIGHT:
                if piece.spots[0][axis] == piece.spots[1][axis]:
                    found[axis].add(piece.spots[0][axis])
            elif piece.kind is not Kind.CURVE:
                found[axis].add(piece.spots[0][axis])
    return found


def _floats(values: Iterable[Fraction]) -> list[float]:
    return [float(v) for v in values]
