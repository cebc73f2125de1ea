"""The whole arithmetic of one dimension, step by step, as on a board."""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from dimaudit.exact.number import Rounding, decimal_places, decimal_text, fraction_text
from dimaudit.exact.real import Enclosed, Real, Root, enclose, exact_text, real_text, root, round_real
from dimaudit.model.attached import End, Measured
from dimaudit.model.audit import DrawingAudit, InForce, Judgement, Verdict
from dimaudit.model.drawing import ANGLES, Kind, Point
from dimaudit.model.stated import Stated, Symbolic, Unreadable
from dimaudit.report.interface import UNIT_WORDS
from dimaudit.text.places import end_text, kind_text


@dataclass(frozen=True, slots=True)
class Step:
    """One step: a heading and its lines."""

    title: str
    lines: tuple[str, ...]


def arithmetic(judgement: Judgement, audit: DrawingAudit) -> tuple[Step, ...]:
    """All steps, in the order in which a person would take them."""
    return tuple(
        Step(f"{n}. {title}", tuple(lines)) for n, (title, lines) in enumerate(_steps(judgement, audit), 1) if lines
    )


def _steps(j: Judgement, audit: DrawingAudit) -> Iterator[tuple[str, list[str]]]:
    yield "The dimension", _entity(j, audit)
    yield "What a person reads", _reading(j)
    yield "Where its points stand", [_end(end, j, audit) for end in j.attached.ends] or [
        j.attached.why_not or "it belongs to no view: nothing is near its points"
    ]
    spanned = j.attached.spanned
    if spanned is not None:
        yield "What the definition points span", _spanned(j, spanned)
    if j.attached.drawn is not None:
        yield "What is drawn", _drawn(j, j.attached.drawn)
    if j.factor != 1 and j.measured is not None:
        yield "The factor", _factor(j)
    if j.stated is not None and j.measured is not None:
        yield "The comparison", list(_comparison(j))
        if j.verdict in (Verdict.ROUNDED, Verdict.TIE, Verdict.CUT_OFF):
            yield "How it could be stated", list(_ways(j))
    if j.in_force is not None:
        yield "The tolerance in force", list(_tolerance(j, j.in_force))
    yield "Stored and tied", _stored(j)
    yield "The verdict", [f"{j.verdict}" + (f": {j.reason}" if j.reason else "")]


def _factor(j: Judgement) -> list[str]:
    """What drawn lengths are multiplied by, and where that comes from."""
    assert j.measured is not None
    d = j.attached.dimension
    lines = []
    if d.true_factor != 1:
        lines.append(f"DIMLFAC or the block's scale: × {_both(d.true_factor)}")
    if j.factor != d.true_factor:
        lines.append(f"the view's scale, or the symbol (R, Ø) in the text: × {_both(j.factor / d.true_factor)}")
    return [*lines, f"measured = {real_text(j.measured, 9)}"]


def _entity(j: Judgement, audit: DrawingAudit) -> list[str]:
    d = j.attached.dimension
    view = "" if j.attached.view is None else f", {j.attached.view.name}"
    through = f", through {d.through}" if d.through else ""
    unit = "no unit known" if audit.unit is None else f"drawing in {UNIT_WORDS[audit.unit]}"
    return [
        f"{kind_text(d.kind)}, handle {d.handle}, layer {d.layer}, {d.layout}{view}{through}",
        f"style {d.style.name}: places {d.style.places}, DIMLFAC {decimal_text(d.style.factor)}; {unit}",
    ]


