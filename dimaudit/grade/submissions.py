"""What a class handed in: files, folders, or a zip archive, read safely. What can't be graded is for a person."""

import os
import re
import unicodedata
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field
from hashlib import sha256
from pathlib import Path, PurePosixPath
from tempfile import TemporaryDirectory

from dimaudit.errors import UsageError
from dimaudit.grade.archive import Entry, unpacked
from dimaudit.model.grading import ForAPerson
from dimaudit.report.visible import visible

LARGEST = 64 * 2**20
"""Bytes of one file; a layout of a class is a thousandth of that."""
MOST_FILES = 5000
"""Files in one run, skipped ones and all."""

EXPORT = (
    "ask for it as DXF: in the program that drew it, save a copy or export with the type DXF, "
    "the version R2000 or later"
)
OTHERS: dict[str, tuple[str, str]] = {
    **dict.fromkeys((".dwg", ".dwt"), ("a drawing in another format than DXF", EXPORT)),
    **dict.fromkeys((".pdf", ".ps", ".eps"), ("a print, which holds no measurable drawing", EXPORT)),
    **dict.fromkeys(
        (".png", ".jpg", ".jpeg", ".gif", ".bmp", ".tif", ".tiff", ".webp", ".heic"),
        ("a picture, which holds no measurable drawing", EXPORT),
    ),
    ".svg": ("a drawing for the screen, without dimensions that can be told from lines", EXPORT),
    **dict.fromkeys(
        (".step", ".stp", ".iges", ".igs", ".stl", ".obj", ".3mf", ".sat", ".x_t"),
        ("a model of a solid, no drawing", "ask for the drawing of it, saved as DXF"),
    ),
    **dict.fromkeys(
        (".zip", ".7z", ".rar", ".tar", ".gz", ".tgz", ".bz2", ".xz"),
        ("an archive within what was handed in", "unpack it into a folder of its own, and grade again"),
    ),
    **dict.fromkeys(
        (".doc", ".docx", ".odt", ".rtf", ".txt", ".md", ".xls", ".xlsx", ".csv"),
        ("a text, no drawing", "read it; ask for the drawing as DXF if there is none"),
    ),
    **dict.fromkeys((".bak", ".sv$", ".tmp", ".dwl", ".log"), ("a left-over of a program, no drawing", EXPORT)),
}
"""By the ending of the name: what it is, and what to do."""
STARTS: tuple[tuple[bytes, str], ...] = (
    (b"AC10", ".dwg"), (b"%PDF", ".pdf"), (b"\x89PNG", ".png"), (b"\xff\xd8\xff", ".jpg"), (b"PK\x03\x04", ".zip"),
    (b"GIF8", ".gif"), (b"<svg", ".svg"), (b"ISO-10303-21", ".step"), (b"7z\xbc\xaf", ".7z"), (b"Rar!", ".rar"),
    (b"\x1f\x8b", ".gz"), (b"\xd0\xcf\x11\xe0", ".doc"), (b"{\\rtf", ".rtf"), (b"<!DOCTYPE html", ".html"),
)  # fmt: skip
"""By the first bytes, whatever the name says (PNG, PDF, ZIP, ISO 10303-21 say theirs; the rest common practice)."""
AGAIN = (
    "save your drawing as DXF in the program that you drew it with, open what you saved to see that all is in it, and "
    "hand that file in"
)
"""What a learner can do about a file that is no drawing, or can't be read."""
NO_CONTENT = ("empty: it holds nothing at all", "ask for the file again; a copy that was cut short is empty")


@dataclass(frozen=True, slots=True)
class Submission:
    """One drawing to be graded."""

    name: str
    """From the file's name; no two are alike."""
    path: str
    """As a person finds it: within the archive or folder that it came in."""
    file: Path
    """Where it can be read."""
    sha256: str


@dataclass(frozen=True, slots=True)
class HandedIn:
    """All that was found."""

    submissions: tuple[Submission, ...]
    for_a_person: tuple[ForAPerson, ...]
    said: tuple[str, ...]
    """What was skipped and why, for the instructor."""


@dataclass(frozen=True, slots=True)
class _Found:
    """A file before it is known what it is. `inside`: its path within what was named; `refused`: why and to do."""

    root: str
    home: Path
    """The folder or archive that it is in, wherever the run was started."""
    inside: PurePosixPath
    file: Path | None
    refused: tuple[str, str] | None = None


