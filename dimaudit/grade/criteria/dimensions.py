"""The dimensions asked for are there, right, well stated and associated."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from dimaudit.exact.number import decimal_text
from dimaudit.exact.real import real_text
from dimaudit.grade.criteria.adding import beyond, each_of, marked, shared
from dimaudit.grade.dimensioned import Dimensioned, Met, Said, dimensioned, typed_over
from dimaudit.grade.laid_out import LaidOut
from dimaudit.grade.words import counted, length_text, points_text, unlaid
from dimaudit.model.attached import Hold
from dimaudit.model.audit import Judgement, Level, Verdict
from dimaudit.model.drawing import ANGLES
from dimaudit.model.grading import Asked, Criterion, CriterionMark, Deduction
from dimaudit.model.pointed import HoleNote, RadiusNote
from dimaudit.model.scheme import Free, Scheme
from dimaudit.text.place_words import ALONG, best_place, place_text

WRONG = (Verdict.WRONG, Verdict.CUT_OFF)
NOTE_RULES = ("hole-note-mismatch", "radius-note-mismatch")
"""The rules of the audit that compare notes, and what a dimension says behind its size, with what is drawn."""
COUNTS = "count-mismatch"
"""The one that counts the holes: a number that is the key's is right, though a hole is missing."""


def mark(laid_out: LaidOut, asked: Asked) -> CriterionMark:
    """Each dimension and note of the key that states a size is one thing asked; what is not there loses its worth."""
    found = dimensioned(laid_out)
    count = len(found.met)
    each = each_of(asked, count) if count else Fraction(0)
    audit = laid_out.submission.audit
    if count and not audit.judgements and not audit.schemes:  # no note and no table states anything, either
        return marked(asked, count, (_nothing(laid_out, asked, count),))
    presence = _presence(laid_out, found, each)
    absent = sum(d.points == each for d in presence.deductions)
    quality = _quality(laid_out, found, each, absent)
    return marked(asked, count, (*presence.deductions, *quality), presence.for_a_person)


def _nothing(laid_out: LaidOut, asked: Asked, count: int) -> Deduction:
    """A layout without dimensions earns nothing, not even for what has not to be dimensioned since it is missing."""
    why = [f"the key has {count}; all {points_text(asked.points)} points are taken"]
    loose = laid_out.submission.audit.unread_texts()
    if loose:
        why.append(f"{counted(len(loose), 'text')} with a number in it that is part of no dimension and no note")
    return Deduction(Criterion.DIMENSIONS, asked.points, "the layout has no dimensions", tuple(why))


@dataclass(frozen=True, slots=True)
class _Presence:
    deductions: tuple[Deduction, ...]
    for_a_person: str = ""


def _presence(laid_out: LaidOut, found: Dimensioned, each: Fraction) -> _Presence:
    """By the key's own dimensions; or, where the rubric allows it and it costs less, by the learner's own scheme."""
    threads = tuple(d for m in found.met if m.key.threaded for d in _absent(laid_out, m, each))  # no scheme has them
    others = tuple(d for m in found.met if not m.key.threaded for d in _absent(laid_out, m, each))
    count, lost = len(found.met), sum(met.lost for met in found.met)
    apart = (*threads, *beyond(Criterion.DIMENSIONS, "dimension", lost, count, each))
    by_key = (*others, *apart)
    costs = sum((d.points for d in others), Fraction(0))
    if not costs or not laid_out.rubric.own_scheme:
        return _Presence(by_key)
    schemes = _own_schemes(laid_out)
    if schemes is None:
        return _Presence(by_key)
    why_not = next((s.why_not for s in schemes if s.why_not), "")
    if why_not:
        hardly = len(found.own) < len(found.met) / 2
        return _Presence(by_key, "" if hardly else (
            f"another scheme than the key's, and it cannot be told whether it defines the part: {why_not}"
        ))  # fmt: skip
    missing = _missing_sizes(laid_out, schemes)
    if missing * each >= costs:
        return _Presence(by_key)
    free = [f for s in schemes for f in s.free if not f.follows and _of_the_part(f, laid_out)]
    return _Presence((*_undefined(laid_out, free, missing, each), *apart))


