"""General tolerances and the other statements of a title block, as values."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum
from fractions import Fraction

from dimaudit.exact.number import decimal_text, fraction_text
from dimaudit.model.units import Unit


class Form(StrEnum):
    """What a general tolerance is for."""

    PLACES = "decimals"
    """Numbers written with so many decimals."""
    LENGTHS = "lengths"
    """Every length that no other entry is for."""
    FRACTIONS = "fractions"
    ANGLES = "angles"


@dataclass(frozen=True, slots=True)
class GeneralTolerance:
    """One entry of the table: what it is for, and how far a size may lie from what is written."""

    form: Form
    upper: Fraction
    lower: Fraction
    places: int | None = None
    """Decimals as written, for `Form.PLACES`."""
    unit: Unit | None = None
    """As named in the entry; None is the unit that the dimensions are written in. Angles are in degrees."""
    where: str = ""
    """'text 4F', or the option that said it."""

    @property
    def name(self) -> str:
        """'.XXX', 'fractions', …"""
        if self.form is Form.PLACES:
            return f".{'X' * self.places}" if self.places else "X"
        return str(self.form)

    @property
    def words(self) -> str:
        """'.XX ±0.01', 'angles ±0.5°'."""
        sign = "°" if self.form is Form.ANGLES else "" if self.unit is None else f" {self.unit}"
        return f"{self.name} {deviation_text(self.upper, self.lower, self.form is Form.FRACTIONS)}{sign}"


def deviation_text(upper: Fraction, lower: Fraction, fractions: bool = False) -> str:
    """'±0.01', '±1/64' or '+0.02/-0.01'."""
    show = fraction_text if fractions else decimal_text
    if upper == -lower:
        return f"±{show(upper)}"
    return f"{'+' if upper > 0 else ''}{show(upper)}/{'+' if lower > 0 else ''}{show(lower)}"


@dataclass(frozen=True, slots=True)
class Iso2768:
    """A class of ISO 2768-1: 'f', 'm', 'c' or 'v'."""

    letter: str
    where: str = ""


@dataclass(frozen=True, slots=True)
class GeneralTolerances:
    """What holds for a dimension without a tolerance of its own; empty where nothing is known."""

    entries: tuple[GeneralTolerance, ...] = ()
    iso2768: Iso2768 | None = None

    def entry(self, form: Form, places: int | None = None) -> GeneralTolerance | None:
        """The entry of this form, and for decimals of so many places."""
        return next((e for e in self.entries if e.form is form and e.places == places), None)

    def words(self) -> list[str]:
        """'.XX ±0.01', 'ISO 2768-1 m', …"""
        named = [entry.words for entry in self.entries]
        return named if self.iso2768 is None else [*named, f"ISO 2768-1 {self.iso2768.letter}"]

    def __bool__(self) -> bool:
        return bool(self.entries) or self.iso2768 is not None


@dataclass(frozen=True, slots=True)
class ReadAs:
    """A text of the sheet and what it was taken for; `trouble` says why it is not used, where it is not."""

    text: str
    handle: str
    layout: str
    read_as: str
    trouble: str = ""
    at: tuple[float, float] | None = None
    unit: Unit | None = None
    """The unit, where the text states that."""
    by_user: bool = False
    """Not used because the user's word stands in its place."""
    value_in: str = ""
    """Handle of the text that holds the value, where that is another one."""


@dataclass(frozen=True, slots=True)
class TitleBlock:
    """What the notes of a sheet say about all its dimensions."""

    read: tuple[ReadAs, ...] = ()
    tolerances: GeneralTolerances = field(default_factory=GeneralTolerances)
    unit: Unit | None = None
    """As stated; None where it is not, or in two ways."""
    claimed: Mapping[str, str] = field(default_factory=dict)
    """Handles of the texts that were understood, and as what."""
    scales: Mapping[str, str] = field(default_factory=dict)
    """Texts that say a scale only by their place: the value's handle, and the statement as a whole ('SCALE 1:2')."""

    def without(self, handles: Collection[str]) -> "TitleBlock":
        """The same without what these texts say: they were found to be no part of it."""
        gone = [s for s in self.read if s.handle in handles or s.value_in in handles]
        left = self.claimed.keys() - {h for s in gone for h in (s.handle, s.value_in)}
        return replace(
            self,
            read=tuple(said for said in self.read if said not in gone),
            claimed={handle: what for handle, what in self.claimed.items() if handle in left},
        )
