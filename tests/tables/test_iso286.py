"""ISO 286-1 against published examples, and against a package of tables as an oracle."""

from fractions import Fraction as F
from itertools import pairwise

import pressfit
import pytest

from dimaudit.tables.iso286 import GRADES, LETTERS, Deviations, NoLimits, classes_with, limits, standard_tolerance

BANDS = [0, 3, 6, 10, 14, 18, 24, 30, 40, 50, 65, 80, 100, 120, 140, 160, 180, 200, 225, 250, 280, 315, 355, 400, 450,
         500]  # fmt: skip
SPOTS = [F(x) for a, b in pairwise(BANDS) for x in (a + F(1, 1000), F(a + b, 2), b)]
"""Just above each edge, in the middle, and on the upper edge, which belongs to the range."""

PUBLISHED = [
    # nominal mm, class, upper and lower deviation in micrometres, where it is printed
    ("60", "H7", "30", "0", "Machinery's Handbook, 31st edition: worked example 60 H7/k6"),
    ("60", "k6", "21", "2", "Machinery's Handbook, 31st edition: worked example 60 H7/k6"),
    ("45", "H7", "25", "0", "examples in the tests of the package rf-tolerance"),
    ("45", "js8", "19.5", "-19.5", "examples in the tests of the package rf-tolerance"),
    ("45", "m6", "25", "9", "examples in the tests of the package rf-tolerance"),
    ("45", "k8", "39", "0", "examples in the tests of the package rf-tolerance: k has ei 0 outside IT4 to IT7"),
]
WORKED = """
25 H6 13 0
25 H7 21 0
25 H8 33 0
25 H9 52 0
25 H11 130 0
25 G7 28 7
25 F8 53 20
25 E9 92 40
25 D10 149 65
25 JS7 10.5 -10.5
25 K7 6 -15
25 M7 0 -21
25 N7 -7 -28
25 P7 -14 -35
25 R7 -20 -41
25 S7 -27 -48
25 h6 0 -13
25 h7 0 -21
25 g6 -7 -20
25 f7 -20 -41
25 e8 -40 -73
25 d9 -65 -117
25 c11 -110 -240
25 js6 6.5 -6.5
25 k6 15 2
25 m6 21 8
25 n6 28 15
25 p6 35 22
25 r6 41 28
25 s6 48 35
25 u6 61 48
60 H7 30 0
60 k6 21 2
45 H7 25 0
45 js8 19.5 -19.5
45 m6 25 9
45 k8 39 0
10 H7 15 0
10 g6 -5 -14
18 H7 18 0
18.001 H7 21 0
30 H7 21 0
50 H8 39 0
50 f7 -25 -50
80 s6 78 59
65 s6 72 53
120 K7 10 -25
300 M6 -9 -41
3 P7 -6 -16
200 N9 0 -115
200 N7 -14 -60
100 u7 159 124
"""
"""Nominal, class, upper, lower: worked from cells that a transcription of a printed table has, too."""
FITS = [
    # nominal, hole, shaft, largest and smallest clearance in micrometres
    ("25", "H7", "g6", 41, 7),  # printed in the description of the package pressfit
    ("25", "H7", "p6", -1, -35),  # printed there, too
    ("25", "H7", "h6", 34, 0),
    ("25", "H8", "f7", 74, 20),
    ("25", "H7", "k6", 19, -15),
    ("25", "H7", "n6", 6, -28),
    ("25", "H7", "s6", -14, -48),
    ("60", "H7", "k6", 28, -21),
    ("25", "G7", "h6", 41, 7),
    ("25", "N7", "h6", 6, -28),
    ("25", "P7", "h6", -1, -35),
]


def deviations(nominal: str, designation: str) -> Deviations:
    found = limits(F(nominal), designation)
    assert isinstance(found, Deviations), found
    return found


@pytest.mark.parametrize(("nominal", "designation", "upper", "lower", "source"), PUBLISHED)
def test_published_examples_to_the_micrometre(
    nominal: str, designation: str, upper: str, lower: str, source: str
) -> None:
    """Limits printed elsewhere are ours."""
    assert deviations(nominal, designation) == Deviations(F(upper) / 1000, F(lower) / 1000), source


@pytest.mark.parametrize("row", WORKED.strip().splitlines())
def test_worked_examples_to_the_micrometre(row: str) -> None:
    """Edges of ranges, the lift of K to S, M6 of 250 to 315 mm, N above grade 8, no lift up to 3 mm."""
    nominal, designation, upper, lower = row.split()
    assert deviations(nominal, designation) == Deviations(F(upper) / 1000, F(lower) / 1000)


@pytest.mark.parametrize(("nominal", "hole", "shaft", "largest", "smallest"), FITS)
def test_fits_have_the_published_play(nominal: str, hole: str, shaft: str, largest: int, smallest: int) -> None:
    """Hole less shaft gives the clearances of the examples; below zero is an interference."""
    h, s = deviations(nominal, hole), deviations(nominal, shaft)
    assert (h.upper - s.lower, h.lower - s.upper) == (F(largest, 1000), F(smallest, 1000))


