"""Hypothesis strategies for numbers as they stand on shop drawings, and for shapes made of them."""

from fractions import Fraction

from hypothesis import strategies as st

from dimaudit.exact.real import Enclosed, Form, Real, Root, angle_between, root

F = Fraction

rationals = st.fractions(min_value=-1000, max_value=1000, max_denominator=10_000)
positive = st.fractions(min_value=F(1, 1000), max_value=1000, max_denominator=10_000)


def multiples(step: Fraction, most: int) -> st.SearchStrategy[Fraction]:
    """Whole multiples of a step, both ways."""
    return st.integers(-most, most).map(lambda k: k * step)


dyadics = st.sampled_from([2, 4, 8, 16, 32, 64, 128]).flatmap(lambda d: multiples(F(1, d), 20 * d))
"""Inches in halves to 128ths."""
four_decimals = multiples(F(1, 10_000), 200_000)
three_decimals = multiples(F(1, 1000), 500_000)
six_decimals = multiples(F(1, 10**6), 10**8)
inch_sizes = st.one_of(dyadics, four_decimals)
points = st.tuples(four_decimals, four_decimals)
vectors = st.tuples(rationals, rationals).filter(lambda v: v != (0, 0))


def noises(most: str) -> st.SearchStrategy[float]:
    """Noise of at most this size, as a program that worked in doubles leaves it."""
    limit = float(most)
    return st.floats(-limit, limit, allow_nan=False)


roots = positive.map(root).filter(lambda r: isinstance(r, Root))


@st.composite
def enclosures(draw: st.DrawFn) -> Enclosed:
    """Any of the numbers that are known by enclosures only: none that is rational after all."""
    form = draw(st.sampled_from(list(Form)))
    factor = draw(positive)
    match form:
        case Form.PROJECTION:
            turn = draw(st.fractions(0, 180, max_denominator=100).filter(lambda t: t % 45 and t % 30))
            return Enclosed(form, (*draw(vectors), turn), factor)
        case Form.ARC:
            return Enclosed(form, (draw(positive), draw(positive)), factor)
    u, v = draw(st.tuples(vectors, vectors).filter(lambda p: isinstance(angle_between(*p[0], *p[1]), Enclosed)))
    square = (draw(positive),) if form is Form.ARC_BETWEEN else ()
    return Enclosed(form, (*u, *v, *square), factor)


reals: st.SearchStrategy[Real] = st.one_of(rationals, roots, enclosures())
