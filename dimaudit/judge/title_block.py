"""The title block: general tolerances, unit and scale, read from the notes of a sheet.

A statement is taken only where the whole of it is understood. A value that no shop would state is not believed, and of
two that contradict each other none is. Cells of a table that are texts of their own are put together by their places.

The forms are common practice, no source; the tolerance follows the number of decimals that are written. Classes are
those of ISO 2768-1.
"""

import re
from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from dimaudit.exact.number import decimal_text
from dimaudit.judge.tolerance_like import MOST_TEXTS, Spot, beside_others, heading, in_the_block, spelt_out
from dimaudit.model.drawing import Note, Space
from dimaudit.model.general import (
    Form,
    GeneralTolerance,
    GeneralTolerances,
    Iso2768,
    ReadAs,
    TitleBlock,
)
from dimaudit.model.units import IN_MM, INCHES, Unit
from dimaudit.tables.iso2768 import CLASSES
from dimaudit.text.markup import plain_text
from dimaudit.text.numbers import Amount, Context, Unclear, amount

TITLE_BLOCK = "title block"
MOST_CELLS = 500
"""More texts than this that look like cells of a tolerance table are no title block."""
LONGEST_SHOWN = 60
"""Characters of a text that is not understood."""
WIDEST_LAST_PLACE = 100
"""A tolerance of more than so many units in the last written place is not believed ('.XX ±2')."""
FINEST_LAST_PLACE = 100
"""Nor is one of less than one such part of the last written place ('.XX ±.00001')."""
WIDEST_MM = Fraction(254, 10)
"""A general tolerance of lengths above this is not believed."""
WIDEST_DEGREES = Fraction(10)

CONTRADICTION = "it is stated in two ways that contradict each other: none is used"
ORDER = "more decimals have a wider tolerance than fewer: none of the table is used"
PLACES_DIFFER = "the words and the X's name different numbers of decimals"
NOT_A_NUMBER = "the number behind ± can't be read"
MINUTES = "60 minutes or seconds are written beside the next larger unit, or more"

