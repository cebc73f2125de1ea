"""Drawings audited on the workers of a dask.distributed cluster, each in a process that is held to its limits.

Drawings are sent as bytes, so the machines need share no files, and they are sent nowhere but to the given scheduler.
Who may connect to that, and whether the way is encrypted, is settled by the engine's own configuration.
"""

import logging
import multiprocessing
import tempfile
import threading
import time
import uuid
import warnings
from collections.abc import Iterator
from concurrent.futures import CancelledError, Future
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

from dimaudit.batch.cache import tool
from dimaudit.batch.here import Here
from dimaudit.batch.limits import Limits
from dimaudit.batch.one import Job, Outcome, Wanted, broken, named
from dimaudit.batch.processes import Processes
from dimaudit.errors import AuditError

PATIENCE = 60.0
"""Seconds without any worker before a run gives up: one that is started anew is back in less."""
LOOK = 5.0
"""Seconds between two looks at how many workers there are."""
AHEAD = 2
"""Drawings given out for each place on a worker: one is audited, one is on its way."""


class Cluster:
    """Workers on other machines, by the address of their scheduler.

    Raises AuditError where there is no scheduler, or none of its workers can do this.
    """

    def __init__(self, address: str, limits: Limits, wanted: Wanted) -> None:
        try:
            from distributed import Client
        except ImportError as error:
            raise AuditError(
                "--scheduler needs the package distributed, which is not here: install dimaudit[cluster]"
            ) from error
        for name in ("distributed", "distributed.client"):
            logging.getLogger(name).setLevel(logging.CRITICAL)  # what goes wrong is told once, by this class
        self._address, self._limits, self._wanted = address, limits, wanted
        self._run = uuid.uuid4().hex
        self._tool = tool()
        try:
            self._client = Client(address, timeout=10, set_as_default=False)
        except Exception as error:  # of many kinds: a wrong name, nobody there, something else that answers
            why = " ".join(str(error).split()) or type(error).__name__
            raise AuditError(
                f"no scheduler at {address}: {why}: name it as tcp://host:8786, and see that it runs"
            ) from error
        self._executor = self._client.get_executor(pure=False, retries=0)
        self._looked = self._seen = time.monotonic()
        self._places = 0
        self._look()
        if not self._places:
            self.close()
            raise AuditError(f"the scheduler at {address} has no workers: start some, then run this again")

    @property
    def room(self) -> int:
        if time.monotonic() - self._looked > LOOK:
            self._look()
        return max(AHEAD * self._places, 1)

    def give(self, job: Job) -> Future[Outcome]:
        try:
            content = job.path.read_bytes()
        except OSError:
            return Here(self._wanted).give(job)  # which says why it cannot be read
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # a large drawing is sent as it is: the workers may see no other way to it
            future: Future[Outcome] = self._executor.submit(
                audit, content, str(job.path), job.settings, self._wanted, self._limits, self._tool, self._run
            )
        return future

    def taken(self, job: Job, future: Future[Outcome]) -> Outcome:
        from distributed import KilledWorker

        try:
            return future.result()
        except KilledWorker:
            return broken(job.path, self._wanted, "each worker that had it ended in the middle")
        except AuditError:
            raise
        except (CancelledError, OSError) as error:
            raise self._lost() from error
        except Exception as error:
            return broken(job.path, self._wanted, f"on its worker: {type(error).__name__}: {error}")

    def idle(self) -> None:
        """Called now and then while nothing comes back. Raises AuditError where nothing will."""
        self._look()
        if time.monotonic() - self._seen > PATIENCE:
            raise AuditError(f"the scheduler at {self._address} has had no workers for {PATIENCE:g} s: start some, "
                             "then run this again")  # fmt: skip

    def close(self) -> None:
        with suppress(Exception):  # whatever is wrong was told before
            self._executor.shutdown(wait=False, cancel_futures=True)
            self._client.run(end, self._run, on_error="ignore")
        with suppress(Exception):
            self._client.close(timeout=5)

    def _look(self) -> None:
        try:
            self._places = sum(self._client.nthreads().values())
        except Exception as error:
            raise self._lost() from error
        self._looked = time.monotonic()
        if self._places:
            self._seen = self._looked

    def _lost(self) -> AuditError:
        return AuditError(
            f"the scheduler at {self._address} was lost in the middle: what was done is kept; run this again"
        )


_lock = threading.Lock()
_processes: dict[str, list[Processes]] = {}
"""By run: those that are not busy."""
_ended: set[str] = set()


def audit(
    content: bytes, path: str, settings: Any, wanted: Wanted, limits: Limits, needed: str, run: str
) -> Outcome:
    """On a worker of the cluster: audits the drawing of these bytes in a process of the worker's own."""
    if tool() != needed:
        raise AuditError(
            f"the worker on {_machine()} has another dimaudit, or other packages under it: it has {tool()}; the run "
            f"is of {needed}: install the same on both"
        )
    if multiprocessing.current_process().daemon:
        raise AuditError(
            f"the worker on {_machine()} may start no processes, so it could hold no drawing to its limits: start "
            "workers with DASK_DISTRIBUTED__WORKER__DAEMON=False in their environment, or with --no-nanny"
        )
    with tempfile.TemporaryDirectory(prefix="dimaudit-") as folder:
        file = Path(folder) / "drawing.dxf"
        file.write_bytes(content)
        job = Job(file, settings)
        with _process(run, limits, wanted) as process:
            return named(process.taken(job, process.give(job)), Path(path))


@contextmanager
def _process(run: str, limits: Limits, wanted: Wanted) -> Iterator[Processes]:
    """A process of that run's, which outlives the drawing."""
    with _lock:
        idle = _processes.setdefault(run, [])
        process = idle.pop() if idle else Processes(1, limits, wanted)
    try:
        yield process
    finally:
        with _lock:
            over = run in _ended
            if not over:
                _processes.setdefault(run, []).append(process)
        if over:
            process.close()


def end(run: str) -> None:
    """On a worker of the cluster: ends the processes of a run; those that are busy end after their drawing."""
    with _lock:
        _ended.add(run)
        processes = _processes.pop(run, [])
    for process in processes:
        process.close()


def _machine() -> str:
    import socket

    return socket.gethostname()
