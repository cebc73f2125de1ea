"""What a key drawing asks by itself: the rubric that an instructor begins with."""

from collections import Counter
from collections.abc import Iterator
from fractions import Fraction

from dimaudit.grade.laid_out import Key
from dimaudit.grade.layout import Kind, Piece
from dimaudit.model.audit import Finding, Level
from dimaudit.model.drawing import LineRole
from dimaudit.model.grading import Asked, Criterion, LayerAsked, Lying, Rubric

POINTS = {
    Criterion.UNITS: 5, Criterion.ORIENTATION: 5, Criterion.PLACE: 5, Criterion.FEATURES: 20, Criterion.SIZES: 20,
    Criterion.SHAPE: 5, Criterion.DIMENSIONS: 20, Criterion.TYPED: 5, Criterion.LINEWORK: 5, Criterion.LAYERS: 5,
    Criterion.CENTRE_POINTS: 5,
}  # fmt: skip
"""100 in all: a beginning, with most for what a part is scrapped for. The instructor's word counts."""
PORTION = 5
"""What a criterion leaves that the key does not need goes to the others in portions of so many points."""
FIXED = {Criterion.SHAPE: Fraction(1), Criterion.TYPED: Fraction(1), Criterion.LINEWORK: Fraction(1)}
"""What one fault costs where nothing is counted that the points could be shared among."""
ROUND_TO = Fraction(1, 2)


def proposed(key: Key, key_name: str, title: str) -> Rubric:
    """A rubric for the key: what it does not show is not asked, and the points are 100 in all."""
    lying = _lying(key)
    layers = tuple(_layers(key))
    asked = [c for c in Criterion if c not in set(_not_needed(key, lying, layers))]
    points = {c: POINTS[c] for c in asked}
    heirs = [c for c in (Criterion.SIZES, Criterion.FEATURES, Criterion.DIMENSIONS) if c in points]
    for n in range((sum(POINTS.values()) - sum(points.values())) // PORTION):
        points[heirs[n % len(heirs)]] += PORTION
    return Rubric(
        key_name, key.examined.drawing.sha256, title,
        tuple(Asked(c, Fraction(points[c]), FIXED.get(c)) for c in asked),
        lying=lying, layers=layers, round_to=ROUND_TO,
    )  # fmt: skip


def errors_of(key: Key) -> tuple[Finding, ...]:
    """The key's own faults that would mark everyone wrong."""
    return tuple(f for f in key.examined.audit.findings if f.level is Level.ERROR)


def _not_needed(key: Key, lying: Lying, layers: tuple[LayerAsked, ...]) -> Iterator[Criterion]:
    audit = key.examined.audit
    if lying is Lying.ANYWHERE:
        yield Criterion.PLACE
    if not audit.judgements:
        yield Criterion.DIMENSIONS
        yield Criterion.TYPED
    if not layers:
        yield Criterion.LAYERS
    if not _centre_points(key):
        yield Criterion.CENTRE_POINTS


def _lying(key: Key) -> Lying:
    """Centred or cornered on the origin where the key is, to the snap distance; else anywhere."""
    spots = list(_extremes(p for p in key.pieces if p.role is not LineRole.CENTRE and p.kind is not Kind.POINT))
    if not spots:
        return Lying.ANYWHERE
    snap = key.examined.audit.lengths.snap
    low = min(x for x, _ in spots), min(y for _, y in spots)
    high = max(x for x, _ in spots), max(y for _, y in spots)
    if all(abs(v) <= snap for v in low):
        return Lying.CORNER
    if all(abs(a + b) <= 2 * snap for a, b in zip(low, high, strict=True)):
        return Lying.CENTRED
    return Lying.ANYWHERE


def _extremes(pieces: Iterator[Piece]) -> Iterator[tuple[Fraction, Fraction]]:
    """Points that the bounds run through; an arc's bulge is left to the edges it joins."""
    for piece in pieces:
        if piece.kind is Kind.CIRCLE:
            (x, y), r = piece.spots[0], piece.radius
            yield x - r, y - r
            yield x + r, y + r
        else:
            yield from piece.spots[1:] if piece.kind is Kind.ARC else piece.spots


def _centre_points(key: Key) -> bool:
    """Whether the key marks its holes' centres with points."""
    centres = {p.spots[0] for p in key.pieces if p.kind is Kind.CIRCLE}
    points = {p.spots[0] for p in (*key.pieces, *key.furniture) if p.kind is Kind.POINT}
    return bool(centres & points)


def _layers(key: Key) -> Iterator[LayerAsked]:
    """The layers of the key by what is drawn on them; nothing where all is on one."""
    layer_of = {s.origin.handle: s.origin.layer for s in key.examined.sheet.shapes}
    found: dict[str, Counter[str]] = {}
    for piece in key.pieces:
        purpose = "points" if piece.kind is Kind.POINT else str(piece.role)
        own = found.setdefault(purpose, Counter())
        own.update(layer_of[h] for h in piece.handles if h in layer_of)
    dimensions = Counter(j.attached.dimension.layer for j in key.examined.audit.judgements)
    if dimensions:
        found["dimensions"] = dimensions
    if len({name.casefold() for own in found.values() for name in own}) < 2:
        return
    for purpose in ("outline", "hidden", "centre", "dimensions", "points"):
        if found.get(purpose):
            yield LayerAsked(purpose, tuple(sorted(found[purpose])), ())
