"""Times `dimaudit check` on a drawing of many plates against reading the same file alone.

    python tests/bench_plates.py [PLATES] [RUNS]

Makes a drawing of PLATES plates (1000) with five dimensions each, and one of four times as many. Each command is a
process of its own, called as users call it; the commands take turns, so that a machine that slows down slows all of
them. Prints the medians of RUNS (5) turns and the two ratios: audit over reading alone, and four times the plates
over one time.
"""

import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import ezdxf


def make_plates(path: Path, plates: int) -> None:
    """A drawing of plates 4 x 2.5 with two holes, in inches, five dimensions each, tied to nothing."""
    doc = ezdxf.new("R2010")
    doc.units = 1
    style = {"dimlfac": 1.0, "dimtxt": 0.125, "dimdec": 3, "dimzin": 4, "dimdsep": 46, "dimasz": 0.1}
    doc.dimstyles.new("SHOP", style)
    msp = doc.modelspace()
    columns = int(plates**0.5) + 1
    for k in range(plates):
        x, y = (k % columns) * 10.0, (k // columns) * 8.0
        msp.add_lwpolyline([(x, y), (x + 4, y), (x + 4, y + 2.5), (x, y + 2.5)], close=True)
        msp.add_circle((x + 1, y + 1.25), 0.25)
        msp.add_circle((x + 3, y + 1.25), 0.375)
        for base, a, b, angle in (
            ((x, y - 0.5), (x, y), (x + 4, y), 0),
            ((x - 0.5, y), (x, y), (x, y + 2.5), 90),
            ((x, y + 3), (x, y + 2.5), (x + 1, y + 1.25), 0),
            ((x, y + 3.5), (x + 1, y + 1.25), (x + 3, y + 1.25), 0),
        ):
            msp.add_linear_dim(base=base, p1=a, p2=b, angle=angle, dimstyle="SHOP").render()
        msp.add_diameter_dim(center=(x + 3, y + 1.25), radius=0.375, angle=30, dimstyle="SHOP").render()
    doc.saveas(path)


def seconds(*command: str) -> float:
    start = time.perf_counter()
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
    return time.perf_counter() - start


def main(plates: int = 1000, runs: int = 5) -> None:
    """Makes the drawings, takes turns, prints the medians and ratios."""
    with tempfile.TemporaryDirectory() as folder:
        one, four = Path(folder) / "one.dxf", Path(folder) / "four.dxf"
        make_plates(one, plates)
        make_plates(four, 4 * plates)
        print(f"{plates} plates: {one.stat().st_size / 1e6:.1f} MB; {4 * plates}: {four.stat().st_size / 1e6:.1f} MB")
        reading, inside, auditing, auditing_four = [], [], [], []
        # The time of the call alone, as the reading process itself sees it, start-up and import left out.
        alone = (
            "import sys, time, ezdxf; t = time.perf_counter(); ezdxf.readfile(sys.argv[1]); "
            "print(time.perf_counter() - t)"
        )
        for _ in range(runs):
            start = time.perf_counter()
            done = subprocess.run([sys.executable, "-c", alone, str(one)], check=True, capture_output=True, text=True)
            reading.append(time.perf_counter() - start)
            inside.append(float(done.stdout))
            auditing.append(seconds(sys.executable, "-m", "dimaudit", "check", str(one)))
            auditing_four.append(seconds(sys.executable, "-m", "dimaudit", "check", str(four)))
        r, i, a, f = (statistics.median(x) for x in (reading, inside, auditing, auditing_four))
        print(f"reading alone {r:.2f} s (the call itself {i:.2f} s), audit {a:.2f} s, audit of four times {f:.2f} s")
        print(f"audit / reading {a / r:.2f}, audit / the call itself {a / i:.2f}, four times / once {f / a:.2f}")


if __name__ == "__main__":
    main(*(int(arg) for arg in sys.argv[1:]))
