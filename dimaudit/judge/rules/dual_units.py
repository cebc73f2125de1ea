"""Two numbers for one size, in inches and in millimetres, that are not the same size.

25.4 mm are one inch exactly (NIST SP 811, appendix B). The second number is the converted one. It is right as a
rounding of the first one's conversion, or of the drawn size's, to the places that it is written with; at a tie either
way. Limits are converted by method A, each to the nearest, or by method B, each inward, so that no part passes by the
second pair that fails by the first (the methods' names: IEEE/ASTM SI 10, from memory).
"""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from dimaudit.exact.number import Rounding, decimal_places, decimal_text, fixed_text, fraction_text, round_to
from dimaudit.exact.real import Real, round_real, scaled
from dimaudit.judge.called import Number, called, last_place, note_finding, numbers
from dimaudit.judge.check import Rule, Sheet
from dimaudit.judge.saying import finding, named
from dimaudit.judge.stating import Statement, band
from dimaudit.judge.values import value_verdict
from dimaudit.judge.verdict import FINEST_FRACTION
from dimaudit.model.audit import JUDGED, Finding, Judgement, Level, Verdict
from dimaudit.model.drawing import ANGLES
from dimaudit.model.pointed import HoleNote
from dimaudit.model.stated import Stated
from dimaudit.model.units import INCHES, Unit, conversion

NAME = "dual-units-disagree"
NOT_JUDGED = "a second number that is not judged"
MARK_BOTH = "see that both numbers are one size; a unit behind each would say what they are"
AN_ANGLE = "an angle has no second unit of length"
MOST_OFF = 2
"""Two numbers whose ratio is further than this from that of any two units are no pair (common practice, no source)."""
SLIPS = [Fraction(10) ** k for k in (1, 2, 3, -1, -2, -3)]
"""What a decimal point in the wrong place makes of the ratio."""
SLIP_WITHIN = Fraction(1, 100)
RIGHT = (Verdict.EXACT, Verdict.ROUNDED, Verdict.TIE)
LEAST_FINENESS, MOST_FINENESS = -5, 0
"""Powers of ten of an inch between which the table of `fineness` runs."""
PLACES_SHOWN = 8

Limits = tuple[Fraction, Fraction]


@dataclass(frozen=True, slots=True)
class Pair:
    """Two numbers for one size; `factor` is how many of the second's unit are one of the first's."""

    first: Stated
    second: Stated
    units: tuple[Unit, Unit]
    drawn: Real | None
    """The drawn size in the second's unit."""

    @property
    def factor(self) -> Fraction:
        return conversion(*self.units)

    @property
    def exact(self) -> Fraction:
        return self.first.value * self.factor

    @property
    def step(self) -> Fraction:
        """One unit in the last place of the second number; a fraction in lowest terms is taken to the 64th."""
        if self.second.denominator is not None and self.second.denominator > 1:
            return self.second.step * self.second.denominator / max(FINEST_FRACTION, self.second.denominator)
        return self.second.step


def check(sheet: Sheet) -> Iterator[Finding]:
    for judgement, statement in zip(sheet.judgements, sheet.statements, strict=True):
        reading = judgement.reading
        if not isinstance(reading, Stated) or reading.alternate is None or statement.stale:
            continue
        if any(part.now and "alternate" in part.part for part in statement.outdated):
            continue  # said once, as stale-text
        pair = _of_dimension(judgement, reading, reading.alternate, sheet.drawing.unit)
        if isinstance(pair, str):
            yield finding(
                NAME, Level.NOTE, judgement, sheet, f"{named(judgement)} has {NOT_JUDGED}", [pair], MARK_BOTH
            )  # fmt: skip
        elif pair is not None:
            yield from _judged(pair, judgement, statement, sheet)
    for note in sheet.hole_notes:
        for number in numbers(note, sheet.drawing.unit):
            if number.stated.alternate is not None:
                yield from _of_note(note, number, number.stated.alternate, sheet.drawing.unit)


def _of_dimension(judgement: Judgement, first: Stated, second: Stated, unit: Unit | None) -> Pair | str | None:
    if judgement.attached.dimension.kind in ANGLES:
        return AN_ANGLE
    drawn = None
    if judgement.measured is not None and judgement.stated is not None and not first.underlined:
        drawn = scaled(judgement.measured, first.value / judgement.stated) if judgement.stated else None
    return pair_of(first, second, unit, _own_unit(judgement, unit), drawn)


