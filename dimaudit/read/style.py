"""Dimension styles with the overrides of one dimension (XDATA 'DSTYLE'; DXF reference, DIMSTYLE)."""

from collections.abc import Mapping
from fractions import Fraction

from ezdxf.document import Drawing as Document
from ezdxf.entities.dxfentity import DXFEntity

from dimaudit.exact.number import LARGEST, exact
from dimaudit.model.style import AngleFormat, DimStyle, LinearFormat, Stacking

CODES = {
    3: "dimpost", 4: "dimapost", 45: "dimrnd", 47: "dimtp", 48: "dimtm", 71: "dimtol", 72: "dimlim", 75: "dimse1",
    76: "dimse2", 78: "dimzin", 79: "dimazin", 143: "dimaltf", 144: "dimlfac", 147: "dimgap", 148: "dimaltrnd",
    170: "dimalt", 171: "dimaltd", 179: "dimadec", 270: "dimunit", 271: "dimdec", 272: "dimtdec", 273: "dimaltu",
    274: "dimalttd", 275: "dimaunit", 276: "dimfrac", 277: "dimlunit", 278: "dimdsep", 281: "dimsd1", 282: "dimsd2",
    284: "dimtzin", 285: "dimaltz", 286: "dimalttz",
}  # fmt: skip

_OLD_FORMATS = {1: 1, 2: 2, 3: 3, 4: 4, 5: 5, 6: 4, 7: 5, 8: 6}
"""DIMUNIT (270) of R13 and R14, and DIMALTU (273): 4 and 5 are stacked, 6 and 7 are not."""
_OLD_NOT_STACKED = (6, 7)

_R12 = "AC1009"
_R12_NAMES = {
    "dimtdec": "dimdec", "dimalttd": "dimaltd", "dimtzin": "dimzin", "dimaltz": "dimzin", "dimalttz": "dimzin",
}  # fmt: skip
"""R12 has one number of places and one way with zeros for value and tolerance (from memory)."""

MOST_TERMS = 1000
"""Ratios are looked for up to this denominator; above it they would no longer stand apart from decimals."""

Values = Mapping[str, object]


class Styles:
    """Resolves styles once per name and set of overrides."""

    def __init__(self, doc: Document) -> None:
        self._doc = doc
        self._old = doc.dxfversion <= _R12
        self._header = _header_values(doc) if self._old else {}
        self._known: dict[tuple[str, tuple[tuple[str, object], ...]], DimStyle] = {}

    def of(self, entity: DXFEntity) -> DimStyle:
        """The style in force for one dimension."""
        name = str(entity.dxf.get("dimstyle", "STANDARD"))
        overrides = _overrides(entity)
        key = (name, overrides)
        found = self._known.get(key)
        if found is None:
            table = {**self._header, **self._table(name), **dict(overrides)}
            if self._old:
                table = {new: table[old] for new, old in _R12_NAMES.items() if old in table} | table
            found = self._known[key] = resolve(name, table)
        return found

    def _table(self, name: str) -> dict[str, object]:
        if not self._doc.dimstyles.has_entry(name):
            return self._bare()
        entry = self._doc.dimstyles.get(name).dxf
        found = {attr: entry.get(attr) for attr in CODES.values() if entry.hasattr(attr)}
        return found or self._bare()

    def _bare(self) -> dict[str, object]:
        """For a style that the file does not describe."""
        return _header_style(self._doc) if self._old else {}


def _header_values(doc: Document) -> dict[str, object]:
    """What formats the text of an R12 file beside its styles.

    R12 knows no DIMDEC and no DIMLUNIT: there the units of the drawing ($LUNITS, $LUPREC) format the text.
    """
    header = doc.header
    return {
        "dimlunit": header.get("$LUNITS", 2),
        "dimdec": header.get("$LUPREC", 4),
        "dimaunit": header.get("$AUNITS", 0),
        "dimadec": header.get("$AUPREC", 0),
    }


def _header_style(doc: Document) -> dict[str, object]:
    """The style of a file that is older than the table of styles: $DIMALT, $DIMPOST, … in its header."""
    return {attr: doc.header[f"${attr.upper()}"] for attr in CODES.values() if f"${attr.upper()}" in doc.header}


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
    """DIMLFAC and DIMALTF are decimals where ratios were meant: 0.416666666666667 is 5/12 (within 1e-9 of it)."""
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

    def old_stacking(key: str) -> Stacking:
        return Stacking.NONE if whole(key, 2) in _OLD_NOT_STACKED else Stacking.HORIZONTAL

    linear = whole("dimlunit", _OLD_FORMATS.get(whole("dimunit", 2), 2))
    stacking = whole("dimfrac", old_stacking("dimunit"))
    angle = whole("dimaunit", 0)
    places = min(max(whole("dimdec", 4), 0), 8)
    angle_places = whole("dimadec", 0)
    alternate_format = _OLD_FORMATS.get(whole("dimaltu", 2), 2)
    factor = number("dimlfac", "1")
    tolerance = bool(whole("dimtol", 0))
    without_first, without_second = (bool(whole(f"dimsd{k}", 0)) and bool(whole(f"dimse{k}", 0)) for k in (1, 2))
    return DimStyle(
        name=name,
        factor=_ratio(factor) if factor != 0 else Fraction(1),
        places=places,
        round_to=abs(number("dimrnd", "0")),
        linear_format=LinearFormat(linear) if linear in tuple(LinearFormat) else LinearFormat.DECIMAL,
        stacking=Stacking(stacking) if stacking in tuple(Stacking) else Stacking.HORIZONTAL,
        zeros=whole("dimzin", 0),
        separator=_separator(whole("dimdsep", 46)),
        post=text("dimpost"),
        angle_format=AngleFormat(angle) if angle in tuple(AngleFormat) else AngleFormat.DECIMAL_DEGREES,
        angle_places=places if angle_places < 0 else min(angle_places, 8),
        angle_zeros=whole("dimazin", 0),
        tolerance=tolerance,
        limits=bool(whole("dimlim", 0)) and not tolerance,
        plus=number("dimtp", "0"),
        minus=number("dimtm", "0"),
        tolerance_places=min(max(whole("dimtdec", 4), 0), 8),
        tolerance_zeros=whole("dimtzin", 0),
        boxed=number("dimgap", "0") < 0,
        alternate=bool(whole("dimalt", 0)),
        alternate_factor=_ratio(number("dimaltf", "25.4")),
        alternate_places=min(max(whole("dimaltd", 2), 0), 8),
        alternate_format=LinearFormat(alternate_format),
        alternate_stacking=old_stacking("dimaltu"),
        alternate_round_to=abs(number("dimaltrnd", "0")),
        alternate_zeros=whole("dimaltz", 0),
        alternate_tolerance_places=min(max(whole("dimalttd", 2), 0), 8),
        alternate_tolerance_zeros=whole("dimalttz", 0),
        alternate_post=text("dimapost"),
        half=None if without_first == without_second else 13 if without_first else 14,
    )


_NO_SEPARATORS = frozenset("+-/#()[]<>±°'\"\\")


def _separator(code: int) -> str:
    """The character of DIMDSEP; a point where the number stands for none that could part decimals."""
    sign = chr(code) if 32 < code < 0x3000 else "."
    return "." if sign.isalnum() or not sign.isprintable() or sign in _NO_SEPARATORS else sign
