"""Submissions graded side by side: one that breaks ends no other, and the number of workers changes nothing."""

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from fractions import Fraction
from hashlib import sha256
from pathlib import Path

import pytest

from dimaudit.grade.proposed import proposed
from dimaudit.grade.submissions import Submission
from dimaudit.grade.workers import Outcome, Work, graded
from dimaudit.held import out_of_memory
from dimaudit.model.grading import ForAPerson, Graded
from grade import evening
from grade.evening import hand_in, key, plate

F = Fraction


def endless(*_: object) -> Graded:
    """A grader that never comes to an end."""
    while True:
        pass


def hungry(*_: object) -> Graded:
    """A grader that takes all the memory there is."""
    held: list[bytes] = []
    while True:
        held.append(bytes(10_000_000))


def work(folder: Path, **more: object) -> Work:
    drawing = key(folder)
    return Work(folder / "key.dxf", proposed(drawing, "key.dxf", ""), **{"grader": evening.grade, **more})


def submission(path: Path) -> Submission:
    return Submission(path.stem, f"class.zip/{path.name}", path, sha256(path.read_bytes()).hexdigest())


def layer(name: str) -> evening.Sketch:
    sketch = plate()
    sketch.line((0, 0), (1, 1), layer=name)
    return sketch


def run(work: Work, submissions: list[Submission], jobs: int = 2) -> dict[str, Outcome]:
    ticks: list[int] = []
    outcomes = graded(work, submissions, jobs, lambda: ticks.append(1))
    assert len(ticks) == len(submissions), "each is counted once on the progress bar"
    assert [o.result.name for o in outcomes] == [s.name for s in submissions]
    assert [o.result.sha256 for o in outcomes] == [s.sha256 for s in submissions]
    return {o.result.name: o for o in outcomes}


def test_one_that_breaks_ends_no_other(tmp_path):
    """An exception, a process that dies, a file that is no drawing, a refusal: four others, and two that are well."""
    broken = tmp_path / "noise.dxf"
    broken.write_bytes(b"0\nSECTION\n2\nENTITIES\n0\nLINE\n8\n")
    files = [
        hand_in(tmp_path, "a.dxf"), hand_in(tmp_path, "crash.dxf", layer("CRASH")),
        hand_in(tmp_path, "die.dxf", layer("DIE")), broken, hand_in(tmp_path, "person.dxf", layer("PERSON")),
        hand_in(tmp_path, "z.dxf"),
    ]  # fmt: skip
    found = run(work(tmp_path), [submission(f) for f in files])
    for name in ("a", "z"):
        assert isinstance(found[name].result, Graded)
        assert found[name].fault == ""
    for name in ("crash", "die", "noise", "person"):
        result = found[name].result
        assert isinstance(result, ForAPerson)
        assert result.why
        assert result.to_do
        assert str(tmp_path) not in result.why, "a person knows the file by the name it was handed in with"
    assert found["crash"].fault == "RuntimeError: the stand-in broke"
    assert found["die"].fault.startswith("its process ended in the middle, with status ")
    assert found["noise"].fault == found["person"].fault == ""


def test_one_that_never_ends_is_for_a_person(tmp_path):
    """A timer stops it; it is no fault of the tool."""
    outcome = run(work(tmp_path, grader=endless, seconds=0.5), [submission(hand_in(tmp_path, "a.dxf"))])["a"]
    assert isinstance(outcome.result, ForAPerson)
    assert outcome.result.why == "grading it took longer than 0.5 seconds"


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="RLIMIT_DATA is counted so on Linux only")
def test_one_that_takes_all_memory_is_for_a_person(tmp_path):
    """At once, and it is tried again in the next run."""
    outcome = run(work(tmp_path, grader=hungry, megabytes=600), [submission(hand_in(tmp_path, "a.dxf"))])["a"]
    assert isinstance(outcome.result, ForAPerson)
    assert outcome.result.why == "grading it took more than 600 MB of memory"
    assert outcome.stopped
    assert outcome.fault == ""


@pytest.mark.parametrize("error", [
    MemoryError(), RuntimeError("could not allocate numpy array"), RuntimeError("std::bad_alloc"),
], ids=repr)  # fmt: skip
def test_a_library_in_another_language_says_no_memory_in_its_own_words(error):
    assert out_of_memory(error)
    assert not out_of_memory(RuntimeError("out of place"))


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="it looks into /proc")
@pytest.mark.parametrize("by", [signal.SIGTERM, signal.SIGKILL])
def test_workers_end_with_the_command(tmp_path, by):
    """However that ends; they write their numbers where they began."""
    hand_in(tmp_path, "a.dxf")
    key(tmp_path)
    code = (
        f"import sys; sys.path.insert(0, {str(Path(__file__).parent.parent)!r})\n"
        "from pathlib import Path\nfrom grade import test_workers as t\n"
        f"folder = Path({str(tmp_path)!r})\n"
        "if __name__ == '__main__':\n"
        "    t.graded(t.work(folder, grader=t.noted), [t.submission(folder / 'a.dxf')], 1, lambda: None)\n"
    )
    script = tmp_path / "command.py"
    script.write_text(code)
    command = subprocess.Popen([sys.executable, script], cwd=tmp_path)
    note = tmp_path / "number"
    assert within(60, lambda: note.exists() and note.read_text() != "")
    command.send_signal(by)
    command.wait(30)
    assert within(30, lambda: not alive(int(note.read_text())))


def noted(*_: object) -> Graded:
    """A grader that writes which process it is in, and never comes to an end."""
    Path("number").write_text(str(os.getpid()))
    while True:
        time.sleep(1)


def alive(process: int) -> bool:
    """Whether it runs: one that has ended, and that nobody asked for its status, does not (proc(5))."""
    try:
        return Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    except OSError:
        return False


def within(seconds: float, so: Callable[[], bool]) -> bool:
    end = time.monotonic() + seconds
    while not (well := so()) and time.monotonic() < end:
        time.sleep(0.1)
    return well


@pytest.mark.parametrize("jobs", [1, 3])
def test_the_number_of_workers_changes_nothing(tmp_path, jobs):
    """With the real grader, in processes with other orders of sets."""
    from dimaudit.grade.marks import grade

    files = [hand_in(tmp_path, f"{n}.dxf", plate(str(3 + n), drill="1/8" if n % 2 else "1/4")) for n in range(5)]
    real = work(tmp_path, grader=grade)
    alone = [graded(real, [submission(f)], 1, lambda: None)[0] for f in files[:2]]
    found = run(real, [submission(f) for f in files], jobs)
    assert [found["0"], found["1"]] == alone


def test_no_submissions_no_processes(tmp_path):
    """Nothing to do is nothing done."""
    assert graded(work(tmp_path), [], 2, lambda: None) == []


def test_the_stand_in_takes_half_a_point_for_a_piece(tmp_path):
    """So that the tests above test something."""
    outcome = run(work(tmp_path), [submission(hand_in(tmp_path, "a.dxf", layer("MORE")))])["a"]
    assert isinstance(outcome.result, Graded)
    assert outcome.result.points - outcome.result.got == F(1, 2)