@dataclass
class _Search:
    """Files and what was said on the way."""

    found: list[_Found] = field(default_factory=list)
    skipped: Counter[str] = field(default_factory=Counter)
    said: list[str] = field(default_factory=list)
    seen: set[Path] = field(default_factory=set)

    def add(self, found: _Found) -> None:
        """A file, unless it was named before in another way."""
        assert found.file is not None
        resolved = found.file.resolve()
        if resolved not in self.seen:
            self.seen.add(resolved)
            self.found.append(found)


@contextmanager
def handed_in(paths: Sequence[Path], apart: Iterable[Path] = ()) -> Iterator[HandedIn]:
    """The submissions in files, folders and zip archives; `apart` names files and folders that are none: the key, the
    rubric, the folder of the gradebook. What an archive holds is there as long as the context is.

    Raises UsageError where nothing is there, or an archive can't be opened.
    """
    with ExitStack() as stack:
        search = _Search()
        own = {p.resolve() for p in apart}
        for path in paths:
            if path.is_dir():
                _folder(path, own, search)
            elif path.suffix.lower() == ".zip" and path.is_file():
                into = Path(stack.enter_context(TemporaryDirectory(prefix="submissions-")))
                _archive(path, into, search)
            elif path.is_file():
                search.add(_Found("", path.resolve().parent, PurePosixPath(path.name), path))
            else:
                raise UsageError(f"{path}: no such file or folder: name the submissions, their folder, or a zip of it")
            if len(search.found) > MOST_FILES:
                raise UsageError(f"{path}: more than {MOST_FILES} files in all: name the class's own folder")
        yield _sorted_out(search)


def _folder(root: Path, apart: set[Path], search: _Search) -> None:
    """Files below a folder, links not followed."""
    home = root.resolve()
    for here, folders, files in os.walk(root):
        folder = Path(here)
        kept = []
        for name in sorted(folders):
            if (folder / name).resolve() in apart:
                search.said.append(f"{folder / name}: left aside: it is where the gradebook goes")
            elif (folder / name).is_symlink():
                search.said.append(f"{folder / name}: skipped: a link to another folder is not followed")
            elif hidden(name):
                search.skipped[name] += 1
            else:
                kept.append(name)
        folders[:] = kept
        for name in sorted(files):
            path = folder / name
            inside = PurePosixPath(*path.relative_to(root).parts)
            if hidden(name):
                search.skipped[name] += 1
            elif path.is_symlink():
                link = "a link to another file, which is not followed", "put the file itself into the folder"
                search.found.append(_Found(str(root), home, inside, None, link))
            elif path.resolve() in apart:
                search.said.append(f"{path}: left aside: it is the key or the rubric, no submission")
            else:
                search.add(_Found(str(root), home, inside, path))
            if len(search.found) > MOST_FILES:
                return


def _archive(path: Path, into: Path, search: _Search) -> None:
    entries = [e for e in unpacked(path, into, LARGEST, MOST_FILES) if not _hidden_entry(e, search)]
    tops = {e.inside.parts[0] for e in entries if e.inside.parts}
    inner = len(entries) > 1 and len(tops) == 1 and all(len(e.inside.parts) > 1 for e in entries)
    for entry in entries:
        inside = PurePosixPath(*entry.inside.parts[1:]) if inner else entry.inside  # the folder that was packed
        search.found.append(_Found(str(path), path.resolve(), inside, entry.file, entry.refused))


def _hidden_entry(entry: Entry, search: _Search) -> bool:
    for part in entry.inside.parts:
        if hidden(part):
            search.skipped[part] += 1
            return True
    return False


def hidden(name: str) -> bool:
    """What systems and programs leave behind, and no person hands in."""
    return name.startswith((".", "~$")) or name in ("__MACOSX", "Thumbs.db", "desktop.ini", "Icon\r")


def _sorted_out(search: _Search) -> HandedIn:
    """Each file named, looked at, and put where it belongs."""
    drawings = {id(f): _looked_at(f) for f in search.found}
    graded = [f for f in search.found if isinstance(drawings[id(f)], str)]
    stems = {(f.root, f.inside.with_suffix("")) for f in graded}
    folders = {(f.root, f.inside.parent) for f in graded if f.inside.parent.parts}
    submissions, people, said = [], [], list(search.said)
    counted = []
    for found in search.found:
        what = drawings[id(found)]
        beside = (found.root, found.inside.with_suffix("")) in stems or (found.root, found.inside.parent) in folders
        if not isinstance(what, str) and beside and _ending(found.inside) != ".dxf" and not found.refused:
            said.append(f"{_shown(found)}: left aside, since a DXF drawing lies beside it: {what[1]}")
        else:
            counted.append(found)
    for found, name in zip(counted, _names(counted), strict=True):
        shown = _shown(found)
        what = drawings[id(found)]
        if isinstance(what, str):
            assert found.file is not None
            submissions.append(Submission(name, shown, found.file, what))
        else:
            digest, why, to_do = what
            people.append(ForAPerson(name, shown, digest, why, to_do, AGAIN))
    if search.skipped:
        most = ", ".join(f"{visible(n, 60)} ({k})" for n, k in sorted(search.skipped.items())[:6])
        more = f" and {len(search.skipped) - 6} other names" if len(search.skipped) > 6 else ""
        said.append(f"skipped, as hidden files and left-overs of systems: {most}{more}")
    return HandedIn(
        tuple(sorted(submissions, key=lambda s: order(s.name))),
        tuple(sorted(people, key=lambda p: order(p.name))),
        tuple(visible(line) for line in said),
    )


