"""From a DXF file to a plain `Drawing`. The only room that knows the DXF library."""

from dimaudit.read.drawing import read_drawing

__all__ = ["read_drawing"]
