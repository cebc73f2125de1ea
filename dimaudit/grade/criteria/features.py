"""Every edge, hole, window and notch of the key is there."""

from fractions import Fraction

from dimaudit.grade.criteria.adding import each_of, marked, shared
from dimaudit.grade.feature import KeyFeature, features
from dimaudit.grade.laid_out import LaidOut
from dimaudit.grade.words import counted, key_handles, named, named_all, place_of
from dimaudit.model.grading import Asked, Criterion, CriterionMark, Deduction


def mark(laid_out: LaidOut, asked: Asked) -> CriterionMark:
    """Each feature of the key is one thing asked; of one that is there in part, the part that is missing is taken."""
    wanted = features(laid_out.key)
    each = each_of(asked, len(wanted))
    return marked(asked, len(wanted), (d for f in wanted if (d := _missing(laid_out, f, wanted, each)) is not None))


def _missing(
    laid_out: LaidOut, feature: KeyFeature, wanted: tuple[KeyFeature, ...], each: Fraction
) -> Deduction | None:
    lost = set(laid_out.pairing.missing)
    gone = [k for k in feature.pieces if k in lost]
    if not gone or (len(feature.pieces) == 1 and _one_edge(gone[0], wanted, lost)):
        return None
    key = laid_out.key
    share = Fraction(len(gone), len(feature.pieces))
    name = f"the {feature.word} with {named(key, feature.pieces[0])}" if feature.word else named(key, feature.pieces[0])
    if share == 1:
        what, why = f"{name} is missing", ["nothing in the layout stands for it"]
    else:
        what = f"{name} is there in part: {named_all(key, gone)} missing"
        why = [f"{len(gone)} of its {counted(len(feature.pieces), 'edge')} missing", shared(share, each)]
    handles, at = place_of(laid_out, gone)
    around = place_of(laid_out, feature.pieces)[0] if share != 1 else handles
    why.append("its sizes are not charged again")
    return Deduction(
        Criterion.FEATURES, each * share, what, tuple(why), around, at, key_handles(key, gone)
    )


def _one_edge(edge: int, wanted: tuple[KeyFeature, ...], lost: set[int]) -> bool:
    """Whether an edge is missing only since the notch that parts it from the other half of its line is."""
    return any(
        f.splits is not None and edge in f.splits and lost.issuperset(f.pieces) and not lost.issuperset(f.splits)
        for f in wanted
    )
