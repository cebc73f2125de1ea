"""What of the linework moved, grew, went and came: as a drafter would say it.

A line that moved square to itself is an edge on another level; the ends of other lines that went along are told with
it. Circles and arcs of one size that moved alike are one change.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from dimaudit.compare.laid import middle
from dimaudit.compare.seats import seat
from dimaudit.compare.shapes import Paired, way
from dimaudit.compare.shared import Shared, bounds
from dimaudit.compare.views import Couple
from dimaudit.model.compared import Change, Fact, Seat, Sort
from dimaudit.model.drawing import Arc, Circle, Curve, LineRole, Mark, Point, Segment, Shape
from dimaudit.model.geometry import Feature, FeatureKind
from dimaudit.model.units import Unit
from dimaudit.model.view import View
from dimaudit.text.places import feature_text, size_text

ZERO = Fraction(0)
Vector = tuple[Fraction, Fraction]
MOST_PLACES = 12
"""Places that are listed of things that moved alike; how many more there are is said."""


@dataclass(slots=True)
class _Level:
    """A level that moved: the edges on it, and the ends of other lines."""

    edges: list[tuple[Shape, Shape]] = field(default_factory=list)
    ends: list[tuple[Shape, Shape]] = field(default_factory=list)


@dataclass(slots=True)
class _Alike:
    """Things that moved alike."""

    move: Vector
    pairs: list[tuple[Shape, Shape]] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Sheet:
    """What the words need: the layout, and the units of both drawings."""

    layout: str
    old_layout: str
    old_unit: Unit | None
    unit: Unit | None
    apart: Fraction
    """What lies no farther apart is one place."""


def feature_changes(couple: Couple, common: Shared, paired: Paired, sheet: Sheet) -> Iterator[Change]:
    """What changed of the linework of one view."""
    levels: dict[tuple[int, Fraction, Fraction], _Level] = defaultdict(_Level)
    rounds: dict[tuple[object, ...], _Alike] = {}
    slid: dict[tuple[object, ...], _Alike] = {}
    corners: dict[tuple[Point, Point], list[tuple[Shape, Shape]]] = defaultdict(list)
    for old, new in paired.changed:
        if old.origin.role is not new.origin.role:
            yield _role(couple, old, new, sheet)
        if isinstance(old, Segment) and isinstance(new, Segment):
            _line_moves(couple, common, old, new, levels, slid, corners, sheet.apart)
        elif isinstance(old, (Arc, Circle)) and isinstance(new, (Arc, Circle)):
            move = _move(couple, common, old, new)
            sized = common.radius(old.radius, True) != common.radius(new.radius, False)
            if sized or not any(move):
                yield from _resized(couple, common, old, new, move, sheet)
            else:
                look = type(new), new.origin.role, common.radius(new.radius, False), *_cell(move, sheet.apart)
                rounds.setdefault(look, _Alike(move)).pairs.append((old, new))
            yield from _other_ends(couple, common, old, new, sheet)
    yield from _levels(couple, {key: level for key, level in levels.items() if level.edges}, sheet)
    for alike in (*rounds.values(), *slid.values()):
        yield from _moved_alike(couple, alike.pairs, alike.move, sheet)
    yield from _levels(couple, {key: level for key, level in levels.items() if not level.edges}, sheet)
    for (was, now), some in corners.items():
        yield Change(
            Sort.FEATURE_MOVED, _counted(len(some), "end of a line", "ends of lines"), couple.new.name,
            _both(was, now), *_seats(couple, some, sheet, now),
        )  # fmt: skip
    yield from _alone(Sort.FEATURE_REMOVED, paired.gone, couple.old, sheet.old_layout, sheet.old_unit, couple)
    yield from _alone(Sort.FEATURE_ADDED, paired.come, couple.new, sheet.layout, sheet.unit, couple)


def _line_moves(
    couple: Couple, common: Shared, old: Segment, new: Segment,
    levels: dict[tuple[int, Fraction, Fraction], _Level], slid: dict[tuple[object, ...], _Alike],
    corners: dict[tuple[Point, Point], list[tuple[Shape, Shape]]], apart: Fraction,
) -> None:  # fmt: skip
    (ax, ay, bx, by), old = way(old, common, True)
    (cx, cy, dx, dy), new = way(new, common, False)
    ends = [(couple.laid.place(couple.old.place(old.a)), couple.new.place(new.a)),
            (couple.laid.place(couple.old.place(old.b)), couple.new.place(new.b))]  # fmt: skip
    moves = [_less(now, was, (i != k, j != m)) for (was, now), (i, j, k, m) in
             zip(ends, ((ax, ay, cx, cy), (bx, by, dx, dy)), strict=True)]  # fmt: skip
    pair = old, new
    square = 0 if ax == bx and cx == dx else 1 if ay == by and cy == dy else None
    along = None if square is None else 1 - square
    if square is not None and moves[0][square]:
        levels[square, ends[0][0][square], ends[0][1][square]].edges.append(pair)
    x, y = (moves[0][axis] if along in (None, axis) else ZERO for axis in (0, 1))
    if (x or y) and all(abs(a - b) <= 2 * apart for a, b in zip(*moves, strict=True)):
        slid.setdefault(_cell((x, y), apart), _Alike((x, y))).pairs.append(pair)
        return
    for (was, now), move in zip(ends, moves, strict=True):
        moved = [axis for axis in (0, 1) if move[axis] and axis != square]
        if len(moved) == 2:
            corners[was, now].append(pair)
        elif moved:
            levels[moved[0], was[moved[0]], now[moved[0]]].ends.append(pair)


def _less(now: Point, was: Point, differs: tuple[bool, bool]) -> Vector:
    """By how much a place moved: nothing along an axis on which it still has the same name."""
    x, y = (b - a if moved else ZERO for a, b, moved in zip(was, now, differs, strict=True))
    return x, y


def _cell(move: Vector, apart: Fraction) -> tuple[int, int]:
    """What moves are alike by; the noise of the files is in them."""
    return round(move[0] / apart), round(move[1] / apart)


def _move(couple: Couple, common: Shared, old: Arc | Circle, new: Arc | Circle) -> Vector:
    (ax, ay), (bx, by) = common.point(old.centre, True), common.point(new.centre, False)
    was, now = couple.laid.place(couple.old.place(old.centre)), couple.new.place(new.centre)
    return _less(now, was, (ax != bx, ay != by))


def _levels(
    couple: Couple, levels: Mapping[tuple[int, Fraction, Fraction], _Level], sheet: Sheet
) -> Iterator[Change]:
    for (axis, was, now), level in levels.items():
        many = len(level.ends)
        ends = _counted(many, "end of a line", "ends of lines")
        if level.edges:
            old, new = level.edges[0]
            others = len(level.edges) - 1
            subject = name(new, couple.new, sheet.unit) + (f" and {_counted(others, 'line')} in line" if others else "")
            why = (f"with it {ends}",) if many else ()
        else:
            old, new = level.ends[0]
            subject, why = ends, ()
        facts = (Fact("xy"[axis], was, now),)
        yield Change(
            Sort.FEATURE_MOVED, subject, couple.new.name, facts, *_seats(couple, [*level.edges, *level.ends], sheet),
            where=_was(old, name(new, couple.new, sheet.unit), couple, sheet) if level.edges else "", why=why,
        )  # fmt: skip


def _was(old: Shape, now: str, couple: Couple, sheet: Sheet) -> str:
    was = name(old, couple.old, sheet.old_unit)
    return "" if was == now else f"formerly {was}"


def _moved_alike(
    couple: Couple, some: Sequence[tuple[Shape, Shape]], move: Vector, sheet: Sheet
) -> Iterator[Change]:
    one = some[0][1]
    seats = _seats(couple, some, sheet)
    subject = name(one, couple.new, sheet.unit)
    if len(some) > 1:
        subject = f"{len(some)} lines" if isinstance(one, Segment) else f"{len(some)} × {subject}"
    if len(some) == 1:
        was, now = couple.laid.place(middle(some[0][0], couple.old)), middle(one, couple.new)
        facts = tuple(f for f, by in zip(_both(was, now), move, strict=True) if by)
        yield Change(Sort.FEATURE_MOVED, subject, couple.new.name, facts, *seats)
        return
    facts = tuple(Fact(axis, None, None, moved=by) for axis, by in zip("xy", move, strict=True) if by)
    listed = [_at(middle(new, couple.new), sheet.unit) for _, new in some[:MOST_PLACES]]
    more = [f"and {len(some) - MOST_PLACES} more"] if len(some) > MOST_PLACES else []
    yield Change(
        Sort.FEATURE_MOVED, subject, couple.new.name, facts, *seats, why=(f"now at {', '.join([*listed, *more])}",)
    )


def _resized(
    couple: Couple, common: Shared, old: Arc | Circle, new: Arc | Circle, move: Vector, sheet: Sheet
) -> Iterator[Change]:
    facts: list[Fact] = []
    if common.radius(old.radius, True) != common.radius(new.radius, False):
        was, now = couple.old.radius(old.radius).value * couple.laid.factor, couple.new.radius(new.radius).value
        twice = 2 if isinstance(new, Circle) else 1
        facts.append(Fact("diameter" if twice == 2 else "radius", was * twice, now * twice))
    centre = couple.laid.place(couple.old.place(old.centre)), couple.new.place(new.centre)
    facts += [f for f, by in zip(_both(*centre), move, strict=True) if by]
    if facts:
        yield Change(
            Sort.FEATURE_RESIZED, name(new, couple.new, sheet.unit), couple.new.name, tuple(facts),
            *_seats(couple, [(old, new)], sheet), where=f"at {_at(centre[1], sheet.unit)}",
        )  # fmt: skip


def _other_ends(
    couple: Couple, common: Shared, old: Shape, new: Shape, sheet: Sheet
) -> Iterator[Change]:
    """An arc whose ends are other ones than the move and the growth of its circle make of them."""
    if not (isinstance(old, Arc) and isinstance(new, Arc)):
        return
    was, now, place = couple.old, couple.new, couple.laid.place
    sized = common.radius(old.radius, True) != common.radius(new.radius, False)
    r, q = was.radius(old.radius).value * couple.laid.factor, now.radius(new.radius).value
    times = q / r if sized and r else Fraction(1)
    move = _move(couple, common, old, new)
    apart = 2 * sheet.apart * max(times, Fraction(1)) if sized or any(move) else ZERO  # ends carry the noise of both
    (mx, my), facts = place(was.place(old.centre)), list[Fact]()
    for which, a, b in (("start", old.a, new.a), ("end", old.b, new.b)):
        if common.point(a, True) != common.point(b, False):
            x, y = place(was.place(a))
            carried = mx + move[0] + (x - mx) * times, my + move[1] + (y - my) * times
            both = _both(carried, now.place(b))
            facts += [Fact(f"{which}, {f.what}", f.old, f.new) for f in both if abs(f.by or ZERO) > apart]
    if facts:
        where = f"at {_at(now.place(new.centre), sheet.unit)}"
        yield Change(
            Sort.FEATURE_REDRAWN, name(new, now, sheet.unit), now.name, tuple(facts),
            *_seats(couple, [(old, new)], sheet), where=where,
        )  # fmt: skip


def _role(couple: Couple, old: Shape, new: Shape, sheet: Sheet) -> Change:
    return Change(
        Sort.FEATURE_REDRAWN, name(new, couple.new, sheet.unit), couple.new.name,
        (Fact("drawn as", old.origin.role.value, new.origin.role.value),), *_seats(couple, [(old, new)], sheet),
    )  # fmt: skip


def _alone(
    sort: Sort, shapes: Sequence[Shape], view: View, layout: str, unit: Unit | None, couple: Couple
) -> Iterator[Change]:
    """What is in one drawing only: circles of one size together, the rest one by one, or together where it is much."""
    circles: dict[tuple[object, ...], list[Shape]] = defaultdict(list)
    for shape in shapes:
        look = (shape.origin.role, view.radius(shape.radius).value) if isinstance(shape, Circle) else (id(shape),)
        circles[look].append(shape)
    gone = sort is Sort.FEATURE_REMOVED
    others = [shape for shape in shapes if not isinstance(shape, Circle)]
    if len(others) > MOST_PLACES:
        circles = {look: some for look, some in circles.items() if isinstance(some[0], Circle)}
        own = seat(others, view, layout)
        seats = (own, Seat()) if gone else (Seat(), own)
        low, high = bounds([middle(shape, view) for shape in others])
        yield Change(
            sort, f"{len(others)} lines, arcs and curves", view.name, (), *seats,
            where=f"their middles within {_at(low, unit)} and {_at(high, unit)}",
        )  # fmt: skip
    for some in circles.values():
        places = [couple.laid.place(middle(s, view)) if gone else middle(s, view) for s in some]
        subject = name(some[0], view, unit)
        facts: list[Fact] = []
        if isinstance(some[0], Circle):
            subject = subject if len(some) == 1 else f"{len(some)} × {subject}"
            size = view.radius(some[0].radius).value * 2 * (couple.laid.factor if gone else 1)
            facts = [Fact("diameter", size if gone else None, None if gone else size)]
        if len(some) == 1:
            facts += [Fact(a, *((v, None) if gone else (None, v))) for a, v in zip("xy", places[0], strict=True)]
            why: tuple[str, ...] = ()
        else:
            more = [f"and {len(places) - MOST_PLACES} more"] if len(places) > MOST_PLACES else []
            why = (f"at {', '.join([*(_at(p, None if gone else unit) for p in places[:MOST_PLACES]), *more])}",)
        own = seat(some, view, layout)
        yield Change(sort, subject, view.name, tuple(facts), own if gone else Seat(), Seat() if gone else own, why=why)


def _seats(
    couple: Couple, some: Sequence[tuple[Shape, Shape]], sheet: Sheet, at: Point | None = None
) -> tuple[Seat, Seat]:
    old = seat((s for s, _ in some), couple.old, sheet.old_layout)
    new = seat((s for _, s in some), couple.new, sheet.layout)
    return old, new if at is None else Seat(new.handles, new.layout, (float(at[0]), float(at[1])))


def _both(was: Point, now: Point) -> tuple[Fact, Fact]:
    return Fact("x", was[0], now[0]), Fact("y", was[1], now[1])


def _at(p: Point, unit: Unit | None) -> str:
    return f"({size_text(p[0], unit)}, {size_text(p[1], unit)})"


def _counted(many: int, one: str, more: str = "") -> str:
    return f"{many} {one if many == 1 else more or f'{one}s'}"


def name(shape: Shape, view: View, unit: Unit | None) -> str:
    """'Ø.281 circle', 'left edge', 'hidden vertical edge at x = 2.500', 'slanted edge from … to …'."""
    match shape:
        case Segment(_, a, _):
            return feature_text(Feature(FeatureKind.EDGE, view.place(a), a, (shape,)), view, unit)
        case Arc() | Circle():
            text = feature_text(Feature(FeatureKind.ARC, shape.centre, shape.centre, (shape,)), view, unit)
            role = "" if shape.origin.role is LineRole.OUTLINE else f", {shape.origin.role}"
            return text.removeprefix("the ") + role
        case Curve(_, points, _):
            low, high = bounds(points)
            return f"curve within {_at(low, unit)} and {_at(high, unit)}"
        case Mark():
            return "point"

