"""Advice on rounding: the least places that close chains, fractions, another origin, and where no decimals do."""

from decimal import ROUND_HALF_EVEN, ROUND_HALF_UP, Decimal, localcontext
from fractions import Fraction as F
from itertools import product
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st
from read.sketch import Sketch

from dimaudit.exact.number import Rounding, round_to
from dimaudit.model.advice import Advice
from dimaudit.model.audit import DrawingAudit
from dimaudit.model.settings import EATEN_SHARE, Settings
from dimaudit.model.units import Unit
from dimaudit.pipeline import audit_file
from dimaudit.scheme.advice import advise
from dimaudit.scheme.rounding import MOST_PLACES, Edge, Size, group_of, ways
from dimaudit.text.advice_text import advice_lines, ways_text

SAMPLES = Path(__file__).parent.parent.parent / "samples"


def size(name: str, exact: F, places: int, stated: F | None = None) -> Size:
    unit = F(1, 10**places)
    return Size(name, "", exact, round_to(exact, unit, Rounding.HALF_UP) if stated is None else stated, unit, places)


def chain(parts: list[Size], whole: Size):
    """Parts one after the other, and their overall."""
    levels = {0: F(0)}
    for k, part in enumerate(parts):
        levels[k + 1] = levels[k] + part.exact
    edges = [Edge(0, len(parts), 0), *(Edge(k, k + 1, k + 1) for k in range(len(parts)))]
    return group_of([whole, *parts], edges, levels, 0)


def anything(_node: int, _off: F) -> bool:
    return True


def test_three_equal_thirds_close_with_no_number_of_decimals() -> None:
    """1/3 + 1/3 + 1/3 = 1: .333 three times is .999, and one place more adds the same rest again (arithmetic)."""
    third = [size(n, F(1, 3), 3) for n in "ABC"]
    found = ways(chain(third, size("W", F(1), 3)), anything, True)
    assert (found.closes, found.places, found.fractions, found.never) == (False, None, None, True)
    assert found.no_decimal == (("A", F(1, 3)), ("B", F(1, 3)), ("C", F(1, 3)))
    assert ways_text(found, Unit.INCH) == "no number of decimals, the same for all, closes it: 1/3 is no decimal"


def test_one_third_and_two_thirds_close() -> None:
    """.333 + .667 = 1.000: nothing is claimed of repeating decimals as such."""
    found = ways(chain([size("A", F(1, 3), 3), size("B", F(2, 3), 3)], size("W", F(1), 3)), anything, True)
    assert found.fits
    assert not found.never


def test_two_ties_close_with_a_place_more_for_each_or_as_fractions() -> None:
    """7/16 + 7/16 = 7/8: .438 + .438 is .876; .4375 twice, or 7/16 twice, is .875 (arithmetic)."""
    found = ways(chain([size("A", F(7, 16), 3), size("B", F(7, 16), 3)], size("W", F(7, 8), 3)), anything, True)
    assert found.places is not None
    assert [(c.dimension, c.places, c.values) for c in found.places.changes] == [
        ("A", 4, (F(7, 16),)), ("B", 4, (F(7, 16),)),
    ]  # fmt: skip
    assert found.fractions is not None
    assert [(c.dimension, c.values) for c in found.fractions.changes] == [("A", (F(7, 16),)), ("B", (F(7, 16),))]
    assert ".4375 (4 decimals) for A" in ways_text(found, Unit.INCH)


def test_a_tie_counts_under_both_rules() -> None:
    """5/16 to three places is .313 or .312: a plan that stops there would close under one rule only, so it goes on.

    .31 + .69 = 1.00 closes by luck; with .3125 stated as .3 the chain .3 + .69 does not. Half-even and half-up of
    .3125 differ at three places (published tables print both).
    """
    parts = [size("A", F(5, 16), 1), size("B", F(11, 16), 4)]
    found = ways(chain(parts, size("W", F(1), 0)), anything, False)
    assert found.places is not None
    assert [(c.dimension, c.places, c.values) for c in found.places.changes] == [("A", 4, (F(5, 16),))]


