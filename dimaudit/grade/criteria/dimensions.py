"""The dimensions asked for are there, right, well stated and associated."""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from dimaudit.exact.real import real_text
from dimaudit.grade.criteria.adding import each_of, marked
from dimaudit.grade.dimensioned import Dimensioned, asks, dimensioned, middle_of, typed_over
from dimaudit.grade.laid_out import LaidOut
from dimaudit.grade.words import counted, length_text, points_text, unlaid
from dimaudit.model.attached import Hold
from dimaudit.model.audit import Judgement, Verdict
from dimaudit.model.drawing import ANGLES
from dimaudit.model.grading import Asked, Criterion, CriterionMark, Deduction
from dimaudit.model.scheme import Free, Scheme
from dimaudit.model.stated import Stated
from dimaudit.text.place_words import ALONG, best_place, place_text
from dimaudit.text.places import kind_text, where_text

WRONG = (Verdict.WRONG, Verdict.CUT_OFF)


def mark(laid_out: LaidOut, asked: Asked) -> CriterionMark:
    """Each dimension of the key that states a size is one thing asked; one that is not there loses all it is worth."""
    found = dimensioned(laid_out)
    count = len(found.asked)
    each = each_of(asked, count) if count else Fraction(0)
    presence = _presence(laid_out, found, each)
    quality = _quality(laid_out, found, each)
    return marked(asked, count, (*presence.deductions, *quality), presence.for_a_person)


@dataclass(frozen=True, slots=True)
class _Presence:
    deductions: tuple[Deduction, ...]
    for_a_person: str = ""


def _presence(laid_out: LaidOut, found: Dimensioned, each: Fraction) -> _Presence:
    """By the key's own dimensions; or, where the rubric allows it and it costs less, by the learner's own scheme."""
    by_key = tuple(_absent(laid_out, found, each))
    absent = sum(d.points > 0 for d in by_key)
    if not absent or not laid_out.rubric.own_scheme:
        return _Presence(by_key)
    schemes = _own_schemes(laid_out)
    if schemes is None:
        return _Presence(by_key)
    why_not = next((s.why_not for s in schemes if s.why_not), "")
    if why_not:
        hardly = len(laid_out.submission.audit.judgements) < len(found.asked) / 2
        return _Presence(by_key, "" if hardly else (
            f"another scheme than the key's, and it cannot be told whether it defines the part: {why_not}"
        ))  # fmt: skip
    missing = _missing_sizes(laid_out, schemes)
    if missing >= absent:
        return _Presence(by_key)
    free = [f for s in schemes for f in s.free if not f.follows and _of_the_part(f, laid_out)]
    return _Presence(tuple(_undefined(laid_out, free, missing, each)))


def _absent(laid_out: LaidOut, found: Dimensioned, each: Fraction) -> Iterator[Deduction]:
    unit = laid_out.key.examined.audit.unit
    for judgement in found.asked:
        handle = judgement.attached.dimension.handle
        if found.by[handle]:
            continue
        lost = handle in found.lost
        where = where_text(judgement.attached, unit)
        yield Deduction(
            Criterion.DIMENSIONS, Fraction(0) if lost else each,
            f'no dimension as the key\'s "{judgement.text.strip()}"' + (f": {where}" if where else ""),
            () if lost else ("none measures the same features",), at=_shown(laid_out, judgement), key_handles=(handle,),
            follows="what is missing, under 'features'" if lost else "",
        )  # fmt: skip


def _shown(laid_out: LaidOut, judgement: Judgement) -> tuple[float, float] | None:
    """Where a dimension of the key would stand in the submission."""
    at = next((end.point for end in judgement.attached.ends), None)
    if at is None:
        return None
    x, y = unlaid(at, laid_out.fit.alignment)
    return float(x), float(y)


def _own_schemes(laid_out: LaidOut) -> list[Scheme] | None:
    """The schemes of the views that stand for the key's dimensioned ones; None where one of these has none."""
    audit = laid_out.submission.audit
    covered = {s.origin.handle for scheme in audit.schemes for v in scheme.views for s in v.shapes}
    views = {laid_out.key.view_of(k) for k in laid_out.pairing.of_key}
    for name in views:
        handles = [
            h for k, s in laid_out.pairing.of_key.items() if laid_out.key.view_of(k) == name
            for h in laid_out.own[s].handles
        ]  # fmt: skip
        if covered.isdisjoint(handles):
            return None
    own = {h for s in laid_out.pairing.of_key.values() for h in laid_out.own[s].handles}
    return [s for s in audit.schemes if any(x.origin.handle in own for v in s.views for x in v.shapes)]


