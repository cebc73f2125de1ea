"""Recovering the levels of a view: simple numbers under noise, jointly, so that chains add up."""

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from read.sketch import Sketch
from strategies import dyadics, four_decimals, noises, three_decimals

from dimaudit.exact.number import exact
from dimaudit.exact.recover import INCH_GRIDS, METRIC_GRIDS
from dimaudit.model.audit import Verdict
from dimaudit.model.drawing import Arc, Circle, Origin, Segment, Shape
from dimaudit.model.geometry import Levels
from dimaudit.model.settings import COARSEST_NOISE, FINEST_NOISE
from dimaudit.model.units import Unit
from dimaudit.rebuild.levels import build_levels
from dimaudit.rebuild.noise import size_noise

F = Fraction
SNAP, METRIC_SNAP = F(1, 10**5), F(1, 10**4)
NOISE = F(1, 10**9)


def levels(*raws: str, noise: Fraction = NOISE, grids: object = INCH_GRIDS) -> Levels:
    return build_levels([F(r) for r in raws], SNAP, noise, grids)  # type: ignore[arg-type]


RECOVERED = [
    # name, file's number, meant number, grid, noise, grids
    ("noise of 1e-13 on a 16th", "2.4374999999998", "39/16", "16ths", "1e-9", INCH_GRIDS),
    ("noise of 1e-13 on a decimal", "2.5000000000001", "5/2", "half inches", "1e-9", INCH_GRIDS),
    ("noise of 1e-7 on a 128th", "0.0078126", "1/128", "128ths", "1e-6", INCH_GRIDS),
    ("a 128th in full", "0.0078125", "1/128", "128ths", "1e-9", INCH_GRIDS),
    ("noise of 1e-10 on four decimals", "1.2341000001", "1.2341", "4 decimals", "1e-9", INCH_GRIDS),
    ("10 mm in an inch file", "0.3937007874015748", "50/127", "tenths of a millimetre", "1e-9", INCH_GRIDS),
    ("12.35 mm in an inch file", "0.4862204724409449", "1235/2540", "hundredths of a millimetre", "1e-9", INCH_GRIDS),
    ("a 16th of an inch in a metric file", "1.58749999999999", "25.4/16", "16ths of an inch", "1e-9", METRIC_GRIDS),
    ("1.234 in in a metric file", "31.3435999999", "31.3436", "thousandths of an inch", "1e-9", METRIC_GRIDS),
    ("metric noise", "12.3000000000004", "12.3", "1 decimal", "1e-9", METRIC_GRIDS),
]


def meant(text: str) -> Fraction:
    """A number or a quotient of two."""
    top, _, bottom = text.partition("/")
    return F(top) / F(bottom or 1)


@pytest.mark.parametrize(
    ("raw", "value", "grid", "noise", "grids"), [r[1:] for r in RECOVERED], ids=[r[0] for r in RECOVERED]
)
def test_a_level_under_noise_is_taken_for_the_simple_number(
    raw: str, value: str, grid: str, noise: str, grids: object
) -> None:
    """A coordinate within the noise of a simple number is that number, and says on which grid it was found."""
    found = levels(raw, noise=F(noise), grids=grids).at(F(raw))
    assert found is not None
    assert (found.value, found.grid, found.raw) == (meant(value), grid, F(raw))


KEPT = ["1.2345678", "0.333333333333333", "3.14159265358979", "7.77777", "0.123456", "2.000001"]


@pytest.mark.parametrize("raw", KEPT)
def test_a_level_that_is_near_nothing_simple_is_kept(raw: str) -> None:
    """A number that is near no grid, or that a hand may have typed, stays what the file says."""
    found = levels(raw).at(F(raw))
    assert found is not None
    assert (found.value, found.grid) == (F(raw), "")


def test_a_part_at_an_odd_place_keeps_its_simple_sizes() -> None:
    """Where the levels are odd from the origin, their offsets from the lowest one are recovered instead."""
    base = 0.123456789012345
    raws = [exact(base + offset) for offset in (0.0, 1.0, 2.4375, 7.5)]
    found = build_levels(raws, SNAP, NOISE, INCH_GRIDS)
    placed = [found.place(raw) for raw in raws]
    assert [q - placed[0] for q in placed] == [0, 1, F(39, 16), F(15, 2)]


