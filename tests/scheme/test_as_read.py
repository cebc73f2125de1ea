"""The as-read part: where the stated numbers put each feature. Expected values are worked by hand or in closed form."""

import itertools
import math
import tempfile
from fractions import Fraction as F
from pathlib import Path

import mpmath
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from rules.rule_board import Board

from dimaudit.model.as_read import AsRead, Landing
from dimaudit.model.drawing import Arc
from dimaudit.model.scheme import Implied
from dimaudit.model.settings import Settings
from dimaudit.pipeline import as_read_file
from dimaudit.report.as_read import as_read_lines, listed, signed
from dimaudit.scheme.chains import Chains, Edge

SAMPLES = Path(__file__).parent.parent.parent / "samples"


def read(board: Board, neglected: frozenset[str] = frozenset()) -> AsRead:
    """The only part of a drawing."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "print.dxf"
        board.doc.saveas(path)
        (part,) = as_read_file(path, Settings(), neglected).parts
    return part


def landing(part: AsRead, axis: int, value: float) -> Landing:
    (found,) = (m for m in part.landings if m.axis == axis and m.places[0].value == F(str(value)))
    return found


def off(part: AsRead, axis: int, value: float) -> F:
    """How far a level or a radius is off, where that is exact."""
    span = landing(part, axis, value).off
    assert span is not None
    assert span[0] == span[1]
    return span[0]


def cleat_plate(texts: tuple[str, ...] = (".438", ".438", ".438")) -> tuple[Board, list[str]]:
    """Three holes, each 7/16 from the one before."""
    board = Board()
    board.plate(3, 2)
    handles = [board.across((0, 0), (3, 0)), board.upright((0, 0), (0, 2)), board.upright((0, 0), (0.4375, 1))]
    for k in range(3):
        board.circle((0.4375 * (k + 1), 1), 0.25)
        handles.append(board.diameter((0.4375 * (k + 1), 1), 0.25))
    before = (0.0, 0.0)
    for k, text in enumerate(texts):
        after = (0.4375 * (k + 1), 1.0)
        handles.append(board.across(before, after, text=text, line_at=3 + 0.5 * k))
        before = after
    return board, handles


def test_what_three_rounded_steps_add_up_to():
    """7/16 is stated as .438: one step is .0005 off, two are .001, three .0015."""
    part = read(cleat_plate()[0])
    assert [off(part, 0, 0.4375 * k) for k in (1, 2, 3)] == [F("0.0005"), F("0.001"), F("0.0015")]
    assert [m.places[0].value for m in listed(part)] == [F("1.3125"), F("0.875"), F("0.4375")]
    assert off(part, 0, 3) == 0
    assert not part.conflicts


def test_the_arithmetic_is_written_out():
    lines = [text for _, text in as_read_lines([read(cleat_plate()[0])], None, {})]
    assert any("0.438 + 0.438 + 0.438 = 1.314, drawn 1.3125" in text for text in lines)
    assert any("set up along x from: left edge" in text for text in lines)


def test_fractions_land_where_they_are_drawn():
    part = read(cleat_plate(("7/16", "7/16", "7/16"))[0])
    assert not listed(part)


@pytest.mark.parametrize(("tolerance", "inside"), [("0.0004", False), ("0.0005", True), ("0.01", True)])
def test_the_worst_case_of_the_way_is_the_limit(tolerance: str, inside: bool):
    """Three steps of .438 are .0015 off; with ±.0005 on each the drawn place is just inside."""
    board, _ = cleat_plate(tuple(f".438%%p{tolerance}" for _ in range(3)))
    found = landing(read(board), 0, 1.3125)
    assert found.tolerance == (-3 * F(tolerance), 3 * F(tolerance))
    assert found.inside is inside


def test_without_a_tolerance_nothing_is_said_of_it():
    assert landing(read(cleat_plate()[0]), 0, 1.3125).inside is None


def test_a_baseline_is_what_the_part_is_set_up_from():
    """Three dimensions start from the right edge: it stands still, and the left edge is what the overall moves."""
    board = Board()
    board.plate(3, 2)
    board.upright((0, 0), (0, 2))
    for k, (x, text) in enumerate(((2.0625, ".938"), (1.5625, "1.438"), (0, "3.001"))):
        if x:
            board.line((x, 0), (x, 2))
        board.across((3, 0), (x, 0), text=text, line_at=-1 - 0.5 * k)
    part = read(board)
    assert off(part, 0, 3) == 0
    assert off(part, 0, 0) == F("-0.001")
    assert off(part, 0, 2.0625) == F("-0.0005")


def test_a_centreline_halves_what_is_stated():
    """Holes drawn alike about the middle of a plate: each is off by half of what the plate and their distance are."""
    board = Board()
    board.plate(3.0, 2)
    board.line((1.5, -0.5), (1.5, 2.5), linetype="CENTER")
    for x in (0.5, 2.5):
        board.circle((x, 1), 0.25)
        board.diameter((x, 1), 0.25)
    board.upright((0, 0), (0, 2))
    board.upright((0, 0), (0.5, 1), line_at=-1)
    board.across((0, 0), (3, 0), text="3.001")
    board.across((0.5, 1), (2.5, 1), text="2.003")
    part = read(board)
    assert (off(part, 0, 3), off(part, 0, 0.5), off(part, 0, 2.5)) == (F("0.001"), F("-0.001"), F("0.002"))
    legs = landing(part, 0, 0.5).legs
    assert legs is not None
    assert sorted((leg.share, leg.stated) for leg in legs) == [(F(-1, 2), F("2.003")), (F(1, 2), F("3.001"))]


def test_what_is_free_stays_and_is_said_to_be_free():
    board = Board()
    board.plate(3, 2)
    board.across((0, 0), (3, 0), text="3.001")
    board.upright((0, 0), (0, 2))
    board.circle((1, 1), 0.25)
    part = read(board)
    found = landing(part, 0, 1)
    assert found.free
    assert found.off == (0, 0)
    assert not landing(part, 0, 3).free


def test_limits_that_hold_leave_the_drawn_value():
    board, handles = cleat_plate()
    board.across((0, 0), (0.4375, 1), text="<>")
    plain = Board()
    plain.plate(3, 2)
    plain.upright((0, 0), (0, 2))
    plain.across((0, 0), (3, 0), dimlim=1, dimtp=0.004, dimtm=0.001)
    part = read(plain)
    assert off(part, 0, 3) == 0
    assert "limits" in part.kept[0][1]
    assert handles


def test_a_view_drawn_twice_as_large():
    """DIMLFAC 1/2: .001 too long on the print is .002 in drawn units, and .001 of the part."""
    board = Board()
    board.plate(6, 4)
    board.across((0, 0), (6, 0), text="3.001", dimlfac=0.5)
    board.upright((0, 0), (0, 4), dimlfac=0.5)
    part = read(board)
    found = landing(part, 0, 6)
    assert off(part, 0, 6) == F("0.002")
    assert off(part, 0, 6) * found.scale == F("0.001")
    assert found.legs is not None
    assert [(leg.share, leg.stated, leg.drawn) for leg in found.legs] == [(1, F("3.001"), 3)]


# --- slanted, tangent, angles -----------------------------------------------------------------


def slot(radius: str) -> Board:
    """A slot of R.3125 on a slope of 3 in 4, over a length of 2.5; all its coordinates are rational."""
    board = Board()
    board.plate(6, 5)
    board.across((0, 0), (6, 0), line_at=-3)
    board.upright((0, 0), (0, 5), line_at=-3)
    (ax, ay), (bx, by), r = (2.0, 1.5), (4.0, 3.0), 0.3125
    nx, ny = -0.6 * r, 0.8 * r
    board.line((ax + nx, ay + ny), (bx + nx, by + ny))
    board.line((ax - nx, ay - ny), (bx - nx, by - ny))
    turn = math.degrees(math.atan2(0.6, 0.8))
    board.arc((ax, ay), r, turn + 90, turn + 270)
    board.arc((bx, by), r, turn - 90, turn + 90)
    for k, (x, y) in enumerate(((ax, ay), (bx, by))):
        board.across((0, 0), (x, y), line_at=6 + k)
        board.upright((0, 0), (x, y), line_at=7 + k)
    board.radius((ax, ay), r, turn + 180, text=radius)
    board.radius((bx, by), r, turn, text=radius)
    return board


def test_a_slot_with_tangent_arcs():
    """Read as R.313 each tangent point moves square to the slot's axis: by .0005 times (-.6, .8)."""
    part = read(slot("R.313"))
    sizes = [m.off for m in part.landings if m.axis == 2]
    assert sizes == [(F("0.0005"), F("0.0005"))] * 2
    moved = {round(float(m.places[0].value), 6): m for m in part.landings if m.axis == 0}
    found = moved[2.0 - 0.6 * 0.3125].off
    assert found is not None
    assert found[0] - F(1, 10**9) <= F("-0.0003") <= found[1] + F(1, 10**9)
    arcs = [s for s in part.shapes if isinstance(s, Arc)]
    assert {a.radius for a in arcs} == {F("0.313")}
    for arc in arcs:
        for p in (arc.a, arc.b):
            away = math.hypot(float(p[0] - arc.centre[0]), float(p[1] - arc.centre[1]))
            assert away == pytest.approx(0.313, abs=1e-8)


