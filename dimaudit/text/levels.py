"""Levels of a part in words, and the other way round: a handle or a place by which a person names a feature."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction

from dimaudit.model.drawing import Arc, Circle, LineRole, Mark, Point, Segment
from dimaudit.model.scheme import Net, Node, Place, Scheme
from dimaudit.model.units import Unit
from dimaudit.model.view import View
from dimaudit.text.place_words import best_place, place_text
from dimaudit.text.places import size_text


def node_text(node: Node, unit: Unit | None, view: View | None = None, axis: int | None = None) -> str:
    """The level as a person would call it in a view: by an outer edge, else by a centre that stands on it."""
    place = node_place(node, view, axis)
    if place.at not in place.view.by_place:
        return f"the level at {'xy'[place.axis]} = {size_text(place.value, unit)}"
    return place_text(place, unit)


def node_place(node: Node, view: View | None = None, axis: int | None = None) -> Place:
    """The place by which a level is called: of that view, or of one that shows it along that axis, if there is one."""
    own = [p for p in node.places if view is None or p.view is view] or list(node.places)
    own = [p for p in own if axis is None or p.axis == axis] or own
    return best_place([p for p in own if not p.helper and p.at in p.view.by_place] or own)


def is_centre(place: Place) -> bool:
    """Whether a circle or an arc has its centre there."""
    return place.at in place.view.centres


@dataclass(frozen=True, slots=True)
class Level:
    """A node of one of a scheme's nets, as a view shows it."""

    scheme: Scheme
    net: Net
    node: int
    view: View


def levels_named(schemes: Iterable[Scheme], word: str, near: Fraction) -> list[Level]:
    """The levels that a handle of linework, or a place 'x,y' in drawing units, stands for.

    A handle stands for a circle's or an arc's centre, and for a straight edge's level across it. A place stands for
    the nearest feature, at most `near` away. Raises ValueError, with what to do, where nothing or more than one
    level along an axis is meant.
    """
    spots = list(_at_place(schemes, word, near) if "," in word else _by_handle(schemes, word))
    found: dict[tuple[int, int], Level] = {}
    for view, axis, value, scheme in spots:
        for net in scheme.nets:
            for k, node in enumerate(net.nodes):
                if any(p.view is view and p.axis == axis and p.value == value for p in node.places):
                    before = found.setdefault((id(net), axis), Level(scheme, net, k, view))
                    if before.node != k:
                        raise ValueError(f"{word} stands for several places along {'xy'[axis]}: give one as X,Y")
    if not found:
        raise ValueError(f"{word} is no line, arc, circle or place of a dimensioned view: give a handle, or X,Y")
    return list(found.values())


Spot = tuple[View, int, Fraction, Scheme]


def _by_handle(schemes: Iterable[Scheme], word: str) -> Iterator[Spot]:
    handle = word.strip().upper()
    for scheme in schemes:
        for view in scheme.views:
            for shape in view.shapes:
                if shape.origin.handle.upper() != handle:
                    continue
                match shape:
                    case Segment(_, a, b):
                        p, q = view.place(a), view.place(b)
                        yield from ((view, axis, p[axis], scheme) for axis in (0, 1) if p[axis] == q[axis])
                    case Arc(_, centre) | Circle(_, centre) | Mark(_, centre):
                        yield from ((view, axis, view.place(centre)[axis], scheme) for axis in (0, 1))
                    case _:
                        pass


def _at_place(schemes: Iterable[Scheme], word: str, near: Fraction) -> Iterator[Spot]:
    try:
        x, y = (Fraction(part.strip()) for part in word.split(","))
    except (ValueError, ZeroDivisionError):
        raise ValueError(f"{word!r} is no place: give X,Y in drawing units, as in 2.5,1") from None
    best: tuple[Fraction, View, Point, Scheme] | None = None
    for scheme in schemes:
        for view in scheme.views:
            for feature in view.points:
                if all(s.origin.role is LineRole.CENTRE for s in feature.shapes):
                    continue
                apart = (feature.at[0] - x) ** 2 + (feature.at[1] - y) ** 2
                if apart <= near * near and (best is None or apart < best[0]):
                    best = apart, view, feature.at, scheme
    if best is not None:
        _, view, at, scheme = best
        yield from ((view, axis, at[axis], scheme) for axis in (0, 1))
