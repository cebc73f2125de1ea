"""What a submission's dimensions and notes state beside those of the key: which measures what."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from dimaudit.grade.align import moved
from dimaudit.grade.laid_out import LaidOut, is_part
from dimaudit.grade.layout import Kind as Drawn
from dimaudit.grade.layout import Piece
from dimaudit.grade.levels import MEET, Stand, stands_along
from dimaudit.model.attached import Attached, Hold, Link
from dimaudit.model.audit import Judgement, TextSource
from dimaudit.model.drawing import ANGLES, Dimension, Kind, Point
from dimaudit.model.grading import Alignment
from dimaudit.model.pointed import HoleNote, RadiusNote
from dimaudit.model.stated import CallOut, Stated, StepKind
from dimaudit.model.units import Unit
from dimaudit.pipeline import Examined
from dimaudit.text.places import kind_text, where_text

ROUND = (Kind.RADIUS, Kind.DIAMETER, Kind.JOGGED_RADIUS)



def typed_over(judgement: Judgement) -> bool:
    """Whether a number stands in place of the measured one; an underlined one is not to scale and must be typed."""
    return (
        judgement.source is TextSource.TYPED
        and isinstance(judgement.reading, Stated)
        and not judgement.reading.underlined
        and not judgement.attached.dimension.exploded
    )


def middle_of(judgement: Judgement) -> tuple[float, float] | None:
    """Where the dimension's text is, or else what it measures."""
    at = judgement.attached.dimension.text_at
    if at is None:
        at = next((end.point for end in judgement.attached.ends), None)
    return None if at is None else (float(at[0]), float(at[1]))


@dataclass(frozen=True, slots=True)
class Said:
    """A dimension, or a note on a leader that sizes a hole or an arc: what states sizes."""

    source: Judgement | HoleNote | RadiusNote

    @property
    def judgement(self) -> Judgement | None:
        """None for a note."""
        return self.source if isinstance(self.source, Judgement) else None

    @property
    def handle(self) -> str:
        return self.source.attached.dimension.handle if isinstance(self.source, Judgement) else self.source.handles[0]

    @property
    def text(self) -> str:
        return " ".join(self.source.text.split())

    @property
    def kind(self) -> Kind | None:
        """None for a note."""
        return self.source.attached.dimension.kind if isinstance(self.source, Judgement) else None

    @property
    def associated(self) -> bool:
        """A note never is: nothing in it follows the layout."""
        return isinstance(self.source, Judgement) and self.source.attached.hold is Hold.ASSOCIATED

    @property
    def at(self) -> tuple[float, float] | None:
        """Where its text is."""
        if isinstance(self.source, Judgement):
            return middle_of(self.source)
        return float(self.source.at[0]), float(self.source.at[1])

    @property
    def call_out(self) -> CallOut | None:
        """All that it says of a hole; None where it says a number alone."""
        match self.source:
            case HoleNote(call_out=call_out):
                return call_out
            case Judgement(reading=Stated(call_out=call_out)):
                return call_out
            case _:
                return None

    @property
    def stated(self) -> tuple[Stated, ...]:
        """The sizes that it states; nothing where it can't be read."""
        match self.source:
            case HoleNote(call_out=out):
                return tuple(s.diameter for s in out.steps if s.diameter is not None)
            case RadiusNote(stated=stated):
                return (stated,)
            case Judgement(reading=Stated() as reading):
                return (reading,)
            case _:
                return ()

    @property
    def reference(self) -> bool:
        """In parentheses: it only repeats a size, for information (ASME Y14.5)."""
        return bool(self.stated) and all(s.reference for s in self.stated)

    @property
    def count(self) -> int | None:
        """How many places it is for, where it says so: 4 in '4X Ø.250'."""
        out = self.call_out
        return out.count if out is not None else next((s.count for s in self.stated), None)

    @property
    def threaded(self) -> bool:
        return self.call_out is not None and self.call_out.thread is not None

    @property
    def deep(self) -> bool:
        """Whether it gives a depth."""
        out = self.call_out
        return out is not None and (out.thread_depth is not None or any(s.depth is not None for s in out.steps))

    def name(self, unit: Unit | None) -> str:
        """'linear dimension "2.000" (left edge to right edge)', 'hole note "Ø.500 THRU"'."""
        if not isinstance(self.source, Judgement):
            return f'{"hole" if isinstance(self.source, HoleNote) else "radius"} note "{self.text}"'
        where = where_text(self.source.attached, unit)
        name = f'{kind_text(self.source.attached.dimension.kind)} "{self.text}"'
        return f"{name} ({where})" if where else name


