"""A drawing that was saved again is the same drawing: by another writer's version, numbering, order, or rounding."""

import random
import re
from collections import Counter
from pathlib import Path

import pytest
from ezdxf.document import Drawing

from compare.revising import SAMPLES, between, examined, revised, told
from dimaudit.compare import compare
from dimaudit.model.compared import Compared

ALL = sorted(SAMPLES.glob("*.dxf"))
POINTS = ("start", "end", "center", "defpoint", "defpoint2", "defpoint3", "defpoint4", "defpoint5")
HANDLES = {5, 105, 1005, *range(320, 370), 390}
"""Groups that hold a handle (DXF reference, 'group codes in numerical order')."""


def jittered(doc: Drawing) -> None:
    """Every coordinate off by up to a billionth."""
    off = random.Random(7)
    for entity in doc.entitydb.values():
        if entity.dxftype() not in ("LINE", "ARC", "CIRCLE", "POINT", "DIMENSION"):
            continue
        for name in POINTS:
            if entity.dxf.hasattr(name):
                x, y, z = entity.dxf.get(name)
                entity.dxf.set(name, (x + off.uniform(-1e-9, 1e-9), y + off.uniform(-1e-9, 1e-9), z))
        if entity.dxf.hasattr("radius"):
            entity.dxf.radius += off.uniform(-1e-9, 1e-9)


def as_it_is(doc: Drawing) -> None:
    """Nothing is done to it."""


def shuffled(doc: Drawing) -> None:
    """The entities of model space in another order."""
    random.Random(7).shuffle(doc.modelspace().entity_space.entities)


def renumbered(path: Path, folder: Path) -> Path:
    """Every handle is another one, wherever it is referred to."""
    lines = path.read_bytes().decode("utf-8", "surrogateescape").splitlines()
    for k in range(0, len(lines) - 1, 2):
        value = lines[k + 1].strip()
        if int(lines[k]) in HANDLES and re.fullmatch("[0-9A-Fa-f]+", value) and value != "0":
            lines[k + 1] = f"{int(value, 16) + 0x5000:X}"
    out = folder / path.name
    out.write_bytes(("\n".join(lines) + "\n").encode("utf-8", "surrogateescape"))
    return out


def nothing(compared: Compared, path: Path) -> None:
    """No change, and everything was looked at."""
    audit = examined(path).audit
    assert told(compared) == []
    assert compared.same_dimensions == len(audit.judgements)
    assert compared.same_shapes > 0


@pytest.mark.parametrize("path", ALL, ids=lambda p: p.stem)
def test_a_drawing_and_itself(path: Path) -> None:
    """Nothing changed, every dimension and every finding is the same."""
    one = examined(path)
    found = compare(one, one)
    nothing(found, path)
    assert found.same_findings == len(one.audit.findings)


@pytest.mark.parametrize("version", ["", "AC1015", "AC1032"])
@pytest.mark.parametrize("path", ALL[::3], ids=lambda p: p.stem)
def test_saved_by_another_program(path: Path, version: str, tmp_path: Path) -> None:
    """The library writes it anew, in the same version of the format, in R2000 and in R2018."""
    nothing(between(path, revised(path, as_it_is, tmp_path, version)), path)


@pytest.mark.parametrize("path", ALL, ids=lambda p: p.stem)
def test_numbered_anew(path: Path, tmp_path: Path) -> None:
    nothing(between(path, renumbered(path, tmp_path)), path)


@pytest.mark.parametrize("path", ALL, ids=lambda p: p.stem)
def test_in_another_order(path: Path, tmp_path: Path) -> None:
    """Views get other numbers, and what is one view may turn on the order: the linework is the same."""
    nothing(between(path, revised(path, shuffled, tmp_path)), path)


@pytest.mark.parametrize("path", ALL, ids=lambda p: p.stem)
def test_off_by_a_billionth(path: Path, tmp_path: Path) -> None:
    """A hole whose outline no longer closes to the last digit may be a view of its own: it is the same hole."""
    nothing(between(path, revised(path, jittered, tmp_path)), path)


def test_findings_that_turn_on_the_file_alone_are_no_change_and_are_said(tmp_path: Path) -> None:
    """In the jig a billionth makes '.0937' rounded that was cut off; that is told as not compared, with the rule."""
    jig = SAMPLES / "cleat-drill-jig.dxf"
    found = between(jig, revised(jig, jittered, tmp_path))
    old, new = (Counter(f.rule for f in examined(p).audit.findings) for p in (jig, tmp_path / f"revised-{jig.name}"))
    said = [line for line in found.not_compared if "turn on the order or the noise" in line]
    assert old != new, "the case is one"
    assert all(rule in said[0] for rule in {**old, **new} if old[rule] != new[rule])
