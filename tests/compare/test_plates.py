"""Random changes to a plate of holes are found exactly: the oracle is the list of what was done to it."""

from collections import Counter
from fractions import Fraction
from pathlib import Path
from tempfile import TemporaryDirectory

import ezdxf
import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from compare.revising import examined
from dimaudit.compare import compare
from dimaudit.model.compared import Compared, Sort
from dimaudit.model.units import Unit
from dimaudit.pipeline import Examined

COLUMNS, ROWS = 6, 4
"""Holes Ø8, 20 mm apart; no hole grows or moves by more than a tenth of that."""
Done = dict[tuple[int, int], tuple[object, ...]]
"""By column and row: what was done to a hole, and the amounts."""
Holes = dict[tuple[int, int], tuple[Fraction, Fraction, Fraction]]
"""By column and row: x, y and radius."""


def plate(
    holes: Holes, unit: int = 4, times: Fraction = Fraction(1), at: tuple[int, int] = (0, 0), numbers: int = 0x1000
) -> Examined:
    """A plate 140 × 100 with its holes, a width and a height; `times` converts all of it.

    Each hole keeps its handle, as in an editor; other `numbers` are those of another program.
    """
    doc = ezdxf.new("R2010")
    doc.header["$INSUNITS"] = unit
    space = doc.modelspace()

    def xy(x: Fraction | int, y: Fraction | int) -> tuple[float, float]:
        return float((x + at[0]) * times), float((y + at[1]) * times)

    corners = [(0, 0), (140, 0), (140, 100), (0, 100)]
    for a, b in zip(corners, corners[1:] + corners[:1], strict=True):
        space.add_line(xy(*a), xy(*b))
    for (i, j), (x, y, radius) in holes.items():
        space.add_circle(xy(x, y), float(radius * times), dxfattribs={"handle": f"{numbers + 8 * i + j:X}"})
    for p, q, base, angle in (((0, 0), (140, 0), (0, -20), 0), ((0, 0), (0, 100), (-20, 0), 90)):
        space.add_linear_dim(base=xy(*base), p1=xy(*p), p2=xy(*q), angle=angle).render()
    with TemporaryDirectory() as folder:
        out = Path(folder) / "plate.dxf"
        doc.saveas(out)
        return examined(out)


def grid() -> Holes:
    """Holes Ø8 every 20."""
    places = ((i, j) for i in range(COLUMNS) for j in range(ROWS))
    return {(i, j): (Fraction(20 * i + 20), Fraction(20 * j + 20), Fraction(4)) for i, j in places}


changes = st.dictionaries(
    st.tuples(st.integers(0, COLUMNS - 1), st.integers(0, ROWS - 1)),
    st.one_of(
        st.tuples(st.just("gone")),
        st.tuples(st.just("grown"), st.integers(1, 2000).map(lambda n: Fraction(n, 1000))),
        st.tuples(st.just("moved"), st.integers(1, 2000).map(lambda n: Fraction(n, 1000)),
                  st.integers(-2000, 2000).map(lambda n: Fraction(n, 1000))),
    ),
    max_size=7,
)  # fmt: skip
added = st.sets(st.tuples(st.integers(0, COLUMNS - 2), st.integers(0, ROWS - 2)), max_size=3)


def applied(holes: Holes, what: Done, new: set[tuple[int, int]]) -> Holes:
    found: Holes = {}
    for place, (x, y, r) in holes.items():
        match what.get(place):
            case ("gone",):
                continue
            case ("grown", by):
                found[place] = (x, y, r + by)
            case ("moved", dx, dy):
                found[place] = (x + dx, y + dy, r)
            case _:
                found[place] = (x, y, r)
    for i, j in new:  # small ones, between the others
        found[i + 100, j] = (Fraction(20 * i + 30), Fraction(20 * j + 30), Fraction(3, 2))
    return found


def seen(compared: Compared) -> Counter[tuple[object, ...]]:
    """Holes gone, come, grown, moved: by size and number, with the exact amounts."""
    rows: Counter[tuple[object, ...]] = Counter()
    for change in compared.changes:
        facts = {f.what: f for f in change.facts}
        many = len(change.new.handles or change.old.handles)
        match change.sort:
            case Sort.FEATURE_REMOVED:
                rows["gone", facts["diameter"].old] += many
            case Sort.FEATURE_ADDED:
                rows["come", facts["diameter"].new] += many
            case Sort.FEATURE_RESIZED:
                rows["grown", facts["diameter"].by] += many
            case Sort.FEATURE_MOVED:
                rows["moved", *(facts[a].by if a in facts else Fraction(0) for a in "xy")] += many
            case sort:
                assert sort in (Sort.FINDING_NEW, Sort.FINDING_GONE), change
    return rows


