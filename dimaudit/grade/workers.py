"""Submissions graded side by side in processes of their own, so that one that breaks its process ends no other.

Nothing here depends on how many there are: each result is that of its submission alone.
"""

import multiprocessing
import signal
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
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
from dimaudit.model.audit import RuleFault
from dimaudit.model.grading import ForAPerson, Rubric
from dimaudit.pipeline import Examined

SECONDS = 120
"""For one submission, where the system has a timer for it; a layout of a class takes less than one."""
CUT_OFF = "cut off"
"""How the reader ends what it says of such a file; what its tags name beyond that is no word for a learner."""
AHEAD = 2
"""Submissions given out for each worker: one that is graded, one that waits so that nobody idles."""

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


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came out for one submission."""

    result: Result
    fault: str = ""
    """A fault of the tool itself; empty where there is none."""
    figure: str = ""
    """The picture for its page, packed; empty where there is none."""


class _TooLong(BaseException):
    """Not an Exception: what catches those must not catch the timer."""


_work: Work | None = None
_key: Key | None = None


def graded(work: Work, submissions: Sequence[Submission], jobs: int, done: Callable[[], None]) -> list[Outcome]:
    """An outcome for each submission, in their order. `done` is called once for each."""
    found: dict[int, Outcome] = {}
    waiting = deque(range(len(submissions)))
    while waiting:
        suspects = _until_broken(work, submissions, waiting, min(jobs, len(waiting)), found, done)
        for n in suspects:  # one of them broke its process; alone, each shows whether it was it
            if _until_broken(work, submissions, deque([n]), 1, found, done):
                found[n] = _broken(submissions[n], "its process ended in the middle")
                done()
    return [found[n] for n in range(len(submissions))]


def _until_broken(
    work: Work, submissions: Sequence[Submission], waiting: deque[int], jobs: int, found: dict[int, Outcome],
    done: Callable[[], None],
) -> list[int]:  # fmt: skip
    """Takes from `waiting` until nothing is left or a process broke; then those that were given out."""
    context = multiprocessing.get_context("spawn")  # the same on every system, and nothing of the parent is shared
    running: dict[Future[Outcome], int] = {}
    with ProcessPoolExecutor(jobs, context, _start, (work,)) as pool:
        try:
            while waiting or running:
                while waiting and len(running) < AHEAD * jobs:
                    running[pool.submit(_one, submissions[waiting[0]])] = waiting[0]
                    waiting.popleft()
                ready, _ = wait(running, return_when=FIRST_COMPLETED)
                for future in ready:
                    outcome = future.result()
                    found[running.pop(future)] = outcome
                    done()
        except BrokenProcessPool:
            return sorted(running.values()) or [waiting.popleft()]
    return []


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
        why = f"grading it took longer than {_work.seconds:g} seconds"
        result = ForAPerson("", "", "", why, "see whether it holds far more than the layout; mark it by hand")
    except Exception as error:
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
        why = "a fault of dimaudit itself ended its drawing"
        return Shown(why=why), f"the picture: {type(error).__name__}: {error}"


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