def test_points_within_the_snap_distance_are_one_level() -> None:
    """Coordinates nearer than the snap distance share the level that most points stand on."""
    found = levels("1", "1", "1.000008", "1.5")
    assert found.place(F("1.000008")) == 1
    assert found.place(F("1.000004")) == 1
    assert found.place(F("1.00003")) == F("1.00003")
    assert found.place(F("1.5")) == F(3, 2)


def test_points_beyond_the_snap_distance_are_two_levels() -> None:
    """Coordinates further apart than the snap distance stay apart."""
    found = levels("1", "1.00002")
    assert (found.place(F(1)), found.place(F("1.00002"))) == (1, F("1.00002"))


@given(
    st.lists(st.one_of(dyadics, four_decimals), min_size=2, max_size=12, unique=True),
    st.data(),
    st.floats(-1000, 1000).map(lambda x: round(x, 13)),
)
def test_chains_add_up_exactly(places: list[Fraction], data: st.DataObject, base: float) -> None:
    """Whatever the offset and the noise, the steps of a recovered chain add up to its whole, exactly."""
    raws = [exact(base + float(p) + data.draw(noises("1e-10"))) for p in sorted(places)]
    found = build_levels(raws, SNAP, NOISE, INCH_GRIDS)
    placed = [found.place(r) for r in raws]
    steps = [b - a for a, b in pairwise(placed)]
    assert sum(steps) == placed[-1] - placed[0]
    assert all(abs(p - r) <= SNAP + 2 * NOISE for p, r in zip(placed, raws, strict=True))
    order = sorted(raws)
    assert [found.place(r) for r in order] == sorted(found.place(r) for r in order)


@given(st.lists(dyadics, min_size=1, max_size=10, unique=True), st.data())
def test_a_part_of_128ths_is_recovered_to_the_128th(places: list[Fraction], data: st.DataObject) -> None:
    """Every dyadic level under noise of 1e-10 is found again."""
    raws = [exact(float(p) + data.draw(noises("1e-10"))) for p in places]
    assume(all(1_000_000 % r.denominator or r in places for r in raws))
    found = build_levels(raws, SNAP, NOISE, INCH_GRIDS)
    assert [found.place(r) for r in raws] == places


@given(st.lists(three_decimals, min_size=1, max_size=10, unique=True))
def test_a_metric_part_in_an_inch_file_is_recovered_to_the_hundredth(places: list[Fraction]) -> None:
    """Millimetres in hundredths, converted to inches in doubles, come back as the exact quotient by 25.4."""
    hundredths = [F(round(p * 100), 100) for p in places]
    assume(len(set(hundredths)) == len(hundredths))
    raws = [exact(float(p) / 25.4) for p in hundredths]
    found = build_levels(raws, SNAP, NOISE, INCH_GRIDS)
    for raw, p in zip(raws, hundredths, strict=True):
        assert found.place(raw) == (raw if 10**6 % raw.denominator == 0 else p / F(127, 5))


# --- the noise of a file -----------------------------------------------------------------------------------------


def lines(*xs: float) -> list[Shape]:
    return [Segment(Origin("1", "0"), (exact(x), F(0)), (exact(x), F(1))) for x in xs]


NOISY: list[tuple[str, list[float], Fraction]] = [
    ("no coordinate at all", [], FINEST_NOISE),
    ("clean", [1.0, 2.4375, 3.1234, 0.0078125], FINEST_NOISE),
    ("odd, and near nothing", [0.1234567, 0.333333333, 2.718281828], FINEST_NOISE),
    ("1e-13", [1.0000000000001, 2.4374999999999], FINEST_NOISE),
    ("3e-10", [1.0000000003, 2.4374999997, 5.0000000003], F(1, 10**8)),
    ("3e-9", [1.000000003, 2.437499997], F(1, 10**7)),
    ("5e-8", [1.00000005, 2.43749995], F(1, 10**6)),
    ("5e-7", [1.0000005, 2.4374995], COARSEST_NOISE),
]


