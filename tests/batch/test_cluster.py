"""A run on a real cluster of two worker processes: the same report, whatever becomes of the workers."""

import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from concurrent.futures import CancelledError, Future
from contextlib import contextmanager
from pathlib import Path

import pytest
from bench_plates import make_plates

from batch.tasks import drawings

pytest.importorskip("distributed")
pytestmark = pytest.mark.skipif(os.name != "posix", reason="signals as POSIX has them")

from dimaudit.batch import cluster as cluster_module  # noqa: E402
from dimaudit.batch.cache import tool  # noqa: E402
from dimaudit.batch.cluster import Cluster  # noqa: E402
from dimaudit.batch.limits import Limits  # noqa: E402
from dimaudit.batch.one import Job, Outcome, Wanted  # noqa: E402
from dimaudit.errors import AuditError  # noqa: E402
from dimaudit.model.audit import UnreadDrawing  # noqa: E402
from dimaudit.model.settings import Settings  # noqa: E402

NAMES = [f"print-{n:02}" for n in range(14)]


@contextmanager
def cluster(*args: str) -> Iterator[tuple[str, list[int], "subprocess.Popen[str]"]]:
    """Its scheduler's address, its workers' processes, and its own."""
    script = [sys.executable, str(Path(__file__).parent / "local_cluster.py"), *args]
    with subprocess.Popen(script, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        address, *workers = process.stdout.readline().split()
        try:
            yield address, list(map(int, workers)), process
        finally:
            process.communicate("", timeout=60)  # the end of its input is its end


def command(*args: object) -> list[str]:
    return [sys.executable, "-m", "dimaudit", "check", *map(str, args)]


def run(*args: object) -> subprocess.CompletedProcess[str]:
    return subprocess.run(command(*args), capture_output=True, text=True, encoding="utf-8", check=False, timeout=120)


def test_the_same_report_though_a_worker_is_killed(tmp_path):
    """By a signal, in the middle of the run; limits hold, and results are kept here, too."""
    make_plates(tmp_path / "many.dxf", 1500)
    small = drawings(tmp_path, *NAMES)
    paths = [*small[:9], tmp_path / "many.dxf", tmp_path / "missing.dxf", *small[9:]]
    cache = tmp_path / "cache"
    with cluster() as (address, workers, _):
        args = [*paths, "--time-limit", 3, "--scheduler", address]
        running = subprocess.Popen(command(*args, "--cache", cache), stdout=subprocess.PIPE, stderr=subprocess.PIPE)
        patience = time.monotonic() + 60
        while len(list(cache.glob("??/*.record"))) < 3 and time.monotonic() < patience:
            time.sleep(0.01)
        os.kill(workers[0], signal.SIGKILL)
        out, err = running.communicate(timeout=120)
        assert err.decode() == ""
        assert running.returncode == 2
        with_details = run(*paths[:4], "--format", "json", "--no-cache", "--scheduler", address)
        page = run(paths[0], "--format", "html", "--scheduler", address)
    assert len(list(cache.glob("??/*.record"))) == 14
    home = run(*paths, "--time-limit", 3, "--no-cache")
    assert out.decode() == home.stdout
    said = " ".join(home.stdout.split())
    assert "longer than 3 s, the limit" in said
    assert "check the name and the permissions" in said
    assert with_details.stdout == run(*paths[:4], "--format", "json", "--no-cache").stdout
    assert page.stdout == run(paths[0], "--format", "html").stdout
    assert page.returncode == 0


def test_workers_that_cannot_hold_limits_are_refused(tmp_path):
    """One clear error, and how to start workers that can."""
    paths = drawings(tmp_path, *NAMES[:3])
    with cluster("daemonic") as (address, _, _):
        done = run(*paths, "--no-cache", "--scheduler", address)
    assert done.returncode == 2
    assert "DASK_DISTRIBUTED__WORKER__DAEMON=False" in done.stderr
    assert len(done.stderr.splitlines()) == 1


def test_a_scheduler_that_is_lost_ends_the_run(tmp_path):
    """With one clear error; what was done before is kept."""
    make_plates(tmp_path / "many.dxf", 3000)
    paths = [*drawings(tmp_path, *NAMES[:4]), tmp_path / "many.dxf"]
    cache = tmp_path / "cache"
    with cluster() as (address, workers, process):
        args = command(*paths, "--cache", cache, "--scheduler", address)
        running = subprocess.Popen(args, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True)
        patience = time.monotonic() + 60
        while len(list(cache.glob("??/*.record"))) < 4 and time.monotonic() < patience:
            time.sleep(0.01)
        process.kill()
        for worker in workers:
            os.kill(worker, signal.SIGKILL)
        _, said = running.communicate(timeout=120)
    assert running.returncode == 2
    lost = f"the scheduler at {address} was lost in the middle: what was done is kept; run this again"
    assert said == f"dimaudit: {lost}\n"
    assert len(list(cache.glob("??/*.record"))) == 4


@pytest.mark.parametrize("address", ["tcp://127.0.0.1:1", "nonsense://x", "127.0.0.1"])
def test_no_scheduler_is_2(tmp_path, address):
    """An address where nobody is, or that is none."""
    done = run(*drawings(tmp_path, "a", "b"), "--no-cache", "--scheduler", address)
    assert done.returncode == 2
    assert done.stderr.startswith(f"dimaudit: no scheduler at {address}: ")
    assert len(done.stderr.splitlines()) == 1


def test_jobs_are_for_this_machine(tmp_path):
    """Both together are wrong usage."""
    done = run(*drawings(tmp_path, "a"), "--jobs", 2, "--scheduler", "tcp://127.0.0.1:1")
    assert done.returncode == 2
    assert "drop one of them" in done.stderr


def test_a_worker_with_another_tool_is_refused():
    """Since its results could be others."""
    with pytest.raises(AuditError, match="has another dimaudit, or other packages under it") as error:
        cluster_module.audit(b"", "a.dxf", Settings(), Wanted(), Limits(), "0.0.9", "run")
    assert tool() in str(error.value)


def taken(error: BaseException) -> Outcome:
    there = Cluster.__new__(Cluster)
    there._address, there._wanted = "tcp://host:8786", Wanted()
    future: Future[Outcome] = Future()
    future.set_exception(error)
    return there.taken(Job(Path("a.dxf"), Settings()), future)


def test_a_drawing_that_ends_its_workers_costs_itself():
    """The engine gives it to a few, then gives up: a fault for that drawing alone."""
    from distributed import KilledWorker

    found = taken(KilledWorker("task", None, 3))
    assert isinstance(found.found, UnreadDrawing)
    assert [fault.error for fault in found.faults] == ["each worker that had it ended in the middle"]


@pytest.mark.parametrize("error", [CancelledError(), OSError("comm closed")], ids=repr)
def test_a_lost_connection_is_told_as_such(error):
    """Not as a fault of a drawing."""
    with pytest.raises(AuditError, match="was lost in the middle"):
        taken(error)
