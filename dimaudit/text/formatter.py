"""A true value as a style prints it, and as the style means it where printing hides places.

Follows the DXF reference's style variables. Values are in the units shown (already multiplied by the
factor), angles in degrees. docs/dimension-text.md lists the decisions where the reference is silent.
"""

from dataclasses import dataclass, replace
from fractions import Fraction

from dimaudit.exact.number import Rounding, fixed_text, round_to
from dimaudit.exact.real import Real, compare, enclose, middle, round_real, scaled
from dimaudit.model.drawing import ANGLES, Kind
from dimaudit.model.stated import Sign, Stated, Tolerance
from dimaudit.model.style import AngleFormat, DimStyle, LinearFormat
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
            return ("-" if value < 0 else "") + _mixed(abs(value))
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


def _mixed(value: Fraction) -> str:
    whole, rest = divmod(value, 1)
    if rest == 0:
        return str(whole)
    return f"{whole} {rest}" if whole else str(rest)


def _feet(value: Fraction, form: Form) -> str:
    feet, inches = divmod(abs(value), 12)
    keep_feet = bool(form.zeros & 3 in (1, 2))
    keep_inches = bool(form.zeros & 3 in (1, 3))
    if form.linear_format is LinearFormat.ARCHITECTURAL:
        written = _mixed(inches)
        if inches < 1 and inches and (feet or keep_feet):
            written = f"0 {written}"  # 1'-0 1/2"
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
    """Rounds and writes the numbers of one style and kind."""

    def __init__(self, style: DimStyle, kind: Kind, rule: Rounding) -> None:
        self.style = style
        self.angular = kind in ANGLES
        self.rule = rule

    def size(self, value: Real) -> _Shown:
        return self.number(value, self.style.places, self.style.angle_places, self.style.zeros)

    def limit(self, value: Real, shift: Fraction) -> _Shown:
        places = self.style.tolerance_places
        return self.number(value, places, places, self.style.tolerance_zeros, shift)

    def number(self, value: Real, places: int, angle_places: int, zeros: int, shift: Fraction = Fraction(0)) -> _Shown:
        if self.angular:
            return self.angle(value, angle_places, shift)
        style = self.style
        form = Form(style.linear_format, places, zeros, style.separator)
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


def written_text(value: Real, style: DimStyle, kind: Kind, rule: Rounding) -> str:
    """The plain text that the style shows for the true value; limits stand on two lines, upper first."""
    return _text(_based(value, style, kind, rule), style, kind, rule)


def _based(value: Real, style: DimStyle, kind: Kind, rule: Rounding) -> Real:
    """DIMRND comes before the places, and leaves angles alone."""
    if style.round_to > 0 and kind not in ANGLES:
        return round_real(value, style.round_to, rule)
    return value


def _text(value: Real, style: DimStyle, kind: Kind, rule: Rounding) -> str:
    writer = _Writer(style, kind, rule)
    sign = str(SIGN_BY_KIND.get(kind, ""))
    before, after = ("", "") if writer.angular else post_parts(style.post)
    if before:
        sign = ""
    if style.limits:
        upper, lower = (writer.limit(value, shift).text for shift in (style.plus, -style.minus))
        number = f"{upper}\n{before}{sign}{lower}"
    else:
        number = writer.size(value).text
        if style.tolerance:
            number += _tolerance_text(writer, style)
    text = f"{before}{sign}{number}{after}"
    if style.alternate and not writer.angular and style.alternate_factor > 0:
        text += f" {_alternate_text(value, style, rule)}"
    return text


def post_parts(post: str) -> tuple[str, str]:
    """Prefix and suffix of a DIMPOST, as plain text; without '<>' it is all suffix."""
    if not post:
        return "", ""
    before, mark, after = _plain_with_blanks(post).partition("<>")
    return (before, after) if mark else ("", before)


