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
from dimaudit.model.settings import EATEN_SHARE
from dimaudit.model.units import Unit
from dimaudit.scheme.advice import advise
from dimaudit.scheme.rounding import MOST_PLACES, Edge, Size, group_of, ways
from dimaudit.text.advice_text import advice_lines, ways_text


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