def _of_note(note: HoleNote, number: Number, second: Stated, unit: Unit | None) -> Iterator[Finding]:
    """One number of a call-out with the one beside it."""
    own = number.unit if number.drawn is not None and number.unit in _OTHER else None
    pair = pair_of(number.stated, second, unit, own, number.drawn)
    what = f"{called(note)}: the {number.what}"
    if isinstance(pair, str):
        yield note_finding(NAME, Level.NOTE, note, f"{what} has {NOT_JUDGED}", [pair], MARK_BOTH)
    elif pair is not None and (said := _said(pair, (band(pair.first), band(pair.second)), None)) is not None:
        level, differ, why, fix = _of_reference(pair, said)
        yield note_finding(NAME, level, note, f"{what} and its number in {_NAMES[pair.units[1]]} {differ}", why, fix)


def pair_of(
    first: Stated, second: Stated, unit: Unit | None, own: Unit | None, drawn: Real | None
) -> Pair | str | None:
    """The pair with its units, or why it is none; None where both are nought.

    `own` is the first number's unit where that is known without a mark, `drawn` the drawn size in the first's unit.
    """
    if Unit.DEGREE in (first.unit, second.unit):
        return AN_ANGLE
    if first.value == second.value == 0:
        return None
    if first.value * second.value <= 0:
        return f"{_plain(first.value)} and {_plain(second.value)} are not one size in any two units"
    if (first.limits or second.limits) and (band(first) is None or band(second) is None):
        return "two limits stand beside one number: there is nothing to convert them to"
    units = _units(first, second, unit, own)
    if units is None:
        ratio = max(first.value / second.value, second.value / first.value)
        return f"the numbers stand 1 to {decimal_text(ratio, 4)}: inches and millimetres stand 1 to 25.4"
    return Pair(first, second, units, None if drawn is None else scaled(drawn, conversion(*units)))


def _own_unit(judgement: Judgement, unit: Unit | None) -> Unit | None:
    """What a number without a mark is in, where it is right for the drawing; DIMLFAC may have converted it."""
    if unit not in _OTHER or judgement.verdict not in JUDGED or judgement.verdict is Verdict.WRONG:
        return None
    other = _OTHER[unit]
    return other if abs(judgement.factor / conversion(unit, other) - 1) <= SLIP_WITHIN else unit


def _units(first: Stated, second: Stated, unit: Unit | None, own: Unit | None) -> tuple[Unit, Unit] | None:
    """What the numbers are in: by their marks, else by the drawing's unit for the first, if the ratio allows it."""
    basic = (Unit.MILLIMETRE, Unit.INCH) if unit not in INCHES else (Unit.INCH, Unit.MILLIMETRE)
    known = first.unit or own
    firsts = basic if known is None else (known,)
    seconds = basic if second.unit is None else (second.unit,)
    marked = first.unit is not None or second.unit is not None
    pairs = [(u, v) for u in firsts for v in seconds if u is not v or marked]
    off = {pair: second.value / first.value / conversion(*pair) for pair in pairs}
    for pair in pairs:
        if Fraction(1, MOST_OFF) <= off[pair] <= MOST_OFF:
            return pair
    if known is not None and second.unit is not None:
        return pairs[0]
    unlike = (pair for pair in pairs if pair[0] is not pair[1])
    return next((p for p in unlike if slip(off[p]) or _wrong_way(off[p], conversion(*p))), None)


_OTHER = {Unit.INCH: Unit.MILLIMETRE, Unit.MILLIMETRE: Unit.INCH}


def _wrong_way(off: Fraction, factor: Fraction) -> bool:
    """Whether a number was divided by the factor instead of multiplied, or the other way round."""
    return abs(off * factor * factor - 1) <= SLIP_WITHIN


def slip(off: Fraction) -> Fraction | None:
    """The power of ten that a number is off by, where its decimal point is in the wrong place."""
    return next((ten for ten in SLIPS if abs(off / ten - 1) <= SLIP_WITHIN), None)


def _judged(pair: Pair, judgement: Judgement, statement: Statement, sheet: Sheet) -> Iterator[Finding]:
    limits = band(pair.first) or _in_force(pair, judgement), band(pair.second)
    coarse = _coarse_factor(judgement, pair)
    said = _said(pair, limits, statement, by_hand=not coarse)
    if said is None:
        return
    level, what, why, fix = _of_reference(pair, said)
    yield finding(
        NAME, level, judgement, sheet,
        f"{named(judgement)}: its number and the one in {_NAMES[pair.units[1]]} {what}", [*why, *coarse], fix,
    )  # fmt: skip


def _said(
    pair: Pair, limits: tuple[Limits | None, Limits | None], statement: Statement | None, by_hand: bool = True
) -> "Said | None":
    """What is wrong with the pair; `limits` are those in force for the first number, and those of the second."""
    said = None if pair.first.limits is not None or pair.second.limits is not None else _size(pair, by_hand)
    if said is None and limits[0] is not None:
        said = _outside(pair, limits[0]) if limits[1] is None else _limits(pair, limits[0], limits[1], statement)
    return said


