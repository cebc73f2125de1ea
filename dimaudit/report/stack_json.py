"""Stack-ups as JSON."""

from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import Any

from dimaudit.exact.real import root
from dimaudit.model.audit import DrawingAudit, RuleFault
from dimaudit.model.settings import Settings
from dimaudit.model.stack import Contributor, Stack
from dimaudit.model.units import Unit
from dimaudit.report.json_shared import band, faults_of_the_tool, file, head, number, place, words, written
from dimaudit.report.stack_text import NO_AXIS, NO_CHAIN, Between
from dimaudit.scheme.stack import Worst
from dimaudit.text.levels import node_place
from dimaudit.text.place_words import ALONG


def stacks_report(
    audit: DrawingAudit, found: Sequence[Between], named: tuple[str, str] | None, worst: Iterable[Worst],
    faults: Sequence[RuleFault], settings: Settings, version: str,
) -> str:  # fmt: skip
    """The stack-ups between two features, `named` on the command line, or those of the worst pairs of each view."""
    worst = [one for one in worst if one.judged or one.unknown]
    pairs = [
        *found,
        *(
            Between(p.axis, p.net.nodes[p.start], p.net.nodes[p.end], (p.view, p.view), p.stack)
            for one in worst for p in one.pairs
        ),
    ]  # fmt: skip
    return written({
        **head("stack-up", version, settings),
        "drawing": file(audit),
        "named": None if named is None else list(named),
        "why_not": NO_AXIS if named is not None and not found else None,
        "stack_ups": [_stack_up(pair, audit.unit) for pair in pairs],
        "views": [
            {
                "view": one.view.name,
                "axis": ALONG[one.axis],
                "judged": one.judged,
                "not_judged": one.unknown,
                "not_joined": one.unlinked,
            }
            for one in worst
        ],
        "faults_of_the_tool": faults_of_the_tool(faults),
    })  # fmt: skip


def _stack_up(pair: Between, unit: Unit | None) -> dict[str, Any]:
    start, end = (node_place(n, view) for n, view in zip((pair.start, pair.end), pair.views, strict=True))
    return {
        "axis": ALONG[start.axis],
        "from": place(start, unit),
        "to": place(end, unit),
        **({"why_not": NO_CHAIN, "chain": None} if pair.stack is None else _stack(pair.stack)),
    }


def _stack(stack: Stack) -> dict[str, Any]:
    shares: Sequence[Fraction | None] = stack.shares() or [None] * len(stack.contributors)
    unknown = ", ".join(f"{c.dimension} {c.text}: {c.source}" for c in stack.unknown)
    return {
        "why_not": f"no tolerance in force for {unknown}" if unknown else None,
        "chain": {
            "contributors": [_contributor(c, s) for c, s in zip(stack.contributors, shares, strict=True)],
            "implied": words(stack.taken),
            "nominal": number(stack.nominal),
            "drawn": number(stack.drawn),
            "worst_case": band(stack.worst),
            "middle": None if stack.middle is None else number(stack.middle),
            "root_sum_square": None if stack.square is None else number(root(stack.square)),
        },
    }


def _contributor(c: Contributor, share: Fraction | None) -> dict[str, Any]:
    return {
        "dimension": c.dimension,
        "text": c.text,
        "sign": c.sign,
        "share": number(c.share),
        "times": c.times,
        "stated": number(c.stated),
        "tolerances": None if c.lower is None or c.upper is None else band((c.lower, c.upper)),
        "tolerances_from": c.source,
        "share_of_worst_case": None if share is None else number(share),
    }
