"""Views of one part, with what is stated on them, to a `Scheme`: what is held, what is free, what is held twice."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import cos, hypot, pi, sin

from dimaudit.model.attached import Attached
from dimaudit.model.drawing import Arc, Circle, Kind, LineRole, Point
from dimaudit.model.projection import Projection
from dimaudit.model.scheme import Free, Implied, Loop, Place, Scheme, Symmetry
from dimaudit.model.view import View
from dimaudit.scheme.build import System, add_dimension, add_linework
from dimaudit.scheme.detail import detail_of, link_detail
from dimaudit.scheme.joined import Joined
from dimaudit.scheme.nets import nets_of
from dimaudit.scheme.rank import GROUND, MOST_ROWS, Rank, circuit, following, rank_of
from dimaudit.scheme.relation import HALF, Relation, Shape
from dimaudit.scheme.symmetry import add_symmetry
from dimaudit.scheme.witness import confirmed, still_loops

HARDLY = 3
"""Where more than this many times as many sizes are missing as are stated, a view is a picture, or one that another
print dimensions (common practice, no source)."""

PATTERN = 3
"""Holes on one pitch circle that are a pattern, which is counted; two are a pair about a centreline (our own rule)."""

Details = Mapping[int, tuple[View, Fraction, Point]]
"""By the identity of a detail view: the view it shows a part of, its enlargement, its shift (`detail_of`)."""


@dataclass(frozen=True, slots=True)
class Given:
    """One dimension that holds something: it is attached, and no reference."""

    attached: Attached
    count: int = 1
    """How many equal features it sizes ('4X')."""
    typical: bool = False
    """'TYP': all of its size."""


@dataclass(frozen=True, slots=True)
class Sized:
    """Circles and arcs of a view whose size a note gives."""

    view: View
    rounds: tuple[tuple[Point, Fraction], ...]
    """Centre and radius of each; the first is sized, the others are as large."""
    handle: str
    """Of the note."""


@dataclass(frozen=True, slots=True)
class Placed:
    """A distance along one axis between two levels of a view that a note or a table states."""

    view: View
    axis: int
    levels: tuple[Fraction, Fraction]
    """Recovered."""
    handle: str
    """Of the note."""


@dataclass(frozen=True, slots=True)
class Built:
    """The system of a part before anything is said of it: unknowns, relations, and what stands still."""

    views: tuple[View, ...]
    system: System
    relations: tuple[Relation, ...]
    """What is firmly implied, what is given, and then what yields to it: patterns and symmetry."""
    firm: int
    """How many of the relations are firmly implied or given."""
    values: tuple[Fraction, ...]
    """The drawn values of the unknowns: the witness."""
    held: tuple[int, ...]
    """One unknown along each axis that stands still, with all that is tied to it."""
    details: Details
    taken: tuple[Implied, ...]
    symmetries: tuple[Symmetry, ...] = ()

    @property
    def places(self) -> Sequence[Place]:
        """What the unknowns are."""
        return self.system.places


def analyse(
    views: Sequence[View],
    given: Iterable[Given],
    links: Sequence[Projection],
    details: Details | None = None,
    sized: Iterable[Sized] = (),
    taken: Iterable[Implied] = Implied,
) -> Scheme:
    """The scheme of views that show one part: one view, or several in line (`links`), or enlarged (`details`)."""
    return scheme_of(build(views, given, links, details, sized, taken))


def build(
    views: Sequence[View],
    given: Iterable[Given],
    links: Sequence[Projection],
    details: Details | None = None,
    sized: Iterable[Sized] = (),
    taken: Iterable[Implied] = Implied,
    placed: Iterable[Placed] = (),
) -> Built:
    """The unknowns and the relations of views that show one part."""
    details = details or {}
    system = System(frozenset(taken))
    for view in views:
        add_linework(system, view)
    for link in links:
        _project(system, link)
    turned = _turned(system, links)
    for view in views:
        if id(view) in details:
            main, enlarged, shift = details[id(view)]
            link_detail(system, view, main, enlarged, shift)
            turned += [((id(main), axis), (id(view), axis)) for axis in (0, 1)]
    known = {id(view): view for view in views}
    for one in given:
        add_dimension(system, one.attached)
        if (one.count > 1 or one.typical) and one.attached.view is not None:
            _equal(system, known[id(one.attached.view)], one)
    for note in sized:
        _note(system, note)
    for note_of in placed:
        _place(system, note_of)
    late = System(frozenset(taken), system.places, points=system.points, radii=system.radii)
    symmetries: list[Symmetry] = []
    for view in views:
        symmetries += add_symmetry(late, view, _patterns(late, view))
    firm = system.implied + system.given
    relations = firm + late.implied
    values = [place.value for place in system.places]
    held = _held(system.places, relations, _axis_classes(views, links, turned), values)
    return Built(
        tuple(views), system, tuple(relations), len(firm), tuple(values), held, details, tuple(taken),
        tuple(symmetries),
    )  # fmt: skip


def scheme_of(built: Built) -> Scheme:
    """What is held, what is free, and what is held twice."""
    places, relations, values, held = built.places, built.relations, built.values, built.held
    firm = relations[: built.firm]
    told = len(firm) == len(relations)  # the loops are in the same rank then
    rank = rank_of(len(values), relations, values, held, told=told)
    turning = _turning(places, relations, values, held, rank)
    if turning:
        held = (*held, _lever(relations, rank, turning))
        rank = rank_of(len(values), relations, values, held, told=told)
    moving = confirmed(len(values), relations, values, held, rank)
    free, missing = _free(places, rank, moving, built.details, _touched(built, rank))
    stated = len({relation.given for relation in relations if relation.given})
    why_not = ""
    many = missing if 2 * missing <= HARDLY * stated else max(missing, _without_symmetry(built, held))
    if many > HARDLY * stated:
        missing = many
        why_not = f"hardly dimensioned (sizes stated: {stated}, missing: {missing})"
        free = ()
    unsure = (rank.clouded | rank.doubtful.keys() - moving) - {GROUND}
    firm_rank = rank if told else rank_of(len(values), firm, values, held)
    return Scheme(
        views=built.views, unknowns=len(values), rank=rank.rank, rigid=len(held), missing=missing,
        free=free, loops=_loops(firm, firm_rank, values),
        taken=tuple(sorted(_implied(relations), key=list(Implied).index)),
        left_out=tuple(built.system.left_out), why_not=why_not,
        unsure=tuple(p for p, t in zip(places, rank.trees, strict=True) if t in unsure and not p.helper),
        nets=nets_of(places, relations), symmetries=built.symmetries,
    )  # fmt: skip


def _without_symmetry(built: Built, held: Sequence[int]) -> int:
    """How many sizes are missing where centrelines say nothing: a picture of a symmetrical part is a picture, too."""
    kept = [r for r in built.relations if r.given or r.says != Implied.SYMMETRIC.name or r.shape is Shape.IN_STEP]
    rank = rank_of(len(built.values), kept, built.values, held, told=False)
    moving = frozenset(t for m in rank.motions for t in m.moves)
    return _free(built.places, rank, moving, built.details, _touched(built, rank))[1]


def _touched(built: Built, rank: Rank) -> frozenset[int]:
    """Trees of which nothing is claimed: an end of a dimension that is left out, and lines that just stop."""
    ends = built.system.loose
    firm = {t for i, (p, t) in enumerate(zip(built.places, rank.trees, strict=True)) if not p.helper and i not in ends}
    return frozenset({rank.trees[i] for i in built.system.touched} | {rank.trees[i] for i in ends} - firm)


Class = tuple[int, int]
"""An axis of a view: identity of the view, and 0 or 1."""


def _project(system: System, link: Projection) -> None:
    """Levels that both views have are one; of each level one point in each view stands for it.

    A level without a partner may be the outline of a hole or a boss that the other view shows as a circle.
    """
    axis = link.axis
    views = (link.first, link.second)
    levels = [system.levels(view, axis) for view in views]
    for level, index in levels[0].items():
        if level in levels[1]:
            system.imply(Implied.PROJECTED, Shape.DIFFERENCE, index, levels[1][level])
    for round_view, side in ((0, 1), (1, 0)):
        view = views[round_view]
        for shape in view.shapes:
            if not isinstance(shape, (Arc, Circle)) or shape.origin.role is LineRole.CENTRE:
                continue
            centre, r = view.place(shape.centre), view.radius(shape.radius).value
            for level in (centre[axis] - r, centre[axis] + r):
                if level in levels[side] and level not in levels[round_view]:
                    c = system.point(view, centre)[axis]
                    system.imply(Implied.PROJECTED, Shape.IN_STEP, levels[side][level], c, system.radius(view, shape))


def _turned(system: System, links: Sequence[Projection]) -> list[tuple[Class, Class]]:
    """A view above and a view beside a third one share the third direction, turned by a quarter.

    Which way it runs depends on the projection (first or third angle); the way in which the levels agree is taken.
    """
    found = []
    beside: dict[int, list[View]] = defaultdict(list)
    for link in links:
        if link.axis == 1:
            beside[id(link.first)].append(link.second)
            beside[id(link.second)].append(link.first)
    for link in links:
        if link.axis == 0:
            for above, corner in ((link.first, link.second), (link.second, link.first)):
                found += [((id(above), 1), (id(b), 0)) for b in beside[id(corner)] if _turn(system, above, b)]
    return found


def _turn(system: System, a: View, b: View) -> bool:
    """Shares the heights of `a` with the widths of `b` where both are as deep and one's levels are all in the other."""
    depths, widths = system.levels(a, 1), system.levels(b, 0)
    low, high = (min(depths), max(depths)) if depths else (Fraction(0), Fraction(0))
    left, right = (min(widths), max(widths)) if widths else (Fraction(0), Fraction(0))
    if high - low != right - left or high == low:
        return False
    ways = []
    for sign in (1, -1):
        across = {y: left + (y - low if sign > 0 else high - y) for y in depths}
        ways.append((sign, [(depths[y], widths[w]) for y, w in across.items() if w in widths]))
    sign, pairs = max(ways, key=lambda way: len(way[1]))
    if len(pairs) < min(len(depths), len(widths)):
        pairs = [pair for pair in pairs if system.places[pair[0]].value in (low, high)]
    for depth, width in pairs:
        system.imply(Implied.PROJECTED, Shape.SHARED, depth, width, factor=Fraction(sign))
    return True