def _of_reference(pair: Pair, said: "Said") -> "Said":
    level, what, why, fix = said
    if pair.first.reference and level is Level.ERROR:
        return Level.WARNING, what, [*why, "a reference dimension controls nothing, yet people read it"], fix
    return said


def _in_force(pair: Pair, judgement: Judgement) -> Limits | None:
    """The limits that hold for a size without a tolerance of its own, in the first number's unit."""
    force = None if judgement.in_force is None else judgement.in_force.band
    if force is None or not judgement.stated or pair.second.tolerance is not None:
        return None
    return force[0] * pair.first.value / judgement.stated, force[1] * pair.first.value / judgement.stated


_NAMES = {
    Unit.INCH: "inches", Unit.FOOT: "feet", Unit.MILLIMETRE: "millimetres", Unit.CENTIMETRE: "centimetres",
    Unit.METRE: "metres",
}  # fmt: skip

Said = tuple[Level, str, list[str], str]
"""Level, what the two numbers are, why, and what to do."""
DIFFER, ROUGH, WIDE = "are not one size", "are one size only roughly", "allow slightly different parts"


def _size(pair: Pair, by_hand: bool) -> Said | None:
    """The two sizes against one another; None where they agree. Only by hand are digits cut off."""
    stated, step = pair.second.value, pair.step
    sources = [pair.exact] if pair.drawn is None else [pair.exact, pair.drawn]
    verdicts = [value_verdict(source, stated, step) for source in sources]
    if any(v in RIGHT for v in verdicts):
        return None
    if pair.drawn is None and value_verdict(stated / pair.factor, pair.first.value, pair.first.step) in RIGHT:
        return None  # the second may be the one that was meant, and the first its rounding
    unit = pair.units[1]
    why = [_conversion(pair), f"written {_plain(stated)}: {_apart(stated, pair.exact)}"]
    if pair.drawn is not None and pair.drawn != pair.exact:
        right = _written(_roundings(pair.drawn, step), pair.second)
        why.append(f"the drawn size is {right} {unit} at these places")
    fix = f"state {_written(_roundings(pair.exact, step), pair.second)} {unit}, or take the second number away"
    if by_hand and Verdict.CUT_OFF in verdicts:
        return Level.WARNING, DIFFER, [*why, "its digits were cut off instead of rounded"], fix
    ten = slip(stated / pair.exact)
    if ten is not None:
        why.append("likeliest cause: the decimal point")
    elif _wrong_way(stated / pair.exact, pair.factor):
        if pair.first.unit is None:
            u, v = pair.units
            why.append(f"it is converted as if {_plain(pair.first.value)} were {v}; or the drawing is not in {u}")
            return Level.WARNING, DIFFER, why, fix
        why.append("likeliest cause: converted the wrong way round")
    return Level.ERROR, DIFFER, why, fix


def _outside(pair: Pair, limits: Limits) -> Said | None:
    """A size so coarsely rounded that it is none the tolerance allows."""
    low, high = (limit * pair.factor for limit in limits)
    if low <= pair.second.value <= high:
        return None
    unit = pair.units[1]
    why = [_conversion(pair), f"the tolerance allows {_plain(low)} to {_plain(high)} {unit}: it leaves that out"]
    return Level.WARNING, ROUGH, why, "write the second number with more places"


def _limits(pair: Pair, limits: Limits, written: Limits, statement: Statement | None) -> Said | None:
    """The two pairs of limits against one another; None where the second is the first's, and no wider."""
    low, high = (limit * pair.factor for limit in limits)
    step = last_place(pair.second)
    if step is None:
        return None  # fractions: they carry no tolerance that a conversion could be held to
    unit = pair.units[1]
    inward = inward_limits((low, high), step)
    nearest = nearest_limits((low, high), step, Rounding.HALF_UP)
    by_nearest = all(value_verdict(q, w, step) in RIGHT for q, w in zip((low, high), written, strict=True))
    why = [f"limits {_range(limits)} {pair.units[0]} are {_range((low, high))} {unit}; written {_range(written)}"]
    fix = f"state {_range(inward, step)} {unit} (method B, rounded inward)"
    if not (by_nearest or written == inward or _deviations_fit(pair, step)):
        if _of_the_style(pair, statement):
            return None
        why.append(f"rounded to the nearest: {_range(nearest, step)}; rounded inward: {_range(inward, step)}")
        return Level.ERROR, DIFFER, why, f"{fix}, or {_range(nearest, step)} (method A, to the nearest)"
    if pair.first.limits is None and value_verdict(pair.exact, pair.second.value, step) not in RIGHT:
        return None  # converted from the drawn size: the limits stand around another one
    wider = [
        f"the {name} limit is {_plain(by)} {unit} ({by}) wider"
        for name, by in (("lower", low - written[0]), ("upper", written[1] - high))
        if by > 0
    ]
    if wider:
        return Level.NOTE, WIDE, [*why, *wider, "a part may pass by the second limits and fail by the first"], fix
    fine = fineness(limits[1] - limits[0]) if pair.units == (Unit.INCH, Unit.MILLIMETRE) else None
    if fine is not None and step > fine:
        why.append(f"a total tolerance of {_plain(limits[1] - limits[0])} in is converted to {_plain(fine)} mm")
        return Level.NOTE, WIDE, why, "write the second limits with more places"
    return None


