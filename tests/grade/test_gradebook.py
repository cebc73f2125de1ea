"""The gradebook: numbers stay numbers, texts stay texts, and every mark can be done again by hand."""

import csv
import re
from fractions import Fraction
from io import BytesIO, StringIO

import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from dimaudit.grade.explained import alignment_text, explained, mark_of
from dimaudit.grade.gradebook import cells, gradebook_csv, gradebook_xlsx, headings, number_text, rows_of
from dimaudit.grade.remarks import Remark, Remarks
from dimaudit.grade.state import Result
from dimaudit.grade.summary import alike_text, summarise
from dimaudit.model.grading import (
    Alignment,
    Asked,
    Criterion,
    CriterionMark,
    Deduction,
    ForAPerson,
    Graded,
    Rubric,
)
from dimaudit.report.cells import defused

F = Fraction
RUBRIC = Rubric("key.dxf", "k" * 64, "Cleat plate", (Asked(Criterion.FEATURES, F(40)), Asked(Criterion.SIZES, F(60))),
                round_to=F(1, 2))  # fmt: skip


def graded(
    name: str, features: object = 40, sizes: object = 60, sha: str = "", geometry: str = "", person: str = ""
) -> Graded:
    """Points that two criteria gave; what is missing was taken by one deduction each."""
    marks = []
    for criterion, most, got in ((Criterion.FEATURES, F(40), features), (Criterion.SIZES, F(60), sizes)):
        value = F(str(got))
        lost = (Deduction(criterion, most - value, "=one thing", ("because",), ("4F",)),) if value < most else ()
        waits = person if criterion is Criterion.SIZES else ""
        marks.append(CriterionMark(criterion, most, 4, most / 4, lost, F(0) if waits else value, waits))
    return Graded(name, f"class/{name}.dxf", sha or name, Alignment(), tuple(marks), geometry or name)


def person(name: str) -> ForAPerson:
    return ForAPerson(name, f"class/{name}.dwg", "", "another format", "export it")


def read_csv(results: list[Result], remarks: Remarks = Remarks()) -> list[dict[str, str]]:  # noqa: B008
    data = gradebook_csv(rows_of(results, RUBRIC, remarks), RUBRIC)
    return list(csv.DictReader(StringIO(data.decode("utf-8-sig"), newline="")))


def read_xlsx(results: list[Result], remarks: Remarks = Remarks()) -> openpyxl.Workbook:  # noqa: B008
    book = gradebook_xlsx(
        rows_of(results, RUBRIC, remarks), RUBRIC, results, summarise(results, RUBRIC, remarks)
    )
    return openpyxl.load_workbook(BytesIO(book))


# --- rows ----------------------------------------------------------------------------------------


def test_a_row_says_what_each_criterion_gave():
    """The mark is the rounded sum: 40 + 25.25 = 65.25, half up to halves: 65.5."""
    (row,) = read_csv([graded("ines", 40, "25.25")])
    numbers = [row[c] for c in ("mark", "of", "features", "sizes", "as graded")]
    assert numbers == ["65.5", "100", "40", "25.25", "65.5"]
    assert row["file"] == "class/ines.dxf"


def test_what_is_for_a_person_has_no_mark_and_a_reason():
    """Never a zero."""
    (row,) = read_csv([person("tor")])
    assert row["mark"] == row["features"] == row["as graded"] == ""
    assert row["for a person"] == "another format: export it"


def test_a_criterion_for_a_person_is_neither_given_nor_taken():
    """The mark is out of what was judged, and the cell is empty."""
    (row,) = read_csv([graded("ines", 30, 60, person="cannot be told")])
    assert (row["mark"], row["of"], row["sizes"]) == ("30", "40", "")
    assert row["for a person"] == "sizes (60 points): cannot be told"


def test_the_instructors_mark_counts_and_the_graded_one_stays_to_be_seen():
    """For a submission that was graded, and for one that could not be."""
    remarks = Remarks({"ines": Remark("good", F(90)), "tor": Remark("", F(50))})
    ines, tor = read_csv([graded("ines", 30), person("tor")], remarks)
    assert (ines["mark"], ines["as graded"], ines["changed mark"], ines["remarks"]) == ("90", "90", "90", "good")
    assert (tor["mark"], tor["as graded"], tor["changed mark"]) == ("50", "", "50")