def _equal(system: System, view: View, one: Given) -> None:
    """Circles, or arcs, of one size under one 'nX', where there are just so many."""
    own = next(
        (s for end in one.attached.ends if end.feature for s in end.feature.shapes if isinstance(s, (Arc, Circle))),
        None,
    )
    if one.attached.dimension.kind in (Kind.LINEAR, Kind.ALIGNED):
        _steps(system, view, one)
    if own is None or one.attached.dimension.kind not in (Kind.RADIUS, Kind.DIAMETER, Kind.JOGGED_RADIUS):
        return
    value = view.radius(own.radius).value
    alike = {
        system.radius(view, s)
        for s in view.shapes
        if type(s) is type(own) and isinstance(s, (Arc, Circle)) and s.origin.role is not LineRole.CENTRE
        and view.radius(s.radius).value == value
    }  # fmt: skip
    first = system.radius(view, own)
    for other in sorted(alike - {first}):  # where there are more or fewer than counted, that is a finding of its own
        system.imply(Implied.EQUAL, Shape.DIFFERENCE, first, other)


def _note(system: System, note: Sized) -> None:
    rounds = [system.radii[key] for at, r in note.rounds if (key := (id(note.view), at, r)) in system.radii]
    if rounds:
        system.given.append(Relation(Shape.SIZE, (rounds[0],), note.handle, note.handle))
        for other in rounds[1:]:
            system.imply(Implied.EQUAL, Shape.DIFFERENCE, rounds[0], other)