_PLUS_MINUS = re.compile(r"\+ ?/ ?-|\+-|\+_|± *± *")
_NUMBER_NEXT = re.compile(r"± ?[0-9.,]")
_LIST_NUMBER = re.compile(r"\(?[0-9]{1,2}[.):]\)? +")
_UNLESS = re.compile(
    r"[ ,(]?UNLESS (?:OTHERWISE |NOTED |SPECIFIED |STATED |INDICATED |SHOWN |MARKED )*"
    r"(?:OTHERWISE|NOTED|SPECIFIED|STATED|INDICATED|SHOWN|MARKED)\)?(?:[.](?= |$)|[ ,:])*"
)
_COUNTS = {"ONE": 1, "TWO": 2, "THREE": 3, "FOUR": 4, "FIVE": 5} | {str(n): n for n in range(1, 6)}
_KEY = re.compile(
    r"(?<![A-Z0-9.,])(?:"
    r"(?P<x>[X0]{0,4}[.,]X{1,6}|X{1,6}[.]?)(?P<degree> ?°)?(?![A-Z0-9.,])"
    r"|(?P<n>ONE|TWO|THREE|FOUR|FIVE|[1-5])[ -]*(?:(?:PLACE|PLC|PL)[. -]*(?:DECIMALS?|DEC)(?![A-Z])"
    r"|DECIMAL[ -]*PLACES?(?![A-Z])|DECIMALS(?![A-Z])|DEC[. -]*(?:PLACES?|PL)(?![A-Z])|PLACE(?![A-Z])"
    r"|(?P<count>(?:PLACES|PLCS|PLC|PL)(?![A-Z])[.]?))(?: ?[(\[](?P<again>[X0]?[.,]X{1,6})[)\]])?"
    r"|(?P<fraction>FRACTION(?:S|AL)?|FRACT?S?)(?![A-Z])"
    r"|(?P<angle>ANGLES?|ANGULAR|ANG)(?![A-Z])(?: (?:DIMENSIONS?|DIMS?)(?![A-Z]))?"
    r"|(?P<length>(?:(?:ALL|GENERAL|STANDARD|LINEAR|OVERALL) ){0,3}"
    r"(?:DIMENSIONS?|DIMS?|TOLERANCES?|TOL|LINEAR|LENGTHS?|DECIMALS?)(?![A-Z])(?: (?:ARE|IS|TO BE)(?![A-Z]))?)"
    r")"
)
_LINK = re.compile(r"[ .:=)\]]*(?:(?:TOLERANCES?|TOL)[ .:=]*)?(?:MACH(?:INED|INING)?[ .:=]*)?")
_BEND = re.compile(r"[ ,;]*BENDS?[ .:=]*(?=±)")
_CUT = re.compile(r"[0-9]|[.,][0-9]|/ ?[0-9]|E[+-]?[0-9]")
"""What goes on with a number where it was thought to end."""
_SIXTY = r"(?:[6-9][0-9]|[0-9]{3,})(?:[.,][0-9]+)?"
_BEHIND_DEGREES = re.compile(rf"° ?{_SIXTY} ?['\"]|' ?{_SIXTY} ?\"")
_COLUMN = re.compile(r"(?P<fraction>FRACTION(?:S|AL)?)|(?P<angle>ANGLES?|ANGULAR)|(?P<places>DECIMALS?)")
_AFTER_LENGTH = re.compile(r"[ .,;]*(?:$|(?:ANG|FRAC|DEC|X|[.,]X|[0-9] PL))")
_UNIT_WORDS = {
    "MM": Unit.MILLIMETRE, "MILLIMET": Unit.MILLIMETRE, "MILIMET": Unit.MILLIMETRE, "CM": Unit.CENTIMETRE,
    "CENTIMET": Unit.CENTIMETRE, "MET": Unit.METRE, "INCH": Unit.INCH, "FEET": Unit.FOOT, "FOOT": Unit.FOOT,
}  # fmt: skip
UNIT_NAMES = {
    Unit.MILLIMETRE: "millimetres", Unit.CENTIMETRE: "centimetres", Unit.METRE: "metres", Unit.INCH: "inches",
    Unit.FOOT: "feet",
}  # fmt: skip
_UNIT = (
    r"(?P<unit>MM|MILLI?MET(?:RES?|ERS?|RIC)|CM|CENTIMET(?:RES?|ERS?)|MET(?:RES?|ERS?)|INCH(?:ES)?|FEET|FOOT)(?![A-Z])"
    r"(?! *(?:/|&|AND|OR) *[A-Z])"
)
_SAYS_UNIT = re.compile(
    r"(?:^|(?<=[.;:,-]) *)(?:(?:ALL|LINEAR) ){0,2}(?:DIMENSIONS?|DIMS?|SIZES|MEASUREMENTS|UNITS?)(?![A-Z])[.]?"
    r"(?: (?:ARE|IS|GIVEN|SHOWN|EXPRESSED)(?![A-Z])){0,3}(?: IN(?![A-Z]))?[ :=]*" + _UNIT
)
_UNIT_LABEL = re.compile(r"(?:(?:ALL|LINEAR) )?(?:DIMENSIONS|UNITS?)(?: (?:ARE )?IN)? *[:=]?")
_UNIT_VALUE = re.compile(_UNIT + r"[. ]*")
_SCALE_VALUE = (
    r"(?P<scale>[0-9]{1,5}(?:[.,][0-9]{1,4})? *[:=] *[0-9]{1,5}(?:[.,][0-9]{1,4})?|[0-9]{1,3}/[0-9]{1,3}"
    r"|FULL(?: SIZE| SCALE)?|HALF(?: SIZE| SCALE)?|N[.]?T[.]?S[.]?|NOT TO SCALE|NONE|AS (?:SHOWN|NOTED))"
)
_SHEET = r"(?:[,;]? *SHEET *:? *[0-9]{1,3} *(?:OF|/) *[0-9]{1,3})?"
_SAYS_SCALE = re.compile(r"(?:DRAWING )?SCALE *[:=]? *" + _SCALE_VALUE + r"[. ]*" + _SHEET)
_SCALE_LABEL = re.compile(r"(?:DRAWING )?SCALE *[:=]?")
_SCALE_NUMBER = re.compile(r"[0-9]+(?:[.,][0-9]+)?")
_SCALE_ALONE = re.compile(_SCALE_VALUE + r"[. ]*")
_VIEW_WORDS = re.compile(r"(?<![A-Z])(?:DETAIL|SECTION|VIEW|[A-Z] ?- ?[A-Z])(?![A-Z])")
_ISO_2768 = re.compile(r"(?<![A-Z])(?:ISO|DIN|EN|TOLERAN[A-Z]{0,8})(?P<gap>[^0-9]{0,25})2768(?![0-9])")
_ISO_CLASS = re.compile(
    r"(?:[-/& ]{1,4}T?[12](?![0-9A-Z]))*[ :,./-]*(?:CLASS |TOLERANCE CLASS )?[-(\"' ]*"
    r"(?P<word>FINE|MEDIUM|VERY COARSE|COARSE|[FMCV][HKL]?(?:-E)?)(?![A-Z0-9])"
)


