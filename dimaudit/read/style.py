"""Dimension styles with the overrides of one dimension (XDATA 'DSTYLE'; DXF reference, DIMSTYLE)."""

from collections.abc import Mapping
from fractions import Fraction

from ezdxf.document import Drawing as Document
from ezdxf.entities.dxfentity import DXFEntity

from dimaudit.exact.number import LARGEST, exact
from dimaudit.model.style import AngleFormat, DimStyle, LinearFormat

CODES = {
    3: "dimpost", 4: "dimapost", 45: "dimrnd", 47: "dimtp", 48: "dimtm", 71: "dimtol", 72: "dimlim", 78: "dimzin",
    79: "dimazin", 143: "dimaltf", 144: "dimlfac", 147: "dimgap", 170: "dimalt", 171: "dimaltd", 179: "dimadec",
    270: "dimunit", 271: "dimdec", 272: "dimtdec", 275: "dimaunit", 277: "dimlunit", 278: "dimdsep",
    284: "dimtzin", 285: "dimaltz",
}  # fmt: skip

_OLD_FORMATS = {1: 1, 2: 2, 3: 3, 4: 4, 5: 5, 6: 4, 7: 5, 8: 6}
"""DIMUNIT (270) of R13 and R14: 4 and 5 are stacked, 6 and 7 are not."""

MOST_TERMS = 1000
"""Ratios are looked for up to this denominator; above it they would no longer stand apart from decimals."""

Values = Mapping[str, object]


class Styles:
    """Resolves styles once per name and set of overrides."""

    def __init__(self, doc: Document) -> None:
        self._doc = doc
        self._header = _header_values(doc)
        self._known: dict[tuple[str, tuple[tuple[str, object], ...]], DimStyle] = {}

    def of(self, entity: DXFEntity) -> DimStyle:
        """The style in force for one dimension."""
        name = str(entity.dxf.get("dimstyle", "STANDARD"))
        overrides = _overrides(entity)
        key = (name, overrides)
        found = self._known.get(key)
        if found is None:
            table = {**self._header, **self._table(name), **dict(overrides)}
            found = self._known[key] = resolve(name, table)
        return found

    def _table(self, name: str) -> dict[str, object]:
        if not self._doc.dimstyles.has_entry(name):
            return {}
        entry = self._doc.dimstyles.get(name).dxf
        return {attr: entry.get(attr) for attr in CODES.values() if entry.hasattr(attr)}


def _header_values(doc: Document) -> dict[str, object]:
    """R12 knows no DIMDEC and no DIMLUNIT: there the units of the drawing ($LUNITS, $LUPREC) format the text."""
    if doc.dxfversion > "AC1009":
        return {}
    header = doc.header
    return {
        "dimlunit": header.get("$LUNITS", 2),
        "dimdec": header.get("$LUPREC", 4),
        "dimaunit": header.get("$AUNITS", 0),
        "dimadec": header.get("$AUPREC", 0),
    }


def _overrides(entity: DXFEntity) -> tuple[tuple[str, object], ...]:
    """Pairs of variable and value from the XDATA list 'DSTYLE'; what is malformed ends the list."""
    if not entity.has_xdata("ACAD"):
        return ()
    tags = list(entity.get_xdata("ACAD"))
    start = next((k for k, tag in enumerate(tags) if tag.code == 1000 and tag.value == "DSTYLE"), None)
    if start is None:
        return ()
    pairs: list[tuple[str, object]] = []
    rest = iter(tags[start + 2 :])
    for tag in rest:
        if tag.code != 1070:
            break
        value = next(rest, None)
        if value is None:
            break
        if (attr := CODES.get(tag.value)) is not None:
            pairs.append((attr, value.value))
    return tuple(pairs)


def _ratio(factor: Fraction) -> Fraction:
    """DIMLFAC is stored as a decimal where a ratio was meant: 0.416666666666667 is 5/12 (within 1e-9 of it)."""
    simple = factor.limit_denominator(MOST_TERMS)
    return simple if abs(simple - factor) <= Fraction(1, 10**9) else factor


def resolve(name: str, table: Values) -> DimStyle:
    """A style from its raw variables. Missing ones take the DXF reference's initial values, the separator a point."""

    def whole(key: str, default: int) -> int:
        value = table.get(key)
        usable = isinstance(value, (int, float)) and abs(value) <= LARGEST
        return int(value) if usable else default  # type: ignore[call-overload]

    def number(key: str, default: str) -> Fraction:
        value = table.get(key)
        usable = isinstance(value, (int, float)) and abs(value) <= LARGEST  # NaN is not, either
        return exact(float(value)) if usable else Fraction(default)  # type: ignore[arg-type]

    def text(key: str) -> str:
        return str(table.get(key) or "")

    old = _OLD_FORMATS.get(whole("dimunit", 2), 2)
    linear = whole("dimlunit", old)
    angle = whole("dimaunit", 0)
    places = min(max(whole("dimdec", 4), 0), 8)
    angle_places = whole("dimadec", 0)
    separator = whole("dimdsep", 46)
    factor = number("dimlfac", "1")
    return DimStyle(
        name=name,
        factor=_ratio(factor) if factor != 0 else Fraction(1),
        places=places,
        round_to=abs(number("dimrnd", "0")),
        linear_format=LinearFormat(linear) if linear in tuple(LinearFormat) else LinearFormat.DECIMAL,
        zeros=whole("dimzin", 0),
        separator="," if separator == 44 else ".",
        post=text("dimpost"),
        angle_format=AngleFormat(angle) if angle in tuple(AngleFormat) else AngleFormat.DECIMAL_DEGREES,
        angle_places=places if angle_places < 0 else min(angle_places, 8),
        angle_zeros=whole("dimazin", 0),
        tolerance=bool(whole("dimtol", 0)),
        limits=bool(whole("dimlim", 0)),
        plus=number("dimtp", "0"),
        minus=number("dimtm", "0"),
        tolerance_places=min(max(whole("dimtdec", 4), 0), 8),
        tolerance_zeros=whole("dimtzin", 0),
        boxed=number("dimgap", "0") < 0,
        alternate=bool(whole("dimalt", 0)),
        alternate_factor=number("dimaltf", "25.4"),
        alternate_places=min(max(whole("dimaltd", 2), 0), 8),
        alternate_zeros=whole("dimaltz", 0),
        alternate_post=text("dimapost"),
    )
