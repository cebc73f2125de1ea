"""How many times what is drawn a layout's numbers show (DIMLFAC), beside the key's."""

from collections.abc import Iterable
from fractions import Fraction

from dimaudit.exact.number import INCH_IN_MM, decimal_text
from dimaudit.grade.laid_out import LaidOut
from dimaudit.model.audit import Judgement, TextSource
from dimaudit.model.drawing import ANGLES

UNITS = (INCH_IN_MM, 1 / INCH_IN_MM)
"""Factors that make one unit of the other: exact, by the definition of the inch (NIST SP 811)."""


def made_by_factor(judgement: Judgement) -> bool:
    """Whether a dimension's number is a measured length times a factor: no angle, and not typed."""
    return judgement.source is not TextSource.TYPED and judgement.attached.dimension.kind not in ANGLES


def times(own: Judgement, key: Judgement | None, laid_out: LaidOut) -> Fraction:
    """By how much more than the key's a dimension multiplies what is drawn; 1 where its number is not made by it."""
    if not made_by_factor(own):
        return Fraction(1)
    common = _common(laid_out.key.examined.audit.judgements)
    base = common if key is None or key.attached.dimension.kind in ANGLES else key.attached.dimension.true_factor
    return Fraction(1) if base is None else own.attached.dimension.true_factor / base


def wrongly(factor: Fraction, laid_out: LaidOut) -> bool:
    """Whether numbers that show so many times what is drawn are not the key's: half the size shown twice is right."""
    return factor not in (1, laid_out.fit.alignment.factor)


def of_all(laid_out: LaidOut) -> Fraction | None:
    """Where all of a layout's lengths show as many times what is drawn, and wrongly so: how many."""
    key, own = (_common(e.audit.judgements) for e in (laid_out.key.examined, laid_out.submission))
    if key is None or own is None or not wrongly(own / key, laid_out):
        return None
    return own / key


def scale_words(factor: Fraction) -> str:
    """'show 2 times what is drawn'."""
    if factor == INCH_IN_MM:
        return "show 25.4 times what is drawn: millimetres for inches"
    if factor == 1 / INCH_IN_MM:
        return "show what is drawn divided by 25.4: inches for millimetres"
    return f"show {decimal_text(factor, 6)} times what is drawn"


def _common(judgements: Iterable[Judgement]) -> Fraction | None:
    """The one factor of all lengths whose number is measured; None where there are several, or none."""
    found = {j.attached.dimension.true_factor for j in judgements if made_by_factor(j)}
    return found.pop() if len(found) == 1 else None