@dataclass(frozen=True, slots=True)
class _Cell:
    """A note of a sheet, its lines in capitals and with one kind of plus-minus sign."""

    note: Note
    layout: str
    lines: tuple[str, ...]
    shown: tuple[str, ...]
    """The same lines as they were written, for the report."""

    @property
    def handle(self) -> str:
        return self.note.origin.handle

    @property
    def where(self) -> str:
        return f"text {self.handle}"

    def says(self, text: str, read_as: str, trouble: str = "") -> ReadAs:
        at = (float(self.note.at[0]), float(self.note.at[1]))
        for line, shown in zip(self.lines, self.shown, strict=True):
            begin = line.find(text)
            if begin >= 0 and len(line) == len(shown):
                text = shown[begin : begin + len(text)]
                break
        return ReadAs(text.strip(), self.handle, self.layout, read_as, trouble, at)


@dataclass(frozen=True, slots=True)
class _Found:
    """A statement with its value."""

    cell: _Cell
    said: ReadAs
    value: GeneralTolerance | Iso2768 | Unit | None
    bare: bool = False
    """Its placeholder has no decimal sign: XXX."""
    partner: _Cell | None = None
    """The cell that its value stands in, where that is another one."""
    count: bool = False
    """It says '2 PL', which may be how many holes there are."""
    scale: str = ""
    """'SCALE 1:2', where the text of the value alone does not say that it is a scale."""

    def but(self, trouble: str) -> "_Found":
        """The same, not used; the first reason stays."""
        return replace(self, said=replace(self.said, trouble=self.said.trouble or trouble))


def read_title_block(
    spaces: Iterable[Space], set_by_user: GeneralTolerances | None = None, elsewhere: Collection[str] = ()
) -> TitleBlock:
    """All statements of the notes; `set_by_user` takes the place of the tolerances that the sheet states.

    `elsewhere` are handles of texts that other parts of the audit understand.
    """
    cells = [_cell(note, space.name) for space in spaces for note in space.notes]
    found = [item for cell in cells for item in _statements(cell)]
    taken = {id(item.cell) for item in found}
    found += _pairs([c for c in cells if id(c) not in taken])
    found = _with_places(_without_counts(found, cells))
    left = _left([c for c in cells if c.handle not in elsewhere], found)
    found = [_believed(item) for item in found]
    found = _in_order(_agreeing(found))
    if set_by_user is not None:
        found = [_overridden(item) for item in found]
    good = [item.value for item in found if not item.said.trouble]
    entries: dict[tuple[Form, int | None], GeneralTolerance] = {}
    for value in good:
        if isinstance(value, GeneralTolerance):
            entries.setdefault((value.form, value.places), value)
    iso = next((value for value in good if isinstance(value, Iso2768)), None)
    claimed = {c.handle: TITLE_BLOCK for item in found for c in (item.cell, item.partner) if c is not None}
    scales = {(item.partner or item.cell).handle: item.scale for item in found if item.scale and not item.said.trouble}
    return TitleBlock(
        read=tuple(
            item.said if item.partner is None else replace(item.said, value_in=item.partner.handle)
            for item in [*found, *left]
        ),
        tolerances=GeneralTolerances(tuple(entries.values()), iso) if set_by_user is None else set_by_user,
        unit=next((value for value in good if isinstance(value, Unit)), None),
        claimed=claimed,
        scales=scales,
    )


def _overridden(item: _Found) -> _Found:
    if item.said.trouble or not isinstance(item.value, (GeneralTolerance, Iso2768)):
        return item
    return replace(item, said=replace(item.said, trouble="the tolerances are set by the user", by_user=True))


