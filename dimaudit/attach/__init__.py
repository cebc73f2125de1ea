"""Each dimension tied to the features it measures, and its numbers measured exactly."""

from dimaudit.attach.dimensions import attach

__all__ = ["attach"]
