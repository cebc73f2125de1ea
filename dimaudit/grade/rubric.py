"""A rubric read from the file that an instructor edits. What can't be understood is an error that says where."""

import re
import tomllib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal, InvalidOperation
from difflib import get_close_matches
from fractions import Fraction
from pathlib import Path
from typing import Any, TypeVar

from dimaudit.errors import UsageError
from dimaudit.model.grading import Asked, Criterion, LayerAsked, Lying, Rubric

LARGEST_FILE = 1_000_000
"""Bytes; no file that a person edits by hand is larger."""
FARTHEST_EXPONENT = 30
"""A number with more digits before or behind its point than this is a slip of the keyboard."""

PURPOSES = {"outline": "outline", "hidden": "hidden", "centre": "centre", "dimensions": "dimensions",
            "centre_points": "points"}  # fmt: skip
"""What linework is drawn for: the rubric's word, and that of `LayerAsked`."""
KINDS = ("ARC", "CIRCLE", "DIMENSION", "ELLIPSE", "LINE", "LWPOLYLINE", "POINT", "POLYLINE", "SOLID", "SPLINE", "TRACE")
"""Kinds of entity that a piece can be drawn as (DXF Reference, names of entities)."""
SCHEMES = {"any": True, "key": False}
"""Whether a learner's own dimension scheme counts."""
SHARES = ("there", "right", "stated", "associated")
"""What the points of a dimension are given for; in the order of `Rubric.shares`."""

_POINTS = frozenset({"points", "each"})
KNOWN: Mapping[str, frozenset[str]] = {
    "rubric": frozenset({"title", "key", "key_sha256", "round_to"}),
    "accept": frozenset({"turned", "mirrored", "other_units"}),
    **{str(c): _POINTS for c in Criterion},
    str(Criterion.PLACE): _POINTS | {"lying"},
    str(Criterion.SIZES): _POINTS | {"tolerance", "close", "close_costs", "rounded_costs"},
    str(Criterion.DIMENSIONS): _POINTS | {"scheme", *SHARES},
    str(Criterion.LAYERS): _POINTS | set(PURPOSES),
}
"""The tables of the file, and what each may hold."""

_NUMBER = re.compile(
    r"(?P<sign>[+-]?)(?:(?P<whole>[0-9]{1,30}) )?(?P<part>[0-9]{1,30}(?:/[0-9]{1,30}|\.[0-9]{0,30})?|\.[0-9]{1,30})"
)

T = TypeVar("T")
_DEFAULT = Rubric("", "", "", ())


def read_number(value: object) -> Fraction:
    """An exact number: a whole number, a decimal, or a text with a fraction such as '1/64' or '1 1/2'.

    Raises ValueError with what is wrong.
    """
    if isinstance(value, bool) or not isinstance(value, int | Fraction | str):
        raise ValueError("is no number: write 5, 0.5 or '1/64'")
    if isinstance(value, str):
        found = _NUMBER.fullmatch(value.strip()[:80])
        try:
            if found is None:
                raise ZeroDivisionError
            part = Fraction(found["whole"] or 0) + Fraction(found["part"])
        except ZeroDivisionError:
            raise ValueError(f'{value[:60]!r} is no number: write 5, 0.5 or "1/64"') from None
        value = -part if found["sign"] == "-" else part
    if abs(value) >= 10**FARTHEST_EXPONENT:
        raise ValueError("is larger than any number that a rubric needs")
    return Fraction(value)


def exact_float(text: str) -> Fraction:
    """A decimal of a TOML file, exactly. Raises ValueError for infinities, NaN and absurd exponents."""
    try:
        number = Decimal(text.replace("_", ""))
    except InvalidOperation:
        raise ValueError(f"{text[:60]} is no number") from None
    if not number.is_finite() or len(text) > 60 or (number and abs(number.adjusted()) > FARTHEST_EXPONENT):
        raise ValueError(f"{text[:60]} is no number that means anything here")
    exponent = number.as_tuple().exponent
    if isinstance(exponent, int) and abs(exponent) > 2 * FARTHEST_EXPONENT:
        raise ValueError(f"{text[:60]} is no number that means anything here")
    return Fraction(number)


def load_toml(path: Path, what: str) -> tuple[str, dict[str, Any]]:
    """A TOML file's text and tables, its decimals as exact fractions. Raises UsageError."""
    try:
        data = path.read_bytes()
    except OSError as error:
        raise UsageError(f"{path}: {error.strerror or error}: name the {what} file") from None
    if len(data) > LARGEST_FILE:
        raise UsageError(f"{path}: {len(data)} bytes are no {what} file: name another")
    try:
        text = data.decode("utf-8-sig")  # some editors put a mark before the first line
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise UsageError(f"{path}: line {line}: not UTF-8: save the file with the encoding UTF-8") from None
    try:
        return text, tomllib.loads(text, parse_float=exact_float)
    except tomllib.TOMLDecodeError as error:
        raise UsageError(f"{path}: {error}: mend that line; texts stand in double quotation marks") from None
    except (ValueError, RecursionError) as error:
        raise UsageError(f"{path}: {error}: mend that line") from None


def nearest(word: str, known: Iterator[str] | list[str]) -> str:
    """'; did you mean ...?' or '; known are ...'."""
    words = list(known)
    close = get_close_matches(word.lower(), words, 1, 0.6)
    quoted = ", ".join(f"'{w}'" for w in words)
    return f"; did you mean '{close[0]}'?" if close else f"; known are: {quoted}"


@dataclass(frozen=True, slots=True)
class Lines:
    """Where in the file a table or a key stands, for messages."""

    path: Path
    text: str

    def error(self, what: str, table: str, key: str = "") -> UsageError:
        """An error that names the file and, where it is found, the line. Without a table, `key` is a table's name."""
        line = self._line(table, key)
        place = f"{self.path}: " + (f"line {line}: " if line else "") + (f"[{table}] " if table else "")
        return UsageError(place + what)

    def _line(self, table: str, key: str) -> int:
        current = ""
        for n, line in enumerate(self.text.splitlines(), 1):
            stripped = line.strip()
            if stripped.startswith("["):
                current = stripped.lstrip("[").split("]", 1)[0].strip().strip("\"'")
                if (current == table and not key) or (current == key and not table):
                    return n
            else:
                name, equals, _ = stripped.partition("=")
                name = name.strip().strip("\"'")
                if equals and current == table and key and (name == key or name.startswith(f"{key}.")):
                    return n
        return 0


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
            raise ValueError(f"'{kind[:60]}' is no kind of entity{nearest(kind, [k.lower() for k in KINDS]).upper()}")
    return LayerAsked("", names[0], kinds)


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
