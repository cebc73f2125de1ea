"""A sheet's linework as pieces that do not tell how it was drawn: whole straight edges, arcs, circles, points.

A rectangle drawn as four lines, as eight half lines, or as one polyline is the same four pieces.
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from itertools import pairwise
from math import atan2, hypot, tau

from dimaudit.model.drawing import Arc, Circle, Curve, LineRole, Mark, Point, Segment, Shape
from dimaudit.model.view import View


class Kind(StrEnum):
    """What a piece is."""

    STRAIGHT = "straight edge"
    ARC = "arc"
    CIRCLE = "circle"
    POINT = "point"
    CURVE = "curve"


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece of linework, as large as it can be. Coordinates are recovered ones, in drawing units."""

    kind: Kind
    spots: tuple[Point, ...]
    """Straight: both ends, the lesser first. Arc: centre, then its ends counter-clockwise. Circle: centre. Point:
    itself. Curve: points along it, from its lesser end."""
    radius: Fraction
    """0 where there is none."""
    handles: tuple[str, ...]
    role: LineRole

    @property
    def middle(self) -> Point:
        """Of a straight edge its middle; else the first spot."""
        if self.kind is not Kind.STRAIGHT:
            return self.spots[0]
        (ax, ay), (bx, by) = self.spots
        return (ax + bx) / 2, (ay + by) / 2

    @property
    def closed(self) -> bool:
        """Of a curve: whether it ends where it begins, but for the rounding of its points."""
        return _closed(self.spots)

    @property
    def numbers(self) -> tuple[float, ...]:
        """What two equal pieces have equal, for searching; a curve's ends stand for it, a closed one's bounds."""
        spots = self.spots
        if self.kind is Kind.CURVE:
            spots = (self.spots[0], self.spots[-1])
            if self.closed:
                xs, ys = zip(*self.spots, strict=True)
                spots = (min(xs), min(ys)), (max(xs), max(ys))
        return (*(float(v) for spot in spots for v in spot), float(self.radius))


def layout(view: View, snap: Fraction) -> tuple[Piece, ...]:
    """The pieces of all shapes of a view, in a fixed order. What is drawn twice is one piece; `snap` is a length."""
    near = float(snap)
    straights: dict[LineRole, list[Piece]] = defaultdict(list)
    rounds: dict[tuple[Point, Fraction, LineRole], list[Piece]] = defaultdict(list)
    others: dict[tuple[Kind, tuple[Point, ...]], list[Piece]] = defaultdict(list)
    for shape in view.shapes:
        piece = _piece(view, shape)
        match piece.kind:
            case Kind.STRAIGHT if piece.spots[0] != piece.spots[1]:
                straights[piece.role].append(piece)
            case Kind.ARC | Kind.CIRCLE:
                rounds[piece.spots[0], piece.radius, piece.role].append(piece)
            case Kind.POINT | Kind.CURVE:
                others[piece.kind, piece.spots].append(piece)
            case _:
                pass  # a line without length is nothing to be graded but as linework
    found = [p for own in straights.values() for p in _merged_straights(own, near)]
    found += [p for own in rounds.values() for p in _merged_rounds(own, near)]
    found += [_joined(own, own[0].spots) for own in others.values()]
    return tuple(sorted(found, key=lambda p: (p.kind, p.role, p.spots, p.radius)))