def _reading(j: Judgement) -> list[str]:
    lines = [f'text "{j.text}" ({j.source})']
    if j.expected_text and j.expected_text != j.text:
        lines.append(f'the style would print "{j.expected_text}" for its points')
    match j.reading:
        case Stated() as s:
            if s.limits is not None:
                lines.append(f"limits {decimal_text(s.limits[0])} to {decimal_text(s.limits[1])}")
            else:
                lines.append(f"stated = {_both(s.value)}; one unit in the last written place = {_both(s.step)}")
                low, high = s.value - s.step / 2, s.value + s.step / 2
                lines.append(f"it stands for every value from {decimal_text(low)} to {decimal_text(high)}")
            if j.stated is not None and j.stated != s.value:
                lines.append(f"in the drawing's unit: {_both(j.stated)}")
            if s.tolerance is not None:
                lines.append(f"tolerance {decimal_text(s.tolerance.upper)} / {decimal_text(s.tolerance.lower)}")
        case Symbolic():
            lines.append("a word or a variable: there is no number to compare")
        case Unreadable(_, why):
            lines.append(why)
        case _:
            lines.append("nothing is stated")
    return lines


def _end(end: End, j: Judgement, audit: DrawingAudit) -> str:
    at = _point(end.point)
    if end.feature is None:
        return f"{end.role} {at}: floating, it touches nothing"
    to = end_text(end, j.attached, audit.unit)
    off = f", off by {_root(end.off_square)}" if end.off_square else ""
    moved = f" at {_point(end.feature.at)}" if end.feature.at != end.point else ""
    return f"{end.role} {at}: {end.link} {to}{moved}{off}"


def _spanned(j: Judgement, spanned: Measured) -> list[str]:
    d = j.attached.dimension
    degrees = "°" if d.kind in ANGLES else ""
    lines = [_formula(d.kind, d.points, d.angle, d.along_x), f"= {_real(spanned.value)}{degrees}"]
    if spanned.recovered:
        lines.append(f"cleaned of noise: the file holds {real_text(spanned.raw, 15)}")
    if d.text_factor != 1 and d.kind not in ANGLES:
        lines.append(f"shown as that × {_both(d.text_factor)}")
    return [line for line in lines if line]


def _drawn(j: Judgement, drawn: Measured) -> list[str]:
    d = j.attached.dimension
    points = {**d.points, **{e.group: e.feature.at for e in j.attached.ends if e.feature is not None}}
    if d.kind in (Kind.RADIUS, Kind.DIAMETER, Kind.JOGGED_RADIUS):
        lines = ["the radius of the arc" if d.kind is not Kind.DIAMETER else "twice the radius of the circle"]
    elif d.kind in ANGLES:
        lines = ["the angle between the edges"]
    else:
        lines = [_formula(d.kind, points, d.angle, d.along_x)]
    lines.append(f"= {_real(drawn.value)}{'°' if d.kind in ANGLES else ''}")
    if drawn.recovered:
        lines.append(f"cleaned of noise: the file holds {real_text(drawn.raw, 15)}")
    return lines


def _formula(kind: Kind, p: dict[int, Point], angle: Fraction, along_x: bool) -> str:
    match kind:
        case Kind.LINEAR | Kind.ORDINATE:
            a, b = (p[13], p[14]) if kind is Kind.LINEAR else (p[10], p[13])
            turn = (angle if kind is Kind.LINEAR or along_x else angle + 90) % 180
            if turn in (0, 90):
                i = 0 if turn == 0 else 1
                return f"|{_both(b[i])} − {_both(a[i])}| along {'xy'[i]}"
            return f"the distance of {_point(a)} and {_point(b)} along {decimal_text(turn)}°"
        case Kind.ALIGNED:
            a, b = p[13], p[14]
            return f"√(({decimal_text(b[0])} − {decimal_text(a[0])})² + ({decimal_text(b[1])} − {decimal_text(a[1])})²)"
        case Kind.RADIUS | Kind.DIAMETER | Kind.JOGGED_RADIUS:
            return f"the distance of {_point(p[10])} and {_point(p[15])}"
        case Kind.ANGULAR_3P:
            return f"the angle at {_point(p[15])} from {_point(p[13])} to {_point(p[14])}"
        case Kind.ANGULAR:
            return f"the angle of the lines {_point(p[13])}–{_point(p[14])} and {_point(p[15])}–{_point(p[10])}"
        case Kind.ARC_LENGTH:
            return f"the arc about {_point(p[15])} from {_point(p[13])} to {_point(p[14])}"


