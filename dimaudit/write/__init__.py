"""Drawings written: the second of the two rooms that know the DXF library."""