def tolerance_by_word(text: str) -> GeneralTolerance | Iso2768:
    """What a user writes for one general tolerance: '.XX=.01', 'fractions=1/64', 'angles=0.5', 'iso2768-m'.

    ValueError, with what would do, for anything else.
    """
    upper = _PLUS_MINUS.sub("±", text.strip().upper())
    iso = re.fullmatch(r"ISO ?2768(?:-1)?[- ]([FMCV])[HKL]?", upper)
    if iso is not None:
        return Iso2768(iso.group(1).lower(), "set by the user")
    name, mark, number = upper.partition("=")
    key = _KEY.fullmatch(name.strip())
    parsed = _plus_minus(f"±{number.strip().removeprefix('±')}", 0, key is not None and key["angle"] is not None)
    if not mark or key is None or parsed is None or parsed[1] != len(number.strip().removeprefix("±")) + 1:
        raise ValueError("write .XX=.01, fractions=1/64, angles=0.5, lengths=0.2 or iso2768-m")
    entry, bare = _entry(key, parsed[0], "set by the user")
    if bare:
        entry = replace(entry, places=0 if name.strip() == "X" else entry.places)
    trouble = _senseless(entry) or _minutes(number) or _unlike(key, entry)
    if trouble:
        raise ValueError(trouble)
    return entry


def _cell(note: Note, layout: str) -> _Cell:
    lines = plain_text(note.text).replace("–", "-").split("\n")
    shown = tuple(_PLUS_MINUS.sub("±", " ".join(line.split())) for line in lines)
    return _Cell(note, layout, tuple(line.upper() for line in shown), shown)


# --- one text ------------------------------------------------------------------------------------


def _statements(cell: _Cell) -> Iterator[_Found]:
    of_a_view = any(_VIEW_WORDS.search(line) for line in cell.lines)
    columns: list[str] = []
    for written in cell.lines:
        line = _statement(written)
        entries = list(_entries(cell, line))
        yield from entries
        yield from _in_columns(cell, line, columns, entries)
        columns = _columns(line)
        yield from _iso(cell, line)
        unit = _SAYS_UNIT.search(line)
        if unit is not None:
            yield _unit(cell, unit.group(), unit["unit"])
        scale = _SAYS_SCALE.fullmatch(line)
        if scale is not None and not of_a_view:
            yield _scale(cell, line, scale["scale"])
    if cell.note.tag.upper() == "SCALE" and len(cell.lines) == 1 and _SCALE_ALONE.fullmatch(cell.lines[0]):
        yield replace(_scale(cell, cell.lines[0], cell.lines[0]), scale=f"SCALE {cell.lines[0]}")


def _statement(written: str) -> str:
    """A line without its number in a list, and without 'UNLESS OTHERWISE SPECIFIED'."""
    number = _LIST_NUMBER.match(written)
    return _UNLESS.sub(" ", written[number.end() :] if number else written).strip()


def _columns(line: str) -> list[str]:
    """The names of the columns where a line holds nothing else: FRACTIONS DECIMALS ANGLES."""
    names = [_COLUMN.fullmatch(word) for word in line.split()[:4]]
    kinds = [str(name.lastgroup) for name in names if name is not None]
    return kinds if len(kinds) == len(line.split()) == len(set(kinds)) > 1 else []


def _in_columns(cell: _Cell, line: str, columns: list[str], entries: Sequence[_Found]) -> Iterator[_Found]:
    """Values without a name below the names of their columns, where every column has one of its own form."""
    if not columns or len(entries) > len(columns):
        return
    rest = line
    for item in entries:  # '.XX ±.01' says its own name
        rest = rest.replace(item.said.text.upper(), "#", 1)
    values: list[tuple[str, tuple[Amount, Amount] | None, str]] = []
    pos = _blanks(rest, 0)
    while pos < len(rest):
        if rest[pos] == "#":
            values.append(("places", None, ""))
            end = pos + 1
        else:
            angle = _plus_minus(rest, pos, True)
            parsed = angle if angle is not None and "°" in rest[pos : angle[1]] else _plus_minus(rest, pos, False)
            if parsed is None:
                return
            form = "angle" if parsed is angle else "fraction" if parsed[0][0].denominator is not None else "decimal"
            end = parsed[1]
            values.append((form, parsed[0], rest[pos:end]))
        pos = _blanks(rest, end)
    if [form for form, _, _ in values] != columns:
        return
    for form, deviations, text in values:
        if deviations is not None:
            upper, lower = deviations
            kind = Form.ANGLES if form == "angle" else Form.FRACTIONS
            unit = None if form == "angle" else upper.unit
            entry = GeneralTolerance(kind, upper.value, lower.value, None, unit, cell.where)
            yield _Found(cell, cell.says(text, entry.words, _minutes(text)), entry)


def _minutes(text: str) -> str:
    return MINUTES if _BEHIND_DEGREES.search(text) else ""


def _unit(cell: _Cell, text: str, word: str, partner: _Cell | None = None) -> _Found:
    unit = next(u for start, u in _UNIT_WORDS.items() if word.startswith(start))
    said = replace(cell.says(text, f"dimensions are in {UNIT_NAMES[unit]}"), unit=unit)
    return _Found(cell, said, unit, partner=partner)