def rounded(value: F, places: int, rule: str) -> F:
    """By the decimal library."""
    with localcontext() as context:
        context.prec = 60
        number = Decimal(value.numerator) / Decimal(value.denominator)
        return F(number.quantize(Decimal(1).scaleb(-places), rounding=rule))


@settings(max_examples=40, deadline=None)
@given(st.data())
def test_the_plan_is_the_least_of_all(data: st.DataObject) -> None:
    """As trying every number of places for every dimension finds it, rounded by the decimal library."""
    count = data.draw(st.integers(1, 3))
    exacts = [F(data.draw(st.integers(1, 150)), data.draw(st.sampled_from([16, 64, 40, 3]))) for _ in range(count)]
    starts = [data.draw(st.integers(1, 3)) for _ in range(count + 1)]
    parts = [size(str(k), e, p) for k, (e, p) in enumerate(zip(exacts, starts, strict=False))]
    whole = size("W", sum(exacts, F(0)), starts[-1])
    limit = data.draw(st.sampled_from([F(1), F(1, 1000), F(1, 3000)]))
    group = chain(parts, whole)
    found = ways(group, lambda node, off: node == 0 or abs(off) <= limit, False)

    def does(places: tuple[int, ...]) -> bool:
        for rule in (ROUND_HALF_UP, ROUND_HALF_EVEN):
            said = [
                s.stated if p == s.places else rounded(s.exact, p, rule)
                for s, p in zip([whole, *parts], places, strict=True)
            ]
            at = F(0)
            for k in range(count):
                at += said[k + 1]
                drawn = sum((p.exact for p in parts[: k + 1]), F(0))
                if abs(at - drawn) > limit:
                    return False
            if at != said[0]:
                return False
        return True

    everything = product(*(range(s.places or 0, MOST_PLACES + 1) for s in [whole, *parts]))
    costs = [sum(p) - sum(s.places or 0 for s in [whole, *parts]) for p in everything if does(p)]
    if not costs:
        assert not found.fits
        assert found.places is None
    elif min(costs) == 0:
        assert found.fits
    else:
        assert found.places is not None
        assert found.places.least
        places = {s.dimension: s.places or 0 for s in [whole, *parts]}
        assert sum((c.places or 0) - places[c.dimension] for c in found.places.changes) == min(costs)


def board(levels: list[F], pairs: list[tuple[int, int]], places: int, tmp_path: Path, **how: object) -> list[Advice]:
    """A stepped strip with these dimensions along x, stated half-up to so many places."""
    sketch = Sketch()
    top, points = F(20), [(levels[0], F(0)), (levels[0], F(20))]
    heights = {0: top}
    for k, level in enumerate(levels[1:-1], 1):
        points += [(level, top), (level, top - F(1, 4))]
        heights[k] = top
        top -= F(1, 4)
    points += [(levels[-1], top), (levels[-1], F(0)), (levels[0], F(0))]
    heights[len(levels) - 1] = top
    sketch.chain(*points)
    for a, b in pairs:
        value = round_to(levels[b] - levels[a], F(1, 10**places), Rounding.HALF_UP)
        text = f"{float(value):.{places}f}"
        sketch.across((levels[a], heights[a]), (levels[b], heights[b]), y=25, text=text)
    audit = sketch.audit(tmp_path)
    judged = {j.attached.dimension.handle: j for j in audit.judgements}
    found = advise(audit.schemes, judged, EATEN_SHARE, how.get("within"), True)  # type: ignore[arg-type]
    return [a for a in found if a.net.axis == 0]


