"""What marks are given for, one file each: from a submission laid on its key to that criterion's mark."""

from collections.abc import Callable, Mapping
from types import MappingProxyType

from dimaudit.grade.criteria import (
    centre_points,
    dimensions,
    features,
    layers,
    linework,
    orientation,
    place,
    shape,
    sizes,
    typed,
    units,
)
from dimaudit.grade.laid_out import LaidOut
from dimaudit.model.grading import Asked, Criterion, CriterionMark

CRITERIA: Mapping[Criterion, Callable[[LaidOut, Asked], CriterionMark]] = MappingProxyType(
    {
        Criterion.UNITS: units.mark,
        Criterion.ORIENTATION: orientation.mark,
        Criterion.PLACE: place.mark,
        Criterion.FEATURES: features.mark,
        Criterion.SIZES: sizes.mark,
        Criterion.SHAPE: shape.mark,
        Criterion.DIMENSIONS: dimensions.mark,
        Criterion.TYPED: typed.mark,
        Criterion.LINEWORK: linework.mark,
        Criterion.LAYERS: layers.mark,
        Criterion.CENTRE_POINTS: centre_points.mark,
    }
)
"""All of them, in the order of `Criterion`."""