def order(name: str) -> tuple[list[tuple[int, int, str]], str]:
    """Names in the order of a list for people: case aside, numbers first and by their size."""
    parts = re.findall(r"[0-9]+|[^0-9]+", name.casefold())
    return [(0, int(p[:20]), p) if p[0] in "0123456789" else (1, 0, p) for p in parts], name


def _looked_at(found: _Found) -> str | tuple[str, str, str]:
    """The digest of what can be read as DXF; else its digest as far as it is known, why not, and what to do."""
    if found.file is None:
        why, to_do = found.refused or ("not found", "grade again")
        return "", why, to_do
    try:
        if not found.file.is_file():
            return "", "no plain file", "put the file itself into the folder"
        size = found.file.stat().st_size
        if size > LARGEST:
            return "", f"{size} bytes, more than the {LARGEST} that are read", "ask for the layout alone"
        data = found.file.read_bytes()
    except OSError as error:
        return "", f"could not be read: {error.strerror or error}", "make it readable, and grade again"
    digest = sha256(data).hexdigest()
    if not data.strip(b"\0 \t\r\n"):
        return digest, *NO_CONTENT
    head = data[:512].lstrip()
    ending = _ending(found.inside)
    for start, is_like in STARTS if ending == ".dxf" or ending not in OTHERS else ():
        if head.startswith(start):
            what, to_do = OTHERS.get(is_like, ("no drawing", EXPORT))
            named = f", though its name ends in {ending}" if ending == ".dxf" else ""
            return digest, what + named, to_do
    if ending != ".dxf":
        what, to_do = OTHERS.get(ending, ("no file of a kind that can be graded", EXPORT))
        return digest, f"{what} ({visible(ending, 20) or 'its name has no ending'})", to_do
    return digest


def _ending(inside: PurePosixPath) -> str:
    return inside.suffix.lower()


def _shown(found: _Found) -> str:
    inside = clean(str(found.inside))
    return f"{clean(found.root)}/{inside}" if found.root else inside


def clean(text: str) -> str:
    """A name as one harmless line of composed characters; bytes that are no text are replaced."""
    readable = text.encode("utf-8", "surrogateescape").decode("utf-8", "replace")
    return visible(unicodedata.normalize("NFC", readable))


def _names(found: Sequence[_Found]) -> list[str]:
    """A name for each: its path without the ending; with it, where two are alike; then with the folders that differ."""
    short = [clean(str(f.inside.with_suffix("")) if f.inside.name.strip(".") else str(f.inside)) for f in found]
    names = [clean(str(f.inside)) if twin else name
             for f, name, twin in zip(found, short, _twins(short), strict=True)]  # fmt: skip
    homes: dict[str, set[Path]] = {}
    for f, name, twin in zip(found, names, _twins(names), strict=True):
        if twin:
            homes.setdefault(name.casefold(), set()).add(f.home)
    for n, f in enumerate(found):
        names[n] = clean("/".join((*_apart(f.home, homes.get(names[n].casefold(), set())), names[n])))
    taken: set[str] = set()
    for n, name in enumerate(names):
        again = 1
        while names[n] in taken:  # an archive may hold one name twice
            again += 1
            names[n] = f"{name} ({again})"
        taken.add(names[n])
    return names


def _twins(names: Sequence[str]) -> list[bool]:
    """Whether another name is the same but for the case of its letters, as many systems take it."""
    counts = Counter(name.casefold() for name in names)
    return [counts[name.casefold()] > 1 for name in names]


def _apart(home: Path, homes: set[Path]) -> tuple[str, ...]:
    """As many of a folder's last parts as tell it from the others; none where there is no other."""
    most = max((len(h.parts) for h in homes), default=0)
    enough = (k for k in range(most) if len({h.parts[len(h.parts) - k :] for h in homes}) == len(homes))
    return home.parts[len(home.parts) - next(enough, most) :] if len(homes) > 1 else ()
