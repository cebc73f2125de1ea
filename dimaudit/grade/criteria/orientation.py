"""The layout is neither turned nor mirrored."""

from fractions import Fraction

from dimaudit.grade.criteria.adding import each_of, marked
from dimaudit.grade.laid_out import LaidOut
from dimaudit.model.grading import Alignment, Asked, Criterion, CriterionMark, Deduction


def mark(laid_out: LaidOut, asked: Asked) -> CriterionMark:
    """One thing is asked: mirrored and turned at once is one fault."""
    way, rubric = laid_out.fit.alignment, laid_out.rubric
    if not way.mirrored and not way.quarter_turns:
        return marked(asked, 1, ())
    allowed = (rubric.mirrored or not way.mirrored) and (rubric.turned or way.quarter_turns % 4 == 0)
    simple = (a for a in laid_out.fit.alike if not a.mirrored or a.quarter_turns % 2 == 0)  # one command makes it
    others = [_words(a) for a in simple if a.mirrored or a.quarter_turns]
    what = f"the layout is {' or '.join([_words(way), *others])}" + (": on this part it is the same" if others else "")
    why = ("the rubric lets it pass",) if allowed else (
        "it is charged here once; everything else was compared after the layout was put right",
    )  # fmt: skip
    points = Fraction(0) if allowed else each_of(asked, 1)
    return marked(asked, 1, (Deduction(Criterion.ORIENTATION, points, what, why),))


def _words(way: Alignment) -> str:
    """The alignment puts it right, so the layout is turned the other way."""
    if way.mirrored:
        return ("mirrored left to right", "mirrored and turned a quarter", "mirrored top to bottom",
                "mirrored and turned a quarter")[way.quarter_turns]  # fmt: skip
    return ("", "turned a quarter clockwise", "upside down (turned by a half)", "turned a quarter counter-clockwise")[
        way.quarter_turns
    ]
