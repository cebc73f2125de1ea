"""A second witness: other values that satisfy what the linework implies.

The rank at the drawn values can be lower than at others, where the drawing is a special case: of three distances
between points that happen to be in line one is surplus and one point moves, at the drawn values only (D. Michelucci,
S. Foufou, 'Geometric constraint solving: the witness configuration method', Computer-Aided Design 38(4), 2006: the
witness must be typical).
"""

from collections.abc import Sequence
from fractions import Fraction

from dimaudit.scheme.rank import GROUND, MODULAR, Rank, independent, rank_of
from dimaudit.scheme.relation import Relation, Values

STEPS = (Fraction(1, 4099), Fraction(1, 5003), Fraction(1, 6007), Fraction(1, 7001), Fraction(1, 8009))
"""How far the second witness goes along each motion of the linework, times the size of the drawing: unlike shares."""


def second_witness(count: int, relations: Sequence[Relation], values: Values) -> list[Fraction]:
    """The drawn values, moved along all that the linework alone leaves free."""
    rank = rank_of(count, [r for r in relations if not r.given], values, told=False)
    size = max((abs(v) for v in values), default=Fraction(1)) or Fraction(1)
    moves: dict[int, Fraction] = {}
    for k, motion in enumerate(rank.motions):
        step = size * STEPS[k % len(STEPS)] * (1 + Fraction(k % 89, 97))
        for tree, share in motion.moves.items():
            moves[tree] = moves.get(tree, Fraction(0)) + step * share
    return [v + moves.get(tree, Fraction(0)) for v, tree in zip(values, rank.trees, strict=True)]


def confirmed(
    count: int, relations: Sequence[Relation], values: Values, held: Sequence[int], rank: Rank
) -> frozenset[int]:
    """The trees that move at the drawn values, and, where these may be a special case, at the second witness too."""
    moving = frozenset(tree for motion in rank.motions for tree in motion.moves if tree != GROUND)
    if moving.isdisjoint(rank.doubtful):
        return moving
    others = second_witness(count, relations, values)
    other = rank_of(count, relations, others, held, told=False, over=MODULAR)
    again = {tree for motion in other.motions for tree in motion.moves} - other.clouded
    untrue = _untrue_blocks(relations, values, others, rank)
    return frozenset(
        tree for tree in moving if tree not in rank.doubtful or (tree in again and rank.doubtful[tree] not in untrue)
    )


def still_loops(
    count: int, relations: Sequence[Relation], values: Values, rank: Rank, loops: Sequence[Sequence[int]]
) -> list[bool]:
    """Whether each set of relations depends on itself at the second witness too, as far as that says anything."""
    others = second_witness(count, relations, values)
    untrue = _untrue_blocks(relations, values, others, rank)
    return [
        independent([relations[k] for k in loop], others) < len(loop)
        and untrue.isdisjoint(rank.doubtful.get(rank.trees[i], -1) for k in loop for i in relations[k].of)
        for loop in loops
    ]


def _untrue_blocks(relations: Sequence[Relation], values: Values, others: Values, rank: Rank) -> set[int]:
    """Blocks in which the second witness breaks something that the linework implies, so that it says nothing there."""
    return {
        rank.doubtful.get(rank.trees[i], -1)
        for relation in relations
        if not relation.given and not relation.kept(values, others)
        for i in relation.of
    } - {-1}
