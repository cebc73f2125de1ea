"""A revision by its name: a file, or one that git keeps, as `REV:path`."""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path, PurePosixPath
from tempfile import TemporaryDirectory

from dimaudit.errors import UnreadableFile, UsageError
from dimaudit.repository.git import ask


@contextmanager
def revision_file(name: str) -> Iterator[Path]:
    """The file to read for a name: a file of that very name wins; else `REV:path` is what git has at that revision.

    What git has is written to a temporary file of the same name, which goes away when this is left. The path is taken
    as git takes it: from the top of the repository, or from here where it begins with './' or '../'.

    Raises UsageError for what can be neither, UnreadableFile where git does not have it.
    """
    if Path(name).exists() or ":" not in name:
        yield Path(name)
        return
    revision, _, path = name.partition(":")
    if not revision or not path:
        raise UsageError(f"{name}: no such file, and no REVISION:PATH as in HEAD~1:drawings/print.dxf")
    if revision.startswith("-"):
        raise UsageError(f"{name}: a revision can't begin with '-': name a commit, a branch or a tag")
    if "\0" in name:
        raise UsageError("a name can't hold a zero byte: name a file, or REVISION:PATH")
    content = _shown(name)
    with TemporaryDirectory(prefix="dimaudit-") as folder:
        file = Path(folder) / (PurePosixPath(path).name or "drawing.dxf")
        file.write_bytes(content)
        yield file


def _shown(name: str) -> bytes:
    """The bytes of a file as git has them at a revision; no filter of the repository is run on them."""
    revision, _, path = name.partition(":")
    content = ask(Path(), "cat-file", "blob", f"{revision}:{path}")
    if content is None:
        way_out = f"`git ls-tree -r {revision}` lists what it has"
        raise UnreadableFile(f"{name}: no such file, and git has none of that name at that revision: {way_out}")
    return content


def place_of(name: str) -> Path:
    """Where the drawing lies, or lay, in the working tree: what steers its audit is looked for from there."""
    if Path(name).exists() or ":" not in name:
        return Path(name)
    path = name.partition(":")[2]
    if path.startswith(("./", "../")):
        return Path(path)
    top = ask(Path(), "rev-parse", "--show-toplevel")
    return Path(path) if top is None else Path(os.fsdecode(top.removesuffix(b"\n"))) / path
