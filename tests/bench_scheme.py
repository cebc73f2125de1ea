"""Times the dimension scheme of one view with many features and dimensions against reading the same file.

    python tests/bench_scheme.py [FEATURES] [RUNS] [KIND ...]

Makes parts with FEATURES / 8, / 4, / 2 and FEATURES (2000) features in one view, of each KIND below (all of them), and
prints for each the time of reading the file with the DXF library, of the whole audit, of the scheme alone, and of the
stack-ups of all pairs of levels (median of RUNS, 3), and how they grow: an exponent of 1 is linear, 2 is quadratic.

    holes     no two in line, each located from the one before
    baseline  the same, all located from one edge
    steps     a stair of square corners, dimensioned step by step
    counted   holes in rows, all sized by one 'nX'
    slots     slanted, no two parallel
    tangent   one chain of lines and arcs that run smoothly into each other
    mixed     level, upright, aligned and turned dimensions, angles and radii
"""

import gc
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from math import atan2, cos, degrees, log, radians, sin
from pathlib import Path

import ezdxf
from ezdxf.layouts import Modelspace

import dimaudit.judge.runner as runner
from dimaudit.model.audit import DrawingAudit
from dimaudit.model.settings import Settings
from dimaudit.pipeline import audit_file
from dimaudit.scheme.stack import worst_pairs

Spot = tuple[float, float]
STYLE = {"dimlfac": 1.0, "dimtxt": 0.125, "dimdec": 4, "dimzin": 4, "dimdsep": 46, "dimasz": 0.1}
NONE_IN_LINE = 1024
"""Of each feature the place is off the grid by another multiple of one over this."""


# --- parts --------------------------------------------------------------------------------------------


def _across(msp: Modelspace, a: Spot, b: Spot, angle: float = 0) -> None:
    msp.add_linear_dim(base=b, p1=a, p2=b, angle=angle, dimstyle="SHOP").render()


def _aligned(msp: Modelspace, a: Spot, b: Spot) -> None:
    msp.add_aligned_dim(p1=a, p2=b, distance=0.1, dimstyle="SHOP").render()


