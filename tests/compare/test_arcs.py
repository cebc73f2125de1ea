"""An arc is told whole: where its circle went, how it grew, and where it ends now if that does not follow."""

from pathlib import Path

import ezdxf
import pytest

from compare.revising import between, told

NEW = [
    # what the arc is now: x of its centre, radius, angles; then what is told of it
    ((75, 10, 90, 180), ["FEATURE_MOVED: x 70 > 75"]),
    ((70, 15, 90, 180), ["FEATURE_RESIZED: radius 10 > 15"]),
    ((70, 10, 90, 270), ["FEATURE_REDRAWN: end, x 60 > 70, end, y 40 > 30"]),
    ((75, 10, 90, 270), ["FEATURE_MOVED: x 70 > 75", "FEATURE_REDRAWN: end, x 65 > 75, end, y 40 > 30"]),
    ((70, 15, 90, 270), ["FEATURE_REDRAWN: end, x 55 > 70, end, y 40 > 25", "FEATURE_RESIZED: radius 10 > 15"]),
]


def saved(path: Path, x: float, radius: float, start: float, end: float) -> Path:
    """A plate 120 × 80 with its width and one arc."""
    doc = ezdxf.new("R2010", setup=True)
    doc.header["$INSUNITS"] = 4
    space = doc.modelspace()
    corners = [(0, 0), (120, 0), (120, 80), (0, 80)]
    for a, b in zip(corners, corners[1:] + corners[:1], strict=True):
        space.add_line(a, b)
    space.add_arc((x, 40), radius, start, end, dxfattribs={"handle": "B00"})
    space.add_linear_dim(base=(0, -20), p1=(0, 0), p2=(120, 0), override={"dimlfac": 1}).render()
    doc.saveas(path)
    return path


@pytest.mark.parametrize(("arc", "rows"), NEW)
def test_an_arc_that_moved_grew_or_ends_elsewhere(
    arc: tuple[float, float, float, float], rows: list[str], tmp_path: Path
) -> None:
    old, new = saved(tmp_path / "a.dxf", 70, 10, 90, 180), saved(tmp_path / "b.dxf", *arc)
    found = [row for row in told(between(old, new)) if not str(row[0]).startswith("FINDING")]
    assert sorted(f"{sort}: {', '.join(map(str, facts))}" for sort, _, _, *facts in found) == rows
