"""The association object of a dimension (DIMASSOC; DXF reference). The library keeps it as raw tags."""

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
    bits, trans_space = 0, False
    ties: list[Tie] = []
    snap, target = 0, ""
    indices: list[int] = []
    inside = False

    def close() -> None:
        if inside and len(ties) < len(indices):
            alive = target in doc.entitydb and doc.entitydb[target].is_alive if target else False
            ties.append(Tie(indices[len(ties)], snap, target, alive))

    for code, value in ((tag.code, tag.value) for tag in tags):
        if code == 90 and not inside:
            bits = int(value)
            indices = [k for k in range(4) if bits >> k & 1]
        elif code == 70 and not inside:
            trans_space = bool(value)
        elif code == 1:
            close()
            inside, snap, target = True, 0, ""
        elif code == 72 and inside:
            snap = int(value)
        elif code == 331 and inside and not target:
            target = str(value)
    close()
    return Association(str(found.dxf.handle), tuple(ties), trans_space)