@pytest.mark.parametrize(("xs", "wanted"), [n[1:] for n in NOISY], ids=[n[0] for n in NOISY])
def test_the_noise_is_sized_from_the_files_own_coordinates(xs: list[float], wanted: Fraction) -> None:
    """The noise in force is ten times what the nearly simple coordinates show, in powers of ten, within its bounds."""
    assert size_noise(lines(*xs)) == wanted


def test_radii_and_centres_count_for_the_noise() -> None:
    """Circles and arcs tell the noise as lines do."""
    origin = Origin("1", "0")
    assert size_noise([Circle(origin, (F(0), F(0)), exact(0.25000003))]) == F(1, 10**6)
    a, b = (F(1), F(0)), (F(0), F(1))
    assert size_noise([Arc(origin, (exact(9e-9), F(0)), F(1), a, b)]) == F(1, 10**7)


# --- through the whole pipeline ----------------------------------------------------------------------------------

DRIFTS = [("1e-13", Unit.INCH, 1e-13), ("1e-10", Unit.INCH, 1e-10), ("1e-7", Unit.INCH, 1e-7),
          ("1e-9 in millimetres", Unit.MILLIMETRE, 1e-9)]  # fmt: skip


@pytest.mark.parametrize(("unit", "drift"), [d[1:] for d in DRIFTS], ids=[d[0] for d in DRIFTS])
def test_a_noisy_drawing_is_read_as_the_one_that_was_meant(tmp_path: object, unit: Unit, drift: float) -> None:
    """A chain of sizes with noise on every corner states the simple sizes exactly and says that they were recovered."""
    sketch = Sketch(unit)
    wanted = [0.0, 1.0, 2.4375, 3.5, 7.125]
    xs = [x + drift * sign for x, sign in zip(wanted, (1, -1, 1, -1, 0), strict=True)]
    sketch.chain((xs[0], 0), (xs[-1], 0), (xs[-1], 2), (xs[0], 2), (xs[0], 0))
    for x in xs[1:-1]:
        sketch.line((x, 0), (x, 2))
    style = {"dimdec": 4}
    for k, (a, b) in enumerate(pairwise(xs)):
        sketch.across((a, 0), (b, 0), -1 - k, style=style)
    sketch.across((xs[0], 0), (xs[-1], 0), -9, style=style)
    audit = sketch.audit(tmp_path)  # type: ignore[arg-type]
    values = [j.measured for j in audit.judgements]
    assert values == [F(1), F("1.4375"), F("1.0625"), F("3.625"), F("7.125")]
    assert all(j.verdict is Verdict.EXACT and j.recovered for j in audit.judgements)


@settings(max_examples=25, deadline=None)
@given(
    st.lists(st.integers(1, 800), min_size=2, max_size=6, unique=True), st.floats(-50, 50), st.floats(-50, 50)
)
def test_a_part_anywhere_has_sizes_that_add_up(
    tmp_path_factory: object, widths: list[int], x0: float, y0: float
) -> None:
    """A chain of sizes on a part drawn at any odd place is measured in exact sizes whose sum is the overall size."""
    sketch = Sketch()
    places = [F(0)]
    for w in widths:
        places.append(places[-1] + F(w, 64))
    xs = [x0 + float(p) for p in places]
    sketch.chain((xs[0], y0), (xs[-1], y0), (xs[-1], y0 + 2), (xs[0], y0 + 2), (xs[0], y0))
    for x in xs[1:-1]:
        sketch.line((x, y0), (x, y0 + 2))
    for k, (a, b) in enumerate(pairwise(xs)):
        sketch.across((a, y0), (b, y0), y0 - 1 - k)
    sketch.across((xs[0], y0), (xs[-1], y0), y0 - 20)
    audit = sketch.audit(tmp_path_factory.mktemp("part"))  # type: ignore[attr-defined]
    *steps, whole = [j.measured for j in audit.judgements]
    assert steps == [F(w, 64) for w in widths]
    assert sum(steps) == whole  # type: ignore[arg-type]
