"""Exact numbers that carry their slopes, so that each relation is written once and its Jacobian row follows."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

Row = dict[int, Fraction]
"""One row of a Jacobian, sparse: unknown to coefficient."""


@dataclass(frozen=True, slots=True)
class Slope:
    """A value and its partial derivatives by the unknowns (forward differentiation, exact in rationals)."""

    value: Fraction
    by: Mapping[int, Fraction]

    def __add__(self, other: "Slope") -> "Slope":
        return Slope(self.value + other.value, _sum(self.by, Fraction(1), other.by, Fraction(1)))

    def __sub__(self, other: "Slope") -> "Slope":
        return Slope(self.value - other.value, _sum(self.by, Fraction(1), other.by, Fraction(-1)))

    def __mul__(self, other: "Slope") -> "Slope":
        return Slope(self.value * other.value, _sum(self.by, other.value, other.by, self.value))


def unknown(index: int, value: Fraction) -> Slope:
    """An unknown at its drawn value."""
    return Slope(value, {index: Fraction(1)})


def _sum(a: Mapping[int, Fraction], p: Fraction, b: Mapping[int, Fraction], q: Fraction) -> Row:
    total = {key: value * p for key, value in a.items()}
    for key, value in b.items():
        total[key] = total.get(key, Fraction(0)) + value * q
    return {key: value for key, value in total.items() if value}
