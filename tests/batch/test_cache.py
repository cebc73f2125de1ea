"""Results kept from run to run: never wrong, never of another drawing, tool or setting."""

import json
import os
import shutil
import time
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from batch.tasks import SAMPLES, drawings
from dimaudit.batch import cache as cache_module
from dimaudit.batch.cache import DAY, KEPT_DAYS, Cache
from dimaudit.batch.entry import NoEntry, entry_of, opened, record_from, sealed
from dimaudit.batch.here import Here, here
from dimaudit.batch.in_order import in_order
from dimaudit.batch.one import Job, Outcome, Wanted
from dimaudit.exact.number import Rounding
from dimaudit.model.audit import Finding, Level, RuleFault, UnreadDrawing
from dimaudit.model.record import Record
from dimaudit.model.settings import Settings

WANTED = Wanted(details=True)


class Counting(Here):
    """This process, and how many drawings were given to it."""

    def __init__(self) -> None:
        super().__init__(WANTED)
        self.given: list[str] = []

    def give(self, job):
        self.given.append(job.path.stem)
        return super().give(job)


def fail(said: str) -> None:
    raise AssertionError(said)


def run(paths: list[Path], folder: Path, settings: Settings | None = None) -> tuple[list[Outcome], list[str]]:
    """What came out, and which drawings were audited."""
    workers = Counting()
    jobs = [Job(path, settings or Settings()) for path in paths]
    return list(in_order(jobs, WANTED, workers, Cache(folder, fail))), workers.given


def entries(folder: Path, kind: str = "*") -> list[Path]:
    return sorted(folder.glob(f"??/*.{kind}"))


@pytest.fixture(scope="module")
def records() -> list[Record]:
    outcomes = here([Job(path, Settings()) for path in sorted(SAMPLES.glob("*.dxf"))], Wanted())
    return [o.found for o in outcomes if isinstance(o.found, Record)]


def test_a_record_comes_back_as_it_was(records):
    """Each sample's: fractions, enums, tuples, places."""
    assert len(records) == len(list(SAMPLES.glob("*.dxf")))
    for record in records:
        assert record_from(entry_of(record)) == record


@given(st.fractions(), st.floats(allow_nan=False), st.text(st.characters()))
def test_values_come_back_exactly(number, x, text):
    """Any fraction, any double, any text, also halves of pairs as broken files hold them."""
    finding = Finding("rule", Level.NOTE, (text,), text, (text, ""), "", (x, -x), "Model")
    record = replace(EMPTY, findings=(finding,), lengths=replace(EMPTY.lengths, snap=number))
    assert record_from(entry_of(record)) == record


EMPTY = Record(
    sha256="0" * 64, version="R2010", unit=None, unit_from="", lengths=Settings().for_unit(None),
    rounding=Rounding.HALF_UP, dimensions=0, judged=0, not_judged=(("why", 1),), findings=(), losses=(), views=(),
    undimensioned=0, texts=(), title_block=(), view_scales=(), tolerances=(), views_not_compared=(), taken=(),
    open_parts=(), left_out=(),
)  # fmt: skip


@pytest.mark.parametrize(
    "change",
    [
        {"dimensions": "0"}, {"dimensions": 0.0}, {"dimensions": True}, {"unit": "furlong"}, {"more": 1},
        {"findings": [{}]}, {"findings": None}, {"not_judged": [["why"]]}, {"rounding": None},
        {"lengths": {"snap": 0.5, "near": "1", "gap": "1", "noise": None}}, {"sha256": None},
        {"lengths": {"snap": "1/0", "near": "1", "gap": "1", "noise": None}},
    ],
    ids=str,
)  # fmt: skip
def test_what_is_not_quite_a_record_is_none(change):
    """With a good seal, and one field of another kind."""
    body = json.loads(opened(entry_of(EMPTY)))
    record_from(sealed(json.dumps(body).encode()))  # so that it is the change that matters
    with pytest.raises(NoEntry):
        record_from(sealed(json.dumps({**body, **change}).encode()))


def test_a_field_that_is_missing_is_no_entry():
    """Whichever it is."""
    body = json.loads(opened(entry_of(EMPTY)))
    for name in body:
        with pytest.raises(NoEntry):
            record_from(sealed(json.dumps({k: v for k, v in body.items() if k != name}).encode()))


