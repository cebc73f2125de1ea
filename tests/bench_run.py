"""Times runs of many drawings: on one and on two processors, cold and warm, and the memory that they take.

    python tests/bench_run.py [DRAWINGS]

Makes DRAWINGS (2,000) plates of the boatyard that differ from one another, with 4 to 48 holes, each hole located and
sized; one in five has numbers that are wrong or rounded. Each run is the command as users call it, in a process of its
own. Asked: cold at least 1.8 times as fast on two processors as on one; warm at least 25 times as fast as cold;
memory, of all processes together, that grows by less than 20 kB a drawing; the same bytes from each run. Status 1 where
one of these is not so. Making the drawings is not timed. A machine that does other work at the time spoils the ratios.
"""

import hashlib
import os
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction as F
from pathlib import Path

SAMPLES = Path(__file__).parent.parent / "samples"
sys.path.insert(0, str(SAMPLES))

from drafting import INCH, How, View, new_print, write  # noqa: E402

FASTER_ON_TWO, FASTER_WARM, GROWTH = 1.8, 25.0, 20_000


def plate(n: int, path: Path) -> None:
    """The n-th plate: a rectangle with rows of holes, all of it dimensioned from the lower left corner."""
    rows, columns = 2 + n % 5, 2 + (n * 7) % 7
    pitch = F(1) + F(n % 16, 16)
    width, height = (columns + 1) * pitch + F(n, 1024), (rows + 1) * pitch
    pr = new_print(f"plate-{n}", "a plate", INCH)
    view = View(pr, (0, 0))
    view.path((0, 0), (width, 0), (width, height), (0, height))
    for k in range(rows * columns):
        centre = (k % columns + 1) * pitch, (k // columns + 1) * pitch
        diameter = F(1, 8) + F(k % 4, 32)
        hole = view.circle(centre, diameter)
        view.round_(hole, centre, diameter / 2, ("0.6", "0.8"), 1, diameter=True)
    faulty = n % 5 == 0
    for k in range(columns):
        x = (k + 1) * pitch
        how = How(text=str(float(x) + 0.1)) if faulty and k == 1 else How()
        view.across((0, 0), (x, pitch), -F(1, 4) * (k + 1), how)
    for k in range(rows):
        view.upright((0, 0), (pitch, (k + 1) * pitch), -F(1, 4) * (k + 1))
    view.across((0, 0), (width, 0), -F(3, 2) * pitch)
    view.upright((0, 0), (0, height), -F(3, 2) * pitch)
    write(pr, str(path))


def size(n: int) -> int:
    """Of a plate, by its number: how many dimensions it has."""
    rows, columns = 2 + n % 5, 2 + (n * 7) % 7
    return 2 + rows + columns + rows * columns


@dataclass(frozen=True, slots=True)
class Took:
    """What one run took, and what it wrote."""

    seconds: float
    megabytes: float
    """The most that all its processes had in memory at one time."""
    wrote: str


def command(folder: Path, *more: str, processors: int, cache: Path | None) -> Took:
    """The command in a process of its own, on so many processors; a measurement every 50 ms."""
    kept = ["--no-cache"] if cache is None else ["--cache", str(cache)]
    args = [sys.executable, "-m", "dimaudit", "check", str(folder), "--fail-on", "never", *kept, *more]
    with tempfile.TemporaryFile() as out:
        all_of_them = os.sched_getaffinity(0)
        os.sched_setaffinity(0, sorted(all_of_them)[:processors])  # what is started now may use no others
        start = time.perf_counter()
        run = subprocess.Popen(args, stdout=out, cwd=folder.parent)
        os.sched_setaffinity(0, all_of_them)
        most = [0]
        watch = threading.Thread(target=_watch, args=(run, most))
        watch.start()
        status = run.wait()
        took = time.perf_counter() - start
        watch.join()
        if status:
            raise SystemExit(f"{' '.join(args)}: status {status}")
        out.seek(0)
        return Took(took, most[0] / 1e6, hashlib.file_digest(out, "sha256").hexdigest())


def _watch(run: "subprocess.Popen[bytes]", most: list[int]) -> None:
    while run.poll() is None:
        most[0] = max(most[0], sum(_resident(pid) for pid in _family(run.pid)))
        time.sleep(0.05)


def _family(pid: int) -> Iterator[int]:
    """A process and all that come from it (Linux)."""
    yield pid
    try:
        children = Path(f"/proc/{pid}/task/{pid}/children").read_text().split()
        threads = [t for t in os.listdir(f"/proc/{pid}/task") if t != str(pid)]  # noqa: PTH208
        for t in threads:
            children += Path(f"/proc/{pid}/task/{t}/children").read_text().split()
    except OSError:
        return
    for child in children:
        yield from _family(int(child))


def _resident(pid: int) -> int:
    try:
        return int(Path(f"/proc/{pid}/statm").read_text().split()[1]) * os.sysconf("SC_PAGE_SIZE")
    except (OSError, IndexError):
        return 0


def main(count: int = 2000) -> int:
    """Makes the drawings, runs, prints times, memory and ratios."""
    with tempfile.TemporaryDirectory() as name:
        work = Path(name)
        drawings, some = work / "all", work / "some"
        drawings.mkdir()
        some.mkdir()
        start = time.perf_counter()
        for n in range(count):
            path = drawings / f"plate-{n:05}.dxf"
            plate(n, path)
            if n < count // 4:
                (some / path.name).hardlink_to(path)
        bytes_each = sum(p.stat().st_size for p in drawings.iterdir()) / count
        dimensions = sum(map(size, range(count))) / count
        print(f"{count} drawings, {dimensions:.0f} dimensions and {bytes_each / 1000:.0f} kB each on the average; "
              f"made in {time.perf_counter() - start:.0f} s", flush=True)  # fmt: skip

        def timed(what: str, folder: Path, *more: str, processors: int, cache: Path | None) -> Took:
            took = command(folder, *more, processors=processors, cache=cache)
            print(f"{what:42} {took.seconds:8.2f} s {took.megabytes:8.0f} MB", flush=True)
            return took

        one = timed("cold, one processor", drawings, processors=1, cache=None)
        two = timed("cold, two processors, into a cache", drawings, processors=2, cache=work / "cache")
        warm = timed("warm, two processors", drawings, processors=2, cache=work / "cache")
        json = timed("cold, two processors, JSON, into a cache", drawings, "--format", "json", processors=2,
                     cache=work / "json")  # fmt: skip
        warm_json = timed("warm, two processors, JSON", drawings, "--format", "json", processors=2,
                          cache=work / "json")  # fmt: skip
        few = timed(f"cold, two processors, {count // 4} drawings", some, processors=2, cache=work / "few")
        few_warm = timed(f"warm, two processors, {count // 4} drawings", some, processors=2, cache=work / "few")
    growth = (two.megabytes - few.megabytes) * 1e6 / (count - count // 4)
    growth_warm = (warm.megabytes - few_warm.megabytes) * 1e6 / (count - count // 4)
    asked = (
        (f"two processors over one: {one.seconds / two.seconds:.2f} (asked: {FASTER_ON_TWO})",
         one.seconds / two.seconds >= FASTER_ON_TWO),
        (f"warm over cold, both on two: {two.seconds / warm.seconds:.1f} (asked: {FASTER_WARM:g})",
         two.seconds / warm.seconds >= FASTER_WARM),
        (f"the same for JSON: {json.seconds / warm_json.seconds:.1f} (asked: {FASTER_WARM:g})",
         json.seconds / warm_json.seconds >= FASTER_WARM),
        (f"memory for each drawing more: cold {growth / 1000:.1f} kB, warm {growth_warm / 1000:.1f} kB "
         f"(asked: under {GROWTH / 1000:g} kB)", max(growth, growth_warm) < GROWTH),
        ("the same bytes each time", one.wrote == two.wrote == warm.wrote and json.wrote == warm_json.wrote),
    )  # fmt: skip
    for said, met in asked:
        print(f"{said}{'' if met else '  NOT MET'}")
    return 0 if all(met for _, met in asked) else 1


if __name__ == "__main__":
    sys.exit(main(*map(int, sys.argv[1:])))
