"""What a person reads on the print for one dimension, and what the style would print now."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from dimaudit.exact.number import Rounding, decimal_text
from dimaudit.exact.real import Real, scaled
from dimaudit.judge.values import value_verdict
from dimaudit.model.attached import Attached
from dimaudit.model.audit import TextSource, Verdict
from dimaudit.model.drawing import ANGLES, Kind
from dimaudit.model.stated import Reading, Stated, Suppressed, Symbolic
from dimaudit.model.style import DimStyle
from dimaudit.text.formatter import deviations_text, filled_template, filled_text, stated_by_style, written_text
from dimaudit.text.grammar import read_text
from dimaudit.text.markup import plain_text

MOST_PLACES = 8
"""No style writes more (DXF reference, DIMDEC)."""


@dataclass(frozen=True, slots=True)
class Outdated:
    """What stands on the print beside the number and is not what the dimension says now."""

    part: str
    """'tolerance', 'alternate value' or 'tolerance of the alternate value'."""
    shown: str
    now: str
    """Empty where the dimension gives no such part."""


@dataclass(frozen=True, slots=True)
class Statement:
    """The text that is read, how it is read, and what the style prints for the spanned value."""

    text: str
    source: TextSource
    reading: Reading
    expected_text: str
    expected: Stated | None
    stale: bool
    """The number in the drawn block's text is not what the dimension says now, by any rounding rule."""
    outdated: tuple[Outdated, ...] = ()
    """Where the number is, the parts of the drawn block's text that are not."""


@dataclass(frozen=True, slots=True)
class _Now:
    """What the dimension gives now: the value between its points with its style and the text around it."""

    shown: Real
    style: DimStyle
    kind: Kind
    override: str | None
    """With its '<>', where there is one."""

    def number(self, rule: Rounding) -> Stated:
        return stated_by_style(self.shown, self.style, self.kind, rule)

    def text(self, rule: Rounding) -> str:
        """As a file holds it."""
        if self.override is None:
            return written_text(self.shown, self.style, self.kind, rule)
        return filled_text(self.override, self.shown, self.style, self.kind, rule)

    def whole(self, rule: Rounding) -> Reading:
        """The number with all that is said around it."""
        if self.override is None:
            return self.number(rule)
        return read_text(self.text(rule), separator=self.style.separator, kind=self.kind)

    def others(self) -> Iterator["_Now"]:
        """The same as other writers put it: deviations with the places of the size, or with more than the style's."""
        style = self.style
        yield self
        if not style.tolerance and not style.limits:
            return
        pairs = [(style.places, style.alternate_places)]
        least = min(style.tolerance_places, style.alternate_tolerance_places)
        for more in range(least + 1, MOST_PLACES + 1):
            pairs.append((max(style.tolerance_places, more), max(style.alternate_tolerance_places, more)))
        for places, alternate_places in pairs:
            yield replace(
                self, style=replace(style, tolerance_places=places, alternate_tolerance_places=alternate_places)
            )  # fmt: skip


def state(attached: Attached, rule: Rounding, view_factor: Fraction = Fraction(1)) -> Statement:
    """The statement of one dimension in a view drawn at `view_factor` times its true size.

    A typed text counts as it is written. Else the drawn block's text is what people see; where there is none,
    what the style prints. A text that comes from the style takes its places from the style, since suppressed
    zeros hide them.
    """
    dimension = attached.dimension
    style, kind, override = dimension.style, dimension.kind, dimension.override
    now: _Now | None = None
    if attached.spanned is not None:
        factor = dimension.text_factor / view_factor if kind not in ANGLES else Fraction(1)
        template = override if override is not None and "<>" in override else None
        now = _Now(scaled(attached.spanned.value, factor), style, kind, template)
    if override is not None and "<>" not in override:
        return _typed(dimension.drawn_text, override, now, rule, style, kind)
    if dimension.drawn_text is None:
        return _by_style(override, now, rule, style, kind)
    drawn = read_text(dimension.drawn_text, separator=style.separator, kind=kind)
    source = TextSource.DRAWN if override is None else TextSource.TEMPLATE
    if now is None:
        expected_text = "" if override is None else plain_text(filled_template(override, ""))
        text = plain_text(dimension.drawn_text)
        return Statement(text, source, _boxed(drawn, style.boxed), expected_text, None, False)
    return _in_block(dimension.drawn_text, drawn, source, now, rule)


