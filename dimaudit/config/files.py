"""Configuration files: found from a folder upward, read, and each key of them checked."""

import os
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pathspec import GitIgnoreSpec

from dimaudit.config.keys import FILES, FOR, KEYS, RULE, RULES, Key
from dimaudit.config.values import shown
from dimaudit.errors import UsageError
from dimaudit.text.toml_file import Lines, nearest, read_text, tables_of

OWN, SHARED = "dimaudit.toml", "pyproject.toml"
"""The file, and the one of a Python project that may hold the same in its table [tool.dimaudit]."""
REPOSITORY = ".git"
"""What the root of a repository holds; nothing above it counts."""
DEFAULT = "default"
"""Brings back what holds without the key, where the key takes one value; where it takes a list, [] does."""
LONGEST_PATTERN = 200
MOST_STARS, MOST_STARS_IN_A_NAME, MOST_ANY_FOLDERS = 4, 3, 2
"""Asterisks of a pattern, in all and in one name of it, and how often it may have '**' for any folders (which counts as
one): with more of them, comparing it with a long path could take minutes."""


@dataclass(frozen=True, slots=True)
class Part:
    """A file's keys for all drawings, or one of its tables for some."""

    values: Mapping[str, Any]
    """By key, or by `rules.` and the rule's name; None there is the rule's own level."""
    name: str = ""
    """'[[for]] 2 (details/**)'; empty for the keys for all."""
    files: GitIgnoreSpec | None = None
    """Which drawings, by their path from the file's folder; None is all."""


@dataclass(frozen=True, slots=True)
class ConfigurationFile:
    """One file, read."""

    path: Path
    parts: tuple[Part, ...]


def folders_of(folder: Path) -> list[Path]:
    """The folders whose files count for a drawing in `folder`, the outermost first."""
    inside = [folder]
    while not os.path.lexists(inside[-1] / REPOSITORY) and inside[-1].parent != inside[-1]:
        inside.append(inside[-1].parent)
    return inside[::-1]


def file_in(folder: Path) -> ConfigurationFile | None:
    """The configuration that stands in one folder. Raises UsageError."""
    own, shared = folder / OWN, folder / SHARED
    tables: dict[str, Any] | None = None
    text = ""
    if os.path.lexists(shared):
        text = read_text(shared, "configuration")
        if "dimaudit" in text:  # else it is a project's own affair, and need not even be TOML
            tool = tables_of(shared, text).get("tool")
            tables = tool.get("dimaudit") if isinstance(tool, dict) else None
    if not os.path.lexists(own):
        return None if tables is None else _read(shared, text, tables, "tool.dimaudit")
    if tables is not None:
        raise UsageError(f"{own} and [tool.dimaudit] in {shared}: a folder has one configuration: keep one of the two")
    text = read_text(own, "configuration")
    return _read(own, text, tables_of(own, text), "")


@dataclass(frozen=True, slots=True)
class _Table:
    """A table of a file, for what is read from it and for messages."""

    path: Path
    text: str
    name: str
    """As in the file, with dots."""
    nth: int = 1
    said: str = ""
    """'[[for]] 2', for messages."""

    def error(self, key: str, what: str) -> UsageError:
        lines = Lines(self.path, self.text)
        whole = ".".join(filter(None, (self.name, key)))
        line = lines.line(self.name, key, self.nth) or (lines.line("", whole) if self.nth == 1 else 0)
        place = (str(self.path), f"line {line}" if line else "", self.said, key)
        return UsageError(": ".join((*filter(None, place), what)))

    def under(self, name: str, nth: int = 1, said: str = "") -> "_Table":
        """A table in this one. Which of [[for]] a table in it belongs to the lines do not tell: it gets no line."""
        nth = 0 if self.said else nth
        return _Table(self.path, self.text, ".".join(filter(None, (self.name, name))), nth, said or self.said)


