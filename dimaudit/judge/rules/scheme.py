"""The dimensions of a part as a system: what is not held, what is held twice, and chains that do not add up."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from collections.abc import Set as AbstractSet
from fractions import Fraction

from dimaudit.exact.number import decimal_text, fraction_text
from dimaudit.judge.check import Rule, Sheet
from dimaudit.judge.references import answered, is_answered
from dimaudit.judge.saying import finding, named, residual_text
from dimaudit.model.audit import Finding, Judgement, Level, Verdict
from dimaudit.model.drawing import Arc, Circle, Kind, LineRole, Point, Segment
from dimaudit.model.geometry import Feature
from dimaudit.model.scheme import Free, Implied, Loop, Place
from dimaudit.model.units import INCHES
from dimaudit.model.view import View
from dimaudit.scheme.advice import closing
from dimaudit.scheme.stack import scales, weights
from dimaudit.text.advice_text import ways_text
from dimaudit.text.levels import is_centre
from dimaudit.text.places import feature_text, size_text

LOOSELY = frozenset({Implied.IN_LINE, Implied.EQUAL, Implied.PROJECTED, Implied.SYMMETRIC})
"""What may be drawn so by chance: a radius that follows from it only is no fault."""
ROUND = (Kind.DIAMETER, Kind.RADIUS, Kind.JOGGED_RADIUS)
ONCE = "give each size once; put the other in parentheses as a reference, or delete it"
FEW = 5
"""Features of a part that are named in findings of their own; more are summed up in one."""


def not_located(sheet: Sheet) -> Iterator[Finding]:
    for scheme in sheet.schemes:
        by_place: dict[tuple[int, Point], list[Free]] = defaultdict(list)
        said = answered(scheme, sheet)
        for free in scheme.free:
            if free.axis < 2 and not free.follows and not is_answered(free, said) and not _apart(free, sheet):
                place = _best(free)
                by_place[id(place.view), place.at].append(free)
        loose = list(by_place.values())
        moving = {(id(p.view), p.at, p.axis) for f in scheme.free for p in f.places} if loose else set()
        if len(loose) <= FEW:
            for both in loose:
                yield _loose(both, moving, sheet)
            continue
        by_view: dict[tuple[int, tuple[int, ...]], list[list[Free]]] = defaultdict(list)
        for both in loose:
            by_view[id(both[0].places[0].view), tuple(free.axis for free in both)].append(both)
        for group in by_view.values():
            yield _loose(group[0], moving, sheet) if len(group) == 1 else _many(group, sheet)


def _apart(free: Free, sheet: Sheet) -> bool:
    """Whether another view has it elsewhere: were the views to agree, they would share what holds it."""
    told = {handle for said in sheet.in_line if isinstance(said, Finding) for handle in said.handles}
    for place in free.places if told else ():
        feature = _feature(place)
        for shape in feature.shapes if feature is not None else ():
            if shape.origin.handle not in told:
                continue
            if not isinstance(shape, Segment):
                return True
            a, b = (place.view.place(end)[free.axis] for end in (shape.a, shape.b))
            if a == b:
                return True
    return False


def _along(frees: Sequence[Free]) -> str:
    ways = [("across (along x)", "up and down (along y)")[free.axis] for free in frees]
    return ways[0] if len(ways) == 1 else f"neither {ways[0]} nor {ways[1]}"


Moving = AbstractSet[tuple[int, Point, int]]
"""Places along an axis that nothing holds: identity of the view, place, axis."""


def _loose(frees: Sequence[Free], moving: Moving, sheet: Sheet) -> Finding:
    place = _best(frees[0])
    name = _name(place, sheet, both=len(frees) > 1)
    others = sum(len(free.places) - 1 for free in frees)
    which = "in that direction" if len(frees) == 1 else "in these directions"
    why = [f"no dimension, and nothing taken as implied, holds it {which}"]
    if others:
        why.append(f"{others} more places of the part move with it" if others > 1 else "one more place moves with it")
    if sum(free.others for free in frees):
        why.append("other features hang on it by slanted lines or arcs, and move, too")
    pairs = []
    for free in frees:
        own = _best(free)
        near = _held_near(free, own, moving)
        way = ("across", "up and down")[free.axis]
        if near is None:
            pairs.append(f"{way}, to a feature that is located")
        else:
            drawn = size_text(abs(own.value - near.value), sheet.drawing.unit)
            pairs.append(f"{way}, to {_name(near, sheet)} (drawn {drawn} apart)")
    number = "one dimension would do" if len(pairs) == 1 else "two dimensions would do"
    message = f"{name} is not located {_along(frees)}" if len(frees) == 1 else f"{name} is located {_along(frees)}"
    return _finding("not-located", [place], message, why, f"{number}: from it {', and '.join(pairs)}", sheet)


def _many(group: Sequence[Sequence[Free]], sheet: Sheet) -> Finding:
    places = [_best(both[0]) for both in group]
    names = [_name(place, sheet, both=len(group[0]) > 1) for place in places]
    shown = names[:FEW]
    rest = len(names) - len(shown)
    why = [*shown, f"and {rest} more"] if rest else shown
    said = f"not located {_along(group[0])}" if len(group[0]) == 1 else f"located {_along(group[0])}"
    return _finding(
        "not-located", places, f"{len(names)} features are {said}", why,
        "give each a dimension from an edge or a centre that is located, or mark them as alike ('nX')", sheet,
    )  # fmt: skip


def not_sized(sheet: Sheet) -> Iterator[Finding]:
    for scheme in sheet.schemes:
        by_size: dict[tuple[int, Fraction], list[Place]] = defaultdict(list)
        said = answered(scheme, sheet)
        for free in scheme.free:
            if free.axis == 2 and not is_answered(free, said):
                for place in free.places:
                    by_size[id(place.view), place.value].append(place)
        for places in by_size.values():
            what = _round_name(places[0], sheet)
            count = len(places)
            message = f"the {what} is not sized" if count == 1 else f"{count} equal features are not sized: {what}"
            say = _sizing(places)
            why = ["no dimension or hole note that is tied to it gives its size"]
            yield _finding("not-sized", places, message, why, say, sheet)


def _sizing(places: Sequence[Place]) -> str:
    """What to do about features of one size: where others just as large have it, the count is what is missing."""
    view, value, own = places[0].view, places[0].value, {place.at for place in places}
    kinds = {type(shape) for place in places for shape in _shapes(place)}
    alike = {
        view.place(shape.centre) for shape in view.shapes
        if isinstance(shape, (Arc, Circle)) and type(shape) in kinds and shape.origin.role is not LineRole.CENTRE
        and view.radius(shape.radius).value == value
    } | own  # fmt: skip
    if alike != own:
        return f"if the size that is given is theirs, too, write '{len(alike)}X' before it: so many are drawn"
    if len(own) > 1:
        return f"give the size once, with '{len(own)}X' before it"
    return "give its diameter or its radius"


def closed_chain(sheet: Sheet) -> Iterator[Finding]:
    yield from (f for f in _bent(sheet) if f.rule == "closed-chain")
    for loop, judgements, often in _loops(sheet):
        if len(judgements) < 3 or _error(judgements, often) not in (None, Fraction(0)):
            continue
        last = judgements[0]
        chain = ", ".join(f"{j.attached.dimension.handle} {j.text}" for j in judgements)
        why = [f"the loop: {chain}", *_taken(loop)]
        message = f"{named(last)} closes a chain that the others fix already"
        mend = "leave one of them out, or put the one that matters least in parentheses as a reference"
        yield finding("closed-chain", Level.WARNING, last, sheet, message, why, mend)


def chain_does_not_close(sheet: Sheet) -> Iterator[Finding]:
    for loop, judgements, often in _loops(sheet):
        error = _error(judgements, often)
        if error is None or error == 0 or any(j.verdict is Verdict.WRONG for j in judgements):
            continue  # a wrong number breaks its chain, too, and is said by itself
        whole, parts = judgements[0], list(zip(often[1:], judgements[1:], strict=True))
        texts = [_signed(times, j, k == 0) for k, (times, j) in enumerate(parts)]
        assert whole.stated is not None
        total = whole.stated - error
        why = [
            f"{' '.join(texts)} = {decimal_text(total)}, but {named(whole)} states {decimal_text(whole.stated)}: "
            f"{decimal_text(abs(error))} ({fraction_text(abs(error))}) apart",
            *_residuals(judgements, often, error),
            *_taken(loop),
        ]
        message = f"the chain that {named(whole)} closes does not add up"
        mend = "leave one of them out, or put it in parentheses as a reference; or state values that add up"
        mend += _closing(whole, parts, sheet)
        yield finding("chain-does-not-close", Level.ERROR, whole, sheet, message, why, mend)


def _closing(whole: Judgement, parts: list[tuple[Fraction, Judgement]], sheet: Sheet) -> str:
    """The smallest change of places that closes the chain."""
    ways = closing(whole, parts, sheet.drawing.unit in INCHES)
    said = "" if ways is None else ways_text(ways, sheet.drawing.unit)
    return f"; {said}" if said else ""


def repeated(sheet: Sheet) -> Iterator[Finding]:
    yield from (f for f in _bent(sheet) if f.rule == "repeated-dimension")
    for loop, judgements, often in _loops(sheet):
        if len(judgements) != 2 or _error(judgements, often) != 0 or Implied.IN_LINE in loop.implied:
            continue
        last, first = judgements
        yield finding(
            "repeated-dimension", Level.WARNING, last, sheet, f"{named(last)} gives a distance that is given already",
            [f"{first.attached.dimension.handle} {named(first)} gives the same", *_taken(loop)],
            ONCE,
        )  # fmt: skip


def _bent(sheet: Sheet) -> Iterator[Finding]:
    """Loops of radii, angles and slanted lengths: without a sum, but one size more than needed all the same."""
    known = {j.attached.dimension.handle: j for j in sheet.judgements}
    for scheme in sheet.schemes:
        for loop in scheme.loops:
            handles = (loop.dimension, *(handle for handle, _ in loop.steps))
            if loop.straight or len(handles) < 2 or not LOOSELY.isdisjoint(loop.implied):
                continue
            members = [known[h] for h in handles if h in known]
            if len(members) < len(handles) or any(j.stated is None or j.verdict is Verdict.WRONG for j in members):
                continue
            last = known[loop.dimension]
            if len(members) == 2 and all(j.attached.dimension.kind in ROUND for j in members):
                first = known[handles[1]]
                message = f"{named(last)} gives a size that is given already"
                yield finding(
                    "repeated-dimension", Level.WARNING, last, sheet, message,
                    [f"{first.attached.dimension.handle} {named(first)} gives the same", *_taken(loop)], ONCE,
                )  # fmt: skip
                continue
            loop_of = ", ".join(f"{h} {known[h].text}" for h in handles)
            yield finding(
                "closed-chain", Level.WARNING, last, sheet, f"{named(last)} follows from others already",
                [f"with what is drawn tangent, level or square these fix one another: {loop_of}", *_taken(loop)],
                "leave one of them out, or put the one that matters least in parentheses as a reference",
            )  # fmt: skip


Often = tuple[Fraction, ...]
"""How often each dimension of a loop counts, against the way as a negative number; the closing one as -1."""


def _loops(sheet: Sheet) -> Iterator[tuple[Loop, list[Judgement], Often]]:
    """Straight loops with their judgements, the closing dimension first."""
    known = {j.attached.dimension.handle: j for j in sheet.judgements}
    sizes = scales(sheet.judgements)
    for scheme in sheet.schemes:
        for loop in scheme.loops:
            if loop.straight and loop.steps and all(h in known for h in (loop.dimension, *(h for h, _ in loop.steps))):
                judgements = [known[loop.dimension], *(known[handle] for handle, _ in loop.steps)]
                times = weights(judgements, sizes)
                if times is not None:
                    signs = (-1, *(sign for _, sign in loop.steps))
                    yield loop, judgements, tuple(sign * t for sign, t in zip(signs, times, strict=True))


def _error(judgements: Sequence[Judgement], often: Often) -> Fraction | None:
    """Stated whole less the sum of the stated parts; None where one states no number or stands for limits."""
    if any(j.stated is None or j.residual is None for j in judgements):
        return None
    return -sum((t * (j.stated or 0) for t, j in zip(often, judgements, strict=True)), Fraction(0))


def _signed(times: Fraction, judgement: Judgement, first: bool) -> str:
    mark = "-" if times < 0 else "" if first else "+ "
    many = "" if abs(times) == 1 else f"{fraction_text(abs(times))} × "
    return f"{mark}{many}{decimal_text(judgement.stated or Fraction(0))}"


def _residuals(judgements: Sequence[Judgement], often: Often, error: Fraction) -> list[str]:
    """What each stated number leaves off, and that this is what the chain is apart by."""
    off = []
    total = Fraction(0)
    for times, j in zip(often, judgements, strict=True):
        if j.residual is None or j.residual[0] != j.residual[1]:
            return []
        total += times * j.residual[0]
        if j.residual[0]:
            off.append(f"{j.attached.dimension.handle} {j.text}: {residual_text(j)}")
    said = [f"what each leaves off (drawn less stated): {'; '.join(off)}"] if off else []
    return said if total == error else []


def _taken(loop: Loop) -> list[str]:
    words = [kind.value for kind in loop.implied if kind is not Implied.LEVEL]
    return [f"taken as implied: {'; '.join(words)}"] if words else []


def _best(free: Free) -> Place:
    """The place by which a person would call the group: a centre before a corner."""
    return min(free.places, key=lambda p: (not is_centre(p), p.at))


def _feature(place: Place) -> Feature | None:
    return place.view.by_place.get(place.at)


def _name(place: Place, sheet: Sheet, *, both: bool = False) -> str:
    feature = _feature(place)
    if feature is None:
        at = f"({size_text(place.at[0], sheet.drawing.unit)}, {size_text(place.at[1], sheet.drawing.unit)})"
        return f"the place at {at}"
    return feature_text(feature, place.view, sheet.drawing.unit, place.axis if place.axis < 2 and not both else None)


def _shapes(place: Place) -> list[Arc | Circle]:
    return place.view.rounds.get((place.at, place.value), [])


def _round_name(place: Place, sheet: Sheet) -> str:
    shapes = _shapes(place)
    if shapes and isinstance(shapes[0], Circle):
        return f"Ø{size_text(place.value * 2, sheet.drawing.unit)} circle"
    return f"R{size_text(place.value, sheet.drawing.unit)} arc"


def _held_near(free: Free, place: Place, moving: Moving) -> Place | None:
    """The nearest feature of the same view that is located, edges of the outline first."""
    view = place.view
    ends = view.extent[free.axis]
    best: tuple[bool, Fraction, Place] | None = None
    for feature in view.points:
        if (id(view), feature.at, free.axis) in moving or not any(isinstance(s, Segment) for s in feature.shapes):
            continue
        level = feature.at[free.axis]
        outer = min(abs(float(level) - end) for end in ends) > 1e-6
        candidate = (outer, abs(level - place.value), Place(view, feature.at, free.axis, level))
        if level != place.value and (best is None or candidate[:2] < best[:2]):
            best = candidate
    return None if best is None else best[2]


def _handles(place: Place) -> tuple[str, ...]:
    if place.axis == 2:
        return tuple(s.origin.handle for s in _shapes(place))
    feature = _feature(place)
    return () if feature is None else tuple(s.origin.handle for s in feature.shapes[:2])


def _finding(
    rule: str, places: Sequence[Place], message: str, why: Sequence[str], suggestion: str, sheet: Sheet
) -> Finding:
    first = places[0]
    handles = dict.fromkeys(handle for place in places for handle in _handles(place))
    return Finding(
        rule=rule, level=Level.WARNING, handles=tuple(handles), message=message, why=tuple(why),
        suggestion=suggestion, at=(float(first.at[0]), float(first.at[1])), layout=_layout(first.view, sheet),
        view=first.view.name, subject=message,
    )  # fmt: skip


def _layout(view: View, sheet: Sheet) -> str:
    return next((g.space.name for g in sheet.geometries if any(v is view for v in g.views)), "")


RULES = (
    Rule("chain-does-not-close", Level.ERROR, "the stated numbers around a chain do not add up", chain_does_not_close),
    Rule("closed-chain", Level.WARNING, "more dimensions than needed, and none is marked as reference", closed_chain),
    Rule("repeated-dimension", Level.WARNING, "one distance is given twice", repeated),
    Rule("not-located", Level.WARNING, "nothing places a feature in one direction", not_located),
    Rule("not-sized", Level.WARNING, "nothing gives the size of a circle or an arc", not_sized),
)
