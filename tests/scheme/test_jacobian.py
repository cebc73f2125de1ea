"""Counts of random parts against a Jacobian of their own: written here anew in doubles, ranked by singular values.

Slots with tangent arcs and polygons with slanted sides, with holes, dimensioned at random; drawn, saved, read, audited.
What is taken as implied is written down from the page on the scheme, and differentiated by a complex step.
"""

import math
import random
from collections.abc import Callable, Sequence
from fractions import Fraction as F
from itertools import pairwise
from pathlib import Path
from tempfile import TemporaryDirectory

import ezdxf
import numpy as np
import pytest
from read.sketch import Sketch, audited

from dimaudit.model.audit import DrawingAudit
from dimaudit.model.drawing import Kind
from dimaudit.model.settings import Settings
from dimaudit.pipeline import as_read_file

Spot = tuple[F, F]
Equation = Callable[[Sequence[complex]], complex]
STEP = 1e-30


class Part:
    """Linework and dimensions, each with its equations over a list of unknowns."""

    def __init__(self, seed: int) -> None:
        self.random, self.sketch = random.Random(seed), Sketch()
        self.values: list[F] = []
        self.points: dict[Spot, tuple[int, int]] = {}
        self.radii: dict[tuple[Spot, F], int] = {}
        self.lines: list[tuple[Spot, Spot]] = []
        self.implied: list[tuple[Equation, tuple[int, ...]]] = []
        self.given: list[tuple[Equation, tuple[int, ...]]] = []

    def point(self, at: Spot) -> tuple[int, int]:
        if at not in self.points:
            self.points[at] = (len(self.values), len(self.values) + 1)
            self.values += at
        return self.points[at]

    def radius(self, centre: Spot, size: F) -> int:
        if (centre, size) not in self.radii:
            self.radii[centre, size] = len(self.values)
            self.values.append(size)
        return self.radii[centre, size]

    def line(self, a: Spot, b: Spot) -> None:
        self.sketch.line(a, b)
        self.point(a), self.point(b)
        self.lines.append((a, b))

    def hole(self, centre: Spot, size: F) -> None:
        self.sketch.circle(centre, size)
        self.point(centre), self.radius(centre, size)

    def arc(self, centre: Spot, size: F, a: Spot, b: Spot) -> None:
        turn = [math.degrees(math.atan2(float(p[1] - centre[1]), float(p[0] - centre[0]))) for p in (a, b)]
        self.sketch.arc(centre, size, *turn)
        c, r = self.point(centre), self.radius(centre, size)
        for end in (a, b):
            of = (*self.point(end), *c, r)
            self.implied.append((lambda v: (v[0] - v[2]) ** 2 + (v[1] - v[3]) ** 2 - v[4] ** 2, of))

    def tangent(self, centre: Spot, at: Spot, far: Spot) -> None:
        of = (*self.point(centre), *self.point(at), *self.point(far))
        self.implied.append((lambda v: (v[2] - v[0]) * (v[4] - v[2]) + (v[3] - v[1]) * (v[5] - v[3]), of))

    def finish(self) -> None:
        """In line, at 45°, parallel and square."""
        for axis in (0, 1):
            levels: dict[F, list[int]] = {}
            for at, pair in self.points.items():
                levels.setdefault(at[axis], []).append(pair[axis])
            self.implied += [(lambda v: v[1] - v[0], pair) for own in levels.values() for pair in pairwise(own)]
        first: dict[F, tuple[int, ...]] = {}
        for a, b in self.lines:
            if a[0] == b[0] or a[1] == b[1]:
                continue
            slope, of = (b[1] - a[1]) / (b[0] - a[0]), (*self.point(a), *self.point(b))
            if abs(slope) == 1:
                self.implied.append((lambda v, m=int(slope): v[3] - v[1] - m * (v[2] - v[0]), of))
                continue
            key = slope if slope > 0 else -1 / slope
            if key in first:
                self.implied.append((self.turn(first[key] + of), first[key] + of))
            first.setdefault(key, of)

    def turn(self, of: Sequence[int]) -> Equation:
        """The angle between two directions stays what it is drawn."""
        v = [float(self.values[i]) for i in of]
        turn = math.atan2(v[7] - v[5], v[6] - v[4]) - math.atan2(v[3] - v[1], v[2] - v[0])
        c, s = math.cos(turn), math.sin(turn)

        def kept(v: Sequence[complex]) -> complex:
            x, y, p, q = v[2] - v[0], v[3] - v[1], v[6] - v[4], v[7] - v[5]
            return (x * q - y * p) * c - (x * p + y * q) * s

        return kept

    def dimension(self, kind: str = "") -> None:
        """One at random."""
        sketch, spots = self.sketch, list(self.points)
        kind = kind or self.random.choice(["x", "y", "x", "y", "aligned", "size", "angle"])
        a, b = self.random.sample(spots, 2)
        p, q = self.point(a), self.point(b)
        away = -3 - len(self.given)
        if kind == "x" and a[0] != b[0]:
            sketch.across(a, b, y=away)
            self.given.append((lambda v: v[1] - v[0], (p[0], q[0])))
        elif kind == "y" and a[1] != b[1]:
            sketch.upright(a, b, x=away)
            self.given.append((lambda v: v[1] - v[0], (p[1], q[1])))
        elif kind == "aligned" and a[0] != b[0] and a[1] != b[1]:
            sketch.dim(Kind.ALIGNED, {13: a, 14: b, 10: b})
            self.given.append((lambda v: (v[2] - v[0]) ** 2 + (v[3] - v[1]) ** 2, (*p, *q)))
        elif kind == "size" and self.radii:
            (c, r), index = self.random.choice(list(self.radii.items()))
            on = next((s for s in spots if (s[0] - c[0]) ** 2 + (s[1] - c[1]) ** 2 == r * r), None)
            if on is None:
                sketch.dim(Kind.DIAMETER, {10: (c[0] - r, c[1]), 15: (c[0] + r, c[1])})
            else:
                sketch.dim(Kind.RADIUS, {10: c, 15: on})
            self.given.append((lambda v: v[0], (index,)))
        elif kind == "angle":
            (a, b), (c, d) = self.random.sample(self.lines, 2)
            if (b[0] - a[0]) * (d[1] - c[1]) != (b[1] - a[1]) * (d[0] - c[0]):
                middle = ((a[0] + b[0] + c[0] + d[0]) / 4, (a[1] + b[1] + c[1] + d[1]) / 4)
                sketch.dim(Kind.ANGULAR, {13: a, 14: b, 15: c, 10: d, 16: middle})
                of = (*self.point(a), *self.point(b), *self.point(c), *self.point(d))
                self.given.append((self.turn(of), of))

    def slopes(self, equations: Sequence[tuple[Equation, tuple[int, ...]]]) -> "np.ndarray":
        at = [float(v) for v in self.values]
        found = np.zeros((len(equations), len(at)))
        for k, (equation, of) in enumerate(equations):
            for i in set(of):
                found[k, i] = equation([complex(at[j], STEP if j == i else 0) for j in of]).imag / STEP
        return found

    def counts(self) -> tuple[int, int]:
        """Sizes that are missing, and dimensions that are too many."""
        implied, whole = self.slopes(self.implied), self.slopes([*self.implied, *self.given])
        even = [m / np.linalg.norm(m, axis=1, keepdims=True) for m in (implied, whole)]
        ranks = [int(np.linalg.matrix_rank(m, 1e-9)) for m in even]
        turned = np.zeros(len(self.values))
        for at, (i, j) in self.points.items():
            turned[i], turned[j] = -float(at[1]), float(at[0])
        rigid = 3 if np.abs(whole @ turned).max() < 1e-9 else 2
        return len(self.values) - ranks[1] - rigid, len(self.given) - (ranks[1] - ranks[0])


