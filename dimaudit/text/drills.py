"""Drills named by a number or a letter, and what they measure.

Source: ASME B94.11M. Numbers and letters were read in a public reprint of its list (#53 to #80) and
agree with two open tables; diameters in inches.
"""

import re
from fractions import Fraction

from dimaudit.model.units import Unit
from dimaudit.text.numbers import Amount, unclear

_NUMBERS = """
.2280 .2210 .2130 .2090 .2055 .2040 .2010 .1990 .1960 .1935 .1910 .1890 .1850 .1820 .1800 .1770 .1730 .1695 .1660 .1610
.1590 .1570 .1540 .1520 .1495 .1470 .1440 .1405 .1360 .1285 .1200 .1160 .1130 .1110 .1100 .1065 .1040 .1015 .0995 .0980
.0960 .0935 .0890 .0860 .0820 .0810 .0785 .0760 .0730 .0700 .0670 .0635 .0595 .0550 .0520 .0465 .0430 .0420 .0410 .0400
.0390 .0380 .0370 .0360 .0350 .0330 .0320 .0310 .0292 .0280 .0260 .0250 .0240 .0225 .0210 .0200 .0180 .0160 .0145 .0135
"""
_LETTERS = """
.234 .238 .242 .246 .250 .257 .261 .266 .272 .277 .281 .290 .295 .302 .316 .323 .332 .339 .348 .358 .368 .377 .386 .397
.404 .413
"""

DRILLS: dict[str, str] = {
    **{str(number): digits for number, digits in enumerate(_NUMBERS.split(), 1)},
    **dict(zip("ABCDEFGHIJKLMNOPQRSTUVWXYZ", _LETTERS.split(), strict=True)),
}
"""Name to diameter as the list prints it: '7' is .2010, 'F' is .257."""

_NAME = r"(?:(?:#|NO\.? *|NUMBER +)([1-9][0-9]?)|(?:LETTER +|LTR\.? *)([A-Z])|\"([A-Z])\")"
_SIZE = r"(?: *\( *(?P<size>[0-9]*\.[0-9]+) *\))?"
_BEHIND = r"(?: *\( *(?P<behind>[0-9]*\.[0-9]+) *\))?"
DRILL_NAME = re.compile(
    rf"(?:{_NAME}{_SIZE}|([A-Z])) +DRILL(?![A-Za-z]){_BEHIND}"
    rf"|DRILL +{_NAME}(?![A-Za-z0-9])(?! *- *[0-9])",
    re.IGNORECASE,
)
"""'#7 DRILL', 'NO. 7 (.201) DRILL', 'LETTER F DRILL', 'F DRILL (.257)', 'DRILL #7'."""
BARE_NAME = re.compile(
    r"\( *(?:(?:#|NO\.? *)([1-9][0-9]?)(?: +DRILL)?|(?:LETTER +|LTR\.? *)?([A-Z]) +DRILL) *\)", re.IGNORECASE
)
"""'(#7)' or '(H DRILL)' behind the size."""


def drill_amount(found: "re.Match[str]") -> Amount | None:
    """The diameter of the drill that a match of `DRILL_NAME` or `BARE_NAME` names, in inches."""
    names = (group.upper() for group in found.groups() if group)
    digits = next((DRILLS[name] for name in names if name in DRILLS), None)
    if digits is None:
        return None
    named = found.groupdict()
    told = named.get("size") or named.get("behind")
    coarse = Fraction(1, 10 ** len((told or "").partition(".")[2]))
    if told is not None and abs(Fraction(told) - Fraction(digits)) > coarse / 2:
        unclear(f"'{found.group()}': that drill measures {digits}")
    places = len(digits) - 1
    return Amount(Fraction(digits), Fraction(1, 10**places), places, unit=Unit.INCH)
