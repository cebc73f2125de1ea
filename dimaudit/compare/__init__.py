"""Two revisions of one print: what matches what, and what changed."""

from dimaudit.compare.revisions import compare

__all__ = ["compare"]
