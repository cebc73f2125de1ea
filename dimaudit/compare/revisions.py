"""Two audited drawings compared: views, then linework, dimensions, notes, title block and findings."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import zip_longest

from dimaudit.compare.dimensions import Differ, Item, alone, match, new_item, old_item
from dimaudit.compare.features import Sheet, feature_changes
from dimaudit.compare.laid import Laid, best_fit
from dimaudit.compare.pointing import Pointing, pointed_elsewhere
from dimaudit.compare.seats import seat
from dimaudit.compare.shapes import Paired, pair_up
from dimaudit.compare.shared import shared
from dimaudit.compare.strays import gathered, replace_shapes
from dimaudit.compare.texts import (
    Said,
    finding_changes,
    match_findings,
    match_notes,
    note_changes,
    said_in,
    title_changes,
)  # fmt: skip
from dimaudit.compare.views import ALIKE, Couple, couple
from dimaudit.model.attached import Hold
from dimaudit.model.audit import Finding, Judgement
from dimaudit.model.compared import Change, Compared, Fact, Revision, Seat, Sort
from dimaudit.model.drawing import Curve, Point, Shape
from dimaudit.model.units import IN_MM, Unit
from dimaudit.model.view import Geometry, View
from dimaudit.pipeline import Examined
from dimaudit.text.places import size_text

ONE = Fraction(1)


def compare(old: Examined, new: Examined) -> Compared:
    """What changed from the old drawing to the new one."""
    return _Comparison(old, new).run()


@dataclass
class _Comparison:
    """The comparison in the making."""

    old: Examined
    new: Examined
    changes: list[Change] = field(default_factory=list)
    handles: dict[str, str] = field(default_factory=dict)
    """New handles by old ones."""
    couples: list[Couple] = field(default_factory=list)
    to: dict[int, Shape] = field(default_factory=dict)
    """New shapes by the identities of old ones."""
    items: tuple[list[Item], list[Item]] = field(default_factory=lambda: ([], []))
    told: set[int] = field(default_factory=set)
    """Identities of the shapes that were told as the same, changed, gone or come."""
    still: set[int] = field(default_factory=set)
    same_shapes: int = 0
    same_notes: int = 0
    curves: int = 0
    moved: bool = False
    """Whether a text, a leader or a dimension's own point stands elsewhere: no change by itself, but a finding may be
    about it."""
    by_file: str = ""
    """Findings that differ though nothing of the drawing does."""

    def __post_init__(self) -> None:
        self.unit, self.old_unit = self.new.drawing.unit, self.old.drawing.unit
        self.factor = _factor(self.old_unit, self.unit)
        a, b = self.old.audit.lengths, self.new.audit.lengths
        noise = (a.noise or Fraction(0)) * self.factor + (b.noise or Fraction(0))
        self.apart = max(a.snap * self.factor, b.snap, noise)
        self.near = max(a.near * self.factor, b.near)

    def run(self) -> Compared:
        if self.old_unit is not self.unit:
            was, now = (None if u is None else str(u) for u in (self.old_unit, self.unit))
            fact = Fact("unit", was, now)
            self.changes.append(Change(Sort.UNITS, "unit of the drawing", "", (fact,), Seat(), Seat()))
        for one, other in _spaces(self.old.geometries, self.new.geometries):
            self._space(one, other)
        same_dimensions = self._dimensions()
        self.changes += title_changes(self.old.audit, self.new.audit, {p.old.name: p.new.name for p in self.couples})
        pairs, gone, come = match_findings(self.old.audit.findings, self.new.audit.findings, self.handles)
        if self.changes or self.moved:
            self.changes += finding_changes(gone, come)
        elif gone or come:
            self.by_file = _by_file(gone, come)
        order = {sort: n for n, sort in enumerate(Sort)}
        return Compared(
            _revision(self.old), _revision(self.new), self.factor, self.apart,
            tuple(sorted(self.changes, key=lambda c: order[c.sort])), same_dimensions, self.same_shapes,
            self.same_notes, len(pairs), tuple(self._not_compared()),
        )  # fmt: skip

    def _space(self, old: Geometry | None, new: Geometry | None) -> None:
        """The linework and the notes of one layout; None where one drawing has no such layout."""
        olds, news = () if old is None else old.views, () if new is None else new.views
        sheet = self._sheet(old, new)
        found = couple(olds, news, self.factor, self.apart)
        lone = _without(olds, [p.old for p in found]), _without(news, [p.new for p in found])
        rest = [replace_shapes(e.sheet, _rest(g)) for e, g in ((self.old, old), (self.new, new))]
        views: list[tuple[int, tuple[View, ...], tuple[View, ...]]] = []
        for pair in found:
            whole, *parts = gathered(pair, [*lone[0], rest[0]], [*lone[1], rest[1]], self.apart)
            lone = _without(lone[0], parts[0]), _without(lone[1], parts[1])
            rest = [
                replace_shapes(r, [s for s in r.shapes if id(s) not in v.members])
                for r, v in zip(rest, (whole.old, whole.new), strict=True)
            ]
            self._view(whole, sheet)
            views.append((len(self.couples) - 1, (pair.old, *parts[0]), (pair.new, *parts[1])))
        for group, *both in views:
            self._measured(group, *both)
        kept = self._lone_views(*lone, rest, sheet)
        self._outside(new, tuple([s for s in r.shapes if id(s) not in kept] for r in rest), sheet)
        self._notes(old, new)

    def _sheet(self, old: Geometry | None, new: Geometry | None) -> Sheet:
        names = [None if g is None else g.space.name for g in (new, old)]
        return Sheet(names[0] or "", names[1] or "", self.old_unit, self.unit, self.apart)

    def _view(self, pair: Couple, sheet: Sheet) -> None:
        """The linework of one couple."""
        self.couples.append(pair)
        common = shared(pair, self.apart)
        paired = self._once(pair_up(pair, common))
        self._seen(paired)
        self.changes += self._whole(pair, sheet)
        self.changes += feature_changes(pair, common, paired, sheet)

    def _measured(self, group: int, olds: Sequence[View], news: Sequence[View]) -> None:
        """The dimensions of one couple, when all linework has found its own; `olds` and `news` are their views."""
        pair = self.couples[group]
        for j in self.old.audit.judgements:
            if any(j.attached.view is v for v in olds):
                self.items[0].append(old_item(j, group, pair, self.to, self.factor))
        for j in self.new.audit.judgements:
            if any(j.attached.view is v for v in news):
                self.items[1].append(new_item(j, group))

    def _once(self, paired: Paired) -> Paired:
        """Without what was told with another view: views in line may share a centreline."""
        told = self.told
        same, changed = (
            tuple((a, b) for a, b in some if id(a) not in told and id(b) not in told)
            for some in (paired.same, paired.changed)
        )
        gone, come = (tuple(s for s in some if id(s) not in told) for some in (paired.gone, paired.come))
        found = Paired(same, changed, gone, come)
        told |= {id(s) for pair in found.pairs for s in pair} | {id(s) for s in (*found.gone, *found.come)}
        return found

    def _seen(self, paired: Paired) -> None:
        self.same_shapes += len(paired.same)
        self.still |= {id(new) for _, new in paired.same}
        self.curves += sum(isinstance(new, Curve) for _, new in paired.pairs)
        for one, other in paired.pairs:
            self.to.setdefault(id(one), other)
            self.handles.setdefault(one.origin.handle, other.origin.handle)

    def _whole(self, pair: Couple, sheet: Sheet) -> Iterator[Change]:
        """The view as a whole: moved on the sheet, or drawn to another scale."""
        seats = seat(pair.old.shapes, pair.old, sheet.old_layout), seat(pair.new.shapes, pair.new, sheet.layout)
        formerly = f"formerly {pair.old.name}" if pair.old.name != pair.new.name else ""
        if pair.laid.factor != self.factor:
            times = Fact("times as large", None, None, angle=True, moved=pair.laid.factor / self.factor)
            yield Change(Sort.VIEW_SCALED, pair.new.name, pair.new.name, (times,), *seats, where=formerly)
        elif any(pair.laid.shift):
            ways = zip("xy", pair.laid.shift, strict=True)
            facts = tuple(Fact(axis, None, None, moved=by) for axis, by in ways if by)
            yield Change(Sort.VIEW_MOVED, pair.new.name, pair.new.name, facts, *seats, where=formerly)

    def _lone_views(
        self, olds: Sequence[View], news: Sequence[View], rest: Sequence[View], sheet: Sheet
    ) -> set[int]:
        """Views without another; the linework of one that only lost, or got, its dimensions is outside the views.

        Returns the identities of that linework, which is then not told a second time.
        """
        kept: set[int] = set()
        for gone, views, others in ((True, olds, rest[1]), (False, news, rest[0])):
            for view in views:
                found = _drawn_still(view, others, self.factor if gone else 1 / self.factor, self.apart)
                kept |= found
                now = "its linework is still drawn, and no dimension belongs to it" if gone else (
                    "its linework was drawn before, and no dimension belonged to it")  # fmt: skip
                own = seat(view.shapes, view, sheet.old_layout if gone else sheet.layout)
                unit = self.old_unit if gone else self.unit
                size = " × ".join(size_text(Fraction(str(round(b - a, 9))), unit) for a, b in view.extent)
                self.changes.append(Change(
                    Sort.VIEW_REMOVED if gone else Sort.VIEW_ADDED, view.name, view.name,
                    (Fact("lines, arcs and circles", *_only(gone, str(len(view.shapes)))),),
                    own if gone else Seat(), Seat() if gone else own, f"{size} in size", (now,) if found else (),
                ))  # fmt: skip
                judgements = (self.old if gone else self.new).audit.judgements
                for j in judgements:
                    if j.attached.view is view:
                        item = old_item(j, None, None, {}, self.factor) if gone else new_item(j, None)
                        self.items[0 if gone else 1].append(item)
        return kept

    def _outside(
        self, new: Geometry | None, rest: tuple[list[Shape], ...], sheet: Sheet
    ) -> None:
        """Linework that no dimension belongs to: only whether it changed, and how much of it."""
        sides = [replace_shapes(e.sheet, r) for e, r in ((self.old, rest[0]), (self.new, rest[1]))]
        pair = Couple(sides[0], sides[1], Laid(self.factor))
        paired = pair_up(pair, shared(pair, self.apart))
        self._seen(paired)
        one = [*paired.gone, *(a for a, _ in paired.changed)]
        other = [*paired.come, *(b for _, b in paired.changed)]
        if one or other:
            facts = (Fact("lines, arcs and circles in that drawing only", str(len(one)), str(len(other))),)
            self.changes.append(Change(
                Sort.OUTSIDE, "borders, tables, views without dimensions", "",
                facts, seat(one, sides[0], sheet.old_layout), seat(other, sides[1], sheet.layout),
                where="" if new is None else new.space.name,
            ))  # fmt: skip

    def _notes(self, old: Geometry | None, new: Geometry | None) -> None:
        apart = [frozenset(_dimension_handles(e)) for e in (self.old, self.new)]
        laid = Laid(self.factor)
        olds: list[Said] = [] if old is None else said_in(old.space, laid, apart[0])
        news: list[Said] = [] if new is None else said_in(new.space, Laid(ONE), apart[1])
        pairs = match_notes(olds, news, self.near)
        self.same_notes += sum(a.text == b.text for a, b in pairs)
        self.changes += note_changes(pairs, olds, news, self.old.audit.title_block, self.new.audit.title_block)
        for a, b in pairs:
            self.handles.setdefault(a.handle, b.handle)
            self.moved |= not _at_one(a.laid, b.laid, self.apart)
        if old is not None and new is not None:
            was, now = (
                Pointing(g, e.notes, e.sheet, e.drawing.unit, float(self.near / k))
                for g, e, k in ((old, self.old, self.factor), (new, self.new, ONE))
            )
            self.changes += pointed_elsewhere(pairs, was, now, self.to)
        tips = [sorted(laid_.place(t) for g in some for leader in g.space.leaders for t in leader.tips)
                for some, laid_ in (([old] if old else [], laid), ([new] if new else [], Laid(ONE)))]  # fmt: skip
        self.moved |= len(tips[0]) != len(tips[1]) or not all(
            _at_one(p, q, self.apart) for p, q in zip(*tips, strict=True)
        )

    def _dimensions(self) -> int:
        """All dimensions; returns how many are the same."""
        olds, news = self.items
        olds += [old_item(j, None, None, {}, self.factor) for j in self.old.audit.judgements if j.attached.view is None]
        news += [new_item(j, None) for j in self.new.audit.judgements if j.attached.view is None]
        order = {id(j): n for n, j in enumerate(self.new.audit.judgements)}
        news.sort(key=lambda item: order[id(item.judgement)])
        sheet = Sheet("", "", self.old_unit, self.unit, self.apart)
        differ = Differ(sheet, self.new.drawing.can_associate, frozenset(self.still))
        pairs = match(olds, news, self.apart, self.near)
        same, untied = 0, []
        for one, other in pairs:
            self.handles[one.handle] = other.handle
            found = list(differ.changes(one, other))
            self.moved |= self._stands_elsewhere(one, other)
            same += not found
            for change in found:
                if change.sort is Sort.DETACHED and {f.what for f in change.facts} == {TIE}:
                    untied.append((change, other.judgement.attached.hold))
                else:
                    self.changes.append(change)
        self.changes += _together(untied)
        kept, matched = {id(a) for a, _ in pairs}, {id(b) for _, b in pairs}
        self.changes += alone(Sort.DIMENSION_REMOVED, [i for i in olds if id(i) not in kept], sheet)
        self.changes += alone(Sort.DIMENSION_ADDED, [i for i in news if id(i) not in matched], sheet)
        return same

    def _stands_elsewhere(self, one: Item, other: Item) -> bool:
        """Whether a dimension's text or one of its points does."""
        laid = Laid(self.factor) if one.group is None else self.couples[one.group].laid
        was, now = one.judgement.attached.dimension.points, other.judgement.attached.dimension.points
        if was.keys() != now.keys():
            return True
        spots = [(laid.place(was[g]), now[g]) for g in was]
        if one.text_at is not None and other.text_at is not None:
            spots.append((one.text_at, other.text_at))
        return not all(_at_one(p, q, self.apart) for p, q in spots)

    def _not_compared(self) -> Iterator[str]:
        """What a reader could take for compared, and is not."""
        if self.curves:
            yield f"{_many(self.curves, 'curve')}: by ends and extent only"
        for which, one in (("old", self.old), ("new", self.new)):
            unmeasured = sum(j.measured is None for j in one.audit.judgements)
            if unmeasured:
                yield f"{_many(unmeasured, 'dimension')} of the {which} drawing without a measured size: text only"
            losses = Counter[str]()
            for loss in one.drawing.losses:
                losses[loss.what] += loss.count
            if losses:
                yield f"not read of the {which} drawing: {', '.join(f'{n} × {what}' for what, n in losses.items())}"
        if self.old.drawing.can_associate and not self.new.drawing.can_associate:
            held = sum(j.attached.hold is Hold.ASSOCIATED for j in self.old.audit.judgements)
            if held:
                yield f"ties of {_many(held, 'dimension')} to the geometry: {self.new.drawing.version} can't hold any"
        if self.old_unit is not self.unit and None in (self.old_unit, self.unit):
            yield "sizes by their unit: one of the drawings names none, so numbers are compared as they are"
        if self.by_file:
            yield self.by_file
        if any(space.panes for one in (self.old, self.new) for space in one.drawing.spaces):
            yield "viewports of sheets: which part of the model they show, and to what scale"
        yield "where texts stand, layers, colours, line widths and styles"


