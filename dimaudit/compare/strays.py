"""Linework that one audit counts to a view and the other does not.

What is one view is found anew in each drawing, and may turn on little: a hole whose outline is open by a hair is a view
of its own. What lies where it lay is the same, whatever it was counted to.
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from dimaudit.compare.shapes import pair_up
from dimaudit.compare.shared import Key, shared
from dimaudit.compare.views import Couple
from dimaudit.model.drawing import LineRole, Shape
from dimaudit.model.geometry import Levels
from dimaudit.model.view import View

MOST_OF = 0.5
"""Share of a view's edges that must lie in a view of the other drawing for it to be a part of that."""


def merged(view: View, other: View, shapes: Sequence[Shape]) -> View:
    """The view with shapes of another one; a centreline may be in both already."""
    more = (s for s in shapes if id(s) not in view.members)
    return replace(
        view, shapes=(*view.shapes, *more), xs=_levels(view.xs, other.xs), ys=_levels(view.ys, other.ys),
        radii={**other.radii, **view.radii},
    )  # fmt: skip


def _levels(one: Levels, other: Levels) -> Levels:
    values = {**other.values, **one.values}
    return Levels(tuple(sorted(values)), values, one.snap)


def gathered(
    pair: Couple, olds: Sequence[View], news: Sequence[View], apart: Fraction
) -> tuple[Couple, list[View], list[View]]:
    """The couple with what lies in it and was counted elsewhere, and the views that were parts of it.

    `olds` and `news`: views that have no other, and the linework outside of all views, of each drawing.
    """
    parts: list[list[View]] = []
    for into_new, strays in ((True, news), (False, olds)):
        paired = pair_up(pair, shared(pair, apart))
        view, taken = _taken(pair, paired.gone if into_new else paired.come, strays, apart, into_new)
        parts.append(taken)
        pair = Couple(pair.old, view, pair.laid) if into_new else Couple(view, pair.new, pair.laid)
    return pair, parts[1], parts[0]


def _taken(
    pair: Couple, missed: Sequence[Shape], strays: Sequence[View], apart: Fraction, into_new: bool
) -> tuple[View, list[View]]:
    """One of the two views, with those of the strays that lie where the missed shapes of the other do."""
    view, parts = (pair.new if into_new else pair.old), []
    left = list(missed)
    for stray in strays:
        if not left or not stray.shapes:
            continue
        wanted = replace_shapes(pair.old if into_new else pair.new, left)
        beside = Couple(wanted, stray, pair.laid) if into_new else Couple(stray, wanted, pair.laid)
        common = shared(beside, apart)
        there: dict[Key, list[Shape]] = defaultdict(list)
        for shape in stray.shapes:
            there[common.key(shape, not into_new)].append(shape)
        found: list[Shape] = []
        for shape in list(left):
            same = there.get(common.key(shape, into_new))
            if same:
                found.append(same.pop())
                left.remove(shape)
        if _bodies(found) >= MOST_OF * _bodies(stray.shapes) > 0:
            found = list(stray.shapes)
            parts.append(stray)
        if found:
            view = merged(view, stray, found)
    return view, parts


def _bodies(shapes: Sequence[Shape]) -> int:
    """How many are edges of the part: centrelines stand in for nothing."""
    return sum(shape.origin.role is not LineRole.CENTRE for shape in shapes)


def replace_shapes(view: View, shapes: Sequence[Shape]) -> View:
    """The same levels with other shapes."""
    return replace(view, shapes=tuple(shapes))
