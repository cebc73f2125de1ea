"""The scale that a label states: 'SCALE 2:1', 'DETAIL A (2:1)', '1/2" = 1'-0"', 'NTS'.

A finite grammar over whole texts, in any case and with or without accents:

    label    = { title } , [ "(" ] , scale , [ ")" ] , [ "@" | "ON" | "(" ] , [ paper ] ;
    title    = [ adverb ] , view word , [ name ] ;                   (DETAIL A, SECTION B-B, FRONT VIEW)
    scale    = [ scale word , [ ":" | "=" | "-" ] ] , value ;
    value    = number , ":" , number                                 (drawn : true)
             | length , "=" , length                                 (1/2" = 1'-0"; both with a unit)
             | number , "=" , number | fraction | number , [ "X" ]   (after a scale word only)
             | size , "SIZE" | size, "SCALE" | "NTS" ;

A ratio is drawn size to true size (ISO 5455, clauses 2.1 and 3); so is the equation. A single number after the word
is drawn over true as well (common practice, no source). What does not match as a whole is no label.
"""

import re
import unicodedata
from dataclasses import dataclass
from fractions import Fraction

from dimaudit.text.markup import plain_text

LONGEST = 120
"""Characters; a longer text is a note that may speak of a scale, no label."""


@dataclass(frozen=True, slots=True)
class ScaleLabel:
    """A label, read. `factor` is drawn size over true size; None where it says 'not to scale'."""

    factor: Fraction | None
    title: str = ""
    """The view's title as it stands in the text, folded: 'detail a'; empty where none is named."""
    worded: bool = True
    """Whether it says that it is a scale; a bare '1:10' may be a taper or a slope as well."""

    @property
    def text(self) -> str:
        """'2:1'."""
        if self.factor is None:
            return "not to scale"
        return ratio_text(self.factor)


def ratio_text(factor: Fraction) -> str:
    """Drawn to true size as a ratio: '2:1', '1:2.5', '3:4'."""
    n, d = factor.as_integer_ratio()
    for whole, other, form in ((n, d, "1:{}"), (d, n, "{}:1")):
        quotient = Fraction(other, whole)
        if quotient >= 1 and 100 % quotient.denominator == 0:
            text = f"{quotient.numerator * (100 // quotient.denominator):03d}"
            return form.format(f"{text[:-2]}.{text[-2:]}".rstrip("0").rstrip("."))
    return f"{n}:{d}"


# Words of the trade in the languages that prints come in; without accents. From memory.
_SCALE_WORDS = (
    "scale", "escala", "echelle", "massstab", "masstab", "maszstab", "scala", "schaal", "skala", "malestokk",
    "malestok", "mittakaava", "meritko", "mierka", "podzialka", "meretarany", "merilo", "mjerilo", "olcek", "масштаб",
)  # fmt: skip
_VIEW_WORDS = (
    "detail", "detalle", "detalhe", "dettaglio", "einzelheit", "szczegol", "section", "sect", "sec", "seccion",
    "secao", "corte", "coupe", "schnitt", "sezione", "doorsnede", "przekroj", "view", "vista", "vue", "ansicht",
    "widok", "aanzicht", "elevation", "plan", "enlargement", "vergrosserung",
)  # fmt: skip
_BEFORE_VIEW = (
    "front", "top", "side", "end", "rear", "back", "left", "right", "bottom", "plan", "auxiliary", "isometric",
    "enlarged", "sectional", "exploded", "partial", "cross", "typical", "left side", "right side", "lh", "rh",
    "rotated",
)  # fmt: skip
_SIZES = {
    "full": Fraction(1), "half": Fraction(1, 2), "quarter": Fraction(1, 4), "double": Fraction(2), "twice": Fraction(2),
}  # fmt: skip
"""'FULL SIZE', 'HALF SIZE': common practice, no source."""

_NUMBER = r"(?:[0-9]{1,6}(?:[.,][0-9]{1,2})?|[.,][0-9]{1,4})"
_FRACTION = r"[0-9]{1,4}/[0-9]{1,4}"
_INCHES = rf"(?:(?:[0-9]{{1,4}}[ -])?{_FRACTION}|{_NUMBER})"
def _length_pattern(side: str) -> str:
    """A length with its unit; feet may be followed by inches. The groups' names begin with `side`."""
    return (
        rf"(?:(?P<{side}ft>{_NUMBER}) ?(?:'|ft\.?|feet|foot)(?:[ -]{{0,3}}(?P<{side}fi>{_INCHES}) ?(?:\"|''|in\.?)?)?"
        rf"|(?P<{side}in>{_INCHES}) ?(?:\"|''|in\.?|inch|inches)|(?P<{side}mm>{_NUMBER}) ?(?P<{side}u>mm|cm|m))"
    )


