"""`dimaudit check` on many drawings, as its users call it."""

import os
import random
import signal
import subprocess
import sys
import time

import pytest
from bench_plates import make_plates

from batch.tasks import drawings

NAMES = [f"print-{n:02}" for n in range(14)]
POSIX = pytest.mark.skipif(os.name != "posix", reason="signals as POSIX has them")


def command(*args: object) -> list[str]:
    return [sys.executable, "-m", "dimaudit", "check", *map(str, args)]


def check(*args: object, status: int = 1) -> str:
    done = subprocess.run(command(*args), capture_output=True, text=True, encoding="utf-8", check=False)
    assert done.returncode == status, done.stderr
    assert done.stderr == ""
    return done.stdout


@pytest.mark.parametrize("form", ["terminal", "json"])
def test_the_same_bytes_whatever_is_done_where(tmp_path, form):
    """Any number of workers; cold, warm, or known in part; results asked for by another format before."""
    paths = drawings(tmp_path, *NAMES)
    cache = tmp_path / "cache"
    cold = check(*paths, "--format", form, "--no-cache", "--jobs", 1)
    check(*paths[4:8], "--cache", cache)
    assert check(*paths, "--format", form, "--cache", cache, "--jobs", 3) == cold
    assert check(*paths, "--format", form, "--cache", cache) == cold


def test_results_come_in_the_order_of_the_files(tmp_path):
    """Not of the work: shuffled, each drawing says the same."""
    paths = drawings(tmp_path, *NAMES)
    cache = tmp_path / "cache"

    def parts(text: str) -> list[str]:
        return text.split(f"{tmp_path}{os.sep}")[1:]

    before = parts(check(*paths, "--cache", cache, "--jobs", 2))
    assert [part[:8] for part in before] == NAMES
    order = list(range(len(paths)))
    random.Random(5).shuffle(order)
    shuffled = parts(check(*(paths[n] for n in order), "--cache", cache))
    assert [part[:8] for part in shuffled] == [NAMES[n] for n in order]
    assert {part.partition("\n\n")[0] for part in shuffled} == {part.partition("\n\n")[0] for part in before}


def test_a_warm_run_loads_no_reader(tmp_path):
    """Neither the DXF library nor what rebuilds and judges: it is the greater part of the start."""
    paths = drawings(tmp_path, *NAMES[:4])
    args = [*map(str, paths), "--cache", str(tmp_path / "cache"), "--format"]
    for form in ("terminal", "json"):
        subprocess.run(command(*args, form), stdout=subprocess.DEVNULL, check=False)
        script = (
            "import sys\nfrom dimaudit.cli import cli\n"
            "try: cli(sys.argv[1:])\nexcept SystemExit as end: status = end.code\n"
            "heavy = 'ezdxf numpy shapely scipy flint pebble jinja2 distributed dimaudit.pipeline'.split()\n"
            "print(status, [name for name in heavy if name in sys.modules], file=sys.stderr)"
        )
        run = [sys.executable, "-c", script, "check", *args, form]
        done = subprocess.run(run, capture_output=True, text=True, encoding="utf-8", check=False)
        assert done.stderr == "1 []\n"
        assert "print-03" in done.stdout


def test_a_limit_ends_one_file_and_status_is_2(tmp_path):
    """A sheet of many hundred plates in a second; the other drawing is whole, and what a limit made is not kept."""
    sheet = tmp_path / "many.dxf"
    make_plates(sheet, 700)
    (small,) = drawings(tmp_path, "small")
    cache = tmp_path / "cache"
    said = check(sheet, small, "--time-limit", 1, "--cache", cache, status=2)
    assert "longer than 1 s, the limit" in " ".join(said.split())
    assert "18 dimensions, 18 judged: no findings" in said
    if sys.platform.startswith("linux"):
        alone = check(sheet, "--memory-limit", 200, "--cache", cache, status=2)
        assert "more than 200 MB of memory, the limit" in " ".join(alone.split())
    assert "1 file not read" not in check(sheet, small, "--cache", cache, "--fail-on", "never", status=0)