def _plain_with_blanks(post: str) -> str:
    # plain_text trims the ends, where a suffix keeps its blank: ' TYP'.
    text = plain_text(post)
    left = post[: len(post) - len(post.lstrip(" "))]
    right = post[len(post.rstrip(" ")) :] if post.strip(" ") else ""
    return f"{left}{text}{right}"


def _tolerance_text(writer: _Writer, style: DimStyle) -> str:
    tolerance = _tolerance(writer, style)
    upper, lower = (writer.limit(Fraction(0), abs(x)).text for x in (tolerance.upper, tolerance.lower))
    if tolerance.upper == -tolerance.lower:
        return f" ±{upper}"
    return f" {'+' if tolerance.upper >= 0 else '-'}{upper} {'+' if tolerance.lower > 0 else '-'}{lower}"


def _tolerance(writer: _Writer, style: DimStyle) -> Tolerance:
    # DIMTM is rounded as it is stated, as a distance below, and negated after that.
    plus, minus = (writer.limit(Fraction(0), distance).value for distance in (style.plus, style.minus))
    return Tolerance(max(plus, -minus), min(plus, -minus))


def _alternate(value: Real, style: DimStyle, rule: Rounding) -> tuple[Fraction, Form]:
    form = Form(LinearFormat.DECIMAL, style.alternate_places, style.alternate_zeros, style.separator)
    return rounded(scaled(value, style.alternate_factor), form, rule), form


def _alternate_text(value: Real, style: DimStyle, rule: Rounding) -> str:
    before, mark, after = style.alternate_post.partition("[]")
    if not mark:
        before, after = "", before
    return f"[{before}{number_text(*_alternate(value, style, rule))}{after}]"


def stated_by_style(value: Real, style: DimStyle, kind: Kind, rule: Rounding) -> Stated:
    """What the style states for the true value, with the places of the style, not of its text.

    Suppressed zeros and reduced fractions hide in the text how fine a number is meant.
    """
    value = _based(value, style, kind, rule)
    writer = _Writer(style, kind, rule)
    shown = writer.size(value)
    stated = _decoration(style, kind, writer)
    stated = _fine(replace(stated, value=shown.value, step=shown.step), style, writer, style.places)
    if style.limits:
        upper, lower = (writer.limit(value, shift) for shift in (style.plus, -style.minus))
        low, high = sorted((upper.value, lower.value))
        step = max(upper.step, lower.step)
        stated = replace(stated, value=(low + high) / 2, step=step, limits=(low, high))
        stated = _fine(stated, style, writer, style.tolerance_places)
    elif style.tolerance:
        stated = replace(stated, tolerance=_tolerance(writer, style))
    if style.alternate and not writer.angular and style.alternate_factor > 0:
        number, form = _alternate(value, style, rule)
        other = Stated(number, Fraction(1, 10**form.places), places=form.places)
        stated = replace(stated, alternate=other)
    return stated


def _fine(stated: Stated, style: DimStyle, writer: _Writer, places: int) -> Stated:
    """With the places or the denominator that the style writes, where its format has any."""
    if writer.angular:
        if style.angle_format in (AngleFormat.DEGREES_MINUTES_SECONDS, AngleFormat.SURVEYOR):
            return stated
        return replace(stated, places=places if style.limits else style.angle_places)
    if style.linear_format in _IN_FRACTIONS:
        return replace(stated, denominator=2**places)
    return stated if style.linear_format is LinearFormat.SCIENTIFIC else replace(stated, places=places)


def _decoration(style: DimStyle, kind: Kind, writer: _Writer) -> Stated:
    """Everything but the numbers; what the style's prefix and suffix say is read by the grammar."""
    unit = Unit.DEGREE if writer.angular else Unit.INCH if style.linear_format in _IN_FEET else None
    base = Stated(Fraction(0), Fraction(1), unit=unit, sign=SIGN_BY_KIND.get(kind), boxed=style.boxed)
    if writer.angular or not style.post:
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
    )


def filled_template(override: str, shown: str) -> str:
    """The override with every '<>' replaced by the shown value."""
    return override.replace("<>", shown)
