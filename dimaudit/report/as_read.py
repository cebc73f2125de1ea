"""The as-read part for the terminal: what does not land where it is drawn, the worst first, with its arithmetic."""

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from dimaudit.exact.number import Rounding, decimal_text, fraction_text, round_to
from dimaudit.model.as_read import STILL, AsRead, Conflict, Landing, Span
from dimaudit.model.units import Unit
from dimaudit.report.visible import visible
from dimaudit.text.place_words import ALONG, best_place, place_text
from dimaudit.text.places import size_text

HARDLY = Fraction(1, 10**6)
"""What is off by no more is where it is drawn: recovered coordinates are not better (`Settings`)."""
MOST_LEGS = 8
"""Dimensions of a sum that are written out; of a longer one the others are counted."""
MOST_LANDINGS = 6
"""Features that are named for each way out of a conflict; the others are counted."""

Line = tuple[int, str]
"""How deep it is set in, and the text."""


def as_read_lines(parts: Sequence[AsRead], unit: Unit | None, texts: Mapping[str, str]) -> Iterator[Line]:
    """All parts; `texts` gives what a person reads in each dimension, by its handle."""
    for number, part in enumerate(parts, 1):
        views = dict.fromkeys(p.view.name for landing in part.landings for p in landing.places)
        yield 0, f"part {number}: {', '.join(map(visible, views))}"
        for place in part.origins:
            along = next((m.places for m in part.landings if m.axis == place.axis and place in m.places), (place,))
            name = place_text(best_place(along), unit)
            yield 2, f"set up along {ALONG[place.axis]} from: {name} ({visible(place.view.name)})"
        off = listed(part)
        judged = sum(landing.off is not None for landing in part.landings)
        if not off:
            yield 2, f"all {judged} levels and sizes that could be judged land where they are drawn"
        else:
            yield 2, f"{len(off)} of {judged} levels and sizes do not land where they are drawn; the worst first:"
        for landing in off:
            yield 4, _headline(landing, unit)
            yield from ((8, text) for text in _how(landing, unit))
        for conflict in part.conflicts:
            yield from _conflict(conflict, part, unit, texts)
        yield from _besides(part, unit, texts)


def listed(part: AsRead) -> list[Landing]:
    """What lands, or could land, elsewhere than it is drawn."""
    return [landing for landing in part.landings if elsewhere(landing)]


def elsewhere(landing: Landing) -> bool:
    """Whether it lands, or could land, elsewhere than it is drawn, by more than recovered coordinates are sure of."""
    return landing.size * landing.scale > HARDLY


def _headline(landing: Landing, unit: Unit | None) -> str:
    name = place_text(best_place(landing.places), unit)
    others = len(landing.places) - 1
    more = f" (and {others} more place{'s' * (others != 1)} with it)" if others else ""
    assert landing.off is not None
    low, high = (v * landing.scale for v in landing.off)
    text = f"{signed(low, high, unit)} along {ALONG[landing.axis]}" if landing.axis < 2 else signed(low, high, unit)
    what = "in radius: " if landing.axis == 2 else ": "
    return f"{text}{' ' if landing.axis == 2 else ''}{what}{name}{more}"


def _how(landing: Landing, unit: Unit | None) -> Iterator[str]:
    if landing.legs:
        stated = sum((leg.share * leg.stated for leg in landing.legs), Fraction(0))
        drawn = sum((leg.share * leg.drawn for leg in landing.legs), Fraction(0))
        back = -1 if stated < 0 else 1
        terms = [_term(back * leg.share, leg.stated, k == 0, unit) for k, leg in enumerate(landing.legs)]
        if len(terms) > MOST_LEGS:
            terms = [*terms[:MOST_LEGS], f"and {len(terms) - MOST_LEGS} more"]
        yield f"{' '.join(terms)} = {size_text(back * stated, unit)}, drawn {size_text(back * drawn, unit)}"
    elif landing.off != STILL:
        yield "found from slanted lengths, angles or arcs together" + (
            "" if landing.off and landing.off[0] == landing.off[1] else "; proved to nine decimals"
        )
    if landing.least is None or landing.greatest is None:
        if landing.off is not None:
            yield "not judged: how far it can be off over what there is to trust"
    elif (landing.least, landing.greatest) != landing.off:
        low, high = landing.least * landing.scale, landing.greatest * landing.scale
        sure = "no more than " if landing.bound else ""
        yield f"{sure}{signed(low, low, unit)} to {signed(high, high, unit)}, by what is trusted"
    band = landing.tolerance
    if band is not None:
        within = "within" if landing.inside else "NOT within"
        ends = " to ".join(signed(end, end, unit) for end in band)
        yield f"{within} the tolerances on the way, {ends}"


