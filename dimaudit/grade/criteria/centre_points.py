"""A POINT stands at each hole's centre."""

from collections.abc import Iterator
from fractions import Fraction

from dimaudit.grade.criteria.adding import beyond, each_of, marked
from dimaudit.grade.laid_out import LaidOut, is_part
from dimaudit.grade.layout import Kind
from dimaudit.grade.words import key_handles, length_text, named, place_of
from dimaudit.model.drawing import Point
from dimaudit.model.grading import Asked, Criterion, CriterionMark, Deduction


def mark(laid_out: LaidOut, asked: Asked) -> CriterionMark:
    """One point for each centre, however many circles stand about it; a missing hole's is not charged again."""
    centres: dict[Point, int] = {}
    for k, piece in enumerate(laid_out.key.pieces):
        if piece.kind is Kind.CIRCLE and is_part(piece):
            centres.setdefault(piece.spots[0], k)
    return marked(asked, len(centres), _found(laid_out, centres, each_of(asked, len(centres))))


def _found(laid_out: LaidOut, centres: dict[Point, int], each: Fraction) -> Iterator[Deduction]:
    marks = [p.spots[0] for p in laid_out.own if p.kind is Kind.POINT]
    missing = sum(hole not in laid_out.pairing.of_key for hole in centres.values())
    yield from beyond(Criterion.CENTRE_POINTS, "centre point", missing, len(centres), each)
    snap = laid_out.submission.audit.lengths.snap
    unit = laid_out.submission.audit.unit
    for hole in centres.values():
        name = named(laid_out.key, hole)
        handles, at = place_of(laid_out, (hole,))
        if hole not in laid_out.pairing.of_key:
            yield Deduction(
                Criterion.CENTRE_POINTS, Fraction(0), f"{name} is missing, and its centre's point with it",
                key_handles=key_handles(laid_out.key, (hole,)), at=at, follows="the missing hole, under 'features'",
            )  # fmt: skip
            continue
        x, y = laid_out.own[laid_out.pairing.of_key[hole]].spots[0]
        off = min((max(abs(px - x), abs(py - y)) for px, py in marks), default=None)
        if off is None or off > 2 * snap:
            why = "no POINT is drawn at all" if off is None else f"the nearest is {length_text(off, unit)} away"
            yield Deduction(
                Criterion.CENTRE_POINTS, each, f"no point at the centre of {name}", (why,), handles, at,
                key_handles(laid_out.key, (hole,)),
            )  # fmt: skip