def _comparison(j: Judgement) -> Iterator[str]:
    assert j.stated is not None
    assert j.measured is not None
    assert j.residual is not None
    assert j.step is not None
    low, high = j.residual
    if isinstance(j.measured, Fraction):
        yield f"measured − stated = {j.measured} − {j.stated} = {low}"
        if low:
            yield f"= {decimal_text(low)}"
    else:
        about = decimal_text((low + high) / 2, 12)
        yield f"measured − stated = {about} (between {float(low):.6g} and {float(high):.6g})"
    yield f"half a unit in the last place = {_both(j.step / 2)}"
    size = abs(low + high) / 2
    if low == high == 0:
        yield "they are equal"
    elif j.verdict is Verdict.EXACT:
        yield f"they are {j.reason}"
    elif size < j.step / 2:
        yield f"{decimal_text(size, 9)} < {decimal_text(j.step / 2)}: within half a unit, the text is a rounding of it"
    elif j.verdict is Verdict.CUT_OFF:
        half = decimal_text(j.step / 2)
        yield f"{decimal_text(size, 9)} ≥ {half}, and downward: no rounding rule gives it; digits were cut"
    elif size == j.step / 2:
        yield "exactly half a unit: a tie, where the rounding rules part"
    else:
        yield f"{decimal_text(size, 9)} > {decimal_text(j.step / 2)}: more than half a unit, no rounding explains it"


def _ways(j: Judgement) -> Iterator[str]:
    assert j.measured is not None
    assert j.step is not None
    for rule in Rounding:
        yield f"{rule} to the same place: {decimal_text(round_real(j.measured, j.step, rule))}"
    if isinstance(j.measured, Fraction):
        places = decimal_places(j.measured)
        if places is not None and places > 9:
            yield "the drawn size is no round number: no short decimal states it"
        elif places is None:
            yield f"no number of decimals states it: it is {fraction_text(j.measured)}"
        else:
            fraction = fraction_text(j.measured)
            yield f"exactly with {places} decimals: {decimal_text(j.measured)}; as a fraction: {fraction}"
    else:
        yield "no number of decimals states it: it is irrational"


def _tolerance(j: Judgement, force: InForce) -> Iterator[str]:
    """Where it is from, its limits, and the share that the rounding takes of it."""
    yield force.source
    if force.lower is not None or force.upper is not None:
        low, high = ("no limit" if q is None else decimal_text(q) for q in (force.lower, force.upper))
        yield f"from {low} to {high}"
    if force.band is None or j.stated is None or j.residual is None:
        return
    off = (j.residual[0] + j.residual[1]) / 2
    room = force.band[1] - j.stated if off > 0 else j.stated - force.band[0]
    if off and room > 0:
        share = decimal_text(abs(off) / room * 100, 1)
        yield f"{decimal_text(abs(off), 9)} of {decimal_text(room)} on that side = {share} %"


def _stored(j: Judgement) -> list[str]:
    d = j.attached.dimension
    stored = "nothing (group 42 is absent or empty)" if d.stored is None else decimal_text(d.stored, 15)
    unit = " radians" if d.stored is not None and d.kind in ANGLES else ""
    return [f"stored measurement: {stored}{unit}", f"association: {j.attached.hold}", *j.attached.broken]


def _point(p: Point) -> str:
    return f"({decimal_text(p[0], 9)}, {decimal_text(p[1], 9)})"


def _both(q: Fraction) -> str:
    """A decimal, with the fraction where that says more."""
    text = decimal_text(q, 9)
    return text if q.denominator in (1, 2, 5, 10, 100, 1000, 10000, 100000) else f"{text} ({q})"


def _real(value: Real) -> str:
    match value:
        case Fraction():
            return _both(value)
        case Root():
            return f"{exact_text(value)} = {real_text(value, 12)}"
        case Enclosed():
            low, high = enclose(value, Fraction(1, 10**12))
            return f"{real_text(value, 12)}, proved between {decimal_text(low, 15)} and {decimal_text(high, 15)}"


def _root(square: Fraction) -> str:
    return real_text(root(square), 6)
