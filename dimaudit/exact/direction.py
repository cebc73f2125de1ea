"""Unit vectors of angles in degrees."""

from fractions import Fraction
from functools import lru_cache
from math import cos, radians, sin

from dimaudit.exact.number import exact

Vector = tuple[Fraction, Fraction]


@lru_cache(maxsize=1024)
def unit_vector(degrees: Fraction) -> Vector:
    """(cos, sin) of an angle: exact at multiples of 90 degrees, else the doubles' decimals."""
    quarter, rest = divmod(degrees, 90)
    if rest == 0:
        one, zero = Fraction(1), Fraction(0)
        return ((one, zero), (zero, one), (-one, zero), (zero, -one))[int(quarter) % 4]
    turn = radians(degrees)
    return exact(cos(turn)), exact(sin(turn))