def test_a_chain_of_ties_runs_away_and_a_common_origin_does_not(tmp_path: Path) -> None:
    """Four steps of 7/16 stated .438: the last edge lands .002 off. From the left edge .438 .875 1.313 1.750 are at
    most half a unit off, with no more places (arithmetic)."""
    levels = [F(7, 16) * k for k in range(5)]
    (found,) = board(levels, [(0, 1), (1, 2), (2, 3), (3, 4)], 3, tmp_path)
    assert found.worst is not None
    assert found.worst.deviation == F("0.002")
    assert found.worst.limit == F("0.0005")
    assert found.ways.closes
    assert not found.ways.fits
    assert found.ways.places is not None
    assert [c.places for c in found.ways.places.changes] == [4, 4, 4]
    assert [one.values for one in found.from_origin] == [
        (F("0.438"),), (F("0.875"),), (F("1.313"), F("1.312")), (F("1.75"),),
    ]  # fmt: skip
    text = "\n".join(advice_lines(found, Unit.INCH))
    assert "lands +0.002 from where it is drawn; allowed 0.0005" in text
    assert "with no more places, all from left edge" in text


def test_a_limit_by_the_users_word(tmp_path: Path) -> None:
    """.002 off is within .002, and not within .0019."""
    levels = [F(7, 16) * k for k in range(5)]
    chained = [(0, 1), (1, 2), (2, 3), (3, 4)]
    (wide,) = board(levels, chained, 3, tmp_path, within=F("0.002"))
    (narrow,) = board(levels, chained, 3, tmp_path, within=F("0.0019"))
    assert wide.ways.fits
    assert narrow.ways.places is not None
    assert len(narrow.ways.places.changes) == 1


def test_exact_chains_need_no_change(tmp_path: Path) -> None:
    """Nothing is advised where nothing is off."""
    (found,) = board([F(0), F(1), F(5, 2)], [(0, 1), (0, 2)], 3, tmp_path)
    assert found.ways.fits
    assert found.from_origin == ()
    assert "no change" in "\n".join(advice_lines(found, Unit.INCH))


def strip(tmp_path: Path, *texts: str, steps: tuple[F, ...] = (F(1), F(2))) -> list[Advice]:
    """A stepped strip whose steps and overall are stated by these texts; the advice along x."""
    a, b = steps
    sketch = Sketch()
    sketch.chain((0, 0), (0, 3), (a, 3), (a, 2), (a + b, 2), (a + b, 0), (0, 0))
    sketch.across((0, 3), (a, 3), y=4, text=texts[0])
    sketch.across((a, 2), (a + b, 2), y=4, text=texts[1])
    sketch.across((0, 0), (a + b, 0), text=texts[2])
    audit = sketch.audit(tmp_path)
    judged = {j.attached.dimension.handle: j for j in audit.judgements}
    return [a for a in advise(audit.schemes, judged, EATEN_SHARE, None, True, audit.rounding) if a.net.axis == 0]


def test_a_wrong_number_is_named_with_the_right_one_and_the_rest_is_advised(tmp_path: Path) -> None:
    """Drawn 7/16 + 7/16 = 7/8, stated .438, .348 (swapped) and .875: mended to .438 the chain is .876, and the
    least that closes it is .4375 twice (arithmetic)."""
    (found,) = strip(tmp_path, ".438", ".348", ".875", steps=(F(7, 16), F(7, 16)))
    (wrong,) = found.wrong
    assert (wrong.text, wrong.exact, wrong.value) == (".348", F(7, 16), F("0.438"))
    assert found.not_advised == ""
    assert not found.ways.closes
    assert found.ways.places is not None
    assert [c.values for c in found.ways.places.changes] == [(F(7, 16),), (F(7, 16),)]
    text = "\n".join(advice_lines(found, Unit.INCH))
    assert f"wrong: {wrong.dimension} .348 is drawn 0.4375: if the drawing is right, it is .438" in text
    assert "with that mended:" in text


