"""The scheme of a large view takes little of the time of reading it, and grows slower than the square of its size."""

from math import log
from pathlib import Path

import pytest
from bench_scheme import KINDS, make_part, measure

SMALL, LARGE = 100, 400
LEAST = 0.02
"""Seconds below which a time is as good as none: a clock's tick would make a growth of it."""
SHORTEST = 0.01
"""Seconds; a shorter time says nothing of growth."""


@pytest.mark.parametrize("kind", KINDS)
def test_a_large_view_stays_fast(tmp_path: Path, kind: str) -> None:
    """400 features of one kind in one view; `tests/bench_scheme.py` measures more."""
    times = {}
    for count in (SMALL, LARGE):
        path = tmp_path / f"{count}.dxf"
        make_part(path, kind, count)
        times[count] = measure(path, 2)
    assert times[LARGE].scheme < 3 * times[LARGE].reading
    for part in ("scheme", "stacks"):
        small, large = (max(SHORTEST, getattr(times[count], part)) for count in (SMALL, LARGE))
        assert log(large / small) / log(LARGE / SMALL) < 2, part