def _scale(cell: _Cell, text: str, scale: str, partner: _Cell | None = None) -> _Found:
    numbers = _SCALE_NUMBER.findall(scale)
    trouble = "a scale of 0 is none" if any(not n.strip("0.,") for n in numbers) else ""
    said = cell.says(text, f"scale {scale.strip().lower()}", trouble)
    return _Found(cell, said, None, partner=partner, scale="" if partner is None else f"SCALE {scale}")


def _iso(cell: _Cell, line: str) -> Iterator[_Found]:
    for named in _ISO_2768.finditer(line):
        found = _ISO_CLASS.match(line, named.end())
        if found is None:
            if not line[named.end() :].startswith("-2"):  # part 2 is about form and position
                yield _Found(cell, cell.says(line, "ISO 2768-1", "the class (f, m, c or v) is not named"), None)
            continue
        word = found["word"]
        letter = next((k for k, name in CLASSES.items() if name == word.lower()), word[0].lower())
        said = cell.says(line[named.start() : found.end()], f"ISO 2768-1 {letter} ({CLASSES[letter]})")
        yield _Found(cell, said, Iso2768(letter, cell.where))


def _entries(cell: _Cell, line: str) -> Iterator[_Found]:
    last = 0
    for key in _KEY.finditer(line):
        link = _LINK.match(line, key.end())
        assert link is not None  # the pattern matches the empty text
        if key["count"] and not _begins_sentence(line, key.start()) and line[last : key.start()].strip(" ,"):
            continue  # 'BORE 2 PLACES ±.01'
        parsed = _plus_minus(line, link.end(), key["angle"] is not None or key["degree"] is not None)
        if parsed is None:
            if _NUMBER_NEXT.match(line, link.end()) and (not key["length"] or _begins_sentence(line, key.start())):
                text = line[key.start() :][:LONGEST_SHOWN]
                yield _Found(cell, cell.says(text, "general tolerance", NOT_A_NUMBER), None)
            continue
        (upper, lower), end = parsed
        if key["length"] is not None:
            if not _begins_sentence(line, key.start()) or not _AFTER_LENGTH.match(line, end):
                continue  # 'FLATNESS TOLERANCE ±.005', 'TOLERANCE ±.005 ON BORE': of one feature
            if "°" in line[link.end() : end]:
                continue
        entry, bare = _entry(key, (upper, lower), cell.where)
        text = line[key.start() : end]
        trouble = _minutes(text) or _unlike(key, entry)
        last = end
        bend = _BEND.match(line, end) if entry.form is Form.ANGLES else None
        if bend is not None:
            other = _plus_minus(line, bend.end(), True)
            if other is not None:
                text = line[key.start() : other[1]]
                if tuple(a.value for a in other[0]) != (entry.upper, entry.lower):
                    trouble = "machined and bent angles have their own tolerances; which one holds can't be told"
        yield _Found(cell, cell.says(text, entry.words, trouble), entry, bare, count=key["count"] is not None)


def _unlike(key: "re.Match[str]", entry: GeneralTolerance) -> str:
    """Why a placeholder behind the words, 'TWO PLACE (.XX)', contradicts them; empty where it does not."""
    again = key["again"]
    if again is None or len(again) - max(again.rfind("."), again.rfind(",")) - 1 == entry.places:
        return ""
    return PLACES_DIFFER


def _begins_sentence(line: str, pos: int) -> bool:
    while pos and line[pos - 1] == " ":
        pos -= 1
    return pos == 0 or line[pos - 1] in ".;:"


def _entry(key: "re.Match[str]", deviations: tuple[Amount, Amount], where: str) -> tuple[GeneralTolerance, bool]:
    """The entry, and whether its placeholder leaves open how many decimals it stands for."""
    upper, lower = deviations
    unit = upper.unit or lower.unit
    if key["angle"] is not None or key["degree"] is not None:
        return GeneralTolerance(Form.ANGLES, upper.value, lower.value, where=where), False
    if key["fraction"] is not None:
        return GeneralTolerance(Form.FRACTIONS, upper.value, lower.value, None, unit, where), False
    if key["length"] is not None:
        return GeneralTolerance(Form.LENGTHS, upper.value, lower.value, None, unit, where), False
    if key["n"] is not None:
        places, bare = _COUNTS[key["n"]], False
    else:
        digits = key["x"]
        mark = max(digits.rfind("."), digits.rfind(","))
        places, bare = (len(digits), True) if mark < 0 else (len(digits) - mark - 1, False)
    return GeneralTolerance(Form.PLACES, upper.value, lower.value, places, unit, where), bare


