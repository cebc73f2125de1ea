"""A rubric read from the file that an instructor edits. What can't be understood is an error that says where."""

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path
from typing import Any, TypeVar

from dimaudit.model.grading import Asked, Criterion, LayerAsked, Lying, Rubric
from dimaudit.model.units import Unit
from dimaudit.text.toml_file import Lines, load_toml, nearest, read_number

PURPOSES = {"outline": "outline", "hidden": "hidden", "centre": "centre", "dimensions": "dimensions",
            "centre_points": "points"}  # fmt: skip
"""What linework is drawn for: the rubric's word, and that of `LayerAsked`."""
KINDS = ("ARC", "CIRCLE", "DIMENSION", "ELLIPSE", "LINE", "LWPOLYLINE", "POINT", "POLYLINE", "SOLID", "SPLINE", "TRACE")
"""Kinds of entity that a piece can be drawn as (DXF Reference, names of entities)."""
UNITS = {"inches": Unit.INCH, "feet": Unit.FOOT, "millimetres": Unit.MILLIMETRE, "centimetres": Unit.CENTIMETRE,
         "metres": Unit.METRE}  # fmt: skip
"""The key's unit by the instructor's word."""
SCHEMES = {"any": True, "key": False}
"""Whether a learner's own dimension scheme counts."""
SHARES = ("there", "right", "stated", "associated")
"""What the points of a dimension are given for; in the order of `Rubric.shares`."""

_POINTS = frozenset({"points", "each"})
KNOWN: Mapping[str, frozenset[str]] = {
    "rubric": frozenset({"title", "key", "key_sha256", "round_to"}),
    "reading": frozenset({"units", "without_layers"}),
    "accept": frozenset({"turned", "mirrored", "other_units"}),
    **{str(c): _POINTS for c in Criterion},
    str(Criterion.PLACE): _POINTS | {"lying"},
    str(Criterion.SIZES): _POINTS | {"tolerance", "close", "close_costs", "rounded_costs"},
    str(Criterion.DIMENSIONS): _POINTS | {"scheme", *SHARES},
    str(Criterion.LAYERS): _POINTS | set(PURPOSES),
}
"""The tables of the file, and what each may hold."""

T = TypeVar("T")
_DEFAULT = Rubric("", "", "", ())


def read_rubric(path: Path) -> Rubric:
    """The rubric in a file. Raises UsageError, with the line and what to do."""
    text, tables = load_toml(path, "rubric")
    lines = Lines(path, text)
    for name, table in tables.items():
        if name not in KNOWN:
            raise lines.error(f"'{name}' is nothing that a rubric has{nearest(name, list(KNOWN))}", "", name) from None
        if not isinstance(table, dict):
            raise lines.error(f"'{name}' must be a table of its own: write [{name}]", "", name)
        for key in table:
            if key not in KNOWN[name]:
                raise lines.error(f"'{key}' is nothing that [{name}] has{nearest(key, sorted(KNOWN[name]))}", name, key)
    return _rubric(_Reader(lines, tables))


@dataclass(frozen=True, slots=True)
class _Reader:
    lines: Lines
    tables: Mapping[str, Mapping[str, Any]]

    def get(self, table: str, key: str, read: Callable[[Any], T], default: T) -> T:
        return self._read(table, key, read) if key in self.tables.get(table, {}) else default

    def _read(self, table: str, key: str, read: Callable[[Any], T]) -> T:
        try:
            return read(self.tables[table][key])
        except ValueError as error:
            raise self.lines.error(f"{key}: {error}", table, key) from None

    def need(self, table: str, key: str, read: Callable[[Any], T], to_do: str) -> T:
        if table not in self.tables:
            raise self.lines.error(f"there is no [{table}]: {to_do}", "")
        if key not in self.tables[table]:
            raise self.lines.error(f"'{key}' is missing: {to_do}", table)
        return self._read(table, key, read)


