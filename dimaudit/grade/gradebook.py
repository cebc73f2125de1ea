"""The gradebook: one row a submission, as CSV and as a workbook. No text in it is ever a formula."""

import csv
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction
from io import BytesIO, StringIO

from dimaudit.exact.number import Rounding, decimal_places, fixed_text, round_to
from dimaudit.grade.explained import mark_of, out_of
from dimaudit.grade.remarks import Remarks
from dimaudit.grade.state import Result
from dimaudit.grade.summary import Summary, summary_rows
from dimaudit.grade.words import points_text
from dimaudit.model.grading import Criterion, ForAPerson, Graded, Rubric
from dimaudit.report.cells import LONGEST, defused
from dimaudit.report.visible import for_xml

PLACES = 4
"""Decimals of a number in the gradebook; what does not end there is rounded half up, once, from the exact value."""

Cell = str | Fraction | None


@dataclass(frozen=True, slots=True)
class Row:
    """One submission in the gradebook."""

    name: str
    mark: Fraction | None
    """That counts: the instructor's, else the graded one; None where a person has to give it."""
    of: Fraction
    """The most that could be given by what was judged."""
    criteria: dict[Criterion, Fraction | None]
    """None where a person has to say."""
    graded: Fraction | None
    changed: Fraction | None
    remark: str
    for_a_person: str
    seen: str
    """What the grader remarks on."""
    path: str


def rows_of(results: Iterable[Result], rubric: Rubric, remarks: Remarks) -> list[Row]:
    """The rows, in the order of the results."""
    return [_row(result, rubric, remarks) for result in results]


def _row(result: Result, rubric: Rubric, remarks: Remarks) -> Row:
    own = remarks.about(result.name)
    remark = "; ".join(part for part in (own.remark.strip(), own.stale) if part)
    asked = [a.criterion for a in rubric.criteria]
    if isinstance(result, ForAPerson):
        of = sum((a.points for a in rubric.criteria), Fraction(0))
        why = f"{result.why}: {result.to_do}"
        return Row(result.name, own.mark, of, dict.fromkeys(asked), None, own.mark, remark, why, "", result.path)
    mark = mark_of(result, rubric)
    open_ = [
        f"{m.criterion} ({points_text(m.points)} points): {m.for_a_person}" for m in result.marks if m.for_a_person
    ]
    found = {m.criterion: None if m.for_a_person else m.got for m in result.marks}
    return Row(
        result.name, mark if own.mark is None else own.mark, out_of(result), {c: found.get(c) for c in asked}, mark,
        own.mark, remark, "; ".join(open_), "; ".join(result.remarks), result.path,
    )  # fmt: skip


def headings(rubric: Rubric) -> list[str]:
    """Of the columns. `mark` is the one that counts."""
    return ["name", "mark", "of", *(str(a.criterion) for a in rubric.criteria), "as graded", "changed mark", "remarks",
            "for a person", "seen", "file"]  # fmt: skip


def cells(row: Row) -> list[Cell]:
    """In the order of the headings."""
    return [row.name, row.mark, row.of, *row.criteria.values(), row.graded, row.changed, row.remark, row.for_a_person,
            row.seen, row.path]  # fmt: skip


def gradebook_csv(rows: Sequence[Row], rubric: Rubric) -> bytes:
    """UTF-8 with a mark before the first line, so that spreadsheets read names right; lines end as RFC 4180 has it."""
    buffer = StringIO(newline="")
    writer = csv.writer(buffer, lineterminator="\r\n")
    writer.writerow(headings(rubric))
    for row in rows:
        writer.writerow([_csv_cell(cell) for cell in cells(row)])
    return buffer.getvalue().encode("utf-8-sig")


def _csv_cell(cell: Cell) -> str:
    if cell is None:
        return ""
    return number_text(cell) if isinstance(cell, Fraction) else defused(cell)


def number_text(value: Fraction) -> str:
    """A number as a plain decimal."""
    places = decimal_places(value)
    if places is not None and places <= PLACES:
        return fixed_text(value, places)
    return fixed_text(round_to(value, Fraction(1, 10**PLACES), Rounding.HALF_UP), PLACES)


def gradebook_xlsx(rows: Sequence[Row], rubric: Rubric, results: Sequence[Result], summary: Summary) -> bytes:
    """A workbook: the marks; each point that was lost, with its reason; the class as a whole. For the instructor."""
    import xlsxwriter

    buffer = BytesIO()
    book = xlsxwriter.Workbook(
        buffer, {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False}
    )
    title = for_xml(rubric.title)
    book.set_properties({"title": title, "created": datetime(2000, 1, 1)})  # no clock: the same bytes every time
    bold, wrap = book.add_format({"bold": True}), book.add_format({"text_wrap": True, "valign": "top"})
    top = book.add_format({"valign": "top"})
    sheets: list[tuple[str, list[list[Cell]], list[int]]] = [
        ("marks", [list(headings(rubric)), *map(cells, rows)],
         [24, 8, 6, *(11 for _ in rubric.criteria), 10, 12, 40, 40, 40, 30]),
        ("points lost", [["name", "criterion", "points", "what", "why", "handles"], *_lost(results)],
         [24, 14, 8, 60, 60, 20]),
        ("class", summary_rows(summary), [30, 12, 12, 60]),
    ]  # fmt: skip
    for name, table, widths in sheets:
        sheet = book.add_worksheet(name)
        sheet.freeze_panes(1, 1)
        for column, width in enumerate(widths):
            sheet.set_column(column, column, width)
        for r, line in enumerate(table):
            for c, cell in enumerate(line):
                if isinstance(cell, Fraction):
                    sheet.write_number(r, c, float(number_text(cell)), top)
                elif cell:
                    sheet.write_string(r, c, for_xml(cell, LONGEST), bold if r == 0 else wrap)
    book.close()
    return buffer.getvalue()


def _lost(results: Iterable[Result]) -> Iterator[list[Cell]]:
    for result in results:
        if isinstance(result, Graded):
            for mark in result.marks:
                for d in mark.deductions:
                    taken = Fraction(0) if mark.for_a_person else d.points
                    why = "; ".join((*d.why, *((f"follows from {d.follows}",) if d.follows else ())))
                    yield [result.name, str(d.criterion), taken, d.what, why, ", ".join(d.handles)]
