"""A true value as a style prints it, and as the style means it where printing hides places.

Follows the DXF reference's style variables. Values are in the units shown (already multiplied by the
factor), angles in degrees. docs/dimension-text.md lists the decisions where the reference is silent.
"""

from dataclasses import dataclass, replace
from fractions import Fraction

from dimaudit.exact.number import Rounding, decimal_text, fixed_text, round_to
from dimaudit.exact.real import Real, compare, enclose, middle, round_real, scaled
from dimaudit.model.drawing import ANGLES, Kind
from dimaudit.model.stated import Sign, Stated, Tolerance
from dimaudit.model.style import AngleFormat, DimStyle, LinearFormat, Stacking
from dimaudit.model.units import Unit
from dimaudit.text.grammar import read_text
from dimaudit.text.markup import plain_text
from dimaudit.text.vocabulary import PI

SIGN_BY_KIND = {
    Kind.DIAMETER: Sign.DIAMETER,
    Kind.RADIUS: Sign.RADIUS,
    Kind.JOGGED_RADIUS: Sign.RADIUS,
}
"""What is put before the value where the style's prefix does not take its place."""

_NO_LEADING, _NO_TRAILING = 4, 8
_IN_FEET = (LinearFormat.ENGINEERING, LinearFormat.ARCHITECTURAL)
_IN_FRACTIONS = (LinearFormat.ARCHITECTURAL, LinearFormat.FRACTIONAL)


@dataclass(frozen=True, slots=True)
class Form:
    """How a linear number is written."""

    linear_format: LinearFormat = LinearFormat.DECIMAL
    places: int = 4
    zeros: int = 0
    separator: str = "."
    stacking: Stacking = Stacking.NONE
    """How a fraction is put into codes; NONE leaves it as plain text."""

    @property
    def unit(self) -> Fraction:
        """One unit in the last place."""
        base = 2 if self.linear_format in _IN_FRACTIONS else 10
        return Fraction(1, base ** max(self.places, 0))


def number_text(value: Fraction, form: Form) -> str:
    """`value`, already a multiple of `form.unit` (scientific: any decimal), as the form writes it."""
    match form.linear_format:
        case LinearFormat.DECIMAL | LinearFormat.DESKTOP:
            return _decimal(value, form.places, form.zeros, form.separator)
        case LinearFormat.SCIENTIFIC:
            return _scientific(value, form)
        case LinearFormat.FRACTIONAL:
            return ("-" if value < 0 else "") + _mixed(abs(value), form.stacking)
        case LinearFormat.ENGINEERING | LinearFormat.ARCHITECTURAL:
            return _feet(value, form)


def _decimal(value: Fraction, places: int, zeros: int, separator: str) -> str:
    text = fixed_text(value, max(places, 0))
    if zeros & _NO_TRAILING and "." in text:
        text = text.rstrip("0").rstrip(".")
    if zeros & _NO_LEADING:
        text = text.replace("0.", ".", 1) if text.lstrip("-").startswith("0.") else text
    if value == 0:
        text = text.removeprefix("-")
    return text.replace(".", separator) if separator else text


def _mixed(value: Fraction, stacking: Stacking) -> str:
    whole, rest = divmod(value, 1)
    if rest == 0:
        return str(whole)
    if stacking is Stacking.NONE:
        return f"{whole} {rest}" if whole else str(rest)
    sign = "#" if stacking is Stacking.DIAGONAL else "/"
    return f"{whole or ''}\\S{rest.numerator}{sign}{rest.denominator};"