@pytest.mark.parametrize("junk", [b"", b"[]", b"null", b"{", b"\xff" * 40, b"1e999", b"[" * 100_000, b"9" * 10_000])
def test_junk_is_no_entry(junk):
    """Sealed or not; deep nesting and long numbers, too."""
    for entry in (junk, sealed(junk)):
        with pytest.raises(NoEntry):
            record_from(entry)


def test_known_drawings_are_not_audited_again(tmp_path):
    """And come out as they did, details and all; under their own name, whatever it is now."""
    paths = drawings(tmp_path, *"abcde")
    first, audited = run(paths, tmp_path / "cache")
    assert audited == list("abcde")
    assert run(paths, tmp_path / "cache") == (first, [])
    moved = tmp_path / "elsewhere" / "renamed.dxf"
    moved.parent.mkdir()
    shutil.move(paths[2], moved)
    again, audited = run([moved, *paths[:2]], tmp_path / "cache")
    assert audited == []
    assert again == [replace(first[2], path=str(moved)), *first[:2]]


def test_no_entry_knows_a_path(tmp_path):
    """So that a copy does not show another's; drawings that need repair among them."""
    secret = tmp_path / "folder-of-somebody"
    secret.mkdir()
    paths = drawings(secret, *map(str, range(14)))
    body = paths[3].read_bytes()
    for n, broken in enumerate((body.replace(b"EOF", b"", 1), b"  0\nHELLO\n" + body, b"999\nnote\n" + body)):
        paths.append(secret / f"broken-{n}.dxf")
        paths[-1].write_bytes(broken)
    run(paths, tmp_path / "cache")
    assert len(entries(tmp_path / "cache", "record")) >= 14
    for entry in entries(tmp_path / "cache", "record"):
        assert b"folder-of-somebody" not in opened(entry.read_bytes())


def test_what_a_result_depends_on(tmp_path, monkeypatch):
    """One byte of the drawing, one setting, the tool's code, a package's version: each makes it unknown."""
    paths = drawings(tmp_path, "a")
    folder = tmp_path / "cache"
    run(paths, folder)
    assert run(paths, folder, Settings(near=Fraction(1, 31)))[1] == ["a"]
    assert run(paths, folder, Settings(rounding=Rounding.HALF_EVEN))[1] == ["a"]
    told = cache_module.version
    cache_module.tool.cache_clear()
    monkeypatch.setattr(cache_module, "version", lambda name: "0" if name == "shapely" else told(name))
    assert run(paths, folder)[1] == ["a"]
    monkeypatch.setattr(cache_module, "version", told)
    cache_module.tool.cache_clear()
    assert run(paths, folder)[1] == []
    paths[0].write_bytes(paths[0].read_bytes().replace(b"EOF", b"EOF\n"))
    assert run(paths, folder)[1] == ["a"]


def test_the_tool_is_known_by_its_code(tmp_path, monkeypatch):
    """A changed line of any module makes it another tool, even with the same size and time."""
    package = tmp_path / "dimaudit"
    shutil.copytree(Path(cache_module.__file__).parent.parent, package, ignore=shutil.ignore_patterns("__pycache__"))
    monkeypatch.setattr(cache_module, "__file__", str(package / "batch" / "cache.py"))
    before = cache_module.tool.__wrapped__()
    changed = package / "judge" / "verdict.py"
    text = changed.read_text(encoding="utf-8")
    changed.write_text(text.replace("a", "b", 1), encoding="utf-8")
    assert cache_module.tool.__wrapped__() != before
    changed.write_text(text, encoding="utf-8")
    assert cache_module.tool.__wrapped__() == before