def _grid(count: int, pitch: float) -> list[Spot]:
    """Spots in rows, no two in line."""
    columns = int(count**0.5) + 1
    return [
        ((k % columns + 0.5) * pitch + k / NONE_IN_LINE, (k // columns + 0.5) * pitch + k / NONE_IN_LINE)
        for k in range(count)
    ]


def _plate(msp: Modelspace, spots: list[Spot]) -> None:
    """A plate that has room for the spots, with its two sizes."""
    wide, high = max(x for x, _ in spots) + 1, max(y for _, y in spots) + 1
    msp.add_lwpolyline([(0, 0), (wide, 0), (wide, high), (0, high)], close=True)
    msp.add_linear_dim(base=(0, -1), p1=(0, 0), p2=(wide, 0), dimstyle="SHOP").render()
    msp.add_linear_dim(base=(-1, 0), p1=(0, 0), p2=(0, high), angle=90, dimstyle="SHOP").render()


def holes(msp: Modelspace, count: int) -> None:
    """As many dimensions as holes: some holes are located along one axis only."""
    spots = _grid(count, 2)
    _plate(msp, spots)
    made = 0
    for k, (before, at) in enumerate(pairwise([(0.0, 0.0), *spots])):
        msp.add_circle(at, 0.25)
        for angle in (0, 90):
            if made < count - 2 and (k % 3 or angle == 0):
                _across(msp, before, at, angle)
                made += 1


def baseline(msp: Modelspace, count: int) -> None:
    """Each hole along one axis only."""
    spots = _grid(count, 2)
    _plate(msp, spots)
    for k, at in enumerate(spots):
        msp.add_circle(at, 0.25)
        _across(msp, (0, 0), at, 90 * (k % 2))


def steps(msp: Modelspace, count: int) -> None:
    """Two of the steps are left to the overall sizes."""
    corners: list[Spot] = [(0, 0)]
    for k in range(count // 2):
        x, y = corners[-1]
        corners += [(x, y + 1 + k % 7 / 64), (x + 1 + k % 5 / 64, y + 1 + k % 7 / 64)]
    wide, high = corners[-1]
    msp.add_lwpolyline([*corners, (wide, 0)], close=True)
    for k, (a, b) in enumerate(pairwise(corners[:-2])):
        _across(msp, a, b, 0 if k % 2 else 90)
    _across(msp, (0, 0), (wide, 0))
    _across(msp, (wide, 0), (wide, high), 90)


def counted(msp: Modelspace, count: int) -> None:
    """Each row and each column is located."""
    columns = int(count**0.5) + 1
    spots = [(k % columns * 2 + 1.0, k // columns * 2 + 1.0) for k in range(count)]
    _plate(msp, spots)
    for at in spots:
        msp.add_circle(at, 0.25)
    msp.add_diameter_dim(center=spots[0], radius=0.25, angle=30, text=f"{count}X <>", dimstyle="SHOP").render()
    for k in range(columns):
        _across(msp, (0, 0), spots[k])
    for k in range(0, count, columns):
        _across(msp, (0, 0), spots[k], 90)


def slots(msp: Modelspace, count: int) -> None:
    """Each with its length and radius, and its place from the one before."""
    spots = _grid(count, 3)
    _plate(msp, spots)
    before: Spot = (0, 0)
    for k, (x, y) in enumerate(spots):
        turn = 10 + 70 * k / count
        c, s = cos(radians(turn)), sin(radians(turn))
        far = (x + c, y + s)
        msp.add_line((x - s / 4, y + c / 4), (far[0] - s / 4, far[1] + c / 4))
        msp.add_line((x + s / 4, y - c / 4), (far[0] + s / 4, far[1] - c / 4))
        msp.add_arc((x, y), 0.25, turn + 90, turn + 270)
        msp.add_arc(far, 0.25, turn - 90, turn + 90)
        _across(msp, before, (x, y))
        _across(msp, before, (x, y), 90)
        _aligned(msp, (x, y), far)
        msp.add_radius_dim(center=(x, y), radius=0.25, angle=turn + 180, dimstyle="SHOP").render()
        before = (x, y)


def tangent(msp: Modelspace, count: int) -> None:
    """A strip that turns left and right by small angles: each arc with its radius, each line with its length."""
    at, turn, start = (0.0, 0.0), 0.0, (0.0, 0.0)
    for k in range(count // 2):
        start, at = at, (at[0] + cos(radians(turn)), at[1] + sin(radians(turn)))
        msp.add_line(start, at)
        _aligned(msp, start, at)
        radius, by = 1 + k % 9 / 8, 20 + k % 7
        left = k % 2 == 0
        side = 1 if left else -1
        centre = (at[0] - side * radius * sin(radians(turn)), at[1] + side * radius * cos(radians(turn)))
        new = turn + side * by
        low, high = (turn - 90, new - 90) if left else (new + 90, turn + 90)
        msp.add_arc(centre, radius, low, high)
        msp.add_radius_dim(center=centre, radius=radius, angle=(low + high) / 2, dimstyle="SHOP").render()
        at = (centre[0] + side * radius * sin(radians(new)), centre[1] - side * radius * cos(radians(new)))
        turn = new
    msp.add_line(at, (at[0], at[1] + 50))


def mixed(msp: Modelspace, count: int) -> None:
    """Triangles beside holes, in turn."""
    spots = _grid(count, 3)
    _plate(msp, spots)
    before: Spot = (0, 0)
    for k, (x, y) in enumerate(spots):
        kind = k % 6
        if kind in (0, 3):
            msp.add_circle((x, y), 0.25 + k % 5 / 16)
            if kind == 0:
                _aligned(msp, before, (x, y))
            else:
                msp.add_radius_dim(center=(x, y), radius=0.25 + k % 5 / 16, angle=40, dimstyle="SHOP").render()
        else:
            b, c = (x + 1 + k % 7 / 16, y + k % 3 / 16), (x + k % 5 / 16, y + 1.25)
            msp.add_lwpolyline([(x, y), b, c], close=True)
            if kind == 1:
                _across(msp, before, (x, y))
            elif kind == 2:
                _across(msp, before, (x, y), 90)
            elif kind == 4:
                turn = degrees(atan2(c[1] - b[1], c[0] - b[0]))
                msp.add_linear_dim(base=c, p1=b, p2=c, angle=turn, dimstyle="SHOP").render()
            else:
                msp.add_angular_dim_3p(base=(x + 0.3, y + 0.3), center=(x, y), p1=b, p2=c, dimstyle="SHOP").render()
        before = (x, y)


KINDS: dict[str, Callable[[Modelspace, int], None]] = {
    made.__name__: made for made in (holes, baseline, steps, counted, slots, tangent, mixed)
}


def make_part(path: Path, kind: str, count: int) -> None:
    """A drawing of one part, in inches."""
    doc = ezdxf.new("R2010")
    doc.units = 1
    doc.dimstyles.new("SHOP", STYLE)
    KINDS[kind](doc.modelspace(), count)
    doc.saveas(path)


# --- times --------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Times:
    """Seconds."""

    reading: float
    audit: float
    scheme: float
    """Within the audit."""
    stacks: float
    """By itself, after the audit."""


def measure(path: Path, runs: int) -> Times:
    """The medians of some runs."""
    times = [_run(path) for _ in range(runs)]
    return Times(*(statistics.median(getattr(t, name) for t in times) for name in Times.__dataclass_fields__))


def _run(path: Path) -> Times:
    """What the scheme takes is measured from within the audit."""
    spent = 0.0
    made = runner.schemes

    def timed(*args: object, **named: object) -> object:
        nonlocal spent
        start = time.process_time()
        found = made(*args, **named)  # type: ignore[arg-type]
        spent = time.process_time() - start
        return found

    runner.schemes = timed  # type: ignore[assignment]
    try:
        start = time.process_time()
        ezdxf.readfile(path)
        read = time.process_time()
        audit, faults = audit_file(path, Settings())
        audited = time.process_time()
    finally:
        runner.schemes = made
    assert isinstance(audit, DrawingAudit)
    assert faults == ()
    judged = {j.attached.dimension.handle: j for j in audit.judgements}
    gc.disable()  # as the command line does
    stacking = time.process_time()
    for scheme in audit.schemes:
        worst_pairs(scheme, judged, 3)
    stacked = time.process_time()
    gc.enable()
    return Times(read - start, audited - read, spent, stacked - stacking)


def main(features: int = 2000, runs: int = 3, *kinds: str) -> None:
    """Makes the drawings and prints the times."""
    with tempfile.TemporaryDirectory() as folder:
        for kind in kinds or KINDS:
            first: tuple[int, Times] | None = None
            for count in (features // 8, features // 4, features // 2, features):
                path = Path(folder) / f"{kind}{count}.dxf"
                make_part(path, kind, count)
                t = measure(path, runs)
                grown = ""
                if first is not None:
                    by = log(count / first[0])
                    powers = (
                        f"{name} n^{log(getattr(t, name) / getattr(first[1], name)) / by:.2f}"
                        for name in ("audit", "scheme", "stacks")
                    )
                    grown = f"; grown: {', '.join(powers)}"
                first = first or (count, t)
                print(
                    f"{count} {kind}: reading {t.reading:.2f} s, audit {t.audit:.2f} s, scheme {t.scheme:.2f} s, "
                    f"stacks {t.stacks:.2f} s (scheme / reading {t.scheme / t.reading:.2f}, "
                    f"audit / reading {t.audit / t.reading:.2f}{grown})",
                    flush=True,
                )


if __name__ == "__main__":
    main(*(int(arg) for arg in sys.argv[1:3]), *sys.argv[3:])