def _term(share: Fraction, stated: Fraction, first: bool, unit: Unit | None) -> str:
    sign = "-" if share < 0 else "" if first else "+"
    space = "" if first else " "
    times = "" if abs(share) == 1 else f"{fraction_text(abs(share))} × "
    return f"{sign}{space}{times}{size_text(stated, unit)}"


def signed(low: Fraction, high: Fraction, unit: Unit | None) -> str:
    """A deviation with its sign; what is enclosed to nine decimals, with '…'."""
    if low != high:
        value = round_to((low + high) / 2, Fraction(1, 10**9), Rounding.HALF_UP)
        text = decimal_text(abs(value), 9) + "…"
        mark = "-" if value < 0 else "+"
    else:
        text = decimal_text(abs(low), 9)
        mark = "-" if low < 0 else "+" if low > 0 else "±"
    return mark + (text[1:] if text.startswith("0.") and unit in (Unit.INCH, Unit.FOOT) else text)


def _conflict(conflict: Conflict, part: AsRead, unit: Unit | None, texts: Mapping[str, str]) -> Iterator[Line]:
    members = ", ".join(f"{visible(h)} {visible(texts.get(h, ''))}".strip() for h in conflict.members)
    yield 2, f"these dimensions can't all be met: {members}"
    if not conflict.choices:
        many = "more ways out than are counted" if conflict.ways is None else f"{conflict.ways} ways out"
        yield 4, f"{many}, too many to show each; the ranges say how far they reach"
    for n, choice in enumerate(conflict.choices):
        without = ", ".join(map(visible, choice.neglected)) or "none"
        if n == 0:
            yield 4, f"not met: {without}: as above"
            continue
        lands = [(part.landings[i], off) for i, off in choice.lands]
        shown = [_landed(landing, off, unit) for landing, off in lands[:MOST_LANDINGS]]
        rest = len(lands) - len(shown)
        if rest:
            shown.append(f"and {rest} more")
        yield 4, f"not met: {without}: " + ("; ".join(shown) or "nothing lands elsewhere than above")


def _landed(landing: Landing, off: Span | None, unit: Unit | None) -> str:
    name = place_text(best_place(landing.places), unit)
    if off is None:
        return f"{name} not judged"
    return f"{name} {signed(off[0] * landing.scale, off[1] * landing.scale, unit)} along {ALONG[landing.axis]}"


def _besides(part: AsRead, unit: Unit | None, texts: Mapping[str, str]) -> Iterator[Line]:
    for broken in part.broken:
        name = place_text(best_place(broken.places), unit)
        yield 2, f"the stated numbers do not keep what is drawn, {broken.kind.value}: {name}"
    free = sum(landing.free for landing in part.landings)
    if free:
        yield 2, f"{free} levels and sizes are held by nothing and stay where they are drawn"
    for reason in dict.fromkeys(landing.why_not for landing in part.landings if landing.off is None):
        count = sum(landing.why_not == reason for landing in part.landings if landing.off is None)
        yield 2, f"{count} not judged: {reason}"
    for handle, why in part.kept:
        yield 2, f"{visible(handle)} {visible(texts.get(handle, ''))}".rstrip() + f": {visible(why)}"