def _read(path: Path, text: str, tables: Any, name: str) -> ConfigurationFile:
    table = _Table(path, text, name)
    if not isinstance(tables, dict):
        raise table.error("", f"{name} must be a table: write [{name}]")
    some = tables.get(FOR, [])
    if not isinstance(some, list) or not all(isinstance(one, dict) for one in some):
        raise table.error(FOR, f"must be tables of their own: write [[{table.under(FOR).name}]] above each")
    whole = Part(dict(_values(table, {key: value for key, value in tables.items() if key != FOR}, (FOR,))))
    return ConfigurationFile(path, (whole, *(_part(table, k, one) for k, one in enumerate(some, 1))))


def _part(table: _Table, nth: int, one: Mapping[str, Any]) -> Part:
    here = table.under(FOR, nth, f"[[{FOR}]] {nth}")
    if FILES not in one:
        raise here.error("", f"'{FILES}' is missing: name the drawings, as in {FILES} = [\"details/**\"]")
    patterns = one[FILES] if isinstance(one[FILES], list) else [one[FILES]]
    if not patterns:
        raise here.error(FILES, "is empty: name the drawings, as in [\"details/**\"]")
    for pattern in patterns:
        trouble = _trouble(pattern)
        if trouble:
            raise here.error(FILES, f"{shown(pattern)} {trouble}")
    values = dict(_values(here, {key: value for key, value in one.items() if key != FILES}, (FILES,)))
    return Part(values, f"[[{FOR}]] {nth} ({', '.join(patterns)})", GitIgnoreSpec.from_lines(patterns))


def _trouble(pattern: object) -> str:
    """Why a pattern can't be used; empty where it can."""
    if not isinstance(pattern, str) or not pattern.strip():
        return "is no pattern: write it between quotation marks, as in \"details/**\""
    names = pattern.split("/")
    if len(pattern) > LONGEST_PATTERN:
        return f"has more than {LONGEST_PATTERN} characters: write more patterns, and shorter ones"
    if ".." in names:
        return "leads out of the folder: a pattern goes down from the folder of its file"
    stars = [1 if name == "**" else name.count("*") for name in names]
    if sum(stars) > MOST_STARS or max(stars) > MOST_STARS_IN_A_NAME or names.count("**") > MOST_ANY_FOLDERS:
        return (
            f"has too many asterisks: at most {MOST_STARS}, of them {MOST_STARS_IN_A_NAME} in one name, and "
            f"{MOST_ANY_FOLDERS} times '**' between slashes"
        )
    try:
        read = GitIgnoreSpec.from_lines([pattern]).patterns
    except (ValueError, re.error):
        return "is no pattern of git's ignore files"
    if not any(one.include is not None for one in read):
        return "matches nothing: '#' begins a remark, and '/' alone names no drawing"
    return ""


def _values(table: _Table, written: Mapping[str, Any], apart: tuple[str, ...]) -> Iterator[tuple[str, Any]]:
    for key, value in written.items():
        if key == RULES:
            yield from _rules(table, value)
        elif key not in KEYS:
            known = [*KEYS, RULES, *apart]
            raise table.error(key, f"there is no such key{nearest(key, known)}")
        else:
            found = _one(table, key, value, KEYS[key])
            yield key, table.path.parent / found if isinstance(found, str) and key == "accepted" else found


def _rules(table: _Table, written: Any) -> Iterator[tuple[str, Any]]:
    from dimaudit.judge.registry import RULES as ALL

    here = table.under(RULES, said=": ".join(filter(None, (table.said, f"[{RULES}]"))))
    if not isinstance(written, dict):
        raise table.error(RULES, "must be a table: write [rules], and in it rounded = \"note\"")
    known = [rule.name for rule in ALL]
    for name, level in written.items():
        if name not in known:
            close = nearest(name, known)
            raise here.error(name, f"there is no such rule{close if '?' in close else ': `dimaudit rules` lists them'}")
        yield f"{RULES}.{name}", _one(here, name, level, RULE)


def _one(table: _Table, key: str, value: Any, known: Key) -> Any:
    if value == DEFAULT and not isinstance(known.default, tuple):
        return known.default
    try:
        return known.read(value)
    except ValueError as error:
        raise table.error(key, str(error)) from None
