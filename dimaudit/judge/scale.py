"""A view drawn at another scale than its dimensions say, found from the dimensions themselves."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from dimaudit.exact.real import compare, middle, scaled
from dimaudit.judge.stating import Statement
from dimaudit.judge.verdict import in_drawing_unit, measured_of
from dimaudit.model.attached import Attached
from dimaudit.model.audit import Judgement, Verdict
from dimaudit.model.drawing import ANGLES
from dimaudit.model.stated import Stated
from dimaudit.model.units import Unit
from dimaudit.model.view import View

LEAST_VALUES = 3
"""Distinct values that must agree: fewer are chance, or one mistake made twice."""
NEARLY_ALL = Fraction(4, 5)
MOST_TERMS = 100
"""Scales are ratios of whole numbers up to this (1:2, 5:1, 3:4), or the inch in millimetres."""
UNIT_SCALES = (Fraction(127, 5), Fraction(5, 127))
FITTING = frozenset({Verdict.EXACT, Verdict.ROUNDED, Verdict.TIE, Verdict.WITHIN_LIMITS})
"""Verdicts of dimensions that state what is drawn."""


@dataclass(frozen=True, slots=True)
class ViewScale:
    """Drawn size over true size of a view, and the dimensions that say so."""

    view: View
    factor: Fraction
    dimensions: tuple[int, ...]
    values: int
    by_user: bool = False


def find_scales(
    attached: Sequence[Attached], statements: Sequence[Statement], unit: Unit | None
) -> dict[int, ViewScale]:
    """By the identity of the view: scales that at least three distinct linear values, and nearly all, agree on."""
    by_view: dict[int, list[int]] = defaultdict(list)
    views: dict[int, View] = {}
    for k, a in enumerate(attached):
        if a.view is not None:
            by_view[id(a.view)].append(k)
            views[id(a.view)] = a.view
    found: dict[int, ViewScale] = {}
    for key, members in by_view.items():
        view = views[key]
        if view.scale is not None:
            found[key] = ViewScale(view, view.scale, tuple(members), 0, by_user=True)
            continue
        scale = _scale_of(view, members, attached, statements, unit)
        if scale is not None:
            found[key] = scale
    return found


@dataclass(frozen=True, slots=True)
class ViewFactor:
    """Drawn size over true size of a view, as far as the drawing says, and what says so."""

    view: View
    factor: Fraction
    source: str
    """'DIMLFAC 1/2 of 6 dimensions', 'the dimensions themselves', …, in words for a person."""
    known: bool = True
    """False where 1:1 is only assumed, or where the dimensions of the view do not agree."""


def factor_of(view: View, judgements: Sequence[Judgement], scales: Sequence[ViewScale]) -> ViewFactor:
    """Drawn size over true size of one view, in the space it is drawn in: the user's word, the scale that was found
    from the dimensions, DIMLFAC (its inverse), or 1:1. How a sheet shows or prints that space is not in it."""
    lengths = [
        j for j in judgements
        if j.attached.view is view and j.attached.dimension.kind not in ANGLES and j.measured is not None
    ]  # fmt: skip
    by_style = Counter(j.attached.dimension.true_factor for j in lengths)
    style, agreeing = min(by_style.items(), key=lambda item: (-item[1], item[0]), default=(Fraction(1), 0))
    drawn = 1 / style
    one = len(by_style) == 1
    for scale in scales:
        if scale.view is view:
            source = "the user's word" if scale.by_user else f"{len(scale.dimensions)} dimensions that agree on it"
            return ViewFactor(view, scale.factor * drawn, source, one or not by_style)
    if style != 1:
        many = f"{agreeing} dimension" + "s" * (agreeing != 1)
        return ViewFactor(view, drawn, f"DIMLFAC {style} of {many if one else f'{many} of {len(lengths)}'}", one)
    if any(j.from_features and j.verdict in FITTING for j in lengths):
        return ViewFactor(view, Fraction(1), "the dimensions themselves", one)
    return ViewFactor(view, Fraction(1), "1:1 assumed: nothing says otherwise", False)


def factors_of(
    views: Iterable[View], judgements: Iterable[Judgement], scales: Sequence[ViewScale]
) -> dict[int, ViewFactor]:
    """The factors of many views, by the identity of the view."""
    by_view: dict[int, list[Judgement]] = defaultdict(list)
    for judgement in judgements:
        by_view[id(judgement.attached.view)].append(judgement)
    return {id(view): factor_of(view, by_view[id(view)], scales) for view in views}


def _scale_of(
    view: View, members: Sequence[int], attached: Sequence[Attached], statements: Sequence[Statement],
    unit: Unit | None,
) -> ViewScale | None:  # fmt: skip
    rows = []
    for k in members:
        reading = statements[k].reading
        measured, from_features, _ = measured_of(attached[k])
        dimension = attached[k].dimension
        if not isinstance(reading, Stated) or dimension.kind in ANGLES or reading.limits is not None:
            continue
        if dimension.text_factor != dimension.true_factor:  # a viewport's scale and DIMLFAC part: not the view's doing
            continue
        if measured is None or not from_features or compare(measured, Fraction(0)) == 0:
            continue
        stated = in_drawing_unit(attached[k], reading, unit)
        if stated.value > 0:
            rows.append((k, measured, stated.value, stated.step / 2))
    off = [row for row in rows if abs(middle(row[1]) - row[2]) > row[3]]
    if len({row[2] for row in off}) < LEAST_VALUES or len(off) < NEARLY_ALL * len(rows):
        return None
    candidates = set(UNIT_SCALES)
    for _, measured, stated_value, half in off:
        about = middle(measured)
        if stated_value > half:
            candidates.add(simplest_between(about / (stated_value + half), about / (stated_value - half)))
    best: tuple[int, int, Fraction] | None = None
    agreeing: list[int] = []
    for factor in candidates:
        if factor == 1 or (factor not in UNIT_SCALES and max(factor.as_integer_ratio()) > MOST_TERMS):
            continue
        fits = [
            (k, stated) for k, m, stated, half in rows if abs(middle(scaled(m, 1 / factor)) - stated) <= half
        ]
        rank = (-len(fits), sum(factor.as_integer_ratio()), factor)
        if len({s for _, s in fits}) >= LEAST_VALUES and len(fits) >= NEARLY_ALL * len(rows) and (
            best is None or rank < best
        ):
            best, agreeing = rank, [k for k, _ in fits]
    if best is None:
        return None
    values = len({statements[k].reading for k in agreeing})
    return ViewScale(view, best[2], tuple(agreeing), values)


def simplest_between(low: Fraction, high: Fraction) -> Fraction:
    """The fraction with the smallest terms in [low, high], both positive (Stern-Brocot tree)."""
    whole = -(-low.numerator // low.denominator)
    if whole <= high:
        return Fraction(whole)
    floor = low.numerator // low.denominator
    return floor + 1 / simplest_between(1 / (high - floor), 1 / (low - floor))
