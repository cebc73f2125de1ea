"""What a person reads on the print for one dimension, and what the style would print now."""

from dataclasses import dataclass, replace
from fractions import Fraction

from dimaudit.exact.number import Rounding
from dimaudit.exact.real import Real, scaled
from dimaudit.judge.values import value_verdict
from dimaudit.model.attached import Attached
from dimaudit.model.audit import TextSource, Verdict
from dimaudit.model.drawing import ANGLES
from dimaudit.model.stated import Reading, Stated, Suppressed, Symbolic
from dimaudit.text.formatter import filled_template, stated_by_style, written_text
from dimaudit.text.grammar import read_text
from dimaudit.text.markup import plain_text


@dataclass(frozen=True, slots=True)
class Statement:
    """The text that is read, how it is read, and what the style prints for the spanned value."""

    text: str
    source: TextSource
    reading: Reading
    expected_text: str
    expected: Stated | None
    stale: bool
    """The drawn block's text does not say what the dimension says now, by any rounding rule."""


def state(attached: Attached, rule: Rounding, view_factor: Fraction = Fraction(1)) -> Statement:
    """The statement of one dimension in a view drawn at `view_factor` times its true size.

    A typed text counts as it is written. Else the drawn block's text is what people see; where there is none,
    what the style prints. A text that comes from the style takes its places from the style, since suppressed
    zeros hide them.
    """
    dimension = attached.dimension
    style, kind = dimension.style, dimension.kind
    shown: Real | None = None
    if attached.spanned is not None:
        factor = dimension.text_factor / view_factor if kind not in ANGLES else Fraction(1)
        shown = scaled(attached.spanned.value, factor)
    expected = None if shown is None else stated_by_style(shown, style, kind, rule)
    override, drawn = dimension.override, dimension.drawn_text
    reading: Reading
    if override is None and drawn is not None:
        reading = read_text(drawn, separator=style.separator, kind=kind)
        if isinstance(reading, Stated) and expected is not None and _same_number(reading, expected):
            text = plain_text(drawn)  # the normal case by far: the picture says what the style prints
            reading = _boxed(_placed(reading, expected), style.boxed)
            return Statement(text, TextSource.DRAWN, reading, text, expected, False)
    expected_text = "" if shown is None else written_text(shown, style, kind, rule)
    if override is not None and "<>" not in override:
        reading = _boxed(read_text(override, separator=style.separator, kind=kind), style.boxed)
        stale = drawn is not None and _differs(read_text(drawn, separator=style.separator, kind=kind), reading)
        return Statement(plain_text(override), TextSource.TYPED, reading, expected_text, expected, stale)
    source = TextSource.DRAWN if drawn is not None else TextSource.STYLE
    if override is not None:
        source = TextSource.TEMPLATE
        expected_text = plain_text(filled_template(override, expected_text))
    if drawn is None:
        if source is TextSource.STYLE:
            reading = expected if expected is not None else Suppressed()
        else:
            by_style = "" if shown is None else written_text(shown, style, kind, rule)
            filled = filled_template(override or "<>", by_style)
            reading = _with_style_places(read_text(filled, separator=style.separator, kind=kind), expected)
            if not isinstance(reading, Stated) and expected is not None:
                reading = replace(expected, words=(plain_text((override or "").replace("<>", "…")),))
        return Statement(expected_text, source, reading, expected_text, expected, False)
    reading = read_text(drawn, separator=style.separator, kind=kind)
    stale = False
    if not isinstance(reading, Stated) and override is not None and expected is not None and shown is not None:
        # Words that are not known stand around the measured value; where that is, the override itself says.
        for r in (rule, *Rounding):
            if _squeezed(drawn) == _squeezed(filled_template(override, written_text(shown, style, kind, r))):
                words = (plain_text(override.replace("<>", "…")),)
                reading = replace(stated_by_style(shown, style, kind, r), words=words)
                break
    if isinstance(reading, Stated) and shown is not None and expected is not None:
        allowed = (stated_by_style(shown, style, kind, r) for r in (rule, *Rounding))
        matching = next((e for e in allowed if _same_number(reading, e)), None)
        if matching is not None:
            reading = _placed(reading, matching)
        else:  # another number of places is no stale text, nor are digits that were cut off
            stale = reading.limits is not None or value_verdict(shown, reading.value, reading.step) is Verdict.WRONG
    return Statement(plain_text(drawn), source, _boxed(reading, style.boxed), expected_text, expected, stale)


def _squeezed(text: str) -> str:
    return "".join(plain_text(text).split())


def _same_number(reading: Stated, expected: Stated) -> bool:
    """Whether the text states the very number that the style prints; suppressed zeros do not count.

    Writers differ in how a style is put into text (fractions, zeros), so the numbers are compared, not the strings.
    """
    if reading.limits is not None or expected.limits is not None:
        return reading.limits == expected.limits
    return reading.value == expected.value


def _placed(reading: Stated, style: Stated) -> Stated:
    if reading.step == style.step:
        return reading
    return replace(reading, step=style.step, places=style.places, denominator=style.denominator)


def _with_style_places(reading: Reading, expected: Stated | None) -> Reading:
    if isinstance(reading, Stated) and expected is not None and reading.value == expected.value:
        return _placed(reading, expected)
    return reading


def _boxed(reading: Reading, boxed: bool) -> Reading:
    return replace(reading, boxed=True) if boxed and isinstance(reading, Stated) else reading


def _differs(drawn: Reading, typed: Reading) -> bool:
    """Whether the picture shows a number that is not the typed one, or one where none is typed."""
    if not isinstance(drawn, Stated):
        return False
    return isinstance(typed, Symbolic) or (isinstance(typed, Stated) and drawn.value != typed.value)