def triangle(texts: tuple[str, str, str]) -> Board:
    """Sides 5 (base), 5 (left) and 6 (right): the apex is drawn at (1.4, 4.8)."""
    board = Board()
    board.path((0, 0), (5, 0), (1.4, 4.8))
    board.across((0, 0), (5, 0), text=texts[0], line_at=-1)
    board.aligned((0, 0), (1.4, 4.8), text=texts[1])
    board.aligned((1.4, 4.8), (5, 0), text=texts[2])
    return board


@settings(max_examples=25, deadline=None)
@given(st.tuples(*[st.integers(-40, 40)] * 3))
def test_a_triangle_by_three_sides(parts: tuple[int, int, int]):
    """The law of cosines: x = (b² + c² - a²) / 2c and y = √(b² - x²), with c the base."""
    c, b, a = (base + F(k, 1000) for base, k in zip((5, 5, 6), parts, strict=True))
    part = read(triangle((f"{float(c):.3f}", f"{float(b):.3f}", f"{float(a):.3f}")))
    x = (b * b + c * c - a * a) / (2 * c)
    across, up = landing(part, 0, 1.4).off, landing(part, 1, 4.8).off
    assert across is not None
    assert up is not None
    assert across[0] <= x - F("1.4") <= across[1]
    assert (up[0] + F("4.8")) ** 2 <= b * b - x * x <= (up[1] + F("4.8")) ** 2
    assert across[1] - across[0] < F(1, 10**30)