def _plus_minus(line: str, pos: int, angular: bool) -> tuple[tuple[Amount, Amount], int] | None:
    """'±.01', or '+.01 -.00': upper and lower deviation; None where there is none, or none that is clear."""
    context = Context(".", angular)
    try:
        if line[pos : pos + 1] == "±":
            both = amount(line, _blanks(line, pos + 1), context)
            if both is None or both[0].value < 0 or _CUT.match(line, both[1]):
                return None
            return (both[0], replace(both[0], value=-both[0].value)), both[1]
        if line[pos : pos + 1] != "+":
            return None
        upper = amount(line, pos, context)
        if upper is None:
            return None
        begin = _blanks(line, upper[1])
        begin = _blanks(line, begin + (line[begin : begin + 1] in ("/", ",")))
        lower = amount(line, begin, context) if line[begin : begin + 1] == "-" else None
    except (Unclear, ValueError):  # too many digits for a number
        return None
    if lower is None or _CUT.match(line, lower[1]):
        return None
    return (upper[0], lower[0]), lower[1]


def _blanks(line: str, pos: int) -> int:
    while line[pos : pos + 1] == " ":
        pos += 1
    return pos


# --- cells of a table ----------------------------------------------------------------------------


def _pairs(cells: Sequence[_Cell]) -> list[_Found]:
    """Statements in two texts: the label in one, the value to the right of it or below."""
    labels = [c for c in cells if c.note.height > 0 and all(_label(line) for line in c.lines)]
    if len(labels) > MOST_CELLS:
        why = f"{len(labels)} texts look like cells of a table of tolerances: that is no title block"
        return [_Found(labels[0], labels[0].says(labels[0].lines[0], "cells of a table", why), None)]
    found: list[_Found] = []
    by_layout: dict[str, list[_Cell]] = defaultdict(list)
    for cell in cells:
        if any(cell.lines):
            by_layout[cell.layout].append(cell)
    sorted_by_y = {k: sorted(v, key=lambda c: float(c.note.at[1])) for k, v in by_layout.items()}
    heights = {k: [float(c.note.at[1]) for c in v] for k, v in sorted_by_y.items()}
    for label in labels:
        ordered, ys = sorted_by_y[label.layout], heights[label.layout]
        y, h = float(label.note.at[1]), float(label.note.height)
        near = ordered[bisect_left(ys, y - 12 * h) : bisect_right(ys, y + 2 * h)]
        found += _paired(label, [c for c in near if c is not label])
    return found


def _label(line: str) -> bool:
    """Whether a line is a label whose value stands elsewhere: '.XX', 'ANGLES ±', 'SCALE:'."""
    if _SCALE_LABEL.fullmatch(line) or _UNIT_LABEL.fullmatch(line):
        return True
    key = _KEY.match(line)
    link = None if key is None else _LINK.match(line, key.end())
    return link is not None and line[link.end() :] in ("", "±")


def _paired(label: _Cell, near: Sequence[_Cell]) -> Iterator[_Found]:
    x, y, h = float(label.note.at[0]), float(label.note.at[1]), float(label.note.height)
    places = [(float(c.note.at[0]) - x, float(c.note.at[1]) - y, c) for c in near]
    right = min(
        ((dx, c) for dx, dy, c in places if 0 < dx <= 40 * h and abs(dy) <= 0.75 * h), key=lambda p: p[0], default=None
    )
    below = min(
        ((-dy, c) for dx, dy, c in places if abs(dx) <= 2 * h and -5 * h <= dy < -0.75 * h),
        key=lambda p: p[0], default=None,
    )  # fmt: skip
    text = label.lines[0]
    if len(label.lines) == 1 and (_SCALE_LABEL.fullmatch(text) or _UNIT_LABEL.fullmatch(text)):
        pattern = _SCALE_ALONE if _SCALE_LABEL.fullmatch(text) else _UNIT_VALUE
        inside = [  # a label in the corner of its cell, its value beside or beneath it
            (dx * dx + dy * dy, k) for k, (dx, dy, c) in enumerate(places)
            if -2 * h <= dx <= 15 * h and -6 * h <= dy <= 0.75 * h
            and len(c.lines) == 1 and pattern.fullmatch(c.lines[0])
        ]  # fmt: skip
        if inside:
            value = places[min(inside)[1]][2]
            both = f"{text} {value.lines[0]}"
            match = pattern.fullmatch(value.lines[0])
            assert match is not None
            if pattern is _SCALE_ALONE:
                yield _scale(label, both, match["scale"], value)
            else:
                yield _unit(label, both, match["unit"], value)
        return
    for candidate in (right, below):
        if candidate is not None:
            items = list(_rows(label, candidate[1]))
            if any(_is_length(item) for item in items) and _one_of_several(candidate[1], near, h):
                return  # a table by ranges of size
            if items:
                yield from items
                return