def _feet(value: Fraction, form: Form) -> str:
    feet, inches = divmod(abs(value), 12)
    keep_feet = bool(form.zeros & 3 in (1, 2))
    keep_inches = bool(form.zeros & 3 in (1, 3))
    if form.linear_format is LinearFormat.ARCHITECTURAL:
        written = _mixed(inches, form.stacking)
        if inches < 1 and inches and (feet or keep_feet):
            written = f"0 {written}" if form.stacking is Stacking.NONE else f"0{written}"  # 1'-0 1/2"
    else:
        written = _decimal(inches, form.places, form.zeros, form.separator)
    sign = "-" if value < 0 else ""
    if not feet and not keep_feet:
        return f'{sign}{written}"'
    if not inches and not keep_inches and feet:
        return f"{sign}{feet}'"
    if not inches and not keep_inches:
        return "0'"
    return f"{sign}{feet}'-{written}\""


def _exponent(value: Fraction) -> int:
    """The e with 10**e <= value < 10**(e+1), for a positive value."""
    guess = len(str(value.numerator)) - len(str(value.denominator))
    return guess if value >= Fraction(10) ** guess else guess - 1


def _scientific(value: Fraction, form: Form) -> str:
    exponent = _exponent(abs(value)) if value else 0
    mantissa = _decimal(value / Fraction(10) ** exponent, form.places, form.zeros, form.separator)
    return f"{mantissa}E{'-' if exponent < 0 else '+'}{abs(exponent):02d}"


def rounded(value: Real, form: Form, rule: Rounding, shift: Fraction = Fraction(0)) -> Fraction:
    """`value` + `shift` rounded once to what the form can write."""
    return _round_sum(value, shift, _unit_for(value, form, shift), rule)


def _unit_for(value: Real, form: Form, shift: Fraction = Fraction(0)) -> Fraction:
    if form.linear_format is not LinearFormat.SCIENTIFIC:
        return form.unit
    about = abs(middle(value) + shift)
    return form.unit * Fraction(10) ** _exponent(about) if about else form.unit


def _round_sum(value: Real, shift: Fraction, unit: Fraction, rule: Rounding) -> Fraction:
    if shift == 0:
        return round_real(value, unit, rule)
    if isinstance(value, Fraction):
        return round_to(value + shift, unit, rule)
    # An irrational value can't be added to; the multiples are moved the other way instead.
    lower = (middle(value) + shift) // unit * unit
    while compare(value, lower - shift) < 0:
        lower -= unit
    while compare(value, lower + unit - shift) >= 0:
        lower += unit
    side = compare(value, lower + unit / 2 - shift)
    if side == 0:
        return round_to(lower + unit / 2, unit, rule)
    return lower + unit if side > 0 else lower


@dataclass(frozen=True, slots=True)
class _Shown:
    """One number with its text."""

    value: Fraction
    step: Fraction
    text: str


