"""Times `dimaudit grade` on a class, from start to gradebook: 100 submissions in under 60 s on two processors is asked.

    python tests/bench_class.py [SUBMISSIONS] [JOBS]

The submissions (100) are those of the sample class with two more holes and their dimensions, about 50 entities each,
and each a little different from all others. The command is a process of its own, called as users call it; it writes
all that it writes by default. Making the drawings is not timed. Status 1 where it took longer than asked.
"""

import subprocess
import sys
import tempfile
import time
from dataclasses import replace
from fractions import Fraction as F
from pathlib import Path

SAMPLES = Path(__file__).parent.parent / "samples"
sys.path.insert(0, str(SAMPLES))

import make_class  # noqa: E402
from class_plate import Drawing, Plate  # noqa: E402
from drafting import How, View, write  # noqa: E402

ASKED = 60.0
"""Seconds for 100 submissions, and in proportion for more or fewer."""


def with_dowels(plate: Plate, lower: F) -> Plate:
    """Two dowel holes more, fully dimensioned."""
    way, first = plate.way, plate.extra

    def dowels(view: View) -> None:
        if first is not None:
            first(view)
        shapes = []
        for x in (F(3, 4), F(21, 4)):
            at = x, lower
            shapes.append(view.circle(way(at), F(1, 4) * way.scale))
            view.cross(way(at), F(1, 4) * way.scale)
            for axis in (0, 1):
                corner, level = way((0, 0)), way((F(-3, 2), F(-3, 2)))
                if axis ^ (way.turns % 2):
                    view.upright(corner, way(at), level[0], How(associated=not plate.free))
                else:
                    view.across(corner, way(at), level[1], How(associated=not plate.free))
        how = How(text="2X <>", associated=not plate.free)
        view.round_(
            shapes[0], way((F(3, 4), lower)), F(1, 8) * way.scale, way.turned(("0.6", "0.8")), way.scale, how,
            diameter=True,
        )  # fmt: skip

    return replace(plate, extra=dowels)


def make(folder: Path, count: int) -> int:
    """A class of its own in a folder; gives back how many entities the key has."""
    handed_in = folder / "handed-in"
    handed_in.mkdir()
    key = Drawing("key", with_dowels(make_class.KEY, F(11, 4)))
    write(key.print, str(folder / "key.dxf"))
    plates = [plate for _, plate in make_class.HANDED_IN.values()]
    for n in range(count):
        plate = plates[n % len(plates)]
        way = replace(plate.way, shift=(F(n, 8), 0))
        plate = with_dowels(replace(plate, way=way), F(11, 4) + F(n, 1024))
        write(Drawing(f"plate-{n}", plate).print, str(handed_in / f"plate-{n}.dxf"))
    return len(key.view.space)


def main(count: int = 100, jobs: int = 2) -> int:
    """Makes the class, grades it, prints the times."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        entities = make(folder, count)
        command = [sys.executable, "-m", "dimaudit"]
        subprocess.run([*command, "rubric", "key.dxf", "--output", "rubric.toml"], check=True, cwd=folder,
                       stdout=subprocess.DEVNULL)  # fmt: skip
        start = time.perf_counter()
        done = subprocess.run(
            [*command, "grade", "rubric.toml", "handed-in", "--output", "marks", "--jobs", str(jobs)],
            cwd=folder, stdout=subprocess.DEVNULL, check=False,
        )  # fmt: skip
        took = time.perf_counter() - start
        if done.returncode not in (0, 1):
            print(f"the command failed: status {done.returncode}")
            return 1
        rows = (folder / "marks" / "gradebook.csv").read_text(encoding="utf-8-sig").count("\n") - 1
    asked = ASKED * count / 100
    print(f"{rows} submissions of about {entities} entities, {jobs} processes: {took:.1f} s (asked: {asked:g} s)")
    return 0 if rows == count and took < asked else 1


if __name__ == "__main__":
    sys.exit(main(*map(int, sys.argv[1:])))