def _place(system: System, note: Placed) -> None:
    known = system.levels(note.view, note.axis)
    first, second = (known.get(level) for level in note.levels)
    if first is not None and second is not None:
        system.given.append(Relation(Shape.DIFFERENCE, (first, second), note.handle, note.handle))


def _steps(system: System, view: View, one: Given) -> None:
    """'3X 1.000' on one of equal steps in a row, or '8X 20 (=160)' over all of them: the levels keep step."""
    relation = system.given[-1] if system.given else None
    if relation is None or relation.given != one.attached.dimension.handle or relation.shape is not Shape.DIFFERENCE:
        return
    a, b = relation.of
    axis, low, high = system.places[a].axis, system.places[a].value, system.places[b].value
    levels = system.levels(view, axis)
    inner = [low + (high - low) * k / one.count for k in range(1, one.count)]
    if inner and all(level in levels for level in inner):
        for k, level in enumerate(inner, 1):
            system.imply(Implied.EQUAL, Shape.BETWEEN, levels[level], a, b, factor=Fraction(k, one.count))
        return
    onward = [high + (high - low) * k for k in range(1, one.count)]
    back = [low - (high - low) * k for k in range(1, one.count)]
    for row, before, last in ((onward, a, b), (back, b, a)):
        if all(level in levels for level in row):
            for level in row:
                system.imply(Implied.EQUAL, Shape.BETWEEN, last, before, levels[level], factor=HALF)
                before, last = last, levels[level]
            return


