"""The dimensions asked for are there, right, well stated and associated."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from dimaudit.grade.criteria import linework
from dimaudit.grade.criteria.adding import beyond, each_of, marked, shared
from dimaudit.grade.dimensioned import Dimensioned, Met, Said, dimensioned
from dimaudit.grade.laid_out import LaidOut
from dimaudit.grade.layout import Kind
from dimaudit.grade.said_well import Quality, part_text
from dimaudit.grade.sized import Fault, Measure
from dimaudit.grade.words import counted, length_text, points_text, unlaid
from dimaudit.model.audit import Judgement
from dimaudit.model.drawing import LineRole, Point
from dimaudit.model.grading import Asked, Criterion, CriterionMark, Deduction
from dimaudit.model.pointed import HoleNote, RadiusNote
from dimaudit.model.scheme import Free, Scheme
from dimaudit.text.place_words import ALONG, best_place, place_text

NEAR = Fraction(1, 10**4)
Spot = tuple[int, int]
"""A place, in cells of the size of `NEAR`, in drawing units: the audit's places are recovered, the pieces' as drawn."""


def mark(laid_out: LaidOut, asked: Asked) -> CriterionMark:
    """Each dimension and note of the key that states a size is one thing asked; what is not there loses its worth."""
    found = dimensioned(laid_out)
    count = len(found.met)
    each = each_of(asked, count) if count else Fraction(0)
    audit = laid_out.submission.audit
    if count and not audit.judgements and not audit.schemes:  # no note and no table states anything, either
        return marked(asked, count, (_nothing(laid_out, asked, count),))
    presence = _presence(laid_out, found, each)
    absent = sum(d.points == each and not d.handles for d in presence.deductions)
    quality = Quality(laid_out, found, each)
    deductions = quality.deductions(found.without | presence.spared, absent)
    return marked(
        asked, count, (*presence.deductions, *deductions), presence.for_a_person or quality.for_a_person()
    )


def _nothing(laid_out: LaidOut, asked: Asked, count: int) -> Deduction:
    """A layout without dimensions earns nothing, not even for what has not to be dimensioned since it is missing."""
    why = [f"the key has {count}; all {points_text(asked.points)} points are taken", *_unread(laid_out)]
    loose = laid_out.submission.audit.unread_texts()
    if loose:
        why.append(f"{counted(len(loose), 'text')} with a number in it that is part of no dimension and no note")
    return Deduction(Criterion.DIMENSIONS, asked.points, "the layout has no dimensions", tuple(why))


def _unread(laid_out: LaidOut) -> list[str]:
    """Why dimensions that the file holds were not read: 'its layer is frozen (DIM)'."""
    losses = [loss for loss in laid_out.submission.audit.losses if loss.what == "dimension"]
    return [f"{counted(loss.count, 'dimension')} of the file not read: {loss.why}" for loss in losses]


@dataclass(frozen=True, slots=True)
class _Presence:
    deductions: tuple[Deduction, ...]
    for_a_person: str = ""
    spared: frozenset[str] = frozenset()
    """Handles of dimensions that were charged in place of those that are not there: nothing more is."""


def _presence(laid_out: LaidOut, found: Dimensioned, each: Fraction) -> _Presence:
    """By the key's own dimensions; or, where the rubric allows it and it costs less, by the learner's own scheme."""
    threads = tuple(d for m in found.met if m.key.threaded for d in _absent(laid_out, m, each))  # no scheme has them
    others = tuple(d for m in found.met if not m.key.threaded for d in _absent(laid_out, m, each))
    strays = [m.instead.handle for m in found.met if m.instead is not None]
    lost = sum(met.lost for met in found.met)
    apart = (*threads, *beyond(Criterion.DIMENSIONS, "dimension", lost, len(found.met), each))
    by_key = _Presence((*others, *apart), spared=frozenset(strays))
    costs = sum((d.points for d in others), Fraction(0))
    if not costs or not laid_out.rubric.own_scheme:
        return by_key
    schemes = _own_schemes(laid_out)
    if schemes is None:
        return by_key
    why_not = next((s.why_not for s in schemes if s.why_not), "")
    if why_not:
        hardly = len(found.own) < len(found.met) / 2
        return by_key if hardly else replace(
            by_key,
            for_a_person=f"another scheme than the key's, and it cannot be told whether it defines the part: {why_not}",
        )
    missing = _missing_sizes(laid_out, schemes)
    if missing * each >= costs:
        return by_key
    free = [f for s in schemes for f in s.free if not f.follows and _of_the_part(f, laid_out)]
    return _Presence((*_undefined(laid_out, free, missing, each), *apart), spared=frozenset(strays[:missing]))


def _absent(laid_out: LaidOut, met: Met, each: Fraction) -> Iterator[Deduction]:
    there, unit = laid_out.rubric.shares[0], laid_out.key.examined.audit.unit
    asked, at = f"the key's {met.key.name(unit)}", _shown(laid_out, met.key)
    if met.instead is not None:
        yield _astray(laid_out, met, met.instead, each)
    elif met.missing:
        lost = met.lost
        what = f"no dimension as {asked}" if met.missing == 1 else f"not all sizes of {asked}"
        why = [] if lost else ["none measures the same features", *_unread(laid_out),
                               f"all of {points_text(each)} is taken"]  # fmt: skip
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
             part_text(there, each)), (own.handle,), own.at, (met.key.handle,),
        )  # fmt: skip
    elif met.key.deep and not any(own.deep for own in met.by):
        yield Deduction(
            Criterion.DIMENSIONS, Fraction(0), f"the depth in {asked} is not stated with its diameter",
            ("whether a dimension in another view states it is not judged",), (met.by[0].handle,), at,
            (met.key.handle,),
        )  # fmt: skip


def _astray(laid_out: LaidOut, met: Met, own: Said, each: Fraction) -> Deduction:
    """One that was meant for the key's and ends elsewhere: charged as if it were not there, or as what is missing."""
    name = own.name(laid_out.submission.audit.unit)
    wanted = met.key.name(laid_out.key.examined.audit.unit)
    if met.lost:
        return Deduction(
            Criterion.DIMENSIONS, Fraction(0), f"{name} ends on what is missing", (f"the key's is {wanted}",),
            (own.handle,), own.at, (met.key.handle,), "what is missing, under 'features'",
        )  # fmt: skip
    why = [f"it stands for the key's {wanted}"]
    if own.judgement is not None and own.judgement.measured is not None:
        measured = length_text(own.judgement.measured, laid_out.submission.audit.unit)
        why.append(f"it says {own.text}; between its ends the layout measures {measured}")
    why.append(f"it counts as not there: all of {points_text(each)} is taken, and nothing more for what it says")
    return Deduction(
        Criterion.DIMENSIONS, each, f"{name} does not end where the key's does", tuple(why), (own.handle,), own.at,
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
    """Sizes that the learner's scheme leaves open, less those that the key's does, those of surplus things, and those
    that are open only since something is drawn otherwise than the key: that was charged there."""
    free = [f for s in schemes for f in s.free if not f.follows]
    surplus = sum(not _of_the_part(f, laid_out) for f in free)
    key = sum(s.missing for s in laid_out.key.examined.audit.schemes)
    missing = sum(s.missing for s in schemes)
    return max(0, missing - surplus - key - _by_another_fault(laid_out, free, missing - len(free)))


def _by_another_fault(laid_out: LaidOut, free: list[Free], unplaced: int) -> int:
    """How much is open by faults that other criteria charge: a hole of another size than its like has a size of its
    own, an edge askew a level more, and an open outline an end. `unplaced`: what is open without a place."""
    asked = {a.criterion: a for a in laid_out.rubric.criteria}
    pieces = laid_out.key.pieces
    wrong = {
        (pieces[k].kind, pieces[k].radius) for f in laid_out.sizes.faults for k in f.pieces
        if f.measure in (Measure.DIAMETER, Measure.RADIUS) and Criterion.SIZES in asked
    }  # fmt: skip
    open_sizes = [size for f in free if f.axis == 2 and (size := _key_size(f, laid_out)) is not None]
    found = len(open_sizes) - len(set(open_sizes) - wrong)  # what is of one size in the key is one size
    for fault in laid_out.sizes.shape if Criterion.SHAPE in asked else ():
        spots = _spots(laid_out, [fault])
        found += any(f.axis != 2 and _at(f, spots) for f in free)
    if Criterion.LINEWORK in asked:
        faults = linework.mark(laid_out, asked[Criterion.LINEWORK]).deductions
        found += min(max(0, unplaced), sum(bool(d.points) for d in faults))
    return found


def _key_size(free: Free, laid_out: LaidOut) -> tuple[Kind, Fraction] | None:
    """The size in the key of something round whose size is open."""
    for k, s in laid_out.pairing.of_key.items():
        piece = laid_out.key.pieces[k]
        if piece.radius and piece.role is not LineRole.CENTRE and _at(free, _cells(laid_out.own[s].spots[:1])):
            return piece.kind, piece.radius
    return None


def _cells(spots: Iterable[Point]) -> set[Spot]:
    return {(round(x / NEAR), round(y / NEAR)) for x, y in spots}


def _spots(laid_out: LaidOut, faults: Iterable[Fault]) -> set[Spot]:
    """Where what is drawn otherwise lies in the submission."""
    of_key = laid_out.pairing.of_key
    own = [laid_out.own[of_key[k]] for fault in faults for k in fault.pieces if k in of_key]
    return _cells(spot for piece in own for spot in piece.spots)


def _at(free: Free, spots: set[Spot]) -> bool:
    return not spots.isdisjoint(_cells(p.at for p in free.places))


def _of_the_part(free: Free, laid_out: LaidOut) -> bool:
    """Whether a free place is one of a piece that stands for one of the key."""
    return _at(free, _cells(spot for s in laid_out.pairing.of_key.values() for spot in laid_out.own[s].spots))


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
