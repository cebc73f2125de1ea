"""The options of a run of many drawings: where they are audited, within which limits, and what is known already."""

import math
import os
from collections.abc import Iterator, Sequence
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from dimaudit.batch.limits import LEAST_MEGABYTES, MEGABYTES, SECONDS, Limits
from dimaudit.batch.one import Job, Outcome, Wanted
from dimaudit.cli.options import with_options
from dimaudit.errors import UsageError

if TYPE_CHECKING:
    from dimaudit.batch.cache import Cache
    from dimaudit.batch.in_order import Workers


@dataclass(frozen=True, slots=True)
class Engine:
    """What the user said about how a run is done; None where nothing was said. It never changes a result."""

    jobs: int | None = None
    time_limit: float | None = None
    memory_limit: int | None = None
    cache: Path | None = None
    no_cache: bool = False
    scheduler: str | None = None

    @contextmanager
    def outcomes(self, jobs: Sequence[Job], wanted: Wanted) -> Iterator[Iterator[Outcome]]:
        """An outcome for each job, in their order; workers are ended when this is left."""
        from dimaudit.batch.in_order import in_order

        cache = self._cache(wanted)
        with closing(in_order(jobs, wanted, self._workers(len(jobs), wanted), cache)) as outcomes:
            yield outcomes

    def _workers(self, drawings: int, wanted: Wanted) -> "Workers":
        limits = Limits(self.time_limit or SECONDS, self.memory_limit or MEGABYTES)
        if self.scheduler is not None and drawings:
            if self.jobs is not None:
                raise UsageError("--jobs is for this machine, and --scheduler for others: drop one of them")
            from dimaudit.batch.cluster import Cluster

            return Cluster(self.scheduler, limits, wanted)
        if not drawings or (drawings == 1 and self.time_limit is None and self.memory_limit is None):
            from dimaudit.batch.here import Here

            return Here(wanted)
        from dimaudit.batch.processes import Processes

        return Processes(min(self.jobs or processors(), drawings), limits, wanted)

    def _cache(self, wanted: Wanted) -> "Cache | None":
        if self.no_cache and self.cache is not None:
            raise UsageError("--cache and --no-cache exclude one another: drop one of them")
        if self.no_cache or wanted.pictures:  # what a page shows is not kept: it would be many times the drawing
            return None
        from dimaudit.batch.cache import Cache, usual_folder

        return Cache(self.cache or usual_folder(), warn=lambda said: click.echo(f"dimaudit: {said}", err=True))


def processors() -> int:
    """How many this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def _number(context: click.Context, option: click.Parameter, seconds: float | None) -> float | None:
    """The seconds. Raises BadParameter for `nan`, which no range turns away: a limit of that would never be reached."""
    if seconds is not None and math.isnan(seconds):
        raise click.BadParameter("nan is no number of seconds.", context, option)
    return seconds


def engine_options(command: Any) -> Any:
    """The options that make an `Engine`."""
    options = (
        click.option("--jobs", type=click.IntRange(min=1), help="Drawings audited side by side.  [default: one a "
                     "processor]"),
        click.option("--time-limit", type=click.FloatRange(min=0, min_open=True), metavar="SECONDS", callback=_number,
                     help=f"For one drawing.  [default: {SECONDS:g}]"),
        click.option("--memory-limit", type=click.IntRange(min=LEAST_MEGABYTES), metavar="MB",
                     help=f"For one drawing.  [default: {MEGABYTES}]"),
        click.option("--cache", type=click.Path(path_type=Path, file_okay=False), metavar="FOLDER",
                     help="Where results are kept for the next run.  [default: a folder among the user's caches]"),
        click.option("--no-cache", is_flag=True, help="Audit every drawing anew, and keep no result."),
        click.option("--scheduler", metavar="ADDRESS", help="Audit on the workers of a dask.distributed cluster, by "
                     "its scheduler's address: tcp://host:8786."),
    )  # fmt: skip
    return with_options(command, options)


ENGINE = ("jobs", "time_limit", "memory_limit", "cache", "no_cache", "scheduler")