def _absent(laid_out: LaidOut, met: Met, each: Fraction) -> Iterator[Deduction]:
    there, unit = laid_out.rubric.shares[0], laid_out.key.examined.audit.unit
    asked, at = f"the key's {met.key.name(unit)}", _shown(laid_out, met.key)
    if met.missing:
        lost = met.lost
        what = f"no dimension as {asked}" if met.missing == 1 else f"not all sizes of {asked}"
        why = [] if lost else ["none measures the same features"]
        if met.missing != 1:
            why = [f"{met.missing} of its sizes are stated nowhere", shared(met.missing, each)]
        yield Deduction(
            Criterion.DIMENSIONS, Fraction(0) if lost else each * met.missing, what, tuple(why), at=at,
            key_handles=(met.key.handle,), follows="what is missing, under 'features'" if lost else "",
        )  # fmt: skip
    elif met.for_information:
        own = met.by[0]
        yield Deduction(
            Criterion.DIMENSIONS, each * there,
            f"{own.name(laid_out.submission.audit.unit)} is in parentheses: for information, it dimensions nothing",
            (f"it stands for {asked}", "take the parentheses away: a reference need not be kept to",
             shared(there, each)), (own.handle,), own.at, (met.key.handle,),
        )  # fmt: skip
    elif met.key.deep and not any(own.deep for own in met.by):
        yield Deduction(
            Criterion.DIMENSIONS, Fraction(0), f"the depth in {asked} is not stated with its diameter",
            ("whether a dimension in another view states it is not judged",), (met.by[0].handle,), at,
            (met.key.handle,),
        )  # fmt: skip


def _shown(laid_out: LaidOut, said: Said) -> tuple[float, float] | None:
    """Where a dimension or a note of the key would stand in the submission."""
    match said.source:
        case Judgement(attached=attached):
            at = next((end.point for end in attached.ends), None)
        case HoleNote(holes=holes):
            at = holes[0].centre
        case RadiusNote(arcs=arcs):
            at = arcs[0].centre
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


def _quality(laid_out: LaidOut, found: Dimensioned, each: Fraction, absent: int) -> Iterator[Deduction]:
    """`absent`: how many are charged as not there; what stands in their place is not charged for what it says."""
    rubric = laid_out.rubric
    _, right, stated, associated = rubric.shares
    held = any(j.attached.hold is Hold.ASSOCIATED for j in laid_out.key.examined.audit.judgements)
    loose: list[Said] = []
    scaled: list[tuple[Said, Fraction]] = []
    gone = [own for met in found.met for own in met.left_over]
    for said in found.own:
        like = found.like(said)
        model = None if like is None else like.key
        if said.judgement is not None:
            times = Fraction(1) if model is None else said.shows / model.shows
            if times not in (1, laid_out.fit.alignment.factor):
                scaled.append((said, times))
                continue
        asked = said.judgement is not None and (
            (bool(said.stated) and not said.reference) or (like is not None and like.for_information)
        )
        hangs = asked and not said.associated and (model is None or model.associated) and said not in gone
        faults = [*_right(laid_out, said, model, each * right, each * stated),
                  *_stated(laid_out, found, said, model, each * stated)]  # fmt: skip
        if model is None and absent and (hangs or any(d.points for d in faults)):
            absent -= 1
            faults = [replace(d, points=Fraction(0), follows="a dimension that is not there") for d in faults]
        elif hangs:
            loose.append(said)
        for fault in faults:
            share = fault.points / each if each else Fraction(0)
            yield replace(fault, why=(*fault.why, shared(share, each))) if share else fault
    for factor in sorted({times for _, times in scaled}):
        yield _shows(laid_out, [said for said, times in scaled if times == factor], factor, each * right)
    if loose and held:
        yield _associated(laid_out, loose, each * associated, laid_out.submission.drawing.can_associate)


def _shows(laid_out: LaidOut, scaled: list[Said], times: Fraction, cost: Fraction) -> Deduction:
    """Dimensions that are set to show another number than they measure."""
    name = scaled[0].name(laid_out.submission.audit.unit)
    return Deduction(
        Criterion.DIMENSIONS, cost * len(scaled),
        f"{counted(len(scaled), 'dimension')} set to show {decimal_text(times, 4)} times what is drawn",
        (f"among them {name}", "the factor for lengths in the dimension's settings is not the key's",
         f"{len(scaled)} x {points_text(cost)}"), tuple(s.handle for s in scaled), scaled[0].at,
    )  # fmt: skip


