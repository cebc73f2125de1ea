"""Stand-ins for the audit that misbehave by the name of the drawing, and drawings to run them on."""

import os
import signal
import time
from pathlib import Path

from dimaudit.batch.one import Job, Outcome, Wanted, outcome

SAMPLES = Path(__file__).parent.parent.parent / "samples"


def by_name(job: Job, wanted: Wanted) -> Outcome:
    """Hangs, takes memory, dies or breaks where the file's name says so; else the audit."""
    name = job.path.stem
    if "hangs" in name:
        while True:
            pass
    if "eats" in name:
        kept = []
        while True:
            kept.append(bytearray(10_000_000))
    if "killed" in name:
        os.kill(os.getpid(), signal.SIGKILL)
    if "leaves" in name:
        os._exit(7)
    if "breaks" in name:
        raise RuntimeError("on purpose")
    if "slow" in name:
        time.sleep(1.5)
    return outcome(job, wanted)


def marked(job: Job, wanted: Wanted) -> Outcome:
    """The audit; leaves a file beside the drawing for each time that it was done."""
    done = outcome(job, wanted)
    (job.path.parent / f"{job.path.stem}.{time.time_ns()}.done").touch()
    return done


def drawings(folder: Path, *names: str) -> list[Path]:
    """Copies of the samples in turn, under these names."""
    samples = sorted(SAMPLES.glob("*.dxf"))
    paths = []
    for n, name in enumerate(names):
        path = folder / f"{name}.dxf"
        path.write_bytes(samples[n % len(samples)].read_bytes())
        paths.append(path)
    return paths
