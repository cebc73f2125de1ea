"""What a part lands at over all ways to choose what to trust, where radii and chains hold one another.

A plate whose lower corners are rounded: its width and its two radii are three unknowns, and every distance between the
edges and the tangent points is a sum of them. All choices of three dimensions that give the three are listed, and
solved by Cramer's rule; no part of the project takes part in that.
"""

from fractions import Fraction as F
from itertools import combinations
from pathlib import Path
from tempfile import TemporaryDirectory

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from rules.rule_board import Board

from dimaudit.model.as_read import AsRead
from dimaudit.model.settings import Settings
from dimaudit.pipeline import as_read_file

WIDE, HIGH, LEFT, RIGHT = F(4), F(2), F(1, 4), F(3, 8)
DRAWN = (WIDE, LEFT, RIGHT)
Row = tuple[int, int, int]
LEVELS: dict[F, Row] = {F(0): (0, 0, 0), LEFT: (0, 1, 0), WIDE - RIGHT: (1, 0, -1), WIDE: (1, 0, 0)}
"""Each level along x as a sum of the width, the left and the right radius, from the left edge."""
ABOVE = {F(0): (F(0), HIGH), LEFT: (LEFT, F(0)), WIDE - RIGHT: (WIDE - RIGHT, F(0)), WIDE: (WIDE, HIGH)}
"""Where a dimension takes hold of it."""
Stated = tuple[tuple[F, F] | int, F]
"""What it spans, two levels or one of the radii (1, 2), and how far its number is off what is drawn."""


def plate(stated: list[Stated]) -> AsRead:
    board = Board()
    high, wide, left, right = (float(v) for v in (HIGH, WIDE, LEFT, RIGHT))
    board.path((left, 0), (wide - right, 0), close=False)
    board.path((wide, right), (wide, high), (0, high), (0, left), close=False)
    board.arc((left, left), left, 180, 270)
    board.arc((wide - right, right), right, 270, 360)
    board.upright((wide, high), (wide - right, 0), text="2.000", line_at=7)
    for k, (what, off) in enumerate(stated):
        if isinstance(what, int):
            size, centre, turn = (left, (left, left), 225) if what == 1 else (right, (wide - right, right), 315)
            board.radius(centre, size, turn, text=f"R{float(DRAWN[what] + off):.4f}")
        else:
            a, b = ((float(ABOVE[level][0]), float(ABOVE[level][1])) for level in what)
            board.across(a, b, text=f"{float(what[1] - what[0] + off):.4f}", line_at=3 + 0.5 * k)
    with TemporaryDirectory() as folder:
        path = Path(folder) / "print.dxf"
        board.doc.saveas(path)
        (part,) = as_read_file(path, Settings()).parts
    return part


def row_of(what: tuple[F, F] | int) -> Row:
    if isinstance(what, int):
        return (0, int(what == 1), int(what == 2))
    (a, b, c), (p, q, r) = (LEVELS[level] for level in what)
    return (p - a, q - b, r - c)


def det(m: tuple[tuple[F | int, ...], ...]) -> F:
    (a, b, c), (d, e, f), (g, h, i) = m
    return F(a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g))


def all_choices(stated: list[Stated]) -> list[tuple[F, F, F]]:
    """How far the width and the radii are off, by each three dimensions that give them."""
    found = []
    for three in combinations(stated, 3):
        rows = tuple(row_of(what) for what, _ in three)
        whole = det(rows)
        if whole:
            columns = list(zip(*rows, strict=True))
            offs = tuple(off for _, off in three)
            found.append(tuple(det((*columns[:k], offs, *columns[k + 1 :])) / whole for k in range(3)))
    return found  # type: ignore[return-value]


@st.composite
def dimensions(draw: st.DrawFn) -> list[Stated]:
    """Three to five that give all, each rounded up or down by up to a hundredth of an inch, or not at all."""
    spans = [*combinations(sorted(LEVELS), 2), 1, 2]
    what = draw(st.lists(st.sampled_from(spans), min_size=3, max_size=5))
    offs = st.integers(-4, 4).map(lambda n: F(n, 400))
    return [(w, draw(offs)) for w in what]


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much])
@given(dimensions().filter(all_choices))
def test_ranges_are_those_of_all_choices(stated: list[Stated]) -> None:
    """Width, radii and tangent points land within the least and the greatest of all choices, and reach both."""
    part = plate(stated)
    choices = all_choices(stated)
    assert bool(part.conflicts) == (len(set(choices)) > 1)
    (origin,) = (place for place in part.origins if place.axis == 0)
    checked = 0
    for landing in part.landings:
        place = landing.places[0]
        if landing.axis == 0 and place.value in LEVELS:
            own, base = LEVELS[place.value], LEVELS[origin.value]
            row = tuple(a - b for a, b in zip(own, base, strict=True))
        elif landing.axis == 2:
            row = (0, 1, 0) if place.value == LEFT else (0, 0, 1)
        else:
            continue
        reached = [sum((F(a) * c for a, c in zip(row, choice, strict=True)), F(0)) for choice in choices]
        assert landing.off is not None
        assert landing.off[0] == landing.off[1]
        assert landing.off[0] in reached
        if landing.least is None:
            assert len(part.conflicts) > 1, "where two conflicts meet it is not judged"
            continue
        assert (landing.least, landing.greatest) == (min(reached), max(reached))
        checked += 1
    assert checked or len(part.conflicts) > 1
    assert not part.broken, "what ends on an arc stays on it, whatever the numbers say"


def test_a_radius_against_a_chain() -> None:
    """4.000 less 3.740 is .260, and the corner says R.375: one of the three is not met (worked by hand)."""
    part = plate([((F(0), WIDE), F(0)), ((F(0), WIDE - RIGHT), F("0.115")), (2, F(0)), (1, F(0))])
    (conflict,) = part.conflicts
    assert len(conflict.members) == 3
    assert [len(choice.neglected) for choice in conflict.choices] == [1, 1, 1]
    (right,) = (m for m in part.landings if m.axis == 2 and m.places[0].value == RIGHT)
    assert (right.off, right.least, right.greatest) == ((F("-0.115"),) * 2, F("-0.115"), F(0))
    (edge,) = (m for m in part.landings if m.axis == 0 and m.places[0].value == WIDE)
    assert (edge.off, edge.least, edge.greatest) == ((F(0),) * 2, F(0), F("0.115"))
