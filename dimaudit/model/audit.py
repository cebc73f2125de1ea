"""What the audit says: a judgement on each dimension, findings, and what could not be judged."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from enum import StrEnum
from fractions import Fraction

from dimaudit.exact.number import Rounding
from dimaudit.exact.real import Real
from dimaudit.model.attached import Attached
from dimaudit.model.drawing import Loss
from dimaudit.model.general import ReadAs, TitleBlock
from dimaudit.model.scheme import Scheme
from dimaudit.model.settings import Lengths
from dimaudit.model.stated import Reading
from dimaudit.model.units import Unit


class Verdict(StrEnum):
    """How the stated number stands to the drawn one."""

    EXACT = "exact"
    ROUNDED = "rounded"
    TIE = "tie"
    WITHIN_LIMITS = "within limits"
    CUT_OFF = "cut off"
    WRONG = "wrong"
    SYMBOLIC = "symbolic"
    UNREADABLE = "unreadable"
    NOT_JUDGED = "not judged"


JUDGED = frozenset(
    {Verdict.EXACT, Verdict.ROUNDED, Verdict.TIE, Verdict.WITHIN_LIMITS, Verdict.CUT_OFF, Verdict.WRONG}
)


class TextSource(StrEnum):
    """Where the text that a person reads comes from."""

    TYPED = "typed"
    TEMPLATE = "measured value with words around it"
    DRAWN = "drawn block"
    STYLE = "style"


@dataclass(frozen=True, slots=True)
class InForce:
    """The limits that hold for one dimension, in the drawing's unit or degrees; None is no limit on that side."""

    source: str
    """'its own', 'ISO 286-1 H7', 'general tolerance .XXX ±.005 (title block, text 4F)', …; or why there are none."""
    lower: Fraction | None = None
    upper: Fraction | None = None

    @property
    def band(self) -> tuple[Fraction, Fraction] | None:
        """Both limits, lower first; None where one is missing."""
        return None if self.lower is None or self.upper is None else (self.lower, self.upper)


@dataclass(frozen=True, slots=True)
class Judgement:
    """One dimension, judged. Lengths are in the drawing's unit after `factor`, angles in degrees."""

    attached: Attached
    text: str
    """What a person reads, as plain text."""
    source: TextSource
    reading: Reading
    expected_text: str
    """What the style prints for the spanned value; empty where nothing is spanned."""
    measured: Real | None
    """The drawn value (the spanned one where an end floats) times the true factor and the view's factor."""
    from_features: bool
    recovered: bool
    factor: Fraction
    """What the geometry was multiplied by."""
    stated: Fraction | None
    """The stated number in the drawing's unit, or degrees."""
    step: Fraction | None
    """One unit in the last written place, in the drawing's unit."""
    residual: tuple[Fraction, Fraction] | None
    """An enclosure of measured - stated."""
    verdict: Verdict
    reason: str
    """Why it was not judged, or how far an equality is proved; else empty."""
    in_force: InForce | None = None
    """The tolerance in force; None where nothing says one."""
    multiple: Fraction = Fraction(1)
    """The part of `factor` that the text makes: 2 for a diameter from the axis, 1/4 for one of four steps spanned."""


class Level(StrEnum):
    """How bad a finding is; the words are SARIF's."""

    ERROR = "error"
    WARNING = "warning"
    NOTE = "note"


@dataclass(frozen=True, slots=True)
class Finding:
    """Something that a person should look at."""

    rule: str
    level: Level
    handles: tuple[str, ...]
    message: str
    why: tuple[str, ...]
    suggestion: str
    at: tuple[float, float] | None
    layout: str
    view: str = ""
    where: str = ""
    """The place in words: 'left edge to centre of the Ø.750 hole'."""
    subject: str = ""
    """What the finding is about, where it is one dimension: 'radius "R.750"'."""
    identity: str = ""
    """What it is, however the file numbers its entities: the same after the drawing was saved by another program."""


@dataclass(frozen=True, slots=True)
class NumberText:
    """A text with a number in it that is no dimension's own: what it was read as, or that it was not."""

    handle: str
    layout: str
    at: tuple[float, float]
    text: str
    """As plain text."""
    read_as: str = ""
    """'hole note', 'title block', …; empty where no part of the audit understood it."""
    why: str = ""
    """Why what was read was not judged; for a text that was not read what it looks like. May be empty."""


def unread(texts: Iterable[NumberText]) -> tuple[NumberText, ...]:
    """The texts with a number that nothing understood; those that read like a size first."""
    return tuple(sorted((t for t in texts if not t.read_as), key=lambda t: not t.why))


def unjudged(texts: Iterable[NumberText]) -> dict[str, tuple[NumberText, ...]]:
    """The texts that were read and could not be compared with the part, by what they are and why."""
    found: dict[str, list[NumberText]] = {}
    for text in texts:
        if text.read_as and text.why:
            found.setdefault(f"{text.read_as}: {text.why}", []).append(text)
    return {reason: tuple(some) for reason, some in sorted(found.items())}


@dataclass(frozen=True, slots=True)
class NotCompared:
    """Two views in line whose levels were not compared with one another."""

    first: str
    second: str
    axis: int
    """0: one stands above the other and they share x; 1: they stand side by side and share y."""
    layout: str
    why: str


@dataclass(frozen=True, slots=True)
class DrawingAudit:
    """One file, audited."""

    path: str
    sha256: str
    version: str
    unit: Unit | None
    unit_from: str
    lengths: Lengths
    rounding: Rounding
    judgements: tuple[Judgement, ...]
    findings: tuple[Finding, ...]
    losses: tuple[Loss, ...]
    views: tuple[str, ...]
    undimensioned: int
    texts: tuple[NumberText, ...] = ()
    """Texts with a number in them, read or not, that are no dimension's own."""

    title_block: TitleBlock = field(default_factory=TitleBlock)
    """What the notes say about all dimensions, and which general tolerances hold."""
    schemes: tuple[Scheme, ...] = ()
    """What the dimensions of each part fix, leave free and fix twice."""
    view_scales: tuple[ReadAs, ...] = ()
    """Scale labels that belong to one view each."""
    views_not_compared: tuple[NotCompared, ...] = ()

    def unread_texts(self) -> tuple[NumberText, ...]:
        """As `unread`."""
        return unread(self.texts)

    def unjudged_texts(self) -> dict[str, tuple[NumberText, ...]]:
        """As `unjudged`."""
        return unjudged(self.texts)

    def judged(self) -> int:
        """How many dimensions got a verdict on their value."""
        return sum(j.verdict in JUDGED for j in self.judgements)

    def not_judged(self) -> dict[str, int]:
        """Reasons and counts of the dimensions that could not be judged."""
        reasons: Counter[str] = Counter()
        for j in self.judgements:
            if j.verdict not in JUDGED:
                reasons[f"{j.verdict}: {j.reason}" if j.reason else str(j.verdict)] += 1
        return dict(sorted(reasons.items()))


@dataclass(frozen=True, slots=True)
class UnreadDrawing:
    """A file that could not be audited; a result of its own, never a pass."""

    path: str
    why: str


@dataclass(frozen=True, slots=True)
class RuleFault:
    """A rule that failed on a drawing: our own fault, reported as such."""

    path: str
    rule: str
    error: str


@dataclass(frozen=True, slots=True)
class Report:
    """A whole run."""

    drawings: tuple[DrawingAudit | UnreadDrawing, ...]
    faults: tuple[RuleFault, ...]