def said_in(examined: Examined) -> tuple[Said, ...]:
    """The dimensions of a drawing, then the notes that are tied to what they size."""
    notes = [n for n in examined.notes if not n.why_not and (n.holes if isinstance(n, HoleNote) else n.arcs)]
    return tuple(map(Said, (*examined.audit.judgements, *notes)))


@dataclass(frozen=True, slots=True)
class Measures:
    """What one dimension measures, or one note sizes, in terms of the key's pieces."""

    kind: str
    """'round', 'angle', 'arc', 'slanted', 'x' or 'y'."""
    ends: tuple[frozenset[object], ...]
    """For each end what it may stand on; of what is round for each circle, from the inside, those of its size."""
    own: tuple[frozenset[int], ...] = ()
    """For each end the pieces that the dimension is on."""

    def same(self, other: "Measures") -> bool:
        """Whether both ends have something in common, in either order; of what is round any circle."""
        if self.kind != other.kind:
            return False
        if self.kind == "round":
            return any(not a.isdisjoint(b) for a in self.ends for b in other.ends)
        if len(self.ends) != len(other.ends):
            return False
        return any(
            all(not a.isdisjoint(b) for a, b in zip(self.ends, order, strict=True))
            for order in (other.ends, other.ends[::-1])
        )

    def left(self, others: Iterable["Measures"]) -> tuple[frozenset[object], ...]:
        """Its ends that none of the others, each the same, is on: circles of a stepped hole."""
        if self.kind != "round":
            return ()
        sized = frozenset[object]().union(*(end for other in others for end in other.ends))
        return tuple(end for end in self.ends if end.isdisjoint(sized))


@dataclass(frozen=True, slots=True)
class Met:
    """How a submission meets one of the key's dimensions or notes."""

    key: Said
    by: tuple[Said, ...]
    """What measures the same."""
    missing: Fraction
    """The share of its sizes that nothing states; 1 where nothing measures the same."""
    lost: bool
    """Whether what it is about is missing in the submission, and so it has not to be stated."""
    torn: bool = False
    """Whether a feature that it ends on is missing, though something else stands on its level."""
    instead: Said | None = None
    """Where nothing measures the same: one that was meant for it and ends elsewhere, or on what is missing."""

    @property
    def for_information(self) -> bool:
        """Whether only a number in parentheses says it."""
        return bool(self.by) and all(s.reference for s in self.by)


@dataclass(frozen=True, slots=True)
class Dimensioned:
    """What the key's dimensions and notes ask, and what the submission's say."""

    met: tuple[Met, ...]
    own: tuple[Said, ...]
    """All of the submission's."""
    without: frozenset[str] = frozenset()
    """Handles of those of the submission that stand on what is missing there."""

    def like(self, said: Said) -> Met | None:
        """The key's that one of the submission measures the same as."""
        return next((met for met in self.met if any(own is said for own in met.by)), None)