def _typed(
    drawn_text: str | None, override: str, now: _Now | None, rule: Rounding, style: DimStyle, kind: Kind
) -> Statement:  # fmt: skip
    """A text without the measured value in it: it is read as written, and the drawn block must say the same."""
    expected = None if now is None else now.number(rule)
    typed = read_text(override, separator=style.separator, kind=kind)
    stale = False
    outdated: tuple[Outdated, ...] = ()
    if drawn_text is not None:
        drawn = read_text(drawn_text, separator=style.separator, kind=kind)
        stale = _differs(drawn, typed)
        if not stale and isinstance(drawn, Stated) and isinstance(typed, Stated):
            outdated = tuple(_outdated(drawn, [typed], ()))
    return Statement(
        plain_text(override), TextSource.TYPED, _boxed(typed, style.boxed), "" if now is None else now.text(rule),
        expected, stale, outdated,
    )  # fmt: skip


def _by_style(override: str | None, now: _Now | None, rule: Rounding, style: DimStyle, kind: Kind) -> Statement:
    """No drawn block: what the style prints is what will be seen."""
    if now is None:
        if override is None:
            return Statement("", TextSource.STYLE, Suppressed(), "", None, False)
        filled = filled_template(override, "")
        text, reading = plain_text(filled), read_text(filled, separator=style.separator, kind=kind)
        return Statement(text, TextSource.TEMPLATE, reading, text, None, False)
    expected, text = now.number(rule), plain_text(now.text(rule))
    if override is None:
        return Statement(text, TextSource.STYLE, expected, text, expected, False)
    reading = now.whole(rule)
    if not isinstance(reading, Stated):
        reading = _in_words(expected, override)
    elif reading.value == expected.value:
        reading = _placed(reading, expected)
    return Statement(text, TextSource.TEMPLATE, reading, text, expected, False)


def _in_block(drawn_text: str, drawn: Reading, source: TextSource, now: _Now, rule: Rounding) -> Statement:
    """The drawn block is what people see; it should say what the definition points and the style give."""
    expected, text, boxed = now.number(rule), plain_text(drawn_text), now.style.boxed
    same = isinstance(drawn, Stated) and _same_number(drawn, expected) and _same_parts(drawn, expected)
    if isinstance(drawn, Stated) and now.override is None and same:  # the normal case by far
        return Statement(text, source, _boxed(_placed(drawn, expected), boxed), text, expected, False)
    expected_text = plain_text(now.text(rule))
    if not isinstance(drawn, Stated) and now.override is not None:
        # Words that are not known stand around the measured value; where that is, the override itself says.
        for r in (rule, *Rounding):
            if _squeezed(drawn_text) == _squeezed(now.text(r)):
                drawn = _in_words(now.number(r), now.override)
                return Statement(text, source, _boxed(drawn, boxed), expected_text, expected, False)
    if not isinstance(drawn, Stated):
        return Statement(text, source, drawn, expected_text, expected, False)
    stale = False
    numbers = (n.number(r) for n in now.others() for r in (rule, *Rounding))
    matching = next((e for e in numbers if _same_number(drawn, e) or band(drawn) == band(e) is not None), None)
    if matching is None:  # another number of places is no stale text, nor are digits that were cut off
        stale = drawn.limits is not None or value_verdict(now.shown, drawn.value, drawn.step) is Verdict.WRONG
    outdated: tuple[Outdated, ...] = ()
    whole = now.whole(rule)
    if not stale and isinstance(whole, Stated) and not _same_parts(drawn, whole):
        wholes = [w for n in now.others() for r in (rule, *Rounding) if isinstance(w := n.whole(r), Stated)]
        factor = now.style.alternate_factor
        outdated = tuple(_outdated(drawn, [whole, *wholes], (scaled(now.shown, factor), drawn.value * factor)))
    reading = drawn if matching is None else _placed(drawn, matching)
    return Statement(text, source, _boxed(reading, boxed), expected_text, expected, stale, outdated)


