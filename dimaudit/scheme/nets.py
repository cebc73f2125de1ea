"""What is stated along each axis of a part: levels as nodes, dimensions as steps between them."""

from collections import defaultdict
from collections.abc import Sequence
from fractions import Fraction

from dimaudit.model.scheme import Implied, Net, Node, Place, Step
from dimaudit.scheme.joined import Joined
from dimaudit.scheme.relation import HALF, Relation, Shape

Key = tuple[int, int]
"""An axis of a view: identity of the view, and 0 or 1."""
Frame = tuple[Key, Fraction, Fraction]
"""The first axis that shares the levels, and how a coordinate c of it is written here: factor * c + shift."""


def nets_of(places: Sequence[Place], relations: Sequence[Relation]) -> tuple[Net, ...]:
    """The nets of a system; axes that views share are one."""
    frames = _frames(places, relations)
    root = _levels(len(places), relations)
    members: dict[int, list[int]] = defaultdict(list)
    for i, place in enumerate(places):
        if place.axis < 2:
            members[root[i]].append(i)
    nodes: dict[Key, list[Node]] = defaultdict(list)
    where: dict[int, tuple[Key, int]] = {}
    for top, own in members.items():
        place = places[own[0]]
        first, factor, shift = frames[id(place.view), place.axis]
        where[top] = first, len(nodes[first])
        nodes[first].append(Node((place.value - shift) / factor, tuple(places[i] for i in own)))
    steps: dict[Key, list[Step]] = defaultdict(list)
    for relation in relations:
        if relation.shape is Shape.DIFFERENCE and relation.given and places[relation.of[0]].axis < 2:
            (key, a), (other, b) = (where[root[i]] for i in relation.of)
            if key == other and nodes[key][a].at != nodes[key][b].at:
                low, high = sorted((a, b), key=lambda n: nodes[key][n].at)
                steps[key].append(Step(relation.given, low, high))
    for relation in relations:
        if relation.shape is Shape.BETWEEN and not relation.given and places[relation.of[0]].axis < 2:
            spots = [where[root[i]] for i in relation.of]
            if len({key for key, _ in spots}) == 1:
                key = spots[0][0]
                m, a, b = (n for _, n in spots)
                _between(m, a, b, relation, nodes[key], steps[key])
    return tuple(Net(key[1], tuple(own), tuple(steps[key])) for key, own in nodes.items())


def _between(m: int, a: int, b: int, relation: Relation, nodes: Sequence[Node], steps: list[Step]) -> None:
    """What a level that stands at a share of the way between two others adds: it is a part of what they are apart.

    Where it stands half-way, what is stated on one side holds on the other.
    """
    kind, f = Implied[relation.says], relation.factor
    known = {(s.dimension, s.low, s.high) for s in steps}

    def add(step: Step, one: int, other: int, share: Fraction, again: int) -> None:
        low, high = (one, other) if nodes[one].at < nodes[other].at else (other, one)
        if nodes[one].at != nodes[other].at and (step.dimension, low, high) not in known:
            steps.append(Step(step.dimension, low, high, step.share * share, again, kind))

    for step in list(steps):
        ends = {step.low, step.high}
        if ends == {a, b}:
            add(step, a, m, f, step.again)
            add(step, m, b, 1 - f, step.again)
        elif f == HALF and ends in ({a, m}, {m, b}):
            again = step.again + (kind is Implied.EQUAL)
            add(step, m, b if ends == {a, m} else a, Fraction(1), again)


def _levels(count: int, relations: Sequence[Relation]) -> list[int]:
    """Unknowns that are on one level, each by one of them."""
    level: Joined[int] = Joined()
    for relation in relations:
        if not relation.given and relation.shape in (Shape.DIFFERENCE, Shape.SHARED):
            level.join(*relation.of)
    for relation in relations:  # the middle of a level edge is on its level
        if not relation.given and relation.shape is Shape.BETWEEN:
            m, a, b = relation.of
            if level.of(a) == level.of(b):
                level.join(m, a)
    return [level.of(i) for i in range(count)]


def _frames(places: Sequence[Place], relations: Sequence[Relation]) -> dict[Key, Frame]:
    """How the coordinates along each axis of each view are written, by the first axis that shares its levels."""
    beside: dict[Key, dict[Key, tuple[Fraction, Fraction]]] = defaultdict(dict)
    order: dict[Key, None] = {}
    for place in places:
        if place.axis < 2:
            order[id(place.view), place.axis] = None
    for relation in relations:
        if relation.given or relation.shape not in (Shape.DIFFERENCE, Shape.SHARED):
            continue
        a, b = (places[i] for i in relation.of)
        one, other = (id(a.view), a.axis), (id(b.view), b.axis)
        if one != other and 2 not in (a.axis, b.axis) and other not in beside[one]:
            factor = relation.factor if relation.shape is Shape.SHARED else Fraction(1)
            beside[one][other] = (factor, b.value - factor * a.value)
            beside[other][one] = (1 / factor, a.value - b.value / factor)
    frames: dict[Key, Frame] = {}
    for key in order:
        if key in frames:
            continue
        frames[key] = (key, Fraction(1), Fraction(0))
        front = [key]
        while front:
            one = front.pop()
            first, factor, shift = frames[one]
            for other, (by, off) in beside[one].items():
                if other not in frames:
                    frames[other] = (first, by * factor, by * shift + off)
                    front.append(other)
    return frames