def dimensioned(laid_out: LaidOut) -> Dimensioned:
    """Compares what is measured, not where it is drawn."""
    key = dict(enumerate(laid_out.key.pieces))
    theirs = {k: laid_out.pieces[s] for k, s in laid_out.pairing.of_key.items()}
    by_handle: dict[str, list[int]] = {}
    for k, piece in key.items():
        for handle in piece.handles:
            by_handle.setdefault(handle, []).append(k)
    their_handles: dict[str, list[int]] = {}
    ways: dict[int, Alignment] = {}
    for k, s in laid_out.pairing.of_key.items():
        ways[k] = laid_out.alignments[s]
        for handle in laid_out.own[s].handles:
            their_handles.setdefault(handle, []).append(k)
    views: dict[str, list[int]] = {}
    for k in key:
        views.setdefault(laid_out.key.view_of(k), []).append(k)
    stands = {
        (name, axis): tuple(s for _, s in stands_along(own, laid_out.key.pieces, axis))
        for name, own in views.items() for axis in (0, 1)
    }  # fmt: skip
    seen = _Seen(laid_out, stands)
    own = said_in(laid_out.submission)
    own_measures = [
        (said, m) for said in own
        if (said.stated or said.threaded or said.judgement)
        and (m := seen.of(said, their_handles, theirs, ways, laid_out.fit.alignment)) is not None
    ]  # fmt: skip
    plain = dict.fromkeys(key, Alignment())
    measures = {said.handle: m for said, m in own_measures}
    met: list[Met] = []
    absent: list[tuple[int, Measures, Measures]] = []
    """Number in `met`, what it measures, and what of that is there."""
    for asked in said_in(laid_out.key.examined):
        if asked.reference or not (asked.stated or asked.threaded):
            continue
        wanted = seen.of(asked, by_handle, key, plain, Alignment())
        if wanted is None:
            continue  # one that measures nothing on the part asks nothing: the key's audit says so
        by = [(said, m) for said, m in own_measures if wanted.same(m) and (said.threaded or not asked.threaded)]
        left = wanted.left(m for _, m in by) if not asked.threaded else ()
        there = [end for end in left if not end.isdisjoint(theirs)]
        missing = Fraction(len(there), len(wanted.ends)) if by else Fraction(1)
        lost = not by and not _there(wanted, theirs)
        torn = any(end and end.isdisjoint(theirs) for end in wanted.own)
        met.append(Met(asked, tuple(said for said, _ in by), missing, lost, torn))
        if not by:
            present = {k: key[k] for k in theirs}
            absent.append((len(met) - 1, wanted, seen.of(asked, by_handle, present, plain, Alignment()) or wanted))
    known = {said.handle for m in met for said in m.by}
    others = [(said, measures.get(said.handle)) for said in own if said.handle not in known and said.judgement]
    without: set[str] = set()
    for n, _, here in absent:
        if met[n].lost:
            way = laid_out.fit.alignment
            on = [s for s, m in others if (m is not None and here.same(m)) or _about(met[n].key, s, way)]
            without.update(s.handle for s in on)
            met[n] = replace(met[n], instead=on[0] if on else None)
    for n, wanted, _ in absent:
        free = [(s, m) for s, m in others if s.handle not in known | without]
        stray = next((s for s, m in free if not met[n].lost and _meant(met[n].key, wanted, s, m)), None)
        if stray is not None:
            met[n] = replace(met[n], instead=stray)
            known.add(stray.handle)
    return Dimensioned(tuple(met), own, frozenset(without))


def _about(asked: Said, said: Said, way: Alignment) -> bool:
    """Whether a dimension on nothing is about the place where the key has something round."""
    at, own = _centre(asked), _centre(said)
    if at is None or own is None:
        return False
    return all(abs(a - b) <= MEET for a, b in zip(at, moved(own, way), strict=True))


def _centre(said: Said) -> Point | None:
    """Of what is round, by the points of its dimension."""
    if said.judgement is None:
        return None
    dimension = said.judgement.attached.dimension
    points = dimension.measured_points
    if dimension.kind not in ROUND or 10 not in points or 15 not in points:
        return None
    (ax, ay), (bx, by) = points[10], points[15]
    return ((ax + bx) / 2, (ay + by) / 2) if dimension.kind is Kind.DIAMETER else (ax, ay)


def _meant(asked: Said, wanted: Measures, said: Said, measures: Measures | None) -> bool:
    """Whether a dimension was meant for one of the key, and ends elsewhere.

    It runs the same way and shares an end, and either says the same number or has an end that is not on the part.
    """
    judgement = said.judgement
    if judgement is None or asked.judgement is None:
        return False
    same = asked.judgement.stated is not None and asked.judgement.stated == judgement.stated
    if measures is None or wanted.kind == "round":
        return same and said.kind in ROUND and wanted.kind == "round"
    shared = any(not a.isdisjoint(b) for a in wanted.ends for b in measures.ends)
    off = judgement.attached.link in (Link.NEAR, Link.FLOATING)
    return wanted.kind == measures.kind and shared and (same or off)


def _there(wanted: Measures, theirs: Mapping[int, Piece]) -> bool:
    """Whether what a dimension of the key is on is there at both ends."""
    for end, own in zip(wanted.ends, wanted.own or wanted.ends, strict=True):
        on = {s.piece if isinstance(s, Stand) else s for s in end if isinstance(s, (Stand, int))}
        if (on & own or on) and (on & own or on).isdisjoint(theirs):
            return False
    return True


