"""Which of the key's numbers a submission draws right: each charged once, however many features follow from it.

Along each axis the key's scheme is a graph: levels are nodes, its numbers and what is taken as implied are steps. A
submission's levels are read off the paired pieces. A number is wrong where the two levels that it joins are not as far
apart as the key's are. So a hole measured from an edge that was drawn too far out is right where it is right from it.
"""

from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from math import atan2, cos, degrees, hypot, radians, sin

from dimaudit.exact.real import Real, angle_between, middle, minus, projection, root
from dimaudit.grade.formed import formed
from dimaudit.grade.layout import Kind, Piece
from dimaudit.grade.levels import MEET, Adrift, Askew, Moved, Tilted, Wrong, axes_of, stands_along, touching
from dimaudit.model.attached import Attached, End
from dimaudit.model.audit import DrawingAudit, Judgement
from dimaudit.model.drawing import ANGLES, LineRole, Point
from dimaudit.model.drawing import Kind as Dimensioned
from dimaudit.model.geometry import FeatureKind
from dimaudit.model.scheme import Implied
from dimaudit.model.stated import Stated
from dimaudit.model.view import crossing

ANGLE = Fraction(1, 1000)
"""Degrees by which an angle may be off: ends that are a snap distance off turn an edge of an inch by so much."""
AXES = ("across (along x)", "up and down (along y)")


class Measure(StrEnum):
    """What a number is of."""

    DISTANCE = "distance"
    DIAMETER = "diameter"
    RADIUS = "radius"
    BOLT_CIRCLE = "bolt circle's diameter"
    ANGLE = "angle"


@dataclass(frozen=True, slots=True)
class Number:
    """What one dimension of the key says of the geometry, and what is drawn instead."""

    dimension: str
    key: Real
    drawn: Real


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing that is drawn otherwise than the key says."""

    key: Real | None
    """What the key says, in its drawing's unit or degrees; None where it gives no number for it."""
    drawn: Real | None
    dimensions: tuple[str, ...]
    """Handles of the key's dimensions that say so; more than one where all are off for one reason."""
    pieces: tuple[int, ...]
    """Of the key."""
    axis: int | None = None
    """0 along x, 1 along y; None for radii, angles and slanted lengths."""
    implied: Implied | None = None
    """What is taken as implied, and not kept; None where it is a number that is wrong."""
    moved: Point | None = None
    """By how much the pieces are off their place along x and y, where that is the one cause."""
    measure: Measure = Measure.DISTANCE
    numbers: tuple[Number, ...] = ()
    """What the key's dimensions say, one by one, where several are off for one reason."""
    tilted: bool = False
    """An edge that the key draws level or upright is not; `moved` is how far its ends are off each other's level."""
    between: tuple[tuple[int, ...], ...] = ()
    """Of a distance: the pieces at its one end, and at its other."""
    form: str = ""
    """How an arc or a curve runs otherwise than the key's, or a bolt circle's holes are turned, in words."""


@dataclass(frozen=True, slots=True)
class Sizes:
    """What the key's numbers ask of a submission, and what is wrong."""

    asked: int
    """Numbers, sizes of round features, and places without a number, to be drawn right."""
    faults: tuple[Fault, ...]
    lost: int
    """Of `asked`: those whose feature is missing. It is charged there, not here."""

    @property
    def shape(self) -> tuple[Fault, ...]:
        """What breaks no number, but what the key draws in line, alike, tangent, and the way it runs."""
        return tuple(f for f in self.faults if f.implied is not None or (f.form and f.measure is not Measure.ANGLE))