def _at_one(p: Point, q: Point, apart: Fraction) -> bool:
    return abs(p[0] - q[0]) <= apart and abs(p[1] - q[1]) <= apart


def _by_file(gone: Sequence[Finding], come: Sequence[Finding]) -> str:
    """Findings that differ though all that is compared is the same: the order and the noise of a file can do that."""
    said = []
    for which, some in (("old", gone), ("new", come)):
        if some:
            said.append(f"only in the {which}: " + ", ".join(f"{f.rule} [{', '.join(f.handles)}]" for f in some))
    return f"findings that turn on the order or the noise of the file, since nothing else differs ({'; '.join(said)})"


TIE = "tie to the geometry"


def _together(untied: Sequence[tuple[Change, Hold]]) -> Iterator[Change]:
    """Dimensions that lost nothing but their tie to the geometry: one change for each way."""
    for hold in dict.fromkeys(h for _, h in untied):
        some = [c for c, h in untied if h is hold]
        old, new = tuple(h for c in some for h in c.old.handles), tuple(h for c in some for h in c.new.handles)
        first = some[0]
        if len(some) == 1:
            yield first
            continue
        yield Change(
            first.sort, f"{len(some)} dimensions", "", first.facts, replace(first.old, handles=old),
            replace(first.new, handles=new), why=(", ".join(c.subject for c in some),),
        )  # fmt: skip


