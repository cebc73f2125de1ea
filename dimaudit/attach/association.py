"""Whether the association that the file states still holds."""

from collections.abc import Sequence
from fractions import Fraction

from dimaudit.attach.nearest import candidates
from dimaudit.model.attached import Hold
from dimaudit.model.drawing import Association, Dimension, Kind, Point, Shape
from dimaudit.model.geometry import Near
from dimaudit.model.view import View

_TIED_GROUPS = {Kind.LINEAR: (13, 14), Kind.ALIGNED: (13, 14)}
"""Which point each bit of group 90 ties, where that is sure; other kinds may tie any of their points."""


def check_association(
    dimension: Dimension,
    association: Association | None,
    by_handle: dict[str, list[Shape]],
    view: View | None,
    snap: Fraction,
) -> tuple[Hold, tuple[str, ...]]:
    """The state of the association and, where it is broken, why: one line for each tie that does not hold.

    A tie holds while its geometry is in the file and the dimension's point still touches it.
    """
    if association is None or not association.ties:  # an object that ties no point holds nothing
        return Hold.NONE, ()
    why: list[str] = []
    for tie in association.ties:
        if not tie.target:
            why.append(f"the tie of point {tie.index + 1} names no geometry")
            continue
        if not tie.target_alive:
            why.append(f"point {tie.index + 1} is tied to {tie.target}, which is not in the file")
            continue
        targets = by_handle.get(tie.target)
        if targets is None or view is None:  # geometry that is not read (a table, text, another space): can't be told
            continue
        groups = _TIED_GROUPS.get(dimension.kind, tuple(dimension.points))
        if dimension.kind in _TIED_GROUPS:
            groups = groups[tie.index : tie.index + 1]
        if not any(_touches(dimension.points[g], targets, view, snap) for g in groups if g in dimension.points):
            why.append(f"point {tie.index + 1} is tied to {tie.target}, but no longer touches it")
    return (Hold.BROKEN, tuple(why)) if why else (Hold.ASSOCIATED, ())


def _touches(point: Point, targets: Sequence[Shape], view: View, snap: Fraction) -> bool:
    everywhere = Near(tuple(range(len(targets))), tuple(k for k, s in enumerate(targets) if getattr(s, "centre", None)))
    own = View(view.name, tuple(targets), view.xs, view.ys, view.radii)
    found = candidates(point, everywhere, targets, own, snap, snap)
    return any(c.square <= snap * snap for c in found)
