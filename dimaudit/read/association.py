"""The association object of a dimension (DIMASSOC; DXF reference). The library keeps it as raw tags."""

from dataclasses import dataclass
from itertools import pairwise

from ezdxf.document import Drawing as Document
from ezdxf.entities.dxfentity import DXFEntity

from dimaudit.model.drawing import Association, Tie


def association_of(entity: DXFEntity, doc: Document) -> Association | None:
    """The object under the key ACAD_DIMASSOC of the dimension's extension dictionary; None where there is none."""
    if not entity.has_extension_dict:
        return None
    dictionary = entity.get_extension_dict().dictionary
    found = dictionary.get("ACAD_DIMASSOC")
    if found is None:
        return None
    if isinstance(found, str):  # a handle that leads nowhere
        return Association(found, ())
    tags = [tag for subclass in getattr(found, "xtags").subclasses[1:] for tag in subclass]  # noqa: B009
    starts = [k for k, tag in enumerate(tags) if tag.code == 1]
    head = {tag.code: tag.value for tag in tags[: starts[0] if starts else None]}
    bits = int(head.get(90, 0))
    references = [
        _Reference.of([(tag.code, tag.value) for tag in tags[start:stop]])
        for start, stop in pairwise([*starts, len(tags)])
    ]
    ties: list[Tie] = []
    for index in (k for k in range(4) if bits >> k & 1):
        if not references:
            break
        reference = references.pop(0)
        last = reference
        while last.has_last and references:  # a perpendicular or tangent snap names the point it was drawn from, too
            last = references.pop(0)
        if reference.snap or reference.target:  # a snap of no kind to nothing ties nothing
            alive = reference.target in doc.entitydb and doc.entitydb[reference.target].is_alive
            ties.append(Tie(index, reference.snap, reference.target, alive))
    return Association(str(found.dxf.handle), tuple(ties), bool(head.get(70, 0)))


@dataclass(frozen=True, slots=True)
class _Reference:
    """One point reference (AcDbOsnapPointRef) of the object."""

    snap: int
    target: str
    has_last: bool

    @classmethod
    def of(cls, tags: list[tuple[int, object]]) -> "_Reference":
        first: dict[int, object] = {}
        for code, value in tags:
            first.setdefault(code, value)
        return cls(int(str(first.get(72, 0))), str(first.get(331, "")), str(first.get(75, 0)) == "1")