def test_sides_that_make_no_triangle_are_not_judged():
    part = read(triangle(("5", "1", "1.5")))
    found = landing(part, 1, 4.8)
    assert found.off is None
    assert found.why_not


def test_an_angle_read_as_another():
    """A ramp that rises over 4 at 30° (stated 31°) ends 4 tan 31° high; checked with mpmath."""
    high = 4 * math.tan(math.radians(30))
    board = Board()
    board.path((0, 0), (4, 0), (4, high))
    board.across((0, 0), (4, 0), line_at=-1)
    board.angle(((0, 0), (4, 0)), ((0, 0), (4, high)), (2, 0.5), text="31%%d")
    part = read(board)
    (found,) = (m for m in part.landings if m.axis == 1 and m.places[0].value > 1)
    assert found.off is not None
    with mpmath.workdps(40):
        expected = 4 * mpmath.tan(mpmath.radians(31)) - mpmath.mpf(str(found.places[0].value.numerator)) / mpmath.mpf(
            str(found.places[0].value.denominator)
        )
        assert abs(mpmath.mpf(str(signed(*found.off, None)).replace("…", "")) - expected) < 2e-9


# --- conflicts --------------------------------------------------------------------------------


def stepped(texts: tuple[str, str, str, str]) -> tuple[Board, list[str]]:
    """Levels at 0, 1, 2 and 3: three steps and the overall."""
    board = Board()
    board.plate(3, 2)
    board.upright((0, 0), (0, 2))
    for x in (1, 2):
        board.line((x, 0), (x, 2))
    handles = [board.across((k, 0), (k + 1, 0), text=texts[k], line_at=-1) for k in range(3)]
    return board, [*handles, board.across((0, 0), (3, 0), text=texts[3], line_at=-2)]


