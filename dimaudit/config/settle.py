"""What holds for one drawing: defaults, configuration files from the outermost to the nearest, the command line."""

import os
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from dimaudit.config.files import REPOSITORY, ConfigurationFile, Part, file_in, folders_of
from dimaudit.config.keys import KEYS, RULES
from dimaudit.errors import UsageError
from dimaudit.model.audit import Level
from dimaudit.model.settings import Settings

Given = Mapping[str, Any]
"""What the command line says, by key: words, or values that were read already."""
COMMAND_LINE, NOWHERE = "command line", "default"
_RULE = f"{RULES}."


@dataclass(frozen=True, slots=True)
class Origin:
    """A key, its value in words, and where the value is from."""

    key: str
    value: str
    where: str


@dataclass(frozen=True, slots=True)
class Configured:
    """What holds for a drawing."""

    settings: Settings
    fail_on: Level | None
    """The lowest level of finding that fails a run; None is never."""
    fail_on_not_judged: bool
    accepted: Path | None
    """The file of accepted findings."""
    origins: tuple[Origin, ...]
    """Each key, in the order of the keys, then the rules that have another level than their own."""
    files: tuple[Path, ...]
    """The configuration files that were found, the outermost first."""


@dataclass(frozen=True, slots=True)
class _Layer:
    """A part of a file, as it stands over the drawings of one folder."""

    part: Part
    where: str
    below: str
    """The path from the file's folder to the drawing's, with a slash at its end; may be empty."""


@dataclass(frozen=True, slots=True)
class _Folder:
    layers: tuple[_Layer, ...]
    some: tuple[_Layer, ...]
    """Those for some drawings only."""
    files: tuple[Path, ...]


class Configurations:
    """Tells what holds for each drawing of a run; each file is read once."""

    def __init__(self, given: Given, use_files: bool = True) -> None:
        """Raises UsageError for what is given that can't be used."""
        self._given = {key: _read(key, value) for key, value in given.items()}
        self._use_files = use_files
        self._files: dict[Path, ConfigurationFile | None] = {}
        self._folders: dict[str, _Folder] = {}
        self._settled: dict[tuple[str, tuple[bool, ...]], Configured] = {}

    def of(self, drawing: Path) -> Configured:
        """What holds for a drawing, which need not exist. Raises UsageError, with the file and the key."""
        folder, name = os.path.split(drawing)
        found = self._folder(folder)
        matched = tuple(_is_for(layer, name) for layer in found.some)
        return self._settle(folder, found, matched)

    def of_folder(self, folder: Path) -> Configured:
        """What holds for a drawing in a folder that no table [[for]] names."""
        found = self._folder(str(folder))
        return self._settle(str(folder), found, (False,) * len(found.some))

    def _folder(self, folder: str) -> _Folder:
        if folder not in self._folders:
            self._folders[folder] = self._found_from(_real(folder)) if self._use_files else _Folder((), (), ())
        return self._folders[folder]

    def _found_from(self, folder: Path) -> _Folder:
        inside = folders_of(folder)
        files: list[ConfigurationFile] = []
        for one in inside:
            if one not in self._files:
                self._files[one] = file_in(_shown(one))
            file = self._files[one]
            if file is not None:
                files.append(file)
        layers = tuple(_layers(folder, _top(inside, files), files))
        return _Folder(layers, tuple(x for x in layers if x.part.files is not None), tuple(f.path for f in files))

    def _settle(self, folder: str, found: _Folder, matched: tuple[bool, ...]) -> Configured:
        key = (folder, matched)
        if key not in self._settled:
            wanted = iter(matched)
            merged: dict[str, tuple[Any, str]] = {}
            for layer in found.layers:
                if layer.part.files is None or next(wanted):
                    merged.update((name, (value, layer.where)) for name, value in layer.part.values.items())
            merged.update((name, (value, COMMAND_LINE)) for name, value in self._given.items())
            self._settled[key] = _configured(merged, found.files)
        return self._settled[key]


def configured(drawing: Path, given: Given) -> Configured:
    """What holds for one drawing. Raises UsageError, with the file and the key."""
    return Configurations(given).of(drawing)


def _read(key: str, value: Any) -> Any:
    try:
        return KEYS[key].read(value)
    except ValueError as error:
        raise UsageError(f"--{key}: {error}") from None


def _real(folder: str) -> Path:
    """The folder itself, whatever links led to it: what lies above a link is not what lies above the folder."""
    try:
        return Path(folder).resolve()
    except (OSError, RuntimeError):  # links in a circle: reading the drawing will say so
        return Path(folder).absolute()


def _shown(folder: Path) -> Path:
    """From where the user is, where the folder lies below that."""
    here = _real("")
    return folder.relative_to(here) if folder.is_relative_to(here) else folder


def _top(inside: Sequence[Path], files: Sequence[ConfigurationFile]) -> Path:
    """The folder that the names of files are told from: the repository's root, else that of the outermost file."""
    if os.path.lexists(inside[0] / REPOSITORY) or not files:
        return inside[0]
    return _real(str(files[0].path.parent))


def _layers(folder: Path, top: Path, files: Sequence[ConfigurationFile]) -> Iterator[_Layer]:
    for file in files:
        lies_in = _real(str(file.path.parent))
        below = folder.relative_to(lies_in).as_posix()
        name = (lies_in / file.path.name).relative_to(top).as_posix()
        for part in file.parts:
            yield _Layer(part, f"{name}, {part.name}" if part.name else name, "" if below == "." else f"{below}/")


def _is_for(layer: _Layer, name: str) -> bool:
    return layer.part.files is not None and layer.part.files.match_file(layer.below + name)


def _configured(merged: Mapping[str, tuple[Any, str]], files: tuple[Path, ...]) -> Configured:
    value = {key: merged[key][0] if key in merged else KEYS[key].default for key in KEYS}
    levels = {key.removeprefix(_RULE): level for key, (level, _) in merged.items() if key.startswith(_RULE)}
    for key in ("near", "gap"):
        if value["snap"] is not None and value[key] is not None and value[key] <= value["snap"]:
            raise UsageError(
                f"{_said(key, merged)} must be larger than {_said('snap', merged)}: what is nearer than that is "
                "joined, not missed"
            )
    settings = Settings(
        rounding=value["rounding"], unit=value["units"], snap=value["snap"], near=value["near"], gap=value["gap"],
        noise=value["noise"], eaten_share=value["eaten-share"], views=value["view"],
        general=value["general-tolerance"], left_out_layers=value["without-layer"],
        left_out_layouts=value["without-layout"], taken_as_implied=value["not-implied"],
        rule_levels=tuple((name, level) for name, level in sorted(levels.items()) if level is not None),
        rule_set=value["rule-set"],
    )  # fmt: skip
    return Configured(
        settings, value["fail-on"], value["fail-on-not-judged"], value["accepted"], tuple(_origins(merged)), files
    )


def _said(key: str, merged: Mapping[str, tuple[Any, str]]) -> str:
    """'--near', or 'near (dimaudit.toml)'."""
    where = merged[key][1]
    return f"--{key}" if where == COMMAND_LINE else f"{key} ({where})"


def _origins(merged: Mapping[str, tuple[Any, str]]) -> Iterator[Origin]:
    for name, key in KEYS.items():
        value, where = merged.get(name, (key.default, NOWHERE))
        yield Origin(name, key.words(value), where)
    for name, (level, where) in sorted(merged.items()):
        if name.startswith(_RULE):
            yield Origin(name, "its own level" if level is None else str(level), where)
