"""How deep a hole is drawn in another view: its edges as a pair of lines beside its axis (ISO 128-3, ASME Y14.3)."""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from dimaudit.model.drawing import LineRole, Segment
from dimaudit.model.view import View


@dataclass(frozen=True, slots=True)
class Bore:
    """One cylinder of a hole as another view shows it: its edges run from the face that it is drilled from."""

    face: Fraction
    bottom: Fraction
    through: bool
    """It comes out at another face."""
    handles: tuple[str, ...]

    @property
    def depth(self) -> Fraction:
        return abs(self.face - self.bottom)


@dataclass(frozen=True, slots=True)
class _Run:
    """Lines end to end on one level, along the depth."""

    low: Fraction
    high: Fraction
    handles: tuple[str, ...]
    hidden: bool
    mixed: bool = False
    """Lines of different lengths lie on one another in it: two holes, one behind the other."""


class SideView:
    """A view in which holes show by their edges. `axis` is the one it shares with the view of the circles."""

    def __init__(self, view: View, axis: int) -> None:
        self._view = view
        self._axis = axis
        self._snap = Fraction(view.xs.snap)
        self._along: list[tuple[Fraction, Fraction, Fraction, Segment]] = []
        """Lines in the direction of the depth: level, low and high end."""
        self._across: list[tuple[Fraction, Fraction, Fraction]] = []
        """Outlines square to it: level, low and high end."""
        for shape in view.shapes:
            if not isinstance(shape, Segment) or shape.origin.role is LineRole.CENTRE:
                continue
            a, b = view.place(shape.a), view.place(shape.b)
            if abs(a[axis] - b[axis]) <= self._snap:
                low, high = sorted((a[1 - axis], b[1 - axis]))
                self._along.append((a[axis], low, high, shape))
            elif abs(a[1 - axis] - b[1 - axis]) <= self._snap and shape.origin.role is LineRole.OUTLINE:
                low, high = sorted((a[axis], b[axis]))
                self._across.append((a[1 - axis], low, high))

    def bore(self, centre: Fraction, radius: Fraction, widest: Fraction) -> Bore | None:
        """The cylinder about that level from an outer face; None where none is seen, or more than one.

        `widest` is the largest radius of the hole: a face goes on beyond that.
        """
        found = [b for run in self._pairs(centre, radius) if (b := self._from_face(run, centre, widest)) is not None]
        return found[0] if len(found) == 1 else None

    def below(self, upper: Bore, centre: Fraction, radius: Fraction, widest: Fraction) -> Bore | None:
        """The cylinder that begins at the bottom of `upper`, measured from the face of that."""
        found = []
        for run in self._pairs(centre, radius):
            for start, end in ((run.low, run.high), (run.high, run.low)):
                onward = (end - start) * (upper.bottom - upper.face) > 0
                if abs(start - upper.bottom) <= self._snap and onward:
                    found.append(Bore(upper.face, end, self._is_face(end, centre, widest), run.handles))
        return found[0] if len(found) == 1 else None

    def _from_face(self, run: _Run, centre: Fraction, widest: Fraction) -> Bore | None:
        low, high = (self._is_face(end, centre, widest) for end in (run.low, run.high))
        if not (low or high) or (not run.hidden and not self._in_material(run, centre, widest)):
            return None
        face, bottom = (run.low, run.high) if low else (run.high, run.low)
        return Bore(face, bottom, low and high, run.handles)

    def _pairs(self, centre: Fraction, radius: Fraction) -> Iterator[_Run]:
        """Runs that are there on both sides of the axis, with the same ends."""
        lower, upper = self._runs(centre - radius), self._runs(centre + radius)
        for a in lower:
            for b in upper:
                if a.mixed or b.mixed:
                    continue
                if abs(a.low - b.low) <= self._snap and abs(a.high - b.high) <= self._snap:
                    yield _Run(a.low, a.high, (*a.handles, *b.handles), a.hidden and b.hidden)

    def _runs(self, level: Fraction) -> list[_Run]:
        own = sorted(
            ((low, high, line) for at, low, high, line in self._along if abs(at - level) <= self._snap),
            key=lambda row: row[:2],
        )
        runs: list[_Run] = []
        for low, high, line in own:
            hidden = line.origin.role is LineRole.HIDDEN
            last = runs[-1] if runs else None
            if last is not None and low <= last.high + self._snap:
                handles = (*last.handles, line.origin.handle)
                mixed = last.mixed or (low < last.high - self._snap and (low, high) != (last.low, last.high))
                runs[-1] = _Run(last.low, max(last.high, high), handles, last.hidden and hidden, mixed)
            else:
                runs.append(_Run(low, high, (line.origin.handle,), hidden))
        return runs

    def _is_face(self, level: Fraction, centre: Fraction, widest: Fraction) -> bool:
        """Whether an outline at that level goes on beyond the hole, on both sides."""
        snap = self._snap
        own = [(low, high) for at, low, high in self._across if abs(at - level) <= snap]
        left = any(low < centre - widest - snap <= high for low, high in own)
        right = any(low <= centre + widest + snap < high for low, high in own)
        return left and right

    def _in_material(self, run: _Run, centre: Fraction, widest: Fraction) -> bool:
        """Whether there is material on both sides, as beside a hole in a section; beside a boss there is none."""
        middle, beyond = (run.low + run.high) / 2, widest + 2 * self._snap
        walls = {
            (at, low, high) for at, low, high, line in self._along
            if low < middle < high and line.origin.role is LineRole.OUTLINE
        }  # fmt: skip
        left = sum(at < centre - beyond for at, _, _ in walls)
        right = sum(at > centre + beyond for at, _, _ in walls)
        return left % 2 == 1 and right % 2 == 1
