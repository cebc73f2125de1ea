"""Ranks, freedoms and loops of small schemes, against independent counts and a dense exact reduction.

`freedom_counts.json` holds 31 schemes with counts that the project computed with another library (sympy's exact
rationals) from the relations alone: they are no published figures. Published methods that stand behind single ones:

- `chain_…`, `baseline…`, `L_…`: D. Dori, 'Dimensioning analysis', Communications of the ACM, 1992 (the method was read
  on a public page; the numbers are worked by hand from it);
- `tri_3_sides`, `quad_K4`: P. H. Todd, 'A k-tree generalization that characterizes consistency of dimensioned
  engineering drawings', SIAM J. Discrete Math. 2(2), 1989 (the method was read in the author's patent US 4951227);
- `quad_4_sides`, `quad_4_sides_1_diag`: a part as a pin-jointed frame, R. C. Hillyard, I. C. Braid, 'Analysis of
  dimensions and tolerances in computer-aided mechanical design', Computer-Aided Design 10(3), 1978 (abstract read);
  the counts are those of Laman's theorem, 'On graphs and rigidity of plane skeletal structures', 1970 (read on pages
  that cite it): n joints need 2n - 3 bars, and `laman_count_trap` has just so many and is wrong all the same;
- `tri_3_angles`, `collinear_three_points`: D. Michelucci, S. Foufou, 'Geometric constraint solving: the witness
  configuration method', Computer-Aided Design 38(4), 2006 (method read; the numbers are worked by hand).
"""

import json
import re
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sympy import QQ
from sympy.polys.matrices import DomainMatrix

from dimaudit.scheme.rank import MOST_ROWS, Rank, Surplus, circuit, rank_of
from dimaudit.scheme.relation import Relation, Shape
from dimaudit.scheme.witness import confirmed, still_loops

COUNTS = json.loads((Path(__file__).parent / "freedom_counts.json").read_text(encoding="utf-8"))["schemes"]
BY_NAME = {scheme["name"]: scheme for scheme in COUNTS}
HALF = Fraction(1, 2)


def relation(said: str, index: dict[str, int], stated: bool) -> Relation:
    """One line of the data file as a relation."""
    name, inside = re.fullmatch(r"(\w+?)(?:\((.*)\))?", said).groups()  # type: ignore[union-attr]
    a = re.split("[,-]", inside) if inside else []

    def x(p: str) -> int:
        return index[f"{p}.x"]

    def y(p: str) -> int:
        return index[f"{p}.y"]

    def xy(*points: str) -> tuple[int, ...]:
        return tuple(i for p in points for i in (x(p), y(p)))

    shape, of = {
        "H": lambda: (Shape.DIFFERENCE, (y(a[0]), y(a[1]))),
        "V": lambda: (Shape.DIFFERENCE, (x(a[0]), x(a[1]))),
        "dx": lambda: (Shape.DIFFERENCE, (x(a[0]), x(a[1]))),
        "dy": lambda: (Shape.DIFFERENCE, (y(a[0]), y(a[1]))),
        "d": lambda: (Shape.DIFFERENCE, (index[a[0]], index[a[1]])),
        "dist": lambda: (Shape.DISTANCE, xy(*a)),
        "dia": lambda: (Shape.SIZE, (index[f"{a[0]}.r"],)),
        "R": lambda: (Shape.SIZE, (index[f"{a[0]}.r"],)),
        "on": lambda: (Shape.ON_CIRCLE, (*xy(*a), index[f"{a[1]}.r"])),
        "tangent": lambda: (Shape.ANGLE, xy(a[0], a[1][0], a[1][0], a[1][1])),  # the radius is square to the line
        "angle": lambda: (Shape.ANGLE, xy(a[1], a[0], a[1], a[2])),
        "perp": lambda: (Shape.ANGLE, xy("O", "a", "O", "b")),
        "mid_x": lambda: (Shape.BETWEEN, (x("O"), x(inside[0]), x(inside[1]))),
        "mid_y": lambda: (Shape.BETWEEN, (y("O"), y(inside[0]), y(inside[1]))),
        "equal_radius_ab": lambda: (Shape.AS_FAR, xy("O", "a", "O", "b")),
        "equal_dia": lambda: (Shape.DIFFERENCE, (index[f"{a[0]}.r"], index[f"{a[1]}.r"])),
        "BCD": lambda: (Shape.DISTANCE, xy("O", "a")),
    }[name]()
    return Relation(shape, of, said, said if stated else "", HALF if shape is Shape.BETWEEN else Fraction(1))