def test_a_loop_that_does_not_close():
    """1.001 + 1.000 + 1.000 against 3.000. By hand, the levels 1, 2, 3 are off:

    the overall not met: .001, .001, .001; the first step: 0, 0, 0; the second: .001, 0, 0; the third: .001, .001, 0.
    """
    board, (first, second, third, overall) = stepped(("1.001", "1.000", "1.000", "3.000"))
    part = read(board)
    (conflict,) = part.conflicts
    assert set(conflict.members) == {first, second, third, overall}
    assert conflict.ways == 4
    assert abs(conflict.error or 0) == F("0.001")
    thou = F("0.001")
    expected = {(overall,): (thou, thou, thou), (first,): (0, 0, 0), (second,): (thou, 0, 0), (third,): (thou, thou, 0)}
    assert conflict.choices[0].neglected == (overall,)
    for choice in conflict.choices:
        lands = {part.landings[i].places[0].value: span for i, span in choice.lands if part.landings[i].axis == 0}
        default = {level: landing(part, 0, level).off for level in (1, 2, 3)}
        got = tuple((lands.get(F(level)) or default[level] or (F(9), F(9)))[0] for level in (1, 2, 3))
        assert got == expected[choice.neglected]
    assert [(landing(part, 0, k).least, landing(part, 0, k).greatest) for k in (1, 2, 3)] == [(0, thou)] * 3


def test_a_neglected_dimension_gives_way():
    """Without the first step the part lands where it is drawn, and nothing is left to choose."""
    board, handles = stepped(("1.001", "1.000", "1.000", "3.000"))
    part = read(board, frozenset({handles[0].upper()}))
    assert not part.conflicts
    assert not listed(part)


def test_parentheses_take_no_part():
    part = read(stepped(("1.001", "1.000", "1.000", "(3.000)"))[0])
    assert not part.conflicts
    assert off(part, 0, 3) == F("0.001")


def test_independent_loops_add_up():
    """Two loops one after the other, .001 and .002 long: the last level is off by 0 to .003."""
    board = Board()
    board.plate(4, 2)
    board.upright((0, 0), (0, 2))
    for x in (1, 2, 3):
        board.line((x, 0), (x, 2))
    for k, text in enumerate(("1.001", "1.000", "1.002", "1.000")):
        board.across((k, 0), (k + 1, 0), text=text, line_at=-1)
    board.across((0, 0), (2, 0), line_at=-2)
    board.across((2, 0), (4, 0), line_at=-2)
    for k in range(3):  # most dimensions start from the left edge, so the part is set up from there
        board.circle((0.25 + k / 4, 1), 0.125)
        board.across((0, 0), (0.25 + k / 4, 1), line_at=3 + k)
    part = read(board)
    assert len(part.conflicts) == 2
    last = landing(part, 0, 4)
    assert (last.least, last.greatest, last.bound) == (0, F("0.003"), False)
    middle = landing(part, 0, 2)
    assert (middle.least, middle.greatest) == (0, F("0.001"))