class _Writer:
    """Rounds and writes the numbers of one style and kind: those in the style's unit, or the alternate ones."""

    def __init__(
        self, style: DimStyle, kind: Kind, rule: Rounding, coded: bool = False, alternate: bool = False
    ) -> None:  # fmt: skip
        self.style = style
        self.kind = kind
        self.angular = kind in ANGLES
        self.rule = rule
        if alternate:
            self.factor, self.round_to, self.post = style.alternate_factor, style.alternate_round_to, ""
            linear, stacking = style.alternate_format, style.alternate_stacking
            sizes = style.alternate_places, style.alternate_zeros
            deviations = style.alternate_tolerance_places, style.alternate_tolerance_zeros
        else:
            self.factor, self.round_to, self.post = Fraction(1), style.round_to, style.post
            linear, stacking = style.linear_format, style.stacking
            sizes = style.places, style.zeros
            deviations = style.tolerance_places, style.tolerance_zeros
        if not coded:
            stacking = Stacking.NONE
        self.sizes = Form(linear, *sizes, style.separator, stacking)
        self.deviations = Form(linear, *deviations, style.separator)  # stacked themselves: their fractions can't be
        self.plus, self.minus = style.plus * self.factor, style.minus * self.factor

    def based(self, value: Real) -> Real:
        """The value in the unit that is written; its own rounding comes before the places, and leaves angles alone."""
        value = scaled(value, self.factor)
        return round_real(value, self.round_to, self.rule) if self.round_to > 0 and not self.angular else value

    def size(self, value: Real) -> _Shown:
        if self.angular:
            return self.angle(value, self.style.angle_places, Fraction(0))
        return self.number(value, self.sizes)

    def limit(self, value: Real, shift: Fraction) -> _Shown:
        if self.angular:
            return self.angle(value, self.deviations.places, shift)
        return self.number(value, self.deviations, shift)

    def number(self, value: Real, form: Form, shift: Fraction = Fraction(0)) -> _Shown:
        found = rounded(value, form, self.rule, shift)
        return _Shown(found, _unit_for(found, form), number_text(found, form))

    def angle(self, value: Real, places: int, shift: Fraction) -> _Shown:
        style = self.style
        zeros = _NO_LEADING * (style.angle_zeros & 1) + _NO_TRAILING * (style.angle_zeros >> 1 & 1)
        unit = Fraction(1, 10 ** max(places, 0))
        match style.angle_format:
            case AngleFormat.DECIMAL_DEGREES:
                found = _round_sum(value, shift, unit, self.rule)
                return _Shown(found, unit, _decimal(found, places, zeros, style.separator) + "°")
            case AngleFormat.GRADIANS:
                step = unit * 9 / 10
                found = _round_sum(value, shift, step, self.rule)
                return _Shown(found, step, _decimal(found * 10 / 9, places, zeros, style.separator) + "g")
            case AngleFormat.RADIANS:
                radians = _round_radians(value, shift, unit, self.rule)
                text = _decimal(radians, places, zeros, style.separator) + "r"
                return _Shown(radians * 180 / PI, unit * 180 / PI, text)
            case AngleFormat.DEGREES_MINUTES_SECONDS | AngleFormat.SURVEYOR:
                step = sexagesimal_step(places)
                found = _round_sum(value, shift, step, self.rule)
                return _Shown(found, step, _sexagesimal(found, places, style.separator))


def sexagesimal_step(places: int) -> Fraction:
    """Degrees in one unit of the last place: whole degrees, minutes from 1, seconds from 3, decimals from 5.

    From memory, not verified.
    """
    if places <= 0:
        return Fraction(1)
    if places <= 2:
        return Fraction(1, 60)
    return Fraction(1, 3600 * 10 ** max(places - 4, 0))


def _sexagesimal(value: Fraction, places: int, separator: str) -> str:
    sign, value = ("-" if value < 0 else ""), abs(value)
    degrees, rest = divmod(value, 1)
    if places <= 0:
        return f"{sign}{degrees}°"
    minutes, rest = divmod(rest * 60, 1)
    if places <= 2:
        return f"{sign}{degrees}°{minutes}'"
    seconds = _decimal(rest * 60, max(places - 4, 0), 0, separator)
    return f"{sign}{degrees}°{minutes}'{seconds}\""


def _round_radians(degrees: Real, shift: Fraction, unit: Fraction, rule: Rounding) -> Fraction:
    # Only 0 degrees is rational in radians, so an enclosure narrow enough always decides; what 1e-30
    # of a degree leaves open is rounded from its middle.
    low, high = enclose(degrees, Fraction(1, 10**30))
    return round_to((low + high + 2 * shift) / 2 * PI / 180, unit, rule)


def written_text(value: Real, style: DimStyle, kind: Kind, rule: Rounding, coded: bool = False) -> str:
    """The text that the style shows for the true value; limits stand on two lines, upper first.

    Plain, or `coded` with the stacks of its fractions as they stand in a file.
    """
    text = _text(value, _Writer(style, kind, rule, coded))
    if not _has_alternate(style, kind):
        return text
    gap = "" if text.endswith(_LINE_END) else " "
    return f"{text}{gap}[{_alternate_text(value, style, kind, rule, coded)}]"


_LINE_END = "\n"


def _has_alternate(style: DimStyle, kind: Kind) -> bool:
    return style.alternate and style.alternate_factor > 0 and kind not in ANGLES


