"""Submissions graded side by side in processes of their own, so that one that breaks its process ends no other.

Nothing here depends on how many there are: each result is that of its submission alone.
"""

import gc
import multiprocessing
import os
import signal
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Future, as_completed
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Protocol

from dimaudit.errors import UnreadableFile
from dimaudit.grade.laid_out import Key, key_of
from dimaudit.grade.pages.figure import Shown, packed, shown_of
from dimaudit.grade.reading import read_key, read_submission
from dimaudit.grade.state import Result
from dimaudit.grade.submissions import AGAIN, Submission
from dimaudit.held import OUT_OF_MEMORY, become_worker, ended, out_of_memory
from dimaudit.model.audit import RuleFault
from dimaudit.model.grading import ForAPerson, Rubric
from dimaudit.pipeline import Examined

SECONDS = 120
"""For one submission, where the system has a timer for it; a layout of a class takes less than one."""
CUT_OFF = "cut off"
"""How the reader ends what it says of such a file; what its tags name beyond that is no word for a learner."""
LAST = 3
"""The timer is the process's own, one for the grading and one for the picture. What does not heed it, in a library's
loop, is ended from outside after so many times as long."""
MEGABYTES = 2000
"""A layout of a class takes some hundred; two workers of this size still leave room on a small machine. Common
practice, no source."""

Grader = Callable[[Key, Examined, Rubric], Result]


class Runner(Protocol):
    """How submissions are graded: `graded`, or something simpler in a test."""

    def __call__(
        self, work: "Work", submissions: Sequence[Submission], jobs: int, done: Callable[[], None]
    ) -> list["Outcome"]: ...


@dataclass(frozen=True, slots=True)
class Work:
    """What is the same for all submissions; it goes to each process once."""

    key: Path
    rubric: Rubric
    grader: Grader
    """A function of a module: processes that start afresh import it by its name."""
    seconds: float = SECONDS
    megabytes: int = MEGABYTES
    """Of memory for data, where the system can hold a process to that."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came out for one submission."""

    result: Result
    fault: str = ""
    """A fault of the tool itself; empty where there is none."""
    figure: str = ""
    """The picture for its page, packed; empty where there is none."""
    stopped: bool = False
    """By a limit: it is graded again in the next run, when the machine may have more time."""


class _TooLong(BaseException):
    """Not an Exception: what catches those must not catch the timer."""


_work: Work | None = None
_key: Key | None = None


def graded(work: Work, submissions: Sequence[Submission], jobs: int, done: Callable[[], None]) -> list[Outcome]:
    """An outcome for each submission, in their order. `done` is called once for each."""
    if not submissions:
        return []
    from pebble import ProcessPool

    context = multiprocessing.get_context("spawn")  # the same on every system, and nothing of the parent is shared
    pool = ProcessPool(min(jobs, len(submissions)), initializer=_begin, initargs=(work,), context=context)
    try:
        futures = [pool.schedule(_held, (s,), timeout=LAST * work.seconds) for s in submissions]
        for _ in as_completed(futures):
            done()
        return [_taken(work, s, future) for s, future in zip(submissions, futures, strict=True)]
    finally:
        pool.stop()  # type: ignore[no-untyped-call]
        pool.join()


def _taken(work: Work, submission: Submission, future: "Future[Outcome]") -> Outcome:
    from pebble import ProcessExpired

    try:
        return future.result()
    except TimeoutError:
        return _stopped(submission, f"took longer than {work.seconds:g} seconds")
    except ProcessExpired as error:
        if error.exitcode == OUT_OF_MEMORY:
            return _stopped(submission, f"took more than {work.megabytes} MB of memory")
        return _broken(submission, ended(error.exitcode))
    except Exception as error:  # what came out could not be sent, or no process could be started
        return _broken(submission, f"{type(error).__name__}: {error}")