def test_a_fourth_number_on_a_triangle():
    """Three sides and an angle that they do not make: any of the four may be the one that is not met."""
    board = triangle(("5.000", "5.000", "6.000"))
    board.angle(((0, 0), (5, 0)), ((0, 0), (1.4, 4.8)), (1, 1), text="74%%d")
    (conflict,) = read(board).conflicts
    assert len(conflict.members) == 4
    assert sorted(c.neglected for c in conflict.choices) == sorted((h,) for h in conflict.members)
    assert all(span is not None for choice in conflict.choices for _, span in choice.lands)


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_ranges_are_those_of_all_spanning_trees(data: st.DataObject):
    """A choice of what to trust is a spanning tree; all of them, found by trying, give the ways out."""
    count = data.draw(st.integers(2, 5))
    pairs = st.tuples(st.integers(0, count - 1), st.integers(0, count - 1)).filter(lambda p: p[0] != p[1])
    chosen = data.draw(st.lists(st.tuples(pairs, st.integers(-2, 2)), min_size=1, max_size=7))
    edges = [Edge(k, a, b, F(e)) for k, ((a, b), e) in enumerate(chosen)]
    chains = Chains(count, edges, (0,))
    forest = chains.forest()
    for tangle in chains.tangles(forest):
        nodes = sorted({n for e in tangle.edges for n in (e.a, e.b)})
        expected = set()
        trees = 0
        for kept in itertools.combinations(tangle.edges, len(nodes) - 1):
            at = {nodes[0]: F(0)}
            for _ in nodes:
                for e in kept:
                    if e.a in at:
                        at.setdefault(e.b, at[e.a] + e.adds)
                    elif e.b in at:
                        at.setdefault(e.a, at[e.b] - e.adds)
            if len(at) == len(nodes):
                trees += 1
                expected.add(frozenset(e.relation for e in tangle.edges if at[e.b] - at[e.a] != e.adds))
        assert tangle.count == trees
        assert set(tangle.ways) == expected
    unmet = [e for e in edges if forest.off[e.b] - forest.off[e.a] != e.adds and forest.root[e.a] == forest.root[e.b]]
    assert {e.relation for e in unmet} <= {e.relation for t in chains.tangles(forest) for e in t.edges}


def test_more_ways_than_are_looked_at_give_a_bound():
    """Every two of eight levels are dimensioned: 8^6 spanning trees (Cayley's formula), so the range is a bound."""
    edges = [Edge(k, a, b, F(k % 3 - 1)) for k, (a, b) in enumerate(itertools.combinations(range(8), 2))]
    (tangle,) = Chains(8, edges, (0,)).tangles(Chains(8, edges, (0,)).forest())
    assert tangle.count == 8**6
    assert tangle.ways == ()


# --- the property -----------------------------------------------------------------------------

HALVES = [F(k, 2) for k in range(1, 17)]


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.data_too_large])
@given(st.data())
def test_each_stated_number_moves_just_what_hangs_on_it(data: st.DataObject):
    """A random plate with slits, fully dimensioned by a random tree: every level lands where the chain puts it.

    The sums are found anew here, from the tree and the stated numbers.
    """
    levels = [F(0), *sorted(data.draw(st.sets(st.sampled_from(HALVES), min_size=2, max_size=6)))]
    board = Board()
    board.plate(float(levels[-1]), 2)
    board.upright((0, 0), (0, 2))
    for level in levels[1:-1]:
        board.line((float(level), 0), (float(level), 2))
    stated: dict[tuple[int, int], F] = {}
    for k in data.draw(st.permutations(range(1, len(levels)))):
        to = data.draw(st.integers(0, k - 1))
        number = levels[k] - levels[to] + F(data.draw(st.integers(-20, 20)), 10_000)
        stated[to, k] = number
        ends = [(float(levels[to]), 0.0), (float(levels[k]), 0.0)]
        if data.draw(st.booleans()):
            ends.reverse()
        board.across(ends[0], ends[1], text=f"{float(number):.4f}", line_at=-1 - len(stated) / 2)
    part = read(board)
    assert not part.conflicts
    reached = {0: F(0)}
    for k in range(1, len(levels)):
        ((to, number),) = ((a, n) for (a, b), n in stated.items() if b == k)
        reached[k] = reached[to] + number
    found = {k: off(part, 0, float(level)) for k, level in enumerate(levels)}
    shift = found[0]  # whatever level stands still
    assert {k: v - shift for k, v in found.items()} == {k: reached[k] - levels[k] for k in reached}
    assert any(v == 0 for v in found.values())
    for k, level in enumerate(levels):
        legs = landing(part, 0, float(level)).legs
        assert legs is not None
        assert sum((leg.share * (leg.stated - leg.drawn) for leg in legs), F(0)) == found[k]