def test_the_oracle_agrees_over_all_that_it_has() -> None:
    """pressfit 0.1.0: holes H, shafts c to u, grades 5 to 11, on and beside every edge up to 500 mm."""
    cells = 0
    for nominal in SPOTS:
        size = float(nominal)
        for grade in pressfit.GRADES:
            width = F(pressfit.it_value(size, grade), 1000)
            assert standard_tolerance(nominal, str(grade)) == width
            assert limits(nominal, f"H{grade}") == Deviations(width, F(0))
            cells += 2
            for letter in pressfit.SHAFT_LETTERS:
                found = pressfit.fit(f"H7/{letter}{grade}", size)
                expected = Deviations(F(found.shaft_es_um) / 1000, F(found.shaft_ei_um) / 1000)
                assert limits(nominal, f"{letter}{grade}") == expected, (nominal, letter, grade)
                cells += 1
    assert cells == len(SPOTS) * len(pressfit.GRADES) * (2 + len(pressfit.SHAFT_LETTERS))


# Cells that open packages of the same tables print differently. In each, the transcription of the printed table and
# the rule of the standard are with us.
OTHERS_PRINT = [
    ("6", "G7", (16, 4), (14, 2), "rf-tolerance: G of 3 to 6 mm"),
    ("40", "K7", (7, -18), (-2, -27), "rf-tolerance: K of 30 to 40 mm"),
    ("30", "N7", (-7, -28), (-15, -36), "rf-tolerance: N of 24 to 30 mm"),
    ("280", "M6", (-9, -41), (-11, -43), "rf-tolerance: M6 of 250 to 315 mm, the exception is missing"),
    ("355", "E7", (182, 125), (185, 125), "isofits 1.0: the width is not IT7"),
    ("10", "K6", (2, -7), (2, -6), "isofits 1.0: the width is not IT6"),
    ("140", "f6", (-43, -68), (-43, -48), "isofits 1.0: the width is not IT6"),
    ("10", "h6", (0, -9), (0, -10), "a page of a steel merchant: the width is not IT6"),
]


@pytest.mark.parametrize(("nominal", "designation", "ours", "theirs", "who"), OTHERS_PRINT)
def test_where_other_tables_differ(
    nominal: str, designation: str, ours: tuple[int, int], theirs: tuple[int, int], who: str
) -> None:
    """What is known to be printed wrongly elsewhere is not ours."""
    found = deviations(nominal, designation)
    assert (found.upper * 1000, found.lower * 1000) == ours, who
    assert ours != theirs


def test_every_class_is_as_wide_as_its_grade() -> None:
    """Upper less lower is the standard tolerance, whatever the letter (ISO 286-1)."""
    checked = 0
    for nominal in SPOTS:
        for letter in sorted(LETTERS):
            for designation in (f"{x}{grade}" for x in (letter, letter.upper()) for grade in GRADES):
                found = limits(nominal, designation)
                if isinstance(found, Deviations):
                    grade = designation.lstrip("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ")
                    assert found.upper - found.lower == standard_tolerance(nominal, grade)
                    checked += 1
    assert checked > 20_000


NONE = [
    # nominal, designation, whether the standard has it, a word of the reason
    ("25", "i7", False, "no such letter"),
    ("25", "Q7", False, "no such letter"),
    ("25", "Js7", False, "no such letter"),
    ("25", "H19", False, "no tolerance class"),
    ("25", "H 7", False, "no tolerance class"),
    ("25", "", False, "no tolerance class"),
    ("0", "H7", False, "not above zero"),
    ("-25", "H7", False, "not above zero"),
    ("3150.001", "H7", False, "ends at 3150"),
    ("500.001", "H01", False, "ends at 500"),
    ("24", "t6", False, "begins above 24"),
    ("14", "V7", False, "begins above 14"),
    ("18", "y7", False, "begins above 18"),
    ("25", "t6", True, "not in the tables here"),
    ("25", "x8", True, "not in the tables here"),
    ("25", "CD9", True, "not in the tables here"),
    ("500.001", "g6", True, "up to 500 mm only"),
    ("25", "K9", True, "above 3 mm"),
    ("25", "P2", True, "finer"),
]


@pytest.mark.parametrize(("nominal", "designation", "exists", "word"), NONE)
def test_what_the_tables_do_not_have_is_said(nominal: str, designation: str, exists: bool, word: str) -> None:
    """Not in the standard, or only not in the tables here: never a guess."""
    found = limits(F(nominal), designation)
    assert isinstance(found, NoLimits)
    assert found.exists is exists
    assert word in found.why


def test_large_sizes_have_h_and_js() -> None:
    """Above 500 mm the classes that follow from the grade alone are there."""
    assert deviations("630", "H7") == Deviations(F(70, 1000), F(0))
    assert deviations("3150", "h6") == Deviations(F(0), F(-135, 1000))
    assert deviations("800.5", "JS9") == Deviations(F(115, 1000), F(-115, 1000))


def test_classes_are_found_by_their_deviations() -> None:
    """+0.021/0 at 25 mm is H7 and nothing else; k8 and H8 share theirs; odd figures are no class."""
    assert classes_with(F(25), F(21, 1000), F(0)) == ["H7"]
    assert set(classes_with(F(45), F(39, 1000), F(0))) == {"H8", "k8"}
    assert classes_with(F(25), F(28, 1000), F(7, 1000)) == ["G7"]
    assert classes_with(F(25), F(22, 1000), F(1, 1000)) == []
