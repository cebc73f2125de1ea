"""SVG to PNG."""

from dimaudit.typeface import FAMILY, FILE


def png_of(svg: str, width: int) -> bytes:
    """A PNG file of an SVG of this tool, `width` pixels wide: with its own typeface, and the same on every machine."""
    import resvg_py

    return resvg_py.svg_to_bytes(
        svg_string=svg, width=width, dpi=96, skip_system_fonts=True, font_files=[str(FILE)], font_family=FAMILY,
        sans_serif_family=FAMILY,
    )  # fmt: skip