# --- samples ----------------------------------------------------------------------------------


@pytest.mark.parametrize("path", sorted(SAMPLES.glob("*.dxf")), ids=lambda p: p.stem)
def test_samples_are_off_only_where_their_text_is(path: Path):
    """Where all dimensions state what is drawn nothing moves, and each arithmetic accounts for what does."""
    for part in as_read_file(path, Settings()).parts:
        for found in listed(part):
            assert found.off is not None
            if found.legs is not None:
                assert any(leg.stated != leg.drawn for leg in found.legs)
                apart = sum((leg.share * (leg.stated - leg.drawn) for leg in found.legs), F(0))
                assert found.off == (apart / found.scale,) * 2
        if path.stem != "cleat-drill-jig":
            assert not listed(part)
            assert not part.conflicts


def test_a_long_loop_has_an_exact_range_all_the_same():
    """240 steps of 1.0005 (drawn 1) and their overall, which is right: level k is .0005 k off, or .0005 k - .12."""
    count = 240
    edges = [Edge(k, k, k + 1, F("0.0005")) for k in range(count)]
    for closing in (Edge(count, 0, count, F(0)), Edge(count, count, 0, F(0))):
        chains = Chains(count + 1, [*edges, closing], (0,))
        forest = chains.forest()
        (tangle,) = chains.tangles(forest)
        assert tangle.ways == ()
        assert tangle.count == count + 1
        for k in (1, 100, count):
            least, greatest = sorted((F("0.0005") * k, F("0.0005") * k - F("0.12")))
            spread = tangle.spread(forest, k)
            assert spread is not None
            assert (forest.off[k] + spread[0], forest.off[k] + spread[1], spread[2]) == (least, greatest, False)
    assert tangle.spread(forest, 0) is None


def test_the_bound_holds_for_every_way_out():
    """Five levels with every two dimensioned: 125 trees, each within what the loops of the forest allow."""
    edges = [Edge(k, a, b, F(k % 3 - 1)) for k, (a, b) in enumerate(itertools.combinations(range(5), 2))]
    chains = Chains(5, edges, (0,))
    forest = chains.forest()
    (tangle,) = chains.tangles(forest)
    assert tangle.count == 125
    for way in tangle.ways:
        there = chains.forest(way)
        for node in range(1, 5):
            spread = tangle.spread(forest, node)
            assert spread is not None
            assert spread[0] <= there.off[node] - forest.off[node] <= spread[1]


def words(part: AsRead) -> str:
    """What the terminal shows."""
    return "\n".join(text for _, text in as_read_lines([part], None, {}))


def slant(text: str, *, height: bool) -> Board:
    """A plate whose hole, drawn at (3, 4), is placed by its distance from a corner, and perhaps by its height."""
    board = Board()
    board.plate(6, 8)
    board.circle((3, 4), 0.5)
    board.diameter((3, 4), 0.5)
    board.across((0, 8), (6, 8))
    board.upright((0, 0), (0, 8), line_at=-1)
    if height:
        board.upright((6, 0), (3, 4), line_at=7)
    board.aligned((0, 0), (3, 4), text=text)
    return board


def test_one_of_several_answers_is_said_to_be_one():
    """A distance alone leaves the hole a circle to be on: that it lands on the drawn height is a choice."""
    part = read(slant("5.001", height=False))
    assert [m.several for m in listed(part)] == [True]
    assert "one of several answers" in words(part)