def _missing_sizes(laid_out: LaidOut, schemes: list[Scheme]) -> int:
    """Sizes that the learner's scheme leaves open, less those that the key's does, and those of surplus things."""
    surplus = sum(not _of_the_part(f, laid_out) for s in schemes for f in s.free if not f.follows)
    key = sum(s.missing for s in laid_out.key.examined.audit.schemes)
    return max(0, sum(s.missing for s in schemes) - surplus - key)


def _of_the_part(free: Free, laid_out: LaidOut) -> bool:
    """Whether a free place is one of a piece that stands for one of the key."""
    paired = [laid_out.own[s] for s in laid_out.pairing.of_key.values()]
    near = Fraction(1, 10**4)
    spots = {(round(x / near), round(y / near)) for p in paired for x, y in p.spots}
    return any((round(p.at[0] / near), round(p.at[1] / near)) in spots for p in free.places)


def _undefined(laid_out: LaidOut, free: list[Free], missing: int, each: Fraction) -> Iterator[Deduction]:
    unit = laid_out.submission.audit.unit
    if not missing:
        yield Deduction(
            Criterion.DIMENSIONS, Fraction(0), "the dimensions are not the key's, and define the part as well",
            ("the rubric lets another scheme count",),
        )  # fmt: skip
        return
    yield Deduction(
        Criterion.DIMENSIONS, each * missing,
        f"{counted(missing, 'size')} missing: the dimensions do not define the part",
        (
            "the dimensions are not the key's; they were asked to define the part as well as the key's do",
            *(f"free along {ALONG[f.axis]}: {place_text(best_place(f.places), unit)}" for f in free[:missing]),
            f"{missing} x {points_text(each)}",
        ),
        at=next(((float(p.at[0]), float(p.at[1])) for f in free for p in f.places), None),
    )  # fmt: skip


def _quality(laid_out: LaidOut, found: Dimensioned, each: Fraction) -> Iterator[Deduction]:
    rubric, key = laid_out.rubric, laid_out.key.examined.audit
    _, right, stated, associated = rubric.shares
    typed_asked = any(a.criterion is Criterion.TYPED for a in rubric.criteria)
    held = any(j.attached.hold is Hold.ASSOCIATED for j in key.judgements)
    can = laid_out.submission.drawing.can_associate
    loose: list[Judgement] = []
    for judgement in laid_out.submission.audit.judgements:
        like = found.like(judgement.attached.dimension.handle)
        yield from _right(laid_out, judgement, like, each * right, typed_asked)
        yield from _stated(laid_out, judgement, like, each * stated)
        so_in_key = like is not None and like.attached.hold is not Hold.ASSOCIATED
        if judgement.attached.hold is not Hold.ASSOCIATED and asks(judgement) and not so_in_key:
            loose.append(judgement)
    if loose and held:
        yield _associated(laid_out, loose, each * associated, can)


def _of(laid_out: LaidOut, judgement: Judgement) -> str:
    where = where_text(judgement.attached, laid_out.submission.audit.unit)
    name = f'{kind_text(judgement.attached.dimension.kind)} "{judgement.text.strip()}"'
    return f"{name} ({where})" if where else name


