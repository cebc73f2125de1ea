"""Runs for the tests of the formats that machines read: the samples, hostile texts, accepted findings, empty runs."""

import json
from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path

from hypothesis import strategies as st

from dimaudit.batch.here import here
from dimaudit.batch.one import Job, Wanted
from dimaudit.model.audit import Finding, Level, RuleFault, UnreadDrawing
from dimaudit.model.drawing import Loss
from dimaudit.model.record import Accepted, Audited, Result
from dimaudit.model.settings import Settings
from dimaudit.report.formats import FORMATS
from dimaudit.report.interface import whole

SAMPLES = sorted((Path(__file__).parents[2] / "samples").glob("*.dxf"))
HOSTILE = (
    "::error::planted", "a%0Ab%25", "x\r\n::add-mask::y", "##[error]z", "]]>", "<!-- &amp; <b>", "a\"b'c", "a,b;c\td",
    "\u202egnp.fxd", "\x00\x07\x1b[31mred", "=1+1", "@SUM(A1)", "+cmd|' /C calc'!A0", "-2+3", "＝1", "{0} {x}",
    "[here](https://b.example)", "[a]({0})", "\udcff\ud800", "\ufffe\uffff", "𝔻 Ø.250 ±°", "a\u2028b\u2029c\x85d", "",
    " ", "\\", "x" * 5000,
)  # fmt: skip
"""Control characters, quotes, escapes and commands of each format, direction marks, lone surrogates, formulas."""
TEXTS = st.one_of(st.sampled_from(HOSTILE), st.text(st.characters(exclude_categories=()), max_size=40))


@cache
def sample_results() -> tuple[Result, ...]:
    """The samples, audited once."""
    results: list[Result] = []
    for one in here((Job(path, Settings()) for path in SAMPLES), Wanted(details=True)):
        assert not one.faults
        assert not isinstance(one.found, UnreadDrawing)
        results.append(Audited(one.path, one.found, Settings(), one.details))
    return tuple(results)


def in_format(name: str, results: Sequence[Result], faults: Sequence[RuleFault] = ()) -> str:
    """The whole report as the program writes it: what is no UTF-8 is written as an escape."""
    text = whole(FORMATS[name]("1.2"), results, faults)
    return text.encode("utf-8", "backslashreplace").decode("utf-8")


def told(results: Sequence[Result]) -> list[tuple[str, str, str, tuple[str, ...]]]:
    """Path, rule, level and handles of each finding by the JSON report, which the other formats are held against."""
    body = json.loads(in_format("json", results))
    return [
        (d["path"], f["rule"], f["level"], tuple(f["handles"])) for d in body["drawings"] for f in d.get("findings", ())
    ]


def finding(text: str, level: Level = Level.ERROR, rule: str = "wrong-value", identity: str = "5f00aa") -> Finding:
    """A finding that says the text wherever a text from a drawing can stand."""
    return Finding(rule, level, (text, "2E5"), text, (text, "why"), text, (-1.5, 2.0), text, text, text, text, identity)


def audited(
    *findings: Finding, path: str = "print.dxf", accepted: Sequence[Accepted] = (), reasons: Sequence[str] = (),
    losses: Sequence[str] = (), dimensions: int = 3,
) -> Audited:  # fmt: skip
    """A drawing with these findings."""
    base = sample_results()[0]
    assert isinstance(base, Audited)
    record = replace(
        base.record, findings=findings, not_judged=tuple((r, 1) for r in reasons), dimensions=dimensions, judged=0,
        losses=tuple(Loss(what, what, 2, ()) for what in losses), texts=(),
    )  # fmt: skip
    return replace(base, path=path, record=record, accepted=tuple(accepted), details="")


def hostile_run(text: str) -> tuple[list[Result], list[RuleFault]]:
    """A run in which each text that is not ours is this one."""
    kept = Accepted(finding(text, Level.WARNING), text, text, date(2031, 5, 4))
    results: list[Result] = [
        audited(*(finding(text, level) for level in Level), path=f"a/{text}.dxf", accepted=[kept], reasons=[text],
                losses=[text]),
        audited(path=text, dimensions=0),
        UnreadDrawing(text, text),
    ]  # fmt: skip
    return results, [RuleFault(text, "wrong-value", text)]
