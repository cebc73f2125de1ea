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
    """Those that the cache has an entry for."""
    again: deque[int] = deque()
    """Those whose entry turned out to be no good."""
    given: dict[Future[Any], int] = {}
    ahead = 0

    def is_known(k: int) -> bool:
        if cache is None or (key := cache.key(jobs[k])) is None:
            return False
        keys[k] = key
        return cache.holds(key, wanted.details)

    def fill(n: int) -> None:
        """Gives out what there is room for; looks no further ahead of the n-th than workers have use for."""
        nonlocal ahead
        while again and len(given) < workers.room:
            k = again.popleft()
            given[workers.give(jobs[k])] = k
        while ahead < len(jobs) and len(given) < workers.room and (ahead <= n or given):
            if is_known(ahead):
                known.add(ahead)
            else:
                given[workers.give(jobs[ahead])] = ahead
            ahead += 1

    with _Waiting() as waiting:
        try:
            for n, job in enumerate(jobs):
                while (found := waiting.take(n)) is None:
                    fill(n)
                    if n in known:
                        assert cache is not None
                        known.remove(n)
                        if (found := cache.get(keys[n], job, wanted.details)) is not None:
                            break
                        again.append(n)
                        continue
                    done, _ = wait(given, PATIENCE, FIRST_COMPLETED)
                    if not done:
                        workers.idle()
                    came = [(given.pop(future), future) for future in done]
                    outcomes = [(k, workers.taken(jobs[k], future)) for k, future in came]
                    fill(n)  # first of all, so that no worker waits while results are kept and told
                    for k, outcome in outcomes:
                        if cache is not None and k in keys:
                            cache.put(keys[k], outcome)
                        waiting.put(k, outcome, now=k == n)
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
        self._now: tuple[int, Outcome] | None = None

    def __enter__(self) -> "_Waiting":
        return self

    def __exit__(self, *_: object) -> None:
        if self._file is not None:
            self._file.close()

    def put(self, n: int, outcome: Outcome, now: bool) -> None:
        """`now`: its turn is next, so it need not go to disk."""
        if now:
            self._now = n, outcome
            return
        if self._file is None:
            self._file = tempfile.TemporaryFile()  # noqa: SIM115 (closed with this object)
        self._places[n] = self._file.seek(0, 2)
        pickle.dump(outcome, self._file, pickle.HIGHEST_PROTOCOL)

    def take(self, n: int) -> Outcome | None:
        if self._now is not None and self._now[0] == n:
            outcome, self._now = self._now[1], None
            return outcome
        if n not in self._places:
            return None
        assert self._file is not None
        self._file.seek(self._places.pop(n))
        found: Outcome = pickle.load(self._file)
        if not self._places:
            self._file.truncate(0)
        return found
