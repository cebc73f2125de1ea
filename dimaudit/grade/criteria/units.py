"""The layout is drawn in the key's unit and at the key's scale."""

from collections.abc import Iterator
from fractions import Fraction

from dimaudit.exact.number import decimal_text
from dimaudit.grade.align import FACTORS
from dimaudit.grade.criteria.adding import each_of, marked
from dimaudit.grade.dimensioned import middle_of
from dimaudit.grade.laid_out import LaidOut
from dimaudit.grade.reading import FROM_FILE
from dimaudit.grade.shown_scale import UNITS, made_by_factor, of_all, scale_words
from dimaudit.model.grading import Asked, Criterion, CriterionMark, Deduction
from dimaudit.model.units import Unit
from dimaudit.text.places import kind_text

UNIT_NAMES = {
    Unit.INCH: "inches", Unit.MILLIMETRE: "millimetres", Unit.CENTIMETRE: "centimetres", Unit.FOOT: "feet",
    Unit.METRE: "metres",
}  # fmt: skip


def mark(laid_out: LaidOut, asked: Asked) -> CriterionMark:
    """One thing is asked."""
    each = each_of(asked, 1)
    return marked(asked, 1, (*_found(laid_out, each), *_shown(laid_out, each)))


def _found(laid_out: LaidOut, each: Fraction) -> Iterator[Deduction]:
    factor = laid_out.fit.alignment.factor
    key, own = laid_out.key.examined.audit, laid_out.submission.audit
    declared = own.unit if own.unit_from == FROM_FILE else None
    other = declared is not None and key.unit is not None and declared is not key.unit
    if factor == 1 and not other:
        return
    if factor == 1 and declared is not None and key.unit is not None:
        what = f"the file says {UNIT_NAMES[declared]}, and the numbers are {UNIT_NAMES[key.unit]}"
        why = ["the layout has the key's numbers; another program would show it in the file's unit"]
    else:
        drawn = decimal_text(1 / factor, 6)
        name = _read_as(factor, key.unit)
        what = f"everything is drawn {drawn} times as large as the key" + (f": {name}" if name else "")
        why = [
            f"a length of 1 in the key is {drawn} here",
            "it is charged here once; sizes were compared after the layout was brought to the key's scale",
        ]
    allowed = laid_out.rubric.other_units and factor in FACTORS
    if allowed:
        why.append("the rubric lets it pass")
    yield Deduction(Criterion.UNITS, Fraction(0) if allowed else each, what, tuple(why))


def _shown(laid_out: LaidOut, each: Fraction) -> Iterator[Deduction]:
    """All numbers are so many times what is drawn (DIMLFAC), and so are not the key's: charged here once."""
    factor = of_all(laid_out)
    if factor is None:
        return
    passes = laid_out.rubric.other_units and factor in UNITS
    first = next(j for j in laid_out.submission.audit.judgements if made_by_factor(j))
    why = (
        f'so the {kind_text(first.attached.dimension.kind)} reads "{first.text.strip()}"',
        "set the factor for lengths (DIMLFAC) of the dimensions to the key's",
        "the rubric lets it pass" if passes else "it is charged here once, and not for each dimension",
    )
    handles = tuple(j.attached.dimension.handle for j in laid_out.submission.audit.judgements if made_by_factor(j))
    yield Deduction(
        Criterion.UNITS, Fraction(0) if passes else each, f"its dimensions {scale_words(factor)}", why, handles,
        middle_of(first),
    )  # fmt: skip


def _read_as(factor: Fraction, unit: Unit | None) -> str:
    """'millimetres were drawn for inches'; empty where the factor is no unit's."""
    lengths = {Unit.INCH: Fraction(254, 10), Unit.FOOT: Fraction(3048, 10), Unit.MILLIMETRE: Fraction(1),
               Unit.CENTIMETRE: Fraction(10)}  # fmt: skip
    if unit not in lengths:
        return ""
    for drawn, size in lengths.items():
        if drawn is not unit and size / lengths[unit] == factor:
            return f"{UNIT_NAMES[drawn]} were drawn for {UNIT_NAMES[unit]}"
    return ""
