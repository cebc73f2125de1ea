"""Which dimension of the old drawing is which of the new, and what changed about it.

Two are one first by what they measure: the same kind, in the same direction, between the same features, wherever those
went and whatever the text says. Of several such the handle decides, then the text, then where the text stands. What is
left is matched by its handle where kind and text, or one end, agree with that; then by text and place. By handle alone
would match wrongly in a file that another program numbered anew, by place alone wherever something moved.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from dimaudit.compare.features import Sheet
from dimaudit.compare.laid import Laid
from dimaudit.compare.landed import Partners, landed
from dimaudit.compare.stating import Statement, factor_of, part_facts, same_number, statement
from dimaudit.compare.views import Couple
from dimaudit.exact.number import decimal_text
from dimaudit.exact.real import Real, enclose, scaled
from dimaudit.judge.saying import named, spot
from dimaudit.model.attached import Hold, Link
from dimaudit.model.audit import Judgement, Verdict
from dimaudit.model.compared import Change, Fact, Seat, Sort
from dimaudit.model.drawing import ANGLES, Kind, Point
from dimaudit.text.markup import plain_text
from dimaudit.text.places import where_text

AGREE = frozenset({Verdict.EXACT, Verdict.ROUNDED, Verdict.TIE, Verdict.WITHIN_LIMITS})
ATTACHED = frozenset({Link.ON, Link.IN_LINE})
ROUND = frozenset({Kind.RADIUS, Kind.DIAMETER, Kind.JOGGED_RADIUS})
FINE = Fraction(1, 10**15)
"""Width of an enclosure for comparing with the noise, which is a million times as wide."""
NOT_REDRAWN = "typed text, not yet redrawn"
ANGLE_NOISE = Fraction(1, 10**6)
"""Degrees by which an angle between lines that were redrawn must differ to be another one: what a coordinate off by the
noise does to a line of a few millimetres."""


@dataclass(frozen=True, slots=True)
class Target:
    """What a dimension measures, in the new view: comparable for both drawings."""

    places: tuple[Point, ...]
    """One for each end, in the order of the ends."""
    shapes: tuple[frozenset[int], ...]
    """Identities of the new shapes that each end is on."""
    axis: int | None
    """0 or 1 where only the levels along x or y count."""


@dataclass(frozen=True, slots=True)
class Item:
    """One dimension that is to be matched."""

    judgement: Judgement
    group: int | None
    """Number of the couple of views that it belongs to; None where its view has no other."""
    target: Target
    text_at: Point | None
    """In the new view."""

    @property
    def handle(self) -> str:
        return self.judgement.attached.dimension.handle

    @property
    def kind(self) -> Kind:
        return self.judgement.attached.dimension.kind


def old_item(j: Judgement, group: int | None, couple: Couple | None, to: Partners, factor: Fraction) -> Item:
    """An old dimension as it comes to lie in the new drawing."""
    laid, axis = Laid(factor) if couple is None else couple.laid, _axis(j)
    places: list[Point] = []
    shapes: list[frozenset[int]] = []
    for end in j.attached.ends:
        if end.feature is None or couple is None:
            places.append(laid.place(end.point if end.feature is None else end.feature.at))
            shapes.append(frozenset())
        else:
            places.append(landed(end.feature, couple, to, axis))
            shapes.append(frozenset(id(to[id(s)]) for s in end.feature.shapes if id(s) in to))
    at = j.attached.dimension.text_at
    return Item(j, group, Target(tuple(places), tuple(shapes), axis), None if at is None else laid.place(at))


def new_item(j: Judgement, group: int | None) -> Item:
    """A new dimension."""
    ends = j.attached.ends
    places = tuple(end.point if end.feature is None else end.feature.at for end in ends)
    shapes = tuple(frozenset(map(id, () if end.feature is None else end.feature.shapes)) for end in ends)
    return Item(j, group, Target(places, shapes, _axis(j)), j.attached.dimension.text_at)


def _axis(j: Judgement) -> int | None:
    """The axis that the number is taken along, where it is one."""
    d = j.attached.dimension
    if d.kind is Kind.ORDINATE:
        turn = d.angle % 180
        return None if turn not in (0, 90) else int(d.along_x == (turn == 90))
    if d.kind is Kind.LINEAR and d.angle % 180 in (0, 90):
        return 0 if d.angle % 180 == 0 else 1
    return None


def match(olds: Sequence[Item], news: Sequence[Item], grain: Fraction, reach: Fraction) -> list[tuple[Item, Item]]:
    """Pairs, in the order of the new drawing. `grain`: the snap distance; `reach`: how near is beside."""
    left, right = dict(enumerate(olds)), dict(enumerate(news))
    found: dict[int, Item] = {}
    rounds = (_by_target(olds, news, float(grain)), _by_handle(olds, news, grain), _by_text(olds, news, grain, reach))
    for offers in rounds:
        for _, i, j in sorted(offers):
            if i in left and j in right:
                del left[i], right[j]
                found[j] = olds[i]
    return [(found[j], news[j]) for j in sorted(found)]


Offer = tuple[tuple[float, ...], int, int]


def _by_target(olds: Sequence[Item], news: Sequence[Item], grain: float) -> Iterator[Offer]:
    by_key: dict[tuple[object, ...], list[int]] = defaultdict(list)
    for j, item in enumerate(news):
        for key in _keys(item, grain):
            by_key[key].append(j)
    for i, item in enumerate(olds):
        if item.group is None:
            continue
        near = {j: rank for key in reversed(_keys(item, grain)) for rank in (len(key),) for j in by_key.get(key, ())}
        for j, rank in near.items():
            yield (-rank, *_closeness(item, news[j])), i, j


def _keys(item: Item, grain: float) -> tuple[tuple[object, ...], ...]:
    """What it measures, to look it up by: all of where, then only the levels that count. The longer key is closer."""
    t, d = item.target, item.judgement.attached.dimension
    head = (item.group, item.kind, d.angle % 180, d.along_x)
    cells = [(round(float(x) / grain), round(float(y) / grain)) for x, y in t.places]
    if item.kind in ROUND:
        ids = [s for s in reversed(t.shapes) if s]
        return ((*head, min(ids[0])),) if ids else ((*head, *sorted(cells)),)
    whole = (*head, "places", *sorted(cells))
    if t.axis is None:
        return (whole,)
    return whole, (*head, *sorted(cell[t.axis] for cell in cells))


def _closeness(one: Item, other: Item) -> tuple[float, ...]:
    return one.handle != other.handle, one.judgement.text != other.judgement.text, _apart(one.text_at, other.text_at)


def _by_handle(olds: Sequence[Item], news: Sequence[Item], grain: Fraction) -> Iterator[Offer]:
    by_handle = {item.handle: j for j, item in enumerate(news)}
    for i, item in enumerate(olds):
        j = by_handle.get(item.handle)
        if j is not None and news[j].kind is item.kind:
            other = news[j]
            agree = item.judgement.text == other.judgement.text or _beside(item.text_at, other.text_at, grain)
            if agree or any(_beside(p, q, grain) for p in item.target.places for q in other.target.places):
                yield (0.0,), i, j


def _by_text(olds: Sequence[Item], news: Sequence[Item], grain: Fraction, reach: Fraction) -> Iterator[Offer]:
    """One kind, and two of three: the same text, a text at the same place, an end at the same place."""
    by_kind: dict[Kind, list[int]] = defaultdict(list)
    for j, item in enumerate(news):
        by_kind[item.kind].append(j)
    for i, item in enumerate(olds):
        for j in by_kind[item.kind]:
            other = news[j]
            text = item.judgement.text == other.judgement.text
            beside = _beside(item.text_at, other.text_at, reach)
            end = any(_beside(p, q, grain) for p in item.target.places for q in other.target.places)
            if text + beside + end >= 2:
                yield (-(text + beside + end), _apart(item.text_at, other.text_at)), i, j


def _beside(p: Point | None, q: Point | None, reach: Fraction) -> bool:
    return p is not None and q is not None and abs(p[0] - q[0]) <= reach and abs(p[1] - q[1]) <= reach


def _apart(p: Point | None, q: Point | None) -> float:
    """Doubles: for putting in order only."""
    return 0.0 if p is None or q is None else float(abs(p[0] - q[0]) + abs(p[1] - q[1]))


@dataclass(frozen=True, slots=True)
class Differ:
    """Tells two revisions of one dimension apart."""

    sheet: Sheet
    can_associate: bool
    """Whether the format of the new file can tie a dimension to geometry at all."""
    still: frozenset[int]
    """Identities of the new shapes that lie where they lay."""

    def changes(self, old: Item, new: Item) -> Iterator[Change]:
        """One change at most: the sort that matters most, with all that changed as its facts."""
        was, now = old.judgement, new.judgement
        factor = factor_of(was, now, self.sheet.old_unit, self.sheet.unit)
        one = statement(was, self.sheet.old_unit, factor, self.sheet.unit)
        other = statement(now, self.sheet.unit, Fraction(1), self.sheet.unit)
        same = same_number(one, other)
        before, after = _geometry(was, factor), _geometry(now, Fraction(1))
        moved = before is not None and after is not None and not self._equal(before, after, new)
        there = self._same_target(old, new)
        angle = new.kind in ANGLES
        facts = self._said(was, now, one, other, same, angle, factor)
        restated = bool(facts)
        if moved:
            facts.append(Fact("drawn", before, after, angle))
        if (before is None) != (after is None):
            facts.append(Fact("drawn", before, after, angle))
        old_where, where = where_text(was.attached, self.sheet.old_unit), where_text(now.attached, self.sheet.unit)
        detached = was.attached.link in ATTACHED and now.attached.link not in ATTACHED
        attached = was.attached.link not in ATTACHED and now.attached.link in ATTACHED
        if detached or attached or not there:
            facts.append(Fact("attached to", old_where or "nothing", where or "nothing"))
        untied = self._untied(was, now)
        if untied:
            facts.append(Fact("tie to the geometry", str(was.attached.hold), str(now.attached.hold)))
        if not facts:
            return
        if was.verdict is not now.verdict:
            facts.append(Fact("verdict", str(was.verdict), str(now.verdict)))
        number = one.value is not None and other.value is not None
        if detached:
            sort = Sort.DETACHED
        elif attached or not there:
            sort = Sort.REATTACHED
        elif moved and same and number:
            sort = Sort.GEOMETRY_ALONE
        elif moved and not same:
            sort = Sort.BOTH
        elif not moved and not same:
            sort = Sort.TEXT_ALONE
        elif restated:
            sort = Sort.RESTATED
        elif untied:
            sort = Sort.DETACHED
        else:
            return  # no number is stated, and the features that moved are told by themselves
        why = tuple(self._meaning(was, now, one, other, same, before, after, moved, sort))
        view = "" if now.attached.view is None else now.attached.view.name
        yield Change(sort, named(now), view, tuple(facts), dimension_seat(was), dimension_seat(now), where, why)

    def _said(
        self, was: Judgement, now: Judgement, one: Statement, other: Statement, same: bool, angle: bool,
        factor: Fraction,
    ) -> list[Fact]:  # fmt: skip
        facts: list[Fact] = []
        if one.value != other.value:
            facts.append(Fact("stated", one.text if one.value is None else one.value,
                              other.text if other.value is None else other.value, angle))  # fmt: skip
        facts += part_facts(one, other)
        converted = factor != 1
        texts = " ".join(was.text.split()), " ".join(now.text.split())
        if converted and same:
            facts = [f for f in facts if f.what != "stated" or f.by]
        elif texts[0] != texts[1]:
            facts.append(Fact("text", *texts))
        elif not facts:
            facts += self._not_redrawn(was, now)
        if facts and one.limits != other.limits:
            facts.append(Fact("tolerance in force", _limits_text(one), _limits_text(other)))
        return facts

    @staticmethod
    def _not_redrawn(was: Judgement, now: Judgement) -> Iterator[Fact]:
        """What was typed, where that is not what is read: the drawn text is still that of before."""
        one, other = (plain_text(j.attached.dimension.override or "<>") for j in (was, now))
        if one != other:
            yield Fact(NOT_REDRAWN, one, other)

    def _equal(self, before: Real, after: Real, new: Item) -> bool:
        """Whether two measured numbers are one, but for the noise of both files."""
        if before == after:
            return True
        if new.kind in ANGLES:
            if all(shapes and shapes <= self.still for shapes in new.target.shapes):
                return True
            apart = ANGLE_NOISE
        else:
            apart = 2 * self.sheet.apart * abs(new.judgement.factor)
        (a, b), (c, d) = enclose(before, FINE), enclose(after, FINE)
        return max(abs(d - a), abs(b - c)) <= apart + 2 * FINE

    def _same_target(self, old: Item, new: Item) -> bool:
        """Whether both measure the same features, as far as the number goes by them."""
        one, other = old.target, new.target
        if len(one.places) != len(other.places):
            return False
        if new.kind in ROUND:
            ours = [s for s in reversed(one.shapes) if s]
            theirs = [s for s in reversed(other.shapes) if s]
            if ours and theirs:
                return bool(ours[0] & theirs[0])
            return bool(ours) == bool(theirs)
        if one.axis is not None:
            ours_, theirs_ = (sorted(p[one.axis] for p in t.places) for t in (one, other))
            return all(abs(a - b) <= self.sheet.apart for a, b in zip(ours_, theirs_, strict=True))
        return all(
            any(_beside(p, q, self.sheet.apart) or a & b for q, b in zip(other.places, other.shapes, strict=True))
            for p, a in zip(one.places, one.shapes, strict=True)
        )

    def _untied(self, was: Judgement, now: Judgement) -> bool:
        return (
            self.can_associate and was.attached.hold is Hold.ASSOCIATED and now.attached.hold is not Hold.ASSOCIATED
        )

    def _meaning(
        self, was: Judgement, now: Judgement, one: Statement, other: Statement, same: bool, before: Real | None,
        after: Real | None, moved: bool, sort: Sort,
    ) -> Iterator[str]:  # fmt: skip
        """What it means for who reads the print."""
        if was.verdict in AGREE and now.verdict not in AGREE and now.verdict is not Verdict.NOT_JUDGED:
            yield "the number agreed with the geometry and does no longer"
        elif was.verdict not in AGREE and now.verdict in AGREE:
            yield "the number did not agree with the geometry, and does now"
        elif now.verdict not in AGREE:
            if was.verdict is now.verdict and now.verdict in (Verdict.WRONG, Verdict.CUT_OFF):
                yield "the number does not agree with the geometry, and did not before"
        elif sort is Sort.GEOMETRY_ALONE:
            yield "the number still agrees with the geometry within its last place or its limits"
        if sort is Sort.REATTACHED and moved and same:
            yield "the text stood still, though it now measures another size"
        if sort is Sort.BOTH and Fact("drawn", before, after).by != Fact("stated", one.value, other.value).by:
            yield "the number did not change by as much as the geometry"
        if sort is Sort.RESTATED and one.value != other.value:
            yield "the two numbers differ by no more than half their last place"


def _geometry(j: Judgement, factor: Fraction) -> Real | None:
    """The measured size, without what the text makes of it (a diameter of a radius, one of several steps)."""
    return None if j.measured is None else scaled(j.measured, factor / j.multiple)


def _limits_text(s: Statement) -> str:
    low, high = s.limits
    if low is None and high is None:
        return "none"
    both = [f"{'+' if v > 0 else ''}{decimal_text(v)}" for v in (low, high) if v is not None]
    return " to ".join(both)


def dimension_seat(j: Judgement) -> Seat:
    """Where a dimension stands."""
    d = j.attached.dimension
    return Seat((d.handle, *d.pieces), d.layout, spot(j))


def alone(sort: Sort, items: Iterable[Item], sheet: Sheet) -> Iterator[Change]:
    """Dimensions that are in one drawing only."""
    gone = sort is Sort.DIMENSION_REMOVED
    unit = sheet.old_unit if gone else sheet.unit
    for item in items:
        j = item.judgement
        own = dimension_seat(j)
        text = Fact("text", j.text if gone else None, None if gone else j.text)
        view = "" if j.attached.view is None else j.attached.view.name
        yield Change(
            sort, named(j), view, (text,), own if gone else Seat(), Seat() if gone else own,
            where_text(j.attached, unit), () if item.judgement.attached.ends else (j.attached.why_not,),
        )  # fmt: skip