@pytest.mark.parametrize("kind", ["record", "details"])
@pytest.mark.parametrize(
    "harm",
    [
        lambda b: b[: len(b) // 2], lambda b: b[:0], lambda b: b[:32], lambda b: b"junk" * len(b),
        lambda b: b[:-1] + bytes([b[-1] ^ 1]), lambda b: b + b" ",
    ],
    ids=["cut", "empty", "no body", "junk", "one bit", "longer"],
)  # fmt: skip
def test_a_broken_entry_is_a_miss_and_is_mended(tmp_path, kind, harm):
    """Never a wrong result, nor an error."""
    paths = drawings(tmp_path, *"ab")
    first, _ = run(paths, tmp_path / "cache")
    entry = entries(tmp_path / "cache", kind)[0]
    good = entry.read_bytes()
    entry.write_bytes(harm(good))
    again, audited = run(paths, tmp_path / "cache")
    assert again == first
    assert len(audited) == 1
    assert entry.read_bytes() == good
    assert run(paths, tmp_path / "cache") == (first, [])


@pytest.mark.parametrize("kind", ["record", "details"])
@pytest.mark.parametrize("other", ["a pipe", "a device", "a link to nothing"])
@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="the system has no such things")
def test_an_entry_that_is_no_file_is_a_miss_and_is_mended(tmp_path, kind, other):
    """A pipe is not waited for, and a device without an end not read."""
    paths = drawings(tmp_path, *"ab")
    first, _ = run(paths, tmp_path / "cache")
    entry = entries(tmp_path / "cache", kind)[0]
    good = entry.read_bytes()
    entry.unlink()
    match other:
        case "a pipe":
            os.mkfifo(entry)
        case "a device":
            entry.symlink_to("/dev/zero")
        case _:
            entry.symlink_to("nowhere")
    again, audited = run(paths, tmp_path / "cache")
    assert again == first
    assert len(audited) == 1
    assert entry.is_file()
    assert entry.read_bytes() == good


def test_an_entry_of_another_drawing_is_a_miss(tmp_path):
    """A good one under a wrong name, as a careless copy leaves it."""
    paths = drawings(tmp_path, *"ab")
    first, _ = run(paths, tmp_path / "cache")
    one, other = entries(tmp_path / "cache", "record")
    shutil.copy(one, other)
    again, audited = run(paths, tmp_path / "cache")
    assert again == first
    assert len(audited) == 1


def test_what_is_not_kept(tmp_path):
    """A drawing that could not be read, one with a fault of the tool, one that was changed meanwhile."""
    (path,) = drawings(tmp_path, "a")
    cache = Cache(tmp_path / "cache", fail)
    job = Job(path, Settings())
    key = cache.key(job)
    good = next(here([job], Wanted()))
    assert isinstance(good.found, Record)
    cache.put(key, replace(good, found=UnreadDrawing(str(path), "why")))
    cache.put(key, replace(good, faults=(RuleFault(str(path), "rule", "error"),)))
    cache.put(key, replace(good, found=replace(good.found, sha256="f" * 64)))
    assert not cache.holds(key, details=False)
    assert cache.get(key, job, details=False) is None
    cache.put(key, good)
    assert cache.get(key, job, details=False) == good
    assert cache.get(key, job, details=True) is None, "nobody asked for details then"


def test_a_folder_that_cannot_be_written_costs_a_warning(tmp_path):
    """One, and the run is whole."""
    blocked = tmp_path / "cache"
    blocked.write_text("a file where a folder should be")
    said: list[str] = []
    jobs = [Job(path, Settings()) for path in drawings(tmp_path, *"abc")]
    found = list(in_order(jobs, WANTED, Counting(), Cache(blocked, said.append)))
    assert all(isinstance(o.found, Record) for o in found)
    assert len(said) == 1
    assert str(blocked) in said[0]


def test_what_nobody_asks_for_is_dropped(tmp_path):
    """After sixty days; not what was used since, nor what is none of ours."""
    folder = tmp_path / "cache"
    paths = drawings(tmp_path, *"abc")
    run(paths, folder)
    old = time.time() - (KEPT_DAYS + 1) * DAY
    foreign = folder / "ab" / "letter.record"
    foreign.parent.mkdir(exist_ok=True)
    foreign.write_text("mine")
    for path in [*entries(folder), folder / "last-cleared"]:
        os.utime(path, (old, old))
    run(paths[:1], folder)
    assert run(paths[:1], folder)[1] == [], "it was used"
    assert len(entries(folder, "record")) == 2
    assert foreign.exists()
    for path in entries(folder):
        os.utime(path, (old, old))
    run(paths[:1], folder)
    assert len(entries(folder, "details")) == 1, "not twice on one day"


