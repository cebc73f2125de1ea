"""Files in TOML that people edit: decimals read exactly, and errors that say where and what was meant."""

import codecs
import re
import stat
import tomllib
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from difflib import get_close_matches
from fractions import Fraction
from pathlib import Path
from typing import Any

from dimaudit.errors import UsageError

LARGEST_FILE = 1_000_000
"""Bytes; no file that a person edits by hand is larger."""
FARTHEST_EXPONENT = 30
"""A number with more digits before or behind its point than this is a slip of the keyboard."""

_NUMBER = re.compile(
    r"(?P<sign>[+-]?)(?:(?P<whole>[0-9]{1,30}) )?(?P<part>[0-9]{1,30}(?:/[0-9]{1,30}|\.[0-9]{0,30})?|\.[0-9]{1,30})"
)


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
        raise ValueError("is larger than any number that is needed here")
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
    text = read_text(path, what)
    return text, tables_of(path, text)


def read_text(path: Path, what: str, most: int = LARGEST_FILE) -> str:
    """The text of a file that a person edits, up to `most` bytes. Raises UsageError, also for what is no real file."""
    try:
        kind = path.stat().st_mode
        if not (stat.S_ISREG(kind) or stat.S_ISDIR(kind)):
            raise UsageError(f"{path}: it is no file, but a pipe or a device: name the {what} file")
        with path.open("rb") as file:
            data = file.read(most + 1)
    except OSError as error:
        raise UsageError(f"{path}: {error.strerror or error}: name the {what} file") from None
    if len(data) > most:
        raise UsageError(f"{path}: more than {most} bytes are no {what} file: name another")
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        raise UsageError(f"{path}: it is UTF-16: save the file with the encoding UTF-8")
    try:
        return data.decode("utf-8-sig")  # some editors put a mark before the first line
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise UsageError(f"{path}: line {line}: not UTF-8: save the file with the encoding UTF-8") from None


def tables_of(path: Path, text: str) -> dict[str, Any]:
    """The tables in the text of the file `path`, decimals as exact fractions. Raises UsageError with the line."""
    try:
        return tomllib.loads(text, parse_float=exact_float)
    except tomllib.TOMLDecodeError as error:
        raise UsageError(f"{path}: {error}: mend that line; texts stand in double quotation marks") from None
    except RecursionError:
        raise UsageError(f"{path}: brackets within brackets, too many: mend them") from None
    except ValueError as error:  # a number; the library does not say where
        number = str(error).partition(" ")[0]
        lines = [n for n, line in enumerate(text.splitlines(), 1) if number in line]
        where = f"line {lines[0]}: " if lines else ""
        raise UsageError(f"{path}: {where}{error}: mend that line") from None


def nearest(word: str, known: Iterable[str]) -> str:
    """'; did you mean ...?' or '; known are ...'."""
    words = {w.lower(): w for w in known}
    close = get_close_matches(word.lower(), words, 1, 0.6)
    quoted = ", ".join(f"'{w}'" for w in words.values())
    return f"; did you mean '{words[close[0]]}'?" if close else f"; known are: {quoted}"


@dataclass(frozen=True, slots=True)
class Lines:
    """Where in the file a table or a key stands, for messages."""

    path: Path
    text: str

    def error(self, what: str, table: str, key: str = "") -> UsageError:
        """An error that names the file and, where it is found, the line. Without a table, `key` is a table's name."""
        line = self.line(table, key)
        place = f"{self.path}: " + (f"line {line}: " if line else "") + (f"[{table}] " if table else "")
        return UsageError(place + what)

    def line(self, table: str, key: str, nth: int = 1) -> int:
        """The line of a key, or of the table `key` where `table` is empty; 0 where it is not found.

        Of tables that share a name, as [[name]] do, the `nth` is meant.
        """
        current, count = "", 0
        for n, line in enumerate(self.text.splitlines(), 1):
            stripped = line.strip()
            if stripped.startswith("["):
                current = stripped.lstrip("[").split("]", 1)[0].strip().strip("\"'")
                count += current == table
                if (current == table and not key and count == nth) or (current == key and not table):
                    return n
            else:
                name, equals, _ = stripped.partition("=")
                name = name.strip().strip("\"'")
                here = current == table and (count == nth or not table)
                if equals and here and key and (name == key or name.startswith(f"{key}.")):
                    return n
        return 0