def done(what: Done, new: set[tuple[int, int]]) -> Counter[tuple[object, ...]]:
    rows: Counter[tuple[object, ...]] = Counter()
    for one in what.values():
        match one:
            case ("gone",):
                rows["gone", Fraction(8)] += 1
            case ("grown", Fraction() as by):
                rows["grown", 2 * by] += 1
            case _:
                rows[one] += 1
    rows["come", Fraction(3)] += len(new)
    return +rows


FEW = settings(max_examples=20, deadline=None, phases=[Phase.explicit, Phase.reuse, Phase.generate])
"""Each example is two drawings, written, read and audited: few, and not made smaller when they fail."""


@FEW
@given(changes, added, st.sampled_from([0x1000, 0x3000]))
def test_what_was_done_is_what_is_found(what: Done, new: set[tuple[int, int]], numbers: int) -> None:
    """Holes taken away, put in, drilled larger and moved by thousandths: each is found once, with its exact amount."""
    found = compare(plate(grid()), plate(applied(grid(), what, new), numbers=numbers))
    assert seen(found) == done(what, new)
    assert found.same_dimensions == 2
    assert found.same_shapes == 4 + COLUMNS * ROWS - len(what)


@FEW
@given(changes, added)
def test_the_mirror_image(what: Done, new: set[tuple[int, int]]) -> None:
    """Backwards, what came is gone, what grew shrank by as much, what moved moved back."""
    one, other = plate(grid()), plate(applied(grid(), what, new))
    swap = {"gone": "come", "come": "gone", "grown": "grown", "moved": "moved"}
    back: Counter[tuple[object, ...]] = Counter()
    for (sort, *numbers), many in seen(compare(other, one)).items():
        turned = numbers if sort in ("gone", "come") else [-n for n in numbers]  # type: ignore[operator]
        back[swap[str(sort)], *turned] += many
    assert seen(compare(one, other)) == back


@FEW
@given(changes, st.tuples(st.integers(-500, 500), st.integers(-500, 500)))
def test_a_plate_that_moved_on_the_sheet(what: Done, at: tuple[int, int]) -> None:
    """The view's move is one change; the holes' own are told as if it had not moved."""
    found = compare(plate(grid()), plate(applied(grid(), what, set()), at=at))
    whole = [c for c in found.changes if c.sort is Sort.VIEW_MOVED]
    shift = {axis: by for axis, by in zip("xy", at, strict=True) if by}
    assert [{f.what: f.by for f in c.facts} for c in whole] == ([shift] if shift else [])
    rest = Compared(**{
        name: getattr(found, name) if name != "changes" else tuple(c for c in found.changes if c not in whole)
        for name in Compared.__dataclass_fields__
    })  # fmt: skip
    assert seen(rest) == done(what, set())


@FEW
@given(changes)
def test_inches_become_millimetres(what: Done) -> None:
    """An inch is 25.4 mm (NIST SP 811, appendix B.8): a converted plate is the same one, whatever else was changed."""
    inches = plate(grid(), unit=1, times=Fraction(10, 254))
    found = compare(inches, plate(applied(grid(), what, set())))
    units = [c for c in found.changes if c.sort is Sort.UNITS]
    assert found.factor == Fraction(254, 10)
    assert [(f.old, f.new) for c in units for f in c.facts] == [(str(Unit.INCH), str(Unit.MILLIMETRE))]
    rest = [c for c in found.changes if c.sort not in (Sort.UNITS, Sort.RESTATED, Sort.FINDING_NEW, Sort.FINDING_GONE)]
    amounts = Counter(c.sort for c in rest for _ in (c.new.handles or c.old.handles))
    sorts = {"gone": Sort.FEATURE_REMOVED, "grown": Sort.FEATURE_RESIZED, "moved": Sort.FEATURE_MOVED}
    assert amounts == Counter(sorts[str(one[0])] for one in what.values())


def test_only_the_unit_of_the_file_changed() -> None:
    """The numbers stand and mean millimetres now: the view is another scale, and every stated size is another."""
    found = compare(plate(grid(), unit=1), plate(grid(), unit=4))
    assert found.counts[Sort.UNITS] == 1
    assert [f.by for c in found.changes if c.sort is Sort.VIEW_SCALED for f in c.facts] == [Fraction(10, 254)]
    assert found.counts[Sort.BOTH] == 2


@pytest.mark.parametrize("times", [Fraction(1, 2), Fraction(2), Fraction(5)])
def test_a_view_drawn_to_another_scale(times: Fraction) -> None:
    """One change says so; no hole is told as moved or grown."""
    found = compare(plate(grid()), plate(grid(), times=times))
    assert [f.by for c in found.changes if c.sort is Sort.VIEW_SCALED for f in c.facts] == [times]
    assert not [c for c in found.changes if c.sort.name.startswith("FEATURE")]
