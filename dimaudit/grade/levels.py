"""The levels of the key's scheme, what of the key stands on each, and where a submission has them."""

from bisect import bisect_left
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence, Set
from dataclasses import dataclass, replace
from enum import IntEnum
from fractions import Fraction

from dimaudit.grade.layout import Kind, Piece
from dimaudit.model.drawing import LineRole, Point
from dimaudit.model.scheme import Implied, Net, Scheme, Step
from dimaudit.scheme.joined import Joined

MEET = Fraction(1, 10**5)
"""How near to a level of the key's scheme that of a piece must be to stand on it; each was recovered by itself."""
HALF_ROUND = -0.9
"""Cosine of the least turn of an arc (about 154 degrees) that is the end of a slot; what turns less is a fillet."""


class Grip(IntEnum):
    """How firmly a piece stands on a level; the firmest speak for it."""

    FIRM = 0
    """An edge along it, the centre of something round, a point."""
    LOOSE = 1
    """The end of a slanted edge."""
    END = 2
    """The end of an edge that no other edge ends at."""
    QUADRANT = 3
    """Of something round, which its centre and its size place."""
    FILLET = 4
    """The centre of a fillet, which its edges and its radius place."""


@dataclass(frozen=True, slots=True)
class Stand:
    """A piece of the key on a level, and what of it stands there."""

    piece: int
    grip: Grip
    spot: int | None
    """Index into its spots; None for an edge's middle."""
    side: int = 0
    """-1 or 1 for the quadrant below or above the spot."""

    def level(self, piece: Piece, axis: int) -> Fraction:
        """Of the key's own piece."""
        spot = piece.middle if self.spot is None else piece.spots[self.spot]
        return spot[axis] + self.side * piece.radius

    def off(self, key: Piece, other: Piece, axis: int, base: Fraction = Fraction(0)) -> Fraction:
        """How far a piece that stands for the key's is off its level moved by `base`; a tilted one: its nearer end."""
        return min((off - base for off in self.offs(key, other, axis)), key=abs)

    def offs(self, key: Piece, other: Piece, axis: int) -> tuple[Fraction, ...]:
        """How far it is off; both ends of an edge, which may be tilted."""
        at = self.level(key, axis)
        if self.spot is None:
            return tuple(sorted({spot[axis] - at for spot in other.spots}))
        return (self.level(other, axis) - at,)


@dataclass(frozen=True, slots=True)
class Wrong:
    """A step of the scheme that a submission does not make as the key does."""

    step: Step
    low: int
    high: int
    """Nodes."""
    key: Fraction
    drawn: Fraction
    also: tuple["Wrong", ...] = ()
    """Others that are wrong only since this one is, drawn too large or too small alike on both sides."""


@dataclass(frozen=True, slots=True)
class Moved:
    """One level that is off, so that all numbers that meet at it are."""

    node: int
    by: Fraction
    steps: tuple[Wrong, ...]


@dataclass(frozen=True, slots=True)
class Askew:
    """Pieces off the level that others, with which the key has them in line, stand on."""

    node: int
    pieces: tuple[int, ...]
    by: Fraction


@dataclass(frozen=True, slots=True)
class Tilted:
    """An edge that the key draws level or upright, and its ends in the submission are so far off each other's level."""

    piece: int
    by: Fraction


@dataclass(frozen=True, slots=True)
class Adrift:
    """Levels that the key's numbers do not join to the others, off by so much."""

    pieces: tuple[int, ...]
    by: Fraction
    levels: tuple[Fraction, ...]
    """The key's."""