def _text(value: Real, writer: _Writer) -> str:
    sign = str(SIGN_BY_KIND.get(writer.kind, ""))
    before, after = ("", "") if writer.angular else post_parts(writer.post)
    before = before or sign
    return f"{before}{_number(value, writer, before)}{after}"


def _alternate_text(value: Real, style: DimStyle, kind: Kind, rule: Rounding, coded: bool) -> str:
    before, after = _around(style.alternate_post, "[]")
    return f"{before}{_number(value, _Writer(style, kind, rule, coded, alternate=True), before)}{after}"


def _number(value: Real, writer: _Writer, before: str) -> str:
    """The number with its tolerance, or the two limits; the lower one repeats what stands before the upper."""
    value = writer.based(value)
    if writer.style.limits:
        upper, lower = (writer.limit(value, shift).text for shift in (writer.plus, -writer.minus))
        return f"{upper}\n{before}{lower}"
    return writer.size(value).text + (_tolerance_text(writer) if writer.style.tolerance else "")


def post_parts(post: str) -> tuple[str, str]:
    """Prefix and suffix of a DIMPOST, as plain text; without '<>' it is all suffix.

    What follows `\\X` stands below the dimension line; at the very end it puts the alternate there.
    """
    return _around(post, "<>")


def _around(post: str, mark: str) -> tuple[str, str]:
    before, found, after = (_plain_with_blanks(post) if post else "").partition(mark)
    return (before, after) if found else ("", before)


def _plain_with_blanks(post: str) -> str:
    # plain_text trims the ends, where a suffix keeps its blank: ' TYP'.
    text = plain_text(post)
    left = post[: len(post) - len(post.lstrip(" "))]
    right = post[len(post.rstrip(" ")) :] if post.strip(" ") else ""
    return f"{left}{text}{right}"


def _tolerance_text(writer: _Writer) -> str:
    tolerance = _tolerance(writer)
    upper, lower = (writer.limit(Fraction(0), abs(x)).text for x in (tolerance.upper, tolerance.lower))
    if tolerance.upper == -tolerance.lower:
        return f" ±{upper}"
    return f" {'+' if tolerance.upper >= 0 else '-'}{upper} {'+' if tolerance.lower > 0 else '-'}{lower}"


def deviations_text(tolerance: Tolerance) -> str:
    """'±0.005' or '+0.01 -0.02': the exact deviations, without the zeros of any style."""
    upper, lower = (decimal_text(abs(x)) for x in (tolerance.upper, tolerance.lower))
    if tolerance.upper == -tolerance.lower and tolerance.upper >= 0:
        return f"±{upper}"
    return f"{'-' if tolerance.upper < 0 else '+'}{upper} {'+' if tolerance.lower > 0 else '-'}{lower}"


def _tolerance(writer: _Writer) -> Tolerance:
    # DIMTM is rounded as it is stated, as a distance below, and negated after that.
    plus, minus = (writer.limit(Fraction(0), distance).value for distance in (writer.plus, writer.minus))
    return Tolerance(max(plus, -minus), min(plus, -minus))


def stated_by_style(value: Real, style: DimStyle, kind: Kind, rule: Rounding) -> Stated:
    """What the style states for the true value, with the places of the style, not of its text.

    Suppressed zeros and reduced fractions hide in the text how fine a number is meant.
    """
    stated = _numbers(value, _decoration(style, kind), _Writer(style, kind, rule))
    if _has_alternate(style, kind):
        writer = _Writer(style, kind, rule, alternate=True)
        stated = replace(stated, alternate=_numbers(value, _alternate_decoration(style, kind), writer))
    return _called(stated)


