"""What a rule is, and what it is given."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field

from dimaudit.judge.labels import PlacedLabel
from dimaudit.judge.scale import ViewScale
from dimaudit.judge.stating import Statement
from dimaudit.model.audit import Finding, Judgement, Level, NotCompared
from dimaudit.model.control_frame import NO_FRAMES, ControlFrames
from dimaudit.model.drawing import Drawing
from dimaudit.model.general import TitleBlock
from dimaudit.model.geometry import LineworkFault
from dimaudit.model.hole_table import NO_TABLES, HoleTables
from dimaudit.model.pointed import HoleNote, RadiusNote
from dimaudit.model.scheme import Scheme
from dimaudit.model.settings import Lengths, Settings
from dimaudit.model.view import Geometry


@dataclass(frozen=True, slots=True)
class Sheet:
    """One drawing with everything known about it; what a rule looks at."""

    drawing: Drawing
    settings: Settings
    lengths: Lengths
    judgements: Sequence[Judgement]
    statements: Sequence[Statement]
    """In the order of the judgements."""
    scales: Sequence[ViewScale]
    faults: Sequence[tuple[str, LineworkFault]]
    """Faults of the linework, each with the name of its space."""
    geometries: Sequence[Geometry]
    labels: Sequence[PlacedLabel] = ()
    """Scale labels, each with its view where that is clear."""
    frames: ControlFrames = NO_FRAMES
    hole_tables: HoleTables = NO_TABLES
    schemes: Sequence[Scheme] = ()
    """One for each part that something is stated on."""
    title_block: TitleBlock = field(default_factory=TitleBlock)
    in_line: Sequence[Finding | NotCompared] = ()
    """What comparing the views in line gave."""
    hole_notes: Sequence[HoleNote] = ()
    """Hole call-outs of notes, leaders and dimensions, those that could not be tied among them."""
    radius_notes: Sequence[RadiusNote] = ()


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule. `level` is the highest that its findings have."""

    name: str
    level: Level
    summary: str
    check: Callable[[Sheet], Iterator[Finding]]
    since: int = 1
    """The rule set that it came with."""
