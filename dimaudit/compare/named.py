"""A revision by its name: a file, or one that git keeps, as `REV:path`."""

import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path, PurePosixPath
from tempfile import TemporaryDirectory

from dimaudit.errors import UnreadableFile, UsageError

PATIENCE = 60
"""Seconds for git to hand out one file; it reads from the disk, or from a server where a clone is partial."""


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
    try:
        done = subprocess.run(
            ["git", "--no-pager", "cat-file", "blob", f"{revision}:{path}"],
            capture_output=True, check=False, timeout=PATIENCE, stdin=subprocess.DEVNULL,
        )  # fmt: skip
    except FileNotFoundError:
        raise UnreadableFile(f"{name}: no such file; git, which could have it, is not installed") from None
    except subprocess.TimeoutExpired:
        raise UnreadableFile(f"{name}: git did not hand it out within {PATIENCE} seconds; try again") from None
    if done.returncode:
        said = " ".join(done.stderr.decode("utf-8", "replace").split()).removeprefix("fatal: ")
        way_out = f"`git ls-tree -r {revision}` lists what it has"
        raise UnreadableFile(f"{name}: no such file, and git has none: {said}; {way_out}")
    return done.stdout
