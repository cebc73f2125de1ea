"""The rules, in the order in which findings are reported. A new rule is a file and a line here."""

from dimaudit.judge.check import Rule
from dimaudit.judge.rules import (
    broken_link,
    cut_off,
    exploded_dimension,
    floating_end,
    linework,
    near_miss,
    not_associated,
    rounded,
    stale_measurement,
    stale_text,
    typed_text,
    unreadable_text,
    view_scale,
    wrong_value,
)

RULES: tuple[Rule, ...] = (
    view_scale.RULE,
    wrong_value.RULE,
    stale_text.RULE,
    near_miss.RULE,
    floating_end.RULE,
    broken_link.RULE,
    cut_off.RULE,
    typed_text.RULE,
    unreadable_text.RULE,
    stale_measurement.RULE,
    exploded_dimension.RULE,
    not_associated.RULE,
    rounded.RULE,
    *linework.RULES,
)

assert len({rule.name for rule in RULES}) == len(RULES), "two rules have one name"
