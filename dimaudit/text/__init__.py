"""Dimension text: what is written on the print, read and written exactly."""