def sizes(
    audit: DrawingAudit, views: Mapping[str, frozenset[str]], key: Sequence[Piece], theirs: Mapping[int, Piece],
    tolerance: Fraction,
) -> Sizes:  # fmt: skip
    """Compares a submission's pieces with what the key says.

    `views`: handles of the shapes of each of the key's views, by its name. `theirs`: the submission's pieces, laid on
    the key, by the index of the piece of the key that each stands for. `tolerance`: in the key's unit.
    """
    numbers: dict[str, bool] = {}
    """The key's dimensions that were looked at, and whether their features are there."""
    faults: dict[object, Fault] = {}
    adrift: list[tuple[int, Adrift]] = []
    measured = {
        j.attached.dimension.handle: frozenset(n for e in j.attached.ends if e.feature for n in _pieces(e, key))
        for j in audit.judgements
    }
    in_place: set[frozenset[int]] = set()
    for whole in axes_of(audit.schemes, views, key):
        in_place.update(whole.unplaced())
        axis = whole.based(key, theirs).split(key, theirs, measured, tolerance)
        moves = axis.moves(key, theirs)
        read = {s.dimension for s in axis.steps if s.low in moves and s.high in moves}
        for step in whole.steps:
            if step.by is None:
                numbers[step.dimension] = numbers.get(step.dimension, False) or step.dimension in read
        for off in axis.faults(key, theirs, tolerance):
            if isinstance(off, Adrift):
                adrift.append((axis.axis, off))
                continue
            fault = _fault(axis.axis, off, axis.pieces_at)
            same = fault.dimensions, fault.implied, fault.pieces if fault.implied else (), fault.tilted
            faults.setdefault(same, fault)
    rounds = list(_rounds(key, theirs))
    for pieces, radius, drawn in rounds:
        if drawn is not None and abs(drawn - radius) > tolerance:
            said = _said(audit, pieces, key)
            if key[pieces[0]].kind is Kind.CIRCLE:
                faults[pieces] = Fault(2 * radius, 2 * drawn, said, pieces, measure=Measure.DIAMETER)
            else:
                faults[pieces] = Fault(radius, drawn, said, pieces, measure=Measure.RADIUS)
    circles = list(_pitch_circles(key, theirs))
    for circle, drawn, holes in circles:
        if abs(drawn - key[circle].radius) > tolerance:
            faults[circle] = Fault(
                2 * key[circle].radius, 2 * drawn, _said(audit, (circle,), key), holes, measure=Measure.BOLT_CIRCLE
            )
    for judgement in audit.judgements:
        handle = judgement.attached.dimension.handle
        if handle in numbers or not _asks(judgement):
            continue
        found = _slanted(judgement.attached, key, theirs)
        if found is not None:
            wanted, drawn_now, own = found
            numbers[handle] = drawn_now is not None
            angle = judgement.attached.dimension.kind in ANGLES
            if drawn_now is not None and angle:
                turn = _turned(wanted, drawn_now)
                if abs(turn) > ANGLE:
                    shown = _shown(judgement, wanted)
                    faults[handle] = Fault(
                        shown[0], shown[0] + shown[1] * turn, (handle,), own, measure=Measure.ANGLE
                    )
            elif drawn_now is not None and _apart(wanted, drawn_now) > tolerance:
                faults[handle] = Fault(wanted, drawn_now, (handle,), own)
    faults = {what: f for what, f in faults.items() if not any(_follows(f, other, key) for other in faults.values())}
    explained = touching((p for f in faults.values() for p in f.pieces), key)
    bent = {
        n for pieces, _, _ in rounds for n in pieces
        if n in theirs and key[n].kind is Kind.ARC and abs(theirs[n].radius - key[n].radius) > tolerance
        and all(_near(a, b, tolerance) for a, b in zip(key[n].spots[1:], theirs[n].spots[1:], strict=True))
    }  # fmt: skip
    """Arcs of another radius with the key's ends: their centres follow."""
    on_circle = {hole for _, _, holes in circles for hole in holes}
    loose: list[tuple[frozenset[int], int, Fraction]] = []
    for axis_number, off in adrift:
        if _follows_another_view(axis_number, off, views, key, theirs, tolerance):
            continue
        placed = frozenset(p for p in off.pieces if p not in on_circle)
        if placed and not explained & touching(placed, key):
            loose.append((placed, axis_number, off.by))
    drifted = [Fault(None, None, (), own, moved=by) for own, by in _as_one(loose, key)]
    turned = list(_off_their_ray(key, theirs, circles, tolerance))
    faults = {
        what: f for what, f in faults.items()
        if f.implied is not Implied.IN_LINE or f.tilted or not (on_circle | bent).issuperset(f.pieces)
    }  # fmt: skip
    curved = [Fault(None, None, (), (n,), form=form, moved=by) for n, form, by in formed(key, theirs, tolerance)]
    lost = sum(not there for there in numbers.values()) + sum(drawn is None for _, _, drawn in rounds)
    arcs = touching([n for n, piece in enumerate(key) if piece.kind is Kind.ARC], key)
    unplaced = [own for own in in_place if not own <= on_circle and not own <= arcs]  # a slot's sides follow its ends
    lost += sum(own.isdisjoint(theirs) for own in unplaced)
    return Sizes(len(numbers) + len(rounds) + len(unplaced), (*faults.values(), *drifted, *turned, *curved), lost)


