"""The relations between unknowns: what linework implies and what dimensions state.

Points are pairs of unknowns (x, y); circles three (x, y, r). Each relation is one equation that holds on the drawing;
its Jacobian row is taken at the drawn values, the witness (D. Michelucci, S. Foufou, 'Geometric constraint solving:
the witness configuration method', Computer-Aided Design 38(4), 2006; title from memory).
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from dimaudit.scheme.slope import Row, Slope, unknown

Values = Sequence[Fraction]
ONE = Fraction(1)
HALF = Fraction(1, 2)


class Shape(StrEnum):
    """What a relation says of its unknowns, in their order."""

    DIFFERENCE = "difference"
    """b - a is fixed: levels (a, b)."""
    SIZE = "size"
    """One unknown is fixed: (r)."""
    BETWEEN = "between"
    """m stands at the share `factor` of the way from a to b: (m, a, b)."""
    DISTANCE = "distance"
    """Two points at a fixed distance: (ax, ay, bx, by)."""
    ANGLE = "angle"
    """A fixed angle between two directions: (ax, ay, bx, by, cx, cy, dx, dy) for a to b against c to d."""
    ON_CIRCLE = "on circle"
    """A point on a circle: (px, py, cx, cy, r)."""
    TANGENT = "tangent"
    """The line through two points touches a circle: (ax, ay, bx, by, cx, cy, r)."""
    ON_LINE = "on line"
    """A point on the line through two others: (px, py, ax, ay, bx, by)."""
    FROM_LINE = "distance from line"
    """A point at a fixed distance from the line through two others: (px, py, ax, ay, bx, by)."""
    IN_STEP = "in step"
    """A coordinate of a pattern keeps its share of the pattern's radius: (p, c, r)."""
    SHARED = "shared"
    """A level of one view is a level of another, turned or enlarged: b = factor * a + a fixed number: (a, b)."""
    DIAGONAL = "diagonal"
    """A line at 45°: it goes as far across as up: (ax, ay, bx, by); `factor` is -1 where it falls."""
    AS_FAR = "as far"
    """Two points as far from each other as two others: (ax, ay, bx, by, cx, cy, dx, dy)."""


@dataclass(frozen=True, slots=True)
class Relation:
    """One equation; `given` names the dimension that states it, empty for what is taken as implied."""

    shape: Shape
    of: tuple[int, ...]
    says: str
    """In words, for the report: 'left edge to hole centre', 'taken as implied: horizontal'."""
    given: str = ""
    factor: Fraction = Fraction(1)

    def row(self, values: Values) -> Row:
        """Its Jacobian row at the values (up to a factor); exact.

        By formulas where there are many of them on a print, else by slopes.
        """
        of, f = self.of, self.factor
        match self.shape:
            case Shape.DIFFERENCE:
                return _row((of[0], -ONE), (of[1], ONE))
            case Shape.SIZE:
                return {of[0]: ONE}
            case Shape.BETWEEN:
                return {of[0]: ONE, of[1]: f - 1, of[2]: -f}
            case Shape.DIAGONAL:
                return {of[0]: -ONE, of[2]: ONE, of[1]: f, of[3]: -f}
            case Shape.SHARED:
                return {of[0]: -f, of[1]: ONE}
            case Shape.ON_CIRCLE:
                px, py, cx, cy, r = of
                x, y = values[px] - values[cx], values[py] - values[cy]
                return _row((px, x), (py, y), (cx, -x), (cy, -y), (r, -values[r]))
            case Shape.DISTANCE:
                ax, ay, bx, by = of
                x, y = values[bx] - values[ax], values[by] - values[ay]
                return _row((bx, x), (by, y), (ax, -x), (ay, -y))
            case Shape.ON_LINE:
                p, q, a, b, c, d = (values[i] for i in of)
                return _row(*zip(of, (b - d, c - a, d - q, p - c, q - b, a - p), strict=True))
            case Shape.ANGLE:
                return self._turn(values)
            case _:
                return dict(_FUNCTIONS[self.shape]([unknown(i, values[i]) for i in of]).by)

    def _turn(self, values: Values) -> Row:
        """A direction turns by what its end moves square to it, over its length; the two turn alike."""
        ax, ay, bx, by, cx, cy, dx, dy = self.of
        x, y = values[bx] - values[ax], values[by] - values[ay]
        p, q = values[dx] - values[cx], values[dy] - values[cy]
        one, other = x * x + y * y, p * p + q * q
        u, v, s, t = -y * other, x * other, -q * one, p * one
        return _row((bx, u), (by, v), (ax, -u), (ay, -v), (dx, -s), (dy, -t), (cx, s), (cy, t))

    def holds(self, values: Values) -> bool:
        """Whether the drawn values satisfy it exactly; what states its own number always does."""
        if self.shape is Shape.BETWEEN:
            m, a, b = (values[i] for i in self.of)
            return m == a + self.factor * (b - a)
        if self.shape is Shape.ON_CIRCLE:
            px, py, cx, cy, r = (values[i] for i in self.of)
            if px == cx or py == cy:
                return abs(px - cx) + abs(py - cy) == r
            return (px - cx) ** 2 + (py - cy) ** 2 == r * r
        if self.shape is Shape.ON_LINE:
            px, py, ax, ay, bx, by = (values[i] for i in self.of)
            return (bx - ax) * (py - ay) == (by - ay) * (px - ax)
        if self.shape not in _CHECKED:
            return True
        return _FUNCTIONS[self.shape]([unknown(i, values[i]) for i in self.of]).value == 0

    def kept(self, values: Values, others: Values) -> bool:
        """Whether other values satisfy what it says at the drawn ones."""
        if self.shape is Shape.ANGLE:
            (cross, dot), (p, q) = (_cross_and_dot([w[i] for i in self.of]) for w in (values, others))
            return cross * q == dot * p
        if self.shape is Shape.IN_STEP:
            (p, c, r), (a, b, s) = ([w[i] for i in self.of] for w in (values, others))
            return (p - c) * s == (a - b) * r
        return self.holds(others) or not self.holds(values)


