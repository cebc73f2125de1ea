"""A submission laid on its key: everything that the criteria look at."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from dimaudit.grade.align import Fit, align_view, align_views, laid, moved
from dimaudit.grade.layout import Piece, layout
from dimaudit.grade.pair import Pairing, lying_on, pair
from dimaudit.grade.sized import Sizes, sizes
from dimaudit.model.drawing import LineRole, Origin
from dimaudit.model.grading import Alignment, Rubric
from dimaudit.pipeline import Examined


@dataclass(frozen=True, slots=True)
class Key:
    """The key drawing: what is asked."""

    examined: Examined
    pieces: tuple[Piece, ...]
    """Of its views; its border and title block are none of it."""
    views: Mapping[str, frozenset[str]]
    """Handles of the shapes of each view, by its name."""
    furniture: tuple[Piece, ...]
    """Border, title block and the like: a submission may have them."""

    def in_view(self, name: str) -> list[int]:
        """The pieces of one view, those that stand in no view before it."""
        before = [n for n in self.views if list(self.views).index(n) < list(self.views).index(name)]
        taken = {h for n in before for h in self.views[n]}
        own = self.views[name]
        return [k for k, p in enumerate(self.pieces) if not own.isdisjoint(p.handles) and taken.isdisjoint(p.handles)]

    def view_of(self, piece: int) -> str:
        """The name of the view that a piece stands in."""
        handles = self.pieces[piece].handles
        return next(name for name, own in self.views.items() if not own.isdisjoint(handles))


@dataclass(frozen=True, slots=True)
class LaidOut:
    """A submission laid on the key."""

    key: Key
    submission: Examined
    rubric: Rubric
    fit: Fit
    """Of the view with the most pieces; the others have the same scale and turn, and a shift of their own."""
    own: tuple[Piece, ...]
    """The submission's pieces, in its own coordinates."""
    pieces: tuple[Piece, ...]
    """The same, laid on the key."""
    alignments: tuple[Alignment, ...]
    """How each of them is laid."""
    view_alignments: Mapping[str, Alignment]
    """How each view is laid, by the name of the key's."""
    pairing: Pairing
    sizes: Sizes
    tolerance: Fraction
    """In the key's unit."""
    origins: Mapping[str, Origin]
    """Where each of the submission's entities stands in its file, by its handle."""


def key_of(examined: Examined) -> Key:
    """The key drawing's pieces, by view."""
    pieces = layout(examined.sheet, examined.audit.lengths.snap)
    views = {v.name: frozenset(s.origin.handle for s in v.shapes) for g in examined.geometries for v in g.views}
    own: frozenset[str] = frozenset().union(*views.values())
    inside = tuple(p for p in pieces if not own.isdisjoint(p.handles))
    if not inside:  # nothing is dimensioned: all that is drawn is asked
        everything = frozenset(h for p in pieces for h in p.handles)
        return Key(examined, pieces, {"sheet": everything} if pieces else {}, ())
    return Key(examined, inside, views, tuple(p for p in pieces if own.isdisjoint(p.handles)))


def lay_out(
    key: Key, submission: Examined, rubric: Rubric, wholes: Iterable[Sequence[int]] = ()
) -> LaidOut | None:
    """None where nothing of the submission is anything of the key. `wholes`: the key's pieces that make one thing."""
    snap, wholes = key.examined.audit.lengths.snap, list(wholes)
    own = layout(submission.sheet, submission.audit.lengths.snap)
    names = sorted(key.views, key=lambda name: -len(key.in_view(name)))
    if not names or not own:
        return None
    accepted = [
        Alignment(mirrored=m, quarter_turns=t)
        for m in ((False, True) if rubric.mirrored else (False,))
        for t in (range(4) if rubric.turned else (0,))
    ]
    furniture = {_place(p) for p in key.furniture}
    drawn = [p for p in own if _place(p) not in furniture]
    found = align_views(
        {name: [key.pieces[k] for k in key.in_view(name)] for name in names}, drawn, snap, accepted,
        lambda ways: _told(key.examined, submission, ways),
    )  # fmt: skip
    if found is None:
        return None
    main, fit = found
    names = [main, *(name for name in names if name != main)]
    of_key: dict[int, int] = {}
    ways = [fit.alignment] * len(own)
    pieces = [laid(p, fit.alignment) for p in own]
    by_view: dict[str, Alignment] = {}
    on_view = {name: lying_on([key.pieces[k] for k in key.in_view(name)], pieces, float(snap)) for name in names}
    aside = [s for s, p in enumerate(own) if {_place(p), _place(pieces[s])} & furniture]
    left = [s for s in range(len(own)) if s not in aside]
    for name in names:
        mine = [key.pieces[k] for k in key.in_view(name)]
        elsewhere = frozenset[int]().union(*(s for other, s in on_view.items() if other != name)) - on_view[name]
        free = [s for s in left if s not in elsewhere]
        way = fit.alignment
        if name != names[0]:
            other = align_view(mine, [own[s] for s in free], fit.alignment, snap)
            if other is None:
                continue
            way = other.alignment
        by_view[name] = way
        now = [laid(own[s], way) for s in free]
        number = {k: n for n, k in enumerate(key.in_view(name))}
        inside = [[number[k] for k in own] for own in wholes if number.keys() >= set(own)]
        for k, n in pair(mine, now, float(snap), inside).of_key.items():
            s = free[n]
            of_key[key.in_view(name)[k]] = s
            pieces[s], ways[s] = now[n], way
        taken = set(of_key.values())
        left = [s for s in left if s not in taken]
    missing = tuple(k for k in range(len(key.pieces)) if k not in of_key)
    pairing = Pairing(of_key, missing, (*left, *aside))
    tolerance = max(snap, rubric.tolerance or snap)
    theirs = {k: pieces[s] for k, s in of_key.items()}
    found_sizes = sizes(key.examined.audit, key.views, key.pieces, theirs, tolerance)
    return LaidOut(
        key, submission, rubric, fit, own, tuple(pieces), tuple(ways), by_view, pairing, found_sizes, tolerance,
        {s.origin.handle: s.origin for s in submission.sheet.shapes},
    )


def _told(key: Examined, submission: Examined, ways: Iterable[Alignment]) -> int:
    """How many of the key's dimensions end where one of the submission's does, laid in one of these ways."""
    own = _ends(key, Alignment())
    return len(own & {end for way in ways for end in _ends(submission, way)})


def _ends(examined: Examined, way: Alignment) -> set[tuple[object, ...]]:
    """Where each dimension ends, to 1/1000: to tell alike ways to lay a layout apart, not to judge it."""
    found: set[tuple[object, ...]] = set()
    for judgement in examined.audit.judgements:
        spots = [moved(end.feature.at, way) for end in judgement.attached.ends if end.feature is not None]
        if spots:
            found.add((judgement.attached.dimension.kind, *sorted((round(x, 3), round(y, 3)) for x, y in spots)))
    return found


def _place(piece: Piece) -> tuple[object, ...]:
    """Equal for two pieces that lie on one another: a title block is the key's wherever the part was moved."""
    return piece.kind, *(round(v, 4) for v in piece.numbers)


def is_part(piece: Piece) -> bool:
    """Whether a piece is an edge of the part: no centreline."""
    return piece.role is not LineRole.CENTRE