@pytest.mark.parametrize(("value", "text"), [(F(1, 3), "0.3333"), (F(2, 3), "0.6667"), (F(1, 8), "0.125"), (F(7), "7")])
def test_numbers_are_plain_decimals(value, text):
    """Rounded once, half up, from the exact value."""
    assert number_text(value) == text


# --- formulas ------------------------------------------------------------------------------------


hostile = st.sampled_from(["=1+1", "+cmd", "-2", "@SUM(A1)", "\t=1", "\r=1", " =1", "＝1", "\u200b=1", '"=1', "'=1"])
texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=40)


@given(st.one_of(texts, st.tuples(hostile, texts).map("".join)))
def test_no_text_of_the_csv_begins_as_a_formula_does(text):
    """The rule of common practice: none begins with = + - @ tab or return, blanks before it left aside."""
    shown = defused(text)
    assert not re.match(r"[=+\-@\t\r＝＋－＠]", shown.strip())
    assert re.sub(r"^'", "", shown) or not text.strip("\t\r\n ")


def test_a_defused_name_stays_readable():
    """An apostrophe in front, and nothing else changed."""
    assert defused("=ines") == "'=ines"
    assert defused("ines-2") == "ines-2"


@given(texts, texts)
def test_hostile_texts_come_back_from_the_csv_in_their_own_cell(name, remark):
    """Commas, quotation marks and line ends break no row."""
    (row,) = read_csv([graded(name or "a")], Remarks({name or "a": Remark(remark)}))
    assert row["name"] == defused(name or "a")
    assert row["file"] == defused(f"class/{name or 'a'}.dxf")


@given(st.one_of(texts, st.tuples(hostile, texts).map("".join)))
def test_no_cell_of_the_workbook_is_a_formula(name):
    """By a reader of others: every cell is a number or a text."""
    book = read_xlsx([graded(name or "a", 30), person(name or "b")], Remarks({name: Remark(name)}))
    for sheet in book.worksheets:
        for cell in (c for line in sheet.iter_rows() for c in line):
            assert cell.data_type in ("n", "s", "inlineStr"), cell.value
            assert cell.hyperlink is None


# --- the workbook --------------------------------------------------------------------------------


def test_the_workbook_holds_the_rows_of_the_csv():
    """Numbers as numbers, by a reader of others."""
    results: list[Result] = [graded("ines", 30, "25.25"), person("tor")]
    sheet = read_xlsx(results)["marks"]
    lines = list(sheet.iter_rows(values_only=True))
    assert list(lines[0]) == headings(RUBRIC)
    expected = [
        [None if c in (None, "") else float(c) if isinstance(c, Fraction) else c for c in cells(row)]
        for row in rows_of(results, RUBRIC, Remarks())
    ]
    assert [list(line) for line in lines[1:]] == expected


def test_each_lost_point_has_its_reason_in_the_workbook():
    """One line for each deduction."""
    sheet = read_xlsx([graded("ines", 30)])["points lost"]
    (line,) = sheet.iter_rows(min_row=2, values_only=True)
    assert line == ("ines", "features", 10, "=one thing", "because", "4F")


def test_the_same_rows_give_the_same_bytes():
    """No clock is in them."""
    results: list[Result] = [graded("ines", 30), person("tor")]
    rows, summary = rows_of(results, RUBRIC, Remarks()), summarise(results, RUBRIC, Remarks())
    first = gradebook_xlsx(rows, RUBRIC, results, summary)
    assert gradebook_xlsx(rows, RUBRIC, results, summary) == first


# --- by hand -------------------------------------------------------------------------------------


def test_a_mark_is_explained_to_the_point():
    """What is shown is all that is needed to do it again."""
    lines = [f"{'  ' * n}{line}" for n, line in explained(graded("ines", "30.5", "179/3"), RUBRIC)]
    assert lines == [
        "ines: 90 of 100",
        "  laid on the key: as it is",
        "  features: 30.5 of 40; 4 things asked, 10 each",
        "    -9.5: =one thing",
        "      because",
        "      entity in the drawing (handle): 4F",
        "    40 - 9.5 = 30.5",
        "  sizes: 179/3, about 59.67, of 60; 4 things asked, 15 each",
        "    -1/3: =one thing",
        "      because",
        "      entity in the drawing (handle): 4F",
        "    60 - 1/3 = 179/3, about 59.67",
        "  sum: 30.5 + 179/3 = 541/6, about 90.17, rounded half up to a multiple of 0.5: 90",
    ]


