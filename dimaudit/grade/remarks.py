"""The instructor's own remarks and changed marks: files beside the gradebook, written once and then only read."""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches
from fractions import Fraction
from pathlib import Path

from dimaudit.errors import UsageError
from dimaudit.grade.rubric_text import toml_text
from dimaudit.grade.state import Result
from dimaudit.grade.submissions import order
from dimaudit.grade.words import points_text
from dimaudit.text.toml_file import Lines, load_toml, nearest, read_number

FILE = "remarks.toml"
HEAD = """\
# Your own remarks and marks. This file is written once and never again: what you write here stays.
# A remark goes between the quotation marks; a mark that counts in place of ours behind "mark =", as in
#   remark = "see me about the arc"
#   mark = 87.5
# A mark holds for the very file that it was given for. If the file is handed in anew, you are told, and the mark
# rests until you put the new sha256 here.
"""
MORE = "# Submissions that came in after the first of these files was written.\n"


@dataclass(frozen=True, slots=True)
class Remark:
    """What the instructor says about one submission."""

    remark: str = ""
    mark: Fraction | None = None
    """Counts in place of the graded one."""
    stale: str = ""
    """Why a mark rests; empty where it doesn't."""


@dataclass(frozen=True, slots=True)
class Remarks:
    """All of them, by the submissions' names."""

    of: Mapping[str, Remark] = field(default_factory=dict)
    known: frozenset[str] = frozenset()
    """Names that the files hold, whether anything is said about them or not."""
    said: tuple[str, ...] = ()

    def about(self, name: str) -> Remark:
        return self.of.get(name, Remark())


def files_in(folder: Path) -> list[Path]:
    """remarks.toml, remarks-2.toml, ..., in this order."""
    found = [p for p in folder.glob("remarks*.toml") if re.fullmatch(r"remarks(-[0-9]{1,9})?\.toml", p.name)]
    return sorted(found, key=lambda p: int(re.sub(r"\D", "", p.name) or 1))


def read_remarks(folder: Path, results: Sequence[Result]) -> Remarks:
    """The remarks in a folder, held against the submissions. Raises UsageError with the line to mend."""
    digests = {r.name: r.sha256 for r in results}
    of: dict[str, Remark] = {}
    where: dict[str, Path] = {}
    said: list[str] = []
    for path in files_in(folder):
        text, tables = load_toml(path, "remarks")
        lines = Lines(path, text)
        for name, table in tables.items():
            if not isinstance(table, dict):
                raise lines.error(f"{name!r} belongs under a submission's name in brackets", "", name)
            if name in where:
                raise lines.error(f"is in {where[name].name}, too: delete one of them", name)
            where[name] = path
            remark = _read(lines, name, table)
            if name not in digests:
                if remark[0] or remark[1] is not None:
                    near = get_close_matches(name, list(digests), 1)
                    hint = f"; did you mean {near[0]!r}?" if near else ""
                    said.append(f"{path.name}: a remark about {name!r}, which is no submission's name{hint}")
                continue
            of[name] = _held(remark, digests[name], path)
    return Remarks(of, frozenset(where), tuple(said))


def _read(lines: Lines, name: str, table: Mapping[str, object]) -> tuple[str, Fraction | None, str]:
    known = ("sha256", "remark", "mark")
    for key in table:
        if key not in known:
            raise lines.error(f"'{key}' is nothing that it has{nearest(key, list(known))}", name, key)
    remark, digest, mark = table.get("remark", ""), table.get("sha256", ""), table.get("mark", "")
    for key, value in (("remark", remark), ("sha256", digest)):
        if not isinstance(value, str):
            raise lines.error(f"{key}: must be a text in double quotation marks", name, key)
    try:
        number = None if mark == "" else read_number(mark)
    except ValueError as error:
        raise lines.error(f"mark: {error}", name, "mark") from None
    if number is not None and number < 0:
        raise lines.error("mark: is below zero", name, "mark")
    return str(remark), number, str(digest).lower()


def _held(remark: tuple[str, Fraction | None, str], digest: str, path: Path) -> Remark:
    text, mark, for_digest = remark
    if mark is None or for_digest == digest:
        return Remark(text, mark)
    return Remark(
        text, None,
        f"the changed mark {points_text(mark)} rests: it was given for another version of the file; look again, then "
        f'put sha256 = "{digest}" into {path.name}',
    )  # fmt: skip


def remarks_text(results: Iterable[Result], first: bool) -> str:
    """A new file with a table for each submission."""
    tables = []
    for result in sorted(results, key=lambda r: order(r.name)):
        tables.append(
            f"\n[{toml_text(result.name)}]\nsha256 = {toml_text(result.sha256)}\n"
            f"remark = \"\"\nmark = \"\"\n"
        )
    return (HEAD if first else MORE) + "".join(tables)


def write_new(folder: Path, results: Sequence[Result], known: frozenset[str]) -> Path | None:
    """A file for the submissions that no file names yet; what is there is never written over. None where all are."""
    new = [r for r in results if r.name not in known]
    if not new:
        return None
    there = files_in(folder)
    numbers = [int(re.sub(r"\D", "", p.name) or 1) for p in there]
    path = folder / (FILE if not there else f"remarks-{max(numbers) + 1}.toml")
    try:
        with path.open("x", encoding="utf-8", newline="\n") as file:
            file.write(remarks_text(new, first=not there))
    except OSError as error:
        raise UsageError(f"{path}: {error.strerror or error}: name a folder that can be written") from None
    return path
