"""The relations as equations, for exact numbers and for enclosures alike.

What is implied keeps the value that it has on the drawing; what is given takes the stated one. Numbers are `Fraction`
where they are exact, else balls of python-flint (`arb`), which provably hold the number.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from flint import arb, fmpq

from dimaudit.scheme.relation import Relation, Shape, Values

Number = Any
"""`Fraction` or `arb`; both know + - * among their own kind."""

Aim = tuple[Number, ...]
"""What a relation aims at: the value of its expression; cosine and sine (up to a factor) for an angle."""


@dataclass(frozen=True, slots=True)
class Sloped:
    """A number with its slopes along the columns."""

    value: Number
    by: dict[int, Number]

    def __add__(self, other: "Sloped") -> "Sloped":
        return Sloped(self.value + other.value, _sum(self.by, 1, other.by, 1))

    def __sub__(self, other: "Sloped") -> "Sloped":
        return Sloped(self.value - other.value, _sum(self.by, 1, other.by, -1))

    def __mul__(self, other: "Sloped") -> "Sloped":
        return Sloped(self.value * other.value, _sum(self.by, other.value, other.by, self.value))

    def times(self, factor: Number) -> "Sloped":
        """Times a number that nothing moves."""
        return Sloped(self.value * factor, {k: v * factor for k, v in self.by.items()})


def _sum(a: dict[int, Number], p: Number, b: dict[int, Number], q: Number) -> dict[int, Number]:
    total = {key: value * p for key, value in a.items()}
    for key, value in b.items():
        total[key] = total[key] + value * q if key in total else value * q
    return total


def ball(value: Number) -> Number:
    """A number as a ball."""
    return arb(fmpq(value.numerator, value.denominator)) if isinstance(value, Fraction) else value


def drawn_aim(relation: Relation, values: Values) -> Aim:
    """The aim that the drawn values meet exactly."""
    v = [Sloped(values[i], {}) for i in relation.of]
    match relation.shape:
        case Shape.ANGLE:
            cross, dot = _turn(v)
            return dot.value, cross.value
        case Shape.FROM_LINE:
            length = _distance(v[2:]).value
            return ((_cross_from(v).value ** 2) / length,) if length else (Fraction(0),)
        case Shape.IN_STEP:
            return ((values[relation.of[0]] - values[relation.of[1]]) / values[relation.of[2]],)
        case _:
            return (_expression(relation, v).value,)


def residual(relation: Relation, aim: Aim, v: Sequence[Sloped]) -> Sloped:
    """What is to become zero, with its slopes."""
    match relation.shape:
        case Shape.ANGLE:
            cross, dot = _turn(v)
            return cross.times(aim[0]) - dot.times(aim[1])
        case Shape.FROM_LINE:
            area = _cross_from(v)
            return area * area - _distance(v[2:]).times(aim[0])
        case Shape.IN_STEP:
            return v[0] - v[1] - v[2].times(aim[0])
        case _:
            return _expression(relation, v) - Sloped(aim[0], {})


def _expression(relation: Relation, v: Sequence[Sloped]) -> Sloped:
    f = relation.factor if not isinstance(v[0].value, arb) else ball(relation.factor)
    match relation.shape:
        case Shape.DIFFERENCE:
            return v[1] - v[0]
        case Shape.SIZE:
            return v[0]
        case Shape.BETWEEN:
            return v[0] - v[1] - (v[2] - v[1]).times(f)
        case Shape.SHARED:
            return v[1] - v[0].times(f)
        case Shape.DIAGONAL:
            return v[2] - v[0] - (v[3] - v[1]).times(f)
        case Shape.DISTANCE:
            return _distance(v)
        case Shape.ON_CIRCLE:
            return _distance(v[:4]) - v[4] * v[4]
        case Shape.ON_LINE:
            return _cross_from(v)
        case Shape.AS_FAR:
            return _distance(v[:4]) - _distance(v[4:])
        case Shape.TANGENT:
            area = _cross_from((v[4], v[5], *v[:4]))
            return area * area - v[6] * v[6] * _distance(v[:4])
        case _:
            raise AssertionError(relation.shape)  # the others have aims of their own


def _distance(v: Sequence[Sloped]) -> Sloped:
    x, y = v[2] - v[0], v[3] - v[1]
    return x * x + y * y


def _turn(v: Sequence[Sloped]) -> tuple[Sloped, Sloped]:
    x, y, p, q = v[2] - v[0], v[3] - v[1], v[6] - v[4], v[7] - v[5]
    return x * q - y * p, x * p + y * q


def _cross_from(v: Sequence[Sloped]) -> Sloped:
    return (v[4] - v[2]) * (v[1] - v[3]) - (v[5] - v[3]) * (v[0] - v[2])
