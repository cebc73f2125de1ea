"""Findings that somebody accepted, with a reason: read from a file, and taken out of what a run found."""

import os
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from pathlib import Path
from posixpath import normpath
from typing import Any, TypeAlias

from dimaudit.errors import UsageError
from dimaudit.model.audit import Finding
from dimaudit.model.record import Accepted, Audited
from dimaudit.text.toml_file import nearest, read_text, tables_of

FILE = "dimaudit-accepted.toml"
"""The name that it has where nobody gives it another."""
LARGEST = 50_000_000
"""Bytes: some hundred thousand entries."""
TABLE = "accepted"
KNOWN = ("drawing", "rule", "identity", "count", "about", "reason", "author", "until")
FEW = 5
"""Entries of one drawing that a remark names; the others are counted."""

Key: TypeAlias = tuple[str, str, str]
"""Drawing, rule and identity."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One accepted finding, or several that are alike."""

    drawing: str
    """Its path from the folder of the file, with '/' between folders."""
    rule: str
    identity: str
    reason: str
    author: str
    count: int = 1
    until: date | None = None
    """The last day that it holds; None is for good."""
    about: str = ""
    """What it says in words. Written for people, never read back."""

    @property
    def key(self) -> Key:
        return self.drawing, self.rule, self.identity

    def over(self, today: date) -> bool:
        return self.until is not None and self.until < today


@dataclass(frozen=True, slots=True)
class AcceptedFile:
    """The file and what it holds."""

    path: Path
    entries: tuple[Entry, ...] = ()

    def name_of(self, drawing: Path) -> str:
        """What the file calls a drawing, wherever it is looked at from."""
        whole = os.path.realpath(drawing)
        try:
            return Path(os.path.relpath(whole, self.folder)).as_posix()
        except ValueError:  # on another drive
            return Path(whole).as_posix()

    @property
    def folder(self) -> str:
        return os.path.realpath(self.path.parent)


def read_accepted(path: Path) -> AcceptedFile:
    """The file. Raises UsageError with the entry to mend, or where there is no such file."""
    if not path.exists():
        raise UsageError(f"{path}: there is no such file of accepted findings: `dimaudit accept` makes it")
    return AcceptedFile(path, entries_of(path, text_of(path)))


def text_of(path: Path) -> str:
    """The text of the file. Raises UsageError."""
    return read_text(path, "accepted findings", LARGEST)


def entries_of(path: Path, text: str) -> tuple[Entry, ...]:
    """The entries in the text of the file `path`. Raises UsageError with the entry to mend."""
    tables = tables_of(path, text)
    for name in tables:
        if name != TABLE:
            raise UsageError(f"{path}: '{name}' is nothing that it has{nearest(name, [TABLE])}")
    found = tables.get(TABLE, [])
    if not isinstance(found, list) or not all(isinstance(one, dict) for one in found):
        raise UsageError(f"{path}: '{TABLE}' is no list of entries: begin each with [[{TABLE}]]")
    return tuple(_entry(path, n, one) for n, one in enumerate(found, 1))


def _entry(path: Path, number: int, table: Mapping[str, Any]) -> Entry:
    named = table.get("drawing")
    place = f"{path}: entry {number}" + (f" ({named})" if isinstance(named, str) and named else "")
    for key in table:
        if key not in KNOWN:
            raise UsageError(f"{place}: '{key}' is nothing that an entry has{nearest(key, KNOWN)}")
    texts = {}
    for key in ("drawing", "rule", "identity", "reason", "author"):
        value = table.get(key)
        if value is None:
            raise UsageError(f"{place}: '{key}' is missing: put it in")
        if not isinstance(value, str):
            raise UsageError(f"{place}: {key}: must be a text in quotation marks")
        if not value.strip():
            why = {"reason": "say why it is accepted", "author": "say who accepted it"}.get(key, "put it in")
            raise UsageError(f"{place}: {key} is empty: {why}")
        texts[key] = value.strip()
    count = table.get("count", 1)
    if isinstance(count, bool) or not isinstance(count, int) or count < 1:
        raise UsageError(f"{place}: count: must be a whole number, 1 or more")
    until = table.get("until")
    if until is not None and (not isinstance(until, date) or isinstance(until, datetime)):
        raise UsageError(f"{place}: until: must be a day without quotation marks, as in 2031-05-31")
    texts["drawing"] = normpath(texts["drawing"])
    return Entry(**texts, count=count, until=until)


