"""The writer is the grammar's inverse: what it writes reads back as the same value, in every spelling."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dimaudit.model.drawing import Kind
from dimaudit.model.stated import CallOut, Chamfer, HoleStep, Sign, Stated, StepKind, Thread, Tolerance
from dimaudit.model.units import Unit
from dimaudit.text.call_out import read_call_out
from dimaudit.text.grammar import read_text
from dimaudit.text.writer import Spelling, call_out_text, stated_text

F = Fraction

flags = st.booleans()
spellings = st.builds(Spelling, st.sampled_from([".", ","]), flags, words=flags, stacked=flags, mtext=flags)

places = st.integers(0, 5)
SHOP = st.sampled_from([2, 4, 8, 16, 32, 64])
LIMIT_WORDS = ["MIN", "MAX", "MINIMUM", "MAXIMUM"]
NOTES = ["TYP", "NOM", "APPROX", "BOTH SIDES", "N/S", "REAM", "OVERALL", "~", "?", "SEE NOTE 3"]
LINES = ["SEE DETAIL", "FOR LATHE", "COPPER SHIM"]


@st.composite
def decimals(draw: st.DrawFn, unit: Unit | None = None, most: int = 10**6) -> Stated:
    """A decimal, above nought."""
    p = draw(places)
    return Stated(F(draw(st.integers(1, most)), 10**p), F(1, 10**p), p, unit=unit)


lengths = st.sampled_from([None, None, Unit.INCH, Unit.MILLIMETRE, Unit.CENTIMETRE, Unit.METRE]).flatmap(decimals)


@st.composite
def fractions(draw: st.DrawFn) -> Stated:
    """A fraction of an inch; feet before it where it is in inches and long."""
    d = draw(SHOP)
    unit = draw(st.sampled_from([None, Unit.INCH]))
    return Stated(F(draw(st.integers(1, 64 * d)), d), F(1, d), denominator=d, unit=unit)


feet = st.integers(0, 999).map(lambda n: Stated(F(n), F(1), denominator=1, unit=Unit.INCH))
broken_feet = st.tuples(st.integers(1, 9999), st.integers(1, 3)).map(
    lambda q: Stated(F(12 * q[0], 10 ** q[1]), F(12, 10 ** q[1]), q[1], unit=Unit.INCH)
)
scientific = st.tuples(st.integers(1, 10**6), st.integers(-9, 9)).map(
    lambda q: Stated(q[0] * F(10) ** q[1], F(10) ** q[1])
)


@st.composite
def with_tolerance(draw: st.DrawFn, sizes: st.SearchStrategy[Stated]) -> Stated:
    """A size alone, with a tolerance, or as two limits."""
    size = draw(sizes)
    match draw(st.integers(0, 3)):
        case 0:
            both = draw(st.integers(1, 40)) * F(1, 1000)
            return replace(size, tolerance=Tolerance(both, -both))
        case 1:
            a, b = sorted(draw(st.tuples(st.integers(-40, 40), st.integers(-40, 40))))
            if size.value > 1:
                return replace(size, tolerance=Tolerance(b * F(1, 1000), a * F(1, 1000)))
        case 2:
            low = size.value
            high = low + draw(st.integers(1, 50)) * size.step
            if size.step <= F(1) and size.denominator != 1:
                return replace(size, value=(low + high) / 2, limits=(low, high))
    return size


@st.composite
def one_sided(draw: st.DrawFn, sizes: st.SearchStrategy[Stated]) -> Stated:
    """A size, perhaps with MIN or MAX."""
    size = draw(sizes)
    if size.limits is not None or draw(st.booleans()):
        return size
    return replace(size, one_sided=True, words=(draw(st.sampled_from(LIMIT_WORDS)),))


numbers = st.one_of(lengths, fractions(), feet, broken_feet, scientific)
simple = st.one_of(lengths, fractions())
fits = st.sampled_from(["", "", "H7", "g6", "js9", "H7/g6", "F8/h9", "ZA6"])


@st.composite
def dimensions(draw: st.DrawFn) -> Stated:
    """A dimension of a length with anything beside it but a hole note."""
    stated = draw(one_sided(with_tolerance(numbers)))
    sign = draw(st.sampled_from([None, None, *Sign]))
    stated = replace(
        stated,
        sign=sign,
        count=draw(st.none() | st.integers(1, 99)),
        reference=draw(st.booleans()),
        boxed=draw(st.booleans()),
        underlined=draw(st.booleans()),
        words=(*stated.words, *draw(st.lists(st.sampled_from(NOTES), max_size=2, unique=True))),
    )
    if draw(st.booleans()):
        other = draw(one_sided(with_tolerance(simple)))
        stated = replace(stated, alternate=replace(other, sign=draw(st.sampled_from([None, sign]))))
    if stated.tolerance is None and stated.limits is None and draw(st.booleans()):
        stated = replace(stated, fit=draw(fits))
    if draw(st.integers(0, 3)) == 0:
        stated = replace(stated, words=(*stated.words, draw(st.sampled_from(LINES))))
    return stated


@st.composite
def chamfers(draw: st.DrawFn) -> Stated:
    """A chamfer: its leg with an angle, with the other leg, or with the letter."""
    size = draw(with_tolerance(simple.filter(lambda s: s.places != 0)))
    which = draw(st.integers(0, 2))
    angle = Stated(F(draw(st.sampled_from([30, 45, 60]))), F(1), 0, unit=Unit.DEGREE)
    chamfer = [Chamfer(), Chamfer(angle=angle), Chamfer(leg=draw(simple))][which]
    words = ("CHAM",) if which == 2 else draw(st.sampled_from([(), ("TYP",)]))
    return replace(size, chamfer=chamfer, words=words, count=draw(st.none() | st.integers(2, 9)))


@st.composite
def angles(draw: st.DrawFn) -> Stated:
    """An angle in any of the ways to write one."""
    minutes = st.integers(1, 21600).map(lambda n: Stated(F(n, 60), F(1, 60), unit=Unit.DEGREE))
    seconds = st.tuples(st.integers(1, 10**8), places).map(
        lambda q: Stated(F(q[0], 3600 * 10 ** q[1]), F(1, 3600 * 10 ** q[1]), unit=Unit.DEGREE)
    )
    gradians = st.tuples(st.integers(1, 4000), places).map(
        lambda q: Stated(F(9 * q[0], 10 ** (q[1] + 1)), F(9, 10 ** (q[1] + 1)), q[1], unit=Unit.DEGREE)
    )
    stated = draw(st.one_of(decimals(Unit.DEGREE, 1000), minutes, seconds, gradians))
    match draw(st.integers(0, 3)):
        case 0:
            both = draw(st.sampled_from([F(1), F(1, 2), F(1, 4), F(1, 60), F(31, 3600)]))
            stated = replace(stated, tolerance=Tolerance(both, -both))
        case 1:
            high = stated.value + draw(st.integers(1, 5)) * stated.step
            stated = replace(stated, limits=(stated.value, high), value=(stated.value + high) / 2)
    return replace(
        stated,
        count=draw(st.none() | st.integers(1, 99)),
        reference=draw(st.booleans()),
        words=draw(st.sampled_from([(), ("TYP",)])),
    )


THREADS = [
    Thread("1/4-20 UNC-2B", F(1, 4), Unit.INCH, F(1, 20), "2B"),
    Thread("1/4-20", F(1, 4), Unit.INCH, F(1, 20)),
    Thread("1 1/8-7 UNC", F(9, 8), Unit.INCH, F(1, 7)),
    Thread("#10-32 UNF-2B", F("0.190"), Unit.INCH, F(1, 32), "2B"),
    Thread("10-24", F("0.190"), Unit.INCH, F(1, 24)),
    Thread(".250-28 UNJF-3B", F(1, 4), Unit.INCH, F(1, 28), "3B"),
    Thread("M8", F(8), Unit.MILLIMETRE),
    Thread("M8x1.25", F(8), Unit.MILLIMETRE, F(5, 4)),
    Thread("M10x1.5-6H", F(10), Unit.MILLIMETRE, F(3, 2), "6H"),
    Thread("M10x1-6H LH", F(10), Unit.MILLIMETRE, F(1), "6H"),
    Thread("Tr20x4", F(20), Unit.MILLIMETRE, F(4)),
    Thread("1/2 NPT", F(1, 2), Unit.INCH, pipe=True),
    Thread("1/8-27 NPT", F(1, 8), Unit.INCH, F(1, 27), pipe=True),
    Thread("G1/2", F(1, 2), Unit.INCH, pipe=True),
]
SCREWS = [
    Thread("M6", F(6), Unit.MILLIMETRE), Thread("M6x20", F(6), Unit.MILLIMETRE),
    Thread("1/4-20", F(1, 4), Unit.INCH, F(1, 20)), Thread("#10", F("0.190"), Unit.INCH),
    Thread("5/16", F(5, 16), Unit.INCH),
]  # fmt: skip
HEADS = ["SHCS", "SOCKET HEAD CAP SCREW", "FHMS", "HEX HEAD BOLT"]

diameters = one_sided(with_tolerance(simple)).map(lambda s: replace(s, sign=Sign.DIAMETER))
depths = one_sided(with_tolerance(simple))
included = st.sampled_from([60, 82, 90, 100, 120]).map(lambda n: Stated(F(n), F(1), 0, unit=Unit.DEGREE))


@st.composite
def steps(draw: st.DrawFn, kind: StepKind) -> HoleStep:
    """A step with its diameter and what belongs to its kind."""
    diameter = draw(diameters)
    if kind is StepKind.COUNTERSINK:
        return HoleStep(kind, diameter, angle=draw(st.none() | included))
    depth = draw(st.none() | depths)
    return HoleStep(kind, diameter, depth, through=depth is None and kind is StepKind.HOLE and draw(st.booleans()))


@st.composite
def call_outs(draw: st.DrawFn, inner: bool = False) -> CallOut:
    """A hole note; `inner` for that of a dimension, which has its own words and count."""
    thread = draw(st.none() | st.sampled_from(THREADS))
    alone = thread is not None and not inner and draw(st.booleans())
    first = () if alone else (draw(steps(draw(st.sampled_from(StepKind)))),)
    further = draw(st.lists(st.sampled_from(list(StepKind)[1:]), max_size=0 if alone else 2))
    more = tuple(draw(steps(kind)) for kind in further)
    if alone and draw(st.booleans()):
        first = (HoleStep(StepKind.HOLE, through=True),)
    screw = draw(st.none() | st.sampled_from(SCREWS)) if thread is None else None
    return CallOut(
        draw(st.none() | st.integers(1, 99)),
        first + more,
        thread,
        draw(st.none() | depths) if thread is not None else None,
        screw,
        draw(st.sampled_from(HEADS)) if screw is not None else "",
        draw(st.none() | diameters),
        draw(st.booleans()),
        () if inner else tuple(draw(st.lists(st.sampled_from(["TYP", "BOTH SIDES", "REAM"]), max_size=2, unique=True))),
    )


@st.composite
def holes(draw: st.DrawFn) -> Stated:
    """A dimension with a hole note in it."""
    note = draw(call_outs(inner=True))
    first = note.steps[0]
    assert first.diameter is not None
    bare = replace(first, kind=StepKind.HOLE, diameter=None) == HoleStep(StepKind.HOLE) and first.kind is StepKind.HOLE
    rest = (note.steps[1:], note.thread, note.screw, note.bolt_circle)
    stated = replace(
        first.diameter,
        count=note.count,
        reference=draw(st.booleans()),
        words=(*first.diameter.words, *draw(st.sampled_from([(), ("TYP",)]))),
    )
    if bare and not any(rest) and not note.equally_spaced:
        return stated
    return replace(stated, call_out=note)


def back(stated: Stated, spelling: Spelling, kind: Kind = Kind.LINEAR) -> None:
    text = stated_text(stated, spelling)
    assert read_text(text, separator=spelling.separator, kind=kind) == stated, text


@given(dimensions(), spellings)
@settings(max_examples=400)
def test_dimensions_read_back(stated: Stated, spelling: Spelling) -> None:
    """A size with symbol, count, tolerance or limits, fit, second unit and words is read as it was written."""
    back(stated, spelling)


@given(chamfers(), spellings)
def test_chamfers_read_back(stated: Stated, spelling: Spelling) -> None:
    """A chamfer is read as it was written."""
    back(stated, spelling)


@given(angles(), spellings)
def test_angles_read_back(stated: Stated, spelling: Spelling) -> None:
    """An angle in degrees, minutes, seconds or gradians is read as it was written."""
    back(stated, spelling, Kind.ANGULAR)


@given(holes(), spellings)
@settings(max_examples=300)
def test_holes_read_back(stated: Stated, spelling: Spelling) -> None:
    """A dimension with a hole note in it is read as it was written."""
    back(stated, spelling, Kind.DIAMETER)


@given(call_outs(), spellings)
@settings(max_examples=300)
def test_hole_notes_read_back(note: CallOut, spelling: Spelling) -> None:
    """A hole note is read as it was written."""
    text = call_out_text(note, spelling)
    assert read_call_out(text, spelling.separator) == note, text


@pytest.mark.parametrize(
    "stated",
    [
        Stated(F(1, 3), F(1, 100), 2),
        Stated(F(1), F(1, 100), 3),
        Stated(F(1), F(1, 7)),
        Stated(F(1), F(1, 10), 1, tolerance=Tolerance(F(1, 3), F(-1, 3))),
    ],
)
def test_what_no_text_states_is_not_written(stated: Stated) -> None:
    """A value that no text can hold is refused and never written as something else."""
    with pytest.raises(ValueError, match=r"multiple|places|power|deviation"):
        stated_text(stated)
