"""Notes, the title block and the findings of two revisions."""

import re
from collections import Counter, defaultdict
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import zip_longest

from dimaudit.compare.laid import Laid
from dimaudit.compare.seats import flat
from dimaudit.model.audit import DrawingAudit, Finding
from dimaudit.model.compared import Change, Fact, Seat, Sort
from dimaudit.model.drawing import Point, Space
from dimaudit.model.general import ReadAs, TitleBlock
from dimaudit.text.markup import plain_text

LABEL = "scale of "
"""How a scale label of one view is read: 'scale of view 4: 2:1'."""
_CELL = re.compile("%%v", re.IGNORECASE)
"""Between the cells of a feature control frame, which is said as a person reads it."""


@dataclass(frozen=True, slots=True)
class Said:
    """A text of a drawing that is no dimension's own."""

    handle: str
    layout: str
    text: str
    at: Point
    laid: Point
    """Where it comes to lie in the new drawing."""

    @property
    def seat(self) -> Seat:
        return Seat((self.handle,), self.layout, flat(self.at))


def said_in(space: Space, laid: Laid, apart: frozenset[str]) -> list[Said]:
    """Notes, texts of leaders, and feature control frames; not those whose handles are `apart`."""
    found: dict[str, Said] = {}

    def add(handle: str, layout: str, raw: str, at: Point) -> None:
        text = " ".join(plain_text(_CELL.sub(" | ", raw)).split())
        if text and handle not in apart:
            found.setdefault(handle, Said(handle, layout, text, at, laid.place(at)))

    for note in space.notes:
        add(note.origin.handle, space.name, note.text, note.at)
    for leader in space.leaders:
        at = leader.shown_at or leader.at
        if leader.note is None and leader.text and at is not None:
            add(leader.origin.handle, leader.layout, leader.text, at)
    for frame in space.frames:
        add(frame.origin.handle, frame.layout, frame.text, frame.shown_at or frame.at)
    return list(found.values())


def match_notes(olds: Sequence[Said], news: Sequence[Said], reach: Fraction) -> list[tuple[Said, Said]]:
    """By the same text, of several the one of its handle, then the nearest; then by handle; then by place."""
    left, right = dict(enumerate(olds)), dict(enumerate(news))
    pairs: dict[int, Said] = {}

    def take(offers: Iterator[tuple[tuple[float, ...], int, int]]) -> None:
        for _, i, j in sorted(offers):
            if i in left and j in right:
                pairs[j] = left.pop(i)
                del right[j]

    by_text: dict[str, list[int]] = defaultdict(list)
    for j, said in enumerate(news):
        by_text[said.text].append(j)
    take(((news[j].handle != a.handle, _apart(a, news[j])), i, j) for i, a in enumerate(olds) for j in by_text[a.text])
    near = float(reach)
    rest = [(i, a, j, b, _apart(a, b)) for i, a in left.items() for j, b in right.items()]
    take(((far,), i, j) for i, a, j, b, far in rest if a.handle == b.handle and (far <= near or _alike(a.text, b.text)))
    take(((far,), i, j) for i, _, j, _, far in rest if far <= near)
    return [(pairs[j], news[j]) for j in sorted(pairs)]


def _alike(one: str, other: str) -> bool:
    """Whether half of the words of either are words of the other."""
    a, b = Counter(one.upper().split()), Counter(other.upper().split())
    return 2 * (a & b).total() >= max(a.total(), b.total())


def _apart(one: Said, other: Said) -> float:
    """Doubles: for putting in order only."""
    return float(abs(one.laid[0] - other.laid[0]) + abs(one.laid[1] - other.laid[1]))


def note_changes(
    pairs: Sequence[tuple[Said, Said]], olds: Sequence[Said], news: Sequence[Said], old: TitleBlock, new: TitleBlock
) -> Iterator[Change]:
    """Notes that say something else, that are gone, and that are new. Where a note stands is not compared.

    A note that the title block was read from, and is now read as something else, is told with that.
    """
    ours, theirs = _read_as(old), _read_as(new)
    for one, other in pairs:
        told = ours.get(one.handle, set()) != theirs.get(other.handle, set())
        if one.text != other.text and not told:
            yield Change(Sort.NOTE_CHANGED, "note", "", (Fact("text", one.text, other.text),), one.seat, other.seat)
    kept, matched = {id(a) for a, _ in pairs}, {id(b) for _, b in pairs}
    for one in olds:
        if id(one) not in kept:
            yield Change(Sort.NOTE_REMOVED, "note", "", (Fact("text", one.text, None),), one.seat, Seat())
    for one in news:
        if id(one) not in matched:
            yield Change(Sort.NOTE_ADDED, "note", "", (Fact("text", None, one.text),), Seat(), one.seat)


def _read_as(block: TitleBlock) -> dict[str, set[str]]:
    """What was read from each text and holds, by its handle."""
    found: dict[str, set[str]] = defaultdict(set)
    for said in block.read:
        if not said.by_user:
            for handle in filter(None, (said.handle, said.value_in)):
                found[handle].add(said.read_as)
    return found