def _follows(round_one: Fault, other: Fault, key: Sequence[Piece]) -> bool:
    """Whether the size of arcs or circles is off only since a distance is: a slot's ends with its width, and what is
    seen as a circle in one view with its height in another."""
    if round_one.measure not in (Measure.RADIUS, Measure.DIAMETER) or other.measure is not Measure.DISTANCE:
        return False
    if other.axis is None or round_one.key is None or round_one.drawn is None or other.key is None:
        return False
    times = 2 if round_one.measure is Measure.RADIUS else 1
    pairs = (round_one.key, other.key), (round_one.drawn, other.drawn)
    if any(b is None or _apart(times * middle(a), b) > MEET for a, b in pairs):
        return False
    if round_one.measure is Measure.RADIUS:
        return not round_one.dimensions and set(round_one.pieces) <= touching(other.pieces, key)
    axis, own = other.axis, [key[n] for n in round_one.pieces]
    levels = {spot[axis] for n in other.pieces if key[n].kind is Kind.STRAIGHT for spot in key[n].spots}
    quadrants = [p.spots[0][axis] + side * p.radius for p in own for side in (-1, 1)]
    return all(any(abs(quadrant - at) <= MEET for at in levels) for quadrant in quadrants)


def _follows_another_view(
    axis: int, off: Adrift, views: Mapping[str, frozenset[str]], key: Sequence[Piece], theirs: Mapping[int, Piece],
    tolerance: Fraction,
) -> bool:  # fmt: skip
    """Whether what stands on the same levels in a view in line is off alike: there the number is that is wrong."""
    def view(piece: int) -> str:
        return next((name for name, own in views.items() if not own.isdisjoint(key[piece].handles)), "")

    here = view(off.pieces[0])
    others = [n for n in theirs if n < len(key) and view(n) != here]
    stands = list(stands_along(others, key, axis)) if others else []
    return bool(stands) and all(
        any(abs(at - level) <= MEET and abs(s.off(key[s.piece], theirs[s.piece], axis) - off.by) <= tolerance
            for at, s in stands)
        for level in off.levels
    )  # fmt: skip


def _as_one(
    loose: Iterable[tuple[frozenset[int], int, Fraction]], key: Sequence[Piece]
) -> Iterator[tuple[tuple[int, ...], Point]]:
    """What is off alike is one thing that was moved; so is what is off along both axes, and a closed window."""
    loose = list(loose)
    rounds: dict[Point, set[int]] = defaultdict(set)
    for n in {n for pieces, _, _ in loose for n in pieces if key[n].kind is Kind.CIRCLE}:
        x, y = (next((by for at, a, by in loose if a == axis and n in at), Fraction(0)) for axis in (0, 1))
        rounds[x, y].add(n)
    for moved, together in sorted(rounds.items()):
        yield tuple(sorted(together)), moved  # each by its own way, though some are off alike along one axis
    taken = frozenset[int]().union(*rounds.values())
    loose = [(rest, axis, by) for at, axis, by in loose if (rest := at - taken)]
    alike: dict[tuple[int, Fraction], set[int]] = defaultdict(set)
    for pieces, axis, by in loose:
        alike[axis, by] |= pieces
    across = {by: own for (axis, by), own in alike.items() if axis == 0}
    for (axis, up), own in alike.items():
        if axis == 1:
            with_it = [b for b, other in across.items() if other & own or _closed(other | own, key)][:1]
            whole = own.union(*(across.pop(by) for by in with_it))
            yield tuple(sorted(whole)), (with_it[0] if with_it else Fraction(0), up)
    for by, own in across.items():
        yield tuple(sorted(own)), (by, Fraction(0))


def _closed(pieces: Iterable[int], key: Sequence[Piece]) -> bool:
    """Whether each end of these pieces is another's end, too."""
    ends = Counter(spot for n in pieces for spot in key[n].spots[key[n].kind is Kind.ARC :])
    return all(count > 1 for count in ends.values())