def test_a_wrong_number_is_mended_as_it_is_written(tmp_path: Path) -> None:
    """A fraction stays one, whatever its denominator, and millimetres stay millimetres (1 in is 25.4 mm)."""
    (found,) = strip(tmp_path, "26.4 mm", "2 1/4", "3.375", steps=(F(1), F(19, 8)))
    text = "\n".join(advice_lines(found, Unit.INCH))
    assert [w.written for w in found.wrong] == [F("25.4"), F(19, 8)]
    assert "if the drawing is right, it is 25.4 mm" in text
    assert "2 1/4 is drawn 2.375: if the drawing is right, it is 2 3/8\n" in text
    assert found.ways.fits


def test_a_typed_whole_number_counts_by_the_places_of_the_style(tmp_path: Path) -> None:
    """'1' under a style of two places, drawn 19/16: 1.19 to its places, and the exact size has four."""
    (found,) = strip(tmp_path, "1", "1.1875", "2.3750", steps=(F(19, 16), F(19, 16)))
    assert [w.value for w in found.wrong] == [F("1.19")]
    assert found.ways.places is not None
    assert [(c.places, c.values) for c in found.ways.places.changes] == [(4, (F(19, 16),))]


def test_two_wrong_numbers_that_add_up_are_not_taken_for_right(tmp_path: Path) -> None:
    """1.1 + 1.9 = 3.0, drawn 1 and 2: the chain closes as stated, and both numbers are wrong all the same."""
    (found,) = strip(tmp_path, "1.100", "1.900", "3.000")
    assert [w.value for w in found.wrong] == [1, 2]
    assert found.ways.fits


def test_wrong_limits_have_no_one_right_number(tmp_path: Path) -> None:
    """Limits beside what is drawn could be meant anyhow, so nothing is advised; the wrong number beside is named."""
    (found,) = strip(tmp_path, "1.010-1.020", "2.500", "3.000")
    assert [w.value for w in found.wrong] == [2]
    assert "wrong" in found.not_advised


def test_a_rounding_that_its_tolerance_has_no_room_for_is_no_wrong_number(tmp_path: Path) -> None:
    """7/16 as .438 with ±.0001 is wrong by its tolerance; it is what 7/16 rounds to, and a place more mends it."""
    (found,) = strip(tmp_path, ".438 %%p.0001", "2.0000", "2.4375", steps=(F(7, 16), F(2)))
    assert found.wrong == ()
    assert found.ways.places is not None
    assert [c.values for c in found.ways.places.changes] == [(F(7, 16),)]


def test_wrong_numbers_of_the_samples_are_mended_to_what_is_drawn() -> None:
    """Each mended number is within half a unit in its last place of the drawn size that its verdict is from."""
    seen = 0
    for path in sorted(SAMPLES.glob("*.dxf")):
        audit, _ = audit_file(path, Settings())
        assert isinstance(audit, DrawingAudit)
        judged = {j.attached.dimension.handle: j for j in audit.judgements}
        for one in advise(audit.schemes, judged, EATEN_SHARE, None, True, audit.rounding):
            for wrong in one.wrong:
                j = judged[wrong.dimension]
                assert wrong.exact == j.measured
                assert abs(wrong.value - wrong.exact) <= j.step / 2
                assert wrong.value != j.stated
                seen += 1
    assert seen > 5


def test_the_finding_of_a_chain_that_does_not_close_says_the_least_change(tmp_path: Path) -> None:
    """.438 + .438 under .875, drawn 7/16 twice: both need a fourth place, or the fraction."""
    sketch = Sketch()
    a = F(7, 16)
    sketch.chain((0, 0), (0, 3), (a, 3), (a, 2), (2 * a, 2), (2 * a, 0), (0, 0))
    sketch.across((0, 3), (a, 3), y=4, text=".438")
    sketch.across((a, 2), (2 * a, 2), y=4, text=".438")
    sketch.across((0, 0), (2 * a, 0), text=".875")
    audit = sketch.audit(tmp_path)
    (finding,) = [f for f in audit.findings if f.rule == "chain-does-not-close"]
    assert "the least that closes it: state .4375 (4 decimals) for" in finding.suggestion
    assert "as fractions: state 7/16 for" in finding.suggestion
