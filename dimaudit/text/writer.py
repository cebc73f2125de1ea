"""A reading back to text: the inverse of the grammar, in several spellings.

`read_text(stated_text(s, spelling), ...)` is `s`, and so for hole notes, for every value that the
grammar itself can give. The grammar knows more spellings than are written here.
"""

import re
from dataclasses import dataclass
from fractions import Fraction

from dimaudit.exact.number import decimal_places, decimal_text, fixed_text
from dimaudit.model.stated import CallOut, Chamfer, HoleStep, Stated, StepKind, Thread, Tolerance
from dimaudit.model.units import Unit
from dimaudit.text.threads import thread_at
from dimaudit.text.vocabulary import LOST, SEE_NOTE, WORD

_UNITS = {Unit.MILLIMETRE: " mm", Unit.CENTIMETRE: " cm", Unit.METRE: " m", Unit.INCH: '"', Unit.DEGREE: "°"}
_OPENERS = {
    # the symbol of ASME Y14.5, and the word
    StepKind.HOLE: ("", ""),
    StepKind.COUNTERBORE: ("⌴ ", "CBORE "),
    StepKind.SPOTFACE: ("⌴SF ", "SPOTFACE "),
    StepKind.COUNTERSINK: ("⌵ ", "CSK "),
}
_TOTAL = re.compile(r"[(=]")


@dataclass(frozen=True, slots=True)
class Spelling:
    """How a reading is written."""

    separator: str = "."
    """The decimal sign; the text must be read with the same one."""
    leading_zero: bool = False
    """'0.5' as in millimetres, not '.5' as in inches (ASME Y14.5, ISO 129-1)."""
    words: bool = False
    """'CBORE Ø.438 X .25 DEEP', 'REF', '4 PLACES' in place of '⌴ Ø.438 ↧ .25', '( )', '4X'."""
    stacked: bool = False
    r"""Fractions, tolerances, limits and fits as stacks (`\S7/16;`); needs `mtext`."""
    mtext: bool = True
    """Lines and underlining by the codes of MTEXT, else by a line break and %%u."""


def stated_text(stated: Stated, spelling: Spelling = Spelling()) -> str:
    """The text of a dimension that reads as `stated`. ValueError where no text could."""
    return _Writer(spelling).whole(stated)


def call_out_text(note: CallOut, spelling: Spelling = Spelling()) -> str:
    """The text of a hole note that reads as `note`. ValueError where no text could."""
    writer = _Writer(spelling)
    parts = [f"{note.count}X" if note.count is not None else "", writer.hole(note, with_first=True), *note.words]
    return " ".join(part for part in parts if part)