def _fault(axis: int, off: Wrong | Moved | Askew | Tilted, pieces_at: Callable[[int], tuple[int, ...]]) -> Fault:
    def along(by: Fraction) -> Point:
        return (by, Fraction(0)) if axis == 0 else (Fraction(0), by)

    match off:
        case Wrong(step, low, high, wanted, drawn, also):
            sides = pieces_at(low), pieces_at(high)
            pieces = (*sides[0], *sides[1])
            share = step.share or Fraction(1)
            return Fault(
                abs(wanted) / share, abs(drawn) / share, (step.dimension,), tuple(dict.fromkeys(pieces)), axis, step.by,
                numbers=tuple(_numbers((off, *also)).values()) if also else (), between=sides,
            )  # fmt: skip
        case Moved(node, by, steps):
            numbers = _numbers(steps)
            return Fault(
                None, None, tuple(sorted(numbers)), pieces_at(node), axis, moved=along(by),
                numbers=tuple(numbers[handle] for handle in sorted(numbers)),
            )  # fmt: skip
        case Askew(_, pieces, by):
            return Fault(None, None, (), pieces, axis, Implied.IN_LINE, along(by))
        case Tilted(piece, by):
            return Fault(None, None, (), (piece,), axis, Implied.LEVEL, along(by), tilted=True)


def _numbers(steps: Iterable[Wrong]) -> dict[str, Number]:
    return {
        w.step.dimension: Number(w.step.dimension, abs(w.key) / w.step.share, abs(w.drawn) / w.step.share)
        for w in steps
    }


def _rounds(
    key: Sequence[Piece], theirs: Mapping[int, Piece]
) -> Iterator[tuple[tuple[int, ...], Fraction, Fraction | None]]:
    """Circles and arcs of one size, that size, and the one drawn where all have it, or the first other one."""
    groups: dict[tuple[Kind, Fraction], list[int]] = defaultdict(list)
    for n, piece in enumerate(key):
        if piece.kind in (Kind.CIRCLE, Kind.ARC) and piece.role is not LineRole.CENTRE:
            groups[piece.kind, piece.radius].append(n)
    for (_, radius), own in sorted(groups.items(), key=lambda g: (g[0][0], g[0][1])):
        drawn = [theirs[n].radius for n in own if n in theirs]
        other = [(n, theirs[n].radius) for n in own if n in theirs and theirs[n].radius != radius]
        if other:
            worst = max(abs(r - radius) for _, r in other)
            size = next(r for _, r in other if abs(r - radius) == worst)
            yield tuple(n for n, _ in other), radius, size
        else:
            yield tuple(own), radius, drawn[0] if drawn else None


def _pitch_circles(
    key: Sequence[Piece], theirs: Mapping[int, Piece]
) -> Iterator[tuple[int, Fraction, tuple[int, ...]]]:
    """A centreline circle of the key with three or more holes on it: index, radius that the submission's holes
    commonly stand on, and the holes."""
    holes = [n for n, p in enumerate(key) if p.kind is Kind.CIRCLE and p.role is not LineRole.CENTRE]
    for n, piece in enumerate(key):
        if piece.kind is not Kind.CIRCLE or piece.role is not LineRole.CENTRE:
            continue
        on = tuple(h for h in holes if abs(_away(key[h].spots[0], piece.spots[0]) - piece.radius) < Fraction(1, 10**5))
        there = [h for h in on if h in theirs]
        if len(on) < 3 or len(there) < 2:
            continue
        away = Counter(round(_away(theirs[h].spots[0], piece.spots[0]), 6) for h in there)
        radius, votes = away.most_common(1)[0]
        if votes > 1:
            yield n, piece.radius if abs(radius - piece.radius) < Fraction(1, 10**5) else radius, on


def _off_their_ray(
    key: Sequence[Piece], theirs: Mapping[int, Piece], circles: Iterable[tuple[int, Fraction, tuple[int, ...]]],
    tolerance: Fraction,
) -> Iterator[Fault]:  # fmt: skip
    """Holes of a pitch circle that are not where it and their angle put them; once where all are as far apart."""
    for circle, radius, holes in circles:
        cx, cy = key[circle].spots[0]
        share = radius / key[circle].radius
        off: dict[int, Point] = {}
        for hole in holes:
            if hole in theirs:
                (kx, ky), (x, y) = key[hole].spots[0], theirs[hole].spots[0]
                by = x - cx - share * (kx - cx), y - cy - share * (ky - cy)
                if max(map(abs, by)) > max(tolerance, Fraction(1, 10**5)):
                    off[hole] = by
        wanted, drawn = (_spacing(circle, key, [p[h].spots[0] for h in holes if h in p])
                         for p in (dict(enumerate(key)), theirs))  # fmt: skip
        turn = _pattern_turned(circle, key, [(key[h].spots[0], theirs[h].spots[0]) for h in holes if h in theirs])
        if len(off) > 1 and turn is not None:
            yield Fault(None, None, (), tuple(sorted(off)), measure=Measure.ANGLE,
                        form=f"are turned by {float(turn):.4g}° about their circle's centre")  # fmt: skip
        elif len(off) > 1 and wanted is not None and drawn is not None and abs(wanted - drawn) > ANGLE:
            yield Fault(wanted, drawn, (), tuple(sorted(off)), measure=Measure.ANGLE)
        else:
            for hole, moved in off.items():
                yield Fault(None, None, (), (hole,), moved=moved)


