"""One drawing of a run: what is a result, what is a fault, and under which name it is told."""

import os
from dataclasses import replace

import pytest

from batch.tasks import SAMPLES, drawings
from dimaudit.batch.cache import Cache
from dimaudit.batch.here import Here, here
from dimaudit.batch.one import Job, Wanted, named, outcome
from dimaudit.judge import runner
from dimaudit.judge.check import Rule
from dimaudit.model.audit import DrawingAudit, Level, UnreadDrawing
from dimaudit.model.record import Record
from dimaudit.model.settings import Settings

JIG = Job(SAMPLES / "cleat-drill-jig.dxf", Settings())


def with_a_rule(monkeypatch: pytest.MonkeyPatch, error: Exception) -> None:
    """One that breaks, beside the others."""

    def check(_: object) -> list[object]:
        raise error

    rules = (*runner.RULES, Rule("on-purpose", Level.NOTE, "breaks", check))
    monkeypatch.setattr(runner.judge_drawing, "__defaults__", (rules,))


def test_a_rule_that_breaks_costs_its_own_findings(monkeypatch):
    """The drawing is judged by the others."""
    with_a_rule(monkeypatch, RuntimeError("on purpose"))
    found = outcome(JIG, Wanted())
    assert isinstance(found.found, Record)
    assert [fault.rule for fault in found.faults] == ["on-purpose"]


def test_memory_that_is_refused_is_no_fault_of_a_rule(monkeypatch):
    """What runs short in one place runs short in all: the drawing is not judged, wherever it shows."""
    with_a_rule(monkeypatch, MemoryError())
    for wanted in (Wanted(), Wanted(details=True), Wanted(pictures=True)):
        with pytest.raises(MemoryError):
            outcome(JIG, wanted)
        (found,) = here([JIG], wanted)
        assert isinstance(found.found, UnreadDrawing)
        assert "more memory than there is" in found.found.why
        assert found.faults == ()
    assert Here(Wanted()).give(JIG).result() == next(here([JIG], Wanted()))


@pytest.mark.parametrize("words", ["could not allocate numpy array", "std::bad_alloc"])
def test_memory_that_is_refused_to_a_compiled_library_is_no_fault_either(words, monkeypatch):
    """It says so in an error of its own: in a rule, and outside of all rules."""
    with_a_rule(monkeypatch, RuntimeError(words))
    with pytest.raises(MemoryError):
        outcome(JIG, Wanted())
    monkeypatch.undo()

    def refuse(*_: object) -> None:
        raise RuntimeError(words)

    monkeypatch.setattr("dimaudit.pipeline.audit_file", refuse)
    with pytest.raises(MemoryError):
        outcome(JIG, Wanted())


def test_memory_that_is_refused_to_the_reader_is_no_broken_file(monkeypatch):
    """Nor is the repairing reader tried then."""
    from dimaudit.read import loader

    def refuse(*_: object) -> None:
        raise MemoryError

    monkeypatch.setattr(loader, "readfile", refuse)
    with pytest.raises(MemoryError):
        outcome(JIG, Wanted())


@pytest.mark.parametrize("wanted", [Wanted(), Wanted(details=True), Wanted(pictures=True)], ids=str)
def test_a_copy_is_told_under_the_name_that_is_known(tmp_path, wanted):
    """A drawing that was read, one that was not, and one with a fault: as if it had been audited itself."""
    (there,) = drawings(tmp_path, "there")
    here_it_is = tmp_path / "sent" / "drawing.dxf"
    here_it_is.parent.mkdir()
    for content in (there.read_bytes(), b"no drawing", b""):
        there.write_bytes(content)
        here_it_is.write_bytes(content)
        sent = outcome(Job(here_it_is, Settings()), wanted)
        told, itself = named(sent, there), outcome(Job(there, Settings()), wanted)
        assert replace(told, shown=None) == replace(itself, shown=None)
        assert "sent" not in str(told.found)
        if told.shown is not None and itself.shown is not None:  # features in it are the same only as objects
            assert told.shown[0].path == itself.shown[0].path
            assert isinstance(told.shown[0], DrawingAudit) or told.shown[0] == itself.shown[0]
        assert (told.shown is None) == (itself.shown is None)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="the system has no such thing")
def test_a_pipe_is_no_drawing(tmp_path):
    """It would be waited for without an end, or could be read only once."""
    pipe = tmp_path / "pipe.dxf"
    os.mkfifo(pipe)
    job = Job(pipe, Settings())
    found = outcome(job, Wanted())
    assert isinstance(found.found, UnreadDrawing)
    assert "save the drawing as a file" in found.found.why
    assert found.faults == ()
    assert Cache(tmp_path / "cache", lambda said: pytest.fail(said)).key(job) is None