class _Writer:
    def __init__(self, spelling: Spelling) -> None:
        self.spelling = spelling
        self.stacks = spelling.stacked and spelling.mtext

    def whole(self, stated: Stated) -> str:
        known = [word for word in stated.words if _on_the_line(word)]
        words = [word for word in known if word != "↧"]
        by_word = self.spelling.words
        note = stated.call_out
        first = note.steps[0] if note is not None and note.steps else HoleStep(StepKind.HOLE)
        size = ("↧" if "↧" in known else "") + self.size(stated)
        if stated.reference and not by_word:
            size = f"({size})"
        parts = [
            f"{stated.count}X" if stated.count is not None and not by_word else "",
            self.opener(first.kind) + size,
            stated.fit if not self.stacks else _stacked_fit(stated.fit),
            self.tolerance(stated.tolerance, stated.unit),
            self.chamfer(stated.chamfer),
            f"[{self.whole(stated.alternate)}]" if stated.alternate is not None else "",
            "REF" if stated.reference and by_word else "",
            "BASIC" if stated.boxed else "",
            *words,
            self.hole(note, with_first=False) if note is not None else "",
            f"{stated.count} PLACES" if stated.count is not None and by_word else "",
        ]
        line = " ".join(part for part in parts if part)
        if stated.underlined:
            line = rf"\L{line}\l" if self.spelling.mtext else f"%%u{line}%%u"
        below = [word for word in stated.words if not _on_the_line(word)]
        return (r"\P" if self.spelling.mtext else "\n").join([line, *below])

    # Sizes

    def size(self, stated: Stated) -> str:
        """Symbol, number and unit; two limits where there are two."""
        before = f"{stated.sign or ''}{'C' if stated.chamfer == Chamfer() else ''}"
        if stated.limits is None:
            return before + self.number(stated.value, stated)
        low, high = (self.number(limit, stated) for limit in stated.limits)
        # Limits that lie far apart need their names, and a dash behind feet would join inches to them.
        near = stated.limits[1] - stated.limits[0] < min(map(abs, stated.limits)) and not high.endswith("'")
        if near and self.stacks and stated.places is not None:
            return rf"{before}\S{high}^ {low};"
        if near and stated.limits[0] > 0 and (stated.places or stated.unit is not None):
            return f"{before}{high} - {low}"
        return f"{before}{high} MAX {low} MIN"

    def part(self, stated: Stated) -> str:
        """A size within a note, with its own tolerance and words."""
        other = f"[{self.part(stated.alternate)}]" if stated.alternate is not None else ""
        parts = [
            self.size(stated), stated.fit, self.tolerance(stated.tolerance, stated.unit), other,
            "REF" if stated.reference else "", "BASIC" if stated.boxed else "", *stated.words,
        ]  # fmt: skip
        return " ".join(part for part in parts if part)

    def number(self, value: Fraction, stated: Stated) -> str:
        """One number as finely as `stated` is written, with the unit."""
        unit = "" if stated.unit is None else _UNITS[stated.unit]
        sign, value = "-" if value < 0 else "", abs(value)
        if value % stated.step:
            raise ValueError(f"{value} is no multiple of {stated.step}")
        if stated.denominator is not None:
            return sign + self.fraction(value, stated.denominator, stated.unit)
        if stated.places is not None:
            if stated.unit is Unit.INCH and stated.step == Fraction(12, 10**stated.places):
                return f"{sign}{self.decimal(value / 12, stated.places)}'"
            if stated.unit is Unit.DEGREE and stated.step == Fraction(9, 10 ** (stated.places + 1)):
                return f"{sign}{self.decimal(value / Fraction(9, 10), stated.places)}g"
            if stated.step != Fraction(1, 10**stated.places):
                raise ValueError(f"a step of {stated.step} has no {stated.places} places")
            return sign + self.decimal(value, stated.places) + unit
        if stated.unit is Unit.DEGREE:
            return sign + self.sexagesimal(value, stated.step)
        return sign + self.scientific(value, stated.step) + unit

    def decimal(self, value: Fraction, places: int) -> str:
        return self.marked(fixed_text(value, places))

    def marked(self, text: str) -> str:
        """With the decimal sign and the leading zero of the spelling."""
        if not self.spelling.leading_zero and text.startswith("0."):
            text = text[1:]
        return text.replace(".", self.spelling.separator)

    def fraction(self, value: Fraction, denominator: int, unit: Unit | None) -> str:
        feet = ""
        if denominator == 1:
            return f"{value // 12}'-{value % 12}\""
        if unit is Unit.INCH and value >= 12:
            feet, value = f"{value // 12}'-", value % 12
        whole, part = divmod(value, 1)
        upper = str(part * denominator)
        if self.stacks:
            text = (str(whole) if whole or feet else "") + rf"\S{upper}/{denominator};"
        else:
            text = (f"{whole} " if whole or feet else "") + f"{upper}/{denominator}"
        return f"{feet}{text}" + ('"' if unit is Unit.INCH else "")

    def sexagesimal(self, value: Fraction, step: Fraction) -> str:
        degrees, rest = divmod(value, 1)
        if step == Fraction(1, 60):
            return f"{degrees}°{rest * 60}'"
        minutes, rest = divmod(rest * 60, 1)
        places = _places(Fraction(1, 3600) / step)
        return f"{degrees}°{minutes}'{self.decimal(rest * 60, places)}\""

    def scientific(self, value: Fraction, step: Fraction) -> str:
        power = _places(1 / step) if step < 1 else -_places(step)
        digits = str(value / step)
        exponent = len(digits) - 1 - power
        mark = self.spelling.separator if len(digits) > 1 else ""
        return f"{digits[0]}{mark}{digits[1:]}E{'-' if exponent < 0 else '+'}{abs(exponent):02d}"

    def tolerance(self, tolerance: Tolerance | None, unit: Unit | None) -> str:
        if tolerance is None:
            return ""
        if tolerance.upper == -tolerance.lower:
            return f"±{self.deviation(tolerance.upper, unit)}"
        upper, lower = (
            ("-" if value < 0 or (value == 0 and low) else "+") + self.deviation(abs(value), unit)
            for value, low in ((tolerance.upper, False), (tolerance.lower, True))
        )
        if self.stacks and "°" not in upper + lower:
            return rf"\S{upper}^ {lower};"
        return f"{upper}/{lower}"

    def deviation(self, value: Fraction, unit: Unit | None) -> str:
        if unit is Unit.DEGREE:
            for factor, step in ((1, Fraction(1)), (60, Fraction(1, 60))):
                if (value * factor).denominator == 1:
                    return f"{value}°" if factor == 1 else self.sexagesimal(value, step)
        if decimal_places(value) is not None:
            return self.marked(decimal_text(value)) + ("°" if unit is Unit.DEGREE else "")
        if unit is Unit.DEGREE and decimal_places(value * 3600) is not None:
            return self.sexagesimal(value, Fraction(1, 3600 * 10 ** (decimal_places(value * 3600) or 0)))
        raise ValueError(f"{value} can't be written as a deviation")

    def chamfer(self, chamfer: Chamfer | None) -> str:
        if chamfer is None or chamfer == Chamfer():
            return ""
        beside = chamfer.angle or chamfer.leg
        assert beside is not None
        return f"X {self.part(beside)}"

    # Holes

    def opener(self, kind: StepKind) -> str:
        return _OPENERS[kind][self.spelling.words]

    def hole(self, note: CallOut, *, with_first: bool) -> str:
        """The steps, the thread, the screw and the pattern; without the size of the first step where that stands."""
        parts: list[str] = []
        waiting = ""
        for k, step in enumerate(note.steps):
            beside = self.beside(step, k)
            size = "" if step.diameter is None or (k == 0 and not with_first) else self.part(step.diameter)
            opener = self.opener(step.kind) if k or with_first else ""
            if k == 0 and step.diameter is None and step.through and note.thread is not None and not step.depth:
                waiting = "THRU"  # the hole of a thread that goes through
                continue
            text = " ".join(part for part in (opener.strip(), size, beside) if part)
            parts.append(("" if not parts and with_first else ", " if k else "") + text)
        said = " ".join(part for part in parts if part).replace(" ,", ",").strip()
        parts = [said]
        if note.thread is not None:
            apart = bool(said) or not with_first
            parts.append((", " if apart else "") + self.thread(note.thread, apart))
            parts.append(self.depth(note.thread_depth, False) if note.thread_depth is not None else "")
            parts.append(waiting)
        if note.screw is not None:
            parts.append(f"FOR {note.screw.text} {note.head}".strip())
        parts.append(f"@ {self.part(note.spacing)}" if note.spacing is not None else "")
        parts.append(", EQ SP" if note.equally_spaced else "")
        parts.append(f"ON {self.part(note.bolt_circle)} B.C." if note.bolt_circle is not None else "")
        return " ".join(part for part in parts if part).replace(" ,", ",").lstrip(",").strip()

    def thread(self, thread: Thread, apart: bool) -> str:
        """By the word TAP where the designation alone could be something else."""
        plain = not apart and not self.spelling.words and thread_at(thread.text, 0) is not None
        return thread.text if plain else f"TAP {thread.text}"

    def beside(self, step: HoleStep, place: int) -> str:
        parts = [f"X {self.part(step.angle)}" if step.angle is not None and step.diameter is not None else ""]
        if step.angle is not None and step.diameter is None:
            parts = [self.part(step.angle)]
        if step.depth is not None:
            parts.append(self.depth(step.depth, step.diameter is not None or place == 0))
        parts.append("THRU" if step.through else "")
        return " ".join(part for part in parts if part)

    def depth(self, depth: Stated, sized: bool) -> str:
        if not self.spelling.words:
            return f"↧ {self.part(depth)}"
        return f"X {self.part(depth)} DEEP" if sized and depth.value > 0 else f"DEEP {self.part(depth)}"


def _on_the_line(word: str) -> bool:
    """Whether a word is vocabulary; what is none stands on a line of its own."""
    whole = any(pattern.fullmatch(word) for pattern in (WORD, SEE_NOTE, LOST))
    return whole or word in ("~", "↧") or _TOTAL.match(word) is not None


def _stacked_fit(fit: str) -> str:
    hole, slash, shaft = fit.partition("/")
    return rf"\S{hole}/{shaft};" if slash else fit


def _places(power: Fraction) -> int:
    """The exponent of a power of ten."""
    places = len(str(power)) - 1
    if power != 10**places:
        raise ValueError(f"{power} is no power of ten")
    return places
