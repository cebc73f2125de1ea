"""The one typeface of all pictures: the same letters, of the same width, on every machine."""

from pathlib import Path

FILE = Path(__file__).with_name("DejaVuSansCondensed-part.ttf")
"""A part of DejaVu Sans Condensed 2.37: Latin, Greek and Cyrillic letters and the signs of the trade. Its digits are
about as wide as those that shops letter with, so that texts fit the room that the drawing leaves for them."""
FAMILY = "DejaVu Sans Condensed"
