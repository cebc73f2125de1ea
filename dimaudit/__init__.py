"""Audits the dimensions of 2D drawings in exact fractions."""

from importlib.metadata import version

__version__ = version("dimaudit")
