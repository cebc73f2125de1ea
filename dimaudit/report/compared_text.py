"""A comparison in words."""

from collections.abc import Iterator, Sequence

from dimaudit.exact.number import decimal_text
from dimaudit.exact.real import Real, real_text
from dimaudit.model.compared import Change, Compared, Fact, Revision, Sort
from dimaudit.report.interface import CAUTION, UNIT_WORDS, numbers_in

MOST_HANDLES = 6
"""Handles of one change that are listed; how many more there are is said."""
PLACES = 9
"""Decimals that are shown; what is cut says so."""
ABOUT = {
    Sort.GEOMETRY_ALONE: "what is cut to these numbers is not what is drawn",
    Sort.TEXT_ALONE: "the number says another size, and nothing was redrawn",
}
"""Why a sort of change can deceive a reader of the print."""
LAID = "places are given in the coordinates of the new drawing; those of the old one as it comes to lie on it"


def compared_lines(compared: Compared) -> Iterator[tuple[int, str]]:
    """The whole report: indents and lines."""
    yield 0, headline(compared)
    yield from ((1, line) for line in head_lines(compared))
    for sort, changes in by_sort(compared):
        yield 0, ""
        about = f" ({ABOUT[sort]})" if sort in ABOUT else ""
        yield 1, f"{len(changes)} × {sort}{about}"
        for number, change in changes:
            yield 2, f"{number}  {title(change)}"
            yield from ((4, line) for line in change_lines(change))
    yield 0, ""
    yield 0, same_line(compared)
    yield from ((0, f"not compared: {line}") for line in compared.not_compared)
    yield 0, CAUTION


def headline(compared: Compared) -> str:
    """'no change', or how many and how many of them are dangerous."""
    if not compared.changes:
        return "no change"
    danger = sum(change.dangerous for change in compared.changes)
    said = f"{len(compared.changes)} change{'s' if len(compared.changes) != 1 else ''}"
    if danger:
        said += f"; {danger} where text and geometry no longer go together as they did"
    return said


def head_lines(compared: Compared) -> Iterator[str]:
    for which, side in (("old", compared.old), ("new", compared.new)):
        yield f"{which}: {revision_text(side)}"
    told = f"{numbers_in(compared.new.unit)}; {LAID}"
    if compared.factor != 1 and compared.old.unit is not None:
        told = f"lengths of the old drawing were multiplied by {decimal_text(compared.factor, 12)}; {told}"
    yield told
    yield f"what lies no farther apart than {decimal_text(compared.apart, 12)} is one place"


def revision_text(side: Revision) -> str:
    unit = "no unit" if side.unit is None else UNIT_WORDS[side.unit]
    return (
        f"{side.path}  {_many(side.dimensions, 'dimension')}, {_many(side.views, 'view')} with dimensions, "
        f"{_many(side.findings, 'finding')}; DXF {side.version}, {unit}, sha256 {side.sha256[:12]}"
    )


def same_line(compared: Compared) -> str:
    return (
        f"the same in both: {_many(compared.same_dimensions, 'dimension')}, "
        f"{_many(compared.same_shapes, 'line, arc or circle', 'lines, arcs and circles')}, "
        f"{_many(compared.same_notes, 'note')}, {_many(compared.same_findings, 'finding')}"
    )


def by_sort(compared: Compared) -> Iterator[tuple[Sort, list[tuple[int, Change]]]]:
    """The changes with their numbers, the same in every report of one comparison."""
    numbered = list(enumerate(compared.changes, 1))
    for sort in Sort:
        changes = [(n, change) for n, change in numbered if change.sort is sort]
        if changes:
            yield sort, changes


def title(change: Change) -> str:
    """'[B7] linear dimension "2.500", view 1'."""
    handles = handles_text(change)
    return f"{f'[{handles}] ' if handles else ''}{change.subject}{of_view(change)}"


def of_view(change: Change) -> str:
    """', view 1'; nothing where that is the subject itself, or none."""
    return f", {change.view}" if change.view and change.view != change.subject else ""


def handles_text(change: Change) -> str:
    """'B7', or 'B7 → C9' where it has another handle now; nothing for a view as a whole."""
    if change.subject == change.view:
        return ""
    old, new = (_listed(seat.handles) for seat in (change.old, change.new))
    return old if old == new or not new else new if not old else f"{old} → {new}"


def _listed(handles: Sequence[str]) -> str:
    more = len(handles) - MOST_HANDLES
    return ", ".join(handles[:MOST_HANDLES]) + (f" and {more} more" if more > 0 else "")


def change_lines(change: Change) -> Iterator[str]:
    """Where it is, what changed, what it means."""
    if change.where:
        yield change.where
    yield from map(fact_text, change.facts)
    yield from change.why


def fact_text(fact: Fact) -> str:
    """'drawn 2.5 → 2.75 (+0.25)', 'text "A" → "B"', 'x moved by +0.5'."""
    sign = "°" if fact.angle and not fact.what.startswith("times") else ""
    quoted = fact.what in QUOTED
    if fact.moved is not None:
        return f"{fact.what} {decimal_text(fact.moved, PLACES)}" if fact.angle else f"{fact.what} by {signed(fact)}"
    if fact.new is None or fact.old is None:
        value = fact.old if fact.new is None else fact.new
        if value is None:
            return fact.what
        shown = value_text(value, quoted) + ("" if isinstance(value, str) else sign)
        alone = f"{fact.what}: {shown}" if fact.what in LEVELS else f"{fact.what} {shown}"
        return alone if fact.what in ALONE else f"{alone} ({'is gone' if fact.new is None else 'is new'})"
    by = fact.by
    both = f"{fact.what} {value_text(fact.old, quoted)}{sign} → {value_text(fact.new, quoted)}{sign}"
    return both if by is None else f"{both} ({signed(fact)}{sign})"


LEVELS = ("error", "warning", "note")
QUOTED = ("text", "typed text, not yet redrawn", "stated")
"""What is told in the words of the print."""
ALONE = ("diameter", "radius", "x", "y", "text", "error", "warning", "note", "lines, arcs and circles")
"""What a thing that is in one drawing only is told by."""


def signed(fact: Fact) -> str:
    by = fact.by
    assert by is not None
    return f"{'+' if by > 0 else ''}{decimal_text(by, PLACES)}"


def value_text(value: Real | str, quoted: bool = False) -> str:
    """What stands on the print in quotation marks, a number as a decimal."""
    if isinstance(value, str):
        return f'"{value}"' if quoted else value
    return real_text(value, PLACES)


def _many(count: int, one: str, more: str = "") -> str:
    return f"{count} {one if count == 1 else more or f'{one}s'}"