def slot(part: Part) -> None:
    """A plate with a level or an upright slot."""
    wide, high = (F(part.random.randint(96, 128), 16) for _ in "xy")
    corners = [(F(0), F(0)), (wide, F(0)), (wide, high), (F(0), high)]
    for a, b in pairwise([*corners, corners[0]]):
        part.line(a, b)
    x, y, size, long = (F(part.random.randint(*ends), 16) for ends in ((28, 40), (28, 40), (2, 8), (8, 20)))
    along = part.random.choice([(1, 0), (0, 1)])
    one, two = (x, y), (x + long * along[0], y + long * along[1])
    ends = [(c[0] + s * size * along[1], c[1] - s * size * along[0]) for c in (one, two) for s in (-1, 1)]
    part.line(ends[0], ends[2])
    part.line(ends[1], ends[3])
    part.arc(one, size, ends[0], ends[1])
    part.arc(two, size, ends[3], ends[2])
    for centre, at, far in ((one, 0, 2), (one, 1, 3), (two, 2, 0), (two, 3, 1)):
        part.tangent(centre, ends[at], ends[far])


def polygon(part: Part) -> None:
    """Three to six corners around a hole."""
    count = part.random.randint(3, 6)
    turns = [2 * math.pi * (k + part.random.uniform(0.1, 0.6)) / count for k in range(count)]
    corners = [(F(round(48 + 40 * math.cos(t)), 16), F(round(48 + 40 * math.sin(t)), 16)) for t in turns]
    for a, b in pairwise([*corners, corners[0]]):
        part.line(a, b)
    x, y = (sum((c[axis] for c in corners), F(0)) / count for axis in (0, 1))
    part.hole((F(round(x * 16), 16), F(round(y * 16), 16)), F(1, 8))


