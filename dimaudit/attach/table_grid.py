"""Texts that stand in rows and columns under a heading of X and Y, or of hole, size and quantity.

What makes a table is its words, not its lines: many are drawn without any. Doubles serve for seeing
which texts stand in a row; the numbers in the cells are exact.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import pairwise

from dimaudit.model.drawing import Note
from dimaudit.model.hole_table import Cell, Column
from dimaudit.model.stated import Stated
from dimaudit.model.units import INCHES, Unit, conversion
from dimaudit.text.grammar import read_text
from dimaudit.text.markup import plain_text
from dimaudit.text.table_words import heading, names_holes, of_something_round

# In heights of the heading's letters; common practice, no source.
IN_A_ROW = 0.6
FURTHEST_COLUMN = 40.0
FURTHEST_ROW = 6.0
TITLE_ABOVE = 5.0
FURTHER = 1.6
"""Rows are evenly spaced: what stands this many times further down is no row."""

LONGEST = 10**9
"""No place or quantity on a drawing is larger."""
FINEST_FRACTION = 64
"""A fraction in lowest terms hides the denominator that it was rounded to; it is taken to the 64th of an inch."""
HIDDEN_STEP = {True: Fraction(1, 1000), False: Fraction(1, 100)}
"""For inches and millimetres: what whole numbers are taken to, where no cell of the table shows a decimal."""


@dataclass(frozen=True, slots=True)
class Grid:
    """A table as it stands on the sheet, not yet tied to anything."""

    header: dict[Column, Cell]
    rows: list[dict[Column, Cell]]
    title: str
    handles: tuple[str, ...]
    """Of all its texts."""
    whole: bool
    """Whether nothing stands beneath it that could be a further row."""

    @property
    def names_holes(self) -> bool:
        """Whether its own words say that it is about holes."""
        return names_holes(self.title) or any(names_holes(cell.text) for cell in self.header.values())


@dataclass(frozen=True, slots=True)
class _Text:
    note: Note
    text: str
    x: float
    y: float
    height: float


@dataclass(slots=True)
class _Header:
    """Heading texts of one table, from left to right."""

    columns: list[tuple[_Text, Column]] = field(default_factory=list)
    units: dict[Column, Unit] = field(default_factory=dict)

    @property
    def kinds(self) -> set[Column]:
        return {kind for _, kind in self.columns}

    def column(self, kind: Column) -> _Text | None:
        return next((text for text, own in self.columns if own is kind), None)


def find_grids(notes: Sequence[Note], separator: str, unit: Unit | None) -> list[Grid]:
    """The tables among the texts of one layout."""
    lines = _lines(notes)
    grids = []
    for k, line in enumerate(lines):
        headers = [h for h in _headers(line) if _is_header(h, lines, k)]
        for n, header in enumerate(headers):
            limit = headers[n + 1].columns[0][0].x if n + 1 < len(headers) else None
            grid = _grid(header, limit, lines, k, separator, unit)
            if grid is not None:
                grids.append(grid)
    return grids


def _lines(notes: Sequence[Note]) -> list[list[_Text]]:
    """Level texts in rows from the top, each row from left to right."""
    texts = [
        _Text(note, " ".join(plain_text(note.text).split()), float(note.at[0]), float(note.at[1]), float(note.height))
        for note in notes
        if note.turn % 360 == 0 and len(note.text) <= 1000
    ]
    lines: list[list[_Text]] = []
    for text in sorted((t for t in texts if t.text and t.height > 0), key=lambda t: -t.y):
        if lines and lines[-1][0].y - text.y <= IN_A_ROW * lines[-1][0].height:
            lines[-1].append(text)
        else:
            lines.append([text])
    return [sorted(line, key=lambda t: t.x) for line in lines]


def _headers(line: Sequence[_Text]) -> Iterator[_Header]:
    """Runs of headings; where X, Y or the tag come again, the next table beside begins."""
    if not any(heading(text.text)[0] in (Column.X, Column.TAG) for text in line):
        return
    current = _Header()
    for text in line:
        kind, unit = heading(text.text)
        far = bool(current.columns) and text.x - current.columns[-1][0].x > FURTHEST_COLUMN * text.height
        again = kind in (Column.X, Column.Y) and kind in current.kinds
        next_tag = kind is Column.TAG and kind in current.kinds and len(current.kinds) > 2
        if current.columns and (far or again or next_tag):
            yield current
            current = _Header()
        if not current.columns and kind is None:
            continue  # a table begins with a known heading
        current.columns.append((text, Column.OTHER if kind is None or kind in current.kinds else kind))
        if unit is not None and kind is not None:
            current.units.setdefault(kind, unit)
    if current.columns:
        yield current


def _is_header(header: _Header, lines: Sequence[Sequence[_Text]], k: int) -> bool:
    """X and Y side by side; or tag, size and quantity where the heading or the title speaks of holes or diameters."""
    kinds = header.kinds
    if {Column.X, Column.Y} <= kinds:
        return True
    if not {Column.TAG, Column.SIZE, Column.QTY} <= kinds:
        return False
    size = header.column(Column.SIZE)
    round_ = size is not None and of_something_round(size.text)
    speaks = any(names_holes(text.text) for text, _ in header.columns) or names_holes(_title(header, lines, k))
    return speaks or round_  # where nothing speaks of holes, the tags beside holes must


def _title(header: _Header, lines: Sequence[Sequence[_Text]], k: int) -> str:
    """The text right above the heading, within its width."""
    first, last = header.columns[0][0], header.columns[-1][0]
    for line in reversed(lines[max(0, k - 3) : k]):
        for text in line:
            slack = 2 * first.height
            above = text.y - first.y <= TITLE_ABOVE * first.height
            if above and first.x - slack <= text.x <= last.x + slack:
                return text.text
    return ""


def _grid(
    header: _Header, limit: float | None, lines: Sequence[Sequence[_Text]], k: int, separator: str, unit: Unit | None
) -> Grid | None:
    columns = header.columns
    first, last = columns[0][0], columns[-1][0]
    gaps = [b.x - a.x for (a, _), (b, _) in pairwise(columns)]
    left = first.x - 0.6 * gaps[0]
    right = last.x + max(gaps[-1], 10 * last.height) if limit is None else limit - 0.3 * gaps[0]
    separator = _separator([t.text for line in lines[k + 1 :] for t in line if left <= t.x < right], separator)
    rows: list[dict[Column, Cell]] = []
    above, reach, whole = first.y, FURTHEST_ROW * first.height, True
    for line in lines[k + 1 :]:
        texts = [t for t in line if left <= t.x < right]
        if not texts:
            continue
        gap = above - texts[0].y
        if gap > reach:
            break
        row = _row(texts, columns, separator)
        if not row.keys() & {Column.TAG, Column.X, Column.Y, Column.QTY}:
            continue  # a second line of a description
        if not _holds(row, header.kinds):
            whole = False
            break
        if rows:
            reach = min(reach, FURTHER * gap)
        above = texts[0].y
        rows.append(row)
    if len(rows) < (2 if Column.X in header.kinds else 1):
        return None
    handles = [text.note.origin.handle for text, _ in columns]
    handles += [cell.handle for row in rows for cell in row.values()]
    heads: dict[Column, Cell] = {kind: _cell(text) for text, kind in columns if kind is not Column.OTHER}
    rows = _stepped(rows, (Column.X, Column.Y), header.units, unit)
    rows = _stepped(rows, (Column.SIZE,), header.units, unit)
    return Grid(heads, rows, _title(header, lines, k), tuple(handles), whole)


def _cell(text: _Text, stated: Stated | None = None) -> Cell:
    return Cell(text.note.origin.handle, text.text, text.note.at, stated)


def _row(
    texts: Sequence[_Text], columns: Sequence[tuple[_Text, Column]], separator: str
) -> dict[Column, Cell]:
    """The cells of one row: one for each heading in order where there are as many, else each under the nearest."""
    if len(texts) == len(columns):
        pairs = [(text, kind) for text, (_, kind) in zip(texts, columns, strict=True)]
    else:
        pairs = [(text, min(columns, key=lambda c: abs(c[0].x - text.x))[1]) for text in texts]
    row: dict[Column, Cell] = {}
    for text, kind in pairs:
        reading = None if kind in (Column.TAG, Column.OTHER) else read_text(text.text, separator=separator)
        row.setdefault(kind, _cell(text, reading if isinstance(reading, Stated) else None))
    return row


def _holds(row: dict[Column, Cell], kinds: set[Column]) -> bool:
    """Whether a row has what its table is about: two places, or a tag and a quantity."""
    if Column.X in kinds:
        return all(kind in row and _plain(row[kind].stated) for kind in (Column.X, Column.Y))
    return bool(row.get(Column.TAG) and row.get(Column.QTY) and _plain(row[Column.QTY].stated))


def _plain(stated: Stated | None) -> bool:
    """A number and nothing else, of a length that something can have."""
    if stated is None or abs(stated.value) > LONGEST:
        return False
    return stated.sign is None and stated.limits is None and stated.unit is not Unit.DEGREE


def _separator(texts: Sequence[str], given: str) -> str:
    """The decimal sign of the table: a comma where there are commas and no points."""
    numbers = [text for text in texts if text.strip("+-").replace(",", "").replace(".", "").isdigit()]
    if any("." in text for text in numbers):
        return "."
    return "," if any("," in text for text in numbers) else given


def _stepped(
    rows: list[dict[Column, Cell]], kinds: Sequence[Column], units: dict[Column, Unit], unit: Unit | None
) -> list[dict[Column, Cell]]:
    """The numbers of these columns in the drawing's unit, each with the last place that it stands for.

    Where no number ends in a zero behind its point, zeros were left out: all stand for the finest place written.
    """
    stated = [cell.stated for row in rows for kind in kinds if (cell := row.get(kind)) and cell.stated is not None]
    decimals = [s for s in stated if s.places]
    kept = any((s.value / s.step) % 10 == 0 for s in decimals)
    finest = min((s.step for s in decimals), default=HIDDEN_STEP[unit in INCHES])

    def with_step(kind: Column, s: Stated) -> Stated:
        step = s.step
        if s.denominator is not None and s.denominator > 1:
            step = s.step * s.denominator / max(FINEST_FRACTION, s.denominator)
        elif not kept or not s.places:
            step = min(step, finest)
        own = s.unit or units.get(kind)
        factor = conversion(own, unit) if own is not None and unit is not None and own is not Unit.DEGREE else 1
        return replace(s, value=s.value * factor, step=step * factor)

    return [
        {
            kind: replace(cell, stated=with_step(kind, cell.stated)) if kind in kinds and cell.stated else cell
            for kind, cell in row.items()
        }
        for row in rows
    ]
