"""A small square system of equations, solved near the drawn places, and the solution proved.

Newton's method finds it; Krawczyk's operator proves that there is one, and only one, in the ball that is handed back
(R. Krawczyk, 'Newton-Algorithmen zur Bestimmung von Nullstellen mit Fehlerschranken', Computing 4, 1969; from memory).
"""

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from fractions import Fraction

from flint import arb, arb_mat, ctx, fmpq

from dimaudit.scheme.equations import Number, Sloped, ball

BITS = 320
"""Working precision: about 96 decimals."""
STEPS = 40
"""Newton doubles the good digits with each step; a system that needs more has no solution near by."""
TINY = arb(2) ** -200
"""The least half-width of a ball that is tried for the proof."""

System = Callable[[Sequence[Number]], Sequence[Sloped]]
"""The residuals at a point given as balls, with their slopes by column 0, 1, …"""


@contextmanager
def precisely() -> Iterator[None]:
    """Balls with many digits, and the precision of before afterwards."""
    before = ctx.prec
    ctx.prec = BITS
    try:
        yield
    finally:
        ctx.prec = before


def solve(system: System, start: Sequence[Fraction]) -> list[Number] | None:
    """Balls that hold the solution near `start`; None where none is found or it can't be proved."""
    n = len(start)
    x = [ball(s) for s in start]
    for _ in range(STEPS):
        inverse = _inverse(_slopes(system(x), n))
        if inverse is None:
            return None
        step = inverse * _column([f.value for f in system(x)])
        x = [(x[i] - step[i, 0]).mid() for i in range(n)]
        if not all(v.is_finite() for v in x):
            return None
        if all(abs(step[i, 0]).upper() < TINY for i in range(n)):
            return _proved(system, x)
    return _proved(system, x)


def _proved(system: System, x: list[Number]) -> list[Number] | None:
    """Krawczyk: where the image of a box lies inside the box, there is exactly one solution in it."""
    n = len(x)
    values = system(x)
    inverse = _inverse(_slopes(values, n))
    if inverse is None:
        return None
    off = inverse * _column([f.value for f in values])
    half = [abs(off[i, 0]).upper() * 4 + TINY for i in range(n)]
    box = [arb(x[i], half[i]) for i in range(n)]
    spread = inverse * _slopes(system(box), n)
    for i in range(n):
        image = x[i] - off[i, 0]
        for j in range(n):
            image += ((1 if i == j else 0) - spread[i, j]) * arb(0, half[j])
        if not box[i].contains_interior(image):
            return None
    return box


def _slopes(values: Sequence[Sloped], n: int) -> arb_mat:
    return arb_mat([[f.by.get(j, arb(0)) for j in range(n)] for f in values])


def _column(values: Sequence[Number]) -> arb_mat:
    return arb_mat([[v] for v in values])


def _inverse(matrix: arb_mat) -> arb_mat | None:
    n = matrix.nrows()
    middles = arb_mat([[matrix[i, j].mid() for j in range(n)] for i in range(n)])
    try:
        return arb_mat([[v.mid() for v in row] for row in middles.inv().tolist()])
    except ZeroDivisionError:
        return None


def ends(value: Number) -> tuple[Fraction, Fraction]:
    """Two rationals that the number lies between; both the number itself where it is exact."""
    if isinstance(value, Fraction):
        return value, value
    return _rational(value.lower()), _rational(value.upper())


def _rational(exact: arb) -> Fraction:
    mantissa, exponent = exact.man_exp()
    return Fraction(int(mantissa)) * Fraction(2) ** int(exponent)


def nearest(value: Number) -> Fraction:
    """The middle, as a rational."""
    return value if isinstance(value, Fraction) else _rational(value.mid())


def cosine_and_sine(degrees: Fraction) -> tuple[Number, Number]:
    """Both, up to a common factor; exact for eighths of a turn."""
    if degrees % 45 == 0:
        eighth = int(degrees // 45) % 8
        cosines = (1, 1, 0, -1, -1, -1, 0, 1)
        return Fraction(cosines[eighth]), Fraction(cosines[eighth - 2])
    turn = arb(fmpq(degrees.numerator, degrees.denominator * 180))
    return turn.cos_pi(), turn.sin_pi()