def audit(part: Part) -> DrawingAudit:
    with TemporaryDirectory() as folder:
        return part.sketch.audit(Path(folder))


@pytest.mark.parametrize("make", [slot, polygon])
@pytest.mark.parametrize("seed", range(20))
def test_counts_are_those_of_singular_values(make: Callable[[Part], None], seed: int) -> None:
    """Missing sizes and surplus dimensions of the drawn part; where some places are not judged, no more than those."""
    part = Part(seed)
    make(part)
    part.finish()
    for _ in range(part.random.randint(2, len(part.values))):
        part.dimension()
    assert part.given
    (scheme,) = audit(part).schemes
    missing, surplus = part.counts()
    assert scheme.unknowns == len(part.values)
    assert not scheme.left_out
    if scheme.unsure:
        assert scheme.missing <= missing
        assert len(scheme.loops) <= surplus
    else:
        assert (scheme.missing, len(scheme.loops)) == (missing, surplus)


def test_what_is_not_level_turns_as_a_whole() -> None:
    """Three sides and nothing level: the triangle holds, wherever the file starts, and may turn (by hand)."""
    for first in range(3):
        corners = [(F(6), F(4)), (F(1), F(3)), (F(2), F(1))]
        part = Part(0)
        for a, b in pairwise([*corners[first:], *corners[: first + 1]]):
            part.line(a, b)
            part.sketch.dim(Kind.ALIGNED, {13: a, 14: b, 10: b})
        (scheme,) = audit(part).schemes
        assert (scheme.missing, scheme.rigid, scheme.loops) == (0, 3, ())


@pytest.mark.parametrize("seed", range(8))
def test_the_order_of_the_file_does_not_matter(seed: int, tmp_path: Path) -> None:
    """The same entities in another order: the same counts, and every place of a part that is held lands as before."""
    part = Part(seed)
    polygon(part)
    part.finish()
    while not part.given:  # one along an axis, so that the part does not turn
        part.dimension("x")
    missing = 1
    while missing:  # only what holds something is stated
        left = part.counts()[0]
        entities, given = list(part.sketch.into), len(part.given)
        part.dimension()
        if len(part.given) > given:
            missing = part.counts()[0]
            if missing == left:
                part.given.pop()
                part.sketch.into.delete_entity(next(e for e in part.sketch.into if e not in entities))
    for dimension in part.sketch.into.query("DIMENSION"):
        if dimension.dimtype == 0:
            off = 0.0015 * part.random.randint(-2, 2)
            dimension.dxf.text = f"{dimension.get_measurement() + off:.3f}"

    def said(path: Path) -> tuple[object, ...]:
        (scheme,) = audited(path).schemes
        (one,) = as_read_file(path, Settings()).parts
        lands = sorted(
            (p.axis, p.at, p.value, m.off and tuple(round(float(v), 9) for v in m.off))
            for m in one.landings for p in m.places
        )  # fmt: skip
        return scheme.missing, len(scheme.loops), lands

    path = part.sketch.save(tmp_path)
    before = said(path)
    assert before[:2] == (0, 0)
    doc = ezdxf.readfile(path)
    part.random.shuffle(doc.modelspace().entity_space.entities)
    other = tmp_path / "shuffled.dxf"
    doc.saveas(other)
    assert said(other) == before
