"""The part lies about the origin as the rubric asks."""

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from dimaudit.grade.criteria.adding import each_of, marked
from dimaudit.grade.laid_out import LaidOut
from dimaudit.grade.words import bounds, length_text, spot_text, unlaid
from dimaudit.model.drawing import LineRole, Point
from dimaudit.model.grading import Asked, Criterion, CriterionMark, Deduction, Lying

Bounds = tuple[Point, Point]


def mark(laid_out: LaidOut, asked: Asked) -> CriterionMark:
    """One thing is asked, or nothing where the part may lie anywhere."""
    count = int(laid_out.rubric.lying is not Lying.ANYWHERE)
    if not count:
        return replace(marked(asked, 0, ()), each=Fraction(0))  # nothing can be charged
    return marked(asked, count, _found(laid_out, each_of(asked, 1)))


def _found(laid_out: LaidOut, each: Fraction) -> Iterator[Deduction]:
    """Nothing where the layout's own bounds lie right, or the key's as laid on it: a wrong size shifts one of them."""
    way, lying = laid_out.fit.alignment, laid_out.rubric.lying
    key = laid_out.key
    main = {s for k, s in laid_out.pairing.of_key.items() if key.pieces[k].role is not LineRole.CENTRE}
    own = bounds(laid_out.own[s] for s in sorted(main))
    asked = bounds(p for p in key.pieces if p.role is not LineRole.CENTRE)
    if own is None or asked is None:
        return
    if lying is Lying.AS_KEY and not any(way.shift):
        return
    scale = way.factor
    shown = _back(asked, laid_out)
    wanted = (asked[0][0] / scale, asked[0][1] / scale), (asked[1][0] / scale, asked[1][1] / scale)
    off: list[tuple[Fraction, Fraction]] = []
    for low, high in (own, shown):
        middle = (low[0] + high[0]) / 2, (low[1] + high[1]) / 2
        match lying:
            case Lying.CENTRED:
                off.append(middle)
            case Lying.CORNER:
                off.append(low)
            case _:
                off.append((low[0] - wanted[0][0], low[1] - wanted[0][1]))
                off.append((middle[0] - (wanted[0][0] + wanted[1][0]) / 2,
                            middle[1] - (wanted[0][1] + wanted[1][1]) / 2))  # fmt: skip
    tolerance = laid_out.tolerance / scale
    if any(max(abs(x), abs(y)) <= tolerance for x, y in off):
        return
    dx, dy = min(off, key=lambda by: (abs(by[0]) + abs(by[1]), by))
    unit = laid_out.submission.audit.unit
    where = {
        Lying.CENTRED: "the middle of the part is not on the origin",
        Lying.CORNER: "the lower left corner of the part is not on the origin",
        Lying.AS_KEY: "the part does not lie where the key's does",
        Lying.ANYWHERE: "",
    }[lying]
    asks = {Lying.CENTRED: "(0, 0)", Lying.CORNER: "(0, 0)"}.get(lying, spot_text(asked[0], key.examined.audit.unit))
    yield Deduction(
        Criterion.PLACE, each, where,
        (
            f"asked: {'its middle' if lying is Lying.CENTRED else 'its lower left corner'} at {asks}",
            f"drawn: its bounds run from {spot_text(own[0], unit)} to {spot_text(own[1], unit)}",
            f"off by {length_text(dx, unit)} along x and {length_text(dy, unit)} along y",
        ),
        at=(float(own[0][0]), float(own[0][1])),
    )  # fmt: skip


def _back(asked: Bounds, laid_out: LaidOut) -> Bounds:
    """The key's bounds in the submission's coordinates."""
    way = laid_out.fit.alignment
    corners = [unlaid(corner, way) for corner in asked]
    xs, ys = sorted(c[0] for c in corners), sorted(c[1] for c in corners)
    return (xs[0], ys[0]), (xs[1], ys[1])


