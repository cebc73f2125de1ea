"""The level on which the findings of a rule are reported: the user's word, then the rule set, then the rule's own."""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from dimaudit.judge.check import Rule
from dimaudit.model.audit import Finding, Level
from dimaudit.model.drawing import Loss
from dimaudit.model.settings import RuleLevel, Settings


def is_off(rule: Rule, settings: Settings) -> bool:
    return dict(settings.rule_levels).get(rule.name) is RuleLevel.OFF


def rules_off(rules: Iterable[Rule], settings: Settings) -> tuple[Loss, ...]:
    """A rule that is off, among what was left out: a finding that nobody looked for is no finding that is not there."""
    return tuple(Loss(f"rule {rule.name}", "off by the user") for rule in rules if is_off(rule, settings))


def on_level(rule: Rule, findings: Iterable[Finding], settings: Settings) -> Iterator[Finding]:
    """The findings of a rule that is not off, each on the level that holds."""
    stated = dict(settings.rule_levels).get(rule.name)
    if stated is not None:
        level = Level(str(stated))
        yield from (replace(found, level=level) for found in findings)
    elif settings.rule_set is not None and rule.since > settings.rule_set:
        why = (
            f"this rule came with rule set {rule.since}, and the configuration was written for {settings.rule_set}: "
            f"it gives notes only; for its own levels, set rule-set = {rule.since}"
        )
        yield from (replace(found, level=Level.NOTE, why=(*found.why, why)) for found in findings)
    else:
        yield from findings
