"""A submission laid on its key: everything that the criteria look at."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from dimaudit.grade.align import Fit, align, align_view, laid
from dimaudit.grade.layout import Piece, layout
from dimaudit.grade.pair import Pairing, pair
from dimaudit.grade.sized import Sizes, sizes
from dimaudit.model.drawing import LineRole
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
    pairing: Pairing
    sizes: Sizes
    tolerance: Fraction
    """In the key's unit."""


def key_of(examined: Examined) -> Key:
    """The key drawing's pieces, by view."""
    pieces = layout(examined.sheet, examined.audit.lengths.snap)
    views = {v.name: frozenset(s.origin.handle for s in v.shapes) for g in examined.geometries for v in g.views}
    own: frozenset[str] = frozenset().union(*views.values())
    inside = tuple(p for p in pieces if not own.isdisjoint(p.handles))
    return Key(examined, inside, views, tuple(p for p in pieces if own.isdisjoint(p.handles)))


def lay_out(key: Key, submission: Examined, rubric: Rubric) -> LaidOut | None:
    """None where nothing of the submission is anything of the key."""
    snap = key.examined.audit.lengths.snap
    own = layout(submission.sheet, submission.audit.lengths.snap)
    names = sorted(key.views, key=lambda name: -len(key.in_view(name)))
    if not names or not own:
        return None
    accepted = [
        Alignment(mirrored=m, quarter_turns=t)
        for m in ((False, True) if rubric.mirrored else (False,))
        for t in (range(4) if rubric.turned else (0,))
    ]
    fit = align([key.pieces[k] for k in key.in_view(names[0])], own, snap, accepted)
    if fit is None:
        return None
    of_key: dict[int, int] = {}
    pieces = [laid(p, fit.alignment) for p in own]
    left = list(range(len(own)))
    for name in names:
        mine = key.in_view(name)
        if name != names[0]:
            other = align_view([key.pieces[k] for k in mine], [own[s] for s in left], fit.alignment, snap)
            if other is None:
                continue
            for s in left:
                pieces[s] = laid(own[s], other.alignment)
        found = pair([key.pieces[k] for k in mine], [pieces[s] for s in left], float(snap))
        of_key.update({mine[k]: left[s] for k, s in found.of_key.items()})
        taken = set(of_key.values())
        for s in left:
            if s not in taken:
                pieces[s] = laid(own[s], fit.alignment)
        left = [s for s in left if s not in taken]
    missing = tuple(k for k in range(len(key.pieces)) if k not in of_key)
    pairing = Pairing(of_key, missing, tuple(left))
    tolerance = max(snap, rubric.tolerance or snap)
    theirs = {k: pieces[s] for k, s in of_key.items()}
    found_sizes = sizes(key.examined.audit, key.views, key.pieces, theirs, tolerance)
    return LaidOut(key, submission, rubric, fit, own, tuple(pieces), pairing, found_sizes, tolerance)


def is_part(piece: Piece) -> bool:
    """Whether a piece is an edge of the part: no centreline."""
    return piece.role is not LineRole.CENTRE