@dataclass(frozen=True, slots=True)
class _Seen:
    """What dimensions measure."""

    laid_out: LaidOut
    stands: Mapping[tuple[str, int], tuple[Stand, ...]]
    """What stands on levels, by view and axis."""

    def of(
        self, said: Said, by_handle: Mapping[str, list[int]], pieces: Mapping[int, Piece],
        ways: Mapping[int, Alignment], plain: Alignment,
    ) -> Measures | None:  # fmt: skip
        """None where it cannot be told. `plain`: how a dimension lies that is on none of the pieces."""
        match said.source:
            case HoleNote(call_out=out, holes=holes):
                sizes = len(said.stated) + 2 * (out.thread is not None)
                hole = out.thread is not None or any(s.kind is StepKind.HOLE and s.diameter for s in out.steps)
                handles = [h for own in holes for h in own.rings[0 if hole else max(-sizes, -len(own.rings))].handles]
                return self._round([k for h in handles for k in by_handle.get(h, ())], sizes)
            case RadiusNote(arcs=arcs):
                return self._round([k for arc in arcs for k in by_handle.get(arc.origin.handle, ())], 1)
            case Judgement(attached=attached):
                further = 0 if said.call_out is None else sum(s.diameter is not None for s in said.call_out.steps[1:])
                return self._measures(attached, by_handle, pieces, ways, plain, 1 + further)

    def _measures(
        self, attached: Attached, by_handle: Mapping[str, list[int]], pieces: Mapping[int, Piece],
        ways: Mapping[int, Alignment], plain: Alignment, circles: int,
    ) -> Measures | None:  # fmt: skip
        ends = [[k for s in e.feature.shapes for k in by_handle.get(s.origin.handle, ())] if e.feature else []
                for e in attached.ends]  # fmt: skip
        known = [k for own in ends for k in own]
        way, kind = ways[known[0]] if known else plain, attached.dimension.kind
        if kind in ROUND:
            return self._round(known, circles)
        if kind in ANGLES or kind is Kind.ARC_LENGTH:
            what = "arc" if kind is Kind.ARC_LENGTH else "angle"
            return Measures(what, tuple(frozenset(own) for own in ends if own)) if known else None
        spots = [moved(e.feature.at if e.feature else e.point, way) for e in attached.ends]
        axis = _axis(attached.dimension, way, spots)
        if axis is None:
            on = zip(ends, spots, strict=True)
            return Measures(
                "slanted", tuple(frozenset(own) or self._bare(spot[0]) | self._bare(spot[1]) for own, spot in on)
            )
        stands = self.stands[self.laid_out.key.view_of(known[0]), axis] if known else ()
        found = tuple(
            frozenset(s for s in stands if s.piece in pieces and _on(s, pieces[s.piece], axis, spot[axis]))
            or self._bare(spot[axis])
            for spot in spots
        )
        return Measures("xy"[axis], found, tuple(map(frozenset, ends)))

    def _bare(self, level: Fraction) -> frozenset[object]:
        """A level that nothing of the part stands on, as a centreline does: two that are near share one of these."""
        cell = level // (4 * self.laid_out.key.examined.audit.lengths.snap)
        return frozenset({("level", cell), ("level", cell + 1)})

    def _round(self, known: Sequence[int], circles: int) -> Measures | None:
        """So many circles from the known one outwards: a hole, its counterbore."""
        pieces = self.laid_out.key.pieces
        if not known:
            return None
        first = pieces[known[0]]
        around = sorted({
            p.radius for p in pieces
            if p.kind is Drawn.CIRCLE and is_part(p) and p.spots[0] == first.spots[0] and p.radius > first.radius
        })[: circles - 1]  # fmt: skip
        steps = [[k for k, p in enumerate(pieces) if p.spots[0] == first.spots[0] and p.radius == r] for r in around]
        return Measures("round", tuple(frozenset(self._alike(own)) for own in (known, *steps)))

    def _alike(self, known: Sequence[int]) -> Iterator[int]:
        """The round pieces of the key that are of one size with these."""
        pieces = self.laid_out.key.pieces
        sizes = {(pieces[k].kind, pieces[k].radius) for k in known if pieces[k].radius}
        for k, piece in enumerate(pieces):
            if (piece.kind, piece.radius) in sizes:
                yield k


def _on(stand: Stand, piece: Piece, axis: int, level: Fraction) -> bool:
    if stand.spot is None:
        return any(abs(spot[axis] - level) <= MEET for spot in piece.spots)
    return abs(stand.level(piece, axis) - level) <= MEET


def _axis(dimension: Dimension, way: Alignment, spots: list[tuple[Fraction, Fraction]]) -> int | None:
    """The key's axis that a straight dimension runs along; None for a slanted one."""
    if len(spots) != 2:
        return None
    if dimension.kind is Kind.ALIGNED:
        along = [axis for axis in (0, 1) if abs(spots[0][1 - axis] - spots[1][1 - axis]) <= MEET]
        return along[0] if along else None
    if dimension.kind is Kind.ORDINATE:
        axis = 0 if dimension.along_x else 1
    elif dimension.angle % 180 in (0, 90):
        axis = 0 if dimension.angle % 180 == 0 else 1
    else:
        return None
    return axis ^ (way.quarter_turns % 2)