def _patterns(system: System, view: View) -> set[Point]:
    """Holes at equal angles on a drawn pitch circle keep their places on it; the places."""
    found: set[Point] = set()
    for pitch in view.shapes:
        if not isinstance(pitch, Circle) or pitch.origin.role is not LineRole.CENTRE:
            continue
        centre, radius = view.place(pitch.centre), view.radius(pitch.radius).value
        own = system.in_view(view).get(centre)
        on = [h.centre for h in view.holes if _apart(h.centre, centre, radius) <= view.xs.snap and h.centre != centre]
        if own is None or len(on) < 2 or not _evenly(on, centre, radius, view.xs.snap):
            continue
        r = system.radius(view, pitch)
        found.update(on if len(on) >= PATTERN else ())
        for at in on:
            p = system.in_view(view)[at]
            for axis in (0, 1):
                system.imply(Implied.SYMMETRIC, Shape.IN_STEP, p[axis], own[axis], r)
    return found


def _apart(p: Point, centre: Point, radius: Fraction) -> float:
    dx, dy = float(p[0] - centre[0]), float(p[1] - centre[1])
    return abs(hypot(dx, dy) - float(radius))


def _evenly(on: Sequence[Point], centre: Point, radius: Fraction, snap: float) -> bool:
    """Whether points on a circle stand at equal angles, as near as the snap distance sees it."""
    turn, r = 2 * pi / len(on), float(radius)
    cx, cy = float(centre[0]), float(centre[1])
    spots = [(float(p[0]) - cx, float(p[1]) - cy) for p in on]
    for x, y in spots:
        tx, ty = x * cos(turn) - y * sin(turn), x * sin(turn) + y * cos(turn)
        if not any(abs(tx - u) <= 10 * snap + 1e-9 * r and abs(ty - v) <= 10 * snap + 1e-9 * r for u, v in spots):
            return False
    return True