def _right(
    laid_out: LaidOut, said: Said, model: Said | None, cost: Fraction, stated: Fraction
) -> Iterator[Deduction]:
    """`stated`: what it costs besides, where there is no number at all."""
    judgement, like = said.judgement, None if model is None else model.judgement
    same = judgement is not None and like is not None and (
        (like.verdict, like.text) == (judgement.verdict, judgement.text)
    )
    cost = Fraction(0) if same else cost
    as_key = ("the key has the same: it costs nothing",) if same else ()
    unit = laid_out.submission.audit.unit
    name, handles, at = said.name(unit), (said.handle,), said.at
    typed_asked = any(a.criterion is Criterion.TYPED for a in laid_out.rubric.criteria)
    if judgement is None:
        yield from _disagrees(laid_out, said, model, cost)
    elif judgement.verdict in WRONG and judgement.measured is not None:
        degrees = judgement.attached.dimension.kind in ANGLES
        measured = real_text(judgement.measured, 6) + "°" if degrees else length_text(judgement.measured, unit)
        why = [f"it says {judgement.text.strip()}", f"the layout measures {measured}"]
        if judgement.verdict is Verdict.CUT_OFF:
            why.append("the digits are cut off, not rounded")
        again = typed_over(judgement) and typed_asked
        yield Deduction(
            Criterion.DIMENSIONS, Fraction(0) if again else cost, f"{name} is wrong", (*why, *as_key), handles, at,
            follows="the number typed over, under 'typed-over'" if again else "",
        )  # fmt: skip
    elif judgement.verdict is Verdict.UNREADABLE:
        yield Deduction(
            Criterion.DIMENSIONS, cost, f"{name} cannot be read", (*filter(None, (judgement.reason,)), *as_key),
            handles, at,
        )  # fmt: skip
    elif not said.stated:
        why = ["there is no number that could be right"]
        yield Deduction(
            Criterion.DIMENSIONS, Fraction(0) if same or model is None else cost + stated, f"{name} states no number",
            (*why, *as_key), handles, at,
        )  # fmt: skip
    elif judgement.verdict is Verdict.NOT_JUDGED:
        yield Deduction(
            Criterion.DIMENSIONS, Fraction(0), f"{name} could not be compared with the layout",
            tuple(filter(None, (judgement.reason,))), handles, at,
        )  # fmt: skip
    else:
        yield from _disagrees(laid_out, said, model, cost)


def _disagrees(laid_out: LaidOut, said: Said, model: Said | None, cost: Fraction) -> Iterator[Deduction]:
    """What a call-out says against what it points at, as the audit compared them; wrong once, however much is."""
    rules = NOTE_RULES if model is not None and model.count == said.count else (*NOTE_RULES, COUNTS)
    wrong = [
        f for f in laid_out.submission.audit.findings
        if f.rule in rules and f.level is not Level.NOTE and f.handles[:1] == (said.handle,)
    ]  # fmt: skip
    if wrong:
        why = tuple(line for f in wrong for line in f.why)
        name = said.name(laid_out.submission.audit.unit)
        yield Deduction(Criterion.DIMENSIONS, cost, f"{name} is wrong", why, (said.handle,), said.at)


def _stated(
    laid_out: LaidOut, found: Dimensioned, said: Said, model: Said | None, cost: Fraction
) -> Iterator[Deduction]:
    """As the key states the same; where the key has no such dimension, as coarse as any of its kind in the key.

    One that is typed over is charged for that alone.
    """
    typed_asked = any(a.criterion is Criterion.TYPED for a in laid_out.rubric.criteria)
    if said.reference or not said.stated or (said.judgement and typed_over(said.judgement) and typed_asked):
        return
    models = [model] if model is not None else [
        met.key for met in found.met if (met.key.kind in ANGLES) == (said.kind in ANGLES)
    ]  # fmt: skip
    asked = [m for m in models if m.stated]
    if not asked or any(_as_well(said, m, laid_out.fit.alignment.factor) for m in asked):
        return
    like = asked[0]
    if (said.places is None) != (like.places is None):
        what = f"is not stated as {'a fraction' if like.places is None else 'a decimal'}"
        why = f'the key says "{like.text}"'
    else:
        what = "is stated too coarsely"
        why = f'{counted(said.written or 0, "place")}; the key says "{like.text}"'
    yield Deduction(
        Criterion.DIMENSIONS, cost, f"{said.name(laid_out.submission.audit.unit)} {what}", (why,), (said.handle,),
        said.at,
    )  # fmt: skip


def _as_well(own: Said, model: Said, factor: Fraction) -> bool:
    """Whether a number is stated as the key's, or finer: a fraction for a fraction, as many places for places.

    In another unit than the key's (`factor`: the key's lengths over the layout's) it is enough that its steps are as
    fine.
    """
    exact = own.judgement is not None and own.judgement.verdict is Verdict.EXACT
    if own.places is None or model.written is None:
        if own.places is not None or model.written is not None:
            return False
        return exact or (own.stated[0].denominator or 1) >= (model.stated[0].denominator or 1)
    if factor != 1 and (exact or factor * 10**model.written <= 10**own.places):
        return True
    return own.places >= model.written


def _associated(laid_out: LaidOut, loose: list[Said], cost: Fraction, can: bool) -> Deduction:
    handles = tuple(s.handle for s in loose)
    names = [s.name(laid_out.submission.audit.unit) for s in loose]
    listed = ", ".join(names[:3]) + (f" and {len(names) - 3} more" if len(names) > 3 else "")
    what = f"{counted(len(loose), 'dimension')} not associated with the layout"
    if not can:
        why = ("the file's version cannot hold associations: it costs nothing", listed)
        return Deduction(Criterion.DIMENSIONS, Fraction(0), what, why, handles, loose[0].at)
    shown = (listed, "the key's are associated: they follow when the layout is changed",
             f"{len(loose)} x {points_text(cost)}")  # fmt: skip
    return Deduction(Criterion.DIMENSIONS, cost * len(loose), what, shown, handles, loose[0].at)
