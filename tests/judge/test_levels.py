"""The level on which a rule's findings are reported: the user's word, then the rule set, then the rule's own."""

from dataclasses import replace
from pathlib import Path

import pytest

from dimaudit.judge import levels, runner
from dimaudit.judge.check import Rule
from dimaudit.judge.registry import RULE_SET, RULES
from dimaudit.model.audit import Finding, Level
from dimaudit.model.settings import RuleLevel, Settings
from dimaudit.pipeline import audit_file

JIG = Path(__file__).parents[2] / "samples" / "cleat-drill-jig.dxf"


def found(settings: Settings) -> tuple[Finding, ...]:
    audit, faults = audit_file(JIG, settings)
    assert faults == ()
    return audit.findings


OWN = found(Settings())


def of(rule: str, findings: tuple[Finding, ...]) -> list[Finding]:
    return [f for f in findings if f.rule == rule]


def said(settings: Settings, since: int) -> Finding:
    """The finding of a rule that came with that set."""
    rule = Rule("made-up", Level.ERROR, "speaks once", lambda _: iter(()), since=since)
    one = Finding("made-up", Level.ERROR, ("1",), "something", ("because",), "mend it", None, "Model")
    (told,) = levels.on_level(rule, [one], settings)
    return told


def test_a_rule_that_is_off_gives_nothing_and_is_not_run(monkeypatch):
    """The others' findings stay as they are."""
    settings = Settings(rule_levels=(("wrong-value", RuleLevel.OFF),))
    assert of("wrong-value", OWN)
    assert found(settings) == tuple(f for f in OWN if f.rule != "wrong-value")

    def never(_):
        raise AssertionError

    rules = tuple(replace(rule, check=never) if rule.name == "wrong-value" else rule for rule in RULES)
    monkeypatch.setattr(runner.judge_drawing, "__defaults__", (*runner.judge_drawing.__defaults__[:-1], rules))
    assert found(settings) == tuple(f for f in OWN if f.rule != "wrong-value")


@pytest.mark.parametrize("level", [RuleLevel.NOTE, RuleLevel.WARNING, RuleLevel.ERROR])
def test_a_level_takes_the_place_of_all_levels_of_a_rule(level):
    """Rounded gives warnings and notes; by the user's word all are of one level, and nothing else changes."""
    assert {f.level for f in of("rounded", OWN)} == {Level.WARNING, Level.NOTE}
    now = found(Settings(rule_levels=(("rounded", level),)))
    assert {f.level for f in of("rounded", now)} == {Level(str(level))}
    assert [replace(f, level=Level.NOTE) for f in now] == [replace(f, level=Level.NOTE) for f in OWN]


def test_findings_carry_the_name_of_their_rule():
    """A level is set by the rule's name, so each rule's findings have that name."""
    for name in {f.rule for f in OWN}:
        settings = Settings(rule_levels=((name, RuleLevel.OFF),))
        assert found(settings) == tuple(f for f in OWN if f.rule != name)


def test_a_later_rule_only_notes():
    """A rule of set 2, for who named set 1: a note that says so and how to have its own levels."""
    told = said(Settings(rule_set=1), since=2)
    assert told.level is Level.NOTE
    assert told.why[0] == "because"
    assert told.why[1].startswith("this rule came with rule set 2, and the configuration was written for 1")
    assert told.why[1].endswith("set rule-set = 2")


@pytest.mark.parametrize(("named", "since"), [(1, 1), (2, 2), (3, 2), (None, 2)])
def test_a_rule_of_the_named_set_has_its_own_level(named, since):
    """So has each where no set is named."""
    told = said(Settings(rule_set=named), since)
    assert (told.level, told.why) == (Level.ERROR, ("because",))


def test_the_users_word_outranks_the_set():
    told = said(Settings(rule_set=1, rule_levels=(("made-up", RuleLevel.WARNING),)), since=2)
    assert (told.level, told.why) == (Level.WARNING, ("because",))


def test_a_later_rule_speaks_through_the_whole_audit(monkeypatch):
    """With an added rule of set 2, a configuration for set 1 gets its finding as a note, among all others."""

    def check(sheet):
        yield Finding("made-up", Level.ERROR, (), sheet.drawing.version, (), "mend it", None, "Model")

    rules = (*RULES, Rule("made-up", Level.ERROR, "speaks once", check, since=2))
    monkeypatch.setattr(runner.judge_drawing, "__defaults__", (*runner.judge_drawing.__defaults__[:-1], rules))
    assert [f.level for f in of("made-up", found(Settings(rule_set=1)))] == [Level.NOTE]
    assert [f.level for f in of("made-up", found(Settings()))] == [Level.ERROR]
    assert tuple(f for f in found(Settings(rule_set=1)) if f.rule != "made-up") == OWN


def test_each_rule_is_of_a_set_that_is_there():
    assert {rule.since for rule in RULES} == set(range(1, RULE_SET + 1))
