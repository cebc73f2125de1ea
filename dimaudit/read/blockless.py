"""Dimensions without a drawn block, which the repairing reader throws away, taken from the file's tags again.

A DIMENSION shall name a block with its picture (group 2; DXF reference), but writers other than the one that the
format comes from often leave it out. The number is in the points all the same, and the style says how it is written.
"""

from pathlib import Path

from ezdxf.document import Drawing as Document
from ezdxf.entities import factory
from ezdxf.entities.dxfentity import DXFEntity
from ezdxf.layouts.base import BaseLayout
from ezdxf.lldxf.extendedtags import ExtendedTags
from ezdxf.lldxf.tags import Tags
from ezdxf.recover import Recover

from dimaudit.read.space import DIMENSIONS


def put_back(doc: Document, path: Path) -> int:
    """Adds to `doc` the dimensions of the file that name no block that is there; returns how many.

    What is malformed beyond that is left out: the caller knows how many were thrown away.
    """
    with path.open("rb") as file:
        sections: dict[str, list[Tags]] = Recover.run(file).section_dict  # type: ignore[assignment]
    count = 0
    into: BaseLayout | None = None
    for tags in sections.get("BLOCKS", ()):
        kind = tags.dxftype()
        if kind == "BLOCK":
            into = doc.blocks.get(_first(tags, 2))
        elif kind in DIMENSIONS and into is not None:
            count += _put(tags, doc, into)
    for tags in sections.get("ENTITIES", ()):
        if tags.dxftype() in DIMENSIONS:
            count += _put(tags, doc, _layout(tags, doc))
    return count


def _put(tags: Tags, doc: Document, into: BaseLayout) -> bool:
    try:
        entity: DXFEntity = factory.load(ExtendedTags(tags), doc)
        if entity.dxf.get("geometry", "*") in doc.blocks:  # it has its block, so nobody threw it away
            return False
        if entity.dxf.handle in doc.entitydb:  # a handle given twice: the other one keeps it
            entity.dxf.handle = None
        factory.bind(entity, doc)
        into.add_entity(entity)  # type: ignore[arg-type]
    except MemoryError:
        raise
    except Exception:  # the library raises errors of many kinds on malformed tags
        return False
    return True


def _layout(tags: Tags, doc: Document) -> BaseLayout:
    """The layout of an entity: its owner (330), else model space or the active sheet by group 67 (DXF reference)."""
    owner = _first(tags, 330)
    for layout in doc.layouts:
        if layout.layout_key == owner:
            return layout
    return doc.active_layout() if _first(tags, 67) == "1" else doc.modelspace()


def _first(tags: Tags, code: int) -> str:
    return next((str(tag.value) for tag in tags if tag.code == code), "")