def _axis_classes(
    views: Sequence[View], links: Sequence[Projection], turned: Sequence[tuple[Class, Class]]
) -> dict[Class, Class]:
    """Axes that views in line share, each by one of them."""
    shared = Joined(turned)
    for link in links:
        shared.join((id(link.first), link.axis), (id(link.second), link.axis))
    return {(id(v), axis): shared.of((id(v), axis)) for v in views for axis in (0, 1)}


def _held(
    places: Sequence[Place], relations: Sequence[Relation], classes: dict[Class, Class], values: Sequence[Fraction]
) -> tuple[int, ...]:
    """One unknown of the largest tree along each axis: it stands still, and the rest is held or free against it.

    Of trees as large as each other the leftmost or lowest is taken, so that the order of the file does not matter.
    """
    trees = rank_of(len(values), [r for r in relations if r.shape is Shape.DIFFERENCE], values, told=False).trees
    sizes: dict[Class, dict[int, int]] = defaultdict(lambda: defaultdict(int))
    lowest: dict[int, Point] = {}
    for place, tree in zip(places, trees, strict=True):
        if place.axis < 2:
            sizes[classes[id(place.view), place.axis]][tree] += 1
            first = (place.value, place.at[1 - place.axis])
            lowest[tree] = min(lowest.get(tree, first), first)
    return tuple(min(counts, key=lambda t: (-counts[t], lowest[t], t)) for counts in sizes.values())


def _turning(
    places: Sequence[Place], relations: Sequence[Relation], values: Sequence[Fraction], held: Sequence[int], rank: Rank
) -> dict[int, Fraction]:
    """The turn of the whole part that leaves what is held, by trees, where no relation hinders it; else empty.

    It can be one only where nothing is level: then each tree is one coordinate. A point's x stays where the pivot is
    as high as the point, and its y where the pivot is above or below it.
    """
    pivots = {places[i].axis: places[i].at[1 - places[i].axis] for i in held}
    if len(held) != 2 or len(pivots) != 2:
        return {}
    moves: dict[int, Fraction] = {}
    for i, place in enumerate(places):
        if place.axis == 2:
            speed = Fraction(0)
        else:
            other = place.at[1 - place.axis] - pivots[place.axis]
            speed = -other if place.axis == 0 else other
        tree = rank.trees[i]
        if moves.setdefault(tree, speed) != speed:
            return {}
    if moves.pop(GROUND, Fraction(0)) != 0:
        return {}
    speeds = [Fraction(0) if t == GROUND else moves[t] for t in rank.trees]
    for relation in relations:
        if sum((c * speeds[i] for i, c in relation.row(values).items()), Fraction(0)) != 0:
            return {}
    return {t: s for t, s in moves.items() if s}


def _lever(relations: Sequence[Relation], rank: Rank, turning: dict[int, Fraction]) -> int:
    """The unknown that is held too, so that the part does not turn: one that is tied to what is held already."""
    for relation in relations:
        if any(rank.trees[i] == GROUND for i in relation.of):
            for i in relation.of:
                if rank.trees[i] in turning:
                    return i
    return min(turning)  # a tree is named by one of its unknowns


def _free(
    places: Sequence[Place], rank: Rank, moving: frozenset[int], details: Details, touched: frozenset[int]
) -> tuple[tuple[Free, ...], int]:
    """Trees that some motion takes along, each with all its places; and how many motions do.

    What only a detail view shows is where it is broken off, or is shown in full elsewhere. What moves with an end of
    a dimension that is left out may be held by it, and how far a line goes that just stops is no feature: they count,
    and nothing is claimed of them.
    """
    members: dict[int, list[int]] = defaultdict(list)
    for i, tree in enumerate(rank.trees):
        members[tree].append(i)
    own: dict[int, tuple[Place, ...]] = {}
    for tree in sorted(moving - rank.clouded):
        shown = tuple(places[i] for i in members[tree] if not places[i].helper and id(places[i].view) not in details)
        if shown:
            own[tree] = shown
    motions = [{t: s for t, s in m.moves.items() if t in own} for m in rank.motions]
    firsts = _firsts(motions, own, touched)
    speeds: dict[int, list[tuple[int, Fraction]]] = defaultdict(list)
    for k, moves in enumerate(motions):
        for tree, speed in moves.items():
            speeds[tree].append((k, speed))
    return tuple(
        Free(shown, shown[0].axis, tree not in firsts, firsts.get(tree, 0), tuple(speeds[tree]))
        for tree, shown in own.items() if tree not in touched
    ), len(firsts)  # fmt: skip