@dataclass(frozen=True, slots=True)
class Axis:
    """One view along one axis."""

    axis: int
    stands: dict[int, tuple[Stand, ...]]
    """By node."""
    steps: tuple[Step, ...]
    """Those whose ends both have something standing on them."""
    base: Fraction = Fraction(0)
    """By how much most levels are off: nothing depends on what the submission happened to be laid on."""

    def based(self, key: Sequence[Piece], theirs: Mapping[int, Piece]) -> "Axis":
        """The same for a submission, what is off seen from most levels; among equals from what most stand
        on, then from the middle of what is off."""
        votes: Counter[Fraction] = Counter()
        stood: Counter[Fraction] = Counter()
        for stands in self.stands.values():
            own = [s for s in stands if s.piece in theirs and s.grip < Grip.QUADRANT]
            firmest = min((s.grip for s in own), default=None)
            firm = (s for s in own if s.grip is firmest)
            here = Counter(off for s in firm for off in s.offs(key[s.piece], theirs[s.piece], self.axis))
            votes.update(here.keys())
            stood.update(here)
        most = max(((votes[off], stood[off]) for off in votes), default=(0, 0))
        equal = sorted(off for off in votes if (votes[off], stood[off]) == most)
        return replace(self, base=equal[(len(equal) - 1) // 2] if equal else Fraction(0))

    def moves(self, key: Sequence[Piece], theirs: Mapping[int, Piece]) -> dict[int, Fraction]:
        """By how much each level of the submission is off the key's, moved by `base`: by what stands there most firmly,
        most often."""
        found = {}
        for node, stands in self.stands.items():
            own = [s for s in stands if s.piece in theirs]
            firmest = min((s.grip for s in own), default=None)
            votes = Counter(self._off(s, key, theirs) for s in own if s.grip is firmest)
            if votes:
                found[node] = max(votes, key=lambda off: (votes[off], -abs(off), off))
        return found

    def _off(self, stand: Stand, key: Sequence[Piece], theirs: Mapping[int, Piece]) -> Fraction:
        return stand.off(key[stand.piece], theirs[stand.piece], self.axis, self.base)

    def pieces_at(self, node: int) -> tuple[int, ...]:
        """Indices of the key's pieces that stand most firmly on a level."""
        firmest = min(s.grip for s in self.stands[node])
        return tuple(dict.fromkeys(s.piece for s in self.stands[node] if s.grip is firmest))

    def level(self, node: int, key: Sequence[Piece]) -> Fraction:
        """The key's own."""
        stand = min(self.stands[node], key=lambda s: s.grip)
        return stand.level(key[stand.piece], self.axis)

    def faults(
        self, key: Sequence[Piece], theirs: Mapping[int, Piece], tolerance: Fraction
    ) -> Iterator[Wrong | Moved | Askew | Tilted | Adrift]:
        """What is off, each thing once; first what the key says with a number, then what it implies.

        Of an axis that was split for the submission.
        """
        moves = self.moves(key, theirs)
        yield from self._tilted(theirs, tolerance)
        wrong = [
            Wrong(s, s.low, s.high, at, at + moves[s.high] - moves[s.low])
            for s in self.steps
            if s.low in moves and s.high in moves
            for at in (self.level(s.high, key) - self.level(s.low, key),)
            if abs(moves[s.high] - moves[s.low]) > tolerance
        ]
        joined: Joined[int] = Joined()
        off = {id(w.step) for w in wrong}
        for step in self.steps:
            if step.low in moves and step.high in moves and id(step) not in off:
                joined.join(step.low, step.high)
        charged = list(self._charged(wrong, moves, joined, tolerance))
        yield from charged
        wide = {
            node for w in charged if isinstance(w, Wrong) and moves[w.low]
            and abs(moves[w.low] + moves[w.high]) <= tolerance for node in (w.low, w.high)
        }  # fmt: skip
        yield from self._adrift(moves, joined, key, tolerance, wide)

    def _tilted(self, theirs: Mapping[int, Piece], tolerance: Fraction) -> Iterator[Tilted]:
        for piece in sorted({s.piece for own in self.stands.values() for s in own if s.spot is None}):
            if piece in theirs:
                a, b = (spot[self.axis] for spot in theirs[piece].spots)
                if abs(b - a) > tolerance:
                    yield Tilted(piece, b - a)

    def split(
        self, key: Sequence[Piece], theirs: Mapping[int, Piece], measured: Mapping[str, frozenset[int]],
        tolerance: Fraction,
    ) -> "Axis":  # fmt: skip
        """The same, where what the key has in line, and a submission has not, stands on levels of its own.

        A number is then read where its own features are, whatever else the key happens to have in line with them; one
        whose features are missing is not read at all.
        `measured`: the pieces that each of the key's dimensions is on.
        """
        moves = self.moves(key, theirs)
        apart: dict[tuple[int, Fraction], list[Stand]] = defaultdict(list)
        for node, stands in self.stands.items():
            for stand in stands:
                if stand.piece in theirs and abs(off := self._off(stand, key, theirs) - moves[node]) > tolerance:
                    apart[node, off].append(stand)

        used: set[tuple[int, Fraction]] = set()

        def place(step: Step, node: int) -> tuple[int, Fraction]:
            own = [s for s in self.stands[node] if s.piece in measured.get(step.dimension, ()) and s.piece in theirs]
            if step.by is not None or step.again or step.share != 1 or not own:
                return node, Fraction(0)
            firmest = min(s.grip for s in own)
            offs = [self._off(s, key, theirs) - moves[node] for s in own if s.grip is firmest]
            off = min(offs, key=abs)
            return (node, off) if abs(off) > tolerance else (node, Fraction(0))

        def there(step: Step, node: int) -> bool:
            own = [s for s in self.stands[node] if s.piece in measured.get(step.dimension, ())]
            return step.by is not None or not own or any(s.piece in theirs for s in own)

        kept = [step for step in self.steps if there(step, step.low) and there(step, step.high)]
        ends = [(place(step, step.low), place(step, step.high)) for step in kept]
        used.update(end for pair in ends for end in pair if end[1])
        used.update(at for at, own in apart.items() if any(s.grip in (Grip.FIRM, Grip.END) for s in own))
        number = {at: max(self.stands, default=0) + n for n, at in enumerate(sorted(used), 1)}
        number.update(((node, Fraction(0)), node) for node in self.stands)
        levels = {
            node: tuple(s for s in own if not any(s in apart[at] for at in used if at[0] == node)) or own
            for node, own in self.stands.items()
        }
        levels.update((number[at], tuple(apart[at])) for at in used)
        levels = {node: tuple(s for s in own if s.piece in theirs) or own for node, own in levels.items()}
        steps = [
            replace(step, low=number[low], high=number[high])
            for step, (low, high) in zip(kept, ends, strict=True)
        ]
        steps += [Step("", at[0], number[at], by=Implied.IN_LINE) for at in sorted(used)]
        return Axis(self.axis, levels, tuple(steps), self.base)

    def _charged(
        self, wrong: list[Wrong], moves: Mapping[int, Fraction], joined: Joined[int], tolerance: Fraction
    ) -> Iterator[Wrong | Moved | Askew]:
        """Each cause once: a level where several numbers meet that are wrong only since it is off, then the others."""
        while True:
            meeting: dict[int, list[Wrong]] = defaultdict(list)
            for w in wrong:
                if w.step.by is None:
                    meeting[w.low].append(w)
                    meeting[w.high].append(w)
            alone = [
                (len(own), -node, node, own)
                for node, own in meeting.items()
                if len({w.step.dimension for w in own}) > 1
                and abs(moves[node]) > tolerance
                and all(abs(moves[w.low if w.high == node else w.high]) <= tolerance for w in own)
            ]
            if not alone:
                break
            node, own = max(alone, key=lambda a: a[:2])[2:]
            yield Moved(node, moves[node], tuple(own))
            explained = set(map(id, own))
            wrong = [w for w in wrong if id(w) not in explained]
            for w in own:
                joined.join(w.low, w.high)
        for w in list(wrong):
            both = moves[w.low], moves[w.high]
            if w.step.by is None and w in wrong and both[0] and abs(both[0] + both[1]) <= tolerance:
                also = tuple(
                    o for o in wrong if o is not w and o.step.by is None and len({w.low, w.high} & {o.low, o.high}) == 1
                    and abs(moves[next(iter({o.low, o.high} - {w.low, w.high}))]) <= tolerance
                )  # fmt: skip
                yield replace(w, also=also)
                for o in (w, *also):
                    joined.join(o.low, o.high)
                    wrong.remove(o)
        for w in wrong:
            if w.step.by is None:
                yield w
                joined.join(w.low, w.high)
        for w in wrong:
            if w.step.by is not None and w.step.dimension and joined.join(w.low, w.high):
                yield w  # else it follows from what is charged already
        held = self._held(joined, moves)
        for w in wrong:
            # what a number of its own holds need not be in line: what it was in line with is looked at by itself
            if not w.step.dimension and w.high not in held and joined.join(w.low, w.high):
                yield Askew(w.low, self.pieces_at(w.high), moves[w.high] - moves[w.low])

    def _groups(self, joined: Joined[int], moves: Mapping[int, Fraction]) -> list[list[int]]:
        """Levels that numbers join; those where only quadrants and fillets stand are placed by other things."""
        groups: dict[int, list[int]] = defaultdict(list)
        for node in moves:
            if any(s.grip < Grip.QUADRANT for s in self.stands[node]):
                groups[joined.of(node)].append(node)
        return sorted(groups.values(), key=lambda own: (-sum(len(self.stands[n]) for n in own), own[0]))

    def unplaced(self) -> Iterator[frozenset[int]]:
        """Pieces that no number and nothing implied joins to the most of the levels: they are compared in place."""
        joined: Joined[int] = Joined()
        for step in self.steps:
            joined.join(step.low, step.high)
        for own in self._groups(joined, dict.fromkeys(self.stands, Fraction(0)))[1:]:
            yield frozenset(s.piece for n in own for s in self.stands[n] if s.grip < Grip.QUADRANT)

    def _held(self, joined: Joined[int], moves: Mapping[int, Fraction]) -> frozenset[int]:
        """The levels of the most that numbers join; none where they join nothing."""
        groups = self._groups(joined, moves)
        return frozenset(groups[0]) if groups and len(groups[0]) > 1 else frozenset()

    def _adrift(
        self, moves: Mapping[int, Fraction], joined: Joined[int], key: Sequence[Piece], tolerance: Fraction,
        wide: Set[int],
    ) -> Iterator[Adrift]:  # fmt: skip
        """`wide`: levels that are off alike on both sides of what lies right: they don't say where that is."""
        groups = self._groups(joined, moves)
        if len(groups) < 2:
            return
        first = groups[0]
        anchor = first if len(first) > 1 else list(moves)  # no number joins anything: what most stand on is right
        weight: Counter[Fraction] = Counter({Fraction(0): 0})
        for node in (n for n in anchor if n not in wide):
            weight[moves[node]] += len(self.stands[node])
        base = max(weight, key=lambda by: (weight[by], -abs(by), by))
        for own in groups:
            most = Counter(moves[n] for n in own if n not in wide).most_common(1)
            by = most[0][0] if most else base
            if (own is not first or len(first) == 1) and abs(by - base) > tolerance:
                pieces = sorted({s.piece for n in own for s in self.stands[n] if s.grip < Grip.QUADRANT})
                yield Adrift(tuple(pieces), by - base, tuple(self.level(n, key) for n in own))


def axes_of(schemes: Iterable[Scheme], views: Mapping[str, frozenset[str]], key: Sequence[Piece]) -> list[Axis]:
    """The axes of all views of the key. `views` gives the handles of each view's shapes by its name."""
    found: list[Axis] = []
    done: set[tuple[str, int]] = set()
    for net in (net for scheme in schemes for net in scheme.nets):
        for name in dict.fromkeys(p.view.name for node in net.nodes for p in node.places):
            axes = list(_axes_in_view(net, name, views.get(name, frozenset()), key))
            done.update((name, a.axis) for a in axes)
            found += axes
    for name, handles in views.items():
        for axis in (0, 1):
            if (name, axis) not in done:
                found.append(_bare(handles, key, axis))
    return found


def _bare(handles: frozenset[str], key: Sequence[Piece], axis: int) -> Axis:
    """A view of which the key says nothing along an axis: its levels alone."""
    own = [n for n, piece in enumerate(key) if not handles.isdisjoint(piece.handles)]
    nodes: dict[Fraction, list[Stand]] = defaultdict(list)
    last: Fraction | None = None
    for level, stand in sorted(stands_along(own, key, axis), key=lambda found: found[0]):
        last = level if last is None or level - last > MEET else last
        nodes[last].append(stand)
    return Axis(axis, {n: tuple(stands) for n, stands in enumerate(nodes.values())}, ())


def _axes_in_view(net: Net, name: str, handles: frozenset[str], key: Sequence[Piece]) -> Iterator[Axis]:
    """One, or none where nothing of the view stands on its levels."""
    own = [n for n, piece in enumerate(key) if not handles.isdisjoint(piece.handles)]
    by_axis: dict[int, dict[int, tuple[Stand, ...]]] = defaultdict(dict)
    for axis in (0, 1):
        levels = sorted(stands_along(own, key, axis), key=lambda found: found[0])
        for k, node in enumerate(net.nodes):
            values = {p.value for p in node.places if p.view.name == name and p.axis == axis}
            stands = [s for v in sorted(values) for _, s in levels[_from(levels, v - MEET) : _from(levels, v + MEET)]]
            if stands:
                by_axis[axis][k] = tuple(dict.fromkeys(stands))
    for axis, nodes in by_axis.items():
        yield Axis(axis, nodes, tuple(s for s in net.steps if s.low in nodes and s.high in nodes))


def _from(levels: Sequence[tuple[Fraction, Stand]], value: Fraction) -> int:
    return bisect_left(levels, value, key=lambda found: found[0])


def stands_along(own: Sequence[int], key: Sequence[Piece], axis: int) -> Iterator[tuple[Fraction, Stand]]:
    """The levels along an axis of some of the key's pieces, each with what stands there."""
    ends = Counter(spot for n in own for spot in key[n].spots[key[n].kind is Kind.ARC :])
    for n in own:
        piece = key[n]
        if piece.role is LineRole.CENTRE:
            continue
        match piece.kind:
            case Kind.STRAIGHT if piece.spots[0][axis] == piece.spots[1][axis]:
                yield piece.spots[0][axis], Stand(n, Grip.FIRM, None)
            case Kind.STRAIGHT if piece.spots[0][1 - axis] == piece.spots[1][1 - axis]:
                for spot in (0, 1):
                    if ends[piece.spots[spot]] == 1:
                        yield piece.spots[spot][axis], Stand(n, Grip.END, spot)
            case Kind.STRAIGHT:
                for spot in (0, 1):
                    yield piece.spots[spot][axis], Stand(n, Grip.LOOSE, spot)
            case Kind.CIRCLE | Kind.ARC:
                grip = Grip.FIRM if piece.kind is Kind.CIRCLE or _half_round(piece) else Grip.FILLET
                yield piece.spots[0][axis], Stand(n, grip, 0)
                if grip is Grip.FIRM:
                    for side in (-1, 1):
                        yield piece.spots[0][axis] + side * piece.radius, Stand(n, Grip.QUADRANT, 0, side)
            case Kind.POINT:
                yield piece.spots[0][axis], Stand(n, Grip.LOOSE, 0)
            case _:
                pass


def _half_round(arc: Piece) -> bool:
    """Whether an arc turns through half a circle or more."""
    (cx, cy), a, b = arc.spots
    ax, ay, bx, by = (float(v) for v in (a[0] - cx, a[1] - cy, b[0] - cx, b[1] - cy))
    square = float(arc.radius) ** 2
    return ax * by - ay * bx < 0 or ax * bx + ay * by < HALF_ROUND * square


def touching(pieces: Iterable[int], key: Sequence[Piece]) -> frozenset[int]:
    """The pieces, and those that share an end with one of them."""
    wanted = set(pieces)
    spots: dict[Point, set[int]] = defaultdict(set)
    for n, piece in enumerate(key):
        for spot in piece.spots[1:] if piece.kind is Kind.ARC else piece.spots:
            spots[spot].add(n)
    return frozenset(wanted.union(*(own for own in spots.values() if own & wanted)))


