"""Drawings as another program, or another hand, would leave them: what stays the same, and what must not matter."""

import random
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path

import ezdxf
from ezdxf.document import Drawing

from dimaudit.model.audit import DrawingAudit
from dimaudit.model.settings import Settings
from dimaudit.pipeline import audit_file

HANDLES = {5, 105, *range(320, 370), *range(390, 400), 480, 481, 1005}
"""Groups that hold handles (DXF reference, group codes in numerical order)."""
PLACES = {*range(10, 17), *range(20, 27)}
Tag = tuple[int, str]


def tags(text: str) -> list[Tag]:
    lines = text.splitlines()
    return [(int(code), value) for code, value in zip(lines[::2], lines[1::2], strict=True)]


def text_of(pairs: list[Tag]) -> str:
    return "".join(f"{code}\n{value}\n" for code, value in pairs)


def with_types(pairs: list[Tag]) -> Iterator[tuple[str, str, Tag]]:
    """Each tag with its section and the kind of entity that it belongs to."""
    section = entity = ""
    for n, (code, value) in enumerate(pairs):
        if code == 0:
            entity = value.strip()
            if entity == "SECTION":
                section = pairs[n + 1][1].strip()
        yield section, entity, (code, value)


def renumbered(text: str) -> str:
    """Every handle replaced by another one, in another order: as by a program that numbers anew."""
    own = {
        value.strip().upper()
        for section, entity, (code, value) in with_types(tags(text))
        if section != "HEADER" and ((code == 5 and entity != "DIMSTYLE") or code == 105)
    }
    ordered = sorted(own, key=lambda h: int(h, 16), reverse=True)
    new = {handle: f"{0x1000 + 7 * n:X}" for n, handle in enumerate(ordered)}
    made: list[Tag] = []
    for section, entity, (code, value) in with_types(tags(text)):
        if code in HANDLES and section != "HEADER" and not (code == 5 and entity == "DIMSTYLE"):
            value = new.get(value.strip().upper(), value)
        made.append((code, value))
    for n, (code, value) in enumerate(made):
        if code == 9 and value.strip() == "$HANDSEED":
            made[n + 1] = (5, f"{0x2000 + 7 * len(ordered):X}")
    return text_of(made)


def noisy(text: str, noise: float, seed: int = 0) -> str:
    """Coordinates and radii as another program's arithmetic leaves them, each off by up to `noise` of its size."""
    made: list[Tag] = []
    for section, entity, (code, value) in with_types(tags(text)):
        if section == "ENTITIES" and (code in PLACES or (code == 40 and entity in ("CIRCLE", "ARC"))):
            chance = random.Random(f"{seed} {float(value)}")  # one number always comes out the same way
            value = repr(float(value) * (1 + noise * chance.uniform(-1, 1)))
        made.append((code, value))
    return text_of(made)


def saved(source: Path, target: Path, change: Callable[[Drawing], None] = lambda _: None, version: str = "",
          binary: bool = False) -> Path:  # fmt: skip
    """Read and written by a general-purpose library, in the format's versions."""
    document = ezdxf.readfile(source)
    change(document)
    if version:
        document.dxfversion = version
    document.saveas(target, fmt="bin" if binary else "asc")
    return target


def reversed_order(document: Drawing) -> None:
    for layout in document.layouts:
        layout.entity_space.entities.reverse()


def moved(document: Drawing) -> None:
    """All of model space somewhere else. Viewports of a sheet still show the old place."""
    for entity in document.modelspace():
        entity.translate(61.37, -18.203, 0)


def audit_of(path: Path, settings: Settings | None = None) -> DrawingAudit:
    audit, broken = audit_file(path, settings or Settings())
    assert isinstance(audit, DrawingAudit)
    assert broken == ()
    return audit


def known(path: Path, settings: Settings | None = None) -> Counter[tuple[str, str]]:
    """Rules and identities of the findings."""
    return Counter((f.rule, f.identity) for f in audit_of(path, settings).findings)
