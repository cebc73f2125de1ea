"""The scheme of a large view takes little of the time of reading it, and grows slower than the square of its size."""

from math import log
from pathlib import Path

from bench_scheme import make_plate, measure

SMALL, LARGE = 200, 800


def test_a_large_view_stays_fast(tmp_path: Path) -> None:
    """800 holes and 800 dimensions in one view; `tests/bench_scheme.py` measures more."""
    times = {}
    for count in (SMALL, LARGE):
        path = tmp_path / f"{count}.dxf"
        make_plate(path, count)
        reading, _, times[count] = measure(path, 2)
    assert times[LARGE] < 3 * reading
    assert log(times[LARGE] / times[SMALL]) / log(LARGE / SMALL) < 2
