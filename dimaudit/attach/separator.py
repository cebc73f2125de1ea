"""The decimal sign of texts that have no dimension style of their own."""

from collections.abc import Sequence

from dimaudit.model.view import Geometry


def drawing_separator(geometries: Sequence[Geometry]) -> str:
    """The one that most of the dimensions have; a point where there are none."""
    commas = sum(d.style.separator == "," for g in geometries for d in g.space.dimensions)
    total = sum(len(g.space.dimensions) for g in geometries)
    return "," if 2 * commas > total else "."