def title_changes(old: DrawingAudit, new: DrawingAudit, views: Mapping[str, str]) -> Iterator[Change]:
    """What the title block, and the settings in its place, say of all dimensions.

    `views`: new names of views by old ones.
    """
    olds, news = ([s for s in a.title_block.read if not s.by_user] for a in (old, new))
    was, now = old.title_block.tolerances.words(), new.title_block.tolerances.words()
    told: set[str] = set()
    for what, before, after in _names(was, now):
        seats = _seat_of(f"{what} {before}", olds), _seat_of(f"{what} {after}", news)
        told |= {f"{what} {before}", f"{what} {after}"}
        yield Change(Sort.TITLE_BLOCK, f"general tolerance {what}", "", (Fact("tolerance", before, after),), *seats)
    ours, theirs = (Counter(s.read_as for s in some if not _names_one(s.read_as, told)) for some in (olds, news))
    gone, come = sorted((ours - theirs).elements()), sorted((theirs - ours).elements())
    for before, after in zip_longest(gone, come):
        seats = _seat_of(before, olds), _seat_of(after, news)
        yield Change(Sort.TITLE_BLOCK, "what it says of all dimensions", "", (Fact("read as", before, after),), *seats)
    labels = Counter(_renamed(s.read_as, views) for s in old.view_scales), Counter(s.read_as for s in new.view_scales)
    for read_as in sorted(labels[0].keys() | labels[1].keys()):
        if labels[0][read_as] != labels[1][read_as]:
            ours_, theirs_ = (f"{count[read_as]} ×" if count[read_as] else None for count in labels)
            fact = Fact("times", ours_, theirs_)
            yield Change(Sort.TITLE_BLOCK, f"view label: {read_as}", "", (fact,), Seat(), Seat())


def _renamed(read_as: str, views: Mapping[str, str]) -> str:
    """'scale of view 4: 2:1' with the view's new name."""
    name, colon, scale = read_as.removeprefix(LABEL).partition(": ")
    return f"{LABEL}{views.get(name, name)}{colon}{scale}" if read_as.startswith(LABEL) else read_as


def _names_one(read_as: str, told: Collection[str]) -> bool:
    """Whether a text that was read as general tolerances is about one of those that were told."""
    return any(words in read_as for words in told)


def _seat_of(words: str | None, read: Sequence[ReadAs]) -> Seat:
    """Of the text that was read so."""
    found = next((s for s in read if words is not None and words in s.read_as), None)
    return Seat() if found is None else Seat((found.handle,), found.layout, found.at)


def _names(was: Sequence[str], now: Sequence[str]) -> Iterator[tuple[str, str | None, str | None]]:
    """General tolerances of two drawings by what they are for, where they differ."""
    ours, theirs = (dict(_split(w) for w in some) for some in (was, now))
    for name in dict.fromkeys((*ours, *theirs)):
        if ours.get(name) != theirs.get(name):
            yield name, ours.get(name), theirs.get(name)


def _split(words: str) -> tuple[str, str]:
    name, _, value = words.rpartition(" ")
    return name, value


Origin = Mapping[str, str]
"""New handles by old ones: of dimensions, linework and notes that are one."""


def match_findings(
    olds: Sequence[Finding], news: Sequence[Finding], to: Origin
) -> tuple[list[tuple[Finding, Finding]], list[Finding], list[Finding]]:
    """Findings that are in both, that are gone, and that are new.

    By what a finding is, where both audits know that; else by its rule and what it is about, all of it before some.
    """
    left, right = list(olds), list(news)
    pairs: list[tuple[Finding, Finding]] = []

    def take(key_old: dict[int, object], key_new: dict[int, object]) -> None:
        by_key: dict[object, list[Finding]] = defaultdict(list)
        for finding in right:
            if (key := key_new.get(id(finding))) is not None:
                by_key[key].append(finding)
        for finding in list(left):
            there = by_key.get(key_old.get(id(finding)))
            if there:
                other = there.pop(0)
                pairs.append((finding, other))
                left.remove(finding)
                right.remove(other)

    take({id(f): f.identity or None for f in left}, {id(f): f.identity or None for f in right})
    take(
        {id(f): (f.rule, frozenset(to.get(h, h) for h in f.handles)) if f.handles else None for f in left},
        {id(f): (f.rule, frozenset(f.handles)) if f.handles else None for f in right},
    )
    take({id(f): (f.rule, f.message, f.where) for f in left}, {id(f): (f.rule, f.message, f.where) for f in right})
    for finding in list(left):  # one rule, and something in common: what it tells together depends on the file's order
        about = {to.get(h, h) for h in finding.handles}
        other = next((f for f in right if f.rule == finding.rule and about & set(f.handles)), None)
        if other is not None:
            pairs.append((finding, other))
            left.remove(finding)
            right.remove(other)
    return pairs, left, right


def finding_changes(gone: Sequence[Finding], come: Sequence[Finding]) -> Iterator[Change]:
    for sort, some in ((Sort.FINDING_NEW, come), (Sort.FINDING_GONE, gone)):
        for f in some:
            own = Seat(f.handles, f.layout, f.at)
            new = sort is Sort.FINDING_NEW
            fact = Fact(str(f.level), None if new else f.message, f.message if new else None)
            yield Change(sort, f.rule, f.view, (fact,), Seat() if new else own, own if new else Seat(), f.where)
