"""Faults of the linework itself. One rule for each kind, all made the same way."""

from collections.abc import Callable, Iterator

from dimaudit.exact.real import real_text, root
from dimaudit.judge.check import Rule, Sheet
from dimaudit.model.audit import Finding, Level
from dimaudit.model.drawing import ANGLES
from dimaudit.model.geometry import FaultKind, LineworkFault

_SAID: dict[FaultKind, tuple[str, str, Callable[[LineworkFault], str], str]] = {
    FaultKind.GAP: (
        "gap",
        "two open ends nearly meet",
        lambda f: f"the ends are {real_text(root(f.amount), 6)} apart",
        "join the ends (snap one to the other); an open outline cannot be cut, filled or measured as an area",
    ),
    FaultKind.DUPLICATE: (
        "duplicate-line",
        "the same edge is drawn twice",
        lambda f: f"the {f.detail}s lie on one another",
        "delete one of the two; a cutter would run the edge twice, and a dimension may hold on to the wrong one",
    ),
    FaultKind.OVERLAP: (
        "overlapping-lines",
        "two lines lie on one another for part of their length",
        lambda f: f"they share {real_text(f.amount, 6)} of length",
        "trim or join them to one line",
    ),
    FaultKind.ZERO_LENGTH: (
        "zero-length",
        "an entity without length",
        lambda f: f"the {f.detail} begins and ends at one point",
        "delete it; snaps find it and dimensions attach to it",
    ),
    FaultKind.NEARLY_LEVEL: (
        "nearly-level",
        "a line is nearly, and not quite, horizontal or vertical",
        lambda f: f"it is off {f.detail} by {real_text(f.amount, 6)} over its length",
        "draw it level, or give the angle by a dimension if it is meant",
    ),
    FaultKind.NEARLY_CONCENTRIC: (
        "nearly-concentric",
        "circles inside one another have nearly, and not quite, the same centre",
        lambda f: f"the centres are {real_text(root(f.amount), 6)} apart",
        "move them to one centre, or dimension the offset if it is meant",
    ),
}


def _dimensioned_by_angle(sheet: Sheet) -> frozenset[str]:
    """Lines whose angle is given by a dimension: those are meant to be as they are."""
    return frozenset(
        shape.origin.handle
        for j in sheet.judgements
        if j.attached.dimension.kind in ANGLES
        for end in j.attached.ends
        if end.feature is not None
        for shape in end.feature.shapes
    )


def _rule(kind: FaultKind) -> Rule:
    name, summary, reason, mend = _SAID[kind]

    def check(sheet: Sheet) -> Iterator[Finding]:
        by_angle = _dimensioned_by_angle(sheet) if kind is FaultKind.NEARLY_LEVEL else frozenset()
        for space, fault in sheet.faults:
            if fault.kind is kind and not by_angle.intersection(fault.handles):
                yield Finding(
                    rule=name,
                    level=Level.WARNING,
                    handles=fault.handles,
                    message=summary,
                    why=(reason(fault),),
                    suggestion=mend,
                    at=(float(fault.at[0]), float(fault.at[1])),
                    layout=space,
                )

    return Rule(name, Level.WARNING, summary, check)


RULES = tuple(_rule(kind) for kind in FaultKind)