def _numbers(value: Real, stated: Stated, writer: _Writer) -> Stated:
    """The decoration with its number, and with the tolerance or limits."""
    value = writer.based(value)
    if writer.style.limits:
        upper, lower = (writer.limit(value, shift) for shift in (writer.plus, -writer.minus))
        low, high = sorted((upper.value, lower.value))
        stated = replace(stated, value=(low + high) / 2, step=max(upper.step, lower.step), limits=(low, high))
        return _fine(stated, writer, writer.deviations.places)
    shown = writer.size(value)
    if writer.style.tolerance:
        stated = replace(stated, tolerance=_tolerance(writer))
    places = writer.style.angle_places if writer.angular else writer.sizes.places
    return _fine(replace(stated, value=shown.value, step=shown.step), writer, places)


def _fine(stated: Stated, writer: _Writer, places: int) -> Stated:
    """With the places or the denominator that the style writes, where its format has any."""
    if writer.angular:
        sexagesimal = writer.style.angle_format in (AngleFormat.DEGREES_MINUTES_SECONDS, AngleFormat.SURVEYOR)
        return stated if sexagesimal else replace(stated, places=places)
    match writer.sizes.linear_format:
        case LinearFormat.ARCHITECTURAL | LinearFormat.FRACTIONAL:
            return replace(stated, denominator=2**places)
        case LinearFormat.SCIENTIFIC:
            return stated
        case _:
            return replace(stated, places=places)


def _decoration(style: DimStyle, kind: Kind) -> Stated:
    """Everything but the numbers; what the style's prefix and suffix say is read by the grammar."""
    angular = kind in ANGLES
    unit = Unit.DEGREE if angular else Unit.INCH if style.linear_format in _IN_FEET else None
    base = Stated(Fraction(0), Fraction(1), unit=unit, sign=SIGN_BY_KIND.get(kind), boxed=style.boxed)
    if angular or not style.post:
        return base
    before, after = post_parts(style.post)
    read = read_text(f"{before}1{after}", kind=kind)
    if not isinstance(read, Stated):
        return replace(base, sign=None) if before else base
    return replace(
        base,
        unit=base.unit or read.unit,
        sign=read.sign if before else read.sign or base.sign,
        count=read.count,
        reference=read.reference,
        boxed=base.boxed or read.boxed,
        one_sided=read.one_sided,
        words=read.words,
        fit=read.fit,
        chamfer=read.chamfer,
        call_out=read.call_out,
    )


def _called(stated: Stated) -> Stated:
    """With the number in the call-out of the suffix, too: the first step of the hole has the size that is stated."""
    note = stated.call_out
    if note is None or not note.steps or note.steps[0].diameter is None:
        return stated
    own = replace(stated, call_out=None, count=None, reference=False, boxed=False, words=note.steps[0].diameter.words)
    return replace(stated, call_out=replace(note, steps=(replace(note.steps[0], diameter=own), *note.steps[1:])))


def _alternate_decoration(style: DimStyle, kind: Kind) -> Stated:
    """The unit, sign and words that DIMAPOST puts around the alternate."""
    before, after = _around(style.alternate_post, "[]")
    read = read_text(f"{before}1{after}", kind=kind)
    unit = Unit.INCH if style.alternate_format in _IN_FEET else None
    base = Stated(Fraction(0), Fraction(1), unit=unit)
    if not isinstance(read, Stated):
        return base
    return replace(base, unit=unit or read.unit, sign=read.sign, words=read.words)


def filled_template(override: str, shown: str) -> str:
    """The override with every '<>' replaced by the shown value."""
    return override.replace("<>", shown)


def filled_text(override: str, value: Real, style: DimStyle, kind: Kind, rule: Rounding) -> str:
    """The override with what the style shows for the true value in place of '<>', its fractions coded.

    Where the style has an alternate, a '[]' of the override is its place (from memory); else it stands behind the
    value.
    """
    if "[]" in override and _has_alternate(style, kind):
        alternate = f"[{_alternate_text(value, style, kind, rule, True)}]"
        override, style = override.replace("[]", alternate), replace(style, alternate=False)
    return filled_template(override, written_text(value, style, kind, rule, coded=True))