def _piece(view: View, shape: Shape) -> Piece:
    origin, none = shape.origin, Fraction(0)
    match shape:
        case Segment(_, a, b):
            kind, radius = Kind.STRAIGHT, none
            spots: tuple[Point, ...] = tuple(sorted((view.place(a), view.place(b))))
        case Arc(_, centre, raw, a, b):
            kind, radius = Kind.ARC, view.radius(raw).value
            spots = (view.place(centre), view.place(a), view.place(b))
        case Circle(_, centre, raw):
            kind, spots, radius = Kind.CIRCLE, (view.place(centre),), view.radius(raw).value
        case Mark(_, at):
            kind, spots, radius = Kind.POINT, (view.place(at),), none
        case Curve(_, points, centre) if centre is not None and (size := _round_size(points, centre)) is not None:
            kind, radius, middle = Kind.ARC, size, view.place(centre)
            ends = view.place(points[0]), view.place(points[-1])
            if _closed(points):
                kind, spots = Kind.CIRCLE, (middle,)
            else:
                spots = (middle, *(ends if _left_about(middle, points) else ends[::-1]))
        case Curve(_, points, _):
            kind, radius = Kind.CURVE, none
            spots = tuple(map(view.place, points))
            spots = min(spots, spots[::-1])  # it may be drawn from either end
    return Piece(kind, spots, radius, (origin.handle,), origin.role)


ROUND = Fraction(1, 10**7)
"""An ellipse whose points are as far from its centre but for this share is a circle, or an arc: so a tool for
isometric circles, or a stretched block that was put right, leaves it."""


def _round_size(points: Sequence[Point], centre: Point) -> Fraction | None:
    """The radius of an ellipse that is round; None for any other."""
    away = [hypot(float(x - centre[0]), float(y - centre[1])) for x, y in points]
    least, most = min(away), max(away)
    if not least or most - least > float(ROUND) * most:
        return None
    return Fraction(round(most, 6))  # simple numbers are what is drawn, and the points have their noise


def _closed(points: Sequence[Point]) -> bool:
    return all(abs(a - b) <= Fraction(1, 10**6) for a, b in zip(points[0], points[-1], strict=True))


def _left_about(centre: Point, points: Sequence[Point]) -> bool:
    """Whether points run counter-clockwise about a centre."""
    (ax, ay), (bx, by) = ((x - centre[0], y - centre[1]) for x, y in points[:2])
    return ax * by - ay * bx > 0


def _joined(own: Sequence[Piece], spots: tuple[Point, ...], kind: Kind | None = None) -> Piece:
    handles = tuple(sorted({h for piece in own for h in piece.handles}, key=lambda h: (len(h), h)))
    return Piece(kind or own[0].kind, spots, own[0].radius, handles, own[0].role)


def _merged_straights(own: Sequence[Piece], near: float) -> list[Piece]:
    """Edges on one line that overlap or touch, made one."""
    lines: list[tuple[tuple[float, float, float], list[tuple[float, float, Piece]]]] = []
    by_turn: dict[int, list[int]] = defaultdict(list)
    for piece in sorted(own, key=lambda p: (-_length(p), p.spots)):
        (ax, ay), (bx, by) = ((float(x), float(y)) for x, y in piece.spots)
        dx, dy = bx - ax, by - ay
        size = hypot(dx, dy)
        turn = round(atan2(dy, dx) * 1000)
        home = None
        for k in (k for t in (turn - 1, turn, turn + 1) for k in by_turn[t]):
            (ux, uy, off), _ = lines[k]
            if abs(ux * ay - uy * ax - off) <= near and abs(ux * by - uy * bx - off) <= near:
                home = k
                break
        if home is None:
            ux, uy = dx / size, dy / size
            home = len(lines)
            lines.append(((ux, uy, ux * ay - uy * ax), []))
            by_turn[turn].append(home)
        (ux, uy, _), members = lines[home]
        low, high = sorted((ux * ax + uy * ay, ux * bx + uy * by))
        members.append((low, high, piece))
    found = []
    for _, members in lines:
        members.sort(key=lambda m: (m[0], m[1], m[2].spots))
        run: list[Piece] = []
        reach = 0.0
        for low, high, piece in members:
            if run and low > reach + near:
                found.append(_run(run))
                run = []
            reach = max(reach, high) if run else high
            run.append(piece)
        found.append(_run(run))
    return found


