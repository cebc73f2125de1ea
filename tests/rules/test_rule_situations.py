"""Every situation: what fires says exactly what it must, what nearly fires says nothing."""

from collections import Counter
from pathlib import Path

import pytest
import rule_all  # noqa: F401 - importing it registers the situations
from rule_board import measured
from rule_cases import ABOUT_THE_WHOLE, CASES, Case, Says

from dimaudit.model.audit import DrawingAudit, Finding, Level

FIRING = [case for case in CASES if case.fires]
SILENT = [case for case in CASES if not case.fires]
TELLING = (Level.ERROR, Level.WARNING)


def looked_at(audit: DrawingAudit, rule: str) -> list[Finding]:
    """All findings but the note that the drawing is not associated, and those about rules of the whole scheme."""
    others = () if rule in ABOUT_THE_WHOLE else ABOUT_THE_WHOLE
    found = [f for f in audit.findings if f.rule not in others]
    return [f for f in found if f.rule == rule or f.rule != "not-associated" or f.level in TELLING]


def said(finding: Finding) -> tuple[str, Level, tuple[str, ...]]:
    return finding.rule, finding.level, finding.handles


def wanted(says: Says) -> tuple[str, Level, tuple[str, ...]]:
    return says.rule, says.level, says.handles


@pytest.mark.parametrize("case", FIRING, ids=str)
def test_it_fires(case: Case, tmp_path: Path) -> None:
    """The drawing gives exactly the findings that it lists, its own rule's among them, with their reasons."""
    drawing = case.build()
    audit = drawing.board.audit(tmp_path, drawing.settings, drawing.losses)
    found = looked_at(audit, case.rule)
    assert any(s.rule == case.rule for s in drawing.says), "the situation does not show its own rule"
    # Everything else that is said about the drawing is listed, too: a fault must not drag others behind it.
    assert Counter(map(said, found)) == Counter(map(wanted, drawing.says))
    for says in drawing.says:
        (finding,) = [f for f in found if said(f) == wanted(says)]
        assert any(says.why in reason for reason in finding.why), finding.why
        assert finding.message
        assert finding.suggestion
        if says.measured is not None:
            assert measured(audit, says.handles[0]) == says.measured


@pytest.mark.parametrize("case", SILENT, ids=str)
def test_it_is_silent(case: Case, tmp_path: Path) -> None:
    """The rule says nothing, no other rule says more than is listed, and the measured values are exact."""
    drawing = case.build()
    audit = drawing.board.audit(tmp_path, drawing.settings, drawing.losses)
    found = [f for f in looked_at(audit, case.rule) if f.rule == case.rule or f.level in TELLING]
    assert all(s.rule != case.rule for s in drawing.says), "a silent situation can't list its own rule"
    assert Counter(map(said, found)) == Counter(wanted(s) for s in drawing.says if s.level in TELLING)
    for handle, value in drawing.measured:
        assert measured(audit, handle) == value
