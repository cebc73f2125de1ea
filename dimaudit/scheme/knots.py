"""Dimensions that can't all be met, and that hold one another by slanted lengths, angles, circles or arcs.

What is implied is kept, so the dimensions are looked at modulo what is implied: a set of them is independent where none
follows from the others together with the linework. All largest independent sets leave out equally many, and each is
one way to choose what to trust. Chains of straight differences alone are in `chains.py`.
"""

from collections.abc import Callable, Iterable, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations
from math import comb

from flint import fmpq, fmpq_mat

from dimaudit.scheme.chains import MOST_WAYS
from dimaudit.scheme.rank import MOST_ROWS, Rank, circuit, following
from dimaudit.scheme.relation import Relation, Shape, Values

STRAIGHT = (Shape.DIFFERENCE, Shape.SIZE)


@dataclass(frozen=True, slots=True)
class Knot:
    """Relations that depend on one another; numbers are those of the relations."""

    within: frozenset[int]
    """All of them, what is implied too; knots that share something implied have the same."""
    members: tuple[int, ...]
    """The dimensions among which there is to choose."""
    dropped: frozenset[int]
    """Those that are not met by the first choice: the last ones."""
    ways: tuple[frozenset[int], ...]
    """What is not met, for each choice, the first one first. Empty where they are too many to look at each."""


@dataclass(frozen=True, slots=True)
class Knots:
    """All of one part."""

    found: tuple[Knot, ...] = ()
    yielding: frozenset[int] = frozenset()
    """What gives way in any case: dimensions that are not trusted, and patterns and symmetry."""
    touched: tuple[frozenset[int], ...] = ()
    """What each set of relations consists of that the knots and what yields were looked for in."""


def knots_of(
    rank: Rank, relations: Sequence[Relation], values: Values, firm: int, distrusted: AbstractSet[int],
    broken: Callable[[AbstractSet[int]], bool],
) -> Knots:  # fmt: skip
    """The knots in which something is `broken`; relations from `firm` on yield to all others."""
    found: list[Knot] = []
    touched: list[frozenset[int]] = []
    yielding: set[int] = set()
    for within in _tied(rank, relations, values):
        if all(relations[k].shape in STRAIGHT for k in within):
            continue  # a plain chain
        if not broken(within):
            continue
        own = sorted(within, key=lambda k: (k >= firm, k in distrusted, bool(relations[k].given), k))
        trusted = {k for k in own if relations[k].given and k not in distrusted}
        if len(own) > MOST_ROWS:
            last = {s.relation for s in rank.surplus} & trusted
            found.append(Knot(frozenset(within), tuple(sorted(trusted)), frozenset(last), ()))
            continue
        touched.append(frozenset(within))
        by = following(own, relations, values)
        yielding.update(k for k in by if k not in trusted and (k >= firm or relations[k].given))
        # of what is implied firmly, what follows from the rest of it is kept, and holds by itself
        made = {k: {b: c for b, c in row.items() if b in trusted} for k, row in by.items() if k in trusted}
        found += [_knot(frozenset(within), group, made) for group in _groups(made)]
    return Knots(tuple(found), frozenset(yielding), tuple(touched))


def holding(within: Iterable[int], out: AbstractSet[int], relations: Sequence[Relation], values: Values) -> list[int]:
    """Of the relations but those left `out`, the ones besides straight differences that fix something."""
    own = sorted(set(within) - out, key=lambda k: (relations[k].shape not in STRAIGHT, bool(relations[k].given), k))
    spare = following(own, relations, values).keys() if len(own) <= MOST_ROWS else set()
    return sorted(k for k in own if relations[k].shape not in STRAIGHT and k not in spare)


def _tied(rank: Rank, relations: Sequence[Relation], values: Values) -> list[set[int]]:
    """Sets of relations that depend on one another. Levels that are taken as one do not tie them."""
    owner: dict[int, int] = {}
    sets: dict[int, set[int]] = {}
    for surplus in rank.surplus:
        k = surplus.relation
        if relations[k].shape is Shape.DIFFERENCE and not relations[k].given:
            continue  # what lines alone close
        own = {k, *circuit(surplus, relations, values)}
        keys = {m for m in own if relations[m].given or relations[m].shape is not Shape.DIFFERENCE}
        for other in {owner[m] for m in keys if m in owner}:
            own |= sets.pop(other)
        sets[k] = own
        owner.update((m, k) for m in own if relations[m].given or relations[m].shape is not Shape.DIFFERENCE)
    return [sets[k] for k in sorted(sets)]


def _groups(made: dict[int, dict[int, Fraction]]) -> list[list[int]]:
    """Dimensions that are left out, together where they depend on the same others."""
    owner: dict[int, int] = {}
    groups: dict[int, list[int]] = {}
    for k, row in made.items():
        group = [k]
        for other in {owner[b] for b in row if b in owner}:
            group += groups.pop(other)
        groups[k] = group
        owner.update((b, k) for g in group for b in made[g])
    return [sorted(groups[k]) for k in sorted(groups)]


def _knot(within: frozenset[int], left_out: Sequence[int], made: dict[int, dict[int, Fraction]]) -> Knot:
    """Its ways: what a basis leaves out may be exchanged where the minor of the combinations is not nothing."""
    members = sorted({*left_out, *(b for k in left_out for b in made[k])})
    count, dropped = len(left_out), frozenset(left_out)
    ways = [dropped]
    if comb(len(members), count) > MOST_WAYS:
        return Knot(within, tuple(members), dropped, ())
    for way in combinations(members, count):
        back = sorted(dropped.difference(way))
        out = [k for k in way if k not in dropped]
        if out and _minor([[made[k].get(b, Fraction(0)) for b in out] for k in back]):
            ways.append(frozenset(way))
    return Knot(within, tuple(members), dropped, tuple(ways))


def _minor(rows: Sequence[Sequence[Fraction]]) -> bool:
    n = len(rows)
    matrix = fmpq_mat(n, n, [fmpq(v.numerator, v.denominator) for row in rows for v in row])
    return bool(matrix.det() != 0)
