"""Two numbers against one another: the one that is written and the one that is meant."""

from fractions import Fraction

from dimaudit.exact.real import Real, compare
from dimaudit.model.audit import Verdict


def value_verdict(measured: Real, stated: Fraction, step: Fraction) -> Verdict:
    """How `stated`, written in steps of `step`, stands to `measured`.

    Within half a step: rounded. At exactly half a step: a tie, if some rounding rule gives the stated number:
    half-up and half-away give the upper neighbour, half-even the one with the even last digit (ASTM E29). What
    no rule gives, and what is less than a whole step short, was cut off. All else is wrong.
    """
    if compare(measured, stated) == 0:
        return Verdict.EXACT
    half = step / 2
    above, below = compare(measured, stated + half), compare(measured, stated - half)
    if below > 0 and above < 0:
        return Verdict.ROUNDED
    if below == 0:
        return Verdict.TIE
    if above == 0 and (stated / step) % 2 == 0:
        return Verdict.TIE
    if above >= 0 and compare(measured, stated + step) < 0:
        return Verdict.CUT_OFF
    return Verdict.WRONG