def _right(
    laid_out: LaidOut, judgement: Judgement, like: Judgement | None, cost: Fraction, typed_asked: bool
) -> Iterator[Deduction]:
    handle = judgement.attached.dimension.handle
    same = like is not None and (like.verdict, like.text) == (judgement.verdict, judgement.text)
    cost = Fraction(0) if same else cost
    as_key = ("the key has the same: it costs nothing",) if same else ()
    if judgement.verdict in WRONG and judgement.measured is not None:
        unit = laid_out.submission.audit.unit
        degrees = judgement.attached.dimension.kind in ANGLES
        measured = real_text(judgement.measured, 6) + "°" if degrees else length_text(judgement.measured, unit)
        why = [f"it says {judgement.text.strip()}", f"the layout measures {measured}"]
        if judgement.verdict is Verdict.CUT_OFF:
            why.append("the digits are cut off, not rounded")
        why += as_key
        again = typed_over(judgement) and typed_asked
        yield Deduction(
            Criterion.DIMENSIONS, Fraction(0) if again else cost, f"{_of(laid_out, judgement)} is wrong", tuple(why),
            (handle,), middle_of(judgement), follows="the number typed over, under 'typed-over'" if again else "",
        )  # fmt: skip
    elif judgement.verdict is Verdict.UNREADABLE:
        yield Deduction(
            Criterion.DIMENSIONS, cost, f"{_of(laid_out, judgement)} cannot be read",
            (*filter(None, (judgement.reason,)), *as_key), (handle,), middle_of(judgement),
        )  # fmt: skip
    elif judgement.verdict is Verdict.NOT_JUDGED:
        yield Deduction(
            Criterion.DIMENSIONS, Fraction(0), f"{_of(laid_out, judgement)} could not be compared with the layout",
            tuple(filter(None, (judgement.reason,))), (handle,), middle_of(judgement),
        )  # fmt: skip


def _stated(laid_out: LaidOut, judgement: Judgement, like: Judgement | None, cost: Fraction) -> Iterator[Deduction]:
    """As the key states the same; where the key has no such dimension, as coarse as any of its kind in the key."""
    reading = judgement.reading
    if not isinstance(reading, Stated) or reading.reference:
        return
    models = [like] if like is not None else [
        j for j in laid_out.key.examined.audit.judgements
        if asks(j) and (j.attached.dimension.kind in ANGLES) == (judgement.attached.dimension.kind in ANGLES)
    ]  # fmt: skip
    asked = [m.reading for m in models if isinstance(m.reading, Stated)]
    if not asked or any(_as_well(reading, m, judgement, laid_out.fit.alignment.factor) for m in asked):
        return
    model = asked[0]
    if (reading.places is None) != (model.places is None):
        wanted = "a fraction" if model.places is None else "a decimal"
        what, why = f"is not stated as {wanted}", f'the key says "{models[0].text.strip()}"'
    else:
        what = "is stated too coarsely"
        why = f'{counted(reading.places or 0, "place")}; the key says "{models[0].text.strip()}"'
    yield Deduction(
        Criterion.DIMENSIONS, cost, f"{_of(laid_out, judgement)} {what}", (why,),
        (judgement.attached.dimension.handle,), middle_of(judgement),
    )  # fmt: skip


def _as_well(own: Stated, model: Stated, judgement: Judgement, factor: Fraction) -> bool:
    """Whether a number is stated as the key's, or finer: a fraction for a fraction, as many places for places.

    In another unit than the key's (`factor`: the key's lengths over the layout's) its steps must be as fine.
    """
    if factor != 1 and own.places is not None and model.places is not None:
        return judgement.verdict is Verdict.EXACT or own.step * factor <= model.step
    if model.places is None or own.places is None:
        if own.places is not None or model.places is not None:
            return False
        return judgement.verdict is Verdict.EXACT or (own.denominator or 1) >= (model.denominator or 1)
    return own.places >= model.places


def _associated(laid_out: LaidOut, loose: list[Judgement], cost: Fraction, can: bool) -> Deduction:
    handles = tuple(j.attached.dimension.handle for j in loose)
    names = [_of(laid_out, j) for j in loose]
    listed = ", ".join(names[:3]) + (f" and {len(names) - 3} more" if len(names) > 3 else "")
    what = f"{counted(len(loose), 'dimension')} not associated with the layout"
    if not can:
        why = ("the file's version cannot hold associations: it costs nothing", listed)
        return Deduction(Criterion.DIMENSIONS, Fraction(0), what, why, handles, middle_of(loose[0]))
    shown = (listed, "the key's are associated: they follow when the layout is changed",
             f"{len(loose)} x {points_text(cost)}")  # fmt: skip
    return Deduction(Criterion.DIMENSIONS, cost * len(loose), what, shown, handles, middle_of(loose[0]))