def test_two_runs_share_a_cache(tmp_path):
    """At the same time, from empty."""
    paths = drawings(tmp_path, *NAMES[:6])
    args = command(*paths, "--cache", tmp_path / "cache")
    runs = [subprocess.Popen(args, stdout=subprocess.PIPE, stderr=subprocess.STDOUT) for _ in range(2)]
    first, second = (run.communicate()[0] for run in runs)
    assert [run.returncode for run in runs] == [1, 1]
    assert first == second
    assert check(*paths, "--cache", tmp_path / "cache").encode() == first


@POSIX
@pytest.mark.parametrize("sent", [signal.SIGINT, signal.SIGKILL], ids=["interrupt", "kill"])
def test_an_interrupted_run_goes_on_where_it_was(tmp_path, sent):
    """What was done is kept, no process is left, no half report is there; the next run does the rest."""
    paths = drawings(tmp_path, *NAMES)
    make_plates(tmp_path / "z-many.dxf", 1200)
    paths.append(tmp_path / "z-many.dxf")
    cache, report = tmp_path / "cache", tmp_path / "report.txt"
    args = command(*paths, "--cache", cache, "--output", report, "--jobs", 2)
    run = subprocess.Popen(
        args, stderr=subprocess.PIPE, text=True, start_new_session=True, preexec_fn=_heeds_interrupts
    )
    patience = time.monotonic() + 60
    while len(list(cache.glob("??/*.record"))) < 14 and time.monotonic() < patience:
        time.sleep(0.02)
    run.send_signal(sent)
    _, said = run.communicate(timeout=20)  # to the end of the pipe: workers hold it, too
    assert run.returncode == (130 if sent == signal.SIGINT else -sent), said
    assert "Traceback" not in said
    assert not report.exists()
    for _ in range(100):
        if not _alive(run.pid):
            break
        time.sleep(0.05)
    assert not _alive(run.pid), "no process of the run is left"
    done = {path.name: path.stat().st_mtime_ns for path in cache.glob("??/*.record")}
    assert len(done) == 14
    again = check(*paths, "--cache", cache)
    after = {path.name: path.stat().st_mtime_ns for path in cache.glob("??/*.record")}
    assert {name: after[name] for name in done} == done, "none of them was done again"
    assert again == check(*paths, "--no-cache")


def _heeds_interrupts() -> None:
    """As a command at a terminal does: one that a shell runs in the background, tests and all, ignores them (POSIX)."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)


def _alive(session: int) -> bool:
    """Whether a process of that session's group is there."""
    try:
        os.killpg(session, 0)
    except ProcessLookupError:
        return False
    return True


def test_a_cache_that_cannot_be_used_is_no_error(tmp_path):
    """A warning on standard error; the report and the status are as without."""
    paths = drawings(tmp_path, *NAMES[:3])
    blocked = tmp_path / "cache"
    blocked.write_text("")
    done = subprocess.run(command(*paths, "--cache", blocked / "deeper"), capture_output=True, text=True, check=False)
    assert done.returncode == 1
    assert done.stdout == check(*paths, "--no-cache")
    assert len(done.stderr.splitlines()) == 1
    assert "results cannot be kept there" in done.stderr


def test_options_that_exclude_one_another_are_2(tmp_path):
    """And numbers that make no sense."""
    (path,) = drawings(tmp_path, "a")
    limits = (["--time-limit", 0], ["--time-limit", "nan"], ["--memory-limit", 10])
    wrong = (["--cache", tmp_path, "--no-cache"], ["--jobs", 0], *limits)
    for args in wrong:
        done = subprocess.run(command(path, *args), capture_output=True, text=True, check=False)
        assert done.returncode == 2, args
        assert "Traceback" not in done.stderr
        assert str(args[0]) in done.stderr
