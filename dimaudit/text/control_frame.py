r"""The text of a feature control frame to what it says.

A TOLERANCE holds its cells between '%%v' and its rows between '^J'; signs are letters of the
drafting font ('{\Fgdt;j}%%v{\Fgdt;n}.010{\Fgdt;m}%%vA'; read so by two published readers). Behind
the one or two rows may stand the height of a projected zone and the datum letter of the feature
(order as met in files). Cells are told by what they hold, not by their place: writers leave empty
cells out or in. A plain text can be a frame too: '⌖|Ø.010|A|B'.
"""

import re
from collections.abc import Sequence
from dataclasses import replace

from dimaudit.model.control_frame import Characteristic, ControlFrame, DatumReference, FrameRow
from dimaudit.model.stated import Sign, Stated
from dimaudit.text.grammar import read_text
from dimaudit.text.markup import plain_text

SIGNS = {
    # Unicode code charts, Miscellaneous Technical; the signs behind the first are substitutes met in files.
    "⏤": Characteristic.STRAIGHTNESS, "─": Characteristic.STRAIGHTNESS, "—": Characteristic.STRAIGHTNESS,
    "⏥": Characteristic.FLATNESS, "▱": Characteristic.FLATNESS,
    "◯": Characteristic.CIRCULARITY, "○": Characteristic.CIRCULARITY,
    "⌭": Characteristic.CYLINDRICITY,
    "⌒": Characteristic.LINE_PROFILE, "⌓": Characteristic.SURFACE_PROFILE,
    "∠": Characteristic.ANGULARITY,
    "⟂": Characteristic.PERPENDICULARITY, "⊥": Characteristic.PERPENDICULARITY,
    "∥": Characteristic.PARALLELISM, "//": Characteristic.PARALLELISM,
    "⌖": Characteristic.POSITION,
    "◎": Characteristic.CONCENTRICITY, "⌯": Characteristic.SYMMETRY,
    "↗": Characteristic.CIRCULAR_RUNOUT, "⌰": Characteristic.TOTAL_RUNOUT,
}  # fmt: skip

ALSO_OTHERWISE = frozenset("─—○") | {"//"}
"""Signs that stand in tables, too: a dash for nothing, two strokes for the same as above."""

MODIFIERS = "ⓂⓁⓈⓅⒻⓉⓊⒺⓇ"
"""Circled letters of ASME Y14.5 and ISO 1101; Ⓔ and Ⓡ are ISO's (from memory)."""

LONGEST = 400
"""Characters in the longest text that is looked at; a frame holds fewer than 80."""

_CELL = "\ue000"
_BREAK = re.compile("%%v", re.IGNORECASE)
_SPELLED = re.compile(r"\(([MLSPFTUER])\)")
_TOLERANCE = re.compile(r"(S?[Ø⌀∅Φ])? *([0-9]+(?:[.,][0-9]*)?|[.,][0-9]+) *(.*)", re.DOTALL)
_DATUM = re.compile(rf"([A-Z]{{1,2}})[0-9]{{0,2}}(?: *- *([A-Z]{{1,2}}))? *([{MODIFIERS} ]*)")
_IDENTIFIER = re.compile(r"[-\[|]? ?([A-Z]{1,2}) ?[-\]|]?")
_LONE = re.compile(r"([A-Z])|-([A-Z])-|\[([A-Z])\]")
_HEIGHT = re.compile(r"Ⓟ? *([0-9.,]+) *Ⓟ?")
_FIRST = re.compile("|".join(map(re.escape, sorted(SIGNS, key=len, reverse=True))))


def read_frame(raw: str, separator: str = ".") -> ControlFrame | None:
    """The text of a TOLERANCE; None where it is empty."""
    if len(raw) > LONGEST:
        return ControlFrame(rest=(raw[:20] + "…",))
    rows: list[FrameRow] = []
    projected: Stated | None = None
    identifier, rest = "", []
    for line in plain_text(_BREAK.sub(_CELL, raw)).split("\n"):
        cells = [_signs(cell) for cell in line.split(_CELL)]
        filled = [cell for cell in cells if cell]
        if not filled:
            continue
        if len(filled) == 1 and _FIRST.fullmatch(filled[0]) is None:
            only = filled[0]
            height = _HEIGHT.fullmatch(only)
            letter = _IDENTIFIER.fullmatch(only)
            if letter is not None:
                identifier = letter.group(1)
                continue
            if height is not None and rows:
                projected = _number(height.group(1), separator)
                continue
            if only != "Ⓟ":
                rest.append(only)
            continue
        rows.append(_row(cells, separator, rows[-1] if rows else None))
    if not rows and not identifier and not rest:
        return None
    return ControlFrame(tuple(rows), projected, identifier, tuple(rest))


