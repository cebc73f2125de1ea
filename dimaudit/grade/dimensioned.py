"""The dimensions of a submission beside those of the key: which measures what."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction

from dimaudit.grade.align import moved
from dimaudit.grade.laid_out import LaidOut
from dimaudit.grade.layout import Piece
from dimaudit.grade.levels import MEET, Stand, stands_along
from dimaudit.model.attached import Attached
from dimaudit.model.audit import Judgement, TextSource
from dimaudit.model.drawing import ANGLES, Dimension, Kind
from dimaudit.model.grading import Alignment
from dimaudit.model.stated import Stated

ROUND = (Kind.RADIUS, Kind.DIAMETER, Kind.JOGGED_RADIUS)
STRAIGHT = (Kind.LINEAR, Kind.ALIGNED, Kind.ORDINATE)


def asks(judgement: Judgement) -> bool:
    """Whether a dimension states a size: a reference only repeats one (ASME Y14.5)."""
    return isinstance(judgement.reading, Stated) and not judgement.reading.reference


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
class Measures:
    """What one dimension measures, in terms of the key's pieces."""

    kind: str
    """'round', 'angle', 'arc', 'slanted', 'x' or 'y'."""
    ends: tuple[frozenset[object], ...]
    """For each end what it may stand on."""
    own: tuple[frozenset[int], ...] = ()
    """For each end the pieces that the dimension is on."""

    def same(self, other: "Measures") -> bool:
        """Whether both ends have something in common, in either order."""
        if self.kind != other.kind or len(self.ends) != len(other.ends):
            return False
        return any(
            all(not a.isdisjoint(b) for a, b in zip(self.ends, order, strict=True))
            for order in (other.ends, other.ends[::-1])
        )


@dataclass(frozen=True, slots=True)
class Dimensioned:
    """The key's dimensions that ask for something, and the submission's that say so."""

    asked: tuple[Judgement, ...]
    by: dict[str, tuple[Judgement, ...]]
    """The submission's dimensions that measure the same, by the handle of the key's."""
    lost: frozenset[str]
    """Handles of the key's dimensions whose features are missing in the submission."""

    def like(self, handle: str) -> Judgement | None:
        """The key's dimension that one of the submission measures the same as."""
        for judgement in self.asked:
            if any(handle == j.attached.dimension.handle for j in self.by[judgement.attached.dimension.handle]):
                return judgement
        return None


def dimensioned(laid_out: LaidOut) -> Dimensioned:
    """Compares what the dimensions measure, not where they are drawn."""
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
    own_measures = [
        (j, m) for j in laid_out.submission.audit.judgements
        if (m := seen.measures(j.attached, their_handles, theirs, ways, laid_out.fit.alignment)) is not None
    ]  # fmt: skip
    plain = dict.fromkeys(key, Alignment())
    by: dict[str, tuple[Judgement, ...]] = {}
    lost: set[str] = set()
    asked: list[Judgement] = []
    for judgement in laid_out.key.examined.audit.judgements:
        handle = judgement.attached.dimension.handle
        wanted = seen.measures(judgement.attached, by_handle, key, plain, Alignment())
        if wanted is None or not asks(judgement):
            continue  # one that measures nothing on the part asks nothing: the key's audit says so
        asked.append(judgement)
        by[handle] = tuple(j for j, m in own_measures if wanted.same(m))
        if not by[handle] and not _there(wanted, theirs):
            lost.add(handle)
    return Dimensioned(tuple(asked), by, frozenset(lost))


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

    def measures(
        self, attached: Attached, by_handle: Mapping[str, list[int]], pieces: Mapping[int, Piece],
        ways: Mapping[int, Alignment], plain: Alignment,
    ) -> Measures | None:  # fmt: skip
        """None where it cannot be told. `plain`: how a dimension lies that is on none of the pieces."""
        ends = [[k for s in e.feature.shapes for k in by_handle.get(s.origin.handle, ())] if e.feature else []
                for e in attached.ends]  # fmt: skip
        known = [k for own in ends for k in own]
        way, kind = ways[known[0]] if known else plain, attached.dimension.kind
        if kind in ROUND:
            return None if not known else Measures("round", (frozenset(self._alike(known)),))
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

    def _alike(self, known: list[int]) -> Iterator[int]:
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