def _firsts(
    motions: Sequence[dict[int, Fraction]], own: Mapping[int, Sequence[Place]], touched: frozenset[int]
) -> dict[int, int]:
    """One tree for each independent motion, which the other trees follow, and how many follow it.

    Touched ones come first: what is left then moves without them. A size is missing before a place, and what has many
    places before a corner. The motions are changed: each of the trees is left with one of its own.
    """
    users: dict[int, set[int]] = defaultdict(set)
    for k, moves in enumerate(motions):
        for tree in moves:
            users[tree].add(k)
    firsts: dict[int, int] = {}
    for k, moves in enumerate(motions):
        if not moves:
            continue
        first = min(moves, key=lambda t: (t not in touched, own[t][0].axis != 2, -len(own[t]), t))
        for other in sorted(users[first] - {k}):
            share = motions[other][first] / moves[first]
            for tree, speed in moves.items():
                left = motions[other].get(tree, Fraction(0)) - share * speed
                if left:
                    motions[other][tree] = left
                    users[tree].add(other)
                elif tree in motions[other]:
                    del motions[other][tree]
                    users[tree].discard(other)
        firsts[first] = k
    return {first: len(motions[k]) - 1 for first, k in firsts.items()}


def _loops(relations: Sequence[Relation], rank: Rank, values: Sequence[Fraction]) -> tuple[Loop, ...]:
    """Where more is stated than needed: each loop, by the last of the dimensions in it.

    What the linework alone implies twice is no fault of the dimensions.
    """
    found: list[Loop] = []
    bent: list[list[int]] = []
    for surplus in rank.surplus:
        own = relations[surplus.relation]
        if own.shape is Shape.DIFFERENCE:
            if own.given:
                found.append(_chain(own, [relations[k] for k in surplus.by], values))
        elif {surplus.relation, *surplus.by}.isdisjoint(rank.unsure):
            members = sorted({surplus.relation, *circuit(surplus, relations, values)})
            if not any(relations[k].given for k in members):
                continue
            enlarged = _through_detail(members, relations, values)
            if enlarged is not None:
                found.append(enlarged)
            else:
                bent.append(members)
    bent = _stated_loops(bent, relations, values)
    doubtful = [m for m in bent if any(rank.trees[i] in rank.doubtful for k in m for i in relations[k].of)]
    special = []
    if doubtful:
        still = still_loops(len(values), relations, values, rank, doubtful)
        special = [members for members, holds in zip(doubtful, still, strict=True) if not holds]
    return (*found, *(_bent(members, relations) for members in bent if members not in special))


def _stated_loops(
    bent: Sequence[Sequence[int]], relations: Sequence[Relation], values: Sequence[Fraction]
) -> list[list[int]]:
    """The loops by the dimensions that close them.

    Where what is implied follows from itself, as the ends of a slot are as wide as each other, one dimension too many
    makes one loop, and not one more for each way around.
    """
    owner: dict[int, int] = {}
    sets: dict[int, tuple[set[int], list[Sequence[int]]]] = {}
    for n, members in enumerate(bent):
        own, loops = set(members), [members]
        tying = (k for k in members if relations[k].given or relations[k].shape is not Shape.DIFFERENCE)
        tied = {owner[k] for k in tying if k in owner}
        for other in sorted(tied):
            also, more = sets.pop(other)
            own, loops = own | also, [*more, *loops]
        sets[n] = own, loops
        owner.update(dict.fromkeys(own, n))
    found: list[list[int]] = []
    for own, loops in sets.values():
        if len(loops) == 1 or len(own) > MOST_ROWS:
            found += map(list, loops)
            continue
        by = following(sorted(own, key=lambda k: (bool(relations[k].given), k)), relations, values)
        found += (sorted({k, *row}) for k, row in by.items() if relations[k].given)
    return found


