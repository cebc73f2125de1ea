"""What a finding is, said so that it is the same after another program saved the drawing.

A finding is told by its rule and by what it is about: a dimension by its kind, its text and the features its ends are
on, linework by its geometry, a text by its words and place. All places are counted from the lower left corner of the
view, so that they move with the part. Handles, levels, messages, layers and the order in the file do not count.
"""

import json
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from hashlib import sha256
from itertools import chain
from math import atan2, cos, floor, hypot, radians, sin
from typing import TypeAlias

from dimaudit.judge.check import Sheet
from dimaudit.model.attached import End
from dimaudit.model.audit import Finding, Judgement
from dimaudit.model.drawing import Arc, Circle, Curve, Dimension, Frame, Kind, Leader, Mark, Note, Point, Segment, Shape
from dimaudit.model.geometry import FeatureKind
from dimaudit.model.view import View, shape_ends
from dimaudit.text.markup import plain_text

Said: TypeAlias = "str | int | tuple[Said, ...]"
Corner: TypeAlias = tuple[float, float]
Words: TypeAlias = Note | Frame | Leader

DIGITS = 16
"""Hexadecimal digits of the fingerprint: 64 bits tell the findings of any drawing apart."""
STEPS = 1000
"""Places are told apart to a thousandth of the drawing's unit, whichever that is: a file that lost its unit on the way
through an old version is then still known. Programs round far more finely."""
EDGE = 17 / 64
"""Where a step ends, in steps. An end at a place that shops use would be crossed by noise: a coordinate of 2.5 comes
back as 2.4999999. So the ends lie between all such places: thousandths and their halves are 0 or 1/2 into a step,
multiples of 1/20000 are k/20, of 1/64, 1/128 and 1/256 are k/32, sums of these are k/160; and 17/64 = 42.5/160."""
WHOLE_DRAWING = ""
"""The layout of a finding that is about the drawing as a whole: its handles only count what there is of it."""
ALIKE = ("duplicate-line",)
"""Rules that name a whole entity: which of its ends they show hangs on the order in the file."""
SLIPPERY = (FeatureKind.EDGE, FeatureKind.ARC, FeatureKind.CURVE)
"""Features without a place of their own: they are told by their geometry."""


def step(value: float) -> int:
    """The number of the step that a coordinate is in."""
    return floor(value * STEPS - EDGE)


def identified(findings: Sequence[Finding], sheet: Sheet) -> tuple[Finding, ...]:
    """The findings with their identities; what is drawn and stated alike in several places has one identity."""
    if not findings:
        return ()
    entities = _Entities(sheet, frozenset(h for f in findings for h in f.handles))
    return tuple(replace(f, identity=_fingerprint((f.rule, *entities.about(f)))) for f in findings)


def _fingerprint(said: Said) -> str:
    return sha256(json.dumps(said).encode("ascii")).hexdigest()[:DIGITS]


class _Entities:
    """The entities that findings are about, by handle."""

    def __init__(self, sheet: Sheet, wanted: frozenset[str]) -> None:
        self._judgements: dict[str, list[Judgement]] = defaultdict(list)
        for j in sheet.judgements:
            if j.attached.dimension.handle in wanted:
                self._judgements[j.attached.dimension.handle].append(j)
        self._views = {(g.space.name, v.name): v for g in sheet.geometries for v in g.views}
        self._words: dict[str, list[Words]] = defaultdict(list)
        for space in sheet.drawing.spaces:
            words: Iterable[Words] = chain(space.notes, space.frames, space.leaders)
            for word in words:
                if word.origin.handle in wanted:
                    self._words[word.origin.handle].append(word)
        rest = wanted - self._judgements.keys() - self._words.keys()
        self._shapes: dict[str, dict[tuple[str, ...], list[tuple[View | None, Shape]]]] = {}
        """By handle, its own or that of a block reference around it; then by the block references it came through."""
        if rest:
            seen: set[int] = set()
            for view in self._views.values():
                seen.update(view.members)
                self._keep(((view, s) for s in view.shapes), rest)
            self._keep(((None, s) for sp in sheet.drawing.spaces for s in sp.shapes if id(s) not in seen), rest)

    def _keep(self, shapes: Iterable[tuple[View | None, Shape]], wanted: frozenset[str]) -> None:
        for view, shape in shapes:
            origin = shape.origin
            for handle in wanted.intersection((origin.handle, *origin.inserts)):
                through = origin.inserts if handle == origin.handle else ()
                self._shapes.setdefault(handle, {}).setdefault(through, []).append((view, shape))

    def about(self, finding: Finding) -> tuple[Said, ...]:
        """What it is about, in an order that does not hang on the file's."""
        if finding.layout == WHOLE_DRAWING and finding.at is None:
            return ()
        said: set[Said] = set()
        for handle in finding.handles:
            said.update(self._one(handle, finding))
        corner = _corner(self._views.get((finding.layout, finding.view)))
        if not said and finding.at is not None and corner is not None:
            said.add(("place", *_place(finding.at, corner)))
        return tuple(sorted(said, key=json.dumps))

    def _one(self, handle: str, finding: Finding) -> Iterator[Said]:
        if handle in self._judgements:
            own = self._judgements[handle]
            here = [j for j in own if j.attached.view is not None and j.attached.view.name == finding.view]
            yield from map(_dimension, here or own)
        elif handle in self._words:
            view = self._views.get((finding.layout, finding.view))
            yield from (_text(word, view, finding.layout) for word in self._words[handle])
        elif handle in self._shapes:
            for shapes in _meant(list(self._shapes[handle].values()), finding.at):
                yield from _entity(shapes, finding)