def _without(views: Sequence[View], taken: Sequence[View]) -> list[View]:
    return [view for view in views if all(view is not one for one in taken)]


def _rest(geometry: Geometry | None) -> list[Shape]:
    """The shapes that are in no view."""
    if geometry is None:
        return []
    inside = {id(s) for view in geometry.views for s in view.shapes}
    return [s for s in geometry.space.shapes if id(s) not in inside]


def _drawn_still(view: View, others: View, factor: Fraction, apart: Fraction) -> set[int]:
    """Identities of the view's shapes and of the others that they lie on, if they are a view's worth; else none."""
    if not others.shapes:
        return set()
    fit = best_fit(view, others, factor, apart)
    if fit.meet < max(ALIKE * len(view.shapes), 2):
        return set()
    pair = Couple(view, others, fit.laid)
    paired = pair_up(pair, shared(pair, apart))
    return {id(new) for _, new in paired.same}


def _spaces(
    olds: Sequence[Geometry], news: Sequence[Geometry]
) -> Iterator[tuple[Geometry | None, Geometry | None]]:
    """Layouts by their names; those that have no namesake in their order."""
    by_name = {g.space.name: g for g in olds}
    left = [g for g in olds if g.space.name not in {h.space.name for h in news}]
    right: list[Geometry] = []
    for g in news:
        if g.space.name in by_name:
            yield by_name[g.space.name], g
        else:
            right.append(g)
    yield from zip_longest(left, right)


def _factor(old: Unit | None, new: Unit | None) -> Fraction:
    return ONE if old is None or new is None else IN_MM[old] / IN_MM[new]


def _revision(one: Examined) -> Revision:
    a = one.audit
    return Revision(a.path, a.sha256, a.version, a.unit, len(a.judgements), len(a.views), len(a.findings))


def _dimension_handles(one: Examined) -> Iterator[str]:
    """Of what is no note: parts of dimensions, and what the title block is read from, which is told as such."""
    judgement: Judgement
    for judgement in one.audit.judgements:
        d = judgement.attached.dimension
        yield d.handle
        yield from d.pieces


def _only(gone: bool, value: str) -> tuple[str | None, str | None]:
    return (value, None) if gone else (None, value)


def _many(count: int, what: str) -> str:
    return f"{count} {what}{'' if count == 1 else 's'}"