def _run(run: Sequence[Piece]) -> Piece:
    """One edge from the ends of several on one line."""
    if len(run) == 1:
        return run[0]
    longest = max(run, key=_length)
    (ax, ay), (bx, by) = ((float(x), float(y)) for x, y in longest.spots)
    spots = sorted((s for p in run for s in p.spots), key=lambda s: (bx - ax) * float(s[0]) + (by - ay) * float(s[1]))
    return _joined(run, tuple(sorted((spots[0], spots[-1]))))


def _length(piece: Piece) -> float:
    (ax, ay), (bx, by) = piece.spots
    return hypot(float(bx - ax), float(by - ay))


def _merged_rounds(own: Sequence[Piece], near: float) -> list[Piece]:
    """Arcs of one circle that overlap or touch, made one; what closes is a circle."""
    centre = own[0].spots[0]
    if any(p.kind is Kind.CIRCLE for p in own):
        return [_joined(own, (centre,), Kind.CIRCLE)]
    within = near / max(float(own[0].radius), near)

    def angle(spot: Point) -> float:
        return atan2(float(spot[1] - centre[1]), float(spot[0] - centre[0])) % tau

    spans = []
    for piece in own:
        start = angle(piece.spots[1])
        turn = (angle(piece.spots[2]) - start) % tau
        spans.append((start, turn or tau, piece))
    spans.sort(key=lambda s: (s[0], s[1], s[2].spots))
    runs: list[tuple[float, float, list[Piece], Point, Point]] = []
    for start, turn, piece in spans:
        if runs and start <= runs[-1][1] + within:
            first, end, members, a, b = runs[-1]
            later = start + turn > end
            runs[-1] = first, max(end, start + turn), [*members, piece], a, piece.spots[2] if later else b
        else:
            runs.append((start, start + turn, [piece], piece.spots[1], piece.spots[2]))
    if len(runs) > 1 and runs[0][0] + tau <= runs[-1][1] + within:  # the last runs on into the first
        start, end, members, a, b = runs.pop()
        _, first_end, first_members, _, first_b = runs[0]
        longer = first_end + tau > end
        runs[0] = start, max(first_end + tau, end), [*members, *first_members], a, first_b if longer else b
    found = []
    for start, end, members, a, b in runs:
        if end - start >= tau - within:
            found.append(_joined(members, (centre,), Kind.CIRCLE))
        else:
            found.append(_joined(members, (centre, a, b)))
    return found


def cell(spot: Point) -> Point:
    """Recovered ends of arcs carry the rounding of their angles: near enough is one."""
    return Fraction(round(spot[0], 4)), Fraction(round(spot[1], 4))


def apart(piece: Piece, spot: Point) -> float:
    """How far a place is from the nearest of a piece, in drawing units."""
    x, y = float(spot[0]), float(spot[1])
    spots = [(float(a), float(b)) for a, b in piece.spots]
    if piece.kind is Kind.CIRCLE or (piece.kind is Kind.ARC and _in_span(spots, x, y)):
        return abs(hypot(x - spots[0][0], y - spots[0][1]) - float(piece.radius))
    if piece.kind is Kind.ARC:
        return min(hypot(x - a, y - b) for a, b in spots[1:])
    if len(spots) == 1:
        return hypot(x - spots[0][0], y - spots[0][1])
    return min(_from_edge(a, b, x, y) for a, b in pairwise(spots))


def _in_span(spots: Sequence[tuple[float, float]], x: float, y: float) -> bool:
    """Whether a place is seen from an arc's centre within the arc's turn."""
    (cx, cy), start, end = spots
    first, last, own = (atan2(b - cy, a - cx) for a, b in (start, end, (x, y)))
    return (own - first) % tau <= (last - first) % tau


def _from_edge(a: tuple[float, float], b: tuple[float, float], x: float, y: float) -> float:
    dx, dy = b[0] - a[0], b[1] - a[1]
    size = dx * dx + dy * dy
    along = min(1.0, max(0.0, ((x - a[0]) * dx + (y - a[1]) * dy) / size)) if size else 0.0
    return hypot(x - a[0] - along * dx, y - a[1] - along * dy)
