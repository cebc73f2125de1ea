"""Exploded dimensions: lines, arrowheads and a text that a person reads as a dimension, with no entity behind them."""

from dimaudit.rebuild.exploded.assembly import put_together

__all__ = ["put_together"]
