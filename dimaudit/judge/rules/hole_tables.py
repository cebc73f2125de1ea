"""A hole table that says something else than the drawn holes."""

from collections.abc import Iterator
from fractions import Fraction

from dimaudit.exact.number import decimal_text
from dimaudit.judge.check import Rule, Sheet
from dimaudit.judge.values import value_verdict
from dimaudit.model.audit import Finding, Level, Verdict
from dimaudit.model.drawing import Point
from dimaudit.model.hole_table import Cell, Column, DrawnHole, HoleTable, TableRow, diameter_of
from dimaudit.text.places import size_text

NAME = "table-disagrees"
PLACES = ((Column.X, 0), (Column.Y, 1))
FINE = (Verdict.EXACT, Verdict.ROUNDED, Verdict.TIE)


def check(sheet: Sheet) -> Iterator[Finding]:
    """One finding for each cell, each row without a hole, each hole without a row, each table without an origin."""
    for table in sheet.hole_tables.tables:
        said = _Saying(sheet, table)
        if table.reason:
            yield said.finding(
                Level.NOTE, (table.handle,), f"the hole table is not checked: {table.reason}",
                "without an origin its numbers can't be compared with the drawing" if table.has_places
                else "which holes a row means can't be told",
                table.remedy, table.at,
            )  # fmt: skip
        for row in table.rows:
            yield from said.row(row)
        for loose in table.loose:
            why = f'its tag is "{loose.tag}"' if loose.tag else f'the title says "{table.title}"'
            yield said.finding(
                Level.WARNING, tuple(h for h in (loose.handle, *loose.hole.handles) if h),
                f"the table has no row for the {said.hole(loose.hole)}", why,
                "add the row, or take the tag away", loose.hole.at,
            )  # fmt: skip


class _Saying:
    """What is said about one table."""

    def __init__(self, sheet: Sheet, table: HoleTable) -> None:
        self.sheet, self.table, self.unit = sheet, table, sheet.drawing.unit
        self.numbers = {id(row): n for n, row in enumerate(table.rows, 1)}

    def row(self, row: TableRow) -> Iterator[Finding]:
        if self.table.origin is not None:
            if row.hole is None:
                cells = [row.cells[kind] for kind in (Column.TAG, Column.X, Column.Y) if kind in row.cells]
                yield self.finding(
                    Level.ERROR, tuple(cell.handle for cell in cells),
                    f"{self.named(row)}: no hole is drawn at {' '.join(f'{k} {row.cells[k].text}' for k, _ in PLACES)}",
                    f"counted from {self.table.origin_text}", "draw the hole, or correct the row", cells[0].at,
                )  # fmt: skip
            else:
                yield from self.places(row, row.hole)
        if row.hole is not None:
            yield from self.sizes(row, (row.hole,))
        elif row.tagged:
            yield from self.sizes(row, row.tagged)
            yield from self.quantity(row)

    def places(self, row: TableRow, hole: DrawnHole) -> Iterator[Finding]:
        if hole.centre is None:
            return
        for column, axis in PLACES:
            cell = row.cells[column]
            if cell.stated is None:
                continue
            verdict = value_verdict(hole.centre[axis], cell.stated.value, cell.stated.step)
            if verdict not in FINE:
                tied = "it is the one hole that no other row has" if row.guessed else f"the {self.hole(hole)} is meant"
                yield self.differs(row, column, hole, self.size(hole.centre[axis]), verdict, (
                    tied, f"counted from {self.table.origin_text}",
                    f"drawn - stated = {decimal_text(hole.centre[axis] - cell.stated.value, 9)}",
                ))  # fmt: skip

    def sizes(self, row: TableRow, holes: tuple[DrawnHole, ...]) -> Iterator[Finding]:
        cell = row.cells.get(Column.SIZE)
        stated = None if cell is None else diameter_of(cell, self.table.header[Column.SIZE])
        if stated is None:
            return
        for hole in holes:
            verdicts = [value_verdict(d, stated.value, stated.step) for d in hole.diameters]
            if not any(verdict in FINE for verdict in verdicts):
                verdict = Verdict.CUT_OFF if Verdict.CUT_OFF in verdicts else Verdict.WRONG
                drawn = ", ".join(f"Ø{self.size(d)}" for d in hole.diameters)
                yield self.differs(row, Column.SIZE, hole, drawn, verdict, (f"the {self.hole(hole)} is meant",))

    def quantity(self, row: TableRow) -> Iterator[Finding]:
        """Every hole has its tag, or one of them stands for all that are alike."""
        cell = row.cells.get(Column.QTY)
        if cell is None or cell.stated is None:
            return
        tagged = len(row.tagged)
        alike = {hole.alike for hole in row.tagged}
        if cell.stated.value not in {tagged, *alike}:
            counted = f"{tagged} with the tag" + (f", {max(alike)} of that size" if max(alike) != tagged else "")
            handles = tuple(dict.fromkeys(h for hole in row.tagged for h in hole.handles))
            yield self.finding(
                Level.ERROR, (cell.handle, *handles),
                f"{self.named(row)}, {Column.QTY}: stated {cell.text}, drawn {counted}",
                "the holes are counted in the view where the tags stand", "correct the quantity, or draw the holes",
                cell.at,
            )  # fmt: skip

    def differs(
        self, row: TableRow, column: Column, hole: DrawnHole, drawn: str, verdict: Verdict, why: tuple[str, ...]
    ) -> Finding:
        cell: Cell = row.cells[column]
        level, more = Level.ERROR, ""
        if verdict is Verdict.CUT_OFF:
            level, more = Level.WARNING, " (digits were cut off instead of rounded)"
        return self.finding(
            level, (cell.handle, *hole.handles),
            f"{self.named(row)}, {column}: stated {cell.text}, drawn {drawn}{more}", "; ".join(why),
            "correct the table, or the hole", cell.at,
        )  # fmt: skip

    def finding(
        self, level: Level, handles: tuple[str, ...], message: str, why: str, suggestion: str, at: Point
    ) -> Finding:
        return Finding(
            rule=NAME, level=level, handles=handles, message=message, why=tuple(why.split("; ")),
            suggestion=suggestion, at=(float(at[0]), float(at[1])), layout=self.table.layout, view=self.table.view,
            subject="hole table",
        )  # fmt: skip

    def named(self, row: TableRow) -> str:
        return f'hole table, row "{row.tag}"' if row.tag else f"hole table, row {self.numbers[id(row)]}"

    def hole(self, hole: DrawnHole) -> str:
        sizes = "/".join(f"Ø{self.size(d)}" for d in hole.diameters)
        if hole.centre is None:
            return f"{sizes} hole"
        return f"{sizes} hole at ({self.size(hole.centre[0])}, {self.size(hole.centre[1])})"

    def size(self, value: Fraction) -> str:
        return size_text(value, self.unit)


RULE = Rule(NAME, Level.ERROR, "a hole table says something else than the drawn holes", check)
