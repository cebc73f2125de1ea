"""Drawings audited side by side in processes of this machine, each held to its limits.

Each worker is a pool of one process. So it is always known which drawing a process had that ended, and nothing that
ends one, not even while it talks to its parent, touches the others.
"""

import gc
import multiprocessing
import os
from collections.abc import Callable
from concurrent.futures import Future
from concurrent.futures.process import BrokenProcessPool
from typing import TYPE_CHECKING

from dimaudit.batch.limits import Limits
from dimaudit.batch.one import Job, Outcome, Wanted, broken, outcome, unread
from dimaudit.held import OUT_OF_MEMORY, become_worker, ended

if TYPE_CHECKING:
    from pebble import ProcessPool  # loaded by the first drawing that is not known yet

Task = Callable[[Job, Wanted], Outcome]


class Processes:
    """Workers that start when they are first needed, afresh: nothing of this process is shared with them."""

    def __init__(self, jobs: int, limits: Limits, wanted: Wanted, task: Task = outcome) -> None:
        """`task` is a function of a module, since workers import it by its name."""
        self.room = jobs
        self._limits, self._wanted, self._task = limits, wanted, task
        self._idle: list[ProcessPool] = []
        self._busy: dict[Future[Outcome], ProcessPool] = {}

    def give(self, job: Job) -> Future[Outcome]:
        pool = self._idle.pop() if self._idle else self._worker()
        if not pool.active:  # its process ended while it had nothing to do
            self._end([pool])
            pool = self._worker()
        future: Future[Outcome] = pool.schedule(_run, (self._task, job, self._wanted), timeout=self._limits.seconds)
        self._busy[future] = pool
        return future

    def taken(self, job: Job, future: Future[Outcome]) -> Outcome:
        from pebble import ProcessExpired

        pool = self._busy.pop(future)
        try:
            found = future.result()
        except TimeoutError:
            found = unread(job.path, self._wanted, self._limits.too_long())
        except ProcessExpired as error:
            if error.exitcode == OUT_OF_MEMORY:
                found = unread(job.path, self._wanted, self._limits.too_large())
            else:
                found = broken(job.path, self._wanted, ended(error.exitcode))
        except BrokenProcessPool:
            found = broken(job.path, self._wanted, "its process ended before it had begun")
        except Exception as error:  # what came out could not be sent
            found = broken(job.path, self._wanted, f"{type(error).__name__}: {error}")
        self._idle.append(pool)
        return found

    def idle(self) -> None:
        """Limits see to it that something will."""

    def close(self) -> None:
        """Ends all workers, whatever they are at."""
        self._end([*self._idle, *self._busy.values()])
        self._idle, self._busy = [], {}

    def _worker(self) -> "ProcessPool":
        from pebble import ProcessPool

        context = multiprocessing.get_context("spawn")  # the same on every system
        return ProcessPool(1, initializer=_start, initargs=(self._limits.megabytes,), context=context)

    @staticmethod
    def _end(pools: list["ProcessPool"]) -> None:
        for pool in pools:
            pool.stop()  # type: ignore[no-untyped-call]
        for pool in pools:
            pool.join()


def _start(megabytes: int) -> None:
    """Makes this process a worker."""
    import dimaudit.pipeline
    import dimaudit.report.json_report  # noqa: F401 (both before the clock of the first drawing runs)

    become_worker(megabytes)
    gc.disable()  # `_run` collects between two drawings
    gc.freeze()


def _run(task: Task, job: Job, wanted: Wanted) -> Outcome:
    try:
        return task(job, wanted)
    except MemoryError:
        os._exit(OUT_OF_MEMORY)
    finally:
        gc.collect()  # a document is full of cycles