_WORD = rf"(?:(?P<word>{'|'.join(_SCALE_WORDS)}|[mм](?= ?{_NUMBER} ?:))\.? ?[:=-]? ?)"
_NAME = r"[a-zа-я0-9]{1,3}(?: ?[-–] ?[a-zа-я0-9]{1,3})?"
_TITLE = (
    rf"(?P<title>(?:(?:{'|'.join(_BEFORE_VIEW)}) ){{0,2}}(?:{'|'.join(_VIEW_WORDS)})\b\.?"
    rf"(?: [\"'(]?(?!(?:{'|'.join(_SCALE_WORDS)}|nts|n\.t\.s|full|half|scale)\b){_NAME}[\"')]?(?![:=/.0-9]))?)"
)
_RATIO = rf"(?P<drawn>{_NUMBER}) ?: ?(?P<true>{_NUMBER})"
_LABEL = re.compile(
    rf"(?:{_TITLE} ?[-–,:;]? ?)?(?P<open>[(\[])? ?{_WORD}?(?:"
    rf"{_RATIO}"
    rf"|{_length_pattern('a')} ?= ?{_length_pattern('b')}"
    rf"|(?P<size>{'|'.join(_SIZES)})(?: (?P<sized>size|scale))?"
    rf"|(?P<times>[0-9]{{1,3}}) ?x size"
    rf"|(?P<none>nts|n\.t\.s\.?|not to scale|none)"
    rf"|(?P<left>{_NUMBER}) ?= ?(?P<right>{_NUMBER})"
    rf"|(?P<part>{_FRACTION})"
    rf"|(?P<single>[0-9]{{1,3}}(?:\.[0-9]{{1,4}})?|\.[0-9]{{1,4}}) ?x?"
    r")(?P<close> ?[)\]])?(?: ?(?:@|on|\() ?(?:(?:iso )?a[0-4]|ansi [a-e])\)?)?"
)
_TITLE_ALONE = re.compile(_TITLE)
_UNITS = {"mm": Fraction(1), "cm": Fraction(10), "m": Fraction(1000)}
_INCH, _FOOT = Fraction(254, 10), Fraction(3048, 10)


def read_scale_label(raw: str) -> ScaleLabel | None:
    """The scale that the raw text of a note states; None where it is no scale label."""
    if len(raw) > 4 * LONGEST:
        return None
    text = folded(plain_text(raw))
    if len(text) > LONGEST:
        return None
    found = _LABEL.fullmatch(text)
    if found is None or bool(found["open"]) != bool(found["close"]):
        return None
    title, worded = found["title"] or "", found["word"] is not None
    if found["none"] is not None:
        if found["none"] == "none" and not worded:
            return None
        return ScaleLabel(None, title)
    factor = _factor(found, worded)
    if factor is None:
        return None
    said = worded or bool(title) or found["drawn"] is None
    converts = found["drawn"] is None and found["size"] is None and found["times"] is None
    if converts and factor == 1 and not worded:  # '1 in = 25.4 mm'
        return None
    return ScaleLabel(factor, title, said)


def read_title(raw: str) -> str:
    """The title of a view that stands alone, folded: 'detail a' for 'DETAIL A'; empty where the text is none."""
    if len(raw) > 4 * LONGEST:
        return ""
    text = folded(plain_text(raw))
    return text if len(text) <= LONGEST and _TITLE_ALONE.fullmatch(text) else ""


def folded(text: str) -> str:
    """In small letters without accents, blanks single: 'MAßSTAB' is 'massstab', 'ÉCHELLE' is 'echelle'."""
    apart = unicodedata.normalize("NFKD", text.replace("″", '"').replace("′", "'").replace("”", '"').replace("’", "'"))
    plain = "".join(c for c in apart if not unicodedata.combining(c))
    return " ".join(plain.casefold().replace("ø", "o").replace("ł", "l").split())


def _factor(found: re.Match[str], worded: bool) -> Fraction | None:
    """Drawn over true; None where a zero or a missing word makes it no scale."""
    if found["drawn"] is not None:
        return _over(_value(found["drawn"]), _value(found["true"]))
    if (a := _length(found, "a")) is not None and (b := _length(found, "b")) is not None:
        return _over(a, b)
    if found["size"] is not None:
        return _SIZES[found["size"]] if worded or found["sized"] else None
    if found["times"] is not None:
        return Fraction(int(found["times"])) or None
    if not worded:
        return None
    if found["left"] is not None:
        return _over(_value(found["left"]), _value(found["right"]))
    if found["part"] is not None:
        return _value(found["part"]) or None
    return _value(found["single"]) or None


def _over(drawn: Fraction | None, true: Fraction | None) -> Fraction | None:
    return drawn / true if drawn and true else None


def _value(text: str) -> Fraction | None:
    """'2', '2.5', '2,5', '1/2', '1 1/2', '1-1/2'; None for a fraction over nothing."""
    whole, _, part = text.replace("-", " ").rpartition(" ")
    if "/" in part:
        upper, lower = part.split("/")
        return int(whole or 0) + Fraction(int(upper), int(lower)) if int(lower) else None
    return Fraction(part.replace(",", "."))


def _length(found: re.Match[str], side: str) -> Fraction | None:
    """One side of an equation, in millimetres."""
    if (feet := found[f"{side}ft"]) is not None:
        own, more = _value(feet), _value(found[f"{side}fi"] or "0")
        return None if own is None or more is None else own * _FOOT + more * _INCH
    if (inches := found[f"{side}in"]) is not None:
        value = _value(inches)
        return None if value is None else value * _INCH
    if (metric := found[f"{side}mm"]) is not None:
        value = _value(metric)
        return None if value is None else value * _UNITS[found[f"{side}u"]]
    return None