def _meant(
    drawn: Sequence[list[tuple[View | None, Shape]]], at: tuple[float, float] | None
) -> Iterator[list[tuple[View | None, Shape]]]:
    """Of an entity that a block shows in several places the ones nearest to the finding."""
    if len(drawn) == 1 or at is None:
        yield from drawn
        return
    away = [min(hypot(x - at[0], y - at[1]) for _, s in shapes for x, y in _spots(s)) for shapes in drawn]
    yield from (shapes for shapes, far in zip(drawn, away, strict=True) if far <= min(away) + 1 / STEPS)


def _corner(view: View | None) -> Corner | None:
    return None if view is None else (view.extent[0][0], view.extent[1][0])


def _place(point: Point | tuple[float, float], corner: Corner) -> tuple[Said, ...]:
    return step(float(point[0]) - corner[0]), step(float(point[1]) - corner[1])


def _dimension(judgement: Judgement) -> Said:
    attached = judgement.attached
    dimension = attached.dimension
    corner = _corner(attached.view)
    if corner is None:  # it is on no part: only its own shape is left
        points = dimension.measured_points.values()
        corner = min((float(p[0]) for p in points), default=0.0), min((float(p[1]) for p in points), default=0.0)
    if attached.ends:
        ends = {_end(end, corner) for end in attached.ends}
    else:
        ends = {("point", *_place(point, corner)) for point in dimension.measured_points.values()}
    words = " ".join(judgement.text.split())
    return "dimension", *_kind(dimension), words, *sorted(ends, key=json.dumps)


def _kind(dimension: Dimension) -> tuple[Said, ...]:
    """What it measures: for a length its direction, however the file says it."""
    match dimension.kind:
        case Kind.LINEAR:
            turn = radians(float(dimension.angle % 180))
        case Kind.ALIGNED if 13 in dimension.points and 14 in dimension.points:
            a, b = dimension.points[13], dimension.points[14]
            turn = atan2(float(b[1] - a[1]), float(b[0] - a[0]))
        case Kind.ORDINATE:
            return str(dimension.kind), int(dimension.along_x)
        case _:
            return (str(dimension.kind),)
    # Twice the turn is the same from either end. A tenth of the step: two directions that a person tells apart differ
    # by far more, and a short length between noisy points turns by more than its ends move.
    return "length", step(cos(2 * turn) / 10), step(sin(2 * turn) / 10)


def _end(end: End, corner: Corner) -> Said:
    feature = end.feature
    if feature is None:
        return "point", *_place(end.point, corner)
    if feature.kind in SLIPPERY and feature.shapes:
        shape = feature.shapes[0]
        if isinstance(shape, (Arc, Circle)):  # the whole circle: how far the arc runs is no matter to its size
            return "round", *_place(shape.centre, corner), step(float(shape.radius))
        return _shape(shape, corner)
    return "place", *_place(feature.at, corner)


def _text(word: Words, view: View | None, layout: str) -> Said:
    corner = _corner(view)
    points: list[Point] = []
    where = "" if isinstance(word, Note) else word.layout
    if isinstance(word, Leader):
        points += word.tips
    elif where in ("", layout):
        points.append(word.at)
    places: list[Said] = []
    if corner is not None:
        places = sorted({_place(point, corner) for point in points}, key=json.dumps)
    # A text that belongs to no view is told by its words alone: a title block stays where it is when the part moves.
    return "text", " ".join(plain_text(word.text or "").split()), *places


def _entity(shapes: Sequence[tuple[View | None, Shape]], finding: Finding) -> Iterator[Said]:
    view = next((v for v, _ in shapes if v is not None), None)
    corner = _corner(view)
    if corner is None:
        spots = [spot for _, s in shapes for spot in _spots(s)]
        corner = min(x for x, _ in spots), min(y for _, y in spots)
    if len(shapes) == 1:
        yield _shape(shapes[0][1], corner)
        return
    spots = [spot for _, s in shapes for spot in _spots(s)]
    low = min(x for x, _ in spots), min(y for _, y in spots)
    high = max(x for x, _ in spots), max(y for _, y in spots)
    yield "shapes", *_place(low, corner), *_place(high, corner)
    if finding.at is not None and finding.rule not in ALIKE:  # which part of it
        yield "place", *_place(finding.at, corner)


def _spots(shape: Shape) -> Iterator[tuple[float, float]]:
    """Points that tell where a shape is."""
    points: Sequence[Point]
    match shape:
        case Circle(_, (x, y), radius):
            points = ((x - radius, y - radius), (x + radius, y + radius))
        case Mark(_, at):
            points = (at,)
        case Curve(_, points, _):
            pass
        case _:
            points = shape_ends(shape)
    return ((float(x), float(y)) for x, y in points)


def _shape(shape: Shape, corner: Corner) -> Said:
    match shape:
        case Circle(_, centre, radius):
            return "circle", *_place(centre, corner), step(float(radius))
        case Arc(_, centre, radius, a, b):
            ends = (_place(p, corner) for p in (a, b))
            return "arc", *_place(centre, corner), step(float(radius)), *ends
        case Segment(_, a, b):
            return "line", *sorted((_place(p, corner) for p in (a, b)), key=json.dumps)
        case Mark(_, at):
            return "mark", *_place(at, corner)
        case _:
            spots = list(_spots(shape))
            low = min(x for x, _ in spots), min(y for _, y in spots)
            high = max(x for x, _ in spots), max(y for _, y in spots)
            return "curve", *_place(low, corner), *_place(high, corner)