def read_frame_note(raw: str, separator: str = ".") -> ControlFrame | None:
    """A plain text that is a frame: a sign of the fourteen, a tolerance, datum letters; None for any other text."""
    if len(raw) > LONGEST:
        return None
    drafting_font = "gdt" in raw.lower()
    rows: list[FrameRow] = []
    for line in plain_text(_BREAK.sub("|", raw)).split("\n"):
        text = _signs(line.strip().strip("|"))
        first = _FIRST.match(text)
        if not text:
            continue
        barred = "|" in text or "│" in text
        if first is None or not (barred or drafting_font):
            return None
        tail = text[first.end() :].replace("│", "|")
        cells = tail.split("|") if barred else tail.split()
        row = _row([first.group(), *(_signs(cell) for cell in cells if cell.strip())], separator, None)
        if row.tolerance is None or row.rest or (not barred and not row.datums):
            return None  # an angle, an arc length, a size with a sign: no frame
        rows.append(row)
    return ControlFrame(tuple(rows)) if rows else None


def symbol(raw: str) -> str:
    """The symbol of a characteristic that is the whole text, and can be nothing else; empty for any other text."""
    if len(raw) > LONGEST:
        return ""
    text = plain_text(raw).strip()
    return text if text in SIGNS and text not in ALSO_OTHERWISE else ""


def read_cells(cells: Sequence[str], separator: str = ".") -> ControlFrame | None:
    """A row of boxes that is a frame: a symbol, a tolerance, datums and nothing else; None for any other row."""
    if len(cells) < 2 or cells[0] not in SIGNS or any(len(cell) > LONGEST for cell in cells):
        return None
    row = _row([_signs(cell) for cell in cells], separator, None)
    sound = row.tolerance is not None and not row.rest and _TOLERANCE.fullmatch(_signs(cells[1]))
    return ControlFrame((row,)) if sound else None


def lone_letter(raw: str) -> str:
    """The capital letter that is the whole text ('A', '-A-'); empty for any other text."""
    if len(raw) > LONGEST:
        return ""
    found = _LONE.fullmatch(plain_text(raw).strip())
    return "" if found is None else next(filter(None, found.groups()))


def _signs(cell: str) -> str:
    return _SPELLED.sub(lambda m: chr(ord("Ⓐ") + ord(m.group(1)) - ord("A")), cell).strip()


def _row(cells: list[str], separator: str, above: FrameRow | None) -> FrameRow:
    """One row; where it leaves its sign out, the cell of the row above reaches down to it (composite frames)."""
    row = FrameRow("", None)
    rest: list[str] = []
    for k, cell in enumerate(cells):
        if not cell:
            continue
        if row.tolerance is None and not row.datums and (found := _TOLERANCE.fullmatch(cell)) is not None:
            row = _with_tolerance(row, found, cell, separator, rest)
        elif row.tolerance is not None and (found := _TOLERANCE.fullmatch(cell)) is not None:
            row = replace(row, second=_number(found.group(2), separator))
        elif (datum := _DATUM.fullmatch(cell)) is not None:
            letters = tuple(letter for letter in datum.group(1, 2) if letter)
            row = replace(row, datums=(*row.datums, DatumReference(letters, datum.group(3).replace(" ", ""))))
        elif k == 0:
            row = replace(row, symbol=cell, characteristic=SIGNS.get(cell))
        else:
            rest.append(cell)
    if not row.symbol and above is not None:
        row = replace(row, symbol=above.symbol, characteristic=above.characteristic)
    return replace(row, rest=tuple(rest))


def _with_tolerance(
    row: FrameRow, found: "re.Match[str]", cell: str, separator: str, rest: list[str]
) -> FrameRow:
    sign, digits, tail = found.groups()
    zone = None if sign is None else Sign.SPHERICAL_DIAMETER if sign.startswith("S") else Sign.DIAMETER
    words = "".join(c for c in tail if c not in MODIFIERS).strip()
    if words:
        rest.append(words)
    return replace(
        row,
        zone=zone,
        tolerance=_number(digits, separator),
        tolerance_text=" ".join(cell.split()).replace("⌀", "Ø"),
        modifiers="".join(c for c in tail if c in MODIFIERS),
    )


def _number(digits: str, separator: str) -> Stated | None:
    if digits.startswith(("0,", ",")):  # a group of thousands does not begin with a zero
        separator = ","
    reading = read_text(digits, separator=separator)
    return reading if isinstance(reading, Stated) else None
