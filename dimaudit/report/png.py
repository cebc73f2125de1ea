"""SVG to PNG."""

import re
from math import isqrt

from dimaudit.typeface import FAMILY, FILE

MOST = 100_000_000
"""Pixels of a picture, four bytes each. A narrow and tall drawing has more at a usual width."""
NARROWEST = 100
_SIZE = re.compile(r'viewBox="0 0 ([0-9.]+) ([0-9.]+)"')


def width_that_fits(svg: str, width: int) -> int:
    """The width, or the largest whose picture has no more than MOST pixels.

    Raises ValueError with a way out where even that is too narrow to show anything.
    """
    found = _SIZE.search(svg, 0, 1000)
    if found is None:
        raise ValueError("the SVG does not say its size")
    wide, high = (max(round(float(size) * 1000), 1) for size in found.groups())
    fits = min(width, isqrt(MOST * wide // high))
    if fits < min(width, NARROWEST):
        raise ValueError("the picture is too tall for a PNG: write it as .svg, or a part of it with --finding")
    return fits


def png_of(svg: str, width: int) -> bytes:
    """A PNG file of an SVG of this tool, `width` pixels wide: with its own typeface, and the same on every machine."""
    import resvg_py

    return resvg_py.svg_to_bytes(
        svg_string=svg, width=width, dpi=96, skip_system_fonts=True, font_files=[str(FILE)], font_family=FAMILY,
        sans_serif_family=FAMILY,
    )  # fmt: skip
