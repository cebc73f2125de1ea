"""The linework of a part at other places."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from dimaudit.model.drawing import Arc, Circle, Curve, Mark, Point, Segment, Shape
from dimaudit.model.view import View
from dimaudit.scheme.analyse import Built


def redrawn(built: Built, values: Sequence[Fraction]) -> tuple[Shape, ...]:
    """Every shape of the views with its corners, centres and radii at the values of the unknowns.

    Centrelines follow the levels that they stand on; curves stay where they are drawn.
    """
    system = built.system
    found: list[Shape] = []
    for view in built.views:
        levels = [system.levels(view, axis) for axis in (0, 1)]

        def at(raw: Point, view: View = view, levels: Sequence[Mapping[Fraction, int]] = levels) -> Point:
            place = view.place(raw)
            pair = system.in_view(view).get(place)
            if pair is not None:
                return values[pair[0]], values[pair[1]]
            x, y = (levels[axis].get(place[axis]) for axis in (0, 1))
            return place[0] if x is None else values[x], place[1] if y is None else values[y]

        def radius(shape: Arc | Circle, view: View = view) -> Fraction:
            size = view.radius(shape.radius).value
            index = system.radii.get((id(view), view.place(shape.centre), size))
            return size if index is None else values[index]

        for shape in view.shapes:
            match shape:
                case Segment(_, a, b):
                    found.append(replace(shape, a=at(a), b=at(b)))
                case Arc(_, centre, _, a, b):
                    found.append(replace(shape, centre=at(centre), radius=radius(shape), a=at(a), b=at(b)))
                case Circle(_, centre, _):
                    found.append(replace(shape, centre=at(centre), radius=radius(shape)))
                case Mark(_, spot):
                    found.append(replace(shape, at=at(spot)))
                case Curve():
                    found.append(shape)
    return tuple(found)
