"""What is read of a hole beside its size, while it grows."""

from dataclasses import dataclass, field

from dimaudit.model.stated import CallOut, HoleStep, Stated, StepKind, Thread


@dataclass(slots=True)
class Step:
    """One step of the hole while it grows."""

    kind: StepKind = StepKind.HOLE
    diameter: Stated | None = None
    depth: Stated | None = None
    angle: Stated | None = None
    through: bool = False

    @property
    def bare(self) -> bool:
        """Nothing but, perhaps, a diameter."""
        return self.depth is None and self.angle is None and not self.through

    def frozen(self) -> HoleStep:
        return HoleStep(self.kind, self.diameter, self.depth, self.angle, self.through)


@dataclass(slots=True)
class Hole:
    """A hole note while it grows."""

    steps: list[Step] = field(default_factory=list)
    thread: Thread | None = None
    thread_depth: Stated | None = None
    screw: Thread | None = None
    head: str = ""
    bolt_circle: Stated | None = None
    spacing: Stated | None = None
    equally_spaced: str = ""
    """The words that say so, as written."""
    in_thread: bool = False
    """The thread was read last: a depth behind it is the thread's."""

    @property
    def empty(self) -> bool:
        """Nothing is known beside a first size and an equal spacing."""
        first = not self.steps or (len(self.steps) == 1 and self.steps[0].bare and self.steps[0].kind is StepKind.HOLE)
        return first and self.thread is None and self.screw is None and self.bolt_circle is None and not self.spacing

    def call_out(self, count: int | None, words: tuple[str, ...] = ()) -> CallOut:
        return CallOut(
            count,
            tuple(step.frozen() for step in self.steps),
            self.thread,
            self.thread_depth,
            self.screw,
            self.head,
            self.bolt_circle,
            bool(self.equally_spaced),
            words,
            self.spacing,
        )