def _pattern_turned(circle: int, key: Sequence[Piece], spots: Sequence[tuple[Point, Point]]) -> Fraction | None:
    """Degrees by which all holes together are turned about a circle's centre, whichever was taken for which."""
    cx, cy = key[circle].spots[0]
    own, drawn = (
        sorted(degrees(atan2(float(y - cy), float(x - cx))) % 360 for x, y in side) for side in zip(*spots, strict=True)
    )
    turns = []
    for n in range(len(own)):
        steps = [(b - a) % 360 for a, b in zip(own, drawn[n:] + drawn[:n], strict=True)]
        if max((s - steps[0] + 180) % 360 for s in steps) - min((s - steps[0] + 180) % 360 for s in steps) < 1e-3:
            turns.append((steps[0] + 180) % 360 - 180)
    found = min(turns, key=abs, default=0.0)
    return Fraction(round(found, 3)) if abs(found) > ANGLE else None


def _spacing(circle: int, key: Sequence[Piece], spots: Sequence[Point]) -> Fraction | None:
    """Degrees from one of some places about a circle's centre to the next; None where they are not equally spaced."""
    cx, cy = key[circle].spots[0]
    turns = sorted(degrees(atan2(float(y - cy), float(x - cx))) % 360 for x, y in spots)
    steps = [(b - a) % 360 for a, b in zip(turns, turns[1:] + turns[:1], strict=True)]
    if len(turns) < 2 or max(steps) - min(steps) > 1e-3:
        return None
    return Fraction(360, len(turns))


def _away(p: Point, q: Point) -> Fraction:
    return middle(root((p[0] - q[0]) ** 2 + (p[1] - q[1]) ** 2), Fraction(1, 10**9))


def _said(audit: DrawingAudit, pieces: Iterable[int], key: Sequence[Piece]) -> tuple[str, ...]:
    """The key's dimensions on round features that give the size of these."""
    handles = {h for n in pieces for h in key[n].handles}
    sizes = {(key[n].kind, key[n].radius) for n in pieces}
    said = []
    for judgement in audit.judgements:
        dimension = judgement.attached.dimension
        if dimension.kind in (Dimensioned.RADIUS, Dimensioned.DIAMETER, Dimensioned.JOGGED_RADIUS):
            own = {s.origin.handle for e in judgement.attached.ends if e.feature for s in e.feature.shapes}
            if own & handles or not sizes.isdisjoint(_radii(own, key)):
                said.append(dimension.handle)
    return tuple(said)


def _radii(handles: set[str], key: Sequence[Piece]) -> set[tuple[Kind, Fraction]]:
    return {(p.kind, p.radius) for p in key if p.radius and not handles.isdisjoint(p.handles)}


def _asks(judgement: Judgement) -> bool:
    """Whether a dimension of the key asks for something: a reference does not (ASME Y14.5)."""
    reading = judgement.reading
    return isinstance(reading, Stated) and not reading.reference


def _slanted(
    attached: Attached, key: Sequence[Piece], theirs: Mapping[int, Piece]
) -> tuple[Real, Real | None, tuple[int, ...]] | None:
    """A slanted length or an angle: the key's, the submission's (None: a feature is missing), and the pieces.

    None where it cannot be taken from the pieces.
    """
    kind, ends = attached.dimension.kind, attached.ends
    match kind:
        case Dimensioned.LINEAR | Dimensioned.ALIGNED:
            spots = [_spot(end, key) for end in ends if end.feature is not None]
            if len(spots) != 2 or None in spots:
                return None
            own = tuple(p for s in spots if s is not None for p in s.pieces)
            values = []
            for pieces in (dict(enumerate(key)), theirs):
                places = [s.place(pieces) for s in spots if s is not None]
                values.append(None if None in places else _length(attached, places))
        case Dimensioned.ANGULAR | Dimensioned.ANGULAR_3P:
            edges = [_edge(end, key) for end in ends if end.feature is not None]
            own = tuple(dict.fromkeys(n for n in edges if n is not None))
            if len(own) != 2:
                return None
            values = [_angle(own, pieces) for pieces in (dict(enumerate(key)), theirs)]
        case _:
            return None
    wanted = values[0]
    return None if wanted is None else (wanted, values[1], own)


