"""A document to pictures of its layouts. The document is only looked at."""

from dimaudit.picture.layouts import pictures_of

__all__ = ["pictures_of"]
