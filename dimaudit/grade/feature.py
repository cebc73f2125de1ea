"""The key's pieces as features that a person would count: a hole, a window, a notch, one edge of the outline."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from dimaudit.grade.laid_out import Key, is_part
from dimaudit.grade.layout import Kind, Piece, cell
from dimaudit.model.drawing import Point

NOTCH = 6
"""A run of no more edges than this between two edges on one line is one notch, or one tab."""


@dataclass(frozen=True, slots=True)
class KeyFeature:
    """One feature; indices of the key's pieces."""

    pieces: tuple[int, ...]
    word: str
    """'window', 'notch'; empty for a single piece."""
    splits: tuple[int, int] | None = None
    """The two edges on one line that a notch parts: without it they are one edge, and none of them is missing."""


def features(key: Key) -> tuple[KeyFeature, ...]:
    """Every edge of the part stands in one of them; centrelines and points in none."""
    left = {k for k, p in enumerate(key.pieces) if is_part(p) and p.kind is not Kind.POINT}
    found: list[KeyFeature] = []
    profiles = [p for g in key.examined.geometries for v in g.views for p in v.profiles]
    for profile in sorted(profiles, key=lambda p: p.outer):
        handles = frozenset(profile.handles)
        own = sorted(k for k in left if not handles.isdisjoint(key.pieces[k].handles))
        for ring in _rings(own, key.pieces):
            if profile.outer:
                found += _outline(ring, key.pieces)
            else:
                found.append(KeyFeature(tuple(sorted(ring)), "window"))
            left.difference_update(ring)
    rings = list(_rings(sorted(left), key.pieces))  # of views that nothing is dimensioned on
    for ring in rings:
        inside = any(_within(ring, other, key.pieces) for other in rings if other is not ring)
        found += [KeyFeature(tuple(sorted(ring)), "window")] if inside else _outline(ring, key.pieces)
        left.difference_update(ring)
    found += [KeyFeature((k,), "") for k in left]
    return tuple(sorted(found, key=lambda f: f.pieces))


def _rings(own: Sequence[int], pieces: Sequence[Piece]) -> Iterator[list[int]]:
    """Pieces that close one ring, in order around it; what closes none is left as it is."""
    at: dict[Point, list[int]] = defaultdict(list)
    for k in own:
        if pieces[k].kind in (Kind.STRAIGHT, Kind.ARC, Kind.CURVE):
            for spot in ends(pieces[k]):
                at[cell(spot)].append(k)
    done: set[int] = set()
    for first in own:
        if first in done or pieces[first].kind in (Kind.CIRCLE, Kind.POINT):
            continue
        ring, spot = [first], ends(pieces[first])[-1]
        while True:
            after = [k for k in at[cell(spot)] if k != ring[-1]]
            if len(after) != 1 or after[0] in done:
                break
            if after[0] == first:
                done.update(ring)
                yield ring
                break
            if after[0] in ring:
                break
            ring.append(after[0])
            a, b = ends(pieces[after[0]])
            spot = b if cell(a) == cell(spot) else a


def _within(ring: Sequence[int], other: Sequence[int], pieces: Sequence[Piece]) -> bool:
    """Whether all corners of a ring lie inside the bounds of another."""
    corners = [spot for k in other for spot in ends(pieces[k])]
    return all(
        min(c[axis] for c in corners) < spot[axis] < max(c[axis] for c in corners)
        for k in ring for spot in ends(pieces[k]) for axis in (0, 1)
    )  # fmt: skip


def ends(piece: Piece) -> tuple[Point, ...]:
    """Both ends of an edge, an arc or a curve; nothing for what has none."""
    match piece.kind:
        case Kind.STRAIGHT | Kind.CURVE:
            return piece.spots[0], piece.spots[-1]
        case Kind.ARC:
            return piece.spots[1], piece.spots[2]
        case _:
            return ()


def _outline(ring: list[int], pieces: Sequence[Piece]) -> Iterator[KeyFeature]:
    """Notches and tabs, and then each other edge by itself."""
    count, taken, parted = len(ring), set[int](), set[tuple[int, int]]()
    for run in range(1, min(NOTCH, count - 2) + 1):
        for start in range(count):
            before, after = ring[start], ring[(start + run + 1) % count]
            between = [ring[(start + n) % count] for n in range(1, run + 1)]
            pair = min(before, after), max(before, after)
            if pair in parted or not taken.isdisjoint((*between, before, after)):
                continue
            if before != after and _one_line(pieces[before], pieces[after]):
                taken.update(between)
                parted.add(pair)  # not the way round the other side of the part
                yield KeyFeature(tuple(sorted(between)), "notch", pair)
    for k in ring:
        if k not in taken:
            yield KeyFeature((k,), "")


def _one_line(first: Piece, second: Piece) -> bool:
    if first.kind is not Kind.STRAIGHT or second.kind is not Kind.STRAIGHT:
        return False
    (ax, ay), (bx, by) = first.spots
    return all(abs((bx - ax) * (y - ay) - (by - ay) * (x - ax)) <= Fraction(1, 10**5) for x, y in second.spots)


def connected(pieces: Iterable[int], of: Sequence[Piece]) -> list[list[int]]:
    """Pieces in groups that hang together by their ends; indices into `of`."""
    group_at: dict[Point, int] = {}
    groups: list[list[int]] = []
    for k in pieces:
        cells = [cell(spot) for spot in ends(of[k])]
        touched = sorted({group_at[c] for c in cells if c in group_at})
        home = touched[0] if touched else len(groups)
        if not touched:
            groups.append([])
        for other in touched[1:]:
            groups[home] += groups[other]
            groups[other] = []
            for corner, group in group_at.items():
                if group == other:
                    group_at[corner] = home
        groups[home].append(k)
        group_at.update(dict.fromkeys(cells, home))
    return [sorted(g) for g in groups if g]
