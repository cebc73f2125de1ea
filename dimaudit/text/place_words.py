"""Places of a scheme in words."""

from collections.abc import Sequence
from dataclasses import replace

from dimaudit.model.drawing import Circle, Segment, Shape
from dimaudit.model.geometry import Feature, FeatureKind
from dimaudit.model.scheme import Place
from dimaudit.model.units import Unit
from dimaudit.text.places import feature_text, size_text

ALONG = ("x", "y", "radius")


def best_place(places: Sequence[Place]) -> Place:
    """The place by which a person would call them all: an outer edge, then a centre, then the shortest name."""
    return min(places, key=_rank)


def _rank(place: Place) -> tuple[bool, bool, int]:
    feature = _feature(place)
    name = place_text(place, None)
    return not name.endswith("edge"), feature is None or feature.kind is not FeatureKind.CENTRE, len(name)


def place_text(place: Place, unit: Unit | None) -> str:
    """'centre of the Ø.750 circle at (2.000, 1.000)', 'left edge', 'Ø.750 circle'."""
    if place.axis == 2:
        return _round(place, unit)
    feature = _feature(place)
    at = f"({size_text(place.at[0], unit)}, {size_text(place.at[1], unit)})"
    if feature is None:
        return f"the place at {at}"
    if feature.kind is FeatureKind.TANGENT_POINT and any(_across(s, place.axis) for s in feature.shapes):
        feature = replace(feature, kind=FeatureKind.CORNER)  # a rounded corner's edge is called as a sharp one's
    text = feature_text(feature, place.view, unit, place.axis)
    return f"{text} at {at}" if feature.kind is FeatureKind.CENTRE else text


def _feature(place: Place) -> Feature | None:
    """The feature there that is named best: a centre, else a corner whose edge stands square to the axis."""
    return place.view.by_place.get(place.at)


def _across(shape: Shape, axis: int) -> bool:
    return isinstance(shape, Segment) and shape.a[axis] == shape.b[axis]


def _round(place: Place, unit: Unit | None) -> str:
    for shape in place.view.rounds.get((place.at, place.value), ()):
        if isinstance(shape, Circle):
            return f"Ø{size_text(place.value * 2, unit)} circle"
        return f"R{size_text(place.value, unit)} arc"
    return f"radius {size_text(place.value, unit)}"