def _row(*terms: tuple[int, Fraction]) -> Row:
    """The terms as a row: those of one unknown together, none that is nothing."""
    found: Row = {}
    for i, slope in terms:
        found[i] = found[i] + slope if i in found else slope
    return {i: slope for i, slope in found.items() if slope}


def _cross_and_dot(v: Sequence[Fraction]) -> tuple[Fraction, Fraction]:
    x, y, p, q = v[2] - v[0], v[3] - v[1], v[6] - v[4], v[7] - v[5]
    return x * q - y * p, x * p + y * q


def _distance(v: Sequence[Slope]) -> Slope:
    x, y = v[2] - v[0], v[3] - v[1]
    return x * x + y * y


def _cross_from(v: Sequence[Slope]) -> Slope:
    """Twice the area of the triangle p, a, b."""
    return (v[4] - v[2]) * (v[1] - v[3]) - (v[5] - v[3]) * (v[0] - v[2])


def _tangent(v: Sequence[Slope]) -> Slope:
    area = _cross_from((v[4], v[5], v[0], v[1], v[2], v[3]))
    return area * area - v[6] * v[6] * _distance(v[:4])


def _from_line(v: Sequence[Slope]) -> Slope:
    """The squared distance is area² / length²; it stands where area² times the witness's length² keeps pace."""
    area, length = _cross_from(v), _distance(v[2:])
    square = area * area
    return square * Slope(length.value, {}) - length * Slope(square.value, {})


def _in_step(v: Sequence[Slope]) -> Slope:
    share = (v[0].value - v[1].value) / v[2].value
    return v[0] - v[1] - Slope(share, {}) * v[2]


def _as_far(v: Sequence[Slope]) -> Slope:
    return _distance(v[:4]) - _distance(v[4:])


_FUNCTIONS: dict[Shape, Callable[[Sequence[Slope]], Slope]] = {
    Shape.TANGENT: _tangent,
    Shape.FROM_LINE: _from_line,
    Shape.IN_STEP: _in_step,
    Shape.AS_FAR: _as_far,
}
_CHECKED = frozenset({Shape.TANGENT, Shape.AS_FAR})
"""Relations that say something definite; the others keep whatever number the drawing has."""
