"""What an extension line that begins off the part points at.

Normal drafting leaves a gap between feature and extension line, or begins the line anywhere at the feature's
level. The line through the definition point, in the direction of the extension line, is followed both ways:
behind the point, away from the dimension line, and before it. Only features of the same view that stand on
that line count; those behind come first, the nearest of them is the one meant.
"""

from collections.abc import Iterable
from fractions import Fraction

from dimaudit.attach.nearest import Candidate
from dimaudit.exact.direction import Vector
from dimaudit.model.drawing import Point
from dimaudit.model.geometry import Feature
from dimaudit.model.view import View

REACH = 12
"""A feature that the line misses is looked for no further away than this many times the near distance."""


def pointed_at(
    point: Point, toward: Point, extension: Vector, view: View, snap: Fraction, near: Fraction
) -> tuple[Candidate | None, bool]:
    """The feature that the extension line from `point` points at, and whether it is in line.

    `toward` is a point on the dimension line; `extension` is the unit vector along the extension line. The candidate's
    square is that of the distance across the extension line. In line: within `snap` of it. Else the feature
    nearest to the line within `near`, and not far along it, has been missed.
    """
    ahead = _dot((toward[0] - point[0], toward[1] - point[1]), extension) >= 0
    across = (-extension[1], extension[0])
    level = _dot(point, across)
    fine, coarse, far = float(snap), float(near), float(near) * REACH
    px, py = float(point[0]), float(point[1])
    ax, ay = float(across[0]), float(across[1])
    ex, ey = float(extension[0]), float(extension[1])
    in_line: list[tuple[bool, float, Feature]] = []
    missed: list[tuple[float, float, Feature]] = []
    for feature in _at_level(view, across, point, coarse):
        dx, dy = float(feature.raw[0]) - px, float(feature.raw[1]) - py
        off, along = abs(dx * ax + dy * ay), dx * ex + dy * ey
        if off <= fine * 1.001:
            in_line.append(((along > 0) == ahead, abs(along), feature))
        elif off <= coarse and abs(along) <= far:
            missed.append((off, abs(along), feature))
    exactly_in_line = [
        (before, along, f) for before, along, f in in_line if abs(_dot(f.raw, across) - level) <= snap
    ]
    if exactly_in_line:
        feature = min(exactly_in_line, key=lambda t: (t[0], t[1]))[2]
        return Candidate(feature, Fraction(0)), True
    if missed:
        feature = min(missed, key=lambda t: (t[0], t[1]))[2]
        off_by = _dot(feature.raw, across) - level
        return Candidate(feature, off_by * off_by), False
    return None, False


def _at_level(view: View, across: Vector, point: Point, reach: float) -> Iterable[Feature]:
    """Features whose level may be within reach; sorted levels where the direction is an axis."""
    if across[1] == 0:
        return view.near_level(0, float(point[0]), reach * 1.01)
    if across[0] == 0:
        return view.near_level(1, float(point[1]), reach * 1.01)
    return view.points


def _dot(p: Point, v: Vector) -> Fraction:
    if v[1] == 0:
        return p[0] * v[0]
    if v[0] == 0:
        return p[1] * v[1]
    return p[0] * v[0] + p[1] * v[1]
