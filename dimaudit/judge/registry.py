"""The rules, in the order in which findings are reported. A new rule is a file and a line here."""

from dimaudit.judge.check import Rule
from dimaudit.judge.rules import (
    basic_dimensions,
    broken_link,
    control_frames,
    cut_off,
    fits,
    floating_end,
    hole_tables,
    linework,
    near_miss,
    not_associated,
    rounded,
    stale_measurement,
    stale_text,
    title_block,
    tolerance_places,
    tolerance_sense,
    toleranced_reference,
    typed_text,
    unreadable_text,
    view_scale,
    views_disagree,
    wrong_value,
)

RULES: tuple[Rule, ...] = (
    view_scale.RULE,
    views_disagree.RULE,
    wrong_value.RULE,
    stale_text.RULE,
    near_miss.RULE,
    floating_end.RULE,
    broken_link.RULE,
    cut_off.RULE,
    typed_text.RULE,
    unreadable_text.RULE,
    tolerance_sense.RULE,
    toleranced_reference.RULE,
    *fits.RULES,
    tolerance_places.RULE,
    *title_block.RULES,
    stale_measurement.RULE,
    not_associated.RULE,
    rounded.RULE,
    hole_tables.RULE,
    *control_frames.RULES,
    *basic_dimensions.RULES,
    *linework.RULES,
)

assert len({rule.name for rule in RULES}) == len(RULES), "two rules have one name"
