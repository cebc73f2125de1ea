"""Pieces of the key, and numbers, in a learner's words."""

from collections import Counter
from collections.abc import Iterable
from fractions import Fraction

from dimaudit.exact.number import decimal_places, decimal_text
from dimaudit.exact.real import Real, real_text
from dimaudit.grade.laid_out import Key, LaidOut
from dimaudit.grade.layout import Kind, Piece
from dimaudit.model.audit import Judgement
from dimaudit.model.drawing import LineRole, Point
from dimaudit.model.grading import Alignment
from dimaudit.model.stated import Stated
from dimaudit.model.units import Unit
from dimaudit.text.places import size_text

SLACK = Fraction(1, 10**5)


def points_text(points: Fraction) -> str:
    """'2', '1.5', '2/3': exact, and short where it can be."""
    text = decimal_text(points, 4)
    return str(points) if text.endswith("…") else text


def length_text(value: Real, unit: Unit | None) -> str:
    """A length as the trade writes it; one that is no fraction is cut."""
    return size_text(value, unit) if isinstance(value, Fraction) else real_text(value, 6)


def shown(value: Fraction) -> Fraction:
    """A number as far as a person needs it: four places where it does not end soon."""
    places = decimal_places(value)
    return value if places is not None and places <= 6 else Fraction(round(value, 4))


def spot_text(spot: Point, unit: Unit | None) -> str:
    """'(2.000, 1.000)'."""
    return f"({size_text(shown(spot[0]), unit)}, {size_text(shown(spot[1]), unit)})"


def named(key: Key, piece: int) -> str:
    """A piece of the key: 'the left edge', 'the Ø.500 hole at (1.000, 1.000)'. Coordinates are the key's."""
    return named_piece(key.pieces[piece], key, extent(key, key.view_of(piece)))


def named_piece(piece: Piece, key: Key, around: tuple[Point, Point] | None = None) -> str:
    """Any piece, in the key's coordinates and unit; `around`: the corners of the bounds of the view that it is in."""
    unit = key.examined.audit.unit
    hidden = "hidden " if piece.role is LineRole.HIDDEN else ""
    match piece.kind:
        case Kind.CIRCLE:
            what = "centreline circle" if piece.role is LineRole.CENTRE else "hole"
            if around is not None and what == "hole" and bounds((piece,)) == around:
                what = "outer circle"
            return f"the Ø{size_text(2 * piece.radius, unit)} {hidden}{what} at {spot_text(piece.spots[0], unit)}"
        case Kind.ARC:
            return f"the {hidden}R{size_text(piece.radius, unit)} arc about {spot_text(piece.spots[0], unit)}"
        case Kind.POINT:
            return f"the point at {spot_text(piece.spots[0], unit)}"
        case Kind.CURVE:
            return f"the {hidden}curve from {spot_text(piece.spots[0], unit)} to {spot_text(piece.spots[-1], unit)}"
        case _:
            return f"the {hidden}{_edge(piece, unit, around)}"


def _edge(piece: Piece, unit: Unit | None, around: tuple[Point, Point] | None) -> str:
    a, b = piece.spots
    what = "centreline" if piece.role is LineRole.CENTRE else "edge"
    for axis, sides, upright in ((0, ("left", "right"), "upright"), (1, ("lower", "upper"), "level")):
        if a[axis] == b[axis]:
            if around is not None and piece.role is not LineRole.CENTRE:
                for bound, side in zip(around, sides, strict=True):
                    if abs(a[axis] - bound[axis]) <= SLACK:
                        return f"{side} edge"
            return f"{upright} {what} from {spot_text(a, unit)} to {spot_text(b, unit)}"
    return f"slanted {what} from {spot_text(a, unit)} to {spot_text(b, unit)}"


def named_all(key: Key, pieces: Iterable[int], most: int = 3) -> str:
    """Several pieces: 'the left edge, the lower edge and 4 more'."""
    names = list(dict.fromkeys(named(key, p) for p in pieces))
    if len(names) > most:
        return f"{', '.join(names[:most])} and {len(names) - most} more"
    return " and ".join((", ".join(names[:-1]), names[-1])) if len(names) > 1 else "".join(names)