def _begin(work: Work) -> None:
    """Makes a process a worker."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the parent gets it, too, and ends its workers
    become_worker(work.megabytes)
    _start(work)


def _held(submission: Submission) -> Outcome:
    try:
        return _one(submission)
    except MemoryError:
        os._exit(OUT_OF_MEMORY)
    finally:
        gc.collect()  # a document is full of cycles


def _start(work: Work) -> None:
    global _work, _key
    _work = work
    _key = key_of(read_key(work.key, work.rubric))


def _one(submission: Submission) -> Outcome:
    assert _work is not None
    assert _key is not None
    broken: tuple[RuleFault, ...] = ()
    try:
        with _timer(_work.seconds):
            examined = read_submission(submission.file, _work.rubric)
            broken = examined.faults
            result = _work.grader(_key, examined, _work.rubric)
    except UnreadableFile as error:
        why = str(error).removeprefix(f"{submission.file}: ")
        if CUT_OFF in why:
            why = why.partition(CUT_OFF)[0] + CUT_OFF
        to_do = "open it in the program that drew it, and save it as DXF anew"
        result = ForAPerson("", "", "", why, to_do, AGAIN)
    except _TooLong:
        return _stopped(submission, f"took longer than {_work.seconds:g} seconds")
    except Exception as error:
        if out_of_memory(error):
            raise MemoryError from error
        return _broken(submission, f"{type(error).__name__}: {error}")
    shown, fault = _picture(submission, result, _work.seconds)
    faults = "; ".join([*(f"{fault.rule}: {fault.error}" for fault in broken), *([fault] if fault else [])])
    named = _named(result, submission)
    return Outcome(named, faults.replace(str(submission.file), submission.path), packed(shown))


def _picture(submission: Submission, result: Result, seconds: float) -> tuple[Shown, str]:
    """The picture, and the tool's own fault on the way to it; a mark stands with or without."""
    try:
        with _timer(seconds):
            return shown_of(submission.file, result), ""
    except UnreadableFile:
        return Shown(why="the file could not be read"), ""
    except _TooLong:
        return Shown(why=f"drawing it took longer than {seconds:g} seconds"), ""
    except Exception as error:
        if out_of_memory(error):
            raise MemoryError from error
        why = "a fault of dimaudit itself ended its drawing"
        return Shown(why=why), f"the picture: {type(error).__name__}: {error}"


def _stopped(submission: Submission, why: str) -> Outcome:
    """A limit was reached: no picture is drawn, which might take as much again."""
    to_do = "see whether it holds far more than the layout; mark it by hand"
    result = _named(ForAPerson("", "", "", f"grading it {why}", to_do, AGAIN), submission)
    shown = Shown(why=f"grading it {why}, so no picture was drawn")
    return Outcome(result, figure=packed(shown), stopped=True)


def _broken(submission: Submission, error: str) -> Outcome:
    why, to_do = "a fault of dimaudit itself ended its grading", "mark it by hand, and report the fault"
    result = _named(ForAPerson("", "", "", why, to_do), submission)
    return Outcome(result, error.replace(str(submission.file), submission.path))


def _named(result: Result, submission: Submission) -> Result:
    """With the name and the path that a person knows it by, wherever it was unpacked to."""
    file, name, path, digest = str(submission.file), submission.name, submission.path, submission.sha256
    if isinstance(result, ForAPerson):
        why = result.why.replace(file, path)
        return replace(result, name=name, path=path, sha256=digest, why=why)
    remarks = tuple(r.replace(file, path) for r in result.remarks)
    return replace(result, name=name, path=path, sha256=digest, remarks=remarks)


@contextmanager
def _timer(seconds: float) -> Iterator[None]:
    """Raises _TooLong after so long, where the system can (POSIX)."""
    if not hasattr(signal, "setitimer"):
        yield
        return

    def stop(*_: object) -> None:
        raise _TooLong

    before = signal.signal(signal.SIGALRM, stop)
    signal.setitimer(signal.ITIMER_REAL, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
        signal.signal(signal.SIGALRM, before)
