"""Where things stand in a DXF file: sections, tables, layouts, handles (DXF reference, "general file structure")."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import count

from dimaudit.write.tags import New, Tag, TagFile

HANDLE_CODES = frozenset({5, 105, *range(320, 370), *range(390, 400), 480, 481, 1005})
"""Groups that hold a handle, their entity's own or another's (DXF reference, "group codes in numerical order")."""
MOST_HANDLE = 0xFFFF_FFFF_FFFF_FFFF
OLD = b"AC1009"
"""DXF R12: the last version without subclass markers, owners and block records."""
UNICODE = b"AC1021"
"""DXF R2007: the first version in UTF-8; earlier ones are in the codepage that $DWGCODEPAGE names."""


@dataclass(frozen=True, slots=True)
class Table:
    """One table of the TABLES section; indices are those of tags."""

    end: int
    """Its ENDTAB."""
    handle: str
    count: int | None
    """The tag that says how many entries there are at most."""
    entries: tuple[tuple[Tag, ...], ...]

    def names(self) -> list[bytes]:
        return [tag.value for entry in self.entries for tag in entry if tag.code == 2]


@dataclass(frozen=True, slots=True)
class Anatomy:
    """What the writer needs to know of a file; indices are those of tags."""

    version: bytes
    sections: dict[bytes, tuple[int, int]]
    """From the first tag behind the name to the end of the section."""
    tables: dict[bytes, Table]
    seed: int | None
    """The value of $HANDSEED."""
    used: frozenset[int]
    """Handles that something has or points at."""
    entities_have_handles: bool
    records: dict[str, str] = field(default_factory=dict)
    """Block records: handle to name, in capitals."""
    layers: frozenset[str] = frozenset()
    """Layers that entities name, in capitals; not each needs an entry in the table."""
    layer_links: tuple[New, ...] = ()
    """Groups that the entry of layer 0 has for all layers: plot style and material."""
    block_ends: dict[str, int] = field(default_factory=dict)
    """The ENDBLK of each block, by name in capitals."""

    @property
    def old(self) -> bool:
        return self.version <= OLD

    @property
    def unicode(self) -> bool:
        return self.version >= UNICODE

    def free_handles(self) -> Iterator[str]:
        """Handles that nothing in the file has or points at, above all of them where there is room."""
        first = max(self.used, default=0) + 1
        if first > MOST_HANDLE - len(self.used) - 10**7:
            first = 1
        return (f"{h:X}" for h in count(first) if h not in self.used)


def anatomy(file: TagFile) -> Anatomy:
    """Looks through the tags once."""
    tags = file.tags
    sections = _sections(tags)
    header = _header(tags, sections.get(b"HEADER", (0, 0)))
    version = b"AC1009"
    if (at := header.get(b"$ACADVER")) is not None:
        version = tags[at].value
    used = {h for tag in tags if tag.code in HANDLE_CODES and (h := _number(tag.value)) is not None}
    tables = _tables(tags, sections.get(b"TABLES", (0, 0)))
    records = {}
    if b"BLOCK_RECORD" in tables:
        for entry in tables[b"BLOCK_RECORD"].entries:
            record = _first(entry, 5)
            records[_text(record).upper()] = _text(_first(entry, 2)).upper()
    layers = frozenset(_text(tag.value).upper() for tag in tags if tag.code == 8)
    ends = _block_ends(tags, sections.get(b"BLOCKS", (0, 0)))
    return Anatomy(
        version, sections, tables, header.get(b"$HANDSEED"), frozenset(used), _have_handles(tags, sections), records,
        layers, _layer_links(tables), ends,
    )  # fmt: skip


def _layer_links(tables: dict[bytes, Table]) -> tuple[New, ...]:
    """What the entry of layer 0 says of plotting and material (groups 370, 390, 347): each layer of the file has it."""
    entries = tables[b"LAYER"].entries if b"LAYER" in tables else ()
    zero = next((entry for entry in entries if _first(entry, 2) == b"0"), ())
    handles = {tag.code: _text(tag.value) for tag in zero if tag.code in (390, 347) and _number(tag.value)}
    weight: tuple[New, ...] = ((370, -3),) if any(tag.code == 370 for tag in zero) else ()
    return (*weight, *((code, handles[code]) for code in (390, 347) if code in handles))


def _sections(tags: tuple[Tag, ...]) -> dict[bytes, tuple[int, int]]:
    found: dict[bytes, tuple[int, int]] = {}
    name, start = b"", 0
    for k, (code, value, _, _) in enumerate(tags):
        if code == 0 and value in (b"SECTION", b"ENDSEC", b"EOF"):
            if name and name not in found:
                found[name] = (start, k)
            name = b""
            if value == b"SECTION" and k + 1 < len(tags) and tags[k + 1].code == 2:
                name, start = tags[k + 1].value.upper(), k + 2
    if name and name not in found:
        found[name] = (start, len(tags))
    return found


def _header(tags: tuple[Tag, ...], section: tuple[int, int]) -> dict[bytes, int]:
    """Header variables: name to the tag with the (first) value."""
    within = range(*section)
    return {tags[k].value.upper(): k + 1 for k in within if tags[k].code == 9 and k + 1 in within}


def _tables(tags: tuple[Tag, ...], section: tuple[int, int]) -> dict[bytes, Table]:
    found: dict[bytes, Table] = {}
    name, head = b"", (0, 0)
    entries: list[tuple[Tag, ...]] = []
    for k, following in _things(tags, section):
        kind = tags[k].value
        if kind == b"TABLE":
            name, head, entries = _first(tags[k:following], 2).upper(), (k, following), []
        elif kind == b"ENDTAB":
            if name and name not in found:
                number = next((i for i in range(*head) if tags[i].code == 70), None)
                found[name] = Table(k, _text(_first(tags[slice(*head)], 5)), number, tuple(entries))
            name = b""
        elif name:
            entries.append(tags[k:following])
    return found


def _things(tags: tuple[Tag, ...], section: tuple[int, int]) -> Iterator[tuple[int, int]]:
    """What a section holds: each from its own tag to that of the next."""
    heads = [k for k in range(*section) if tags[k].code == 0]
    return zip(heads, [*heads[1:], section[1]][: len(heads)], strict=True)


def _block_ends(tags: tuple[Tag, ...], section: tuple[int, int]) -> dict[str, int]:
    found: dict[str, int] = {}
    name = ""
    for k, following in _things(tags, section):
        if tags[k].value == b"BLOCK":
            name = _text(_first(tags[k:following], 2)).upper()
        elif tags[k].value == b"ENDBLK":
            found.setdefault(name, k)
    return found


def _have_handles(tags: tuple[Tag, ...], sections: dict[bytes, tuple[int, int]]) -> bool:
    """Whether entities carry handles; where there are no entities, table entries are asked."""
    for name in (b"ENTITIES", b"TABLES"):
        section = range(*sections.get(name, (0, 0)))
        if any(tags[k].code == 0 for k in section):
            return any(tags[k].code == 5 and tags[k].value for k in section)
    return False


def _first(tags: tuple[Tag, ...], code: int) -> bytes:
    return next((tag.value for tag in tags if tag.code == code), b"")


def _text(value: bytes) -> str:
    return value.decode("ascii", "replace")


def _number(value: bytes) -> int | None:
    try:
        number = int(value, 16)
    except ValueError:
        return None
    return number if 0 <= number <= MOST_HANDLE else None
