"""A clean print stays clean whatever program saved it: entities in another order, coordinates off by its rounding."""

import random
from pathlib import Path

import ezdxf
import pytest

from dimaudit.model.settings import Settings
from dimaudit.pipeline import audit_file

SAMPLES = sorted((Path(__file__).parent.parent / "samples").glob("*.dxf"))
FAULTY = {"cleat-drill-jig", "engine-bearer"}
CLEAN = [path for path in SAMPLES if path.stem not in FAULTY]


def rules(path: Path) -> list[str]:
    audit, faults = audit_file(path, Settings())
    assert not faults
    return sorted(f.rule for f in audit.findings)


def noisy(doc: ezdxf.document.Drawing, noise: float, chance: random.Random) -> None:
    """Moves the ends of lines and the centres of circles and arcs by up to `noise` of what they are, and of a unit."""

    def off(spot):
        return type(spot)([c + chance.uniform(-noise, noise) * (1 + abs(c)) for c in spot])

    for entity in doc.modelspace():
        for name in {"LINE": ("start", "end"), "CIRCLE": ("center",), "ARC": ("center",)}.get(entity.dxftype(), ()):
            entity.dxf.set(name, off(entity.dxf.get(name)))


@pytest.mark.parametrize("noise", [0, 1e-15, 1e-13, 1e-11])
@pytest.mark.parametrize("path", CLEAN, ids=lambda path: path.stem)
def test_the_same_is_found(path, noise, tmp_path):
    """In an order by chance, with coordinates off by one unit of a double's last place and more."""
    doc = ezdxf.readfile(path)
    space, chance = doc.modelspace(), random.Random(f"{path.stem} {noise}")
    entities = list(space.entity_space)
    chance.shuffle(entities)
    space.entity_space.entities = entities
    if noise:
        noisy(doc, noise, chance)
    doc.saveas(tmp_path / path.name)
    assert rules(tmp_path / path.name) == rules(path)


def test_there_are_prints_to_look_at():
    assert len(CLEAN) > 8
