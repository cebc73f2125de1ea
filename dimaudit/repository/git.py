"""Questions to git. It answers from what the repository holds; nothing is fetched and nothing is written."""

import os
import subprocess
from pathlib import Path

from dimaudit.errors import UsageError

PATIENCE = 120
"""Seconds for an answer; git reads from the disk, or from a server where a clone is partial."""


def ask(folder: Path, *arguments: str) -> bytes | None:
    """What `git` prints when it is run in `folder`; None where it says no. Raises UsageError for no answer."""
    command = ["git", "-c", "core.fsmonitor=false", "-C", str(folder), *arguments]  # no program of the repository's
    environment = {**os.environ, "GIT_OPTIONAL_LOCKS": "0", "LC_ALL": "C"}
    try:
        done = subprocess.run(
            command, capture_output=True, check=False, stdin=subprocess.DEVNULL, env=environment, timeout=PATIENCE
        )
    except subprocess.TimeoutExpired:
        raise UsageError(f"git gave no answer within {PATIENCE} seconds: try again") from None
    except OSError as error:
        raise UsageError(f"git can't be run ({error.strerror or error}): install it, or leave revisions out") from None
    return done.stdout if done.returncode == 0 else None


def root_of(folder: Path) -> Path:
    """The folder that the working tree begins in. Raises UsageError outside of one."""
    said = ask(folder, "rev-parse", "--show-toplevel")
    if said is None:
        raise UsageError(f"{folder} is in no git repository that can be read: leave revisions out, or go into one")
    return Path(os.fsdecode(said.removesuffix(b"\n")))


def commit_of(root: Path, revision: str) -> str:
    """The full name of a commit. Raises UsageError where there is no such revision."""
    said = ask(root, "rev-parse", "--verify", "--quiet", "--end-of-options", f"{revision}^{{commit}}")
    if said is None:
        raise UsageError(f"{root} knows no revision {revision!r}: see `git log`, or fetch it first")
    return said.decode("ascii").strip()


def left_at(root: Path, revision: str) -> str:
    """The commit at which the checked-out history left that of `revision`; `revision` itself where it is behind.

    Raises UsageError, also where the clone is too shallow to know.
    """
    commit = commit_of(root, revision)
    said = ask(root, "merge-base", commit, "HEAD")
    if said is None:
        why = "they share no history here; a shallow clone holds too little of it (fetch all of it)"
        raise UsageError(f"{root}: what changed since {revision!r} is not known: {why}")
    return said.decode("ascii").strip()


def names(said: bytes | None) -> list[str]:
    """File names that git printed with `-z`."""
    return [os.fsdecode(name) for name in (said or b"").split(b"\0") if name]
