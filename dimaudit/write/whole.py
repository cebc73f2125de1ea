"""Files written whole or not at all."""

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

from dimaudit.errors import UsageError


@contextmanager
def whole_file(path: Path) -> Iterator[BinaryIO]:
    """A file to write into piece by piece; it takes its name when all is written. Raises UsageError."""
    try:
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
        try:
            with os.fdopen(handle, "wb") as file:
                yield file
            umask = os.umask(0)
            os.umask(umask)
            Path(name).chmod(0o666 & ~umask)  # a temporary file is its owner's alone; a report is for all to read
            Path(name).replace(path)
        except BaseException:
            Path(name).unlink(missing_ok=True)
            raise
    except OSError as error:
        raise UsageError(f"{path}: {error.strerror or error}: name a file in a folder that can be written") from error


def write_whole(path: Path, data: str | bytes) -> None:
    """Writes a file whole or not at all; a text as UTF-8. Raises UsageError."""
    content = data.encode("utf-8") if isinstance(data, str) else data
    with whole_file(path) as file:
        file.write(content)
