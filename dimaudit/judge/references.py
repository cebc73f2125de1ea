"""References on which something depends: what each would hold, did a reference hold anything."""

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from dimaudit.judge.check import Sheet
from dimaudit.model.attached import Attached
from dimaudit.model.audit import Judgement
from dimaudit.model.drawing import Arc, Circle, Kind
from dimaudit.model.geometry import FeatureKind
from dimaudit.model.scheme import Free, Place, Scheme
from dimaudit.model.stated import Stated
from dimaudit.model.view import View
from dimaudit.scheme.build import axis_of

ROUND = (Kind.RADIUS, Kind.DIAMETER, Kind.JOGGED_RADIUS)

Hold = Mapping[int, Fraction]
"""By motion, how fast it changes what a dimension gives: a dimension that holds makes the sum of these zero."""


def needed(scheme: Scheme, sheet: Sheet) -> Iterator[tuple[Judgement, list[Hold]]]:
    """References of a part that would hold something that nothing else does."""
    views = {id(view) for view in scheme.views}
    for j in sheet.judgements:
        reading, view = j.reading, j.attached.view
        if not isinstance(reading, Stated) or not reading.reference or view is None or id(view) not in views:
            continue
        alike = (reading.count or 1) > 1 or any(word.upper().startswith("TYP") for word in reading.words)
        holds = [] if j.attached.drawn is None else [h for h in _holds(j.attached, view, scheme.free, alike) if h]
        if holds:
            yield j, holds


def answered(scheme: Scheme, sheet: Sheet) -> frozenset[int]:
    """Motions that these references would stop, one for each size that they give: `reference-used` says it of them."""
    rows: dict[int, dict[int, Fraction]] = {}
    for _, holds in needed(scheme, sheet):
        for hold in holds:
            left = dict(hold)
            for pivot, row in rows.items():
                left = _plus(left, row, -left.get(pivot, Fraction(0)))
            if left:
                pivot = max(left)
                scaled = {k: v / left[pivot] for k, v in left.items()}
                rows = {p: _plus(row, scaled, -row.get(pivot, Fraction(0))) for p, row in rows.items()}
                rows[pivot] = scaled
    return frozenset(rows)


def is_answered(free: Free, motions: frozenset[int]) -> bool:
    """Whether all that moves it is said of a reference already."""
    return bool(free.speeds) and all(k in motions for k, _ in free.speeds)


def _plus(a: Mapping[int, Fraction], b: Mapping[int, Fraction], times: Fraction) -> dict[int, Fraction]:
    total = {k: a.get(k, Fraction(0)) + times * b.get(k, Fraction(0)) for k in {*a, *b}}
    return {k: v for k, v in total.items() if v}


def _holds(attached: Attached, view: View, free: Sequence[Free], alike: bool) -> Iterator[Hold]:
    if attached.dimension.kind in ROUND:
        rounds = {
            (view.place(s.centre), view.radius(s.radius).value)
            for end in attached.ends if end.feature is not None
            for s in end.feature.shapes if isinstance(s, (Arc, Circle))
        }  # fmt: skip
        sizes = {r for _, r in rounds} if alike else set()
        for f in free:
            circles = [(p.at, p.value) for p in f.places if p.view is view] if f.axis == 2 else []
            if any(circle in rounds or circle[1] in sizes for circle in circles):
                yield dict(f.speeds)
        return
    axis = axis_of(attached) if len(attached.ends) == 2 else None
    if axis is None:
        return
    hold: dict[int, Fraction] = {}
    for end, sign in zip(attached.ends, (1, -1), strict=True):
        if end.feature is None or end.feature.kind is FeatureKind.CURVE:
            return
        level = end.feature.at[axis]
        own = next((f for f in free if any(_on(p, view, axis, level) for p in f.places)), None)
        hold = _plus(hold, dict(own.speeds) if own is not None else {}, Fraction(sign))
    yield hold


def _on(place: Place, view: View, axis: int, level: Fraction) -> bool:
    return place.view is view and place.axis == axis and place.value == level
