"""Times the dimension scheme of one view with many holes and dimensions against reading the same file.

    python tests/bench_scheme.py [FEATURES] [RUNS]

Makes plates with FEATURES / 8, / 4, / 2 and FEATURES (2000) holes in one view and as many dimensions: the height of
each row and the place of each column, from hole to hole, and the size of each hole by itself. Prints for each the
time of reading the file with the DXF library, of the whole audit, and of the scheme alone (median of RUNS, 3), and how
the scheme grows: an exponent of 1 is linear, 2 is quadratic.
"""

import statistics
import sys
import tempfile
import time
from math import log
from pathlib import Path

import ezdxf

import dimaudit.judge.runner as runner
from dimaudit.model.audit import DrawingAudit
from dimaudit.model.settings import Settings
from dimaudit.pipeline import audit_file


def make_plate(path: Path, features: int) -> None:
    """A plate with `features` holes, no two in line, each located from the one before; about 2 dimensions in 3 of
    them locate, the others size."""
    doc = ezdxf.new("R2010")
    doc.units = 1
    style = {"dimlfac": 1.0, "dimtxt": 0.125, "dimdec": 4, "dimzin": 4, "dimdsep": 46, "dimasz": 0.1}
    doc.dimstyles.new("SHOP", style)
    msp = doc.modelspace()
    holes = features
    columns = int(holes**0.5) + 1
    spots = [((k % columns) * 2 + 1 + k / 1024, (k // columns) * 2 + 1 + k / 1024) for k in range(holes)]
    wide, high = max(x for x, _ in spots) + 1, max(y for _, y in spots) + 1
    msp.add_lwpolyline([(0, 0), (wide, 0), (wide, high), (0, high)], close=True)
    made = 0
    before = (0.0, 0.0)
    for x, y in spots:
        msp.add_circle((x, y), 0.25)
    for k, at in enumerate(spots):
        for angle in (0, 90):
            if made < features - 2 and (k % 3 or angle == 0):
                msp.add_linear_dim(base=(at[0], at[1]), p1=before, p2=at, angle=angle, dimstyle="SHOP").render()
                made += 1
        before = at
    msp.add_linear_dim(base=(0, -1), p1=(0, 0), p2=(wide, 0), dimstyle="SHOP").render()
    msp.add_linear_dim(base=(-1, 0), p1=(0, 0), p2=(0, high), angle=90, dimstyle="SHOP").render()
    doc.saveas(path)


def measure(path: Path, runs: int) -> tuple[float, float, float]:
    """Seconds of reading with the library, of the audit, and of the scheme within it."""
    reading, auditing, scheme = [], [], []
    spent = 0.0
    made = runner.schemes

    def timed(*args: object, **named: object) -> object:
        nonlocal spent
        start = time.perf_counter()
        found = made(*args, **named)  # type: ignore[arg-type]
        spent = time.perf_counter() - start
        return found

    runner.schemes = timed  # type: ignore[assignment]
    try:
        for _ in range(runs):
            start = time.perf_counter()
            ezdxf.readfile(path)
            reading.append(time.perf_counter() - start)
            start = time.perf_counter()
            audit, faults = audit_file(path, Settings())
            auditing.append(time.perf_counter() - start)
            scheme.append(spent)
            assert isinstance(audit, DrawingAudit)
            assert faults == ()
    finally:
        runner.schemes = made
    return statistics.median(reading), statistics.median(auditing), statistics.median(scheme)


def main(features: int = 2000, runs: int = 3) -> None:
    """Makes the drawings and prints the times."""
    first: tuple[int, float] | None = None
    with tempfile.TemporaryDirectory() as folder:
        for count in (features // 8, features // 4, features // 2, features):
            path = Path(folder) / f"{count}.dxf"
            make_plate(path, count)
            reading, auditing, scheme = measure(path, runs)
            grown = "" if first is None else f", grown by n^{log(scheme / first[1]) / log(count / first[0]):.2f}"
            first = first or (count, scheme)
            print(
                f"{count} features: reading {reading:.2f} s, audit {auditing:.2f} s, scheme {scheme:.2f} s "
                f"(scheme / reading {scheme / reading:.2f}, audit / reading {auditing / reading:.2f}{grown})"
            )


if __name__ == "__main__":
    main(*(int(arg) for arg in sys.argv[1:]))
