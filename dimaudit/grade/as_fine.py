"""How finely a number is stated, beside the key's: by what a person reads, in one unit."""

from collections.abc import Iterator
from fractions import Fraction

from dimaudit.grade.dimensioned import Said
from dimaudit.model.audit import Verdict
from dimaudit.model.drawing import Kind
from dimaudit.model.stated import Stated
from dimaudit.text.grammar import read_text


def as_fine(own: Said, key: Said, ratio: Fraction) -> bool:
    """Whether it is stated as the key's, or finer. `ratio`: its number for the key's of the same size, 25.4 for mm.

    The same text and as many places are never coarser. In another unit the steps of the last places are compared as
    one unit; a number that says just what is drawn is not coarse there.
    """
    if "".join(own.text.split()) == "".join(key.text.split()):
        return True
    exact = own.judgement is not None and own.judgement.verdict is Verdict.EXACT
    return any(_fine(o, k, exact, ratio) for o in readings(own) for k in readings(key))


def readings(said: Said) -> Iterator[Stated]:
    """As its text is read, and as its style writes it: suppressed zeros hide places (DIMZIN)."""
    yield from said.stated[:1]
    if said.judgement is not None:
        style = said.judgement.attached.dimension.style
        read = read_text(said.text, separator=style.separator, kind=said.kind or Kind.LINEAR)
        if isinstance(read, Stated):
            yield read


def places_read(said: Said) -> int | None:
    """Decimals as a person reads them; None of a fraction."""
    return [*readings(said)][-1].places


def _fine(own: Stated, key: Stated, exact: bool, ratio: Fraction) -> bool:
    """A fraction for a fraction, places for places."""
    if own.places is None or key.places is None:
        return own.places is key.places and (exact or (own.denominator or 1) >= (key.denominator or 1))
    return own.places >= key.places or (ratio != 1 and (exact or own.step <= key.step * ratio))