def system(scheme: dict[str, Any]) -> tuple[list[Relation], list[Fraction]]:
    index = {name: k for k, name in enumerate(scheme["at"])}
    relations = [relation(said, index, False) for said in scheme["implied"]]
    relations += [relation(said, index, True) for said in scheme["stated"]]
    return relations, [Fraction(value) for value in scheme["at"].values()]


@pytest.mark.parametrize("scheme", COUNTS, ids=lambda scheme: scheme["name"])
def test_the_counts(scheme: dict[str, Any]) -> None:
    """Rank, freedoms, surplus sizes, and what each surplus one depends on, are those of the list."""
    relations, values = system(scheme)
    rank = rank_of(len(values), relations, values)
    assert len(values) == scheme["unknowns"]
    assert rank.rank == scheme["rank"]
    assert len(values) - rank.rank - scheme["rigid"] == scheme["free"]
    assert len(rank.surplus) == scheme["surplus"]
    assert rank.unsure == ()
    loops = [{relations[k].says for k in (s.relation, *circuit(s, relations, values))} for s in rank.surplus]
    assert loops == [set(loop) for loop in scheme["loops"]]


def dense(count: int, relations: list[Relation], values: list[Fraction]) -> int:
    """The rank of the whole Jacobian at once over the rationals, by sympy: another library than the tool's."""
    rows = {
        k: {i: QQ(value.numerator, value.denominator) for i, value in one.row(values).items() if value}
        for k, one in enumerate(relations)
    }
    made = {k: row for k, row in rows.items() if row}
    return int(DomainMatrix(made, (len(relations), count), QQ).rank()) if made else 0


NEEDS = {
    Shape.DIFFERENCE: 2, Shape.SIZE: 1, Shape.BETWEEN: 3, Shape.DISTANCE: 4, Shape.ANGLE: 8, Shape.ON_CIRCLE: 5,
    Shape.TANGENT: 7, Shape.ON_LINE: 6, Shape.FROM_LINE: 6, Shape.IN_STEP: 3, Shape.SHARED: 2, Shape.DIAGONAL: 4,
    Shape.AS_FAR: 8,
}  # fmt: skip
DEFINITE = (Shape.ON_CIRCLE, Shape.TANGENT, Shape.ON_LINE, Shape.AS_FAR, Shape.BETWEEN)
"""Random values do not satisfy these, and where a relation is not satisfied no rank is certain."""
FREE_SHAPES = [shape for shape in NEEDS if shape not in DEFINITE]


@st.composite
def systems(draw: st.DrawFn) -> tuple[list[Relation], list[Fraction]]:
    count = draw(st.integers(8, 14))
    values = [Fraction(draw(st.integers(1, 40)), draw(st.sampled_from([1, 2, 8]))) for _ in range(count)]
    relations = []
    for k in range(draw(st.integers(1, 16))):
        shape = draw(st.sampled_from([Shape.DIFFERENCE, Shape.DIFFERENCE, Shape.SIZE, *FREE_SHAPES]))
        of = draw(st.permutations(range(count)))[: NEEDS[shape]]
        relations.append(Relation(shape, tuple(of), str(k), str(k), Fraction(draw(st.sampled_from([1, -1, 2])))))
    return relations, values


@settings(max_examples=150, deadline=None)
@given(systems())
def test_the_rank_is_that_of_the_whole_jacobian(made: tuple[list[Relation], list[Fraction]]) -> None:
    """Forest, peeling and blocks together give the rank of a dense exact reduction; each loop is a least dependency."""
    relations, values = made
    rank = rank_of(len(values), relations, values)
    assert rank.rank == dense(len(values), relations, values) == len(relations) - len(rank.surplus)
    for surplus in rank.surplus:
        members = [surplus.relation, *circuit(surplus, relations, values)]
        chosen = [relations[k] for k in members]
        assert dense(len(values), chosen, values) == len(chosen) - 1
        for left_out in range(len(chosen)):
            rest = chosen[:left_out] + chosen[left_out + 1 :]
            assert dense(len(values), rest, values) == len(rest)