class Acceptance:
    """The accepted findings at work: takes them out drawing by drawing, and knows in the end which did not match."""

    def __init__(self, file: AcceptedFile, today: date) -> None:
        self.file = file
        self._today = today
        self._entries: dict[str, dict[Key, list[Entry]]] = defaultdict(dict)
        for entry in file.entries:
            self._entries[entry.drawing].setdefault(entry.key, []).append(entry)
        self._gone = {name for name in self._entries if not (Path(file.folder) / name).exists()}
        self._lost = {key[1:]: key[0] for name in sorted(self._gone) for key in self._entries[name]}
        """Rules and identities that a drawing had which is not there any more."""
        self._found_at: dict[str, Counter[str]] = defaultdict(Counter)
        """Such a drawing's findings that turned up unaccepted, by the drawing where they did."""
        self._present: dict[str, Counter[Key]] = {}
        """How many findings each entry of an audited drawing met; nothing of drawings without entries."""

    def taken_out(self, result: Audited) -> Audited:
        """The result without the findings that are accepted."""
        left, accepted = self.apply(Path(result.path), result.record.findings)
        return replace(result, record=replace(result.record, findings=left), accepted=accepted)

    def apply(self, drawing: Path, findings: Sequence[Finding]) -> tuple[tuple[Finding, ...], tuple[Accepted, ...]]:
        """What is left of the findings of a drawing, and what was accepted."""
        name = self.file.name_of(drawing)
        entries = self._entries.get(name, {})
        if name in self._entries:
            self._present[name] = Counter()
        rest = {key: self._holding(own, len(findings)) for key, own in entries.items()}
        left: list[Finding] = []
        accepted: list[Accepted] = []
        for finding in findings:
            key = (name, finding.rule, finding.identity)
            if key in rest:
                self._present[name][key] += 1
            if rest.get(key):
                entry = rest[key].pop(0)
                accepted.append(Accepted(finding, entry.reason, entry.author, entry.until))
                continue
            left.append(finding)
            if key[1:] in self._lost:
                self._found_at[self._lost[key[1:]]][name] += 1
        return tuple(left), tuple(accepted)

    def _holding(self, entries: Iterable[Entry], most: int) -> list[Entry]:
        """An entry for each finding that is accepted, those that hold longest first; no more than `most` of each."""
        own = [entry for entry in entries if not entry.over(self._today)]
        own.sort(key=lambda entry: entry.until or date.max, reverse=True)
        return [entry for entry in own for _ in range(min(entry.count, most))]

    def spent(self) -> frozenset[Entry]:
        """Entries that accept nothing now: expired, not matched in a drawing that was looked at, or of none at all."""
        useless = {e for e in self.file.entries if e.over(self._today) or e.drawing in self._gone}
        for name, present in self._present.items():
            useless.update(e for key, own in self._entries[name].items() if not present[key] for e in own)
        return frozenset(useless)

    def remarks(self) -> tuple[str, ...]:
        """What there is to say of entries that are expired or match nothing, drawing by drawing."""
        return tuple(f"{self.file.path.name}: {said}" for name in sorted(self._entries) for said in self._about(name))

    def _about(self, name: str) -> Iterator[str]:
        if name in self._gone:
            count = sum(len(own) for own in self._entries[name].values())
            many = "1 accepted finding" if count == 1 else f"{count} accepted findings"
            renamed = self._found_at[name].most_common(1) if name in self._found_at else []
            where = f"; was it renamed to {renamed[0][0]}?" if renamed else ""
            yield f"{name} is not there any more, and has {many}: take them out{where}"
            return
        if name not in self._present:
            return
        expired: list[str] = []
        over: list[str] = []
        mended: list[str] = []
        fewer: list[str] = []
        for (_, rule, identity), own in self._entries[name].items():
            there = self._present[name][name, rule, identity]
            ended = [entry for entry in own if entry.over(self._today)]
            count = sum(entry.count for entry in own if entry not in ended)
            said = f"{rule} {identity}"
            if ended and there > count:
                last = max(ended, key=lambda entry: entry.until or date.min)
                expired.append(f"{said} (until {last.until}, {last.author})")
            elif ended:
                over.append(said)
            if not there and count:
                mended.append(said)
            elif there < count:
                fewer.append(f"{said} ({there} of {count})")
        if expired:
            yield f"{name}: accepted until a day that is over, mend or accept anew: {_listed(expired)}"
        if over:
            yield f"{name}: accepted until a day that is over, and not needed any more, take it out: {_listed(over)}"
        if mended:
            yield f"{name}: accepted, and no finding matches: it is mended, or changed; take it out: {_listed(mended)}"
        if fewer:
            yield f"{name}: accepted more often than it is there, lower the count: {_listed(fewer)}"


def _listed(entries: Sequence[str]) -> str:
    rest = len(entries) - FEW
    return ", ".join(entries[:FEW]) + (f" and {rest} more" if rest > 0 else "")
