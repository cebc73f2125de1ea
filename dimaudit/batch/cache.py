"""Results kept from run to run: by what a drawing holds, what audits it and what steers that; never by its name.

The file of an entry is named by all that it depends on, so an entry is never out of date; it is only no longer asked
for. What was not asked for in sixty days is dropped. Several runs can share a cache: an entry appears whole or not
at all.
"""

import os
import platform
import re
import stat
import time
import zlib
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from functools import lru_cache
from hashlib import file_digest, sha256
from importlib.metadata import version
from pathlib import Path

from dimaudit import __version__
from dimaudit.batch.entry import NoEntry, entry_of, opened, record_from, sealed
from dimaudit.batch.one import Job, Outcome
from dimaudit.errors import UsageError
from dimaudit.model.audit import UnreadDrawing
from dimaudit.model.settings import Settings
from dimaudit.write.whole import write_whole

DAY = 24 * 3600
KEPT_DAYS = 60
"""An entry that was not used for so long is dropped: a drawing that is audited once a month keeps its own."""
_OURS = re.compile(r"\.?[0-9a-f]{64}\.(record|details)(\..*)?")
"""Names of entries, and of those that a run was writing when it was killed."""
AUDITING = ("ezdxf", "numpy", "python-flint", "shapely")
"""The packages that a result can depend on."""


def usual_folder() -> Path:
    """Where the user's caches are on this system."""
    from platformdirs import user_cache_path

    return user_cache_path("dimaudit", appauthor=False)


@dataclass(frozen=True, slots=True)
class Key:
    """What a result depends on."""

    content: str
    """SHA-256 of the drawing's bytes."""
    name: str
    """SHA-256 of that, of the tool and of the settings."""


class Cache:
    """Entries in a folder; one that cannot be used costs a warning and nothing else."""

    def __init__(self, folder: Path, warn: Callable[[str], None]) -> None:
        self._folder, self._warn = folder, warn
        self._writing = True

    def key(self, job: Job) -> Key | None:
        """None where the file cannot be read, or is none: a pipe would be waited for."""
        try:
            if not job.path.is_file():
                return None
            with job.path.open("rb", buffering=0) as file:
                content = file_digest(file, "sha256").hexdigest()
        except OSError:
            return None
        return Key(content, sha256(f"{content}\n{tool()}\n{_steering(job.settings)}".encode()).hexdigest())

    def holds(self, key: Key, details: bool) -> bool:
        """Whether there is an entry, good or not."""
        return self._path(key, "record").exists() and (not details or self._path(key, "details").exists())

    def get(self, key: Key, job: Job, details: bool) -> Outcome | None:
        """None where there is no entry, or none that can be believed."""
        try:
            record = record_from(self._read(self._path(key, "record")))
            told = zlib.decompress(opened(self._read(self._path(key, "details")))).decode() if details else ""
        except (OSError, NoEntry, zlib.error, UnicodeError):
            return None
        return Outcome(str(job.path), record, (), told) if record.sha256 == key.content else None

    def put(self, key: Key, outcome: Outcome) -> None:
        """Keeps a result. What a fault or a limit made of a drawing, and a drawing that could not be read, is not
        kept: another time it may be otherwise. Nor is a drawing that was changed while it was read."""
        record = outcome.found
        if not self._writing or outcome.faults or isinstance(record, UnreadDrawing) or record.sha256 != key.content:
            return
        try:
            path = self._path(key, "record")
            path.parent.mkdir(parents=True, exist_ok=True)
            if outcome.details:
                write_whole(self._path(key, "details"), sealed(zlib.compress(outcome.details.encode(), 1)))
            write_whole(path, entry_of(record))
        except (OSError, UsageError) as error:
            self._writing = False
            cause = error if isinstance(error, OSError) else error.__cause__
            why = getattr(cause, "strerror", None) or cause
            self._warn(f"{self._folder}: results cannot be kept there ({why}); the run goes on without that")

    def close(self) -> None:
        """Drops what nobody asked for, at most once a day."""
        last = self._folder / "last-cleared"
        now = time.time()
        try:
            if last.exists() and now - last.stat().st_mtime < DAY:
                return
            last.touch()
            for entry in self._folder.glob("[0-9a-f][0-9a-f]/*"):
                if _OURS.fullmatch(entry.name) and now - entry.stat().st_mtime > KEPT_DAYS * DAY:
                    entry.unlink(missing_ok=True)
        except OSError:  # it is cleared another day, or by another run that is at it
            return

    def _path(self, key: Key, kind: str) -> Path:
        return self._folder / key.name[:2] / f"{key.name}.{kind}"

    @staticmethod
    def _read(path: Path) -> bytes:
        """An entry, marked as used (not more than once a day).

        Raises NoEntry for what is no file: a pipe would be waited for, a device read without an end.
        """
        with open(path, "rb", buffering=0, opener=_without_waiting) as file:
            found = os.fstat(file.fileno())
            if not stat.S_ISREG(found.st_mode):
                raise NoEntry
            content = file.read()
        if abs(time.time() - found.st_mtime) > DAY:
            with suppress(OSError):  # a cache that only others may write into can be used as it is
                os.utime(path)
        return content


def _without_waiting(path: str, flags: int) -> int:
    return os.open(path, flags | getattr(os, "O_NONBLOCK", 0))


@lru_cache(maxsize=1)
def tool() -> str:
    """All of the tool that can change a result: its version, its own code, and what it stands on."""
    package = Path(__file__).parent.parent
    code = sha256()
    for path in sorted(package.rglob("*.py")):
        content = path.read_bytes()
        code.update(f"{path.relative_to(package).as_posix()} {len(content)}\n".encode())
        code.update(content)
    others = ", ".join(f"{name} {version(name)}" for name in AUDITING)
    python = f"{platform.python_implementation()} {platform.python_version()}"
    return f"{__version__}, {code.hexdigest()}, {python}, {others}"


@lru_cache(maxsize=64)
def _steering(settings: Settings) -> str:
    return repr(settings)
