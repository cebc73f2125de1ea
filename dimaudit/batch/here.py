"""Drawings audited one after the other in this process, without limits."""

import gc
from collections.abc import Iterable, Iterator
from concurrent.futures import Future

from dimaudit.batch.one import Job, Outcome, Wanted, outcome, unread


def here(jobs: Iterable[Job], wanted: Wanted) -> Iterator[Outcome]:
    """An outcome for each, in their order, as it is asked for."""
    for k, job in enumerate(jobs):
        if k:
            gc.collect()  # a document is full of cycles; what is read next should not wait behind it
        try:
            yield outcome(job, wanted)
        except MemoryError:
            yield unread(job.path, wanted, "its audit took more memory than there is: see whether it holds far more "
                         "than a drawing")  # fmt: skip


class Here:
    """This process as the only worker: for one drawing, where a process of its own would take longer than the audit."""

    room = 1

    def __init__(self, wanted: Wanted) -> None:
        self._wanted = wanted

    def give(self, job: Job) -> Future[Outcome]:
        future: Future[Outcome] = Future()
        future.set_result(next(here([job], self._wanted)))
        return future

    def taken(self, job: Job, future: Future[Outcome]) -> Outcome:  # noqa: ARG002 (only what can fail needs the job)
        return future.result()

    def idle(self) -> None:
        """Nothing is ever waited for."""

    def close(self) -> None:
        """Nothing to end."""