def _bent(members: Sequence[int], relations: Sequence[Relation]) -> Loop:
    """A loop of other relations than differences: there is no sum to it."""
    given = list(dict.fromkeys(relations[k].given for k in members if relations[k].given))
    implied = tuple(sorted(_implied(relations[k] for k in members)))
    return Loop(given[-1], tuple((handle, 0) for handle in given[:-1]), implied, False)


def _through_detail(members: Sequence[int], relations: Sequence[Relation], values: Sequence[Fraction]) -> Loop | None:
    """A loop of differences in views of several scales: at true size they can be summed; None where it is none."""
    if any(relations[k].shape not in (Shape.DIFFERENCE, Shape.SHARED) for k in members):
        return None
    given = [k for k in members if relations[k].given]
    own, left = relations[given[-1]], [relations[k] for k in members if k != given[-1]]
    at = own.of[1]
    ways: dict[str, int] = {}
    turn = 1  # -1 where a view is turned, so that its levels run the other way
    while left:
        step = next((r for r in left if at in r.of), None)
        if step is None:
            return None
        left.remove(step)
        forward = step.of[0] == at
        at = step.of[1] if forward else step.of[0]
        if step.shape is Shape.SHARED:
            turn *= 1 if step.factor > 0 else -1
        elif step.given:
            rising = values[step.of[1]] >= values[step.of[0]]
            ways[step.given] = (1 if forward == rising else -1) * turn
    if at != own.of[0] or len(ways) < len(given) - 1:
        return None
    back = -1 if values[own.of[1]] >= values[own.of[0]] else 1
    implied = tuple(sorted({Implied[relations[k].says] for k in members if not relations[k].given}))
    return Loop(own.given, tuple((handle, way * back) for handle, way in ways.items()), implied, True)


def _chain(own: Relation, others: Sequence[Relation], values: Sequence[Fraction]) -> Loop:
    """A loop of differences: the others lead from one end of the surplus dimension to the other."""
    steps = []
    at, whole = own.of[0], values[own.of[1]] >= values[own.of[0]]
    for relation in others:
        forward = relation.of[0] == at
        at = relation.of[1] if forward else relation.of[0]
        if relation.given:
            rising = values[relation.of[1]] >= values[relation.of[0]]
            steps.append((relation.given, 1 if (forward == rising) == whole else -1))
    return Loop(own.given, tuple(steps), tuple(sorted(_implied(others))), True)


def _implied(relations: Iterable[Relation]) -> set[Implied]:
    """What was taken as implied for them."""
    return {Implied[kind] for kind in {r.says for r in relations if not r.given}}


def groups(
    views: Sequence[View], links: Sequence[Projection], details: Details
) -> list[tuple[list[View], list[Projection]]]:
    """Views that show one part, being in line or enlarged, directly or through others, with what links them."""
    part = Joined((id(link.first), id(link.second)) for link in links)
    for detail, (main, _, _) in details.items():
        part.join(detail, id(main))
    found: dict[int, tuple[list[View], list[Projection]]] = defaultdict(lambda: ([], []))
    for view in views:
        found[part.of(id(view))][0].append(view)
    for link in links:
        found[part.of(id(link.first))][1].append(link)
    return list(found.values())


__all__ = ["Built", "Given", "Placed", "Sized", "analyse", "build", "detail_of", "groups", "scheme_of"]