def _rubric(file: _Reader) -> Rubric:
    new = "write the rubric anew with `dimaudit rubric`, or put it in"
    title = file.get("rubric", "title", _text, "")
    key = file.need("rubric", "key", _text, new)
    sha256 = file.need("rubric", "key_sha256", _digest, new)
    criteria = tuple(
        Asked(c, file.need(str(c), "points", _not_negative, "say how many points it gives, or delete the table"),
              file.get(str(c), "each", _optional(_not_negative), None))
        for c in Criterion if str(c) in file.tables
    )  # fmt: skip
    if not any(a.points for a in criteria):
        raise file.lines.error("no criterion gives any points: put one in, as in [sizes] with points = 100", "")
    total, multiple = sum(a.points for a in criteria), file.get("rubric", "round_to", _optional(_above_zero), None)
    if multiple is not None and multiple > total:
        why = f"round_to: {multiple} is more than all {total} points, and no mark would mean anything"
        raise file.lines.error(why, "rubric", "round_to")
    scheme = file.get("dimensions", "scheme", _word(SCHEMES), True)
    shares = _shares(file)
    lying = file.get("place", "lying", _word({str(w): w for w in Lying}), _DEFAULT.lying)
    tolerance = file.get("sizes", "tolerance", _optional(_not_negative), None)
    close = file.get("sizes", "close", _optional(_not_negative), None)
    if close is not None and close <= (tolerance or 0):
        raise file.lines.error("close: must be more than the tolerance: what is within it is right", "sizes", "close")
    return Rubric(
        key, sha256, title, criteria,
        turned=file.get("accept", "turned", _yes_no, False),
        mirrored=file.get("accept", "mirrored", _yes_no, False),
        other_units=file.get("accept", "other_units", _yes_no, False),
        lying=lying, tolerance=tolerance, close=close,
        close_costs=file.get("sizes", "close_costs", _share, _DEFAULT.close_costs),
        rounded_costs=file.get("sizes", "rounded_costs", _share, _DEFAULT.rounded_costs),
        own_scheme=scheme, shares=shares, layers=tuple(_layers(file)),
        round_to=multiple,
        unit=file.get("reading", "units", lambda word: None if word == "" else _word(UNITS)(word), None),
        without_layers=file.get("reading", "without_layers", _layer_names, ()),
    )  # fmt: skip


def _shares(file: _Reader) -> tuple[Fraction, Fraction, Fraction, Fraction]:
    if not any(name in file.tables.get("dimensions", {}) for name in SHARES):
        return _DEFAULT.shares
    there, right, stated, associated = (
        file.need("dimensions", name, _share, f"all four shares are needed: {', '.join(SHARES)}") for name in SHARES
    )
    if there + right + stated + associated != 1:
        total = there + right + stated + associated
        raise file.lines.error(f"the four shares {', '.join(SHARES)} add up to {total}: make it 1", "dimensions",
                               SHARES[0])  # fmt: skip
    return there, right, stated, associated


def _layers(file: _Reader) -> Iterator[LayerAsked]:
    for word, purpose in PURPOSES.items():
        if word in file.tables.get("layers", {}):
            yield replace(file.get("layers", word, _layer, LayerAsked(purpose, (), ())), purpose=purpose)


def _layer(value: object) -> LayerAsked:
    if not isinstance(value, dict):
        raise ValueError('write { layers = ["NAME"], entities = [] }')
    unknown = [k for k in value if k not in ("layers", "entities")]
    if unknown:
        raise ValueError(f"'{unknown[0]}' is nothing it has{nearest(unknown[0], ['layers', 'entities'])}")
    names: list[tuple[str, ...]] = []
    for word in ("layers", "entities"):
        found = value.get(word, [])
        if not isinstance(found, list) or not all(isinstance(n, str) and n.strip() for n in found):
            raise ValueError(f'{word} must be names in brackets, as in ["OUTLINE"]; [] leaves it open')
        names.append(tuple(n.strip() for n in found))
    kinds = tuple(n.upper() for n in names[1])
    for kind in kinds:
        if kind not in KINDS:
            raise ValueError(f"'{kind[:60]}' is no kind of entity that is graded{nearest(kind, KINDS)}")
    return LayerAsked("", names[0], kinds)


def _layer_names(value: object) -> tuple[str, ...]:
    if not isinstance(value, list) or not all(isinstance(n, str) and n.strip() for n in value):
        raise ValueError('must be names in brackets, as in ["NOTES"]; [] leaves none out')
    return tuple(n.strip() for n in value)


def _text(value: object) -> str:
    if not isinstance(value, str):
        raise ValueError("must be a text in double quotation marks")
    return value


def _digest(value: object) -> str:
    if not isinstance(value, str) or not re.fullmatch(r"[0-9a-fA-F]{64}", value):
        raise ValueError("must be the 64 digits that `dimaudit rubric` writes")
    return value.lower()


def _yes_no(value: object) -> bool:
    if not isinstance(value, bool):
        raise ValueError("must be true or false, without quotation marks")
    return value


def _not_negative(value: object) -> Fraction:
    number = read_number(value)
    if number < 0:
        raise ValueError(f"{number} is below zero")
    return number


def _above_zero(value: object) -> Fraction:
    number = read_number(value)
    if number <= 0:
        raise ValueError("must be above zero, or \"\" for none")
    return number


def _share(value: object) -> Fraction:
    number = read_number(value)
    if not 0 <= number <= 1:
        raise ValueError(f"{number} must be from 0 to 1, as in \"1/2\"")
    return number


def _optional(read: Callable[[object], Fraction]) -> Callable[[object], Fraction | None]:
    return lambda value: None if value == "" else read(value)


def _word(known: Mapping[str, T]) -> Callable[[object], T]:
    def read(value: object) -> T:
        if not isinstance(value, str) or value.strip().lower() not in known:
            raise ValueError(f"{str(value)[:60]!r} is not known{nearest(str(value)[:60], list(known))}")
        return known[value.strip().lower()]

    return read