def test_more_than_there_is_can_not_be_lost():
    """The floor is said."""
    lost = tuple(Deduction(Criterion.SIZES, F(4), "a size") for _ in range(3))
    mark = CriterionMark(Criterion.SIZES, F(10), 2, F(4), lost, F(0))
    lines = [line for _, line in explained(Graded("a", "", "", Alignment(), (mark,), ""), RUBRIC)]
    assert "10 - 4 - 4 - 4 = -2, never below 0: 0" in lines


def test_what_a_person_must_give_is_said_in_the_sum():
    """Points that are open."""
    lines = [line for _, line in explained(graded("a", 40, 60, person="cannot be told"), RUBRIC)]
    assert "sizes: for a person, 60 points open: cannot be told" in lines
    assert lines[-1] == "60 points more are for a person to give"


@given(st.fractions(0, 40, max_denominator=50), st.fractions(0, 60, max_denominator=50))
def test_the_shown_sums_are_right(features, sizes):
    """Each line with an equals sign is arithmetic that holds, and the last number is the mark."""
    result = graded("a", features, sizes)
    for _, line in explained(result, RUBRIC):
        found = re.fullmatch(r"(?:sum: )?([0-9./+ -]+) = ([0-9./]+)(?:, .*)?", line)
        if found:
            terms = re.findall(r"(^|[+-] )([0-9./]+)", found[1])
            assert sum((-1 if sign.startswith("-") else 1) * F(n) for sign, n in terms) == F(found[2])
    total = features + sizes
    assert abs(mark_of(result, RUBRIC) - total) <= F(1, 4)
    assert (mark_of(result, RUBRIC) * 2).denominator == 1


def test_an_alignment_in_words():
    """In the order in which it is done."""
    assert alignment_text(Alignment(F(127, 5), True, 3, (F(1, 2), F(0)))) == (
        "scaled by 25.4, mirrored, turned by 270°, moved by (0.5, 0)"
    )


# --- the class -----------------------------------------------------------------------------------


def test_a_class_in_values():
    """Who lost points in what, the spread, the middle; what is for a person counts nowhere."""
    results: list[Result] = [
        graded("a"), graded("b", 30), graded("c", 20, 30), person("d"), graded("e", 40, 60, person="look"),
    ]  # fmt: skip
    summary = summarise(results, RUBRIC, Remarks())
    assert summary.marks == (50, 90, 100)
    assert (summary.middle, summary.mean) == (90, 80)
    assert summary.for_a_person == ("d", "e")
    assert [(m.criterion, m.by, m.of, m.points) for m in summary.missed] == [
        (Criterion.FEATURES, 2, 4, 30), (Criterion.SIZES, 1, 3, 30),
    ]  # fmt: skip
    assert summary.spread == (0, 0, 0, 0, 0, 1, 0, 0, 0, 2)


def test_a_changed_mark_counts_in_the_class():
    """Also for what could not be graded; it is then no more for a person."""
    summary = summarise([graded("a"), person("d")], RUBRIC, Remarks({"d": Remark("", F(70))}))
    assert summary.marks == (70, 100)
    assert summary.for_a_person == ()


def test_identical_layouts_are_named_with_what_that_means():
    """Right ones are alike by themselves; those with the same faults are not."""
    results: list[Result] = [
        graded("a", 30, sha="1", geometry="x"), graded("b", 30, sha="2", geometry="x"),
        graded("c", sha="3", geometry="y"), graded("d", sha="4", geometry="y"),
        graded("e", 20, sha="5", geometry="z"), graded("f", 20, sha="5", geometry="z"),
        graded("g", sha=RUBRIC.key_sha256, geometry="w"), graded("h", geometry="v"),
    ]  # fmt: skip
    assert [alike_text(a) for a in summarise(results, RUBRIC, Remarks()).alike] == [
        "a, b: identical geometry, with the same faults",
        "c, d: identical geometry, without a fault: right layouts in the same place are alike",
        "e, f: one and the same file, with the same faults",
        "g: the key itself, handed in",
    ]


def test_a_class_without_marks():
    """All for a person: no mean, no middle, no division by zero."""
    summary = summarise([person("a")], RUBRIC, Remarks())
    assert (summary.middle, summary.mean, summary.marks) == (None, None, ())
    assert read_xlsx([person("a")])["class"]["B2"].value == 1
