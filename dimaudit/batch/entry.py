"""A record as the text of a cache entry, and back: exact, and strict about what it takes for one.

Entries are JSON, never pickles: others may be able to write into a cache, and reading an entry must not run anything.
"""

import json
from collections.abc import Callable
from enum import StrEnum
from fractions import Fraction
from hashlib import sha256
from typing import Any

from cattrs import Converter

from dimaudit.model.record import Record


class NoEntry(Exception):
    """What was read is no entry: cut off, changed, or something else."""


def _converter() -> Converter:
    converter = Converter(forbid_extra_keys=True, detailed_validation=False)
    converter.register_unstructure_hook(Fraction, str)
    converter.register_structure_hook(Fraction, lambda value, _: Fraction(_of(str)(value, str)))
    for kind in (str, int, float, bool):
        converter.register_structure_hook(kind, _of(kind))
    converter.register_structure_hook(StrEnum, lambda value, kind: kind(value))
    return converter


def _of(kind: type) -> Callable[[Any, Any], Any]:
    """Takes a value of this type as it is, and no other: a number in place of a word is no entry."""

    def take(value: Any, _: Any) -> Any:
        if type(value) is not kind:
            raise TypeError(f"{value!r} is no {kind.__name__}")
        return value

    return take


_CONVERTER = _converter()


def entry_of(record: Record) -> bytes:
    return sealed(json.dumps(_CONVERTER.unstructure(record), separators=(",", ":")).encode("ascii"))


def record_from(entry: bytes) -> Record:
    """Raises NoEntry."""
    try:
        return _CONVERTER.structure(json.loads(opened(entry)), Record)
    except NoEntry:
        raise
    except Exception as error:  # whatever it is that somebody put there
        raise NoEntry from error


def sealed(body: bytes) -> bytes:
    """With its SHA-256 in front, so that what was cut off or changed shows."""
    return sha256(body).digest() + body


def opened(entry: bytes) -> bytes:
    """Raises NoEntry."""
    seal, body = entry[:32], entry[32:]
    if sha256(body).digest() != seal:
        raise NoEntry
    return body