def _is_length(item: _Found) -> bool:
    return isinstance(item.value, GeneralTolerance) and item.value.form is Form.LENGTHS


def _one_of_several(value: _Cell, near: Sequence[_Cell], h: float) -> bool:
    """Whether more values stand in its row or its column."""
    x, y = float(value.note.at[0]), float(value.note.at[1])
    return any(
        c is not value and c.lines[0][:1] in ("±", "+")
        and (abs(float(c.note.at[0]) - x) <= 2 * h or abs(float(c.note.at[1]) - y) <= 0.75 * h)
        for c in near
    )  # fmt: skip


def _rows(label: _Cell, values: _Cell) -> Iterator[_Found]:
    """Line by line: as many labels as values, and every one of them understood."""
    if len(label.lines) != len(values.lines):
        return
    items = []
    for left, right in zip(label.lines, values.lines, strict=True):
        key = _KEY.match(left)
        if key is None:
            return
        signed = right if right[:1] in ("±", "+") else f"±{right}" if left.endswith("±") else ""
        parsed = _plus_minus(signed, 0, key["angle"] is not None or key["degree"] is not None)
        if parsed is None or signed[parsed[1] :].strip(" ."):
            return
        entry, bare = _entry(key, parsed[0], label.where)
        said = label.says(f"{left} {right}", entry.words, _minutes(right) or _unlike(key, entry))
        items.append(_Found(label, said, entry, bare, values, key["count"] is not None))
    yield from items


# --- what is left --------------------------------------------------------------------------------


def _left(cells: Sequence[_Cell], found: Sequence[_Found]) -> list[_Found]:
    """Texts that read like general tolerances and were not understood: they are said, not claimed."""
    said: dict[int, set[str]] = defaultdict(set)
    for item in found:
        said[id(item.cell)].add(item.said.text)
    read = {id(c) for item in found for c in (item.cell, item.partner) if c is not None}
    values = {id(item.partner) for item in found if item.partner is not None}
    alone: list[_Found] = []
    near: list[_Found] = []
    stated = {id(item.cell) for item in found if item.partner or not item.said.read_as.startswith("scale")}
    # A scale in a text of its own may be the label of a view.
    anchors = [c for c in cells if id(c) in stated or any(heading(_statement(line)) for line in c.lines)]
    for cell in cells:
        if id(cell) in values or not any(c.isdigit() for line in cell.lines for c in line):
            continue
        for written in cell.lines:
            line = _statement(written)
            for text in said[id(cell)]:
                line = line.replace(text.upper(), "#")
            own = spelt_out(line)
            why = own or beside_others(line)
            if why:
                shown = cell.says(written, "general tolerance", why)
                (alone if own or id(cell) in read else near).append(
                    _Found(cell, replace(shown, text=shown.text[:LONGEST_SHOWN]), None)
                )
    anchors += [item.cell for item in alone]
    if not anchors or not near:
        return alone
    if len(near) > MOST_TEXTS:
        why = f"{len(near)} texts look like tolerances: that is no title block"
        return [*alone, replace(near[0], said=replace(near[0].said, trouble=why))]
    inside = in_the_block([_spot(c) for c in anchors], [_spot(item.cell) for item in near])
    order = {id(cell): k for k, cell in enumerate(cells)}
    return sorted([*alone, *(near[k] for k in inside)], key=lambda item: order[id(item.cell)])


def _spot(cell: _Cell) -> Spot:
    return Spot(cell.layout, float(cell.note.at[0]), float(cell.note.at[1]), float(cell.note.height))


# --- all texts together --------------------------------------------------------------------------