def nearest_limits(limits: Limits, step: Fraction, rule: Rounding) -> Limits:
    """Method A: each limit to the nearest multiple of `step`."""
    return round_to(limits[0], step, rule), round_to(limits[1], step, rule)


def inward_limits(limits: Limits, step: Fraction) -> Limits:
    """Method B: the lower limit up, the upper limit down, to multiples of `step`."""
    return -(-limits[0] // step) * step, limits[1] // step * step


def fineness(total: Fraction) -> Fraction | None:
    """Millimetres that converted limits are rounded to, by the total tolerance in inches.

    From .00001 and less than .0001 inch to 0.00001 mm, and so on up to 1 inch, by tens (the family of ISO 370 and
    ASTM E380, from memory); None outside.
    """
    for power in range(LEAST_FINENESS, MOST_FINENESS):
        if Fraction(10) ** power <= total < Fraction(10) ** (power + 1):
            return Fraction(10) ** power
    return None


def _deviations_fit(pair: Pair, step: Fraction) -> bool:
    """Size and deviations each converted and rounded by itself, as programs do that print both."""
    first, second = pair.first.tolerance, pair.second.tolerance
    if first is None or second is None:
        return False
    pairs = ((first.upper, second.upper), (first.lower, second.lower))
    return all(a * b >= 0 and value_verdict(abs(a) * pair.factor, abs(b), step) in RIGHT for a, b in pairs)


def _of_the_style(pair: Pair, statement: Statement | None) -> bool:
    """Whether they are what the style makes of the drawn size, before that was rounded for the first number."""
    expected = None if statement is None or statement.expected is None else statement.expected.alternate
    return expected is not None and band(expected) == band(pair.second)


def _coarse_factor(judgement: Judgement, pair: Pair) -> list[str]:
    style = judgement.attached.dimension.style
    if not style.alternate or style.alternate_factor == pair.factor:
        return []
    return [f"DIMALTF is {_plain(style.alternate_factor)}; exact is {_plain(pair.factor)} ({pair.factor})"]


# --- words ------------------------------------------------------------------------------------------


def _conversion(pair: Pair) -> str:
    """'2.000 in x 25.4 = 50.8 mm (254/5)', with the division where that is the plain one."""
    u, v = pair.units
    sign, factor = ("×", pair.factor) if pair.factor >= 1 else ("/", 1 / pair.factor)
    exact = pair.exact
    fraction = f" ({exact})" if exact.denominator > 1 else ""
    return f"{_plain(pair.first.value)} {u} {sign} {_plain(factor)} = {_plain(exact)} {v}{fraction}"


def _apart(stated: Fraction, exact: Fraction) -> str:
    by = abs(stated - exact)
    fraction = f" ({by})" if by.denominator > 1 else ""
    return f"{_plain(by)}{fraction} too {'large' if abs(stated) > abs(exact) else 'small'}"


def _roundings(value: Real, step: Fraction) -> list[Fraction]:
    return sorted({round_real(value, step, rule) for rule in Rounding})


def _written(values: list[Fraction], like: Stated) -> str:
    """The values with the places of `like`, or those that its exponent asks for; both of a tie."""
    if like.places is None:
        return " or ".join(fraction_text(value) for value in values)
    return " or ".join(fixed_text(value, max(like.places, decimal_places(value) or 0)) for value in values)


def _range(limits: Limits, step: Fraction | None = None) -> str:
    if step is None:
        return " to ".join(_plain(limit) for limit in limits)
    places = decimal_places(step) or 0
    return " to ".join(fixed_text(limit, places) for limit in limits)


def _plain(value: Fraction) -> str:
    return decimal_text(value, PLACES_SHOWN)


RULE = Rule(NAME, Level.ERROR, "a second number in another unit is not the same size", check)