@dataclass(frozen=True, slots=True)
class _Spot:
    """A place on pieces of the key: where two edges meet, an end, a centre."""

    pieces: tuple[int, ...]
    index: int = 0

    def place(self, pieces: Mapping[int, Piece]) -> Point | None:
        """On pieces that stand for the key's; None where one is missing."""
        if any(n not in pieces for n in self.pieces):
            return None
        if len(self.pieces) == 2:
            first, second = (pieces[n].spots for n in self.pieces)
            return crossing(first[0], first[1], second[0], second[1])
        return pieces[self.pieces[0]].spots[self.index]


def _spot(end: End, key: Sequence[Piece]) -> _Spot | None:
    assert end.feature is not None
    at, own = end.feature.at, _pieces(end, key)
    straight = [n for n in own if key[n].kind is Kind.STRAIGHT and key[n].role is not LineRole.CENTRE]
    if end.feature.kind is FeatureKind.CENTRE:
        return next((_Spot((n,)) for n in own if key[n].radius), None)
    if len(straight) == 2 and crossing(*key[straight[0]].spots, *key[straight[1]].spots) is not None:
        return _Spot((straight[0], straight[1]))
    for n in own:
        for index, spot in enumerate(key[n].spots):
            if abs(spot[0] - at[0]) + abs(spot[1] - at[1]) < Fraction(1, 10**5):
                return _Spot((n,), index)
    return None


def _edge(end: End, key: Sequence[Piece]) -> int | None:
    return next((n for n in _pieces(end, key) if key[n].kind is Kind.STRAIGHT), None)


def _pieces(end: End, key: Sequence[Piece]) -> list[int]:
    assert end.feature is not None
    handles = {shape.origin.handle for shape in end.feature.shapes}
    own = [n for n, piece in enumerate(key) if not handles.isdisjoint(piece.handles)]
    here = [n for n in own if any(_meets(spot, end.feature.at) for spot in key[n].spots)]
    return here or own  # one block shown several times gives all its holes one handle


def _meets(a: Point, b: Point) -> bool:
    return _near(a, b, MEET)


def _near(a: Point, b: Point, within: Fraction) -> bool:
    return abs(a[0] - b[0]) <= within and abs(a[1] - b[1]) <= within


def _length(attached: Attached, places: Sequence[Point | None]) -> Real | None:
    p, q = places
    if p is None or q is None:
        return None
    dx, dy = q[0] - p[0], q[1] - p[1]
    if attached.dimension.kind is Dimensioned.ALIGNED or _along(attached):
        return root(dx * dx + dy * dy)
    return projection(dx, dy, attached.dimension.angle)


def _along(attached: Attached) -> bool:
    """Whether a slanted dimension runs from one feature straight to the other, as an aligned one does."""
    spots = [end.feature.at for end in attached.ends if end.feature is not None]
    if len(spots) != 2:
        return False
    dx, dy = (float(b - a) for a, b in zip(*spots, strict=True))
    turn = radians(float(attached.dimension.angle))
    return abs(dx * sin(turn) - dy * cos(turn)) <= 1e-6 * hypot(dx, dy)


def _angle(edges: tuple[int, ...], pieces: Mapping[int, Piece]) -> Real | None:
    """Of two edges, the one up to 180 degrees from the first's way to the second's."""
    if any(n not in pieces for n in edges):
        return None
    (a, b), (c, d) = (pieces[n].spots for n in edges)
    return angle_between(b[0] - a[0], b[1] - a[1], d[0] - c[0], d[1] - c[1])


def _turned(wanted: Real, drawn: Real) -> Fraction:
    """Degrees from one to the other; an edge has no way, so half turns do not count."""
    turn = (middle(drawn) - middle(wanted)) % 180
    return turn if turn <= 90 else turn - 180


def _shown(judgement: Judgement, wanted: Real) -> tuple[Fraction, int]:
    """The angle that the dimension shows, and whether it grows (1) or shrinks (-1) with the one of the edges."""
    shown, own = middle(judgement.measured or wanted), middle(wanted)
    return shown, 1 if min((shown - own) % 180, (own - shown) % 180) <= ANGLE else -1


def _apart(a: Real, b: Real) -> Fraction:
    low, high = minus(a, middle(b))
    return max(abs(low), abs(high))
