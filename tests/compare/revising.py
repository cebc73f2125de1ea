"""Revisions of the samples: read, changed by a function, saved and compared."""

from collections.abc import Callable
from pathlib import Path

import ezdxf
from ezdxf.document import Drawing
from ezdxf.entities import DXFGraphic

from dimaudit.compare import compare
from dimaudit.exact.real import real_text
from dimaudit.model.compared import Change, Compared, Fact
from dimaudit.model.settings import Settings
from dimaudit.pipeline import Examined, examine_file

SAMPLES = Path(__file__).parents[2] / "samples"
Edit = Callable[[Drawing], object]


def revised(path: Path, edit: Edit, folder: Path, version: str = "") -> Path:
    """A copy of a drawing, changed."""
    doc = ezdxf.readfile(path)
    edit(doc)
    if version:
        doc.dxfversion = version
    out = folder / f"revised-{path.name}"
    doc.saveas(out)
    return out


def examined(path: Path) -> Examined:
    return examine_file(path, Settings())


def between(old: Path, new: Path) -> Compared:
    return compare(examined(old), examined(new))


def entity(doc: Drawing, handle: str) -> DXFGraphic:
    found = doc.entitydb[handle]
    assert isinstance(found, DXFGraphic)
    return found


def shift(doc: Drawing, handles: str, dx: float, dy: float) -> None:
    """Moves entities, dimensions with all that is drawn for them."""
    for handle in handles.split():
        entity(doc, handle).translate(dx, dy, 0)


def said(fact: Fact) -> str:
    """'drawn 2.5 > 2.75', 'x by 0.25'."""
    if fact.moved is not None:
        return f"{fact.what} by {real_text(fact.moved, 9)}"
    old, new = (v if v is None or isinstance(v, str) else real_text(v, 9) for v in (fact.old, fact.new))
    return f"{fact.what} {old} > {new}"


def told(compared: Compared) -> list[tuple[object, ...]]:
    """Each change as a plain row: sort, subject, handles, facts."""
    return [row(change) for change in compared.changes]


def row(change: Change) -> tuple[object, ...]:
    handles = change.new.handles or change.old.handles
    return change.sort.name, change.subject, " ".join(handles), *(said(f) for f in change.facts)