def _in_words(number: Stated, override: str) -> Stated:
    return replace(number, words=(plain_text(override.replace("<>", "…")),))


def _squeezed(text: str) -> str:
    return "".join(plain_text(text).split())


def _same_number(reading: Stated, expected: Stated) -> bool:
    """Whether the text states the very number that the style prints; suppressed zeros do not count.

    Writers differ in how a style is put into text (fractions, zeros), so the numbers are compared, not the strings.
    """
    if reading.limits is not None or expected.limits is not None:
        return reading.limits == expected.limits
    return reading.value == expected.value


def _same_parts(drawn: Stated, now: Stated) -> bool:
    """Whether the drawn tolerance and alternate are those of `now`.

    A part that is not drawn is none that could be wrong: many writers leave tolerances and alternates out of the block.
    """
    if drawn.tolerance is not None and drawn.tolerance != now.tolerance:
        return False
    if drawn.alternate is None:
        return True
    return (
        now.alternate is not None
        and _same_number(drawn.alternate, now.alternate)
        and _same_parts(drawn.alternate, now.alternate)
    )


def _outdated(drawn: Stated, nows: Sequence[Stated], converted: Sequence[Real]) -> Iterator[Outdated]:
    """The drawn parts that none of `nows` has; the first of these is the one that is named.

    `converted` are the values that the alternate may be a rounding of, to any number of places.
    """
    tolerance = _outdated_tolerance(drawn, nows, "tolerance")
    if tolerance is not None:
        yield tolerance
    other = drawn.alternate
    if other is None:
        return
    others = [now.alternate for now in nows if now.alternate is not None]
    if not others:
        yield Outdated("alternate value", _size_text(other), "")
        return
    rounded = other.limits is None and any(
        value_verdict(value, other.value, other.step) is not Verdict.WRONG for value in converted
    )
    if not rounded and not any(_same_number(other, o) for o in others):
        yield Outdated("alternate value", _size_text(other), _size_text(others[0]))
        return
    tolerance = _outdated_tolerance(other, others, "tolerance of the alternate value")
    if tolerance is not None:
        yield tolerance


def _outdated_tolerance(drawn: Stated, nows: Sequence[Stated], part: str) -> Outdated | None:
    if drawn.tolerance is None or any(drawn.tolerance == now.tolerance or band(drawn) == now.limits for now in nows):
        return None
    first = nows[0]
    if first.limits is not None:
        return Outdated(part, deviations_text(drawn.tolerance), _size_text(first))
    return Outdated(
        part, deviations_text(drawn.tolerance), "" if first.tolerance is None else deviations_text(first.tolerance)
    )  # fmt: skip


def band(stated: Stated) -> tuple[Fraction, Fraction] | None:
    """The limits, however they are written."""
    if stated.tolerance is None:
        return stated.limits
    return stated.value + stated.tolerance.lower, stated.value + stated.tolerance.upper


def _size_text(stated: Stated) -> str:
    if stated.limits is not None:
        return " to ".join(decimal_text(limit, MOST_PLACES) for limit in stated.limits)
    return decimal_text(stated.value, MOST_PLACES)


def _placed(reading: Stated, style: Stated) -> Stated:
    if reading.step == style.step:
        return reading
    return replace(reading, step=style.step, places=style.places, denominator=style.denominator)


def _boxed(reading: Reading, boxed: bool) -> Reading:
    return replace(reading, boxed=True) if boxed and isinstance(reading, Stated) else reading


def _differs(drawn: Reading, typed: Reading) -> bool:
    """Whether the picture shows a number that is not the typed one, or one where none is typed."""
    if not isinstance(drawn, Stated):
        return False
    return isinstance(typed, Symbolic) or (isinstance(typed, Stated) and drawn.value != typed.value)
