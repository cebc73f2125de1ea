"""Advice on rounding in words."""

from collections.abc import Iterator
from fractions import Fraction

from dimaudit.exact.number import decimal_text, fixed_text, fraction_text
from dimaudit.model.advice import Advice, Change, Plan, Ways, Wrong
from dimaudit.model.units import INCHES, Unit
from dimaudit.text.levels import node_place, node_text


def change_text(change: Change, unit: Unit | None) -> str:
    """'.4375 (4 decimals) for B7 .438'; both forms of a tie."""
    said = " or ".join(_stated(value, change.places, unit) for value in change.values)
    if change.places is None:
        return f"{said} for {change.dimension} {change.text}"
    return f"{said} ({change.places} decimal{'s' if change.places != 1 else ''}) for {change.dimension} {change.text}"


def wrong_text(wrong: Wrong, unit: Unit | None) -> str:
    """The number that a wrong one should be, as the text writes it: '2.315', '38.1 mm'."""
    text = _stated(wrong.written, wrong.places, wrong.unit or unit)
    return text if wrong.unit in (None, unit) else f"{text} {wrong.unit}"


def _stated(value: Fraction, places: int | None, unit: Unit | None) -> str:
    if places is None:
        return fraction_text(value)
    if (value * 10**places).denominator != 1:
        return decimal_text(value)  # the text is in another unit than the drawing
    text = fixed_text(value, places)
    return text[1:] if unit in INCHES and text.startswith("0.") else text


def ways_text(ways: Ways, unit: Unit | None) -> str:
    """What closes a chain, in one sentence; empty where nothing was found and nothing is proved."""
    said = []
    if ways.places is not None:
        said.append(f"the least that closes it: state {_plan(ways.places, unit)}")
    elif ways.never:
        said.append(f"no number of decimals, the same for all, closes it: {_no_decimal(ways)}")
    if ways.fractions is not None:
        said.append(f"as fractions: state {_plan(ways.fractions, unit)}")
    return "; ".join(said)


def _plan(plan: Plan, unit: Unit | None) -> str:
    said = ", ".join(change_text(change, unit) for change in plan.changes)
    return said if plan.least else f"{said} (not proved to be the least)"


def _no_decimal(ways: Ways) -> str:
    values = dict.fromkeys(fraction_text(value) for _, value in ways.no_decimal)
    if not values:
        return "the roundings add up again at every place"
    return f"{', '.join(values)} {'is' if len(values) == 1 else 'are'} no decimal"


def advice_lines(advice: Advice, unit: Unit | None) -> Iterator[str]:
    """The advice for one group of dimensions."""
    net, ways = advice.net, advice.ways
    axis = "across (x)" if net.axis == 0 else "up and down (y)"
    count = len(advice.dimensions)
    view = node_place(net.nodes[advice.origin], axis=net.axis).view
    yield (
        f"{view.name}, {axis}: {count} dimension{'s' if count != 1 else ''}, "
        f"counted from {node_text(net.nodes[advice.origin], unit, axis=net.axis)}"
    )
    for wrong in advice.wrong:
        yield (
            f"   wrong: {wrong.dimension} {wrong.text} is drawn {decimal_text(wrong.exact)}: "
            f"if the drawing is right, it is {wrong_text(wrong, unit)}"
        )
    if advice.not_advised:
        yield f"   not advised: {advice.not_advised}"
        return
    if advice.wrong:
        yield f"   with {'that' if len(advice.wrong) == 1 else 'those'} mended:"
    if advice.worst is not None and advice.worst.deviation:
        off = advice.worst
        side = "+" if off.deviation > 0 else ""
        yield (
            f"   furthest off by its limit: {node_text(net.nodes[off.node], unit, axis=net.axis)} lands {side}"
            f"{decimal_text(off.deviation, 9)} from where it is drawn; "
            f"allowed {decimal_text(off.limit, 9)} ({off.source})"
        )
    if ways.fits:
        yield "   all chains close, and every feature is within its limit: no change"
        return
    yield "   the chains do not close" if not ways.closes else "   the chains close, and a feature is beyond its limit"
    if ways.places is not None:
        yield f"   least number of places: state {_plan(ways.places, unit)}"
    elif ways.never:
        yield f"   no number of decimals, the same for all, closes the chains: {_no_decimal(ways)}"
    else:
        yield "   no number of decimals up to 6 does it"
    if ways.fractions is not None:
        yield f"   or as fractions: state {_plan(ways.fractions, unit)}"
    if advice.from_origin:
        said = ", ".join(
            f"{' or '.join(map(decimal_text, one.values))} to {node_text(net.nodes[one.node], unit, axis=net.axis)}"
            for one in advice.from_origin
        )
        yield f"   or with no more places, all from {node_text(net.nodes[advice.origin], unit, axis=net.axis)}: {said}"