def extent(key: Key, view: str) -> tuple[Point, Point] | None:
    """The corners of the bounds of a view of the key."""
    own = [key.pieces[k] for k in key.in_view(view)]
    return bounds(p for p in own if p.role is not LineRole.CENTRE)


def bounds(pieces: Iterable[Piece]) -> tuple[Point, Point] | None:
    """The lower left and the upper right corner; an arc counts by its ends and by the quadrants that it passes."""
    xs: list[Fraction] = []
    ys: list[Fraction] = []
    for piece in pieces:
        for x, y in _reached(piece):
            xs.append(x)
            ys.append(y)
    return ((min(xs), min(ys)), (max(xs), max(ys))) if xs else None


def _reached(piece: Piece) -> Iterable[Point]:
    if piece.kind not in (Kind.ARC, Kind.CIRCLE):
        return piece.spots
    (x, y), r = piece.spots[0], piece.radius
    quadrants = ((x + r, y), (x, y + r), (x - r, y), (x, y - r))
    if piece.kind is Kind.CIRCLE:
        return quadrants
    return (*piece.spots[1:], *(q for q in quadrants if _passes(piece, q)))


def _passes(arc: Piece, spot: Point) -> bool:
    """Whether an arc passes a spot of its circle."""
    (cx, cy), a, b = arc.spots

    def left(p: Point, q: Point) -> Fraction:
        return (p[0] - cx) * (q[1] - cy) - (p[1] - cy) * (q[0] - cx)

    after, before = left(a, spot) > 0, left(spot, b) > 0
    return (after or before) if left(a, b) <= 0 else (after and before)


def unlaid(spot: Point, by: Alignment) -> Point:
    """Where a place of the key is in the submission's own coordinates."""
    x, y = spot[0] - by.shift[0], spot[1] - by.shift[1]
    for _ in range(by.quarter_turns):
        x, y = y, -x
    if by.mirrored:
        x = -x
    return x / by.factor, y / by.factor


def place_of(laid_out: LaidOut, key_pieces: Iterable[int]) -> tuple[tuple[str, ...], tuple[float, float] | None]:
    """Handles of the submission's pieces that stand for the key's, and the place: in the submission's coordinates."""
    pieces = list(key_pieces)
    own = [laid_out.pairing.of_key[k] for k in pieces if k in laid_out.pairing.of_key]
    handles = tuple(dict.fromkeys(h for s in own for h in laid_out.own[s].handles))
    if own:
        x, y = laid_out.own[own[0]].middle
        return handles, (float(x), float(y))
    if not pieces:
        return handles, None
    way = laid_out.view_alignments.get(laid_out.key.view_of(pieces[0]), laid_out.fit.alignment)
    x, y = unlaid(laid_out.key.pieces[pieces[0]].middle, way)
    return handles, (float(x), float(y))


def key_handles(key: Key, pieces: Iterable[int]) -> tuple[str, ...]:
    """The handles of pieces of the key."""
    return tuple(dict.fromkeys(h for p in pieces for h in key.pieces[p].handles))


def said(judgement: Judgement, unit: Unit | None) -> str:
    """What a dimension of the key says: '2-3/8 = 2.375', '2.44, exactly 2.4375'."""
    reading, measured, text = judgement.reading, judgement.measured, judgement.text.strip()
    if not isinstance(reading, Stated) or measured is None or judgement.stated is None:
        return text
    degrees = "°" if "°" in text or unit is Unit.DEGREE else ""
    exact = real_text(measured, 6) + degrees if degrees else length_text(measured, unit)
    if not isinstance(measured, Fraction) or measured != judgement.stated:
        return f"{text}, exactly {exact}"
    return f"{text} = {exact}" if reading.denominator is not None else text


def counted(number: int, what: str) -> str:
    """'1 edge', '3 edges'."""
    return f"{number} {what}{'' if number == 1 else 's'}"


def most_common(values: Iterable[str]) -> str:
    """What stands there most often; the first in order among equals."""
    votes = Counter(values)
    return min(votes, key=lambda v: (-votes[v], v)) if votes else ""