def test_an_answer_that_is_the_only_one_is_not_called_one_of_several():
    """x² + 4² = 5.001², and the height is stated."""
    part = read(slant("5.001", height=True))
    (hole,) = listed(part)
    assert hole.off is not None
    with mpmath.workdps(30):
        assert abs(mpmath.mpf(hole.off[0].numerator) / hole.off[0].denominator - (
            mpmath.sqrt(mpmath.mpf("5.001") ** 2 - 16) - 3)) < mpmath.mpf(10) ** -20  # fmt: skip
    assert not hole.several
    assert "one of several" not in words(part)


def test_what_hangs_on_a_loose_feature_is_one_of_several():
    """Two holes 1.001 apart (drawn 1), and neither located across: either may be the one that is off."""
    board = Board()
    board.plate(6, 4)
    board.across((0, 4), (6, 4))
    board.upright((0, 0), (0, 4), line_at=-1)
    board.upright((0, 0), (3, 2), line_at=-2)
    for x in (3, 4):
        board.circle((x, 2), 0.5)
        board.diameter((x, 2), 0.5)
    board.across((3, 2), (4, 2), text="1.001", line_at=5)
    part = read(board)
    assert [m.several for m in listed(part)] == [True]
    assert "1 levels and sizes are held by nothing and stay where they are drawn" in words(part)


def row(steps: str, whole: str) -> tuple[Board, str, str]:
    """Four holes drawn 1 apart, by '3X' and by the whole."""
    board = Board()
    board.plate(6, 2)
    for k in range(4):
        board.circle((1 + k, 1), 0.25)
    board.across((0, 2), (6, 2))
    board.upright((0, 0), (0, 2), line_at=-1)
    board.across((0, 0), (1, 1), line_at=-1)
    board.upright((6, 0), (4, 1), line_at=7)
    board.diameter((4, 1), 0.25, text="4X <>")
    step = board.across((1, 1), (2, 1), text=f"3X {steps}", line_at=-1)
    return board, step, board.across((1, 1), (4, 1), text=whole, line_at=-2)


def test_steps_that_do_not_make_their_whole_have_a_range():
    """3 × 1.001 against 3.000: by the steps the last hole is .003 off, by the whole it is not; the steps stay equal."""
    board, step, whole = row("1.001", "3.000")
    part = read(board)
    (conflict,) = part.conflicts
    assert set(conflict.members) == {step, whole}
    assert sorted(c.neglected for c in conflict.choices) == sorted([(step,), (whole,)])
    ranges = {x: (landing(part, 0, x).least, landing(part, 0, x).greatest) for x in (2, 3, 4)}
    assert ranges == {2: (0, F("0.001")), 3: (0, F("0.002")), 4: (0, F("0.003"))}


def test_steps_that_make_their_whole_open_no_choice():
    board, _, _ = row("1.001", "3.003")
    part = read(board)
    assert part.conflicts == ()
    assert off(part, 0, 4) == F("0.003")


def test_a_symmetry_that_is_not_kept_says_why_there_is_no_range():
    """Holes alike about the middle of a plate, each with a place of its own: the numbers are trusted."""
    board = Board()
    board.plate(3, 2)
    board.line((1.5, -0.5), (1.5, 2.5), linetype="CENTER")
    board.across((0, 0), (3, 0))
    board.upright((0, 0), (0, 2), line_at=-1)
    board.upright((0, 0), (0.5, 1), line_at=-2)
    for x, text in ((0.5, ".501"), (2.5, "2.500")):
        board.circle((x, 1), 0.25)
        board.across((0, 0), (x, 1), text=text, line_at=2 + x)
    board.diameter((0.5, 1), 0.25, text="2X <>")
    part = read(board)
    assert part.conflicts == ()
    assert [b.kind for b in part.broken] == [Implied.SYMMETRIC]
    assert "no range is given for that: a stated number is trusted" in words(part)
