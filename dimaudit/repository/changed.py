"""Which drawings changed since a revision: those that are audited where only news is wanted."""

from collections.abc import Callable, Sequence
from contextlib import suppress
from pathlib import Path, PurePosixPath

from dimaudit.errors import UsageError
from dimaudit.repository.git import ask, left_at, names, root_of

Steers = Callable[[bytes], bool]
"""Whether a file with this content steers audits."""


def changed_since(files: Sequence[Path], revision: str, steering: dict[str, Steers]) -> list[Path]:
    """Those of `files` that differ from the commit at which the history of HEAD left that of `revision`.

    Changes that are not committed count, and files that git does not know yet. Where a file that steers audits
    changed (`steering` has its name), every drawing at or below its folder counts as changed. A name that nothing
    is at is kept: it is said to be missing, and not passed over. Raises UsageError, as `left_at` does.
    """
    roots: dict[Path, _Changes] = {}
    by_folder: dict[Path, _Changes] = {}
    found = []
    for file in files:
        folder = file.parent.resolve()
        if folder not in by_folder:
            if not folder.is_dir():
                raise UsageError(f"{file}: there is no folder {file.parent}")
            root = root_of(folder).resolve()
            if root not in roots:
                roots[root] = _Changes(root, revision, steering)
            by_folder[folder] = roots[root]
        if not file.exists() or by_folder[folder].touch(folder / file.name) or by_folder[folder].touch(file.resolve()):
            found.append(file)
    return found


class _Changes:
    """What changed in one repository."""

    def __init__(self, root: Path, revision: str, steering: dict[str, Steers]) -> None:
        self._root = root
        base = left_at(root, revision)
        plain = ("--name-only", "-z", "--no-renames", "--no-ext-diff", "--no-textconv", "--ignore-submodules=all")
        changed = names(ask(root, "diff", *plain, base, "--"))
        changed += names(ask(root, "ls-files", "--others", "--exclude-standard", "-z"))
        self._files = frozenset(changed)
        self._folders = frozenset(
            name.parent for name in map(PurePosixPath, changed)
            if (steers := steering.get(name.name)) is not None
            and any(steers(content) for content in self._contents(base, name))
        )  # fmt: skip

    def _contents(self, base: str, name: PurePosixPath) -> list[bytes]:
        """What the file held and what it holds, where it was and is."""
        was = ask(self._root, "cat-file", "blob", f"{base}:{name}")
        found = [] if was is None else [was]
        with suppress(OSError):  # it was taken away
            found.append((self._root / name).read_bytes())
        return found

    def touch(self, file: Path) -> bool:
        """Whether the file changed, or what steers its audit."""
        if not file.is_relative_to(self._root):
            return False  # a link to a file elsewhere; its own name was asked for as well
        name = PurePosixPath(file.relative_to(self._root).as_posix())
        return str(name) in self._files or not self._folders.isdisjoint(name.parents)
