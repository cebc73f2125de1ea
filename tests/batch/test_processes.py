"""Workers side by side: limits hold, what ends one touches no other, and their number changes nothing."""

import multiprocessing
import sys
import time
from collections.abc import Sequence
from pathlib import Path

import pytest

from batch.tasks import by_name, drawings
from dimaudit.batch.here import here
from dimaudit.batch.in_order import in_order
from dimaudit.batch.limits import Limits
from dimaudit.batch.one import Job, Outcome, Wanted
from dimaudit.batch.processes import Processes
from dimaudit.model.audit import DrawingAudit, UnreadDrawing
from dimaudit.model.record import Record
from dimaudit.model.settings import Settings

RECORDS = Wanted()


def jobs_of(paths: Sequence[Path]) -> list[Job]:
    return [Job(path, Settings()) for path in paths]


def run(paths: Sequence[Path], jobs: int = 2, limits: Limits | None = None, wanted: Wanted = RECORDS) -> list[Outcome]:
    workers = Processes(jobs, limits or Limits(), wanted, by_name)
    found = list(in_order(jobs_of(paths), wanted, workers, None))
    assert [o.path for o in found] == [str(p) for p in paths], "each once, in the order of the files"
    assert not multiprocessing.active_children(), "no worker is left"
    return found


@pytest.mark.parametrize("jobs", [1, 2, 3])
def test_the_number_of_workers_changes_nothing(tmp_path, jobs):
    """Processes with other orders of sets find what this process finds."""
    paths = drawings(tmp_path, *"abcdefg")
    wanted = Wanted(details=True)
    assert run(paths, jobs, wanted=wanted) == list(here(jobs_of(paths), wanted))


def test_a_slow_drawing_holds_its_place(tmp_path):
    """Those behind it are done meanwhile, and wait for its turn."""
    paths = drawings(tmp_path, "slow", *"bcdef")
    assert all(isinstance(o.found, Record) for o in run(paths))


def test_a_drawing_that_hangs_is_ended(tmp_path):
    """It is a file that could not be read, with the limit and what to do; the others are whole."""
    found = run(drawings(tmp_path, "a", "hangs", *"bcd"), limits=Limits(seconds=1))
    hung = found.pop(1)
    assert isinstance(hung.found, UnreadDrawing)
    assert hung.found.why == (
        f"{tmp_path / 'hangs.dxf'}: its audit took longer than 1 s, the limit: see whether it holds far more "
        "than a drawing, or give it more with --time-limit"
    )
    assert hung.faults == (), "no fault of the tool"
    assert all(isinstance(o.found, Record) for o in found)


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="only Linux holds a process to its memory")
def test_a_drawing_that_eats_memory_is_ended(tmp_path):
    """As one that hangs is."""
    found = run(drawings(tmp_path, "a", "eats", *"bcd"), limits=Limits(megabytes=300))
    ate = found.pop(1)
    assert isinstance(ate.found, UnreadDrawing)
    assert "more than 300 MB of memory, the limit" in ate.found.why
    assert "--memory-limit" in ate.found.why
    assert ate.faults == ()
    assert all(isinstance(o.found, Record) for o in found)


def test_a_worker_that_dies_costs_one_drawing(tmp_path):
    """Ended by a signal, by itself, or by an exception: a fault of the tool each, named with its drawing."""
    paths = drawings(tmp_path, "killed-1", "killed-2", "a", "leaves", "b", "breaks", "c", "killed-3")
    found = {Path(o.path).stem: o for o in run(paths)}
    said = {
        "killed-1": "its process was ended by signal SIGKILL in the middle",
        "killed-2": "its process was ended by signal SIGKILL in the middle",
        "killed-3": "its process was ended by signal SIGKILL in the middle",
        "leaves": "its process ended in the middle, with status 7",
        "breaks": "RuntimeError: on purpose",
    }
    for name, error in said.items():
        assert isinstance(found[name].found, UnreadDrawing), name
        assert "a fault of dimaudit itself" in found[name].found.why
        assert [fault.error for fault in found[name].faults] == [error]
        assert found[name].faults[0].path == found[name].path
    for name in "abc":
        assert isinstance(found[name].found, Record)
        assert found[name].faults == ()


def test_what_a_page_needs_comes_back(tmp_path):
    """The audit and the pictures, also for a drawing that was ended."""
    found = run(drawings(tmp_path, "a", "killed", "hangs"), limits=Limits(seconds=5), wanted=Wanted(pictures=True))
    shown = [o.shown for o in found]
    assert all(shown)
    assert [type(s[0]) for s in shown if s is not None] == [DrawingAudit, UnreadDrawing, UnreadDrawing]
    assert shown[0] is not None
    assert shown[0][1].pictures


def test_a_run_that_is_given_up_ends_its_workers(tmp_path):
    """At once, whatever they are at."""
    paths = drawings(tmp_path, "a", "hangs-1", "hangs-2")
    outcomes = in_order(jobs_of(paths), RECORDS, Processes(2, Limits(), RECORDS, by_name), None)
    next(outcomes)
    start = time.monotonic()
    outcomes.close()
    assert not multiprocessing.active_children()
    assert time.monotonic() - start < 10


def test_no_worker_starts_before_it_is_needed():
    """A run without drawings is one without processes."""
    assert list(in_order([], RECORDS, Processes(2, Limits(), RECORDS, by_name), None)) == []
    assert not multiprocessing.active_children()
