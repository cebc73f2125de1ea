"""The file of accepted findings as text: entries added and taken out, what people wrote beside them kept."""

import re
from collections.abc import Collection, Iterable, Iterator
from datetime import date
from pathlib import Path

from dimaudit.errors import AuditError, UsageError
from dimaudit.repository.accepted import TABLE, Entry, entries_of
from dimaudit.text.toml_text import toml_text

HEAD = """\
# Findings that are accepted: an audit that is given this file does not report them.
# An entry holds for one finding of one drawing, or for `count` that are alike, through the day `until`.
# `about` is for people; what counts is the identity. Entries are kept in order; remarks above one go with it.
"""
_BEGIN = re.compile(rf"[ \t]*\[\[[ \t]*[\"']?{TABLE}[\"']?[ \t]*\]\][ \t]*(?:#.*)?\r?")


def changed_text(path: Path, text: str, new: Iterable[Entry], without: Collection[Entry] = frozenset()) -> str:
    """The text of the file `path` with new entries, and without others; in order, so that it hangs on no order.

    Raises UsageError where its entries can't be told apart.
    """
    head, pieces = _pieces(path, text)
    kept = [(entry, piece) for entry, piece in pieces if entry not in without]
    kept += [(entry, _written(entry)) for entry in new]
    kept.sort(key=lambda pair: (*pair[0].key, pair[0].until or date.max, pair[0].reason, pair[0].author))
    return "\n\n".join([head.strip("\r\n"), *(piece.strip("\r\n") for _, piece in kept)]).lstrip("\n") + "\n"


def _pieces(path: Path, text: str) -> tuple[str, list[tuple[Entry, str]]]:
    """What stands before the first entry, and each entry with its lines; remarks right above one are its own."""
    lines = text.split("\n")
    begins: list[int] = []
    for n, line in enumerate(lines):
        if _BEGIN.fullmatch(line):
            begin = n
            while begin > (begins[-1] + 1 if begins else 0) and lines[begin - 1].lstrip().startswith("#"):
                begin -= 1
            begins.append(begin)
    ends = [*begins[1:], len(lines)]
    entries = entries_of(path, text)
    found: list[tuple[Entry, str]] = []
    try:
        for begin, end in zip(begins, ends, strict=True):
            piece = "\n".join(lines[begin:end])
            (entry,) = entries_of(path, piece)
            found.append((entry, piece))
    except (AuditError, ValueError):
        found = []
    if [entry for entry, _ in found] != list(entries):
        raise UsageError(f"{path}: its entries can't be told apart: begin each with [[{TABLE}]] on a line of its own, "
                         "and have no such line within a text")  # fmt: skip
    return ("\n".join(lines[: begins[0]]) if begins else text), found


def _written(entry: Entry) -> str:
    return "\n".join(_lines(entry))


def _lines(entry: Entry) -> Iterator[str]:
    yield f"[[{TABLE}]]"
    yield f"drawing = {toml_text(entry.drawing)}"
    yield f"rule = {toml_text(entry.rule)}"
    yield f"identity = {toml_text(entry.identity)}"
    if entry.count != 1:
        yield f"count = {entry.count}"
    if entry.about:
        yield f"about = {toml_text(entry.about)}"
    yield f"reason = {toml_text(entry.reason)}"
    yield f"author = {toml_text(entry.author)}"
    if entry.until is not None:
        yield f"until = {entry.until.isoformat()}"