def _without_counts(found: list[_Found], cells: Sequence[_Cell]) -> list[_Found]:
    """'2 PL ±.01' may be about two holes: it counts below a heading or beside another number of decimals written so,
    and not where the table writes .XX."""
    counts = [item for item in found if item.count]
    if not counts:
        return found
    if any(_places(item) is not None and not item.count for item in found):
        return [item for item in found if not item.count]
    headings = [_spot(cell) for cell in cells if any(heading(_statement(line)) for line in cell.lines)]
    sure: set[int] = set()
    for places in {_places(item) for item in counts}:
        own = [item for item in counts if _places(item) == places]
        others = [_spot(item.cell) for item in counts if _places(item) != places]
        sure.update(id(own[k]) for k in in_the_block([*headings, *others], [_spot(item.cell) for item in own]))
    return [item for item in found if not item.count or id(item) in sure]


def _places(item: _Found) -> int | None:
    return item.value.places if isinstance(item.value, GeneralTolerance) else None


def _with_places(found: list[_Found]) -> list[_Found]:
    """Placeholders without a decimal sign: X is a whole number beside .X or X.X, and one decimal beside XX.

    More than one X are decimals, except beside X.X, where they are whole numbers, too.
    """
    entries = [item for item in found if isinstance(item.value, GeneralTolerance) and item.value.form is Form.PLACES]
    pointed = any(not item.bare for item in entries)
    whole = any(not item.bare and item.said.text[:1].upper() in ("X", "0") for item in entries)
    several = len({item.value.places for item in entries if isinstance(item.value, GeneralTolerance)}) > 1
    done: list[_Found] = []
    for item in found:
        value = item.value
        if item.bare and isinstance(value, GeneralTolerance):
            if whole or (pointed and value.places == 1):
                value = replace(value, places=0)
            elif value.places == 1 and not several:
                item = item.but("X may stand for a whole number or for one decimal")
            item = replace(item, value=value, said=replace(item.said, read_as=value.words))
        done.append(item)
    return done


def _senseless(entry: GeneralTolerance) -> str:
    """Why a value is not believed; empty where it is."""
    widest, finest = max(abs(entry.upper), abs(entry.lower)), min(abs(entry.upper), abs(entry.lower)) or None
    if entry.upper < entry.lower or widest == 0:
        return f"{entry.words} is no tolerance: it leaves no room"
    if entry.form is Form.ANGLES:
        return f"more than {WIDEST_DEGREES}° is not believed" if widest > WIDEST_DEGREES else ""
    if entry.form is Form.PLACES and entry.places is not None:
        last = Fraction(1, 10**entry.places)
        if widest > WIDEST_LAST_PLACE * last:
            return f"more than {WIDEST_LAST_PLACE} units in the last place are not believed"
        if finest is not None and finest * FINEST_LAST_PLACE < last:
            return f"less than 1/{FINEST_LAST_PLACE} of the last place is not believed"
        return ""
    # Without a unit, inches are the larger ones: what is too wide for millimetres is too wide for them, too.
    in_mm = widest * IN_MM[entry.unit or Unit.MILLIMETRE]
    return f"more than {decimal_text(WIDEST_MM)} mm is not believed" if in_mm > WIDEST_MM else ""


def _believed(item: _Found) -> _Found:
    return item.but(_senseless(item.value)) if isinstance(item.value, GeneralTolerance) else item


def _agreeing(found: list[_Found]) -> list[_Found]:
    """Of statements about one thing that contradict each other none is used."""
    groups: dict[object, set[object]] = defaultdict(set)
    for item in found:
        if not item.said.trouble and item.value is not None:
            groups[_subject(item.value)].add(_content(item.value))
    return [
        item.but(CONTRADICTION) if item.value is not None and len(groups[_subject(item.value)]) > 1 else item
        for item in found
    ]


def _subject(value: GeneralTolerance | Iso2768 | Unit) -> object:
    return (value.form, value.places) if isinstance(value, GeneralTolerance) else type(value).__name__


def _content(value: GeneralTolerance | Iso2768 | Unit) -> object:
    if isinstance(value, GeneralTolerance):
        return value.upper, value.lower, value.unit
    if isinstance(value, Iso2768):
        return value.letter
    return value in INCHES, value not in INCHES and value


def _in_order(found: list[_Found]) -> list[_Found]:
    """More decimals never have the wider tolerance: where they do, the table is misread or miswritten."""
    by_places = {
        item.value.places: item.value.upper - item.value.lower for item in found
        if isinstance(item.value, GeneralTolerance) and item.value.places is not None and not item.said.trouble
    }  # fmt: skip
    widths = [width for _, width in sorted(by_places.items())]
    if widths == sorted(widths, reverse=True):
        return found
    return [
        item.but(ORDER) if isinstance(item.value, GeneralTolerance) and item.value.places is not None else item
        for item in found
    ]
