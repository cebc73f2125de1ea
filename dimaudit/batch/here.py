"""Drawings audited one after the other in this process."""

import gc
from collections.abc import Iterable, Iterator

from dimaudit.batch.one import Job, Outcome, Wanted, outcome


def here(jobs: Iterable[Job], wanted: Wanted) -> Iterator[Outcome]:
    """An outcome for each, in their order, as it is asked for."""
    for k, job in enumerate(jobs):
        if k:
            gc.collect()  # a document is full of cycles; what is read next should not wait behind it
        yield outcome(job, wanted)
