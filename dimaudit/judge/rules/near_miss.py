"""A definition point near a feature, and not on it."""

from collections.abc import Iterator

from dimaudit.exact.real import nearly, real_text, root
from dimaudit.judge.check import Rule, Sheet
from dimaudit.judge.rules.wrong_value import explained_by_near_miss
from dimaudit.judge.saying import finding, named, number_text
from dimaudit.model.attached import Link
from dimaudit.model.audit import Finding, Level, Verdict
from dimaudit.model.drawing import Kind
from dimaudit.text.places import end_text


def check(sheet: Sheet) -> Iterator[Finding]:
    unit = sheet.drawing.unit
    for judgement in sheet.judgements:
        attached = judgement.attached
        missed = [end for end in attached.ends if end.link is Link.NEAR]
        if not missed:
            continue
        why = [
            f"{end.role} misses {end_text(end, attached, unit)} by {real_text(root(end.off_square), 6)}"
            for end in missed
        ]
        changes = False
        if attached.spanned is not None and attached.drawn is not None:
            spanned, drawn = attached.spanned.value, attached.drawn.value
            is_round = attached.dimension.kind in (Kind.RADIUS, Kind.DIAMETER)
            there = "the arc is" if is_round else "the features are"
            apart = "" if is_round else " apart"
            why.append(
                f"its points span {number_text(spanned, judgement, unit)}; "
                f"{there} {number_text(drawn, judgement, unit)}{apart}"
            )
            changes = judgement.verdict is Verdict.WRONG or (
                judgement.step is not None
                and abs(nearly(spanned) - nearly(drawn)) * float(judgement.factor) >= float(judgement.step) / 2
            )
        error = changes or (explained_by_near_miss(judgement) and judgement.verdict is Verdict.WRONG)
        yield finding(
            "near-miss", Level.ERROR if error else Level.WARNING, judgement, sheet,
            f"{named(judgement)} misses the feature it is meant for", why,
            "move the definition point onto the feature with an object snap; the value follows",
        )  # fmt: skip


RULE = Rule("near-miss", Level.ERROR, "a definition point is near a feature, and not on it", check)
