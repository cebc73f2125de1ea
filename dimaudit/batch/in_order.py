"""A run: what is known is taken from the cache, the rest is given to workers, and all comes out in order."""

import pickle
import tempfile
from collections import deque
from collections.abc import Generator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, wait
from typing import Any, BinaryIO, Protocol

from dimaudit.batch.cache import Cache, Key
from dimaudit.batch.one import Job, Outcome, Wanted


class Workers(Protocol):
    """Where drawings are audited."""

    @property
    def room(self) -> int:
        """How many are taken at a time."""

    def give(self, job: Job) -> Future[Any]:
        """Takes one; there is room."""

    def taken(self, job: Job, future: Future[Any]) -> Outcome:
        """What came out for one that is done; there is room again. What the job does wrong raises no exception."""

    def idle(self) -> None:
        """Called now and then while nothing comes back; raises AuditError where nothing will."""

    def close(self) -> None:
        """Ends what is going on."""


PATIENCE = 10.0
"""Seconds."""


def in_order(
    jobs: Sequence[Job], wanted: Wanted, workers: Workers, cache: Cache | None
) -> Generator[Outcome, None, None]:
    """An outcome for each job, in their order, whatever the workers do and however many there are.

    Each result goes into the cache as it comes in, so a run that is interrupted need not do it again. One that waits
    for the turn of a slower one waits on disk.
    """
    keys: dict[int, Key] = {}
    known: set[int] = set()
    given: dict[Future[Any], int] = {}
    again: deque[int] = deque()
    """Those whose entry in the cache turned out to be no good."""
    ahead = 0

    def look(k: int) -> None:
        if cache is not None and (key := cache.key(jobs[k])) is not None:
            keys[k] = key
            if cache.holds(key, wanted.details):
                known.add(k)
                return
        given[workers.give(jobs[k])] = k

    with _Waiting() as waiting:
        try:
            for n, job in enumerate(jobs):
                found: Outcome | None = None
                while found is None:
                    while again and len(given) < workers.room:
                        k = again.popleft()
                        given[workers.give(jobs[k])] = k
                    while ahead < len(jobs) and len(given) < workers.room and (ahead <= n or given):
                        look(ahead)
                        ahead += 1
                    if n in known:
                        assert cache is not None
                        known.remove(n)
                        if (found := cache.get(keys[n], job, wanted.details)) is None:
                            again.append(n)
                        continue
                    if (found := waiting.take(n)) is not None:
                        continue
                    done, _ = wait(given, PATIENCE, FIRST_COMPLETED)
                    if not done:
                        workers.idle()
                    for future in done:
                        k = given.pop(future)
                        outcome = workers.taken(jobs[k], future)
                        if cache is not None and k in keys:
                            cache.put(keys[k], outcome)
                        if k == n:
                            found = outcome
                        else:
                            waiting.put(k, outcome)
                keys.pop(n, None)
                yield found
        finally:
            workers.close()
            if cache is not None:
                cache.close()


class _Waiting:
    """Outcomes whose turn has not come, on disk: a file without a name, that nobody else can read or change."""

    def __init__(self) -> None:
        self._file: BinaryIO | None = None
        self._places: dict[int, int] = {}

    def __enter__(self) -> "_Waiting":
        return self

    def __exit__(self, *_: object) -> None:
        if self._file is not None:
            self._file.close()

    def put(self, n: int, outcome: Outcome) -> None:
        if self._file is None:
            self._file = tempfile.TemporaryFile()  # noqa: SIM115 (closed with this object)
        self._places[n] = self._file.seek(0, 2)
        pickle.dump(outcome, self._file, pickle.HIGHEST_PROTOCOL)

    def take(self, n: int) -> Outcome | None:
        if n not in self._places:
            return None
        assert self._file is not None
        self._file.seek(self._places.pop(n))
        outcome: Outcome = pickle.load(self._file)
        if not self._places:
            self._file.truncate(0)
        return outcome