@settings(max_examples=100, deadline=None)
@given(systems(), st.sets(st.integers(0, 7), max_size=2))
def test_the_motions_are_a_basis_of_the_kernel(
    made: tuple[list[Relation], list[Fraction]], held: set[int]
) -> None:
    """Each motion moves nothing that a relation holds, and there are as many as the dense kernel has dimensions."""
    relations, values = made
    rank: Rank = rank_of(len(values), relations, values, tuple(held))
    fixed = [Relation(Shape.SIZE, (i,), "held", "held") for i in held]
    assert len(rank.motions) == len(values) - dense(len(values), relations + fixed, values)
    for motion in rank.motions:
        speeds = [motion.moves.get(tree, Fraction(0)) for tree in rank.trees]
        assert any(speeds)
        for one in relations + fixed:
            assert sum(value * speeds[i] for i, value in one.row(values).items()) == 0


# --- the second witness -----------------------------------------------------------------------------------------------


def held_and_told(name: str) -> tuple[list[Relation], list[Fraction], Rank, tuple[int, ...]]:
    relations, values = system(BY_NAME[name])
    index = {key: k for k, key in enumerate(BY_NAME[name]["at"])}
    held = (index["A.x"], index["A.y"], index["B.y"] if values[index["B.y"]] == 0 else index["B.x"])
    return relations, values, rank_of(len(values), relations, values, held), held


def loops_of(relations: list[Relation], values: list[Fraction], rank: Rank) -> list[list[int]]:
    return [[s.relation, *circuit(s, relations, values)] for s in rank.surplus]


def test_a_special_case_is_no_freedom() -> None:
    """Three distances hold three points; that the points happen to be in line makes nothing move.

    D. Michelucci, S. Foufou (2006): a witness must be typical; the example is worked by hand.
    """
    relations, values, rank, held = held_and_told("collinear_three_points")
    assert rank.motions, "at the drawn values alone the middle point seems to move"
    assert confirmed(len(values), relations, values, held, rank) == frozenset()
    assert still_loops(len(values), relations, values, rank, loops_of(relations, values, rank)) == [False]


def test_what_a_theorem_makes_surplus_stays_so() -> None:
    """The third angle of a triangle follows from the others in every triangle, and the size is free in each."""
    relations, values, rank, held = held_and_told("tri_3_angles")
    moving = confirmed(len(values), relations, values, held, rank)
    assert moving
    assert still_loops(len(values), relations, values, rank, loops_of(relations, values, rank)) == [True]


def test_a_right_count_can_be_wrong() -> None:
    """Nine distances hold six points, unless four take six of them (Laman, 1970). Here they do; one point dangles."""
    relations, values, rank, held = held_and_told("laman_count_trap")
    assert len(relations) == 2 * 6 - 3
    assert confirmed(len(values), relations, values, held, rank)
    assert still_loops(len(values), relations, values, rank, loops_of(relations, values, rank)) == [True]


@pytest.mark.parametrize("others", [10, 2 * MOST_ROWS])
def test_a_loop_holds_only_what_it_depends_on(others: int) -> None:
    """However many relations it is looked for in: a middle that is given twice has nothing to do with a long chain."""
    chain = [Relation(Shape.DIFFERENCE, (k, k + 1), "", str(k)) for k in range(others)]
    middle = Relation(Shape.BETWEEN, (1, 0, 2), "", "middle", HALF)
    relations = [*chain, Relation(Shape.BETWEEN, (others + 1, 0, 2), "", "other", HALF), middle, middle]
    values = [Fraction(k) for k in range(others + 1)] + [Fraction(1)]
    alone = Surplus(others + 2, (*range(2, others), others, others + 1))
    assert circuit(alone, relations, values) == (others + 1,)
    through = Surplus(others + 1, tuple(range(others + 1)))
    assert circuit(through, relations, values) == (0, 1)
