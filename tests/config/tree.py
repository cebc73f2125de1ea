"""Folders with configuration files, for tests."""

from collections.abc import Mapping
from pathlib import Path


def tree(root: Path, files: Mapping[str, str | bytes], repository: bool = True) -> Path:
    """Writes files below a folder, which is then the root of a repository."""
    if repository:
        (root / ".git").mkdir(exist_ok=True)
    for name, content in files.items():
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
    return root
